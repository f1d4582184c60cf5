"""Which kind of file of this tool something is, told from what stands in it, never from its name."""

from __future__ import annotations

import csv
import re

from perf.boat.catalogrows import HEADINGS
from perf.boat.choice.schema import CANDIDATES_TABLES, DUTY_TABLES
from perf.boat.choice.table import HEADINGS as CANDIDATE_HEADINGS
from perf.boat.choice.table import NAME
from perf.boat.log.columns import understand
from perf.boat.scenario.schema import MARK
from perf.boat.schema import TABLES as BOAT_TABLES
from perf.boat.trip.schema import TABLES as TRIP_TABLES

LOOKED_AT = 64_000  # bytes from the beginning
LONGEST_LINE = 4_000
BOAT, TRIP, CANDIDATES, DUTY, SCENARIO, LOG = (
    "boat",
    "trip",
    "candidates",
    "duty",
    "scenario",
    "log",
)
ROWS = tuple(HEADINGS)  # engines, propellers, hulls, sources
_PACKED = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")  # workbooks, new and old
_KEY = re.compile(r"\s*[\"']?([A-Za-z0-9_ -]+?)[\"']?\s*=")
_HEADER = re.compile(r"\s*\[+\s*[\"']?([A-Za-z0-9_-]+)")
_INSIDE = re.compile(r"\s*text\s*=\s*\"\"\"")
_KINDS = {
    BOAT: {*BOAT_TABLES},
    TRIP: {*TRIP_TABLES},
    CANDIDATES: {*CANDIDATES_TABLES},
    DUTY: {*DUTY_TABLES},
}


def kind_of(content: bytes) -> str:
    """The kind of a file from its first bytes: BOAT and so on, one of ROWS, or empty where none fits."""
    if content.startswith(_PACKED):
        return LOG
    said = _statements(content)
    if not said:
        return ""
    return _of_headings(said[0]) if has_headings(content) else _of_tables(said)


def has_headings(content: bytes) -> bool:
    """Whether a text begins with a line of headings, not with a key or a table."""
    said = _statements(content)[:1]
    return bool(said) and not (_HEADER.match(said[0]) or _KEY.match(said[0]))


def _statements(content: bytes) -> list[str]:
    """The lines of the beginning that are neither empty nor remarks."""
    text = content[:LOOKED_AT].decode("utf-8-sig", "replace").replace("\r", "\n")
    lines = (line[:LONGEST_LINE] for line in text.split("\n"))
    return [line for line in lines if line.strip() and not line.lstrip().startswith("#")]


def _of_tables(lines: list[str]) -> str:
    """The kind whose own tables a text has most of; tables that kinds share only break a tie."""
    first = next((at for at, line in enumerate(lines) if _HEADER.match(line)), len(lines))
    top = {found[1] for line in lines[:first] if (found := _KEY.match(line))}
    if MARK in top or any(_INSIDE.match(line) for line in lines):
        return SCENARIO
    headers = {found[1] for line in lines if (found := _HEADER.match(line))} | top
    scores = {kind: _own_and_shared(kind, headers) for kind in _KINDS}
    best = max(scores, key=lambda kind: scores[kind])
    return best if scores[best] > (0, 0) else ""


def _own_and_shared(kind: str, headers: set[str]) -> tuple[int, int]:
    others = set().union(*(tables for other, tables in _KINDS.items() if other != kind))
    known = headers & _KINDS[kind]
    return len(known - others), len(known)


def _of_headings(line: str) -> str:
    """The kind whose headings a line has most of; a log where one is understood as a reading."""
    mark = max(",;\t|", key=line.count)
    try:
        (cells,) = csv.reader([line], delimiter=mark)
    except (csv.Error, ValueError):
        return ""
    found = {cell.strip() for cell in cells}
    for kind, headings in HEADINGS.items():
        if 2 * len(found & {*headings}) > len(headings):
            return kind
    if NAME in found and len(found & {*CANDIDATE_HEADINGS}) > 0:
        return CANDIDATES
    readings = sum(column.used for column in understand(tuple(cells)))
    return LOG if readings > 0 else ""
