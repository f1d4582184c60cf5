"""Boats for tests: the fixed ones, seeded random ones around the demo boats, and lanes made by hand."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import cache
from pathlib import Path

import numpy as np

from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.fleet import Fleet
from perf.boat.lanes import Lanes
from perf.boat.parts import Boat
from perf.laws.water import GRAVITY
from perf.solve.afloat import Afloat
from perf.solve.bottom import Course
from perf.solve.methods import DEFAULT, Methods

DATA = Path(__file__).parent / "data"


@cache
def fixed(name: str) -> Boat:
    """A boat of tests/data by the name of its file."""
    return read_boat(DATA / f"{name}.toml")


@cache
def demos() -> tuple[Boat, ...]:
    """The demo boats as shipped."""
    return tuple(read_boat(path) for path in demo_boats().values())


def _around(draw: np.random.Generator, value: float, share: float) -> float:
    return float(value * draw.uniform(1.0 - share, 1.0 + share))


def _random(draw: np.random.Generator, base: Boat, number: int) -> Boat:
    """One boat around a demo boat: its own size, shape, weights, places, power, pitch, load and water."""
    hull, motor, screw = base.hull, base.engine, base.propeller
    size = draw.uniform(0.92, 1.10)
    transom = float(np.clip(hull.deadrise_transom_deg + draw.uniform(-5.0, 5.0), 3.0, 26.0))
    beam = hull.chine_beam_m * size * draw.uniform(0.95, 1.05)
    return replace(
        base.at(load=str(draw.choice(base.load_names)), tank=float(draw.uniform(0.1, 1.0))),
        name=f"random {number}",
        hull=replace(
            hull,
            length_overall_m=hull.length_overall_m * size,
            waterline_length_m=hull.waterline_length_m * size,
            chine_beam_m=beam,
            transom_beam_m=beam * draw.uniform(0.93, 1.0),
            deadrise_transom_deg=transom,
            deadrise_midship_deg=transom + draw.uniform(0.0, 6.0),
            friction_allowance=float(draw.uniform(0.0002, 0.0010)),
        ),
        light=replace(
            base.light,
            mass_kg=base.light.mass_kg * size * size * draw.uniform(0.85, 1.15),
            forward_m=base.light.forward_m * size * draw.uniform(0.96, 1.08),
        ),
        engine=replace(
            motor,
            rated_power_w=_around(draw, motor.rated_power_w, 0.12) * size * size,
            gear_ratio=_around(draw, motor.gear_ratio, 0.06),
        ),
        propeller=replace(screw, pitch_m=_around(draw, screw.pitch_m, 0.08)),
        mounting=replace(base.mounting, plate_height_m=float(draw.uniform(0.0, 0.06))),
        air=replace(base.air, frontal_area_m2=_around(draw, base.air.frontal_area_m2, 0.25)),
        water=replace(base.water, temperature_c=float(draw.uniform(4.0, 26.0))),
    )


@cache
def random_boats(count: int, seed: int = 1) -> tuple[Boat, ...]:
    """Boats around the demo boats in turn, the first k of n the same for any n."""
    bases = demos()
    return tuple(
        _random(np.random.default_rng([seed, k]), bases[k % len(bases)], k) for k in range(count)
    )


@cache
def random_lanes(count: int, seed: int = 1) -> Lanes:
    """The lanes of random_boats, one row each."""
    return Fleet.of(random_boats(count, seed)).lanes


def changed(lanes: Lanes, **columns: object) -> Lanes:
    """The same lanes with some columns set, each to a number or an array (n,)."""
    known = {f.name for f in fields(Lanes)}
    assert set(columns) <= known, set(columns) - known
    return replace(
        lanes,
        **{
            name: np.array(np.broadcast_to(np.asarray(value, dtype=float), (lanes.count,)))
            for name, value in columns.items()
        },
    )


def moored(lanes: Lanes, mass_kg: object) -> Lanes:
    """The same lanes at another mass, weight going with it, everything else as it was."""
    mass = np.asarray(mass_kg, dtype=float)
    return changed(lanes, mass_kg=mass, weight_n=mass * GRAVITY)


def prism(
    *,
    weight_n: float,
    beam_m: float,
    deadrise_deg: float,
    forward_m: float,
    above_m: float,
    water_density: float,
    viscosity: float,
    friction_allowance: float,
    shaft_under_balance_m: float = 0.0,
    shaft_up_deg: float = 0.0,
    friction_through_balance: bool = False,
    length_m: float = 100.0,
) -> Lanes:
    """One prismatic hull as the textbooks have it: no leg, no air, no side force of the drive.

    The shaft passes shaft_under_balance_m under the balance point, square to it, and runs up forward
    by shaft_up_deg to the keel. length_m is long, so that no bow is wetted.
    """
    lanes = Fleet.of(fixed("charter_hull_24ft")).lanes
    if friction_through_balance:
        above_m = 0.25 * beam_m * np.tan(np.radians(deadrise_deg))
    angle = np.radians(shaft_up_deg)
    # lever of the thrust = (above + below) cos(angle) - forward sin(angle)
    below = (shaft_under_balance_m + forward_m * np.sin(angle)) / np.cos(angle) - above_m
    return changed(
        lanes,
        mass_kg=weight_n / GRAVITY,
        weight_n=weight_n,
        forward_m=forward_m,
        above_m=above_m,
        length_overall_m=1.1 * length_m,
        waterline_length_m=length_m,
        beam_m=beam_m,
        transom_beam_m=beam_m,
        deadrise_transom_deg=deadrise_deg,
        deadrise_midship_deg=deadrise_deg,
        water_density=water_density,
        viscosity=viscosity,
        friction_allowance=friction_allowance,
        frontal_area_m2=0.0,
        trial_leg=0.0,
        drive_lift=0.0,
        propeller_below_m=below,
        propeller_aft_m=0.0,
    )


LENGTHS = (
    "forward_m",
    "above_m",
    "length_overall_m",
    "waterline_length_m",
    "beam_m",
    "transom_beam_m",
    "air_above_m",
    "bracket_width_m",
    "bracket_length_m",
    "bracket_bottom_m",
    "propeller_aft_m",
    "propeller_below_m",
    "plate_height_m",
    "plate_shield_m",
    "diameter_m",
    "pitch_m",
    "tip_clearance_m",
    "tab_chord_m",
    "hook_chord_m",
)


def scaled(lanes: Lanes, scale: float) -> Lanes:
    """The same boats scale times as long, in water in which their Reynolds numbers stay as they were."""
    cube = scale * scale * scale
    return changed(
        lanes,
        mass_kg=lanes.mass_kg * cube,
        weight_n=lanes.weight_n * cube,
        viscosity=lanes.viscosity * scale * np.sqrt(scale),
        frontal_area_m2=lanes.frontal_area_m2 * scale * scale,
        **{name: getattr(lanes, name) * scale for name in LENGTHS},
    )


def course(
    lanes: Lanes, speed_mps: object, drive_trim_deg: object = 0.0, methods: Methods = DEFAULT
) -> Course:
    """Every lane at its speed and drive trim, numbers or arrays (n,)."""
    whole = np.ones(lanes.count)
    return Course.of(lanes, speed_mps * whole, drive_trim_deg * whole, methods)


def froude_unit(afloat: Afloat) -> np.ndarray:
    """Speed [m/s] of volume Froude number 1, (n,)."""
    return np.sqrt(GRAVITY * np.cbrt(afloat.volume_m3))


def bits(values: object) -> np.ndarray:
    """The bits of floats, so that equal means equal, NaN and all."""
    return np.ascontiguousarray(values, dtype=float).view(np.uint64)
