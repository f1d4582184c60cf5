"""Curves against height, setback and speed, with their bands, and the plots that show them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.results import Line, Mark, Plot, Shade
from perf.boat.parts import Boat
from perf.studies.mount.height import MIDDLE, PLACES, Advice, Advices
from perf.studies.mount.ladder import HEIGHTS_M, Ladder
from perf.studies.mount.water import MODELS
from perf.studies.spread import band
from perf.studies.sweeps import Sweep

Array = NDArray[np.float64]

BY_SETBACK = ("top_speed_mps", "time_to_plane_s", "hump_margin")
LOWEST_SHOWN_M, HIGHEST_SHOWN_M = -0.05, 0.20  # of the ladder, in the plots


def height_curve(advices: Advices, advice: Advice, at: int, drawn: Ladder | None) -> pd.DataFrame:
    """Top speed and cruise mileage of one boat up the ladder of heights, middle of the band of models."""
    row = at * PLACES.size + MIDDLE
    frame = {
        "plate_height_m": HEIGHTS_M,
        "top_speed_mps": advices.ladder.top_mps[row],
        "mileage_m_per_l": advices.ladder.mileage_m_per_l[row],
    }
    if drawn is not None:
        many = {"top_speed_mps": drawn.top_mps, "mileage_m_per_l": drawn.mileage_m_per_l}
        for name, values in many.items():
            for ending, edge in zip(("_p10", "_p90"), band(name, values), strict=True):
                frame[name + ending] = np.where(np.isfinite(frame[name]), edge, np.nan)
    table = pd.DataFrame(frame)
    low, high = advice.low_m, advice.high_m
    if low is None or high is None:
        low, high = np.inf, -np.inf
    table["inside_range"] = table["plate_height_m"].between(low, high)
    shown = (HEIGHTS_M >= LOWEST_SHOWN_M - 1e-9) & (HEIGHTS_M <= HIGHEST_SHOWN_M + 1e-9)
    return table[shown].reset_index(drop=True)


def setback_curve(advice: Sequence[Advice], stated: Sweep, drawn: Sweep | None) -> pd.DataFrame:
    """Every setback at the height recommended there: the range, the rule of thumb, and what she does.

    stated : a row for each setback; drawn : its draws, setback by setback.
    """
    known: dict[str, Array] = {
        "top_speed_mps": stated.top.speed_mps,
        "time_to_plane_s": stated.hump.time_to_plane_s,
        "hump_margin": stated.hump.margin,
    }
    frame: dict[str, object] = {
        "setback_m": [one.setback_m for one in advice],
        "plate_height_low_m": [np.nan if one.low_m is None else one.low_m for one in advice],
        "plate_height_high_m": [np.nan if one.high_m is None else one.high_m for one in advice],
        "plate_height_m": [one.middle_m for one in advice],
        "rule_of_thumb_m": [one.rule_of_thumb_m for one in advice],
        "holds_over": [one.holds_over or "none" for one in advice],
        **known,
    }
    if drawn is not None:
        many = {
            "top_speed_mps": drawn.top.speed_mps,
            "time_to_plane_s": drawn.hump.time_to_plane_s,
            "hump_margin": drawn.hump.margin,
        }
        for name in BY_SETBACK:
            edges = band(name, many[name].reshape(len(advice), -1).T)
            for ending, edge in zip(("_p10", "_p90"), edges, strict=True):
                frame[name + ending] = np.where(np.isfinite(known[name]), edge, np.nan)
    return pd.DataFrame(frame)


def plots(
    advice: Advice, chosen: Boat, banded: bool, setbacks: bool, cruise_mps: float
) -> tuple[Plot, ...]:
    """Every plot of the study."""
    made = [
        _by_height("top_speed_mps", "Top speed against plate height", advice, chosen, banded),
        _by_height(
            "mileage_m_per_l", "Mileage at cruise against plate height", advice, chosen, banded
        ),
    ]
    if setbacks:
        made.append(_height_by_setback(chosen))
        made += [
            _by_setback("time_to_plane_s", "Time to plane against setback", chosen, banded),
            _by_setback("top_speed_mps", "Top speed against setback", chosen, banded),
        ]
    made.append(_water(cruise_mps))
    return tuple(made)


def _by_height(y: str, title: str, advice: Advice, chosen: Boat, banded: bool) -> Plot:
    shaded: tuple[Shade, ...] = ()
    if advice.low_m is not None and advice.high_m is not None:
        shaded = (Shade(advice.low_m, advice.high_m, "recommended"),)
    marks = [Mark(advice.rule_of_thumb_m, "rule of thumb")]
    height = chosen.mounting.plate_height_m
    if not shaded or not shaded[0].low <= height <= shaded[0].high:
        marks.append(Mark(height, "as drawn"))
    line = Line("by_height", y, "as she is", band=(f"{y}_p10", f"{y}_p90") if banded else None)
    return Plot(
        f"{y}_by_height", title, "plate_height_m", y, (line,), tuple(marks), shaded, from_zero=False
    )


def _by_setback(y: str, title: str, chosen: Boat, banded: bool) -> Plot:
    line = Line(
        "by_setback",
        y,
        "at the height recommended there",
        band=(f"{y}_p10", f"{y}_p90") if banded else None,
    )
    mark = Mark(chosen.mounting.setback_m, "as drawn")
    return Plot(f"{y}_by_setback", title, "setback_m", y, (line,), (mark,), from_zero=False)


def _height_by_setback(chosen: Boat) -> Plot:
    lines = (
        Line("by_setback", "plate_height_low_m", "lowest", "as she is"),
        Line("by_setback", "plate_height_high_m", "highest", "changed"),
        Line("by_setback", "rule_of_thumb_m", "rule of thumb", "second opinion"),
    )
    mark = Mark(chosen.mounting.setback_m, "as drawn")
    title = "How high the plate should stand against setback"
    return Plot("plate_height_by_setback", title, "setback_m", "plate_height_m", lines, (mark,))


def _water(cruise_mps: float) -> Plot:
    roles = ("as she is", "second opinion", "second opinion", "changed")
    lines = tuple(
        Line("wake", f"{name}_m", label, role, dashed_where=f"{name}_outside")
        for (name, label), role in zip(MODELS.items(), roles, strict=True)
    )
    marks = (Mark(cruise_mps, "cruise"),) if np.isfinite(cruise_mps) else ()
    title = "Water behind the transom at the propeller, by every model"
    return Plot("water_behind", title, "speed_mps", "rise_m", lines, marks)
