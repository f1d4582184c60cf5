"""Which published methods carry the answer: one frozen choice, by name, never by inference."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.laws import friction, join

Array = NDArray[np.float64]

RESISTANCE = ("join", "planing", "series")
FRICTION: dict[str, Callable[[Array], Array]] = {
    "schoenherr": friction.schoenherr,
    "ittc57": friction.ittc57,
}
PROPELLERS = ("gawn", "kca", "wageningen_b")
EXTRA = ("hump or spray", "hump", "spray", "none")


@dataclass(frozen=True)
class Methods:
    """The methods behind an answer; ValueError with the names known for one that is not.

    planing_extra : what is added to the drag of 1964; the hump multiplier was itself fitted to whole
    measured drags, spray included, so it is used alone by default and all the way up.
    resistance : "join" of all, or "planing" or "series" alone wherever they reach.
    friction_line : on the planing bottom and in the size correction.
    propeller : open-water series.
    ends : of the join.
    """

    resistance: str = "join"
    friction_line: str = "schoenherr"
    propeller: str = "gawn"
    planing_extra: str = "hump"
    ends: join.Ends = join.ENDS

    def __post_init__(self) -> None:
        for word, known in (
            (self.resistance, RESISTANCE),
            (self.friction_line, tuple(FRICTION)),
            (self.propeller, PROPELLERS),
            (self.planing_extra, EXTRA),
        ):
            if word not in known:
                raise ValueError(f'no method is called "{word}"; known: {", ".join(known)}')

    def skin(self, reynolds: Array) -> Array:
        """Friction coefficient by the chosen line."""
        return FRICTION[self.friction_line](reynolds)


DEFAULT = Methods()
