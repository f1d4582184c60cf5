"""The trip file: runs in order with their weather, written as differences from a boat.

The same strict reader as the boat file: caps before parsing, all faults at once, each with its
line, its path and its cure.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from perf.base.faults import ReadingError
from perf.base.geodesic import Way, way
from perf.base.tables import data_folder
from perf.base.units import read as read_quantity
from perf.boat import schema
from perf.boat.parts import Boat, Weight
from perf.boat.reading import Reading
from perf.boat.schema import Key
from perf.boat.tomlplaces import readable
from perf.boat.tomltext import Document, document
from perf.boat.trip import checks as tripchecks
from perf.boat.trip import schema as tripschema
from perf.boat.trip.parts import (
    AHEAD,
    Direction,
    FillUp,
    Pace,
    Reserve,
    Run,
    TankTruth,
    Trip,
    Weather,
)
from perf.boat.trip.values import course_of, degrees_of, direction_of, pace_of, reserve_of
from perf.boat.values import written

__all__ = ["demo_trips", "read_trip"]


def read_trip(
    source: str | Path | bytes, boat: Boat | None = None, *, name: str | None = None
) -> Trip:
    """Read one trip file, a path or the bytes of a file.

    Parameters
    ----------
    source : path of a TOML file, or its bytes; at most 64 kB of UTF-8.
    boat : whose weights, loads and tank the trip names; without one those names are not checked.
    name : what to call the file in faults; the file's own name where none is given.

    Returns
    -------
    Trip in SI; doubts and the writer's words are in it.

    Raises
    ------
    InputFaults with every fault found, each with line, column, path, text and cure.
    """
    called = name or ("trip file" if isinstance(source, bytes) else None)
    read = document(source, called, tripschema.example_of)
    _check_format(read)
    reading = TripReading(read, tripschema.TOP, tripschema.TABLES)
    reading.capacity_m3 = None if boat is None else boat.tank.capacity_m3
    reading.walk()
    tripchecks.check(reading, boat)
    read.refuse_if_faulty()
    return _Builder(reading).trip()


def demo_trips() -> dict[str, Path]:
    """The demo trips by name of the file without its ending, in alphabetical order."""
    return {path.stem: path for path in sorted((data_folder() / "trips").glob("*.toml"))}


class TripReading(Reading):
    """A reading that also knows paces, bearings, positions, reserves, and a tank's level in gallons."""

    capacity_m3: float | None = None  # of the boat's tank

    def _value(self, path: tuple[str | int, ...], key: Key, raw: object) -> None:
        if key.kind not in tripschema.OWN_KINDS:
            try:
                super()._value(path, key, self._part_of_the_tank(raw) if key.level else raw)
            except ReadingError as why:
                self.fault(path, str(why), text=written(raw))
            if key.level:
                self.words[readable(path)] = written(raw)
            return
        where = readable(path)
        self.words[where] = written(raw)
        readers: dict[str, Callable[[], object]] = {
            tripschema.PACE: lambda: pace_of(raw),
            tripschema.BEARING: lambda: (
                course_of(raw) if path[-1] == "course" else direction_of(raw)
            ),
            tripschema.RESERVE: lambda: reserve_of(raw, key),
            tripschema.LATITUDE: lambda: degrees_of(raw, key.kind),
            tripschema.LONGITUDE: lambda: degrees_of(raw, key.kind),
        }
        try:
            self.values[where] = readers[key.kind]()
        except ReadingError as why:
            self.fault(path, str(why))

    def _part_of_the_tank(self, raw: object) -> object:
        """A quantity of fuel as a share of the boat's tank, doubt and all; anything else as it stands."""
        if self.capacity_m3 is None or not isinstance(raw, str):
            return raw
        try:
            quantity = read_quantity(raw, "volume")
        except ReadingError:
            return raw
        share = quantity.value / self.capacity_m3
        if share > 1.0:
            raise ReadingError("more than the tank holds: write a part of it, such as 1/2")
        doubt = quantity.doubt / self.capacity_m3
        return f"{share:.9f} ± {doubt:.9f}" if doubt else share


def _check_format(read: Document) -> None:
    """Refuse a file of another format before anything else is said about it."""
    number = read.tables.get("format")
    if isinstance(number, int) and not isinstance(number, bool) and number != schema.FORMAT:
        newer = f"written for a newer overhump: this one reads format {schema.FORMAT}"
        cure = (
            newer if number > schema.FORMAT else f"no such format: write format = {schema.FORMAT}"
        )
        read.faults.clear()
        read.fault(read.places.of_value(("format",)), "format", number, cure)
        read.refuse_if_faulty()


class _Builder:
    """Makes a trip of a faultless reading."""

    def __init__(self, reading: TripReading) -> None:
        self.reading = reading
        self.values = reading.values

    def trip(self) -> Trip:
        get = self.values.get
        return Trip(
            name=self.values["name"],
            runs=tuple(self.run(f"runs.{name}", name) for name in self.reading.names("runs")),
            tank=self.tank(),
            reserve=get("reserve", Reserve()),
            load=get("load"),
            seat=get("seat"),
            weights=tuple(self.weight(name) for name in self.reading.names("weights")),
            log=tuple(
                FillUp(self.run(f"log.{name}", name), self.values[f"log.{name}.burned"])
                for name in self.reading.names("log")
            ),
            doubts=tuple(self.reading.doubts.items()),
            words=tuple(self.reading.words.items()),
        )

    def tank(self) -> TankTruth:
        level = self.values.get("tank.level")
        names = ("fill", "gauge_error", "usable")
        given = {name: self.values.get(f"tank.{name}") for name in names}
        full = level == "full"
        if full and given["gauge_error"] is None:
            given["gauge_error"] = 0.0  # filled to the neck: no gauge was read
        return TankTruth(
            level=1.0 if full else level, since_fill_m3=self.values.get("tank.since_fill"), **given
        )

    def weight(self, name: str) -> Weight:
        path = f"weights.{name}"
        return Weight(
            name,
            self.values[f"{path}.mass"],
            self.values.get(f"{path}.count", 1),
            self.values[f"{path}.forward"],
            self.values[f"{path}.above"],
        )

    def run(self, path: str, name: str) -> Run:
        get = self.values.get
        pace: Pace = self.values[f"{path}.speed"]
        if get(f"{path}.over_ground", False):
            pace = Pace(pace.kind, pace.value, over_ground=True)
        along = self.way(path)
        course = get(f"{path}.course")
        return Run(
            name=name,
            pace=pace,
            distance_m=along.distance_m if along else get(f"{path}.distance"),
            duration_s=get(f"{path}.hours"),
            course_deg=along.course_deg if along and course is None else course,
            weather=self.weather(path),
            depth_m=get(f"{path}.depth"),
            aboard=get(f"{path}.aboard"),
            take_on_m3=get(f"{path}.take_on", 0.0),
        )

    def way(self, path: str) -> Way | None:
        """The way between two named places, None where a run names none."""
        ends = [self.values.get(f"{path}.{end}") for end in ("from", "to")]
        if None in ends:
            return None
        here, there = (
            [self.values[f"places.{end}.{axis}"] for axis in ("latitude", "longitude")]
            for end in ends
        )
        return way(here[0], here[1], there[0], there[1])

    def weather(self, path: str) -> Weather:
        """The weather of one run: what it says itself, else what the trip says, else calm."""

        def find(name: str, blank: float | Direction) -> object:
            return self.values.get(f"{path}.{name}", self.values.get(f"weather.{name}", blank))

        wind_from = find("wind_from", AHEAD)
        given = {
            "wind_mps": find("wind", 0.0),
            "wind_from": wind_from,
            "wave_height_m": find("wave_height", 0.0),
            "sea_from": find("sea_from", wind_from if isinstance(wind_from, Direction) else AHEAD),
            "current_mps": find("current", 0.0),
            "current_toward": find("current_toward", AHEAD),
        }
        return Weather(**given)  # type: ignore[arg-type]
