"""The boat pushed by her kicker alone, the main engine tilted clear or dragged along."""

from __future__ import annotations

from dataclasses import replace

from perf.base.assumptions import ASSUMPTIONS
from perf.boat import places
from perf.boat.parts import Boat, Engine, Kicker, Mounting, Tank, Weight
from perf.laws.engine import FUELS, TECHNOLOGIES

__all__ = ["on_kicker"]

MAIN_ENGINE, MAIN_FUEL = "engine at rest", "tank of the engine"  # names no owner can give
MAIN_ONLY = ("engine.", "propeller.", "mounting.", "assumed.trial_pitch", "assumed.trial_leg")
MAIN_BURN = "assumed.trial_fuel"


def on_kicker(boat: Boat, *, dragged: bool | None = None) -> Boat:
    """The same boat driven by her kicker, to be swept over speeds like any other.

    Choose load and tank level before. All weights stay where they were: the main engine, and the main fuel where the kicker has a tank
    of its own, go along as loads. A trial of the main drive tells nothing of the kicker's propeller,
    leg and burn; what it found of the hull holds.

    dragged : the main legs stay down with their propellers locked; they count as so many of the
    kicker's own leg as their propeller discs have its area. None tilts an outboard clear and drags
    a sterndrive, which does not come clear of the water.

    ValueError for a boat without a kicker.
    """
    small = boat.kicker
    if small is None:
        raise ValueError(f"{boat.name} has no kicker: describe it in a [kicker] table of her file")
    if boat.on_kicker:
        return boat
    down = boat.engine.drive == "sterndrive" if dragged is None else dragged
    disc = boat.propeller.diameter_m / small.propeller.diameter_m
    carried = _carried(boat, small)
    names = tuple(weight.name for weight in carried)
    return replace(
        boat,
        name=f"{boat.name} on the kicker",
        engine=_engine(small),
        propeller=small.propeller,
        mounting=_mounting(small),
        tank=_tank(boat, small),
        tank_level=boat.tank_level if small.capacity_m3 is None else 1.0,
        weights=boat.weights + carried,
        loads=tuple(replace(load, aboard=load.aboard + names) for load in boat.loads),
        trial=replace(boat.trial, pitch=1.0, leg=1.0, fuel_idle=1.0, fuel_slope=1.0),
        doubts=_doubts(boat, small),
        words=_words(boat),
        stopped=0,
        dragged=boat.engine.count * disc * disc if down else 0.0,
        on_kicker=True,
    )


def _engine(small: Kicker) -> Engine:
    """The kicker as the engine; it is always aboard as a kicker, so it weighs nothing once more."""
    return Engine(
        1,
        "outboard",
        small.technology,
        small.rated_power_w,
        small.rated_rpm,
        small.full_throttle_low_rpm,
        small.full_throttle_high_rpm,
        small.gear_ratio,
        0.0,
    )


def _mounting(small: Kicker) -> Mounting:
    """Hung upright, its shaft along the keel line, as far aft as its weight hangs."""
    setback = max(-small.forward_m - ASSUMPTIONS["engine_aft"].value, 0.0)
    return Mounting(setback, small.plate_height_m, 0.0)


def _tank(boat: Boat, small: Kicker) -> Tank:
    """The main tank, or the kicker's own, taken as full, with a fuel its engine burns."""
    if small.capacity_m3 is None:
        return boat.tank
    fuels = TECHNOLOGIES[small.technology].fuels
    fuel = boat.tank.fuel if boat.tank.fuel in fuels else fuels[0]
    return replace(boat.tank, fuel=fuel, capacity_m3=small.capacity_m3)


def _carried(boat: Boat, small: Kicker) -> tuple[Weight, ...]:
    """The main engine, and the main fuel where the kicker burns other, as weights at their places."""
    engine = Weight(MAIN_ENGINE, boat.engine.mass_kg, boat.engine.count, *_engine_place(boat))
    if small.capacity_m3 is None:
        return (engine,)
    tank = boat.tank
    mass = tank.capacity_m3 * boat.loaded.tank * FUELS[tank.fuel].density_kg_m3
    return engine, Weight(MAIN_FUEL, mass, 1, tank.forward_m, tank.above_m)


def _engine_place(boat: Boat) -> tuple[float, float]:
    names = ("engine_aft", "engine_above", "sterndrive_mass_forward", "sterndrive_mass_above")
    forward, above = places.engine_place(
        drive=boat.engine.drive,
        setback_m=boat.mounting.setback_m,
        plate_height_m=boat.mounting.plate_height_m,
        transom_height_m=boat.hull.transom_height_m,
        **{name: ASSUMPTIONS[name].value for name in names},
    )
    return float(forward), float(above)


def _doubts(boat: Boat, small: Kicker) -> tuple[tuple[str, float], ...]:
    """The doubts of the hull and of the kicker, the main engine's weight under its new name."""
    kept = {path: doubt for path, doubt in boat.doubts if not _is_main(path)}
    for path, doubt in boat.doubts:
        if path == "engine.mass":
            kept[f"weights.{MAIN_ENGINE}.mass"] = doubt
    return tuple((kept | {_renamed(path): doubt for path, doubt in small.doubts}).items())


def _words(boat: Boat) -> tuple[tuple[str, str], ...]:
    kept = {path: text for path, text in boat.words if not _is_main(path)}
    driving = {_renamed(path): text for path, text in boat.words if path.startswith("kicker.")}
    return tuple((kept | driving).items())


def _is_main(path: str) -> bool:
    return path.startswith((*MAIN_ONLY, MAIN_BURN))


def _renamed(path: str) -> str:
    """Where a doubt or word of the kicker stands when she runs on it."""
    name = path.removeprefix("kicker.")
    if name.startswith("propeller."):
        return name
    if name == "plate_height":
        return "mounting.plate_height"
    if name == "capacity":
        return "tank.capacity"
    if name in ("mass", "forward", "above"):
        return path
    return f"engine.{name}"
