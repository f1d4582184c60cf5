"""Drag of a bracket that stands in the flow."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]

BOX = 0.9  # drag coefficient of a box on its front


@law(
    "Drag of a box in the flow",
    "Molland et al. 2011",
    "a box has 0.9 on its front (square plate 1.1)",
    Basis.QUOTED,
)
def box_drag(dynamic_pressure_pa: ArrayLike, front_area_m2: ArrayLike) -> Array:
    """Drag of what stands square in the flow [N]; broadcast shape, nothing for no area."""
    area = np.maximum(np.asarray(front_area_m2, dtype=float), 0.0)
    return np.asarray(BOX * area * np.asarray(dynamic_pressure_pa, dtype=float))
