"""Sea trials as evidence: measured boats fitted on part of their rows and asked for the rest, and kept coverage."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.results import RESULTS_VERSION
from perf.base.tables import read_table
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.log.demos import demo_logs
from perf.boat.log.file import read_log
from perf.boat.log.steady import steady_runs
from perf.studies.trial.blind import blind, mean_of
from perf.studies.trial.coverage import coverage
from perf.studies.trial.measured import loaded_trials, measured_trials

Array = NDArray[np.float64]

SIMULATED = "simulated"
DEMO, DEMO_LOG = "number_four", "number_four_morning"
REPEATS = 500
KEPT = "trial_coverage.csv"


def trial_tables(long: bool, draws: int) -> dict[str, pd.DataFrame]:
    """Tables trials, trials_in_short and trial_coverage; long works the last out anew, some minutes."""
    trials = trial_table(draws)
    covered = trial_coverage() if long else kept_coverage()
    return {"trials": trials, "trials_in_short": trials_in_short(trials), "trial_coverage": covered}


def trial_table(draws: int) -> pd.DataFrame:
    """Every blind question: set, use, then the columns of perf.studies.trial.blind.

    The demo log is worked out by these methods: it says what the fit is worth, nothing of the methods.
    """
    boat = read_boat(demo_boats()[DEMO])
    runs = steady_runs(read_log(demo_logs()[DEMO_LOG])).runs
    demo = blind(boat, runs, draws=draws)
    demo.insert(0, "set", DEMO_LOG)
    demo.insert(1, "use", SIMULATED)
    return mean_of([measured_trials(draws), loaded_trials(draws), demo])


def trials_in_short(table: pd.DataFrame) -> pd.DataFrame:
    """By use and reading: sets, readings asked for, mean size of error before and after, share inside."""
    asked = table[table["blind_runs"].notna()]
    lines = []
    for (use, reading), some in asked.groupby(["use", "blind_reading"], sort=True):
        weight = some["blind_runs"].to_numpy(dtype=float)
        lines.append(
            {
                "use": use,
                "blind_reading": reading,
                "sets": some["set"].nunique(),
                "blind_runs": int(weight.sum()),
                **{
                    name: _mean(some[name].to_numpy(dtype=float), weight)
                    for name in ("error_before", "error_after", "blind_inside")
                },
            }
        )
    return pd.DataFrame(lines)


def _mean(values: Array, weight: Array) -> float:
    """The mean over readings, of those there are."""
    known = np.isfinite(values)
    return float(np.average(values[known], weights=weight[known]))


def trial_coverage(repeats: int = REPEATS, seed: int = 1) -> pd.DataFrame:
    """How often the band of a simulated trial holds the truth; see perf.studies.trial.coverage.

    Columns figure, repeats, inside, share, left, told, results (the version they were worked out at).
    """
    boat = read_boat(demo_boats()[DEMO])
    return coverage(boat, repeats, seed).assign(results=RESULTS_VERSION)


def kept_coverage() -> pd.DataFrame:
    """The long run as it was kept by tests/write_coverage.py."""
    table = read_table(KEPT)
    counts = {name: table.numbers(name).astype(int) for name in ("repeats", "inside")}
    return pd.DataFrame(
        {
            "figure": table.texts("figure"),
            **counts,
            "share": counts["inside"] / counts["repeats"],
            "left": [float(text or "nan") for text in table.texts("left")],
            "told": [row["told"] == "True" for row in table.rows],
            "results": table.texts("results"),
        }
    )
