"""Air: density, and the drag of what stands above the water."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]

# Drag coefficient on frontal area above the water, hull and top together. Assumed, basis "own":
# measured superstructures of ships and ferries lie between 0.50 (streamlined) and 0.90 (bluff)
# (Molland et al. 2011, 3.2.2); nothing measured on small boats was found, so the order of the
# words is our judgement and 0.6 to 0.9 is the band of doubt of each.
DRAG_OF_TOP: dict[str, float] = {
    "none": 0.65,
    "hard top": 0.70,
    "half tower": 0.80,
    "canvas": 0.85,
    "tower": 0.90,
}


@law(
    "density of air", "ICAO standard atmosphere", "pressure below 11 km, ideal gas", Basis.RECALLED
)
def air_density(temperature_c: Array, altitude_m: Array) -> Array:
    """Density of dry air at the standard pressure of an altitude.

    Parameters
    ----------
    temperature_c : air temperature [degrees Celsius].
    altitude_m : height above sea level [m], below 11,000.

    Returns
    -------
    Density [kg/m3], broadcast shape; NaN above 44,330 m.
    """
    with np.errstate(all="ignore"):
        # p = 101325 (1 - 0.0065 h / 288.15)^5.25588
        pressure = 101325.0 * np.power(1.0 - 0.0065 / 288.15 * altitude_m, 5.25588)
        return np.asarray(pressure / (287.05287 * (temperature_c + 273.15)))


@law("air drag", "Molland et al. 2011", "3.2.2", Basis.READ)
def air_drag(density: Array, coefficient: Array, area_m2: Array, speed_mps: Array) -> Array:
    """Drag of the air on the frontal area above the water.

    Parameters
    ----------
    density : of air [kg/m3].
    coefficient : drag coefficient on frontal area [-].
    area_m2 : frontal area above the water [m2].
    speed_mps : of the air past the boat [m/s], head wind positive.

    Returns
    -------
    Force against the boat's way [N], broadcast shape; negative from astern.
    """
    return np.asarray(0.5 * density * coefficient * area_m2 * speed_mps * np.abs(speed_mps))
