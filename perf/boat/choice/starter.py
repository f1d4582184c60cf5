"""Candidates and a season to begin with, for a boat that has none of her own: a pattern to be changed."""

from __future__ import annotations

from typing import Any

from perf.base.respell import in_units
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
PLAIN = {  # of the season to begin with: distance of a run, speed of trolling
    "us": ("12 mi", "4 mph"),
    "nautical": ("10 nmi", "3.5 kn"),
    "metric": ("20 km", "6.5 km/h"),
}


def candidates_text(boat: Boat, key: str) -> str:
    """The candidates that ship for this demo boat, else engines of the catalogue near hers in power.

    Engines over the capacity plate are left out, the largest it allows is among them; nothing has a price.
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
    if boat.plate_power_w is not None and fitting:
        near = list(dict.fromkeys([*near, max(fitting, key=lambda one: (one[1], -one[0]))]))
    return [key for _, _, key in sorted(near, key=lambda one: one[1])]


def duty_text(boat: Boat, key: str, units: str | None = None) -> str:
    """The season that ships for this demo boat, else a plain one at her own load; invented either way.

    units : of its speeds and distances, which are rounded in them; as shipped where nobody says.
    """
    if key in demo_duties():
        shipped = demo_duties()[key].read_text(encoding="utf-8")
        return shipped if units is None else in_units(shipped, units)
    load, (far, slow) = boat.load, PLAIN[units or "us"]
    return write_tables(
        {
            "format": FORMAT,
            "name": f"A season of {boat.name}, invented to begin with",
            "season": {"trips": 40},
            "runs": {
                "out": {"kind": "run", "distance": far, "speed": "best", "load": load},
                "troll": {"kind": "troll", "hours": "1 h", "speed": slow, "load": load},
                "home": {"kind": "run", "distance": far, "speed": "best", "load": load},
                "dock": {"kind": "idle", "hours": "15 min", "load": load},
            },
        }
    )
