"""Water that moves with the boat as she gathers way."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]


@law("added mass in surge", "Soeding 1982", "m_a = 2.7 rho volume^(5/3) / L^2", Basis.RECALLED)
def surge_added_mass(water_density: Array, volume_m3: Array, length_m: Array) -> Array:
    """Water that moves with the boat as she gathers way [kg], broadcast shape.

    water_density [kg/m3], displaced volume [m3], waterline length [m].
    """
    cube = np.cbrt(volume_m3)
    return np.asarray(2.7 * water_density * volume_m3 * cube * cube / (length_m * length_m))
