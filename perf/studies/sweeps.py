"""Sweeps: boats over all speeds that matter in one call, and everything a study reads off them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.peaks import peak
from perf.boat.fleet import Fleet, doubted
from perf.boat.parts import Boat
from perf.solve.afloat import Afloat
from perf.solve.hump import Hump, read_hump, sweep_speeds
from perf.solve.performance import (
    Points,
    Status,
    TopSpeed,
    best_drive_trim,
    points,
    speed_bound,
    top_speed,
)

Array = NDArray[np.float64]
DriveTrim = str | float | Array

PAST_TOP = 1.35  # draws are swept to this share of the undisturbed top speed


@dataclass(frozen=True, eq=False)
class Sweep:
    """Rows swept over rising speeds, and what is read off: all (n,) beside points (n, m)."""

    afloat: Afloat
    points: Points
    top: TopSpeed
    hump: Hump
    best_speed_mps: Array
    best_mileage_m_per_l: Array
    best_range_m: Array

    @property
    def planes(self) -> NDArray[np.bool_]:
        """Rows that get over the hump and that full throttle holds on plane, (n,)."""
        return self.hump.over & (self.top.speed_mps >= self.hump.slowest_planing_mps)


def drive_trims(afloat: Afloat, speed_mps: Array, wanted: DriveTrim) -> Array:
    """Drive trim (n, m): "best", one angle, or angles by speed; ValueError for another word."""
    if isinstance(wanted, str):
        if wanted != "best":
            raise ValueError(f'drive trim is "best" or an angle in degrees, not "{wanted}"')
        return best_drive_trim(afloat, speed_mps)
    shape = np.broadcast_shapes((afloat.lanes.count, 1), np.shape(speed_mps))
    return np.array(np.broadcast_to(np.asarray(wanted, dtype=float), shape))


def sweep_boats(boats: Boat | Sequence[Boat], drive_trim_deg: str | float = "best") -> Sweep:
    """Boats as stated, one row each, over their own 24 speeds from a crawl to past top speed."""
    afloat = Afloat.of(Fleet.of(boats).lanes)
    speed = sweep_speeds(afloat, speed_bound(afloat.lanes))
    return read_sweep(afloat, points(afloat, speed, drive_trims(afloat, speed, drive_trim_deg)))


def sweep_draws(boats: Boat | Sequence[Boat], stated: Sweep, draws: int, seed: int) -> Sweep:
    """Boats drawn from their doubts, rows boat by boat (draws each), drive trim frozen from stated.

    stated : sweep_boats of the same boats, in the same order.
    """
    drawn = Afloat.of(Fleet.draw(boats, draws, seed).lanes)
    pace = stated.points.speed_mps
    bound = np.where(
        np.isfinite(stated.top.speed_mps), PAST_TOP * stated.top.speed_mps, pace[:, -1]
    )
    speed = sweep_speeds(stated.afloat, np.minimum(bound, pace[:, -1]))
    trims = np.stack(
        [
            np.interp(wanted, known, trim)
            for wanted, known, trim in zip(speed, pace, stated.points.drive_trim_deg, strict=True)
        ]
    )
    each = np.repeat(np.arange(speed.shape[0]), draws)
    return read_sweep(drawn, points(drawn, speed[each], trims[each]))


def read_sweep(afloat: Afloat, swept: Points) -> Sweep:
    """Everything that is read off points over rising speeds."""
    planing = np.where(swept.planing_measure >= 0.0, mileage(swept), np.nan)
    speed, best = peak(swept.speed_mps, planing)
    return Sweep(
        afloat,
        swept,
        top_speed(afloat, swept),
        read_hump(afloat, swept),
        speed,
        best,
        best * reachable_fuel_l(afloat),
    )


def mileage(at: Points) -> Array:
    """Metres per litre where she runs, NaN elsewhere; (n, m)."""
    return np.where(at.status == Status.OK, at.speed_mps * 3600.0 / at.fuel_lph, np.nan)


def reachable_fuel_l(afloat: Afloat) -> Array:
    """Usable fuel aboard less the reserve [L], (n,)."""
    return afloat.lanes.usable_fuel_m3 * 1000.0 * (1.0 - afloat.lanes.reserve)


def drawn_names(boat: Boat) -> tuple[str, ...]:
    """Names of every input that is drawn for this boat."""
    return tuple(doubted(boat))


def idling_in_gear(swept: Sweep) -> tuple[Array, Array]:
    """Speed [m/s] and fuel [L/h] with the engines idling in gear, (n,); NaN where the sweep does not reach it."""
    at, lanes = swept.points, swept.afloat.lanes
    low = at.engine_rpm - lanes.idle_rpm[:, None]
    above = (low >= 0.0) & np.isfinite(low)
    first = np.argmax(above, axis=1)
    row = np.arange(first.size)
    before = np.maximum(first - 1, 0)
    with np.errstate(all="ignore"):
        share = -low[row, before] / (low[row, first] - low[row, before])
        speed = at.speed_mps[row, before] + share * (
            at.speed_mps[row, first] - at.speed_mps[row, before]
        )
        fuel = at.fuel_lph[row, before] + share * (
            at.fuel_lph[row, first] - at.fuel_lph[row, before]
        )
    known = above.any(axis=1) & (first > 0)
    return np.where(known, speed, np.nan), np.where(known, fuel, np.nan)
