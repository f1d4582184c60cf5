"""The numbers of one boat for the lanes, each asked for by its readable path.

`get(path, value)` gives the value as stated, moved or drawn: the path is the name of its doubt.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perf.base.assumptions import ASSUMPTIONS
from perf.boat import places
from perf.boat.fuelcolumns import fuel_columns
from perf.boat.parts import Boat, Bracket, Tabs
from perf.laws import air, engine, water

Array = NDArray[np.float64]
Get = Callable[[str, float], Any]

STANDARD_AIR_C = 15.0
NO_BRACKET = Bracket(0.0, 0.0, 0.0, 0.0, False)
DRIVE_TRIM_IN_DEG = {"outboard": -5.0, "sterndrive": -4.0}  # common practice, no source
DRIVE_TRIM_OUT_DEG = {"outboard": 14.0, "sterndrive": 8.0}  # common practice, no source


def columns_of(boat: Boat, get: Get, count: int) -> dict[str, Array]:
    """All columns of one boat, each broadcast to (count,)."""
    columns: dict[str, Any] = {}
    for part in (_hull, _water_and_air, _drive, _engine, _mass):
        columns |= part(boat, get)
    return {
        name: np.ascontiguousarray(np.broadcast_to(np.asarray(value, dtype=float), (count,)))
        for name, value in columns.items()
    }


def _assumed(get: Get, name: str) -> Any:
    return get(f"assumed.{name}", ASSUMPTIONS[name].value)


def _hull(boat: Boat, get: Get) -> dict[str, Any]:
    hull, bracket = boat.hull, boat.bracket or NO_BRACKET
    floats = bracket.floats
    tabs = boat.tabs or Tabs(0.0, 0.0)
    hook = get("hull.hook", hull.hook_depth_m)
    return {
        "length_overall_m": get("hull.length_overall", hull.length_overall_m),
        "waterline_length_m": get("hull.waterline_length", hull.waterline_length_m),
        "beam_m": get("hull.chine_beam", hull.chine_beam_m),
        "transom_beam_m": get("hull.transom_beam", hull.transom_beam_m),
        "deadrise_transom_deg": get("hull.deadrise_transom", hull.deadrise_transom_deg),
        "deadrise_midship_deg": get("hull.deadrise_midship", hull.deadrise_midship_deg),
        "entrance_angle_deg": get("hull.entrance_angle", hull.entrance_angle_deg),
        "friction_allowance": get("hull.bottom", hull.friction_allowance),
        "bracket_width_m": bracket.width_m if floats else 0.0,
        "bracket_length_m": bracket.length_m if floats else 0.0,
        "bracket_bottom_m": bracket.bottom_above_m if floats else 0.0,
        "tab_chord_m": get("tabs.chord", tabs.chord_m),
        "tab_span_ratio": get("tabs.span", tabs.span_m) / hull.chine_beam_m,
        "tab_deflection_deg": get("tabs.deflection", tabs.deflection_deg),
        # a hollow of this depth under a straight edge turns the last half of its length down
        "hook_chord_m": 0.5 * hull.hook_length_m,
        "hook_deflection_deg": np.degrees(np.arctan2(2.0 * hook, 0.5 * hull.hook_length_m))
        if hull.hook_length_m
        else 0.0,
        "join_share": np.clip(_assumed(get, "join_share"), 0.0, 1.0),
        "trial_drag": get("assumed.trial_drag", boat.trial.drag),
        "trial_leg": get("assumed.trial_leg", boat.trial.leg),
    }


def _water_and_air(boat: Boat, get: Get) -> dict[str, Any]:
    temperature = np.asarray(get("water.temperature", boat.water.temperature_c), dtype=float)
    salinity = np.asarray(get("water.salinity", boat.water.salinity_g_per_kg), dtype=float)
    area = get("air.frontal_area", boat.air.frontal_area_m2)
    known = boat.air.temperature_c
    warmth = np.asarray(STANDARD_AIR_C if known is None else get("air.temperature", known))
    height = np.asarray(get("air.altitude", boat.air.altitude_m))
    beam = boat.hull.chine_beam_m
    return {
        "water_density": water.water_density(temperature, salinity),
        "viscosity": water.kinematic_viscosity(temperature, salinity),
        "vapour_pressure": water.vapour_pressure(temperature),
        "air_density": air.air_density(warmth, height),
        "air_coefficient": get("air.top", air.DRAG_OF_TOP[boat.air.top]),
        "frontal_area_m2": area,
        # the middle of a frontal rectangle as wide as the chines, standing on the load waterline
        "air_above_m": _assumed(get, "waterline_above") + area / (2.0 * beam),
        # a boat file knows neither wind nor sea: a study sets them row by row
        "head_wind_mps": 0.0,
        "wave_height_m": 0.0,
        "sea_share": 0.0,
    }


def _drive(boat: Boat, get: Get) -> dict[str, Any]:
    mounting, propeller = boat.mounting, boat.propeller
    diameter = get("propeller.diameter", propeller.diameter_m)
    pitch = get("propeller.pitch", propeller.pitch_m)
    clearance = _assumed(get, "tip_clearance")
    forward, above = places.propeller_place(
        setback_m=get("mounting.setback", mounting.setback_m),
        plate_height_m=get("mounting.plate_height", mounting.plate_height_m),
        diameter_m=diameter,
        propeller_aft=_assumed(get, "propeller_aft"),
        tip_clearance=clearance,
    )
    columns = {
        "propeller_aft_m": -forward,
        "propeller_below_m": -above,
        "plate_height_m": get("mounting.plate_height", mounting.plate_height_m),
        "diameter_m": diameter,
        "pitch_m": pitch,
        "effective_pitch_ratio": get("assumed.trial_pitch", boat.trial.pitch)
        * (pitch + get("propeller.cup", propeller.cup_m))
        / diameter,
        "area_ratio": get("propeller.area_ratio", propeller.area_ratio),
        "blades": float(propeller.blades),
        "tip_clearance_m": clearance,
        "plate_shield_m": _assumed(get, "plate_shield"),
        "inception": _assumed(get, "inception"),
        "throttle_delay_s": _assumed(get, "throttle_delay"),
        "wake_place": np.clip(_assumed(get, "wake_place"), 0.0, 1.0),
        "surface_loss": np.clip(_assumed(get, "surface_loss"), 0.0, 1.0),
        "drive_trim_deg": np.nan if mounting.drive_trim_deg is None else mounting.drive_trim_deg,
        "drive_trim_in_deg": DRIVE_TRIM_IN_DEG[boat.engine.drive],
        "drive_trim_out_deg": DRIVE_TRIM_OUT_DEG[boat.engine.drive],
    }
    for name in (
        "strut_chord",
        "strut_thickness",
        "gear_case_diameter",
        "gear_case_length",
        "skeg_height",
        "plate_area",
        "midsection_thickness",
        "wake_fraction",
        "thrust_deduction",
        "relative_rotative",
        "drive_lift",
        "hole_shot",
        "vented_blades",
    ):
        columns[name] = _assumed(get, name)
    return columns


def _engine(boat: Boat, get: Get) -> dict[str, Any]:
    motor, tank = boat.engine, boat.tank
    numbers = engine.technology_numbers(motor.technology, motor.rated_power_w)
    usable = get("tank.usable", tank.usable)
    fuel = engine.FUELS[tank.fuel]
    # an owner's burn table is surer than the law; without it, as after a change of engine, the law's doubt
    surer = "engine.fuel" if motor.fuel_table else "assumed.trial_fuel_slope"
    slope = get(surer, boat.trial.fuel_slope) * fuel.mass_factor
    return {
        "engines": float(motor.count - boat.stopped),
        "stopped": boat.stopped + boat.dragged,
        "rated_power_w": get("engine.rated_power", motor.rated_power_w)
        * _assumed(get, "power_tolerance")
        * _weather(boat, get),
        "rated_rpm": motor.rated_rpm,
        "idle_rpm": _assumed(get, "idle_rpm"),
        "limit_rpm": motor.full_throttle_high_rpm * _assumed(get, "rev_limit"),
        "band_low_rpm": motor.full_throttle_low_rpm,
        "band_high_rpm": motor.full_throttle_high_rpm,
        "gear_ratio": get("engine.gear_ratio", motor.gear_ratio),
        "diesel_curve": 1.0 if engine.TECHNOLOGIES[motor.technology].curve == "diesel" else 0.0,
        "fuel_friction": numbers.friction * slope,
        "fuel_slope": numbers.slope * slope,
        "fuel_enrichment": numbers.enrichment,
        "fuel_idle": numbers.idle
        * fuel.mass_factor
        * get("assumed.trial_fuel_idle", boat.trial.fuel_idle),
        "fuel_density": fuel.density_kg_m3,
        # what the pickup cannot reach is never counted
        "usable_fuel_m3": tank.capacity_m3 * np.clip(boat.loaded.tank - (1.0 - usable), 0.0, None),
        "reserve": _assumed(get, "reserve"),
        **fuel_columns(motor),
    }


def _weather(boat: Boat, get: Get) -> Any:
    """Power the air leaves of the rated power; one where the owner says nothing of the air.

    A diesel keeps its power, with a doubt: see the assumption diesel_in_other_air.
    """
    air_now = boat.air
    if air_now.temperature_c is None:
        return 1.0
    if engine.TECHNOLOGIES[boat.engine.technology].curve == "diesel":
        return get("air.diesel", 1.0)
    return engine.ambient_power_factor(
        get("air.temperature", air_now.temperature_c),
        get("air.altitude", air_now.altitude_m),
        np.clip(get("air.humidity", air_now.humidity), 0.0, 1.0),
    )


def _mass(boat: Boat, get: Get) -> dict[str, Any]:
    """Every weight at its place: total mass, balance point forward of the transom and above the keel."""
    total, forward, above = 0.0, 0.0, 0.0
    for mass, ahead, high in _masses(boat, get):
        total = total + mass
        forward = forward + mass * ahead
        above = above + mass * high
    return {
        "mass_kg": total,
        "weight_n": total * water.GRAVITY,
        "forward_m": forward / total,
        "above_m": above / total,
    }


def _engine_weight(get: Get, drive: str) -> dict[str, Any]:
    """Where the engine's weight hangs or stands; only what this kind of drive has is asked for and drawn."""
    hung, stood = (
        ("engine_aft", "engine_above"),
        ("sterndrive_mass_forward", "sterndrive_mass_above"),
    )
    used = hung if drive == "outboard" else stood
    return {name: _assumed(get, name) if name in used else 0.0 for name in (*hung, *stood)}


def _masses(boat: Boat, get: Get) -> list[tuple[Any, Any, Any]]:
    light, motor, mounting, tank = boat.light, boat.engine, boat.mounting, boat.tank
    engine_forward, engine_above = places.engine_place(
        drive=motor.drive,
        setback_m=get("mounting.setback", mounting.setback_m),
        plate_height_m=get("mounting.plate_height", mounting.plate_height_m),
        transom_height_m=boat.hull.transom_height_m,
        **_engine_weight(get, motor.drive),
    )
    factor = get("assumed.trial_weight", boat.trial.weight)
    shift = get("assumed.trial_balance", boat.trial.balance_m)
    masses = [
        (
            get("light.mass", light.mass_kg) * factor,
            get("light.forward", light.forward_m) + shift,
            get("light.above", light.above_m),
        ),
        (motor.count * get("engine.mass", motor.mass_kg), engine_forward, engine_above),
        (
            tank.capacity_m3 * boat.loaded.tank * engine.FUELS[tank.fuel].density_kg_m3,
            tank.forward_m,
            tank.above_m,
        ),
    ]
    return masses + _fitted(boat, get) + _aboard(boat, get)


def _fitted(boat: Boat, get: Get) -> list[tuple[Any, Any, Any]]:
    """Bracket and kicker, always there."""
    masses: list[tuple[Any, Any, Any]] = []
    if boat.bracket is not None:
        ahead, high = places.bracket_place(
            length_m=boat.bracket.length_m,
            bottom_above_m=boat.bracket.bottom_above_m,
            bracket_centre=_assumed(get, "bracket_centre"),
            bracket_height=_assumed(get, "bracket_height"),
        )
        masses.append((get("bracket.mass", boat.bracket.mass_kg), ahead, high))
    if boat.kicker is not None:
        small = boat.kicker
        masses.append(
            (
                get("kicker.mass", small.mass_kg),
                get("kicker.forward", small.forward_m),
                get("kicker.above", small.above_m),
            )
        )
    return masses


def _aboard(boat: Boat, get: Get) -> list[tuple[Any, Any, Any]]:
    """The named weights of the load."""
    masses: list[tuple[Any, Any, Any]] = []
    aboard = set(boat.loaded.aboard)
    for item in boat.weights:
        if item.name in aboard:
            masses.append(
                (
                    item.count * get(f"weights.{item.name}.mass", item.mass_kg),
                    get(f"{item.place_path}.forward", item.forward_m),
                    get(f"{item.place_path}.above", item.above_m),
                )
            )
    return masses
