"""The plan of a trial: runs ranked by what they would teach, held to fits that were really made."""

from __future__ import annotations

import re
import shutil
import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from perf.base.draws import EIGHT_IN_TEN, NINE_IN_TEN, standard_normal
from perf.base.results import Result
from perf.base.units import show
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.log.runs import SteadyRuns
from perf.boat.parts import Boat
from perf.faces.printed.trial_sheet import BLANKS, CONDITIONS, MARKS, save_trial_sheet, trial_sheet
from perf.studies.speeds import speeds
from perf.studies.sweeps import sweep_boats, sweep_draws
from perf.studies.trial.model import Tried
from perf.studies.trial.plan import plan
from perf.studies.trial.study import fit_trial


@cache
def boat() -> Boat:
    return read_boat(demo_boats()["number_four"])


@cache
def planned() -> Result:
    return plan(boat())


def test_each_further_run_teaches_less_and_none_is_taken_twice() -> None:
    rows = planned().tables["rows"]
    assert len(rows) == 8
    assert rows["doubt_taken"].is_monotonic_increasing
    assert rows["top_speed_band_mps"].is_monotonic_decreasing
    assert not rows.duplicated(["speed_mps", "load"]).any()
    assert rows["doubt_taken"].between(0.0, 1.0).all()


def test_full_throttle_comes_first_where_the_top_speed_is_doubtful() -> None:
    """A run flat out ties power to drag: nothing else does (own reasoning)."""
    assert "flat out" in planned().tables["rows"]["plan_run"].iloc[0]
    assert "flat out" in planned().answer.spoken("us")


def test_the_band_promised_is_about_the_band_a_fit_gives() -> None:
    rows = planned().tables["rows"]
    full = rows["plan_run"].str.contains("flat out").to_numpy()
    runs = SteadyRuns.of(rows["speed_mps"].to_numpy(), load=tuple(rows["load"]), full_throttle=full)
    seen = Tried.at(boat(), runs).readings({}, runs.speed_mps[None, :])
    noise = standard_normal(5, "plan", runs.count) / NINE_IN_TEN
    read = SteadyRuns.of(
        runs.speed_mps,
        load=runs.load,
        full_throttle=full,
        engine_rpm=seen.engine_rpm[0] + 50.0 * noise,
        fuel_lph=seen.fuel_lph[0] * (1.0 + 0.05 * noise[::-1]),
    )
    tried = boat().at(trial=fit_trial(boat(), read))
    stated = sweep_boats(tried)
    low, high = np.nanpercentile(sweep_draws(tried, stated, 200, 1).top.speed_mps, (10, 90))
    promised = float(rows["top_speed_band_mps"].iloc[-1])
    assert 0.5 * (high - low) == pytest.approx(promised, rel=0.8)
    before = speeds(boat(), draws=200).summary
    assert 0.5 * (high - low) < 0.6 * 0.5 * (
        before["top_speed_mps_p90"] - before["top_speed_mps_p10"]
    )
    assert pytest.approx(1.2816, abs=1e-4) == EIGHT_IN_TEN


def test_a_boat_that_was_tried_has_less_to_learn() -> None:
    rows = planned().tables["rows"]
    runs = SteadyRuns.of(
        rows["speed_mps"].to_numpy()[:1],
        load=tuple(rows["load"][:1]),
        full_throttle=np.array([True]),
    )
    seen = Tried.at(boat(), runs).readings({}, runs.speed_mps[None, :])
    read = SteadyRuns.of(
        runs.speed_mps, load=runs.load, full_throttle=np.array([True]),
        engine_rpm=seen.engine_rpm[0], fuel_lph=seen.fuel_lph[0],
    )  # fmt: skip
    tried = boat().at(trial=fit_trial(boat(), read))
    first = plan(tried).tables["rows"].iloc[0]
    assert first["top_speed_band_mps"] < 1.1 * rows["top_speed_band_mps"].iloc[0]
    assert first["doubt_taken"] < rows["doubt_taken"].iloc[0]


@pytest.mark.parametrize("name", ["number_one", "number_seven", "number_two"])
def test_other_boats_have_a_plan_too(name: str) -> None:
    result = plan(read_boat(demo_boats()[name]), most=3)
    assert len(result.tables["rows"]) == 3
    assert np.isfinite(
        result.tables["rows"][["expected_rpm", "expected_fuel_lph"]].to_numpy()
    ).all()


@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_sheet_has_every_run_and_room_to_write(units: str, tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    save_trial_sheet(planned(), path, units)
    assert path.read_bytes() == trial_sheet(planned(), units)  # the same plan, the same bytes
    if shutil.which("pdftotext") is None:
        pytest.skip("reads PDF with pdftotext")
    said = subprocess.run(["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True)
    text = re.sub(r"\s+", " ", said.stdout.decode("utf-8"))
    assert "page 1 of 1" in text
    for row in planned().tables["rows"].itertuples():
        assert f"{row.load}, {row.plan_run}"[:18] in text
        assert show(row.expected_rpm, "rotation", units, 0).split()[0] in text
    for words in (*BLANKS[:6], *(w for pair in CONDITIONS for w in pair), *MARKS):
        assert words.split()[0] in text
    assert "Caution." in text


def test_a_sheet_shows_nothing_but_a_plan(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="not speeds"):
        trial_sheet(speeds(boat(), draws=0), "us")
    with pytest.raises(ValueError, match=r"saved as \.pdf"):
        save_trial_sheet(planned(), tmp_path / "sheet.txt", "us")
