"""Hints, blind predictions and measured boats: what a misfit looks like, and what the fit is worth."""

from __future__ import annotations

from functools import cache

import numpy as np
import pandas as pd
import pytest

from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.log.demos import demo_logs
from perf.boat.log.file import read_log
from perf.boat.log.runs import SteadyRuns
from perf.boat.log.steady import steady_runs
from perf.boat.parts import Boat
from perf.studies.evidence.scores import HELD_BACK, split
from perf.studies.sweeps import sweep_boats
from perf.studies.trial.blind import blind
from perf.studies.trial.fit import fit
from perf.studies.trial.judge import CAUSES, MOST_HINTS, hints, misfit_before
from perf.studies.trial.measured import (
    SETS,
    loaded_trials,
    measured_boats,
    measured_runs,
    measured_trials,
)
from perf.studies.trial.model import Tried

PACE = np.array([0.2, 0.33, 0.45, 0.55, 0.67, 0.78, 0.89, 1.0])


@cache
def boat() -> Boat:
    return read_boat(demo_boats()["number_four"])


@cache
def top() -> float:
    return float(sweep_boats(boat()).top.speed_mps[0])


def log(moves: dict[str, float], rpm: float = 1.0, speed: float = 1.0) -> SteadyRuns:
    """A clean log of a boat that is off in one way, read by a tachometer or a speed that is off."""
    arrays = {name: np.array([move]) for name, move in moves.items()}
    grid = np.linspace(0.5, 1.3, 81) * top()
    ratio = Tried.at(boat(), SteadyRuns.of(grid)).readings(arrays, grid[None, :]).power_ratio[0]
    known = np.isfinite(ratio)
    fast = float(np.interp(1.0, ratio[known], grid[known]))
    true = PACE * fast
    seen = Tried.at(boat(), SteadyRuns.of(true)).readings(arrays, true[None, :])
    return SteadyRuns.of(
        true * speed,
        engine_rpm=seen.engine_rpm[0] * rpm,
        fuel_lph=seen.fuel_lph[0],
        full_throttle=PACE == 1.0,
    )


@pytest.mark.parametrize(
    ("moves", "meters", "words"),
    [
        ({"assumed.trial_pitch": -0.1}, {}, "propeller slips more"),
        ({"assumed.trial_pitch": 0.1}, {}, "propeller holds better"),
        ({"assumed.trial_drag": 0.3}, {}, "hull drags more"),
        ({"assumed.trial_weight": 0.3}, {}, "heavier than listed"),
        ({"assumed.trial_fuel_slope": 0.25}, {}, "burns more for its power"),
        ({"assumed.trial_fuel_slope": -0.2}, {}, "burns less for its power"),
        ({"assumed.power_tolerance": -0.2}, {}, "less power than rated"),
        ({}, {"rpm": 1.09}, "rpm is read too high"),
        ({}, {"speed": 0.88}, "speed is read too low"),
    ],
    ids=lambda value: str(value),
)
def test_the_true_cause_stands_among_the_first_two(
    moves: dict[str, float], meters: dict[str, float], words: str
) -> None:
    """Two causes may look alike (drag and weight, pitch and tachometer): hints, not findings."""
    found = fit(boat(), log(moves, **meters))
    table = hints(found)
    assert any(words in said for said in table["hint"][:2]), table[["hint", "explains"]]
    assert table["explains"].is_monotonic_decreasing
    assert len(table) <= MOST_HINTS and table["explains"].iloc[0] > 0.7


def test_the_size_of_a_cause_is_told() -> None:
    table = hints(fit(boat(), log({"assumed.trial_fuel_slope": 0.25})))
    assert table["hint_size"].iloc[0] in ("by 24 %", "by 25 %", "by 26 %")


def test_a_log_the_file_explains_has_no_hints() -> None:
    found = fit(boat(), log({}))
    assert misfit_before(found) < 1.0 and hints(found).empty


def test_every_cause_is_told_in_words_of_the_trade() -> None:
    for cause in CAUSES:
        assert cause.inputs[0][1] < 0.0 < cause.inputs[0][2]
        assert len(cause.look) <= 78  # fits a terminal beside its share and size


# --- blind ---------------------------------------------------------------------------------------------


def test_fitted_light_and_asked_for_heavy() -> None:
    runs = steady_runs(read_log(demo_logs()["number_four_morning"])).runs
    table = blind(boat(), runs, draws=60)
    assert list(dict.fromkeys(table["blind"])) == [
        "every other run, from the slowest",
        "every other run, from the second",
        "load alone, asked for charter",
    ]
    for row in table.itertuples():
        assert row.error_after < 0.6 * row.error_before
        assert row.error_after < (0.03 if row.blind_reading == "rpm" else 0.08)


def test_a_log_too_short_to_part_has_no_blind_table() -> None:
    assert blind(boat(), SteadyRuns.of(np.array([10.0]), engine_rpm=np.array([4000.0]))).empty


@cache
def measured() -> pd.DataFrame:
    return measured_trials(draws=60)


@pytest.mark.timeout(300)
def test_every_measured_set_with_enough_columns_goes_through() -> None:
    table = measured()
    print("\n" + table.to_string(index=False))
    runs, boats = measured_runs(), measured_boats()
    assert set(table["set"]) == set(boats) == {name for name, _, _ in SETS}
    for row in table.itertuples():
        own = f"{row.set}.fuel" if row.blind_reading == "burn" else row.set
        assert row.use == split().get(own, split()[row.set]), row
    enough = {name for name in boats if runs[name].count >= 2}
    assert enough <= set(table.loc[table["error_after"].notna(), "set"])


@pytest.mark.timeout(300)
def test_held_back_boats_are_predicted_better_after_the_fit() -> None:
    table = measured()
    held = table[(table["use"] == HELD_BACK) & table["error_after"].notna()]
    assert len(held) >= 4
    rpm = held[held["blind_reading"] == "rpm"]
    weight = rpm["blind_runs"] / rpm["blind_runs"].sum()
    assert float((weight * rpm["error_after"]).sum()) < 0.5 * float(
        (weight * rpm["error_before"]).sum()
    )
    assert float((weight * rpm["blind_inside"]).sum()) >= 0.6


def test_measured_boats_fitted_light_are_asked_for_heavy() -> None:
    """One top speed at the lightest load, those at the heavier ones asked for; the errors are only printed."""
    table = loaded_trials(draws=20)
    print("\n" + table.to_string(index=False))
    assert set(table["set"]) == {"T8 T9 T10 T11", "T6 T7"}
    assert list(table["use"]) == [HELD_BACK] * 2
    assert table["blind_runs"].sum() == 4
    assert table[["error_before", "error_after", "blind_inside"]].notna().all(axis=None)
