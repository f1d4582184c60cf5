"""The command that plans a trip: what it asks for, and how it shows the answer."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from perf.faces.command.asked import Refusal, boat_of, is_folder, read_one, whole

if TYPE_CHECKING:
    from perf.boat.parts import Boat
    from perf.boat.trip.parts import Reserve, Trip

LEAST_DRAWS, MOST_DRAWS = 20, 2000
THIRD = "third"


def trip_options(parser: argparse.ArgumentParser) -> None:
    """Everything `overhump trip` takes."""
    add = parser.add_argument
    add("boat", metavar="BOAT", help="a boat file, or the name of a demo boat")
    add("trip", metavar="TRIP", help="a trip file, or the name of a demo trip")
    add(
        "--reserve",
        metavar="HOW MUCH",
        help='fuel kept back: third, or such as "20 gal" (as the trip says)',
    )
    add(
        "--draws",
        type=whole(0, MOST_DRAWS),
        default=200,
        help="draws for the bands, 0 for none (200)",
    )
    add("--seed", type=whole(0, 999_999_999), default=1, help="start of the draws (1)")
    add("--figure", metavar="FILE", help="also draw the curves as .png, .svg or .pdf")
    add("--sheet", metavar="FILE", help="also write the trip sheet, one page, as .pdf")


def trip_command(asked: argparse.Namespace) -> int:
    """Work out a trip and show it; answered also where the fuel is short."""
    from perf.faces.command.commands import check_figure, show_result

    check_figure(asked)
    sheet = _sheet_file(asked)
    if 0 < asked.draws < LEAST_DRAWS:
        raise Refusal(
            "--draws", f"{asked.draws}", f"a band needs {LEAST_DRAWS} draws or more; 0 draws none"
        )
    reserve = None if asked.reserve is None else _reserve(asked.reserve)
    boat = boat_of(asked.boat)
    plan = trip_of(asked.trip, boat)

    from perf.studies.trip.study import trip

    result = trip(boat, plan, reserve=reserve, draws=asked.draws, seed=asked.seed)
    code = show_result(result, asked)
    if sheet is not None:
        from perf.faces.printed.trip_sheet import save_sheet

        try:
            save_sheet(result, sheet, asked.units)
        except OSError as why:
            raise Refusal("--sheet", asked.sheet, f"cannot be written: {why.strerror}") from why
        if not asked.quiet:
            sys.stderr.write(f"sheet written: {sheet}\n")
    return code


def trip_of(text: str, boat: Boat) -> Trip:
    """The trip of a path or of a demo trip's name, checked against a boat."""
    import difflib

    from perf.boat.trip.file import demo_trips, read_trip

    path = Path(text)
    try:
        there = path.is_file()
    except (OSError, ValueError):  # a name too long, a folder that may not be looked into
        there = False
    if there:
        return read_trip(path, boat)
    demos = demo_trips()
    if text in demos:
        return read_trip(demos[text], boat)
    near = difflib.get_close_matches(text, demos, n=1)
    hint = f"did you mean {near[0]}? " if near else ""
    what = "a folder, not a file" if is_folder(path) else "no such file or demo trip"
    raise Refusal("TRIP", text, f"{what}; {hint}demo trips: {', '.join(demos)}")


def _reserve(text: str) -> Reserve:
    from perf.boat.trip.parts import Reserve

    if text.strip() == THIRD:
        return Reserve()
    if not text.strip()[:1].isdigit():
        raise Refusal("--reserve", text, f'write {THIRD} or a quantity such as "20 gal"')
    return Reserve(quantity_m3=read_one("--reserve", text, text, "volume"))


def _sheet_file(asked: argparse.Namespace) -> Path | None:
    """The file of the sheet, refused before anything is worked out where it cannot be written."""
    if asked.sheet is None:
        return None
    path = Path(asked.sheet)
    if path.suffix.lower() != ".pdf":
        raise Refusal("--sheet", asked.sheet, "is saved as .pdf")
    if not is_folder(path.parent):
        raise Refusal("--sheet", asked.sheet, "there is no such folder to write it in")
    return path
