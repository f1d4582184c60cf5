"""What both renderers draw of a Plot of spots or of bars, in the reader's units."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.columns import column
from perf.base.results import Line, Plot, Result
from perf.base.units import units_from_si
from perf.faces import look
from perf.faces.curves import rows_of

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Spot:
    """One point with the ends of its bands both ways, NaN where there is none."""

    line: Line
    mark: str  # a name of look.SHAPES
    x: float
    y: float
    x_low: float
    x_high: float
    y_low: float
    y_high: float


@dataclass(frozen=True)
class Bar:
    """One bar: what it stands for, how long, and which way it works."""

    words: str
    long: float
    way: str


def spots(result: Result, plot: Plot, units: str) -> tuple[Spot, ...]:
    """The spots of a plot, those without a number left out; ValueError where an axis names words."""
    turns: dict[str, int] = {}
    found = []
    for line in plot.lines:
        turn = turns.get(line.role, 0)
        turns[line.role] = turn + 1
        mark = look.STYLES[line.role].mark(turn) or "square"
        x, x_low, x_high = _three(result, line, plot.x, units)
        y, y_low, y_high = _three(result, line, plot.y, units)
        if np.isfinite(x) and np.isfinite(y):
            found.append(Spot(line, mark, x, y, x_low, x_high, y_low, y_high))
    return tuple(found)


def _three(result: Result, line: Line, name: str, units: str) -> tuple[float, float, float]:
    """A value and the ends of its band."""
    row = rows_of(result, line)
    kind = column(name).kind
    if kind == "text":
        raise ValueError(f"{name} is words, not a number: it cannot be drawn")

    def seen(key: str) -> float:
        there = key in row.columns and len(row)
        return units_from_si(float(row[key].iloc[0]), kind, units) if there else float("nan")

    return seen(name), seen(f"{name}_p10"), seen(f"{name}_p90")


def bars(result: Result, plot: Plot, units: str) -> tuple[Bar, ...]:
    """The bars of a plot from the longest: words of its y column, length of its x column."""
    frame = rows_of(result, plot.lines[0])
    kind = column(plot.x).kind
    long: Numbers = units_from_si(frame[plot.x].to_numpy(dtype=float), kind, units)
    ways = frame["way"].tolist() if "way" in frame else [""] * len(frame)
    return tuple(
        Bar(str(words), float(value), str(way))
        for words, value, way in zip(frame[plot.y], long, ways, strict=True)
    )
