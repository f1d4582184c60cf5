"""The boat file: one strict reader, all faults at once, nothing guessed without a name."""

from __future__ import annotations

from pathlib import Path

from perf.base.faults import InputFaults
from perf.boat import checks, schema
from perf.boat.building import Builder, engine_of, hull_of, light_of, propeller_of
from perf.boat.parts import Boat
from perf.boat.reading import Reading
from perf.boat.tomltext import Document, document

__all__ = ["InputFaults", "engine_of", "hull_of", "light_of", "propeller_of", "read_boat"]


def read_boat(source: str | Path | bytes, *, name: str | None = None) -> Boat:
    """Read one boat file, a path or the bytes of a file, into a whole boat.

    Parameters
    ----------
    source : path of a TOML file, or its bytes; at most 64 kB of UTF-8.
    name : what to call the file in faults; the file's own name where none is given.

    Returns
    -------
    Boat in SI; doubts, the owner's words and the assumptions that filled blanks are in it.

    Raises
    ------
    InputFaults with every fault found, each with line, column, path, text and cure.
    """
    read = document(source, name, schema.example_of)
    check_format(read)
    reading = Reading(read).walk()
    checks.check(reading)
    read.refuse_if_faulty()
    boat = Builder(reading).boat()
    read.refuse_if_faulty()
    return boat


def check_format(read: Document) -> None:
    """Refuse a file of a newer format before anything else is said about it."""
    number = read.tables.get("format")
    spot = read.places.of_value(("format",))
    if not isinstance(number, int) or isinstance(number, bool):
        return
    if number > schema.FORMAT:
        cure = f"written for a newer overhump: this one reads format {schema.FORMAT}"
        read.faults.clear()
    elif number < schema.FORMAT:
        cure = f"no such format: write format = {schema.FORMAT}"
    else:
        return
    read.fault(spot, "format", number, cure)
    if number > schema.FORMAT:
        read.refuse_if_faulty()
