"""One boat over speeds: how fast, at what rpm, burning what, how far, and how sure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.assumptions import ASSUMPTIONS, Assumption
from perf.base.cautions import Caution, code, codes
from perf.base.results import Line, Mark, Plot, Result, Sentence, Value
from perf.base.sources import LAWS
from perf.base.units import to_si
from perf.boat.fleet import Fleet, Lanes
from perf.boat.parts import Boat
from perf.solve.afloat import Afloat
from perf.solve.performance import (
    STATUS_WORDS,
    Points,
    Status,
    TopSpeed,
    best_drive_trim,
    points,
    slowest_planing_speed,
    speed_bound,
    top_speed,
)
from perf.studies.spread import band, between

Array = NDArray[np.float64]

COARSE = 14  # speeds of a coarse sweep
SLOWEST_SWEPT = 0.08  # of the speed bound
BANDED = ("trim_deg", "resistance_n", "thrust_n", "shaft_power_w", "engine_rpm", "fuel_lph", "mileage_m_per_l", "range_m")
ROWS = (
    "trim_deg", "drive_trim_deg", "draught_m", "wetted_length_m", "resistance_n", "thrust_n", "leg_drag_n",
    "air_drag_n", "shaft_power_w", "throttle", "engine_rpm", "slip", "efficiency", "fuel_lph",
    "mileage_m_per_l", "range_m",
)
LAWS_USED = (
    "water_density", "kinematic_viscosity", "vapour_pressure", "air_density", "air_drag", "schoenherr",
    "flat_lift", "deadrise_lift", "centre_of_pressure", "wetted_length_difference", "bottom_velocity_ratio",
    "pressure_area_ratio", "planing_inception", "porpoising_limit_savitsky", "wake_savitsky", "wake_straight",
    "strut_drag", "body_drag", "spray_drag", "gawn_thrust", "gawn_torque", "near_surface_thrust",
    "thrust_coefficient_limit", "full_throttle_power", "fuel_mass_flow",
)


@dataclass(frozen=True, eq=False)
class Sweep:
    """One fleet swept over speeds, with what is read off the sweep; all (n,) beside the points."""

    points: Points
    top: TopSpeed
    slowest_mps: Array
    best_speed_mps: Array
    best_mileage: Array
    best_range_m: Array


def speeds(
    boats: Boat | Fleet | Iterable[Boat],
    speed_mps: Array | None = None,
    *,
    drive_trim_deg: str | float | Array = "best",
    draws: int = 200,
    seed: int = 1,
) -> Result:
    """How each boat runs at each speed, with bands from draws and the figures that matter.

    speed_mps : rising speeds [m/s], (m,), or None for every mile per hour up to past top speed.
    drive_trim_deg : "best", one angle [deg], or angles (m,), out positive.
    draws : how many times the doubts are drawn for the bands; 0 for none.
    """
    first = _one(boats)
    afloat = Afloat.of(Fleet.of(first).lanes)
    lanes = afloat.lanes
    with np.errstate(all="ignore"):
        sweep = _sweep(afloat, coarse_speeds(lanes), drive_trim_deg)
        grid = _grid(sweep) if speed_mps is None else np.asarray(speed_mps, dtype=float)
        trims = _trims(afloat, grid, drive_trim_deg)
        rows = points(afloat, grid[None, :], trims)
        frame = _frame(lanes, rows)
        spread = _spread(first, sweep, draws, seed) if draws else None
        if spread is not None:
            _add_bands(frame, spread)
    summary = _summary(lanes, sweep, spread)
    cautions = _cautions(first, sweep, rows)
    return Result(
        kind="speeds",
        answer=_answer(first, summary),
        summary=summary,
        tables={"rows": frame},
        plots=_plots(summary, spread is not None),
        doubt=_doubt(first, spread, draws, seed),
        cautions=cautions,
        assumptions=assumptions_of(first),
        sources=sources_of(LAWS_USED, assumptions_of(first)),
        inputs={"load": first.load, "tank": first.loaded.tank, "drive_trim": str(drive_trim_deg), "seed": seed, "draws": draws},
        boat=first.name,
    )


def _one(boats: Boat | Fleet | Iterable[Boat]) -> Boat:
    if isinstance(boats, Boat):
        return boats
    many = boats.boats if isinstance(boats, Fleet) else tuple(boats)
    if len(many) != 1:
        raise ValueError(f"speeds looks at one boat at a time, not {len(many)}")
    return many[0]


def coarse_speeds(lanes: Lanes) -> Array:
    """Rising speeds (n, 14) from a crawl to past anything the propeller can do."""
    steps = np.linspace(SLOWEST_SWEPT, 1.0, COARSE)
    return speed_bound(lanes)[:, None] * steps[None, :]


def _trims(afloat: Afloat, speed_mps: Array, wanted: str | float | Array) -> Array:
    if isinstance(wanted, str):
        if wanted != "best":
            raise ValueError(f'drive trim is "best" or an angle in degrees, not "{wanted}"')
        return best_drive_trim(afloat, speed_mps)
    shape = np.broadcast_shapes((afloat.lanes.count, 1), np.shape(speed_mps))
    return np.array(np.broadcast_to(np.asarray(wanted, dtype=float), shape))


def _sweep(afloat: Afloat, speed_mps: Array, wanted: str | float | Array) -> Sweep:
    fixed = wanted if isinstance(wanted, str) else float(np.mean(np.asarray(wanted)))
    swept = points(afloat, speed_mps, _trims(afloat, speed_mps, fixed))
    return _read_sweep(afloat, swept)


def _read_sweep(afloat: Afloat, swept: Points) -> Sweep:
    lanes = afloat.lanes
    top = top_speed(afloat, swept)
    speed, mileage = _best_mileage(swept)
    usable_l = lanes.usable_fuel_m3 * 1000.0 * (1.0 - lanes.reserve)
    return Sweep(swept, top, slowest_planing_speed(swept), speed, mileage, mileage * usable_l)


def _mileage(at: Points) -> Array:
    """Metres per litre where she runs, NaN elsewhere."""
    return np.where(at.status == Status.OK, at.speed_mps * 3600.0 / at.fuel_lph, np.nan)


def _best_mileage(swept: Points) -> tuple[Array, Array]:
    """Speed and mileage of the best planing cruise: a parabola through the best point and its neighbours."""
    mileage = _mileage(swept)
    safe = np.where(np.isfinite(mileage), mileage, -np.inf)
    best = np.argmax(safe, axis=1)
    row = np.arange(best.size)
    middle = np.clip(best, 1, safe.shape[1] - 2)
    left, here, right = (safe[row, middle + k] for k in (-1, 0, 1))
    bend = left - 2.0 * here + right
    inside = (best == middle) & np.isfinite(bend) & (bend < 0.0)
    shift = np.where(inside, 0.5 * (left - right) / bend, 0.0)
    pace = swept.speed_mps
    step = np.where(shift >= 0.0, pace[row, middle + 1] - pace[row, middle], pace[row, middle] - pace[row, middle - 1])
    speed = np.where(inside, pace[row, middle] + shift * step, pace[row, best])
    height = np.where(inside, here - 0.25 * (left - right) * shift, safe[row, best])
    some = np.isfinite(height)
    return np.where(some, speed, np.nan), np.where(some, height, np.nan)


def _grid(sweep: Sweep) -> Array:
    """Every mile per hour from five to one past top speed."""
    mile = to_si(1.0, "speed", "us")
    top = sweep.top.speed_mps[0]
    end = top if np.isfinite(top) else float(sweep.points.speed_mps.max()) / 2.0
    return mile * np.arange(5.0, np.ceil(end / mile) + 2.0)


def _frame(lanes: Lanes, at: Points) -> pd.DataFrame:
    """The rows of one boat: numbers where she runs, NaN and a status elsewhere."""
    ok = at.status[0] == Status.OK
    balanced = ok | (at.status[0] == Status.PAST_FULL_THROTTLE)
    usable_l = lanes.usable_fuel_m3[0] * 1000.0 * (1.0 - lanes.reserve[0])
    mileage = _mileage(at)[0]
    extra = {"throttle": at.shaft_power_w[0] / at.full_power_w[0], "mileage_m_per_l": mileage, "range_m": mileage * usable_l}
    hull = ("trim_deg", "drive_trim_deg", "draught_m", "wetted_length_m", "resistance_n", "thrust_n", "leg_drag_n", "air_drag_n")
    frame = {"speed_mps": at.speed_mps[0]}
    for name in ROWS:
        values = extra[name] if name in extra else getattr(at, name)[0]
        frame[name] = np.where(balanced if name in hull else ok, values, np.nan)
    table = pd.DataFrame(frame)
    table["status"] = [STATUS_WORDS[Status(s)] for s in at.status[0]]
    table["cautions"] = [" ".join(codes(int(bits))) for bits in at.cautions[0]]
    return table


@dataclass(frozen=True, eq=False)
class Spread:
    """The draws: swept on the coarse speeds of the undisturbed boat, drive trim frozen from her."""

    sweep: Sweep
    lanes: Lanes
    names: tuple[str, ...]


def _spread(boat: Boat, sweep: Sweep, draws: int, seed: int) -> Spread:
    drawn = Afloat.of(Fleet.draw(boat, draws, seed).lanes)
    pace = sweep.points.speed_mps
    top = sweep.top.speed_mps[0]
    end = 1.35 * top if np.isfinite(top) else pace[0, -1]
    coarse = np.linspace(pace[0, 0], min(end, pace[0, -1]), COARSE + 4)[None, :]
    trims = np.interp(coarse[0], pace[0], sweep.points.drive_trim_deg[0])[None, :]
    swept = points(drawn, coarse, trims)
    named = tuple(f"assumed.{name}" for name in ASSUMPTIONS if ASSUMPTIONS[name].half_width)
    return Spread(_read_sweep(drawn, swept), drawn.lanes, tuple(path for path, _ in boat.doubts) + named)


def _add_bands(frame: pd.DataFrame, spread: Spread) -> None:
    at = spread.sweep.points
    usable_l = (spread.lanes.usable_fuel_m3 * 1000.0 * (1.0 - spread.lanes.reserve))[:, None]
    ok = at.status == Status.OK
    mileage = _mileage(at)
    extra = {"mileage_m_per_l": mileage, "range_m": mileage * usable_l}
    for name in BANDED:
        values = np.where(ok, extra[name] if name in extra else getattr(at, name), np.nan)
        shown = np.isfinite(frame[name].to_numpy())
        for ending, edge in zip(("_p10", "_p90"), band(name, values), strict=True):
            frame[name + ending] = np.where(shown, between(frame["speed_mps"].to_numpy(), at.speed_mps[0], edge), np.nan)


def _summary(lanes: Lanes, sweep: Sweep, spread: Spread | None) -> dict[str, Any]:
    """Key figures with bands; None and a reason where a figure does not exist."""
    reads = {
        "top_speed_mps": lambda s: s.top.speed_mps,
        "top_rpm": lambda s: s.top.engine_rpm,
        "best_mileage_speed_mps": lambda s: s.best_speed_mps,
        "best_mileage_m_per_l": lambda s: s.best_mileage,
        "best_range_m": lambda s: s.best_range_m,
        "slowest_planing_speed_mps": lambda s: s.slowest_mps,
    }
    summary: dict[str, Any] = {"mass_kg": float(lanes.mass_kg[0]), "forward_m": float(lanes.forward_m[0])}
    reasons: dict[str, str] = {}
    for name, read in reads.items():
        value = float(read(sweep)[0])
        summary[name] = value if np.isfinite(value) else None
        if summary[name] is None:
            reasons[name] = "full throttle does not hold her on plane at this load"
        if spread is not None:
            for ending, edge in zip(("_p10", "_p90"), band(name, read(spread.sweep)[:, None]), strict=True):
                summary[name + ending] = float(edge[0]) if np.isfinite(edge[0]) else None
    planes = np.isfinite(spread.sweep.top.speed_mps) if spread is not None else np.isfinite(sweep.top.speed_mps)
    summary["will_plane"] = float(np.mean(planes))
    for name in ("hump_speed_mps", "hump_margin", "hump_margin_n"):
        summary[name] = None
        reasons[name] = "the methods in use begin where she planes; the hump lies below"
    summary["reasons"] = reasons
    return summary


def _answer(boat: Boat, summary: dict[str, Any]) -> Sentence:
    start = (f"{boat.name}, loaded as {boat.load} at ", Value(summary["mass_kg"], "mass", 0))
    chance = (f". She planes in {100 * summary['will_plane']:.0f} of 100 draws of what is not known for sure.",)
    if summary["top_speed_mps"] is None or summary["best_mileage_speed_mps"] is None:
        return Sentence((*start, ", does not get on plane with this engine and propeller", *chance))
    return Sentence(
        (
            *start,
            ", runs ", Value(summary["top_speed_mps"], "speed", 0),
            " flat out at ", Value(round(summary["top_rpm"], -1), "rotation", 0),
            " and goes farthest on plane at ", Value(summary["best_mileage_speed_mps"], "speed", 0),
            ": ", Value(summary["best_mileage_m_per_l"], "mileage", 1),
            ", ", Value(summary["best_range_m"], "distance", 0),
            " on the usable fuel aboard with a third kept back", *chance,
        )
    )


def _cautions(boat: Boat, sweep: Sweep, rows: Points) -> tuple[str, ...]:
    """From the points the figures were read from, and from what the boat is."""
    best = int(np.argmax(np.nan_to_num(_mileage(rows)[0], nan=-1.0)))
    bits = int(sweep.top.cautions[0]) | int(rows.cautions[0, best])
    bits |= int(Caution.ESTIMATE) | int(Caution.RESERVE)
    if boat.plate_power_w is None:
        bits |= int(Caution.NO_PLATE)
    elif boat.engine.count * boat.engine.rated_power_w > boat.plate_power_w * (1 + 1e-9):
        bits |= int(Caution.OVER_PLATE)
    if boat.mounting.setback_m > 0.0:
        bits |= int(Caution.TRANSOM)
    return codes(bits)


def _doubt(boat: Boat, spread: Spread | None, draws: int, seed: int) -> dict[str, Any]:
    if spread is None:
        return {"draws": 0, "band": "none drawn"}
    failed = ~np.isfinite(spread.sweep.top.speed_mps)
    bits = spread.sweep.top.cautions[~failed]
    shares = {code(c): float(np.mean(bits & c.value != 0)) for c in Caution if c.value and np.any(bits & c.value)}
    return {
        "draws": draws,
        "seed": seed,
        "band": "10 to 90 per cent of the draws; a draw in which she does not plane counts as the worst",
        "inside": list(spread.names),
        "outside": ["waves", "wind", "current", "a hooked or rockered bottom", "damage to hull or propeller"],
        "share_not_planing": float(np.mean(failed)),
        "share_with_caution_at_top_speed": shares,
    }


def assumptions_of(boat: Boat) -> tuple[Assumption, ...]:
    """Every assumption behind this boat's answer: blanks that were filled, and those always in use."""
    blanks = ("waterline_share", "deadrise_rise", "transom_beam_share", "entrance_angle", "light_above", "area_ratio",
              "usable_fuel", "frontal_area_per_beam", "water_temperature", "salinity", "transom_rake")
    cup = {"light": "light_cup_share", "heavy": "heavy_cup_share"}
    unused = {name for word, name in cup.items() if boat.propeller.cup != word}
    if boat.engine.drive == "outboard":
        unused |= {"sterndrive_mass_forward", "sterndrive_mass_above"}
    else:
        unused |= {"engine_aft", "engine_above"}
    if boat.bracket is None:
        unused |= {"bracket_centre", "bracket_height"}
    return tuple(
        a for name, a in ASSUMPTIONS.items()
        if name not in unused and (name not in blanks or name in boat.assumed)
    )


def sources_of(laws: Iterable[str], assumptions: Iterable[Assumption]) -> tuple[str, ...]:
    """Keys of every source behind these laws and assumptions, in first-use order."""
    keys = [LAWS[name].source for name in laws] + [a.source for a in assumptions]
    return tuple(dict.fromkeys(keys))


def _plots(summary: dict[str, Any], banded: bool) -> tuple[Plot, ...]:
    marks = tuple(
        Mark(summary[name], label)
        for name, label in (("slowest_planing_speed_mps", "planing"), ("best_mileage_speed_mps", "best cruise"), ("top_speed_mps", "flat out"))
        if summary[name] is not None
    )
    titles = (
        ("mileage_m_per_l", "How far on a gallon"),
        ("fuel_lph", "What she burns"),
        ("engine_rpm", "Engine speed"),
        ("range_m", "How far on the fuel aboard, a third kept back"),
        ("trim_deg", "How she sits"),
    )
    return tuple(
        Plot(
            name, title, "speed_mps", name,
            (Line("rows", name, "as she is", band=(f"{name}_p10", f"{name}_p90") if banded else None),),
            marks,
        )
        for name, title in titles
    )
