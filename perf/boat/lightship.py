"""From the [weighed] table to the light boat, with doubts that count each thing once."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from perf.base.units import show
from perf.boat.filling import Filler
from perf.boat.parts import Boat, Hull, Light
from perf.boat.weighing import Item, items_aboard, take_off

ALWAYS_ABOARD = ("engine", "bracket", "kicker")


def weighed_light(filler: Filler, boat: Boat) -> Light:
    """The light boat by taking off what was aboard at the weighing; faults are noted in the reading.

    What is always aboard and was aboard then has no doubt of its weight left: hull and engine
    together are what the scale said, whatever the engine weighs by itself. Its doubt is taken off
    the list, so that draws do not count it twice. The price: the bare hull alone, as after a change
    of engine, is a little less sure than the list says.
    """
    values, doubts = filler.reading.values, filler.doubts
    whole, names = _whole(filler), values["weighed.aboard"]
    for name in set(ALWAYS_ABOARD).intersection(names):
        doubts.pop(f"{name}.mass", None)
    aboard = items_aboard(
        names,
        hull=boat.hull,
        engine=boat.engine,
        mounting=boat.mounting,
        bracket=boat.bracket,
        kicker=boat.kicker,
        tank=boat.tank,
        weights=boat.weights,
        doubts=doubts,
    )
    carried = sum(item.mass_kg for item in aboard)
    if carried >= whole.mass_kg:
        said = _spoken(filler, carried, "mass")
        filler.reading.fault(
            "weighed.mass", f"no more than what was aboard at the weighing ({said}): check both"
        )
        return boat.light
    light, doubt = take_off(whole, aboard)
    for path in ("mass", "forward", "above"):
        half_width = getattr(doubt, f"{path}_doubt")
        if half_width:
            doubts[f"light.{path}"] = half_width
    if "weighed.above" not in values:
        doubts.pop("light.above", None)
        values.pop("light.above", None)
        filler.assume("light.above", "light_above")
        light = replace(light, above_m=values["light.above"])
    _check_light(filler, light, boat.hull)
    return light


def _whole(filler: Filler) -> Item:
    """What the scale said, its doubts taken off the list."""
    paths = ("weighed.mass", "weighed.forward", "weighed.above")
    numbers: list[Any] = [filler.reading.values.get(path, 0.0) for path in paths]
    return Item(*numbers, *(filler.doubts.pop(path, 0.0) for path in paths))


def _check_light(filler: Filler, light: Light, hull: Hull) -> None:
    spans = (
        ("forward", light.forward_m, hull.length_overall_m),
        ("above", light.above_m, 0.5 * hull.length_overall_m),
    )
    for name, value, high in spans:
        if not 0.0 <= value <= high:
            said = _spoken(filler, value, "length")
            cure = f"the bare hull would balance at {said}: check this and the places of what was aboard"
            filler.reading.fault(f"weighed.{name}", cure)


def _spoken(filler: Filler, value: float, kind: str) -> str:
    """A value in the units the weighing is written in."""
    metric = filler.reading.words["weighed.mass"].split(" ±")[0].endswith("kg")
    return show(value, kind, "metric" if metric else "us", 0)
