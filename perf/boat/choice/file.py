"""The candidates file: choices of engine and propeller, written as differences from one boat."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from perf.base.faults import InputFaults
from perf.boat.boatfile import check_format
from perf.boat.choice import schema as about
from perf.boat.choice.building import ChoiceBuilder
from perf.boat.choice.checks import check_candidates
from perf.boat.choice.parts import Candidates, RuleFacts
from perf.boat.choice.table import is_csv, rows_as_tables
from perf.boat.parts import Boat
from perf.boat.reading import Reading
from perf.boat.tomltext import Document, document

__all__ = ["InputFaults", "read_candidates", "reading_of"]


def read_candidates(
    source: str | Path | bytes, boat: Boat, *, name: str | None = None, rows: bool | None = None
) -> Candidates:
    """Read candidates for one boat from TOML, or from CSV with one candidate a row.

    Parameters
    ----------
    source : path of the file, or its bytes; at most 64 kB and 24 candidates.
    boat : the boat as she is, which the candidates differ from.
    name : what to call the file in faults; a name that ends in .csv makes bytes a CSV.
    rows : whether it is a CSV; told from the name where that is not said.

    Returns
    -------
    Candidates, the boat as she is first among them.

    Raises
    ------
    InputFaults with every fault found, each with line, column, path, text and cure.
    """
    reading = reading_of(source, name, rows=is_csv(source, name) if rows is None else rows)
    read = reading.document
    builder = ChoiceBuilder(reading, boat)
    choices = (builder.as_she_is(), *map(builder.candidate, reading.names("candidates")))
    read.refuse_if_faulty()
    called = reading.values.get("name") or f"Candidates for {boat.name}"
    return Candidates(called, choices, _facts(reading))


def reading_of(source: str | Path | bytes, name: str | None, rows: bool) -> Reading:
    """The keys of the file read and held together, as far as that goes without a boat.

    rows : whether it is a CSV with one candidate a row. InputFaults with every fault that shows.
    """
    if rows:
        read = rows_as_tables(source, name)
    else:
        read = document(source, name or _called(source, "candidates file"), about.candidate_example)
        check_format(read)
    reading = Reading(read, about.CANDIDATES_TOP, about.CANDIDATES_TABLES).walk()
    check_candidates(reading)
    read.refuse_if_faulty()
    return reading


def _called(source: str | Path | bytes, otherwise: str) -> str:
    return otherwise if isinstance(source, bytes) else Path(source).name or otherwise


def _facts(reading: Reading) -> RuleFacts:
    found: dict[str, Any] = {
        name: reading.values.get(f"rules.{name}") for name in about.CANDIDATES_TABLES["rules"].keys
    }
    return RuleFacts(
        steering=found["steering"],
        transom_width_m=found["transom_width"],
        flat_bottom=found["flat_bottom"],
        inflatable=found["inflatable"],
        swamping_displacement_kg=found["swamping_displacement"],
        side_weight_kg=found["side_weight"],
        controls_kg=found["controls"],
        plate_people=found["plate_people"],
        plate_load_kg=found["plate_load"],
    )


def stated_document(tables: dict[str, Any], name: str) -> Document:
    """A document of tables that come from a page, not from a file: faults have no place."""
    from perf.boat.tomlplaces import Places

    return Document(name, tables, Places())
