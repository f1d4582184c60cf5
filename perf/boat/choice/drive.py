"""The drive of one candidate: its own words over the boat's, read as a boat file's are."""

from __future__ import annotations

from typing import Any

from perf.base.units import show
from perf.boat import schema
from perf.boat.building import SUFFIXES
from perf.boat.parts import Boat, Engine, Propeller
from perf.boat.reading import Reading
from perf.boat.tomlplaces import Path


class Drive(Reading):
    """Engine, propeller, mounting and bracket of one candidate: its own words over the boat's.

    It reads as a boat file's reading does, so that the same checks and builders work on it; faults
    are noted where the candidate wrote, or at its name.
    """

    def __init__(self, outer: Reading, prefix: str, boat: Boat) -> None:
        super().__init__(outer.document)
        self.outer, self.prefix = outer, prefix
        for table, part in _parts(boat).items():
            self.lay(table, part)
        self.values["tank.fuel"] = boat.tank.fuel
        for path in ("hull.transom_beam", "hull.chine_beam", "hull.transom_height"):
            self._own(path, _attribute(boat.hull, path), "length")

    def lay(self, table: str, part: object) -> None:
        """Put the values of a part under a table, over what stood there."""
        self.given[table] = None
        for name, key in schema.TABLES[table].keys.items():
            self._own(f"{table}.{name}", _attribute(part, f"{table}.{name}"), key.kind)
        if isinstance(part, Engine):
            band = (part.full_throttle_low_rpm, part.full_throttle_high_rpm)
            self._own("engine.full_throttle_rpm", band, schema.BAND)
        if isinstance(part, Propeller):
            cup = part.cup if part.cup in ("none", "light", "heavy") else part.cup_m
            self._own("propeller.cup", cup, "text")

    def _own(self, path: str, value: Any, kind: str) -> None:
        if value is not None and value != ():
            self.values[path] = value
            self.words[path] = _worded(value, kind)

    def write(self, table: str) -> bool:
        """Lay the candidate's own words over a table; whether there are any."""
        wrote = False
        for name in schema.TABLES[table].keys:
            here, there = f"{table}.{name}", f"{self.prefix}.{table}.{name}"
            if there in self.outer.values:
                self.values[here] = self.outer.values[there]
                self.words[here] = self.outer.words[there]
                self.doubts.pop(here, None)
                if there in self.outer.doubts:
                    self.doubts[here] = self.outer.doubts[there]
                wrote = True
        if wrote:
            self.given[table] = None
        return wrote

    def fault(
        self, path: str | Path, cure: str, *, text: object = None, on_key: bool = False
    ) -> None:
        """Note a fault of a path of a boat file where this candidate wrote it."""
        parts: Path = tuple(path.split(".")) if isinstance(path, str) else path
        inside = parts[1:] if parts[0] == "tank" else parts
        said = self.words.get(".".join(map(str, parts)), "") if text is None else text
        whole: Path = (*self.prefix.split(".", 1), *inside)
        self.outer.fault(whole, cure, text=said, on_key=on_key)


def _parts(boat: Boat) -> dict[str, object]:
    found: dict[str, object] = {
        "engine": boat.engine,
        "propeller": boat.propeller,
        "mounting": boat.mounting,
    }
    return found if boat.bracket is None else {**found, "bracket": boat.bracket}


def _attribute(part: object, path: str) -> Any:
    table, name = path.split(".")
    key = schema.TABLES[table].keys[name]
    return getattr(part, name + SUFFIXES.get(key.kind, ""), None)


def _worded(value: Any, kind: str) -> str:
    if kind == schema.BAND:
        return " to ".join(show(end, "rotation", "us", 0) for end in value)
    if isinstance(value, float) and kind in SUFFIXES:
        return show(value, kind, "us")
    return str(value)
