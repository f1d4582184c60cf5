"""From draws to bands: percentiles in which a failed draw counts as the worst, never dropped."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

Array = NDArray[np.float64]

LEAST_KNOWN = 2  # values a curve needs
LOW_PER_CENT, HIGH_PER_CENT = 10.0, 90.0
WORST_IS_LOW = frozenset(
    (
        "mileage_m_per_l",
        "range_m",
        "top_speed_mps",
        "best_mileage_m_per_l",
        "best_range_m",
        "efficiency",
        "hump_margin",
        "hump_margin_n",
        "wanted_mileage_m_per_l",
        "fuel_saved_m3",
        "net_present_value",
    )
)


def band(name: str, draws: Array) -> tuple[Array, Array]:
    """Tenth and ninetieth percentile over axis 0 of draws (k, m) -> two (m,); NaN draws rank worst.

    Worst is low for what one wants much of and high for all else; a percentile that falls among the
    failed draws is NaN.
    """
    worst = -np.inf if name in WORST_IS_LOW else np.inf
    ranked = np.where(np.isfinite(draws), draws, worst)
    low, high = np.percentile(ranked, (LOW_PER_CENT, HIGH_PER_CENT), axis=0, method="nearest")
    return np.where(np.isfinite(low), low, np.nan), np.where(np.isfinite(high), high, np.nan)


def between(at: Array, known: Array, values: Array) -> Array:
    """Values (k,) known at rising places, read at others by a monotone cubic; NaN outside and beside NaN."""
    finite = np.isfinite(values)
    if np.count_nonzero(finite) < LEAST_KNOWN:
        return np.full(at.shape, np.nan)
    curve = PchipInterpolator(known[finite], values[finite], extrapolate=False)(at)
    # beside a gap there is no value: the straight line through the gap says where
    whole = np.isfinite(np.interp(at, known, values, left=np.nan, right=np.nan))
    return np.where(whole, curve, np.nan)
