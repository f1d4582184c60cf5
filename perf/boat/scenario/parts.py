"""Everything of one boat as words: her file, what was set on her, boats kept beside her, trip, choices, season."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from perf.base.faults import Fault, InputFaults, ReadingError
from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.parts import Boat
from perf.boat.values import nearest

MOST_KEPT = 4
SET = ("load", "power", "pitch", "fuel")


@dataclass(frozen=True)
class Told:
    """One boat as a person told her: her file, and what was set on her since, in his words.

    text : her whole file, None for a demo boat that is named by its key. file : its name. An empty
    setting is "as her file says".
    """

    text: bytes | None = None
    demo: str = ""
    file: str = ""
    load: str = ""
    power: str = ""
    pitch: str = ""
    fuel: str = ""

    def content(self) -> bytes:
        """The bytes of her file; KeyError for a demo boat there is none of."""
        return demo_boats()[self.demo].read_bytes() if self.text is None else self.text

    def filed(self, name: str = "boat file") -> Boat:
        """The boat as her file says; InputFaults where it is refused."""
        return _read(self.content(), name)

    def as_set(self) -> Boat:
        """The boat with everything set on her; InputFaults for what cannot be understood."""
        boat, faults = set_on(self.filed(), self)
        if faults:
            raise InputFaults("settings", faults)
        return boat


@dataclass(frozen=True)
class KeptTold:
    """A boat kept beside the one that is looked at, under a name."""

    name: str
    told: Told


@dataclass(frozen=True)
class Scenario:
    """Everything that belongs to one boat on the page; None for what there is none of."""

    name: str
    boat: Told
    units: str = "us"
    kept: tuple[KeptTold, ...] = ()
    trip: str | None = None
    candidates: str | None = None
    season: str | None = None


@lru_cache(maxsize=16)
def _read(content: bytes, name: str) -> Boat:
    return read_boat(content, name=name)


def set_on(filed: Boat, told: Told) -> tuple[Boat, list[Fault]]:
    """A boat with a load, a level of fuel, a power and a pitch set on her, and every fault of these words."""
    faults: list[Fault] = []
    boat = filed
    if told.load and told.load not in filed.load_names:
        near = nearest(told.load, filed.load_names)
        hint = f"did you mean {near}?" if near else f"there are {', '.join(filed.load_names)}"
        faults.append(Fault(0, 0, "load", told.load, f"{filed.name} has no such load; {hint}"))
    elif told.load:
        boat = boat.at(load=told.load)
    for name in ("fuel", "power", "pitch"):
        try:
            boat = _changed(boat, name, getattr(told, name).strip())
        except ReadingError as why:
            faults.append(Fault(0, 0, name, getattr(told, name), str(why)))
    return boat, faults


def _changed(boat: Boat, name: str, text: str) -> Boat:
    if not text:
        return boat
    if name == "fuel":
        return boat.at(tank=changes.read_tank(text, boat))
    if name == "power":
        return changes.with_power(boat, changes.read_power(text))
    return changes.with_pitch(boat, changes.read_pitch(text))
