"""The study in words and key figures: answer, cautions, what it rests on."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from perf.base.assumptions import MOUNTING, Assumption
from perf.base.cautions import Caution, codes
from perf.base.quantities import mileage
from perf.base.results import Sentence, Value
from perf.boat.parts import Boat
from perf.solve.performance import Status
from perf.studies.mount.height import VENTILATION, Advice
from perf.studies.mount.holes import FITS, Shaft
from perf.studies.mount.ladder import Limits
from perf.studies.mount.way import Runs, UnderWay
from perf.studies.speeds import LAWS_USED, WHY_NOT, assumptions_of, sources_of
from perf.studies.spread import HIGH_PER_CENT, LOW_PER_CENT, band

Array = NDArray[np.float64]

SHOWN_APART_M = 0.0064  # a quarter of an inch: ends closer than this are said as one
LAWS_OF_MOUNTING = (
    "wake_simplified",
    "wake_contour",
    "bottom_off_centre",
    "near_surface_torque",
    "plate_drag",
    "junction_drag",
    "box_drag",
    "sole_height_wanted",
    "turning_moment",
    "helm_angle",
    "helm_drag",
    "locked_propeller_drag_coefficient",
    "transom_moment",
    "bolt_pull",
    "depth_froude",
    "height_over_water",
)


def recommendation(advice: Advice, shaft: Shaft, drawn: Limits | None) -> dict[str, Any]:
    """The recommended range as plain data, with its band from the draws."""
    low_band, high_band = (
        _edges(None if drawn is None else drawn.low),
        _edges(None if drawn is None else drawn.high),
    )
    return {
        "setback_m": advice.setback_m,
        "plate_height_low_m": advice.low_m,
        "plate_height_high_m": advice.high_m,
        "plate_height_low_m_p10": low_band[0],
        "plate_height_low_m_p90": low_band[1],
        "plate_height_high_m_p10": high_band[0],
        "plate_height_high_m_p90": high_band[1],
        "limited_below_by": advice.limited_below_by,
        "limited_above_by": advice.limited_above_by,
        "holds_over": advice.holds_over,
        "reason": advice.reason,
        "rule_of_thumb_m": advice.rule_of_thumb_m,
        "rule_misses_by_m": advice.rule_misses_by_m,
        "holes": shaft.holes,
        "shaft_m": shaft.shaft_m,
        "plate_height_at_hole_m": shaft.plate_height_m,
        "hole_misses_by_m": shaft.misses_by_m,
        "shaft_fit_m": MOUNTING["shaft_fit"].value,
        "hole_spacing_m": MOUNTING["hole_spacing"].value,
    }


def _edges(values: Array | None) -> tuple[float | None, float | None]:
    if values is None:
        return None, None
    known = values[np.isfinite(values)]
    if known.size < 0.5 * values.size:
        return None, None
    low, high = np.percentile(known, (LOW_PER_CENT, HIGH_PER_CENT))
    return float(low), float(high)


def key_figures(found: UnderWay, row: int, cruise_mps: float) -> dict[str, Any]:
    """Figures of the boat as hung with their bands: row 0 with the bracket, 1 without."""
    return figures_of(found.stated, found.drawn, row, cruise_mps)


def figures_of(runs: Runs, drawn: Runs | None, row: int, cruise_mps: float) -> dict[str, Any]:
    """Figures of one row with their bands; drawn : the draws of every row, row by row."""
    stated, at = runs.swept, runs.at
    lanes = stated.afloat.lanes
    values: dict[str, Any] = {
        "mass_kg": float(lanes.mass_kg[row]),
        "forward_m": float(lanes.forward_m[row]),
        "cruise_speed_mps": _or_none(cruise_mps),
    }
    reads = {
        "top_speed_mps": stated.top.speed_mps,
        "top_rpm": stated.top.engine_rpm,
        "time_to_plane_s": stated.hump.time_to_plane_s,
        "hump_margin": stated.hump.margin,
        "slowest_planing_speed_mps": stated.hump.slowest_planing_mps,
        "cruise_fuel_lph": at.fuel_lph[:, 0],
        "cruise_mileage_m_per_l": mileage(at.speed_mps[:, 0], at.fuel_lph[:, 0]),
    }
    rows = at.speed_mps.shape[0]
    many = None if drawn is None else _drawn_reads(drawn)
    for name, value in reads.items():
        values[name] = _or_none(float(value[row]))
        if many is None:
            continue
        draws = many[name].reshape(rows, -1)[row][:, None]
        for ending, edge in zip(("_p10", "_p90"), band(name, draws), strict=True):
            values[name + ending] = _or_none(float(edge[0]))
    if drawn is not None:
        values["will_plane"] = float(drawn.swept.planes.reshape(rows, -1)[row].mean())
    else:
        values["will_plane"] = float(stated.planes[row])
    return values


def reasons(summary: dict[str, Any]) -> dict[str, str]:
    """Why a figure does not exist, by its name."""
    return {
        name: WHY_NOT.get(name, "full throttle does not hold her on plane at this load")
        for name, value in summary.items()
        if value is None and not name.endswith(("_p10", "_p90"))
    }


def _drawn_reads(runs: Runs) -> dict[str, Array]:
    drawn, at = runs.swept, runs.at
    fuel = np.where(at.status[:, 0] == Status.OK, at.fuel_lph[:, 0], np.nan)
    return {
        "top_speed_mps": drawn.top.speed_mps,
        "top_rpm": drawn.top.engine_rpm,
        "time_to_plane_s": drawn.hump.time_to_plane_s,
        "hump_margin": drawn.hump.margin,
        "slowest_planing_speed_mps": drawn.hump.slowest_planing_mps,
        "cruise_fuel_lph": fuel,
        "cruise_mileage_m_per_l": mileage(at.speed_mps[:, 0], fuel),
    }


def _or_none(value: float) -> float | None:
    return value if np.isfinite(value) else None


def answer(
    boat: Boat, advice: Advice, shaft: Shaft, also: tuple[str | Value, ...] = ()
) -> Sentence:
    """The recommendation as it would be said on a dock: shaft and hole first; also : said after them."""
    start = (
        f"{boat.name}, loaded as {boat.load}, engine ",
        Value(advice.setback_m, "length", 2),
        " back: ",
    )
    thumb = Value(advice.rule_of_thumb_m, "length", 2)
    if advice.low_m is None or advice.high_m is None:
        return Sentence(
            (
                *start,
                f"no height can be recommended, for {advice.reason}. The rule of thumb says ",
                thumb,
                ".",
            )
        )
    below, above = _in_words(advice)
    plate: tuple[str | Value, ...] = (
        Value(advice.low_m, "length", 2),
        " to ",
        Value(advice.high_m, "length", 2),
    )
    if advice.high_m - advice.low_m < SHOWN_APART_M:
        plate = ("about ", Value(advice.middle_m, "length", 2))
    holds = "" if not advice.reason else f" ({advice.reason})"
    hole = ("a ", Value(shaft.shaft_m, "length", 1), f" shaft, {_holes(shaft.holes)} up")
    hang = (*start, *hole, *_missed(shaft), ": plate ", *plate, f" over the bottom{holds}.")
    ends = f" Lower, {below}; higher, {above}. "
    return Sentence((*hang, *also, ends, *_thumb(advice, thumb)))


def _holes(count: int) -> str:
    return f"{count} {'hole' if count == 1 else 'holes'}"


def _missed(shaft: Shaft) -> tuple[str | Value, ...]:
    if abs(shaft.misses_by_m) < FITS:
        return (", gets there",)
    way = "high" if shaft.misses_by_m > 0.0 else "low"
    return (", comes nearest, ", Value(abs(shaft.misses_by_m), "length", 2), f" too {way}")


def _in_words(advice: Advice) -> tuple[str, str]:
    where = [
        words.split(", by ")[0] for words in (advice.limited_below_by, advice.limited_above_by)
    ]
    speed = [words.rpartition(" at ")[2] for words in where]
    below = f"the buried leg drags at {speed[0]}"
    if " at " not in where[0]:
        below = "nothing was looked at"
    above = (
        f"the propeller lets go at {speed[1]}"
        if where[1].startswith(VENTILATION)
        else f"the engine runs short of cooling water at {speed[1]}"
    )
    return below, above


def _thumb(advice: Advice, thumb: Value) -> tuple[str | Value, ...]:
    misses = advice.rule_misses_by_m or 0.0
    if abs(misses) < FITS:
        return ("The rule of thumb, ", thumb, ", lies in that range.")
    way = "over" if misses > 0.0 else "under"
    return (
        "The rule of thumb says ",
        thumb,
        ", ",
        Value(abs(misses), "length", 2),
        f" {way} that range.",
    )


def cautions(boat: Boat, bits: int) -> tuple[str, ...]:
    """Codes of what was met, and of what always goes with hanging an engine."""
    bits |= int(Caution.ESTIMATE) | int(Caution.DRILL) | int(Caution.TRANSOM)
    if boat.plate_power_w is None:
        bits |= int(Caution.NO_PLATE)
    elif boat.engine.count * boat.engine.rated_power_w > boat.plate_power_w * (1 + 1e-9):
        bits |= int(Caution.OVER_PLATE)
    return codes(bits)


def assumptions(boat: Boat) -> tuple[Assumption, ...]:
    """What every study of this boat assumes, and what hanging an engine adds."""
    return (*assumptions_of(boat), *MOUNTING.values())


def sources(boat: Boat) -> tuple[str, ...]:
    """Sources of every law and assumption."""
    return sources_of((*LAWS_USED, *LAWS_OF_MOUNTING), assumptions(boat))
