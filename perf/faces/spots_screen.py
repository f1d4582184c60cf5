"""Spots with their bands, and bars, on screen: Altair charts told apart by mark and word."""

from __future__ import annotations

from typing import Any

import altair
import pandas as pd

from perf.base.columns import column
from perf.base.results import Plot, Result, heading_of
from perf.faces import look
from perf.faces.spots import bars, spots

HIGH = 430  # pixels with title, axis, legend and margins
BAR_HIGH, BAR_ROOM = 30, 110  # pixels of one bar with its gap, and of title and axis
WORDS_WIDE = 330  # pixels for the words of bars
LEGEND_COLUMNS = 3
BAND_WORDS = "thin lines: 10 to 90 %"


def chart(result: Result, plot: Plot, units: str, *, dark: bool = False) -> altair.LayerChart:
    """One plot of spots or bars as a chart, in one system of units."""
    colours = look.DARK if dark else look.LIGHT
    made = _bars if plot.style == "bars" else _spots
    layers, notes = made(result, plot, units, colours)
    title = altair.TitleParams(
        plot.title,
        subtitle=notes,
        subtitleColor=colours.quiet,
        subtitlePadding=4,
        color=colours.ink,
        anchor="start",
        offset=10,
    )
    high = HIGH
    if plot.style == "bars":
        high = BAR_ROOM + BAR_HIGH * max(1, len(bars(result, plot, units)))
    drawn: altair.LayerChart = altair.LayerChart(layer=layers).properties(
        title=title,
        width="container",
        height=high,
        background="transparent",
        description=described(plot, units),
    )
    return drawn


def described(plot: Plot, units: str) -> str:
    """The chart in one sentence, for those who hear the page instead of seeing it."""
    lines = ", ".join(line.label for line in plot.lines)
    if plot.style == "bars":
        return f"{plot.title}: one bar for each input, longest first. The same numbers stand in the table."
    x, y = heading_of(plot.x, units), heading_of(plot.y, units)
    return f"{plot.title}: {y} against {x}, one point each for {lines}. The same numbers stand in the table."


def _frame(result: Result, plot: Plot, units: str) -> pd.DataFrame:
    return pd.DataFrame(
        [
            {
                "label": spot.line.label,
                "x": spot.x,
                "y": spot.y,
                "x_low": spot.x_low,
                "x_high": spot.x_high,
                "y_low": spot.y_low,
                "y_high": spot.y_high,
                "shape": look.SHAPES[spot.mark][0],
                "role": spot.line.role,
            }
            for spot in spots(result, plot, units)
        ],
        columns=["label", "x", "y", "x_low", "x_high", "y_low", "y_high", "shape", "role"],
    )


def _spots(
    result: Result, plot: Plot, units: str, colours: look.Palette
) -> tuple[list[altair.Chart], str]:
    frame = _frame(result, plot, units)
    if frame.empty:
        text = altair.Chart(pd.DataFrame({"words": [look.EMPTY_WORDS]}))
        return [text.mark_text(color=colours.quiet, fontSize=14).encode(text="words:N")], ""
    labels = frame["label"].tolist()
    tones = [colours.tone(role).line for role in frame["role"]]
    legend = altair.Legend(orient="bottom", columns=LEGEND_COLUMNS, title=None, symbolSize=110)
    colour = altair.Color(
        "label:N", scale=altair.Scale(domain=labels, range=tones), legend=legend, title=None
    )
    shape = altair.Shape(
        "label:N",
        scale=altair.Scale(domain=labels, range=frame["shape"].tolist()),
        legend=legend,
        title=None,
    )
    zero = altair.Scale(zero=False, padding=24)
    x = altair.X("x:Q", title=heading_of(plot.x, units), scale=zero)
    y = altair.Y("y:Q", title=heading_of(plot.y, units), scale=zero)
    base = altair.Chart(frame)
    along = base.mark_rule(strokeWidth=1.2, opacity=0.8).encode(
        x=altair.X("x_low:Q", title=heading_of(plot.x, units), scale=zero),
        x2="x_high:Q",
        y=y,
        color=colour,
    )
    across = base.mark_rule(strokeWidth=1.2, opacity=0.8).encode(
        x=x,
        y=altair.Y("y_low:Q", title=heading_of(plot.y, units), scale=zero),
        y2="y_high:Q",
        color=colour,
    )
    points = base.mark_point(size=130, strokeWidth=2.4, filled=False).encode(
        x=x, y=y, color=colour, shape=shape, tooltip=_told(plot, units)
    )
    return [along, across, points], BAND_WORDS


def _told(plot: Plot, units: str) -> list[Any]:
    found = [altair.Tooltip("label:N", title="candidate")]
    for axis, name in (("x", plot.x), ("y", plot.y)):
        form = f",.{column(name).digits}f"
        found += [
            altair.Tooltip(f"{axis}:Q", title=heading_of(name, units), format=form),
            altair.Tooltip(f"{axis}_low:Q", title="low, 10 %", format=form),
            altair.Tooltip(f"{axis}_high:Q", title="high, 90 %", format=form),
        ]
    return found


def _bars(
    result: Result, plot: Plot, units: str, colours: look.Palette
) -> tuple[list[altair.Chart], str]:
    drawn = bars(result, plot, units)
    frame = pd.DataFrame(
        {
            "words": [b.words for b in drawn],
            "long": [b.long for b in drawn],
            "way": [b.way for b in drawn],
        }
    )
    order = frame["words"].tolist()
    bar: altair.Chart = (
        altair.Chart(frame)
        .mark_bar(color=colours.as_she_is.line)
        .encode(
            x=altair.X("long:Q", title=heading_of(plot.x, units)),
            y=altair.Y(
                "words:N",
                sort=order,
                title=None,
                axis=altair.Axis(labelLimit=WORDS_WIDE),
            ),
            tooltip=[
                altair.Tooltip("words:N", title="input"),
                altair.Tooltip("long:Q", title=heading_of(plot.x, units), format=".0f"),
                altair.Tooltip("way:N", title="more of it moves the difference"),
            ],
        )
    )
    return [bar], ""
