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
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution, flag
from perf.base.roots import Roots, find_roots
from perf.boat.fleet import Lanes
from perf.laws import air, join, planing, porpoising
from perf.laws.drive_lift import drive_side_force
from perf.laws.water import GRAVITY
from perf.solve.legs import Legs, legs_at, wake_rise
from perf.solve.methods import DEFAULT, Methods

Array = NDArray[np.float64]

TRIM_LOW_DEG, TRIM_HIGH_DEG = 0.4, 16.0  # the bracket of the trim search
ROUGH_FRICTION = 0.1  # friction, leg and air drag over weight, for the first guess of the load
LONGEST_RATIO = 4.0  # mean wetted length over beam, Savitsky 1964
MOMENT_JUMP = (
    1e-4  # a root is refused when the moment left over exceeds this share of weight x beam
)


@dataclass(frozen=True, eq=False)
class Flaps:
    """Tabs, and a hook or rocker taken as one across the whole beam; all (n,)."""

    lift_n: Array
    moment_nm: Array  # about the transom, bow down
    drag_slope: Array  # drag per degree of trim
    drag_level_trim_n: Array  # drag at no trim

    @classmethod
    def of(cls, lanes: Lanes, pressure_pa: Array) -> Flaps:
        """Lift, moment and drag of all flaps at a speed (Savitsky & Brown 1976, eqs 5 to 7)."""
        one, none = np.asarray(1.0), np.asarray(0.0)
        tab: Array = planing.flap_lift(
            lanes.tab_chord_m,
            lanes.tab_span_ratio,
            lanes.tab_deflection_deg,
            lanes.beam_m,
            pressure_pa,
        )
        hook: Array = planing.flap_lift(
            lanes.hook_chord_m, one, lanes.hook_deflection_deg, lanes.beam_m, pressure_pa
        )
        # the flap moment is about its trailing edge: a chord aft of the transom for tabs, at it for a hook
        about_edge = planing.flap_moment(tab, lanes.tab_chord_m, lanes.tab_span_ratio, lanes.beam_m)
        moment = tab * lanes.tab_chord_m - about_edge
        moment = moment - planing.flap_moment(hook, lanes.hook_chord_m, one, lanes.beam_m)
        flat: Array = planing.flap_drag(tab, none, lanes.tab_deflection_deg)
        flat = flat + planing.flap_drag(hook, none, lanes.hook_deflection_deg)
        both = tab + hook
        return cls(both, moment, planing.flap_drag(both, one, none), flat)

    def take(self, rows: NDArray[np.intp]) -> Flaps:
        """The lanes at these positions."""
        return Flaps(*(getattr(self, f.name).take(rows) for f in fields(self)))


def _warp_deg(lanes: Lanes) -> Array:
    """Angle between chine and keel in profile from the transom to amidships [deg]."""
    rise = np.tan(np.radians(lanes.deadrise_midship_deg)) - np.tan(
        np.radians(lanes.deadrise_transom_deg)
    )
    return np.asarray(np.degrees(np.arctan(lanes.beam_m * rise / lanes.waterline_length_m)))


def _volume_froude(lanes: Lanes, speed_mps: Array) -> Array:
    return speed_mps / np.sqrt(GRAVITY * np.cbrt(lanes.mass_kg / lanes.water_density))


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
    warp_deg: Array
    keel_held: Array
    flaps: Flaps
    methods: Methods

    @classmethod
    def of(
        cls, lanes: Lanes, speed_mps: Array, drive_trim_deg: Array, methods: Methods = DEFAULT
    ) -> Course:
        """Work out what does not depend on trim; all arrays of one flat shape (n,)."""
        deadrise = 0.5 * (lanes.deadrise_transom_deg + lanes.deadrise_midship_deg)
        shaft = np.radians(-drive_trim_deg)
        drag = air.air_drag(
            lanes.air_density,
            lanes.air_coefficient,
            lanes.frontal_area_m2,
            speed_mps + lanes.head_wind_mps,
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
            _warp_deg(lanes),
            1.0 - join.smooth_step(_volume_froude(lanes, speed_mps), *methods.ends.planing),
            Flaps.of(lanes, 0.5 * lanes.water_density * speed_mps * speed_mps),
            methods,
        )

    def take(self, rows: NDArray[np.intp]) -> Course:
        """The lanes at these positions."""
        taken = {f.name: getattr(self, f.name) for f in fields(self)}
        taken = {k: v if isinstance(v, Methods) else v.take(rows) for k, v in taken.items()}
        return Course(**taken)


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
    # a warped bottom lifts by its transom deadrise at a trim .12 of the warp steeper (1976)
    lift_trim = planing.warped_lift_trim(trim_deg, course.warp_deg)
    flat = planing.flat_lift_from_deadrise(lift, lanes.deadrise_transom_deg)
    ratio = planing.length_ratio_from_lift(flat, lift_trim, course.speed_coefficient)
    dry_ratio = 0.5 * planing.wetted_length_difference(trim_deg, course.deadrise_deg)
    dry = ratio < dry_ratio
    coefficient = course.speed_coefficient
    if np.any(dry):
        narrow = _dry_beam(course, lift_trim, load_n, dry_ratio)
        beam = np.where(dry, narrow, beam)
        ratio = np.where(dry, dry_ratio, ratio)
        coefficient = np.where(dry, course.speed_mps / np.sqrt(GRAVITY * beam), coefficient)
    slowed = course.speed_mps * planing.bottom_velocity_ratio(trim_deg, ratio, course.deadrise_deg)
    length = ratio * beam
    skin = course.methods.skin(slowed * length / lanes.viscosity) + lanes.friction_allowance
    # going over the hump no more keel can be wet than floats: what the method adds ahead of the bow
    # carries no friction; past it the method stands as published, with a caution
    past_bow = np.maximum(ratio + dry_ratio - lanes.waterline_length_m / beam, 0.0)
    past_bow = past_bow * course.keel_held
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
        lift = planing.deadrise_lift(flat, course.lanes.deadrise_transom_deg)
        beam = np.sqrt(load_n / (course.pressure_pa * np.maximum(lift, 1e-9)))
    return beam


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
    roots = find_roots(residual, low, high, (rows,), tolerance=1e-8, jump=MOMENT_JUMP)
    trim, held = _held_trim(roots, residual)
    forces = forces_at(course, trim)
    held &= np.isfinite(forces.thrust_n)
    return _read_off(course, trim, forces, roots.found, held, roots.evaluations)


def _held_trim(
    roots: Roots, residual: Callable[[Array, Array], Array]
) -> tuple[Array, NDArray[np.bool_]]:
    """The root, or the end of the search that the moments drive her past; 4 degrees where neither is."""
    lost = np.flatnonzero(~roots.found)
    trim = np.where(roots.found, roots.x, 4.0)
    held = np.zeros(trim.size, dtype=bool)
    if lost.size:
        row = lost.astype(float)
        # bow down is positive: still up at the steep end, or still down at the flat one
        up = residual(np.full(lost.size, TRIM_HIGH_DEG), row) < 0.0
        down = residual(np.full(lost.size, TRIM_LOW_DEG), row) > 0.0
        trim[lost] = np.where(up, TRIM_HIGH_DEG, np.where(down, TRIM_LOW_DEG, 4.0))
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
