"""What a boat file may tell beyond the hull and her drive: hook, weeks afloat, burn table, kicker, tabs, seats, air."""

from __future__ import annotations

import random
from dataclasses import fields, replace
from functools import cache

import numpy as np
import pytest
from fleets import demos, fixed
from hypothesis import given, settings
from hypothesis import strategies as st
from test_boatfile import GOOD, SHORTEST, boat_of, line_of, mutated, refusal

from perf.base.assumptions import ASSUMPTIONS, FITTINGS
from perf.base.faults import InputFaults
from perf.base.tables import read_table
from perf.boat import places, schema
from perf.boat.boatfile import read_boat
from perf.boat.burn import law_burn_lph
from perf.boat.catalog import demo_boats
from perf.boat.fleet import Fleet
from perf.boat.kicker import on_kicker
from perf.boat.lanes import Lanes
from perf.boat.parts import Boat, Hook, Kicker, Propeller, Seat, Tabs
from perf.boat.seats import move
from perf.boat.understood import describe, understood
from perf.laws.engine import FUELS, cycle_power
from perf.laws.friction import BOTTOMS, fouling_allowance
from perf.laws.fuel_table import ROWS, table_factor
from perf.solve import drive
from perf.studies.speeds import assumptions_of, speeds

POUND, INCH, HORSEPOWER, MPH, GALLON = 0.45359237, 0.0254, 745.6998715822702, 0.44704, 3.785411784

KICKER = """
[kicker]
technology = "four-stroke injected"
rated_power = "9.9 hp ± 5 %"
rated_rpm = "5500 rpm"
full_throttle_rpm = ["5000 rpm", "6000 rpm"]
gear_ratio = 2.08
mass = "98 lb ± 5 lb"
propeller = { diameter = "9 1/4 in", pitch = "7 in ± 1/2 in", blades = 3, area_ratio = 0.50, cup = "none" }
forward = "-14 in ± 2 in"
above = "2 ft 6 in"
plate_height = "-2 in"
capacity = "6 gal"
"""
TABS = """
[tabs]
chord = "9 in"
span = "36 in"
deflection = "3 deg ± 1 deg"
"""
SEATS = """
[seats]
helm = { forward = "9 ft", above = "4 ft 2 in" }
stern = { forward = "3 ft ± 6 in", above = "3 ft 9 in" }
bow = { forward = "14 ft", above = "3 ft 3 in" }
"""
BURN = '[["1000 rpm", "0.9 gal/h"], ["3000 rpm", "5.1 gal/h ± 4 %"], ["4500 rpm", "11 gal/h"], ["5800 rpm", "21 gal/h"]]'
AIR = 'temperature = "77 °F ± 9 °F"\naltitude = "5000 ft"\nhumidity = 0.4\n'
OF_GUESTS = 'forward = "5 ft 6 in", above = "3 ft 9 in" }'


def changed(*pairs: tuple[str, str], text: str = GOOD) -> str:
    """A good file with some words replaced."""
    for before, after in pairs:
        assert text.count(before) >= 1, before
        text = text.replace(before, after, 1)
    return text


FULL = changed(
    ('bottom  ', 'weeks_afloat = 8\nhook = { depth = "1/4 in ± 1/8 in", length = "4 ft" }\nbottom  '),
    ('mass              = "560 lb"', f'mass = "560 lb ± 5 %"\nfuel = {BURN}'),
    ('"engine", "bracket"', '"engine", "kicker", "bracket"'),
    ("[weights]", f"{KICKER}{TABS}{SEATS}\n[weights]"),
    (OF_GUESTS, 'seat = "stern" }'),
    ('top          = "half tower"', f'top = "half tower"\n{AIR}'),
)  # fmt: skip


@cache
def whole() -> Boat:
    return boat_of(FULL)


# --- reading -----------------------------------------------------------------------------------


def test_every_table_is_read() -> None:
    boat = whole()
    assert boat.hull.hook == Hook(pytest.approx(0.25 * INCH), pytest.approx(48 * INCH))
    assert boat.hull.weeks_afloat == 8
    assert boat.tabs == Tabs(pytest.approx(9 * INCH), pytest.approx(36 * INCH), 3.0)
    assert [seat.name for seat in boat.seats] == ["helm", "stern", "bow"]
    guests = next(weight for weight in boat.weights if weight.name == "guests")
    assert (guests.seat, guests.forward_m) == ("stern", pytest.approx(36 * INCH))
    assert boat.air.temperature_c == pytest.approx(25.0)
    assert (boat.air.altitude_m, boat.air.humidity) == (pytest.approx(1524.0), 0.4)
    small = boat.kicker
    assert small is not None
    assert (small.rated_power_w, small.rated_rpm) == (pytest.approx(9.9 * HORSEPOWER), 5500.0)
    assert (small.full_throttle_low_rpm, small.full_throttle_high_rpm) == (5000.0, 6000.0)
    assert small.propeller == Propeller(
        pytest.approx(9.25 * INCH), pytest.approx(7 * INCH), 3, 0.5, "none", 0.0
    )
    assert (small.mass_kg, small.forward_m) == (
        pytest.approx(98 * POUND),
        pytest.approx(-14 * INCH),
    )
    assert (small.plate_height_m, small.capacity_m3) == (
        pytest.approx(-2 * INCH),
        pytest.approx(6 * GALLON / 1000),
    )
    assert dict(small.doubts) == {
        "kicker.rated_power": pytest.approx(0.05 * 9.9 * HORSEPOWER),
        "kicker.propeller.pitch": pytest.approx(0.5 * INCH),
    }
    assert not any(path.startswith("kicker.p") for path, _ in boat.doubts)


def test_a_file_without_them_is_as_before() -> None:
    boat = boat_of(GOOD)
    assert (boat.tabs, boat.kicker, boat.seats, boat.hull.hook) == (None, None, (), None)
    assert (boat.engine.fuel_table, boat.air.temperature_c, boat.hull.weeks_afloat) == ((), None, 0)
    assert not set(boat.assumed) & set(FITTINGS)
    shown = {path for path, _, _ in understood(boat)}
    assert not any("hook" in path or "weeks" in path or path.startswith("air.a") for path in shown)


def test_blanks_of_the_new_tables() -> None:
    kicker = "\n".join(
        line
        for line in KICKER.split("\n")
        if not line.startswith(("rated_rpm", "plate", "capacity"))
    )
    boat = boat_of(
        changed(("[weights]", kicker + '\n[tabs]\nchord = "9 in"\nspan = "3 ft"\n[weights]'))
    )
    assert boat.kicker is not None and boat.tabs is not None
    assert (boat.kicker.rated_rpm, boat.kicker.plate_height_m, boat.kicker.capacity_m3) == (
        5500.0,
        0.0,
        None,
    )
    assert boat.tabs.deflection_deg == 0.0
    assert "rated_rpm_place" in boat.assumed


def test_a_kicker_may_be_written_in_two_tables() -> None:
    line = next(line for line in KICKER.split("\n") if line.startswith("propeller"))
    inner = line[line.index("{") + 1 : line.index("}")].replace(", ", "\n")
    split = changed(
        (KICKER, KICKER.replace(line + "\n", "") + f"[kicker.propeller]\n{inner}\n"), text=FULL
    )
    assert boat_of(split).kicker == whole().kicker


def test_what_was_written_is_what_is_shown() -> None:
    """Every key of the file has its row, with the owner's own words."""
    rows = {path: text for path, text, _ in understood(whole())}
    assert dict(whole().words).items() - {("format", "1")} <= rows.items()
    told = {path: value for path, _, value in understood(whole())}
    assert told["hull.hook.depth"].startswith("1/4 in ± ")
    assert told["engine.fuel"].startswith("4 rows, ")
    assert told["kicker.rated_power"] == "9.9 hp ± 0.5 hp"
    assert told["air.humidity"] == "40 %"
    assert told["weights.guests.forward"] == "3 ft ± 6 in"
    assert rows["weights.guests.forward"] == "(of the seat)"
    assert "as the whole boat was weighed" in told["engine.mass"] and "±" not in told["engine.mass"]
    assert len(describe(whole(), "metric")) == len(told)


def test_the_demo_boat_that_shows_them_all() -> None:
    """Her lines that are commented out can be taken into use as they stand."""
    text = demo_boats()["number_five"].read_text(encoding="utf-8")
    assert read_boat(text.encode()).kicker is not None
    keys = ("hook", "fuel", "capacity", "temperature", "altitude", "humidity")
    lines = [
        line.removeprefix("# ") if line.startswith(tuple(f"# {key} " for key in keys)) else line
        for line in text.split("\n")
    ]
    assert sum(a != b for a, b in zip(lines, text.split("\n"), strict=True)) == len(keys)
    boat = read_boat("\n".join(lines).encode())
    assert boat.hull.hook and boat.engine.fuel_table and boat.kicker and boat.kicker.capacity_m3
    assert (
        boat.tabs and boat.seats and boat.air.temperature_c is not None and boat.hull.weeks_afloat
    )


# --- hook --------------------------------------------------------------------------------------


def test_a_hook_is_marked_assumed_with_its_doubt() -> None:
    boat = whole()
    about = FITTINGS["hook_as_flap"]
    assert about in assumptions_of(boat) and about not in assumptions_of(boat_of(GOOD))
    stated = 0.125 * INCH
    expected = np.hypot(stated, 0.25 * INCH * about.half_width)
    assert dict(boat.doubts)["hull.hook"] == pytest.approx(expected)
    drawn = Fleet.draw(boat, 4000, 1).lanes.hook_deflection_deg
    slope = np.degrees(
        4.0 / boat.hull.hook_length_m
    )  # the end of an arc stands at 4 depth / length
    assert np.std(drawn) == pytest.approx(slope * expected / 1.645, rel=0.05)


def test_doubt_of_the_straight_edge_counts_as_depth() -> None:
    boat = boat_of(
        changed(
            ('"1/4 in ± 1/8 in", length = "4 ft"', '"1/4 in", length = "4 ft ± 1 ft"'), text=FULL
        )
    )
    share = FITTINGS["hook_as_flap"].half_width
    assert dict(boat.doubts)["hull.hook"] == pytest.approx(0.25 * INCH * np.hypot(0.25, share))
    assert not any(path.startswith("hull.hook.") for path, _ in boat.doubts)


def test_hook_holds_the_bow_down_and_rocker_lets_it_up() -> None:
    pace = np.array([20.0, 30.0]) * MPH
    trims = []
    for depth in ("-1/8 in", "0 in", "1/8 in"):
        boat = boat_of(
            changed(("bottom  ", f'hook = {{ depth = "{depth}", length = "4 ft" }}\nbottom  '))
        )
        trims.append(
            speeds(boat, pace, drive_trim_deg=2.0, draws=0).tables["rows"]["trim_deg"].to_numpy()
        )
    assert np.all(trims[0] > trims[1] + 0.2) and np.all(trims[1] > trims[2] + 0.2)
    none = (
        speeds(boat_of(GOOD), pace, drive_trim_deg=2.0, draws=0)
        .tables["rows"]["trim_deg"]
        .to_numpy()
    )
    assert np.array_equal(none, trims[1])  # a straight bottom is a hook of no depth


# --- weeks afloat --------------------------------------------------------------------------------


def weeks(text: str, bottom: str = '"clean"') -> Boat:
    return boat_of(changed(('"slime"', bottom), ("bottom  ", f"weeks_afloat = {text}\nbottom  ")))


def test_growth_begins_clean_and_is_slime_at_eight_weeks() -> None:
    grown = fouling_allowance(np.array([0.0, 4.0, 8.0, 16.0, 26.0]))
    assert grown[0] == BOTTOMS["clean"] and grown[2] == pytest.approx(BOTTOMS["slime"], rel=1e-12)
    over = grown - BOTTOMS["clean"]
    assert over == pytest.approx(over[2] / 8.0 * np.array([0.0, 4.0, 8.0, 16.0, 26.0]))


def test_the_greater_of_the_named_bottom_and_the_weeks_counts() -> None:
    assert weeks("8").hull.friction_allowance == pytest.approx(BOTTOMS["slime"])
    assert weeks("8").hull.bottom == "8 weeks afloat"
    assert weeks("2", '"weed"').hull.friction_allowance == BOTTOMS["weed"]
    assert weeks("2", '"weed"').hull.bottom == "weed"
    assert (
        weeks("52", '"0.15 mm"').hull.friction_allowance
        > boat_of(changed(('"slime"', '"0.15 mm"'))).hull.friction_allowance
    )
    alone = boat_of(changed(('bottom           = "slime"', "weeks_afloat = 0")))
    assert (alone.hull.friction_allowance, alone.hull.bottom) == (
        BOTTOMS["clean"],
        "0 weeks afloat",
    )


def test_growth_is_an_assumption_of_its_own_and_calibration() -> None:
    boat, about = weeks("8"), FITTINGS["fouling_growth"]
    assert "fouling_growth" in boat.assumed and "bottom_allowance" not in boat.assumed
    assert "fouling_growth" not in weeks("2", '"weed"').assumed
    assert dict(boat.doubts)["hull.bottom"] == pytest.approx(
        about.half_width * boat.hull.friction_allowance
    )
    use = {row["id"]: row["use"] for row in read_table("measured/split.csv").rows}
    assert about.tuned_to and all(use[row] == "choosing" for row in about.tuned_to)


def test_a_slimy_bottom_costs_fuel_and_more_of_it_with_the_weeks() -> None:
    pace = np.array([25.0]) * MPH
    burn = [
        speeds(weeks(w), pace, draws=0).tables["rows"]["fuel_lph"].iloc[0] for w in ("0", "8", "16")
    ]
    assert burn[0] * 1.03 < burn[1] < burn[2]


# --- the day's air -------------------------------------------------------------------------------


def full_power(boat: Boat, temperature_c: float | None, altitude_m: float) -> np.ndarray:
    """Full-throttle power in the rows of a speeds table."""
    boat = replace(boat, air=replace(boat.air, temperature_c=temperature_c, altitude_m=altitude_m))
    rows = speeds(boat, np.array([8.0, 12.0, 16.0]) * MPH, drive_trim_deg=2.0, draws=0).tables[
        "rows"
    ]
    return (rows["shaft_power_w"] / rows["throttle"]).to_numpy()


@pytest.mark.parametrize(("sea_c", "high_c"), [(15.0, 5.1), (25.0, 25.0), (5.0, 5.0)])
def test_5000_ft_leaves_about_four_fifths_of_a_petrol_engine(sea_c: float, high_c: float) -> None:
    # common practice, no source: 0.78 to 0.85
    left = full_power(demos()[3], high_c, 1524.0) / full_power(demos()[3], sea_c, 0.0)
    assert np.all((left > 0.78) & (left < 0.85))


def test_a_diesel_keeps_its_power_and_says_why() -> None:
    text = (
        demo_boats()["number_six"]
        .read_text(encoding="utf-8")
        .replace("[air]", '[air]\naltitude = "5000 ft"')
    )
    boat = read_boat(text.encode())
    assert Fleet.of(boat).lanes.rated_power_w == pytest.approx(
        Fleet.of(demos()[5]).lanes.rated_power_w
    )
    assert full_power(boat, 5.1, 1524.0) == pytest.approx(
        full_power(demos()[5], None, 0.0), rel=5e-3
    )
    why = next(about for about in assumptions_of(boat) if about.name == "diesel_in_other_air")
    assert "boost" in why.sentence
    spread = np.std(Fleet.draw(boat, 4000, 1).lanes.rated_power_w) / np.std(
        Fleet.draw(demos()[5], 4000, 1).lanes.rated_power_w
    )
    assert spread > 1.1  # the doubt of it is drawn


def test_air_that_is_not_told_changes_nothing() -> None:
    lanes = Fleet.of(boat_of(GOOD)).lanes
    assert lanes.rated_power_w[0] == boat_of(GOOD).engine.rated_power_w
    assert lanes.air_density[0] == pytest.approx(1.225, rel=1e-3)  # ISO 2533 at sea level


def test_blanks_of_the_air_are_assumed_by_altitude() -> None:
    boat = boat_of(changed(('top          = "half tower"', 'top = "none"\naltitude = "5000 ft"')))
    # ISO 2533: 5.1 degrees Celsius and 1.056 kg/m3 at 5,000 ft
    assert boat.air.temperature_c == pytest.approx(5.1, abs=0.05)
    assert Fleet.of(boat).lanes.air_density[0] == pytest.approx(1.056, abs=1e-3)
    assert {"air_temperature", "air_humidity"} <= set(boat.assumed)
    assert np.std(Fleet.draw(boat, 500, 1).lanes.air_density) > 0.0
    told = whole()
    assert not {"air_temperature", "air_humidity"} & set(told.assumed)


# --- the owner's burn table ------------------------------------------------------------------------


def with_table(rows: list[tuple[float, float]], count: int = 1, fuel: str = "petrol") -> Boat:
    table = ", ".join(f'["{rpm:g} rpm", "{lph:.6f} l/h"]' for rpm, lph in rows)
    return boat_of(
        changed(
            ('mass              = "560 lb"', f'mass = "300 lb"\nfuel = [{table}]'),
            ("count             = 1", f"count = {count}"),
            ('fuel     = "petrol"', f'fuel = "{fuel}"'),
        )
    )


def burn_along_the_propeller_curve(boat: Boat, rpm: np.ndarray) -> np.ndarray:
    """Fuel of all engines at a power of rpm to the 2.5, full throttle at most, through the solver's own law."""
    lanes = Fleet.of([boat] * rpm.size).lanes
    wanted = lanes.engines * boat.engine.rated_power_w * cycle_power(rpm / boat.engine.rated_rpm)
    return drive.fuel_lph(lanes, np.minimum(wanted, drive.full_power(lanes, rpm)), rpm)


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_the_table_is_met_at_its_own_rpm(data: st.DataObject) -> None:
    rpms = sorted(data.draw(st.lists(st.integers(6, 60), min_size=2, max_size=ROWS, unique=True)))
    plain = boat_of(GOOD)
    rows, least = [], 0.0
    for hundred in rpms:
        factor = data.draw(st.floats(0.6, 1.8))
        least = max(law_burn_lph(plain.engine, plain.tank, 100.0 * hundred) * factor, least)
        rows.append((100.0 * hundred, least))
    boat = with_table(rows)
    rpm, wanted = np.array(rows).T
    # asked for: within 1 %; the rows are knots, so they are met to the digits written
    assert burn_along_the_propeller_curve(boat, rpm) == pytest.approx(wanted, rel=1e-4)


def test_the_table_is_one_engines_and_of_the_fuel_in_the_tank() -> None:
    rows = [(1000.0, 3.4), (3000.0, 19.3), (4500.0, 41.6), (5800.0, 79.5)]
    rpm, wanted = np.array(rows).T
    assert burn_along_the_propeller_curve(with_table(rows, count=2), rpm) == pytest.approx(
        2 * wanted, rel=1e-3
    )
    assert burn_along_the_propeller_curve(
        with_table(rows, fuel="petrol E10"), rpm
    ) == pytest.approx(wanted, rel=1e-3)


def test_between_its_rows_the_factor_runs_straight_and_past_them_it_is_held() -> None:
    boat = with_table([(2000.0, 14.0), (4000.0, 32.0)])
    (low, first), (high, second) = boat.engine.fuel_table
    assert (low, high) == (pytest.approx(2000 / 5500), pytest.approx(4000 / 5500))
    rpm = np.array([1000.0, 3000.0, 5500.0])
    law = burn_along_the_propeller_curve(boat_of(GOOD), rpm)
    factor = burn_along_the_propeller_curve(boat, rpm) / law
    assert factor == pytest.approx([first, 0.5 * (first + second), second], rel=1e-6)


def bits(lanes: Lanes, name: str) -> bytes:
    return np.ascontiguousarray(getattr(lanes, name)).tobytes()


def test_a_boat_without_a_table_burns_the_same_bits_alone_and_beside_one_that_has() -> None:
    plain, other = boat_of(GOOD), whole()
    alone, crowd = Fleet.of(plain).lanes, Fleet.of([other, plain, other]).lanes
    for name in (f.name for f in fields(Lanes)):
        assert bits(crowd.take(np.array([1])), name) == bits(alone, name), name
    rpm = np.full(3, 4321.0)
    power = np.full(3, 81_234.5)
    together = drive.fuel_lph(crowd, power, rpm)
    assert together[1] == drive.fuel_lph(alone, power[:1], rpm[:1])[0]
    assert (
        together[0] == together[2] == drive.fuel_lph(Fleet.of(other).lanes, power[:1], rpm[:1])[0]
    )
    assert together[0] != together[1]
    assert np.array_equal(
        table_factor(np.linspace(0.0, 2.0, 9), [0.0, 1.0], [1.0, 1.0]), np.ones(9)
    )


def test_a_table_shows_in_the_speeds_and_narrows_their_band() -> None:
    rows = [(1000.0, 4.5), (3000.0, 24.0), (4500.0, 50.0), (5800.0, 95.0)]
    pace = np.array([25.0]) * MPH
    results = [
        speeds(boat, pace, draws=100).tables["rows"].iloc[0]
        for boat in (boat_of(GOOD.replace('"560 lb"', '"300 lb"')), with_table(rows))
    ]
    assert results[1]["fuel_lph"] > 1.1 * results[0]["fuel_lph"]
    assert results[1]["engine_rpm"] == results[0]["engine_rpm"]
    spread = [(r["fuel_lph_p90"] - r["fuel_lph_p10"]) / r["fuel_lph"] for r in results]
    assert spread[1] < spread[0]


def test_the_tables_doubt_goes_with_the_engine() -> None:
    boat = whole()
    about = FITTINGS["fuel_table"]
    # three rows of four carry no doubt of their own, one 4 %: 2 % in the mean of squares
    assert dict(boat.doubts)["engine.fuel"] == pytest.approx(np.hypot(about.half_width, 0.02))
    assert about in assumptions_of(boat)
    changed_engine = replace(boat, engine=replace(boat.engine, fuel_table=()))
    lanes = [Fleet.draw(b, 2000, 1).lanes.fuel_slope for b in (boat, changed_engine, boat_of(GOOD))]
    spread = [np.std(slope) / np.mean(slope) for slope in lanes]
    assert spread[0] < 0.6 * spread[1] and spread[1] == pytest.approx(spread[2], rel=1e-6)
    tried = boat_of(FULL + '\n[trial]\nfuel_slope = "1.02 ± 0.03"\n')
    assert dict(tried.doubts)["engine.fuel"] == pytest.approx(0.03)


# --- tabs ----------------------------------------------------------------------------------------


def test_tabs_reach_the_lanes_with_their_doubt() -> None:
    lanes = Fleet.of(whole()).lanes
    assert lanes.tab_chord_m[0] == pytest.approx(9 * INCH)
    assert lanes.tab_span_ratio[0] == pytest.approx(36 / 94)
    assert lanes.tab_deflection_deg[0] == 3.0
    drawn = Fleet.draw(whole(), 4000, 1).lanes.tab_deflection_deg
    assert np.std(drawn) == pytest.approx(1.0 / 1.645, rel=0.05)


def test_tabs_down_hold_the_bow_down() -> None:
    pace = np.array([16.0, 30.0]) * MPH
    trims = [
        speeds(replace(demos()[3], tabs=tabs), pace, drive_trim_deg=2.0, draws=0)
        .tables["rows"]["trim_deg"]
        .to_numpy()
        for tabs in (None, Tabs(0.23, 0.9, 0.0), Tabs(0.23, 0.9, 5.0))
    ]
    assert np.array_equal(trims[0], trims[1]) and np.all(trims[2] < trims[1] - 0.2)


# --- kicker --------------------------------------------------------------------------------------


def small(horsepower: float) -> Kicker:
    """An invented small outboard with a 9 1/4 x 7 propeller."""
    screw = Propeller(9.25 * INCH, 7 * INCH, 3, 0.5, "none", 0.0)
    return Kicker(
        "four-stroke injected",
        horsepower * HORSEPOWER,
        5500.0,
        5000.0,
        6000.0,
        2.08,
        50.0,
        screw,
        -0.35,
        0.75,
    )


def test_a_kicker_is_always_aboard() -> None:
    boat = whole()
    for load in boat.load_names:
        with_it = Fleet.of(boat.at(load=load)).lanes
        without = Fleet.of(replace(boat.at(load=load), kicker=None)).lanes
        added = with_it.mass_kg - without.mass_kg
        assert added == pytest.approx(98 * POUND)
        moment = with_it.mass_kg * with_it.forward_m - without.mass_kg * without.forward_m
        assert moment == pytest.approx(added * -14 * INCH, rel=1e-9)


@pytest.mark.parametrize("horsepower", [9.9, 15.0])
@pytest.mark.parametrize("dragged", [False, True])
def test_a_24_ft_boat_on_her_kicker(horsepower: float, dragged: bool) -> None:
    # common practice, no source: 4 to 7 mph, and she never planes
    boat = on_kicker(replace(demos()[3], kicker=small(horsepower)), dragged=dragged)
    result = speeds(boat, draws=40)
    assert 4.0 < result.summary["top_speed_mps"] / MPH < 7.0
    assert result.summary["will_plane"] == 0.0
    rows = result.tables["rows"]
    runs = rows[rows["status"] == "ok"]
    assert len(runs) >= 3
    burn = runs["fuel_lph"].to_numpy()
    assert np.all(np.isfinite(burn)) and np.all(np.diff(burn) >= 0.0)
    # petrol at 0.50 lb/hp-h, smaller engines dearer: common practice, no source
    assert 0.0 < burn[-1] < horsepower * 0.8 * POUND / 0.742
    assert np.all(np.isfinite(runs["range_m"]))
    assert "on_kicker" in result.cautions
    assert result.boat.endswith("on the kicker")


def test_on_the_kicker_nothing_comes_aboard_or_goes() -> None:
    boat = whole()
    for other in (
        boat,
        boat.at(load="home"),
        replace(boat, kicker=replace(boat.kicker, capacity_m3=None)),
    ):
        before, after = Fleet.of(other).lanes, Fleet.of(on_kicker(other)).lanes
        can = (
            0.0
            if other.kicker is None or other.kicker.capacity_m3 is None
            else other.kicker.capacity_m3
        )
        assert after.mass_kg[0] == pytest.approx(
            before.mass_kg[0] + can * FUELS["petrol"].density_kg_m3, rel=1e-9
        )
        if not can:
            assert after.forward_m[0] == pytest.approx(before.forward_m[0], rel=1e-9)
            assert after.above_m[0] == pytest.approx(before.above_m[0], rel=1e-9)


def test_the_kicker_drives_and_the_main_engine_rests() -> None:
    lanes = Fleet.of(on_kicker(whole())).lanes
    assert (lanes.engines[0], lanes.stopped[0]) == (1.0, 0.0)
    assert lanes.diameter_m[0] == pytest.approx(9.25 * INCH)
    assert lanes.plate_height_m[0] == pytest.approx(-2 * INCH)
    assert lanes.drive_trim_deg[0] == 0.0
    dragged = Fleet.of(on_kicker(whole(), dragged=True)).lanes
    assert dragged.stopped[0] == pytest.approx((15.25 / 9.25) ** 2)
    assert on_kicker(on_kicker(whole())) == on_kicker(whole())
    with pytest.raises(ValueError, match=r"no kicker.*\[kicker\]"):
        on_kicker(boat_of(GOOD))


def test_a_sterndrive_is_dragged_and_a_petrol_kicker_has_its_own_tank() -> None:
    text = demo_boats()["number_six"].read_text(encoding="utf-8")
    boat = on_kicker(read_boat((text + KICKER).encode()))
    assert boat.tank.fuel == "petrol" and boat.loaded.tank == 1.0
    lanes = Fleet.of(boat).lanes
    assert lanes.stopped[0] > 1.0
    main = Fleet.of(read_boat((text + KICKER).encode())).lanes
    assert lanes.mass_kg[0] == pytest.approx(main.mass_kg[0] + 6 * GALLON * 0.742, rel=1e-6)
    rows = speeds(boat, draws=0).tables["rows"]
    runs = rows[rows["status"] == "ok"]
    usable = 6 * GALLON * boat.tank.usable * (2 / 3)
    assert runs["range_m"].to_numpy() == pytest.approx(
        (runs["mileage_m_per_l"] * usable).to_numpy(), rel=1e-6
    )


def test_doubts_follow_the_drive() -> None:
    boat = on_kicker(replace(whole(), doubts=(*whole().doubts, ("assumed.trial_pitch", 0.01))))
    doubts = dict(boat.doubts)
    assert doubts["engine.rated_power"] == pytest.approx(0.05 * 9.9 * HORSEPOWER)
    assert doubts["propeller.pitch"] == pytest.approx(0.5 * INCH)
    assert not {"engine.fuel", "propeller.cup", "assumed.trial_pitch"} & set(doubts)
    assert {"hull.bottom", "light.mass"} <= set(doubts)
    assert dict(boat.words)["engine.rated_power"] == "9.9 hp ± 5 %"
    unweighed = boat_of(changed(('"engine", "kicker", "bracket"', '"bracket"'), text=FULL))
    assert (
        dict(unweighed.doubts)["engine.mass"]
        == dict(on_kicker(unweighed).doubts)["weights.engine at rest.mass"]
    )


# --- weighing ------------------------------------------------------------------------------------


def test_both_ways_of_weighing_are_exact_with_kicker_and_seats() -> None:
    weighed = FULL[FULL.index("[weighed]") : FULL.index("[engine]")]
    light = '[light]\nmass = "4000 lb"\nforward = "8 ft 3 in"\nabove = "2 ft"\n\n'
    stated = boat_of(FULL.replace(weighed, light))
    value = {name: about.value for name, about in ASSUMPTIONS.items()}
    aboard = [  # mass, forward, above: worked out here from the geometry, not by the reader
        (4000 * POUND, 99 * INCH, 24 * INCH),
        (560 * POUND, -(30 * INCH + value["engine_aft"]), 27 * INCH + value["engine_above"]),
        (
            115 * POUND,
            -value["bracket_centre"] * 30 * INCH,
            3 * INCH + 0.5 * value["bracket_height"],
        ),
        (98 * POUND, -14 * INCH, 30 * INCH),
        (6 * 185 * POUND, 36 * INCH, 45 * INCH),
    ]
    mass = sum(m for m, _, _ in aboard)
    forward = sum(m * x for m, x, _ in aboard) / mass
    above = sum(m * z for m, _, z in aboard) / mass
    text = f'[weighed]\nmass = "{mass:.12f} kg"\nforward = "{forward:.12f} m"\nabove = "{above:.12f} m"\naboard = ["engine", "kicker", "bracket", "guests"]\n\n'
    found = boat_of(FULL.replace(weighed, text)).light
    for name in ("mass_kg", "forward_m", "above_m"):
        assert getattr(found, name) == pytest.approx(getattr(stated.light, name), rel=1e-9)


def test_an_engine_that_was_weighed_with_her_is_not_doubted_twice() -> None:
    """The loaded boat is as sure as the scale, however unsure the engine's own weight is."""
    quiet = (("assumed.trial_weight", 0.0),)

    def total(engine: str, aboard: str) -> np.ndarray:
        boat = boat_of(changed(('"560 lb"', f'"{engine}"'), ('"engine", "bracket"', aboard)))
        return Fleet.draw(
            replace(boat.at(load="alone"), doubts=boat.doubts + quiet), 4000, 1
        ).lanes.mass_kg

    scale = 0.03 * 5150 * POUND / 1.645
    assert np.std(total("560 lb", '"engine", "bracket"')) == pytest.approx(scale, rel=0.05)
    assert np.array_equal(
        total("560 lb ± 150 lb", '"engine", "bracket"'), total("560 lb", '"engine", "bracket"')
    )
    # hung after the weighing, its doubt is one more
    apart = np.hypot(scale, 150 * POUND / 1.645)
    assert np.std(total("560 lb ± 150 lb", '"bracket"')) == pytest.approx(apart, rel=0.05)


# --- seats ---------------------------------------------------------------------------------------


def test_moving_people_moves_the_balance_by_their_moment() -> None:
    boat = whole()
    for load in ("charter", "home"):
        aft = Fleet.of(move(boat.at(load=load), "guests", "stern")).lanes
        ahead = Fleet.of(move(boat.at(load=load), "guests", "bow")).lanes
        assert ahead.mass_kg[0] == aft.mass_kg[0]
        shift = 6 * 185 * POUND * (14 - 3) * 12 * INCH / aft.mass_kg[0]
        assert ahead.forward_m[0] - aft.forward_m[0] == pytest.approx(shift, rel=1e-9)
        drop = 6 * 185 * POUND * -6 * INCH / aft.mass_kg[0]
        assert ahead.above_m[0] - aft.above_m[0] == pytest.approx(drop, rel=1e-9)
    assert move(boat, "guests", "stern").weights == boat.weights
    there_and_back = move(move(boat, "guests", "bow"), "guests", "stern")
    assert there_and_back.weights == boat.weights and there_and_back.doubts == boat.doubts


def test_people_moved_forward_lower_the_hump() -> None:
    # common practice, no source: at least 8 % of the hump's drag on the 24 ft boat
    boat = replace(demos()[3], seats=(Seat("stern", 0.9, 1.1), Seat("bow", 4.3, 1.1)))
    humps = []
    for seat in ("stern", "bow"):
        rows = speeds(
            move(boat, "guests", seat), np.linspace(10.0, 20.0, 21) * MPH, draws=0
        ).tables["rows"]
        humps.append(rows["resistance_n"].max())
    assert humps[1] < 0.92 * humps[0]


def test_doubt_of_a_seat_is_shared_by_all_who_sit_in_it() -> None:
    boat = move(whole(), "skipper", "stern")
    assert dict(boat.doubts)["seats.stern.forward"] == pytest.approx(6 * INCH)
    assert {weight.place_path for weight in boat.weights if weight.seat} == {"seats.stern"}
    assert all(not path.startswith("weights.skipper.forward") for path, _ in boat.words)
    rows = {path: (text, value) for path, text, value in understood(boat)}
    assert rows["weights.skipper.forward"] == ("(of the seat)", "3 ft ± 6 in")


def test_a_seat_or_a_weight_she_does_not_have() -> None:
    with pytest.raises(
        ValueError, match='no seat is called "roof"; this boat has: helm, stern, bow'
    ):
        move(whole(), "guests", "roof")
    with pytest.raises(ValueError, match='no weight is called "guest"'):
        move(whole(), "guest", "bow")
    with pytest.raises(ValueError, match="this boat has: none"):
        move(boat_of(GOOD), "guests", "bow")


# --- wrong files -----------------------------------------------------------------------------------

ROW = '["3000 rpm", "5.1 gal/h ± 4 %"]'
# name of the case: (what is replaced, by what, key, word of the cure)
WRONG: dict[str, tuple[str, str, str, str]] = {
    "hook without depth": ('{ depth = "1/4 in ± 1/8 in", length = "4 ft" }', '{ length = "4 ft" }', "hull.hook.depth", "write such as depth"),
    "hook as text": ('{ depth = "1/4 in ± 1/8 in", length = "4 ft" }', '"1/4 in"', "hull.hook", "hook = { depth ="),
    "hook with a stray key": ('length = "4 ft" }', 'length = "4 ft", width = "1 ft" }', "hull.hook.width", "no such key here"),
    "hook too deep": ('"1/4 in ± 1/8 in"', '"2.5 in"', "hull.hook.depth", "-2 in to 2 in"),
    "hook deep for its length": ('"1/4 in ± 1/8 in", length = "4 ft"', '"1 in", length = "1 ft"', "hull.hook.depth", "half an inch to the foot"),
    "hook longer than half of her": ('length = "4 ft" }', 'length = "14 ft" }', "hull.hook.length", "more than half the hull"),
    "hook bare": ('"1/4 in ± 1/8 in"', "0.25", "hull.hook.depth", "needs its unit"),
    "weeks with unit": ("weeks_afloat = 8", 'weeks_afloat = "8 weeks"', "hull.weeks_afloat", "write weeks_afloat = 8"),
    "weeks in parts": ("weeks_afloat = 8", "weeks_afloat = 8.5", "hull.weeks_afloat", "whole number"),
    "weeks below none": ("weeks_afloat = 8", "weeks_afloat = -1", "hull.weeks_afloat", "0 to 104"),
    "weeks misspelled": ("weeks_afloat", "week_afloat", "hull.week_afloat", "did you mean weeks_afloat"),
    "burn as text": (BURN, '"5.1 gal/h"', "engine.fuel", "rows of rpm and burn"),
    "burn of one row": (BURN, f"[{ROW}]", "engine.fuel", "2 to 12 rows"),
    "burn of many rows": (BURN, "[" + ", ".join(f'["{r}00 rpm", "{r} l/h"]' for r in range(10, 23)) + "]", "engine.fuel", "2 to 12 rows"),
    "burn row of three": (ROW, '["3000 rpm", "5.1 gal/h", "22 mph"]', "engine.fuel", "rows of rpm and burn"),
    "burn rpm bare": ('"3000 rpm"', "3000", "engine.fuel", "rpm"),
    "burn without unit": ('"5.1 gal/h ± 4 %"', '"5.1"', "engine.fuel", "lacks a unit"),
    "burn of another kind": ('"5.1 gal/h ± 4 %"', '"5.1 mpg"', "engine.fuel", "cannot be in mpg"),
    "burn with a comma": ('"5.1 gal/h ± 4 %"', '"5,1 gal/h"', "engine.fuel", "5.1 gal/h"),
    "burn turned about": ('"4500 rpm"', '"2500 rpm"', "engine.fuel", "rpm rises down the table"),
    "burn that falls": ('"11 gal/h"', '"4 gal/h"', "engine.fuel", "check both"),
    "burn of both engines": ('"21 gal/h"', '"85 gal/h"', "engine.fuel", "burns about"),
    "burn in litres as gallons": (BURN, '[["3000 rpm", "1.3 l/h"], ["4500 rpm", "11 gal/h"]]', "engine.fuel", "L/h there"),
    "burn past the band": ('"5800 rpm"', '"7000 rpm"', "engine.fuel", "past the full-throttle band"),
    "burn rpm too slow": ('"1000 rpm", "0.9', '"100 rpm", "0.9', "engine.fuel", "300 rpm to 9000 rpm"),
    "burn of nothing": ('"0.9 gal/h"', '"0 gal/h"', "engine.fuel", "0.03 gal/h to 200 gal/h"),
    "kicker without propeller": (KICKER[KICKER.index("propeller") : KICKER.index("forward")], "", "kicker.propeller", "write such as propeller = {"),
    "kicker propeller as text": (KICKER[KICKER.index("{ diameter") : KICKER.index("\nforward")], '"9 1/4 x 7"', "kicker.propeller", "propeller = { diameter ="),
    "kicker propeller without pitch": ('pitch = "7 in ± 1/2 in", ', "", "kicker.propeller.pitch", "write such as pitch"),
    "kicker propeller with a stray key": ("area_ratio = 0.50, cup", "are_ratio = 0.50, cup", "kicker.propeller.are_ratio", "did you mean area_ratio"),
    "kicker pitch and diameter swapped": ('pitch = "7 in ± 1/2 in"', 'pitch = "25 in"', "kicker.propeller.pitch", "swapped"),
    "kicker with a strange key": ('mass = "98 lb ± 5 lb"', 'weight = "98 lb"', "kicker.mass", "missing"),
    "kicker of a sterndrive": ('[kicker]\ntechnology = "four-stroke injected"', '[kicker]\ntechnology = "petrol sterndrive injected"', "kicker.technology", "one of"),
    "kicker band turned about": ('rated_rpm = "5500 rpm"\nfull_throttle_rpm = ["5000 rpm", "6000 rpm"]\ngear_ratio = 2.08', 'full_throttle_rpm = ["6000 rpm", "5000 rpm"]\ngear_ratio = 2.08', "kicker.full_throttle_rpm", "lower one comes first"),
    "kicker rated far off": ('rated_rpm = "5500 rpm"\nfull', 'rated_rpm = "3000 rpm"\nfull', "kicker.rated_rpm", "far from the full-throttle band"),
    "kicker too strong": ('"9.9 hp ± 5 %"', '"150 hp"', "kicker.rated_power", "2 hp to 100 hp"),
    "kicker stronger than the engine": ('"225 hp ± 3 %"', '"8 hp"', "kicker.rated_power", "no less than the main engine"),
    "kicker off the bow": ('"-14 in ± 2 in"', '"31 ft"', "kicker.forward", "forward of the bow"),
    "kicker in the sky": ('above = "2 ft 6 in"\nplate', 'above = "14 ft"\nplate', "kicker.above", "more than half her length"),
    "kicker as a weight": ("tackle  = {", 'kicker = { mass = "98 lb", forward = "-1 ft", above = "2 ft" }\ntackle = {', "weights.kicker", "taken"),
    "kicker in a load": ('aboard = ["skipper", "tackle"]', 'aboard = ["kicker"]', "loads.alone.aboard", "always aboard"),
    "kicker weighed but not there": (KICKER, "", "weighed.aboard", "there is no [kicker] table"),
    "tabs without span": ('span = "36 in"\n', "", "tabs.span", "write such as span"),
    "tabs wider than she is": ('span = "36 in"', 'span = "9 ft"', "tabs.span", "wider than the hull"),
    "tabs too steep": ('"3 deg ± 1 deg"', '"25 deg"', "tabs.deflection", "0 deg to 15 deg"),
    "tabs in per cent": ('"3 deg ± 1 deg"', '"30 %"', "tabs.deflection", "angle"),
    "tab instead of tabs": ("[tabs]", "[tab]", "tab", "did you mean tabs"),
    "seat that is not there": ('seat = "stern"', 'seat = "stren"', "weights.guests.seat", "did you mean stern"),
    "seat without seats": (SEATS, "", "weights.guests.seat", "not in [seats]; there are: none"),
    "seat and place": ('seat = "stern" }', 'seat = "stern", forward = "3 ft" }', "weights.guests.seat", "not both"),
    "neither seat nor place": (', seat = "stern" }', " }", "weights.guests.forward", "missing"),
    "half a place": (', seat = "stern" }', ', forward = "3 ft" }', "weights.guests.above", "missing"),
    "seat misspelled": ('seat = "stern"', 'saet = "stern"', "weights.guests.saet", "did you mean seat"),
    "seat without a height": ('bow = { forward = "14 ft", above = "3 ft 3 in" }', 'bow = { forward = "14 ft" }', "seats.bow.above", "missing"),
    "seat off the bow": ('bow = { forward = "14 ft"', 'bow = { forward = "41 ft"', "seats.bow.forward", "forward of the bow"),
    "seat as text": ('bow = { forward = "14 ft", above = "3 ft 3 in" }', 'bow = "14 ft"', "seats.bow", "bow = { forward ="),
    "air too hot": ('"77 °F ± 9 °F"', '"77 °C"', "air.temperature", "-20 °F to 125 °F"),
    "air without unit": ('"77 °F ± 9 °F"', '"77"', "air.temperature", "°F"),
    "altitude bare": ('"5000 ft"', "5000", "air.altitude", "needs its unit"),
    "altitude of the moon": ('"5000 ft"', '"50000 ft"', "air.altitude", "10000 ft"),
    "humidity over full": ("humidity = 0.4", "humidity = 40", "air.humidity", "0"),
    "humidity as word": ("humidity = 0.4", 'humidity = "damp"', "air.humidity", "share"),
    "altitude misspelled": ("altitude", "altitud", "air.altitud", "did you mean altitude"),
    "stepped bottom": ("[plate]", "steps = 2\n[plate]", "hull.steps", "stepped"),
    "two hulls": ("[plate]", "hulls = 2\n[plate]", "hull.hulls", "multihull"),
}  # fmt: skip

SEVERAL = {
    "kicker with a strange key",
    "neither seat nor place",
    "tab instead of tabs",
    "kicker as a weight",
}


@pytest.mark.parametrize("case", WRONG)
def test_a_wrong_line_is_refused_in_place_with_a_cure(case: str) -> None:
    before, after, key, word = WRONG[case]
    text = changed((before, after), text=FULL)
    faults = refusal(text).faults
    fault = next((f for f in faults if f.key == key and word in f.cure), None)
    assert fault is not None, refusal(text).as_text()
    assert len(faults) == 1 or case in SEVERAL, refusal(
        text
    ).as_text()  # no faults that follow from it
    line = text.split("\n")[fault.line - 1]
    assert fault.line > 0 and 1 <= fault.column <= len(line) + 1
    names = key.split(".")
    assert (
        any(name in line for name in names[1:] or names)
        or fault.text in line
        or f"[{names[0]}" in line
    )


def test_a_fault_inside_the_burn_table_points_at_its_cell() -> None:
    text = changed(('"11 gal/h"', '"11 gal"'), text=FULL)
    fault = refusal(text).faults[0]
    assert fault.line == line_of(text, '"11 gal"')
    assert text.split("\n")[fault.line - 1][fault.column - 1 :].startswith('"11 gal"')
    rows = BURN.replace("], [", "],\n  [")
    text = changed((BURN, rows.replace('"4500 rpm"', '"4500"')), text=FULL)
    fault = refusal(text).faults[0]
    assert text.split("\n")[fault.line - 1][fault.column - 1 :].startswith('"4500"')


def test_a_diesel_boat_refuses_a_petrol_kicker_without_a_tank_of_its_own() -> None:
    text = demo_boats()["number_six"].read_text(encoding="utf-8") + KICKER.replace(
        'capacity = "6 gal"\n', ""
    )
    fault = refusal(text).faults[0]
    assert fault.key == "kicker.technology" and 'capacity = "6 gal"' in fault.cure
    assert "burns petrol or petrol E10, the tank holds diesel" in fault.cure


@pytest.mark.parametrize("table", ["tabs", "kicker"])
def test_every_needed_key_of_the_new_tables_is_asked_for(table: str) -> None:
    for name, key in schema.TABLES[table].keys.items():
        if not key.needed:
            continue
        start = FULL.index(f"[{table}]")
        at = FULL.index(f"\n{name} = ", start) + 1
        fault = next(
            f
            for f in refusal(FULL[:at] + FULL[FULL.index("\n", at) + 1 :]).faults
            if f.key == f"{table}.{name}"
        )
        assert f"{name} = " in fault.cure and FULL.split("\n")[fault.line - 1] == f"[{table}]"


def test_the_shortest_file_takes_the_new_keys_too() -> None:
    text = SHORTEST.replace(
        'transom_height = "51 cm"',
        'transom_height = "51 cm"\nhook = { depth = "-3 mm", length = "1 m" }\nweeks_afloat = 3',
    )
    boat = boat_of(text + '[air]\nhumidity = "80 %"\n')
    assert boat.hull.hook == Hook(pytest.approx(-0.003), pytest.approx(1.0))
    assert (boat.hull.bottom, boat.air.humidity, boat.air.temperature_c) == (
        "3 weeks afloat",
        0.8,
        15.0,
    )


@pytest.mark.parametrize("seed", range(3))
def test_chance_never_gives_anything_but_a_boat_or_faults(seed: int) -> None:
    chance = random.Random(100 + seed)
    refused = 0
    for _ in range(150):
        try:
            boat = read_boat(mutated(FULL, chance))
            assert boat.light.mass_kg > 0.0
            describe(boat)
            Fleet.of(boat)
            if boat.kicker is not None:
                Fleet.of(on_kicker(boat))
        except InputFaults as faults:
            refused += 1
            assert faults.faults and all(fault.cure for fault in faults.faults)
    assert 60 < refused <= 150


def test_the_kickers_place_follows_from_where_it_hangs() -> None:
    boat = on_kicker(whole())
    value = {name: ASSUMPTIONS[name].value for name in ("propeller_aft", "tip_clearance")}
    forward, _ = places.propeller_place(
        setback_m=max(14 * INCH - ASSUMPTIONS["engine_aft"].value, 0.0), plate_height_m=-2 * INCH, diameter_m=9.25 * INCH, **value
    )  # fmt: skip
    assert Fleet.of(boat).lanes.propeller_aft_m[0] == pytest.approx(-forward)
    assert fixed("charter_hull_24ft").kicker is None
