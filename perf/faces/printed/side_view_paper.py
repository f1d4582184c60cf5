"""Drawings on paper: matplotlib figures to scale that read in black and white."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from perf.faces import look
from perf.faces.printed.axes import named
from perf.faces.printed.paper import check_ending, write_picture
from perf.faces.printed.scale import (
    BODY,
    GRID,
    HEAVY_STROKE,
    LEAST,
    LINE_IN,
    MARK,
    PAGE_IN,
    SMALL,
    STROKE,
)
from perf.studies.mount.drawings import Drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK = look.LIGHT
MARGIN_IN = 0.15
HEAD_IN, FOOT_IN = 0.3, 0.45  # words over and under each drawing
LETTERS = 100  # of a line under a drawing or of the title


@dataclass(frozen=True)
class Pen:
    """How a role is drawn: line colour, fill (none where empty), line width in points."""

    line: str
    fill: str
    width: float


# what stands later is drawn over what stands before
PENS = {
    "band": Pen(INK.as_she_is.line, INK.as_she_is.line, GRID),
    "hull": Pen(INK.ink, "#ffffff", STROKE),
    "leg": Pen(INK.quiet, "#e9ebe9", GRID),
    "bracket": Pen(INK.changed.line, "#f6e6dd", 1.0),
    "water": Pen(INK.as_she_is.line, "", STROKE),
    "plate": Pen(INK.changed.line, "", 1.0),
    "propeller": Pen(INK.changed.line, "", 1.0),
    "shaft": Pen(INK.quiet, "", GRID),
    "wet": Pen(INK.caution.text, "", HEAVY_STROKE),
    "leader": Pen(INK.quiet, "", GRID),
}
ORDER = {role: place for place, role in enumerate(PENS)}
DASHED = (0, (5, 3))
HEAVY = 2.6  # times as wide: what a hand can change
BAND = 0.22  # strength of the band's fill


def save_drawings(drawings: Sequence[Drawing], path: str | Path, units: str, title: str) -> None:
    """Write drawings, one under the other, as .png, .svg or .pdf.

    Raises
    ------
    ValueError
        For another ending.
    OSError
        If the file cannot be written.
    """
    path = Path(path)
    check_ending(path)
    write_picture(drawn(drawings, units, title), path)


def drawn(drawings: Sequence[Drawing], units: str, title: str = "") -> Figure:
    """Drawings as one figure, one under the other over the whole width, each with its scale bar."""
    from matplotlib.figure import Figure

    wide = PAGE_IN - 2 * MARGIN_IN
    heights = [wide * (one.high - one.low) / (one.right - one.left) for one in drawings]
    said = textwrap.fill(title, LETTERS)
    top = LINE_IN * (said.count("\n") + 2) if title else 0.0
    high = top + sum(heights) + (HEAD_IN + FOOT_IN) * len(heights)
    left = MARGIN_IN / PAGE_IN
    page = Figure(figsize=(PAGE_IN, high), facecolor="white")
    if title:
        page.text(left, 1.0 - MARGIN_IN / high, said, va="top", fontsize=BODY.points, color=INK.ink)
    for one, height in zip(drawings, heights, strict=True):
        top += HEAD_IN + height
        place = (left, 1.0 - top / high, wide / PAGE_IN, height / high)
        _draw(page.add_axes(place), one, units)
        top += FOOT_IN
    return page


def _draw(axes: Axes, one: Drawing, units: str) -> None:
    axes.set_aspect("equal")
    axes.set_xlim(one.left, one.right)
    axes.set_ylim(one.low, one.high)
    axes.axis("off")
    named(axes, one.title)
    for stroke in one.strokes:
        pen = PENS[stroke.role]
        wide = pen.width * (HEAVY if stroke.heavy else 1.0)
        x, y = zip(*stroke.way, strict=True)
        if stroke.closed:
            axes.fill(
                x, y, facecolor=pen.fill or "none", edgecolor=pen.line, linewidth=wide,
                alpha=BAND if stroke.role == "band" else 1.0, zorder=ORDER[stroke.role],
                hatch="///" if stroke.role == "band" else None,
            )  # fmt: skip
        else:
            axes.plot(
                x, y, color=pen.line, linewidth=wide, linestyle=DASHED if stroke.dashed else "-",
                zorder=ORDER[stroke.role],
            )  # fmt: skip
    for dot in one.dots:
        mark = "D" if dot.role == "balance" else "o"
        axes.plot([dot.x], [dot.y], marker=mark, markersize=MARK, color=INK.ink, zorder=len(PENS))
    _words(axes, one, units)
    _bar(axes, one, units)


def _words(axes: Axes, one: Drawing, units: str) -> None:
    sides = {"start": "left", "end": "right", "middle": "center"}
    for note in one.notes:
        axes.annotate(
            note.words.spoken(units), (note.x, note.y), ha=sides[note.anchor],
            fontsize=SMALL.points, color=INK.ink, zorder=len(PENS),
        )  # fmt: skip
    axes.annotate(
        textwrap.fill(one.about, LETTERS),
        (0.0, -0.02),
        xycoords="axes fraction",
        va="top",
        fontsize=LEAST.points,
        color=INK.quiet,
    )


def _bar(axes: Axes, one: Drawing, units: str) -> None:
    """The scale bar, under the picture at its right."""
    length, words = one.bars[units]
    ends = ((one.right, one.low), (one.right - length, one.low))
    axes.annotate(
        "",
        *ends,
        arrowprops={
            "arrowstyle": "|-|,widthA=0.25,widthB=0.25",
            "color": INK.ink,
            "shrinkA": 0,
            "shrinkB": 0,
        },
    )
    axes.annotate(
        words, (one.right, one.low), xytext=(0, MARK), textcoords="offset points", ha="right",
        fontsize=SMALL.points, color=INK.ink,
    )  # fmt: skip
