"""Tables and pictures of a trial: runs, factors, how the log was read, curves before and after."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.draws import EIGHT_IN_TEN, NINE_IN_TEN
from perf.base.results import Line, Plot
from perf.boat.learned import FACTORS
from perf.boat.log.file import Log
from perf.boat.log.runs import SteadyRuns
from perf.boat.log.steady import Steady
from perf.boat.parts import Trial
from perf.solve.performance import Status
from perf.studies.spread import band, between
from perf.studies.trial.fit import Fit
from perf.studies.trial.search import KINDS

if TYPE_CHECKING:
    from perf.studies.sweeps import Sweep
    from perf.studies.trial.study import Swept

Array = NDArray[np.float64]

MOST_SHOWN = 200  # faults in the table; the count stands in the notes
TOLD = 0.8  # a factor of whose doubt less than this is left has been told
BALANCE = "balance_m"
STANDS_OUT = "stands out, not counted"
FACTOR_WORDS = {
    "drag": "hull drag",
    "weight": "light weight",
    "balance_m": "balance point",
    "pitch": "effective pitch",
    "leg": "lower-unit drag",
    "fuel_idle": "fuel at rest",
    "fuel_slope": "fuel for its power",
}
CURVES = {
    "curve_rpm": ("engine_rpm", "Engine speed"),
    "curve_fuel_lph": ("fuel_lph", "What she burns"),
}
READ = {"curve_rpm": "engine_rpm", "curve_fuel_lph": "fuel_lph"}


def runs_table(fit: Fit, steady: Steady) -> pd.DataFrame:
    """Every steady run: read, by the file alone, with the trial; what is left over."""
    runs, seen = fit.runs, fit.readings
    table = pd.DataFrame({"speed_mps": runs.speed_mps, "log_lines": list(runs.where)})
    if any(runs.load):
        table["load"] = [name or fit.tried.boats[0].load for name in runs.load]
    table["logged_rpm"], table["filed_rpm"], table["fitted_rpm"] = runs.engine_rpm, *seen.engine_rpm
    table["logged_fuel_lph"] = runs.fuel_lph
    table["filed_fuel_lph"], table["fitted_fuel_lph"] = seen.fuel_lph
    if np.isfinite(runs.trim_deg).any():
        table["logged_trim_deg"] = runs.trim_deg
        table["filed_trim_deg"], table["fitted_trim_deg"] = seen.trim_deg
    table["left_over"] = left_over(fit)
    aside = set(fit.aside)
    table["status"] = [STANDS_OUT if at in aside else "ok" for at in range(runs.count)]
    return table


def left_over(fit: Fit) -> Array:
    """The worst reading of each run after the fit, at its true speed as found, in standard deviations."""
    parts = [np.abs(fit.left[name][1]) for name in KINDS[:3]]
    speed = np.abs(fit.true_speed_mps - fit.runs.speed_mps) / fit.trust.speed_sd(fit.runs)
    known = np.stack([*parts, speed])
    with np.errstate(all="ignore"):
        return np.where(
            np.isfinite(known).any(axis=0), np.nanmax(np.nan_to_num(known), axis=0), np.nan
        )


def factors(fit: Fit, trial: Trial) -> dict[str, pd.DataFrame]:
    """The factors, one as published, with the band of eight in ten, and how far the balance point moved."""
    left = _left(fit, trial)
    doubts = fit.tried.doubts()
    known = [(path, field) for path, field in FACTORS.items() if path in doubts]
    ratios = [
        _factor(f, getattr(trial, f), doubts[p], left.get(p, 1.0)) for p, f in known if f != BALANCE
    ]
    moved = [
        _factor(f, getattr(trial, f), doubts[p], left.get(p, 1.0)) for p, f in known if f == BALANCE
    ]
    length = pd.DataFrame(moved).rename(
        columns=lambda name: name.replace("factor_found", "moved_m")
    )
    return {"factors": pd.DataFrame(ratios), "balance": length}


def _factor(field: str, value: float, half_width: float, share: float) -> dict[str, object]:
    half = half_width * share * EIGHT_IN_TEN / NINE_IN_TEN
    return {
        "factor": FACTOR_WORDS[field],
        "factor_found": value,
        "factor_found_p10": value - half,
        "factor_found_p90": value + half,
        "doubt_left": share,
        "told": "yes" if share < TOLD else "no, as assumed",
    }


def _left(fit: Fit, trial: Trial) -> dict[str, float]:
    """Share of each input's doubt that is left."""
    names = () if trial.learned is None else trial.learned.names
    return {name: fit.left_of(name) for name in names}


def told(fit: Fit, trial: Trial) -> tuple[str, ...]:
    """Fields of the Trial part that the log could tell, in their order."""
    left = _left(fit, trial)
    return tuple(FACTORS[path] for path in FACTORS if left.get(path, 1.0) < TOLD)


def reading_tables(log: Log | None, steady: Steady) -> dict[str, pd.DataFrame]:
    """How each heading was read, and every row that was set aside with the reason."""
    if log is None:
        return {}
    columns = pd.DataFrame(
        {
            "log_heading": [column.heading for column in log.columns],
            "log_meaning": [column.meaning for column in log.columns],
            "log_unit": [column.unit or "-" for column in log.columns],
        }
    )
    shown = steady.faults[:MOST_SHOWN]
    aside = pd.DataFrame(
        {
            "log_place": [fault.key for fault in shown],
            "log_text": [fault.text for fault in shown],
            "log_why": [fault.cure for fault in shown],
        }
    )
    return {"columns": columns, "set_aside": aside}


# --- pictures -----------------------------------------------------------------------------------------


def curves(before: Swept, after: Swept, runs: SteadyRuns) -> dict[str, pd.DataFrame]:
    """Burn and rpm over speed before and after, with bands, and the readings at this load as lone points."""
    top = max(_top(one) for one in (before, after))
    speed = np.linspace(0.08, 1.0, 60) * top
    table = {"speed_mps": speed}
    for prefix, one in (("filed_", before), ("", after)):
        for name, (column, _) in CURVES.items():
            table |= _curve(f"{prefix}{name}", column, one, speed)
    same = [at for at, load in enumerate(runs.load) if load in ("", after.boat.load)]
    at_load = runs.take(same)
    points = {"speed_mps": np.repeat(at_load.speed_mps, 2)}
    points |= {name: _apart(getattr(at_load, column)) for name, column in READ.items()}
    return {"curves": pd.DataFrame(table), "readings": pd.DataFrame(points)}


def _curve(name: str, column: str, one: Swept, speed: Array) -> dict[str, Array]:
    """One column over speed up to the boat's own top speed, and its band."""
    reached = speed <= _top(one)

    def read(swept: Sweep, value: Array) -> Array:
        return np.where(reached, between(speed, swept.points.speed_mps[0], value), np.nan)

    found = {name: read(one.stated, _balanced(one.stated, column)[0])}
    for ending, edge in zip(
        ("_p10", "_p90"), band(column, _balanced(one.drawn, column)), strict=True
    ):
        found[name + ending] = read(one.drawn, edge)
    return found


def _balanced(swept: Sweep, column: str) -> Array:
    """A column of a sweep, also past full throttle, NaN where she finds no balance."""
    at = swept.points
    known: Array = np.where(at.status == Status.NO_BALANCE, np.nan, getattr(at, column))
    return known


def _top(one: Swept) -> float:
    top = float(one.stated.top.speed_mps[0])
    return top if np.isfinite(top) else float(one.stated.points.speed_mps[0, -1])


def _apart(values: Array) -> Array:
    """Values with a gap after each at the same place, so that they are drawn as points and not as a line."""
    return np.stack([values, np.full(values.shape, np.nan)], axis=1).ravel()


def trial_plots(runs: SteadyRuns) -> tuple[Plot, ...]:
    """One picture for the burn and one for the rpm: before, after, and what was read."""
    wanted = [name for name, column in READ.items() if np.isfinite(getattr(runs, column)).any()]
    return tuple(
        Plot(
            name,
            CURVES[name][1],
            "speed_mps",
            name,
            (
                Line(
                    "curves",
                    f"filed_{name}",
                    "by the file alone",
                    "second opinion",
                    _ends(f"filed_{name}"),
                ),
                Line("curves", name, "with the trial", "as she is", _ends(name)),
                Line("readings", name, "as read", "changed"),
            ),
        )
        for name in reversed(wanted)
    )


def _ends(name: str) -> tuple[str, str]:
    return f"{name}_p10", f"{name}_p90"
