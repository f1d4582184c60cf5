"""Spray and side wetting: what is wet outside the pressure area of a planing bottom."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law

Array = NDArray[np.float64]

RADIAN = np.pi / 180.0
DEADRISE = Span("deadrise_deg", 0.0, 30.0, Caution.DEADRISE_OUTSIDE)
TRIM = Span("trim_deg", 2.0, 15.0, Caution.TRIM_OUTSIDE)


@law(
    "spray-root area",
    "Savitsky 1964",
    "eqs. 6-7",
    Basis.READ,
    Span("trim_deg", 4.0, 15.0, Caution.TRIM_OUTSIDE),
    DEADRISE,
)
def side_wetting_area_ratio(trim_deg: Array, deadrise_deg: Array) -> Array:
    """Area between stagnation line and spray edge, both sides, over beam squared.

    The 1964 paper leaves it out below 4 degrees of trim.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    deadrise_deg : deadrise [deg], over zero.

    Returns
    -------
    Area over beam squared [-], broadcast shape; NaN at zero deadrise.
    """
    tau, beta = trim_deg * RADIAN, deadrise_deg * RADIAN
    with np.errstate(all="ignore"):
        tan_tau, sin_tau, cos_tau = np.tan(tau), np.sin(tau), np.cos(tau)
        tan_beta, sin_beta, cos_beta = np.tan(beta), np.sin(beta), np.cos(beta)
        # K = (pi/2) [1 - 3 tan^2 b cos b / (1.7 pi^2) - tan b sin^2 b / (3.3 pi)]
        k = (0.5 * np.pi) * (
            1.0
            - 3.0 * tan_beta * tan_beta * cos_beta / (1.7 * np.pi * np.pi)
            - tan_beta * sin_beta * sin_beta / (3.3 * np.pi)
        )
        # k1 = K tan t / sin b;  A and the spray edge angle Phi
        k1 = k * tan_tau / sin_beta
        under = sin_tau * sin_tau * (1.0 - 2.0 * k) + k * k * tan_tau * tan_tau * (
            1.0 / (sin_beta * sin_beta) - sin_tau * sin_tau
        )
        a = np.sqrt(under) / (cos_tau + k * tan_tau * sin_tau)
        cot_phi = (1.0 - a * k1) / (a + k1)
        # As / b^2 = 1/2 [tan b / (pi tan t) - 1 / (4 tan Phi cos b)]
        return np.asarray(0.5 * (tan_beta / (np.pi * tan_tau) - cot_phi / (4.0 * cos_beta)))


@law("dry length of the sides", "Savitsky & Brown 1976", "side wetting", Basis.READ, TRIM)
def side_wetting_reduction(speed_coefficient: Array, trim_deg: Array) -> Array:
    """Length over beam by which the sides above the chine stay dry behind the wetted chine's start.

    Parameters
    ----------
    speed_coefficient : speed over sqrt(g x beam) [-].
    trim_deg : trim of the keel [deg].

    Returns
    -------
    3 Cv^2 sin(trim) [-], broadcast shape; the sides are dry where it reaches the wetted chine length.
    """
    return np.asarray(3.0 * speed_coefficient * speed_coefficient * np.sin(trim_deg * RADIAN))


@law(
    "wet area of the sides",
    "own",
    "two triangles above the chines, as long as they are wet and as deep as the trim makes them",
    Basis.ASSUMED,
)
def side_wet_area_ratio(
    chine_length_ratio: Array, speed_coefficient: Array, trim_deg: Array
) -> Array:
    """Area of both sides wet above the chines over beam squared; zero where they are dry.

    Parameters
    ----------
    chine_length_ratio : wetted chine length over beam [-].
    speed_coefficient : speed over sqrt(g x beam) [-].
    trim_deg : trim of the keel [deg].

    Returns
    -------
    (chine length - 3 Cv^2 sin(trim))^2 tan(trim) [-], broadcast shape.
    """
    wet = np.maximum(chine_length_ratio - side_wetting_reduction(speed_coefficient, trim_deg), 0.0)
    return np.asarray(wet * wet * np.tan(trim_deg * RADIAN))


def _stagnation_angle(trim_deg: Array, deadrise_deg: Array) -> Array:
    """Angle of the stagnation line from the keel [rad], tan = (pi/2) tan(trim) / tan(deadrise)."""
    rise = 0.5 * np.pi * np.tan(trim_deg * RADIAN)
    return np.asarray(np.arctan2(rise, np.tan(deadrise_deg * RADIAN)))


@law("whisker spray", "Savitsky, DeLorme & Datla 2007", "eqs. 4-7", Basis.RECALLED, TRIM, DEADRISE)
def whisker_spray_ratio(trim_deg: Array, deadrise_deg: Array) -> Array:
    """Added length ratio that stands for the drag of whisker spray.

    Zero where the spray runs aft of square to the keel and would push instead of drag.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    deadrise_deg : deadrise [deg].

    Returns
    -------
    Spray drag over (dynamic pressure x friction coefficient x beam squared) [-], broadcast shape.
    """
    with np.errstate(all="ignore"):
        alpha = _stagnation_angle(trim_deg, deadrise_deg)
        cos_beta = np.cos(deadrise_deg * RADIAN)
        theta = 2.0 * alpha / cos_beta  # spray direction from the keel, in the bottom plane
        ratio = np.cos(theta) / (4.0 * np.sin(2.0 * alpha) * cos_beta)
        return np.asarray(
            np.where(theta < 0.5 * np.pi, ratio, np.where(np.isnan(theta), np.nan, 0.0))
        )


@law(
    "whisker spray path",
    "Savitsky, DeLorme & Datla 2007",
    "Reynolds length",
    Basis.RECALLED,
    TRIM,
    DEADRISE,
)
def whisker_spray_length_ratio(trim_deg: Array, deadrise_deg: Array) -> Array:
    """Mean path of whisker spray on the bottom over beam, the length of its Reynolds number.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    deadrise_deg : deadrise [deg], over zero.

    Returns
    -------
    1 / (4 sin(2 alpha) cos(deadrise)) [-], broadcast shape; very large near zero deadrise.
    """
    with np.errstate(all="ignore"):
        alpha = _stagnation_angle(trim_deg, deadrise_deg)
        return np.asarray(1.0 / (4.0 * np.sin(2.0 * alpha) * np.cos(deadrise_deg * RADIAN)))


@law(
    "friction of whisker spray",
    "Savitsky, DeLorme & Datla 2007",
    "laminar and transitional plate",
    Basis.RECALLED,
)
def whisker_spray_friction(reynolds: Array) -> Array:
    """Friction coefficient of the thin spray sheet, laminar up to a Reynolds number of 1.5 million.

    Parameters
    ----------
    reynolds : speed x spray path / kinematic viscosity [-].

    Returns
    -------
    Coefficient [-], same shape; NaN at or below zero.
    """
    with np.errstate(all="ignore"):
        positive = np.where(reynolds > 0.0, reynolds, np.nan)
        laminar = 1.328 / np.sqrt(positive)
        turbulent = 0.074 / np.power(positive, 0.2) - 4800.0 / positive
        return np.where(positive > 1.5e6, turbulent, laminar)
