"""What a sea trial taught, as the boat file holds it: a row of numbers for each input, held to sense."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from perf.base.assumptions import ASSUMPTIONS
from perf.base.faults import ReadingError
from perf.boat.parts import Learned
from perf.boat.schema import LONGEST_NAME, Key
from perf.boat.tomlplaces import Path, readable
from perf.boat.values import text_of

if TYPE_CHECKING:
    from perf.boat.reading import Reading

MOST_INPUTS = 120
LONGEST_REMARK = 120
LONGEST_ROW = 1_900
_NUMBER = re.compile(r"-?\d{1,12}(?:\.\d{1,20})?(?:e-?\d{1,2})?")
GREATEST = 10.0  # a move or a share of a doubt past this is no lesson
AGAIN = "this row is written by overhump trial: run it again, or take [trial] out"


def remark(raw: object, key: Key) -> str:
    """One line of text, kept as it stands."""
    text = text_of(raw, key)
    if len(text) > LONGEST_REMARK or not text.isprintable():
        raise ReadingError(f"one plain line of {LONGEST_REMARK} letters at most")
    return text


def read_together(reading: Reading, path: Path, key: Key, raw: object) -> None:
    """Put what was learned of inputs together into the reading; every row that makes no sense is a fault."""
    if not isinstance(raw, list) or len(raw) > MOST_INPUTS:
        raise ReadingError(f"rows of text in brackets, such as {key.example}")
    reading.words[readable(path)] = f"{len(raw)} rows"
    rows = []
    for place, row in enumerate(raw):
        try:
            rows.append(_row(row, place))
        except ReadingError as why:
            reading.fault((*path, place), str(why), text=str(row)[:LONGEST_NAME])
    names = [row[0] for row in rows]
    if len(set(names)) < len(names):
        raise ReadingError(f"an input stands in it twice: {AGAIN}")
    if len(rows) == len(raw) and rows:
        reading.values[readable(path)] = Learned(
            tuple(names),
            tuple(row[1] for row in rows),
            tuple(row[2] for row in rows),
            tuple(row[3] for row in rows),
        )


def _row(raw: object, place: int) -> tuple[str, float, float, tuple[float, ...]]:
    """Name, doubt before, move, and the row of the triangle, from one text."""
    words = raw.split() if isinstance(raw, str) and len(raw) <= LONGEST_ROW else []
    if len(words) < 4 + place:
        raise ReadingError(AGAIN)
    name = " ".join(words[: -3 - place])  # the name of a weight may have blanks
    if name.startswith("assumed.") and name.removeprefix("assumed.") not in ASSUMPTIONS:
        raise ReadingError(f"nothing is assumed by this name any more: {AGAIN}")
    half, move, *spread = (_number(word) for word in words[-3 - place :])
    if half <= 0.0 or max(map(abs, (move, *spread))) > GREATEST or spread[-1] < 0.0:
        raise ReadingError(AGAIN)
    return name, half, move, tuple(spread)


def _number(word: str) -> float:
    if not _NUMBER.fullmatch(word):
        raise ReadingError(AGAIN)
    return float(word)


def written_rows(learned: Learned) -> list[str]:
    """The rows as they stand in a file, one line each."""
    rows = zip(learned.names, learned.half_widths, learned.shifts, learned.spread, strict=True)
    return [
        f'"{name} {" ".join(_short(value) for value in (half, move, *spread))}"'
        for name, half, move, spread in rows
    ]


def _short(value: float) -> str:
    """A number that gives back the same when it is read."""
    text = repr(float(value) + 0.0)  # no minus before nothing
    return text.removesuffix(".0")
