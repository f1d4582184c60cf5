"""Spots with their bands, and bars, on paper: told apart by mark and word, not by colour."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

import numpy as np

from perf.base.results import Plot, Result
from perf.faces import look
from perf.faces.printed.axes import empty, legend_under, named, quiet, upright
from perf.faces.printed.scale import BIG_MARK, GRID, HEAVY_STROKE, MARK
from perf.faces.spots import Spot, bars, spots

if TYPE_CHECKING:
    from matplotlib.axes import Axes

INK = look.LIGHT
LONG_LABEL = 16  # letters: three such labels do not stand side by side
MOST_COLUMNS = 3
WORDS_WIDE = 44  # letters of a bar's words on one line
BAR, BAND = 0.62, 0.75  # thickness of a bar of its place, strength of a band's ink
ROUND = 0.08  # room round the spots, of their spread


def draw(axes: Axes, result: Result, plot: Plot, units: str) -> None:
    """One plot of spots or bars on one pair of axes."""
    named(axes, plot.title)
    if plot.style == "bars":
        quiet(axes, plot, units, grid="x")
        _bars(axes, result, plot, units)
    else:
        quiet(axes, plot, units)
        upright(axes, plot, units)
        _spots(axes, result, plot, units)


def _spots(axes: Axes, result: Result, plot: Plot, units: str) -> None:
    drawn = spots(result, plot, units)
    if not drawn:
        empty(axes)
        return
    for spot in drawn:
        _bands(axes, spot)
    for spot in drawn:
        tone = INK.tone(spot.line.role)
        axes.plot(
            [spot.x],
            [spot.y],
            linestyle="",
            marker=look.SHAPES[spot.mark][1],
            markersize=BIG_MARK,
            markerfacecolor=tone.line if spot.line.role == "as she is" else "white",
            markeredgecolor=tone.line,
            markeredgewidth=HEAVY_STROKE,
            label=spot.line.label,
        )
    longest = max(len(spot.line.label) for spot in drawn)
    legend_under(axes, MOST_COLUMNS if longest < LONG_LABEL else 2)
    axes.margins(ROUND)


def _bands(axes: Axes, spot: Spot) -> None:
    """Thin bars with ends, both ways."""
    tone = INK.tone(spot.line.role).line
    for ends, along in (
        ((spot.x_low, spot.x_high), True),
        ((spot.y_low, spot.y_high), False),
    ):
        if np.isfinite(ends).all():
            x = ends if along else (spot.x, spot.x)
            y = (spot.y, spot.y) if along else ends
            axes.plot(
                x, y, color=tone, linewidth=1.0, alpha=BAND, marker="|" if along else "_",
                markersize=MARK,
            )  # fmt: skip


def _bars(axes: Axes, result: Result, plot: Plot, units: str) -> None:
    drawn = bars(result, plot, units)
    places = np.arange(len(drawn))
    axes.barh(
        places,
        [bar.long for bar in drawn],
        height=BAR,
        color=INK.as_she_is.line,
        edgecolor=INK.ink,
        linewidth=GRID,
    )
    axes.set_yticks(places, [textwrap.fill(bar.words, WORDS_WIDE) for bar in drawn])
    axes.invert_yaxis()
