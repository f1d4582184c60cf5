"""Fuels, kinds of engine, and the four numbers of the fuel law for one engine.

Two of the four (friction, slope) are solved so that the law burns the stated consumption at full
throttle and the US EPA's duty-cycle average over the certification cycle. That is calibration:
neither number is evidence for the law, and rows of metered part-load burn are its test.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis
from perf.base.tables import read_table

Array = NDArray[np.float64]

WATT_PER_HORSEPOWER = 745.6998715822702  # 550 ft lbf/s
KG_PER_POUND = 0.45359237
KG_PER_J = KG_PER_POUND / (WATT_PER_HORSEPOWER * 3600.0)  # of one lb per hp-h
M3_PER_GALLON = 3.785411784e-3
J_PER_BTU = 1055.05585262


@dataclass(frozen=True)
class Fuel:
    """One fuel: density at 15 degrees, lower heating value, carbon dioxide from its fossil part."""

    name: str
    density_kg_m3: float
    lower_heating_value_j_kg: float
    co2_kg_per_l: float
    source: str
    basis: Basis

    @property
    def mass_factor(self) -> float:
        """Mass burnt over that of the reference fuel for equal heat: 1 but for blends."""
        reference = FUELS["diesel" if self.name == "diesel" else "petrol"]
        return reference.lower_heating_value_j_kg / self.lower_heating_value_j_kg


def _heat(btu_per_gallon: float, density_kg_m3: float) -> float:
    return btu_per_gallon * J_PER_BTU / M3_PER_GALLON / density_kg_m3


# Densities are inside the DOE range (petrol 6.0-6.5, diesel 6.7-7.4 lb/gal, ethanol 6.61);
# heat in Btu/gal: petrol 115,000, ethanol 76,000, diesel 128,400. Carbon dioxide: EPA 8,887 and
# 10,180 g/gal; for E10 nine tenths of petrol's, the ethanol counted as no fossil carbon.
FUELS: dict[str, Fuel] = {
    fuel.name: fuel
    for fuel in (
        Fuel(
            "petrol",
            742.0,
            _heat(115_000.0, 742.0),
            8.887e-3 / M3_PER_GALLON,
            "DOE AFDC",
            Basis.QUOTED,
        ),
        Fuel(
            "petrol E10",
            747.0,
            _heat(111_100.0, 747.0),
            0.9 * 8.887e-3 / M3_PER_GALLON,
            "DOE AFDC",
            Basis.QUOTED,
        ),
        Fuel(
            "diesel",
            845.0,
            _heat(128_400.0, 845.0),
            10.180e-3 / M3_PER_GALLON,
            "DOE AFDC",
            Basis.QUOTED,
        ),
    )
}


@dataclass(frozen=True)
class Technology:
    """One kind of engine as hull_data/coefficients/technology.csv states it.

    full_throttle_kg_per_j is of shaft work, idle_kg_per_j_rated per rated power and time;
    curve is "spark" or "diesel"; epa_code the column of the EPA tables; tuned_to the measured rows
    its numbers were chosen by, which are calibration.
    """

    name: str
    fuels: tuple[str, ...]
    curve: str
    epa_code: str
    full_throttle_kg_per_j: float
    enrichment: float
    idle_kg_per_j_rated: float
    cycle_cap: float
    tuned_to: tuple[str, ...] = ()


def _technologies() -> dict[str, Technology]:
    found = {}
    for row in read_table("coefficients/technology.csv").rows:
        fuels = tuple(row["fuels"].split("|"))
        gallon_kg = FUELS[fuels[0]].density_kg_m3 * M3_PER_GALLON
        per_rated = gallon_kg / (3600.0 * 100.0 * WATT_PER_HORSEPOWER)
        found[row["name"]] = Technology(
            row["name"],
            fuels,
            row["curve"],
            row["epa_code"],
            float(row["full_throttle_lb_per_hp_h"]) * KG_PER_J,
            float(row["enrichment"]),
            float(row["idle_gal_per_h_per_100_hp"]) * per_rated,
            float(row["cycle_cap"]),
            tuple(row["tuned_to"].split("|")) if row["tuned_to"] else (),
        )
    return found


TECHNOLOGIES: dict[str, Technology] = _technologies()


@dataclass(frozen=True)
class Cycle:
    """Modes of a certification cycle without idle, and the weight of idle."""

    rotation_share: tuple[float, ...]
    power_share: tuple[float, ...]
    weight: tuple[float, ...]
    idle_weight: float


# 40 CFR 1045 appendix II (E4): torque 100, 71.6, 46.5, 25.3 per cent at 100, 80, 60, 40 per cent
E4 = Cycle(
    (1.0, 0.8, 0.6, 0.4),
    (1.0, 0.8 * 0.716, 0.6 * 0.465, 0.4 * 0.253),
    (0.06, 0.14, 0.15, 0.25),
    0.40,
)
# 40 CFR 94.105 table B-5 (E5)
E5 = Cycle((1.0, 0.91, 0.80, 0.63), (1.0, 0.75, 0.50, 0.25), (0.08, 0.13, 0.17, 0.32), 0.30)
CYCLES = {"spark": E4, "diesel": E5}


@dataclass(frozen=True)
class TechnologyNumbers:
    """The fuel law of one engine, all in kg/s per watt of rated power but enrichment (bare).

    epa_cycle is the EPA's duty-cycle consumption, cycle the value the law was solved for:
    lower where the cap acted or where friction would have been negative.
    """

    full_throttle: float
    friction: float
    slope: float
    enrichment: float
    idle: float
    epa_cycle: float
    cycle: float


_BINS = {
    code: (table.texts("hp_bin"), table.numbers(code))
    for table in map(
        read_table,
        (
            "coefficients/epa_outboard_bsfc.csv",
            "coefficients/epa_sterndrive_bsfc.csv",
            "coefficients/epa_diesel_bsfc.csv",
        ),
    )
    for code in table.columns
    if code != "hp_bin"
}


def epa_cycle_consumption(epa_code: str, rated_power_w: float) -> float:
    """Duty-cycle consumption in kg/J of one EPA technology in its power bin (upper end inclusive)."""
    horsepower = rated_power_w / WATT_PER_HORSEPOWER
    bins, values = _BINS[epa_code]
    for text, value in zip(bins, values.tolist(), strict=True):
        # the least bit of rounding must not move a 100 hp engine out of the 50-100 bin
        if text.startswith(">") or horsepower <= float(text.split("-")[1]) * (1.0 + 1e-9):
            return float(value) * KG_PER_J
    raise ValueError(f"no power bin holds {horsepower} hp")


IDLE_SHARE = 0.12  # of rated rpm: where an engine idles, some 650 of 5500; assumed


def bin_powers_w(epa_code: str) -> tuple[float, ...]:
    """Greatest power of each of the agency's bins in W; of the open one at the top twice where it begins."""
    tops = (
        2.0 * float(text[1:]) if text.startswith(">") else float(text.split("-")[1])
        for text in _BINS[epa_code][0]
    )
    return tuple(top * WATT_PER_HORSEPOWER for top in tops)


def enrichment_share(rotation_share: ArrayLike) -> Array:
    """Share of full-throttle enrichment at a share of rated rpm: a smooth step from 0.85 to 1."""
    step = np.clip((np.asarray(rotation_share, dtype=np.float64) - 0.85) / 0.15, 0.0, 1.0)
    value: Array = step * step * (3.0 - 2.0 * step)
    return value


# power from which the stated full-throttle consumption holds; smaller engines burn more
FULL_SIZE_W = {"spark": 75.0 * WATT_PER_HORSEPOWER, "diesel": 150.0 * WATT_PER_HORSEPOWER}
LEAST_FRICTION = 0.02  # share of full-throttle consumption that friction may not fall under


def technology_numbers(technology: str, rated_power_w: float) -> TechnologyNumbers:
    """The fuel law of one engine, solved from full throttle and duty cycle; KeyError if unknown.

    Petrol engines under the 50-100 hp bin and diesels up to 100 hp burn more, at full throttle and
    at rest, in the proportion of the EPA's bins.
    With f friction, g slope, e enrichment, i idle, F full throttle, C cycle:
    (i + f (1 - s_idle) + g)(1 + e) = F and
    sum w (i + f (s - s_idle) + g p)(1 + e E(s)) + w_idle i = C sum w p.
    C is the EPA's value but at most cycle_cap times F: the EPA's small bins describe engines of
    the 1990s, while duty-cycle charts of twelve direct-injected outboards of 40 to 250 hp give
    0.62 lb/hp-h on average, 1.16 times full throttle: that is the cap. Where it acts the EPA's
    value was not used, and the evidence prints by how much the law lies under it.
    Friction is kept at 2 % of F or more; `cycle` in the answer says what was solved for.
    """
    kind = TECHNOLOGIES[technology]
    epa = epa_cycle_consumption(kind.epa_code, rated_power_w)
    large = max(rated_power_w, FULL_SIZE_W[kind.curve])
    size = epa / epa_cycle_consumption(kind.epa_code, large)
    full = kind.full_throttle_kg_per_j * size
    cycle = CYCLES[kind.curve]
    wanted = min(epa, kind.cycle_cap * full)
    lean = full / (1.0 + kind.enrichment)
    running = rotation = power = mean = 0.0
    for s, p, weight in zip(cycle.rotation_share, cycle.power_share, cycle.weight, strict=True):
        rich = 1.0 + kind.enrichment * float(enrichment_share(s))
        running += weight * rich
        rotation += weight * (s - IDLE_SHARE) * rich
        power += weight * p * rich
        mean += weight * p
    idle = kind.idle_kg_per_j_rated * size
    at_rest = (cycle.idle_weight + running) * idle
    whole = 1.0 - IDLE_SHARE
    friction = (wanted * mean - at_rest - power * (lean - idle)) / (rotation - whole * power)
    friction = max(friction, LEAST_FRICTION * full)
    slope = lean - idle - whole * friction
    if not slope > 0.0:
        raise ValueError(f"{technology}: the fuel law has no positive slope")
    solved = (at_rest + friction * rotation + slope * power) / mean
    return TechnologyNumbers(full, friction, slope, kind.enrichment, idle, epa, solved)
