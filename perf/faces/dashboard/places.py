"""Places that are tried with the sliders of the page of hanging the engine: picked, worked out, kept.

What depends on the boat alone is studied once. A move of a slider is answered in two steps: the place
as stated, then its bands and what they allow to be said.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from perf.base.results import Result
from perf.base.units import to_si
from perf.boat.parts import Boat
from perf.faces.dashboard.answers import Answers
from perf.studies.mount.each_hole import Parts
from perf.studies.mount.study import DRAWS, SEED, Wanted, look, told
from perf.studies.mount.tried import Known, Tried, raised

KEPT = 32  # answers in memory
SETBACKS_IN = (0, 6, 12, 18, 24, 30, 36)
HEIGHTS_IN = (-0.75, 0, 0.75, 1.5, 2.25, 3, 3.75, 4.5, 5.25, 6, 6.75, 7.5)  # mounting holes
ADVISED, CRUISE = -1.0, 0.0  # not set: as advised, her own cruise


class Place(NamedTuple):
    """What the three sliders say of a boat; a height or speed that is not set is as advised."""

    boat: Boat
    setback_m: float
    height_m: float = ADVISED
    speed_mps: float = CRUISE

    @property
    def as_advised(self) -> bool:
        """Whether nothing is moved: that is what the study of the page is about."""
        return self[1:] == (self.boat.mounting.setback_m, ADVISED, CRUISE)

    @property
    def wanted(self) -> Wanted:
        """The same as a study is asked."""
        return Wanted(
            at_setback_m=self.setback_m,
            at_plate_height_m=None if self.height_m == ADVISED else self.height_m,
            speed_mps=None if self.speed_mps == CRUISE else self.speed_mps,
        )


@lru_cache(maxsize=KEPT)
def looked(boat: Boat) -> tuple[Result, Known]:
    """The study of this boat over the page's own grid, and what it leaves for places tried."""
    found = look(boat, setbacks_of(boat), heights(), draws=DRAWS, seed=SEED)
    return told(found), Known.of(found)


def whole(boat: Boat) -> Result:
    """The study of this boat over the page's own grid; never to be changed."""
    return looked(boat)[0]


def heights() -> list[float]:
    """Plate heights of the grid and of the slider, by mounting holes [m]."""
    return _inches(HEIGHTS_IN)


def setbacks_of(boat: Boat) -> list[float]:
    """Setbacks of the grid and of the slider, her own among them [m]."""
    return sorted({boat.mounting.setback_m, *_inches(SETBACKS_IN)})


def _inches(values: Sequence[float]) -> list[float]:
    return [to_si(float(value), "short length", "us") for value in values]


_TRIED = Answers()


@lru_cache(maxsize=KEPT)
def _stated(place: Place) -> Tried:
    asked = place.wanted
    known = looked(place.boat)[1]
    return Tried.at(known, place.setback_m, asked.at_plate_height_m, asked.speed_mps)


@lru_cache(maxsize=KEPT)
def _raised(boat: Boat, setback_m: float) -> Parts:
    return raised(looked(boat)[1], setback_m, DRAWS, SEED)


def ready(place: Place) -> Result | None:
    """The whole of a place where it was worked out before."""
    if place.as_advised:
        return whole(place.boat)
    return _TRIED.get(place)


def first(place: Place) -> Result:
    """A place as stated, without bands; never to be changed."""
    return _stated(place).result()


def tried(place: Place) -> Result:
    """A place with its bands; never to be changed."""
    known = ready(place)
    if known is not None:
        return known
    also = _raised(place.boat, place.setback_m)
    return _TRIED.put(place, _stated(place).banded(DRAWS, SEED, also))


def forget() -> None:
    """Forget every place, as when the program starts."""
    for kept in (looked, _stated, _raised):
        kept.cache_clear()
    _TRIED.clear()
