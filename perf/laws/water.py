"""Water: density, kinematic viscosity and vapour pressure of fresh and sea water."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]

GRAVITY = 9.80665  # m/s2, standard acceleration of free fall (CGPM 1901)


@law("density of water", "UNESCO 1981", "one-atmosphere equation of state", Basis.QUOTED)
def water_density(temperature_c: Array, salinity_g_per_kg: Array) -> Array:
    """Density of water at one atmosphere.

    Parameters
    ----------
    temperature_c : water temperature [degrees Celsius], 0 to 40.
    salinity_g_per_kg : practical salinity [g/kg], 0 (fresh) to 42.

    Returns
    -------
    Density [kg/m3], broadcast shape; NaN for negative salinity.
    """
    t, s = temperature_c, salinity_g_per_kg
    with np.errstate(all="ignore"):
        # pure water, fifth degree in temperature
        fresh = 999.842594 + t * (
            6.793952e-2
            + t * (-9.09529e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9)))
        )
        # salt: terms in s, s^1.5 and s^2
        first = 0.824493 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)))
        second = -5.72466e-3 + t * (1.0227e-4 + t * -1.6546e-6)
        return np.asarray(fresh + s * (first + np.sqrt(s) * second + s * 4.8314e-4))


@law("kinematic viscosity of water", "UNESCO 1981", "viscosity of the same set", Basis.QUOTED)
def kinematic_viscosity(temperature_c: Array, salinity_g_per_kg: Array) -> Array:
    """Kinematic viscosity of water at one atmosphere.

    Parameters
    ----------
    temperature_c : water temperature [degrees Celsius], 0 to 40.
    salinity_g_per_kg : practical salinity [g/kg], 0 (fresh) to 42.

    Returns
    -------
    Kinematic viscosity [m2/s], broadcast shape; NaN for negative salinity.
    """
    t, s = temperature_c, salinity_g_per_kg
    with np.errstate(all="ignore"):
        below = 20.0 - t
        # fresh water relative to 1.002 mPa s at 20 degrees
        exponent = below * (1.1709 - 1.827e-3 * below) / (t + 89.93)
        fresh = 1.002e-3 * np.power(10.0, exponent)
        density = water_density(t, s)
        chlorine = density * s / 1806.55  # volume chlorinity
        ratio = (
            1.0
            + (5.185e-5 * t + 1.0675e-4) * np.sqrt(chlorine)
            + (3.3e-5 * t + 2.591e-3) * chlorine
        )
        return np.asarray(fresh * ratio / density)


@law("vapour pressure of water", "Alduchov & Eskridge 1996", "eq. 21", Basis.RECALLED)
def vapour_pressure(temperature_c: Array) -> Array:
    """Saturation vapour pressure over fresh water; salt lowers it by less than 2 %.

    Parameters
    ----------
    temperature_c : water temperature [degrees Celsius], 0 to 40.

    Returns
    -------
    Pressure [Pa], same shape.
    """
    # Magnus form
    return np.asarray(610.94 * np.exp(17.625 * temperature_c / (temperature_c + 243.04)))
