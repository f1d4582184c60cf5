"""A sea trial: the log fitted, the boat made this boat's own, what the log tells and what it does not."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.draws import EIGHT_IN_TEN, NINE_IN_TEN
from perf.base.results import RESULTS_VERSION, Result
from perf.base.trial_assumptions import TRIAL_ASSUMPTIONS
from perf.boat.log.columns import LogColumn
from perf.boat.log.file import Log, read_log
from perf.boat.log.runs import SteadyRuns
from perf.boat.log.steady import Steady, steady_runs
from perf.boat.parts import Boat, Trial
from perf.solve.performance import points
from perf.studies.speeds import LAWS_USED, assumptions_of, sources_of
from perf.studies.spread import band
from perf.studies.sweeps import Sweep, drawn_names, sweep_boats, sweep_draws
from perf.studies.trial.blind import blind
from perf.studies.trial.fit import Fit, fit
from perf.studies.trial.judge import hints, misfit_before
from perf.studies.trial.lessons import lessons
from perf.studies.trial.model import untried
from perf.studies.trial.tables import curves, factors, reading_tables, runs_table, trial_plots
from perf.studies.trial.tape import Taped, TapeFault, weigh_by_tape
from perf.studies.trial.trust import Trust
from perf.studies.trial.words import answer_of, earlier_of, notes_of

__all__ = ["Found", "calibrated", "fit_trial", "steady_log", "trial", "work_out"]

Array = NDArray[np.float64]

DRAWS, SEED = 200, 1


@dataclass(frozen=True, eq=False)
class Swept:
    """One boat worked out as stated and drawn: bands of top speed and of the burn at one cruise."""

    boat: Boat
    stated: Sweep
    drawn: Sweep
    cruise_mps: float
    cruise_lph: float
    drawn_cruise_lph: Array


@dataclass(frozen=True, eq=False)
class Found:
    """Everything a trial found.

    log is None where the runs were given without a file. before, after : the boat by her file alone and
    as fitted. trial : the part that makes any boat object of her the calibrated one. units : of the
    words in the hints.
    """

    boat: Boat
    log: Log | None
    steady: Steady
    fit: Fit
    trial: Trial
    before: Swept
    after: Swept
    misfit: float
    hints: pd.DataFrame
    blind: pd.DataFrame
    taped: Taped | None
    draws: int
    seed: int

    @property
    def calibrated(self) -> Boat:
        """The boat with the trial counted in."""
        return self.boat.at(trial=self.trial)


def fit_trial(
    boat: Boat, log: Log | Steady | SteadyRuns, trust: Trust | None = None, *, date: str = ""
) -> Trial:
    """The Trial part a log makes; Boat.at(trial=…) is the calibrated boat.

    Raises
    ------
    InputFaults where the log holds no steady run; ValueError where a run names a load she has not.
    """
    steady = _steady(log)
    name = f"{log.name} {log.fingerprint}" if isinstance(log, Log) else ""
    return lessons(fit(boat, steady.runs, trust), log=name, date=date, version=version())


def calibrated(boat: Boat, log: Log | Steady | SteadyRuns, *, date: str = "") -> Boat:
    """The boat with what a log teaches of her counted in."""
    return boat.at(trial=fit_trial(boat, log, date=date))


def trial(
    boat: Boat,
    log: str | Path | bytes | Log | SteadyRuns,
    *,
    name: str | None = None,
    columns: tuple[LogColumn, ...] | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
    date: str = "",
    units: str = "us",
) -> Result:
    """Fit a log and say what it teaches: before and after, residuals, hints, blind predictions.

    Parameters
    ----------
    boat : by her file; an earlier trial in it is set aside.
    log : path or bytes of a log, a log that was read, or steady runs.
    name, columns : of the log, where told by hand; see read_log.
    draws, seed : of the bands. date : the day of the trial, for the record. units : of the hints.

    Raises
    ------
    InputFaults where the log cannot be used; ValueError where a run names a load she has not.
    """
    read = log if isinstance(log, Log | SteadyRuns) else read_log(log, name=name, columns=columns)
    return result_of(work_out(boat, read, draws=draws, seed=seed, date=date, units=units))


def work_out(
    boat: Boat,
    log: Log | SteadyRuns,
    *,
    draws: int = DRAWS,
    seed: int = SEED,
    date: str = "",
    units: str = "us",
) -> Found:
    """Everything a trial finds, with the calibrated boat at hand; see trial."""
    steady = _steady(log)
    with np.errstate(all="ignore"):
        found = fit(boat, steady.runs)
        read = log if isinstance(log, Log) else None
        name = f"{read.name} {read.fingerprint}" if read else ""
        told = lessons(found, log=name, date=date, version=version())
        filed = untried(boat)
        before = swept(filed, draws, seed)
        after = swept(boat.at(trial=told), draws, seed, before.cruise_mps)
        return Found(
            boat,
            read,
            steady,
            found,
            told,
            before,
            after,
            misfit_before(found),
            hints(found, units),
            blind(boat, steady.runs, draws=draws, seed=seed),
            _taped(boat, draws, seed),
            draws,
            seed,
        )


def steady_log(
    source: str | Path | bytes,
    *,
    name: str | None = None,
    columns: tuple[LogColumn, ...] | None = None,
) -> tuple[Log, Steady]:
    """A log read, and its steady runs."""
    log = read_log(source, name=name, columns=columns)
    return log, steady_runs(log)


def version() -> str:
    """Which tool found it, for the record in the boat file."""
    from importlib.metadata import PackageNotFoundError
    from importlib.metadata import version as release

    try:
        known = release("overhump")
    except PackageNotFoundError:
        known = "uninstalled"
    return f"overhump {known}, results {RESULTS_VERSION}"


def _steady(log: Log | Steady | SteadyRuns) -> Steady:
    if isinstance(log, Steady):
        return log
    if isinstance(log, Log):
        return steady_runs(log)
    nan = float("nan")
    return Steady(log, np.ones(log.count, dtype=np.int64), nan, nan, 0, (), ())


def _taped(boat: Boat, draws: int, seed: int) -> Taped | None:
    if not boat.freeboard:
        return None
    try:
        return weigh_by_tape(untried(boat), draws=draws, seed=seed)
    except TapeFault:
        return None


def swept(boat: Boat, draws: int, seed: int, cruise_mps: float | None = None) -> Swept:
    """A boat over her speeds, stated and drawn, and the burn at a cruise (her best one by default)."""
    stated = sweep_boats(boat)
    drawn = sweep_draws(boat, stated, draws, seed)
    best = float(stated.best_speed_mps[0])
    top = float(stated.top.speed_mps[0])
    usual = best if np.isfinite(best) else 0.7 * top
    cruise = usual if cruise_mps is None else cruise_mps
    known = stated.points
    speed = np.array([[cruise]])
    trim = np.interp(speed, known.speed_mps[0], known.drive_trim_deg[0])
    one = points(stated.afloat, speed, trim).fuel_lph
    many = points(drawn.afloat, speed, trim).fuel_lph
    return Swept(boat, stated, drawn, cruise, float(one[0, 0]), many[:, 0])


# --- as a Result --------------------------------------------------------------------------------------


def result_of(found: Found) -> Result:
    """The whole Result of a trial."""
    summary = _summary(found)
    tables = {
        "rows": runs_table(found.fit, found.steady),
        **factors(found.fit, found.trial),
        "hints": found.hints,
        "blind": found.blind,
        **reading_tables(found.log, found.steady),
        **curves(found.before, found.after, found.steady.runs),
    }
    assumed = (*assumptions_of(found.boat), *TRIAL_ASSUMPTIONS.values())
    return Result(
        kind="trial",
        answer=answer_of(found.boat, found.fit, found.trial, summary),
        summary=summary,
        tables=tables,
        plots=trial_plots(found.steady.runs),
        doubt=_doubt(found),
        cautions=_cautions(found),
        assumptions=assumed,
        sources=tuple(dict.fromkeys((*sources_of(LAWS_USED, assumed), "Huber 1981"))),
        inputs={
            "log": found.trial.log,
            "load": found.boat.load,
            "draws": found.draws,
            "seed": found.seed,
            "date": found.trial.date,
        },
        boat=found.boat.name,
        notes=(
            *earlier_of(found.boat),
            *notes_of(found.fit, found.steady, found.log, found.misfit, found.hints),
        ),
    )


def _summary(found: Found) -> dict[str, Any]:
    """Key figures after the trial and by the file alone, with their bands."""
    summary: dict[str, Any] = {"reasons": {}}
    for prefix, one in (("", found.after), ("filed_", found.before)):
        name = f"{prefix}top_speed_mps"
        _put(summary, name, float(one.stated.top.speed_mps[0]), one.drawn.top.speed_mps)
        if summary[name] is None:
            summary["reasons"][name] = "full throttle does not hold her on plane at this load"
        cruise = "filed_cruise_lph" if prefix else "trial_cruise_lph"
        _put(summary, cruise, one.cruise_lph, one.drawn_cruise_lph, "fuel_lph")
    summary["trial_cruise_mps"] = _number(found.after.cruise_mps)
    summary["will_plane"] = float(np.mean(found.after.drawn.planes))
    summary["mass_kg"] = float(found.after.stated.afloat.lanes.mass_kg[0])
    summary["forward_m"] = float(found.after.stated.afloat.lanes.forward_m[0])
    summary["runs_used"] = float(found.fit.runs.count - len(found.fit.aside))
    if np.isfinite(found.steady.current_mps):
        summary["trial_current_mps"] = found.steady.current_mps
    if found.taped is not None:
        summary |= tape_summary(found.taped)
    return summary


def tape_summary(taped: Taped) -> dict[str, Any]:
    """Key figures of a weighing by tape."""
    summary: dict[str, Any] = {}
    _put(summary, "taped_mass_kg", float(taped.mass_kg[0]), taped.mass_kg[1:], "mass_kg")
    _put(summary, "taped_forward_m", float(taped.forward_m[0]), taped.forward_m[1:], "forward_m")
    summary["listed_mass_kg"] = taped.listed_mass_kg
    summary["listed_forward_m"] = taped.listed_forward_m
    _put(
        summary,
        "unlisted_mass_kg",
        taped.unlisted_kg,
        taped.mass_kg[1:] - taped.listed_mass_kg,
        "mass_kg",
    )
    return summary


def _put(summary: dict[str, Any], name: str, value: float, draws: Array, key: str = "") -> None:
    summary[name] = _number(value)
    if draws.size:
        for ending, edge in zip(("_p10", "_p90"), band(key or name, draws[:, None]), strict=True):
            summary[name + ending] = _number(float(edge[0]))


def _number(value: float) -> float | None:
    return value if np.isfinite(value) else None


def _doubt(found: Found) -> dict[str, Any]:
    return {
        "draws": found.draws,
        "seed": found.seed,
        "band": "10 to 90 per cent of the draws, what the trial taught counted in",
        "inside": list(drawn_names(found.boat)),
        "outside": ["waves", "another day's growth on the bottom", "damage since the trial"],
        "share_not_planing": float(1.0 - np.mean(found.after.drawn.planes)),
        "scatter": found.fit.scatter,
        "half_width_left": {
            name: float(found.fit.left_of(name) * EIGHT_IN_TEN / NINE_IN_TEN)
            for name in found.fit.names
        },
    }


def _cautions(found: Found) -> tuple[str, ...]:
    codes = ["estimate"]
    if found.fit.runs.count < 3:
        codes.append("few_runs")
    if found.fit.scatter > 1.0:
        codes.append("log_scatters")
    if found.taped is not None and found.taped.hides_weight:
        codes.append("hidden_weight")
    if found.boat.plate_power_w is None:
        codes.append("no_plate")
    return tuple(codes)
