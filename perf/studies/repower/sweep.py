"""A lean sweep for many draws: a dozen speeds a row, top speed by one root, nothing that is not asked.

Where the full sweep of one boat takes 24 speeds and a root of eight more, these rows take eleven
speeds and one polishing point. The root itself is sought on the thrust between the swept speeds,
which is smooth, with engine and propeller in full; the polishing point mends what the interpolation
of the thrust missed there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.base.peaks import peak
from perf.base.roots import find_roots
from perf.laws.water import GRAVITY
from perf.solve import drive
from perf.solve.afloat import Afloat
from perf.solve.hump import HUMP_HIGH, read_hump
from perf.solve.performance import Points, Status, points
from perf.studies.sweeps import Sweep, mileage

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

CRAWL_MPS = 0.3
OVER_HUMP = (0.75, 1.05, 1.3, 1.55, 1.8, 2.05, 2.35)  # volume Froude numbers of the stated boat
TO_TOP = (0.72, 0.9, 1.12)  # shares of the stated top speed
PAST_TOP = 1.25  # and how far past the last of them a faster draw is looked for
STENCIL = 4  # swept speeds about top speed that carry the thrust between them
SPEED_TOLERANCE = 1e-4


@dataclass(frozen=True, eq=False)
class Plan:
    """Speeds and frozen drive trims of the rows of one stated boat: lean (m,), asked (k,) beside them."""

    lean_mps: Array
    asked_mps: Array
    known_mps: Array
    known_trim_deg: Array

    @classmethod
    def of(cls, stated: Sweep, row: int, asked_mps: Array) -> Plan:
        """Plan the rows drawn about one row of a stated sweep; asked speeds beyond the lean ones."""
        unit = float(np.sqrt(GRAVITY * np.cbrt(stated.afloat.volume_m3[row])))
        top = float(stated.top.speed_mps[row])
        top = top if np.isfinite(top) else HUMP_HIGH * unit
        lean = np.sort(
            np.concatenate([[CRAWL_MPS], unit * np.array(OVER_HUMP), top * np.array(TO_TOP)])
        )
        return cls(
            lean,
            np.asarray(asked_mps, dtype=float),
            stated.points.speed_mps[row],
            stated.points.drive_trim_deg[row],
        )

    @property
    def speeds(self) -> Array:
        """Lean and asked speeds together, (m + k,)."""
        return np.concatenate([self.lean_mps, self.asked_mps])

    def trims(self, speed_mps: Array) -> Array:
        """The stated boat's drive trim at any speeds."""
        return np.interp(speed_mps, self.known_mps, self.known_trim_deg)


@dataclass(frozen=True, eq=False)
class Planned:
    """Rows that each follow one of a few plans with equally many speeds: which (n,) says which."""

    plans: tuple[Plan, ...]
    which: Rows

    @classmethod
    def of(cls, plans: Sequence[Plan], counts: Sequence[int]) -> Planned:
        """So many rows of each plan, one plan after the other."""
        return cls(tuple(plans), np.repeat(np.arange(len(plans)), counts))

    @property
    def lean_count(self) -> int:
        """How many speeds are swept."""
        return self.plans[0].lean_mps.size

    @property
    def speeds(self) -> Array:
        """Lean and asked speeds together, (n, m + k)."""
        return np.stack([plan.speeds for plan in self.plans])[self.which]

    @property
    def trims(self) -> Array:
        """Drive trims at those speeds, (n, m + k)."""
        return np.stack([plan.trims(plan.speeds) for plan in self.plans])[self.which]

    def trims_at(self, speed_mps: Array, rows: Rows) -> Array:
        """Drive trim at one speed of each of some rows."""
        found = np.empty(speed_mps.shape)
        for number, plan in enumerate(self.plans):
            own = self.which[rows] == number
            found[own] = plan.trims(speed_mps[own])
        return found


@dataclass(frozen=True, eq=False)
class Lean:
    """What a lean sweep reads off: (n,) each, asked_lph and curve_lph (n, k) and (n, m); NaN where there is none.

    asked_lph is the burn at the asked speeds where full throttle holds them.
    """

    top_mps: Array
    top_rpm: Array
    top_lph: Array
    margin: Array
    margin_n: Array
    slowest_mps: Array
    time_to_plane_s: Array
    planes: NDArray[np.bool_]
    best_mps: Array
    best_m_per_l: Array
    asked_lph: Array
    curve_lph: Array
    idle_lph: Array

    @classmethod
    def joined(cls, parts: list[Lean]) -> Lean:
        """Rows of several sweeps one after the other."""
        return cls(*(np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(cls)))

    def part(self, start: int, stop: int) -> Lean:
        """Some rows in a row."""
        return Lean(*(getattr(self, f.name)[start:stop] for f in fields(self)))


def lean_sweep(afloat: Afloat, plan: Plan | Planned) -> Lean:
    """Sweep rows along their plan or plans; m + k + 1 points a row."""
    plans = Planned.of([plan], [afloat.lanes.count]) if isinstance(plan, Plan) else plan
    count = plans.lean_count
    with np.errstate(all="ignore"):
        every = points(afloat, plans.speeds, plans.trims)
        swept = columns(every, slice(0, count))
        asked = columns(every, slice(count, None))
        hump = read_hump(afloat, swept)
        top = _top(afloat, swept, plans)
        planing = np.where(swept.planing_measure >= 0.0, mileage(swept), np.nan)
        best, far = peak(swept.speed_mps, planing)
        idle = drive.fuel_lph(afloat.lanes, np.zeros(afloat.lanes.count), afloat.lanes.idle_rpm)
    return Lean(
        top[0],
        top[1],
        top[2],
        hump.margin,
        hump.margin_n,
        hump.slowest_planing_mps,
        hump.time_to_plane_s,
        hump.over & (top[0] >= hump.slowest_planing_mps),
        best,
        far,
        np.where(asked.status == Status.OK, asked.fuel_lph, np.nan),
        np.where(swept.status == Status.OK, swept.fuel_lph, np.nan),
        idle,
    )


def asked_sweep(afloat: Afloat, plans: Planned) -> Lean:
    """The asked speeds and idling alone; everything else is NaN."""
    count, lean = afloat.lanes.count, plans.lean_count
    with np.errstate(all="ignore"):
        at = points(afloat, plans.speeds[:, lean:], plans.trims[:, lean:])
        idle = drive.fuel_lph(afloat.lanes, np.zeros(count), afloat.lanes.idle_rpm)
    none = np.full(count, np.nan)
    return Lean(
        none,
        none,
        none,
        none,
        none,
        none,
        none,
        np.zeros(count, dtype=bool),
        none,
        none,
        np.where(at.status == Status.OK, at.fuel_lph, np.nan),
        np.full((count, lean), np.nan),
        idle,
    )


def columns(at: Points, which: slice) -> Points:
    """The same rows at some of the speeds."""
    return Points(**{f.name: getattr(at, f.name)[:, which] for f in fields(Points)})


@dataclass(frozen=True, eq=False)
class _Between:
    """Thrust and depth of the plate between swept speeds, by the polynomial through four of them."""

    afloat: Afloat
    speed_mps: Array  # (n, 4)
    thrust_n: Array
    plate_depth_m: Array

    def spare(self, speed_mps: Array, factor: Array, rows: Rows) -> tuple[Array, Array, Array]:
        """Full-throttle power to spare over rated power, rpm, and burn [L/h], at one speed a row."""
        lanes = self.afloat.lanes.take(rows)
        known = self.speed_mps[rows]
        depth = _lagrange(known, self.plate_depth_m[rows], speed_mps)
        screw = drive.Screw.of(lanes, speed_mps, depth)
        turning = drive.turn_for(screw, _lagrange(known, self.thrust_n[rows], speed_mps) * factor)
        full = drive.full_power(lanes, turning.engine_rpm)
        burn = drive.fuel_lph(lanes, turning.shaft_power_w, turning.engine_rpm)
        return (full - turning.shaft_power_w) / lanes.rated_power_w, turning.engine_rpm, burn


def _lagrange(known: Array, value: Array, at: Array) -> Array:
    total = np.zeros(at.shape)
    for i in range(STENCIL):
        part = value[:, i]
        for j in range(STENCIL):
            if j != i:
                part = part * (at - known[:, j]) / (known[:, i] - known[:, j])
        total = total + part
    return total


def _polish(between: _Between, plans: Planned, speed_mps: Array, rows: Rows) -> Array:
    """Thrust at one more point over what the interpolation said there, (n,); one where there is none."""
    good = np.flatnonzero(np.isfinite(speed_mps))
    trims = plans.trims_at(speed_mps[good], rows[good])
    at = points(between.afloat.take(good), speed_mps[good][:, None], trims[:, None])
    factor = np.ones(speed_mps.size)
    said = _lagrange(between.speed_mps[good], between.thrust_n[good], speed_mps[good])
    factor[good] = at.thrust_n[:, 0] / said
    return factor


def _top(afloat: Afloat, swept: Points, plans: Planned) -> tuple[Array, Array, Array]:
    """Top speed, rpm and burn there, (n,): NaN where full throttle holds none of the speeds or all."""
    count, many = swept.speed_mps.shape
    able = swept.status == Status.OK
    last = many - 1 - np.argmax(able[:, ::-1], axis=1)
    some = np.flatnonzero(able.any(axis=1))
    row, last = some, last[some]
    after = np.minimum(last + 1, many - 1)
    near = np.clip(last - 1, 0, many - STENCIL)[:, None] + np.arange(STENCIL)
    low = swept.speed_mps[row, last]
    high = np.where(last < many - 1, swept.speed_mps[row, after], PAST_TOP * low)
    between = _Between(
        afloat.take(row),
        swept.speed_mps[row[:, None], near],
        swept.thrust_n[row[:, None], near],
        swept.plate_depth_m[row[:, None], near],
    )

    def root(factor: Array) -> Array:
        def left(speed: Array, which: Array) -> Array:
            rows = which.astype(np.intp)
            return between.spare(speed, factor[rows], rows)[0]

        each = np.arange(row.size, dtype=float)
        return find_roots(left, low, high, (each,), tolerance=SPEED_TOLERANCE).x

    first = root(np.ones(row.size))
    factor = _polish(between, plans, first, row)
    speed = root(factor)
    speed = np.where(np.isfinite(speed), speed, first)
    found = np.flatnonzero(np.isfinite(speed))
    _, rpm, burn = between.spare(speed[found], factor[found], found)
    whole = np.full((3, count), np.nan)
    whole[:, row[found]] = speed[found], rpm, burn
    return whole[0], whole[1], whole[2]
