"""The hull at rest: draught and trim at any weight and balance point, many boats at once.

In the keel's own axes (x forward of the transom, z over the keel line) still water is the straight
line z = T - x t, T the draught at the transom and t the tangent of the trim. A boat floats where

    volume    V(T, t)  = V0, her displaced volume
    moment    Mx - V0 xG - t (Mz - V0 zG) = 0, centre of buoyancy plumb under the balance point

Mx, Mz being the first moments of the displaced volume. Where no height of the balance point is given
the last term is left out: buoyancy is then square to the keel line over the balance point, the form
of the closed checks. The hull is the one of perf.laws.hull_lines (vertical sides, no sheer), its
transom square to the keel line.

The two unknowns are found by Newton steps, each halved until the misfit falls.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.boat.lanes import Lanes
from perf.laws.hull_lines import HullForm as HullForm
from perf.laws.hull_lines import hull_lines, stem_at_water
from perf.laws.hydrostatics import (
    height_over_water,
    prism_draught,
    wet_area,
    wet_girth,
    wet_half_breadth,
)
from perf.solve.immersion import BuoyantBox as BuoyantBox
from perf.solve.immersion import Immersed, Stations, immerse, immerse_box, total

Array = NDArray[np.float64]

BLOCK = 1024  # lanes worked at a time, so that the stations stay in the processor's near memory
SWEEPS = 80  # evaluations allowed; a boat commonly takes five
CLOSED = 1e-11  # share of volume, and of volume x length, at which a lane is left alone
PROMISED = 1e-6  # and at which it still counts as floating
STEEPEST_DEG = 20.0  # past this the answer is geometry, not a boat at rest


class Rest(IntEnum):
    """How the search for a boat at rest ended."""

    OK = 0
    NOT_A_HULL = 1
    BALANCE_OUTSIDE = 2
    STANDS_ON_END = 3
    NOT_FOUND = 4


REST_WORDS: dict[Rest, str] = {
    Rest.OK: "ok",
    Rest.NOT_A_HULL: "a measure or the weight is missing, zero or out of reason",
    Rest.BALANCE_OUTSIDE: "the balance point is not over the length that floats her",
    Rest.STANDS_ON_END: "she would only float standing on end",
    Rest.NOT_FOUND: "no draught and trim were found",
}


@dataclass(frozen=True, eq=False)
class Flotation:
    """A boat at rest, (n,) each; NaN wherever status is not Rest.OK.

    Draught is of the keel at the transom, square to the keel line; lengths forward and above are
    along and square to it. Areas of sections are square to the keel. Wetted area is of bottom and
    sides, the transom left out. The waterplane is measured along the water, hull alone, its second
    moment about its own centroid. residual_volume is a share of the volume, residual_moment a share
    of volume x length overall.
    """

    draught_transom_m: Array
    trim_deg: Array
    waterline_length_m: Array
    waterline_beam_m: Array
    transom_area_m2: Array
    maximum_section_area_m2: Array
    wetted_area_m2: Array
    bracket_volume_m3: Array
    buoyancy_forward_m: Array
    buoyancy_above_m: Array
    waterplane_area_m2: Array
    waterplane_forward_m: Array
    waterplane_second_moment_m4: Array
    residual_volume: Array
    residual_moment: Array
    evaluations: NDArray[np.int64]
    status: NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class _Need:
    """What has to float where, (n,): volume, balance point, and whether its height counts."""

    volume: Array
    forward: Array
    above: Array
    length: Array
    plumb: float


def hull_form(lanes: Lanes) -> HullForm:
    """Take the measures of the hull from the lanes of a fleet; all (n,)."""
    return HullForm(
        lanes.length_overall_m,
        lanes.waterline_length_m,
        lanes.beam_m,
        lanes.transom_beam_m,
        lanes.deadrise_transom_deg,
        lanes.deadrise_midship_deg,
        lanes.entrance_angle_deg,
    )


def float_at_rest(
    form: HullForm,
    displaced_volume_m3: ArrayLike,
    balance_forward_m: ArrayLike,
    bracket: BuoyantBox | None = None,
    *,
    balance_above_m: ArrayLike | None = None,
) -> Flotation:
    """Find draught and trim of boats at rest.

    Parameters
    ----------
    form : measures of the hulls, (n,) or scalars.
    displaced_volume_m3 : mass over density of the water [m^3], (n,).
    balance_forward_m : balance point of all that floats, forward of the transom [m], (n,).
    bracket : flotation bracket, or None.
    balance_above_m : height of the balance point over the keel line [m], (n,); None leaves its small
        part in the moment out.

    Returns
    -------
    Flotation of the broadcast shape (n,). A lane that cannot float is NaN with its status.
    """
    box = bracket or BuoyantBox(np.zeros(1), np.zeros(1), np.zeros(1))
    height = 0.0 if balance_above_m is None else balance_above_m
    given = [getattr(form, f.name) for f in fields(form)]
    given += [box.width_m, box.length_m, box.bottom_above_m]
    given += [displaced_volume_m3, balance_forward_m, height]
    columns = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, dtype=float)) for v in given))
    plumb = 0.0 if balance_above_m is None else 1.0
    blocks = range(0, max(columns[0].size, 1), BLOCK)
    parts = [_float_block([c[at : at + BLOCK] for c in columns], plumb) for at in blocks]
    return Flotation(
        *(np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Flotation))
    )


def freeboard(place_forward_m: ArrayLike, place_above_m: ArrayLike, at_rest: Flotation) -> Array:
    """Height of a named place (scupper, sole, splash well) over the water at rest [m], (n,).

    Forward of the transom and above the keel line [m]; negative under water, NaN where she does not
    float.
    """
    return height_over_water(
        place_forward_m, place_above_m, at_rest.draught_transom_m, at_rest.trim_deg
    )


def _float_block(columns: list[Array], plumb: float) -> Flotation:
    """Solve one block of lanes: seven measures, three of the box, volume, forward, above."""
    bad = _unreasonable(columns)
    # a lane that is no hull is worked as a plain one and blanked at the end
    plain = (6.0, 5.0, 2.0, 2.0, 15.0, 15.0, 30.0, 0.0, 0.0, 0.0, 1.5, 2.5, 0.0)
    safe = [np.where(bad, stand_in, c) for c, stand_in in zip(columns, plain, strict=True)]
    stations = Stations.of(HullForm(*safe[:7]), BuoyantBox(*safe[7:10]))
    need = _Need(safe[10], safe[11], safe[12], safe[0], plumb)
    draught, slope, misfit_v, misfit_m, spent = _newton(stations, need)
    missed = ~((np.abs(misfit_v) <= PROMISED) & (np.abs(misfit_m) <= PROMISED))
    outside = (need.forward <= -stations.box.length_m) | (need.forward >= need.length)
    steep = np.abs(np.degrees(np.arctan(slope))) > STEEPEST_DEG
    status: NDArray[np.int64] = np.select(
        [bad, outside, steep, missed],
        [Rest.NOT_A_HULL, Rest.BALANCE_OUTSIDE, Rest.STANDS_ON_END, Rest.NOT_FOUND],
        Rest.OK,
    ).astype(np.int64)
    found = _describe(stations, draught, slope)
    found |= {"residual_volume": misfit_v, "residual_moment": misfit_m}
    shown = {name: np.where(status == Rest.OK, value, np.nan) for name, value in found.items()}
    return Flotation(**shown, evaluations=spent, status=status)


def _unreasonable(columns: list[Array]) -> NDArray[np.bool_]:
    """Where a lane is no hull: not finite, not positive, or out of range."""
    overall, waterline, beam, transom, aft, midship, entrance = columns[:7]
    width, length, _, volume, _, above = columns[7:]
    good = np.isfinite(overall)
    for column in columns[1:]:
        good = good & np.isfinite(column)
    with np.errstate(invalid="ignore"):
        good &= (waterline > 0.0) & (overall >= waterline) & (beam > 0.0) & (volume > 0.0)
        good &= (transom >= 0.0) & (aft >= 0.0) & (aft < 60.0) & (midship >= 0.0)
        good &= (midship < 60.0) & (entrance > 0.0) & (entrance <= 90.0)
        good &= (width >= 0.0) & (length >= 0.0) & (np.abs(above) <= overall)
    return ~good


def _misfit(need: _Need, water: Immersed, slope: Array) -> tuple[Array, Array]:
    """What is left over of volume and of moment, as shares."""
    lever = need.plumb * slope * (water.above - need.volume * need.above)
    moment = water.forward - need.volume * need.forward - lever
    return water.volume / need.volume - 1.0, moment / (need.volume * need.length)


def _step(
    stations: Stations, need: _Need, water: Immersed, draught: Array, slope: Array
) -> tuple[Array, Array]:
    """Newton step in draught and slope, from the exact slopes of the integrals."""
    share_v, share_m = _misfit(need, water, slope)
    left_v, left_m = share_v * need.volume, share_m * need.volume * need.length
    # a strip of waterplane adds its own height T - x t to the moment of heights
    level = draught * water.plane - slope * water.plane_forward
    level_forward = draught * water.plane_forward - slope * water.plane_second
    lift = water.above - need.volume * need.above
    volume_by_t, volume_by_s = water.plane, -water.plane_forward
    moment_by_t = water.plane_forward - need.plumb * slope * level
    moment_by_s = -water.plane_second + need.plumb * (slope * level_forward - lift)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        under = volume_by_t * moment_by_s - volume_by_s * moment_by_t
        down = (volume_by_s * left_m - moment_by_s * left_v) / under
        turn = (moment_by_t * left_v - volume_by_t * left_m) / under
    good = np.isfinite(down) & np.isfinite(turn)
    down, turn = np.where(good, down, 0.0), np.where(good, turn, 0.0)
    # never more at once than half a beam and a fifth in slope: the first guess may be far off
    far = np.maximum(np.abs(down) / (0.5 * stations.form.chine_beam_m), np.abs(turn) / 0.2)
    short = 1.0 / np.maximum(far, 1.0)
    return down * short, turn * short


def _newton(
    stations: Stations, need: _Need
) -> tuple[Array, Array, Array, Array, NDArray[np.int64]]:
    """Draught, slope, what is left of volume and moment, and evaluations spent, (n,) each."""
    form = stations.form
    deadrise = 0.5 * (form.deadrise_transom_deg + form.deadrise_midship_deg)
    draught = prism_draught(need.volume, form.waterline_length_m, form.chine_beam_m, deadrise)
    slope = np.zeros_like(draught)
    heights = need.plumb > 0.0
    water = immerse(stations, draught, slope, heights=heights)
    left_v, left_m = _misfit(need, water, slope)
    down, turn = _step(stations, need, water, draught, slope)
    spent = np.ones(draught.shape, dtype=np.int64)
    for _ in range(SWEEPS):
        moving = (np.abs(left_v) > CLOSED) | (np.abs(left_m) > CLOSED)
        if not moving.any():
            break
        spent += moving
        there, tilted = draught + down, slope + turn
        water = immerse(stations, there, tilted, heights=heights)
        v, m = _misfit(need, water, tilted)
        better = moving & (v * v + m * m < left_v * left_v + left_m * left_m)
        next_down, next_turn = _step(stations, need, water, there, tilted)
        draught, slope = np.where(better, there, draught), np.where(better, tilted, slope)
        left_v, left_m = np.where(better, v, left_v), np.where(better, m, left_m)
        down = np.where(better, next_down, 0.5 * down)
        turn = np.where(better, next_turn, 0.5 * turn)
    return draught, slope, left_v, left_m, spent


def _describe(stations: Stations, draught: Array, slope: Array) -> dict[str, Array]:
    """The columns of Flotation that the water line gives."""
    marks = stations.marks
    along = np.sqrt(1.0 + slope * slope)  # one over the cosine of the trim
    stem = stem_at_water(
        draught, slope, marks.forefoot_m, marks.rise_length_m, marks.stem_depth_m, marks.overall_m
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        start = np.where((draught < 0.0) & (slope < 0.0), draught / slope, 0.0)
    whole = immerse(stations, draught, slope, heights=True)
    box = immerse_box(stations.box, draught, slope)
    plane, first = whole.plane - box.plane, whole.plane_forward - box.plane_forward
    second = whole.plane_second - box.plane_second - first * first / plane
    return {
        "draught_transom_m": draught,
        "trim_deg": np.degrees(np.arctan(slope)),
        "waterline_length_m": (stem - start) * along,
        "bracket_volume_m3": box.volume,
        "buoyancy_forward_m": whole.forward / whole.volume,
        "buoyancy_above_m": whole.above / whole.volume,
        "waterplane_area_m2": plane * along,
        "waterplane_forward_m": first / plane,
        "waterplane_second_moment_m4": second * along * along * along,
    } | _sections(stations, draught, slope)


def _sections(stations: Stations, draught: Array, slope: Array) -> dict[str, Array]:
    """The columns that are read from single sections: the stations, the transom and the marks."""
    marks = stations.marks
    depth = draught - stations.x * slope - stations.lines.keel_above_m
    breadth = wet_half_breadth(depth, stations.lines.chine_half_beam_m, stations.lines.slope)
    girth = wet_girth(depth, breadth, stations.lines.slope)
    corner_x = np.stack([0.0 * draught, marks.midship_m, marks.shoulder_m, marks.forefoot_m])
    corner = hull_lines(stations.form, corner_x, marks)
    corner_depth = draught - corner_x * slope - corner.keel_above_m
    corner_breadth = wet_half_breadth(corner_depth, corner.chine_half_beam_m, corner.slope)
    corner_area = wet_area(corner_depth, corner_breadth, corner.slope)
    # the greatest of many is the same in any order, unlike a sum
    return {
        "waterline_beam_m": 2.0 * np.maximum(breadth.max(axis=0), corner_breadth.max(axis=0)),
        "transom_area_m2": corner_area[0],
        "maximum_section_area_m2": np.maximum(
            wet_area(depth, breadth, stations.lines.slope).max(axis=0), corner_area.max(axis=0)
        ),
        "wetted_area_m2": total(stations.weight * girth),
    }
