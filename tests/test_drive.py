"""Engine and propeller: thrust to rpm, power, fuel and back, and the same bits however the lanes are cut."""

from __future__ import annotations

import numpy as np
import pytest
from fleets import bits, changed, froude_unit, random_boats, random_lanes

from perf.boat.lanes import Lanes
from perf.laws import propeller
from perf.laws.water import GRAVITY
from perf.solve import drive
from perf.solve.afloat import Afloat

LANES = 240
DEEP = 1.0  # a plate so far under that the surface takes nothing


def screws(lanes: Lanes, froude: float = 3.0, depth: float = DEEP) -> drive.Screw:
    speed = froude * froude_unit(Afloat.of(lanes))
    return drive.Screw.of(lanes, speed, np.full(lanes.count, depth))


@pytest.mark.parametrize("depth", [DEEP, 0.0, -0.06])
@pytest.mark.parametrize("share", [0.05, 0.15, 0.25])
def test_power_closes(share: float, depth: float) -> None:
    """Power = thrust x speed / efficiency, with what lies between boat and propeller said one by one.

    The shaft feels thrust / (1 - thrust deduction), meets water at speed x (1 - wake fraction), and
    its torque is relative_rotative times that of open water, as much of it as the surface leaves.
    """
    lanes = changed(
        random_lanes(LANES), wake_fraction=0.03, thrust_deduction=0.04, relative_rotative=0.97
    )
    screw = screws(lanes, depth=depth)
    thrust = share * lanes.weight_n
    turning = drive.turn_for(screw, thrust)
    assert turning.found.mean() > 0.99
    ok = turning.found
    speed = screw.advance_mps / (1.0 - 0.03)
    hull = (1.0 - 0.04) / (1.0 - 0.03)
    useful = thrust * speed / (turning.efficiency * hull)
    assert turning.shaft_power_w[ok] == pytest.approx(useful[ok], rel=1e-9)
    # and the efficiency is the open-water one by the relative rotative one and the surface
    j, ratio = turning.advance_ratio, lanes.effective_pitch_ratio
    open_water = propeller.open_water_efficiency(
        j,
        propeller.gawn_thrust(j, ratio, lanes.area_ratio, lanes.blades),
        propeller.gawn_torque(j, ratio, lanes.area_ratio, lanes.blades),
    )
    kept = screw.thrust_kept / (screw.torque_kept * 0.97)
    assert turning.efficiency[ok] == pytest.approx((open_water * kept)[ok], rel=1e-9)


def test_the_thrust_asked_for_is_given() -> None:
    lanes = random_lanes(LANES)
    screw = screws(lanes)
    thrust = 0.15 * lanes.weight_n
    turning = drive.turn_for(screw, thrust)
    turns = turning.engine_rpm / (60.0 * lanes.gear_ratio)
    fourth = lanes.diameter_m**4
    each = screw.thrust_coefficient(turning.advance_ratio) * lanes.water_density * turns**2 * fourth
    given = each * lanes.engines * (1.0 - lanes.thrust_deduction)
    assert given == pytest.approx(thrust, rel=1e-8)
    # J, slip and rpm say the same of the same shaft
    assert turning.advance_ratio * turns * lanes.diameter_m == pytest.approx(screw.advance_mps)
    assert turning.slip == pytest.approx(
        1.0 - screw.advance_mps / (1.0 - lanes.wake_fraction) / (lanes.pitch_m * turns)
    )


def test_full_throttle_meets_the_power_curve() -> None:
    """What full_thrust gives, turn_for takes back at full power and the same rpm."""
    lanes = random_lanes(LANES)
    for froude in (0.5, 1.8, 3.5):
        screw = screws(lanes, froude)
        thrust, rpm = drive.full_thrust(screw)
        ok = np.isfinite(thrust) & (thrust > 0.0)
        assert ok.mean() > 0.98
        back = drive.turn_for(screw, np.where(ok, thrust, 1.0))
        assert back.engine_rpm[ok] == pytest.approx(rpm[ok], rel=1e-6)
        full = drive.full_power(lanes, rpm)
        assert back.shaft_power_w[ok] == pytest.approx(full[ok], rel=1e-6)


def test_more_thrust_asks_more_rpm_power_and_fuel() -> None:
    lanes = random_lanes(LANES)
    screw = screws(lanes)
    rising = []
    for share in np.linspace(0.02, 0.3, 15):
        turning = drive.turn_for(screw, share * lanes.weight_n)
        fuel = drive.fuel_lph(lanes, turning.shaft_power_w, turning.engine_rpm)
        rising.append((turning.engine_rpm, turning.shaft_power_w, fuel, turning.slip))
    steps = np.diff(np.array(rising), axis=0)
    assert np.all(steps[:, (0, 1, 3)] > 0.0)
    assert np.all(steps[:, 2] >= 0.0)  # fuel stands on its idle floor at first


def test_fuel_has_a_floor_and_no_ceiling_below() -> None:
    lanes = random_lanes(LANES)
    idle = drive.fuel_lph(lanes, np.zeros(LANES), np.array(lanes.idle_rpm))
    assert np.all(idle > 0.0)
    crawl = drive.fuel_lph(lanes, np.full(LANES, 10.0), 0.3 * lanes.rated_rpm)
    assert np.all(crawl >= idle - 1e-12)


def test_full_throttle_burn_by_the_pound() -> None:
    """Common practice, no source: 0.50 lb per horsepower hour, a quarter either way, for four-stroke and
    direct-injected petrol engines over 75 hp at rated power."""
    horsepower, pound = 745.699872, 0.45359237
    lanes = random_lanes(LANES)
    burn = drive.fuel_lph(lanes, lanes.rated_power_w * lanes.engines, lanes.rated_rpm)
    pounds = burn * lanes.fuel_density / 1000.0 / pound
    each = pounds / (lanes.rated_power_w * lanes.engines / horsepower)
    kinds = {"four-stroke injected", "four-stroke direct injected", "two-stroke direct injected"}
    modern = np.array([boat.engine.technology in kinds for boat in random_boats(LANES)])
    modern &= lanes.rated_power_w > 75.0 * horsepower
    print(f"  {modern.sum()} engines: {each[modern].min():.3f} to {each[modern].max():.3f} lb/hp h")
    assert modern.sum() > 60
    assert np.all((each[modern] > 0.375) & (each[modern] < 0.625))


def test_near_the_surface_thrust_is_lost_and_never_gained() -> None:
    lanes = random_lanes(LANES)
    kept = np.array(
        [drive.surface_kept(lanes, np.full(LANES, d)) for d in np.linspace(0.1, -0.3, 21)]
    )
    assert np.all((kept >= 0.0) & (kept <= 1.0))
    assert np.all(np.diff(kept, axis=0) <= 1e-15)
    # under its plate an outboard keeps everything until the plate stands plate_shield_m over the water
    assert np.all(kept[0] == 1.0)


def test_cavitation_number_by_hand() -> None:
    """Molland et al. 2011, 12.2.10: sigma = (p_atm + rho g h - p_v) / (1/2 rho V_R^2) at 0.7 of the radius."""
    lanes = random_lanes(12)
    screw = screws(lanes)
    turns = np.full(12, 40.0)
    around = 0.7 * np.pi * 40.0 * lanes.diameter_m
    square = screw.advance_mps**2 + around**2
    static = 101_325.0 + lanes.water_density * GRAVITY * lanes.propeller_below_m
    by_hand = (static - lanes.vapour_pressure) / (0.5 * lanes.water_density * square)
    assert drive.blade_cavitation_number(screw, turns) == pytest.approx(by_hand, rel=1e-9)


def test_a_lane_alone_as_in_a_crowd() -> None:
    lanes = random_lanes(LANES)
    speed = np.linspace(0.2, 4.5, LANES) * froude_unit(Afloat.of(lanes))
    depth = np.linspace(-0.1, 0.4, LANES)
    thrust = np.linspace(0.005, 0.3, LANES) * lanes.weight_n

    def answer(rows: np.ndarray) -> list[np.ndarray]:
        screw = drive.Screw.of(lanes.take(rows), speed[rows], depth[rows])
        turning = drive.turn_for(screw, thrust[rows])
        full = drive.full_thrust(screw)
        return [turning.engine_rpm, turning.shaft_power_w, turning.slip, *full]

    crowd = answer(np.arange(LANES))
    for rows in (np.array([0]), np.array([77]), np.arange(5, 12), np.arange(0, LANES, 7)):
        for whole, part in zip(crowd, answer(rows), strict=True):
            assert np.array_equal(bits(part), bits(whole[rows]))
