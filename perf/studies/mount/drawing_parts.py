"""What a drawing is made of: strokes, dots and notes in metres, no drawing library here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.results import Sentence

Array = NDArray[np.float64]
Way = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Stroke:
    """A line or an outline in metres. role is what it stands for; heavy marks what a hand can change."""

    role: str  # hull, water, band, leg, bracket, propeller, wet, plate
    way: Way
    closed: bool = False
    heavy: bool = False
    dashed: bool = False
    label: str = ""


@dataclass(frozen=True)
class Dot:
    """A named point in metres."""

    role: str  # balance, weight
    x: float
    y: float
    label: str


@dataclass(frozen=True)
class Note:
    """Words at a place in metres, growing right from it or left ("end"), quantities in SI inside."""

    x: float
    y: float
    words: Sentence
    anchor: str = "start"


@dataclass(frozen=True)
class Drawing:
    """A picture to scale: everything in metres, and the box it fills."""

    key: str
    title: str
    about: str
    strokes: tuple[Stroke, ...]
    dots: tuple[Dot, ...]
    notes: tuple[Note, ...]
    left: float
    right: float
    low: float
    high: float
    bars: Mapping[str, tuple[float, str]]  # by system of units: length in metres, its words
    facing: str = "bow to the right"


@dataclass(frozen=True, eq=False)
class Frame:
    """How she lies: draught of the keel at the transom, square to the keel line, and trim [deg]."""

    draught_m: float
    trim_deg: float

    def seen(self, forward: Array | float, above: Array | float) -> Way:
        """Places on the boat (forward, above) as the picture shows them."""
        x, z = np.broadcast_arrays(np.atleast_1d(forward), np.atleast_1d(above))
        tilt = np.radians(self.trim_deg)
        level = z - self.draught_m
        across = x * np.cos(tilt) - level * np.sin(tilt)
        up = x * np.sin(tilt) + level * np.cos(tilt)
        return tuple((float(a), float(b)) for a, b in zip(across, up, strict=True))

    def one(self, forward: float, above: float) -> tuple[float, float]:
        """One place."""
        return self.seen(forward, above)[0]
