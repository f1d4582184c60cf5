"""Where the methods meet: one documented law that joins them into a single curve in speed.

Volume Froude number FnV runs the axis. Resistance over weight:

    up to 0.80            the displacement law
    0.80 to 1.50          a bridge from it to the size-corrected Series 62/65 regression
    1.50 to 2.00          from the series to a mix: join_share of the planing method with its hump
                          multiplier, the rest of the series
    2.00 to 3.00          from the mix to the planing method alone

Running trim and wetted length are those at rest up to 0.5, a bridge to the series at 1.5, then from
1.5 to 2.5 from the series to the planing method.

A bridge is the cubic that leaves one method and meets the next with their values and slopes. The
displacement law is stretched here to boats shorter and heavier than its models and the series is
printed every 0.25 only: on a heavy 15 ft boat they climb by up to 5.8 % of top-speed drag within
0.02 between 0.9 and 1.1, which is their fit and not the boat. The bridge climbs as much in all,
evenly. Every other step is the quintic 6 s⁵ - 15 s⁴ + 10 s³, level at both ends with its slope and
bend, so that nothing jumps. Where an end lies is our choice (assumed); the tests move them by
± 0.25 and see what the hump does.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Ends:
    """Where each method ends, in volume Froude number: single ends of the bridges, pairs of the steps."""

    rest: float = 0.50  # trim at rest
    displacement: float = 0.80  # displacement law
    series: float = 1.50  # the series begins, for drag and trim
    mix: tuple[float, float] = (1.50, 2.00)
    planing: tuple[float, float] = (2.00, 3.00)
    trim_planing: tuple[float, float] = (1.50, 2.50)


ENDS = Ends()


def smooth_step(value: Array, low: float, high: float) -> Array:
    """Quintic step from 0 at low to 1 at high, level with slope and bend at both ends; same shape."""
    share = np.clip((value - low) / (high - low), 0.0, 1.0)
    return share * share * share * (10.0 + share * (6.0 * share - 15.0))


@law("join of the resistance methods", "own", "module text", Basis.ASSUMED)
def planing_share(volume_froude: Array, join_share: Array, ends: Ends = ENDS) -> Array:
    """Share of the planing method in the drag, the rest being below planing; broadcast shape.

    volume_froude : speed over sqrt(g x volume^(1/3)) [-]. join_share : planing method's share at the hump.
    """
    hump = smooth_step(volume_froude, *ends.mix)
    over = smooth_step(volume_froude, *ends.planing)
    return join_share * hump + (1.0 - join_share) * over


@law("join of the running trims", "own", "module text", Basis.ASSUMED)
def planing_trim_share(volume_froude: Array, ends: Ends = ENDS) -> Array:
    """Share of the planing method in the running trim, the rest being the series; same shape."""
    return smooth_step(volume_froude, *ends.trim_planing)


@law("bridge between two methods", "own", "cubic through two values and slopes", Basis.ASSUMED)
def bridge(
    volume_froude: Array,
    low: Array | float,
    high: Array | float,
    low_value: Array,
    low_slope: Array,
    high_value: Array,
    high_slope: Array,
) -> Array:
    """Value between two ends from the values and slopes there; broadcast shape, held outside the ends.

    volume_froude, low, high : where it is asked, and the ends [-]. Values in any unit, slopes per
    unit of volume Froude number.
    """
    reach = high - low
    share = np.clip((volume_froude - low) / reach, 0.0, 1.0)
    left = 1.0 - share
    # a start steeper than three times the way across would run past the far value (Fritsch & Carlson)
    steepest = 3.0 * np.abs(high_value - low_value) / reach
    slope = np.clip(low_slope, -steepest, steepest)
    # Hermite: values by (1 + 2 s)(1 - s)^2 and s^2 (3 - 2 s), slopes by s (1 - s)^2 and -s^2 (1 - s)
    near = left * left * ((1.0 + 2.0 * share) * low_value + share * reach * slope)
    far = share * share * ((3.0 - 2.0 * share) * high_value - left * reach * high_slope)
    return np.asarray(near + far)
