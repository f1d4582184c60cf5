"""Candidates kept as a CSV: one candidate a row under dotted headings, commas or semicolons between.

A heading is the key as the TOML file writes it, such as price or engine.mass. A cell holds what
would stand between the quotes; an empty one says nothing. A row called "as she is" tells of the
boat herself.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from perf.boat import schema
from perf.boat.choice import schema as about
from perf.boat.choice.parts import AS_SHE_IS
from perf.boat.csvtext import Cell, loose_sheet
from perf.boat.schema import Key
from perf.boat.tomlplaces import Places
from perf.boat.tomltext import MOST_BYTES, Document

NAME = "name"
MOST_ROWS = 2 * about.MOST_CANDIDATES
_NUMBER = re.compile(r"-?\d{1,12}(?:\.\d{1,9})?")
_TRUE, _FALSE = ("true", "yes"), ("false", "no")


def is_csv(source: str | Path | bytes, name: str | None) -> bool:
    """Whether a file is a CSV by its name."""
    called = name or ("" if isinstance(source, bytes) else str(source))
    return called.lower().endswith(".csv")


def _headings() -> dict[str, tuple[str, ...]]:
    """Every heading and the path inside a candidate that it fills; rigging fills one thing."""
    found: dict[str, tuple[str, ...]] = {}
    for name, key in about.CANDIDATE.items():
        for inner in key.inner or {}:
            found[f"{name}.{inner}"] = (name, inner)
        if key.inner is None and name != "rigging":
            found[name] = (name,)
    return found | {f"rigging.{name}": ("rigging", name) for name in about.RIGGING}


HEADINGS = _headings()


def rows_as_tables(source: str | Path | bytes, name: str | None) -> Document:
    """The tables a TOML file would hold, with the place of every cell; InputFaults where none can be read."""
    sheet = loose_sheet(source, (NAME, *HEADINGS), (NAME,), name, MOST_BYTES, MOST_ROWS)
    tables: dict[str, Any] = {"format": schema.FORMAT, "candidates": {}}
    read = Document(sheet.name, tables, Places(), sheet.faults)
    for row in sheet.rows:
        called = row[NAME]
        if called.text.lower() == AS_SHE_IS:
            path: tuple[str, ...] = ("as_she_is",)
        elif not called.text:
            read.fault((called.line, called.column), NAME, "", "every candidate needs a name")
            continue
        else:
            path = ("candidates", called.text)
        if _inside(tables, path) is not None and path in read.places.keys:
            read.fault((called.line, called.column), NAME, called.text, "this name stands twice")
            continue
        read.places.keys[path] = (called.line, called.column)
        _make(tables, path)
        for heading, cell in row.items():
            if heading != NAME and cell.text:
                _fill(read, path, heading, cell)
    return read


def _inside(tables: dict[str, Any], path: tuple[str, ...]) -> dict[str, Any] | None:
    held: Any = tables
    for part in path:
        held = held.get(part) if isinstance(held, dict) else None
    return held if isinstance(held, dict) else None


def _make(tables: dict[str, Any], path: tuple[str, ...]) -> dict[str, Any]:
    held = tables
    for part in path:
        held = held.setdefault(part, {})
    return held


def _fill(read: Document, path: tuple[str, ...], heading: str, cell: Cell) -> None:
    inside = HEADINGS[heading]
    spot = (cell.line, cell.column)
    if inside[0] == "rigging":
        thing = f"rigging of {path[-1]}"[: schema.LONGEST_NAME]
        where: tuple[str, ...] = ("rigging", thing)
        key = about.RIGGING[inside[1]]
        _make(read.tables, path)["rigging"] = [thing]
        read.places.keys.setdefault(where, spot)
        read.places.values.setdefault((*path, "rigging"), spot)
    else:
        where = (*path, *inside[:-1])
        key = _key(inside)
    read.places.values[*where, inside[-1]] = spot
    read.places.keys.setdefault(where, spot)
    _make(read.tables, where)[inside[-1]] = _value(key, cell.text)


def _key(inside: tuple[str, ...]) -> Key:
    key = about.CANDIDATE[inside[0]]
    return key if key.inner is None else key.inner[inside[1]]


def _value(key: Key, text: str) -> Any:
    """A cell as TOML would hold it: numbers bare, words true and false as such, lists by "|"."""
    if key.kind == schema.COUNT and re.fullmatch(r"\d{1,9}", text):
        return int(text)
    if key.kind in ("ratio", "money", "share") and _NUMBER.fullmatch(text):
        return float(text)
    if key.kind == schema.FLAG and text.lower() in _TRUE + _FALSE:
        return text.lower() in _TRUE
    if key.kind == schema.BAND:
        return [part.strip() for part in re.split(r"\bto\b|\|", text)]
    if key.kind == schema.NAMES:
        return [part.strip() for part in text.split("|")]
    return text
