"""Is the band of a trial honest: 120 boats drawn from the stated doubts, logs with the meters' noise.

The printed table is the evidence; `coverage` with 500 repeats is the long run of it.
"""

from __future__ import annotations

import time

import pandas as pd
import pytest

from perf.base.results import RESULTS_VERSION
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.parts import Boat
from perf.studies.evidence import trials
from perf.studies.evidence.trials import REPEATS, kept_coverage
from perf.studies.trial.coverage import coverage
from perf.studies.trial.trust import Trust

LOW, HIGH = 0.70, 0.90
TOLD = 0.8  # of whose doubt less than this is left


@pytest.mark.timeout(600)
@pytest.mark.parametrize(
    ("name", "trust", "repeats", "slack"),
    [
        ("number_four", Trust.meters_alone(), 120, 0.0),
        ("number_four", Trust.usual(), 24, 0.12),  # one and a half standard deviations of so few
    ],
    ids=["noise of the meters alone", "as assumed of a real log"],
)
def test_eight_bands_in_ten_hold_the_truth(
    name: str, trust: Trust, repeats: int, slack: float
) -> None:
    began = time.process_time()
    table = coverage(read_boat(demo_boats()[name]), repeats, seed=1, trust=trust)
    print(f"\n{table.to_string(index=False)}\n{time.process_time() - began:.0f} CPU s")
    told = table[table["left"].isna() | (table["left"] < TOLD)]
    assert {"top speed", "cruise burn", "trial_drag", "trial_fuel_slope"} <= set(told["figure"])
    for row in told.itertuples():
        assert LOW - slack <= row.share <= HIGH + slack, row.figure


def test_the_same_seed_gives_the_same_table() -> None:
    boat = read_boat(demo_boats()["number_four"])
    one, other = (coverage(boat, 3, seed=4, draws=20) for _ in range(2))
    assert one.equals(other)


# --- the long run ----------------------------------------------------------------------------------------


def test_the_kept_long_run_holds_eight_in_ten_of_every_told_figure() -> None:
    """500 repeats, written by tests/write_coverage.py; between 75 and 85 in 100."""
    table = kept_coverage()
    assert set(table["repeats"]) == {REPEATS} == {500}
    told = table[table["told"]]
    assert {"top speed", "cruise burn", "trial_drag", "trial_fuel_slope"} <= set(told["figure"])
    assert told["share"].between(0.75, 0.85).all(), told


def test_the_long_evidence_works_the_repeats_out_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def few(boat: Boat, repeats: int, seed: int) -> pd.DataFrame:
        asked.append(repeats)
        return coverage(boat, 3, seed, draws=20)

    monkeypatch.setattr(trials, "coverage", few)
    monkeypatch.setattr(trials, "trial_table", lambda draws: pd.DataFrame({"blind_runs": []}))
    monkeypatch.setattr(trials, "trials_in_short", lambda table: table)
    short, long = (
        trials.trial_tables(which, draws=20)["trial_coverage"] for which in (False, True)
    )
    assert asked == [500]
    assert set(long["repeats"]) == {3} and set(long["results"]) == {RESULTS_VERSION}
    assert list(long.columns) == list(short.columns)
