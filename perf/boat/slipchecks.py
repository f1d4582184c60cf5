"""Slips of a digit: weight that would sink her, power no hull of her size takes, an engine lighter than any.

Limits are ours and wide: they catch a zero too many or the wrong unit, not an unusual boat.
"""

from __future__ import annotations

import numpy as np

from perf.base.assumptions import ASSUMPTIONS
from perf.base.units import show
from perf.boat.reading import Reading
from perf.laws import rules
from perf.laws.rules import HORSEPOWER_W, POUND_KG, TALL_TRANSOM_M
from perf.laws.water import water_density

LIGHTEST = POUND_KG / HORSEPOWER_W  # kg a watt: a pound for each horsepower
TIMES = 3.0  # what a plate, or the usual rule, allows
FREEZING_C = 0.0  # the densest water she meets


def check(reading: Reading) -> None:
    """Note every weight and power that can only be a slip."""
    check_engine(reading)
    _weights(reading)
    _power(reading)


def check_engine(reading: Reading) -> None:
    """Note an engine lighter than a pound for each horsepower."""
    mass, power = reading.number("engine.mass"), reading.number("engine.rated_power")
    if mass and power and mass < LIGHTEST * power:
        said = reading.words.get("engine.rated_power", "")
        reading.fault(
            "engine.mass",
            f"no engine of {said} weighs less than 1 lb per hp: a digit short, or the wrong unit?",
        )


def _weights(reading: Reading) -> None:
    """Nothing weighs more than a box of her length, beam and transom height carries up to its edge."""
    sides = [
        reading.number(f"hull.{name}")
        for name in ("length_overall", "chine_beam", "transom_height")
    ]
    room = 1.0
    for side in sides:
        room *= side or float("inf")
    carries = room * float(
        water_density(np.array(FREEZING_C), np.array(ASSUMPTIONS["salinity"].value))
    )
    named = [f"weights.{name}" for name in reading.names("weights")]
    for where in ("light", "weighed", "engine", *named):
        mass = reading.number(f"{where}.mass")
        if mass and mass * (reading.number(f"{where}.count") or 1.0) > carries:
            reading.fault(
                f"{where}.mass",
                "she would float deeper than her sides: a zero too many, or the wrong unit?",
            )


def _power(reading: Reading) -> None:
    """No more than three times the plate; without one, of the rule for small outboard boats."""
    power = reading.number("engine.rated_power")
    if not power:
        return
    power *= reading.number("engine.count") or 1.0
    plate = reading.number("plate.power")
    if plate:
        if power > TIMES * plate:
            said = reading.words["plate.power"]
            cure = f"more than three times what the plate allows ({said}): a zero too many?"
            reading.fault("engine.rated_power", cure)
        return
    length, beam = reading.number("hull.length_overall"), reading.number("hull.chine_beam")
    if not length or not beam:
        return
    factor = rules.powering_factor(length, beam)
    usual = float(rules.outboard_power_limit(factor, TALL_TRANSOM_M, 1.0, 0.0))
    if power > TIMES * usual:
        cure = (
            f"more than three times what the usual rule gives a hull of this size "
            f"({show(usual, 'power', 'us', 0)}): a zero too many?"
        )
        reading.fault("engine.rated_power", cure)
