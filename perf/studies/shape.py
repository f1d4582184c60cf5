"""Her shape as it is worked with, drawn to scale: sections, profile and half breadths, with the water at rest.

Drawn from the same lines and the same boat at rest that the low-speed methods use, so what is seen is
what is reckoned with: a simplified hull. Heights are over still water, square to the keel line.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.results import Sentence, Value
from perf.boat.fleet import Fleet
from perf.boat.parts import Boat
from perf.laws.hull_lines import hull_lines, hull_marks
from perf.laws.hydrostatics import wet_half_breadth
from perf.solve.afloat import Afloat
from perf.solve.flotation import hull_form
from perf.studies.mount.drawing_parts import Drawing, Frame, Note, Stroke, Way
from perf.studies.mount.drawing_shapes import BOW_OVER_TRANSOM, hull_profile
from perf.studies.mount.drawings import BAR_M, BAR_WORDS

Array = NDArray[np.float64]

AFT, AHEAD = (0.0, 0.25, 0.5), (0.7, 0.85, 0.95)  # stations drawn left and right, of her waterline
SIMPLIFIED = (
    "Simplified: a plain V with straight sides that rises and narrows to the stem, set by the measures "
    "of her file; no strakes, steps, flare or rounded chine. The sheer is a sketch."
)
CLOSE, WHOLE = (  # scale bars, for one section and for the whole boat
    {system: (BAR_M[system][size], BAR_WORDS[system][size]) for system in BAR_M} for size in (0, 1)
)
ALONG = 100  # places along her for the half breadths
MARGIN_M = LINE_M = 0.12  # round a drawing, and from one line of its words to the next
OVER_M = 0.02  # words over a line


@dataclass(frozen=True, eq=False)
class Stations:
    """Her lines at stations (n,) forward of the transom, and the water at rest there; lengths in m."""

    forward_m: Array
    keel_m: Array  # over the keel line
    chine_half_m: Array
    slope: Array  # tangent of the deadrise
    water_m: Array  # still water over the keel line
    sheer_m: Array  # a sketch
    water_half_m: Array  # half breadth in the water


def stations(boat: Boat, forward_m: Array) -> Stations:
    """The lines of the boat as loaded, at places forward of the transom."""
    afloat = Afloat.of(Fleet.of(boat).lanes)
    form = hull_form(afloat.lanes)
    lines = hull_lines(form, forward_m[:, None], hull_marks(form))
    keel, half, slope = (
        part[:, 0] for part in (lines.keel_above_m, lines.chine_half_beam_m, lines.slope)
    )
    water = afloat.draught_m[0] - forward_m * np.tan(np.radians(afloat.trim_deg[0]))
    height, long = boat.hull.transom_height_m, boat.hull.length_overall_m
    sheer = height + (_bow_m(boat) - height) * forward_m / long
    wet = wet_half_breadth(np.maximum(water - keel, 0.0), half, slope)
    return Stations(forward_m, keel, half, slope, water, sheer, np.where(water > keel, wet, 0.0))


def _bow_m(boat: Boat) -> float:
    """Height of the bow over the keel line: the stem's, or a sketch where that is lower."""
    form = hull_form(Fleet.of(boat).lanes)
    stem = hull_lines(form, np.array([[boat.hull.length_overall_m]])).keel_above_m
    return max(float(stem[0, 0]), BOW_OVER_TRANSOM * boat.hull.transom_height_m)


def shape_drawings(boat: Boat) -> tuple[Drawing, ...]:
    """Sections, profile and half breadths of the boat as loaded, each to scale; nothing where she does not float."""
    if not np.isfinite(Afloat.of(Fleet.of(boat).lanes).draught_m[0]):
        return ()
    return _sections(boat), _profile(boat), _half_breadths(boat)


def section_way(at: Stations, place: int, side: float) -> Way:
    """One section from keel to sheer, heights over still water; side is -1 for left, 1 for right."""
    keel, half, slope = (float(part[place]) for part in (at.keel_m, at.chine_half_m, at.slope))
    water, sheer = float(at.water_m[place]), float(at.sheer_m[place])
    chine = keel + half * slope
    if chine >= sheer:  # far forward the V reaches the sheer before the chine
        points = [(0.0, keel), (max(sheer - keel, 0.0) / slope, max(sheer, keel))]
    else:
        points = [(0.0, keel), (half, chine), (half, sheer)]
    return tuple((side * y, z - water) for y, z in points)


def _sections(boat: Boat) -> Drawing:
    waterline = boat.hull.waterline_length_m
    at = stations(boat, waterline * np.array([*AFT, *AHEAD]))
    sides = np.repeat([-1.0, 1.0], [len(AFT), len(AHEAD)])
    strokes = [
        Stroke("hull", section_way(at, place, side), label="section")
        for place, side in enumerate(sides)
    ]
    wide = 0.5 * boat.hull.chine_beam_m + MARGIN_M
    strokes.append(Stroke("water", ((-wide, 0.0), (wide, 0.0)), label="still water"))
    left, right, low, high = _box([stroke.way for stroke in strokes])
    strokes.append(Stroke("leader", ((0.0, low), (0.0, high)), label="middle of the boat"))
    low -= 2 * LINE_M
    notes = (
        Note(left, low + LINE_M, Sentence(("left: transom, ", *_places(at.forward_m[1:3])))),
        Note(left, low, Sentence(("right: ", *_places(at.forward_m[3:])))),
        Note(right, OVER_M, Sentence(("still water",)), "end"),
    )
    return Drawing(
        "shape_sections", "Her sections", SIMPLIFIED, tuple(strokes), (), notes,
        left, right, low, high, CLOSE, "stern half on the left, bow half on the right",
    )  # fmt: skip


def _places(forward_m: Array) -> list[str | Value]:
    """Stations in words: such and such forward of the transom."""
    parts: list[str | Value] = []
    for place, metres in enumerate(forward_m):
        parts += [", " if place else "", Value(float(metres), "length", 1)]
    return [*parts, " forward of it"]


def _profile(boat: Boat) -> Drawing:
    rest = Afloat.of(Fleet.of(boat).lanes)
    frame = Frame(float(rest.draught_m[0]), float(rest.trim_deg[0]))
    strokes = list(hull_profile(boat, frame))
    far = boat.hull.length_overall_m + MARGIN_M
    strokes.append(Stroke("water", ((-2 * MARGIN_M, 0.0), (far, 0.0)), label="still water"))
    left, right, low, high = _box([stroke.way for stroke in strokes])
    low -= 2 * LINE_M
    words = Sentence(
        ("at rest: keel at the transom ", Value(frame.draught_m, "length", 1), " deep, bow up ",
         Value(frame.trim_deg, "angle", 1), ", ", Value(float(rest.waterline_length_m[0]), "length", 1),
         " in the water")
    )  # fmt: skip
    notes = (Note(left, low, words), Note(right, OVER_M, Sentence(("still water",)), "end"))
    return Drawing(
        "shape_profile", "Her profile", SIMPLIFIED, tuple(strokes), (), notes,
        left, right, low, high, WHOLE,
    )  # fmt: skip


def _half_breadths(boat: Boat) -> Drawing:
    at = stations(boat, np.linspace(0.0, boat.hull.length_overall_m, ALONG))
    inside = at.keel_m + at.slope * at.chine_half_m < at.sheer_m
    chine = np.where(inside, at.chine_half_m, np.maximum(at.sheer_m - at.keel_m, 0.0) / at.slope)
    wet = at.water_half_m > 0.0
    ends = ((0.0, 0.0), (0.0, float(chine[0])))
    strokes = (
        Stroke("hull", _way(at.forward_m, chine), label="chine"),
        Stroke("hull", ends, label="transom"),
        Stroke("water", _way(at.forward_m[wet], at.water_half_m[wet]), label="edge of the water"),
        Stroke("leader", ((0.0, 0.0), (float(at.forward_m[-1]), 0.0)), label="middle of the boat"),
    )
    left, right, low, high = _box([stroke.way for stroke in strokes])
    low -= LINE_M
    words = Sentence(("chine; inside it the edge of the water at rest",))
    notes = (Note(left + 2 * MARGIN_M, float(chine[0]) / 2.0, words),)
    return Drawing(
        "shape_half_breadths", "Half of her, from above", SIMPLIFIED, strokes, (), notes,
        left, right, low, high, WHOLE,
    )  # fmt: skip


def _way(across: Array, up: Array) -> Way:
    return tuple((float(x), float(y)) for x, y in zip(across, up, strict=True))


def _box(ways: Iterable[Way]) -> tuple[float, float, float, float]:
    places = np.array([place for way in ways for place in way])
    (left, low), (right, high) = places.min(axis=0), places.max(axis=0)
    return (
        float(left) - MARGIN_M,
        float(right) + MARGIN_M,
        float(low) - MARGIN_M,
        float(high) + MARGIN_M,
    )
