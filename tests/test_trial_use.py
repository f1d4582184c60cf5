"""A boat as tried, put to use on every page: her own file from then on, demo candidates and trip kept."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from perf.base.respell import in_units
from perf.base.results import Result
from perf.base.units import show
from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats, demo_candidates, demo_duties
from perf.boat.log.demos import demo_logs
from perf.boat.log.file import read_log
from perf.boat.parts import Boat
from perf.boat.scenario.file import read_scenario
from perf.boat.scenario.parts import Scenario
from perf.boat.trialtable import same_but_trial, with_trial
from perf.faces.dashboard import answers, saving, triptext
from perf.studies.trial.plan import plan
from perf.studies.trial.study import fit_trial
from perf.studies.trial.tape import weigh_by_tape
from perf.studies.trial.weighing import example

ROOT = Path(__file__).parents[1]
PAGES = "perf/faces/dashboard/pages/"
FOUR = demo_boats()["number_four"].read_bytes()
SKIFF = (ROOT / "tests" / "data" / "tiller_skiff_15ft.toml").read_bytes()
NOT_USED = "it is not used yet"
MADE_UP = "Made up by this page, not yours: the candidates and the season."


@cache
def tried_text() -> bytes:
    return with_trial(
        FOUR, fit_trial(read_boat(FOUR), read_log(demo_logs()["number_four_morning"]))
    )


@cache
def planned(boat: Boat) -> Result:
    return plan(boat)


def opened(page: str = "trial", **address: str) -> AppTest:
    at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=240)
    for key, value in address.items():
        at.query_params[key] = value
    at.run()
    return turn(at, page)


def turn(at: AppTest, page: str) -> AppTest:
    at.switch_page(f"{PAGES}{page}.py").run()
    assert not at.exception
    return at


def press(at: AppTest, key: str) -> None:
    next(button for button in at.button if button.key == key).click().run()
    assert not at.exception


def give(at: AppTest, content: bytes) -> None:
    at.file_uploader[0].set_value(("mine.toml", content, "application/toml")).run()
    assert not at.exception


def said(at: AppTest) -> str:
    kinds = ("markdown", "caption", "warning", "success", "error", "code")
    words = "\n".join(str(e.value) for kind in kinds for e in getattr(at, kind))
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", words).replace("\u2060", "")


def top(at: AppTest) -> str:
    return next(m.value for m in at.metric if m.label == "Top speed")


def held(kept: list[Scenario], found: Scenario) -> Scenario:
    kept.append(found)
    return found


# --- used on every page --------------------------------------------------------------------------------


def test_a_log_is_used_on_every_page_at_one_press_and_outlives_a_reload() -> None:
    at = opened("how_she_runs")
    before = top(at)
    turn(at, "trial")
    assert NOT_USED not in said(at)  # nothing was read
    press(at, "trial-demo-number_four_morning")
    assert NOT_USED in said(at)
    assert top(turn(at, "how_she_runs")) == before  # read, and really not used
    turn(at, "trial")
    press(at, "use-tried")
    assert not at.error and NOT_USED not in said(at)
    assert "Every page now uses Number Four as tried" in said(at)
    own = at.session_state["_own"]
    assert own.content.startswith(FOUR) and same_but_trial(own.content, FOUR)
    assert read_boat(own.content) == own.boat and own.boat.trial.drag == pytest.approx(
        1.12, abs=0.06
    )
    after = top(turn(at, "how_she_runs"))
    assert after != before and "number_four_tried.toml" in said(at)

    uploaded = opened("how_she_runs")
    give(uploaded, own.content)
    assert top(uploaded) == after  # exactly as if that file had been given
    address = {k: v[0] if isinstance(v, list) else v for k, v in dict(at.query_params).items()}
    again = opened("how_she_runs", **address)
    assert top(again) == after
    assert again.session_state["_own"].content == own.content


def test_all_of_it_saved_holds_her_as_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    kept: list[Scenario] = []
    whole = saving.everything
    monkeypatch.setattr(saving, "everything", lambda: held(kept, whole()))
    at = opened()
    press(at, "trial-demo-number_four_morning")
    press(at, "use-tried")
    _, content, left_out = saving.saved(kept[-1])
    assert not left_out
    assert (
        read_scenario(content, name="all").boat.filed().trial == at.session_state["_own"].boat.trial
    )


def test_another_log_than_the_one_in_her_file_is_not_used_yet() -> None:
    at = opened()
    give(
        at,
        with_trial(FOUR, fit_trial(read_boat(FOUR), read_log(demo_logs()["number_four_morning"]))),
    )
    press(at, "trial-demo-number_four_morning")
    assert NOT_USED not in said(at)
    log = b"rpm,speed (mph),fuel (gph)\n2000,8,2\n4000,24,9\n5200,34,17\n"
    uploader = next(one for one in at.get("file_uploader") if one.key == "trial-file")
    uploader.set_value(("other.csv", log, "text/csv")).run()
    assert not at.exception and NOT_USED in said(at)


def test_a_file_that_cannot_take_the_trial_says_why_and_changes_nothing() -> None:
    at = opened()
    give(at, FOUR.replace(b"\n[hull]", b"\ntrial = { drag = 1.05 }\n[hull]", 1))
    if "_refused" in at.session_state:
        pytest.fail("the reader refuses this form now: find another")
    own = at.session_state["_own"].content
    press(at, "trial-demo-number_four_morning")
    press(at, "use-tried")
    assert any("cannot be used as tried" in error.value for error in at.error)
    assert at.session_state["_own"].content == own and NOT_USED in said(at)


# --- candidates, season, trip ----------------------------------------------------------------------------


def test_a_demo_boat_as_tried_keeps_her_candidates_season_and_trip() -> None:
    at = opened("trip")
    trip = at.session_state[triptext.TEXT]
    give(turn(at, "repower"), tried_text())
    assert at.session_state["_own"].content == tried_text()
    assert at.session_state["_weigh_candidates"] == demo_candidates()["number_four"].read_text()
    season = demo_duties()["number_four"].read_text(encoding="utf-8")
    assert at.session_state["_weigh_duty"] == in_units(season, "us")
    assert at.session_state[triptext.TEXT] == trip
    assert MADE_UP not in said(at)


def test_candidates_edited_before_she_is_used_as_tried_are_kept() -> None:
    at = opened("repower")
    area = at.text_area[0]
    area.set_value(area.value.replace('"four-stroke-250"', '"four-stroke-200"')).run()
    changed = at.session_state["_weigh_candidates"]
    assert changed != demo_candidates()["number_four"].read_text()
    turn(at, "trial")
    press(at, "trial-demo-number_four_morning")
    press(at, "use-tried")
    turn(at, "repower")
    assert at.session_state["_weigh_candidates"] == changed


def test_a_boat_for_which_nobody_gave_candidates_is_told_so_until_they_are_given() -> None:
    at = opened("repower")
    assert MADE_UP not in said(at)
    give(at, SKIFF)
    assert any(MADE_UP in re.sub(r"\\", "", warning.value) for warning in at.warning)
    season = at.text_area[1]
    season.set_value(season.value.replace("trips = 40", "trips = 41")).run()
    assert not at.exception and MADE_UP not in said(at)
    assert "not yours: the candidates." in said(at)
    turn(at, "report")
    next(box for box in at.checkbox if box.label == "Which engine").check().run()
    assert not at.exception and "not yours: the candidates." in said(at)


def test_the_same_file_but_for_the_trial_is_told_from_another() -> None:
    assert answers.demo_under(tried_text()) == answers.demo_under(FOUR) == "number_four"
    assert answers.demo_under(tried_text().replace(b"\n", b"\r\n")) == "number_four"
    other = tried_text().replace(b'"Number Four"', b'"Number Forty"', 1)
    assert other != tried_text() and answers.demo_under(other) == ""
    assert answers.demo_under(SKIFF) == answers.demo_under(b"\xff[") == ""


# --- the plan ---------------------------------------------------------------------------------------------


def test_a_boat_without_a_cruise_is_told_that_there_is_none() -> None:
    six = read_boat(demo_boats()["number_six"])
    result = planned(six.at(load="party"))
    answer = result.answer.spoken("us")
    assert "has no planing cruise" in answer and "± 0.0" not in answer and "gal/h" not in answer
    rows = result.tables["rows"]
    assert rows["cruise_burn_band_lph"].isna().all() and rows["top_speed_band_mps"].notna().all()
    # what is taken of the doubt is that of the top speed alone: nothing is gained by an answer she has not
    before = float(re.search(r"from ± ([\d.]+) mph", answer).group(1))  # type: ignore[union-attr]
    left = float(re.search(r"to ± ([\d.]+) mph", answer).group(1))  # type: ignore[union-attr]
    assert rows["doubt_taken"].iloc[-1] == pytest.approx(1.0 - left / before, abs=0.02)
    assert "no planing cruise" not in planned(six.at(load="alone")).answer.spoken("us")
    at = opened(boat="number_six", load="party")
    assert "has no planing cruise" in said(at) and "± 0.0" not in said(at)


def test_the_plan_follows_what_is_set_on_the_page_and_the_fit_says_it_does_not() -> None:
    four = read_boat(FOUR)
    set_so = changes.with_pitch(four.at(load="alone"), changes.read_pitch("17 in"))
    wanted = planned(set_so)
    at = opened(load="alone", pitch="17 in")
    assert wanted.shown("us").answer in said(at)
    assert "as set on the page, not as filed" in said(at) and "17 in" in said(at)
    rpm = wanted.tables["rows"]["expected_rpm"].iloc[0]
    assert rpm != pytest.approx(
        planned(four.at(load="alone")).tables["rows"]["expected_rpm"].iloc[0]
    )
    press(at, "trial-demo-number_four_morning")
    assert "power, pitch and fuel set on the page play no part in the fit" in said(at)
    bare = opened(load="alone")
    assert "not as filed" not in said(bare)
    press(bare, "trial-demo-number_four_morning")
    assert "play no part" not in said(bare)


# --- the tape ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("name", list(demo_boats()))
def test_the_example_is_of_her_own_loads_and_measures(name: str, units: str) -> None:
    text = demo_boats()[name].read_bytes()
    bare = read_boat(text)
    boat = read_boat(text + b"\n" + example(bare, units).encode(), name=name)
    assert {mark.load for mark in boat.freeboard} == {bare.load_names[0]}
    for mark in boat.freeboard[:2]:
        assert mark.above_m == pytest.approx(bare.hull.transom_height_m, abs=0.004)
    taped = weigh_by_tape(boat, draws=0)
    # her own heights weigh her as listed, to what a quarter of an inch on the tape makes
    assert taped.mass_kg[0] == pytest.approx(taped.listed_mass_kg, rel=0.02)


def test_the_page_shows_the_example_of_the_boat_that_is_looked_at() -> None:
    name = "all é up".encode()
    renamed = SKIFF.replace(b'= "all-up"', b'= "%s"' % name).replace(b"all-up =", b'"%s" =' % name)
    at = opened()
    give(at, renamed)
    boat = at.session_state["_own"].boat
    (shown,) = [code.value for code in at.code if "[freeboard]" in code.value]
    assert shown.strip() == example(boat, "us").strip()
    assert f'load = "{boat.load_names[0]}"' in shown
    assert show(boat.hull.transom_height_m, "length", "us", 2) in shown
