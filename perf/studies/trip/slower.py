"""What going a little slower than the longest run gains or costs of the reach, in the reader's own units."""

from __future__ import annotations

import numpy as np

from perf.base.results import Result
from perf.base.trip_assumptions import SLOWER
from perf.base.units import show, to_si


def slower_m(result: Result, units: str) -> float | None:
    """How much farther out she comes a round step slower in calm water [m]; None where either is not known."""
    here, table = result.summary.get("here_speed_mps"), result.tables.get("reach")
    if here is None or table is None:
        return None
    grid, calm = (table[name].to_numpy(dtype=float) for name in ("speed_mps", "reach_calm_m"))
    step = to_si(SLOWER[units], "speed", units)
    now, then = (float(np.interp(at, grid, calm, left=np.nan)) for at in (here, here - step))
    return then - now if np.isfinite(then - now) else None


def slower_words(result: Result, units: str) -> str:
    """The same in a sentence; empty where there is no answer."""
    gain = slower_m(result, units)
    if gain is None:
        return ""
    step = show(to_si(SLOWER[units], "speed", units), "speed", units, 0)
    here = show(result.summary["here_speed_mps"], "speed", units, 0)
    far = show(abs(gain), "distance", units, 0)
    start = f"Going {step} slower than the {here} of the longest run, in calm water, "
    if far == show(0.0, "distance", units, 0):
        return f"{start}she comes no farther and no less far out."
    more = "farther" if gain > 0.0 else "less far"
    return f"{start}she comes {far} {more} out, one way."
