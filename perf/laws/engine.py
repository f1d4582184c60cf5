"""Fuel flow, full-throttle power and what thin or warm air takes from it.

The kinds of engine and the numbers of the fuel law stand in `perf.laws.technology` and are
offered here too.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.interpolate import PchipInterpolator

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.base.tables import read_table
from perf.laws import water
from perf.laws.technology import (
    FUELS,
    IDLE_SHARE,
    TECHNOLOGIES,
    Fuel,
    Technology,
    TechnologyNumbers,
    enrichment_share,
    technology_numbers,
)

__all__ = [
    "FUELS",
    "TECHNOLOGIES",
    "Fuel",
    "Technology",
    "TechnologyNumbers",
    "ambient_power_factor",
    "cycle_power",
    "enrichment_share",
    "fuel_mass_flow",
    "full_throttle_power",
    "full_throttle_share",
    "technology_numbers",
]

Array = NDArray[np.float64]


@law(
    "Fuel flow of an engine",
    "own",
    "fuel at rest, a line of friction and power over it, full-throttle enrichment; calibrated to full throttle and duty cycle",
    Basis.ASSUMED,
    Span("rotation_share", 0.0, 1.1, Caution.ESTIMATE),
)
def fuel_mass_flow(
    power_w: ArrayLike,
    rotation_share: ArrayLike,
    rated_power_w: ArrayLike,
    friction: ArrayLike,
    slope: ArrayLike,
    enrichment: ArrayLike,
    idle: ArrayLike,
) -> Array:
    """Fuel of one engine in kg/s; arrays broadcast.

    power_w at the propeller shaft, rotation_share of rated rpm, the four numbers of
    `technology_numbers` (friction, slope, idle in kg/s per watt of rated power).
    """
    rated = np.asarray(rated_power_w, dtype=np.float64)
    share = np.asarray(rotation_share, dtype=np.float64)
    rich = 1.0 + np.asarray(enrichment, dtype=np.float64) * enrichment_share(share)
    # m = (i Pr + f max(s - s_idle, 0) Pr + g P)(1 + e E(s))
    over = np.maximum(share - IDLE_SHARE, 0.0)
    line = (np.asarray(idle) + np.asarray(friction) * over) * rated
    value: Array = (line + np.asarray(slope) * np.asarray(power_w)) * rich
    return value


@law(
    "Power absorbed by a propeller",
    "40 CFR 1045",
    "appendix II: torque is rpm^1.5, so power is rpm^2.5",
    Basis.QUOTED,
)
def cycle_power(rotation_share: ArrayLike, exponent: ArrayLike = 2.5) -> Array:
    """Power over rated power at a share of rated rpm; broadcast shape."""
    with np.errstate(invalid="ignore"):
        value: Array = np.power(np.asarray(rotation_share, dtype=np.float64), exponent)
    return value


def _curve_pieces() -> tuple[Array, Array, Array]:
    """Cubic pieces, shape (4, 2 curves x 12), then value and slope at x = 1.2."""
    table = read_table("coefficients/full_throttle_power.csv")
    x = table.numbers("x")
    curves = [PchipInterpolator(x, table.numbers(kind)) for kind in ("spark", "diesel")]
    pieces = np.concatenate([curve.c for curve in curves], axis=1)
    ends = np.array([[float(curve(x[-1])), float(curve(x[-1], 1))] for curve in curves])
    return pieces, ends[:, 0], ends[:, 1]


_PIECES, _END_VALUE, _END_SLOPE = _curve_pieces()
_COUNT = _PIECES.shape[1] // 2
_END = 1.2


@law(
    "Full-throttle power curve",
    "JRC light-duty CO2 reference code",
    "default normalised full-load curve, monotone cubic between its points",
    Basis.QUOTED,
    Span("rotation_place", 0.0, 1.2, Caution.RPM_OVER_BAND),
)
def full_throttle_share(rotation_place: ArrayLike, curve: ArrayLike) -> Array:
    """Full-throttle power over rated power at x = (n - idle)/(rated - idle); broadcast shape.

    curve is 0 for spark ignition, 1 for diesel. Under x = 0 and over 1.2 the curve goes on along
    its end slope, never under nought.
    """
    place = np.asarray(rotation_place, dtype=np.float64)
    kind = np.asarray(curve, dtype=np.float64)
    inside = np.where(np.isnan(place), 0.0, np.clip(place, 0.0, _END))
    piece = np.minimum((inside * 10.0).astype(np.int64), _COUNT - 1)
    step = inside - piece * 0.1
    which = kind.astype(np.int64)
    at = piece + which * _COUNT
    c3, c2, c1, c0 = (row.take(at) for row in _PIECES)
    value = ((c3 * step + c2) * step + c1) * step + c0
    over = np.maximum(place - _END, 0.0) * _END_SLOPE.take(which)
    under = np.minimum(place, 0.0) * _PIECES[2].take(which * _COUNT)
    result: Array = np.maximum(value + over + under, 0.0)
    return result


_AT_RATED = np.array([float(full_throttle_share(1.0, kind)) for kind in (0, 1)])


@law(
    "Full-throttle power of an engine",
    "JRC light-duty CO2 reference code",
    "normalised curve scaled to rated power at rated rpm; straight to nought under idle; rev limiter ours",
    Basis.QUOTED,
)
def full_throttle_power(
    rotation_rpm: ArrayLike,
    rated_power_w: ArrayLike,
    rated_rpm: ArrayLike,
    idle_rpm: ArrayLike,
    limit_rpm: ArrayLike,
    curve: ArrayLike,
) -> Array:
    """Greatest power at the propeller shaft in W; broadcast shape, NaN for rpm under nought.

    The published curve reads 0.996 (spark) at rated rpm; it is scaled so that rated power is
    reached there. From limit_rpm power falls smoothly to nought at 1.03 limit_rpm.
    """
    rotation = np.asarray(rotation_rpm, dtype=np.float64)
    idle = np.asarray(idle_rpm, dtype=np.float64)
    limit = np.asarray(limit_rpm, dtype=np.float64)
    which = np.asarray(curve, dtype=np.float64).astype(np.int64)
    with np.errstate(divide="ignore", invalid="ignore"):
        place = (rotation - idle) / (np.asarray(rated_rpm) - idle)
        share = full_throttle_share(np.maximum(place, 0.0), which)
        # under idle straight from the value at idle to nought at rest
        share = share * np.minimum(rotation / idle, 1.0) / _AT_RATED.take(which)
        step = np.clip((rotation / limit - 1.0) / 0.03, 0.0, 1.0)
    limited = share * (1.0 - step * step * (3.0 - 2.0 * step))
    return np.where(rotation >= 0.0, limited * np.asarray(rated_power_w), np.nan)


@law(
    "Power of a naturally aspirated petrol engine in other air",
    "ISO 15550",
    "alpha_a = (99/p_dry)^1.2 (T/298)^0.6; standard atmosphere for altitude",
    Basis.RECALLED,
    Span("altitude_m", 0.0, 3000.0, Caution.ESTIMATE),
)
def ambient_power_factor(
    temperature_c: ArrayLike, altitude_m: ArrayLike, humidity: ArrayLike
) -> Array:
    """Power over power at 25 degrees and 99 kPa of dry air; humidity 0 to 1; broadcast shape."""
    temperature = np.asarray(temperature_c, dtype=np.float64)
    altitude = np.asarray(altitude_m, dtype=np.float64)
    with np.errstate(invalid="ignore"):
        # ICAO standard atmosphere: p = 101325 (1 - 2.25577e-5 h)^5.25588
        pressure = 101_325.0 * np.power(1.0 - 2.25577e-5 * altitude, 5.25588)
        dry = pressure - np.asarray(humidity) * water.vapour_pressure(temperature)
        factor = np.power(dry / 99_000.0, 1.2) * np.power(298.0 / (temperature + 273.15), 0.6)
    value: Array = factor
    return value
