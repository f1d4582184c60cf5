"""Where the methods meet: one documented law that joins them into a single curve in speed.

Volume Froude number FnV runs the axis. Resistance over weight:

    up to 1.00            the displacement law
    1.00 to 1.25          from it to the size-corrected Series 62/65 regression
    1.25 to 1.75          from the series to a mix: join_share of the planing method with its
                          hump multiplier, the rest of the series
    1.75 to 2.00          the mix
    2.00 to 3.00          from the mix to the planing method alone

Running trim follows the boat at rest up to 0.5, the series from 1.25, the planing method from 2.5,
with smooth steps between. Every step is the quintic 6 s⁵ - 15 s⁴ + 10 s³, level at both ends with
its slope and bend, so that nothing jumps. Where an end of a step lies is our choice (assumed); the
tests move them by ± 0.25 and see what the hump does.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Ends:
    """Ends of the steps in volume Froude number."""

    series: tuple[float, float] = (1.00, 1.25)
    mix: tuple[float, float] = (1.25, 1.75)
    planing: tuple[float, float] = (2.00, 3.00)
    trim_series: tuple[float, float] = (0.50, 1.25)
    trim_planing: tuple[float, float] = (1.50, 2.50)


ENDS = Ends()


def smooth_step(value: Array, low: float, high: float) -> Array:
    """Quintic step from 0 at low to 1 at high, level with slope and bend at both ends; same shape."""
    share = np.clip((value - low) / (high - low), 0.0, 1.0)
    return share * share * share * (10.0 + share * (6.0 * share - 15.0))


@law("join of the resistance methods", "own", "module text", Basis.ASSUMED)
def resistance_weights(
    volume_froude: Array, join_share: Array, ends: Ends = ENDS
) -> tuple[Array, Array, Array]:
    """Weights of displacement law, model series and planing method, adding to one; broadcast shape.

    volume_froude : speed over sqrt(g x volume^(1/3)) [-]. join_share : planing method's share at the hump.
    """
    series = smooth_step(volume_froude, *ends.series)
    hump = smooth_step(volume_froude, *ends.mix)
    over = smooth_step(volume_froude, *ends.planing)
    planing = join_share * hump + (1.0 - join_share) * over
    return 1.0 - series, series * (1.0 - planing), series * planing


@law("join of the running trims", "own", "module text", Basis.ASSUMED)
def trim_weights(volume_froude: Array, ends: Ends = ENDS) -> tuple[Array, Array, Array]:
    """Weights of trim at rest, of the series and of the planing method, adding to one; same shape."""
    series = smooth_step(volume_froude, *ends.trim_series)
    planing = smooth_step(volume_froude, *ends.trim_planing)
    return 1.0 - series, series * (1.0 - planing), series * planing
