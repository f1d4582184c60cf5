"""The running boat from a crawl to top speed: the methods evaluated side by side and joined.

Below planing perf.solve.slow carries her; the planing method's own balance takes over as she
climbs. perf.laws.join says where and how.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution, flag
from perf.laws import flaps, join, planing, porpoising, seaway, spray
from perf.laws.water import GRAVITY
from perf.solve.afloat import Afloat
from perf.solve.balance import Planing, settle
from perf.solve.bottom import Course
from perf.solve.legs import Legs, legs_at, wake_rise
from perf.solve.methods import DEFAULT, Methods
from perf.solve.slow import SERIES_HIGH, Slow

Array = NDArray[np.float64]

LEG_DEEP_M = (
    0.075  # water this far over the plate drags the mid-section; common practice, no source
)
TRANSOM_WET_SHARE = (
    0.4  # of the dry-transom Froude number: below it the water stands at the transom
)


@dataclass(frozen=True, eq=False)
class Running:
    """One flat lane each, (n,). resistance by each method is over the whole weight [N], NaN outside its reach."""

    trim_deg: Array
    draught_m: Array
    wetted_length_m: Array
    resistance_n: Array
    thrust_n: Array
    air_drag_n: Array
    wave_drag_n: Array
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
    slow = Slow.of(afloat, course, volume_froude)
    ends = methods.ends
    fast = _Fast.of(course, volume_froude, min(ends.mix[0], ends.trim_planing[0]))
    share = _planing_share(volume_froude, lanes.join_share, methods)
    resistance = _mix(share, slow.resistance_n, fast.resistance_n)
    climbed = join.planing_trim_share(volume_froude, ends)
    trim = _mix(climbed, slow.trim_deg, fast.trim_deg)
    length = _mix(climbed, slow.length_m, fast.mean_length_m)
    draught = _mix(climbed, _squat(afloat, slow.trim_deg), fast.draught_m)
    legs = _legs(afloat, course, trim, length, draught)
    wave_drag = _wave_drag(afloat, volume_froude)
    thrust = _thrust(course, trim, resistance, legs, wave_drag)
    pure = share >= 1.0
    # a trim held at an end of the search serves the join, never an answer that rests on it
    found = np.isfinite(thrust) & (thrust > 0.0) & ~(fast.held & (climbed > 0.5))
    bits: NDArray[np.int64] = np.where(climbed > 0.5, fast.cautions, 0).astype(np.int64)
    bits |= np.where(share < 1.0, slow.cautions, 0)
    bits |= _bow_drop(afloat, volume_froude)
    bits |= flag(legs.plate_depth_m >= -lanes.plate_shield_m, Caution.PLATE_HIGH)
    bits |= flag(legs.plate_depth_m <= LEG_DEEP_M, Caution.LEG_DEEP)
    bits |= flag(_sea_inside(afloat, volume_froude), Caution.SEA_OUTSIDE)
    return Running(
        trim,
        draught,
        length,
        resistance,
        thrust,
        course.air_drag_n,
        wave_drag,
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


def _bow_drop(afloat: Afloat, volume_froude: Array) -> NDArray[np.int64]:
    """Signs of bow drop, past the hump only."""
    cube = np.cbrt(afloat.volume_m3)
    ahead = (afloat.chine_area_forward_m - afloat.lanes.forward_m) / afloat.projected_length_m
    signs = porpoising.bow_drop_signs(afloat.chine_area_m2 / (cube * cube), ahead)
    return flag(~((signs > 0.0) & (volume_froude >= 2.0)), Caution.BOW_DROP)


def _squat(afloat: Afloat, trim_deg: Array) -> Array:
    """Draught of the transom below planing [m]: she turns about her balance point as the bow comes up."""
    turned = np.tan(np.radians(trim_deg)) - np.tan(np.radians(afloat.trim_deg))
    return np.asarray(afloat.draught_m + afloat.lanes.forward_m * turned)


def _planing_share(volume_froude: Array, join_share: Array, methods: Methods) -> Array:
    """Share of the planing method: that of the join, or of one method alone wherever it reaches."""
    if methods.resistance == "join":
        return join.planing_share(volume_froude, join_share, methods.ends)
    if methods.resistance == "series":
        return np.where(volume_froude <= SERIES_HIGH, 0.0, np.nan)
    return join.planing_share(volume_froude, np.ones_like(join_share), methods.ends)


def _mix(share: Array, without: Array, whole: Array) -> Array:
    """From one value to another by a share of the second; a value of no share may be NaN."""
    first = np.where(share < 1.0, (1.0 - share) * without, 0.0)
    second = np.where(share > 0.0, share * whole, 0.0)
    return np.where(np.isnan(share), np.nan, first + second)


def _thrust(
    course: Course, trim_deg: Array, resistance_n: Array, legs: Legs, wave_drag_n: Array
) -> Array:
    """Thrust along the shafts that balances hull, legs, air and waves along the course."""
    trim = np.radians(trim_deg)
    drag = resistance_n + legs.along_n * np.cos(trim) + course.air_drag_n + wave_drag_n
    drag = drag - legs.side_n * np.sin(trim)
    return drag / np.cos(np.radians(trim_deg - course.drive_trim_deg))


def _wave_drag(afloat: Afloat, volume_froude: Array) -> Array:
    """Mean drag the waves add [N]: the 1980 formula by the share the heading leaves, nothing in calm."""
    lanes = afloat.lanes
    ratio = seaway.added_resistance_1980(
        lanes.wave_height_m / lanes.beam_m,
        afloat.projected_length_m / np.cbrt(afloat.volume_m3),
        volume_froude,
    )
    return lanes.sea_share * ratio * lanes.weight_n


def _sea_inside(afloat: Afloat, volume_froude: Array) -> NDArray[np.bool_]:
    """Whether the sea is nothing or inside what the 1980 formula is taken to reach."""
    lanes = afloat.lanes
    height = lanes.wave_height_m / lanes.beam_m
    inside = (height <= seaway.HEIGHT_HIGH_1980) & (volume_froude >= seaway.FROUDE_LOW_1980)
    inside &= (height >= seaway.HEIGHT_LOW_1980) & (volume_froude <= seaway.FROUDE_HIGH_1980)
    return np.asarray(inside | (lanes.wave_height_m * lanes.sea_share == 0.0))


def _legs(
    afloat: Afloat, course: Course, trim_deg: Array, length_m: Array, draught_m: Array
) -> Legs:
    """The legs in the water behind the transom: still water at rest, the wake once the transom runs dry."""
    lanes = afloat.lanes
    level = draught_m + lanes.propeller_aft_m * np.tan(np.radians(trim_deg))
    dryness = planing.transom_froude(course.speed_mps, draught_m) / planing.TRANSOM_DRY_FROUDE
    dry = join.smooth_step(dryness, TRANSOM_WET_SHARE, 1.0)
    behind = wake_rise(
        lanes,
        lanes.beam_m,
        np.maximum(trim_deg, 0.0),
        course.speed_coefficient,
        length_m / lanes.beam_m,
    )
    rise = _mix(dry, level, behind)
    return legs_at(lanes, course.speed_mps, course.pressure_pa, course.drive_trim_deg, rise)


def _planing_measure(course: Course, trim_deg: Array, length_m: Array, draught_m: Array) -> Array:
    """At least 0 where she planes: the inception value of 1964 is reached and the transom is dry."""
    ratio = length_m / course.lanes.beam_m
    swift = course.speed_coefficient / (np.sqrt(ratio) * planing.planing_inception(trim_deg))
    dry = planing.transom_froude(course.speed_mps, draught_m) / planing.TRANSOM_DRY_FROUDE
    return np.minimum(swift, dry) / course.lanes.inception - 1.0


@dataclass(frozen=True, eq=False)
class _Fast:
    """The planing method with its hump or spray drag, where its weight is not nothing; NaN elsewhere."""

    trim_deg: Array
    resistance_n: Array
    mean_length_m: Array
    draught_m: Array
    vertical_left: Array
    moment_left: Array
    held: NDArray[np.bool_]
    cautions: NDArray[np.int64]
    evaluations: NDArray[np.int64]

    @classmethod
    def of(cls, course: Course, volume_froude: Array, begin: float) -> _Fast:
        """Settle the lanes past begin only."""
        rows = np.flatnonzero(volume_froude > begin)
        some = course.take(rows)
        settled = settle(some)
        resistance = _with_extra(some, settled, volume_froude[rows])
        known = settled.found | settled.held
        trim = np.where(known, settled.trim_deg, np.nan)
        drag = np.where(known, resistance, np.nan)
        count = volume_froude.size
        held = np.zeros(count, dtype=bool)
        held[rows] = settled.held
        cautions = np.zeros(count, dtype=np.int64)
        cautions[rows] = settled.cautions
        evaluations = np.zeros(count, dtype=np.int64)
        evaluations[rows] = settled.evaluations
        return cls(
            _spread(trim, rows, count),
            _spread(drag, rows, count),
            _spread(settled.mean_length_m, rows, count),
            _spread(settled.draught_m, rows, count),
            _spread(settled.vertical_left, rows, count),
            _spread(settled.moment_left, rows, count),
            held,
            cautions,
            evaluations,
        )


def _spread(value: Array, rows: NDArray[np.intp], count: int) -> Array:
    whole = np.full(count, np.nan)
    whole[rows] = value
    return whole


def _with_extra(course: Course, settled: Planing, volume_froude: Array) -> Array:
    """Planing drag with hump multiplier, or with whisker spray and wet sides; never with both.

    The multiplier was fitted to whole measured drags, in which spray and sides are.
    """
    bare = settled.forces.resistance_n
    wanted = course.methods.planing_extra
    if wanted == "none":
        return bare
    if wanted == "hump":
        return bare + _hump_drag(course, bare, volume_froude)
    sheet = _spray_drag(course, settled) + _sides_drag(course, settled)
    if wanted == "hump or spray":
        sheet = np.maximum(_hump_drag(course, bare, volume_froude), sheet)
    return bare + np.maximum(sheet, 0.0)


def _hump_drag(course: Course, bare_n: Array, volume_froude: Array) -> Array:
    lanes = course.lanes
    return bare_n * (flaps.hump_multiplier(lanes.forward_m / lanes.beam_m, volume_froude) - 1.0)


def _spray_drag(course: Course, settled: Planing) -> Array:
    beam = settled.forces.bottom.beam_m
    path = spray.whisker_spray_length_ratio(settled.trim_deg, course.deadrise_deg) * beam
    skin = spray.whisker_spray_friction(course.speed_mps * path / course.lanes.viscosity)
    area = spray.whisker_spray_ratio(settled.trim_deg, course.deadrise_deg) * beam * beam
    return np.nan_to_num(course.pressure_pa * area * skin)


def _sides_drag(course: Course, settled: Planing) -> Array:
    """Friction on the sides that are wet above the chines (Savitsky & Brown 1976)."""
    bottom = settled.forces.bottom
    chine = planing.chine_length_ratio(bottom.length_ratio, settled.trim_deg, course.deadrise_deg)
    area = spray.side_wet_area_ratio(chine, bottom.speed_coefficient, settled.trim_deg)
    path = np.maximum(bottom.length_ratio * bottom.beam_m, 1e-6)
    skin = course.methods.skin(course.speed_mps * path / course.lanes.viscosity)
    return np.nan_to_num(course.pressure_pa * area * bottom.beam_m * bottom.beam_m * skin)
