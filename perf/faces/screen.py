"""A Plot on screen: one Altair chart for any Plot, on a light or a dark page."""

from __future__ import annotations

from copy import copy
from dataclasses import replace
from functools import lru_cache
from typing import Any

import altair
import numpy as np
import pandas as pd

from perf.base.columns import column
from perf.base.results import Plot, Result, Shade, heading_of
from perf.faces import look, spots_screen
from perf.faces.curves import Curve, Flag, curves, flags, notes, shades

HIGH = 320  # pixels with title, axis and margins
ROW = 14  # pixels of one row of words above the plot
LEFT = 12  # pixels left of the words beside the vertical axis, which are measured a little short
COLUMNS = ("part", "line", "piece", "x", "y", "low", "high", "marked")
NOTHING = pd.DataFrame(columns=list(COLUMNS))  # shared by all layers until the data comes


class ReadyChart(altair.LayerChart):
    """A chart whose specification is already written out: only its data is new.

    Writing out and checking a specification takes some thirty times as long as filling in the
    data, and a page draws the same charts again at every move of a slider.
    """

    @classmethod
    def of(cls, template: ReadyChart, spec: dict[str, Any], data: pd.DataFrame) -> ReadyChart:
        """The template with data; a copy changed afterwards is written out in full again."""
        # the constructor would copy and check every layer again; plain assignment to a chart
        # makes a property of the drawing, hence the look into its insides
        made = copy(template)
        vars(made).update(_kwds={**vars(template)["_kwds"], "data": data}, _ready=spec)
        return made

    def to_dict(self, *args: Any, **kwargs: Any) -> dict[str, Any]:
        """The specification, its data as the data transformer in force hands it over."""
        ready = vars(self).get("_ready")
        if ready is None:
            return super().to_dict(*args, **kwargs)
        handed_over: Any = altair.data_transformers.get()
        return {**ready, "data": handed_over(self.data)}


def chart(result: Result, plot: Plot, units: str, *, dark: bool = False) -> altair.LayerChart:
    """One plot of a result as a chart, in one system of units.

    dark chooses the colours for a dark page; the background is transparent either way.
    """
    if plot.style != "curves":
        return spots_screen.chart(result, plot, units, dark=dark)
    drawn = curves(result, plot, units)
    named = flags(plot, drawn, units)
    levels = max((flag.level + 1 for flag in named), default=0)
    empty = not any(curve.pieces for curve in drawn)
    template, spec = _template(_bones(plot), units, dark, levels, notes(drawn), empty)
    return ReadyChart.of(template, spec, _frame(drawn, named, shades(plot, units)))


def described(plot: Plot, units: str) -> str:
    """The chart in one sentence, for those who hear the page instead of seeing it."""
    lines = ", ".join(line.label for line in plot.lines)
    x, y = heading_of(plot.x, units), heading_of(plot.y, units)
    return f"{plot.title}: {y} against {x}, for {lines}. The same numbers stand in the table."


def _frame(
    drawn: tuple[Curve, ...], named: tuple[Flag, ...], shaded: tuple[Shade, ...]
) -> pd.DataFrame:
    """Everything to be drawn in one table, told apart by its part: band, line, point, rule, shade."""
    parts: list[tuple[str, str, str, Any, Any, Any, Any, Any]] = []
    for number, curve in enumerate(drawn):
        label, nothing = curve.line.label, np.full(curve.x.size, np.nan)
        never = np.zeros(curve.x.size, dtype=bool)
        for count, piece in enumerate(curve.bands):
            at, name = piece.points, f"{number}-{count}"
            low, high = curve.floor[at], curve.roof[at]
            parts.append(("band", label, name, curve.x[at], nothing[at], low, high, never[at]))
        for count, piece in enumerate(curve.pieces):
            at, name = piece.points, f"{number}-{count}"
            part, none = "dashed" if piece.dashed else "whole", nothing[at]
            parts.append((part, label, name, curve.x[at], curve.y[at], none, none, never[at]))
        seen = np.isfinite(curve.x) & np.isfinite(curve.y)
        x, y, low, high, marked = (
            curve.x[seen],
            curve.y[seen],
            curve.low[seen],
            curve.high[seen],
            curve.marked[seen],
        )
        parts.append(("point", label, f"{number}", x, y, low, high, marked))
    none = np.array([np.nan])
    for flag in named:
        x, late = np.array([flag.x]), np.array([flag.late])
        parts.append(("rule", flag.label, f"{flag.level}", x, none, none, none, late))
    for shade in shaded:
        low, high, no = np.array([shade.low]), np.array([shade.high]), np.array([False])
        parts.append(("shade", shade.label, "", low, none, none, high, no))
    sizes = [part[3].size for part in parts]
    columns: dict[str, Any] = {
        name: np.repeat(np.array([part[i] for part in parts], dtype=object), sizes)
        for i, name in enumerate(COLUMNS[:3])
    }
    for i, name in enumerate(COLUMNS[3:], start=3):
        columns[name] = np.concatenate([part[i] for part in parts]) if parts else []
    return pd.DataFrame(columns)


def _bones(plot: Plot) -> Plot:
    """A plot without the places of its marks and shades, which are data: every boat has her own."""
    return replace(plot, marks=(), shaded=(Shade(0.0, 0.0, ""),) if plot.shaded else ())


@lru_cache(maxsize=128)
def _template(
    plot: Plot, units: str, dark: bool, levels: int, words: tuple[str, ...], empty: bool
) -> tuple[ReadyChart, dict[str, Any]]:
    """The chart without its data, and written out; building it takes longer than filling it, so it is kept."""
    colours = look.DARK if dark else look.LIGHT
    layers = [_empty(colours)]
    if not empty:
        layers = [
            *_shade_layers(plot, units, colours),
            *_curve_layers(plot, units, colours),
            _points(plot, units, levels, colours),
            *_rules(levels, colours),
        ]
    title = altair.TitleParams(
        plot.title,
        subtitle=list(words) if look.HALF_WORDS in words else " · ".join(words),
        subtitleColor=colours.quiet,
        subtitlePadding=4,
        color=colours.ink,
        anchor="start",
        offset=10 if len(plot.lines) > 1 else 10 + ROW * levels,
    )
    made = ReadyChart(
        layer=layers,
        title=title,
        description=described(plot, units),
        width="container",
        height=HIGH,
        background="transparent",
        padding={"left": LEFT, "right": 5, "top": 5, "bottom": 5},
    )
    spec = made.to_dict(validate=False)  # tests check it against the schema
    return made, {key: value for key, value in spec.items() if key not in ("config", "datasets")}


def _empty(colours: look.Palette) -> altair.Chart:
    middle = {
        way: altair.value(altair.ExprRef(f"{size} / 2"))
        for way, size in (("x", "width"), ("y", "height"))
    }
    words: altair.Chart = altair.Chart(NOTHING).mark_text(
        text=look.EMPTY_WORDS, color=colours.quiet, fontSize=14, aria=False
    )
    return words.encode(**middle)


def _axes(plot: Plot, units: str, y: str) -> dict[str, Any]:
    plain = plot.from_zero and column(plot.y).kind != "angle"
    return {
        "x": altair.X(
            "x:Q",
            title=heading_of(plot.x, units),
            scale=altair.Scale(zero=False, nice=False),
            axis=altair.Axis(tickCount=8),
        ),
        "y": altair.Y(
            f"{y}:Q", title=heading_of(plot.y, units), scale=altair.Scale(zero=plain, nice=True)
        ),
    }


def _shade_layers(plot: Plot, units: str, colours: look.Palette) -> list[altair.Chart]:
    """Shaded stretches of the horizontal axis, their words at the foot."""
    if not plot.shaded:
        return []
    shade = altair.Chart(NOTHING).transform_filter(altair.datum.part == "shade")
    across = {"x": _axes(plot, units, "y")["x"], "x2": altair.X2(field="high")}
    block = shade.mark_rect(color=colours.caution.line, opacity=0.25).encode(**across)
    words = shade.mark_text(
        align="left", baseline="bottom", dx=3, dy=-4, color=colours.caution.text, fontSize=12
    ).encode(x=across["x"], y=altair.value(altair.ExprRef("height")), text="line:N")
    return [block, words]


def _curve_layers(plot: Plot, units: str, colours: look.Palette) -> list[altair.Chart]:
    def part(name: str, line: str) -> altair.Chart:
        here = (altair.datum.part == name) & (altair.datum.line == line)
        return altair.Chart(NOTHING).transform_filter(here)

    bands, strokes = [], []
    for line in plot.lines:
        style, tone = look.STYLES[line.role], colours.tone(line.role).line
        if line.band:
            bands.append(
                part("band", line.label)
                .mark_area(color=tone, opacity=style.band, stroke=tone, strokeWidth=0.5)
                .encode(**_axes(plot, units, "low"), y2=altair.Y2(field="high"), detail="piece:N")
            )
        for name, dash in (("whole", [1, 0]), ("dashed", list(look.DASHED))):
            strokes.append(
                part(name, line.label)
                .mark_line(color=tone, strokeWidth=style.width, strokeDash=dash)
                .encode(**_axes(plot, units, "y"), detail="piece:N")
            )
    return [*bands, *strokes]


def _points(plot: Plot, units: str, levels: int, colours: look.Palette) -> altair.Chart:
    """The marks along the lines, the legend they make, and what a pointer is told at each point."""
    labels = [line.label for line in plot.lines]
    shapes, tones = _shapes(plot), [colours.tone(line.role).line for line in plot.lines]
    several = len(labels) > 1
    legend = (
        altair.Legend(
            title=None,
            orient="top",
            direction="horizontal",
            offset=8 + ROW * levels,
            labelLimit=260,
            symbolSize=150,
            symbolStrokeWidth=2.2,
            symbolOpacity=1,
        )
        if several
        else None
    )
    hover = altair.selection_point(
        name="pointer", on="pointerover", nearest=True, clear="pointerout", empty=False
    )
    form = f",.{column(plot.y).digits}f"
    told = [
        altair.Tooltip("x:Q", title=heading_of(plot.x, units), format=f".{column(plot.x).digits}f"),
        altair.Tooltip("y:Q", title=heading_of(plot.y, units), format=form),
    ]
    made = altair.Chart(NOTHING).transform_filter(altair.datum.part == "point")
    if any(line.band for line in plot.lines):
        low, high = (
            f"(isValid(datum.{end}) ? format(datum.{end}, '{form}') : 'none')"
            for end in ("low", "high")
        )
        made = made.transform_calculate(between=f"{low} + ' to ' + {high}")
        told.append(altair.Tooltip("between:N", title="10 to 90 %"))
    if several:
        told.insert(0, altair.Tooltip("line:N", title="line"))
    shown = altair.when(hover | (altair.datum.marked == True))  # noqa: E712 - an expression, not a test
    drawn: altair.Chart = (
        made.mark_point(filled=False, size=45, strokeWidth=1.8)
        .encode(
            **_axes(plot, units, "y"),
            color=altair.Color(
                "line:N", scale=altair.Scale(domain=labels, range=tones), legend=legend
            ),
            shape=altair.Shape(
                "line:N", scale=altair.Scale(domain=labels, range=shapes), legend=legend
            ),
            opacity=shown.then(altair.value(1)).otherwise(altair.value(0)),
            tooltip=told,
        )
        .add_params(hover)
    )
    return drawn


def _shapes(plot: Plot) -> list[str]:
    turns: dict[str, int] = {}
    shapes = []
    for line in plot.lines:
        turn = turns.get(line.role, 0)
        turns[line.role] = turn + 1
        shapes.append(look.SHAPES[look.STYLES[line.role].mark(turn)][0])
    return shapes


def _rules(levels: int, colours: look.Palette) -> list[altair.Chart]:
    """Vertical dotted rules, their words standing above the plot in rows."""
    if not levels:  # an empty group has no name a screen reader could say
        return []
    here = altair.datum.part == "rule"
    rule = altair.Chart(NOTHING).transform_filter(here)
    layers = [rule.mark_rule(color=colours.quiet, strokeDash=list(look.DOTTED)).encode(x="x:Q")]
    for level in range(levels):
        words = altair.Chart(NOTHING).transform_filter(here & (altair.datum.piece == f"{level}"))
        layers.append(
            words.mark_text(
                align=altair.ExprRef("datum.marked ? 'right' : 'left'"),
                baseline="bottom",
                color=colours.quiet,
                fontSize=12,
                clip=False,
            ).encode(x="x:Q", y=altair.value(-4 - ROW * level), text="line:N")
        )
    return layers
