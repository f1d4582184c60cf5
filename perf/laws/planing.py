"""Planing: lift, wetted lengths, centre of pressure and bottom speed of a prismatic hull.

The 1964 method. Lift coefficients are on beam squared, lengths are over beam, angles in degrees.
Its geometry stands in `wetted`, what later papers add in `spray` and `flaps`, our own branch for
dry chines in `dry_chines`; all of them can be called from here as well.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.sources import Basis, law
from perf.laws.dry_chines import SPEED, effective_beam_ratio_chines_dry, length_ratio_chines_dry
from perf.laws.flaps import (
    flap_drag,
    flap_hinge_moment,
    flap_lift,
    flap_moment,
    hump_multiplier,
    length_difference_1976,
    mean_length_ratio_1976,
    warped_drag_trim,
    warped_lift_trim,
)
from perf.laws.spray import (
    side_wetting_area_ratio,
    side_wetting_reduction,
    whisker_spray_friction,
    whisker_spray_length_ratio,
    whisker_spray_ratio,
)
from perf.laws.water import GRAVITY
from perf.laws.wetted import (
    DEADRISE,
    LENGTH,
    RADIAN,
    TRIM,
    chine_length_ratio,
    keel_length_ratio,
    pressure_area_ratio,
    wave_rise_length_ratio,
    wetted_length_difference,
)

__all__ = [
    "TRANSOM_DRY_FROUDE",
    "bottom_velocity_ratio",
    "centre_of_pressure",
    "chine_length_ratio",
    "deadrise_lift",
    "effective_beam_ratio_chines_dry",
    "flap_drag",
    "flap_hinge_moment",
    "flap_lift",
    "flap_moment",
    "flat_bottom_velocity_ratio",
    "flat_lift",
    "flat_lift_from_deadrise",
    "hump_multiplier",
    "keel_length_ratio",
    "length_difference_1976",
    "length_ratio_chines_dry",
    "length_ratio_from_lift",
    "mean_length_ratio_1976",
    "planing_inception",
    "pressure_area_ratio",
    "side_wetting_area_ratio",
    "side_wetting_reduction",
    "transom_froude",
    "warped_drag_trim",
    "warped_lift_trim",
    "wave_rise_length_ratio",
    "wetted_length_difference",
    "whisker_spray_friction",
    "whisker_spray_length_ratio",
    "whisker_spray_ratio",
]

Array = NDArray[np.float64]

# Transom draught Froude number above which the transom runs dry (Faltinsen 2005, ch. 9).
TRANSOM_DRY_FROUDE = 2.5


@law(
    "lift of a flat planing plate",
    "Savitsky 1964",
    "flat-plate lift equation",
    Basis.READ,
    TRIM,
    SPEED,
    LENGTH,
)
def flat_lift(trim_deg: Array, length_ratio: Array, speed_coefficient: Array) -> Array:
    """Lift coefficient of a flat plate, a dynamic and a buoyant term.

    Parameters
    ----------
    trim_deg : trim of the keel [deg], 2 to 15.
    length_ratio : mean wetted length over beam [-], up to 4.
    speed_coefficient : speed over sqrt(g x beam) [-], 0.6 to 13.

    Returns
    -------
    Lift over dynamic pressure and beam squared [-], broadcast shape; NaN below zero.
    """
    with np.errstate(all="ignore"):
        root = np.sqrt(length_ratio)
        # CL0 = tau^1.1 (0.0120 lambda^0.5 + 0.0055 lambda^2.5 / Cv^2)
        buoyant = 0.0055 * length_ratio * length_ratio / (speed_coefficient * speed_coefficient)
        return np.asarray(np.power(trim_deg, 1.1) * root * (0.0120 + buoyant))


@law("loss of lift by deadrise", "Savitsky 1964", "deadrise lift equation", Basis.READ, DEADRISE)
def deadrise_lift(flat_lift: Array, deadrise_deg: Array) -> Array:
    """Lift coefficient of a V bottom from that of the flat plate at the same trim and length.

    Parameters
    ----------
    flat_lift : lift coefficient at zero deadrise [-].
    deadrise_deg : deadrise [deg], 0 to 30.

    Returns
    -------
    Lift coefficient [-], broadcast shape; NaN for negative flat lift.
    """
    with np.errstate(all="ignore"):
        # CLb = CL0 - 0.0065 beta CL0^0.60
        return np.asarray(flat_lift - 0.0065 * deadrise_deg * np.power(flat_lift, 0.6))


@law(
    "flat lift for a deadrise lift",
    "Savitsky 1964",
    "deadrise lift equation inverted",
    Basis.READ,
    DEADRISE,
)
def flat_lift_from_deadrise(deadrise_lift: Array, deadrise_deg: Array) -> Array:
    """Lift coefficient of the flat plate that leaves a given lift on a V bottom.

    Parameters
    ----------
    deadrise_lift : lift coefficient with deadrise [-].
    deadrise_deg : deadrise [deg], 0 to 30.

    Returns
    -------
    Lift coefficient at zero deadrise [-], broadcast shape, to 1e-13; NaN for negative lift.
    """
    with np.errstate(all="ignore"):
        loss = 0.0065 * deadrise_deg
        # with w = CL0^0.2 the law is w^5 - a w^3 = c; w^2 <= c^0.4 + a bounds the root above,
        # where the polynomial is convex: three steps of Halley reach the last digit from there
        w = np.sqrt(np.power(deadrise_lift, 0.4) + loss)
        for _ in range(3):
            square = w * w
            excess = square * w * (square - loss) - deadrise_lift
            slope = square * (5.0 * square - 3.0 * loss)
            bend = excess * w * (20.0 * square - 6.0 * loss)
            # the last term keeps no lift on no deadrise at zero instead of 0 / 0
            w = w - 2.0 * excess * slope / (2.0 * slope * slope - bend + 1e-300)
        square = w * w
        return np.asarray(square * square * w)


@law(
    "wetted length for a lift",
    "Savitsky 1964",
    "flat-plate lift equation inverted",
    Basis.READ,
    TRIM,
    SPEED,
)
def length_ratio_from_lift(flat_lift: Array, trim_deg: Array, speed_coefficient: Array) -> Array:
    """Mean wetted length over beam that carries a given flat-plate lift.

    Parameters
    ----------
    flat_lift : lift coefficient at zero deadrise [-].
    trim_deg : trim of the keel [deg], 2 to 15.
    speed_coefficient : speed over sqrt(g x beam) [-], 0.6 to 13.

    Returns
    -------
    Mean wetted length over beam [-], broadcast shape, to 1e-12; NaN below zero.
    """
    with np.errstate(all="ignore"):
        load = flat_lift / np.power(trim_deg, 1.1)
        buoyant = 0.0055 / (speed_coefficient * speed_coefficient)
        # x = sqrt(lambda): 0.0120 x + buoyant x^5 = load; either term alone bounds the root above,
        # where the polynomial is convex: three steps of Halley reach the last digit from there
        x = np.minimum(load / 0.0120, np.power(load / buoyant, 0.2))
        for _ in range(3):
            cube = buoyant * x * x * x
            fourth = cube * x
            excess = x * (0.0120 + fourth) - load
            slope = 0.0120 + 5.0 * fourth
            x = x - 2.0 * excess * slope / (2.0 * slope * slope - 20.0 * cube * excess)
        return np.asarray(x * x)


@law(
    "centre of pressure", "Savitsky 1964", "centre-of-pressure equation", Basis.READ, SPEED, LENGTH
)
def centre_of_pressure(length_ratio: Array, speed_coefficient: Array) -> Array:
    """Centre of pressure forward of the transom over mean wetted length.

    Parameters
    ----------
    length_ratio : mean wetted length over beam [-].
    speed_coefficient : speed over sqrt(g x beam) [-].

    Returns
    -------
    Share of the mean wetted length [-], broadcast shape.
    """
    with np.errstate(all="ignore"):
        ratio = speed_coefficient / length_ratio
        # Cp = 0.75 - 1 / (5.21 Cv^2 / lambda^2 + 2.39)
        return np.asarray(0.75 - 1.0 / (5.21 * ratio * ratio + 2.39))


@law("mean bottom speed, flat", "Savitsky 1964", "mean bottom velocity", Basis.READ, TRIM, LENGTH)
def flat_bottom_velocity_ratio(trim_deg: Array, length_ratio: Array) -> Array:
    """Mean speed along a flat bottom over forward speed.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    length_ratio : mean wetted length over beam [-].

    Returns
    -------
    Ratio [-], broadcast shape; NaN where the pressure would stop the flow.
    """
    return bottom_velocity_ratio(trim_deg, length_ratio, np.asarray(0.0))


@law(
    "mean bottom speed", "Savitsky 1964", "mean bottom velocity", Basis.READ, TRIM, LENGTH, DEADRISE
)
def bottom_velocity_ratio(trim_deg: Array, length_ratio: Array, deadrise_deg: Array) -> Array:
    """Mean speed along a V bottom over forward speed.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    length_ratio : mean wetted length over beam [-].
    deadrise_deg : deadrise [deg].

    Returns
    -------
    Ratio [-], broadcast shape; NaN where the pressure would stop the flow.
    """
    with np.errstate(all="ignore"):
        # the dynamic part of the lift sets the mean pressure: CLd = 0.0120 lambda^0.5 tau^1.1
        flat = 0.0120 * np.sqrt(length_ratio) * np.power(trim_deg, 1.1)
        dynamic = deadrise_lift(flat, deadrise_deg)
        slowed = dynamic / (length_ratio * np.cos(trim_deg * RADIAN))
        return np.asarray(np.sqrt(1.0 - slowed))


@law("inception of planing", "Savitsky 1964", "inception of planing", Basis.READ)
def planing_inception(trim_deg: Array) -> Array:
    """Speed coefficient over root of wetted length ratio from which the hull planes cleanly.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].

    Returns
    -------
    1 at 4 degrees and more, 2 at 2 degrees and less, linear between [-], same shape.
    """
    return np.asarray(np.clip(3.0 - 0.5 * trim_deg, 1.0, 2.0))


@law("transom Froude number", "Faltinsen 2005", "ch. 9", Basis.READ)
def transom_froude(speed_mps: Array, draught_m: Array) -> Array:
    """Froude number on the draught of the transom; above 2.5 the transom runs dry.

    Parameters
    ----------
    speed_mps : speed [m/s].
    draught_m : draught of the transom [m].

    Returns
    -------
    speed / sqrt(g x draught) [-], broadcast shape; NaN for negative draught.
    """
    with np.errstate(all="ignore"):
        return np.asarray(speed_mps / np.sqrt(GRAVITY * draught_m))
