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
bottom is asked twice so that the load it carries is the weight less what the thrust lifts.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution, flag
from perf.base.roots import find_roots
from perf.boat.fleet import Lanes
from perf.laws import air, friction, planing, porpoising
from perf.laws.water import GRAVITY
from perf.solve.legs import Legs, legs_at, wake_rise

Array = NDArray[np.float64]

TRIM_LOW_DEG, TRIM_HIGH_DEG = 0.4, 16.0  # the bracket of the trim search
LONGEST_RATIO = 4.0  # mean wetted length over beam, Savitsky 1964
MOMENT_JUMP = (
    1e-4  # a root is refused when the moment left over exceeds this share of weight x beam
)


@dataclass(frozen=True, eq=False)
class Course:
    """Flat lanes at one speed and drive trim each: what the residual needs, worked out once."""

    lanes: Lanes
    speed_mps: Array
    drive_trim_deg: Array
    pressure_pa: Array
    speed_coefficient: Array
    deadrise_deg: Array
    air_drag_n: Array
    air_lever_m: Array
    friction_lever_m: Array
    thrust_lever_m: Array

    @classmethod
    def of(cls, lanes: Lanes, speed_mps: Array, drive_trim_deg: Array) -> Course:
        """Work out what does not depend on trim; all arrays of one flat shape (n,)."""
        deadrise = 0.5 * (lanes.deadrise_transom_deg + lanes.deadrise_midship_deg)
        shaft = np.radians(-drive_trim_deg)
        drag = air.air_drag(
            lanes.air_density, lanes.air_coefficient, lanes.frontal_area_m2, speed_mps
        )
        return cls(
            lanes,
            speed_mps,
            drive_trim_deg,
            0.5 * lanes.water_density * speed_mps * speed_mps,
            speed_mps / np.sqrt(GRAVITY * lanes.beam_m),
            deadrise,
            drag,
            lanes.air_above_m - lanes.above_m,
            lanes.above_m - 0.25 * lanes.beam_m * np.tan(np.radians(deadrise)),
            (lanes.above_m + lanes.propeller_below_m) * np.cos(shaft)
            - (lanes.forward_m + lanes.propeller_aft_m) * np.sin(shaft),
        )

    def take(self, rows: NDArray[np.intp]) -> Course:
        """The lanes at these positions."""
        return Course(*(getattr(self, f.name).take(rows) for f in fields(self)))


@dataclass(frozen=True, eq=False)
class Bottom:
    """The wetted bottom at a trim under a load: all (n,)."""

    beam_m: Array
    length_ratio: Array
    speed_coefficient: Array
    friction_n: Array
    pressure_centre_m: Array
    chines_dry: NDArray[np.bool_]


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


def bottom_at(course: Course, trim_deg: Array, load_n: Array) -> Bottom:
    """The wetted bottom that carries load_n at this trim (Savitsky 1964), chines dry or wet."""
    lanes = course.lanes
    beam = lanes.beam_m
    lift = load_n / (course.pressure_pa * beam * beam)
    flat = planing.flat_lift_from_deadrise(lift, course.deadrise_deg)
    ratio = planing.length_ratio_from_lift(flat, trim_deg, course.speed_coefficient)
    dry_ratio = 0.5 * planing.wetted_length_difference(trim_deg, course.deadrise_deg)
    dry = ratio < dry_ratio
    coefficient = course.speed_coefficient
    if np.any(dry):
        narrow = _dry_beam(course, trim_deg, load_n, dry_ratio)
        beam = np.where(dry, narrow, beam)
        ratio = np.where(dry, dry_ratio, ratio)
        coefficient = np.where(dry, course.speed_mps / np.sqrt(GRAVITY * beam), coefficient)
    slowed = course.speed_mps * planing.bottom_velocity_ratio(trim_deg, ratio, course.deadrise_deg)
    length = ratio * beam
    skin = friction.schoenherr(slowed * length / lanes.viscosity) + lanes.friction_allowance
    # no more keel can be wet than floats: what the method adds ahead of the bow carries no friction
    past_bow = np.maximum(ratio + dry_ratio - lanes.waterline_length_m / beam, 0.0)
    area = planing.pressure_area_ratio(ratio - 0.5 * past_bow, course.deadrise_deg) * beam * beam
    return Bottom(
        beam,
        ratio,
        coefficient,
        0.5 * lanes.water_density * slowed * slowed * area * skin,
        planing.centre_of_pressure(ratio, coefficient) * length,
        dry,
    )


def _dry_beam(course: Course, trim_deg: Array, load_n: Array, dry_ratio: Array) -> Array:
    """Wetted breadth at the transom with the chines dry: the lift law on the breadth that is wet.

    Own derivation: with the chine dry the wetted bottom is a triangle whose mean length over its own
    breadth is fixed by deadrise and trim; its breadth follows from the load. Two turns settle the
    small buoyant term, which alone depends on the breadth.
    """
    beam = course.lanes.beam_m
    for _ in range(3):
        coefficient = course.speed_mps / np.sqrt(GRAVITY * beam)
        flat = planing.flat_lift(trim_deg, dry_ratio, coefficient)
        lift = planing.deadrise_lift(flat, course.deadrise_deg)
        beam = np.sqrt(load_n / (course.pressure_pa * np.maximum(lift, 1e-9)))
    return beam


def forces_at(course: Course, trim_deg: Array) -> Forces:
    """All forces and the moment left over at a trim, for flat lanes."""
    lanes = course.lanes
    trim = np.radians(trim_deg)
    shaft = np.radians(trim_deg - course.drive_trim_deg)
    sine, cosine = np.sin(trim), np.cos(trim)
    first = bottom_at(course, trim_deg, lanes.weight_n)
    rise = wake_rise(lanes, first.beam_m, trim_deg, first.speed_coefficient, first.length_ratio)
    legs = legs_at(lanes, course.speed_mps, course.pressure_pa, course.drive_trim_deg, rise)
    down = lanes.weight_n + legs.along_n * sine + legs.side_n * cosine
    # horizontal line with the load eliminated; the trial factor scales the whole hull drag
    whole = np.cos(shaft) + lanes.trial_drag * np.sin(shaft) * sine / cosine
    other = legs.along_n * cosine - legs.side_n * sine + course.air_drag_n
    thrust = (lanes.trial_drag * (down * sine + first.friction_n) / cosine + other) / whole
    load = down - thrust * np.sin(shaft)
    bottom = bottom_at(course, trim_deg, load)
    thrust = (lanes.trial_drag * (down * sine + bottom.friction_n) / cosine + other) / whole
    normal = (load + bottom.friction_n * sine) / cosine
    moment = (
        normal * (lanes.forward_m - bottom.pressure_centre_m)
        + bottom.friction_n * course.friction_lever_m
        + legs.along_n * (lanes.above_m + legs.centre_below_m)
        - legs.side_n * (lanes.forward_m + lanes.propeller_aft_m)
        - course.air_drag_n * course.air_lever_m
        - thrust * course.thrust_lever_m
    )
    resistance = lanes.trial_drag * (load * sine + bottom.friction_n) / cosine
    return Forces(bottom, legs, load, normal, resistance, thrust, moment)


@dataclass(frozen=True, eq=False)
class Planing:
    """The boat settled by the planing method alone: all (n,); found is False where the moments have no root."""

    trim_deg: Array
    forces: Forces
    keel_length_m: Array
    chine_length_m: Array
    mean_length_m: Array
    draught_m: Array
    found: NDArray[np.bool_]
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
        left: Array = forces_at(part, trim_deg).moment_nm / (
            scale if rows.size == count else scale[rows]
        )
        return left

    low = np.full(count, TRIM_LOW_DEG)
    high = np.full(count, TRIM_HIGH_DEG)
    rows = np.arange(count, dtype=float)
    roots = find_roots(residual, low, high, (rows,), tolerance=1e-8, jump=MOMENT_JUMP)
    trim = np.where(roots.found, roots.x, 4.0)
    forces = forces_at(course, trim)
    return _read_off(course, trim, forces, roots.found, roots.evaluations)


def _read_off(
    course: Course,
    trim_deg: Array,
    forces: Forces,
    found: NDArray[np.bool_],
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
        lift / weight - 1.0,
        forces.moment_nm / (weight * course.lanes.beam_m),
        _cautions(course, trim_deg, forces, keel),
        evaluations,
    )


def _cautions(course: Course, trim_deg: Array, forces: Forces, keel_m: Array) -> NDArray[np.int64]:
    """Bits for everything outside a stated range, and for what a helmsman must know."""
    lanes, bottom = course.lanes, forces.bottom
    root = np.sqrt(0.5 * forces.load_n / (course.pressure_pa * lanes.beam_m * lanes.beam_m))
    limit = porpoising.porpoising_limit_savitsky(root, course.deadrise_deg)
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
