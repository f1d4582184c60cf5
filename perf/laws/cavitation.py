"""Cavitation numbers, loading limits of small-craft propellers, and blade-area rules.

sigma07 is the cavitation number on the blade speed at 0.7 R; tau_c the thrust and Q_c the torque
over projected area and that speed's dynamic pressure.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.base.tables import read_table

Array = NDArray[np.float64]

_SPANS = (
    Span("pitch_ratio", 0.6, 2.0, Caution.PROPELLER_OUTSIDE),
    Span("area_ratio", 0.5, 1.1, Caution.PROPELLER_OUTSIDE),
)


def _floats(*values: ArrayLike) -> tuple[Array, ...]:
    return tuple(np.asarray(value, dtype=np.float64) for value in values)


@law(
    "Cavitation number at 0.7 R",
    "Blount & Hubble 1981",
    "sigma_0.7R = (pA + rho g h - pv)/(rho/2 (Va^2 + (0.7 pi n D)^2))",
    Basis.QUOTED,
)
def cavitation_number_07(
    static_pressure_pa: ArrayLike,
    vapour_pressure_pa: ArrayLike,
    density_kg_m3: ArrayLike,
    advance_speed_mps: ArrayLike,
    revolutions_per_s: ArrayLike,
    diameter_m: ArrayLike,
) -> Array:
    """Cavitation number on the blade speed at 0.7 R; static pressure at the shaft, air included."""
    static, vapour, density, advance = _floats(
        static_pressure_pa, vapour_pressure_pa, density_kg_m3, advance_speed_mps
    )
    speed_squared = blade_speed_squared(advance, revolutions_per_s, diameter_m)
    with np.errstate(divide="ignore", invalid="ignore"):
        value: Array = (static - vapour) / (0.5 * density * speed_squared)
    return value


@law(
    "Blade speed at 0.7 R, squared",
    "Burrill & Emerson 1962",
    "VR^2 = Va^2 + (0.7 pi n D)^2",
    Basis.QUOTED,
)
def blade_speed_squared(
    advance_speed_mps: ArrayLike, revolutions_per_s: ArrayLike, diameter_m: ArrayLike
) -> Array:
    """Squared speed of the blade at 0.7 R through the water, m2/s2; broadcast shape."""
    advance, turns, diameter = _floats(advance_speed_mps, revolutions_per_s, diameter_m)
    around = 0.7 * np.pi * turns * diameter
    value: Array = advance * advance + around * around
    return value


@law(
    "Projected over expanded blade area",
    "Burrill & Emerson 1962",
    "AP/AE = 1.067 - 0.229 P/D",
    Basis.QUOTED,
)
def projected_area_share(pitch_ratio: ArrayLike) -> Array:
    """Projected over expanded blade area; same shape."""
    (pitch,) = _floats(pitch_ratio)
    value: Array = 1.067 - 0.229 * pitch
    return value


@law(
    "Thrust-loading limit in cavitation",
    "Blount & Hubble 1981",
    "Gawn-Burrill type: tau_c = larger of 1.2 sigma and 0.0725 P/D - 0.0142 EAR",
    Basis.RECALLED,
    *_SPANS,
)
def thrust_loading_limit(
    pitch_ratio: ArrayLike, area_ratio: ArrayLike, sigma07: ArrayLike
) -> Array:
    """Greatest thrust loading tau_c: transition line down to the fully cavitating level."""
    pitch, area, sigma = _floats(pitch_ratio, area_ratio, sigma07)
    value: Array = np.maximum(1.2 * sigma, 0.0725 * pitch - 0.0142 * area)
    return value


@law(
    "Torque-loading limit in cavitation",
    "Blount & Hubble 1981",
    "Gawn-Burrill type: Q_c = larger of 0.200 P/D sigma^(0.70+0.31 EAR^0.9) and the fully cavitating level",
    Basis.RECALLED,
    *_SPANS,
)
def torque_loading_limit(
    pitch_ratio: ArrayLike, area_ratio: ArrayLike, sigma07: ArrayLike
) -> Array:
    """Greatest torque loading Q_c: transition line down to the fully cavitating level."""
    pitch, area, sigma = _floats(pitch_ratio, area_ratio, sigma07)
    with np.errstate(invalid="ignore", divide="ignore"):
        exponent = 0.70 + 0.31 * np.power(area, 0.9)
        transition = 0.200 * pitch * np.power(sigma, exponent)
        full = (0.0185 * pitch * pitch - 0.0166 * pitch + 0.00594) / np.cbrt(area)
    value: Array = np.maximum(transition, full)
    return value


def _loading_to_coefficient(
    advance_ratio: ArrayLike, pitch_ratio: ArrayLike, area_ratio: ArrayLike
) -> Array:
    advance, area = _floats(advance_ratio, area_ratio)
    # KT = (pi/8) EAR (1.067 - 0.229 P/D)(J^2 + 4.84) tau_c
    value: Array = 0.3927 * area * projected_area_share(pitch_ratio) * (advance * advance + 4.84)
    return value


@law(
    "Thrust coefficient at the cavitation limit",
    "Blount & Hubble 1981",
    "KT = 0.3927 EAR (1.067 - 0.229 P/D)(J^2 + 4.84) tau_c",
    Basis.RECALLED,
    *_SPANS,
)
def thrust_coefficient_limit(
    advance_ratio: ArrayLike, pitch_ratio: ArrayLike, area_ratio: ArrayLike, sigma07: ArrayLike
) -> Array:
    """Greatest thrust coefficient KT at a cavitation number; broadcast shape."""
    limit = thrust_loading_limit(pitch_ratio, area_ratio, sigma07)
    return _loading_to_coefficient(advance_ratio, pitch_ratio, area_ratio) * limit


@law(
    "Torque coefficient at the cavitation limit",
    "Blount & Hubble 1981",
    "KQ = 0.3927 EAR (1.067 - 0.229 P/D)(J^2 + 4.84) Q_c",
    Basis.RECALLED,
    *_SPANS,
)
def torque_coefficient_limit(
    advance_ratio: ArrayLike, pitch_ratio: ArrayLike, area_ratio: ArrayLike, sigma07: ArrayLike
) -> Array:
    """Greatest torque coefficient KQ at a cavitation number; broadcast shape."""
    limit = torque_loading_limit(pitch_ratio, area_ratio, sigma07)
    return _loading_to_coefficient(advance_ratio, pitch_ratio, area_ratio) * limit


@law(
    "Ten per cent back cavitation",
    "Blount & Hubble 1981",
    "tau_c = 0.494 sigma^0.88",
    Basis.RECALLED,
)
def back_cavitation_line(sigma07: ArrayLike) -> Array:
    """Thrust loading at which a tenth of the blade backs cavitates; onset, not breakdown."""
    return _burrill(sigma07, 0.494, 0.0, 0.88)


def _burrill(sigma07: ArrayLike, factor: float, offset: float, exponent: float) -> Array:
    (sigma,) = _floats(sigma07)
    with np.errstate(invalid="ignore"):
        value: Array = factor * np.power(sigma - offset, exponent)
    return value


@law(
    "Burrill line, no cavitation",
    "Burrill & Emerson 1962",
    "Molland et al. 2011 12.2.10, tau_c = 0.21 (sigma - 0.04)^0.46",
    Basis.QUOTED,
)
def burrill_lower(sigma07: ArrayLike) -> Array:
    """Thrust loading of the lowest Burrill line; NaN where sigma is under its offset."""
    return _burrill(sigma07, 0.21, 0.04, 0.46)


@law(
    "Burrill line, merchant ships",
    "Burrill & Emerson 1962",
    "Molland et al. 2011 12.2.10, tau_c = 0.28 (sigma - 0.03)^0.57",
    Basis.QUOTED,
)
def burrill_merchant(sigma07: ArrayLike) -> Array:
    """Thrust loading of the merchant-ship Burrill line; NaN where sigma is under its offset."""
    return _burrill(sigma07, 0.28, 0.03, 0.57)


@law(
    "Burrill line, fast craft",
    "Burrill & Emerson 1962",
    "Molland et al. 2011 12.2.10, tau_c = 0.43 (sigma - 0.02)^0.71",
    Basis.QUOTED,
)
def burrill_fast(sigma07: ArrayLike) -> Array:
    """Thrust loading of the fast-craft Burrill line; NaN where sigma is under its offset."""
    return _burrill(sigma07, 0.43, 0.02, 0.71)


@law(
    "Blade area for a thrust loading",
    "Burrill & Emerson 1962",
    "Molland et al. 2011 12.2.10: AP = T/(rho/2 VR^2 tau_c), AD = AP/(1.067 - 0.229 P/D)",
    Basis.QUOTED,
)
def area_ratio_for_loading(
    thrust_n: ArrayLike,
    loading: ArrayLike,
    density_kg_m3: ArrayLike,
    blade_speed_squared_m2_s2: ArrayLike,
    pitch_ratio: ArrayLike,
    diameter_m: ArrayLike,
) -> Array:
    """Blade-area ratio that carries a thrust at a thrust loading tau_c; broadcast shape."""
    thrust, tau, density, square, diameter = _floats(
        thrust_n, loading, density_kg_m3, blade_speed_squared_m2_s2, diameter_m
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        projected = thrust / (0.5 * density * square * tau)
        developed = projected / projected_area_share(pitch_ratio)
        value: Array = developed / (0.25 * np.pi * diameter * diameter)
    return value


@law(
    "Least blade area",
    "Keller 1966",
    "AE/A0 = (1.3 + 0.3 Z) T/((p0 - pv) D^2) + k; k 0 fast twin, 0.1 twin, 0.2 single screw",
    Basis.RECALLED,
)
def keller_area_ratio(
    thrust_n: ArrayLike,
    static_pressure_pa: ArrayLike,
    vapour_pressure_pa: ArrayLike,
    diameter_m: ArrayLike,
    blades: ArrayLike,
    constant: ArrayLike = 0.0,
) -> Array:
    """Least blade-area ratio by Keller; a rough lower bound for outboards; broadcast shape."""
    thrust, static, vapour, diameter, count, extra = _floats(
        thrust_n, static_pressure_pa, vapour_pressure_pa, diameter_m, blades, constant
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        value: Array = (1.3 + 0.3 * count) * thrust / ((static - vapour) * diameter * diameter)
    return value + extra


def _loss_terms(kind: str) -> tuple[tuple[float, int, int, int, int], ...]:
    return tuple(
        (
            float(row["d"]) * 10.0 ** float(row["e"]),
            int(row["s"]),
            int(row["t"]),
            int(row["u"]),
            int(row["v"]),
        )
        for row in read_table("coefficients/kca_cavitation.csv").rows
        if row["kind"] == kind
    )


_LOSS = {kind: _loss_terms(kind) for kind in "tq"}


def _whole_power(base: Array, power: int) -> Array | float:
    value: Array | float = 1.0
    for _ in range(power):
        value = value * base
    return value


def _loss(kind: str, *factors: ArrayLike) -> Array:
    bases = _floats(*factors)
    total = np.zeros(np.broadcast_shapes(*(base.shape for base in bases)))
    for coefficient, *powers in _LOSS[kind]:
        part: Array | float = coefficient
        for base, power in zip(bases, powers, strict=True):
            if power:
                part = part * _whole_power(base, power)
        total += part
    return total


_LOSS_SPANS = (
    Span("pitch_ratio", 0.8, 1.8, Caution.PROPELLER_OUTSIDE),
    Span("area_ratio", 0.5, 1.1, Caution.PROPELLER_OUTSIDE),
    Span("sigma07", 0.05, 0.28, Caution.PROPELLER_OUTSIDE),
)
_LOSS_PLACE = "Molland et al. 2011 Table A4.5; cavitation number taken at 0.7 R, our inference"


@law(
    "Thrust lost to cavitation, second opinion",
    "Radojcic 1988",
    _LOSS_PLACE,
    Basis.ASSUMED,
    *_LOSS_SPANS,
)
def kca_thrust_loss(
    area_ratio: ArrayLike, sigma07: ArrayLike, thrust_coefficient: ArrayLike, pitch_ratio: ArrayLike
) -> Array:
    """Loss of KT from its open-water value; meaningless above sigma07 about 0.28; broadcast shape."""
    return _loss("t", area_ratio, sigma07, thrust_coefficient, pitch_ratio)


@law(
    "Torque lost to cavitation, second opinion",
    "Radojcic 1988",
    _LOSS_PLACE,
    Basis.ASSUMED,
    *_LOSS_SPANS,
)
def kca_torque_loss(
    area_ratio: ArrayLike, sigma07: ArrayLike, thrust_coefficient: ArrayLike, pitch_ratio: ArrayLike
) -> Array:
    """Loss of KQ from its open-water value; meaningless above sigma07 about 0.28; broadcast shape."""
    return _loss("q", area_ratio, sigma07, thrust_coefficient, pitch_ratio)
