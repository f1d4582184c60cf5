"""Do the names of a boat file fit: loads, weights, seats, and what was aboard at the weighing."""

from __future__ import annotations

from collections.abc import Iterable

from perf.boat.reading import Reading
from perf.boat.schema import OWN_WORDS, PLACE_KEYS
from perf.boat.tomltext import seen
from perf.boat.weighing import tank_level

MOST_LISTED = 12


def check(reading: Reading) -> None:
    """Note every name that stands for nothing, and every place told twice."""
    _loads(reading)
    _seats(reading)
    _marks(reading)
    _weighed(reading)


def _marks(reading: Reading) -> None:
    """A mark is taped at one of the loads there are."""
    known = reading.written_names("loads")
    for name in reading.names("freeboard"):
        load = reading.values.get(f"freeboard.{name}.load")
        if load is not None and known and load not in known:
            reading.fault(f"freeboard.{name}.load", _no_such(reading, load, known, "loads"))


def _seats(reading: Reading) -> None:
    """A weight sits in a seat there is, or has a place of its own."""
    known = reading.written_names("seats")
    for name in reading.names("weights"):
        seat = reading.values.get(f"weights.{name}.seat")
        if seat is None:
            continue
        if any(f"weights.{name}.{key}" in reading.words for key in PLACE_KEYS):
            reading.fault(
                f"weights.{name}.seat", "give either a seat or forward and above, not both"
            )
        elif seat not in known:
            reading.fault(f"weights.{name}.seat", _no_such(reading, seat, known, "seats"))


def _loads(reading: Reading) -> None:
    weights, loads = reading.written_names("weights"), reading.written_names("loads")
    if "loads" in reading.given and not loads:
        reading.fault(
            ("loads",),
            'no load is named: write such as alone = { aboard = ["skipper"], tank = 0.5 }',
            text="",
        )
    for each in reading.names("loads"):
        for place, name in enumerate(reading.values.get(f"loads.{each}.aboard", ())):
            if name.split(" ")[0].lower() in OWN_WORDS:
                cure = (
                    "engine, bracket and kicker are always aboard, fuel is tank = 0.5: leave it out"
                )
            elif name not in weights:
                cure = _no_such(reading, name, weights, "weights")
            else:
                continue
            reading.fault(("loads", each, "aboard", place), cure, text=name)
    load = reading.values.get("load")
    if load and loads and load not in loads:
        reading.fault("load", _no_such(reading, load, loads, "loads"))


def _no_such(reading: Reading, name: str, known: list[str], table: str) -> str:
    near = reading.nearest(name, known)
    if near:
        return f"not in [{table}]; did you mean {near}?"
    return f"not in [{table}]; there are: {_listed(known)}"


def _listed(names: Iterable[str]) -> str:
    """At most a dozen names, so that a cure stays a line."""
    shown = list(names)
    more = ", …" if len(shown) > MOST_LISTED else ""
    return (", ".join(seen(name) for name in shown[:MOST_LISTED]) or "none") + more


def _weighed(reading: Reading) -> None:
    fitted = [name for name in ("bracket", "kicker") if name in reading.given]
    known = [*reading.written_names("weights"), "engine", *fitted]
    tanks = 0
    for place, name in enumerate(reading.values.get("weighed.aboard", ())):
        tank = name.startswith("tank") and name not in known
        tanks += tank
        level = tank_level(name)
        if name in known or (tank and tanks == 1 and level is not None and 0.0 <= level <= 1.0):
            continue
        if tank and tanks > 1:
            cure = "the tank is listed twice: leave one out"
        elif tank:
            cure = 'how full the tank was, such as "tank 1/2", "tank 0.4" or "tank full"'
        elif name in ("bracket", "kicker"):
            cure = f"there is no [{name}] table: add one or leave it out here"
        elif near := reading.nearest(name, known):
            cure = f"nothing is called that; did you mean {near}?"
        else:
            cure = f"nothing is called that; there are: {_listed(known)} and the tank"
        reading.fault(("weighed", "aboard", place), cure, text=name)
