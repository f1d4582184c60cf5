"""One boat over speeds: how fast, at what rpm, burning what, how far, and how sure."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.assumptions import ASSUMPTIONS, FITTINGS, Assumption
from perf.base.cautions import Caution, code, codes
from perf.base.results import Mark, Plot, Result, Sentence, Value, banded_curves
from perf.base.sources import LAWS
from perf.boat.fleet import Fleet
from perf.boat.learned import as_tried, said_of
from perf.boat.parts import Boat
from perf.solve.afloat import Afloat
from perf.solve.performance import STATUS_WORDS, Points, Status
from perf.studies.evidence.fitted_laws import fitted_laws
from perf.studies.opinions import opinions
from perf.studies.spread import band, between
from perf.studies.sweeps import (
    DriveTrim,
    Sweep,
    drawn_names,
    idling_in_gear,
    mileage,
    reachable_fuel_l,
    sweep_boats,
    sweep_draws,
    sweep_with_rows,
)

Array = NDArray[np.float64]

DRAWS, SEED = 200, 1
HULL_ROWS = (
    "trim_deg",
    "drive_trim_deg",
    "draught_m",
    "wetted_length_m",
    "resistance_n",
    "thrust_n",
    "leg_drag_n",
    "air_drag_n",
)
BANDED = (
    "trim_deg",
    "resistance_n",
    "thrust_n",
    "shaft_power_w",
    "engine_rpm",
    "fuel_lph",
    "mileage_m_per_l",
    "range_m",
)
ROWS = (
    "trim_deg",
    "drive_trim_deg",
    "draught_m",
    "wetted_length_m",
    "resistance_n",
    "thrust_n",
    "leg_drag_n",
    "air_drag_n",
    "shaft_power_w",
    "throttle",
    "engine_rpm",
    "slip",
    "efficiency",
    "fuel_lph",
    "mileage_m_per_l",
    "range_m",
)
LAWS_USED = (
    "water_density",
    "kinematic_viscosity",
    "vapour_pressure",
    "air_density",
    "air_drag",
    "schoenherr",
    "ittc57",
    "displacement_resistance_ratio",
    "series62_resistance_ratio",
    "series62_trim",
    "size_corrected_ratio",
    "hump_multiplier",
    "planing_share",
    "planing_trim_share",
    "bridge",
    "drive_side_force",
    "surge_added_mass",
    "flat_lift",
    "deadrise_lift",
    "centre_of_pressure",
    "wetted_length_difference",
    "bottom_velocity_ratio",
    "pressure_area_ratio",
    "planing_inception",
    "porpoising_limit_savitsky",
    "wake_savitsky",
    "wake_straight",
    "strut_drag",
    "body_drag",
    "spray_drag",
    "gawn_thrust",
    "gawn_torque",
    "near_surface_thrust",
    "vented_share",
    "thrust_coefficient_limit",
    "full_throttle_power",
    "fuel_mass_flow",
)


def speeds(
    boats: Boat | Fleet | Iterable[Boat],
    speed_mps: Array | None = None,
    *,
    drive_trim_deg: DriveTrim = "best",
    draws: int = DRAWS,
    seed: int = SEED,
) -> Result:
    """How each boat runs at each speed, with bands from draws and the figures that matter.

    speed_mps : rising speeds [m/s], (m,), or None for every mile per hour up to past top speed.
    drive_trim_deg : "best", one angle [deg], or angles (m,), out positive.
    draws : how many times the doubts are drawn for the bands; 0 for none.
    """
    return whole_answer(as_stated(boats, speed_mps, drive_trim_deg=drive_trim_deg), draws, seed)


@dataclass(frozen=True, eq=False)
class Stated:
    """One boat as her file says, nothing drawn yet: her sweep and the rows of her table."""

    boat: Boat
    sweep: Sweep
    rows: Points
    drive_trim: str


def as_stated(
    boats: Boat | Fleet | Iterable[Boat],
    speed_mps: Array | None = None,
    *,
    drive_trim_deg: DriveTrim = "best",
) -> Stated:
    """The first and smaller part of the work behind speeds, arguments as there."""
    boat = _one(boats)
    grid = None if speed_mps is None else np.asarray(speed_mps, dtype=float)
    with np.errstate(all="ignore"):
        return Stated(boat, *sweep_with_rows(boat, drive_trim_deg, grid), str(drive_trim_deg))


def first_answer(known: Stated) -> Result:
    """What can be said before anything is drawn: no bands, no second opinions, no chance of planing."""
    with np.errstate(all="ignore"):
        frame = _frame(known.sweep.afloat, known.rows)
        summary = _summary(known.sweep, None)
    return _result(known, {"rows": frame}, summary, None, 0, 0)


def whole_answer(known: Stated, draws: int, seed: int) -> Result:
    """The answer of speeds to what is already known as stated."""
    boat, sweep = known.boat, known.sweep
    with np.errstate(all="ignore"):
        frame = _frame(sweep.afloat, known.rows)
        drawn = sweep_draws(boat, sweep, draws, seed) if draws else None
        if drawn is not None:
            _add_bands(frame, drawn)
        summary = _summary(sweep, drawn) | _one_stopped(boat, draws, seed)
        tables = {"rows": frame, "opinions": opinions(sweep)}
    return _result(known, tables, summary, drawn, draws, seed)


def _result(
    known: Stated,
    tables: dict[str, pd.DataFrame],
    summary: dict[str, Any],
    drawn: Sweep | None,
    draws: int,
    seed: int,
) -> Result:
    boat = known.boat
    assumed = assumptions_of(boat)
    return Result(
        kind="speeds",
        answer=_answer(boat, summary, drawn is not None),
        summary=summary,
        tables=tables,
        plots=_plots(summary, drawn is not None, float(known.rows.speed_mps[0, -1])),
        doubt=_doubt(boat, drawn, draws, seed),
        cautions=_cautions(boat, known.sweep, known.rows),
        assumptions=assumed,
        sources=sources_of((*LAWS_USED, *fitted_laws(boat)), assumed),
        inputs={
            "load": boat.load,
            "tank": boat.loaded.tank,
            "drive_trim": known.drive_trim,
            "seed": seed,
            "draws": draws,
        },
        boat=boat.name,
        notes=said_of(boat),
    )


def _one(boats: Boat | Fleet | Iterable[Boat]) -> Boat:
    if isinstance(boats, Boat):
        return boats
    many = boats.boats if isinstance(boats, Fleet) else tuple(boats)
    if len(many) != 1:
        raise ValueError(f"speeds looks at one boat at a time, not {len(many)}")
    return many[0]


def _frame(afloat: Afloat, at: Points) -> pd.DataFrame:
    """The rows of one boat: numbers where she runs, NaN and a status elsewhere."""
    ok = at.status[0] == Status.OK
    balanced = at.status[0] != Status.NO_BALANCE
    far = mileage(at)[0]
    extra = {
        "throttle": at.shaft_power_w[0] / at.full_power_w[0],
        "mileage_m_per_l": far,
        "range_m": far * reachable_fuel_l(afloat)[0],
    }
    frame = {"speed_mps": at.speed_mps[0]}
    for name in ROWS:
        values = extra[name] if name in extra else getattr(at, name)[0]
        frame[name] = np.where(balanced if name in HULL_ROWS else ok, values, np.nan)
    table = pd.DataFrame(frame)
    table["status"] = [STATUS_WORDS[Status(s)] for s in at.status[0]]
    table["cautions"] = [" ".join(codes(int(bits))) for bits in at.cautions[0]]
    return table


def _add_bands(frame: pd.DataFrame, drawn: Sweep) -> None:
    at = drawn.points
    far = mileage(at)
    extra = {"mileage_m_per_l": far, "range_m": far * reachable_fuel_l(drawn.afloat)[:, None]}
    ok = at.status == Status.OK
    pace = frame["speed_mps"].to_numpy()
    for name in BANDED:
        values = np.where(ok, extra[name] if name in extra else getattr(at, name), np.nan)
        shown = np.isfinite(frame[name].to_numpy())
        for ending, edge in zip(("_p10", "_p90"), band(name, values), strict=True):
            frame[name + ending] = np.where(shown, between(pace, at.speed_mps[0], edge), np.nan)


READ_OFF: dict[str, Callable[[Sweep], Array]] = {
    "top_speed_mps": lambda s: s.top.speed_mps,
    "top_rpm": lambda s: s.top.engine_rpm,
    "best_mileage_speed_mps": lambda s: s.best_speed_mps,
    "best_mileage_m_per_l": lambda s: s.best_mileage_m_per_l,
    "best_range_m": lambda s: s.best_range_m,
    "slowest_planing_speed_mps": lambda s: s.hump.slowest_planing_mps,
    "time_to_plane_s": lambda s: s.hump.time_to_plane_s,
    "hump_speed_mps": lambda s: s.hump.speed_mps,
    "hump_margin": lambda s: s.hump.margin,
    "hump_margin_n": lambda s: s.hump.margin_n,
    "trolling_speed_mps": lambda s: idling_in_gear(s)[0],
    "trolling_fuel_lph": lambda s: idling_in_gear(s)[1],
}
WHY_NOT = {
    "time_to_plane_s": "full throttle does not take her over the hump at this load",
    "slowest_planing_speed_mps": "no speed was found at which she planes at this load",
}


def _summary(stated: Sweep, drawn: Sweep | None) -> dict[str, Any]:
    """Key figures with bands; None and a reason where a figure does not exist."""
    lanes = stated.afloat.lanes
    summary: dict[str, Any] = {
        "mass_kg": float(lanes.mass_kg[0]),
        "forward_m": float(lanes.forward_m[0]),
    }
    reasons: dict[str, str] = {}
    for name, read in READ_OFF.items():
        value = float(read(stated)[0])
        summary[name] = value if np.isfinite(value) else None
        if summary[name] is None:
            reasons[name] = WHY_NOT.get(
                name, "full throttle does not hold her on plane at this load"
            )
        if drawn is not None:
            for ending, edge in zip(
                ("_p10", "_p90"), band(name, read(drawn)[:, None]), strict=True
            ):
                summary[name + ending] = float(edge[0]) if np.isfinite(edge[0]) else None
    summary["will_plane"] = float(np.mean((stated if drawn is None else drawn).planes))
    summary["reasons"] = reasons
    return summary


def _one_stopped(boat: Boat, draws: int, seed: int) -> dict[str, Any]:
    """Top speed and chance of planing with one engine of several stopped; nothing for a single engine."""
    if boat.engine.count - boat.stopped < 2:
        return {}
    less = boat.at(stopped=boat.stopped + 1)
    stated = sweep_boats(less)
    drawn = sweep_draws(less, stated, draws, seed) if draws else stated
    speed = stated.top.speed_mps[0]
    low, high = band("top_speed_mps", drawn.top.speed_mps[:, None])
    return {
        "one_stopped_speed_mps": float(speed),
        "one_stopped_speed_mps_p10": float(low[0]),
        "one_stopped_speed_mps_p90": float(high[0]),
        "one_stopped_planes": float(np.mean(drawn.planes)),
    }


def _answer(boat: Boat, summary: dict[str, Any], drawn: bool) -> Sentence:
    start = (f"{boat.name}, loaded as {boat.load} at ", Value(summary["mass_kg"], "mass", 0))
    often = 100 * summary["will_plane"]
    # one run says nothing of how often: without draws no chance is named
    chance = (
        f". She gets on plane {often:.0f} times in 100, allowing for what is not known."
        if drawn
        else ".",
    )
    if summary["top_speed_mps"] is None or summary["best_mileage_speed_mps"] is None:
        return Sentence((*start, ", does not get on plane with this engine and propeller", *chance))
    return Sentence(
        (
            *start,
            ", runs ",
            Value(summary["top_speed_mps"], "speed", 0),
            " flat out at ",
            Value(round(summary["top_rpm"], -1), "rotation", 0),
            " and goes farthest on plane at ",
            Value(summary["best_mileage_speed_mps"], "speed", 0),
            ": ",
            Value(summary["best_mileage_m_per_l"], "mileage", 1),
            ", ",
            Value(summary["best_range_m"], "distance", 0),
            " on the usable fuel aboard with a third kept back",
            *chance,
        )
    )


def _cautions(boat: Boat, stated: Sweep, rows: Points) -> tuple[str, ...]:
    """From the points the figures were read from, and from what the boat is."""
    best = int(np.argmax(np.nan_to_num(mileage(rows)[0], nan=-1.0)))
    bits = int(stated.top.cautions[0]) | int(rows.cautions[0, best])
    bits |= int(Caution.ESTIMATE) | int(Caution.RESERVE)
    if boat.plate_power_w is None:
        bits |= int(Caution.NO_PLATE)
    elif boat.engine.count * boat.engine.rated_power_w > boat.plate_power_w * (1 + 1e-9):
        bits |= int(Caution.OVER_PLATE)
    if boat.on_kicker:
        bits |= int(Caution.ON_KICKER)
    elif boat.mounting.setback_m > 0.0:
        bits |= int(Caution.TRANSOM)
    return codes(bits)


def _doubt(boat: Boat, drawn: Sweep | None, draws: int, seed: int) -> dict[str, Any]:
    if drawn is None:
        return {"draws": 0, "band": "none drawn"}
    failed = ~drawn.planes
    bits = drawn.top.cautions[~failed]
    shares = {
        code(c): float(np.mean(bits & c.value != 0))
        for c in Caution
        if c.value and np.any(bits & c.value)
    }
    return {
        "draws": draws,
        "seed": seed,
        "band": "10 to 90 per cent of the draws; a draw in which she does not plane counts as the worst",
        "inside": list(drawn_names(boat)),
        "outside": [
            "waves",
            "wind",
            "current",
            "a hooked or rockered bottom",
            "damage to hull or propeller",
        ],
        "share_not_planing": float(np.mean(failed)),
        "share_with_caution_at_top_speed": shares,
    }


def assumptions_of(boat: Boat) -> tuple[Assumption, ...]:
    """Every assumption behind this boat's answer: blanks that were filled, and those always in use."""
    blanks = (
        "waterline_share",
        "deadrise_rise",
        "transom_beam_share",
        "entrance_angle",
        "light_above",
        "area_ratio",
        "usable_fuel",
        "frontal_area_per_beam",
        "water_temperature",
        "salinity",
        "transom_rake",
    )
    cup = {"light": "light_cup_share", "heavy": "heavy_cup_share"}
    unused = {name for word, name in cup.items() if boat.propeller.cup != word}
    if boat.engine.drive == "outboard":
        unused |= {"sterndrive_mass_forward", "sterndrive_mass_above"}
    else:
        unused |= {"engine_aft", "engine_above"}
    if boat.bracket is None:
        unused |= {"bracket_centre", "bracket_height"}
    used = tuple(
        as_tried(boat, a)
        for name, a in ASSUMPTIONS.items()
        if name not in unused and (name not in blanks or name in boat.assumed)
    )
    return used + tuple(a for name, a in FITTINGS.items() if name in boat.assumed)


def sources_of(laws: Iterable[str], assumptions: Iterable[Assumption]) -> tuple[str, ...]:
    """Keys of every source behind these laws and assumptions, in first-use order."""
    keys = [LAWS[name].source for name in laws] + [a.source for a in assumptions]
    return tuple(dict.fromkeys(keys))


def _plots(summary: dict[str, Any], banded: bool, last_mps: float) -> tuple[Plot, ...]:
    # where full throttle does not plane her, or only past the last row, no plot claims a place for it
    planes = summary["top_speed_mps"] is not None
    marks = tuple(
        Mark(summary[name], label)
        for name, label in (
            ("slowest_planing_speed_mps", "planing"),
            ("best_mileage_speed_mps", "best cruise"),
            ("top_speed_mps", "flat out"),
        )
        if planes and summary[name] is not None and summary[name] <= last_mps
    )
    titles = (
        ("mileage_m_per_l", "How far on the fuel she burns"),
        ("fuel_lph", "What she burns"),
        ("engine_rpm", "Engine speed"),
        ("range_m", "How far on the fuel aboard, a third kept back"),
        ("trim_deg", "How she sits"),
    )
    return banded_curves(titles, "speed_mps", marks, banded)
