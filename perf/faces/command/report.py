"""The command that writes the customer's report: one PDF of everything asked for about one boat."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from perf.base.files import write_whole
from perf.faces.command.asked import Refusal, boat_of, is_folder, whole

if TYPE_CHECKING:
    from perf.base.results import Result
    from perf.boat.parts import Boat

MOST_DRAWS = 2000


def report_options(parser: argparse.ArgumentParser) -> None:
    """Everything `overhump report` takes."""
    add = parser.add_argument
    add("boat", metavar="BOAT", help="a boat file, or the name of a demo boat")
    add("--load", metavar="NAME", help="one of the boat's own loads (the one the file names)")
    add("--mount", action="store_true", help="also how to hang the engine")
    add("--candidates", metavar="FILE", help="also a choice of engines; wants --duty")
    add("--duty", metavar="FILE", help="the season the candidates are weighed over")
    add("--trip", metavar="TRIP", help="also a trip: a file, or the name of a demo trip")
    add("-o", "--out", metavar="FILE", required=True, help="the report, as .pdf")
    add(
        "--draws", type=whole(0, MOST_DRAWS), help="draws for the bands (each study its own number)"
    )
    add("--seed", type=whole(0, 999_999_999), default=1, help="start of the draws (1)")


def report_command(asked: argparse.Namespace) -> int:
    """Work everything out and write the report; the answers go to stdout as well."""
    path = _out(asked.out)
    if (asked.candidates is None) != (asked.duty is None):
        raise Refusal("--candidates", asked.candidates or "", "candidates and --duty go together")
    boat = boat_of(asked.boat)
    if asked.load is not None:
        if asked.load not in boat.load_names:
            raise Refusal(
                "--load",
                asked.load,
                f"{boat.name} has no such load; write {' or '.join(boat.load_names)}",
            )
        boat = boat.at(load=asked.load)
    results = _results(asked, boat)

    from perf.faces.printed.report import report_bytes
    from perf.studies.shape import shape_drawings

    try:
        write_whole(path, report_bytes(results, asked.units, drawings=shape_drawings(boat)))
    except OSError as why:
        raise Refusal("-o", asked.out, f"cannot be written: {why.strerror}") from why
    for result in results:
        sys.stdout.write(result.shown(asked.units).answer + "\n")
    if not asked.quiet:
        sys.stderr.write(f"report written: {path}\n")
    return 0


def _out(text: str) -> Path:
    path = Path(text)
    if path.suffix.lower() != ".pdf":
        raise Refusal("-o", text, "a report is written as .pdf")
    if not is_folder(path.parent):
        raise Refusal("-o", text, "there is no such folder to write it in")
    return path


def _results(asked: argparse.Namespace, boat: Boat) -> list[Result]:
    from perf.studies.speeds import speeds

    many = {"seed": asked.seed}
    if asked.draws is not None:
        many["draws"] = asked.draws
    results = [speeds(boat, **many)]
    if asked.mount:
        from perf.studies.mount.study import mount

        results.append(mount(boat, **many))
    if asked.candidates is not None:
        from perf.faces.command.repower import candidates_of, duty_of
        from perf.studies.repower.study import repower

        choice, season = candidates_of(asked, boat), duty_of(asked, boat)
        results.append(repower(boat, choice, season, **many))
    if asked.trip is not None:
        from perf.faces.command.trip import trip_of
        from perf.studies.trip.study import trip

        results.append(trip(boat, trip_of(asked.trip, boat), **many))
    return results
