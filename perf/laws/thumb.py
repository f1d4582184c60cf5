"""Rules of thumb of the trade that were published: beside an answer, never in it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]

KNOT_MPS = 1852.0 / 3600.0
POUND_KG = 0.45359237
HORSEPOWER_W = 745.6998715822702
AVERAGE_RUNABOUT = 150.0  # the constant for average runabouts and cruisers, Gerr, Table 2-2
FAST_RUNABOUT = 190.0  # and for high-speed runabouts


@law(
    "top speed from weight and power",
    "Gerr 1989",
    "after Crouch: kn = C / sqrt(lb per hp)",
    Basis.RECALLED,
)
def crouch_speed(
    mass_kg: ArrayLike, power_w: ArrayLike, constant: ArrayLike = AVERAGE_RUNABOUT
) -> Array:
    """Top speed [m/s] from all-up mass [kg] and power at the propellers [W]; broadcast shape.

    constant : 150 for average runabouts and cruisers, 190 for fast ones, in knots and pounds per horsepower.
    """
    pounds = np.asarray(mass_kg, dtype=float) / POUND_KG
    horses = np.asarray(power_w, dtype=float) / HORSEPOWER_W
    with np.errstate(all="ignore"):
        return np.asarray(constant / np.sqrt(pounds / horses) * KNOT_MPS)
