"""Drawings on screen: one Altair chart for any Drawing, to scale, on a light or a dark page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import altair
import pandas as pd

from perf.faces import look
from perf.studies.mount.drawings import Drawing, Stroke

WIDE = 680  # pixels; the height follows from the scale
HEAVY = 2.6  # times as wide: what a hand can change
BAND = 0.22  # strength of the band's fill
ALIGN: dict[str, Any] = {"start": "left", "end": "right", "middle": "center"}


@dataclass(frozen=True)
class Pen:
    """How a role is drawn: line colour, fill (none where empty), line width in pixels, order."""

    line: str
    fill: str
    width: float
    order: int


def pens(colours: look.Palette) -> dict[str, Pen]:
    """The pen of every role on one kind of page."""
    changed, own = colours.changed.line, colours.as_she_is.line
    return {
        "band": Pen(own, own, 0.5, 0),
        "hull": Pen(colours.ink, "", 1.4, 1),
        "leg": Pen(colours.quiet, colours.grid, 1.1, 2),
        "bracket": Pen(changed, "", 1.2, 3),
        "water": Pen(own, "", 1.6, 4),
        "wet": Pen(colours.caution.text, "", 2.2, 5),
        "shaft": Pen(colours.quiet, "", 1.0, 6),
        "leader": Pen(colours.quiet, "", 0.7, 7),
        "plate": Pen(changed, "", 1.2, 8),
        "propeller": Pen(changed, "", 1.2, 9),
    }


def view(one: Drawing, units: str, *, dark: bool = False, wide: int = WIDE) -> altair.LayerChart:
    """One drawing as a chart to scale, in one system of units; the background is transparent.

    Show it at its own size: stretched to a container it would no longer be to scale.
    """
    colours = look.DARK if dark else look.LIGHT
    layers = [*_strokes(one, colours), *_dots(one, colours), *_words(one, units, colours)]
    layers += _bar(one, units, colours)
    share = (one.high - one.low) / (one.right - one.left)
    chart: Any = altair.layer(*layers).properties(
        title=altair.TitleParams(one.title, color=colours.ink, anchor="start"),
        width=wide,
        height=round(wide * share),
        background="transparent",
        autosize=altair.AutoSizeParams(type="pad"),
        description=described(one, units),
    )  # fmt: skip
    made: altair.LayerChart = chart.configure_view(stroke=None)
    return made


def described(one: Drawing, units: str) -> str:
    """The drawing in words, for those who hear the page instead of seeing it."""
    said = "; ".join(note.words.spoken(units) for note in one.notes)
    return f"{one.title}, drawn to scale, {one.facing}: {said}. {one.about}"


def _places(one: Drawing) -> dict[str, Any]:
    def axis(low: float, high: float) -> altair.Scale:
        return altair.Scale(domain=[low, high], nice=False, zero=False)

    return {
        "x": altair.X("x:Q", axis=None, scale=axis(one.left, one.right)),
        "y": altair.Y("y:Q", axis=None, scale=axis(one.low, one.high)),
    }


def _strokes(one: Drawing, colours: look.Palette) -> Iterator[altair.Chart]:
    """One layer per kind of stroke, the band lowest."""
    kinds: dict[tuple[str, bool, bool, bool], list[Stroke]] = {}
    for stroke in one.strokes:
        key = (stroke.role, stroke.closed, stroke.heavy, stroke.dashed)
        kinds.setdefault(key, []).append(stroke)
    known = pens(colours)
    for key in sorted(kinds, key=lambda kind: known[kind[0]].order):
        role, closed, heavy, dashed = key
        pen = known[role]
        mark: dict[str, Any] = {"strokeWidth": pen.width * (HEAVY if heavy else 1.0)}
        mark |= {"color": pen.line, "strokeDash": list(look.DASHED) if dashed else [1, 0]}
        if closed:
            mark |= {"interpolate": "linear-closed", "fill": pen.fill or None}
        if role == "band":
            mark |= {"fillOpacity": BAND, "strokeOpacity": 0.5}
        yield (
            altair.Chart(_frame(kinds[key]))
            .mark_line(**mark)
            .encode(**_places(one), detail="piece:N", order="at:O", tooltip="label:N")
        )


def _frame(strokes: list[Stroke]) -> pd.DataFrame:
    rows = [
        (f"{piece}", at, x, y, stroke.label)
        for piece, stroke in enumerate(strokes)
        for at, (x, y) in enumerate(stroke.way)
    ]
    return pd.DataFrame(rows, columns=["piece", "at", "x", "y", "label"])


def _dots(one: Drawing, colours: look.Palette) -> Iterator[altair.Chart]:
    if not one.dots:
        return
    frame = pd.DataFrame(
        [(d.x, d.y, d.label, d.role) for d in one.dots], columns=["x", "y", "label", "role"]
    )
    shape = altair.Shape(
        "role:N",
        scale=altair.Scale(domain=["balance", "weight"], range=["diamond", "circle"]),
        legend=None,
    )
    yield (
        altair.Chart(frame)
        .mark_point(filled=True, size=60, color=colours.ink, opacity=1)
        .encode(**_places(one), shape=shape, tooltip="label:N")
    )


def _words(one: Drawing, units: str, colours: look.Palette) -> Iterator[altair.Chart]:
    for anchor in dict.fromkeys(note.anchor for note in one.notes):
        rows = [(n.x, n.y, n.words.spoken(units)) for n in one.notes if n.anchor == anchor]
        yield (
            altair.Chart(pd.DataFrame(rows, columns=["x", "y", "words"]))
            .mark_text(align=ALIGN[anchor], baseline="bottom", color=colours.ink, fontSize=11)
            .encode(**_places(one), text="words:N")
        )


def _bar(one: Drawing, units: str, colours: look.Palette) -> list[altair.Chart]:
    """The scale bar, in the lower right corner."""
    length, words = one.bars[units]
    ends = pd.DataFrame({"x": [one.right - length, one.right], "y": [one.low, one.low]})
    named = ends.iloc[[1]].assign(words=words)
    line = altair.Chart(ends).mark_line(
        color=colours.ink,
        strokeWidth=2,
        point={"shape": "stroke", "angle": 90, "color": colours.ink},
    )
    text = altair.Chart(named).mark_text(
        align="right", baseline="bottom", dy=-5, color=colours.ink, fontSize=12
    )
    return [line.encode(**_places(one)), text.encode(**_places(one), text="words:N")]
