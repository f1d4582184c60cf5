"""A Result on paper: its plots as matplotlib figures that read in black and white."""

from __future__ import annotations

import io
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

from perf.base.columns import column
from perf.base.files import write_whole
from perf.base.results import Plot, Result
from perf.faces import look
from perf.faces.curves import Curve, curves, flags, notes, shades
from perf.faces.printed import spots_paper
from perf.faces.printed.axes import empty, legend_under, named, quiet, upright
from perf.faces.printed.scale import BODY, GRID, LINE_IN, MARK, PAGE_IN, SMALL, STROKE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ENDINGS = (".png", ".svg", ".pdf")
INK = look.LIGHT
HIGH_IN, LEGEND_IN = 3.1, 0.4  # a plot, room for its legend
LETTERS = 92  # of a line of the answer
PALE = 0.25  # strength of what lies behind the lines
FLAG_POINTS = 12.0  # a row of words over the plot
MOST_COLUMNS = 3
DOTS_PER_INCH = 160


def figure(result: Result, plot: Plot, units: str) -> Figure:
    """One plot of a result as a figure, in one system of units."""
    from matplotlib.figure import Figure

    page = Figure(figsize=(PAGE_IN, HIGH_IN + LEGEND_IN), facecolor="white", layout="constrained")
    _draw(page.add_subplot(), result, plot, units)
    return page


def save_figure(result: Result, path: str | Path, units: str) -> None:
    """Write all plots of a result, stacked under its answer, as .png, .svg or .pdf.

    Raises
    ------
    ValueError
        If the ending is another one or the result has no plots.
    OSError
        If the file cannot be written.
    """
    from matplotlib.figure import Figure

    path = Path(path)
    check_ending(path)
    if not result.plots:
        raise ValueError("this result has no plots to save")
    said = textwrap.fill(result.shown(units).answer, LETTERS)
    count = len(result.plots)
    page = Figure(
        figsize=(PAGE_IN, HIGH_IN * count + LINE_IN * (said.count("\n") + 2)),
        facecolor="white",
        layout="constrained",
    )
    page.suptitle(f"{result.boat}\n{said}", x=0.01, ha="left", fontsize=BODY.points, color=INK.ink)
    for place, plot in enumerate(result.plots, start=1):
        _draw(page.add_subplot(count, 1, place), result, plot, units)
    write_picture(page, path)


def write_picture(page: Figure, path: Path) -> None:
    """Write a figure; without a date the same result gives the same file."""
    stamp = {".png": {}, ".svg": {"Date": None}, ".pdf": {"CreationDate": None}}[
        path.suffix.lower()
    ]
    store = io.BytesIO()
    kind = path.suffix.lower().removeprefix(".")
    page.savefig(store, format=kind, dpi=DOTS_PER_INCH, metadata=stamp)
    write_whole(path, store.getvalue())


def check_ending(path: Path) -> None:
    """Refuse a file ending that is no picture; ValueError says which ones are."""
    if path.suffix.lower() not in ENDINGS:
        raise ValueError(f"a figure is saved as {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}")


def _draw(axes: Axes, result: Result, plot: Plot, units: str) -> None:
    if plot.style != "curves":
        spots_paper.draw(axes, result, plot, units)
        return
    drawn = curves(result, plot, units)
    for shade in shades(plot, units):
        axes.axvspan(shade.low, shade.high, color=INK.caution.line, alpha=PALE, zorder=0)
    for curve in drawn:
        _band(axes, curve)
    for curve in drawn:
        _line(axes, curve)
    for curve in drawn:
        _marks(axes, curve)
    levels = _rules(axes, plot, drawn, units)
    _legend(axes, plot, drawn)
    upright(axes, plot, units)
    named(axes, plot.title, FLAG_POINTS * (levels + 0.5))
    quiet(axes, plot, units)
    if any(curve.pieces for curve in drawn):
        _from_zero(axes, plot)
    else:
        empty(axes)


def _band(axes: Axes, curve: Curve) -> None:
    style, tone = look.STYLES[curve.line.role], INK.tone(curve.line.role)
    for piece in curve.bands:
        at = piece.points
        axes.fill_between(
            curve.x[at],
            curve.floor[at],
            curve.roof[at],
            facecolor=(tone.line, style.band),
            edgecolor=(tone.line, PALE),
            hatch=style.hatch or None,
            linewidth=GRID,
        )


def _line(axes: Axes, curve: Curve) -> None:
    style, tone = look.STYLES[curve.line.role], INK.tone(curve.line.role)
    for piece in curve.pieces:
        axes.plot(
            curve.x[piece.points],
            curve.y[piece.points],
            color=tone.line,
            linewidth=style.width,
            linestyle=(0, look.DASHED_PAPER) if piece.dashed else "-",
            dash_capstyle="butt",
        )


def _marks(axes: Axes, curve: Curve) -> None:
    tone = INK.tone(curve.line.role)
    some = curve.marked
    shape = look.SHAPES[curve.mark or "circle"][1]
    axes.plot(
        curve.x[some],
        curve.y[some],
        linestyle="",
        marker=shape,
        markersize=MARK,
        markerfacecolor="white",
        markeredgecolor=tone.line,
        markeredgewidth=STROKE,
    )


def _rules(axes: Axes, plot: Plot, drawn: tuple[Curve, ...], units: str) -> int:
    """Draw the marks as dotted rules with their words above the plot; how many rows of words."""
    named = flags(plot, drawn, units)
    for flag in named:
        axes.axvline(flag.x, color=INK.quiet, linewidth=1.0, linestyle=(0, look.DOTTED), zorder=1)
        axes.annotate(
            flag.label,
            (flag.x, 1.0),
            xycoords=("data", "axes fraction"),
            xytext=(0, FLAG_POINTS * (flag.level + PALE)),
            textcoords="offset points",
            ha="right" if flag.late else "left",
            fontsize=SMALL.points,
            color=INK.quiet,
        )
    return max((flag.level + 1 for flag in named), default=0)


def _legend(axes: Axes, plot: Plot, drawn: tuple[Curve, ...]) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    keys: list[Line2D | Patch] = []
    for curve in drawn:
        style, tone = look.STYLES[curve.line.role], INK.tone(curve.line.role)
        keys.append(
            Line2D(
                [],
                [],
                color=tone.line,
                linewidth=style.width,
                marker=look.SHAPES[curve.mark][1],
                markerfacecolor="white",
                markersize=MARK,
                label=curve.line.label,
            )
        )
    signs: dict[str, Line2D | Patch] = {
        look.BAND_WORDS: Patch(facecolor=INK.quiet, alpha=PALE),
        look.HALF_WORDS: Line2D([], [], linestyle=""),
        look.DASHED_WORDS: Line2D([], [], color=INK.quiet, linestyle=(0, look.DASHED_PAPER)),
    }
    keys += [Patch(facecolor=INK.caution.line, alpha=PALE, label=s.label) for s in plot.shaded]
    for words in notes(drawn):
        signs[words].set_label(words)
        keys.append(signs[words])
    legend = legend_under(
        axes, 2 if look.HALF_WORDS in notes(drawn) else MOST_COLUMNS, handles=keys
    )
    for words_beside in legend.get_texts():  # what a person named is words, never a formula
        words_beside.set_parse_math(False)


def _from_zero(axes: Axes, plot: Plot) -> None:
    low, high = axes.get_ylim()
    if column(plot.y).kind != "angle" and plot.from_zero and low < high:
        axes.set_ylim(bottom=min(low, 0.0), top=max(high, 0.0))
