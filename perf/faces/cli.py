"""The command: reads what was asked, runs one study, prints its Result; answers on stdout only.

Exit codes: 0 answered, 1 a check failed, 2 input refused, 3 stopped by the user.
Heavy packages are imported inside the commands, so that a wrong file is refused at once.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import sys
from collections.abc import Sequence
from typing import NoReturn

from perf.base.faults import InputFaults, ReadingError
from perf.faces.command.asked import Refusal
from perf.faces.command.commands import ANSWERED, COMMANDS, FAILED, REFUSED, STOPPED, complain


class Parser(argparse.ArgumentParser):
    """A parser that raises a Refusal instead of leaving the program."""

    def error(self, message: str) -> NoReturn:
        """Refuse the command line with the message and the way to see what there is."""
        if "expected one argument" in message:
            message += (
                " (one that begins with a minus is written with an equals sign: --option=-2in)"
            )
        raise Refusal(
            self.prog.removeprefix("overhump").strip() or "command",
            "",
            f"{message}; see {self.prog} --help",
        )


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    words = list(sys.argv[1:] if argv is None else argv)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal without "±" shows "?" and goes on
    try:
        code = _run(words)
        sys.stdout.flush()
        return code
    except (Refusal, InputFaults) as refused:
        complain(refused, _wants_json(words))
        return REFUSED
    except ReadingError as why:
        complain(Refusal("command line", "", str(why)), _wants_json(words))
        return REFUSED
    except KeyboardInterrupt:
        print("overhump: stopped", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        with contextlib.suppress(
            OSError, ValueError
        ):  # so that Python's own last flush stays quiet
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return ANSWERED
    except OSError as why:  # a full disk, a closed terminal
        complain(Refusal("answer", "", f"cannot be written: {why.strerror}"), _wants_json(words))
        return FAILED


def _run(words: list[str]) -> int:
    try:
        asked = _parser().parse_args(words)
    except SystemExit as done:  # --help and --version print and leave
        return int(done.code or 0)
    code: int = asked.run(asked)
    return code


def _wants_json(words: list[str]) -> bool:
    joined = " ".join(words)
    return "--format json" in joined or "--format=json" in joined


def _parser() -> Parser:
    parser = Parser(
        prog="overhump",
        description="Speed, fuel, range and fit of engine and propeller for small planing boats, with the doubt shown.",
        epilog="Exit codes: 0 answered, 1 a check failed, 2 input refused, 3 stopped.",
        allow_abbrev=False,
    )
    kinds = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for command in COMMANDS:
        sub = kinds.add_parser(
            command.name, help=command.help, description=command.help, allow_abbrev=False
        )
        command.options(sub)
        sub.add_argument(
            "--units",
            choices=("us", "nautical", "metric"),
            default="us",
            help="units of the text and the figure (us)",
        )
        sub.add_argument(
            "--format",
            choices=("text", "csv", "json"),
            default="text",
            help="csv and json hold SI numbers (text)",
        )
        sub.add_argument(
            "--quiet",
            action="store_true",
            help="leave out what lies behind the answer, and all progress",
        )
        sub.set_defaults(run=command.run)
    return parser


if __name__ == "__main__":
    sys.exit(main())
