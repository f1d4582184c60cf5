"""Trim tabs: what they gain over the hump and what they cost at the cruise, angle by angle.

Every angle at both speeds is a lane of one evaluation. The drive trim is at its best at every angle,
as a helmsman would have it who works both; draws take the drive trims of the stated boat. The speeds
are her hump with the tabs up and her best planing cruise with them up, or one asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.assumptions import TABS, Assumption
from perf.base.cautions import Caution, codes
from perf.base.results import Mark, Plot, Result, Sentence, Value, banded_curves
from perf.boat.fleet import Fleet
from perf.boat.learned import said_of
from perf.boat.parts import Boat, Tabs
from perf.laws.water import GRAVITY
from perf.solve.afloat import Afloat
from perf.solve.hump import full_throttle_thrust
from perf.solve.performance import STATUS_WORDS, Points, Status, best_drive_trim, points
from perf.studies.evidence.fitted_laws import fitted_laws
from perf.studies.speeds import LAWS_USED, assumptions_of, sources_of
from perf.studies.spread import band
from perf.studies.sweeps import drawn_names, mileage, sweep_boats

Array = NDArray[np.float64]

DOWN_DEG = np.arange(0.0, 16.0)  # the flap law was fitted to 15 degrees (Savitsky & Brown 1976)
FITTED_SPEED = (2.0, 7.0)  # speed over sqrt(g x beam) the flap law was fitted in (same paper)
LONGEST_CHORD = 0.1  # of the mean wetted length (same paper)
HUMP, CRUISE = 0, 1  # columns of every (angles, 2) array
LIMITS = Caution.TRIM_OUTSIDE | Caution.PORPOISING | Caution.BOW_DROP | Caution.TABS_OUTSIDE
BANDED = ("hump_spare_n", "mileage_m_per_l", "mileage_lost", "fuel_lph")


@dataclass(frozen=True, eq=False)
class _Run:
    """Angles (a, 2) at hump and cruise: points, thrust to spare [N], mileage [m/L], fuel [L/h]."""

    at: Points
    spare_n: Array
    mileage: Array
    fuel_lph: Array


def tabs(boat: Boat, cruise_mps: float | None = None, *, draws: int = 100, seed: int = 1) -> Result:
    """Sweep the tabs from up to all the way down at the hump and at the cruise.

    A boat whose file tells of no tabs is given a plain pair of assumed size, and the answer says so.

    cruise_mps : speed the cost is judged at; her best planing cruise where none is given.
    draws : how many times the doubts are drawn for the bands; 0 for none.
    """
    fitted = boat.tabs or plain_pair(boat)
    boats = [boat.at(tabs=replace(fitted, deflection_deg=float(down))) for down in DOWN_DEG]
    with np.errstate(all="ignore"):
        frame, speeds = _swept(boats, cruise_mps, draws, seed)
    summary = _summary(boat, frame, speeds)
    return Result(
        kind="tabs",
        answer=_answer(boat, fitted, summary, frame),
        summary=summary,
        tables={"rows": frame},
        plots=_plots(boat, bool(draws)),
        doubt=_doubt(boat, draws, seed),
        cautions=_cautions(frame),
        assumptions=assumptions(boat),
        sources=sources_of((*LAWS_USED, *fitted_laws(boats[0])), assumptions(boat)),
        inputs={
            "load": boat.load,
            "tank": boat.loaded.tank,
            "tab_chord_m": fitted.chord_m,
            "tab_span_m": fitted.span_m,
            "tabs_assumed": boat.tabs is None,
            "seed": seed,
            "draws": draws,
        },
        boat=boat.name,
        notes=said_of(boat),
    )


def _swept(
    boats: Sequence[Boat], cruise_mps: float | None, draws: int, seed: int
) -> tuple[pd.DataFrame, tuple[float, float]]:
    """The table of the angles, and the speeds at the hump and at the cruise; NaN where there is none."""
    known = sweep_boats(boats[0])
    cruise = float(known.best_speed_mps[0]) if cruise_mps is None else cruise_mps
    speeds = (float(known.hump.speed_mps[0]), cruise)
    afloat = Afloat.of(Fleet.of(boats).lanes)
    pace = np.tile(_safe(speeds, known.points.speed_mps[0]), (DOWN_DEG.size, 1))
    trim = best_drive_trim(afloat, pace)
    frame = _frame(_run(afloat, pace, trim, speeds), boats[0])
    if draws:
        each = np.repeat(np.arange(DOWN_DEG.size), draws)
        drawn = Afloat.of(Fleet.draw(boats, draws, seed).lanes)
        _add_bands(frame, _run(drawn, pace[each], trim[each], speeds), draws)
    return frame, speeds


def plain_pair(boat: Boat) -> Tabs:
    """A pair of tabs of assumed size for a boat whose file tells of none."""
    span = TABS["tab_span"].value * boat.hull.length_overall_m
    widest = TABS["tab_room"].value * boat.hull.chine_beam_m
    return Tabs(TABS["tab_chord"].value, min(span, widest))


def assumptions(boat: Boat) -> tuple[Assumption, ...]:
    """What is assumed of every boat, and of the tabs where her file tells of none."""
    own = assumptions_of(boat)
    return own if boat.tabs is not None else (*own, *TABS.values())


def _safe(speeds: Sequence[float], pace: Array) -> Array:
    """The speeds, one she is known at in place of one that does not exist; its answer is taken out again."""
    return np.array([one if np.isfinite(one) else pace[pace.size // 2] for one in speeds])


def _run(afloat: Afloat, pace: Array, trim: Array, speeds: Sequence[float]) -> _Run:
    at = points(afloat, pace, trim)
    there = np.isfinite(np.array(speeds))[None, :]
    balanced = there & (at.status != Status.NO_BALANCE)
    spare = full_throttle_thrust(afloat, at) - at.thrust_n
    ok = there & (at.status == Status.OK)
    return _Run(
        at,
        np.where(balanced, spare, np.nan),
        np.where(there, mileage(at), np.nan),
        np.where(ok, at.fuel_lph, np.nan),
    )


def _frame(run: _Run, boat: Boat) -> pd.DataFrame:
    """One row for each angle; NaN and a status where the cruise is not held."""
    at, known = run.at, np.isfinite(run.spare_n[:, HUMP])
    miles, fuel = run.mileage[:, CRUISE], run.fuel_lph[:, CRUISE]
    frame = pd.DataFrame(
        {
            "tab_deflection_deg": DOWN_DEG,
            "hump_trim_deg": np.where(known, at.trim_deg[:, HUMP], np.nan),
            "hump_resistance_n": np.where(known, at.resistance_n[:, HUMP], np.nan),
            "hump_spare_n": run.spare_n[:, HUMP],
            "cruise_trim_deg": np.where(np.isfinite(fuel), at.trim_deg[:, CRUISE], np.nan),
            "mileage_m_per_l": miles,
            "mileage_lost": 1.0 - miles / miles[0],
            "fuel_lph": fuel,
            "more_fuel_lph": fuel - fuel[0],
        }
    )
    statuses = [STATUS_WORDS[Status(one)] for one in at.status[:, CRUISE]]
    frame["status"] = [
        word if word != "ok" or np.isfinite(burned) else "does not get on plane"
        for word, burned in zip(statuses, fuel, strict=True)
    ]
    bits = at.cautions[:, HUMP] | at.cautions[:, CRUISE] | _outside(at, boat)
    frame["cautions"] = [" ".join(codes(int(one) & int(LIMITS))) for one in bits]
    return frame


def _outside(at: Points, boat: Boat) -> NDArray[np.int64]:
    """Where the flap law is used outside what it was fitted on, at either speed; nothing with the tabs up."""
    unit = np.sqrt(GRAVITY * boat.hull.chine_beam_m)
    low, high = FITTED_SPEED
    speed = at.speed_mps / unit
    chord = boat.tabs.chord_m if boat.tabs is not None else 0.0
    out = (speed < low) | (speed > high) | (chord > LONGEST_CHORD * at.wetted_length_m)
    used = out.any(axis=1) & (DOWN_DEG > 0.0)
    return np.where(used, int(Caution.TABS_OUTSIDE), 0).astype(np.int64)


def _add_bands(frame: pd.DataFrame, drawn: _Run, draws: int) -> None:
    """Bands of the figures, and of the miles lost draw by draw, so that what is shared cancels."""
    shape = (DOWN_DEG.size, draws)
    miles = drawn.mileage[:, CRUISE].reshape(shape)
    values = {
        "hump_spare_n": drawn.spare_n[:, HUMP].reshape(shape),
        "mileage_m_per_l": miles,
        "mileage_lost": 1.0 - miles / miles[:1],
        "fuel_lph": drawn.fuel_lph[:, CRUISE].reshape(shape),
    }
    for name in BANDED:
        shown = np.isfinite(frame[name].to_numpy())
        for ending, edge in zip(("_p10", "_p90"), band(name, values[name].T), strict=True):
            frame[name + ending] = np.where(shown, edge, np.nan)


def _summary(boat: Boat, frame: pd.DataFrame, speeds: Sequence[float]) -> dict[str, Any]:
    hump, cruise = speeds
    lost = frame["mileage_lost"].to_numpy()
    best = int(np.nanargmin(lost)) if np.isfinite(lost).any() else None
    values: dict[str, float | None] = {
        "tabs_now_deg": None if boat.tabs is None else boat.tabs.deflection_deg,
        "hump_speed_mps": hump,
        "cruise_speed_mps": cruise,
        "tabs_up_spare_n": float(frame["hump_spare_n"].iloc[0]),
        "tabs_down_spare_n": float(frame["hump_spare_n"].iloc[-1]),
        "tab_best_deg": None if best is None else float(DOWN_DEG[best]),
        "tab_best_gain": None if best is None else -float(lost[best]),
        "tabs_down_cost": float(lost[-1]),
        "tabs_down_fuel_lph": float(frame["more_fuel_lph"].iloc[-1]),
    }
    summary: dict[str, Any] = {
        name: None if value is None or not np.isfinite(value) else value
        for name, value in values.items()
    }
    summary["reasons"] = {
        name: "her file tells of no tabs"
        if name == "tabs_now_deg"
        else "full throttle does not hold her on plane at this load"
        for name, value in summary.items()
        if value is None
    }
    return summary


# --- in words -----------------------------------------------------------------------------------------


def _answer(boat: Boat, fitted: Tabs, summary: dict[str, Any], frame: pd.DataFrame) -> Sentence:
    size = (Value(fitted.chord_m, "length", 1), " by ", Value(fitted.span_m, "length", 1))
    if boat.tabs is None:
        start: tuple[str | Value, ...] = (
            f"{boat.name}, loaded as {boat.load}, has no tabs in her file. A plain pair of assumed size, ",
            *size, " both together",
        )  # fmt: skip
    else:
        start = (f"{boat.name}, loaded as {boat.load}: her tabs, ", *size, " both together")
    return Sentence((*start, *_at_the_hump(summary, frame), *_at_the_cruise(summary)))


def _at_the_hump(summary: dict[str, Any], frame: pd.DataFrame) -> tuple[str | Value, ...]:
    up, down = summary["tabs_up_spare_n"], summary["tabs_down_spare_n"]
    if up is None or down is None:
        return (", were looked at, but no hump was found",)
    bow = frame["hump_trim_deg"].iloc[0] - frame["hump_trim_deg"].iloc[-1]
    gains = "gain" if down >= up else "cost"
    spare: tuple[str | Value, ...] = (" are left to spare instead of ", Value(up, "force", 0))
    if up < 0.0:
        spare = (" are left to spare where ", Value(-up, "force", 0), " were short")
    left: tuple[str | Value, ...] = (Value(down, "force", 0), *spare)
    if down < 0.0:
        left = (Value(-down, "force", 0), " are short instead of ", Value(abs(up), "force", 0))
    return (
        ", all the way down at the hump, ", Value(summary["hump_speed_mps"], "speed", 0), ", ",
        f"{gains} ", Value(abs(down - up), "force", 0), ": ", *left, ", and the bow comes down ",
        Value(float(bow), "angle", 1),
    )  # fmt: skip


def _at_the_cruise(summary: dict[str, Any]) -> tuple[str | Value, ...]:
    cost, best = summary["tabs_down_cost"], summary["tab_best_deg"]
    if summary["cruise_speed_mps"] is None or best is None:
        return (". She does not hold a planing cruise, so there is no cost to tell there.",)
    where = (". At the cruise, ", Value(summary["cruise_speed_mps"], "speed", 0), ", ")
    gain = summary["tab_best_gain"]
    most: tuple[str | Value, ...] = ("she goes farthest with them up",)
    if best > 0.0:
        most = (
            "she goes farthest with them ", Value(best, "angle", 0), " down, ",
            Value(gain, "share", 3), " farther than with them up",
        )  # fmt: skip
    if cost is None:
        return (*where, *most, "; left all the way down, full throttle does not hold that speed.")
    left: tuple[str | Value, ...] = (
        "; left all the way down they cost ", Value(cost, "share", 2), " of the miles, ",
        Value(summary["tabs_down_fuel_lph"], "fuel flow", 1), " more.",
    )  # fmt: skip
    return (
        *where,
        *most,
        *(left if cost > 0.0 else ("; left all the way down they cost nothing.",)),
    )


def _cautions(frame: pd.DataFrame) -> tuple[str, ...]:
    bits = int(Caution.ESTIMATE) | int(Caution.TABS_DEEP)
    carried = {code for text in frame["cautions"] for code in text.split()}
    return (*(code for code in codes(int(LIMITS)) if code in carried), *codes(bits))


def _doubt(boat: Boat, draws: int, seed: int) -> dict[str, Any]:
    if not draws:
        return {"draws": 0, "band": "none drawn"}
    return {
        "draws": draws,
        "seed": seed,
        "band": "10 to 90 per cent of the draws; a draw in which the speed is not held counts as the worst",
        "inside": list(drawn_names(boat)),
        "outside": ["waves", "wind", "what the flap formula misses at the hump", "one tab more than the other"],
    }  # fmt: skip


def _plots(boat: Boat, banded: bool) -> tuple[Plot, ...]:
    marks = () if boat.tabs is None else (Mark(boat.tabs.deflection_deg, "as filed"),)
    titles = (
        ("hump_spare_n", "Thrust to spare at the hump, by tabs"),
        ("mileage_m_per_l", "Mileage at the cruise, by tabs"),
    )
    return banded_curves(titles, "tab_deflection_deg", marks, banded, "tabs_")
