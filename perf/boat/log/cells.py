"""Cells of a log column as numbers in SI, fast where they are plain and one by one where they are not."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perf.base.faults import ReadingError
from perf.base.quantities import HOUR_S, MINUTE_S
from perf.base.units import read
from perf.boat.log.columns import LogColumn

Array = NDArray[np.float64]
Bad = Callable[[int, object, str], None]

DAY_S = 86_400.0
_PLAIN = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?")
_CLOCK = re.compile(r"(\d{1,3}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?")
_NONE = ("", "-", "--", "---", "n/a", "na", "nan", "none", "null", "#n/a")
FULL = ("full", "full throttle", "wot", "wide open", "wide open throttle", "flat out", "max", "yes")
NOT_FULL = ("part", "no", "cruise", "partial")
POINTS = {
    name: 22.5 * place
    for place, name in enumerate(
        [
            "n",
            "nne",
            "ne",
            "ene",
            "e",
            "ese",
            "se",
            "sse",
            "s",
            "ssw",
            "sw",
            "wsw",
            "w",
            "wnw",
            "nw",
            "nnw",
        ]
    )
}
# words for a run and the run back: any two opposite ways will do, the reader only needs which is which
WAYS = {
    **POINTS,
    "north": 0.0,
    "east": 90.0,
    "south": 180.0,
    "west": 270.0,
    "out": 0.0,
    "back": 180.0,
    "up": 0.0,
    "down": 180.0,
    "there": 0.0,
    "home": 180.0,
    "upstream": 0.0,
    "downstream": 180.0,
    "with": 180.0,
    "against": 0.0,
    "a": 0.0,
    "b": 180.0,
}
BEYOND = 1e30  # SI or as written: past it stands damage, no reading (our own bound)
NO_COMPASS = frozenset(WAYS) - frozenset(POINTS) - {"north", "east", "south", "west"}


def numbers(cells: Sequence[Any], column: LogColumn, decimal_comma: bool, bad: Bad) -> Array:
    """Cells as SI numbers, NaN where a cell is empty or cannot be read; bad is told place, text and cure."""
    if decimal_comma:
        cells = [cell.replace(",", ".") if isinstance(cell, str) else cell for cell in cells]
    factor, shift = column.factor_and_shift
    try:
        values = np.array(list(map(float, cells)))
        plain = bool((np.abs(values) < BEYOND).all())
    except (TypeError, ValueError):
        plain = False
    if plain and not any("_" in str(cell) for cell in cells[:1]):
        return values * factor + shift
    read = [_number(at, c, column, factor, shift, bad) for at, c in enumerate(cells)]
    return _within_reason(np.array(read), cells, bad)


def _within_reason(values: Array, cells: Sequence[Any], bad: Bad) -> Array:
    """Values with NaN, and a word to bad, in place of what nothing could have measured."""
    beyond = np.abs(values) >= BEYOND
    for at in np.flatnonzero(beyond):
        bad(int(at), cells[int(at)], "no instrument shows so much: set aside")
    return np.where(beyond, np.nan, values)


def _number(
    at: int, cell: object, column: LogColumn, factor: float, shift: float, bad: Bad
) -> float:
    """One cell; a text may carry a unit of its own."""
    if isinstance(cell, bool):
        return float("nan")
    if isinstance(cell, int | float):
        return float(cell) * factor + shift if np.isfinite(cell) else float("nan")
    text = "" if cell is None else str(cell).strip()
    if text.lower() in _NONE:
        return float("nan")
    if _PLAIN.fullmatch(text):
        return float(text) * factor + shift
    try:
        return read(text, column.kind).value
    except ReadingError as why:
        bad(at, text, str(why))
        return float("nan")


def times(cells: Sequence[Any], column: LogColumn, bad: Bad) -> Array:
    """Times in seconds: plain numbers in the column's unit, clock times, or dates with times."""
    factor, _ = column.factor_and_shift
    try:
        plain = np.array(list(map(float, cells)))
        return _within_reason(plain, cells, bad) * factor
    except (TypeError, ValueError):
        pass
    try:  # the common form of a recorder, quickly
        return np.array([datetime.datetime.fromisoformat(cell).timestamp() for cell in cells])
    except (TypeError, ValueError):
        return np.array([_time(at, cell, factor, bad) for at, cell in enumerate(cells)])


def _time(at: int, cell: object, factor: float, bad: Bad) -> float:
    if isinstance(cell, datetime.datetime):
        return cell.replace(tzinfo=cell.tzinfo or datetime.UTC).timestamp()
    if isinstance(cell, datetime.time):
        return cell.hour * HOUR_S + cell.minute * MINUTE_S + cell.second + cell.microsecond * 1e-6
    if isinstance(cell, datetime.timedelta):
        return cell.total_seconds()
    if isinstance(cell, int | float) and not isinstance(cell, bool):
        return float(cell) * factor
    text = "" if cell is None else str(cell).strip()
    if text.lower() in _NONE:
        return float("nan")
    clock = _CLOCK.fullmatch(text)
    if clock:
        seconds = float((clock[3] or "0").replace(",", "."))
        return int(clock[1]) * HOUR_S + int(clock[2]) * MINUTE_S + seconds
    try:
        moment = datetime.datetime.fromisoformat(text)
        return moment.replace(tzinfo=moment.tzinfo or datetime.UTC).timestamp()
    except ValueError:
        pass
    if _PLAIN.fullmatch(text):
        return float(text) * factor
    try:
        return read(text, "time").value
    except ReadingError:
        bad(
            at, text, "no time that is known here: write it such as 10:42:30 or 2026-05-14T10:42:30"
        )
        return float("nan")


def ways(cells: Sequence[Any], column: LogColumn, bad: Bad) -> tuple[Array, bool]:
    """Directions in degrees, and whether they are of a compass (False for words such as out and back)."""
    try:
        plain = np.array(list(map(float, cells)))
        if np.isfinite(plain).all():
            return plain, True
    except (TypeError, ValueError):
        pass
    compass = True
    found = []
    for at, cell in enumerate(cells):
        text = "" if cell is None else str(cell).strip().lower()
        if text in WAYS:
            compass = compass and text not in NO_COMPASS
            found.append(WAYS[text])
        else:
            found.append(_number(at, cell, column_of_angle(column), 1.0, 0.0, bad))
    return np.array(found), compass


def column_of_angle(column: LogColumn) -> LogColumn:
    """The same column read as an angle."""
    return LogColumn(column.place, column.heading, column.meaning, "angle", column.unit)


def throttles(cells: Sequence[Any], column: LogColumn, bad: Bad) -> Array:
    """Share of the throttle: a number, or words for full."""
    factor, _ = column.factor_and_shift
    share = LogColumn(column.place, column.heading, column.meaning, "share", column.unit)
    found = []
    for at, cell in enumerate(cells):
        text = "" if cell is None else str(cell).strip().lower()
        if text in FULL:
            found.append(1.0)
        elif text in NOT_FULL:
            found.append(float("nan"))
        else:
            found.append(_number(at, cell, share, factor, 0.0, bad))
    return np.array(found)
