"""The running boat from a crawl to top speed: the methods evaluated side by side and joined.

Below planing the trim is not a balance of moments but the trim at rest, then that of the model
series at the balance point that the thrust, the legs and the air in effect give her; the planing
method's own balance takes over as she climbs. perf.laws.join says where and how.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution, flag
from perf.laws import flaps, friction, join, planing, preplaning, semiplaning, series, spray
from perf.laws.water import GRAVITY
from perf.solve.afloat import Afloat
from perf.solve.balance import Course, Planing, settle
from perf.solve.legs import Legs, legs_at, wake_rise
from perf.solve.methods import DEFAULT, Methods

Array = NDArray[np.float64]

LEG_DEEP_M = (
    0.075  # water this far over the plate drags the mid-section; common practice, no source
)
SERIES_LOW, SERIES_HIGH = 1.0, 3.5  # volume Froude numbers of the Series 62/65 regression
BALANCE_LOW, BALANCE_HIGH = 0.30, 0.448  # its balance points, over projected length
DEADRISE_LOW, DEADRISE_HIGH = 13.0, 37.4
DISPLACEMENT_FROUDE = 0.599  # on waterline length, top of the displacement law
TRANSOM_WET_SHARE = (
    0.4  # of the dry-transom Froude number: below it the water stands at the transom
)
WETTED_AT_REST, WETTED_PLANING = (
    1.25,
    2.0,
)  # volume Froude numbers between which the wetted length shortens


@dataclass(frozen=True, eq=False)
class Running:
    """One flat lane each, (n,). resistance by each method is over the whole weight [N], NaN outside its reach."""

    trim_deg: Array
    draught_m: Array
    wetted_length_m: Array
    resistance_n: Array
    thrust_n: Array
    air_drag_n: Array
    legs: Legs
    planing_measure: Array
    volume_froude: Array
    planing_resistance_n: Array
    series_resistance_n: Array
    preplaning_resistance_n: Array
    displacement_resistance_n: Array
    planing_trim_deg: Array
    series_trim_deg: Array
    vertical_left: Array
    moment_left: Array
    found: NDArray[np.bool_]
    cautions: NDArray[np.int64]
    evaluations: NDArray[np.int64]


def run(
    afloat: Afloat, speed_mps: Array, drive_trim_deg: Array, methods: Methods = DEFAULT
) -> Running:
    """Every lane at its one speed and drive trim; all flat (n,)."""
    lanes = afloat.lanes
    course = Course.of(lanes, speed_mps, drive_trim_deg, methods)
    volume_froude = speed_mps / np.sqrt(GRAVITY * np.cbrt(afloat.volume_m3))
    slow = _Slow.of(afloat, course, volume_froude)
    ends = methods.ends
    fast = _Fast.of(course, volume_froude, min(ends.mix[0], ends.trim_planing[0]))
    weights = _weights(volume_froude, lanes.join_share, methods)
    parts = (slow.displacement_n, slow.series_n, fast.resistance_n)
    resistance = lanes.trial_drag * _mix(weights[:2], parts[:2]) + _mix(weights[2:], parts[2:])
    trims = join.trim_weights(volume_froude, ends)
    trim = _mix(trims, (afloat.trim_deg, slow.series_trim_deg, fast.trim_deg))
    plane = join.smooth_step(volume_froude, WETTED_AT_REST, WETTED_PLANING)
    length = _mix((1.0 - plane, plane), (afloat.waterline_length_m, fast.mean_length_m))
    draught = _mix((1.0 - trims[2], trims[2]), (afloat.draught_m, fast.draught_m))
    legs = _legs(afloat, course, trim, length, draught)
    thrust = _thrust(course, trim, resistance, legs)
    pure = weights[2] >= 1.0
    found = np.isfinite(thrust) & (thrust > 0.0)
    bits = np.where(trims[2] > 0.5, fast.cautions, 0) | np.where(weights[1] > 0.0, slow.cautions, 0)
    bits |= flag(legs.plate_depth_m >= -lanes.plate_shield_m, Caution.PLATE_HIGH)
    bits |= flag(legs.plate_depth_m <= LEG_DEEP_M, Caution.LEG_DEEP)
    return Running(
        trim,
        draught,
        length,
        resistance,
        thrust,
        course.air_drag_n,
        legs,
        _planing_measure(course, trim, length, draught),
        volume_froude,
        fast.resistance_n,
        slow.series_n,
        slow.preplaning_n,
        slow.displacement_n,
        fast.trim_deg,
        slow.series_trim_deg,
        np.where(pure, fast.vertical_left, np.nan),
        np.where(pure, fast.moment_left, np.nan),
        found,
        bits.astype(np.int64),
        fast.evaluations,
    )


def _weights(
    volume_froude: Array, join_share: Array, methods: Methods
) -> tuple[Array, Array, Array]:
    """Weights of the three resistances: the join, or one method alone past the displacement range."""
    if methods.resistance == "join":
        return join.resistance_weights(volume_froude, join_share, methods.ends)
    slow, series, planes = join.resistance_weights(
        volume_froude, np.ones_like(join_share), methods.ends
    )
    none = np.zeros_like(slow)
    if methods.resistance == "series":
        return slow, np.where(volume_froude <= SERIES_HIGH, series + planes, np.nan), none
    return slow, series, planes


def _mix(weights: tuple[Array, ...], parts: tuple[Array, ...]) -> Array:
    """Weighted sum in which a part of no weight may be NaN."""
    total = np.zeros_like(weights[0])
    for weight, part in zip(weights, parts, strict=True):
        total = total + np.where(weight > 0.0, weight * part, 0.0)
    return total


def _thrust(course: Course, trim_deg: Array, resistance_n: Array, legs: Legs) -> Array:
    """Thrust along the shafts that balances hull, legs and air along the course."""
    trim = np.radians(trim_deg)
    drag = resistance_n + legs.along_n * np.cos(trim) + course.air_drag_n
    return drag / np.cos(np.radians(trim_deg - course.drive_trim_deg))


def _legs(
    afloat: Afloat, course: Course, trim_deg: Array, length_m: Array, draught_m: Array
) -> Legs:
    """The legs in the water behind the transom: still water at rest, the wake once the transom runs dry."""
    lanes = afloat.lanes
    level = afloat.draught_m + lanes.propeller_aft_m * np.tan(np.radians(trim_deg))
    dryness = planing.transom_froude(course.speed_mps, draught_m) / planing.TRANSOM_DRY_FROUDE
    dry = join.smooth_step(dryness, TRANSOM_WET_SHARE, 1.0)
    behind = wake_rise(
        lanes,
        lanes.beam_m,
        np.maximum(trim_deg, 0.0),
        course.speed_coefficient,
        length_m / lanes.beam_m,
    )
    rise = _mix((1.0 - dry, dry), (level, behind))
    return legs_at(lanes, course.speed_mps, course.pressure_pa, course.drive_trim_deg, rise)


def _planing_measure(course: Course, trim_deg: Array, length_m: Array, draught_m: Array) -> Array:
    """At least 0 where she planes: the inception value of 1964 is reached and the transom is dry."""
    ratio = length_m / course.lanes.beam_m
    swift = course.speed_coefficient / (np.sqrt(ratio) * planing.planing_inception(trim_deg))
    dry = planing.transom_froude(course.speed_mps, draught_m) / planing.TRANSOM_DRY_FROUDE
    return np.minimum(swift, dry) - 1.0


@dataclass(frozen=True, eq=False)
class _Fast:
    """The planing method with its hump or spray drag, where its weight is not nothing; NaN elsewhere."""

    trim_deg: Array
    resistance_n: Array
    mean_length_m: Array
    draught_m: Array
    vertical_left: Array
    moment_left: Array
    cautions: NDArray[np.int64]
    evaluations: NDArray[np.int64]

    @classmethod
    def of(cls, course: Course, volume_froude: Array, begin: float) -> _Fast:
        """Settle the lanes past begin only."""
        rows = np.flatnonzero(volume_froude > begin)
        some = course.take(rows)
        settled = settle(some)
        resistance = _with_extra(some, settled, volume_froude[rows])
        values = (
            np.where(settled.found, settled.trim_deg, np.nan),
            np.where(settled.found, resistance, np.nan),
            settled.mean_length_m,
            settled.draught_m,
            settled.vertical_left,
            settled.moment_left,
        )
        count = volume_froude.size
        whole = [_spread(value, rows, count) for value in values]
        cautions = np.zeros(count, dtype=np.int64)
        cautions[rows] = settled.cautions
        evaluations = np.zeros(count, dtype=np.int64)
        evaluations[rows] = settled.evaluations
        return cls(*whole, cautions, evaluations)


def _spread(value: Array, rows: NDArray[np.intp], count: int) -> Array:
    whole = np.full(count, np.nan)
    whole[rows] = value
    return whole


def _with_extra(course: Course, settled: Planing, volume_froude: Array) -> Array:
    """Planing drag with the greater of two additions, never both: hump multiplier, or whisker spray."""
    bare = settled.forces.resistance_n
    wanted = course.methods.planing_extra
    hump = _hump_drag(course, bare, volume_froude) if "hump" in wanted else np.zeros_like(bare)
    spray_n = _spray_drag(course, settled) if "spray" in wanted else np.zeros_like(bare)
    return bare + np.maximum(np.maximum(hump, spray_n), 0.0)


def _hump_drag(course: Course, bare_n: Array, volume_froude: Array) -> Array:
    lanes = course.lanes
    return bare_n * (flaps.hump_multiplier(lanes.forward_m / lanes.beam_m, volume_froude) - 1.0)


def _spray_drag(course: Course, settled: Planing) -> Array:
    beam = settled.forces.bottom.beam_m
    path = spray.whisker_spray_length_ratio(settled.trim_deg, course.deadrise_deg) * beam
    skin = spray.whisker_spray_friction(course.speed_mps * path / course.lanes.viscosity)
    area = spray.whisker_spray_ratio(settled.trim_deg, course.deadrise_deg) * beam * beam
    return np.nan_to_num(course.pressure_pa * area * skin)


@dataclass(frozen=True, eq=False)
class _Slow:
    """Displacement law, model series and the 1973 regression at each lane; NaN outside their reach."""

    displacement_n: Array
    series_n: Array
    series_trim_deg: Array
    preplaning_n: Array
    cautions: NDArray[np.int64]

    @classmethod
    def of(cls, afloat: Afloat, course: Course, volume_froude: Array) -> _Slow:
        """Evaluate all three; the series at the balance point that thrust, legs and air in effect give her."""
        lanes = afloat.lanes
        cube = np.cbrt(afloat.volume_m3)
        weight = lanes.weight_n
        displacement = _displacement(afloat, course, volume_froude, cube)
        froude = np.clip(volume_froude, SERIES_LOW, SERIES_HIGH)
        shape = _series_shape(afloat, cube)
        plain = series.series62_resistance_ratio(
            froude, shape[0], _held(afloat, lanes.forward_m), *shape[1:]
        )
        moved = lanes.forward_m + _balance_shift(course, plain * weight)
        balance = _held(afloat, moved)
        ratio = series.series62_resistance_ratio(froude, shape[0], balance, *shape[1:])
        trim = series.series62_trim(froude, shape[0], balance, *shape[1:])
        area = series.series62_wetted_area(froude, shape[0], balance, *shape[1:])
        wetted = (
            series.series62_wetted_length(froude, shape[0], balance, *shape[1:])
            * afloat.projected_length_m
        )
        corrected = _own_size(course, ratio, area, wetted, cube, froude)
        share = moved / afloat.projected_length_m
        inside = (share >= BALANCE_LOW) & (share <= BALANCE_HIGH)
        inside &= (course.deadrise_deg >= DEADRISE_LOW) & (course.deadrise_deg <= DEADRISE_HIGH)
        return cls(
            displacement,
            corrected * weight,
            trim,
            _preplaning(afloat, course, volume_froude, cube),
            flag(inside, Caution.SERIES_OUTSIDE),
        )


def _held(afloat: Afloat, forward_m: Array) -> Array:
    """Balance point over projected length, held at the edges of the series (with its caution)."""
    return np.clip(forward_m / afloat.projected_length_m, BALANCE_LOW, BALANCE_HIGH)


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


def _displacement(afloat: Afloat, course: Course, volume_froude: Array, cube: Array) -> Array:
    lanes = afloat.lanes
    length = afloat.waterline_length_m
    slenderness = length / cube
    skin = friction.ittc57(course.speed_mps * length / lanes.viscosity) + lanes.friction_allowance
    ratio = semiplaning.displacement_resistance_ratio(
        np.minimum(volume_froude, DISPLACEMENT_FROUDE * np.sqrt(slenderness)),
        slenderness,
        length / afloat.waterline_beam_m,
        lanes.forward_m / length,
        afloat.wetted_area_m2 / (cube * cube),
        skin,
    )
    return ratio * lanes.weight_n


def _preplaning(afloat: Afloat, course: Course, volume_froude: Array, cube: Array) -> Array:
    """The regression of 1973 at this boat's size: a second opinion, not in the join."""
    lanes = afloat.lanes
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
