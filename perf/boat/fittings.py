"""Parts only some boat files tell of: growth by weeks, hook, tabs, kicker, seats, the day's air."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import numpy as np

from perf.base.assumptions import ASSUMPTIONS, FITTINGS
from perf.boat import burn, schema
from perf.boat.filling import Filler
from perf.boat.parts import Engine, Kicker, Propeller, Seat, Tabs, Tank, Weight
from perf.laws.engine import TECHNOLOGIES
from perf.laws.friction import BOTTOMS, fouling_allowance, roughness_allowance

LAPSE_C_PER_M = 0.0065  # ISO 2533: the air is so much colder for each metre up


def bottom(filler: Filler) -> tuple[str, float]:
    """What the bottom is called and what it adds to the friction: the named state or the weeks, the greater."""
    said, weeks = filler.value("hull.bottom"), filler.value("hull.weeks_afloat")
    words = filler.reading.words.get("hull.bottom", "clean")
    length = filler.value("hull.waterline_length")
    if said is None or said in BOTTOMS:
        allowance = BOTTOMS[said or "clean"]
    else:
        allowance = float(roughness_allowance(np.asarray(said), np.asarray(length)))
    about = ASSUMPTIONS["bottom_allowance"]
    grown = 0.0 if weeks is None else float(fouling_allowance(np.asarray(float(weeks))))
    if grown > allowance or (said is None and weeks is not None):
        words, allowance, about = f"{weeks} weeks afloat", grown, FITTINGS["fouling_growth"]
    filler.doubts["hull.bottom"] = allowance * about.half_width
    filler.assumed.append(about.name)
    return words, allowance


def hook(filler: Filler) -> dict[str, float]:
    """Depth and length of a hook or rocker, all their doubts as one of the depth; nothing without one."""
    depth, length = filler.value("hull.hook.depth"), filler.value("hull.hook.length")
    stated = filler.doubts.pop("hull.hook.depth", 0.0)
    of_length = filler.doubts.pop("hull.hook.length", 0.0)
    if depth is None:
        return {}
    about = FITTINGS["hook_as_flap"]
    # its angle goes as depth over length
    by_length = depth * of_length / length
    filler.doubts["hull.hook"] = hypot(stated, by_length, depth * about.half_width)
    filler.assumed.append(about.name)
    return {"hook_depth_m": depth, "hook_length_m": length}


def tabs(filler: Filler) -> Tabs | None:
    """The trim tabs; None where there are none."""
    return filler.part(Tabs, "tabs") if "tabs" in filler.reading.given else None


def seat(filler: Filler, name: str) -> Seat:
    """One named seat."""
    return filler.part(Seat, f"seats.{name}", name=name)


def weight(filler: Filler, name: str) -> Weight:
    """One named weight, one of it where no count is given, at its place or that of its seat."""
    path = f"weights.{name}"
    count, sits = filler.value(f"{path}.count") or 1, filler.value(f"{path}.seat")
    if sits is None:
        return filler.part(Weight, path, name=name, count=count)
    place = seat(filler, sits)
    return filler.part(
        Weight, path, name=name, count=count, forward_m=place.forward_m, above_m=place.above_m
    )


def propeller(filler: Filler, table: str) -> Propeller:
    """The propeller of a table, its cup as added pitch."""
    filler.assume(f"{table}.area_ratio", "area_ratio")
    cup = filler.reading.values.pop(f"{table}.cup", "none")
    pitch = filler.value(f"{table}.pitch")
    added = cup if isinstance(cup, float) else 0.0
    if cup in ("light", "heavy"):
        about = ASSUMPTIONS[f"{cup}_cup_share"]
        added = about.value * pitch
        filler.doubts[f"{table}.cup"] = about.half_width * pitch
        filler.assumed.append(about.name)
    said = filler.reading.words.get(f"{table}.cup", "none")
    return filler.part(Propeller, table, cup=said, cup_m=added)


def band(filler: Filler, table: str) -> dict[str, float]:
    """Full-throttle band of an engine, which is rated in it where nothing else is said."""
    low, high = filler.reading.values.pop(f"{table}.full_throttle_rpm")
    filler.assume(f"{table}.rated_rpm", "rated_rpm_place", scale=high - low, base=low)
    return {"full_throttle_low_rpm": low, "full_throttle_high_rpm": high}


def kicker(filler: Filler) -> Kicker | None:
    """The kicker, with the doubts that count only when she runs on it; None where there is none."""
    if "kicker" not in filler.reading.given:
        return None
    screw = propeller(filler, "kicker.propeller")
    small = filler.part(Kicker, "kicker", propeller=screw, **band(filler, "kicker"))
    own = {
        path: doubt
        for path, doubt in filler.doubts.items()
        if path.startswith("kicker.") and path.split(".")[-1] not in ("mass", *schema.PLACE_KEYS)
    }
    for path in own:
        del filler.doubts[path]
    return replace(small, doubts=tuple(own.items()))


def with_own_burn(filler: Filler, motor: Engine, tank: Tank) -> Engine:
    """The engine with the owner's burn table, whose doubt takes the place of the fuel law's.

    Where a trial has told the burn more surely, its doubt counts.
    """
    stated = filler.doubts.pop("engine.fuel", 0.0)
    if filler.value("engine.fuel") is None:
        return motor
    about = FITTINGS["fuel_table"]
    own = hypot(about.half_width, stated)
    filler.doubts["engine.fuel"] = min(own, filler.doubts.get("assumed.trial_fuel_slope", own))
    filler.assumed.append(about.name)
    return replace(motor, fuel_table=burn.fuel_table(filler.reading, motor, tank))


def own_air(filler: Filler) -> None:
    """Fill the air of the day where any of it is told; a diesel then has a doubt of its power."""
    if not any(
        filler.value(f"air.{name}") is not None for name in ("temperature", "altitude", "humidity")
    ):
        return
    colder = LAPSE_C_PER_M * (filler.value("air.altitude") or 0.0)
    filler.assume("air.temperature", "air_temperature", base=-colder)
    filler.assume("air.humidity", "air_humidity")
    if TECHNOLOGIES[filler.value("engine.technology")].curve == "diesel":
        about = FITTINGS["diesel_in_other_air"]
        filler.doubts["air.diesel"] = about.half_width
        filler.assumed.append(about.name)
