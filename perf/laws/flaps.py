"""Flaps, warped bottoms and the hump: what the papers of 1976 add to the planing method."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law

Array = NDArray[np.float64]

RADIAN = np.pi / 180.0
FLAP_TRIM = Span("trim_deg", 0.0, 10.0, Caution.TRIM_OUTSIDE)
TRIM = Span("trim_deg", 2.0, 15.0, Caution.TRIM_OUTSIDE)
DEADRISE = Span("deadrise_deg", 0.0, 30.0, Caution.DEADRISE_OUTSIDE)


@law("lift of a flap", "Savitsky & Brown 1976", "eq. 5", Basis.READ)
def flap_lift(
    chord_m: Array,
    span_ratio: Array,
    deflection_deg: Array,
    beam_m: Array,
    dynamic_pressure_pa: Array,
) -> Array:
    """Lift a transom flap adds, the pressure it induces on the hull ahead included.

    Fitted for a chord up to a tenth of the mean wetted length, 0 to 15 degrees, Cv 2 to 7.

    Parameters
    ----------
    chord_m : chord of the flap [m].
    span_ratio : span of the flaps of both sides over beam [-].
    deflection_deg : below the bottom [deg].
    beam_m : chine beam [m].
    dynamic_pressure_pa : half density times speed squared [Pa].

    Returns
    -------
    Lift [N], broadcast shape.
    """
    # dF = 0.046 LF delta sigma b (rho/2) V^2
    return np.asarray(0.046 * chord_m * deflection_deg * span_ratio * beam_m * dynamic_pressure_pa)


@law("drag of a flap", "Savitsky & Brown 1976", "eq. 6", Basis.READ, FLAP_TRIM)
def flap_drag(flap_lift: Array, trim_deg: Array, deflection_deg: Array) -> Array:
    """Drag a transom flap adds.

    In the paper's example it is added to (whole weight) tan(trim), not to the weight less the lift
    of the flap.

    Parameters
    ----------
    flap_lift : lift of the flap [N].
    trim_deg : trim of the keel [deg], 0 to 10.
    deflection_deg : below the bottom [deg], 0 to 15.

    Returns
    -------
    Drag [N], broadcast shape.
    """
    return np.asarray(0.0052 * flap_lift * (trim_deg + deflection_deg))


@law("moment of a flap", "Savitsky & Brown 1976", "eq. 7", Basis.READ)
def flap_moment(flap_lift: Array, chord_m: Array, span_ratio: Array, beam_m: Array) -> Array:
    """Bow-down moment of a flap about its trailing edge.

    Parameters
    ----------
    flap_lift : lift of the flap [N].
    chord_m : chord of the flap [m].
    span_ratio : span of the flaps of both sides over beam [-].
    beam_m : chine beam [m].

    Returns
    -------
    Moment [N m], broadcast shape.
    """
    return np.asarray(flap_lift * (0.6 * beam_m + chord_m * (1.0 - span_ratio)))


@law("hinge moment of a flap", "Savitsky & Brown 1976", "eq. 8", Basis.READ)
def flap_hinge_moment(flap_lift: Array, chord_m: Array) -> Array:
    """Moment of a flap about its own hinge.

    Parameters
    ----------
    flap_lift : lift of the flap [N].
    chord_m : chord of the flap [m].

    Returns
    -------
    Moment [N m], broadcast shape.
    """
    return np.asarray(0.139 * flap_lift * chord_m)


@law(
    "trim for the lift of a warped bottom",
    "Savitsky & Brown 1976",
    "effective trim for lift",
    Basis.READ,
)
def warped_lift_trim(trim_deg: Array, warp_deg: Array) -> Array:
    """Trim at which a prismatic bottom with the deadrise of the transom lifts like a warped one.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    warp_deg : angle between chine and keel seen from the side [deg].

    Returns
    -------
    Effective trim [deg], broadcast shape.
    """
    return np.asarray(trim_deg + 0.12 * warp_deg)


@law("trim for the drag of a warped bottom", "Savitsky & Brown 1976", "eq. 10", Basis.READ)
def warped_drag_trim(trim_deg: Array, warp_deg: Array) -> Array:
    """Trim at which the lift of a warped bottom leans aft.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    warp_deg : angle between chine and keel seen from the side [deg].

    Returns
    -------
    Effective trim [deg], broadcast shape.
    """
    return np.asarray(trim_deg + 0.5 * warp_deg)


@law(
    "keel less chine wetted length of 1976",
    "Savitsky & Brown 1976",
    "eq. 12",
    Basis.READ,
    TRIM,
    DEADRISE,
)
def length_difference_1976(trim_deg: Array, deadrise_deg: Array) -> Array:
    """Wetted keel length less wetted chine length over beam, by the later fit.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    deadrise_deg : deadrise [deg].

    Returns
    -------
    Difference over beam [-], broadcast shape.
    """
    with np.errstate(all="ignore"):
        # (0.57 + beta/1000) (tan beta / (2 tan tau) - beta/167)
        slope = np.tan(deadrise_deg * RADIAN) / (2.0 * np.tan(trim_deg * RADIAN))
        return np.asarray((0.57 + deadrise_deg / 1000.0) * (slope - deadrise_deg / 167.0))


@law("mean wetted length of 1976", "Savitsky & Brown 1976", "eq. 15", Basis.READ)
def mean_length_ratio_1976(keel_length_ratio: Array, chine_length_ratio: Array) -> Array:
    """Mean wetted length over beam from keel and chine, spray root rounding included.

    Parameters
    ----------
    keel_length_ratio : wetted keel length over beam [-].
    chine_length_ratio : wetted chine length over beam [-].

    Returns
    -------
    Mean wetted length over beam [-], broadcast shape.
    """
    return np.asarray(0.5 * (keel_length_ratio + chine_length_ratio) + 0.03)


@law(
    "hump multiplier",
    "Blount & Fox 1976",
    "eq. 1",
    Basis.RECALLED,
    Span("volume_froude", 1.0, np.inf, Caution.SPEED_OUTSIDE),
)
def hump_multiplier(balance_ratio: Array, volume_froude: Array) -> Array:
    """Factor on the drag of the 1964 method for hard-chine hulls going over the hump.

    Parameters
    ----------
    balance_ratio : centre of gravity forward of the transom over the widest chine beam [-].
    volume_froude : speed over sqrt(g x cube root of displaced volume) [-], 1 and more.

    Returns
    -------
    Factor [-], broadcast shape.
    """
    with np.errstate(all="ignore"):
        past = volume_froude - 0.85
        # M = 0.98 + 2 (LCG/B)^1.45 exp[-2 (F - 0.85)] - 3 (LCG/B) exp[-3 (F - 0.85)]
        rise = 2.0 * np.power(balance_ratio, 1.45) * np.exp(-2.0 * past)
        return np.asarray(0.98 + rise - 3.0 * balance_ratio * np.exp(-3.0 * past))
