"""What lies under a slanting water line: volume, its moments and the waterplane, many hulls at once.

In the keel's own axes (x forward of the transom, z over the keel line) still water is the straight
line z = T - x t, T the draught at the transom and t the tangent of the trim. The volume is summed
station by station at Gauss points between the marks of the lines, the same number for every boat,
in a fixed order, so that a lane alone is the lane in a crowd bit for bit.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.laws.hull_lines import HullForm, Lines, Marks, hull_lines, hull_marks
from perf.laws.hydrostatics import wet_area, wet_area_moment, wet_half_breadth

Array = NDArray[np.float64]

POINTS = (10, 8, 10, 10, 8)  # Gauss points on each stretch of the hull, transom to stem head
_NODES = [np.polynomial.legendre.leggauss(count) for count in POINTS]


@dataclass(frozen=True, eq=False)
class BuoyantBox:
    """Flotation bracket as a box abaft the transom, (n,) each [m]; zeros for none.

    bottom_above_m is its flat bottom over the keel line; it is as tall as need be.
    """

    width_m: Array
    length_m: Array
    bottom_above_m: Array


@dataclass(frozen=True, eq=False)
class Immersed:
    """Integrals of what lies under the water line, (n,) each.

    volume [m^3], its first moments forward and above [m^4]; zeroth, first and second moments of the
    breadth at the water, taken along the keel line about the transom [m^2, m^3, m^4].
    """

    volume: Array
    forward: Array
    above: Array
    plane: Array
    plane_forward: Array
    plane_second: Array


@dataclass(frozen=True, eq=False)
class Stations:
    """Hulls cut at their stations, x and weight [m] and lines (stations, n), and their box (n,)."""

    form: HullForm
    marks: Marks
    box: BuoyantBox
    x: Array
    weight: Array
    lines: Lines

    @classmethod
    def of(cls, form: HullForm, box: BuoyantBox) -> Stations:
        """Cut the hulls at Gauss points between the marks of their lines; all (n,)."""
        marks = hull_marks(form)
        first = np.minimum(marks.shoulder_m, marks.forefoot_m)
        second = np.maximum(marks.shoulder_m, marks.forefoot_m)
        ends = (0.0 * first, marks.midship_m, first, second, marks.waterline_m, marks.overall_m)
        x: list[Array] = []
        weight: list[Array] = []
        for (nodes, shares), low, high in zip(_NODES, ends[:-1], ends[1:], strict=True):
            x += [low + (high - low) * float(0.5 * (node + 1.0)) for node in nodes]
            weight += [(high - low) * float(0.5 * share) for share in shares]
        stations = np.stack(x)
        return cls(form, marks, box, stations, np.stack(weight), hull_lines(form, stations, marks))


def total(rows: Array) -> Array:
    """Add stations one after another: a sum along an axis would add in an order that depends on n."""
    added: Array = rows[0].copy()
    for row in rows[1:]:
        added += row
    return added


def immerse(stations: Stations, draught: Array, slope: Array, *, heights: bool) -> Immersed:
    """Integrate what lies under the water line, hull and box; above is 0 unless heights are asked."""
    lines, x, weight = stations.lines, stations.x, stations.weight
    depth = draught - x * slope - lines.keel_above_m
    breadth = wet_half_breadth(depth, lines.chine_half_beam_m, lines.slope)
    area = weight * wet_area(depth, breadth, lines.slope)
    width = 2.0 * weight * breadth
    x_width = x * width
    above = np.zeros_like(draught)
    if heights:
        moment = weight * wet_area_moment(depth, breadth, lines.slope)
        above = total(moment + lines.keel_above_m * area)
    hull = Immersed(
        total(area), total(x * area), above, total(width), total(x_width), total(x * x_width)
    )
    box = immerse_box(stations.box, draught, slope)
    return Immersed(*(getattr(hull, f.name) + getattr(box, f.name) for f in fields(Immersed)))


def immerse_box(box: BuoyantBox, draught: Array, slope: Array) -> Immersed:
    """Integrate the box abaft the transom in closed form."""
    deep = draught - box.bottom_above_m  # of its bottom at the transom
    far = -box.length_m
    with np.errstate(divide="ignore", invalid="ignore"):
        dry_at = deep / slope
    # the box is wet from low to high, the whole of it unless the water line cuts its bottom
    low = np.where(slope < 0.0, np.maximum(dry_at, far), far)
    high = np.where(slope > 0.0, np.minimum(dry_at, 0.0), 0.0)
    wet = (high > low) & ((slope != 0.0) | (deep > 0.0))
    high, low = np.where(wet, high, 0.0), np.where(wet, low, 0.0)
    plane = box.width_m * (high - low)
    first = 0.5 * box.width_m * (high * high - low * low)
    second = box.width_m * (high * high * high - low * low * low) / 3.0
    volume = deep * plane - slope * first
    squared = deep * deep * plane - 2.0 * deep * slope * first + slope * slope * second
    return Immersed(
        volume,
        deep * first - slope * second,
        box.bottom_above_m * volume + 0.5 * squared,
        plane,
        first,
        second,
    )
