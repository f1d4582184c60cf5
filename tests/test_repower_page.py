"""The page that weighs engines, without a browser: it answers untouched, follows what is set, refuses in words."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import pytest
from browser_help import banned_in
from streamlit.testing.v1 import AppTest

from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.choice.duty import read_duty
from perf.boat.choice.file import read_candidates
from perf.boat.choice.starter import candidates_text, duty_text, write_tables
from perf.faces.dashboard import weighed, weighfields
from perf.faces.dashboard.weightext import value_of, word
from perf.studies.repower.study import repower

ROOT = Path(__file__).parents[1]
PAGE = "perf/faces/dashboard/pages/repower.py"
NAMES = tuple(demo_boats())


def opened(**address: str) -> AppTest:
    at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=240)
    for key, value in address.items():
        at.query_params[key] = value
    at.run()
    at.switch_page(PAGE).run()
    assert not at.exception
    return at


def said(at: AppTest) -> str:
    kinds = ("title", "header", "subheader", "markdown", "caption", "error", "warning")
    words = [str(e.value) for kind in kinds for e in getattr(at, kind)]
    words += [f"{m.label} {m.value}" for m in at.metric]
    words += [e.label for kind in ("text_input", "expander") for e in getattr(at, kind)]
    for table in at.table:
        words += [*table.value.columns, *table.value.astype(str).to_numpy().ravel().tolist()]
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", "\n".join(words)).replace("\u2060", "")


def asked(name: str) -> tuple:
    boat = read_boat(demo_boats()[name])
    found = read_candidates(candidates_text(boat, name).encode(), boat)
    return boat, found, read_duty(duty_text(boat, name, "us").encode(), boat)


def test_the_page_answers_before_it_is_touched_and_says_what_the_study_says() -> None:
    at = opened()
    result = repower(*asked("number_four"), draws=100)
    text = said(at)
    assert result.shown("us").answer in text
    assert "Side by side" in text
    assert "net present value" in text
    assert banned_in(text) == []
    wanted = [result.shown("us").summary(name).split(" (")[0] for name in weighed.FOUR[1:]]
    assert [m.value for m in at.metric][1:4] == wanted
    # at most five inputs stand above the first figure: what is wanted most alone
    assert len(at.get("button_group")) <= 5


def test_another_purpose_is_another_answer_in_other_units() -> None:
    at = opened(units="metric")
    at.get("button_group")[-1].set_value("money").run()
    assert not at.exception
    assert "By money over the years" in said(at)
    assert " L" in said(at)


def test_a_fault_in_the_text_is_said_in_words_and_mended() -> None:
    at = opened()
    area = at.text_area[0]
    good = area.value
    area.set_value(good.replace('"four-stroke-250"', '"four-stroke-251"')).run()
    assert not at.exception
    text = said(at)
    assert "1 fault in these candidates: nothing is worked out." in text
    assert "did you mean four-stroke-2" in text
    at.text_area[0].set_value(good).run()
    assert "ranks first of 5" in said(at)


@pytest.mark.parametrize("name", NAMES)
def test_every_boat_has_something_to_begin_with(name: str) -> None:
    _, candidates, duty = asked(name)
    assert len(candidates.choices) >= 3
    assert all(c.boat.tank.fuel for c in candidates.choices)
    assert len(duty.runs) >= 3
    if name not in ("number_four", "number_eight"):
        assert all(
            c.costs.price is None for c in candidates.choices
        )  # nothing monetary is invented


def test_tables_and_texts_say_the_same() -> None:
    """What the tables show goes back into the texts unchanged; what they do not show is kept."""
    import tomllib

    boat = read_boat(demo_boats()["number_four"])
    raw = tomllib.loads(candidates_text(boat, "number_four"))
    frame = weighfields._candidate_frame(raw)
    assert weighfields._candidates_of(frame, raw) == raw
    duty = tomllib.loads(duty_text(boat, "number_four"))
    rows = [
        {"run": n} | {k: word(r.get(k)) for k in weighfields.RUNS} for n, r in duty["runs"].items()
    ]
    assert (
        weighfields._runs_of(weighfields._frame(rows, ["run", *weighfields.RUNS])) == duty["runs"]
    )
    frame.loc[1, "price"] = "25000"
    frame.loc[2, "count"] = "2"
    changed = weighfields._candidates_of(frame, raw)
    assert changed["candidates"]["a new 225"]["price"] == 25000
    assert changed["candidates"]["a new 250"]["engine"]["count"] == 2
    assert (
        changed["candidates"]["twin 115s"]["rigging"] == raw["candidates"]["twin 115s"]["rigging"]
    )
    assert changed["rules"] == raw["rules"]
    again = read_candidates(write_tables(changed).encode(), boat)
    assert again.choices[1].costs.price == 25000.0
    assert again.choices[2].boat.engine.count == 2


def test_words_of_cells() -> None:
    assert value_of("12", True) == 12
    assert value_of("12.5", True) == 12.5
    assert value_of("900 ± 300", True) == "900 ± 300"
    assert value_of("4 %", False) == "4 %"
    assert word(["a", "b"]) == "a | b"
    assert word(True) == "true"


def test_every_table_goes_into_one_archive_that_repeats() -> None:
    result = repower(*asked("number_four"), draws=0)
    data = weighed.tables_zip(result)
    assert data == weighed.tables_zip(result)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert {"candidates.csv", "money.csv", "rules.csv", "rows.csv"} <= set(archive.namelist())
        assert archive.read("candidates.csv").startswith(b"candidate,engine,propeller,rank")


def test_the_season_of_the_program_follows_the_units_and_a_persons_does_not() -> None:
    at = opened()
    texts = [a.value for a in at.text_area]
    assert any('distance = "16.11 mi ± 3.452 mi"' in " ".join(t.split()) for t in texts)
    assert not any("nmi" in t for t in texts)
    at.session_state["units"] = "nautical"
    at.run()
    assert not at.exception
    assert any('distance = "14 nmi ± 3 nmi"' in " ".join(a.value.split()) for a in at.text_area)
    area = next(a for a in at.text_area if "14 nmi" in a.value)
    area.set_value(area.value.replace("14 nmi", "13 nmi")).run()
    at.session_state["units"] = "us"
    at.run()
    assert any("13 nmi" in a.value for a in at.text_area)


def test_the_page_names_whom_a_caution_is_for_and_why_she_runs_otherwise() -> None:
    text = said(opened())
    assert "A 300 diesel: this is more power than the capacity plate allows." in text
    assert "First as the figures stand, with no difference to rely on: a new 225" in text
    assert text.count("so her figures differ from those of How she runs.") == 1
