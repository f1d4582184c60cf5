"""The command that checks files: what kind each is, what was understood, every fault and its cure."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from perf.base.faults import InputFaults
from perf.faces.command.asked import Refusal, is_folder
from perf.faces.text.lines import aligned, filled, write_csv

if TYPE_CHECKING:
    from perf.boat.checking import Checked
    from perf.boat.parts import Boat

UNDERSTOOD, FAILED = 0, 1
HEADS = ("key", "written", "understood")


@dataclass(frozen=True)
class Found:
    """What became of one file: it was understood, or refused; kind is what a refused one was taken for."""

    file: str
    kind: str = ""
    checked: Checked | None = None
    refused: Refusal | InputFaults | None = None


def check_options(parser: argparse.ArgumentParser) -> None:
    """What the command asks for."""
    parser.add_argument(
        "files",
        metavar="FILE",
        nargs="+",
        help="boats, trips, candidates, seasons, trial logs, rows of a catalogue, everything of one "
        "boat, or names of demo boats; one boat among them is taken for the others' own",
    )


def check_command(asked: argparse.Namespace) -> int:
    """Say what was understood of each file and go on past a refused one; 1 where one was refused."""
    from perf.boat.checking import SAID
    from perf.faces.command.commands import complain

    found = _all(asked.files, asked.units)
    for one in found:
        if one.refused is not None:
            complain(one.refused, asked.format == "json")
            if one.kind and asked.format != "json":
                print(f"  It was taken for {SAID[one.kind]}.", file=sys.stderr)
    if asked.format == "json":
        shown = [_as_dict(one) for one in found]
        print(json.dumps({"checked": shown}, indent=1, ensure_ascii=False))
    elif asked.format == "csv":
        write_csv(
            ("file", "kind", *HEADS, "line", "column", "cure"),
            [row for one in found for row in _as_rows(one)],
        )
    else:
        for one in found:
            if one.checked is not None:
                _show(one.file, one.checked, asked.quiet)
    return FAILED if any(one.refused is not None for one in found) else UNDERSTOOD


def _all(files: list[str], units: str) -> list[Found]:
    """Every file read; what belongs to a boat is read again with her where one boat was named."""
    found = [_one(file, None, units) for file in files]
    boats = {one.checked.boat for one in found if one.checked and one.checked.boat}
    if len(boats) != 1:
        return found
    boat = boats.pop()
    return [
        one if one.checked is None or one.checked.boat else _one(one.file, boat, units)
        for one in found
    ]


def _one(file: str, boat: Boat | None, units: str) -> Found:
    from perf.boat.checking import check_file, kind_of_file

    kind = ""
    try:
        path = _path_of(file)
        kind = kind_of_file(path, path.name)
        return Found(file, kind, check_file(path, path.name, boat, units))
    except (Refusal, InputFaults) as refused:
        return Found(file, kind, refused=refused)


def _path_of(text: str) -> Path:
    """The path of a file, or of a demo boat by her name."""
    from perf.boat.catalog import demo_boats

    path = Path(text)
    try:
        there = path.is_file()
    except (OSError, ValueError):  # a name too long, a folder that may not be looked into
        there = False
    if there:
        return path
    if text in demo_boats():
        return demo_boats()[text]
    what = "a folder, not a file" if is_folder(path) else "no such file"
    raise Refusal("FILE", text, f"{what}; demo boats: {', '.join(demo_boats())}")


# --- showing it ---------------------------------------------------------------------------------------


def _show(file: str, checked: Checked, quiet: bool) -> None:
    from perf.boat.checking import SAID

    print(f"{file} understood: {SAID[checked.kind]}, {checked.name}")
    for note in checked.notes:
        print(filled(note, "  ", "  "))
    if not quiet:
        print(aligned(checked.rows))


def _as_dict(one: Found) -> dict[str, Any]:
    if one.checked is None:
        return {
            "file": one.file,
            "passed": False,
            "kind": one.kind or None,
            "faults": [] if one.refused is None else one.refused.as_dict()["faults"],
        }
    return {
        "file": one.file,
        "passed": True,
        "kind": one.checked.kind,
        "name": one.checked.name,
        "notes": list(one.checked.notes),
        "understood": [dict(zip(HEADS, row, strict=True)) for row in one.checked.rows],
    }


def _as_rows(one: Found) -> list[tuple[str, ...]]:
    """Rows of the CSV: what was understood, or what is wrong and where."""
    if one.checked is not None:
        kind = one.checked.kind
        said = [(*row, "", "", "") for row in one.checked.rows]
        said += [("", "", "", "", "", note) for note in one.checked.notes]
        return [(one.file, kind, *cells) for cells in said]
    faults: Any = () if one.refused is None else one.refused.as_dict()["faults"]
    return [
        (one.file, one.kind, f["key"], f["text"], "", f"{f['line']}", f"{f['column']}", f["cure"])
        for f in faults
    ]
