"""Measured boats through the same code: fit half of each owner's log, predict the other half.

Every set of the measured rows that has two readings or more, a power and a boat file goes through as it
stands: what the rows do not state is our own judgement with a wide doubt in her file. Where no pitch is
stated it is set so that she turns her rated rpm flat out, as for the other evidence.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pandas as pd

from perf.base.tables import read_table
from perf.base.units import to_si
from perf.boat.log.runs import SteadyRuns
from perf.boat.parts import Boat
from perf.studies.evidence.scores import Cases, read_checks, split
from perf.studies.trial.blind import blind, mean_of
from perf.studies.trial.fit import fit
from perf.studies.trial.model import untried

# sets of the rows, the boat file and load they belong to; rows of the same boat by their own words
SETS: tuple[tuple[str, str, str], ...] = (
    ("OW2", "ow2", "light"),
    ("OW3", "ow3", "two"),
    ("OW4", "ow4", "tested"),
    ("OW6", "ow6", "tested"),
    ("OW7", "ow7", "tested"),
    ("OW8", "ow8", "tested"),
    ("OW10", "ow10", "tested"),
    ("OW11", "ow11", "tested"),
    ("OW15", "ow15", "usual"),
    ("OW16", "ow16", "usual"),
    ("OW20", "ow20", "usual"),
)
FULL_WORDS = "WOT"  # in the note of a row: at full throttle


def measured_runs() -> dict[str, SteadyRuns]:
    """The rows of every set as steady runs, by set."""
    table = read_table("measured/onwater_rpm_speed_fuel.csv")
    found = {}
    for name in dict.fromkeys(row["set"] for row in table.rows):
        rows = [row for row in table.rows if row["set"] == name and row["speed_kn"]]
        if not rows:
            continue
        speed = np.array([_si(row["speed_kn"], "speed", "nautical") for row in rows])
        found[name] = SteadyRuns.of(
            speed,
            engine_rpm=np.array([_si(row["rpm"], "rotation", "metric") for row in rows]),
            fuel_lph=np.array([_si(row["fuel_lph"], "fuel flow", "metric") for row in rows]),
            full_throttle=np.array([FULL_WORDS in row["note"] for row in rows]),
            where=tuple(f"{name}, {row['rpm'] or '-'} rpm" for row in rows),
        )
    return found


def _si(text: str, kind: str, system: str) -> float:
    return to_si(float(text), kind, system) if text else float("nan")


@cache
def measured_boats() -> dict[str, Boat]:
    """The boat of every set at its load, her pitch set where none is stated."""
    wanted = {(file, load) for _, file, load in SETS}
    checks = [check for check in read_checks() if set(check.cases) & wanted]
    cases = Cases.of(checks)
    known = dict(zip(cases.keys, cases.boats, strict=True))
    return {name: known[file, load] for name, file, load in SETS if (file, load) in known}


def measured_trials(draws: int = 100, seed: int = 1) -> pd.DataFrame:
    """One line for each set, split and reading: errors before and after the fit, share inside the band.

    Columns set, use (choosing or held back), then those of perf.studies.trial.blind, and scatter of the
    whole log over its doubt. Sets of one row cannot be split: they are fitted and give their scatter.
    """
    runs, uses = measured_runs(), split()
    tables = []
    for name, boat in measured_boats().items():
        if name not in runs:
            continue
        whole = fit(boat, runs[name])
        table = blind(untried(boat), runs[name], draws=draws, seed=seed)
        if table.empty:
            table = pd.DataFrame({"blind": ["too few rows to part"]})
        table.insert(0, "set", name)
        table.insert(1, "use", uses.get(name, ""))
        table["scatter"] = whole.scatter
        tables.append(table)
    return mean_of(tables)
