"""Pre-planing resistance: the 1973 regression of seven transom-stern series, and its size correction.

The regression gives resistance over weight of a 100,000 lb boat at volume Froude numbers 1.0 to
2.0, each hull at its own tested trim; a boat balanced farther aft than 43 % of her length (the
series end there) drags more than it says. Nothing here knows trim.

One coefficient is not as printed in 1976: A6 at volume Froude number 2.0 stands there with a plus
sign, and the paper's own example at 2.0 was worked with it. With the plus sign every hull tried
jumps 15 to 64 % between 1.9 and 2.0; with the minus sign all run smoothly. The minus sign is used,
so the example's value at 2.0 is not a check of this module.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.laws.tabulated import Array, floats, read_regression
from perf.laws.water import GRAVITY

# The boat all the series are scaled to: 100,000 lb in sea water of 64 lb/ft3 (Molland et al. 2011,
# 10.3.3.1: 44.2 m3) at 59 F, kinematic viscosity of ITTC 1963.
BASIS_VOLUME_M3 = 100_000.0 / 64.0 * 0.3048 * 0.3048 * 0.3048
BASIS_VISCOSITY_M2_S = 1.18831e-6

# Products of X = volume^(1/3)/L, Z = volume/B^3, U = sqrt(2 iE), W = transom over greatest area.
_FACTORS = {
    "A1": "", "A2": "X", "A4": "U", "A5": "W", "A6": "XZ", "A7": "XU", "A8": "XW", "A9": "ZU",
    "A10": "ZW", "A15": "WW", "A18": "XWW", "A19": "ZXX", "A24": "UWW", "A27": "WUU",
}  # fmt: skip
_REGRESSION = read_regression("mercier_savitsky.csv", _FACTORS)

_SPEED = Span("volume_froude", 1.0, 2.0, Caution.SPEED_OUTSIDE)
_FORM = (
    Span("length_volume", 1.0 / 12.4, 1.0 / 3.07, Caution.SERIES_OUTSIDE),
    Span("entrance_half_angle_deg", 3.7, 65.6, Caution.SERIES_OUTSIDE),
    Span("transom_area_ratio", 0.0, 0.985, Caution.SERIES_OUTSIDE),
)


@law(
    "pre-planing resistance of a 100,000 lb boat",
    "Savitsky & Brown 1976",
    "Table 5, regression of Mercier & Savitsky 1973; A6 at 2.0 taken negative",
    Basis.READ,
    _SPEED,
    *_FORM,
)
def preplaning_resistance_ratio(
    volume_froude: ArrayLike,
    length_volume: ArrayLike,
    breadth_volume: ArrayLike,
    entrance_half_angle_deg: ArrayLike,
    transom_area_ratio: ArrayLike,
) -> Array:
    """Bare-hull resistance over weight at 100,000 lb before planing.

    The paper's average error over its 118 hulls is 3.3 to 6 %, nine in ten within 10 %; three
    hard-chine ships measured later lay 1.5 to 12 % above it.

    Parameters
    ----------
    volume_froude : speed over sqrt(g x volume^(1/3)) [-], 1 to 2.
    length_volume : cube root of displaced volume over waterline length [-], 0.081 to 0.326.
    breadth_volume : displaced volume over waterline beam cubed [-].
    entrance_half_angle_deg : half angle of the load waterline at the bow [deg], 3.7 to 65.6.
    transom_area_ratio : immersed transom area over greatest section area [-], 0 to 0.985.

    Returns
    -------
    Resistance over weight [-], broadcast shape; NaN outside volume Froude number 1 to 2. The curve
    passes through the eleven published speeds and is smooth between them.
    """
    froude, length, breadth, angle, transom = floats(
        volume_froude, length_volume, breadth_volume, entrance_half_angle_deg, transom_area_ratio
    )
    with np.errstate(all="ignore"):
        entrance = np.sqrt(2.0 * angle)
        return _REGRESSION(froude, {"X": length, "Z": breadth, "U": entrance, "W": transom})


@law(
    "wetted area of a transom-stern hull at rest",
    "Savitsky & Brown 1976",
    "eq. 19, within 9 %",
    Basis.READ,
    Span("length_volume", 1.0 / 12.4, 1.0 / 3.07, Caution.SERIES_OUTSIDE),
    Span("beam_draught", 1.69, 9.83, Caution.SERIES_OUTSIDE),
)
def preplaning_wetted_area(length_volume: ArrayLike, beam_draught: ArrayLike) -> Array:
    """Wetted area over volume^(2/3), used unchanged through the pre-planing speeds.

    Parameters
    ----------
    length_volume : cube root of displaced volume over waterline length [-].
    beam_draught : waterline beam over draught [-], 1.69 to 9.83.

    Returns
    -------
    Wetted area over volume^(2/3) [-], broadcast shape; NaN for a negative length.
    """
    length, beam = floats(length_volume, beam_draught)
    with np.errstate(all="ignore"):
        # S / vol^(2/3) = 2.262 sqrt(L / vol^(1/3)) [1 + 0.046 B/T + 0.00287 (B/T)^2]
        fullness = 1.0 + beam * (0.046 + 0.00287 * beam)
        return np.asarray(2.262 * np.sqrt(1.0 / length) * fullness)


@law(
    "size correction of a 100,000 lb resistance",
    "Savitsky & Brown 1976",
    "correction for size, temperature and roughness; also Molland et al. 2011, 10.3.3.1",
    Basis.READ,
)
def size_corrected_ratio(
    resistance_ratio: ArrayLike,
    friction: ArrayLike,
    basis_friction: ArrayLike,
    area_volume: ArrayLike,
    volume_froude: ArrayLike,
) -> Array:
    """Resistance over weight of the boat herself from that of her 100,000 lb enlargement.

    Not a small thing: a 4,000 lb boat gains 0.003 at volume Froude number 1 and 0.012 at 2.

    Parameters
    ----------
    resistance_ratio : resistance over weight at 100,000 lb [-].
    friction : friction coefficient of the boat, her allowance for the bottom included [-].
    basis_friction : friction coefficient of the enlargement, at basis_reynolds [-].
    area_volume : wetted area over volume^(2/3) [-].
    volume_froude : speed over sqrt(g x volume^(1/3)) [-].

    Returns
    -------
    Resistance over weight [-], broadcast shape; NaN where an input is.
    """
    ratio, own, basis, area, froude = floats(
        resistance_ratio, friction, basis_friction, area_volume, volume_froude
    )
    with np.errstate(all="ignore"):
        # (R/W) = (R/W)_100k + [(CF + CA) - CF_100k] 1/2 (S / vol^(2/3)) FnV^2
        return np.asarray(ratio + (own - basis) * (0.5 * area * froude * froude))


# Re = V L / nu with V = FnV sqrt(g vol^(1/3)) and L = vol^(1/3) x slenderness
_BASIS_REYNOLDS = float(np.sqrt(GRAVITY * BASIS_VOLUME_M3) / BASIS_VISCOSITY_M2_S)


def basis_reynolds(volume_froude: ArrayLike, slenderness: ArrayLike) -> Array:
    """Reynolds number of the 100,000 lb enlargement at the same volume Froude number.

    The worked example of Molland et al. 2011 (10.3.3.1) takes the boat's own speed for both instead
    of the corresponding one, which makes its correction a third smaller (a hundredth of the drag).

    Parameters
    ----------
    volume_froude : speed over sqrt(g x volume^(1/3)) [-].
    slenderness : wetted length over volume^(1/3) [-].

    Returns
    -------
    Reynolds number on wetted length [-], broadcast shape.
    """
    froude, length = floats(volume_froude, slenderness)
    with np.errstate(all="ignore"):
        return np.asarray(_BASIS_REYNOLDS * froude * length)
