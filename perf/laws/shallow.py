"""Shallow water: the depth Froude number, and the speeds at which a boat drags her own wave."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.laws.water import GRAVITY

Array = NDArray[np.float64]

CRITICAL_LOW, CRITICAL_HIGH = 0.7, 1.2  # depth Froude numbers between which the bottom is felt


@law(
    "Depth Froude number",
    "Molland et al. 2011",
    "V / sqrt(g h); deep water below 0.7, critical about 1",
    Basis.RECALLED,
    Span("depth_froude", 0.0, CRITICAL_LOW, Caution.CRITICAL_DEPTH),
)
def depth_froude(speed_mps: ArrayLike, depth_m: ArrayLike) -> Array:
    """Speed over the speed of the fastest wave in that depth [-]; broadcast shape, NaN for no depth."""
    depth = np.asarray(depth_m, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        value = np.asarray(speed_mps, dtype=float) / np.sqrt(GRAVITY * depth)
        return np.asarray(np.where(depth > 0.0, value, np.nan))


@law("Speed at a depth Froude number", "own", "depth_froude turned round", Basis.ASSUMED)
def speed_at_depth_froude(froude: ArrayLike, depth_m: ArrayLike) -> Array:
    """Speed [m/s] at which a depth of water [m] gives this depth Froude number; broadcast shape."""
    with np.errstate(invalid="ignore"):
        wave = np.sqrt(GRAVITY * np.asarray(depth_m, dtype=float))
    return np.asarray(np.asarray(froude, dtype=float) * wave)
