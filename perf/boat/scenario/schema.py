"""Every table and key of a file that holds everything of one boat."""

from __future__ import annotations

from perf.boat import schema
from perf.boat.schema import Key, Table

WHOLE, TITLE, SAID = "whole text", "title", "said"  # kinds that only this file knows
LONGEST_TITLE = 80
LONGEST_SAID = 60
UNITS = ("us", "nautical", "metric")
MARK = "scenario"  # the key at the top that tells this file from every other
NUMBERS = ("first", "second", "third", "fourth")  # tables of kept boats, as they are written

BOAT: dict[str, Key] = {
    "text": Key(WHOLE, '""" … """', unless="demo"),
    "demo": Key(schema.ENTRY, '"number_four"', None, False),
    "file": Key(TITLE, '"number_four.toml"', None, False),
    "load": Key(SAID, '"charter"', None, False),
    "power": Key(SAID, '"200 hp"', None, False),
    "pitch": Key(SAID, '"17 in"', None, False),
    "fuel": Key(SAID, '"60 gal"', None, False),
}
TOP: dict[str, Key] = {
    "format": Key(schema.COUNT, "1"),
    MARK: Key(TITLE, '"Number Four with a 17 in propeller"'),
    "units": Key(schema.WORD, '"us"', None, False, UNITS),
}
TABLES: dict[str, Table] = {
    "boat": Table(BOAT, needed=True),
    "kept": Table({"name": Key(TITLE, '"Number Four, charter"'), **BOAT}, named=True),
    "trip": Table({"text": Key(WHOLE, '""" … """')}),
    "candidates": Table({"text": Key(WHOLE, '""" … """')}),
    "season": Table({"text": Key(WHOLE, '""" … """')}),
}


def example_of(path: str) -> str:
    """An example of the value of a readable path as it stands in a file; empty if there is none."""
    table, *rest = path.split(".")
    if not rest:
        return TOP[table].example if table in TOP else ""
    about = TABLES.get(table)
    key = None if about is None else about.keys.get(rest[-1])
    return key.example if key else ""
