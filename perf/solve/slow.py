"""The boat below planing: displacement law, model series, and the bridge between them.

Her trim there is no balance of moments but the trim at rest, then that of the model series at the
balance point that the thrust, the legs and the air in effect give her.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution, flag
from perf.laws import friction, join, preplaning, semiplaning, series
from perf.laws.water import GRAVITY
from perf.solve.afloat import Afloat
from perf.solve.bottom import Course
from perf.solve.legs import legs_at

Array = NDArray[np.float64]

SERIES_LOW, SERIES_HIGH = 1.0, 3.5  # volume Froude numbers of the Series 62/65 regression
BALANCE_LOW, BALANCE_HIGH = 0.30, 0.448  # its balance points, over projected length
BALANCE_PAST = 0.02  # how far past them it is stretched at most
DEADRISE_LOW, DEADRISE_HIGH = 13.0, 37.4
DISPLACEMENT_FROUDE = 0.599  # on waterline length, top of the displacement law
SLOPE_STEP = 0.05  # of volume Froude number, outward from an end of the bridge, for its slope there


@dataclass(frozen=True, eq=False)
class Slow:
    """Drag, trim and wetted length below planing, and each method by itself; all (n,).

    Drag over the whole weight [N], NaN outside a method's reach; the trial factor scales
    resistance_n, not the methods'.
    """

    resistance_n: Array
    trim_deg: Array
    length_m: Array
    displacement_n: Array
    series_n: Array
    series_trim_deg: Array
    preplaning_n: Array
    cautions: NDArray[np.int64]

    @classmethod
    def of(cls, afloat: Afloat, course: Course, volume_froude: Array) -> Slow:
        """Every lane at its speed: each method, and the one curve through displacement law and series."""
        ends = course.methods.ends
        displacement, tank = _displacement(afloat, course), _Series.of(afloat, course)
        drag = np.where(volume_froude < ends.displacement, displacement, tank.resistance_n)
        at_rest = volume_froude < ends.rest
        trim = np.where(at_rest, afloat.trim_deg, tank.trim_deg)
        length = np.where(at_rest, afloat.waterline_length_m, tank.length_m)
        between = np.flatnonzero(~at_rest & (volume_froude < ends.series))
        if between.size:
            bridged = _bridge(afloat.take(between), course.take(between), volume_froude[between])
            over = volume_froude[between] >= ends.displacement
            drag[between[over]] = bridged[0][over]
            trim[between], length[between] = bridged[1:]
        return cls(
            course.lanes.trial_drag * drag,
            trim,
            length,
            displacement,
            tank.resistance_n,
            tank.trim_deg,
            _preplaning(afloat, course, volume_froude),
            np.where(at_rest, 0, flag(tank.inside, Caution.SERIES_OUTSIDE)),
        )


def _bridge(afloat: Afloat, course: Course, volume_froude: Array) -> tuple[Array, Array, Array]:
    """Drag, trim and wetted length of lanes between rest or displacement law and the series."""
    ends = course.methods.ends
    unit = np.sqrt(GRAVITY * np.cbrt(afloat.volume_m3))

    def at(froude: float) -> Course:
        return Course.of(course.lanes, froude * unit, course.drive_trim_deg, course.methods)

    def span(low: float, value: Array, slope: Array, name: str) -> Array:
        near, far = getattr(high, name), getattr(past, name)
        far_slope = (far - near) / SLOPE_STEP
        return join.bridge(volume_froude, low, ends.series, value, slope, near, far_slope)

    high = _Series.of(afloat, at(ends.series))
    past = _Series.of(afloat, at(ends.series + SLOPE_STEP))
    low = _displacement(afloat, at(ends.displacement))
    slope = (low - _displacement(afloat, at(ends.displacement - SLOPE_STEP))) / SLOPE_STEP
    level = np.zeros_like(low)
    return (
        span(ends.displacement, low, slope, "resistance_n"),
        span(ends.rest, afloat.trim_deg, level, "trim_deg"),
        span(ends.rest, afloat.waterline_length_m, level, "length_m"),
    )


def _froude(afloat: Afloat, course: Course) -> Array:
    return course.speed_mps / np.sqrt(GRAVITY * np.cbrt(afloat.volume_m3))


@dataclass(frozen=True, eq=False)
class _Series:
    """Drag, trim and mean wetted length by the model series, and whether it knows such a boat; (n,) each."""

    resistance_n: Array
    trim_deg: Array
    length_m: Array
    inside: NDArray[np.bool_]

    @classmethod
    def of(cls, afloat: Afloat, course: Course) -> _Series:
        """At the balance point that thrust, legs and air in effect give her; outside its speeds it stands still."""
        lanes = course.lanes
        cube = np.cbrt(afloat.volume_m3)
        froude = np.clip(_froude(afloat, course), SERIES_LOW, SERIES_HIGH)
        area_volume, slenderness, deadrise = _series_shape(afloat, cube)

        def ask(law: Callable[..., Array], balance: Array) -> Array:
            return law(froude, area_volume, balance, slenderness, deadrise)

        plain = ask(series.series62_resistance_ratio, _held(afloat, lanes.forward_m))
        moved = lanes.forward_m + _balance_shift(course, plain * lanes.weight_n)
        balance = _held(afloat, moved)
        ratio = ask(series.series62_resistance_ratio, balance)
        area = ask(series.series62_wetted_area, balance)
        wetted = ask(series.series62_wetted_length, balance) * afloat.projected_length_m
        corrected = _own_size(course, ratio, area, wetted, cube, froude)
        share = moved / afloat.projected_length_m
        inside = (share >= BALANCE_LOW) & (share <= BALANCE_HIGH)
        inside &= (course.deadrise_deg >= DEADRISE_LOW) & (course.deadrise_deg <= DEADRISE_HIGH)
        trim = ask(series.series62_trim, balance)
        return cls(corrected * lanes.weight_n, trim, wetted, inside)


def _held(afloat: Afloat, forward_m: Array) -> Array:
    """Balance point over projected length; past an edge of the series it goes on ever less (with its caution).

    Held hard, a boat balanced far aft would not answer her drive trim any more.
    """
    share = forward_m / afloat.projected_length_m
    aft = np.maximum(BALANCE_LOW - share, 0.0)
    ahead = np.maximum(share - BALANCE_HIGH, 0.0)
    inside = np.clip(share, BALANCE_LOW, BALANCE_HIGH)
    return inside + BALANCE_PAST * (ahead / (BALANCE_PAST + ahead) - aft / (BALANCE_PAST + aft))


def _series_shape(afloat: Afloat, cube: Array) -> tuple[Array, Array, Array]:
    """Loading, slenderness and deadrise the series asks for, deadrise held at its edges."""
    lanes = afloat.lanes
    mean_beam = afloat.chine_area_m2 / afloat.projected_length_m
    deadrise = np.clip(lanes.deadrise_midship_deg, DEADRISE_LOW, DEADRISE_HIGH)
    return afloat.chine_area_m2 / (cube * cube), afloat.projected_length_m / mean_beam, deadrise


def _balance_shift(course: Course, resistance_n: Array) -> Array:
    """How far forward the thrust, the drive's side force and the air in effect move the balance point [m]."""
    lanes = course.lanes
    thrust = resistance_n + course.air_drag_n
    legs = legs_at(
        lanes, course.speed_mps, course.pressure_pa, course.drive_trim_deg, lanes.plate_height_m
    )
    bow_down = (
        course.flaps.lift_n * lanes.forward_m
        + course.flaps.moment_nm
        + legs.along_n * (lanes.above_m + legs.centre_below_m)
        - legs.side_n * (lanes.forward_m + lanes.propeller_aft_m)
        - course.air_drag_n * course.air_lever_m
        - (thrust + legs.along_n) * course.thrust_lever_m
    )
    return bow_down / lanes.weight_n


def _own_size(
    course: Course,
    ratio: Array,
    area_volume: Array,
    wetted_m: Array,
    cube: Array,
    volume_froude: Array,
) -> Array:
    """A 100,000 lb resistance ratio brought to this boat's size, water and bottom."""
    lanes = course.lanes
    own = (
        course.methods.skin(course.speed_mps * wetted_m / lanes.viscosity)
        + lanes.friction_allowance
    )
    basis = course.methods.skin(preplaning.basis_reynolds(volume_froude, wetted_m / cube))
    return preplaning.size_corrected_ratio(ratio, own, basis, area_volume, volume_froude)


def _displacement(afloat: Afloat, course: Course) -> Array:
    """Drag by the displacement law [N], standing still past its fastest speed."""
    lanes, cube = afloat.lanes, np.cbrt(afloat.volume_m3)
    length = afloat.waterline_length_m
    slenderness = length / cube
    skin = friction.ittc57(course.speed_mps * length / lanes.viscosity) + lanes.friction_allowance
    ratio = semiplaning.displacement_resistance_ratio(
        np.minimum(_froude(afloat, course), DISPLACEMENT_FROUDE * np.sqrt(slenderness)),
        slenderness,
        length / afloat.waterline_beam_m,
        lanes.forward_m / length,
        afloat.wetted_area_m2 / (cube * cube),
        skin,
    )
    return ratio * lanes.weight_n


def _preplaning(afloat: Afloat, course: Course, volume_froude: Array) -> Array:
    """The regression of 1973 at this boat's size: a second opinion, not in the join."""
    lanes, cube = afloat.lanes, np.cbrt(afloat.volume_m3)
    length, beam = afloat.waterline_length_m, afloat.waterline_beam_m
    ratio = preplaning.preplaning_resistance_ratio(
        volume_froude,
        cube / length,
        afloat.volume_m3 / (beam * beam * beam),
        lanes.entrance_angle_deg,
        afloat.transom_area_m2 / afloat.section_area_m2,
    )
    area = preplaning.preplaning_wetted_area(cube / length, beam / afloat.draught_m)
    return _own_size(course, ratio, area, length, cube, volume_froude) * lanes.weight_n
