"""The command of a sea trial: a log fitted, runs planned, the boat weighed by tape."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from perf.base.faults import Fault, InputFaults, ReadingError
from perf.faces.command.asked import Refusal, boat_of, is_everything, is_folder, whole

if TYPE_CHECKING:
    from collections.abc import Callable

    from perf.boat.log.columns import LogColumn
    from perf.boat.log.file import Log
    from perf.boat.parts import Boat, Trial

LEAST_DRAWS, MOST_DRAWS = 20, 2000
DATE = 10  # letters of a date


def trial_options(parser: argparse.ArgumentParser) -> None:
    """Everything `overhump trial` takes."""
    add = parser.add_argument
    add("boat", metavar="BOAT", help="a boat file, or the name of a demo boat")
    add("log", metavar="LOG", nargs="?", help="a log as CSV or .xlsx, or the name of a demo log")
    add(
        "-o",
        "--out",
        metavar="OUT",
        help="write the calibrated boat file, or the sheet of a plan as .pdf",
    )
    add("--plan", action="store_true", help="which runs would teach most, before any is made")
    add(
        "--tape",
        action="store_true",
        help="weigh her by the heights over the water in her [freeboard] table",
    )
    add(
        "--column",
        metavar="HEADING=MEANING",
        action="append",
        default=[],
        help='what a column of the log is, such as "V=speed over ground, kn"; may be given again',
    )
    add("--load", metavar="NAME", help="the load where a run names none (the one the file names)")
    add(
        "--date",
        metavar="DATE",
        default="",
        help="day of the trial, such as 2026-05-14, for the record",
    )
    add(
        "--draws",
        type=whole(LEAST_DRAWS, MOST_DRAWS),
        default=200,
        help="draws for the bands (200)",
    )
    add("--seed", type=whole(0, 999_999_999), default=1, help="start of the draws (1)")
    add("--figure", metavar="FILE", help="also draw the curves as .png, .svg or .pdf")


def trial_command(asked: argparse.Namespace) -> int:
    """Fit a log, plan a trial or weigh by tape, and show it."""
    from perf.faces.command.commands import check_figure, show_result

    check_figure(asked)
    _check_asked(asked)
    if asked.out is not None and is_everything(asked.boat):
        cure = "the calibrated boat is her own file with one table more: give her own file"
        raise Refusal("BOAT", asked.boat, cure)
    boat = boat_of(asked.boat)
    if asked.load is not None and asked.load not in boat.load_names:
        known = " or ".join(boat.load_names)
        raise Refusal("--load", asked.load, f"{boat.name} has no such load; write {known}")
    boat = boat.at(load=asked.load)
    if asked.plan:
        return _plan(boat, asked)
    if asked.tape:
        return _tape(boat, asked)
    from perf.faces.text.trial import as_text
    from perf.studies.trial.study import result_of, work_out

    log = _log(asked)
    try:
        found = work_out(
            boat,
            log,
            draws=asked.draws,
            seed=asked.seed,
            date=asked.date,
            units=asked.units,
        )
    except ValueError as why:
        raise Refusal("LOG", asked.log, str(why)) from why
    code = show_result(result_of(found), asked, as_text)
    if asked.out is not None:
        _write_boat(asked, found.trial)
    return code


def _check_asked(asked: argparse.Namespace) -> None:
    """Refuse what cannot be done before anything is worked out."""
    wanted = sum((asked.plan, asked.tape, asked.log is not None))
    if wanted != 1:
        raise Refusal(
            "trial",
            asked.log or "",
            "give a LOG, or --plan before a trial, or --tape: one of the three",
        )
    if asked.figure is not None and (asked.plan or asked.tape):
        raise Refusal("--figure", asked.figure, "only the fit of a log has curves to draw")
    if len(asked.date) > DATE or (not asked.date.replace("-", "").isdigit() and asked.date):
        raise Refusal("--date", asked.date, "write it such as 2026-05-14")
    if asked.out is None:
        return
    if asked.tape:
        raise Refusal("--out", asked.out, "a weighing by tape writes no file")
    path = Path(asked.out)
    ending = ".pdf" if asked.plan else ".toml"
    if path.suffix.lower() != ending:
        what = "the sheet of a plan" if asked.plan else "a calibrated boat file"
        raise Refusal("--out", asked.out, f"{what} is saved as {ending}")
    if not is_folder(path.parent):
        raise Refusal("--out", asked.out, "there is no such folder to write it in")


def _plan(boat: Boat, asked: argparse.Namespace) -> int:
    from perf.faces.command.commands import show_result
    from perf.faces.text.trial import as_text
    from perf.studies.trial.plan import plan

    result = plan(boat)
    code = show_result(result, asked, as_text)
    if asked.out is not None:
        from perf.faces.printed.trial_sheet import save_trial_sheet

        _written(asked, "sheet", lambda: save_trial_sheet(result, asked.out, asked.units))
    return code


def _tape(boat: Boat, asked: argparse.Namespace) -> int:
    from perf.faces.command.commands import show_result
    from perf.studies.trial.tape import TapeFault
    from perf.studies.trial.weighing import weighing

    try:
        return show_result(weighing(boat, draws=asked.draws, seed=asked.seed), asked)
    except TapeFault as why:
        raise Refusal("--tape", boat.name, str(why)) from why


def _log(asked: argparse.Namespace) -> Log:
    """The log that was asked for, its columns as told."""
    from perf.boat.log.file import log_columns, read_log

    source = log_path(asked.log)
    told = _told(asked.column, log_columns(source)) if asked.column else None
    return read_log(source, columns=told)


def log_path(text: str) -> Path:
    """The path of a log or of a demo log's name; Refusal where there is neither."""
    import difflib

    from perf.boat.log.demos import demo_logs

    path = Path(text)
    try:
        if path.is_file():
            return path
    except (OSError, ValueError):  # a name too long, a folder that may not be looked into
        pass
    demos = demo_logs()
    if text in demos:
        return demos[text]
    near = difflib.get_close_matches(text, demos, n=1)
    hint = f"did you mean {near[0]}? " if near else ""
    what = "a folder, not a file" if is_folder(path) else "no such file or demo log"
    raise Refusal("LOG", text, f"{what}; {hint}demo logs: {', '.join(demos)}")


def _told(words: list[str], columns: tuple[LogColumn, ...]) -> tuple[LogColumn, ...]:
    """The columns with what was told of some by hand."""
    from perf.boat.log.columns import named

    known = {column.heading: column for column in columns}
    for text in words:
        heading, equals, meant = text.partition("=")
        if not equals or heading.strip() not in known:
            heads = ", ".join(known)
            raise Refusal(
                "--column", text, f'write such as "V=speed over ground, kn"; headings: {heads}'
            )
        meaning, _, unit = meant.partition(",")
        try:
            known[heading.strip()] = named(known[heading.strip()], meaning.strip(), unit)
        except ReadingError as why:
            raise Refusal("--column", text, str(why)) from why
    return tuple(known[column.heading] for column in columns)


def _write_boat(asked: argparse.Namespace, trial: Trial) -> None:
    """Write the owner's text with what the trial found."""
    from dataclasses import replace
    from datetime import date

    from perf.base.files import write_whole
    from perf.boat.catalog import demo_boats
    from perf.boat.trialtable import with_trial

    path = Path(asked.boat)
    demos = demo_boats()
    source = demos[asked.boat] if asked.boat in demos and not path.is_file() else path
    dated = replace(trial, date=trial.date or date.today().isoformat())
    try:
        text = with_trial(source.read_bytes(), dated, name=source.name)
    except OSError as why:
        raise InputFaults(
            source.name, [Fault(0, 0, source.name, "", f"cannot be read: {why}")]
        ) from why
    _written(asked, "calibrated boat", lambda: write_whole(asked.out, text))


def _written(asked: argparse.Namespace, what: str, write: Callable[[], None]) -> None:
    try:
        write()
    except OSError as why:
        raise Refusal("--out", asked.out, f"cannot be written: {why.strerror}") from why
    if not asked.quiet:
        sys.stderr.write(f"{what} written: {asked.out}\n")
