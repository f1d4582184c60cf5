"""Drawings on screen: one Vega-Lite specification for any Drawing, to scale, on a light or a dark page.

Written out as plain data: a drawing is new at every move of a slider, and having it built and
checked by a library takes longer than the study behind it. A test has every drawing checked.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from perf.faces import look
from perf.studies.mount.drawings import Drawing, Stroke

WIDE = 680  # pixels; the height follows from the scale
HEAVY = 2.6  # times as wide: what a hand can change
BAND = 0.22  # strength of the band's fill
SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"
ALIGN: dict[str, str] = {"start": "left", "end": "right", "middle": "center"}

Layer = dict[str, Any]


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


def view(one: Drawing, units: str, *, dark: bool = False, wide: int = WIDE) -> Layer:
    """One drawing as a specification to scale, in one system of units; the background is transparent.

    Show it at its own size: stretched to a container it would no longer be to scale.
    """
    colours = look.DARK if dark else look.LIGHT
    share = (one.high - one.low) / (one.right - one.left)
    layers = [*_strokes(one, colours), *_dots(one, colours), *_words(one, units, colours)]
    return {
        "$schema": SCHEMA,
        "title": {"text": one.title, "color": colours.ink, "anchor": "start"},
        "description": described(one, units),
        "width": wide,
        "height": round(wide * share),
        "background": "transparent",
        "autosize": {"type": "pad"},
        "config": {"view": {"stroke": None}},
        "layer": [*layers, *_bar(one, units, colours)],
    }


def described(one: Drawing, units: str) -> str:
    """The drawing in words, for those who hear the page instead of seeing it."""
    said = "; ".join(note.words.spoken(units) for note in one.notes)
    return f"{one.title}, drawn to scale, {one.facing}: {said}. {one.about}"


def _layer(one: Drawing, rows: list[Layer], mark: Layer, **channels: Layer) -> Layer:
    """One layer with its own rows, placed on the scales of the whole drawing."""
    places = {"x": (one.left, one.right), "y": (one.low, one.high)}
    for name, ends in places.items():
        scale = {"domain": list(ends), "nice": False, "zero": False}
        channels[name] = {**_field(name, "quantitative"), "axis": None, "scale": scale}
    return {"data": {"values": rows}, "mark": mark, "encoding": channels}


def _field(name: str, kind: str = "nominal") -> Layer:
    return {"field": name, "type": kind}


def _strokes(one: Drawing, colours: look.Palette) -> Iterator[Layer]:
    """One layer per kind of stroke, the band lowest."""
    kinds: dict[tuple[str, bool, bool, bool], list[Stroke]] = {}
    for stroke in one.strokes:
        key = (stroke.role, stroke.closed, stroke.heavy, stroke.dashed)
        kinds.setdefault(key, []).append(stroke)
    known = pens(colours)
    for key in sorted(kinds, key=lambda kind: known[kind[0]].order):
        role, closed, heavy, dashed = key
        pen = known[role]
        mark: Layer = {"type": "line", "strokeWidth": pen.width * (HEAVY if heavy else 1.0)}
        mark |= {"color": pen.line, "strokeDash": list(look.DASHED) if dashed else [1, 0]}
        if closed:
            mark |= {"interpolate": "linear-closed", "fill": pen.fill or None}
        if role == "band":
            mark |= {"fillOpacity": BAND, "strokeOpacity": 0.5}
        yield _layer(
            one, _places(kinds[key]), mark, detail=_field("piece"), order=_field("at", "ordinal"),
            tooltip=_field("label"),
        )  # fmt: skip


def _places(strokes: list[Stroke]) -> list[Layer]:
    return [
        {"piece": f"{piece}", "at": at, "x": float(x), "y": float(y), "label": stroke.label}
        for piece, stroke in enumerate(strokes)
        for at, (x, y) in enumerate(stroke.way)
    ]


def _dots(one: Drawing, colours: look.Palette) -> Iterator[Layer]:
    if not one.dots:
        return
    rows = [{"x": d.x, "y": d.y, "label": d.label, "role": d.role} for d in one.dots]
    mark = {"type": "point", "filled": True, "size": 60, "color": colours.ink, "opacity": 1}
    scale = {"domain": ["balance", "weight"], "range": ["diamond", "circle"]}
    shape = {**_field("role"), "scale": scale, "legend": None}
    yield _layer(one, rows, mark, shape=shape, tooltip=_field("label"))


def _words(one: Drawing, units: str, colours: look.Palette) -> Iterator[Layer]:
    for anchor in dict.fromkeys(note.anchor for note in one.notes):
        rows = [
            {"x": note.x, "y": note.y, "words": note.words.spoken(units)}
            for note in one.notes
            if note.anchor == anchor
        ]
        mark = {"type": "text", "align": ALIGN[anchor], "baseline": "bottom"}
        yield _layer(
            one, rows, {**mark, "color": colours.ink, "fontSize": 11}, text=_field("words")
        )


def _bar(one: Drawing, units: str, colours: look.Palette) -> list[Layer]:
    """The scale bar, in the lower right corner."""
    length, words = one.bars[units]
    start, end = ({"x": x, "y": one.low} for x in (one.right - length, one.right))
    ends = {"shape": "stroke", "angle": 90, "color": colours.ink}
    line = {"type": "line", "color": colours.ink, "strokeWidth": 2, "point": ends}
    text = {"type": "text", "align": "right", "baseline": "bottom", "dy": -5, "fontSize": 12}
    return [
        _layer(one, [start, end], line),
        _layer(
            one, [{**end, "words": words}], {**text, "color": colours.ink}, text=_field("words")
        ),
    ]
