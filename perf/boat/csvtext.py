"""A strict reading of a CSV that people keep by hand: every cell with its place, every fault at once."""

from __future__ import annotations

import csv
import difflib
from dataclasses import dataclass, field
from pathlib import Path

from perf.base.faults import Fault, InputFaults
from perf.boat.tomltext import seen

MOST_BYTES = 1_000_000
MOST_ROWS = 5_000
MOST_COLUMNS = 50
LONGEST_LINE = 4_000
MOST_FAULTS = 60


@dataclass(frozen=True)
class Cell:
    """One cell: line of the file and column of the row, both from one, and its text without blanks around."""

    line: int
    column: int
    text: str


@dataclass
class Sheet:
    """A CSV by rows of cells under their headings, and the faults found in it so far."""

    name: str
    rows: list[dict[str, Cell]] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, cell: Cell, key: str, cure: str) -> None:
        """Note one fault of a cell under its readable key."""
        self.faults.append(Fault(cell.line, cell.column, seen(key), seen(cell.text), cure))

    def refuse_if_faulty(self) -> None:
        """Raise InputFaults with all faults noted so far, if any; past a number only the count."""
        if not self.faults:
            return
        found = sorted(self.faults, key=lambda fault: (fault.line, fault.column))
        if len(found) > MOST_FAULTS:
            rest = len(found) - MOST_FAULTS
            last = found[MOST_FAULTS - 1].line
            more = Fault(last, MOST_COLUMNS + 1, "", "", f"and {rest} more faults")
            found = [*found[:MOST_FAULTS], more]
        raise InputFaults(self.name, found)


def sheet(source: str | Path | bytes, headings: tuple[str, ...], name: str | None = None) -> Sheet:
    """Read a CSV that must have exactly these headings, in any order.

    Lines that begin with "#" and empty lines are left out; each row stands on one line.

    Parameters
    ----------
    source : path, or the bytes of the file.
    headings : the headings it must have.
    name : how the file is called in faults; by default the name of the path.

    Raises
    ------
    InputFaults at once where the file or its heading line cannot be read. Faults of single rows
    are noted in the sheet, so that the caller can add the faults of the cells.
    """
    return _sheet(source, headings, headings, name, MOST_BYTES, MOST_ROWS, ",")


def loose_sheet(
    source: str | Path | bytes,
    headings: tuple[str, ...],
    needed: tuple[str, ...],
    name: str | None,
    most_bytes: int,
    most_rows: int,
) -> Sheet:
    """Read a CSV that has some of these headings, needed ones at least; commas or semicolons between.

    The heading line decides between the two. Parameters beyond those of sheet: needed, the headings
    that may not be missing; most_bytes and most_rows, past which the whole file is refused.
    """
    return _sheet(source, headings, needed, name, most_bytes, most_rows, None)


def _sheet(
    source: str | Path | bytes,
    headings: tuple[str, ...],
    needed: tuple[str, ...],
    name: str | None,
    most_bytes: int,
    most_rows: int,
    mark: str | None,
) -> Sheet:
    found = Sheet(seen(name or ("table" if isinstance(source, bytes) else Path(source).name)))
    text = _text(_bytes(source, found, most_bytes), found, most_bytes)
    heading: dict[int, str] | None = None
    for number, line in enumerate(text.split("\n"), start=1):
        if not line.strip() or line.startswith("#"):
            continue
        mark = mark or (";" if line.count(";") > line.count(",") else ",")
        cells = _cells(line.removesuffix("\r"), number, found, mark)
        if heading is None:
            heading = _heading(cells or [], headings, needed, found)
        elif cells is not None:
            _row(cells, heading, found, mark)
        if len(found.rows) > most_rows:
            _refuse(found, f"more than {most_rows} rows", number)
    if heading is None:
        _refuse(found, f"no heading line: it begins with {', '.join(headings[:3])}")
    if not found.rows and not found.faults:
        _refuse(found, "no rows under the heading line")
    return found


def _refuse(found: Sheet, cure: str, line: int = 0, column: int = 0, text: str = "") -> None:
    found.faults.append(Fault(line, column, found.name, seen(text), cure))
    found.refuse_if_faulty()


def _bytes(source: str | Path | bytes, found: Sheet, most: int) -> bytes:
    if isinstance(source, bytes):
        return source
    try:
        with Path(source).open("rb") as file:
            return file.read(most + 1)
    except (OSError, ValueError):
        _refuse(found, "this file cannot be opened: check its name and who may read it")
        raise


def _text(data: bytes, found: Sheet, most: int) -> str:
    if len(data) > most:
        size = f"{most // 1_000_000} MB" if most >= MOST_BYTES else f"{most // 1000} kB"
        _refuse(found, f"larger than {size}")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        _refuse(found, "UTF-16: save the table as CSV in UTF-8", 1, 1)
    stray = data.find(b"\x00")
    if stray >= 0:
        line, column = _spot(data, stray)
        _refuse(found, "not a text file: save the table as CSV in UTF-8", line, column)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as why:
        # the decoder counts from behind a byte order mark
        line, column = _spot(data.removeprefix(b"\xef\xbb\xbf"), why.start)
        _refuse(found, "not UTF-8 from here on: save the table as CSV in UTF-8", line, column)
        raise


def _spot(data: bytes, at: int) -> tuple[int, int]:
    # line and cell of a byte, whatever the bytes before it stand for
    *before, line = data[:at].decode("latin-1").split("\n")
    try:
        cells = next(csv.reader([line]), [""])
    except csv.Error:  # a stray line end or a cell without end: only the line can be told
        return len(before) + 1, 1
    return len(before) + 1, max(len(cells), 1)


def _cells(line: str, number: int, found: Sheet, mark: str) -> list[Cell] | None:
    if len(line) > LONGEST_LINE:
        found.fault(
            Cell(number, 1, line), found.name, f"a line of more than {LONGEST_LINE} letters"
        )
        return None
    try:
        (texts,) = csv.reader([line], strict=True, delimiter=mark)
    except (csv.Error, ValueError):
        cure = 'quotes do not pair: put the whole cell in double quotes, and "" for one inside'
        found.fault(Cell(number, 1, line), found.name, cure)
        return None
    if len(texts) > MOST_COLUMNS:
        found.fault(
            Cell(number, MOST_COLUMNS + 1, ""), found.name, f"more than {MOST_COLUMNS} columns"
        )
        return None
    return [Cell(number, at, text.strip()) for at, text in enumerate(texts, start=1)]


def _heading(
    cells: list[Cell], headings: tuple[str, ...], needed: tuple[str, ...], found: Sheet
) -> dict[int, str]:
    known: dict[int, str] = {}
    for cell in cells:
        if cell.text in known.values():
            found.fault(cell, cell.text, "this heading stands twice")
        elif cell.text in headings:
            known[cell.column] = cell.text
        else:
            near = difflib.get_close_matches(cell.text, headings, n=1)
            hint = f"; did you mean {near[0]}?" if near else ""
            found.fault(cell, cell.text, f"no such column{hint}")
    line = cells[0].line if cells else 0
    for missing in needed:
        if missing not in known.values():
            found.fault(Cell(line, len(cells) + 1, ""), missing, "this column is missing")
    found.refuse_if_faulty()
    return known


def _row(cells: list[Cell], heading: dict[int, str], found: Sheet, mark: str) -> None:
    called = cells[0].text
    if len(cells) > len(heading):
        extra = cells[len(heading)]
        what = {",": "a comma", ";": "a semicolon"}[mark]
        cure = f"too many cells ({len(cells)} under {len(heading)} headings): is there {what} in a cell?"
        found.fault(extra, called, cure)
    elif len(cells) < len(heading):
        cure = f"too few cells ({len(cells)} under {len(heading)} headings)"
        found.fault(Cell(cells[0].line, len(cells) + 1, ""), called, cure)
    else:
        found.rows.append({heading[cell.column]: cell for cell in cells})
