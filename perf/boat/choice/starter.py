"""Candidates and a season to begin with, for a boat that has none of her own: a pattern to be changed."""

from __future__ import annotations

from typing import Any

from perf.base.units import show
from perf.boat.catalog import demo_candidates, demo_duties, engines
from perf.boat.parts import Boat
from perf.boat.schema import FORMAT
from perf.boat.trip.writer import write_trip as write_tables
from perf.laws.engine import TECHNOLOGIES

__all__ = ["candidates_text", "duty_text", "write_tables"]

NEW = {
    "outboard": "four-stroke injected",
    "sterndrive": "",
}  # technologies offered; all where empty
OFFERED = 3


def candidates_text(boat: Boat, key: str) -> str:
    """The candidates that ship for this demo boat, else engines of the catalogue near hers in power.

    Engines over the capacity plate are left out; nothing has a price.
    """
    if key in demo_candidates():
        return demo_candidates()[key].read_text(encoding="utf-8")
    tables: dict[str, Any] = {"format": FORMAT, "name": f"Engines for {boat.name}"}
    tables["candidates"] = {
        f"a {show(engines()[row].part.rated_power_w, 'power', 'us', 0)}": {
            "engine": {"catalogue": row}
        }
        for row in _near(boat)
    }
    return write_tables(tables)


def _near(boat: Boat) -> list[str]:
    motor = boat.engine
    limit = boat.plate_power_w or float("inf")
    fitting = [
        (abs(row.part.rated_power_w - motor.rated_power_w), row.part.rated_power_w, key)
        for key, row in engines().items()
        if row.part.drive == motor.drive
        and row.part.technology.startswith(NEW[motor.drive])
        and boat.tank.fuel in TECHNOLOGIES[row.part.technology].fuels
        and motor.count * row.part.rated_power_w <= limit * (1.0 + 1e-9)
    ]
    near = sorted(fitting)[:OFFERED]
    return [key for _, _, key in sorted(near, key=lambda one: one[1])]


def duty_text(boat: Boat, key: str) -> str:
    """The season that ships for this demo boat, else a plain one at her own load; invented either way."""
    if key in demo_duties():
        return demo_duties()[key].read_text(encoding="utf-8")
    load = boat.load
    return write_tables(
        {
            "format": FORMAT,
            "name": f"A season of {boat.name}, invented to begin with",
            "season": {"trips": 40},
            "runs": {
                "out": {"kind": "run", "distance": "10 nmi", "speed": "best", "load": load},
                "troll": {"kind": "troll", "hours": "1 h", "speed": "4 mph", "load": load},
                "home": {"kind": "run", "distance": "10 nmi", "speed": "best", "load": load},
                "dock": {"kind": "idle", "hours": "15 min", "load": load},
            },
        }
    )
