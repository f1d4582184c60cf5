"""From a reading to values: blanks filled from named assumptions, and parts put together by their keys."""

from __future__ import annotations

from typing import Any, TypeVar

from perf.base.assumptions import ASSUMPTIONS, FITTINGS
from perf.boat import schema
from perf.boat.reading import Reading

Part = TypeVar("Part")

# How the attributes of parts end for each kind of quantity.
SUFFIXES = {
    "length": "_m",
    "mass": "_kg",
    "power": "_w",
    "volume": "_m3",
    "angle": "_deg",
    "area": "_m2",
    "temperature": "_c",
    "salinity": "_g_per_kg",
}


class Filler:
    """Values of a faultless reading, blanks filled from named assumptions, with their doubts."""

    def __init__(self, reading: Reading) -> None:
        self.reading = reading
        self.doubts = dict(reading.doubts)
        self.assumed: list[str] = []

    def assume(self, path: str, name: str, scale: float = 1.0, base: float = 0.0) -> None:
        """Fill a blank with base + scale x the named assumption, and its doubt."""
        values = self.reading.values
        if path in values:
            return
        about = ASSUMPTIONS.get(name) or FITTINGS[name]
        values[path] = base + scale * about.value
        self.doubts[path] = abs(scale) * about.half_width
        self.assumed.append(name)

    def part(self, kind: type[Part], table: str, **known: Any) -> Part:
        """One part from the values of its table, each under the attribute of its key.

        table : readable path, also of a named table or one in braces such as kicker.propeller.
        """
        outer, *inner = table.split(".")
        keys = schema.TABLES[outer].keys
        for name in () if schema.TABLES[outer].named else inner:
            keys = schema.inner_keys(keys[name])
        given = {
            name + SUFFIXES.get(key.kind, ""): self.reading.values[f"{table}.{name}"]
            for name, key in keys.items()
            if f"{table}.{name}" in self.reading.values
            and key.kind not in (schema.BURN, schema.TOGETHER)
        }
        return kind(**(given | known))

    def value(self, path: str) -> Any:
        """The value of a path; None where it is blank."""
        return self.reading.values.get(path)
