"""Words a skipper says: on labels, beside tables, in answers; and the same caution once on a page of a trip."""

from __future__ import annotations

import re
from functools import cache

import pytest
from fleets import demos
from streamlit.testing.v1 import AppTest
from test_dashboard import PAGE_FOLDER, app

from perf.base.cautions import Caution, sentence
from perf.base.columns import COLUMNS, SUMMARY, column
from perf.base.results import Result
from perf.boat.trip.file import demo_trips, read_trip
from perf.faces import look
from perf.faces.cli import main
from perf.faces.dashboard import folded, triptext
from perf.faces.text.result import as_text
from perf.studies.mount.study import mount
from perf.studies.tabs import tabs
from perf.studies.trip.study import trip

FOUR = next(boat for boat in demos() if boat.name == "Number Four")
PLAN = demo_trips()[triptext.FIRST].read_text(encoding="utf-8")
BROKEN = PLAN.replace('"third"', '"95 gal"').replace('"1 ft"', '"6 ft"')  # eats into what is kept


@cache
def hung() -> Result:
    return mount(FOUR, (0.762,), (0.05,), draws=30)


@cache
def broken() -> Result:
    return trip(FOUR, read_trip(BROKEN.encode(), FOUR), draws=20)


def words_of(at: AppTest) -> str:
    said = [str(e.value) for kind in ("markdown", "warning", "caption") for e in getattr(at, kind)]
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", "\n".join(said))


def test_labels_say_what_a_skipper_would() -> None:
    assert column("best_range_m").label == "whole distance there"
    assert column("farthest_m").label == "how far out, one way"
    assert column("reach").label == "fits"
    every = [about.label for about in (*COLUMNS.values(), *SUMMARY.values())]
    for old in ("over (under) the range", "within its reach", "range there"):
        assert old not in every
    assert "no number" not in look.HALF_WORDS


def test_a_shaft_that_misses_says_by_how_much_on_one_side_only() -> None:
    table = hung().tables["shaft"]
    high, low = table["too_high_by_m"], table["too_low_by_m"]
    assert not (high.notna() & low.notna()).any()
    fits = high.isna() & low.isna()
    assert table["reach"][fits].eq("yes").all() and not table["reach"][~fits].eq("yes").any()
    assert high.dropna().gt(0.0).all() and low.dropna().gt(0.0).all()
    recommended = hung().summary["recommendation"]["plate_height_high_m"]
    over = table["plate_height_m"] - recommended
    assert high.dropna().to_numpy() == pytest.approx(over[high.notna()].to_numpy())


def test_edges_of_a_difference_and_what_is_not_to_be_relied_on() -> None:
    table = hung().tables["with_without"]
    assert table["hung"].tolist()[2:] == ["difference", "difference, low", "difference, high"]
    note = hung().notes[0]
    assert "doubt" not in note
    assert "no difference to rely on" in note or "more than what is not known" in note


def test_letters_of_a_table_stand_at_what_its_rows_are() -> None:
    assert "letters: on the runs marked above" in as_text(broken(), "us")
    assert "letters: in the rows marked above" in as_text(hung(), "us")
    assert "letters: in the rows marked above" in as_text(tabs(FOUR, draws=0), "us")


def test_a_trip_says_that_it_is_an_estimate_once() -> None:
    assert "trip" in broken().cautions and "estimate" not in broken().cautions
    text = " ".join(as_text(broken(), "us").split())
    for code in broken().cautions:
        assert text.count(sentence(code)) == 1, code


def test_no_caution_stands_twice_on_the_page_of_a_trip() -> None:
    at = app()
    at.switch_page(f"{PAGE_FOLDER}/trip.py").run()
    at.text_area[0].set_value(BROKEN).run()
    assert not at.exception
    at.select_slider(key="trip-sea").set_value("rough").run()
    text = words_of(at)
    assert "eats into the fuel kept back" in text
    for caution in Caution:
        if caution.value:
            assert text.count(sentence(str(caution.name).lower())) <= 1, caution.name


def test_how_far_out_stands_over_the_editor_and_follows_the_fuel() -> None:
    at = app(fuel="60 gal")
    at.switch_page(f"{PAGE_FOLDER}/trip.py").run()
    headers = [header.value for header in at.header]
    assert headers.index("How far out, with the way back") < headers.index("The trip")
    sixty = trip(FOUR.at(tank=0.5), read_trip(PLAN.encode(), FOUR.at(tank=0.5)), draws=20)
    far = sixty.shown("us").summary("farthest_m").split(" (")[0]
    assert f"she goes {far} out and the same way home" in words_of(at)
    assert "48 gal can be drawn and 16 gal are kept back" in words_of(at)


def test_the_list_of_loads_says_who_is_aboard() -> None:
    at = app()
    load = next(box for box in at.selectbox if box.label == "Load")
    assert "charter: skipper, 6 guests, ice, tackle" in load.options
    assert "alone: skipper, tackle" in load.options


def test_a_tank_is_read_in_words_on_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    said = []
    for level in ("1/2", "half", "50 %", "60gal"):
        assert main(["speeds", "number_four", "--draws", "0", "--quiet", "--tank", level]) == 0
        said.append(capsys.readouterr().out)
    assert len(set(said)) == 1
    assert main(["speeds", "number_four", "--tank", "halfish"]) == 2
    assert "such as 1/2, half" in capsys.readouterr().err


def test_what_is_folded_is_worked_out_only_when_it_is_opened(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made: list[str] = []
    monkeypatch.setattr(folded, "tabs_for", lambda boat: made.append("tabs") or tabs(boat, draws=0))
    monkeypatch.setattr(folded, "shape_of", lambda boat: made.append("shape") or ())
    at = app()
    labels = [one.label for one in at.expander]
    assert {folded.TABS_HEADING, folded.SHAPE_HEADING} <= set(labels)
    assert made == []
    at.session_state["tabs-door"] = True
    at.run()
    assert not at.exception
    assert made == ["tabs"]
    text = words_of(at)
    assert tabs(FOUR, draws=0).shown("us").answer in text
    assert text.count(sentence("estimate")) == 1, "said on the page already"
    assert sentence("tabs_deep") in text
