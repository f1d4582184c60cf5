"""The owner's text with a [trial] table written or renewed; every other byte stays as it was."""

from __future__ import annotations

import re
import tomllib
from dataclasses import fields
from pathlib import Path

from perf.base.faults import Fault, InputFaults
from perf.base.files import write_whole
from perf.boat.learned import FACTORS, half_width_left
from perf.boat.parts import Trial
from perf.boat.together import written_rows
from perf.boat.tomlplaces import locate
from perf.boat.tomltext import LONGEST_LINE, MOST_BYTES

REMARK = "# by overhump trial; take this table out to go back to the estimate"
UNITS = {"balance_m": " m"}
KEYS = {"balance_m": "balance"}
TEXTS = ("log", "date", "version")
_MARK = b"\xef\xbb\xbf"


def with_trial(text: bytes, trial: Trial, *, name: str = "boat file") -> bytes:
    """The bytes of a boat file with its [trial] table appended, or replaced where it stood.

    Parameters
    ----------
    text : the owner's file as it is, UTF-8.
    trial : what a sea trial found.
    name : what to call the file in faults.

    Raises
    ------
    InputFaults where the text is no TOML, holds its trial in another form, or would grow past what a
    boat file may be.
    """
    try:
        whole = text.removeprefix(_MARK).decode("utf-8")
        before = tomllib.loads(whole.replace("\r\n", "\n"))
    except ValueError as why:
        raise _refused(name, "not a boat file that can be read: check it first") from why
    newline = "\r\n" if "\r\n" in whole else "\n"
    table = newline.join(_lines(trial)) + newline
    changed = _placed(whole, table, newline, before, name)
    after = tomllib.loads(changed.replace("\r\n", "\n"))
    if _without(before) != _without(after):
        raise _refused(
            name, "the [trial] table cannot be told from what stands around it: move it to the end"
        )
    out = (_MARK if text.startswith(_MARK) else b"") + changed.encode()
    if len(out) > MOST_BYTES or max(map(len, changed.split("\n"))) > LONGEST_LINE:
        raise _refused(name, f"with a trial it would be larger than {MOST_BYTES // 1000} kB")
    return out


def same_but_trial(one: bytes, other: bytes) -> bool:
    """Whether two boat files say the same of a boat, what a trial found apart; no where one cannot be read."""
    try:
        tables = [
            tomllib.loads(text.removeprefix(_MARK).decode("utf-8").replace("\r\n", "\n"))
            for text in (one, other)
        ]
    except (ValueError, RecursionError):
        return False
    return _without(tables[0]) == _without(tables[1])


def _refused(name: str, cure: str) -> InputFaults:
    return InputFaults(name, [Fault(0, 0, "trial", "", cure)])


def _without(tables: dict[str, object]) -> dict[str, object]:
    return {key: value for key, value in tables.items() if key != "trial"}


def _placed(whole: str, table: str, newline: str, before: dict[str, object], name: str) -> str:
    """The text with the table in the place of the old one, or at its end."""
    if "trial" not in before:
        ended = whole if whole.endswith("\n") or not whole else whole + newline
        return f"{ended}{newline}[trial] {REMARK}{newline}{table}"
    lines = whole.split("\n")  # a carriage return stays with its line
    first, last = _span("\n".join(line.rstrip("\r") for line in lines), name)
    head = re.sub(r"\s*#.*$", "", lines[first].rstrip("\r"))
    kept_before, kept_after = lines[:first], lines[last:]
    new = f"{head} {REMARK}{newline}{table}"
    rest = "\n".join(kept_after)
    start = "\n".join(kept_before) + ("\n" if kept_before else "")
    return f"{start}{new}{rest}"


def _span(text: str, name: str) -> tuple[int, int]:
    """Lines of the [trial] table: its heading, and the first line after it that is not its own."""
    places = locate(text).keys
    lines = text.split("\n")
    line, _ = places[("trial",)]
    if not re.match(r"\s*\[\s*trial\s*\]", lines[line - 1]) or any(
        path[0] == "trial" and len(path) > 1 and spot[0] < line for path, spot in places.items()
    ):
        raise _refused(
            name, "what is known of the trial must stand in one [trial] table of its own"
        )
    heads = [
        spot[0]
        for path, spot in places.items()
        if spot[0] > line and path[0] != "trial" and lines[spot[0] - 1].lstrip().startswith("[")
    ]
    last = min(heads) - 1 if heads else len(lines)
    # remarks and empty lines over the next heading belong to that
    while last - 1 > line - 1 and (
        not lines[last - 1].strip() or lines[last - 1].lstrip().startswith("#")
    ):
        last -= 1
    return line - 1, last


def _lines(trial: Trial) -> list[str]:
    """Keys and values of the table, one to a line."""
    lines = [f"{key:<10} = {_quoted(getattr(trial, key))}" for key in TEXTS if getattr(trial, key)]
    left = _left(trial)
    for field in fields(Trial):
        if field.name in TEXTS or field.name == "learned":
            continue
        value = getattr(trial, field.name)
        unit = UNITS.get(field.name, "")
        doubt = left.get(field.name)
        if doubt is None and value == field.default:
            continue
        said = f"{_plain(value)}{unit}"
        if doubt is not None:
            said += f" ± {_plain(doubt)}{unit}"
        quoted = _quoted(said) if doubt is not None or unit else said
        lines.append(f"{KEYS.get(field.name, field.name):<10} = {quoted}")
    if trial.learned is not None:
        lines += ["together   = [", *(f"  {row}," for row in written_rows(trial.learned)), "]"]
    return lines


def _left(trial: Trial) -> dict[str, float]:
    """What is left of the doubt of each factor that was tried, by field."""
    learned = trial.learned
    if learned is None:
        return {}
    return {
        FACTORS[path]: half_width_left(learned, place)
        for place, path in enumerate(learned.names)
        if path in FACTORS
    }


def _plain(value: float) -> str:
    """A number without powers of ten, to five significant digits."""
    return f"{value:.5f}".rstrip("0").rstrip(".") if value else "0"


def _quoted(text: str) -> str:
    return '"' + "".join(c for c in text if c.isprintable() and c not in '"\\') + '"'


def save_with_trial(path: str | Path, out: str | Path, trial: Trial) -> None:
    """Read a boat file and write it with the trial to another path; OSError where it cannot be written."""
    write_whole(out, with_trial(Path(path).read_bytes(), trial, name=Path(path).name))
