"""Height of a cockpit sole over the water."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]

INCH_M, FOOT_M = 0.0254, 0.3048
LEAST_SOLE_M = 3.0 * INCH_M
SOLE_PER_LENGTH = 0.22 * INCH_M / FOOT_M


@law(
    "Height of a self-draining sole",
    "ABYC H-4",
    "3 in, or 0.22 in per foot of hull length if that is more",
    Basis.QUOTED,
)
def sole_height_wanted(hull_length_m: ArrayLike) -> Array:
    """Least height of a quick-draining cockpit's sole over the loaded waterline [m]; same shape."""
    length = np.asarray(hull_length_m, dtype=float)
    return np.asarray(np.maximum(LEAST_SOLE_M, SOLE_PER_LENGTH * length))
