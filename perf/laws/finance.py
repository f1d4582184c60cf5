"""Money over the years: annuities, present values, payback, break-even. Real rates, payments at year's end.

The textbook formulas of engineering economy; amounts in any one currency, rates as shares a year
over inflation.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]


@law(
    "present worth of a yearly payment",
    "engineering economy",
    "series present worth (1 - (1 + r)^-n) / r; n where r is nought",
    Basis.RECALLED,
)
def annuity_factor(rate: ArrayLike, years: ArrayLike) -> Array:
    """Present worth of 1 paid at the end of each of so many years, broadcast shape.

    rate : share a year, over -1. years : not below nought, parts of a year allowed.
    """
    share, count = np.asarray(rate, dtype=float), np.asarray(years, dtype=float)
    with np.errstate(all="ignore"):
        # expm1 and log1p keep the digits of a small rate
        factor = -np.expm1(-count * np.log1p(share)) / share
    return np.where(share == 0.0, count, factor)


@law(
    "yearly payment that is worth a sum today",
    "engineering economy",
    "capital recovery r (1 + r)^n / ((1 + r)^n - 1)",
    Basis.RECALLED,
)
def capital_recovery_factor(rate: ArrayLike, years: ArrayLike) -> Array:
    """What each year's end must pay to be worth 1 today, broadcast shape; NaN for no years."""
    factor = annuity_factor(rate, years)
    with np.errstate(all="ignore"):
        return np.where(factor > 0.0, 1.0 / factor, np.nan)


@law(
    "present worth of payments year by year",
    "engineering economy",
    "sum of S_t / (1 + r)^t, the first of them today",
    Basis.RECALLED,
)
def present_worth(payments: ArrayLike, rate: ArrayLike) -> Array:
    """Worth today of payments (..., years + 1) along the last axis, the first of them today; (...).

    rate : share a year, any shape that broadcasts with the leading ones.
    """
    flow = np.asarray(payments, dtype=float)
    growth = 1.0 + np.asarray(rate, dtype=float)
    worth = np.zeros(flow.shape[:-1])
    with np.errstate(all="ignore"):
        # Horner from the last year: the same bits for a lane alone and in a crowd
        for year in range(flow.shape[-1] - 1, -1, -1):
            worth = flow[..., year] + worth / growth
    return np.asarray(worth)


@law(
    "years until a cost is paid back",
    "engineering economy",
    "first time the undiscounted sum turns positive, straight inside the year",
    Basis.RECALLED,
)
def payback_years(payments: ArrayLike) -> Array:
    """Years until the running sum of payments (..., years + 1) reaches nought; (...).

    0 where nothing is laid out today; NaN where it is not paid back inside the years.
    """
    flow = np.asarray(payments, dtype=float)
    total = flow[..., 0]
    years = np.where(total >= 0.0, 0.0, np.nan)
    with np.errstate(all="ignore"):
        for year in range(1, flow.shape[-1]):
            after = total + flow[..., year]
            crosses = np.isnan(years) & (total < 0.0) & (after >= 0.0)
            years = np.where(crosses, year - 1.0 - total / flow[..., year], years)
            total = after
    return np.asarray(np.where(np.isnan(total), np.nan, years))


@law(
    "where a straight line of worth crosses nought",
    "engineering economy",
    "break-even: -fixed / slope, where more of it helps",
    Basis.RECALLED,
)
def break_even(fixed: ArrayLike, slope: ArrayLike) -> Array:
    """Value of x at which fixed + slope x is nought, broadcast shape; NaN where none above nought."""
    base, rise = np.asarray(fixed, dtype=float), np.asarray(slope, dtype=float)
    with np.errstate(all="ignore"):
        at = -base / rise
        return np.where((rise != 0.0) & (at >= 0.0), at, np.nan)
