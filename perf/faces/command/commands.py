"""The commands: what each one asks for, and what it does with it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from perf.base.faults import InputFaults
from perf.faces.command.asked import (
    RANGE,
    Refusal,
    boat_of,
    is_folder,
    read_range,
    tank_level,
    whole,
)
from perf.faces.command.check import check_command, check_options
from perf.faces.command.evidence import evidence, evidence_options
from perf.faces.command.laws import laws, laws_options
from perf.faces.command.mount import mount_command, mount_options
from perf.faces.command.report import report_command, report_options
from perf.faces.command.repower import repower_command, repower_options
from perf.faces.command.trial import trial_command, trial_options
from perf.faces.command.trip import trip_command, trip_options

if TYPE_CHECKING:
    from perf.base.results import Result
    from perf.boat.parts import Boat

ANSWERED, FAILED, REFUSED, STOPPED = 0, 1, 2, 3
LEAST_DRAWS, MOST_DRAWS = 20, 5000  # fewer say nothing about ten and ninety in a hundred
MOST_SEED = 999_999_999


@dataclass(frozen=True)
class Command:
    """One command: its name, a line of help, its options, and what it does."""

    name: str
    help: str
    options: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


def complain(refused: Refusal | InputFaults, as_json: bool) -> None:
    """Say on stderr what was refused, as text or as one line of JSON."""
    if as_json:
        import json

        print(json.dumps(refused.as_dict(), ensure_ascii=False), file=sys.stderr)
    else:
        print(refused.as_text(), file=sys.stderr)


# --- showing a Result -------------------------------------------------------------------------------


def _figure_option(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--figure", metavar="FILE", help="also draw the curves as .png, .svg or .pdf"
    )


def check_figure(asked: argparse.Namespace) -> None:
    """Refuse a figure that could not be written, before anything is worked out."""
    if asked.figure is None:
        return
    from perf.faces.printed.paper import check_ending

    path = Path(asked.figure)
    try:
        check_ending(path)
    except ValueError as why:
        raise Refusal("--figure", asked.figure, str(why)) from why
    if not is_folder(path.parent):
        raise Refusal("--figure", asked.figure, "there is no such folder to write it in")


def show_result(
    result: Result, asked: argparse.Namespace, text: Callable[..., str] | None = None
) -> int:
    """Print a Result as it was asked for, and draw its figure; the exit code.

    text : writes it for a terminal where it has a form of its own.
    """
    if asked.format == "json":
        print(result.as_json(asked.units))
    elif asked.format == "csv":
        sys.stdout.write(result.as_csv())
    else:
        from perf.faces.text.result import as_text

        sys.stdout.write((text or as_text)(result, asked.units, asked.quiet))
    if asked.figure is not None:
        from perf.faces.printed.paper import save_figure

        try:
            save_figure(result, asked.figure, asked.units)
        except OSError as why:
            raise Refusal("--figure", asked.figure, f"cannot be written: {why.strerror}") from why
        if not asked.quiet:
            print(f"figure written: {asked.figure}", file=sys.stderr)
    return ANSWERED


# --- speeds -------------------------------------------------------------------------------------------


def _speeds_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("boat", metavar="BOAT", help="a boat file, or the name of a demo boat")
    parser.add_argument(
        "--load", metavar="NAME", help="one of the boat's own loads (the one the file names)"
    )
    parser.add_argument(
        "--tank",
        metavar="SHARE",
        help="how full, such as 1/2, half, 30 %% or 60gal (as the load says)",
    )
    parser.add_argument(
        "--speed",
        metavar=RANGE,
        help='such as "5:45:2.5mph", both ends included, or one speed (every mph)',
    )
    parser.add_argument(
        "--draws",
        type=whole(0, MOST_DRAWS),
        default=200,
        help="draws for the bands, 0 for none (200)",
    )
    parser.add_argument(
        "--seed", type=whole(0, MOST_SEED), default=1, help="start of the draws (1)"
    )
    parser.add_argument(
        "--tabs",
        action="store_true",
        help="instead: trim tabs from up to all the way down, at the hump and at one --speed (her cruise)",
    )
    _figure_option(parser)


def _speeds(asked: argparse.Namespace) -> int:
    check_figure(asked)
    pace = None if asked.speed is None else read_range("--speed", asked.speed, "speed")
    if pace is not None and pace[0] <= 0.0:
        raise Refusal("--speed", asked.speed, "begin with a speed of more than nothing")
    if 0 < asked.draws < LEAST_DRAWS:
        raise Refusal(
            "--draws", f"{asked.draws}", f"a band needs {LEAST_DRAWS} draws or more; 0 draws none"
        )
    boat = boat_of(asked.boat)
    tank = None if asked.tank is None else tank_level("--tank", asked.tank, boat)
    if asked.load is not None and asked.load not in boat.load_names:
        raise Refusal(
            "--load",
            asked.load,
            f"{boat.name} has no such load; write {' or '.join(boat.load_names)}",
        )
    import numpy as np

    from perf.studies.speeds import speeds

    boat = boat.at(load=asked.load).at(tank=tank) if tank is not None else boat.at(load=asked.load)
    if asked.tabs:
        return _tabs(boat, pace, asked)
    grid = None if pace is None else np.array(pace)
    return show_result(speeds(boat, grid, draws=asked.draws, seed=asked.seed), asked)


def _tabs(boat: Boat, pace: list[float] | None, asked: argparse.Namespace) -> int:
    """The tabs of the boat at the hump and at one speed."""
    from perf.studies.tabs import tabs

    if pace is not None and len(pace) > 1:
        raise Refusal("--speed", asked.speed, "with --tabs write one speed, such as 25mph")
    cruise = None if pace is None else pace[0]
    return show_result(tabs(boat, cruise, draws=asked.draws, seed=asked.seed), asked)


COMMANDS = (
    Command(
        "speeds",
        "How fast, at what rpm, burning what, how far: one boat over speeds.",
        _speeds_options,
        _speeds,
    ),
    Command(
        "mount",
        "Where to hang the engine: setback, plate height, bracket, shaft, and what each does.",
        mount_options,
        mount_command,
    ),
    Command(
        "trip",
        "How much fuel for a trip, what is left, and how far out and back she may go.",
        trip_options,
        trip_command,
    ),
    Command(
        "trial",
        "Fit a sea-trial log, plan the runs of one, or weigh her by tape: make the estimate hers.",
        trial_options,
        trial_command,
    ),
    Command(
        "repower",
        "Which engine and propeller, is it allowed, does it pay, and how sure is the difference.",
        repower_options,
        repower_command,
    ),
    Command(
        "report",
        "Everything on paper for a customer: answers, pictures, tables, doubt, sources.",
        report_options,
        report_command,
    ),
    Command(
        "check",
        "Read any file of this tool and say what was understood, or every fault.",
        check_options,
        check_command,
    ),
    Command("laws", "List the laws in use with their sources and ranges.", laws_options, laws),
    Command(
        "evidence",
        "How sure it is: laws beside published rows, boats beside what was measured.",
        evidence_options,
        evidence,
    ),
)
