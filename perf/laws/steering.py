"""Engines that do not pull on the centreline: the turning moment and the helm that answers it.

Own mechanics, nothing published: forces in newton, lengths in metre, the boat held on a straight
course with no leeway. Real boats take some leeway and some heel, which answer part of the moment.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]


@law("Turning moment of engines off the centreline", "own", "moment of forces", Basis.ASSUMED)
def turning_moment(
    thrust_n: ArrayLike,
    thrust_off_m: ArrayLike,
    dragged_n: ArrayLike = 0.0,
    dragged_off_m: ArrayLike = 0.0,
) -> Array:
    """Moment about the boat's own upright axis [N m], turning her away from the side of the thrust.

    thrust_n pulls thrust_off_m off the centreline [m]; dragged_n is what is dragged dragged_off_m off
    on the other side, positive there. Broadcast shape.
    """
    pull = np.asarray(thrust_n, dtype=float) * np.asarray(thrust_off_m, dtype=float)
    held = np.asarray(dragged_n, dtype=float) * np.asarray(dragged_off_m, dtype=float)
    return np.asarray(pull + held)


@law("Helm that holds her straight", "own", "moment of forces, no leeway", Basis.ASSUMED)
def helm_angle(
    moment_nm: ArrayLike, lever_m: ArrayLike, thrust_n: ArrayLike, side_n_per_sine: ArrayLike
) -> Array:
    """Angle all legs are turned so that their side force answers a turning moment [deg]; broadcast shape.

    sin(angle) = moment / (lever (thrust + side)): lever from the balance point to the propellers [m],
    thrust of the running engines [N], side force of all wet legs over the sine of the angle [N].
    NaN where no angle holds her.
    """
    moment, lever = np.asarray(moment_nm, dtype=float), np.asarray(lever_m, dtype=float)
    force = np.asarray(thrust_n, dtype=float) + np.asarray(side_n_per_sine, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        sine = moment / (lever * force)
        return np.asarray(np.degrees(np.arcsin(np.where(np.abs(sine) <= 1.0, sine, np.nan))))


@law("Thrust lost to the helm", "own", "resolution of forces", Basis.ASSUMED)
def helm_drag(helm_deg: ArrayLike, thrust_n: ArrayLike, side_n_per_sine: ArrayLike) -> Array:
    """Thrust turned out of the course plus the legs' side force along it [N]; broadcast shape."""
    angle = np.radians(np.asarray(helm_deg, dtype=float))
    sine = np.sin(angle)
    lost = np.asarray(thrust_n, dtype=float) * (1.0 - np.cos(angle))
    return np.asarray(lost + np.asarray(side_n_per_sine, dtype=float) * (sine * sine))
