"""Pictures of a repower as data: the trade, the curves, the money, what is least sure."""

from __future__ import annotations

import numpy as np
import pandas as pd

from perf.base.results import Line, Plot
from perf.studies.repower_answer import Found


def plots(found: Found, tables: dict[str, pd.DataFrame]) -> tuple[Plot, ...]:
    """Every picture of the answer; her line comes first, the others by rank."""
    names = [c.name for c in found.choices]
    banded = found.drawn is not None
    shown = [0, *(at for at in found.order if at)]

    def lines(table: str, y: str) -> tuple[Line, ...]:
        frame = tables[table]
        there = set(frame["candidate"]) if len(frame) else set()
        edges = (f"{y}_p10", f"{y}_p90")
        has = banded and set(edges) <= set(frame.columns)
        return tuple(
            Line(
                table,
                y,
                names[at],
                "changed" if at else "as she is",
                edges if has else None,
                only=("candidate", names[at]),
            )
            for at in shown
            if names[at] in there
        )

    spots = "spots"
    second = "net_present_value"
    if not np.isfinite(tables["candidates"][second].to_numpy(dtype=float)).any():
        second = "wanted_fuel_lph"
    plots = [
        Plot(
            "trade_fuel",
            "Season's fuel against thrust to spare",
            "season_fuel_m3",
            "hump_margin_n",
            lines("candidates", "hump_margin_n"),
            style=spots,
        ),
        Plot(
            "trade_money",
            "Money over the years against thrust to spare"
            if second == "net_present_value"
            else "Burn at the wanted speed against thrust to spare",
            second,
            "hump_margin_n",
            lines("candidates", "hump_margin_n"),
            style=spots,
        ),
        Plot(
            "mileage_m_per_l",
            "How far on a gallon",
            "speed_mps",
            "mileage_m_per_l",
            lines("rows", "mileage_m_per_l"),
        ),
        Plot("fuel_lph", "What each burns", "speed_mps", "fuel_lph", lines("rows", "fuel_lph")),
    ]
    if len(tables["money"]):
        plots.append(
            Plot(
                "sum_gain",
                "Money so far against keeping her",
                "year",
                "sum_gain",
                lines("money", "sum_gain"),
            )
        )
    if len(tables["matters_most"]):
        bars = (Line("matters_most", "matter", "share of the doubt"),)
        plots.append(Plot("matters", "What is least sure", "weighs", "matter", bars, style="bars"))
    return tuple(plots)
