"""Where the power goes at one speed, as bars told apart by their words."""

from __future__ import annotations

from typing import Any

import pandas as pd
import streamlit as st

from perf.base.results import Result
from perf.base.units import show
from perf.faces import look
from perf.studies.power_shares import PowerShare, nearest_row, power_shares, running_rows


@st.fragment
def power_at_speed(result: Result, units: str, dark: bool) -> None:
    """A slider over the speeds at which she runs, and what each part of the power is spent on."""
    rows = result.tables["rows"]
    known = running_rows(rows)
    start = nearest_row(rows, result.summary.get("best_mileage_speed_mps"))
    if start is None:
        st.markdown("There is no speed at which she runs, so there is no power to part.")
        return
    speed = rows["speed_mps"].to_numpy()
    at = st.select_slider(
        "At this speed",
        known,
        value=start,
        format_func=lambda row: show(float(speed[row]), "speed", units, 1),
        key="at",
        persist_state="session",
    )
    parts = power_shares(rows, at)
    total = show(float(rows["shaft_power_w"].iloc[at]), "power", units, 0)
    st.markdown(
        f"At {show(float(speed[at]), 'speed', units, 1)} the propeller shafts take {total}:"
    )
    st.vega_lite_chart(
        _frame(parts, units), _bars(dark), width="stretch", key="shares", alt=_said(parts, units)
    )


def _said(parts: tuple[PowerShare, ...], units: str) -> str:
    return "; ".join(f"{part.part}: {_words(part, units)}" for part in parts)


def _words(part: PowerShare, units: str) -> str:
    share = show(part.share, "share", units, 2)
    return f"{show(part.power_w, 'power', units, 0)}, {share}"


def _frame(parts: tuple[PowerShare, ...], units: str) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "part": [part.part for part in parts],
            "share": [part.share for part in parts],
            "words": [_words(part, units) for part in parts],
        }
    )


def _bars(dark: bool) -> dict[str, Any]:
    colours = look.DARK if dark else look.LIGHT
    place = {"field": "part", "type": "nominal", "sort": None, "title": None}
    y = place | {"axis": {"labelLimit": 200, "labelFontSize": 13, "domain": False, "ticks": False}}
    x = {
        "field": "share",
        "type": "quantitative",
        "axis": None,
        "scale": {"domain": [0, 1]},
    }
    return {
        "height": 140,
        "background": "transparent",
        "encoding": {"y": y, "x": x, "tooltip": {"field": "words", "title": None}},
        "layer": [
            {"mark": {"type": "bar", "color": colours.as_she_is.line, "height": 18}},
            {
                "mark": {
                    "type": "text",
                    "align": "left",
                    "dx": 6,
                    "color": colours.ink,
                    "fontSize": 13,
                },
                "encoding": {"text": {"field": "words"}},
            },
        ],
    }
