"""Rows of an Excel workbook, its size checked before anything in it is unpacked."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from typing import IO, Any

from perf.base.faults import Fault, InputFaults

MOST_UNPACKED = 400_000_000  # bytes of all parts together
MOST_RATIO = 300  # unpacked over packed: text of numbers packs about 10 to 1
MOST_PARTS = 2_000
MOST_ROWS = 1_048_576  # a sheet holds no more
MOST_COLUMNS = 200
ROWS_AT_ONCE = 5_000
_FORBIDDEN = (b"<!DOCTYPE", b"<!ENTITY")
PROLOGUE = 4_096

Rows = list[tuple[Any, ...]]


def sheet_blocks(file: IO[bytes], name: str, said: list[str]) -> Iterator[tuple[list[int], Rows]]:
    """Blocks of (row numbers, rows of cells) of the first sheet with anything in it.

    InputFaults for what is no workbook, is damaged, or unpacks to more than a log can be.
    """
    _guard(file, name)
    from openpyxl import load_workbook

    try:
        book = load_workbook(file, read_only=True, data_only=True, keep_links=False)
    except Exception as why:  # the library raises whatever a broken part raises
        raise refused(name, "this workbook is damaged: open it and save it again") from why
    try:
        yield from _rows(book, name, said)
    finally:
        book.close()


def refused(name: str, cure: str, line: int = 0) -> InputFaults:
    """One fault of a whole file."""
    return InputFaults(name, [Fault(line, 0, name, "", cure)])


def _guard(file: IO[bytes], name: str) -> None:
    """Refuse before unpacking: too many parts, too much, packed too tightly, or with entities."""
    try:
        with zipfile.ZipFile(file) as packed:
            parts = packed.infolist()
            unpacked = sum(part.file_size for part in parts)
            tight = any(
                part.file_size > MOST_RATIO * max(part.compress_size, 1_000) for part in parts
            )
            if len(parts) > MOST_PARTS or unpacked > MOST_UNPACKED or tight:
                raise refused(
                    name, "it unpacks to far more than a log can hold: save the sheet as CSV"
                )
            if "xl/workbook.xml" not in packed.namelist():
                raise refused(name, "a packed file, but no Excel workbook: save the log as CSV")
            for part in parts:
                if part.filename.endswith((".xml", ".rels")):
                    with packed.open(part) as inner:
                        if any(word in inner.read(PROLOGUE) for word in _FORBIDDEN):
                            raise refused(name, "a part of it declares entities: save it as CSV")
    except InputFaults:
        raise
    except Exception as why:  # the library raises whatever a broken directory makes of its numbers
        raise refused(name, "this workbook is damaged or locked: save it again, or as CSV") from why
    file.seek(0)


def _rows(book: Any, name: str, said: list[str]) -> Iterator[tuple[list[int], Rows]]:
    sheets = [sheet for sheet in book.worksheets if hasattr(sheet, "iter_rows")]
    for sheet in sheets:
        some = False
        numbers: list[int] = []
        rows: Rows = []
        try:
            for number, row in enumerate(
                sheet.iter_rows(values_only=True, max_col=MOST_COLUMNS), start=1
            ):
                numbers.append(number)
                rows.append(row)
                some = some or any(cell is not None for cell in row)
                if number > MOST_ROWS:
                    raise refused(name, "more rows than a sheet can have: this file is damaged")
                if len(rows) == ROWS_AT_ONCE and some:
                    yield numbers, rows
                    numbers, rows = [], []
        except InputFaults:
            raise
        except Exception as why:  # a broken part is met only when its row is read
            line = numbers[-1] if numbers else 0
            said.append(
                f"the sheet is damaged after row {line}: the rows before it were kept ({type(why).__name__})"
            )
        if some:
            yield numbers, rows
            if len(sheets) > 1:
                said.append(f"read the sheet {sheet.title!r}; the others were not looked at")
            return
    raise refused(name, "no sheet of it has anything in it")
