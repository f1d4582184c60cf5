"""Waves and wind: the laws beside their rows in tests/oracle/seaway.json, and their way into the balance."""

from __future__ import annotations

import inspect
from dataclasses import replace

import numpy as np
import pytest

from perf.base.cautions import Caution
from perf.base.sources import LAWS
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.fleet import Fleet
from perf.laws import seaway
from perf.solve.afloat import Afloat
from perf.solve.performance import Points, points

NAMES = sorted(n for n, law in LAWS.items() if law.function.__module__ == "perf.laws.seaway")
RANGES = {
    "speed_mps": (0.0, 25.0), "length_m": (3.0, 15.0), "mass_kg": (300.0, 9000.0),
    "height_ratio": (0.0, 0.9), "length_ratio": (2.2, 5.5), "loading": (0.1, 1.0),
    "trim_deg": (0.5, 9.0), "deadrise_deg": (0.0, 32.0), "speed_length": (1.0, 7.0),
    "slenderness": (3.5, 9.0), "volume_froude": (0.2, 5.0), "balance_g": (0.0, 3.0),
    "average_g": (0.0, 3.0), "one_in": (0.5, 100.0), "angle_deg": (-400.0, 700.0),
    "beam_share": (0.0, 1.0), "following_share": (-0.2, 1.0), "ahead_mps": (-20.0, 20.0),
    "across_mps": (-20.0, 20.0), "ground_mps": (0.5, 20.0), "current_along_mps": (-3.0, 3.0),
    "current_across_mps": (-3.0, 3.0),
}  # fmt: skip


def crowd(name: str, lanes: int = 501) -> dict[str, np.ndarray]:
    draw = np.random.default_rng([7, *name.encode()])
    given = {
        a: draw.uniform(*RANGES[a], lanes)
        for a in inspect.signature(LAWS[name].function).parameters
    }
    for values in given.values():
        values[::31] = 0.0
    return given


@pytest.mark.parametrize("name", NAMES)
def test_alone_as_in_a_crowd(name: str) -> None:
    function, given = LAWS[name].function, crowd(name)
    whole = np.asarray(function(**given), dtype=float)
    assert whole.shape == (501,)
    for at in (0, 1, 100, 311, 500):
        one = np.asarray(function(**{k: v[at : at + 1] for k, v in given.items()}), dtype=float)
        assert one.view(np.uint64)[0] == whole.view(np.uint64)[at], f"{name} lane {at}"


# --- against each other and other rules -----------------------------------------------------------


def test_the_rule_of_the_class_societies() -> None:
    """Design acceleration of the high-speed craft codes, as recalled: the highest hundredth at 4 degrees of trim.

    a/g = (1/1650)(H/B + 0.084)(50 - deadrise)(V/sqrt L)^2 L B^2 / displacement, in m, kn, t.
    """
    length, beam, tonnes, deadrise, knots, wave = 12.0, 3.2, 9.0, 18.0, 28.0, 0.9
    rule = (
        (wave / beam + 0.084)
        * (50 - deadrise)
        * knots**2
        / length
        * length
        * beam**2
        / tonnes
        / 1650
    )
    ratio = seaway.speed_length(np.float64(knots * 1852 / 3600), np.float64(length))
    loading = np.float64(tonnes / 1.025 / beam**3)
    mean = seaway.acceleration_1976(wave / beam, length / beam, loading, 4.0, deadrise, ratio)
    assert seaway.highest_average(mean, np.float64(100.0)) == pytest.approx(rule, rel=0.01)


def test_two_methods_on_the_published_example() -> None:
    """The 1980 formula gives well under half of the 1976 equations on the 1976 paper's own boat.

    Why the doubt of the drag of waves is as wide as it is. 80 ft, 186,000 lb, 4.6 ft, 25.4 kn.
    """
    old = 6900.0 / 186000.0
    volume = (186000 * 0.45359237 / 1025.9) ** (1 / 3)
    froude = 25.4 * 1852 / 3600 / np.sqrt(9.80665 * volume)
    new = float(seaway.added_resistance_1980(np.float64(4.6 / 24), 80 * 0.3048 / volume, froude))
    print(f"added resistance over weight, 1976 {old:.4f}, 1980 {new:.4f}")
    assert 0.3 < new / old < 0.5


def test_1976_is_a_straight_line_between_its_speeds_and_nothing_past_them() -> None:
    given = (0.3, 3.6, 0.4, 4.5, 18.0)
    two, three, four, five, six = (
        float(seaway.added_resistance_1976(*given, v)) for v in (2.0, 3.0, 4.0, 5.0, 6.0)
    )
    assert three == pytest.approx((two + four) / 2, rel=1e-12)
    assert five == pytest.approx((four + six) / 2, rel=1e-12)
    assert np.isnan(seaway.added_resistance_1976(*given, np.array([1.99, 6.01]))).all()


def test_heading_share_goes_round_and_never_helps() -> None:
    angle = np.linspace(-720.0, 720.0, 2881)
    share = seaway.heading_share(angle, np.float64(0.5), np.float64(0.2))
    assert share.min() >= 0.2 - 1e-12
    assert share.max() == 1.0
    assert np.allclose(share, seaway.heading_share(-angle, np.float64(0.5), np.float64(0.2)))
    assert np.allclose(share[:1441], share[1440:], atol=1e-12)
    half = share[1440:1621]  # dead ahead to dead astern
    assert np.all(np.diff(half) <= 1e-12)


def test_the_wind_from_any_side_as_a_force() -> None:
    """q times the whole relative wind times its part along: the same as the force of the head wind it stands for."""
    draw = np.random.default_rng(5)
    speed, ahead, across = (
        draw.uniform(0, 20, 4000),
        draw.uniform(-18, 18, 4000),
        draw.uniform(-18, 18, 4000),
    )
    felt = speed + seaway.effective_head_wind(speed, ahead, across)
    along = speed + ahead
    assert np.allclose(felt * np.abs(felt), along * np.hypot(along, across), rtol=1e-9, atol=1e-9)
    only_ahead = seaway.effective_head_wind(speed, ahead, np.zeros(4000))
    assert np.array_equal(only_ahead, ahead)


def test_current_there_and_back_never_saves_time() -> None:
    draw = np.random.default_rng(3)
    speed, turn = draw.uniform(1.0, 20.0, 10_000), draw.uniform(0, 2 * np.pi, 10_000)
    current = draw.uniform(0.0, 0.95, 10_000) * speed
    along, across = current * np.cos(turn), current * np.sin(turn)
    out, home = (
        seaway.ground_speed(speed, along, across),
        seaway.ground_speed(speed, -along, -across),
    )
    assert np.isfinite(out).all()
    assert np.isfinite(home).all()
    assert np.all(1 / out + 1 / home >= 2 / speed * (1 - 1e-12))
    assert np.allclose(seaway.speed_for_ground(out, along, across), speed, rtol=1e-12)
    assert np.isnan(seaway.ground_speed(np.float64(2.0), np.float64(-2.5), np.float64(0.0)))


# --- in the balance -------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def crowd_afloat() -> Afloat:
    boats = [read_boat(path) for path in demo_boats().values()]
    return Afloat.of(Fleet.draw(boats, 12, 1).lanes)


SPEED = np.array([[2.0, 4.5, 7.0, 9.5, 12.0, 15.0]])
TRIM = np.full((1, 1), 2.0)


def at(afloat: Afloat, **weather: float) -> Points:
    rows = {name: np.full(afloat.lanes.count, value) for name, value in weather.items()}
    return points(replace(afloat, lanes=replace(afloat.lanes, **rows)), SPEED, TRIM)


def same(one: Points, other: Points) -> bool:
    names = (
        "trim_deg",
        "thrust_n",
        "air_drag_n",
        "shaft_power_w",
        "engine_rpm",
        "fuel_lph",
        "status",
        "cautions",
    )
    return all(np.array_equal(getattr(one, n), getattr(other, n), equal_nan=True) for n in names)


def test_nothing_changes_in_calm_bit_for_bit(crowd_afloat: Afloat) -> None:
    calm = points(crowd_afloat, SPEED, TRIM)
    assert np.all(calm.wave_drag_n == 0.0)
    assert not np.any(calm.cautions & int(Caution.SEA_OUTSIDE))
    assert same(calm, at(crowd_afloat, head_wind_mps=0.0, wave_height_m=0.0, sea_share=1.0))
    # a sea whose share is nothing costs nothing
    assert same(calm, at(crowd_afloat, wave_height_m=1.0, sea_share=0.0))


def test_waves_and_head_wind_cost_and_a_tail_wind_saves(crowd_afloat: Afloat) -> None:
    calm = points(crowd_afloat, SPEED, TRIM)
    last = calm
    for height in (0.1, 0.3, 0.6, 1.2):
        sea = at(crowd_afloat, wave_height_m=height, sea_share=1.0)
        both = np.isfinite(sea.thrust_n) & np.isfinite(last.thrust_n)
        assert np.all(sea.thrust_n[both] > last.thrust_n[both])
        assert np.all(sea.wave_drag_n >= last.wave_drag_n)
        last = sea
    quarter = at(crowd_afloat, wave_height_m=0.6, sea_share=0.25)
    whole = at(crowd_afloat, wave_height_m=0.6, sea_share=1.0)
    assert np.allclose(4 * quarter.wave_drag_n, whole.wave_drag_n, rtol=1e-12)
    against, behind = at(crowd_afloat, head_wind_mps=8.0), at(crowd_afloat, head_wind_mps=-8.0)
    assert np.allclose(against.air_drag_n, calm.air_drag_n * ((SPEED + 8) / SPEED) ** 2, rtol=1e-12)
    # blown along faster than she goes, the air pushes
    assert np.all(np.sign(behind.air_drag_n) == np.sign(SPEED - 8))
    assert np.all(against.air_drag_n > calm.air_drag_n)
    assert np.all(behind.air_drag_n < calm.air_drag_n)


def test_the_drag_of_waves_is_the_formula_times_weight(crowd_afloat: Afloat) -> None:
    lanes = crowd_afloat.lanes
    sea = at(crowd_afloat, wave_height_m=0.5, sea_share=0.7)
    slender = (crowd_afloat.projected_length_m / np.cbrt(crowd_afloat.volume_m3))[:, None]
    expect = 0.7 * 1.3 * np.sqrt(0.5 / lanes.beam_m)[:, None] * sea.volume_froude * slender**-2.5
    assert np.allclose(sea.wave_drag_n, expect * lanes.weight_n[:, None], rtol=1e-12)


def test_a_sea_past_the_formula_carries_its_caution(crowd_afloat: Afloat) -> None:
    lanes = crowd_afloat.lanes
    fits = at(crowd_afloat, wave_height_m=0.5, sea_share=1.0)
    steep = at(crowd_afloat, wave_height_m=float(lanes.beam_m.max()), sea_share=1.0)
    bit = int(Caution.SEA_OUTSIDE)
    inside = (fits.volume_froude >= 0.6) & (fits.volume_froude <= 4.5)
    assert np.array_equal(fits.cautions & bit != 0, ~inside)
    assert np.all(steep.cautions & bit)
