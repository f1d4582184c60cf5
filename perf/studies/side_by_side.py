"""Boats side by side: one result that draws several boats, and their key figures in one table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from perf.base.results import Line, Plot, Result

MOST = 4  # kept boats beside the one that is looked at
FIGURES = (
    "mass_kg",
    "will_plane",
    "hump_margin_n",
    "time_to_plane_s",
    "slowest_planing_speed_mps",
    "top_speed_mps",
    "top_rpm",
    "best_mileage_speed_mps",
    "best_mileage_m_per_l",
    "best_range_m",
)
ROLES = ("changed", "second opinion")  # in turn, so that neighbours differ in more than their marks
NOW = "as she is now"


@dataclass(frozen=True)
class Kept:
    """A result under the name that its curves and its column go by."""

    name: str
    result: Result


def side_by_side(now: Result, kept: Sequence[Kept]) -> Result:
    """The result that is looked at, its curves with those of up to four others of the same study.

    Tables are the ones of now; "kept_1" and so on, the rows of the others; and "scenarios", a row
    for each boat, now first: its name and its key figures with their bands, NaN where a figure
    does not exist. Only now keeps its bands, marks and words. Names are told apart by a number
    where two are alike. Nothing is worked out anew.

    Raises
    ------
    ValueError
        For more than four others, or for one of another study.
    """
    if len(kept) > MOST:
        raise ValueError(f"{len(kept)} boats beside her: {MOST} at most")
    if any(one.result.kind != now.kind for one in kept):
        raise ValueError(f"only results of the same study stand side by side with {now.kind}")
    names = _apart([NOW, *(one.name for one in kept)])
    others = [Kept(name, one.result) for name, one in zip(names[1:], kept, strict=True)]
    tables = dict(now.tables)
    for number, one in enumerate(others, start=1):
        tables[f"kept_{number}"] = one.result.tables["rows"]
    tables["scenarios"] = _figures([Kept(NOW, now), *others])
    plots = tuple(_with(plot, others) for plot in now.plots) if others else now.plots
    return replace(now, tables=tables, plots=plots)


def _apart(names: Sequence[str]) -> list[str]:
    """Names with a number behind those that were there before."""
    out: list[str] = []
    for name in names:
        told, number = name, 2
        while told in out:
            told, number = f"{name} ({number})", number + 1
        out.append(told)
    return out


def _with(plot: Plot, others: Sequence[Kept]) -> Plot:
    """A plot with a line more for each other boat and each line of rows it has."""
    own = tuple(
        replace(line, label=NOW if len(plot.lines) == 1 else line.label) for line in plot.lines
    )
    more = tuple(
        Line(f"kept_{number}", line.y, one.name, ROLES[(number - 1) % len(ROLES)])
        for number, one in enumerate(others, start=1)
        for line in plot.lines[:1]
        if line.table == "rows" and line.y in one.result.tables["rows"].columns
    )
    return replace(plot, lines=(*own, *more))


def _figures(boats: Sequence[Kept]) -> pd.DataFrame:
    """A row for each boat: name, key figures, their bands."""
    columns = [name + end for name in FIGURES for end in ("", "_p10", "_p90")]
    rows = [
        {"scenario": one.name} | {name: _number(one.result.summary, name) for name in columns}
        for one in boats
    ]
    frame = pd.DataFrame(rows, columns=["scenario", *columns])
    drop = [c for c in columns if c not in FIGURES and frame[c].isna().all()]
    return frame.drop(columns=drop)


def _number(summary: Any, name: str) -> float:
    value = summary.get(name)
    return float("nan") if value is None else float(value)
