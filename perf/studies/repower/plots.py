"""Pictures of a repower as data: the trade, the curves, the money, what is least sure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from perf.base.results import Line, Plot
from perf.boat.choice.parts import AS_SHE_IS
from perf.studies.repower.answer import Found

MOST_CURVES = (
    3  # candidates whose curves are drawn at once: more cannot be told apart in their bands
)


def lines(
    tables: Mapping[str, pd.DataFrame], table: str, y: str, names: Sequence[str]
) -> tuple[Line, ...]:
    """One line a candidate that has rows in the table, with its band where it was drawn."""
    frame = tables[table]
    there = set(frame["candidate"]) if len(frame) else set()
    edges = (f"{y}_p10", f"{y}_p90")
    banded = set(edges) <= set(frame.columns)
    return tuple(
        Line(
            table,
            y,
            name,
            "as she is" if name == AS_SHE_IS else "changed",
            edges if banded else None,
            only=("candidate", name),
        )
        for name in names
        if name in there
    )


def plots(found: Found, tables: Mapping[str, pd.DataFrame]) -> tuple[Plot, ...]:
    """Every picture of the answer; her line comes first, the others by rank."""
    names = [found.choices[at].name for at in [0, *(at for at in found.order if at)]]
    few = names[:MOST_CURVES]
    coin = f", {found.duty.currency}," if found.duty.currency else ""
    made = [
        _trade(tables, names, "season_fuel_m3", "Season's fuel against thrust to spare"),
        _beside(tables, names, coin),
        Plot(
            "mileage_m_per_l",
            "How far on the fuel she burns",
            "speed_mps",
            "mileage_m_per_l",
            lines(tables, "rows", "mileage_m_per_l", few),
        ),
        Plot(
            "fuel_lph",
            "What each burns",
            "speed_mps",
            "fuel_lph",
            lines(tables, "rows", "fuel_lph", few),
        ),
    ]
    if len(tables["money"]):
        title = f"Money so far{coin} against keeping her"
        money = lines(tables, "money", "sum_gain", few)
        made.append(Plot("sum_gain", title, "year", "sum_gain", money))
    if len(tables["matters_most"]):
        bars = (Line("matters_most", "matter", "share of the doubt"),)
        judged = [found.choices[at].name for at in dict.fromkeys((found.first, 0))]
        title = "What is least sure of the difference" if len(judged) > 1 else "What is least sure"
        made.append(Plot("matters", title, "weighs", "matter", bars, style="bars"))
    return tuple(made)


def _trade(tables: Mapping[str, pd.DataFrame], names: Sequence[str], x: str, title: str) -> Plot:
    y = "hump_margin_n"
    return Plot(f"trade_{x}", title, x, y, lines(tables, "candidates", y, names), style="spots")


def _beside(tables: Mapping[str, pd.DataFrame], names: Sequence[str], coin: str) -> Plot:
    """Money beside the trade; burn at the wanted speed where there is no money."""
    worth = tables["candidates"]["net_present_value"].to_numpy(dtype=float)
    if np.isfinite(worth).any():
        title = f"Money over the years{coin} against thrust to spare"
        return _trade(tables, names, "net_present_value", title)
    title = "Burn at the wanted speed against thrust to spare"
    return _trade(tables, names, "wanted_fuel_lph", title)
