"""The file that holds everything of one boat: strict, capped, every fault at its line, also inside its files.

Nothing in it is trusted because this tool wrote it once: each file inside goes through its own
reader with that reader's caps.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from perf.base.faults import Fault, InputFaults, ReadingError
from perf.boat.boatfile import check_format, read_boat
from perf.boat.catalog import demo_boats
from perf.boat.choice.duty import read_duty
from perf.boat.choice.file import read_candidates
from perf.boat.parts import Boat
from perf.boat.reading import Reading
from perf.boat.scenario import schema as about
from perf.boat.scenario.parts import MOST_KEPT, SET, KeptTold, Scenario, Told, set_on
from perf.boat.schema import Key
from perf.boat.tomlplaces import readable
from perf.boat.tomltext import Caps, document
from perf.boat.trip.file import read_trip
from perf.boat.values import text_of

__all__ = ["CAPS", "read_scenario"]

# eight whole files at most stand inside, seldom longer than a few pages; ours
CAPS = Caps(256_000, 4_100, "a boat with all that belongs to her is some pages of text")
BELONGS: dict[str, Callable[..., object]] = {
    "trip": read_trip,
    "candidates": read_candidates,
    "season": read_duty,
}


def read_scenario(source: str | Path | bytes, *, name: str | None = None) -> Scenario:
    """Read everything of one boat, a path or the bytes of a file.

    Parameters
    ----------
    source : path of a TOML file, or its bytes; at most 256 kB of UTF-8, each file inside 64 kB.
    name : what to call the file in faults; the file's own name where none is given.

    Returns
    -------
    Scenario in the words it was written in; all of them were read and understood.

    Raises
    ------
    InputFaults with every fault found, each with line, column, path, text and cure.
    """
    called = name or ("everything of one boat" if isinstance(source, bytes) else None)
    read = document(source, called, about.example_of, CAPS)
    check_format(read)
    reading = ScenarioReading(read, about.TOP, about.TABLES)
    reading.walk()
    kept = reading.names("kept")
    if len(kept) > MOST_KEPT:
        cure = f"{len(kept)} boats are more than the {MOST_KEPT} that fit beside her"
        reading.fault(("kept", kept[MOST_KEPT]), cure, text="", on_key=True)
        read.refuse_if_faulty()
    boats = {path: _boat(reading, path) for path in ("boat", *(f"kept.{n}" for n in kept))}
    if boats["boat"] is not None:
        for table, reader in BELONGS.items():
            _inside(reading, table, reader, boats["boat"])
    read.refuse_if_faulty()
    return _scenario(reading, kept)


class ScenarioReading(Reading):
    """A reading that also knows whole files, titles, and words a person said."""

    def _value(self, path: tuple[str | int, ...], key: Key, raw: object) -> None:
        longest = {about.TITLE: about.LONGEST_TITLE, about.SAID: about.LONGEST_SAID}.get(key.kind)
        if key.kind != about.WHOLE and longest is None:
            super()._value(path, key, raw)
            return
        where = readable(path)
        try:
            text = text_of(raw, key)
        except ReadingError as why:
            self.fault(path, str(why), text="" if isinstance(raw, dict | list) else str(raw))
            return
        if longest is not None and not (len(text) <= longest and text.isprintable()):
            self.fault(
                path, f"at most {longest} letters on one line, none of them hidden", text=text
            )
            return
        self.values[where] = text

    def lines_before(self, path: tuple[str, ...]) -> int:
        """Lines of the file above the first one of a whole file inside it, where it begins on its own line."""
        return self.document.places.of_value(path)[0]


def _boat(reading: ScenarioReading, path: str) -> Boat | None:
    """One boat with what is set on her; None and every fault noted where something is wrong."""
    parts = tuple(path.split("."))
    demo = reading.values.get(f"{path}.demo")
    if demo is not None and demo not in demo_boats():
        near = reading.nearest(demo, demo_boats())
        hint = f"did you mean {near}?" if near else f"there are {', '.join(demo_boats())}"
        reading.fault((*parts, "demo"), f"no such demo boat; {hint}", text=demo)
        return None
    if demo is not None and f"{path}.text" in reading.values:
        reading.fault((*parts, "demo"), "her whole file stands here too: leave one out", text=demo)
        return None
    told = _told(reading, path)
    filed = told.filed() if demo is not None else _inside(reading, path, read_boat)
    if not isinstance(filed, Boat):
        return None
    boat, faults = set_on(filed, told)
    for fault in faults:
        reading.fault((*parts, fault.key), fault.cure, text=fault.text)
    return None if faults else boat


def _inside(
    reading: ScenarioReading, path: str, reader: Callable[..., object], *more: object
) -> object:
    """What a whole file inside holds; None and its faults noted at their lines where it is refused."""
    text = reading.values.get(f"{path}.text")
    if text is None:
        return None
    parts = (*path.split("."), "text")
    try:
        return reader(text.encode("utf-8"), *more, name=path)
    except InputFaults as why:
        above = reading.lines_before(parts)
        for fault in why.faults:
            key = f"{path}.{fault.key}".removesuffix(f".{path}")
            line = above + fault.line
            told = Fault(line, max(fault.column, 1), key, fault.text, fault.cure)
            reading.document.faults.append(told)
    except UnicodeEncodeError:
        reading.fault(parts, "letters in it that no file can hold", text="")
    return None


def _told(reading: Reading, path: str) -> Told:
    found: dict[str, Any] = {
        name: reading.values.get(f"{path}.{name}", "") for name in ("demo", "file", *SET)
    }
    text = reading.values.get(f"{path}.text")
    return Told(None if text is None else text.encode("utf-8", "replace"), **found)


def _scenario(reading: Reading, kept: list[str]) -> Scenario:
    values = reading.values
    return Scenario(
        name=values[about.MARK],
        boat=_told(reading, "boat"),
        units=values.get("units", "us"),
        kept=tuple(
            KeptTold(values[f"kept.{one}.name"], _told(reading, f"kept.{one}")) for one in kept
        ),
        **{table: values.get(f"{table}.text") for table in BELONGS},
    )
