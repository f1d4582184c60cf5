"""The catalogue: generic engines, propellers and hulls from hull_data, and the demo boats.

A row goes through the same spans, words and parts as a table of a person's boat file; whatever is
wrong becomes faults with file, line and column. Nothing here is a make or a model.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from perf.base.sources import SOURCES, Source
from perf.base.tables import data_folder
from perf.boat.catalogrows import (
    HEADINGS,
    EngineRow,
    HullRow,
    PropellerRow,
    RowReader,
    engine_row,
    hull_row,
    propeller_row,
    source_row,
)
from perf.boat.csvtext import sheet

__all__ = [
    "KINDS",
    "catalogue",
    "demo_boats",
    "demo_candidates",
    "demo_duties",
    "demo_titles",
    "engines",
    "hulls",
    "propellers",
    "read_engines",
    "read_hulls",
    "read_propellers",
    "read_sources",
    "sources",
]

KINDS = ("engines", "propellers", "hulls")

_Row = TypeVar("_Row")


def _read(
    source: Path | bytes,
    kind: str,
    build: Callable[[RowReader], _Row | None],
    name: str | None,
    known: Mapping[str, Source],
) -> dict[str, _Row]:
    found = sheet(source, HEADINGS[kind], name)
    taken: dict[str, int] = {}
    rows: dict[str, _Row] = {}
    for cells in found.rows:
        row = RowReader(found, cells, known)
        key = row.take_key(taken, strict=kind != "sources")
        part = build(row)
        if part is not None:
            rows[key] = part
    found.refuse_if_faulty()
    return rows


def read_engines(source: Path | bytes, name: str | None = None) -> dict[str, EngineRow]:
    """Read a CSV of engines by key; InputFaults with all faults at once."""
    return _read(source, "engines", engine_row, name, sources())


def read_propellers(source: Path | bytes, name: str | None = None) -> dict[str, PropellerRow]:
    """Read a CSV of propellers by key; InputFaults with all faults at once."""
    return _read(source, "propellers", propeller_row, name, sources())


def read_hulls(source: Path | bytes, name: str | None = None) -> dict[str, HullRow]:
    """Read a CSV of hulls by key; InputFaults with all faults at once."""
    return _read(source, "hulls", hull_row, name, sources())


def read_sources(source: Path | bytes, name: str | None = None) -> dict[str, Source]:
    """Read a CSV of sources by key; InputFaults with all faults at once, also for a key the laws use."""
    return _read(source, "sources", source_row, name, SOURCES)


def _shipped(name: str) -> Path:
    return data_folder() / name


@cache
def sources() -> Mapping[str, Source]:
    """Every source a row may rest on by key: those of the laws and those of sources.csv."""
    return MappingProxyType(SOURCES | read_sources(_shipped("sources.csv")))


@cache
def engines() -> Mapping[str, EngineRow]:
    """The engines of the catalogue by key, in the order of the file."""
    return MappingProxyType(read_engines(_shipped("engines.csv")))


@cache
def propellers() -> Mapping[str, PropellerRow]:
    """The propellers of the catalogue by key, in the order of the file."""
    return MappingProxyType(read_propellers(_shipped("propellers.csv")))


@cache
def hulls() -> Mapping[str, HullRow]:
    """The hulls of the catalogue by key, in the order of the file."""
    return MappingProxyType(read_hulls(_shipped("hulls.csv")))


def catalogue(
    kind: str,
) -> Mapping[str, EngineRow] | Mapping[str, PropellerRow] | Mapping[str, HullRow]:
    """The rows of one kind by key; ValueError for a kind that is none of KINDS."""
    if kind == "engines":
        return engines()
    if kind == "propellers":
        return propellers()
    if kind == "hulls":
        return hulls()
    raise ValueError(f"a catalogue is one of {', '.join(KINDS)}, not {kind!r}")


# Number words put the demo boats in order: a plain sort would put eight before one.
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def demo_boats() -> dict[str, Path]:
    """The whole demo boats by name of the file without its ending, in the yard's order."""
    found = {path.stem: path for path in _shipped("boats").glob("*.toml")}
    return {stem: found[stem] for stem in sorted(found, key=_order)}


def _order(stem: str) -> tuple[int, str]:
    word = stem.rpartition("_")[2]
    return (_NUMBERS.index(word) if word in _NUMBERS else len(_NUMBERS), stem)


def demo_candidates() -> dict[str, Path]:
    """Candidates that ship for a demo boat, by the boat's name, in the yard's order."""
    return _of_boats("candidates")


def demo_duties() -> dict[str, Path]:
    """Seasons that ship for a demo boat, by the boat's name, in the yard's order."""
    return _of_boats("duties")


def _of_boats(folder: str) -> dict[str, Path]:
    found = {path.stem: path for path in _shipped(folder).glob("*.toml")}
    return {stem: found[stem] for stem in sorted(found, key=_order)}


def demo_titles() -> dict[str, str]:
    """One line on each demo boat, from the first line of its file, such as "Number One: 15 ft …"."""
    return {stem: _title(path) for stem, path in demo_boats().items()}


def _title(path: Path) -> str:
    with path.open(encoding="utf-8") as file:
        return file.readline().lstrip("# ").strip().rstrip(".")
