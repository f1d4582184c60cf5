"""Any file of this tool checked: its kind told from its content, read by its own reader, and what was understood."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from perf.base.faults import Fault, InputFaults
from perf.base.units import KINDS
from perf.boat import catalog, recognise
from perf.boat.boatfile import read_boat
from perf.boat.choice import schema as choice
from perf.boat.choice.duty import read_duty
from perf.boat.choice.file import read_candidates, reading_of
from perf.boat.log.file import Log, read_log
from perf.boat.parts import Boat
from perf.boat.reading import Reading
from perf.boat.scenario.file import read_scenario
from perf.boat.scenario.parts import SET, Scenario, Told
from perf.boat.schema import BAND, COUNT, FLAG, NAMES, Key, Table
from perf.boat.tomltext import document
from perf.boat.trip import schema as tripschema
from perf.boat.trip.file import TripReading, read_trip
from perf.boat.understood import Row, spoken, understood

SAID = {
    recognise.BOAT: "a boat file",
    recognise.TRIP: "a trip file",
    recognise.CANDIDATES: "a candidates file",
    recognise.DUTY: "a duty file",
    recognise.SCENARIO: "everything of one boat",
    recognise.LOG: "a trial log",
    "engines": "rows of engines",
    "propellers": "rows of propellers",
    "hulls": "rows of hulls",
    "sources": "rows of sources",
}
ALONE = "not checked without a boat: {}. Name the boat's file beside it to have that checked too"
UNKNOWN = (
    "no kind of file this tool knows: a boat has [hull], a trip [runs], candidates [candidates], a "
    "season [season]; a log and rows of a catalogue begin with a line of headings"
)
_SHOWN = ({*KINDS} - {"ratio", "money"}) | {COUNT, FLAG, NAMES, BAND}  # the rest stands as written
_ROW_READERS: Mapping[str, Callable[..., Mapping[str, Any]]] = {
    "engines": catalog.read_engines,
    "propellers": catalog.read_propellers,
    "hulls": catalog.read_hulls,
    "sources": catalog.read_sources,
}


@dataclass(frozen=True)
class Checked:
    """A file that was read without a fault.

    kind : a word of recognise. rows : key, what was written, what was understood. notes : what was
    not checked, or set aside with its place. boat : the boat in it, None where there is none.
    """

    kind: str
    name: str
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    boat: Boat | None = None


def check_file(source: Path | bytes, name: str, boat: Boat | None, units: str = "us") -> Checked:
    """Read a file of any kind and say what was understood.

    Parameters
    ----------
    source : path of the file, or its bytes.
    name : what to call it in faults.
    boat : the boat that a trip, candidates or a season belong to; without one they are checked as
        far as that goes, and notes say what was not.
    units : us, nautical or metric.

    Raises
    ------
    InputFaults with every fault found, also for a file of no known kind.
    """
    kind = kind_of_file(source, name)
    if kind == recognise.BOAT:
        found = read_boat(source, name=name)
        return Checked(kind, found.name, tuple(understood(found, units)), boat=found)
    if kind == recognise.SCENARIO:
        return _scenario(read_scenario(source, name=name), units)
    if kind == recognise.LOG:
        return _log(read_log(source, name=name))
    if kind in _ROW_READERS:
        return _catalogue(kind, source, name)
    if kind in (recognise.TRIP, recognise.DUTY, recognise.CANDIDATES):
        return _of_a_boat(kind, source, name, boat, units)
    raise InputFaults(name, [Fault(0, 0, name, "", UNKNOWN)])


def kind_of_file(source: Path | bytes, name: str) -> str:
    """The kind a file is taken for, a word of recognise, empty where none fits; InputFaults if unreadable."""
    return recognise.kind_of(_beginning(source, name))


def _beginning(source: Path | bytes, name: str) -> bytes:
    if isinstance(source, bytes):
        data = source[: recognise.LOOKED_AT]
    else:
        try:
            with source.open("rb") as file:
                data = file.read(recognise.LOOKED_AT)
        except (OSError, ValueError) as why:
            cure = "this file cannot be opened: check its name and who may read it"
            raise InputFaults(name, [Fault(0, 0, name, "", cure)]) from why
    if not data.strip():
        raise InputFaults(name, [Fault(0, 0, name, "", "the file is empty")])
    return data


# --- what belongs to a boat -------------------------------------------------------------------------


def _of_a_boat(
    kind: str, source: Path | bytes, name: str, boat: Boat | None, units: str
) -> Checked:
    rows = kind == recognise.CANDIDATES and not _is_toml(source)
    unchecked = "names of loads, people and seats"
    if kind == recognise.TRIP:
        called = read_trip(source, boat, name=name).name
        reading: Reading = TripReading(
            document(source, name, tripschema.example_of), tripschema.TOP, tripschema.TABLES
        ).walk()
        tables, top = tripschema.TABLES, tripschema.TOP
    elif kind == recognise.DUTY:
        called = read_duty(source, boat, name=name).name
        tables, top = choice.DUTY_TABLES, choice.DUTY_TOP
        reading = Reading(document(source, name, choice.duty_example), top, tables).walk()
        unchecked = "names of loads"
    else:
        reading = reading_of(source, name, rows)
        tables, top = choice.CANDIDATES_TABLES, choice.CANDIDATES_TOP
        called = str(reading.values.get("name") or "candidates")
        unchecked = (
            "what each leaves as it is on the boat, and how engine, propeller and bracket fit"
        )
        if boat is not None:
            called = read_candidates(source, boat, name=name, rows=rows).name
    notes = (ALONE.format(unchecked),) if boat is None else ()
    return Checked(kind, called, _told(reading, tables, top, units), notes)


def _is_toml(source: Path | bytes) -> bool:
    """Whether candidates are tables, not rows under headings."""
    return not recognise.has_headings(_beginning(source, ""))


def _told(
    reading: Reading, tables: Mapping[str, Table], top: Mapping[str, Key], units: str
) -> tuple[Row, ...]:
    """Every key beside its words: quantities in the asked units, all else as it stands."""
    rows = []
    for path, text in reading.words.items():
        key, value = choice.key_at(tables, top, path), reading.values.get(path)
        shown = key is not None and key.kind in _SHOWN and isinstance(value, float | int | tuple)
        doubt = reading.doubts.get(path, 0.0)
        rows.append((path, text, spoken(value, key, units, doubt) if shown and key else text))
    return tuple(rows)


# --- everything else ----------------------------------------------------------------------------------


def _scenario(found: Scenario, units: str) -> Checked:
    boat = found.boat.as_set()
    rows: list[Row] = [
        ("scenario", found.name, found.name),
        ("units", found.units, found.units),
        *_set_on("boat", found.boat),
    ]
    for kept in found.kept:
        rows += [("kept", kept.name, kept.told.as_set().name), *_set_on("kept", kept.told)]
    for table in ("trip", "candidates", "season"):
        if getattr(found, table) is not None:
            rows.append((table, "", "stands in it, and was read with this boat"))
    rows += [(f"boat.{path}", text, said) for path, text, said in understood(boat, units)]
    return Checked(recognise.SCENARIO, boat.name, tuple(rows), boat=boat)


def _set_on(path: str, told: Told) -> list[Row]:
    words = {name: getattr(told, name) for name in SET}
    return [(f"{path}.{name}", text, f"set to {text}") for name, text in words.items() if text]


def _log(log: Log) -> Checked:
    rows: list[Row] = [("rows", "", f"{log.count:,} kept, {log.damaged:,} set aside")]
    for column in log.columns:
        unit = f" [{column.unit}]" if column.unit else ""
        rows.append((f"column {column.place + 1}", column.heading, f"{column.meaning}{unit}"))
    aside = tuple(f"line {f.line}: {f.key}: {f.cure}" for f in log.faults)
    return Checked(recognise.LOG, log.name, tuple(rows), (*log.said, *aside))


def _catalogue(kind: str, source: Path | bytes, name: str) -> Checked:
    found = _ROW_READERS[kind](source, name)
    rows = tuple(
        (key, key, getattr(row, "name", getattr(row, "text", ""))) for key, row in found.items()
    )
    return Checked(kind, f"{len(found)} rows", rows)
