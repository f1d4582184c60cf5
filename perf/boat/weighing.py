"""From one real weighing to the light boat: what was aboard is taken off again, doubts and all."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from perf.base.assumptions import ASSUMPTIONS
from perf.boat import places
from perf.boat.levels import LEVEL_WORDS, level_of_words
from perf.boat.parts import Bracket, Engine, Hull, Kicker, Light, Mounting, Tank, Weight
from perf.laws.engine import FUELS

_WORDS = "|".join(LEVEL_WORDS)
_TANK = re.compile(rf"tank (?:({_WORDS})|(\d{{1,3}}/\d{{1,3}})|(\d(?:\.\d{{1,6}})?))")


@dataclass(frozen=True)
class Item:
    """One thing with mass and place, and the half widths of their doubts; SI."""

    mass_kg: float
    forward_m: float
    above_m: float
    mass_doubt: float = 0.0
    forward_doubt: float = 0.0
    above_doubt: float = 0.0


def tank_level(name: str) -> float | None:
    """Level of "tank 1/2", "tank 0.4", "tank full", "tank half" and their like; None for anything else."""
    found = _TANK.fullmatch(name)
    if found is None:
        return None
    word, fraction, decimal = found.groups()
    if fraction:
        top, bottom = (int(part) for part in fraction.split("/"))
        return float(Fraction(top, bottom)) if bottom else None
    return level_of_words(word) if word else float(decimal)


def items_aboard(
    names: Iterable[str],
    *,
    hull: Hull,
    engine: Engine,
    mounting: Mounting,
    bracket: Bracket | None,
    kicker: Kicker | None,
    tank: Tank,
    weights: Iterable[Weight],
    doubts: dict[str, float],
) -> list[Item]:
    """The named things with mass and place, their doubts by readable path from doubts."""
    by_name = {weight.name: weight for weight in weights}
    items = []
    for name in names:
        if name in by_name:
            items.append(_weight_item(by_name[name], doubts))
        elif name == "engine":
            items.append(_engine_item(hull, engine, mounting, doubts))
        elif name == "bracket" and bracket is not None:
            items.append(_bracket_item(bracket, doubts))
        elif name == "kicker" and kicker is not None:
            items.append(_kicker_item(kicker, doubts))
        else:
            level = tank_level(name)
            if level is None:
                raise ValueError(f"nothing is called {name}")
            fuel = tank.capacity_m3 * level * FUELS[tank.fuel].density_kg_m3
            doubt = doubts.get("tank.capacity", 0.0) * level * FUELS[tank.fuel].density_kg_m3
            items.append(Item(fuel, tank.forward_m, tank.above_m, doubt))
    return items


def _weight_item(weight: Weight, doubts: dict[str, float]) -> Item:
    return Item(
        weight.count * weight.mass_kg,
        weight.forward_m,
        weight.above_m,
        weight.count * doubts.get(f"weights.{weight.name}.mass", 0.0),
        doubts.get(f"{weight.place_path}.forward", 0.0),
        doubts.get(f"{weight.place_path}.above", 0.0),
    )


def _kicker_item(kicker: Kicker, doubts: dict[str, float]) -> Item:
    return Item(
        kicker.mass_kg,
        kicker.forward_m,
        kicker.above_m,
        *(doubts.get(f"kicker.{name}", 0.0) for name in ("mass", "forward", "above")),
    )


def _engine_item(hull: Hull, engine: Engine, mounting: Mounting, doubts: dict[str, float]) -> Item:
    values = {
        name: ASSUMPTIONS[name].value
        for name in (
            "engine_aft",
            "engine_above",
            "sterndrive_mass_forward",
            "sterndrive_mass_above",
        )
    }
    forward, above = places.engine_place(
        drive=engine.drive,
        setback_m=mounting.setback_m,
        plate_height_m=mounting.plate_height_m,
        transom_height_m=hull.transom_height_m,
        **values,
    )
    mass_doubt = engine.count * doubts.get("engine.mass", 0.0)
    return Item(engine.count * engine.mass_kg, forward, above, mass_doubt)


def _bracket_item(bracket: Bracket, doubts: dict[str, float]) -> Item:
    forward, above = places.bracket_place(
        length_m=bracket.length_m,
        bottom_above_m=bracket.bottom_above_m,
        bracket_centre=ASSUMPTIONS["bracket_centre"].value,
        bracket_height=ASSUMPTIONS["bracket_height"].value,
    )
    return Item(bracket.mass_kg, forward, above, doubts.get("bracket.mass", 0.0))


def take_off(whole: Item, aboard: Iterable[Item]) -> tuple[Light, Item]:
    """The light boat left when things are taken off a weighed one, and the same with its doubts.

    Masses and moments are subtracted. Doubts add as the root of squares, each by how far it moves
    the result: a kilogram of doubt at place x moves the light balance point by (x - light) / mass,
    a metre of doubt of a mass m by m / light mass. Sources: own (moments about the transom foot).
    ValueError if nothing is left.
    """
    things = list(aboard)
    mass = whole.mass_kg - sum(thing.mass_kg for thing in things)
    if mass <= 0.0:
        raise ValueError("what was aboard weighs as much as the whole boat")

    def place(name: str) -> tuple[float, float]:
        def at(thing: Item) -> float:
            return float(getattr(thing, f"{name}_m"))

        left = (whole.mass_kg * at(whole) - sum(t.mass_kg * at(t) for t in things)) / mass
        moved = 0.0
        for thing in (whole, *things):
            by_mass = thing.mass_doubt * (at(thing) - left) / mass
            by_place = float(getattr(thing, f"{name}_doubt")) * thing.mass_kg / mass
            moved += by_mass * by_mass + by_place * by_place
        return left, sqrt(moved)

    forward, forward_doubt = place("forward")
    above, above_doubt = place("above")
    mass_doubt = sqrt(sum(thing.mass_doubt * thing.mass_doubt for thing in (whole, *things)))
    return Light(mass, forward, above), Item(
        mass, forward, above, mass_doubt, forward_doubt, above_doubt
    )
