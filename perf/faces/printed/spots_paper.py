"""Spots with their bands, and bars, on paper: told apart by mark and word, not by colour."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

import numpy as np

from perf.base.results import Plot, Result, heading_of
from perf.faces import look
from perf.faces.spots import Spot, bars, spots

if TYPE_CHECKING:
    from matplotlib.axes import Axes

INK = look.LIGHT
LONG_LABEL = 16  # letters: three such labels do not stand side by side
WORDS_WIDE = 44  # letters of a bar's words on one line


def draw(axes: Axes, result: Result, plot: Plot, units: str) -> None:
    """One plot of spots or bars on one pair of axes."""
    if plot.style == "bars":
        _bars(axes, result, plot, units)
    else:
        _spots(axes, result, plot, units)
        axes.set_ylabel(heading_of(plot.y, units), fontsize=9, color=INK.ink)
        axes.grid(True, color=INK.grid, linewidth=0.7)
    axes.set_xlabel(heading_of(plot.x, units), fontsize=9, color=INK.ink)
    axes.set_title(plot.title, loc="left", fontsize=10.5, color=INK.ink, fontweight="bold", pad=8)
    axes.set_facecolor("none")
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(INK.quiet)
    axes.tick_params(labelsize=8, color=INK.quiet, labelcolor=INK.ink)


def _spots(axes: Axes, result: Result, plot: Plot, units: str) -> None:
    drawn = spots(result, plot, units)
    if not drawn:
        axes.text(
            0.5, 0.5, look.EMPTY_WORDS, transform=axes.transAxes, ha="center", color=INK.quiet
        )
        axes.set_xticks([])
        axes.set_yticks([])
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
            markersize=8.0,
            markerfacecolor=tone.line if spot.line.role == "as she is" else "white",
            markeredgecolor=tone.line,
            markeredgewidth=1.6,
            label=spot.line.label,
            zorder=4,
        )
    longest = max(len(spot.line.label) for spot in drawn)
    axes.legend(
        loc="upper left",
        bbox_to_anchor=(0.0, -0.2),  # under the words of the horizontal axis
        borderaxespad=0.0,
        ncols=3 if longest < LONG_LABEL else 2,
        frameon=False,
        fontsize=8,
        labelcolor=INK.ink,
        handletextpad=0.2,
    )
    axes.margins(0.08)


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
                x, y, color=tone, linewidth=1.0, alpha=0.75, marker="|" if along else "_",
                markersize=5.0, zorder=2,
            )  # fmt: skip


def _bars(axes: Axes, result: Result, plot: Plot, units: str) -> None:
    drawn = bars(result, plot, units)
    places = np.arange(len(drawn))
    axes.barh(
        places,
        [bar.long for bar in drawn],
        height=0.62,
        color=INK.as_she_is.line,
        edgecolor=INK.ink,
        linewidth=0.5,
    )
    axes.set_yticks(places, [textwrap.fill(bar.words, WORDS_WIDE) for bar in drawn])
    axes.invert_yaxis()
    axes.grid(True, axis="x", color=INK.grid, linewidth=0.7)
