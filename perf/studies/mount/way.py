"""Under way with the engine hung one way or the other: differences, with their doubt from shared draws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.quantities import mileage
from perf.boat.parts import Boat
from perf.solve.performance import Points, Status
from perf.studies.spread import HIGH_PER_CENT, LOW_PER_CENT, WORST_IS_LOW
from perf.studies.sweeps import Sweep

Array = NDArray[np.float64]

FIGURES = (
    "trim_deg",
    "hump_margin",
    "slowest_planing_speed_mps",
    "time_to_plane_s",
    "top_speed_mps",
    "mileage_m_per_l",
)
LABELS = {
    "trim_deg": "running trim",
    "hump_margin": "thrust to spare at the hump",
    "slowest_planing_speed_mps": "slowest planing speed",
    "time_to_plane_s": "time to plane",
    "top_speed_mps": "top speed",
    "mileage_m_per_l": "mileage",
}
DIFFERENCE = "difference"
EDGES = ("difference, low", "difference, high")


@dataclass(frozen=True, eq=False)
class Figure:
    """One figure with, without, and the difference with its ten to ninety per cent band."""

    with_it: float
    without: float
    difference: float
    low: float
    high: float
    failed: float  # share of draws in which one of the two has no such figure

    @property
    def inside_doubt(self) -> bool:
        """Whether the band of the difference holds no difference at all, or is not known."""
        return not (self.low > 0.0 or self.high < 0.0)


@dataclass(frozen=True, eq=False)
class Runs:
    """Rows over all speeds, and the same rows at one speed (n, 1)."""

    swept: Sweep
    at: Points


@dataclass(frozen=True, eq=False)
class UnderWay:
    """Two ways of hanging at one speed: the figures, and the stated and drawn sweeps behind them."""

    names: tuple[str, str]
    boats: tuple[Boat, Boat]
    speed_mps: float
    figures: dict[str, Figure]
    stated: Runs
    drawn: Runs | None


def under_way(
    names: tuple[str, str], boats: tuple[Boat, Boat], speed_mps: float, stated: Runs,
    drawn: Runs | None,
) -> UnderWay:  # fmt: skip
    """The first boat less the second: everything both do not know alike is drawn alike.

    stated : the two boats swept and at the speed, (2,) rows; drawn : their draws, boat by boat.
    """
    values = _figures(stated.swept, stated.at)
    many = None if drawn is None else _figures(drawn.swept, drawn.at)
    figures = {}
    for name in FIGURES:
        first, second = (float(v) for v in values[name])
        low = high = failed = np.nan
        if many is not None:
            low, high, failed = _band(name, many[name].reshape(2, -1))
        figures[name] = Figure(first, second, first - second, low, high, float(failed))
    return UnderWay(names, boats, speed_mps, figures, stated, drawn)


def _band(name: str, pair: Array) -> tuple[float, float, float]:
    """Tenth and ninetieth percentile of first less second, and the share of draws short of a figure.

    A draw in which one of the two has no such figure counts as the worst for that one, so an edge may
    be infinite; one in which both have none says nothing.
    """
    worst = -np.inf if name in WORST_IS_LOW else np.inf
    there = np.isfinite(pair)
    with np.errstate(invalid="ignore"):
        apart = np.where(there[0], pair[0], worst) - np.where(there[1], pair[1], worst)
    apart = apart[~np.isnan(apart)]
    short = float(1.0 - there.all(axis=0).mean())
    if not apart.size:
        return np.nan, np.nan, short
    edges = np.percentile(apart, (LOW_PER_CENT, HIGH_PER_CENT), method="nearest")
    return float(edges[0]), float(edges[1]), short


def _figures(swept: Sweep, at: Points) -> dict[str, Array]:
    far = mileage(at.speed_mps[:, 0], at.fuel_lph[:, 0])
    ok, balanced = at.status[:, 0] == Status.OK, at.status[:, 0] != Status.NO_BALANCE
    return {
        "trim_deg": np.where(balanced, at.trim_deg[:, 0], np.nan),
        "hump_margin": swept.hump.margin,
        "slowest_planing_speed_mps": swept.hump.slowest_planing_mps,
        "time_to_plane_s": swept.hump.time_to_plane_s,
        "top_speed_mps": swept.top.speed_mps,
        "mileage_m_per_l": np.where(ok, far, np.nan),
    }


def way_table(found: UnderWay) -> pd.DataFrame:
    """Rows: with, without, the difference, and its low and high edge where draws were made."""
    drawn = found.drawn is not None
    frame: dict[str, list[object]] = {"hung": [*found.names, DIFFERENCE, *EDGES[: 2 * drawn]]}
    for name in FIGURES:
        one = found.figures[name]
        edges = [edge if np.isfinite(edge) else np.nan for edge in (one.low, one.high)]
        frame[name] = [one.with_it, one.without, one.difference, *edges[: 2 * drawn]]
    said = doubt_words(found)
    frame["status"] = [said if name == DIFFERENCE else "" for name in frame["hung"]]
    return pd.DataFrame(frame)


def doubt_words(found: UnderWay) -> str:
    """In which figures there is no difference to rely on, in words."""
    if found.drawn is None:
        return "no draws: how sure the differences are is not said"
    inside = [LABELS[name] for name in FIGURES if found.figures[name].inside_doubt]
    if not inside:
        return "every difference is more than what is not known"
    return f"no difference to rely on: {', '.join(inside)}"


def way_summary(found: UnderWay) -> dict[str, object]:
    """The comparison as plain data, one entry per figure."""
    summary: dict[str, object] = {
        "with": found.names[0],
        "without": found.names[1],
        "speed_mps": found.speed_mps,
        "plate_height_with_m": found.boats[0].mounting.plate_height_m,
        "plate_height_without_m": found.boats[1].mounting.plate_height_m,
    }
    for name, one in found.figures.items():
        summary[name] = {
            "with": one.with_it,
            "without": one.without,
            "difference": one.difference,
            "difference_p10": one.low,
            "difference_p90": one.high,
            "share_without_a_figure": one.failed,
            "inside_the_doubt": one.inside_doubt,
        }
    return summary
