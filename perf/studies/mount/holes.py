"""Which shaft, how many holes: where the plate of each nominal shaft comes to lie on this transom."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from perf.base.assumptions import MOUNTING
from perf.boat.parts import Hull
from perf.studies.mount.height import Advice

INCH_M = 0.0254
FITS = 0.0032  # an eighth of an inch: a miss of less is none, no rule shows it [m]
SHAFTS_IN = (15, 20, 25, 30)  # nominal shaft lengths of the trade


@dataclass(frozen=True)
class Shaft:
    """One nominal shaft on one transom [m]: where its plate lies lowest and highest, and at which hole best."""

    shaft_m: float
    lowest_m: float
    highest_m: float
    holes: int
    plate_height_m: float
    misses_by_m: float  # over (positive) or under the range; 0 inside
    seat_up_m: (
        float  # by which a bracket's seat would put the middle hole at the middle of the range
    )


def plate_height_at_m(hull: Hull, shaft_m: float, holes: float, drop_m: float = 0.0) -> float:
    """Plate over the bottom [m] with a shaft of this length raised by holes, drop_m the seat under the transom's top.

    Holes run along the raked transom; a shaft of the transom's height hangs its plate even with the bottom.
    """
    rise = holes * MOUNTING["hole_spacing"].value * np.cos(np.radians(hull.transom_rake_deg))
    return float(hull.transom_height_m - drop_m - shaft_m + rise)


def shafts(hull: Hull, low_m: float, high_m: float, drop_m: float = 0.0) -> tuple[Shaft, ...]:
    """Every nominal shaft at the hole that reaches the range, or comes nearest to it, fewest holes first."""
    most = int(MOUNTING["holes_up"].value)
    found = []
    for inches in SHAFTS_IN:
        shaft = inches * INCH_M
        heights = [plate_height_at_m(hull, shaft, k, drop_m) for k in range(most + 1)]
        misses = [_miss(height, low_m, high_m) for height in heights]
        holes = min(range(most + 1), key=lambda k: (round(abs(misses[k]), 9), k))
        seat = 0.5 * (low_m + high_m) - heights[most // 2]
        found.append(
            Shaft(shaft, heights[0], heights[-1], holes, heights[holes], misses[holes], seat)
        )
    return tuple(found)


def best_shaft(found: tuple[Shaft, ...]) -> Shaft:
    """The shaft that reaches the range with the fewest holes, or comes nearest.

    Two that miss by like amounts, within the fit of a shaft, are told apart by hanging too low, which
    drags, rather than too high, which ventilates.
    """

    def worth(one: Shaft) -> tuple[bool, int, bool, int]:
        miss = abs(one.misses_by_m)
        return (
            miss > 1e-9,
            int(miss / MOUNTING["shaft_fit"].value),
            one.misses_by_m > 0.0,
            one.holes,
        )

    return min(found, key=worth)


def snapped(advice: Advice, hull: Hull, drop_m: float) -> tuple[Advice, Shaft]:
    """The range drawn in to the holes of the best shaft that lie in it; the nearest hole and why where none does."""
    low, high = _ends(advice)
    shaft = best_shaft(shafts(hull, low, high, drop_m))
    most = int(MOUNTING["holes_up"].value)
    heights = [plate_height_at_m(hull, shaft.shaft_m, k, drop_m) for k in range(most + 1)]
    inside = [height for height in heights if _miss(height, low, high) == 0.0]
    if inside:
        return replace(advice, low_m=min(inside), high_m=max(inside)), shaft
    if advice.low_m is None:
        return advice, shaft
    why = "no mounting hole falls inside the range: the nearest one is given"
    reason = f"{advice.reason}; {why}" if advice.reason else why
    height = shaft.plate_height_m
    return replace(advice, low_m=height, high_m=height, reason=reason), shaft


def shaft_for(advice: Advice, hull: Hull, drop_m: float) -> Shaft:
    """The best shaft for a range as it stands."""
    return best_shaft(shafts(hull, *_ends(advice), drop_m))


def shaft_table(advice: Advice, hull: Hull, drop_m: float) -> pd.DataFrame:
    """One row per nominal shaft."""
    found = shafts(hull, *_ends(advice), drop_m)
    return pd.DataFrame(
        {
            "shaft_m": [one.shaft_m for one in found],
            "plate_lowest_m": [one.lowest_m for one in found],
            "plate_highest_m": [one.highest_m for one in found],
            "holes": [one.holes for one in found],
            "plate_height_m": [one.plate_height_m for one in found],
            "too_high_by_m": [_over(one.misses_by_m) for one in found],
            "too_low_by_m": [_over(-one.misses_by_m) for one in found],
            "seat_up_m": [one.seat_up_m for one in found],
            "reach": [_words(one) for one in found],
        }
    )


def _ends(advice: Advice) -> tuple[float, float]:
    if advice.low_m is None or advice.high_m is None:
        return advice.rule_of_thumb_m, advice.rule_of_thumb_m
    return advice.low_m, advice.high_m


def _over(miss_m: float) -> float:
    """A miss to one side; NaN where it is none."""
    return miss_m if miss_m > FITS else np.nan


def _miss(height: float, low: float, high: float) -> float:
    return max(height - high, 0.0) - max(low - height, 0.0)


def _words(one: Shaft) -> str:
    if abs(one.misses_by_m) < FITS:
        return "yes"
    return "no, too high" if one.misses_by_m > 0.0 else "no, too low"
