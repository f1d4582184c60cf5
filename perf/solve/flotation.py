"""The hull at rest: draught and trim at any weight and balance point, many boats at once.

In the keel's own axes (x forward of the transom, z over the keel line) still water is the straight
line z = T - x t, T the draught at the transom and t the tangent of the trim. A boat floats where

    volume    V(T, t)  = V0, her displaced volume
    moment    Mx - V0 xG - t (Mz - V0 zG) = 0, centre of buoyancy plumb under the balance point

Mx, Mz being the first moments of the displaced volume. Where no height of the balance point is given
the last term is left out: buoyancy is then square to the keel line over the balance point, the form
of the closed checks. The hull is the one of perf.laws.hull_lines (vertical sides, no sheer).

The two unknowns are found by Newton steps, each halved until the misfit falls. The volume is summed
station by station at Gauss points between the marks of the lines, the same number for every boat,
in a fixed order, so that a lane alone is the lane in a crowd bit for bit.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.boat.fleet import Lanes
from perf.laws.hull_lines import HullForm, Lines, Marks, hull_lines, hull_marks, stem_at_water
from perf.laws.hydrostatics import (
    height_over_water,
    prism_draught,
    wet_area,
    wet_area_moment,
    wet_girth,
    wet_half_breadth,
)

Array = NDArray[np.float64]

POINTS = (6, 6, 8, 8, 6)  # Gauss points on each stretch of the hull, from the transom to the stem head
BLOCK = 1024  # lanes worked at a time, so that the stations stay in the processor's near memory
SWEEPS = 80  # evaluations allowed; a boat commonly takes six to nine
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
class BuoyantBox:
    """Flotation bracket as a box abaft the transom, (n,) each [m]; zeros for none.

    bottom_above_m is its flat bottom over the keel line; it is as tall as need be.
    """

    width_m: Array
    length_m: Array
    bottom_above_m: Array


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
class _Water:
    """Integrals of what lies under the water line z = T - x t, (n,) each."""

    volume: Array
    forward: Array  # first moments of the volume
    above: Array
    plane: Array  # zeroth, first and second moments of the breadth at the water, along the keel
    plane_forward: Array
    plane_second: Array


@dataclass(frozen=True, eq=False)
class _Problem:
    """Boats with their stations (stations, n) and what has to float where, (n,)."""

    form: HullForm
    marks: Marks
    x: Array
    weight: Array
    lines: Lines
    box: BuoyantBox
    volume: Array
    forward: Array
    above: Array
    plumb: float  # 1 where the height of the balance point counts, else 0


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
    count = columns[0].size
    parts = [
        _float_block([c[at : at + BLOCK].copy() for c in columns], plumb)
        for at in range(0, max(count, 1), BLOCK)
    ]
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
    # a lane that is not a hull is worked as a plain one and blanked at the end
    plain = (6.0, 5.0, 2.0, 2.0, 15.0, 15.0, 30.0, 0.0, 0.0, 0.0, 1.5, 2.5, 0.0)
    safe = [np.where(bad, stand_in, c) for c, stand_in in zip(columns, plain, strict=True)]
    form, box = HullForm(*safe[:7]), BuoyantBox(*safe[7:10])
    marks = hull_marks(form)
    x, weight = _stations(marks)
    lines = hull_lines(form, x, marks)
    problem = _Problem(form, marks, x, weight, lines, box, *safe[10:], plumb)
    draught, slope, misfit_v, misfit_m, spent = _newton(problem)
    trim = np.degrees(np.arctan(slope))
    missed = ~((np.abs(misfit_v) <= PROMISED) & (np.abs(misfit_m) <= PROMISED))
    outside = (problem.forward <= -box.length_m) | (problem.forward >= form.length_overall_m)
    steep = np.abs(trim) > STEEPEST_DEG
    status = np.select(
        [bad, outside, steep, missed],
        [Rest.NOT_A_HULL, Rest.BALANCE_OUTSIDE, Rest.STANDS_ON_END, Rest.NOT_FOUND],
        Rest.OK,
    ).astype(np.int64)
    found = _describe(problem, draught, slope)
    found += (misfit_v, misfit_m)
    return Flotation(*(np.where(status == Rest.OK, v, np.nan) for v in found), spent, status)


def _unreasonable(columns: list[Array]) -> NDArray[np.bool_]:
    """Where a lane is no hull: not finite, not positive, or angles out of range."""
    overall, waterline, beam, transom, aft, midship, entrance = columns[:7]
    width, length, _, volume = columns[7:11]
    good = np.isfinite(np.stack(columns)).all(axis=0)
    with np.errstate(invalid="ignore"):
        good &= (waterline > 0.0) & (overall >= waterline) & (beam > 0.0) & (volume > 0.0)
        good &= (transom >= 0.0) & (aft >= 0.0) & (aft < 60.0) & (midship >= 0.0)
        good &= (midship < 60.0) & (entrance > 0.0) & (entrance <= 90.0)
        good &= (width >= 0.0) & (length >= 0.0)
    return ~good


def _stations(marks: Marks) -> tuple[Array, Array]:
    """Gauss points between the marks of the lines and their weights, (stations, n) [m]."""
    first = np.minimum(marks.shoulder_m, marks.forefoot_m)
    second = np.maximum(marks.shoulder_m, marks.forefoot_m)
    ends = (
        np.zeros_like(first), marks.midship_m, first, second, marks.waterline_m, marks.overall_m
    )
    x: list[Array] = []
    weight: list[Array] = []
    for count, low, high in zip(POINTS, ends[:-1], ends[1:], strict=True):
        nodes, shares = np.polynomial.legendre.leggauss(count)
        x += [low + (high - low) * float(0.5 * (node + 1.0)) for node in nodes]
        weight += [(high - low) * float(0.5 * share) for share in shares]
    return np.stack(x), np.stack(weight)


def _total(rows: Array) -> Array:
    """Add stations one after another: a sum along an axis would add in an order that depends on n."""
    total = rows[0].copy()
    for row in rows[1:]:
        total += row
    return total


def _immerse(problem: _Problem, draught: Array, slope: Array) -> _Water:
    """Integrate what lies under the water line, hull and box."""
    lines, x, weight = problem.lines, problem.x, problem.weight
    depth = draught - x * slope - lines.keel_above_m
    breadth = wet_half_breadth(depth, lines.chine_half_beam_m, lines.slope)
    area = weight * wet_area(depth, breadth, lines.slope)
    width = 2.0 * weight * breadth
    x_width = x * width
    above = np.zeros_like(draught)
    if problem.plumb:
        moment = weight * wet_area_moment(depth, breadth, lines.slope)
        above = _total(moment + lines.keel_above_m * area)
    hull = _Water(
        _total(area), _total(x * area), above, _total(width), _total(x_width), _total(x * x_width)
    )
    box = _immerse_box(problem.box, draught, slope)
    return _Water(*(getattr(hull, f.name) + getattr(box, f.name) for f in fields(_Water)))


def _immerse_box(box: BuoyantBox, draught: Array, slope: Array) -> _Water:
    """The same integrals of the box abaft the transom, in closed form."""
    deep = draught - box.bottom_above_m  # of its bottom at the transom
    with np.errstate(divide="ignore", invalid="ignore"):
        dry_at = deep / slope
    far = -box.length_m
    low = np.where(slope < 0.0, np.maximum(dry_at, far), far)
    high = np.where(slope > 0.0, np.minimum(dry_at, 0.0), np.where((slope < 0.0) | (deep > 0.0), 0.0, far))
    high, low = np.maximum(high, far), np.minimum(low, 0.0)
    wet = high > low
    high, low = np.where(wet, high, 0.0), np.where(wet, low, 0.0)
    plane = box.width_m * (high - low)
    first = 0.5 * box.width_m * (high * high - low * low)
    second = box.width_m * (high * high * high - low * low * low) / 3.0
    volume = deep * plane - slope * first
    squared = deep * deep * plane - 2.0 * deep * slope * first + slope * slope * second
    return _Water(
        volume,
        deep * first - slope * second,
        box.bottom_above_m * volume + 0.5 * squared,
        plane,
        first,
        second,
    )


def _misfit(problem: _Problem, water: _Water, slope: Array) -> tuple[Array, Array]:
    """What is left over of volume and of moment, as shares."""
    lever = problem.plumb * slope * (water.above - problem.volume * problem.above)
    moment = water.forward - problem.volume * problem.forward - lever
    return (
        water.volume / problem.volume - 1.0,
        moment / (problem.volume * problem.form.length_overall_m),
    )


def _step(problem: _Problem, water: _Water, draught: Array, slope: Array) -> tuple[Array, Array]:
    """Newton step in draught and slope from the exact slopes of the integrals."""
    v, m = _misfit(problem, water, slope)
    left_v, left_m = v * problem.volume, m * problem.volume * problem.form.length_overall_m
    plumb = problem.plumb * slope
    level = draught * water.plane - slope * water.plane_forward  # moment of the plane's own heights
    level_x = draught * water.plane_forward - slope * water.plane_second
    vt, vs = water.plane, -water.plane_forward
    mt = water.plane_forward - plumb * level
    ms = -water.plane_second + plumb * level_x
    ms = ms - problem.plumb * (water.above - problem.volume * problem.above)
    with np.errstate(divide="ignore", invalid="ignore"):
        under = vt * ms - vs * mt
        down = (vs * left_m - ms * left_v) / under
        turn = (mt * left_v - vt * left_m) / under
    good = np.isfinite(down) & np.isfinite(turn)
    # never further at once than half a beam and a fifth in slope: the first guess may be far off
    far = np.maximum(np.abs(down) / (0.5 * problem.form.chine_beam_m), np.abs(turn) / 0.2)
    short = 1.0 / np.maximum(far, 1.0)
    return np.where(good, down * short, 0.0), np.where(good, turn * short, 0.0)


def _newton(problem: _Problem) -> tuple[Array, Array, Array, Array, NDArray[np.int64]]:
    """Draught, slope, what is left of volume and moment, and evaluations spent, (n,) each."""
    form = problem.form
    deadrise = 0.5 * (form.deadrise_transom_deg + form.deadrise_midship_deg)
    draught = prism_draught(problem.volume, form.waterline_length_m, form.chine_beam_m, deadrise)
    slope = np.zeros_like(draught)
    water = _immerse(problem, draught, slope)
    best_v, best_m = _misfit(problem, water, slope)
    down, turn = _step(problem, water, draught, slope)
    spent = np.ones(draught.shape, dtype=np.int64)
    for _ in range(SWEEPS):
        best = best_v * best_v + best_m * best_m
        moving = (np.abs(best_v) > CLOSED) | (np.abs(best_m) > CLOSED)
        if not moving.any():
            break
        spent += moving
        there, tilted = draught + down, slope + turn
        water = _immerse(problem, there, tilted)
        v, m = _misfit(problem, water, tilted)
        better = moving & (v * v + m * m < best)
        next_down, next_turn = _step(problem, water, there, tilted)
        draught, slope = np.where(better, there, draught), np.where(better, tilted, slope)
        best_v, best_m = np.where(better, v, best_v), np.where(better, m, best_m)
        down = np.where(better, next_down, 0.5 * down)
        turn = np.where(better, next_turn, 0.5 * turn)
    return draught, slope, best_v, best_m, spent


def _describe(problem: _Problem, draught: Array, slope: Array) -> tuple[Array, ...]:
    """The columns of Flotation from draught to the waterplane, in their order."""
    lines, marks, box = problem.lines, problem.marks, problem.box
    along = np.sqrt(1.0 + slope * slope)  # one over the cosine of the trim
    depth = draught - problem.x * slope - lines.keel_above_m
    breadth = wet_half_breadth(depth, lines.chine_half_beam_m, lines.slope)
    area = wet_area(depth, breadth, lines.slope)
    girth = wet_girth(depth, breadth, lines.slope)
    aft = hull_lines(problem.form, np.zeros_like(draught), marks)
    transom_breadth = wet_half_breadth(draught, aft.chine_half_beam_m, aft.slope)
    transom_area = wet_area(draught, transom_breadth, aft.slope)
    largest, widest = transom_area, transom_breadth
    for area_here, breadth_here in zip(area, breadth, strict=True):
        largest = np.maximum(largest, area_here)
        widest = np.maximum(widest, breadth_here)
    stem = stem_at_water(
        draught, slope, marks.forefoot_m, marks.rise_length_m, marks.stem_depth_m, marks.overall_m
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        start = np.where((draught < 0.0) & (slope < 0.0), draught / slope, 0.0)
    whole = _immerse(_with_height(problem), draught, slope)
    boxed = _immerse_box(box, draught, slope)
    plane, first = whole.plane - boxed.plane, whole.plane_forward - boxed.plane_forward
    centre = first / plane
    second = whole.plane_second - boxed.plane_second - centre * first
    return (
        draught,
        np.degrees(np.arctan(slope)),
        (stem - start) * along,
        2.0 * widest,
        transom_area,
        largest,
        _total(problem.weight * girth),
        boxed.volume,
        whole.forward / whole.volume,
        whole.above / whole.volume,
        plane * along,
        centre,
        second * along * along * along,
    )


def _with_height(problem: _Problem) -> _Problem:
    """The same problem with the heights of the volume worked out."""
    return _Problem(**{f.name: getattr(problem, f.name) for f in fields(_Problem)} | {"plumb": 1.0})
