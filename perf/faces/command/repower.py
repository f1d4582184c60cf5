"""The command that weighs engines against each other: what it asks for, and how it shows the answer."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from perf.faces.command.asked import Refusal, boat_of, is_folder, whole

if TYPE_CHECKING:
    from perf.base.results import Result
    from perf.boat.choice.parts import Candidates, Duty
    from perf.boat.parts import Boat

LEAST_DRAWS, MOST_DRAWS = 20, 5000
PURPOSES = ("economy", "hump", "speed", "money")
CSV_TABLES = ("candidates", "rows", "loads", "propellers", "season", "scrubs", "money", "pairwise", "rules")  # fmt: skip


def repower_options(parser: argparse.ArgumentParser) -> None:
    """Everything `overhump repower` takes."""
    add = parser.add_argument
    add("boat", metavar="BOAT", help="a boat file, or the name of a demo boat")
    add(
        "candidates",
        metavar="CANDIDATES",
        help='a candidates file (.toml or .csv), or "demo" for those of a demo boat',
    )
    add(
        "--duty",
        metavar="DUTY",
        required=True,
        help='a duty file (.toml), or "demo" for that of a demo boat',
    )
    add(
        "--purpose",
        choices=PURPOSES,
        default="economy",
        help="rank by season's fuel, thrust to spare, top speed or money (economy)",
    )
    add(
        "--draws",
        type=whole(0, MOST_DRAWS),
        default=500,
        help="draws of what is not known for sure, 0 for none (500)",
    )
    add("--seed", type=whole(0, 999_999_999), default=1, help="start of the draws (1)")
    add("--table", choices=CSV_TABLES, default="candidates", help="the table of --format csv")
    add("--figure", metavar="FILE", help="also draw the trade and the curves as .png, .svg or .pdf")
    add("--sheet", metavar="FILE", help="also write the customer's two pages, as .pdf")


def repower_command(asked: argparse.Namespace) -> int:
    """Weigh the candidates and show what comes of it; 3 when the user stops it."""
    from perf.faces.command.commands import STOPPED

    sheet = _file(asked.sheet, "--sheet", (".pdf",))
    _check_figure(asked.figure)
    if 0 < asked.draws < LEAST_DRAWS:
        raise Refusal(
            "--draws", f"{asked.draws}", f"a band needs {LEAST_DRAWS} draws or more; 0 draws none"
        )
    boat = boat_of(asked.boat)
    candidates, duty = candidates_of(asked, boat), duty_of(asked, boat)
    from perf.studies.repower.study import Stopped, repower

    bar = _Bar(asked.quiet or not sys.stderr.isatty())
    try:
        result = repower(
            boat,
            candidates,
            duty,
            purpose=asked.purpose,
            draws=asked.draws,
            seed=asked.seed,
            progress=bar.step,
        )
    except (Stopped, KeyboardInterrupt):
        bar.clear()
        print("overhump: stopped, nothing is answered", file=sys.stderr)
        return STOPPED
    bar.clear()
    code = _show(result, asked)
    if sheet is not None:
        from perf.faces.printed.repower_sheet import save_sheet

        _written(lambda: save_sheet(result, sheet, asked.units), "--sheet", asked, sheet)
    return code


class _Bar:
    """One line of progress on a terminal that is watched; silent elsewhere."""

    def __init__(self, quiet: bool) -> None:
        self.quiet, self.drawn = quiet, 0

    def step(self, share: float, what: str) -> bool:
        """Say how far it is; never stops by itself."""
        if not self.quiet:
            said = f"drawing {share:4.0%}  {what}"[:78]
            print(f"\r{said:<78}", end="", file=sys.stderr, flush=True)
            self.drawn = 78
        return True

    def clear(self) -> None:
        """Take the line away."""
        if self.drawn:
            print(f"\r{'':<78}\r", end="", file=sys.stderr, flush=True)


def candidates_of(asked: argparse.Namespace, boat: Boat) -> Candidates:
    """The candidates asked for: a file, or "demo"."""
    from perf.boat.choice.file import read_candidates

    return read_candidates(_path(asked, "candidates", "CANDIDATES"), boat)


def duty_of(asked: argparse.Namespace, boat: Boat) -> Duty:
    """The season asked for: a file, or "demo"."""
    from perf.boat.choice.duty import read_duty

    return read_duty(_path(asked, "duty", "--duty"), boat)


def _path(asked: argparse.Namespace, name: str, where: str) -> str | Path:
    """The file asked for; "demo" is the one that ships for this demo boat."""
    text = str(getattr(asked, name))
    if text != "demo":
        return text
    from perf.boat.catalog import demo_candidates, demo_duties

    known = demo_candidates() if name == "candidates" else demo_duties()
    if asked.boat not in known:
        raise Refusal(where, text, f"there is one for the demo boats {' and '.join(known)} only")
    return known[asked.boat]


def _show(result: Result, asked: argparse.Namespace) -> int:
    from perf.faces.command.commands import ANSWERED

    if asked.format == "json":
        print(result.as_json(asked.units))
    elif asked.format == "csv":
        frame = result.tables[asked.table]
        sys.stdout.write(frame.to_csv(index=False, lineterminator="\n"))
    else:
        from perf.faces.text.repower import as_text

        sys.stdout.write(as_text(result, asked.units, asked.quiet))
    if asked.figure is not None:
        from perf.faces.printed.paper import save_figure

        path = Path(asked.figure)
        _written(lambda: save_figure(result, path, asked.units), "--figure", asked, path)
    return ANSWERED


def _written(write: Callable[[], None], where: str, asked: argparse.Namespace, path: Path) -> None:
    try:
        write()
    except OSError as why:
        raise Refusal(where, str(path), f"cannot be written: {why.strerror}") from why
    if not asked.quiet:
        print(f"written: {path}", file=sys.stderr)


def _file(text: str | None, where: str, endings: tuple[str, ...]) -> Path | None:
    """A file to be written, refused before anything is worked out where it cannot be."""
    if text is None:
        return None
    path = Path(text)
    if path.suffix.lower() not in endings:
        raise Refusal(where, text, f"write a file that ends in {' or '.join(endings)}")
    if not is_folder(path.parent):
        raise Refusal(where, text, "there is no such folder to write it in")
    return path


def _check_figure(text: str | None) -> None:
    from perf.faces.printed.paper import ENDINGS

    _file(text, "--figure", ENDINGS)
