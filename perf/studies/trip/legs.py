"""Trips as arrays: every run of every trip or draw is one row, its fuel at mid-run found by fixed point.

Burned fuel lightens the boat and moves her balance. Fuel is one mass at the tank's place, so the
mass and the balance point at any level follow exactly from the boat without fuel.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from perf.base.quantities import HOUR_S, LITRES
from perf.boat.lanes import Lanes
from perf.laws import seaway
from perf.laws.water import GRAVITY
from perf.solve import drive
from perf.solve.afloat import Afloat
from perf.solve.performance import BLOCK, Points, Status, points

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

MOST_SWEEPS = 4
SETTLED = 1e-3  # share of the total fuel that may still change


@dataclass(frozen=True, eq=False)
class Voyage:
    """k trips of r runs: dry and the tank's place hold k x r flat rows, all else is (k, r).

    Wind is over the water, along the course from ahead positive and across it. A run has a distance
    over the ground or, where that is NaN, a duration. standing rows make no way; running says
    whether the engines turn on them.
    """

    dry: Lanes  # without fuel; wave height and sea share are in it
    tank_forward_m: float
    tank_above_m: float
    capacity_m3: float
    wind_ahead_mps: Array
    wind_across_mps: Array
    current_along_mps: Array
    current_across_mps: Array
    distance_m: Array
    duration_s: Array
    standing: Flags
    running: Flags
    take_on_m3: Array

    @property
    def shape(self) -> tuple[int, int]:
        """Trips and runs."""
        trips, runs = self.distance_m.shape
        return int(trips), int(runs)


def with_fuel(dry: Lanes, fuel_m3: Array, tank_forward_m: float, tank_above_m: float) -> Lanes:
    """The same rows with fuel in the tank: exact in mass and moments; fuel_m3 (n,)."""
    fuel = fuel_m3 * dry.fuel_density
    mass = dry.mass_kg + fuel
    return replace(
        dry,
        mass_kg=mass,
        weight_n=mass * GRAVITY,
        forward_m=(dry.mass_kg * dry.forward_m + fuel * tank_forward_m) / mass,
        above_m=(dry.mass_kg * dry.above_m + fuel * tank_above_m) / mass,
    )


def afloat_at(voyage: Voyage, fuel_m3: Array) -> Afloat:
    """Every row afloat with so much fuel in the tank, (k, r) -> k x r rows."""
    return Afloat.of(
        with_fuel(voyage.dry, fuel_m3.ravel(), voyage.tank_forward_m, voyage.tank_above_m)
    )


@dataclass(frozen=True, eq=False)
class Felt:
    """Wind over the water along and across the course of flat rows, (n,)."""

    ahead_mps: Array
    across_mps: Array

    @classmethod
    def of(cls, voyage: Voyage) -> Felt:
        """The wind of every row of a voyage."""
        return cls(voyage.wind_ahead_mps.ravel(), voyage.wind_across_mps.ravel())

    def take(self, rows: NDArray[np.intp]) -> Felt:
        """The rows at these positions."""
        return Felt(self.ahead_mps[rows], self.across_mps[rows])


def blown(afloat: Afloat, felt: Felt, speed_mps: Array) -> Afloat:
    """The rows with the head wind that drags, at one speed each, as their wind does; all (n,)."""
    head = seaway.effective_head_wind(speed_mps, felt.ahead_mps, felt.across_mps)
    return replace(afloat, lanes=replace(afloat.lanes, head_wind_mps=head))


def flat(speed_mps: Array) -> tuple[NDArray[np.intp], Array]:
    """Row of every value of (n, m) and the values in one row, so that each is a lane of its own."""
    rows = np.repeat(np.arange(speed_mps.shape[0]), speed_mps.shape[1])
    return rows, np.ascontiguousarray(speed_mps, dtype=float).ravel()


def run_at(afloat: Afloat, felt: Felt, speed_mps: Array, drive_trim_deg: Array) -> Points:
    """Rows at speeds (n, m) with the wind each speed makes of theirs; in blocks that keep memory flat."""
    count, columns = speed_mps.shape
    step = max(1, BLOCK // columns)
    parts = []
    for at in range(0, max(count, 1), step):
        rows, speed = flat(speed_mps[at : at + step])
        rows = rows + at
        each = blown(afloat.take(rows), felt.take(rows), speed)
        parts.append(points(each, speed[:, None], drive_trim_deg[at : at + step].reshape(-1, 1)))
    joined = {
        f.name: np.concatenate([getattr(part, f.name) for part in parts]).reshape(count, columns)
        for f in fields(Points)
    }
    return Points(**joined)


def idle_lph(lanes: Lanes) -> Array:
    """Fuel of the engines out of gear at idle [L/h], (n,)."""
    return drive.fuel_lph(lanes, np.zeros(lanes.count), lanes.idle_rpm)


def burn_lph(lanes: Lanes, at: Points) -> Array:
    """Fuel burn (n, m): NaN without a balance; idling where wind or sea push harder than she drags."""
    pushed = at.thrust_n <= 0.0
    idle = idle_lph(lanes)[:, None]
    lost = at.status == Status.NO_BALANCE
    return np.where(pushed, idle, np.where(lost, np.nan, np.maximum(at.fuel_lph, idle)))


@dataclass(frozen=True, eq=False)
class Spent:
    """What the runs take, all (k, r); NaN where a run has no answer. at: their points, k x r rows.

    fuel_mid_m3 : fuel in the tank half way through each run, of which the last sweep was made.
    """

    speed_mps: Array
    ground_mps: Array
    distance_m: Array
    time_s: Array
    lph: Array
    burned_m3: Array
    fuel_mid_m3: Array
    held: Flags
    at: Points
    sweeps: int
    engine_calls: int
    settled: bool


@dataclass(frozen=True, eq=False)
class Paced:
    """Rows at the speed they hold, n rows: held is False where it is less than was asked."""

    speed_mps: Array
    at: Points
    held: Flags
    engine_calls: int


Pacing = Callable[[Afloat, Felt, int], Paced]


def spend(
    voyage: Voyage, start_m3: Array, pacing: Pacing, guess_m3: Array, lightens: bool
) -> Spent:
    """Fuel, time and distance of every run, (k, r); sweeps until the total fuel stays within a thousandth.

    start_m3 : fuel in the tank at the start (k,), with what cannot be drawn. pacing : how fast the
    rows of one sweep go. guess_m3 : a first guess of the fuel each run burns, (k, r) or broadcast.
    """
    burned = np.array(np.broadcast_to(guess_m3, voyage.shape), dtype=float)
    calls, total = 0, np.full(voyage.shape[0], np.nan)
    for sweep in range(1, MOST_SWEEPS + 1):
        level = level_mid(voyage, start_m3, burned if lightens else np.zeros(voyage.shape))
        if not lightens:
            level = np.broadcast_to(np.minimum(start_m3, voyage.capacity_m3)[:, None], voyage.shape)
        afloat = afloat_at(voyage, level)
        paced = pacing(afloat, Felt.of(voyage), sweep)
        calls += paced.engine_calls
        found = _spent(voyage, afloat, paced, level, sweep, calls)
        now = np.nansum(found.burned_m3, axis=1)
        moved = ~(np.abs(now - total) <= SETTLED * now)  # also where nothing is known yet
        burned, total = np.nan_to_num(found.burned_m3), now
        if not lightens or not np.any(moved):
            return found
    return replace(found, settled=False)


def level_mid(voyage: Voyage, start_m3: Array, burned_m3: Array) -> Array:
    """Fuel in the tank half way through each run, (k, r), between nothing and full."""
    level, found = np.minimum(start_m3, voyage.capacity_m3), np.empty(voyage.shape)
    for run in range(voyage.shape[1]):
        level = np.minimum(level + voyage.take_on_m3[:, run], voyage.capacity_m3)
        found[:, run] = np.maximum(level - 0.5 * burned_m3[:, run], 0.0)
        level = np.maximum(level - burned_m3[:, run], 0.0)
    return found


def left_after(voyage: Voyage, start_m3: Array, unusable_m3: Array, burned_m3: Array) -> Array:
    """Usable fuel left at the end of each run (k, r), under nothing where the run asks for more than there is."""
    level, found = np.minimum(start_m3, voyage.capacity_m3), np.empty(voyage.shape)
    for run in range(voyage.shape[1]):
        level = np.minimum(level + voyage.take_on_m3[:, run], voyage.capacity_m3)
        level = level - burned_m3[:, run]
        found[:, run] = level - unusable_m3
    return found


def _spent(
    voyage: Voyage, afloat: Afloat, paced: Paced, level_m3: Array, sweep: int, calls: int
) -> Spent:
    shape = voyage.shape
    with np.errstate(all="ignore"):
        lph = burn_lph(afloat.lanes, paced.at).reshape(shape)
        idle = idle_lph(afloat.lanes).reshape(shape)
        speed = paced.speed_mps.reshape(shape)
        ground = seaway.ground_speed(speed, voyage.current_along_mps, voyage.current_across_mps)
        by_time = np.isnan(voyage.distance_m)
        time = np.where(by_time, voyage.duration_s, voyage.distance_m / ground)
        time = np.where(voyage.distance_m == 0.0, 0.0, time)
        far = np.where(by_time, ground * voyage.duration_s, voyage.distance_m)
        lph = np.where(voyage.standing, np.where(voyage.running, idle, 0.0), lph)
        far = np.where(voyage.standing, 0.0, far)
        burned = lph / LITRES * time / HOUR_S
    nothing = voyage.standing | (time == 0.0)
    return Spent(
        np.where(voyage.standing, 0.0, speed),
        np.where(voyage.standing, 0.0, ground),
        far,
        time,
        lph,
        np.where(time == 0.0, 0.0, burned),
        np.array(level_m3),
        paced.held.reshape(shape) | nothing,
        paced.at,
        sweep,
        calls,
        True,
    )
