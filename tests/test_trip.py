"""Trips: fuel, time, reach, reserve and tank, against arithmetic done apart and the published rule of thirds."""

from __future__ import annotations

import time
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from perf.base.assumptions import ASSUMPTIONS
from perf.base.faults import InputFaults
from perf.base.geodesic import check_position, way
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.fleet import Fleet
from perf.boat.parts import Boat, Weight
from perf.boat.trip.parts import (
    AHEAD,
    Direction,
    FillUp,
    Pace,
    Reserve,
    Run,
    TankTruth,
    Trip,
    Weather,
)
from perf.laws import seaway
from perf.solve.afloat import Afloat
from perf.studies.speeds import speeds
from perf.studies.trip.legs import MOST_SWEEPS, Felt, Paced, Voyage, left_after, run_at, spend
from perf.studies.trip.rows import boat_of
from perf.studies.trip.study import trip, work_out
from perf.studies.trip.table import afloat_of

MILE, KNOT, GALLON = 1609.344, 1852.0 / 3600.0, 3.785411784e-3
ASTERN = Direction(180.0, relative=True)
TRUE_TANK = TankTruth(level=0.6, fill=1.0, gauge_error=0.0)


@cache
def boat(name: str = "number_four") -> Boat:
    return read_boat(demo_boats()[name])


def held(mps: float) -> Pace:
    return Pace("speed", mps)


def going(name: str, miles: float, mps: float, **more: object) -> Run:
    return Run(name, held(mps), distance_m=miles * MILE, **more)  # type: ignore[arg-type]


def planned(*runs: Run, **more: object) -> Trip:
    more.setdefault("tank", TRUE_TANK)
    return Trip("test", runs, **more)  # type: ignore[arg-type]


def worked(which: Boat, plan: Trip):
    with np.errstate(all="ignore"):
        return work_out(boat_of(which, plan), plan)[0]


# --- the arithmetic of a trip ---------------------------------------------------------------------


@pytest.mark.parametrize("name", ["number_one", "number_four", "number_eight"])
@pytest.mark.parametrize("mps", [2.5, 10.5])
def test_still_water_is_distance_over_mileage(name: str, mps: float) -> None:
    """Burning lightens off, no wind, no sea: distance over the mileage that `speeds` gives at that speed."""
    plan = planned(going("out", 17.0, mps), going("home", 4.0, mps), lightens=False)
    found = trip(boat(name), plan, draws=0, reach=False)
    rows = speeds(boat(name).at(tank=0.6), np.array([mps]), draws=0).tables["rows"]
    litres = 21.0 * MILE / rows["mileage_m_per_l"].iloc[0]
    assert found.summary["trip_fuel_m3"] * 1000 == pytest.approx(litres, rel=1e-9)
    assert found.summary["trip_time_s"] == pytest.approx(21.0 * MILE / mps, rel=1e-12)
    assert found.tables["rows"]["engine_rpm"].iloc[0] == pytest.approx(
        rows["engine_rpm"].iloc[0], rel=1e-9
    )


def test_runs_add_up() -> None:
    whole = planned(going("a", 30.0, 11.0), lightens=False)
    parts = planned(*(going(f"{i}", 6.0, 11.0) for i in range(5)), lightens=False)
    assert worked(boat(), parts).total_m3[0] == pytest.approx(
        worked(boat(), whole).total_m3[0], rel=1e-12
    )
    one, five = (
        worked(boat(), replace(whole, lightens=True)),
        worked(boat(), replace(parts, lightens=True)),
    )
    assert five.total_m3[0] == pytest.approx(one.total_m3[0], rel=2e-4)
    # and burning does lighten: less than at the weight she set out with
    assert one.total_m3[0] < worked(boat(), whole).total_m3[0]


def test_hours_troll_idle_and_drift() -> None:
    plan = planned(
        Run("troll", held(1.5), duration_s=7200.0),
        Run("idle", Pace("idle"), duration_s=3600.0),
        Run("drift", Pace("drift"), duration_s=3600.0),
    )
    found = worked(boat(), plan)
    lanes = Fleet.of(boat()).lanes
    burned = found.spent.burned_m3[0]
    assert found.spent.distance_m[0].tolist() == [10_800.0, 0.0, 0.0]
    assert burned[2] == 0.0
    idle = lanes.fuel_idle[0] * lanes.rated_power_w[0]
    assert 0.5 < burned[1] * 1000 < 6.0, idle  # a 225 hp engine idles on a litre or a few an hour
    assert burned[0] >= 2.0 * burned[1]
    assert found.total_m3[0] == pytest.approx(burned.sum(), rel=1e-12)


def test_a_current_there_and_back_costs_time_and_fuel() -> None:
    still = worked(boat(), planned(going("out", 10, 10.0), going("home", 10, 10.0)))
    tide = Weather(current_mps=1.2, current_toward=AHEAD)
    ebb = replace(tide, current_toward=ASTERN)
    moving = worked(
        boat(), planned(going("out", 10, 10.0, weather=tide), going("home", 10, 10.0, weather=ebb))
    )
    assert moving.spent.time_s.sum() > still.spent.time_s.sum()
    assert moving.total_m3[0] > still.total_m3[0]
    assert moving.spent.ground_mps[0] == pytest.approx([11.2, 8.8], rel=1e-12)


def test_over_ground_makes_it_the_other() -> None:
    tide = Weather(current_mps=1.0, current_toward=ASTERN)
    run = Run("a", Pace("speed", 9.0, over_ground=True), distance_m=9000.0, weather=tide)
    found = worked(boat(), planned(run))
    assert found.spent.speed_mps[0, 0] == pytest.approx(10.0, rel=1e-12)
    assert found.spent.time_s[0, 0] == pytest.approx(1000.0, rel=1e-12)


def test_against_more_current_than_she_makes() -> None:
    run = Run(
        "a", held(2.0), distance_m=1000.0, weather=Weather(current_mps=7.0, current_toward=ASTERN)
    )
    found = trip(boat(), planned(run, going("b", 3, 10.0)), draws=20, reach=False)
    rows = found.tables["rows"]
    assert list(rows["status"]) == ["makes no way", "ok"]
    assert "no_headway" in found.cautions
    assert found.summary["trip_fuel_m3"] is None
    assert found.summary["chance_reserve_broken"] == 1.0  # no answer is the worst answer
    assert "makes no way on a" in found.answer.spoken("us")
    found.as_json()


def test_wind_and_sea_from_every_side() -> None:
    def litres(side: float, wind: float = 9.0, wave: float = 0.6) -> float:
        weather = Weather(
            wind_mps=wind,
            wind_from=Direction(side, relative=True),
            wave_height_m=wave,
            sea_from=Direction(side, relative=True),
        )
        return float(worked(boat(), planned(going("a", 10, 9.0, weather=weather))).total_m3[0])

    calm = litres(0.0, 0.0, 0.0)
    around = [litres(side) for side in (0.0, 45.0, 90.0, 135.0, 180.0)]
    assert around[0] == max(around)
    assert around[1] == pytest.approx(litres(-45.0), rel=1e-9)
    # a sea alone never takes less than calm water, from whatever side
    assert all(litres(side, wind=0.0) >= calm for side in (0.0, 60.0, 90.0, 150.0, 180.0))
    # a wind from astern helps, and one abeam costs
    assert litres(180.0, wave=0.0) < calm < litres(90.0, wave=0.0)


def test_who_is_aboard_and_what_is_taken_on() -> None:
    crew = Run("a", held(10.0), distance_m=20 * MILE, aboard=("skipper",))
    party = replace(crew, name="b", aboard=("skipper", "guests"))
    more = replace(party, name="c", aboard=None, take_on_m3=0.05)
    plan = planned(crew, party, more)
    rows = trip(boat(), plan, draws=0, reach=False).tables["rows"]
    guests = next(w for w in boat().weights if w.name == "guests")
    heavier = rows["mass_kg"].iloc[1] - rows["mass_kg"].iloc[0]
    burned = 0.5 * (rows["fuel_m3"].iloc[0] + rows["fuel_m3"].iloc[1])
    density = Fleet.of(boat()).lanes.fuel_density[0]
    assert heavier == pytest.approx(guests.count * guests.mass_kg - burned * density, rel=1e-3)
    left = rows["fuel_left_m3"]
    assert left.iloc[2] == pytest.approx(left.iloc[1] + 0.05 - rows["fuel_m3"].iloc[2], rel=1e-9)
    catch = Weight("catch", 120.0, 1, 1.0, 0.6)
    with_catch = replace(
        plan, weights=(catch,), runs=(*plan.runs[:2], replace(more, aboard=("skipper", "catch")))
    )
    assert trip(boat(), with_catch, draws=0, reach=False).tables["rows"]["mass_kg"].iloc[2] > 0.0
    with pytest.raises(ValueError, match='called "gusets"'):
        trip(boat(), planned(replace(crew, aboard=("gusets",))), draws=0)


# --- speeds -----------------------------------------------------------------------------------------


def test_best_mileage_is_that_of_the_speeds_page() -> None:
    which = boat().at(load="alone", tank=0.3)
    run = Run("a", Pace("best mileage"), distance_m=5.0)  # so short that nothing is burned
    found = worked(which, planned(run, tank=TankTruth(level=0.3, fill=1.0)))
    best = speeds(which, draws=0).summary["best_mileage_speed_mps"]
    assert found.spent.speed_mps[0, 0] == pytest.approx(best, rel=1e-3)


def test_an_rpm_is_held() -> None:
    found = worked(boat(), planned(Run("a", Pace("rpm", 4200.0), distance_m=9e3)))
    assert found.spent.at.engine_rpm[0, 0] == pytest.approx(4200.0, rel=0.01)
    drawn = trip(
        boat(), planned(Run("a", Pace("rpm", 4200.0), distance_m=9e3)), draws=60, reach=False
    )
    assert (
        drawn.tables["rows"]["duration_s_p90"].iloc[0]
        > drawn.tables["rows"]["duration_s_p10"].iloc[0]
    )


@pytest.mark.parametrize("limit", [0.7, 1.0, 1.5])
def test_as_fast_as_the_seat_bears(limit: float) -> None:
    sea = Weather(wave_height_m=0.6)
    plan = planned(Run("a", Pace("g", limit), distance_m=9e3, weather=sea), seat="skipper")
    rows = trip(boat(), plan, draws=0, reach=False).tables["rows"]
    assert rows["bumps_g"].iloc[0] == pytest.approx(limit, rel=0.02)
    # the skipper sits forward of the balance point: at it the same limit allows more
    faster = trip(boat(), replace(plan, seat=None), draws=0, reach=False).tables["rows"]
    assert faster["run_speed_mps"].iloc[0] > rows["run_speed_mps"].iloc[0]


def test_a_speed_above_top_speed_is_run_at_top_speed_with_a_caution() -> None:
    found = trip(boat(), planned(going("a", 9.0, 40.0)), draws=40, reach=False)
    row = found.tables["rows"].iloc[0]
    top = speeds(boat().at(tank=0.6), draws=0).summary["top_speed_mps"]
    assert row["run_speed_mps"] == pytest.approx(top, rel=0.01)
    assert "speed_not_held" in row["cautions"]
    assert "speed_not_held" in found.cautions
    assert row["status"] == "ok"


def test_a_head_sea_takes_speed_that_a_calm_leaves() -> None:
    top = speeds(boat().at(tank=0.6), draws=0).summary["top_speed_mps"]
    sea = Weather(wind_mps=10.0, wave_height_m=0.7)
    calm = worked(boat(), planned(going("a", 9.0, 0.9 * top)))
    rough = worked(boat(), planned(going("a", 9.0, 0.9 * top, weather=sea)))
    assert calm.spent.held[0, 0]
    assert not rough.spent.held[0, 0]
    assert rough.spent.speed_mps[0, 0] < 0.9 * top


# --- enough, or short -------------------------------------------------------------------------------


def test_rule_of_thirds() -> None:
    """US Coast Guard Auxiliary: a third out, a third back, a third in reserve."""
    plan = planned(going("a", 5.0, 10.5))
    found = trip(boat(), plan, draws=0)
    usable = found.summary["usable_at_start_m3"]
    assert found.summary["kept_back_m3"] == pytest.approx(usable / 3, rel=1e-12)
    # going as far as the reach says takes the two other thirds
    far = found.summary["reach_here_m"]
    there = planned(Run("out", held(10.5), distance_m=far), Run("home", held(10.5), distance_m=far))
    again = trip(boat(), there, draws=0, reach=False)
    assert again.summary["trip_fuel_m3"] == pytest.approx(2 * usable / 3, rel=3e-3)
    assert again.summary["spare_m3"] == pytest.approx(0.0, abs=3e-3 * usable)


def test_short_by_what_is_missing() -> None:
    enough = trip(boat(), planned(going("a", 20.0, 10.5)), draws=60, reach=False)
    assert enough.answer.spoken("us").startswith("Enough: ")
    assert enough.summary["chance_reserve_broken"] < 0.05
    wanted = Reserve(quantity_m3=enough.summary["arrival_fuel_m3"] + 12 * GALLON)
    short = trip(boat(), planned(going("a", 20.0, 10.5)), reserve=wanted, draws=60, reach=False)
    assert short.answer.spoken("us").startswith("Short by 12 gal: ")
    assert short.summary["spare_m3"] == pytest.approx(-12 * GALLON, rel=1e-9)
    assert short.summary["chance_reserve_broken"] > 0.95
    assert "reserve_broken" in short.cautions
    assert "Chance of breaking the reserve" in short.answer.spoken("us")


def test_a_trip_longer_than_the_tank_says_where_it_ends() -> None:
    plan = planned(going("out", 60.0, 10.5), going("home", 400.0, 10.5))
    found = trip(boat(), plan, draws=40, reach=False)
    rows = found.tables["rows"]
    assert list(rows["status"]) == ["ok", "runs dry here"]
    assert rows["fuel_left_m3"].iloc[1] == 0.0
    assert "runs_dry" in found.cautions
    said = found.answer.spoken("us")
    assert 'into "home"' in said
    usable, burned = found.summary["usable_at_start_m3"], rows["fuel_m3"].to_numpy()
    ends = (usable - burned[0]) / burned[1] * 400.0
    told = float(said.split(" mi into")[0].split()[-1])
    assert told == pytest.approx(ends, abs=0.06)
    assert found.summary["arrival_fuel_m3"] == 0.0
    assert (found.tables["fuel_line"]["fuel_left_m3"] >= 0.0).all()
    assert found.summary["chance_dry"] == 1.0


def test_the_line_that_must_not_be_crossed() -> None:
    plan = planned(
        going("a", 20.0, 10.5),
        replace(going("b", 20.0, 10.5), take_on_m3=0.03),
        going("c", 15.0, 10.5),
    )
    found = trip(boat(), plan, draws=0, reach=False)
    rows, kept = found.tables["rows"], found.summary["kept_back_m3"]
    burned, need = rows["fuel_m3"].to_numpy(), rows["needed_m3"].to_numpy()
    assert need[2] == pytest.approx(kept)
    assert need[1] == pytest.approx(kept + burned[2])
    assert need[0] == pytest.approx(max(kept + burned[2] + burned[1] - 0.03, kept))
    capacity, usable = boat().tank.capacity_m3, boat().tank.usable
    gauge = (need + (1 - usable) * capacity) / capacity  # the tank here is one that fills whole
    assert rows["gauge_needed"].to_numpy() == pytest.approx(gauge)


# --- reach ------------------------------------------------------------------------------------------


@cache
def reached(wave: float = 0.6):
    weather = Weather(9.0, Direction(225.0), wave, Direction(225.0), 0.6, Direction(0.0))
    run = Run("out", Pace("best mileage"), distance_m=2e4, course_deg=200.0, weather=weather)
    return trip(boat().at(load="alone"), planned(run, tank=TankTruth(level=1.0)), draws=60)


def test_reach_over_speed_and_sea() -> None:
    found = reached()
    table = found.tables["reach"]
    calm, moderate = table["reach_calm_m"], table["reach_moderate_m"]
    both = np.isfinite(calm) & np.isfinite(moderate)
    assert both.sum() > 6
    assert np.all(calm[both] >= moderate[both])
    assert np.all(calm[both][2:] > moderate[both][2:])  # at a crawl the engine idles in either
    planing = calm[table["speed_mps"] > 8.0]
    assert found.summary["farthest_m"] == pytest.approx(planing.max(), rel=0.01)
    speed, less = found.summary["farthest_speed_mps"], found.summary["three_less_m"]
    assert table["speed_mps"].min() < speed < table["speed_mps"].max()
    here = found.tables["rows"]["run_speed_mps"].iloc[0]
    expect = np.interp(here - 3 * KNOT, table["speed_mps"], calm) - np.interp(
        here, table["speed_mps"], calm
    )
    assert less == pytest.approx(expect, rel=1e-9)
    low, high = table["reach_calm_m_p10"], table["reach_calm_m_p90"]
    told = np.isfinite(low) & np.isfinite(high)
    assert np.all(low[told] <= high[told])


def test_reach_around_is_stretched_by_wind_sea_and_current() -> None:
    found = reached()
    table = found.tables["around"]
    assert len(table) == 24
    assert np.allclose(np.hypot(table["east_m"], table["north_m"]), table["reach_m"])
    ratio = table["reach_m"].max() / table["reach_m"].min()
    assert ratio > 1.01
    # out along a line and home along it is the same line from its other end
    assert np.allclose(table["reach_m"][:12], table["reach_m"][12:], rtol=0.02)
    assert found.summary["reach_least_m"] == table["reach_m"].min()
    assert (table["reach_m_p10"] < table["reach_m"]).all()
    calm = trip(boat(), planned(going("a", 5, 10.5)), draws=0).tables["around"]["reach_m"]
    assert np.allclose(calm, calm.iloc[0], rtol=1e-9)


# --- the tank and the log ---------------------------------------------------------------------------


def test_tank_truth() -> None:
    capacity, usable = boat().tank.capacity_m3, boat().tank.usable

    def start(**truth: float) -> float:
        found = trip(
            boat(), planned(going("a", 3, 10), tank=TankTruth(**truth)), draws=0, reach=False
        )
        return float(found.summary["usable_at_start_m3"])

    unusable = (1 - usable) * capacity
    assert start(level=1.0, fill=1.0) == pytest.approx(capacity - unusable)
    assert start(level=1.0) == pytest.approx(0.95 * capacity - unusable)
    # a level is of the stated capacity, so that 60 gal said are 60 gal; only a full tank is less
    assert start(level=0.5, fill=0.9) == pytest.approx(0.5 * capacity - unusable)
    assert start(level=0.98, fill=0.9, gauge_error=0.0) == pytest.approx(0.9 * capacity - unusable)
    assert start(since_fill_m3=0.1, fill=1.0) == pytest.approx(capacity - 0.1 - unusable)
    assert start(level=0.5, fill=1.0, usable=0.8) == pytest.approx(0.3 * capacity)


def test_a_gauge_that_lies_widens_the_band() -> None:
    def width(error: float) -> float:
        plan = planned(going("a", 3, 10), tank=TankTruth(level=0.5, gauge_error=error))
        found = trip(boat(), plan, draws=300, reach=False)
        return float(
            found.summary["usable_at_start_m3_p90"] - found.summary["usable_at_start_m3_p10"]
        )

    assert width(0.15) > 2.0 * width(0.03) > 0.0


def test_a_burn_log_corrects_the_burn_and_narrows_it() -> None:
    run = going("since May", 60.0, 10.5)
    plain = planned(going("a", 30.0, 10.5), lightens=False, tank=TankTruth(level=0.5, fill=1.0))
    before = trip(boat(), plain, draws=200, reach=False)
    predicted = 2.0 * before.summary["trip_fuel_m3"]  # at half a tank, as the log is read
    lines = tuple(FillUp(replace(run, name=f"{i}"), 1.25 * predicted) for i in range(4))
    after = trip(boat(), replace(plain, log=lines), draws=200, reach=False)
    # four fill-ups each within 15 %, against a law within its own half width: inverse squares weigh them
    law, log = ASSUMPTIONS["trial_fuel_slope"].half_width ** -2, 4 * 0.15**-2
    expect = (law + 1.25 * log) / (law + log)
    assert after.summary["fuel_factor"] == pytest.approx(expect, abs=0.003)
    assert after.summary["trip_fuel_m3"] == pytest.approx(
        expect * before.summary["trip_fuel_m3"], rel=0.01
    )

    def spread(found: object) -> float:
        s = found.summary  # type: ignore[attr-defined]
        return float((s["trip_fuel_m3_p90"] - s["trip_fuel_m3_p10"]) / s["trip_fuel_m3"])

    assert spread(after) < spread(before)
    assert any("log of 4 fill-ups" in note for note in after.notes)


# --- positions --------------------------------------------------------------------------------------

GEODESICS = [
    # Flinders Peak to Buninyong, as printed with the formulas of Vincenty in the GDA technical manual
    (-(37 + 57 / 60 + 3.72030 / 3600), 144 + 25 / 60 + 29.52440 / 3600,
     -(37 + 39 / 60 + 10.15610 / 3600), 143 + 55 / 60 + 35.38390 / 3600, 54_972.271, 6e-4),
    # New York to London and Wellington to Salamanca, the examples of GeographicLib's own pages; recalled
    (40.6, -73.8, 51.6, -0.5, 5_551_759.400, 6e-4),
    (-41.32, 174.81, 40.96, -5.50, 19_959_679.267, 6e-4),
    # first line of the published GeodTest set; recalled
    (36.530042355041, 0.0, -48.164270779097768864, 5.762344694676510456, 9_398_502.0434687, 1e-6),
    # a quarter of a meridian on WGS-84
    (0.0, 0.0, 90.0, 0.0, 10_001_965.729, 6e-4),
    # a degree of longitude on the equator: 6,378,137 m times pi/180
    (0.0, 10.0, 0.0, 11.0, 111_319.4907932, 1e-6),
]  # fmt: skip


@pytest.mark.parametrize(
    "line", GEODESICS, ids=["Flinders", "London", "Salamanca", "GeodTest", "meridian", "equator"]
)
def test_published_geodesics(line: tuple[float, ...]) -> None:
    assert way(*line[:4]).distance_m == pytest.approx(line[4], abs=line[5])


def test_courses() -> None:
    assert way(60.0, 5.0, 61.0, 5.0).course_deg == pytest.approx(0.0, abs=1e-9)
    assert way(0.0, 5.0, 0.0, 4.0).course_deg == pytest.approx(270.0, abs=1e-9)
    there, back = way(66.5, 1.6, 66.2, 1.2).course_deg, way(66.2, 1.2, 66.5, 1.6).course_deg
    assert abs(abs(there - back) - 180.0) < 1e-6


def test_within_six_thousandths_of_the_sphere() -> None:
    """Haversine on the mean radius 6,371,008.8 m."""
    draw = np.random.default_rng(11)
    latitude = draw.uniform(-80, 80, (800, 2))
    longitude = draw.uniform(-180, 180, 800)
    other = longitude + draw.uniform(-60, 60, 800)
    other = (other + 180) % 360 - 180
    for (a, b), x, y in zip(latitude, longitude, other, strict=True):
        p, q, turn = np.radians(a), np.radians(b), np.radians(y - x)
        half = np.sin((q - p) / 2) ** 2 + np.cos(p) * np.cos(q) * np.sin(turn / 2) ** 2
        sphere = 2 * 6_371_008.8 * np.arcsin(np.sqrt(half))
        assert way(a, x, b, y).distance_m == pytest.approx(sphere, rel=0.006)


@pytest.mark.parametrize(
    ("latitude", "longitude"), [(95.0, 0.0), (-90.1, 0.0), (10.0, 181.0), (np.nan, 0.0)]
)
def test_no_such_position(latitude: float, longitude: float) -> None:
    with pytest.raises(ValueError, match="is between"):
        check_position(latitude, longitude)
    with pytest.raises(ValueError, match="is between"):
        way(0.0, 0.0, latitude, longitude)


# --- bad input through Python -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("build", "said"),
    [
        (lambda: Run("a", held(10.0)), "give a distance or a time"),
        (lambda: Run("a", held(10.0), distance_m=1.0, duration_s=1.0), "one of the two"),
        (lambda: Run("a", held(10.0), distance_m=-3.0), 'distance of "a" must be between 0'),
        (lambda: Run("a", held(10.0), distance_m=np.nan), 'distance of "a"'),
        (lambda: held(0.0), "a pace in speed"),
        (lambda: held(-4.0), "a pace in speed"),
        (lambda: Pace("warp"), "a pace is one of"),
        (lambda: Pace("rpm", 3000.0, over_ground=True), "only a speed"),
        (lambda: Run("a", Pace("idle"), distance_m=5.0), "take a time"),
        (lambda: Trip("t", ()), "at least one run"),
        (lambda: Trip("t", (going("a", 1, 10.0),) * 100_000), "at most 200 runs, not 100,000"),
        (lambda: TankTruth(level=1.4), "level must be between 0 and 1"),
        (lambda: TankTruth(level=0.4, since_fill_m3=0.1), "not both"),
        (lambda: Weather(wave_height_m=-1.0), "a wave height"),
        (lambda: Reserve(quantity_m3=-1.0), "a reserve"),
        (lambda: FillUp(going("a", 1, 10.0), 0.0), "the fuel of"),
    ],
)
def test_no_such_trip(build, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        build()


def test_an_empty_tank_is_refused_or_filled_first() -> None:
    empty = TankTruth(level=0.0)
    with pytest.raises(InputFaults) as refused:
        trip(boat(), planned(going("a", 3, 10.0), tank=empty), draws=0)
    assert "no usable fuel" in str(refused.value)
    filled = planned(replace(going("a", 3, 10.0), take_on_m3=0.2), tank=empty)
    found = trip(boat(), filled, draws=0, reach=False)
    assert found.tables["rows"]["fuel_left_m3"].iloc[0] > 0.0


def test_a_compass_wind_needs_a_course() -> None:
    weather = Weather(wind_mps=5.0, wind_from=Direction(90.0))
    with pytest.raises(ValueError, match="no course"):
        trip(boat(), planned(going("a", 3, 10.0, weather=weather)), draws=0)


# --- many -------------------------------------------------------------------------------------------

TRIPS, RUNS = 10_000, 3


def steady(speed: np.ndarray, trim: float = 2.0):
    """Every row at its given speed, nothing looked for."""

    def pacing(afloat: Afloat, felt: Felt, sweep: int) -> Paced:
        at = run_at(afloat, felt, speed.reshape(-1, 1), np.full((speed.size, 1), trim))
        return Paced(speed.ravel(), at, np.ones(speed.size, dtype=bool), 1)

    return pacing


def random_voyage(rng: np.random.Generator, extra_kg: float = 0.0) -> Voyage:
    boats = [read_boat(path).at(tank=0.0) for path in demo_boats().values()]
    lanes = Fleet.of(boats).lanes.take(rng.integers(0, len(boats), TRIPS).repeat(RUNS))
    shape = (TRIPS, RUNS)
    mass = lanes.mass_kg + extra_kg
    lanes = replace(
        lanes,
        mass_kg=mass,
        weight_n=mass * 9.80665,
        wave_height_m=rng.uniform(0.0, 1.2, TRIPS * RUNS),
        sea_share=rng.uniform(0.0, 1.0, TRIPS * RUNS),
    )
    distance = rng.uniform(0.0, 1e5, shape)
    by_time = rng.random(shape) < 0.2
    standing = by_time & (rng.random(shape) < 0.4)
    return Voyage(
        lanes, 2.2, 0.3, 0.45,
        rng.uniform(-12, 12, shape), rng.uniform(-12, 12, shape),
        rng.uniform(-1.5, 1.5, shape), rng.uniform(-1.5, 1.5, shape),
        np.where(by_time, np.nan, distance), rng.uniform(0, 4e4, shape),
        standing, rng.random(shape) < 0.7, np.where(rng.random(shape) < 0.1, 0.1, 0.0),
    )  # fmt: skip


def test_ten_thousand_random_trips() -> None:
    """No exception, nothing negative; more distance, more mass, more fuel; at most four sweeps."""
    rng = np.random.default_rng(2026)
    voyage = random_voyage(rng)
    speed = rng.uniform(1.0, 18.0, voyage.shape)
    start, unusable = rng.uniform(0.0, 0.45, TRIPS), rng.uniform(0.0, 0.05, TRIPS)
    clock = time.process_time()
    with np.errstate(all="ignore"):
        found = spend(voyage, start, steady(speed), np.zeros(1), True)
        farther = spend(
            replace(voyage, distance_m=voyage.distance_m * 1.1),
            start,
            steady(speed),
            np.zeros(1),
            True,
        )
    seconds = time.process_time() - clock
    print(f"{TRIPS} trips of {RUNS} runs: {found.sweeps} sweeps, {seconds / 2:.1f} s of CPU")
    assert found.sweeps <= MOST_SWEEPS
    answered = np.isfinite(found.burned_m3)
    assert answered.mean() > 0.9
    for values in (found.burned_m3, found.time_s, found.distance_m, found.lph, found.ground_mps):
        assert np.nanmin(values) >= 0.0
    assert np.all(found.fuel_mid_m3 >= 0.0)
    assert np.all(found.fuel_mid_m3 <= voyage.capacity_m3)
    left = left_after(voyage, start, unusable, np.nan_to_num(found.burned_m3))
    whole = answered.all(axis=1)
    assert np.all(np.diff(-left, axis=1)[voyage.take_on_m3[:, 1:] == 0.0] >= 0.0)
    # farther costs more on every trip as a whole, though each run begins a little lighter
    more = np.nansum(farther.burned_m3, axis=1) - np.nansum(found.burned_m3, axis=1)
    moving = (
        (voyage.distance_m > 10.0).any(axis=1) & whole & np.isfinite(farther.burned_m3).all(axis=1)
    )
    assert np.all(more[moving] > 0.0)


def test_weight_at_the_balance_point_never_saves_above_the_hump() -> None:
    rng = np.random.default_rng(77)
    plain = random_voyage(rng)
    calm = replace(
        plain, wind_ahead_mps=0 * plain.wind_ahead_mps, wind_across_mps=0 * plain.wind_across_mps
    )
    heavy_dry = replace(
        calm.dry, mass_kg=calm.dry.mass_kg + 80.0, weight_n=(calm.dry.mass_kg + 80.0) * 9.80665
    )
    heavy = replace(calm, dry=heavy_dry)
    speed = rng.uniform(9.0, 16.0, calm.shape)
    start = np.full(TRIPS, 0.2)
    with np.errstate(all="ignore"):
        light_burn = spend(calm, start, steady(speed), np.zeros(1), False)
        heavy_burn = spend(heavy, start, steady(speed), np.zeros(1), False)
    planing = (light_burn.at.planing_measure >= 0.0) & (heavy_burn.at.planing_measure >= 0.0)
    # past the second hump of a light hull, not on it, and with the moments of both in balance
    planing &= (
        (light_burn.at.volume_froude >= 2.5)
        & (light_burn.at.status == 0)
        & (heavy_burn.at.status == 0)
    )
    rows = planing.reshape(calm.shape) & ~calm.standing
    gain = heavy_burn.lph[rows] / light_burn.lph[rows]
    print(
        f"{rows.sum()} runs above the hump, 80 kg more: burn x {gain.min():.4f} to {gain.max():.4f}"
    )
    assert rows.sum() > 5000
    assert np.all(gain >= 1.0)


@st.composite
def random_trip(draw: st.DrawFn) -> Trip:
    runs = []
    for i in range(draw(st.integers(1, 4))):
        weather = Weather(
            wind_mps=draw(st.sampled_from([0.0, 4.0, 12.0])),
            wind_from=Direction(draw(st.sampled_from([0.0, 60.0, 180.0])), relative=True),
            wave_height_m=draw(st.sampled_from([0.0, 0.4, 1.0])),
            sea_from=Direction(draw(st.sampled_from([0.0, 120.0])), relative=True),
            current_mps=draw(st.sampled_from([0.0, 0.7, 3.0])),
            current_toward=Direction(draw(st.sampled_from([0.0, 100.0, 180.0])), relative=True),
        )
        kind = draw(
            st.sampled_from(["speed", "speed", "best mileage", "g", "rpm", "idle", "drift"])
        )
        value = {
            "speed": draw(st.floats(0.3, 40.0)),
            "g": draw(st.floats(0.1, 3.0)),
            "rpm": draw(st.floats(600.0, 8000.0)),
        }.get(kind, 0.0)
        pace = Pace(kind, value, over_ground=kind == "speed" and draw(st.booleans()))
        long = draw(st.floats(0.0, 2e5))
        by_time = pace.standing or draw(st.booleans())
        extent = {"duration_s": long / 10.0} if by_time else {"distance_m": long}
        taken = draw(st.sampled_from([0.0, 0.0, 0.05]))
        runs.append(Run(f"{i}", pace, weather=weather, take_on_m3=taken, **extent))
    level = draw(st.floats(0.25, 1.0))
    reserve = draw(st.sampled_from([Reserve(), Reserve(quantity_m3=0.05), Reserve(0.0)]))
    return Trip(
        "random", tuple(runs), TankTruth(level=level), reserve, lightens=draw(st.booleans())
    )


NAMES = ("number_one", "number_four", "number_six")


@settings(max_examples=200, deadline=None, suppress_health_check=list(HealthCheck))
@given(plan=random_trip(), name=st.sampled_from(NAMES), more=st.floats(1.0, 3.0))
def test_any_trip_has_an_answer(plan: Trip, name: str, more: float) -> None:
    """No exception, no negative fuel, and never more left for going farther."""
    found = worked(boat(name), plan)
    burned = found.spent.burned_m3[0]
    good = np.isfinite(burned)
    assert np.all(burned[good] >= 0.0)
    assert np.all(found.spent.time_s[0][good] >= 0.0)
    assert found.spent.sweeps <= MOST_SWEEPS
    if not good.all() or plan.runs[0].pace.kind not in ("speed", "idle", "drift"):
        return  # another pace may choose another speed when the boat is lighter
    first = plan.runs[0]
    longer = (
        replace(first, distance_m=first.distance_m * more)
        if first.distance_m is not None
        else replace(first, duration_s=(first.duration_s or 0.0) * more)
    )
    one = worked(boat(name), replace(plan, runs=(first,)))
    two = worked(boat(name), replace(plan, runs=(longer,)))
    slack = 2e-3 * one.total_m3[0]  # of a fixed point settled to a thousandth
    assert two.total_m3[0] >= one.total_m3[0] - slack
    assert two.least_left_m3[0] <= one.least_left_m3[0] + slack


@pytest.mark.parametrize("share", [0.0, 0.2, 1 / 3, 0.5, 1.0])
def test_more_reserve_leaves_less_to_spare_and_less_reach(share: float) -> None:
    plan = planned(going("a", 12, 10.5))
    less = trip(boat(), plan, reserve=Reserve(share), draws=0)
    more = trip(boat(), plan, reserve=Reserve(min(share + 0.1, 1.0)), draws=0)
    assert more.summary["spare_m3"] <= less.summary["spare_m3"]
    assert more.summary["reach_here_m"] <= less.summary["reach_here_m"]
    if share == 1.0:
        assert less.summary["reach_here_m"] == 0.0


def test_pace_of_fifty_runs_by_a_thousand_draws() -> None:
    weather = Weather(wind_mps=5.0, wave_height_m=0.3)
    runs = tuple(going(f"{i}", 0.8, 7.0 + 0.1 * i, weather=weather) for i in range(50))
    clock = time.process_time()
    found = trip(boat(), planned(*runs), draws=1000, reach=False)
    seconds = time.process_time() - clock
    doubt = found.doubt
    print(
        f"50 runs x 1,000 draws: {doubt['sweeps_stated']} sweeps stated, {doubt['sweeps_drawn']} drawn,"
        f" {doubt['engine_calls']} engine calls, {seconds:.1f} s of CPU"
    )
    assert doubt["sweeps_stated"] <= 4
    assert doubt["sweeps_drawn"] <= 4
    assert doubt["settled"]
    assert len(found.tables["rows"]) == 50


def test_time_of_a_usual_call() -> None:
    plan = planned(
        going("out", 20, 10.5), going("home", 20, 10.5, weather=Weather(wave_height_m=0.5))
    )
    trip(boat(), plan)
    for label, more in (("whole", {}), ("no reach", {"reach": False}), ("no draws", {"draws": 0})):
        clock = time.process_time()
        trip(boat(), plan, **more)
        print(f"trip, {label}: {1000 * (time.process_time() - clock):.0f} ms of CPU")


def test_draws_belong_to_their_names() -> None:
    """The first draws of many are the draws of few: more of them move no edge by chance alone."""
    plan = planned(going("a", 20, 10.5, weather=Weather(wave_height_m=0.4)))
    few = trip(boat(), plan, draws=40, reach=False, seed=3)
    again = trip(boat(), plan, draws=40, reach=False, seed=3)
    assert few.as_json() == again.as_json()
    other = trip(boat(), plan, draws=40, reach=False, seed=4)
    assert other.summary["trip_fuel_m3_p90"] != few.summary["trip_fuel_m3_p90"]
    assert other.summary["trip_fuel_m3"] == few.summary["trip_fuel_m3"]


def test_shallow_water_is_a_caution_and_no_number() -> None:
    deep = trip(boat(), planned(going("a", 3, 10.0)), draws=0, reach=False)
    beam = boat().hull.chine_beam_m
    shoal = trip(boat(), planned(going("a", 3, 10.0, depth_m=2.9 * beam)), draws=0, reach=False)
    assert "shallow" in shoal.cautions
    assert "shallow" not in deep.cautions
    assert shoal.summary["trip_fuel_m3"] == deep.summary["trip_fuel_m3"]
    edge = trip(boat(), planned(going("a", 3, 10.0, depth_m=3.1 * beam)), draws=0, reach=False)
    assert "shallow" not in edge.cautions


def test_head_sea_laws_stand_side_by_side() -> None:
    sea = Weather(wave_height_m=0.6)
    counted = 0
    for name in demo_boats():
        found = trip(
            boat(name),
            planned(going("a", 3, 9.0, weather=sea), going("b", 3, 5.0, weather=sea)),
            draws=0,
            reach=False,
        )
        rows = found.tables["rows"]
        inside = np.isfinite(rows["wave_drag_1976_n"])
        counted += int(inside.sum())
        assert (rows["wave_drag_n"] > 0).all()
        assert [("sea_1976_outside" in c) for c in rows["cautions"]] == list(~inside)
    print(f"runs inside the 1976 equations: {counted} of {2 * len(demo_boats())}")


def test_a_longer_lighter_boat_is_inside_the_1976_equations() -> None:
    """The 33 ft twin with little fuel: both methods, and the older one gives about twice as much."""
    sea = Weather(wave_height_m=0.8)
    plan = planned(going("a", 3, 9.0, weather=sea), tank=TankTruth(level=0.25, fill=1.0))
    found = trip(boat("number_seven").at(load="alone"), plan, draws=0, reach=False)
    row = found.tables["rows"].iloc[0]
    assert "sea_1976_outside" not in row["cautions"]
    lanes = afloat_of(worked(boat("number_seven").at(load="alone"), plan)).lanes
    beam = lanes.beam_m
    ratio = seaway.added_resistance_1976(
        0.8 / beam, lanes.waterline_length_m / beam, lanes.mass_kg / (lanes.water_density * beam**3),
        worked(boat("number_seven").at(load="alone"), plan).spent.at.trim_deg[:, 0],
        0.5 * (lanes.deadrise_transom_deg + lanes.deadrise_midship_deg),
        seaway.speed_length(np.float64(9.0), lanes.waterline_length_m),
    )  # fmt: skip
    assert row["wave_drag_1976_n"] == pytest.approx(float(ratio[0] * lanes.weight_n[0]), rel=1e-9)
    print(f"waves, 1976 over 1980: {row['wave_drag_1976_n'] / row['wave_drag_n']:.2f}")
    assert row["bumps_1976_g"] > 0.0
