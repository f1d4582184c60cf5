"""From the bytes of a log to rows of cells, block by block: text with commas, semicolons or tabs, or Excel."""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

from perf.base.faults import Fault
from perf.boat.log.excel import MOST_COLUMNS, refused, sheet_blocks
from perf.boat.tomltext import seen

MOST_BYTES = 64_000_000
BLOCK_BYTES = 1_000_000
LONGEST_LINE = 20_000
LONGEST_HEADING = 120
TOO_LONG = f"a heading of more than {LONGEST_HEADING} letters: the first line names the columns"
SNIFFED = 65_536
DELIMITERS = (";", "\t", ",", "|")
_OLD_EXCEL = b"\xd0\xcf\x11\xe0"
_PACKED = b"PK\x03\x04"
_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_DECIMAL_COMMA = re.compile(r"(?:^|[;\t|])\s*-?\d+,\d+\s*(?=[;\t|]|$)", re.MULTILINE)


@dataclass
class Rows:
    """Some rows as they stand: line or sheet row of each, and its cells."""

    lines: list[int]
    cells: list[Any]


@dataclass
class Source:
    """One log being read: its headings, then its rows in blocks; what was said and what is damaged."""

    name: str
    headings: list[str] = field(default_factory=list)
    heading_line: int = 0
    said: list[str] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    damaged: int = 0
    decimal_comma: bool = False
    digest: Any = field(default_factory=hashlib.sha256)

    def damage(self, line: int, text: object, cure: str, most: int = 60) -> None:
        """Note a row that cannot be read; past the first ones only the count."""
        self.damaged += 1
        if len(self.faults) < most:
            self.faults.append(Fault(line, 0, f"line {line}", seen(text), cure))


def open_log(source: str | Path | bytes, name: str | None) -> tuple[IO[bytes], str]:
    """The bytes of a log as a file, and what it is called; InputFaults where there is none or too much."""
    if isinstance(source, bytes):
        called = seen(name or "log")
        file: IO[bytes] = io.BytesIO(source)
        size = len(source)
    else:
        path = Path(source)
        called = seen(name or path.name or "log")
        try:
            if not path.is_file():
                raise refused(called, "there is no such file: check the name and the folder")
            size = path.stat().st_size
            file = path.open("rb")
        except (OSError, ValueError) as why:
            raise refused(called, "this file cannot be opened: check who may read it") from why
    if size > MOST_BYTES:
        file.close()
        raise refused(
            called, f"larger than {MOST_BYTES // 1_000_000} MB: keep the hour of the trial"
        )
    return file, called


def blocks(file: IO[bytes], found: Source) -> Iterator[Rows]:
    """Rows in blocks; the headings stand in found before the first block comes."""
    for chunk in iter(lambda: file.read(BLOCK_BYTES), b""):
        found.digest.update(chunk)
    file.seek(0)
    head = file.read(SNIFFED)
    file.seek(0)
    if not head.strip():
        raise refused(found.name, "the file is empty: the first line names the columns")
    if head.startswith(_OLD_EXCEL):
        raise refused(found.name, "an older or a locked Excel file: save it as .xlsx or as CSV")
    if head.startswith(_PACKED):
        yield from _from_sheet(file, found)
        return
    yield from _from_text(file, head, found)


# --- Excel ----------------------------------------------------------------------------------------


def _from_sheet(file: IO[bytes], found: Source) -> Iterator[Rows]:
    for numbers, rows in sheet_blocks(file, found.name, found.said):
        kept = [
            (number, row)
            for number, row in zip(numbers, rows, strict=True)
            if any(cell is not None and cell != "" for cell in row)
            and not str(row[0] if row else "").startswith("#")
        ]
        if not found.headings and kept:
            line, heads = kept.pop(0)
            found.heading_line = line
            found.headings = ["" if cell is None else str(cell) for cell in heads]
            _check_headings(found)
        width = len(found.headings)
        lines = [number for number, _ in kept]
        yield Rows(lines, [(*row, *(None,) * (width - len(row))) for _, row in kept])


# --- text -----------------------------------------------------------------------------------------


def _from_text(file: IO[bytes], head: bytes, found: Source) -> Iterator[Rows]:
    delimiter = ""
    line = 0
    for text in _texts(file, head, found):
        lines, first = text.split("\n"), line
        if lines and not lines[-1]:
            lines.pop()
        line += len(lines)
        numbered = _numbered(text, lines, first)
        if not found.headings and numbered.lines:
            found.heading_line, heading = numbered.lines.pop(0), numbered.cells.pop(0)
            if len(heading) > MOST_COLUMNS * LONGEST_HEADING:
                raise refused(found.name, TOO_LONG, found.heading_line)
            delimiter = _delimiter(heading, numbered.cells[:20])
            found.headings = next(csv.reader([heading], delimiter=delimiter))
            _check_headings(found)
            _say_how(found, delimiter, text)
        if numbered.lines:
            yield _parted(numbered, delimiter, found, '"' in text)
    if not found.headings:
        raise refused(found.name, "nothing but remarks in it: the first line names the columns")


def _numbered(text: str, lines: list[str], first: int) -> Rows:
    """Lines with their numbers, without remarks and empty ones."""
    numbers = list(range(first + 1, first + len(lines) + 1))
    blank = "\n\n" in text or "\n " in text or "\n\t" in text or text[:1] in "\n \t"
    if not blank and "#" not in text:
        return Rows(numbers, lines)
    kept = [at for at, one in enumerate(lines) if one.strip() and not one.startswith("#")]
    return Rows([numbers[at] for at in kept], [lines[at] for at in kept])


def _texts(file: IO[bytes], head: bytes, found: Source) -> Iterator[str]:
    """Text in blocks of whole lines, line ends all alike."""
    encoding = _encoding(head, found)
    reader = io.TextIOWrapper(file, encoding=encoding, errors="replace", newline=None)
    rest = ""
    while piece := reader.read(BLOCK_BYTES):
        if "\x00" in piece:
            raise refused(found.name, "not plain text: save it as CSV in UTF-8, or as .xlsx")
        whole, newline, tail = (rest + piece).rpartition("\n")
        rest = tail if newline else rest + piece
        if newline:
            yield whole + newline
        if len(rest) > BLOCK_BYTES:
            raise refused(found.name, "a line without end: this is no table of a log")
    if rest:
        yield rest
    reader.detach()


def _encoding(head: bytes, found: Source) -> str:
    if head.startswith(_UTF16):
        found.said.append("written in UTF-16: read as such")
        return "utf-16"
    if b"\x00" in head:
        raise refused(found.name, "not plain text: save it as CSV in UTF-8, or as .xlsx")
    if head.startswith(b"\xef\xbb\xbf"):
        found.said.append("it begins with a byte-order mark, which was passed over")
    try:
        head[: head.rfind(b"\n") + 1 or None].decode("utf-8-sig")
    except UnicodeDecodeError:
        found.said.append("not UTF-8: read as Western European letters")
        return "cp1252"
    return "utf-8-sig"


def _delimiter(heading: str, rows: list[str]) -> str:
    """What parts the columns: the sign the heading has most of, a semicolon before a comma."""
    counts = {sign: heading.count(sign) for sign in DELIMITERS}
    if counts[";"]:
        return ";"
    best = max(DELIMITERS, key=lambda sign: counts[sign])
    if counts[best]:
        return best
    spare = {sign: sum(row.count(sign) for row in rows) for sign in DELIMITERS}
    return max(DELIMITERS, key=lambda sign: spare[sign])


def _check_headings(found: Source) -> None:
    heads = [head.strip() for head in found.headings]
    if len(heads) > MOST_COLUMNS:
        raise refused(found.name, f"more than {MOST_COLUMNS} columns", found.heading_line)
    if any(len(head) > LONGEST_HEADING for head in heads):  # words are searched for in each
        raise refused(found.name, TOO_LONG, found.heading_line)
    if not any(any(letter.isalpha() for letter in head) for head in heads):
        raise refused(
            found.name,
            'no headings: the first line names the columns, such as "rpm, speed (mph), fuel (gal/h)"',
            found.heading_line,
        )
    found.headings = heads


def _say_how(found: Source, delimiter: str, text: str) -> None:
    called = {";": "semicolons", "\t": "tabs", "|": "upright strokes"}
    if delimiter not in called:
        return
    found.decimal_comma = bool(_DECIMAL_COMMA.search(text))
    commas = " and decimal commas" if found.decimal_comma else ""
    found.said.append(f"{called[delimiter]} between the columns{commas}: read as such")


def _parted(numbered: Rows, delimiter: str, found: Source, quoted: bool) -> Rows:
    """Lines parted into cells; damaged ones are noted with their place and set aside."""
    lines, texts = numbered.lines, numbered.cells
    if quoted or max(map(len, texts)) > LONGEST_LINE:
        pairs = [
            (number, cells)
            for number, one in zip(lines, texts, strict=True)
            if (cells := _one_line(number, one, delimiter, found)) is not None
        ]
        lines, rows = [number for number, _ in pairs], [cells for _, cells in pairs]
    else:
        rows = list(csv.reader(texts, delimiter=delimiter))
    width = len(found.headings)
    if set(map(len, rows)) <= {width}:
        return Rows(lines, rows)
    return _of_width(lines, rows, width, found)


def _one_line(number: int, line: str, delimiter: str, found: Source) -> list[str] | None:
    """The cells of one line by itself; None and noted with its place where it cannot be parted."""
    if len(line) > LONGEST_LINE:
        found.damage(number, line, f"a line of more than {LONGEST_LINE} letters: set aside")
        return None
    try:
        return next(csv.reader([line], delimiter=delimiter, strict=True))
    except csv.Error:
        found.damage(number, line, "a quote is not closed, or stands inside a cell: set aside")
        return None


def _of_width(lines: list[int], rows: list[list[str]], width: int, found: Source) -> Rows:
    good_lines, good = [], []
    for number, row in zip(lines, rows, strict=True):
        spare = row[width:]
        if len(row) < width or any(cell.strip() for cell in spare):
            found.damage(
                number,
                ", ".join(row),
                f"{len(row)} cells under {width} headings: set aside",
            )
        else:
            good_lines.append(number)
            good.append(row[:width])
    return Rows(good_lines, good)
