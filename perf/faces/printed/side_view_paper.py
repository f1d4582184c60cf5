"""Drawings on paper: matplotlib figures to scale that read in black and white."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from perf.base.files import write_whole
from perf.faces import look
from perf.faces.printed.paper import DOTS_PER_INCH, check_ending
from perf.studies.mount.drawings import Drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK = look.LIGHT
WIDE_IN, MARGIN_IN = 7.2, 0.15  # a page with margins
TITLE_IN, HEAD_IN, FOOT_IN = 0.75, 0.3, 0.45  # words over the page, over and under each drawing
LETTERS = 100  # of a line under a drawing or of the title


@dataclass(frozen=True)
class Pen:
    """How a role is drawn: line colour, fill (none where empty), line width in points, order."""

    line: str
    fill: str
    width: float
    order: int


PENS = {
    "hull": Pen(INK.ink, "#ffffff", 1.1, 3),
    "water": Pen(INK.as_she_is.line, "", 1.3, 5),
    "band": Pen(INK.as_she_is.line, INK.as_she_is.line, 0.5, 2),
    "leg": Pen(INK.quiet, "#e9ebe9", 0.9, 4),
    "bracket": Pen(INK.changed.line, "#f6e6dd", 1.0, 4),
    "plate": Pen(INK.changed.line, "", 1.0, 6),
    "propeller": Pen(INK.changed.line, "", 1.0, 6),
    "shaft": Pen(INK.quiet, "", 0.8, 6),
    "leader": Pen(INK.quiet, "", 0.5, 7),
    "wet": Pen(INK.caution.text, "", 1.6, 6),
}
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
    page = drawn(drawings, units, title)
    stamp = {".png": {}, ".svg": {"Date": None}, ".pdf": {"CreationDate": None}}[
        path.suffix.lower()
    ]
    store = io.BytesIO()
    kind = path.suffix.lower().removeprefix(".")
    page.savefig(store, format=kind, dpi=DOTS_PER_INCH, metadata=stamp)
    write_whole(path, store.getvalue())


def drawn(drawings: Sequence[Drawing], units: str, title: str = "") -> Figure:
    """Drawings as one figure, one under the other over the whole width, each with its scale bar."""
    from matplotlib.figure import Figure

    wide = WIDE_IN - 2 * MARGIN_IN
    heights = [wide * (one.high - one.low) / (one.right - one.left) for one in drawings]
    top = TITLE_IN if title else 0.0
    high = top + sum(heights) + (HEAD_IN + FOOT_IN) * len(heights)
    page = Figure(figsize=(WIDE_IN, high), facecolor="white")
    if title:
        said = textwrap.fill(title, LETTERS)
        page.text(
            MARGIN_IN / WIDE_IN, 1.0 - 0.12 / high, said, va="top", fontsize=9.5, color=INK.ink
        )
    for one, height in zip(drawings, heights, strict=True):
        top += HEAD_IN + height
        place = (MARGIN_IN / WIDE_IN, 1.0 - top / high, wide / WIDE_IN, height / high)
        _draw(page.add_axes(place), one, units)
        top += FOOT_IN
    return page


def _draw(axes: Axes, one: Drawing, units: str) -> None:
    axes.set_aspect("equal")
    axes.set_xlim(one.left, one.right)
    axes.set_ylim(one.low, one.high)
    axes.axis("off")
    axes.set_title(one.title, loc="left", fontsize=10.5, color=INK.ink, fontweight="bold")
    for stroke in one.strokes:
        pen = PENS[stroke.role]
        wide = pen.width * (HEAVY if stroke.heavy else 1.0)
        x, y = zip(*stroke.way, strict=True)
        if stroke.closed:
            axes.fill(
                x, y, facecolor=pen.fill or "none", edgecolor=pen.line, linewidth=wide,
                alpha=BAND if stroke.role == "band" else 1.0, zorder=pen.order,
                hatch="///" if stroke.role == "band" else None,
            )  # fmt: skip
        else:
            style = (0, (5, 3)) if stroke.dashed else "-"
            axes.plot(x, y, color=pen.line, linewidth=wide, linestyle=style, zorder=pen.order)
    for dot in one.dots:
        mark = "D" if dot.role == "balance" else "o"
        axes.plot([dot.x], [dot.y], marker=mark, markersize=5, color=INK.ink, zorder=8)
    _words(axes, one, units)
    _bar(axes, one, units)


def _words(axes: Axes, one: Drawing, units: str) -> None:
    sides = {"start": "left", "end": "right", "middle": "center"}
    for note in one.notes:
        axes.annotate(
            note.words.spoken(units), (note.x, note.y), ha=sides[note.anchor], fontsize=8,
            color=INK.ink, zorder=9,
        )  # fmt: skip
    axes.annotate(
        textwrap.fill(one.about, LETTERS),
        (0.0, -0.02),
        xycoords="axes fraction",
        va="top",
        fontsize=6.5,
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
        words, (one.right, one.low), xytext=(0, 4), textcoords="offset points", ha="right",
        fontsize=8, color=INK.ink,
    )  # fmt: skip
