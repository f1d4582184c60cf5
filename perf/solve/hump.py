"""Getting over the hump: thrust to spare, the hump speed, and the time from rest to planing.

Definitions, one function each:

hump speed      from volume Froude number 1 to where she begins to plane (3 at most), where thrust
                needed over full-throttle thrust is greatest; past that the ratio climbs again toward
                one at top speed, which is no hump. On many boats it climbs all the way: the hump is
                then where she begins to plane
hump margin     one less that ratio there
time to plane   from rest at full throttle to the slowest planing speed; none where thrust falls short before
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.peaks import peak, read_at
from perf.base.quantities import MINUTE_S
from perf.boat.lanes import Lanes
from perf.laws import cavitation
from perf.laws.added_mass import surge_added_mass
from perf.laws.water import GRAVITY
from perf.solve import drive
from perf.solve.afloat import Afloat
from perf.solve.performance import Points, Status, inception_speed, slowest_planing_speed

Array = NDArray[np.float64]

HUMP_LOW, HUMP_HIGH = 1.0, 3.0  # volume Froude numbers
TOP_ALIKE = 0.01  # of two greatest shares of thrust this much alike the later is the hump
CRAWL_MPS = 0.3  # the run from rest begins here


def sweep_speeds(afloat: Afloat, bound_mps: Array) -> Array:
    """Rising speeds (n, 24): a crawl to the hump, close over the hump, then to the bound of the propeller."""
    unit = np.sqrt(GRAVITY * np.cbrt(afloat.volume_m3))
    slow = np.linspace(0.0, 0.9, 6)[None, :] * (unit - CRAWL_MPS)[:, None] + CRAWL_MPS
    over = np.linspace(HUMP_LOW, HUMP_HIGH, 11)[None, :] * unit[:, None]
    reach = np.maximum(bound_mps, 1.2 * HUMP_HIGH * unit) - HUMP_HIGH * unit
    fast = HUMP_HIGH * unit[:, None] + np.linspace(1 / 7, 1.0, 7)[None, :] * reach[:, None]
    return np.concatenate([slow, over, fast], axis=1)


def full_throttle_thrust(afloat: Afloat, at: Points) -> Array:
    """Thrust of all propellers at full throttle at each point [N], (n, m).

    The published cavitation cap counts by the hole-shot share: whole it stops boats that do plane,
    left out it flatters them.
    """
    shape = at.speed_mps.shape
    rows = np.repeat(np.arange(shape[0]), shape[1])
    lanes = afloat.lanes.take(rows)
    with np.errstate(all="ignore"):
        screw = drive.Screw.of(lanes, at.speed_mps.ravel(), at.plate_depth_m.ravel())
        thrust, rpm = drive.full_thrust(screw)
        turns = rpm / (MINUTE_S * lanes.gear_ratio)
        advance = screw.advance_mps / (turns * lanes.diameter_m)
        capped = _capped(screw, lanes, advance, turns)
        return (thrust - lanes.hole_shot * np.maximum(thrust - capped, 0.0)).reshape(shape)


def _capped(screw: drive.Screw, lanes: Lanes, advance: Array, turns: Array) -> Array:
    limit = cavitation.thrust_coefficient_limit(
        advance,
        lanes.effective_pitch_ratio,
        lanes.area_ratio,
        drive.blade_cavitation_number(screw, turns),
    )
    square = lanes.diameter_m * lanes.diameter_m
    each = limit * lanes.water_density * turns * turns * square * square
    return each * lanes.engines * (1.0 - lanes.thrust_deduction)


@dataclass(frozen=True, eq=False)
class Hump:
    """What is read off a sweep about the hump, (n,); NaN where it does not exist."""

    speed_mps: Array
    margin: Array
    margin_n: Array
    slowest_planing_mps: Array
    time_to_plane_s: Array
    over: NDArray[np.bool_]


def read_hump(afloat: Afloat, at: Points) -> Hump:
    """Hump speed and margin, slowest planing speed and time to plane from one rising sweep (n, m)."""
    full = full_throttle_thrust(afloat, at)
    with np.errstate(all="ignore"):
        load = np.where(at.status == Status.NO_BALANCE, np.nan, at.thrust_n / full)
        slowest = slowest_planing_speed(at)
        speed, ratio = _hump(at, load, slowest)
        seconds = _time_to(afloat, at, full, slowest) + afloat.lanes.throttle_delay_s
    spare = (1.0 - ratio) * read_at(at.speed_mps, full, speed)
    return Hump(speed, 1.0 - ratio, spare, slowest, seconds, np.isfinite(seconds))


def _hump(at: Points, load: Array, slowest_mps: Array) -> tuple[Array, Array]:
    """Hump speed and the share of full-throttle thrust needed there, (n,).

    Sought to where she begins to plane; if full throttle falls short between there and her slowest
    planing speed, to that: it is the hump she does not get over.
    """
    unit = at.speed_mps[:, 0] / at.volume_froude[:, 0]
    low, high = HUMP_LOW * unit, HUMP_HIGH * unit
    begins = np.fmin(inception_speed(at, low), high)
    speed, ratio = _greatest(at.speed_mps, load, low, begins)
    later, greater = _greatest(at.speed_mps, load, low, np.fmin(slowest_mps, high))
    short = (greater >= 1.0) & (ratio < 1.0)
    return np.where(short, later, speed), np.where(short, greater, ratio)


def _greatest(place: Array, value: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """Place and height of the greatest value between two places, the ends with them; (n,).

    The parabola of a top may lean on the sample past high, so that the place moves smoothly with it.
    Of two tops nearly alike the later counts: each gains TOP_ALIKE from low to high in the choice.
    """
    inside = (place >= low[:, None] * (1 - 1e-9)) & (place <= high[:, None])
    gain = 1.0 + TOP_ALIKE * (place - low[:, None]) / (high - low)[:, None]
    safe = np.where(inside & np.isfinite(value), value * gain, -np.inf)
    best = np.argmax(safe, axis=1)
    near = np.abs(np.arange(place.shape[1])[None, :] - best[:, None]) <= 1
    where, much = peak(place, np.where(near, value, np.nan))
    at_end = read_at(place, value, high)
    earlier = much * (1.0 + TOP_ALIKE * (where - low) / (high - low))
    last = (~(earlier >= at_end * (1.0 + TOP_ALIKE)) | (where > high)) & np.isfinite(at_end)
    return np.where(last, high, where), np.where(last, at_end, much)


def _time_to(afloat: Afloat, at: Points, full_n: Array, slowest_mps: Array) -> Array:
    """Seconds from a crawl to the slowest planing speed, mass and added mass over the spare thrust."""
    lanes = afloat.lanes
    mass = lanes.mass_kg + surge_added_mass(
        lanes.water_density, afloat.volume_m3, lanes.waterline_length_m
    )
    spare = full_n - at.thrust_n
    slowness = np.where(spare > 0.0, mass[:, None] / spare, np.inf)
    total = np.zeros(lanes.count)
    for column in range(at.speed_mps.shape[1] - 1):
        begin, end = at.speed_mps[:, column], at.speed_mps[:, column + 1]
        share = np.clip((slowest_mps - begin) / (end - begin), 0.0, 1.0)
        first = slowness[:, column]
        last = first + share * (slowness[:, column + 1] - first)
        part = np.where(share > 0.0, 0.5 * share * (end - begin) * (first + last), 0.0)
        total = total + part
    return np.where(np.isfinite(total) & np.isfinite(slowest_mps), total, np.nan)
