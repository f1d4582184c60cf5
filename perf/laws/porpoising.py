"""Porpoising: the running trim above which a planing hull may begin to pitch by itself."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law

Array = NDArray[np.float64]

# Savitsky 1964 Fig. 18, digitised with low confidence: limiting trim [deg] of deadrise 0, 10, 20
STEEPEST_DEG = (
    20.0  # the steepest bottom of the chart: for deeper hulls its line is on the safe side
)
ROOTS = (0.13, 0.15, 0.20, 0.25, 0.30)
LIMITS = (
    (1.1, 1.8, 3.8, 6.2, 9.1),
    (2.7, 3.3, 4.9, 7.0, 9.5),
    (3.4, 4.0, 5.7, 7.9, 10.3),
)


@law(
    "porpoising limit of the 1964 chart",
    "Savitsky 1964",
    "Fig. 18, digitised, low confidence",
    Basis.QUOTED,
    Span("lift_root", 0.13, 0.30, Caution.PORPOISING_OFF_CHART),
    Span("deadrise_deg", 0.0, 20.0, Caution.PORPOISING_OFF_CHART),
)
def porpoising_limit_savitsky(lift_root: Array, deadrise_deg: Array) -> Array:
    """Trim above which porpoising was seen, read linearly between the chart's lines.

    A bottom steeper than 20 degrees is off the chart; the line of 20 is then on the safe side.

    Parameters
    ----------
    lift_root : square root of half the lift coefficient on beam squared [-], 0.13 to 0.30.
    deadrise_deg : deadrise [deg], 0 to 20.

    Returns
    -------
    Limiting trim [deg], broadcast shape; NaN off the chart.
    """
    with np.errstate(all="ignore"):
        flat, ten, twenty = (np.interp(lift_root, ROOTS, line) for line in LIMITS)
        tens = 0.1 * deadrise_deg
        low = flat + tens * (ten - flat)
        high = ten + (tens - 1.0) * (twenty - ten)
        on_root = (lift_root >= ROOTS[0]) & (lift_root <= ROOTS[-1])
        on_deadrise = (deadrise_deg >= 0.0) & (deadrise_deg <= 20.0)
        limit = np.where(tens <= 1.0, low, high)
        return np.where(on_root & on_deadrise, limit, np.nan)


@law(
    "porpoising limit of 1998",
    "Celano 1998",
    "fitted limit",
    Basis.RECALLED,
    Span("deadrise_deg", 8.0, 30.0, Caution.PORPOISING_OFF_CHART),
)
def porpoising_limit_celano(lift_root: Array, deadrise_deg: Array) -> Array:
    """Trim above which porpoising was seen, by a fit to the same tests; meaningless near a flat bottom.

    Parameters
    ----------
    lift_root : square root of half the lift coefficient on beam squared [-].
    deadrise_deg : deadrise [deg], 8 and more.

    Returns
    -------
    Limiting trim [deg], broadcast shape; NaN at or below zero deadrise.
    """
    with np.errstate(all="ignore"):
        # 0.1197 beta^0.7651 exp(15.7132 sqrt(CL/2) beta^-0.2629)
        steep = np.log(np.where(deadrise_deg > 0.0, deadrise_deg, np.nan))
        grown = 15.7132 * lift_root * np.exp(-0.2629 * steep)
        return np.asarray(0.1197 * np.exp(0.7651 * steep + grown))


HEAVY_BOTTOM, FORWARD_BALANCE = 5.8, 0.03


@law(
    "signs of bow drop and heel at speed",
    "Blount & Codega 1992",
    "as given in Faltinsen 2005, ch. 9: Ap/vol^(2/3) <= 5.8 and (CAp - LCG)/Lp <= 0.03",
    Basis.QUOTED,
)
def bow_drop_signs(area_volume: Array, centroid_ahead_share: Array) -> Array:
    """Whether both signs of non-oscillatory instability are there: 1 or 0, NaN unknown; broadcast shape.

    Parameters
    ----------
    area_volume : area between the chines over volume^(2/3) [-].
    centroid_ahead_share : centroid of that area forward of the balance point, over projected length [-].
    """
    both = (area_volume <= HEAVY_BOTTOM) & (centroid_ahead_share <= FORWARD_BALANCE)
    known = np.isfinite(area_volume) & np.isfinite(centroid_ahead_share)
    return np.where(known, np.where(both, 1.0, 0.0), np.nan)
