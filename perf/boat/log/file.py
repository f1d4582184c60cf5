"""A sea-trial log: CSV or Excel, columns in any order and unit, streamed; good rows kept, bad ones shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perf.base.faults import Fault, InputFaults
from perf.base.units import show
from perf.boat.log import cells as log_cells
from perf.boat.log.columns import MEANINGS, READINGS, SPEEDS, LogColumn, understand, with_unit
from perf.boat.log.excel import refused
from perf.boat.log.source import Rows, Source, blocks, open_log
from perf.boat.tomltext import seen

__all__ = ["Log", "log_columns", "read_log"]

Array = NDArray[np.float64]

MOST_ROWS = 3_000_000
FINGERPRINT = 16  # letters of it that are kept
MILLISECONDS = 1e11  # a plain time past this counts milliseconds
# what a reading can be at all, SI; ours, to catch slips of unit and digit
SPANS: dict[str, tuple[float, float]] = {
    "rpm": (0.0, 12_000.0),
    "speed over ground": (0.0, 51.5),
    "speed through water": (0.0, 51.5),
    "fuel flow": (0.0, 1_000.0),
    "mileage": (0.0, 50_000.0),
    "trim": (-15.0, 30.0),
    "drive trim": (-20.0, 40.0),
    "wind speed": (0.0, 60.0),
    "water temperature": (-3.0, 45.0),
}
SHOWN_KINDS = {"speed": "us", "fuel flow": "us", "mileage": "us"}


@dataclass(frozen=True, eq=False)
class Log:
    """What was read: SI columns by meaning (n,), NaN where a cell was empty, and everything set aside.

    lines : line or sheet row of each, (n,). texts : columns of words. faults : rows and cells that
    were set aside, with their places; damaged counts them all. said : how the file was read.
    compass : whether courses are of a compass, not words such as out and back.
    """

    name: str
    fingerprint: str
    columns: tuple[LogColumn, ...]
    lines: NDArray[np.int64]
    numbers: Mapping[str, Array]
    texts: Mapping[str, tuple[str, ...]]
    faults: tuple[Fault, ...]
    damaged: int
    said: tuple[str, ...]
    compass: bool = True

    @property
    def count(self) -> int:
        """Number of rows kept."""
        return int(self.lines.size)

    def number(self, meaning: str) -> Array:
        """One column, NaN throughout where the log has none."""
        return self.numbers.get(meaning, np.full(self.lines.shape, np.nan))


def log_columns(source: str | Path | bytes, *, name: str | None = None) -> tuple[LogColumn, ...]:
    """What the headings of a log are taken to mean, to be confirmed; InputFaults where there are none."""
    file, called = open_log(source, name)
    with file:
        found = Source(called)
        rows = next(iter(blocks(file, found)), Rows([], []))
        return _columns(found, rows, None)


def read_log(
    source: str | Path | bytes,
    *,
    name: str | None = None,
    columns: tuple[LogColumn, ...] | None = None,
) -> Log:
    """Read one log, a path or the bytes of a file; 64 MB and three million rows at most.

    Parameters
    ----------
    source : path of a CSV or .xlsx file, or its bytes.
    name : what to call the file in faults; the file's own name where none is given.
    columns : what each column means where that was told by hand; else by the headings.

    Returns
    -------
    Log in SI. Rows that cannot be read stand in its faults; none is dropped without a word.

    Raises
    ------
    InputFaults where the file holds no log: no headings, no speed, no unit, no row that can be read.
    """
    file, called = open_log(source, name)
    with file:
        found = Source(called)
        gathered: _Gathered | None = None
        for rows in blocks(file, found):
            if gathered is None:
                gathered = _Gathered(found, _columns(found, rows, columns))
            gathered.take(rows)
        if gathered is None:
            raise refused(called, "headings, and no row under them", found.heading_line)
        return gathered.log()


def _columns(
    found: Source, rows: Rows, told: tuple[LogColumn, ...] | None
) -> tuple[LogColumn, ...]:
    columns = understand(found.headings) if told is None else told
    if rows.cells and _are_units(rows.cells[0], columns):
        units = [str(cell or "").strip().lower().strip("()[]") for cell in rows.cells[0]]
        columns = tuple(with_unit(c, units[c.place]) for c in columns)
        del rows.cells[0], rows.lines[0]
        found.said.append("the line under the headings names units: read as such")
    return tuple(
        c if not c.missing or not _cells_have_units(rows, c) else _unit_in_cells(c) for c in columns
    )


def _are_units(cells: Any, columns: tuple[LogColumn, ...]) -> bool:
    texts = [str(cell or "").strip().lower().strip("()[]") for cell in cells]
    if any(any(letter.isdigit() for letter in text) for text in texts):
        return False
    return any(c.used and with_unit(c, texts[c.place]) != c for c in columns)


def _cells_have_units(rows: Rows, column: LogColumn) -> bool:
    cells = [str(row[column.place] or "").strip() for row in rows.cells[:50]]
    filled = [cell for cell in cells if cell]
    return bool(filled) and all(cell[:1].isdigit() and cell[-1:].isalpha() for cell in filled)


def _unit_in_cells(column: LogColumn) -> LogColumn:
    return LogColumn(column.place, column.heading, column.meaning, column.kind)


@dataclass
class _Gathered:
    """Columns growing block by block."""

    found: Source
    columns: tuple[LogColumn, ...]
    lines: list[NDArray[np.int64]] = field(default_factory=list)
    parts: dict[int, list[Array]] = field(default_factory=dict)
    texts: dict[str, list[str]] = field(default_factory=dict)
    count: int = 0
    compass: bool = True
    odd: int = 0

    def __post_init__(self) -> None:
        self._check()
        self.parts = {c.place: [] for c in self.columns if c.used}
        self.texts = {c.meaning: [] for c in self.columns if c.meaning in ("load", "run")}

    def _check(self) -> None:
        """Refuse headings that say too little, all faults at once."""
        found, known = self.found, {c.meaning for c in self.columns}
        faults = [
            Fault(found.heading_line, c.place + 1, seen(c.heading), "", c.missing)
            for c in self.columns
            if c.missing
        ]
        heads = ", ".join(seen(head) for head in found.headings[:12])
        if not known & set(SPEEDS):
            cure = f'no column is known to be a speed: head one "speed (mph)" or "sog (kn)"; there are: {heads}'
            faults.append(Fault(found.heading_line, 0, found.name, "", cure))
        if not known & set(READINGS):
            cure = f'no column is known to be rpm, fuel flow or trim: head one "rpm"; there are: {heads}'
            faults.append(Fault(found.heading_line, 0, found.name, "", cure))
        if faults:
            raise InputFaults(found.name, faults)

    def take(self, rows: Rows) -> None:
        """Turn one block of rows into numbers."""
        if not rows.lines:
            return
        self.count += len(rows.lines)
        if self.count > MOST_ROWS:
            raise refused(
                self.found.name, f"more than {MOST_ROWS:,} rows: keep the hour of the trial"
            )
        good = np.ones(len(rows.lines), dtype=bool)
        values: dict[int, Array] = {}
        for column in self.columns:
            if column.used:
                cells = [row[column.place] for row in rows.cells]
                values[column.place] = self._values(column, cells, rows.lines, good)
        self.lines.append(np.array(rows.lines, dtype=np.int64)[good])
        for place, value in values.items():
            self.parts[place].append(value[good])
        for column in self.columns:
            if column.meaning in self.texts:
                words = (str(row[column.place] or "").strip() for row in rows.cells)
                self.texts[column.meaning] += [
                    text for text, kept in zip(words, good, strict=True) if kept
                ]

    def _values(
        self, column: LogColumn, cells: list[Any], lines: list[int], good: NDArray[np.bool_]
    ) -> Array:
        def bad(at: int, text: object, cure: str) -> None:
            if good[at]:
                self.found.damage(lines[at], text, f"{seen(column.heading)}: {cure}")
            good[at] = False

        meaning = column.meaning
        if meaning in ("load", "run"):
            return np.full(len(cells), np.nan)
        if meaning == "time":
            return log_cells.times(cells, column, bad)
        if meaning in ("course", "wind from"):
            way, compass = log_cells.ways(cells, column, bad)
            self.compass = self.compass and (compass or meaning != "course")
            return way
        if meaning == "throttle":
            return log_cells.throttles(cells, column, bad)
        value = log_cells.numbers(cells, column, self.found.decimal_comma, bad)
        self._within(column, value, lines, good)
        return value

    def _within(
        self, column: LogColumn, value: Array, lines: list[int], good: NDArray[np.bool_]
    ) -> None:
        """Set aside what no boat does."""
        low, high = SPANS.get(column.meaning, (-np.inf, np.inf))
        if column.meaning == "tank" and column.kind == "share":
            low, high = 0.0, 1.0
        with np.errstate(invalid="ignore"):
            out = np.flatnonzero((value < low) | (value > high))
        for at in out:
            if good[at]:
                system = SHOWN_KINDS.get(column.kind, "metric")
                said = show(float(value[at]), column.kind, system, 0)
                most = show(high, column.kind, system, 0)
                self.found.damage(
                    lines[at],
                    said,
                    f"{seen(column.heading)}: outside {show(low, column.kind, system, 0)} to {most}, a slip or another unit: set aside",
                )
                self.odd += 1
                good[at] = False

    def log(self) -> Log:
        """Everything put together; InputFaults where no row is left."""
        found = self.found
        lines = np.concatenate([*self.lines, np.empty(0, dtype=np.int64)])
        if not lines.size:
            raise self._nothing_left()
        if 2 * self.odd > self.count:
            found.said.append("more than half of the rows are out of reason: is the unit right?")
        numbers = self._numbers()
        _in_seconds(numbers, found.said)
        left = [c for c in self.columns if not c.used and c.heading]
        if left:
            found.said.append(f"left out: {', '.join(seen(c.heading) for c in left[:12])}")
        return Log(
            found.name,
            found.digest.hexdigest()[:FINGERPRINT],
            self.columns,
            lines,
            numbers,
            {name: tuple(words) for name, words in self.texts.items()},
            tuple(found.faults),
            found.damaged,
            tuple(found.said),
            self.compass,
        )

    def _nothing_left(self) -> InputFaults:
        faults = list(self.found.faults[:10])
        cure = "no row could be read"
        if self.found.damaged and not self.count:
            cure += ": decimal commas with commas between the columns cannot be told apart, save it with semicolons"
        return InputFaults(self.found.name, [Fault(0, 0, self.found.name, "", cure), *faults])

    def _numbers(self) -> dict[str, Array]:
        """Columns by meaning; several engines become one rpm and one burn."""
        by_meaning: dict[str, list[Array]] = {}
        for column in self.columns:
            if column.used and column.meaning not in self.texts:
                by_meaning.setdefault(column.meaning, []).append(
                    np.concatenate([*self.parts[column.place], np.empty(0)])
                )
        numbers = {}
        for meaning, many in by_meaning.items():
            total = many[0]
            for one in many[1:]:
                total = total + one
            if len(many) > 1:
                joined = "summed" if meaning == "fuel flow" else "averaged"
                self.found.said.append(f"{len(many)} columns of {meaning}: {joined}")
            numbers[meaning] = total if meaning == "fuel flow" else total / len(many)
        return numbers


def _in_seconds(numbers: dict[str, Array], said: list[str]) -> None:
    """Time from the first row on, in seconds; said where it was counted otherwise."""
    time = numbers.get("time")
    if time is None or not np.isfinite(time).any():
        return
    if float(np.nanmedian(np.abs(time))) > MILLISECONDS:
        time = time / 1000.0
        said.append("times count milliseconds: read as such")
    steps = np.diff(time)
    midnight = np.cumsum(
        np.concatenate([[0.0], np.where(steps < -0.5 * log_cells.DAY_S, 1.0, 0.0)])
    )
    span = float(np.nanmax(time) - np.nanmin(time))
    if midnight[-1] and span < 1.001 * log_cells.DAY_S:
        time = time + log_cells.DAY_S * midnight
    numbers["time"] = time - time[np.flatnonzero(np.isfinite(time))[0]]


def known_meanings() -> dict[str, str]:
    """Every meaning a column may have, and what it is."""
    return {name: meaning.said for name, meaning in MEANINGS.items()}
