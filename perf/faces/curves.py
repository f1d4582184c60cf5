"""What both renderers draw: the curves of a Plot in the reader's units, cut where they must be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.columns import column
from perf.base.results import Line, Plot, Result, Shade
from perf.base.units import units_from_si
from perf.faces import look

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Piece:
    """A stretch of a curve, from first to last point inclusive, drawn in one stroke."""

    first: int
    last: int
    dashed: bool = False

    @property
    def points(self) -> slice:
        """The points of the stretch."""
        return slice(self.first, self.last + 1)


@dataclass(frozen=True)
class Curve:
    """One line of a plot in the reader's units, sorted along the horizontal axis.

    low and high are the ends of its band, NaN where there is none; floor and roof are what is
    shaded: the line itself stands in for one missing end.
    """

    line: Line
    mark: str  # a name of look.SHAPES
    x: Numbers
    y: Numbers
    low: Numbers
    high: Numbers
    floor: Numbers
    roof: Numbers
    pieces: tuple[Piece, ...]
    bands: tuple[Piece, ...]

    @property
    def half_open(self) -> bool:
        """Whether some stretch of the band has only one end."""
        return bool(np.any(np.isfinite(self.y) & (np.isfinite(self.low) != np.isfinite(self.high))))

    @property
    def marked(self) -> NDArray[np.bool_]:
        """Where a mark is drawn: every so often on a line with marks, always on a lone point."""
        alone = [piece.first for piece in self.pieces if piece.first == piece.last]
        drawn = np.flatnonzero(np.isfinite(self.x) & np.isfinite(self.y))
        some = drawn[:: max(1, drawn.size // look.MARKS_ALONG)] if self.mark else drawn[:0]
        where = np.zeros(self.x.size, dtype=bool)
        where[alone] = True
        where[some] = True
        return where


@dataclass(frozen=True)
class Flag:
    """A named vertical rule in the reader's units; level counts up where words would collide."""

    x: float
    label: str
    level: int
    late: bool  # past the middle of the plot: the words stand left of the rule


def curves(result: Result, plot: Plot, units: str) -> tuple[Curve, ...]:
    """The curves of a plot, ready to be drawn.

    Raises
    ------
    ValueError
        If an axis names a column of words.
    KeyError
        If a table, a column or a role is not declared.
    """
    turns: dict[str, int] = {}
    drawn = []
    for line in plot.lines:
        turn = turns.get(line.role, 0)
        turns[line.role] = turn + 1
        drawn.append(_curve(result, plot, line, look.STYLES[line.role].mark(turn), units))
    return tuple(drawn)


def notes(drawn: tuple[Curve, ...]) -> tuple[str, ...]:
    """What shading and dashes mean, as far as these curves have them."""
    banded = any(curve.bands for curve in drawn)
    half_open = any(curve.half_open for curve in drawn)
    dashed = any(piece.dashed for curve in drawn for piece in curve.pieces)
    meant = ((look.BAND_WORDS, banded), (look.HALF_WORDS, half_open), (look.DASHED_WORDS, dashed))
    return tuple(words for words, there in meant if there)


def flags(plot: Plot, drawn: tuple[Curve, ...], units: str) -> tuple[Flag, ...]:
    """The marks of a plot from left to right, lifted a level where two stand close."""
    if not plot.marks:
        return ()
    kind = column(plot.x).kind
    marks = sorted(plot.marks, key=lambda mark: mark.x)
    places = units_from_si(np.array([mark.x for mark in marks], dtype=float), kind, units)
    left, right = _ends(drawn, places)
    out: list[Flag] = []
    free_from: list[float] = []  # per level, the first free share of the width
    for mark, place in zip(marks, places, strict=True):
        share = float((place - left) / (right - left)) if right > left else 0.5
        late = share > 0.55
        wide = len(mark.label) * 0.014  # of the width of a plot, roughly, for one letter
        begins, ends = (share - wide, share) if late else (share, share + wide)
        level = next((i for i, free in enumerate(free_from) if free <= begins), len(free_from))
        free_from[level : level + 1] = [ends + 0.01]
        out.append(Flag(float(place), mark.label, level, late))
    return tuple(out)


def rows_of(result: Result, line: Line) -> pd.DataFrame:
    """The rows of a line's table that it is drawn from."""
    table = result.tables[line.table]
    return table if line.only is None else table[table[line.only[0]] == line.only[1]]


def shades(plot: Plot, units: str) -> tuple[Shade, ...]:
    """The shaded stretches of a plot in the reader's units."""
    kind = column(plot.x).kind
    return tuple(
        Shade(units_from_si(one.low, kind, units), units_from_si(one.high, kind, units), one.label)
        for one in plot.shaded
    )


def _curve(result: Result, plot: Plot, line: Line, mark: str, units: str) -> Curve:
    table = rows_of(result, line)

    def seen(name: str) -> Numbers:
        kind = column(name).kind
        if kind == "text":
            raise ValueError(f"{name} is words, not a number: it cannot be drawn")
        values: Numbers = table[name].to_numpy(dtype=float)
        return units_from_si(values, kind, units)

    x, y = seen(plot.x), seen(line.y)
    nothing: Numbers = np.full(x.shape, np.nan)
    low, high = (seen(line.band[0]), seen(line.band[1])) if line.band else (nothing, nothing)
    outside: NDArray[np.bool_] = np.zeros(x.shape, dtype=bool)
    if line.dashed_where is not None:
        outside = table[line.dashed_where].to_numpy(dtype=bool)
    order = np.argsort(x, kind="stable")
    x, y, low, high, outside = x[order], y[order], low[order], high[order], outside[order]
    there = np.isfinite(x) & np.isfinite(y)
    banded = there & (np.isfinite(low) | np.isfinite(high))
    floor, roof = np.where(np.isfinite(low), low, y), np.where(np.isfinite(high), high, y)
    pieces = tuple(_pieces(there, outside))
    bands = tuple(_pieces(banded, np.zeros(x.shape, dtype=bool)))
    return Curve(line, mark, x, y, low, high, floor, roof, pieces, bands)


def _pieces(there: NDArray[np.bool_], outside: NDArray[np.bool_]) -> Iterator[Piece]:
    """Cut a row of points where one is missing and where a line turns dashed or whole again."""
    first: int | None = None
    dashed = False
    size = there.size
    for i in range(size):
        if not there[i]:
            first = None
            continue
        joined = i + 1 < size and bool(there[i + 1])
        if not joined:
            yield Piece(
                i if first is None else first, i, dashed if first is not None else bool(outside[i])
            )
            first = None
            continue
        step = bool(outside[i] or outside[i + 1])
        if first is None:
            first, dashed = i, step
        elif step != dashed:
            yield Piece(first, i, dashed)
            first, dashed = i, step


def _ends(drawn: tuple[Curve, ...], places: Numbers) -> tuple[float, float]:
    every = np.concatenate([*(curve.x[np.isfinite(curve.y)] for curve in drawn), places])
    every = every[np.isfinite(every)]
    return (float(every.min()), float(every.max())) if every.size else (0.0, 0.0)
