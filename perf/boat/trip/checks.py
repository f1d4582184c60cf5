"""Does the trip make sense: checks across the fields of a trip file, each with its cure."""

from __future__ import annotations

from collections.abc import Iterable

from perf.base.units import show
from perf.boat.parts import Boat
from perf.boat.reading import Reading
from perf.boat.tomltext import seen
from perf.boat.trip.parts import MOST_FILL_UPS, MOST_RUNS, Direction, Pace

MOST_LISTED = 12
SIDED = (("wind", "wind_from"), ("wave_height", "sea_from"), ("current", "current_toward"))


def check(reading: Reading, boat: Boat | None) -> None:
    """Note every fault that shows only when fields are held together, with the boat where there is one."""
    _counts(reading)
    _tank(reading, boat)
    for table in ("runs", "log"):
        for name in reading.names(table)[: MOST_RUNS + 1]:
            _extent(reading, f"{table}.{name}")
            _places(reading, f"{table}.{name}")
            _sides(reading, f"{table}.{name}")
    if boat is not None:
        _names(reading, boat)


def _counts(reading: Reading) -> None:
    for table, most in (("runs", MOST_RUNS), ("log", MOST_FILL_UPS)):
        many = len(reading.names(table))
        if many > most:
            reading.fault(
                (table,), f"{many:,} of them: a trip has at most {most}", text="", on_key=True
            )
    if "runs" in reading.given and not reading.written_names("runs"):
        reading.fault(
            ("runs",), "no run is named: write such as [runs.out] with distance and speed", text=""
        )


def _tank(reading: Reading, boat: Boat | None) -> None:
    values = reading.values
    if "tank.level" in values and "tank.since_fill" in values:
        reading.fault("tank.since_fill", "give level or since_fill, not both")
    if boat is None:
        return
    holds, said = boat.tank.capacity_m3, show(boat.tank.capacity_m3, "volume", "us", 0)
    since = reading.number("tank.since_fill")
    if since is not None and since > holds:
        reading.fault("tank.since_fill", f"more than the tank holds ({said})")
    for name in reading.names("runs"):
        taken = reading.number(f"runs.{name}.take_on")
        if taken is not None and taken > holds:
            reading.fault(f"runs.{name}.take_on", f"more than the tank holds ({said})")


def _extent(reading: Reading, run: str) -> None:
    """Distance, two places or hours: one of them, and hours for what makes no way."""
    there = {
        key for key in ("distance", "hours", "from", "to") if _written(reading, f"{run}.{key}")
    }
    ways = ("distance" in there) + ("hours" in there) + bool(there & {"from", "to"})
    path = tuple(run.split("."))
    if ways == 0:
        cure = 'how far or how long? add distance = "12 nmi", from and to, or hours = "3 h"'
        reading.fault(path, cure, text="", on_key=True)
    elif ways > 1:
        cure = "give one of distance, from and to, hours: the others follow from the speed"
        reading.fault(path, cure, text="", on_key=True)
    pace = reading.values.get(f"{run}.speed")
    if not isinstance(pace, Pace):
        return
    if pace.standing and ways == 1 and "hours" not in there:
        reading.fault(
            f"{run}.speed", f'she gets nowhere at "{pace.kind}": give hours instead of a distance'
        )
    if reading.values.get(f"{run}.over_ground") and pace.kind != "speed":
        reading.fault(f"{run}.over_ground", 'only a speed such as "22 mph" can be over the ground')


def _written(reading: Reading, path: str) -> bool:
    return path in reading.words or path in reading.document.broken


def _places(reading: Reading, run: str) -> None:
    ends = [end for end in ("from", "to") if _written(reading, f"{run}.{end}")]
    if len(ends) == 1:
        other = "to" if ends == ["from"] else "from"
        reading.fault(f"{run}.{ends[0]}", f"a way has two ends: add {other}")
    known = reading.written_names("places")
    for end in ends:
        name = reading.values.get(f"{run}.{end}")
        if isinstance(name, str) and name not in known:
            reading.fault(f"{run}.{end}", _no_such(reading, name, known, "[places]"))
    first, last = (reading.values.get(f"{run}.{end}") for end in ("from", "to"))
    if first is not None and first == last:
        reading.fault(
            f"{run}.to", "a way from a place to itself has no length: give hours or a distance"
        )


def _sides(reading: Reading, run: str) -> None:
    """Wind, sea and current of some strength have a side; a compass one needs a course."""
    values = reading.values
    pace = values.get(f"{run}.speed")
    if isinstance(pace, Pace) and pace.standing:
        return  # she lies as she will
    courses = f"{run}.course" in values or f"{run}.from" in values
    told: set[str] = set()
    for strength, side in SIDED:
        where = next((p for p in (f"{run}.{strength}", f"weather.{strength}") if p in values), None)
        if where is None or not values[where]:
            continue
        found = _side(reading, run, side)
        if found is None and strength == "wave_height":
            found = _side(reading, run, "wind_from")
        elif found is None and where not in told:
            told.add(where)
            reading.fault(where, f'from where? add {side} = "SW" or such as {side} = "ahead"')
        if isinstance(found, Direction) and not found.relative and not courses:
            cure = f'{side} is a compass bearing: add course = "215 deg", or say it as seen from aboard'
            reading.fault(tuple(run.split(".")), cure, text="", on_key=True)
            return


def _side(reading: Reading, run: str, side: str) -> object:
    return reading.values.get(f"{run}.{side}", reading.values.get(f"weather.{side}"))


def _names(reading: Reading, boat: Boat) -> None:
    weights = [*(w.name for w in boat.weights), *reading.written_names("weights")]
    for name in reading.names("runs"):
        for place, item in enumerate(reading.values.get(f"runs.{name}.aboard") or ()):
            if item not in weights:
                cure = _no_such(reading, item, weights, f"[weights] of {boat.name}")
                reading.fault(("runs", name, "aboard", place), cure, text=item)
    seat, load = reading.values.get("seat"), reading.values.get("load")
    if seat is not None and seat not in weights:
        reading.fault("seat", _no_such(reading, seat, weights, f"[weights] of {boat.name}"))
    if load is not None and load not in boat.load_names:
        reading.fault("load", _no_such(reading, load, boat.load_names, f"[loads] of {boat.name}"))
    length = boat.hull.length_overall_m
    for name in reading.names("weights"):
        forward = reading.number(f"weights.{name}.forward")
        if forward is not None and forward > length:
            said = show(length, "length", "us")
            reading.fault(
                f"weights.{name}.forward", f"forward of the bow ({said}): measure from the transom"
            )


def _no_such(reading: Reading, name: str, known: Iterable[str], table: str) -> str:
    names = list(known)
    near = reading.nearest(name, names)
    if near:
        return f"not in {table}; did you mean {near}?"
    more = ", …" if len(names) > MOST_LISTED else ""
    listed = (", ".join(seen(each) for each in names[:MOST_LISTED]) or "none") + more
    return f"not in {table}; there are: {listed}"
