"""Parts from a faultless reading: blanks filled from named assumptions, weighing taken apart."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from perf.base.assumptions import ASSUMPTIONS
from perf.boat import fittings, schema
from perf.boat.filling import SUFFIXES, Filler
from perf.boat.lightship import weighed_light
from perf.boat.parts import (
    Air,
    Boat,
    Bracket,
    Engine,
    Hull,
    Light,
    Load,
    Mark,
    Mounting,
    Place,
    Propeller,
    Tank,
    Trial,
    Water,
)
from perf.boat.reading import Reading
from perf.laws.air import DRAG_OF_TOP

__all__ = ["SUFFIXES", "Builder", "engine_of", "hull_of", "light_of", "propeller_of"]


class Builder(Filler):
    """Makes parts of a faultless reading, filling blanks from named assumptions."""

    def boat(self) -> Boat:
        """The whole boat; faults found on the way are noted in the reading."""
        read = self.reading
        hull, engine, propeller = self.hull(), self.engine(), self.propeller()
        bracket = self.part(Bracket, "bracket") if "bracket" in read.given else None
        self.assume("tank.usable", "usable_fuel")
        tank = self.part(Tank, "tank")
        loads = tuple(self.part(Load, f"loads.{name}", name=name) for name in read.names("loads"))
        air, water, trial = self.air(hull), self.water(), self.trial()
        power = self.value("plate.power")
        boat = Boat(
            name=self.value("name"),
            hull=hull,
            light=Light(0.0, 0.0, 0.0),
            engine=fittings.with_own_burn(self, engine, tank),
            propeller=propeller,
            mounting=self.mounting(),
            tank=tank,
            loads=loads,
            load=self.value("load") or loads[0].name,
            weights=tuple(fittings.weight(self, name) for name in read.names("weights")),
            bracket=bracket,
            tabs=fittings.tabs(self),
            kicker=fittings.kicker(self),
            seats=tuple(fittings.seat(self, name) for name in read.names("seats")),
            air=air,
            water=water,
            plate_power_w=None if power in (None, "none") else power,
            trial=trial,
            freeboard=tuple(
                self.part(Mark, f"freeboard.{name}", name=name) for name in read.names("freeboard")
            ),
        )
        return self.told(boat)

    def told(self, boat: Boat) -> Boat:
        """The boat with its light weight, and what is known of it: doubts, words, assumptions."""
        light = self.light() if "light" in self.reading.given else weighed_light(self, boat)
        return replace(
            boat,
            light=light,
            doubts=tuple(self.doubts.items()),
            words=tuple(self.reading.words.items()),
            assumed=tuple(dict.fromkeys(self.assumed)),
        )

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
        said, allowance = fittings.bottom(self)
        for name in ("steps", "hulls"):
            self.reading.values.pop(f"hull.{name}", None)
        forward, above = self.value("hull.scupper.forward"), self.value("hull.scupper.above")
        scupper = None if above is None else Place(forward, above)
        known: dict[str, Any] = {"bottom": said, "friction_allowance": allowance}
        return self.part(Hull, "hull", scupper=scupper, **known, **fittings.hook(self))

    def engine(self) -> Engine:
        """The engine, rated in its band where nothing else is said."""
        return self.part(Engine, "engine", **fittings.band(self, "engine"))

    def propeller(self) -> Propeller:
        """The propeller, its cup as added pitch."""
        return fittings.propeller(self, "propeller")

    def mounting(self) -> Mounting:
        """The mounting; a drive trim of "best" is None."""
        if self.value("mounting.drive_trim") == "best":
            del self.reading.values["mounting.drive_trim"]
        return self.part(Mounting, "mounting")

    def air(self, hull: Hull) -> Air:
        """What stands above the water."""
        fittings.own_air(self)
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
        return self.part(Trial, "trial", learned=self.value("trial.together"))

    def light(self) -> Light:
        """The light boat as stated."""
        self.assume("light.above", "light_above")
        return self.part(Light, "light")


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
