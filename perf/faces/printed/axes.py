"""What all pictures on paper share: words, a quiet frame, a legend under the picture."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from perf.base.results import Plot, heading_of
from perf.faces import look
from perf.faces.printed.scale import BODY, GRID, HEADING, SMALL

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.legend import Legend

INK = look.LIGHT
UNDER = (0.0, -0.2)  # of the picture: under the words of the horizontal axis


def named(axes: Axes, words: str, pad: float | None = None) -> None:
    """The name of a picture, over it at its left."""
    axes.set_title(
        words, loc="left", fontsize=HEADING.points, color=INK.ink, fontweight="bold", pad=pad
    )


def quiet(axes: Axes, plot: Plot, units: str, grid: str = "both") -> None:
    """Words of the horizontal axis and a frame that keeps in the background.

    grid : the axis whose places have lines, both unless it is x.
    """
    axes.set_xlabel(heading_of(plot.x, units), fontsize=BODY.points, color=INK.ink)
    axes.set_facecolor("none")
    axes.grid(True, axis="x" if grid == "x" else "both", color=INK.grid, linewidth=GRID)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(INK.quiet)
    axes.tick_params(labelsize=SMALL.points, color=INK.quiet, labelcolor=INK.ink)


def upright(axes: Axes, plot: Plot, units: str) -> None:
    """Words of the vertical axis."""
    axes.set_ylabel(heading_of(plot.y, units), fontsize=BODY.points, color=INK.ink)


def legend_under(axes: Axes, columns: int, **more: Any) -> Legend:
    """The legend, under the picture."""
    return axes.legend(
        loc="upper left",
        bbox_to_anchor=UNDER,
        borderaxespad=0.0,
        ncols=columns,
        frameon=False,
        fontsize=SMALL.points,
        labelcolor=INK.ink,
        **more,
    )


def empty(axes: Axes) -> None:
    """Say so where there is nothing to see."""
    axes.text(0.5, 0.5, look.EMPTY_WORDS, transform=axes.transAxes, ha="center", color=INK.quiet)
    axes.set_xticks([])
    axes.set_yticks([])
