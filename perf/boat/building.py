"""Parts from a faultless reading: blanks filled from named assumptions, weighing taken apart."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

import numpy as np

from perf.base.assumptions import ASSUMPTIONS
from perf.base.units import show
from perf.boat import schema
from perf.boat.parts import (
    Air,
    Boat,
    Bracket,
    Engine,
    Hull,
    Light,
    Load,
    Mounting,
    Place,
    Propeller,
    Tank,
    Trial,
    Water,
    Weight,
)
from perf.boat.reading import Reading
from perf.boat.weighing import Item, items_aboard, take_off
from perf.laws.air import DRAG_OF_TOP
from perf.laws.friction import BOTTOMS, roughness_allowance

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


class Builder:
    """Makes parts of a faultless reading, filling blanks from named assumptions."""

    def __init__(self, reading: Reading) -> None:
        self.reading = reading
        self.doubts = dict(reading.doubts)
        self.assumed: list[str] = []

    # --- values ----------------------------------------------------------------------------

    def assume(self, path: str, name: str, scale: float = 1.0, base: float = 0.0) -> None:
        """Fill a blank with base + scale x the named assumption, and its doubt."""
        values = self.reading.values
        if path in values:
            return
        about = ASSUMPTIONS[name]
        values[path] = base + scale * about.value
        self.doubts[path] = abs(scale) * about.half_width
        self.assumed.append(name)

    def part(self, kind: type[Part], table: str, **known: Any) -> Part:
        """One part from the values of its table, each under the attribute of its key."""
        keys = schema.TABLES[table.split(".")[0]].keys
        given = {
            name + SUFFIXES.get(key.kind, ""): self.reading.values[f"{table}.{name}"]
            for name, key in keys.items()
            if f"{table}.{name}" in self.reading.values
        }
        return kind(**(given | known))

    def value(self, path: str) -> Any:
        """The value of a path; None where it is blank."""
        return self.reading.values.get(path)

    # --- parts -----------------------------------------------------------------------------

    def boat(self) -> Boat:
        """The whole boat; faults found on the way are noted in the reading."""
        read = self.reading
        hull, engine, propeller = self.hull(), self.engine(), self.propeller()
        mounting = self.mounting()
        bracket = self.part(Bracket, "bracket") if "bracket" in read.given else None
        self.assume("tank.usable", "usable_fuel")
        tank = self.part(Tank, "tank")
        weights = tuple(self.weight(name) for name in read.names("weights"))
        loads = tuple(self.part(Load, f"loads.{name}", name=name) for name in read.names("loads"))
        air, water, trial = self.air(hull), self.water(), self.trial()
        power = self.value("plate.power")
        boat = Boat(
            name=self.value("name"),
            hull=hull,
            light=Light(0.0, 0.0, 0.0),
            engine=engine,
            propeller=propeller,
            mounting=mounting,
            tank=tank,
            loads=loads,
            load=self.value("load") or loads[0].name,
            weights=weights,
            bracket=bracket,
            air=air,
            water=water,
            plate_power_w=None if power in (None, "none") else power,
            trial=trial,
        )
        light = self.light() if "light" in read.given else self.weighed(boat)
        return replace(
            boat,
            light=light,
            doubts=tuple(self.doubts.items()),
            words=tuple(read.words.items()),
            assumed=tuple(dict.fromkeys(self.assumed)),
        )

    def weight(self, name: str) -> Weight:
        """One named weight, one of it where no count is given."""
        count = self.value(f"weights.{name}.count") or 1
        return self.part(Weight, f"weights.{name}", name=name, count=count)

    def hull(self) -> Hull:
        """The hull, with the friction its bottom adds."""
        length, beam = self.value("hull.length_overall"), self.value("hull.chine_beam")
        self.assume("hull.waterline_length", "waterline_share", scale=length)
        self.assume("hull.transom_beam", "transom_beam_share", scale=beam)
        self.assume(
            "hull.deadrise_midship", "deadrise_rise", base=self.value("hull.deadrise_transom")
        )
        self.assume("hull.transom_rake", "transom_rake")
        self.assume("hull.entrance_angle", "entrance_angle")
        self.reading.values.setdefault("hull.bottom", "clean")
        bottom = self.value("hull.bottom")
        if bottom in BOTTOMS:
            allowance = BOTTOMS[bottom]
        else:
            roughness = np.asarray(bottom), np.asarray(self.value("hull.waterline_length"))
            allowance = float(roughness_allowance(*roughness))
        self.doubts["hull.bottom"] = allowance * ASSUMPTIONS["bottom_allowance"].half_width
        self.assumed.append("bottom_allowance")
        for name in ("steps", "hulls"):
            self.reading.values.pop(f"hull.{name}", None)
        forward, above = self.value("hull.scupper.forward"), self.value("hull.scupper.above")
        scupper = None if above is None else Place(forward, above)
        said = self.reading.words.get("hull.bottom", "clean")
        return self.part(Hull, "hull", bottom=said, friction_allowance=allowance, scupper=scupper)

    def engine(self) -> Engine:
        """The engine, rated in its band where nothing else is said."""
        low, high = self.reading.values.pop("engine.full_throttle_rpm")
        self.assume("engine.rated_rpm", "rated_rpm_place", scale=high - low, base=low)
        return self.part(Engine, "engine", full_throttle_low_rpm=low, full_throttle_high_rpm=high)

    def propeller(self) -> Propeller:
        """The propeller, its cup as added pitch."""
        self.assume("propeller.area_ratio", "area_ratio")
        cup, pitch = self.reading.values.pop("propeller.cup", "none"), self.value("propeller.pitch")
        added = cup if isinstance(cup, float) else 0.0
        if cup in ("light", "heavy"):
            about = ASSUMPTIONS[f"{cup}_cup_share"]
            added = about.value * pitch
            self.doubts["propeller.cup"] = about.half_width * pitch
            self.assumed.append(about.name)
        said = self.reading.words.get("propeller.cup", "none")
        return self.part(Propeller, "propeller", cup=said, cup_m=added)

    def mounting(self) -> Mounting:
        """The mounting; a drive trim of "best" is None."""
        if self.value("mounting.drive_trim") == "best":
            del self.reading.values["mounting.drive_trim"]
        return self.part(Mounting, "mounting")

    def air(self, hull: Hull) -> Air:
        """What stands above the water."""
        self.assume("air.frontal_area", "frontal_area_per_beam", scale=hull.chine_beam_m)
        air = self.part(Air, "air")
        self.doubts["air.top"] = DRAG_OF_TOP[air.top] * ASSUMPTIONS["top_drag"].half_width
        self.assumed.append("top_drag")
        return air

    def water(self) -> Water:
        """The water she floats in."""
        self.assume("water.temperature", "water_temperature")
        self.assume("water.salinity", "salinity")
        return self.part(Water, "water")

    def trial(self) -> Trial:
        """Factors of a sea trial; a stated doubt replaces that of the assumption it stands for."""
        for name in schema.TABLES["trial"].keys:
            if f"trial.{name}" in self.doubts:
                self.doubts[f"assumed.trial_{name}"] = self.doubts.pop(f"trial.{name}")
        return self.part(Trial, "trial")

    # --- weight ----------------------------------------------------------------------------

    def light(self) -> Light:
        """The light boat as stated."""
        self.assume("light.above", "light_above")
        return self.part(Light, "light")

    def weighed(self, boat: Boat) -> Light:
        """The light boat by taking off what was aboard at the weighing."""
        values, doubts = self.reading.values, self.doubts
        paths = ("weighed.mass", "weighed.forward", "weighed.above")
        whole = Item(
            *(values.get(path, 0.0) for path in paths), *(doubts.pop(path, 0.0) for path in paths)
        )
        aboard = items_aboard(
            values["weighed.aboard"],
            hull=boat.hull,
            engine=boat.engine,
            mounting=boat.mounting,
            bracket=boat.bracket,
            tank=boat.tank,
            weights=boat.weights,
            doubts=doubts,
        )
        carried = sum(item.mass_kg for item in aboard)
        if carried >= whole.mass_kg:
            said = self.spoken(carried, "mass")
            self.reading.fault(
                "weighed.mass", f"no more than what was aboard at the weighing ({said}): check both"
            )
            return boat.light
        light, doubt = take_off(whole, aboard)
        for path, half_width in (
            ("mass", doubt.mass_doubt),
            ("forward", doubt.forward_doubt),
            ("above", doubt.above_doubt),
        ):
            if half_width:
                doubts[f"light.{path}"] = half_width
        if "weighed.above" not in values:
            doubts.pop("light.above", None)
            values.pop("light.above", None)
            self.assume("light.above", "light_above")
            light = replace(light, above_m=values["light.above"])
        self._check_light(light, boat.hull)
        return light

    def _check_light(self, light: Light, hull: Hull) -> None:
        spans = (
            ("forward", light.forward_m, hull.length_overall_m),
            ("above", light.above_m, 0.5 * hull.length_overall_m),
        )
        for name, value, high in spans:
            if not 0.0 <= value <= high:
                said = self.spoken(value, "length")
                cure = f"the bare hull would balance at {said}: check this and the places of what was aboard"
                self.reading.fault(f"weighed.{name}", cure)

    def spoken(self, value: float, kind: str) -> str:
        """A value in the units the weighing is written in."""
        metric = self.reading.words["weighed.mass"].split(" ±")[0].endswith("kg")
        return show(value, kind, "metric" if metric else "us", 0)


# The same parts for readings that hold only some tables, such as the rows of a catalogue.


def hull_of(reading: Reading) -> Hull:
    """The hull of a faultless reading, blanks filled as in a boat file."""
    return Builder(reading).hull()


def light_of(reading: Reading) -> Light:
    """The light boat of a faultless reading of a [light] table."""
    return Builder(reading).light()


def engine_of(reading: Reading) -> Engine:
    """The engine of a faultless reading."""
    return Builder(reading).engine()


def propeller_of(reading: Reading) -> Propeller:
    """The propeller of a faultless reading."""
    return Builder(reading).propeller()
