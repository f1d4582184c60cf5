"""Measured boats through the same code: fitted on half of an owner's log or at a light load, asked for the rest.

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
from perf.studies.evidence.scores import Cases, Check, read_checks, scored, split
from perf.studies.sweeps import sweep_boats
from perf.studies.trial.blind import COLUMNS, blind, mean_of
from perf.studies.trial.fit import Fit, fit
from perf.studies.trial.lessons import lessons
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
ONE_ROW = "its one row, and nothing left to ask"
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

    Columns set, use (choosing or held back), then those of perf.studies.trial.blind. Sets of one row
    cannot be parted: they are fitted, and nothing is left to ask.
    """
    runs, uses = measured_runs(), split()
    tables = []
    for name, boat in measured_boats().items():
        if name not in runs:
            continue
        table = blind(untried(boat), runs[name], draws=draws, seed=seed)
        if table.empty:
            fit(boat, runs[name])
            table = pd.DataFrame({"blind": [ONE_ROW]})
        table.insert(0, "set", name)
        whole, fuel = uses.get(name, ""), uses.get(f"{name}.fuel", uses.get(name, ""))
        burn = "blind_reading" in table and table["blind_reading"].eq("burn")
        table.insert(1, "use", np.where(burn, fuel, whole))
        tables.append(table)
    return mean_of(tables)


# --- light and heavy -----------------------------------------------------------------------------------

TOP = "top speed"


def loaded_trials(draws: int = 100, seed: int = 1) -> pd.DataFrame:
    """Boats whose top speed was read at several loads: fitted at the lightest alone, asked for the others.

    Columns as of measured_trials, one line for each boat.
    """
    checks = _at_loads()
    cases = Cases.of(checks)
    before = scored(checks, cases, draws, seed)
    first = {check.boat: check for check in reversed(checks)}
    trials = {name: lessons(_flat_out(cases, check)) for name, check in first.items()}
    boats = tuple(
        boat.at(trial=trials[name]) for (name, _), boat in zip(cases.keys, cases.boats, strict=True)
    )
    after = scored(checks, Cases(cases.keys, boats, sweep_boats(boats)), draws, seed)
    lines = []
    for name, light in first.items():
        asked = [at for at, one in enumerate(checks) if one.boat == name and one is not light]
        lines.append(
            {
                "set": " ".join((light.id, *(checks[at].id for at in asked))),
                "use": light.use,
                "blind": f"load {light.loads[0]}, asked for heavier",
                "blind_reading": TOP,
                "blind_runs": len(asked),
                "error_before": float(np.mean([abs(before[at].error) for at in asked])),
                "error_after": float(np.mean([abs(after[at].error) for at in asked])),
                "blind_inside": float(np.mean([bool(after[at].inside) for at in asked])),
            }
        )
    return pd.DataFrame(lines, columns=["set", "use", *COLUMNS])


def _at_loads() -> list[Check]:
    """The top speeds of boats that have several, each at one load, the lightest first."""
    tops = [check for check in read_checks() if check.what == TOP and len(check.loads) == 1]
    many = [check.boat for check in tops]
    return [check for check in tops if many.count(check.boat) > 1]


def _flat_out(cases: Cases, check: Check) -> Fit:
    """One run flat out and nothing else: the least a log can hold."""
    (row,) = cases.rows(check)
    runs = SteadyRuns.of(np.array([check.middle]), full_throttle=np.array([True]))
    return fit(cases.boats[row], runs)
