"""Rules on power and load: the US federal formulas for small monohulls, and what is known of the European ones.

The formulas bind builders of boats under 20 ft. For a boat in use the capacity plate, the builder
and the engine maker rule. Length is the regulation's own (33 CFR 183.3): it leaves out outboard
brackets, bow sprits, rudders and handles, so that a bracket never raises the power allowed.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]

FOOT_M = 0.3048
INCH_M = 0.0254
POUND_KG = 0.45359237
HORSEPOWER_W = 745.6998715822702  # 550 ft lbf/s
KNOT_MPS = 1852.0 / 3600.0

FORMULA_LENGTH_M = 20.0 * FOOT_M  # 33 CFR 183.31 and 183.51: boats less than 20 ft
TALL_TRANSOM_M = 20.0 * INCH_M  # 33 CFR 183.53
FACTOR_OF_FORMULA = 52.5  # 33 CFR 183.53: above it the formulas, up to it the table
HAIR = 1e-9  # feet made of metres miss a whole number by less than this

# 33 CFR 183.53, table: factor up to, horsepower
TABLE_FACTOR = np.array([35.0, 39.0, 42.0, 45.0, 52.0])
TABLE_HORSEPOWER = np.array([3.0, 5.0, 7.5, 10.0, 15.0])

SIDE_RULE_KG = 550.0 * POUND_KG  # 33 CFR 183.39 and 183.41: below it the side weight counts too


@law("factor of the powering rule", "33 CFR 183", "183.53 (a)", Basis.READ)
def powering_factor(length_m: ArrayLike, transom_width_m: ArrayLike) -> Array:
    """Length in feet times greatest transom width in feet, broadcast shape.

    transom_width_m leaves out handles and similar fittings; where there is no full transom it is the
    broadest beam in the aftermost quarter of the length.
    """
    feet = np.asarray(length_m, dtype=float) / FOOT_M
    return feet * (np.asarray(transom_width_m, dtype=float) / FOOT_M)


@law(
    "greatest outboard power of a small monohull",
    "33 CFR 183",
    "183.53 (a): table and formulas, raised to the next exact multiple of 5 horsepower",
    Basis.READ,
)
def outboard_power_limit(
    factor: ArrayLike,
    transom_height_m: ArrayLike,
    remote_steering: ArrayLike,
    flat_bottom: ArrayLike,
) -> Array:
    """Greatest power [W] by the federal formula, broadcast shape; NaN for a factor below nought.

    remote_steering and flat_bottom (flat-bottomed with hard chines) are 1 or 0. Up to a factor of
    52.5 the nearest whole factor is looked up, flat bottoms one step lower (the text names no step
    below the lowest, which then stays). Over it 2 F - 90 with remote steering and a transom of
    20 in; else 0.5 F - 15 for flat bottoms and 0.8 F - 25 for all others.
    """
    value, height = np.asarray(factor, dtype=float), np.asarray(transom_height_m, dtype=float)
    remote, flat = np.asarray(remote_steering) > 0.5, np.asarray(flat_bottom) > 0.5
    with np.errstate(invalid="ignore"):
        easy = remote & (height >= TALL_TRANSOM_M - HAIR)
        formula = np.where(
            easy,
            2.0 * value - 90.0,
            np.where(flat, 0.5 * value - 15.0, 0.8 * value - 25.0),
        )
        raised = 5.0 * np.ceil(formula / 5.0 - HAIR)
        small = _from_table(value, flat)
        horsepower = np.where(value > FACTOR_OF_FORMULA + HAIR, raised, small)
        known = (value >= 0.0) & np.isfinite(height)
        return np.where(known, horsepower * HORSEPOWER_W, np.nan)


def _from_table(factor: Array, flat: NDArray[np.bool_]) -> Array:
    with np.errstate(invalid="ignore"):
        whole = np.minimum(np.floor(factor + 0.5 + HAIR), TABLE_FACTOR[-1])
        row = np.searchsorted(TABLE_FACTOR, np.where(np.isfinite(whole), whole, 0.0))
    return np.asarray(TABLE_HORSEPOWER[np.where(flat, np.maximum(row - 1, 0), row)])


@law(
    "greatest outboard load of a small monohull",
    "33 CFR 183",
    "183.35: a fifth of the displacement at which water comes aboard, less the boat",
    Basis.READ,
)
def outboard_load_limit(swamping_displacement_kg: ArrayLike, boat_kg: ArrayLike) -> Array:
    """Greatest weight of people, engine and gear [kg], broadcast shape; never below nought.

    swamping_displacement_kg : weight of the water displaced at the greatest level immersion without
    water coming aboard. boat_kg : hull, deck, permanent fittings and full permanent fuel tanks.
    """
    spare = np.asarray(swamping_displacement_kg, dtype=float) - np.asarray(boat_kg, dtype=float)
    return np.asarray(np.maximum(spare, 0.0) / 5.0)


@law(
    "greatest weight of people",
    "33 CFR 183",
    "183.39 and 183.41: the lesser of load less machinery and, under 550 lb, the side weight over 0.6",
    Basis.READ,
)
def people_weight_limit(
    load_kg: ArrayLike, machinery_kg: ArrayLike, side_weight_kg: ArrayLike
) -> Array:
    """Greatest weight of people [kg] in whole pounds, broadcast shape; never below nought.

    load_kg : greatest load. machinery_kg : engine, controls, battery and a full portable tank of an
    outboard (nothing for an inboard or sterndrive). side_weight_kg : weight along one side that
    brings water about to come aboard; NaN where nobody has tried it: then NaN where it counts.
    """
    people = np.asarray(load_kg, dtype=float) - np.asarray(machinery_kg, dtype=float)
    with np.errstate(invalid="ignore"):
        side = np.asarray(side_weight_kg, dtype=float) / 0.6
        least = np.where(people < SIDE_RULE_KG - HAIR, np.minimum(people, side), people)
        # what is marked may not exceed the limit: whole pounds, downwards
        return np.asarray(np.floor(np.maximum(least, 0.0) / POUND_KG + 1e-6) * POUND_KG)


@law(
    "number of people for a weight of people",
    "33 CFR 183",
    "183.39 and 183.41: (pounds + 32) / 141, to the nearest whole number",
    Basis.READ,
)
def people_limit(people_kg: ArrayLike) -> Array:
    """Number of people marked on the plate for a weight of people [kg], same shape."""
    pounds = np.asarray(people_kg, dtype=float) / POUND_KG
    with np.errstate(invalid="ignore"):
        return np.floor((pounds + 32.0) / 141.0 + 0.5 + HAIR)


@law(
    "people aboard without a plate",
    "trade",
    "length times width in feet over 15, as boating courses teach it",
    Basis.QUOTED,
)
def people_rule_of_thumb(length_m: ArrayLike, beam_m: ArrayLike) -> Array:
    """Number of people of 150 lb on a boat without a plate, not rounded, broadcast shape."""
    feet = np.asarray(length_m, dtype=float) / FOOT_M
    return feet * (np.asarray(beam_m, dtype=float) / FOOT_M) / 15.0


@law(
    "speed from which the European manoeuvring test gains an annex",
    "ISO 11592-1",
    "annex A: over 7 times the root of hull length, knots and metres",
    Basis.QUOTED,
)
def manoeuvring_threshold(length_m: ArrayLike) -> Array:
    """Top speed [m/s] over which annex A applies to craft under 8 m, same shape."""
    with np.errstate(invalid="ignore"):
        return np.asarray(7.0 * np.sqrt(np.asarray(length_m, dtype=float)) * KNOT_MPS)
