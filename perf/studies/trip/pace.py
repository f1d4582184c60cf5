"""How fast each run goes: the pace that was asked, held to what the engine holds and the seat bears."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.base.peaks import peak
from perf.laws import seaway
from perf.laws.water import GRAVITY
from perf.solve.afloat import Afloat
from perf.solve.hump import HUMP_HIGH, HUMP_LOW, full_throttle_thrust, sweep_speeds
from perf.solve.performance import Points, Status, best_drive_trim, speed_bound
from perf.studies.trip.legs import Felt, Flags, Paced, blown, burn_lph, flat, run_at

Array = NDArray[np.float64]

BOW_PLACE = 0.9  # of the length overall: where the bow accelerations are taken to hold; recalled
HUMP_COLUMNS = 5
RPM_NEAR = 1.01  # of the greatest rpm on the grid: as good as reached
RPM_TURNS = 2  # corrections of a speed to hold an rpm


@dataclass(frozen=True, eq=False)
class Asked:
    """What was asked of flat rows, (n,): the kind of pace and its value, and the place of the seat.

    kind : a word of perf.boat.trip.parts.PACES. value : m/s through the water or over the ground, g, rpm.
    seat_forward_m : NaN for the balance point.
    """

    kind: NDArray[np.str_]
    value: Array
    over_ground: Flags
    current_along_mps: Array
    current_across_mps: Array
    seat_forward_m: Array
    heading: Array  # share of a head sea that the heading leaves


@dataclass(frozen=True, eq=False)
class Curve:
    """Rows over rising speeds, all (n, m): what a pace is read from. ceiling_mps (n,): no speed over it is held."""

    speed_mps: Array
    drive_trim_deg: Array
    at: Points
    lph: Array
    ceiling_mps: Array


def bumps(afloat: Afloat, at: Points, seat_forward_m: Array, heading: Array) -> Array:
    """Average of the highest tenth of the accelerations at the seat [g], (n, m), by the 1980 formula."""
    lanes = afloat.lanes
    height = (lanes.wave_height_m / lanes.beam_m)[:, None]
    length = (afloat.projected_length_m / lanes.beam_m)[:, None]
    trim = np.maximum(at.trim_deg, 0.0)
    balance = seaway.acceleration_1980(height, length, trim, at.volume_froude)
    bow = seaway.bow_acceleration_1980(height, length, trim, at.volume_froude)
    share = seat_share(afloat, seat_forward_m)[:, None]
    return heading[:, None] * (balance + share * (bow - balance))


def seat_share(afloat: Afloat, seat_forward_m: Array) -> Array:
    """How far from the balance point (0) to the bow (1) the seat stands, (n,); aft counts as 0."""
    lanes = afloat.lanes
    ahead = seat_forward_m - lanes.forward_m
    share = ahead / (BOW_PLACE * lanes.length_overall_m - lanes.forward_m)
    return np.clip(np.where(np.isnan(seat_forward_m), 0.0, share), 0.0, 1.0)


def trims_at(afloat: Afloat, felt: Felt, speed_mps: Array) -> Array:
    """Best drive trim (n, m) with the wind each speed makes."""
    rows, speed = flat(speed_mps)
    each = blown(afloat.take(rows), felt.take(rows), speed)
    return best_drive_trim(each, speed[:, None]).reshape(speed_mps.shape)


def grid_of(afloat: Afloat) -> Array:
    """Rising speeds (n, m) from a crawl to past top speed."""
    return sweep_speeds(afloat, speed_bound(afloat.lanes))


def curve_at(afloat: Afloat, felt: Felt, speed_mps: Array, drive_trim_deg: Array) -> Curve:
    """Rows over a grid of speeds, and the highest speed each holds from rest."""
    at = run_at(afloat, felt, speed_mps, drive_trim_deg)
    return Curve(
        speed_mps, drive_trim_deg, at, burn_lph(afloat.lanes, at), _ceiling(afloat, felt, at)
    )


def stopped(afloat: Afloat, felt: Felt, at: Points) -> Flags:
    """Where full throttle does not push her on, (n, m): past its power, or past its thrust before she planes."""
    rows, speed = flat(at.speed_mps)
    each = blown(afloat.take(rows), felt.take(rows), speed)
    one = Points(**{f.name: getattr(at, f.name).reshape(-1, 1) for f in fields(Points)})
    full = full_throttle_thrust(each, one).reshape(at.speed_mps.shape)
    slow = (at.volume_froude <= HUMP_HIGH) & ~(at.planing_measure >= 0.0)
    with np.errstate(invalid="ignore"):
        weak = slow & (at.thrust_n > full)
    return np.asarray((at.status == Status.PAST_FULL_THROTTLE) | weak)


def _ceiling(afloat: Afloat, felt: Felt, at: Points) -> Array:
    """Highest speed before the first at which full throttle falls short, read between the two; (n,)."""
    short = stopped(afloat, felt, at)
    first = np.argmax(short, axis=1)
    row, before = np.arange(first.size), np.maximum(first - 1, 0)
    spare = at.full_power_w - at.shaft_power_w
    with np.errstate(all="ignore"):
        share = spare[row, before] / (spare[row, before] - spare[row, first])
    share = np.where(np.isfinite(share) & (share > 0.0) & (share < 1.0), share, 0.0)
    low, high = at.speed_mps[row, before], at.speed_mps[row, first]
    between = np.where(first == 0, low, low + share * (high - low))
    return np.where(short.any(axis=1), between, at.speed_mps[:, -1])


def chosen(asked: Asked, curve: Curve, afloat: Afloat) -> tuple[Array, Flags]:
    """Speed through the water (n,) that keeps each row's pace, and whether the engine holds it."""
    able = curve.speed_mps <= curve.ceiling_mps[:, None] * (1.0 + 1e-12)
    slowest, ceiling = curve.speed_mps[:, 0], curve.ceiling_mps
    along, across = asked.current_along_mps, asked.current_across_mps
    with np.errstate(all="ignore"):
        water = seaway.speed_for_ground(asked.value, along, across)
        wanted = np.where(asked.over_ground, water, asked.value)
        best = _best(asked, curve, able)
        felt = bumps(afloat, curve.at, asked.seat_forward_m, asked.heading)
        soft = _last_under(curve.speed_mps, felt, asked.value, able, slowest)
        turns = _last_under(curve.speed_mps, curve.at.engine_rpm, asked.value, able, slowest)
    speed = np.select(
        [
            asked.kind == "speed",
            asked.kind == "best mileage",
            asked.kind == "g",
            asked.kind == "rpm",
        ],
        [wanted, best, soft, turns],
        slowest,
    )
    top_rpm = np.max(np.where(able, np.nan_to_num(curve.at.engine_rpm), 0.0), axis=1)
    over = np.where(asked.kind == "speed", speed > ceiling * (1.0 + 1e-9), False)
    over |= (asked.kind == "rpm") & (asked.value > RPM_NEAR * top_rpm)
    return np.minimum(speed, ceiling), ~over


def _best(asked: Asked, curve: Curve, able: Flags) -> Array:
    """Speed of the best mileage over the ground on plane, of any speed where she does not plane; (n,)."""
    ground = seaway.ground_speed(
        curve.speed_mps, asked.current_along_mps[:, None], asked.current_across_mps[:, None]
    )
    far = np.where(able & (curve.at.status == Status.OK), ground / curve.lph, np.nan)
    planing, _ = peak(curve.speed_mps, np.where(curve.at.planing_measure >= 0.0, far, np.nan))
    any_speed, _ = peak(curve.speed_mps, far)
    return np.where(np.isfinite(planing), planing, any_speed)


def _last_under(speed: Array, value: Array, limit: Array, able: Flags, blank: Array) -> Array:
    """Highest speed (n,) at which a value (n, m) is not over its limit, read between two speeds."""
    under = able & (value <= limit[:, None])
    last = under.shape[1] - 1 - np.argmax(under[:, ::-1], axis=1)
    row, after = np.arange(last.size), np.minimum(last + 1, under.shape[1] - 1)
    rise = value[row, after] - value[row, last]
    share = np.where(rise > 0.0, (limit - value[row, last]) / rise, 1.0)
    step = np.clip(np.where(np.isfinite(share), share, 0.0), 0.0, 1.0)
    found = speed[row, last] + step * (speed[row, after] - speed[row, last])
    return np.where(under.any(axis=1), found, blank)


@dataclass(eq=False)
class StatedPacing:
    """Paces of the boat as stated: the whole curve each sweep, the exact point at the speed it gives."""

    asked: Asked
    curve: Curve | None = None

    def __call__(self, afloat: Afloat, felt: Felt, sweep: int) -> Paced:
        """One sweep; the grid and its drive trims stay those of the first."""
        grid = grid_of(afloat) if self.curve is None else self.curve.speed_mps
        trims = trims_at(afloat, felt, grid) if self.curve is None else self.curve.drive_trim_deg
        self.curve = curve_at(afloat, felt, grid, trims)
        speed, held = chosen(self.asked, self.curve, afloat)
        exact = trims_at(afloat, felt, speed[:, None])
        at = run_at(afloat, felt, speed[:, None], exact)
        held = held & (at.status[:, 0] != Status.PAST_FULL_THROTTLE)
        return Paced(speed, at, held, 5 if sweep == 1 else 4)


@dataclass(eq=False)
class DrawnPacing:
    """Paces of draws: speed and drive trim of the stated boat, less where the engine does not hold it.

    All arrays are of flat rows; grid_mps and grid_trim_deg (n, m) are those of the stated curve.
    """

    speed_mps: Array
    drive_trim_deg: Array
    rpm: Array  # NaN where no rpm was asked
    grid_mps: Array
    grid_trim_deg: Array
    standing: Flags
    ceiling_mps: Array | None = None

    def __call__(self, afloat: Afloat, felt: Felt, sweep: int) -> Paced:
        """One sweep; who is held under the hump is found in the first."""
        calls = 1
        if self.ceiling_mps is None:
            self.ceiling_mps = np.full(self.speed_mps.size, np.inf)
            calls += self._look_for_ceilings(afloat, felt, self._under_hump(afloat, felt)) + 1
        speed = np.minimum(self._by_rpm(afloat, felt), self.ceiling_mps)
        at = run_at(afloat, felt, speed[:, None], self.drive_trim_deg[:, None])
        past = (at.status[:, 0] == Status.PAST_FULL_THROTTLE) & np.isinf(self.ceiling_mps)
        past &= ~self.standing
        if np.any(past):
            calls += self._look_for_ceilings(afloat, felt, past) + 1
            speed = np.minimum(speed, self.ceiling_mps)
            at = run_at(afloat, felt, speed[:, None], self.drive_trim_deg[:, None])
        return Paced(speed, at, speed >= self.speed_mps * (1 - 1e-9), calls)

    def _look_for_ceilings(self, afloat: Afloat, felt: Felt, wanted: Flags) -> int:
        rows = np.flatnonzero(wanted)
        if rows.size == 0 or self.ceiling_mps is None:
            return 0
        some, wind = afloat.take(rows), felt.take(rows)
        curve = curve_at(some, wind, self.grid_mps[rows], self.grid_trim_deg[rows])
        self.ceiling_mps[rows] = curve.ceiling_mps
        return 2

    def _under_hump(self, afloat: Afloat, felt: Felt) -> Flags:
        """Rows that are asked to go faster than the hump and do not get over it, (n,)."""
        hump = (
            _unit(afloat)[:, None]
            * np.linspace(1.2 * HUMP_LOW, 0.9 * HUMP_HIGH, HUMP_COLUMNS)[None, :]
        )
        rows = np.flatnonzero((self.speed_mps > hump[:, 0]) & ~self.standing)
        found = np.zeros(self.speed_mps.size, dtype=bool)
        if rows.size:
            some, wind = afloat.take(rows), felt.take(rows)
            trims = _between(hump[rows], self.grid_mps[rows], self.grid_trim_deg[rows])
            short = stopped(some, wind, run_at(some, wind, hump[rows], trims))
            found[rows] = np.any(short & (hump[rows] < self.speed_mps[rows, None]), axis=1)
        return found

    def _by_rpm(self, afloat: Afloat, felt: Felt) -> Array:
        """Speeds, corrected where an rpm is held: rpm grows nearly with speed, two turns settle it."""
        speed = self.speed_mps.copy()
        rows = np.flatnonzero(np.isfinite(self.rpm))
        for _ in range(RPM_TURNS if rows.size else 0):
            some, wind = afloat.take(rows), felt.take(rows)
            at = run_at(some, wind, speed[rows, None], self.drive_trim_deg[rows, None])
            ratio = self.rpm[rows] / at.engine_rpm[:, 0]
            ratio = np.where(np.isfinite(ratio), np.clip(ratio, 0.8, 1.25), 1.0)
            low, high = 0.5 * self.speed_mps[rows], 1.5 * self.speed_mps[rows]
            speed[rows] = np.clip(speed[rows] * ratio, low, high)
        return speed


def _unit(afloat: Afloat) -> Array:
    """Speed of volume Froude number one, (n,)."""
    return np.sqrt(GRAVITY * np.cbrt(afloat.volume_m3))


def _between(at: Array, known: Array, values: Array) -> Array:
    """Values (n, m) known at rising places, read at others (n, j) by straight lines, held at the ends."""
    place = np.sum(known[:, None, :] <= at[:, :, None], axis=2)
    right = np.clip(place, 1, known.shape[1] - 1)
    row = np.arange(at.shape[0])[:, None]
    low, high = known[row, right - 1], known[row, right]
    share = np.clip((at - low) / (high - low), 0.0, 1.0)
    found: Array = values[row, right - 1] + share * (values[row, right] - values[row, right - 1])
    return found
