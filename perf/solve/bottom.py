"""The wetted bottom of a running boat, its flaps and its course: what the balance asks of the planing method."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.boat.lanes import Lanes
from perf.laws import air, join, planing
from perf.laws.water import GRAVITY
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
    rows = np.flatnonzero(dry)
    if rows.size:
        narrow = _dry_beam(course, lift_trim[rows], load_n[rows], dry_ratio[rows], rows)
        beam = beam.copy()
        beam[rows] = narrow
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


def _dry_beam(
    course: Course, trim_deg: Array, load_n: Array, dry_ratio: Array, rows: NDArray[np.intp]
) -> Array:
    """Wetted breadth at the transom with the chines dry, of these rows: the lift law on the breadth that is wet.

    Own derivation: with the chine dry the wetted bottom is a triangle whose mean length over its own
    breadth is fixed by deadrise and trim; its breadth follows from the load. Two turns settle the
    small buoyant term, which alone depends on the breadth.
    """
    beam, deadrise = course.lanes.beam_m[rows], course.lanes.deadrise_transom_deg[rows]
    speed, pressure = course.speed_mps[rows], course.pressure_pa[rows]
    for _ in range(3):
        coefficient = speed / np.sqrt(GRAVITY * beam)
        flat = planing.flat_lift(trim_deg, dry_ratio, coefficient)
        lift = planing.deadrise_lift(flat, deadrise)
        beam = np.sqrt(load_n / (pressure * np.maximum(lift, 1e-9)))
    return beam
