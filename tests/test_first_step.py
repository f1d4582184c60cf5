"""The page in two steps: curves and sentence as stated at once, bands after; and the searches behind the haste."""

import re

import numpy as np
import pytest
import streamlit as st
from fleets import random_lanes
from test_dashboard import app, field, metrics, texts

from perf.base import roots
from perf.base.roots import Start, find_roots
from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.faces.dashboard import answers, parts
from perf.faces.dashboard.running import FOUR
from perf.solve.afloat import Afloat
from perf.solve.hump import sweep_speeds
from perf.solve.performance import points, speed_bound, top_speed
from perf.studies.speeds import as_stated, first_answer, speeds, whole_answer
from perf.studies.sweeps import miles_per_hour, sweep_boats

BOAT = read_boat(demo_boats()["number_four"])
TURNED = changes.with_pitch(BOAT, changes.read_pitch("16 in"))


def test_the_first_step_is_the_whole_answer_without_its_bands() -> None:
    known = as_stated(BOAT)
    first, whole = first_answer(known), whole_answer(known, 40, 1)
    rows, full = first.tables["rows"], whole.tables["rows"]
    assert rows.equals(full[list(rows.columns)])
    ends = [name for name in full.columns if name not in rows.columns]
    assert ends and all(name.endswith(("_p10", "_p90")) for name in ends)
    drawn = {"will_plane", "reasons"}
    assert all(first.summary[name] == whole.summary[name] for name in {*first.summary} - drawn)
    assert not any(name.endswith(("_p10", "_p90")) for name in first.summary)
    assert all(line.band is None for plot in first.plots for line in plot.lines)
    said, told = (one.shown("us").answer for one in (first, whole))
    assert "times in 100" not in said
    assert told.startswith(said.removesuffix("."))
    assert "times in 100" in told.removeprefix(said.removesuffix("."))


def test_in_two_steps_or_in_one_it_is_one_answer() -> None:
    assert whole_answer(as_stated(BOAT), 30, 2).as_json("us") == speeds(
        BOAT, draws=30, seed=2
    ).as_json("us")


def test_one_call_for_sweep_and_rows_changes_nothing() -> None:
    known, alone = as_stated(BOAT), sweep_boats(BOAT)
    assert np.array_equal(known.sweep.points.trim_deg, alone.points.trim_deg, equal_nan=True)
    # where the search for top speed begins differs; where it ends may not
    assert known.sweep.top.speed_mps == pytest.approx(alone.top.speed_mps, rel=1e-9)
    assert known.sweep.top.engine_rpm == pytest.approx(alone.top.engine_rpm, rel=1e-9)
    top = float(alone.top.speed_mps[0])
    assert np.array_equal(known.rows.speed_mps[0], miles_per_hour(top))


def test_while_the_bands_are_on_their_way_no_band_is_seen(monkeypatch) -> None:
    """The page halted where the draws begin: new figures, new sentence, and no band, old or new."""
    at = app()
    answers.forget()
    monkeypatch.setattr(answers, "whole_answer", lambda *rest: st.stop())
    field(at, "Propeller pitch").set_value("16 in").run()
    assert not at.exception
    first = first_answer(as_stated(TURNED))
    assert metrics(at) == [parts.figure(first.summary, name, "us")[:2] for name in FOUR]
    said = texts(at)
    assert first.shown("us").answer in said
    assert parts.WAITING_WORDS in said
    assert "times in 100" not in said
    assert said.count(parts.BAND_COMES) == len(FOUR)
    assert not re.search(r"^\d[\d,.]* to \d", said, re.MULTILINE)
    assert not at.dataframe
    chart = at.get("arrow_vega_lite_chart") or at.get("vega_lite_chart")
    assert chart and "10 to 90" not in chart[0].proto.spec
    monkeypatch.undo()
    at.run()
    whole = speeds(TURNED)
    assert whole.shown("us").answer in texts(at)
    assert parts.WAITING_WORDS not in texts(at) and parts.BAND_COMES not in texts(at)


# --- searches that begin near ---------------------------------------------------------------------


def cubic(x: np.ndarray, at: np.ndarray) -> np.ndarray:
    return (x - at) * (1.0 + (x - at) * (x - at))


def started(residual, at: np.ndarray, first: np.ndarray, slope: float = 1.0) -> roots.Roots:
    low, high = np.zeros(at.size), np.full(at.size, 10.0)
    return find_roots(
        residual, low, high, (at,), tolerance=1e-10, start=Start(first, np.full(at.size, slope))
    )


@pytest.mark.parametrize("slope", [1.0, 0.01, 100.0, np.inf, np.nan, -3.0, 0.0])
@pytest.mark.parametrize("off", [0.0, 1e-9, 0.3, -4.0, 40.0, np.nan])
def test_a_start_however_bad_leads_to_the_root(off: float, slope: float) -> None:
    at = np.linspace(0.5, 9.5, 40)
    found = started(cubic, at, at + off, slope)
    assert found.found.all()
    assert found.x == pytest.approx(at, abs=1e-9)


def test_no_root_within_is_said_so() -> None:
    at = np.array([-1.0, 11.0, 5.0, 0.0, 10.0])
    found = started(cubic, at, np.full(5, 5.0))
    assert found.found.tolist() == [False, False, True, True, True]
    assert np.isnan(found.x[:2]).all()
    assert found.evaluations.max() <= roots.STEPS


def test_a_jump_is_no_root_and_a_corner_is_one() -> None:
    low, high = np.zeros(2), np.full(2, 10.0)
    start = Start(np.full(2, 3.0), np.ones(2))

    def jumps(x: np.ndarray, at: np.ndarray) -> np.ndarray:
        return np.where(x < at, -1.0, 1.0) + 1e-3 * x

    at = np.array([4.0, 7.3])
    assert not find_roots(jumps, low, high, (at,), jump=1e-4, start=start).found.any()

    def corner(x: np.ndarray, at: np.ndarray) -> np.ndarray:
        return np.where(x < at, 0.01 * (x - at), 50.0 * (x - at))

    found = find_roots(corner, low, high, (at,), start=start)
    assert found.x == pytest.approx(at, abs=1e-7)


def test_each_lane_goes_its_own_way() -> None:
    at = np.linspace(-0.5, 10.5, 50)
    first = np.linspace(9.0, 1.0, 50)
    crowd = started(cubic, at, first)
    for lane in range(50):
        alone = started(cubic, at[lane : lane + 1], first[lane : lane + 1])
        assert np.array_equal(alone.x, crowd.x[lane : lane + 1], equal_nan=True)
        assert alone.evaluations == crowd.evaluations[lane]


def test_the_haste_changes_no_answer(monkeypatch) -> None:
    """Boats settled, driven and brought to top speed from a start, and by the search over the whole bracket."""
    afloat = Afloat.of(random_lanes(60))
    speed = sweep_speeds(afloat, speed_bound(afloat.lanes))
    level = np.zeros((1, 1))
    quick = points(afloat, speed, level)
    top = top_speed(afloat, quick)
    monkeypatch.setattr(
        roots,
        "_steps",
        lambda residual, low, *rest: (
            np.full(low.size, np.nan), np.zeros(low.size, int), np.zeros(low.size, int)
        ),
    )  # fmt: skip
    slow = points(afloat, speed, level)
    assert np.array_equal(quick.status, slow.status)
    assert np.array_equal(quick.cautions, slow.cautions)
    for name in ("trim_deg", "thrust_n", "engine_rpm", "fuel_lph"):
        assert getattr(quick, name) == pytest.approx(
            getattr(slow, name), rel=2e-7, nan_ok=True
        )  # the whole search stops at 1e-8 of a degree
    assert top.speed_mps == pytest.approx(top_speed(afloat, slow).speed_mps, rel=1e-6)
