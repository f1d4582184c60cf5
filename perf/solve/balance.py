"""The running boat in balance: trim, drag and thrust at a speed, many lanes at once.

Forces and signs (keel frame, bow up, moments about the balance point, bow down positive):
bottom normal force N at the centre of pressure and friction Df along the bottom (Savitsky 1964),
leg drag along the keel line, air drag along the course, thrust T along the shaft. With the trim τ
and the shaft at ε = -drive trim to the keel line:

    vertical    W = N cos τ - Df sin τ - Dleg sin τ - F cos τ + T sin(τ + ε)
    horizontal  T cos(τ + ε) = N sin τ + Df cos τ + Dleg cos τ - F sin τ + Dair
    moment      N c + Df a + Dleg (VCG + z) - F (LCG + x) - Dair (h - VCG) - T f = 0

F is the side force of a trimmed drive, down positive, square to the shaft: its part along the keel
line, F tan(drive trim), stands with Dleg.

The root searched is the trim; the thrust follows from the horizontal line in closed form, and the
bottom is asked under two loads so that the one it carries is the weight less what the thrust lifts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution, flag
from perf.base.roots import Roots, find_roots
from perf.laws import planing, porpoising
from perf.laws.drive_lift import drive_side_force
from perf.solve.bottom import Bottom, Course, bottom_at
from perf.solve.first_trim import first_trim
from perf.solve.legs import Legs, legs_at, wake_rise

Array = NDArray[np.float64]

TRIM_LOW_DEG, TRIM_HIGH_DEG = 0.4, 16.0  # the bracket of the trim search
MIDDLING_DEG = 4.0  # stands where no trim was found
ROUGH_FRICTION = 0.1  # friction, leg and air drag over weight, for the first guess of the load
LONGEST_RATIO = 4.0  # mean wetted length over beam, Savitsky 1964
MOMENT_JUMP = (
    1e-4  # a root is refused when the moment left over exceeds this share of weight x beam
)


@dataclass(frozen=True, eq=False)
class Forces:
    """Everything that acts at a trim: all (n,), newtons and metres; moment in newton metres, bow down positive."""

    bottom: Bottom
    legs: Legs
    load_n: Array
    normal_n: Array
    resistance_n: Array
    thrust_n: Array
    moment_nm: Array


def forces_at(course: Course, trim_deg: Array) -> Forces:
    """All forces and the moment left over at a trim, for flat lanes.

    The bottom is asked under two loads; the load that leaves nothing over in the vertical stands on
    the straight line through both, and the forces are those of the bottom under it.
    """
    lifted = course.flaps.lift_n
    lanes, guess = course.lanes, _first_load(course, trim_deg)
    first = bottom_at(course, trim_deg, guess - lifted)
    rise = wake_rise(lanes, first.beam_m, trim_deg, first.speed_coefficient, first.length_ratio)
    legs = legs_at(lanes, course.speed_mps, course.pressure_pa, course.drive_trim_deg, rise)
    pull = _Pull.of(course, trim_deg, legs)
    load = pull.load_under(first)
    second = bottom_at(course, trim_deg, load - lifted)
    before, after = load - guess, pull.load_under(second) - load
    with np.errstate(all="ignore"):
        share = after / (before - after)
    load = load + np.where(np.abs(share) <= 0.5, share, 0.0) * before
    return _forces(course, pull, load, bottom_at(course, trim_deg, load - lifted))


def _first_load(course: Course, trim_deg: Array) -> Array:
    """A near guess of what bottom and flaps carry [N]: rough thrust, side force in half the straight wake."""
    lanes = course.lanes
    trim, shaft = np.radians(trim_deg), np.radians(trim_deg - course.drive_trim_deg)
    depth = 0.5 * lanes.propeller_aft_m * np.tan(trim) - lanes.plate_height_m
    side = (lanes.engines + lanes.stopped) * drive_side_force(
        course.pressure_pa, lanes.diameter_m, course.drive_trim_deg, depth, lanes.drive_lift
    )
    thrust = lanes.weight_n * (np.tan(trim) + ROUGH_FRICTION)
    return lanes.weight_n + side * np.cos(trim) - thrust * np.sin(shaft)


@dataclass(frozen=True, eq=False)
class _Pull:
    """What the thrust hangs on at a trim beside the bottom's friction; all (n,).

    thrust = base + rate x friction; the bottom and the flaps carry down less thrust x lean.
    """

    trim_deg: Array
    legs: Legs
    slope: Array
    flap_drag_n: Array
    down_n: Array
    lean: Array
    base_n: Array
    rate: Array

    @classmethod
    def of(cls, course: Course, trim_deg: Array, legs: Legs) -> _Pull:
        """Eliminate the load from the vertical and the horizontal line."""
        lanes, flaps = course.lanes, course.flaps
        trim, shaft = np.radians(trim_deg), np.radians(trim_deg - course.drive_trim_deg)
        sine, cosine, lean = np.sin(trim), np.cos(trim), np.sin(shaft)
        down = lanes.weight_n + legs.along_n * sine + legs.side_n * cosine
        # pressure on a warped bottom drags by a trim half the warp steeper (1976)
        slope = np.tan(np.radians(planing.warped_drag_trim(trim_deg, course.warp_deg)))
        flap_drag = flaps.drag_level_trim_n + flaps.drag_slope * trim_deg
        # the trial factor scales the whole hull drag
        whole = np.cos(shaft) + lanes.trial_drag * lean * slope
        other = legs.along_n * cosine - legs.side_n * sine + course.air_drag_n
        base = (lanes.trial_drag * (down * slope + flap_drag) + other) / whole
        rate = lanes.trial_drag / (cosine * whole)
        return cls(trim_deg, legs, slope, flap_drag, down, lean, base, rate)

    def thrust_under(self, bottom: Bottom) -> Array:
        """Thrust that closes the horizontal line [N]."""
        return self.base_n + self.rate * bottom.friction_n

    def load_under(self, bottom: Bottom) -> Array:
        """What is left for bottom and flaps to carry [N]."""
        return self.down_n - self.thrust_under(bottom) * self.lean


def _forces(course: Course, pull: _Pull, load_n: Array, bottom: Bottom) -> Forces:
    """Everything that acts with the bottom as it is under a load."""
    lanes, flaps, legs = course.lanes, course.flaps, pull.legs
    trim = np.radians(pull.trim_deg)
    sine, cosine = np.sin(trim), np.cos(trim)
    thrust = pull.thrust_under(bottom)
    normal = (load_n - flaps.lift_n + bottom.friction_n * sine) / cosine
    moment = (
        normal * (lanes.forward_m - bottom.pressure_centre_m)
        + flaps.lift_n * lanes.forward_m
        + flaps.moment_nm
        + bottom.friction_n * course.friction_lever_m
        + legs.along_n * (lanes.above_m + legs.centre_below_m)
        - legs.side_n * (lanes.forward_m + lanes.propeller_aft_m)
        - course.air_drag_n * course.air_lever_m
        - thrust * course.thrust_lever_m
    )
    drag = load_n * pull.slope + bottom.friction_n / cosine + pull.flap_drag_n
    return Forces(bottom, legs, load_n, normal, lanes.trial_drag * drag, thrust, moment)


@dataclass(frozen=True, eq=False)
class Planing:
    """The boat settled by the planing method alone: all (n,).

    found is False where the moments have no root; held where her trim is then kept at an end of the
    search, because the moments drive her past it.
    """

    trim_deg: Array
    forces: Forces
    keel_length_m: Array
    chine_length_m: Array
    mean_length_m: Array
    draught_m: Array
    found: NDArray[np.bool_]
    held: NDArray[np.bool_]
    vertical_left: Array
    moment_left: Array
    cautions: NDArray[np.int64]
    evaluations: NDArray[np.int64]


def settle(course: Course) -> Planing:
    """Trim at which the moments vanish, lane by lane; the one root between 0.4 and 16 degrees."""
    count = course.lanes.count
    scale = course.lanes.weight_n * course.lanes.beam_m

    def residual(trim_deg: Array, row: Array) -> Array:
        rows = row.astype(np.intp)
        part = course if rows.size == count else course.take(rows)
        left = forces_at(part, trim_deg).moment_nm / (scale if rows.size == count else scale[rows])
        # steeper than the pressure lets the flow pass: too steep; a lane lost altogether ends at the
        # jump this makes and is refused
        left = np.where(np.isnan(left), 1.0, left)
        return left

    low = np.full(count, TRIM_LOW_DEG)
    high = np.full(count, TRIM_HIGH_DEG)
    rows = np.arange(count, dtype=float)
    start = first_trim(course)
    roots = find_roots(residual, low, high, (rows,), tolerance=1e-8, jump=MOMENT_JUMP, start=start)
    trim, held = _held_trim(roots, residual)
    forces = forces_at(course, trim)
    held &= np.isfinite(forces.thrust_n)
    return _read_off(course, trim, forces, roots.found, held, roots.evaluations)


def _held_trim(
    roots: Roots, residual: Callable[[Array, Array], Array]
) -> tuple[Array, NDArray[np.bool_]]:
    """The root, or the end of the search that the moments drive her past; a middling trim where neither is."""
    lost = np.flatnonzero(~roots.found)
    trim = np.where(roots.found, roots.x, MIDDLING_DEG)
    held = np.zeros(trim.size, dtype=bool)
    if lost.size:
        row = lost.astype(float)
        # bow down is positive: still up at the steep end, or still down at the flat one
        up = residual(np.full(lost.size, TRIM_HIGH_DEG), row) < 0.0
        down = residual(np.full(lost.size, TRIM_LOW_DEG), row) > 0.0
        trim[lost] = np.where(up, TRIM_HIGH_DEG, np.where(down, TRIM_LOW_DEG, MIDDLING_DEG))
        held[lost] = up | down
    return trim, held


def _read_off(
    course: Course,
    trim_deg: Array,
    forces: Forces,
    found: NDArray[np.bool_],
    held: NDArray[np.bool_],
    evaluations: NDArray[np.int64],
) -> Planing:
    bottom = forces.bottom
    half = 0.5 * planing.wetted_length_difference(trim_deg, course.deadrise_deg)
    keel = (bottom.length_ratio + half) * bottom.beam_m
    chine = np.maximum(bottom.length_ratio - half, 0.0) * bottom.beam_m
    draught = keel * np.sin(np.radians(trim_deg))
    radians, shaft = np.radians(trim_deg), np.radians(trim_deg - course.drive_trim_deg)
    legs, weight = forces.legs, course.lanes.weight_n
    lift = (
        forces.normal_n * np.cos(radians)
        + course.flaps.lift_n
        - (bottom.friction_n + legs.along_n) * np.sin(radians)
        - legs.side_n * np.cos(radians)
        + forces.thrust_n * np.sin(shaft)
    )
    return Planing(
        trim_deg,
        forces,
        keel,
        chine,
        bottom.length_ratio * bottom.beam_m,
        draught,
        found,
        held,
        lift / weight - 1.0,
        forces.moment_nm / (weight * course.lanes.beam_m),
        _cautions(course, trim_deg, forces, keel),
        evaluations,
    )


def _cautions(course: Course, trim_deg: Array, forces: Forces, keel_m: Array) -> NDArray[np.int64]:
    """Bits for everything outside a stated range, and for what a helmsman must know."""
    lanes, bottom = course.lanes, forces.bottom
    root = np.sqrt(0.5 * forces.load_n / (course.pressure_pa * lanes.beam_m * lanes.beam_m))
    limit = porpoising.porpoising_limit_savitsky(
        root, np.minimum(course.deadrise_deg, porpoising.STEEPEST_DEG)
    )
    on_chart = np.isfinite(limit)
    bits = flag(~(on_chart & (trim_deg > limit)), Caution.PORPOISING)
    bits |= flag(on_chart, Caution.PORPOISING_OFF_CHART)
    bits |= flag(~bottom.chines_dry, Caution.CHINES_DRY)
    bits |= flag((trim_deg >= 2.0) & (trim_deg <= 15.0), Caution.TRIM_OUTSIDE)
    coefficient = course.speed_coefficient
    bits |= flag((coefficient >= 0.6) & (coefficient <= 13.0), Caution.SPEED_OUTSIDE)
    bits |= flag(bottom.length_ratio <= LONGEST_RATIO, Caution.WETTED_LENGTH_OUTSIDE)
    bits |= flag(keel_m <= lanes.waterline_length_m, Caution.BOW_WETTED)
    bits |= flag(course.deadrise_deg <= 30.0, Caution.DEADRISE_OUTSIDE)
    return bits
