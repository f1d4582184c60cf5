"""Sweeps: boats over all speeds that matter in one call, and everything a study reads off them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base import quantities
from perf.base.peaks import peak
from perf.base.units import to_si
from perf.boat.fleet import Fleet, doubted
from perf.boat.parts import Boat
from perf.solve.afloat import Afloat
from perf.solve.hump import Hump, read_hump, sweep_speeds
from perf.solve.performance import (
    TOP_SPEED_MPS,
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

SLOWEST_SHOWN = 2.0  # miles per hour
# the last step of the search for the top speed of a draw: what is left after it is some hundred times less
DRAWN_STEP_MPS = 1e-4
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


def sweep_with_rows(
    boat: Boat, drive_trim_deg: DriveTrim, speed_mps: Array | None = None
) -> tuple[Sweep, Points]:
    """One boat over her own 24 speeds, as sweep_boats, and over the rows of a table, in one call.

    speed_mps : speeds of the rows [m/s], (m,); None for every mile per hour from two to one past top
    speed. Angles of drive trim (m,) belong to the rows, the sweep then runs at their mean.
    """
    afloat = Afloat.of(Fleet.of(boat).lanes)
    own = sweep_speeds(afloat, speed_bound(afloat.lanes))
    asked = miles_per_hour(own.max()) if speed_mps is None else speed_mps
    both = np.concatenate([own, asked[None, :]], axis=1)
    if isinstance(drive_trim_deg, str):
        trims = drive_trims(afloat, both, drive_trim_deg)
    else:
        steady = np.full(own.shape, np.mean(drive_trim_deg))
        trims = np.concatenate(
            [steady, drive_trims(afloat, asked[None, :], drive_trim_deg)], axis=1
        )
    at = points(afloat, both, trims)
    rows, count = at.columns(slice(own.size, None)), asked.size
    finer = rows if speed_mps is None else None
    stated = read_sweep(afloat, at.columns(slice(own.size)), finer)
    if speed_mps is None:
        top = stated.top.speed_mps[0]
        count = miles_per_hour(top if np.isfinite(top) else own.max() / 2.0).size
    return stated, rows.columns(slice(count))


def miles_per_hour(end_mps: float) -> Array:
    """Every mile per hour from two to one past an end [m/s]."""
    mile = to_si(1.0, "speed", "us")
    return np.asarray(mile * np.arange(SLOWEST_SHOWN, np.ceil(end_mps / mile) + 2.0))


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
    return read_sweep(drawn, points(drawn, speed[each], trims[each]), step_mps=DRAWN_STEP_MPS)


def read_sweep(
    afloat: Afloat,
    swept: Points,
    finer: Points | None = None,
    *,
    step_mps: float = TOP_SPEED_MPS,
) -> Sweep:
    """Everything that is read off points over rising speeds; finer and step_mps as in top_speed."""
    planing = np.where(swept.planing_measure >= 0.0, mileage(swept), np.nan)
    speed, best = peak(swept.speed_mps, planing)
    return Sweep(
        afloat,
        swept,
        top_speed(afloat, swept, finer, step_mps),
        read_hump(afloat, swept),
        speed,
        best,
        best * reachable_fuel_l(afloat),
    )


def mileage(at: Points) -> Array:
    """Metres per litre where she runs, NaN elsewhere; (n, m)."""
    return np.where(at.status == Status.OK, quantities.mileage(at.speed_mps, at.fuel_lph), np.nan)


def reachable_fuel_l(afloat: Afloat) -> Array:
    """Usable fuel aboard less the reserve [L], (n,)."""
    return afloat.lanes.usable_fuel_m3 * quantities.LITRES * (1.0 - afloat.lanes.reserve)


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
