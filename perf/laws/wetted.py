"""Wetted lengths and area of a planing bottom by the 1964 method; lengths over beam, angles in degrees."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law

Array = NDArray[np.float64]

RADIAN = np.pi / 180.0

TRIM = Span("trim_deg", 2.0, 15.0, Caution.TRIM_OUTSIDE)
LENGTH = Span("length_ratio", 0.0, 4.0, Caution.WETTED_LENGTH_OUTSIDE)
DEADRISE = Span("deadrise_deg", 0.0, 30.0, Caution.DEADRISE_OUTSIDE)


@law("keel less chine wetted length", "Savitsky 1964", "eq. 3", Basis.READ, TRIM, DEADRISE)
def wetted_length_difference(trim_deg: Array, deadrise_deg: Array) -> Array:
    """Wetted keel length less wetted chine length, over beam.

    Holds at any trim and deadrise above speed coefficient 2; lower, where the result is under 1.66.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    deadrise_deg : deadrise [deg].

    Returns
    -------
    tan(deadrise) / (pi tan(trim)) [-], broadcast shape.
    """
    with np.errstate(all="ignore"):
        return np.asarray(np.tan(deadrise_deg * RADIAN) / (np.pi * np.tan(trim_deg * RADIAN)))


@law(
    "wetted keel length",
    "Savitsky 1964",
    "mean of keel and chine, eq. 3",
    Basis.READ,
    TRIM,
    DEADRISE,
    LENGTH,
)
def keel_length_ratio(length_ratio: Array, trim_deg: Array, deadrise_deg: Array) -> Array:
    """Wetted keel length over beam from the mean wetted length.

    Parameters
    ----------
    length_ratio : mean wetted length over beam [-].
    trim_deg : trim of the keel [deg].
    deadrise_deg : deadrise [deg].

    Returns
    -------
    Wetted keel length over beam [-], broadcast shape.
    """
    return np.asarray(length_ratio + 0.5 * wetted_length_difference(trim_deg, deadrise_deg))


@law(
    "wetted chine length",
    "Savitsky 1964",
    "mean of keel and chine, eq. 3",
    Basis.READ,
    TRIM,
    DEADRISE,
    LENGTH,
)
def chine_length_ratio(length_ratio: Array, trim_deg: Array, deadrise_deg: Array) -> Array:
    """Wetted chine length over beam from the mean wetted length; negative where the chines run dry.

    Parameters
    ----------
    length_ratio : mean wetted length over beam [-].
    trim_deg : trim of the keel [deg].
    deadrise_deg : deadrise [deg].

    Returns
    -------
    Wetted chine length over beam [-], broadcast shape.
    """
    return np.asarray(length_ratio - 0.5 * wetted_length_difference(trim_deg, deadrise_deg))


@law(
    "wave rise ahead of a flat plate", "Savitsky 1964", "wave rise of a flat plate", Basis.RECALLED
)
def wave_rise_length_ratio(draught_ratio: Array) -> Array:
    """Mean wetted length of a flat plate from its length below the still water level.

    Parameters
    ----------
    draught_ratio : draught at the transom over (beam x sin(trim)) [-], 0 to 4.

    Returns
    -------
    Mean wetted length over beam [-], same shape; NaN outside 0 to 4.
    """
    with np.errstate(all="ignore"):
        short = draught_ratio * (1.60 - 0.30 * draught_ratio)
        length = np.where(draught_ratio <= 1.0, short, draught_ratio + 0.30)
        return np.where((draught_ratio >= 0.0) & (draught_ratio <= 4.0), length, np.nan)


@law("pressure area", "Savitsky 1964", "pressure area", Basis.READ, LENGTH, DEADRISE)
def pressure_area_ratio(length_ratio: Array, deadrise_deg: Array) -> Array:
    """Wetted pressure area of the bottom over beam squared.

    Parameters
    ----------
    length_ratio : mean wetted length over beam [-].
    deadrise_deg : deadrise [deg].

    Returns
    -------
    length_ratio / cos(deadrise) [-], broadcast shape.
    """
    return np.asarray(length_ratio / np.cos(deadrise_deg * RADIAN))
