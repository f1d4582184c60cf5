"""Whole boats over speeds: what always holds, on random boats, whatever the numbers are."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from fleets import (
    bits,
    changed,
    demos,
    fixed,
    froude_unit,
    moored,
    random_boats,
    random_lanes,
    scaled,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from perf.boat.fleet import Fleet
from perf.boat.lanes import Lanes
from perf.boat.parts import Bracket
from perf.laws.added_mass import surge_added_mass
from perf.solve import performance, running
from perf.solve.afloat import Afloat
from perf.solve.balance import Planing
from perf.solve.bottom import Course
from perf.solve.hump import full_throttle_thrust, read_hump, sweep_speeds
from perf.solve.methods import Methods
from perf.solve.performance import (
    Points,
    Status,
    best_drive_trim,
    points,
    slowest_planing_speed,
    speed_bound,
    top_speed,
)

LANES = 240


def at_speeds(lanes: Lanes, drive: object = 0.0, froude: object = None) -> tuple[Afloat, Points]:
    """Every lane over its own sweep, or at the volume Froude numbers given."""
    afloat = Afloat.of(lanes)
    if froude is None:
        speed = sweep_speeds(afloat, speed_bound(lanes))
    else:
        speed = froude_unit(afloat)[:, None] * np.atleast_1d(froude)[None, :]
    trim = best_drive_trim(afloat, speed) if isinstance(drive, str) else np.array([[drive]])
    return afloat, points(afloat, speed, trim)


# --- the same bits however the lanes are cut -----------------------------------------------------


def scattered(count: int) -> tuple[Afloat, np.ndarray, np.ndarray]:
    """count lanes of random boats, each at its own speed and drive trim."""
    draw = np.random.default_rng(5)
    base = random_lanes(LANES)
    lanes = base.take(np.resize(np.arange(LANES), count))
    afloat = Afloat.of(lanes)
    speed = draw.uniform(0.1, 4.8, count) * froude_unit(afloat)
    return afloat, speed[:, None], draw.uniform(-5.0, 10.0, (count, 1))


@pytest.fixture(scope="module")
def crowd() -> tuple[Afloat, np.ndarray, np.ndarray, Points]:
    afloat, speed, trim = scattered(1003)
    return afloat, speed, trim, points(afloat, speed, trim)


def same(part: Points, whole: Points, rows: object) -> None:
    for field in fields(Points):
        mine, theirs = getattr(part, field.name), getattr(whole, field.name)[rows]
        if mine.dtype == float:
            mine, theirs = bits(mine), bits(theirs)
        assert np.array_equal(mine, theirs), field.name


@pytest.mark.parametrize("count", [1, 7])
def test_a_lane_alone_as_in_a_crowd(crowd, count: int) -> None:
    """One and seven of 1,003 lanes, each at its own speed and drive trim, bit for bit."""
    afloat, speed, trim, whole = crowd
    for start in range(0, 1003 - count, 1003 // 25):
        rows = np.arange(start, start + count)
        same(points(afloat.take(rows), speed[rows], trim[rows]), whole, rows)


@pytest.mark.parametrize("block", [1, 7, 100, 1002, 1003, 16_000])
def test_any_block_gives_the_same(crowd, block: int, monkeypatch) -> None:
    afloat, speed, trim, whole = crowd
    rows = np.arange({1: 60, 7: 200}.get(block, 1003))
    monkeypatch.setattr(performance, "BLOCK", block)
    same(points(afloat.take(rows), speed[rows], trim[rows]), whole, rows)


def strided(part: object) -> object:
    """The same lanes or hulls with every array a view into one twice as long."""

    def view(values: object) -> object:
        if not isinstance(values, np.ndarray):
            return strided(values)
        wide = np.zeros(2 * values.size, dtype=values.dtype)
        wide[::2] = values
        return wide[::2]

    return type(part)(**{f.name: view(getattr(part, f.name)) for f in fields(part)})


def test_strided_lanes_give_the_same(crowd) -> None:
    afloat, speed, trim, whole = crowd
    wide = strided(afloat)
    assert not wide.lanes.mass_kg.flags.c_contiguous
    both = np.repeat(np.stack([speed, trim]), 2, axis=2)
    same(points(wide, both[0][:, ::2], both[1][:, ::2]), whole, slice(None))


def test_many_speeds_in_one_call_as_one_by_one() -> None:
    afloat = Afloat.of(random_lanes(40))
    speed = froude_unit(afloat)[:, None] * np.linspace(0.2, 4.0, 9)[None, :]
    whole = points(afloat, speed, np.zeros((1, 1)))
    for column in (0, 4, 8):
        one = points(afloat, speed[:, column : column + 1], np.zeros((1, 1)))
        same(one, whole, (slice(None), slice(column, column + 1)))


# --- what always holds ---------------------------------------------------------------------------


@pytest.mark.parametrize("drive", [-4.0, 3.0, "best"])
def test_fuel_is_never_negative_and_finite_where_she_runs(drive: object) -> None:
    _, at = at_speeds(random_lanes(LANES), drive)
    ok = at.status == Status.OK
    assert ok.mean() > 0.5
    for field in fields(Points):
        values = getattr(at, field.name)
        optional = {
            # each method only where it reaches
            "planing_resistance_n",
            "series_resistance_n",
            "preplaning_resistance_n",
            "displacement_resistance_n",
            "planing_trim_deg",
            "series_trim_deg",
            "vertical_left",
            "moment_left",
        }
        if field.name not in optional:
            assert np.isfinite(values[ok]).all(), field.name
    for name in ("fuel_lph", "shaft_power_w", "thrust_n", "resistance_n", "engine_rpm"):
        assert np.all(getattr(at, name)[ok] > 0.0), name
    # nothing is hidden behind a status but what has none
    assert np.all(np.isfinite(at.thrust_n[at.status != Status.NO_BALANCE]))


def test_power_closes() -> None:
    """Shaft power = thrust x speed / efficiency x (1 - wake fraction) / (1 - thrust deduction)."""
    lanes = random_lanes(LANES)
    _, at = at_speeds(lanes, 2.0)
    ok = at.status == Status.OK
    hull = ((1.0 - lanes.thrust_deduction) / (1.0 - lanes.wake_fraction))[:, None]
    useful = at.thrust_n * at.speed_mps / (at.efficiency * hull)
    assert at.shaft_power_w[ok] == pytest.approx(useful[ok], rel=1e-8)


def test_little_is_left_where_the_planing_method_carries_alone() -> None:
    """A millionth of the weight, up to top speed, at the drive trim she would run."""
    _, at = at_speeds(random_lanes(LANES), "best")
    alone = (at.volume_froude >= 3.0) & (at.status == Status.OK)
    assert alone.sum() > 500
    for name in ("vertical_left", "moment_left"):
        left = np.abs(getattr(at, name)[alone])
        print(f"  {name}: {left.max():.1e} at most, {np.median(left):.1e} in the middle")
        assert left.max() < 1e-6


def test_no_boat_lacks_a_balance_at_any_speed_she_can_reach() -> None:
    _, at = at_speeds(random_lanes(LANES), "best")
    assert np.mean(at.status == Status.NO_BALANCE) < 0.01


# --- which way things go -------------------------------------------------------------------------


def top(lanes: Lanes, drive: object = "best") -> np.ndarray:
    """Top speed, 0 where full throttle does not even take her to the second speed of the sweep."""
    afloat, at = at_speeds(lanes, drive)
    return np.nan_to_num(top_speed(afloat, at).speed_mps)


@pytest.mark.parametrize("drive", [0.0, "best"])
def test_more_power_is_never_slower(drive: object) -> None:
    """At equal mass, propeller and rpm band."""
    lanes = random_lanes(LANES)
    speeds = [
        top(changed(lanes, rated_power_w=more * lanes.rated_power_w), drive)
        for more in (0.95, 1.0, 1.2)
    ]
    assert np.all(np.diff(speeds, axis=0) >= -1e-4 * speeds[0])


def test_more_air_area_is_never_faster() -> None:
    """With the drag at the same height; the drive in line, so that nothing else answers."""
    lanes = random_lanes(LANES)
    more = changed(lanes, frontal_area_m2=1.5 * lanes.frontal_area_m2)
    before, after = top(lanes, 0.0), top(more, 0.0)
    assert np.all(after <= before * (1.0 + 1e-6))
    assert np.mean(after < before) > 0.9


def test_a_fouled_bottom_is_never_faster_nor_cheaper() -> None:
    lanes = random_lanes(LANES)
    foul = changed(lanes, friction_allowance=lanes.friction_allowance + 0.002)
    assert np.all(top(foul, 0.0) <= top(lanes, 0.0) * (1.0 + 1e-6))
    froude = np.linspace(0.3, 3.5, 9)
    before, after = at_speeds(lanes, 0.0, froude)[1], at_speeds(foul, 0.0, froude)[1]
    ok = (before.status == Status.OK) & (after.status == Status.OK)
    assert np.all(after.fuel_lph[ok] >= before.fuel_lph[ok] * (1.0 - 1e-9))


def test_a_heavier_boat_needs_more_thrust() -> None:
    """At the balance point and one speed, below the hump, at it and past it."""
    lanes = random_lanes(LANES)
    speed = froude_unit(Afloat.of(lanes))[:, None] * np.array([[0.5, 1.5, 2.0, 2.5, 3.0]])
    light, heavy = (
        points(Afloat.of(x), speed, np.zeros((1, 1))).thrust_n
        for x in (lanes, moored(lanes, 1.05 * lanes.mass_kg))
    )
    share = np.mean(heavy > light, axis=0)
    print(f"  share of boats that need more: {share}")
    assert np.all(share == 1.0)


def test_a_heavier_boat_floats_deeper() -> None:
    lanes = random_lanes(LANES)
    volume, depth = [], []
    for more in (1.0, 1.1, 1.25):
        rest = Afloat.of(moored(lanes, more * lanes.mass_kg))
        volume.append(rest.volume_m3)
        # over the balance point, which stays where it is
        depth.append(rest.draught_m - lanes.forward_m * np.tan(np.radians(rest.trim_deg)))
    assert np.all(np.diff(volume, axis=0) > 0.0)
    assert np.all(np.diff(depth, axis=0) > 0.0)


def test_the_drive_trimmed_out_raises_the_bow() -> None:
    """Common practice, no source; at fixed speeds on plane."""
    lanes = random_lanes(LANES)
    trims = [
        at_speeds(lanes, angle, [2.5, 3.0, 4.0])[1].trim_deg for angle in (-5.0, 0.0, 4.0, 8.0)
    ]
    assert np.nanmin(np.diff(trims, axis=0)) > 0.0


@settings(max_examples=25, deadline=None)
@given(scale=st.floats(0.5, 2.0), drive=st.floats(-4.0, 6.0))
def test_froude_scaling_of_the_hull(scale: float, drive: float) -> None:
    """A boat twice as long in water as many times more viscous has the same drag over weight and trim.

    W. Froude's law, at all speeds and so through every method and the join; the side force of the
    drive is left out, whose plate wets over so many centimetres whatever the boat.
    """
    lanes = changed(random_lanes(24), drive_lift=0.0)
    bigger = scaled(lanes, scale)
    froude = np.array([0.3, 0.7, 1.0, 1.3, 1.8, 2.3, 3.0, 4.0])
    small, large = at_speeds(lanes, drive, froude)[1], at_speeds(bigger, drive, froude)[1]
    both = (small.status != Status.NO_BALANCE) & (large.status != Status.NO_BALANCE)
    assert both.mean() > 0.95
    assert large.trim_deg[both] == pytest.approx(small.trim_deg[both], abs=1e-5)
    for name in ("resistance_n", "thrust_n", "leg_drag_n", "air_drag_n"):
        wanted = getattr(small, name)[both] * scale**3
        assert getattr(large, name)[both] == pytest.approx(wanted, rel=1e-5), name


def test_no_setback_and_no_bracket_is_the_boat_without() -> None:
    """Exactly: setback of nothing asked for, and a bracket that weighs and measures nothing."""
    plain = [b for b in (*demos(), fixed("work_hull_25ft"), *random_boats(40)) if b.bracket is None]
    plain = [replace(b, mounting=replace(b.mounting, setback_m=0.0)) for b in plain]
    nothing = Bracket(0.0, 0.0, 0.0, 0.0, False)
    assert len(plain) > 20
    asked = [Fleet.vary(b, setback_m=[0.0]).boats[0] for b in plain]
    hung = [replace(b, bracket=nothing) for b in plain]
    without = Fleet.of(plain).lanes
    for other in (Fleet.of(asked).lanes, Fleet.of(hung).lanes):
        for field in fields(Lanes):
            mine, theirs = getattr(other, field.name), getattr(without, field.name)
            assert np.array_equal(bits(mine), bits(theirs)), field.name


# --- what is read off ----------------------------------------------------------------------------


def test_top_speed_is_where_full_throttle_ends() -> None:
    lanes = random_lanes(LANES)
    afloat, at = at_speeds(lanes, 0.0)
    found = top_speed(afloat, at)
    assert np.isfinite(found.speed_mps).all()
    there = points(afloat, found.speed_mps[:, None], np.zeros((1, 1)))
    assert there.shaft_power_w == pytest.approx(there.full_power_w, rel=1e-5)
    assert found.engine_rpm == pytest.approx(there.engine_rpm[:, 0], rel=1e-9)
    past = points(afloat, 1.01 * found.speed_mps[:, None], np.zeros((1, 1)))
    assert np.all(past.status != Status.OK)
    assert np.all(found.speed_mps < speed_bound(lanes))


def test_a_coarse_speed_that_is_the_top_speed_is_found() -> None:
    afloat = Afloat.of(Fleet.of(demos()).lanes)
    bound = speed_bound(afloat.lanes)
    coarse = points(afloat, bound[:, None] * np.linspace(0.1, 1.0, 12)[None, :], np.zeros((1, 1)))
    first = top_speed(afloat, coarse).speed_mps
    again = points(afloat, first[:, None] * np.array([[0.5, 0.8, 1.0, 1.3]]), np.zeros((1, 1)))
    assert top_speed(afloat, again).speed_mps == pytest.approx(first, rel=1e-9)
    assert np.all(np.isfinite(first))


def test_the_best_drive_trim_beats_its_neighbours() -> None:
    """Of 39 angles none asks half a per cent less power: differences under that are not worth a hand."""
    lanes = random_lanes(60)
    afloat = Afloat.of(lanes)
    speed = froude_unit(afloat)[:, None] * np.array([[1.2, 1.8, 2.5, 3.5]])
    chosen = points(afloat, speed, best_drive_trim(afloat, speed))
    least = np.full(speed.shape, np.inf)
    for angle in np.linspace(-5.0, 14.0, 39):
        inside = (angle >= lanes.drive_trim_in_deg) & (angle <= lanes.drive_trim_out_deg)
        power = points(afloat, speed, np.array([[angle]])).shaft_power_w
        least = np.where(inside[:, None] & (power < least), power, least)
    waste = chosen.shaft_power_w / least - 1.0
    print(f"  waste {np.nanmax(waste):.3%} at most, {np.nanmedian(waste):.3%} in the middle")
    assert np.isfinite(waste).all()
    assert np.quantile(waste, 0.99) < 0.01
    assert waste.max() < 0.02


def test_a_given_drive_trim_is_kept() -> None:
    lanes = changed(random_lanes(12), drive_trim_deg=3.5)
    afloat = Afloat.of(lanes)
    assert np.all(best_drive_trim(afloat, np.full((12, 4), 8.0)) == 3.5)


def test_hump_and_planing_by_their_definitions() -> None:
    """Read from the coarse sweep, held against a sweep thirty times as close."""
    afloat, at = at_speeds(random_lanes(60), 0.0)
    hump = read_hump(afloat, at)
    unit = froude_unit(afloat)
    froude = np.arange(1.0, 3.0001, 0.01)
    close = points(afloat, unit[:, None] * froude[None, :], np.zeros((1, 1)))
    load = close.thrust_n / full_throttle_thrust(afloat, close)
    begins = froude[np.argmax(close.planing_measure >= 0.0, axis=1)]
    inside = froude[None, :] <= begins[:, None]
    greatest = np.where(inside, load, -np.inf)
    assert np.abs(hump.margin - (1.0 - greatest.max(axis=1))).max() < 0.01
    where = froude[np.argmax(greatest, axis=1)]
    shift = np.abs(hump.speed_mps / unit - where)
    print(f"  hump off by {shift.max():.3f} of volume Froude number at most")
    # a flat top may be read a little to the side, at no cost in thrust
    assert np.quantile(shift, 0.95) < 0.06
    slowest = slowest_planing_speed(close)
    both = np.isfinite(slowest) & np.isfinite(hump.slowest_planing_mps)
    assert both.mean() > 0.9
    apart = np.abs(hump.slowest_planing_mps - slowest)[both] / unit[both]
    print(f"  slowest planing speed off by {apart.max():.3f} of volume Froude number at most")
    assert np.quantile(apart, 0.95) < 0.06
    full = full_throttle_thrust(afloat, close)
    there = [np.interp(v, close.speed_mps[k], full[k]) for k, v in enumerate(hump.speed_mps)]
    assert hump.margin_n / np.array(there) == pytest.approx(hump.margin, abs=0.01)


def test_time_to_plane_by_a_second_route() -> None:
    """Marched in small steps of time with mass and added mass, against the integral over speed."""
    lanes = random_lanes(40)
    afloat, at = at_speeds(lanes, 0.0)
    hump = read_hump(afloat, at)
    full = full_throttle_thrust(afloat, at)
    mass = lanes.mass_kg + surge_added_mass(
        lanes.water_density, afloat.volume_m3, lanes.waterline_length_m
    )
    for k in range(0, 40, 3):
        speed, seconds = 0.3, 0.0
        while speed < hump.slowest_planing_mps[k] and seconds < 60.0:
            spare = np.interp(speed, at.speed_mps[k], full[k] - at.thrust_n[k])
            speed, seconds = speed + 0.01 * spare / mass[k], seconds + 0.01
        wanted = seconds + lanes.throttle_delay_s[k]
        assert hump.time_to_plane_s[k] == pytest.approx(wanted, rel=0.03)


def test_a_boat_with_too_little_power_does_not_plane_and_says_so() -> None:
    lanes = random_lanes(LANES)
    weak = changed(lanes, rated_power_w=0.12 * lanes.rated_power_w)
    hump = read_hump(*at_speeds(weak, 0.0))
    short = ~hump.over
    assert short.mean() > 0.5
    # whoever does not get over lacks thrust at the hump, and the other way round
    assert np.all(hump.margin[short] <= 0.02)
    assert np.all(hump.margin[hump.over] > 0.0)
    assert np.isnan(hump.time_to_plane_s[short]).all()


def test_wet_sides_drag_at_a_plough_and_not_on_plane(monkeypatch: pytest.MonkeyPatch) -> None:
    """With whisker spray in place of the multiplier the sides count until 3 Cv^2 sin(trim) dries them."""
    seen = []
    plain = running._sides_drag

    def watched(course: Course, settled: Planing) -> np.ndarray:
        drag = plain(course, settled)
        seen.append((course.speed_coefficient, drag / settled.forces.resistance_n))
        return drag

    monkeypatch.setattr(running, "_sides_drag", watched)
    afloat = Afloat.of(Fleet.of(demos()).lanes)
    speed = froude_unit(afloat)[:, None] * np.array([[1.0, 1.2, 1.5, 2.5, 4.0]])
    points(afloat, speed, np.zeros((1, 1)), methods=Methods("planing", planing_extra="spray"))
    coefficient, share = (np.concatenate(each) for each in zip(*seen, strict=True))
    slow, fast = coefficient < 1.3, coefficient > 2.2
    print(
        f"  sides over the bare drag: up to {share[slow].max():.1%} ploughing, {share[fast].max():.1%} on plane"
    )
    assert np.mean(share[slow] > 0.0) > 0.7 and 0.005 < share[slow].max() < 0.03
    assert fast.sum() >= 8 and np.all(share[fast] == 0.0)
