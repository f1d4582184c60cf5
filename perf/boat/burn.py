"""The owner's own burn table: its rows read with their places, then turned into factors on the fuel law."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from perf.base.assumptions import ASSUMPTIONS
from perf.base.faults import ReadingError
from perf.base.units import read, show
from perf.boat.parts import Engine, Tank
from perf.boat.schema import Key
from perf.boat.tomlplaces import Path, readable
from perf.boat.values import text_of, written
from perf.laws import engine as law
from perf.laws.fuel_table import ROWS

if TYPE_CHECKING:
    from perf.boat.reading import Reading

KINDS = (
    ("rotation", "3000 rpm", "300 rpm", "9000 rpm"),
    ("fuel flow", "5.1 gal/h", "0.03 gal/h", "200 gal/h"),
)
FARTHEST = 3.0  # a burn this many times the law's, or less than one such part, is a slip; ours


def read_burn(reading: Reading, path: Path, key: Key, raw: object) -> None:
    """Put the rows (rpm, L/h) of a burn table into the reading, and the root mean square of their doubts.

    The doubt is a share of the burn. Every row that cannot be read is a fault at its place.
    """
    if not isinstance(raw, list) or not all(isinstance(row, list) and len(row) == 2 for row in raw):
        raise ReadingError(f"rows of rpm and burn in brackets, such as {key.example}")
    if not 2 <= len(raw) <= ROWS:
        raise ReadingError(f"2 to {ROWS} rows: leave out those that lie between their neighbours")
    rows: list[tuple[float, float]] = []
    shares = []
    for number, pair in enumerate(raw):
        cells = [
            _cell(reading, (*path, number, column), cell, column)
            for column, cell in enumerate(pair)
        ]
        if None in cells:
            return
        (rpm, _), (burn, doubt) = (cell for cell in cells if cell is not None)
        if rows and rpm <= rows[-1][0]:
            reading.fault(
                (*path, number, 0),
                "no faster than the row before: rpm rises down the table",
                text=pair[0],
            )
            return
        if rows and burn < rows[-1][1]:
            reading.fault(
                (*path, number, 1),
                "less than at the lower rpm of the row before: check both",
                text=pair[1],
            )
            return
        rows.append((rpm, burn))
        shares.append(doubt / burn)
    reading.values[readable(path)] = tuple(rows)
    spread = sqrt(sum(share * share for share in shares) / len(shares))
    if spread:
        reading.doubts[readable(path)] = spread


def _cell(reading: Reading, path: Path, raw: object, column: int) -> tuple[float, float] | None:
    """Value and doubt of one cell; None where it is a fault, which is noted."""
    kind, example, low, high = KINDS[column]
    try:
        quantity = read(text_of(raw, Key(kind, f'"{example}"')), kind)
        if not read(low, kind).value <= quantity.value <= read(high, kind).value:
            raise ReadingError(f"outside {low} to {high}: check the number and the unit")
    except ReadingError as why:
        reading.fault(path, str(why), text=written(raw))
        return None
    return quantity.value, quantity.doubt


def law_burn_lph(motor: Engine, tank: Tank, rpm: float) -> float:
    """Burn of one engine by the law along a power of rpm to the 2.5, full throttle at most [L/h]."""
    share = rpm / motor.rated_rpm
    numbers = law.technology_numbers(motor.technology, motor.rated_power_w)
    curve = 1.0 if law.TECHNOLOGIES[motor.technology].curve == "diesel" else 0.0
    most = law.full_throttle_power(
        rpm,
        motor.rated_power_w,
        motor.rated_rpm,
        ASSUMPTIONS["idle_rpm"].value,
        motor.full_throttle_high_rpm * ASSUMPTIONS["rev_limit"].value,
        curve,
    )
    power = np.minimum(motor.rated_power_w * law.cycle_power(share), most)
    fuel = law.FUELS[tank.fuel]
    flow = law.fuel_mass_flow(
        power,
        share,
        motor.rated_power_w,
        numbers.friction,
        numbers.slope,
        numbers.enrichment,
        numbers.idle,
    )
    return float(flow) * fuel.mass_factor / fuel.density_kg_m3 * 3.6e6


def fuel_table(reading: Reading, motor: Engine, tank: Tank) -> tuple[tuple[float, float], ...]:
    """Rows of rpm over rated rpm and burn over the law's; a burn no such engine has is a fault."""
    table = []
    for number, (rpm, burn) in enumerate(reading.values["engine.fuel"]):
        expected = law_burn_lph(motor, tank, rpm)
        factor = burn / expected
        if not 1.0 / FARTHEST <= factor <= FARTHEST:
            said = reading.document.tables["engine"]["fuel"][number][1]
            system = "us" if "g" in said.lower() else "metric"  # gal/h, gph or l/h
            usual = show(expected, "fuel flow", system, 1)
            cure = f"an engine of this power burns about {usual} there: give one engine's burn, check the unit"
            reading.fault(("engine", "fuel", number, 1), cure, text=said)
        table.append((rpm / motor.rated_rpm, factor))
    return tuple(table)
