"""From bytes or a path to a TOML document with places; whatever is wrong becomes located faults."""

from __future__ import annotations

import pathlib
import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from perf.base.faults import Fault, InputFaults
from perf.boat.tomlplaces import NOWHERE, Path, Places, Spot, locate, readable

MOST_BYTES = 64_000
LONGEST_LINE = 2_000
MOST_DOTS = 16  # of one key: tomllib takes time with the square of them
MOST_MENDED = 8  # broken lines set aside before the reader gives up
USUAL_LETTERS = 16_000  # of longer files only the first broken line is told
MOST_FAULTS = 60
SHOWN_LETTERS = 60

Hint = Callable[[str], str]


@dataclass(frozen=True)
class Caps:
    """What a file may be at most before it is parsed, and what is said of one that is larger."""

    most_bytes: int = MOST_BYTES
    longest_line: int = LONGEST_LINE
    larger: str = "a boat file is a page or two of text"


A_PAGE = Caps()

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_STATEMENT = re.compile(r"\s*([A-Za-z0-9_-]+)\s*=\s*(.*?)\s*$")
_HEADER = re.compile(r"\s*\[([A-Za-z0-9_.-]+)\]\s*(?:#.*)?$")
_HEADER_START = re.compile(r"\s*\[+\s*([A-Za-z0-9_.-]+)")
_CURLY = re.compile("[“”„‘’]")


@dataclass
class Document:
    """A parsed text: tables, places, faults so far, and the keys whose lines were set aside."""

    name: str
    tables: dict[str, Any]
    places: Places
    faults: list[Fault] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)

    def fault(self, spot: Spot, key: str, text: object, cure: str) -> None:
        """Note one fault at a place."""
        self.faults.append(Fault(*spot, seen(key), seen(text), cure))

    def refuse_if_faulty(self) -> None:
        """Raise InputFaults with all faults noted so far, if any."""
        if not self.faults:
            return
        found = sorted(dict.fromkeys(self.faults), key=lambda fault: (fault.line, fault.column))
        if len(found) > MOST_FAULTS:
            rest = len(found) - MOST_FAULTS
            found = [*found[:MOST_FAULTS], Fault(0, 0, self.name, "", f"and {rest} more faults")]
        raise InputFaults(self.name, found)


def seen(text: object) -> str:
    """A person's text fit to be shown: short, on one line, nothing invisible in it."""
    shown = str(text)[: SHOWN_LETTERS + 1]
    shown = "".join(letter if letter.isprintable() else "�" for letter in shown)
    return shown if len(shown) <= SHOWN_LETTERS else shown[: SHOWN_LETTERS - 1] + "…"


def document(
    source: str | pathlib.Path | bytes, name: str | None, hint: Hint, caps: Caps = A_PAGE
) -> Document:
    """Read and parse a path or the bytes of a file; hint gives an example value for a readable key.

    Raises InputFaults where nothing can be read. Lines that are no TOML are set aside as faults
    and the rest is read, so that one missing quote does not hide the other faults.
    """
    called = name or (
        "boat file" if isinstance(source, bytes) else pathlib.Path(source).name or "boat file"
    )
    called = seen(called)
    text = _text(_bytes(source, called, caps), called, caps)
    return _parsed(text, called, hint)


def _refused(
    name: str, cure: str, spot: Spot = NOWHERE, key: str = "", text: str = ""
) -> InputFaults:
    return InputFaults(name, [Fault(*spot, key or name, seen(text), cure)])


def _bytes(source: str | pathlib.Path | bytes, name: str, caps: Caps) -> bytes:
    if isinstance(source, bytes):
        return source
    try:
        path = pathlib.Path(source)
        if not path.is_file():
            raise _refused(name, "there is no such file: check the name and the folder")
        with path.open("rb") as file:
            return file.read(caps.most_bytes + 1)
    except (OSError, ValueError) as why:
        raise _refused(
            name, "this file cannot be opened: check its name and who may read it"
        ) from why


def _text(data: bytes, name: str, caps: Caps) -> str:
    """The text of the bytes, or InputFaults: too large, no UTF-8, a line too long, keys too deep."""
    if len(data) > caps.most_bytes:
        raise _refused(name, f"larger than {caps.most_bytes // 1000} kB: {caps.larger}")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\x00" in data:
        raise _refused(name, "not plain text: save it as a text file in UTF-8")
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as why:
        before = data[: why.start].decode("utf-8-sig", "replace").split("\n")
        spot = (len(before), len(before[-1]) + 1)
        raise _refused(
            name, "not UTF-8 from here on (often ± or °): save the file as UTF-8", spot
        ) from why
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > caps.longest_line:
            raise _refused(
                name, f"a line of more than {caps.longest_line} letters", (number, 1), text=line
            )
        head, equals, _ = line.partition("=")
        if head.count(".") > MOST_DOTS and (equals or line.lstrip().startswith("[")):
            raise _refused(name, "too many dots in one key", (number, 1), text=line)
    return text


def _parsed(text: str, name: str, hint: Hint) -> Document:
    found = Document(name, {}, Places())
    lines = text.split("\n")
    for _ in range(MOST_MENDED if len(text) <= USUAL_LETTERS else 1):
        try:
            found.tables = tomllib.loads("\n".join(lines))
            break
        except tomllib.TOMLDecodeError as why:
            if not _set_aside(found, lines, str(why), hint):
                found.refuse_if_faulty()
        except RecursionError as why:
            raise _refused(name, "brackets nested too deep: a boat file needs two levels") from why
        except ValueError as why:
            raise _refused(name, "a number in it is too long to be read") from why
    else:
        found.refuse_if_faulty()
    found.places = locate("\n".join(lines))
    return found


def _set_aside(found: Document, lines: list[str], message: str, hint: Hint) -> bool:
    """Note the fault a message tells of and blank its line; False where reading cannot go on."""
    place = _PLACE.search(message)
    what = _PLACE.sub("", message)
    places = locate("\n".join(lines))
    if what.startswith(("Cannot", "Duplicate")) and places.twice:
        kept = [_one_kept(found, lines, places, *double) for double in places.twice]
        return all(kept)
    number = int(place[1]) if place and place[1] else _last_line(lines)
    column = int(place[2]) if place and place[2] else 1
    if places.open_at and places.open_at[0] <= number:
        return _closed(found, lines, places.open_at)
    if what == "Unterminated string" and (opened := _endless(lines)):
        found.fault(
            (opened, 1),
            _key_of_line(lines, opened),
            "",
            "three quotes open a text that never ends: use one on each side",
        )
        return False
    line = lines[number - 1]
    statement = _STATEMENT.match(line)
    key = _key_of_line(lines, number)
    found.fault(
        (number, column),
        key,
        statement[2] if statement else line.strip(),
        _cure(what, line, key, hint),
    )
    if statement is None or _opens(statement[2]):
        return False
    found.broken.add(key)
    lines[number - 1] = ""
    return True


def _one_kept(
    found: Document, lines: list[str], places: Places, path: Path, first: Spot, second: Spot
) -> bool:
    """Note a key written twice and blank its second line; False where it is a table or shares a line."""
    found.fault(second, readable(path), "", f"written twice; first in line {first[0]}")
    statement = _STATEMENT.match(lines[second[0] - 1])
    alone = statement is not None and statement[1] == path[-1] and not _opens(statement[2])
    if alone and path in places.values:
        lines[second[0] - 1] = ""
    return alone and path in places.values


def _closed(found: Document, lines: list[str], opened: Spot) -> bool:
    """Note a bracket that is never closed; blank its line if the next one begins afresh."""
    number, column = opened
    mark = lines[number - 1][column - 1]
    shut = "]" if mark == "[" else "}"
    key = _key_of_line(lines, number)
    found.fault(
        opened,
        key,
        lines[number - 1][column - 1 :],
        f"this {mark} is never closed: end it with {shut}",
    )
    after = next((line for line in lines[number:] if line.strip()), "[end]")
    if not (_STATEMENT.match(after) or _HEADER.match(after)):
        return False
    found.broken.add(key)
    lines[number - 1] = ""
    return True


def _endless(lines: list[str]) -> int:
    """Number of the last line with three quotes in a row, 0 if there is none."""
    return max(
        (n for n, line in enumerate(lines, start=1) if '"""' in line or "'''" in line), default=0
    )


def _last_line(lines: list[str]) -> int:
    return max((n for n, line in enumerate(lines, start=1) if line.strip()), default=1)


def _opens(value: str) -> bool:
    """Whether a value goes on in the next line, as far as its brackets and quotes tell."""
    return value.startswith(('"""', "'''")) or any(
        value.startswith(mark) and shut not in value for mark, shut in (("[", "]"), ("{", "}"))
    )


def _key_of_line(lines: list[str], number: int) -> str:
    """Readable path of the key in a line, with the table above it."""
    statement = _STATEMENT.match(lines[number - 1])
    header = _HEADER_START.match(lines[number - 1])
    if header:
        return header[1]
    headers = (_HEADER.match(line) for line in reversed(lines[:number]))
    table = next((header[1] for header in headers if header), "")
    return ".".join(part for part in (table, statement[1] if statement else "") if part)


def _cure(what: str, line: str, key: str, hint: Hint) -> str:
    """What to write instead of a line that tomllib refuses."""
    statement = _STATEMENT.match(line)
    if _CURLY.search(line):
        return 'curly quotes: use straight ones (")'
    if statement is None:
        if line.lstrip().startswith("["):
            return "a table begins with its name in brackets alone on a line, such as [hull]"
        return 'not understood: a line reads key = value, such as name = "Number Four"'
    name, value = statement[1], statement[2].partition("#")[0].strip()
    example = hint(key)
    text = example or '"24 ft 2 in"'
    if what.startswith(("Cannot", "Duplicate")):
        return f"{name} is written twice or is a table already: keep one"
    if not value:
        return f"a value is missing, such as {name} = {text}"
    if value.startswith(("{", "[")):
        return "something is wrong between these brackets: each text in double quotes, commas between, brackets closed"
    if value.startswith('"') and value.count('"') > 2:
        return f'an inch mark ends the text: write in, such as "8 ft 6 in": {name} = {text}'
    if value.startswith(('"', "'")):
        return f"a closing quote is missing or a backslash is in the text, such as {name} = {text}"
    if example and not example.startswith('"'):
        return f"write such as {name} = {example}"
    return f'put the text in double quotes: {name} = "{seen(value)}"'
