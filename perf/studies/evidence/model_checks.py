"""Methods against models and single measurements: model hulls free to trim, tank tables, engines, a ship.

No band is drawn here: these rows have complete inputs, and the error is the method's own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.roots import find_roots
from perf.base.tables import Table, read_table
from perf.base.units import to_si
from perf.laws import engine, friction, planing, preplaning
from perf.laws.technology import TECHNOLOGIES, WATT_PER_HORSEPOWER, bin_powers_w, technology_numbers
from perf.laws.water import GRAVITY

Array = NDArray[np.float64]

FRESH_WATER = (999.0, 1.14e-6)  # density and viscosity at 15 degrees, ITTC 2011
SEA_WATER = (1026.0, 1.19e-6)
HIGH_SPEED = np.array(1e9)  # speed coefficient at which the buoyant part of the lift is gone
WARP_DEG = np.array(1.66)  # Savitsky & Brown 1976, Tables 1 and 2
TABLE_DEADRISE_DEG = np.array(10.0)
PRACTICE_POWER_LEFT = (0.78, 0.85)
GRAMS_PER_KWH = 3.6e9  # of one kg/J


@dataclass(frozen=True)
class ModelCheck:
    """One figure of a method beside a measured one, SI; low and high are the ends of what was measured."""

    id: str
    subject: str
    what: str
    kind: str
    low: float
    high: float
    ours: float
    source: str
    note: str = ""

    @property
    def error(self) -> float:
        """Ours over the middle of what was measured, less one."""
        return self.ours / (0.5 * (self.low + self.high)) - 1.0


def model_checks() -> list[ModelCheck]:
    """Every check of a method by itself, in the order hull, tank, ship, engine, air."""
    return [
        *_free_to_trim(),
        *_tank_lift(),
        *_tank_drag(),
        _ship(),
        *_engines(),
        *_cycles(),
        _thin_air(),
    ]


def _free_to_trim() -> list[ModelCheck]:
    """Trim and mean wetted length of model hulls by the 1964 method, all forces through the balance point."""
    table = read_table("measured/free_to_trim_model_tests.csv")
    trim, length = _balanced(table)
    found = []
    for at, row in enumerate(table.rows):
        known = (row["set"], f"model hull {row['set']}")
        measured = float(row["trim_deg"])
        gap = f"{trim[at] - measured:+.2f} degrees"
        found.append(
            ModelCheck(
                *known,
                "running trim",
                "angle",
                measured,
                measured,
                float(trim[at]),
                row["source"],
                gap,
            )
        )
        wetted = float(row["wetted_length_m"])
        found.append(
            ModelCheck(
                *known, "wetted length", "length", wetted, wetted, float(length[at]), row["source"]
            )
        )
    return found


def _balanced(table: Table) -> tuple[Array, Array]:
    """Trim [deg] and mean wetted length [m] at which the pressure stands under the balance point."""
    beam, weight, speed = (table.numbers(name) for name in ("beam_m", "weight_n", "speed_mps"))
    deadrise, forward = table.numbers("deadrise_deg"), table.numbers("forward_m")
    density, _ = FRESH_WATER
    lift = weight / (0.5 * density * speed * speed * beam * beam)
    flat = planing.flat_lift_from_deadrise(lift, deadrise)
    coefficient = speed / np.sqrt(GRAVITY * beam)

    def ahead(trim_deg: Array, row: Array) -> Array:
        at = row.astype(np.intp)
        ratio = planing.length_ratio_from_lift(flat[at], trim_deg, coefficient[at])
        centre = planing.centre_of_pressure(ratio, coefficient[at]) * ratio * beam[at]
        left: Array = centre - forward[at]
        return left

    rows = np.arange(beam.size, dtype=float)
    low, high = np.full(beam.size, 1.0), np.full(beam.size, 12.0)
    trim = find_roots(ahead, low, high, (rows,), tolerance=1e-10).x
    ratio = planing.length_ratio_from_lift(flat, trim, coefficient)
    return trim, ratio * beam


def _tank_lift() -> list[ModelCheck]:
    """Dynamic lift of 1964 over Table 1 of 1976, mean of nine readings each."""
    table = read_table("measured/savitsky_brown_1976_table_1.csv")
    trim, length = table.numbers("trim_deg"), table.numbers("length_ratio")
    found = []
    for kind, warp in (("prismatic", np.array(0.0)), ("warped", WARP_DEG)):
        effective = planing.warped_lift_trim(trim, warp)
        flat = planing.flat_lift(effective, length, HIGH_SPEED)
        ratio = planing.deadrise_lift(flat, TABLE_DEADRISE_DEG) / table.numbers(
            f"{kind}_experiment"
        )
        found.append(_mean("SB76-1", f"{kind} bottom, 10 degrees", "dynamic lift", ratio))
    return found


def _tank_drag() -> list[ModelCheck]:
    """Measured lift on the slope of the drag trim over Table 2: what stands there has no friction."""
    drag = read_table("measured/savitsky_brown_1976_table_2.csv")
    lift = read_table("measured/savitsky_brown_1976_table_1.csv")
    lifts = {
        (row["trim_deg"], row["length_ratio"]): float(row["warped_experiment"]) for row in lift.rows
    }
    each = np.array([lifts[row["trim_deg"], row["length_ratio"]] for row in drag.rows])
    slope = np.tan(np.radians(planing.warped_drag_trim(drag.numbers("trim_deg"), WARP_DEG)))
    check = _mean(
        "SB76-2", "warped bottom", "dynamic drag", each * slope / drag.numbers("experiment")
    )
    return [check]


def _mean(id_: str, subject: str, what: str, ratio: Array) -> ModelCheck:
    note = f"from {np.min(ratio):.2f} to {np.max(ratio):.2f}, {ratio.size} readings"
    source = "Savitsky & Brown 1976"
    told = f"{what}, ours over measured"
    return ModelCheck(id_, subject, told, "ratio", 1.0, 1.0, float(np.mean(ratio)), source, note)


def _ship() -> ModelCheck:
    """The pre-planing regression at a ship's size over her tank-tested resistance, where it reaches."""
    table = read_table("measured/hard_chine_ship.csv")
    beam, fullness, slenderness = (
        table.numbers(name) for name in ("beam_m", "volume_per_beam_cubed", "slenderness")
    )
    cube = np.cbrt(fullness * beam * beam * beam)
    speed = to_si(table.numbers("speed_kn"), "speed", "nautical")
    froude = speed / np.sqrt(GRAVITY * cube)
    bare = preplaning.preplaning_resistance_ratio(
        froude,
        1.0 / slenderness,
        fullness,
        table.numbers("entrance_half_angle_deg"),
        table.numbers("transom_share"),
    )
    reynolds = speed * slenderness * cube / SEA_WATER[1]
    own = friction.ittc57(reynolds) + friction.BOTTOMS["clean"]
    basis = friction.schoenherr(preplaning.basis_reynolds(froude, slenderness))
    area = table.numbers("area_m2") / (cube * cube)
    ratio = preplaning.size_corrected_ratio(bare, own, basis, area, froude)
    weight = table.numbers("mass_kg") * GRAVITY
    ours = ratio * weight / (1000.0 * table.numbers("resistance_kn"))
    reached = ours[np.isfinite(ours)]
    note = (
        f"from {np.min(reached):.2f} to {np.max(reached):.2f}, {reached.size} speeds;"
        " air and appendages are in what was measured"
    )
    told = "resistance, pre-planing regression over measured"
    where = "Hetharia, Hage & Rigo 2021"
    mean = float(np.mean(reached))
    return ModelCheck("H21", "29 m hard-chine ship", told, "ratio", 1.0, 1.0, mean, where, note)


def _engines() -> list[ModelCheck]:
    """Held-back burn: a small two-stroke flat out, and a four-stroke at 0.775 of its rpm."""
    table = {row["set"]: row for row in read_table("measured/full_throttle_fuel.csv").rows}
    small = table["WOT10"]
    rated = float(small["hp"]) * WATT_PER_HORSEPOWER
    full = _burn(small["technology"], rated, 1.0) / rated * GRAMS_PER_KWH
    grams = float(small["g_per_kwh"])
    part, whole = table["WOT2"], table["WOT1"]
    rated = float(part["hp"]) * WATT_PER_HORSEPOWER
    share = 4728.0 / 6100.0
    ours = _burn(part["technology"], rated, share) / _burn(part["technology"], rated, 1.0)
    measured = float(part["fuel_lph"]) / float(whole["fuel_lph"])
    law = "power as rpm to 2.5 assumed; the whole may be the ten per cent rule"
    return [
        ModelCheck(
            "WOT10",
            "15 hp two-stroke",
            "full-throttle burn, g/kWh",
            "ratio",
            grams,
            grams,
            full,
            "owners' logs",
        ),
        ModelCheck(
            "WOT2",
            "250 hp four-stroke",
            "share of full burn at 0.775 of rpm",
            "ratio",
            measured,
            measured,
            ours,
            "owners' logs",
            law,
        ),
    ]


def _cycles() -> list[ModelCheck]:
    """Duty-cycle burn over the EPA's, for each kind of engine in the bins whose EPA value was not used.

    Where the EPA's value is under the cap the law was solved for it, which would prove nothing.
    """
    found = []
    for kind in TECHNOLOGIES.values():
        solved = [technology_numbers(kind.name, power) for power in bin_powers_w(kind.epa_code)]
        ratios = [
            one.cycle / one.epa_cycle for one in solved if not np.isclose(one.cycle, one.epa_cycle)
        ]
        if ratios:
            found.append(
                ModelCheck(
                    "EPA",
                    kind.name,
                    "duty-cycle burn over the agency's",
                    "ratio",
                    1.0,
                    1.0,
                    float(np.mean(ratios)),
                    "EPA NONROAD2008a",
                    f"from {min(ratios):.2f} to {max(ratios):.2f}, {len(ratios)} sizes of 1990s engines",
                )
            )
    return found


def _burn(technology: str, rated_w: float, rotation_share: float) -> float:
    """Fuel [kg/s] of one engine on the propeller law of the certification cycle."""
    n = technology_numbers(technology, rated_w)
    power = rated_w * float(engine.cycle_power(rotation_share))
    flow = engine.fuel_mass_flow(
        power, rotation_share, rated_w, n.friction, n.slope, n.enrichment, n.idle
    )
    return float(flow)


def _thin_air() -> ModelCheck:
    """Power left at 5,000 ft in the standard atmosphere against what the trade says."""
    height = 1524.0
    high = engine.ambient_power_factor(15.0 - 0.0065 * height, height, 0.0)
    left = float(high / engine.ambient_power_factor(15.0, 0.0, 0.0))
    low, most = PRACTICE_POWER_LEFT
    note = "common practice, no measurement"
    return ModelCheck(
        "ALTITUDE",
        "petrol engine",
        "power left at 5,000 ft",
        "ratio",
        low,
        most,
        left,
        "trade",
        note,
    )
