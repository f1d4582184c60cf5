"""The page of a trip without a browser: it answers untouched, follows what is set, keeps it, shares it, refuses."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from browser_help import banned_in
from streamlit.testing.v1 import AppTest

from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.trip.file import demo_trips, read_trip
from perf.faces.dashboard import tripfields, triptext
from perf.faces.dashboard.tripping import DRAWS, changed
from perf.studies.trip.link import pack, unpack
from perf.studies.trip.study import trip

ROOT = Path(__file__).parents[1]
PAGES = "perf/faces/dashboard/pages"
NUMBER_FOUR = read_boat(demo_boats()["number_four"])
FIRST = demo_trips()[triptext.FIRST].read_bytes()


def opened(**address: str) -> AppTest:
    at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=120)
    for key, value in address.items():
        at.query_params[key] = value
    at.run()
    at.switch_page(f"{PAGES}/trip.py").run()
    assert not at.exception
    return at


def said(at: AppTest) -> str:
    words = [
        str(e.value)
        for kind in ("title", "header", "markdown", "caption", "error", "warning", "code")
        for e in getattr(at, kind)
    ]
    words += [f"{m.label} {m.value}" for m in at.metric]
    words += [e.label for kind in ("text_input", "expander") for e in getattr(at, kind)]
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", "\n".join(words)).replace("\u2060", "")


def field(at: AppTest, label: str):
    return next(e for e in at.text_input if e.label == label)


def fuel(at: AppTest) -> str:
    return next(m.value for m in at.metric if m.label == "Fuel the trip takes")


def param(at: AppTest, name: str = "trip") -> str:
    value = at.query_params[name]
    return value[0] if isinstance(value, list) else value


def test_the_page_answers_before_it_is_touched() -> None:
    at = opened()
    result = trip(NUMBER_FOUR, read_trip(FIRST, NUMBER_FOUR), draws=DRAWS)
    text = said(at)
    assert result.shown("us").answer.split(". How far out")[0] in text
    assert fuel(at) == result.shown("us").summary("trip_fuel_m3").split(" (")[0]
    assert "How far out, with the way back" in text
    assert banned_in(text) == []
    assert len(at.metric) == 8


def test_what_is_set_moves_the_answer_and_the_address() -> None:
    at = opened()
    before = fuel(at)
    field(at, "Waves").set_value("4 ft").run()
    assert not at.exception
    assert fuel(at) != before
    boat, plan = unpack(param(at))
    assert boat == b""
    assert b'wave_height = "4 ft"' in plan
    field(at, "Kept back").set_value("95 gal").run()
    assert "Short by " in said(at)
    assert "Caution." in said(at)


def test_what_is_set_survives_other_pages_and_a_reload() -> None:
    at = opened()
    field(at, "Waves").set_value("3 ft").run()
    field(at, "How full").set_value("0.6").run()
    kept = fuel(at)
    at.switch_page(f"{PAGES}/how_she_runs.py").run()
    at.switch_page(f"{PAGES}/trip.py").run()
    assert (field(at, "Waves").value, field(at, "How full").value) == ("3 ft", "0.6")
    assert fuel(at) == kept
    again = opened(trip=param(at))
    assert (field(again, "Waves").value, field(again, "How full").value) == ("3 ft", "0.6")
    assert fuel(again) == kept


def test_a_link_brings_the_whole_boat_and_trip() -> None:
    at = opened(boat="number_three", units="metric")
    field(at, "Waves").set_value("2 ft").run()
    link = next(e.value for e in at.code if "trip=" in e.value)
    address = {k: v[0] for k, v in parse_qs(urlsplit(link).query).items()}
    boat, _ = unpack(address["trip"])
    assert boat == demo_boats()["number_three"].read_bytes()
    there = opened(**address)
    assert there.title[0].value == at.title[0].value
    assert field(there, "Waves").value == "2 ft"
    assert fuel(there) == fuel(at)
    assert "from your own file the link" in said(there).lower()
    # and it survives its own reload, boat and all
    reloaded = opened(trip=param(there), along=param(there, "along"), boat="own", units="metric")
    assert fuel(reloaded) == fuel(at)


@pytest.mark.parametrize("link", ["1.nonsense", "x", pack(b"not a boat", FIRST)])
def test_a_broken_link_says_so_and_starts_afresh(link: str) -> None:
    at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=120)
    at.query_params["trip"] = link
    at.switch_page(f"{PAGES}/trip.py").run()
    assert not at.exception
    assert "The link was not read" in said(at)
    assert fuel(at)


def test_faults_stand_on_the_page_and_nothing_is_worked_out() -> None:
    at = opened()
    field(at, "Waves").set_value("3").run()
    assert not at.exception
    text = said(at)
    assert "1 fault in this trip: nothing is worked out." in text
    assert not at.metric
    assert "lacks a unit" in at.table[0].value.to_string()
    field(at, "Waves").set_value("3 ft").run()
    assert at.metric


def test_the_text_of_the_trip_can_be_edited_whole() -> None:
    at = opened()
    words = at.text_area[0].value
    at.text_area[0].set_value(words.replace('"14 mi"', '"9 mi"')).run()
    assert not at.exception
    nine = fuel(at)
    at.text_area[0].set_value("this is no trip [").run()
    assert not at.exception
    assert "nothing is worked out" in said(at)
    at.text_area[0].set_value(words).run()
    assert fuel(at) != nine


def test_another_trip_that_fits_this_boat() -> None:
    at = opened()
    assert set(tripfields.fitting(NUMBER_FOUR)) == set(demo_trips())
    at.button(key="trip-banks_and_back").click().run()
    assert not at.exception
    assert "The banks and back takes" in said(at)
    assert tripfields.fitting(read_boat(demo_boats()["number_one"])) != list(demo_trips())


def test_what_if() -> None:
    plan = read_trip(FIRST, NUMBER_FOUR)
    faster = changed(plan, 3.0, "rough")
    assert [run.weather.wave_height_m for run in faster.runs] == [1.2, 1.2, 1.2]
    assert faster.runs[1].pace.value == plan.runs[1].pace.value + 3.0
    assert faster.runs[0].pace == plan.runs[0].pace  # at best mileage it stays
    assert changed(plan, 0.0, "as planned") == plan
    at = opened()
    at.select_slider(key="trip-sea").set_value("rough").run()
    assert not at.exception
    assert len(at.metric) == 12


def test_runs_through_the_editor_and_back() -> None:
    for path in demo_trips().values():
        raw = triptext.raw_of(path.read_text(encoding="utf-8"))
        assert raw is not None
        assert triptext.runs_of(triptext.runs_frame(raw)) == raw["runs"]


@pytest.mark.parametrize("name", sorted(demo_boats()))
def test_every_boat_has_an_answer(name: str) -> None:
    at = opened(boat=name)
    assert not at.error
    assert fuel(at) != "none"
