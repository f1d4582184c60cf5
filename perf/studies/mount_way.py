"""Under way with the engine hung one way or the other: differences, with their doubt from shared draws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.boat.parts import Boat
from perf.studies.mount_grid import at_speed
from perf.studies.spread import band
from perf.studies.sweeps import Sweep, sweep_boats, sweep_draws

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
        known = np.isfinite(self.low) and np.isfinite(self.high)
        return not known or self.low <= 0.0 <= self.high


@dataclass(frozen=True, eq=False)
class UnderWay:
    """Two ways of hanging at one speed: the figures, and the stated and drawn sweeps behind them."""

    names: tuple[str, str]
    boats: tuple[Boat, Boat]
    speed_mps: float
    figures: dict[str, Figure]
    stated: Sweep
    drawn: Sweep | None


def under_way(
    names: tuple[str, str], boats: tuple[Boat, Boat], speed_mps: float, draws: int, seed: int
) -> UnderWay:
    """The first boat less the second: everything both do not know alike is drawn alike."""
    stated = sweep_boats(boats)
    values = _figures(stated, speed_mps)
    drawn = sweep_draws(boats, stated, draws, seed) if draws else None
    many = None if drawn is None else _figures(drawn, speed_mps)
    figures = {}
    for name in FIGURES:
        first, second = (float(v) for v in values[name])
        low = high = failed = np.nan
        if many is not None:
            apart = many[name].reshape(2, draws)
            difference = apart[0] - apart[1]
            known = difference[np.isfinite(difference)]
            failed = 1.0 - known.size / draws
            if known.size and failed < 0.5:
                low, high = (float(edge[0]) for edge in band("difference", known[:, None]))
        figures[name] = Figure(first, second, first - second, low, high, float(failed))
    return UnderWay(names, boats, speed_mps, figures, stated, drawn)


def _figures(swept: Sweep, speed_mps: float) -> dict[str, Array]:
    at = at_speed(swept, speed_mps)
    with np.errstate(all="ignore"):
        mileage = at.speed_mps[:, 0] * 3600.0 / at.fuel_lph[:, 0]
    ok, balanced = at.status[:, 0] == 0, at.status[:, 0] != 1
    return {
        "trim_deg": np.where(balanced, at.trim_deg[:, 0], np.nan),
        "hump_margin": swept.hump.margin,
        "slowest_planing_speed_mps": swept.hump.slowest_planing_mps,
        "time_to_plane_s": swept.hump.time_to_plane_s,
        "top_speed_mps": swept.top.speed_mps,
        "mileage_m_per_l": np.where(ok, mileage, np.nan),
    }


def way_table(found: UnderWay) -> pd.DataFrame:
    """Three rows: with, without, and the difference with its band and what of it is inside the doubt."""
    rows = {"hung": [*found.names, DIFFERENCE]}
    frame: dict[str, list[object]] = {key: list(value) for key, value in rows.items()}
    for name in FIGURES:
        one = found.figures[name]
        frame[name] = [one.with_it, one.without, one.difference]
        frame[f"{name}_p10"] = [np.nan, np.nan, one.low]
        frame[f"{name}_p90"] = [np.nan, np.nan, one.high]
    frame["status"] = ["ok", "ok", doubt_words(found)]
    return pd.DataFrame(frame)


def doubt_words(found: UnderWay) -> str:
    """Which differences are inside the doubt, in words."""
    if found.drawn is None:
        return "no draws: how sure the differences are is not said"
    inside = [LABELS[name] for name in FIGURES if found.figures[name].inside_doubt]
    if not inside:
        return "every difference is outside the doubt"
    return f"inside the doubt: {', '.join(inside)}"


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
