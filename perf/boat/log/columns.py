"""Headings of a trial log: what each column means and in which unit, by our own list of words.

A heading is a name and perhaps a unit: "Engine speed (rpm)", "SOG [kn]", "fuel flow, L/h", "gph".
What is not known is left out and said; a quantity without a unit is asked for, never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from perf.base.faults import ReadingError
from perf.base.spellings import KINDS
from perf.base.units import read

TEXT = "text"


@dataclass(frozen=True)
class Meaning:
    """What a column may hold: its kinds of quantity in order of liking, and the words it goes by."""

    name: str
    kinds: tuple[str, ...]
    words: tuple[str, ...]
    said: str


MEANINGS: dict[str, Meaning] = {
    one.name: one
    for one in (
        Meaning(
            "time",
            ("time", TEXT),
            ("time", "clock", "elapsed", "elapsed time", "timestamp", "date time", "utc", "t"),
            "time of the row",
        ),
        Meaning(
            "rpm",
            ("rotation",),
            (
                "rpm",
                "engine speed",
                "engine rpm",
                "revs",
                "revolutions",
                "tacho",
                "tachometer",
                "n",
            ),
            "engine speed",
        ),
        Meaning(
            "speed over ground",
            ("speed",),
            ("speed", "sog", "speed over ground", "gps speed", "boat speed", "gps", "ground speed"),
            "speed over the ground",
        ),
        Meaning(
            "speed through water",
            ("speed",),
            ("stw", "speed through water", "water speed", "log speed", "paddle wheel", "pitot"),
            "speed through the water",
        ),
        Meaning(
            "fuel flow",
            ("fuel flow",),
            (
                "fuel",
                "fuel flow",
                "fuel rate",
                "fuel burn",
                "burn",
                "flow",
                "consumption",
                "fuel use",
            ),
            "fuel of all engines per hour",
        ),
        Meaning(
            "mileage",
            ("mileage",),
            ("mileage", "economy", "fuel economy", "efficiency"),
            "distance per volume of fuel",
        ),
        Meaning(
            "trim",
            ("angle",),
            ("trim angle", "running trim", "boat trim", "pitch angle", "bow angle", "attitude"),
            "running trim, bow up",
        ),
        Meaning(
            "drive trim",
            ("angle",),
            ("drive trim", "engine trim", "motor trim", "leg trim", "tilt", "outboard trim"),
            "drive trim, out positive",
        ),
        Meaning(
            "throttle",
            ("share", TEXT),
            ("throttle", "lever", "throttle position", "wide open", "full throttle"),
            "share of the throttle, or full",
        ),
        Meaning("load", (TEXT,), ("load", "loading", "aboard", "who"), "one of the boat's loads"),
        Meaning(
            "tank",
            ("share", "volume"),
            ("tank", "fuel level", "tank level", "fuel aboard", "fuel in tank", "fuel remaining"),
            "fuel in the tank",
        ),
        Meaning(
            "wind speed", ("speed",), ("wind", "wind speed", "true wind speed", "tws"), "true wind"
        ),
        Meaning(
            "wind from",
            ("angle", TEXT),
            ("wind from", "wind direction", "true wind direction", "twd", "wind dir"),
            "where the true wind comes from",
        ),
        Meaning(
            "course",
            ("angle", TEXT),
            ("course", "heading", "cog", "direction", "direction of run", "run direction", "hdg"),
            "where the run goes",
        ),
        Meaning(
            "water temperature",
            ("temperature",),
            ("water temperature", "water temp", "sea temperature", "sea temp", "water"),
            "water temperature",
        ),
        Meaning("run", (TEXT,), ("run", "run number", "leg", "pass", "name"), "name of the run"),
    )
}
IGNORED = "left out"
BARE_OK = ("rotation", "angle", "share")  # kinds in which a number may stand without its unit
# a heading that is a unit and nothing else
OF_UNIT = {
    "speed": "speed over ground",
    "fuel flow": "fuel flow",
    "rotation": "rpm",
    "mileage": "mileage",
}
SEVERAL = ("rpm", "fuel flow")  # columns there may be one of for each engine
_SIDES = re.compile(
    r"\b(port|starboard|stbd|sb|bb|left|right|centre|center|engine|eng|motor|[1-4])\b"
)
_PARTED = re.compile(r"[_\t]+|(?<=[a-z])(?=[A-Z]{2,}\b)|(?<=[a-z])(?=[A-Z][a-z])")
_BRACKETED = re.compile(r"[\[(]\s*([^\])]*?)\s*[\])]")

# what a log must hold: one of the first and one of the second
SPEEDS = ("speed through water", "speed over ground")
READINGS = ("rpm", "fuel flow", "mileage", "trim")


@dataclass(frozen=True)
class LogColumn:
    """One column of a log: its place from nought, its heading, what it means, its kind and unit.

    unit is empty where each cell carries its own, or for text; missing says what must be told.
    """

    place: int
    heading: str
    meaning: str
    kind: str = TEXT
    unit: str = ""
    missing: str = ""

    @property
    def used(self) -> bool:
        """Whether the column is read."""
        return self.meaning != IGNORED

    @property
    def factor_and_shift(self) -> tuple[float, float]:
        """SI value = number x factor + shift."""
        if not self.unit:
            return 1.0, 0.0
        nought = read(f"0 {self.unit}", self.kind).value
        return read(f"1 {self.unit}", self.kind).value - nought, nought


def says_enough(columns: Iterable[LogColumn]) -> bool:
    """Whether a speed and one more reading are among the columns, each with its unit."""
    columns = tuple(columns)
    known = {column.meaning for column in columns}
    whole = not any(column.missing for column in columns)
    return whole and bool(known & set(SPEEDS)) and bool(known & set(READINGS))


def understand(headings: Sequence[str]) -> tuple[LogColumn, ...]:
    """What every heading means; unknown ones are left out."""
    columns = [_column(place, heading) for place, heading in enumerate(headings)]
    seen: set[str] = set()
    out = []
    for column in columns:
        again = column.meaning in seen and column.meaning not in SEVERAL
        if column.used and again:
            column = LogColumn(column.place, column.heading, IGNORED)
        seen.add(column.meaning)
        out.append(column)
    return tuple(out)


def named(column: LogColumn, meaning: str, unit: str = "") -> LogColumn:
    """The same column with its meaning and unit told by hand; ReadingError for words that are not known."""
    if meaning == IGNORED:
        return LogColumn(column.place, column.heading, IGNORED)
    if meaning not in MEANINGS:
        raise ReadingError(
            f'no column is called "{meaning}": write one of {", ".join(MEANINGS)}, or {IGNORED}'
        )
    return _settled(column.place, column.heading, MEANINGS[meaning], unit.strip().lower())


def with_unit(column: LogColumn, unit: str) -> LogColumn:
    """The same column with the unit of a line of units; unchanged where that is none."""
    kind = _kind_of(MEANINGS[column.meaning], unit) if column.used else None
    return replace(column, kind=kind, unit=unit, missing="") if kind else column


def _column(place: int, heading: str) -> LogColumn:
    words, unit = _parted(heading)
    bare = _SIDES.sub(" ", words)
    for said in (words, " ".join(bare.split())):
        for meaning in MEANINGS.values():
            if said in meaning.words:
                return _settled(place, heading, meaning, unit)
    whole = " ".join(bare.split()) or unit
    for kind, meant in OF_UNIT.items():
        if whole and whole == (unit or whole) and whole in KINDS[kind].unit_of:
            return _settled(place, heading, MEANINGS[meant], whole)
    return LogColumn(place, heading, IGNORED)


def _parted(heading: str) -> tuple[str, str]:
    """Name and unit of a heading, lower case; the unit in brackets, after a comma, or the last words."""
    text = " ".join(_PARTED.sub(" ", heading).lower().replace(".", " ").split())
    found = _BRACKETED.search(text)
    if found:
        return " ".join(_BRACKETED.sub(" ", text).split()), found[1]
    name, comma, unit = text.rpartition(",")
    if comma:
        return name.strip(), unit.strip()
    words = text.split(" ")
    for count in (3, 2, 1):
        unit = " ".join(words[-count:])
        if len(words) > count and any(unit in KINDS[kind].unit_of for kind in _all_kinds()):
            return " ".join(words[:-count]), unit
    return text, ""


def _all_kinds() -> tuple[str, ...]:
    kinds = (kind for meaning in MEANINGS.values() for kind in meaning.kinds if kind != TEXT)
    return tuple(dict.fromkeys(kinds))


def _settled(place: int, heading: str, meaning: Meaning, unit: str) -> LogColumn:
    kind = _kind_of(meaning, unit) if unit else None
    if kind is not None:
        return LogColumn(place, heading, meaning.name, kind, unit)
    first = meaning.kinds[0]
    if first == TEXT or TEXT in meaning.kinds or first in BARE_OK:
        return LogColumn(place, heading, meaning.name, first, "")
    example = KINDS[first].example.split(" ", 1)[-1]
    odd = f'"{unit}" is no unit of it; ' if unit else ""
    return LogColumn(
        place,
        heading,
        meaning.name,
        first,
        "",
        f"{odd}write its unit in the heading, such as {meaning.name} ({example})",
    )


def _kind_of(meaning: Meaning, unit: str) -> str | None:
    return next((k for k in meaning.kinds if k != TEXT and unit in KINDS[k].unit_of), None)
