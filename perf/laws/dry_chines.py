"""Planing with dry chines: the 1964 lift on the breadth that is still wet, our own extension."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.laws.wetted import DEADRISE, TRIM, wetted_length_difference

Array = NDArray[np.float64]

SPEED = Span("speed_coefficient", 0.60, 13.0, Caution.SPEED_OUTSIDE)


@law(
    "wetted length with dry chines",
    "own",
    "eq. 3 with no wetted chine",
    Basis.ASSUMED,
    TRIM,
    DEADRISE,
)
def length_ratio_chines_dry(trim_deg: Array, deadrise_deg: Array) -> Array:
    """Mean wetted length over the breadth that is wet at the transom, where the chines run dry.

    The wetted area is then a triangle on each side: keel length = (breadth / pi) tan(deadrise) /
    tan(trim), mean length half of it.

    Parameters
    ----------
    trim_deg : trim of the keel [deg].
    deadrise_deg : deadrise [deg].

    Returns
    -------
    tan(deadrise) / (2 pi tan(trim)) [-], broadcast shape.
    """
    return np.asarray(0.5 * wetted_length_difference(trim_deg, deadrise_deg))


@law(
    "breadth wet with dry chines",
    "own",
    "lift equations of 1964 on the wet breadth",
    Basis.ASSUMED,
    TRIM,
    SPEED,
    DEADRISE,
)
def effective_beam_ratio_chines_dry(
    deadrise_lift: Array, trim_deg: Array, speed_coefficient: Array, deadrise_deg: Array
) -> Array:
    """Breadth wet at the transom over beam that carries a given lift, where the chines run dry.

    The 1964 lift is applied to a hull as broad as what is wet, whose mean wetted length is
    `length_ratio_chines_dry`. Exactly one where the wetted chine length has just reached zero, so
    the two branches meet; above one the chines are wet and the branch does not apply.

    Parameters
    ----------
    deadrise_lift : lift coefficient with deadrise, on the chine beam squared [-].
    trim_deg : trim of the keel [deg].
    speed_coefficient : speed over sqrt(g x chine beam) [-].
    deadrise_deg : deadrise [deg], over zero.

    Returns
    -------
    Wet breadth over chine beam [-], broadcast shape; NaN at zero deadrise, where chines stay wet.
    """
    with np.errstate(all="ignore"):
        power = np.power(trim_deg, 1.1)
        length = length_ratio_chines_dry(trim_deg, deadrise_deg)
        # flat lift on the wet breadth r: dynamic + buoyant r, since Cv^2 falls as 1/r
        dynamic = power * 0.0120 * np.sqrt(length)
        buoyant = (
            power
            * 0.0055
            * length
            * length
            * np.sqrt(length)
            / (speed_coefficient * speed_coefficient)
        )
        loss = 0.0065 * deadrise_deg
        full = dynamic + buoyant
        r = np.sqrt(deadrise_lift / (full - loss * np.power(full, 0.6)))
        # Newton on the logarithms, where the lift is nearly a straight line in r
        for _ in range(4):
            flat = dynamic + buoyant * r
            fallen = loss * np.power(flat, 0.6)
            lift = flat - fallen
            slope = 2.0 + buoyant * r * (1.0 - 0.6 * fallen / flat) / lift
            r = r * np.power(deadrise_lift / (r * r * lift), 1.0 / slope)
        return np.asarray(r)
