"""Boats with their engine hung elsewhere: setback, height, bracket; and many heights at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from perf.base.assumptions import MOUNTING
from perf.boat.fleet import Fleet
from perf.boat.lanes import Lanes
from perf.boat.parts import Boat, Bracket

Array = NDArray[np.float64]

PLAIN_BRACKET_M = 0.762  # the 30 in bracket whose weight is assumed


@dataclass(frozen=True)
class Hanging:
    """Where the engine hangs: setback and plate height [m]."""

    setback_m: float
    plate_height_m: float


def hung(boat: Boat, setback_m: float, plate_height_m: float) -> Boat:
    """The boat with her engine there, and the bracket that reaches to it.

    A given bracket is lengthened or cut by what the setback changes, its weight in proportion; one is
    assumed, without buoyancy, where there is none and the engine goes farther aft than it hangs. With
    no setback there is none. At her own setback the bracket stays as it is.
    """
    mounting = replace(boat.mounting, setback_m=setback_m, plate_height_m=plate_height_m)
    return replace(boat, mounting=mounting, bracket=_bracket(boat, setback_m))


def _bracket(boat: Boat, setback_m: float) -> Bracket | None:
    farther = setback_m - boat.mounting.setback_m
    given = boat.bracket
    if farther == 0.0:
        return given
    if setback_m <= 0.0:
        return None
    if given is None:
        if farther < 0.0:
            return None
        return Bracket(
            MOUNTING["bracket_mass"].value * farther / PLAIN_BRACKET_M,
            MOUNTING["bracket_width"].value,
            setback_m,
            MOUNTING["bracket_bottom"].value,
            False,
        )
    length = max(given.length_m + farther, 0.0)
    share = length / given.length_m if given.length_m > 0.0 else 1.0
    return replace(given, length_m=length, mass_kg=given.mass_kg * share)


def is_assumed_bracket(boat: Boat, changed: Boat) -> bool:
    """Whether the changed boat carries a bracket nobody described."""
    return boat.bracket is None and changed.bracket is not None


def at_heights(boats: Sequence[Boat], heights_m: Array, draws: int = 0, seed: int = 1) -> Lanes:
    """Boats (b) at heights (h) as lanes, (b x h) rows, height varying fastest; with draws (b x h x draws).

    A lane is a straight line in the plate height (the engine's own height moves the balance point in
    proportion), so two heights are built and all others lie on the line through them.
    """
    low = [_lifted(boat, 0.0) for boat in boats]
    high = [_lifted(boat, 1.0) for boat in boats]
    ends = [
        Fleet.draw(many, draws, seed).lanes if draws else Fleet.of(many).lanes
        for many in (low, high)
    ]
    each = max(draws, 1)
    columns = {}
    for field in fields(Lanes):
        start, end = (getattr(lanes, field.name).reshape(len(boats), 1, each) for lanes in ends)
        line = start + (end - start) * heights_m[None, :, None]
        columns[field.name] = np.ascontiguousarray(np.where(end == start, start, line).ravel())
    return Lanes(**columns)


def _lifted(boat: Boat, height_m: float) -> Boat:
    return replace(boat, mounting=replace(boat.mounting, plate_height_m=height_m))


def with_wake(lanes: Lanes, places: Array) -> Lanes:
    """The lanes (n) once for every place between the wake models (w): (n x w) rows, place fastest."""
    rows = np.repeat(np.arange(lanes.count), places.size)
    return replace(lanes.take(rows), wake_place=np.tile(places, lanes.count))


def holes_m(count: float) -> float:
    """Height of a number of mounting holes along the transom [m]."""
    return count * MOUNTING["hole_spacing"].value
