"""What a minute, an hour and a litre are in SI, and the two quotients everybody asks for."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

MINUTE_S = 60.0
HOUR_S = 3600.0
LITRES = 1000.0  # in a cubic metre


def mileage(speed_mps: ArrayLike, fuel_lph: ArrayLike) -> Array:
    """Way on a litre [m/L] at a speed and a burn [L/h]; broadcast shape."""
    with np.errstate(all="ignore"):
        value: Array = np.asarray(speed_mps, dtype=np.float64) * HOUR_S / np.asarray(fuel_lph)
    return value


def litres_per_hour(mass_flow_kg_s: ArrayLike, density_kg_m3: ArrayLike) -> Array:
    """Burn [L/h] of a mass flow [kg/s] of a fuel [kg/m3]; broadcast shape."""
    flow = np.asarray(mass_flow_kg_s, dtype=np.float64)
    value: Array = flow / np.asarray(density_kg_m3) * (LITRES * HOUR_S)
    return value
