"""Hanging the engine: closed forms, published values, the trade's common practice, properties, pace."""

from __future__ import annotations

import json
import re
import time
from dataclasses import fields, replace
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from fleets import demos, random_boats
from streamlit.testing.v1 import AppTest

from perf.base.assumptions import ASSUMPTIONS, MOUNTING
from perf.base.cautions import sentence
from perf.base.columns import column
from perf.base.results import Result, Value, plain
from perf.base.sources import LAWS, SOURCES, Basis
from perf.boat.catalog import engines, hulls, propellers
from perf.boat.fleet import Fleet
from perf.boat.lanes import Lanes
from perf.boat.parts import Boat, Bracket, Place
from perf.faces.cli import main
from perf.faces.dashboard import places
from perf.faces.printed import report as reports
from perf.faces.printed import rig_card as rig_cards
from perf.laws import lower_unit, propeller, steering, transom_loads, wake
from perf.laws.hull_lines import HullForm
from perf.laws.planing import TRANSOM_DRY_FROUDE
from perf.laws.water import GRAVITY
from perf.solve import performance
from perf.solve.flotation import BuoyantBox, float_at_rest
from perf.studies import sweeps
from perf.studies.mount import setting as mount_setting
from perf.studies.mount import study as mounting
from perf.studies.mount.boats import at_heights, hung, with_wake
from perf.studies.mount.bracket import bracket_flow
from perf.studies.mount.card import rig_card
from perf.studies.mount.grid import immersion, leg_drag_n
from perf.studies.mount.height import Advice, advise, rule_of_thumb_m
from perf.studies.mount.holes import best_shaft, plate_height_at_m, shafts, snapped
from perf.studies.mount.ladder import HEIGHTS_M
from perf.studies.mount.rest import at_rest, edges_of, rest_table
from perf.studies.mount.rows import at_speed, rows_of
from perf.studies.mount.study import Wanted, mount
from perf.studies.mount.transom import Bolts, hung_weights, transom_load
from perf.studies.mount.water import MODELS, wake_at, water_over_bottom
from perf.studies.mount.way import Runs, under_way
from perf.studies.sweeps import sweep_boats, sweep_draws

ROOT = Path(__file__).parents[1]
INCH, FOOT = 0.0254, 0.3048
FRESH = 999.1  # kg/m^3 at 15 degrees
NOTHING = Bracket(0.0, 0.0, 0.0, 0.0, False)
OUTBOARDS = tuple(boat for boat in demos() if boat.engine.drive == "outboard")
FOUR = next(boat for boat in demos() if boat.name == "Number Four")
TWIN = next(boat for boat in OUTBOARDS if boat.engine.count == 2)


def bare(boat: Boat, setback_m: float = 0.0, height_m: float = 0.0) -> Boat:
    """The boat with her engine there and nothing that holds it."""
    where = replace(boat.mounting, setback_m=setback_m, plate_height_m=height_m)
    return replace(boat, bracket=None, mounting=where)


@cache
def four() -> Result:
    return mount(FOUR, draws=40)


@cache
def twin() -> Result:
    return mount(TWIN, (0.0, 0.5), (0.0, 0.05), draws=0)


def same_bits(a: Lanes, b: Lanes, *, but: tuple[str, ...] = ()) -> None:
    for field in fields(Lanes):
        if field.name not in but:
            x, y = getattr(a, field.name), getattr(b, field.name)
            assert np.array_equal(x, y, equal_nan=True), field.name


# --- closed forms --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bracket", "draught", "trim"), [(False, 0.4990, 3.413), (True, 0.4260, 2.222)]
)
def test_prismatic_flotation_with_and_without_a_bracket(
    bracket: bool, draught: float, trim: float
) -> None:
    """Elementary hydrostatics of a prism 6.0 x 2.2 m, 20 degrees, 1850 kg at 2.0 m, worked by another hand."""
    form = HullForm(*(np.array([v]) for v in (6.0, 6.0, 2.2, 2.2, 20.0, 20.0, 90.0)))
    box = BuoyantBox(*(np.array([v]) for v in (0.9, 0.75, 0.15))) if bracket else None
    rest = float_at_rest(form, 1850.0 / 1000.0, 2.0, box)
    assert rest.draught_transom_m[0] == pytest.approx(draught, abs=2e-4)
    assert rest.trim_deg[0] == pytest.approx(trim, abs=2e-3)


def test_a_weight_moved_aft_moves_the_balance_point_by_its_share() -> None:
    for boat in OUTBOARDS:
        lanes = Fleet.of([bare(boat), bare(boat, 0.5)]).lanes
        moved = boat.engine.count * boat.engine.mass_kg * 0.5 / lanes.mass_kg[0]
        assert lanes.forward_m[0] - lanes.forward_m[1] == pytest.approx(moved, rel=1e-12)
        assert lanes.mass_kg[0] == lanes.mass_kg[1]


def test_a_bracket_adds_one_weight_at_half_its_length() -> None:
    bracket = Bracket(60.0, 0.7, 0.8, 0.08, False)
    without, with_it = bare(FOUR, 0.8, 0.05), replace(bare(FOUR, 0.8, 0.05), bracket=bracket)
    lanes = Fleet.of([without, with_it]).lanes
    assert lanes.mass_kg[1] - lanes.mass_kg[0] == pytest.approx(60.0, rel=1e-12)
    expected = (lanes.mass_kg[0] * lanes.forward_m[0] - 60.0 * 0.5 * 0.8) / lanes.mass_kg[1]
    assert lanes.forward_m[1] == pytest.approx(expected, rel=1e-12)


def test_a_bracket_of_nothing_changes_nothing_bit_for_bit() -> None:
    for boat in OUTBOARDS:
        with_it = replace(bare(boat), bracket=NOTHING)
        same_bits(Fleet.of(with_it).lanes, Fleet.of(bare(boat)).lanes)
        same_bits(Fleet.draw(with_it, 20, 3).lanes, Fleet.draw(bare(boat), 20, 3).lanes)
    with_it, without = (
        sweep_boats([b]) for b in (replace(bare(FOUR), bracket=NOTHING), bare(FOUR))
    )
    for name, value in vars(without.points).items():
        assert np.array_equal(getattr(with_it.points, name), value, equal_nan=True), name
    assert np.array_equal(with_it.top.speed_mps, without.top.speed_mps)
    assert np.array_equal(with_it.hump.time_to_plane_s, without.hump.time_to_plane_s)


def test_no_setback_without_a_bracket_is_the_boat_without_one() -> None:
    for boat in OUTBOARDS:
        own = boat.mounting
        assert hung(boat, own.setback_m, own.plate_height_m) == boat
        assert hung(boat, 0.0, 0.02) == (
            bare(boat, 0.0, 0.02) if own.setback_m else hung(boat, 0.0, 0.02)
        )
        assert hung(boat, 0.0, 0.02).bracket is None


def test_a_bracket_is_lengthened_with_its_weight_in_proportion() -> None:
    given = FOUR.bracket
    assert given is not None
    longer = hung(FOUR, FOUR.mounting.setback_m + 0.2, 0.0).bracket
    assert longer is not None
    assert longer.length_m == pytest.approx(given.length_m + 0.2)
    assert longer.mass_kg / longer.length_m == pytest.approx(given.mass_kg / given.length_m)
    assert longer.bottom_above_m == given.bottom_above_m and longer.floats == given.floats
    plain_boat = OUTBOARDS[0]
    assumed = hung(plain_boat, 0.762, 0.0).bracket
    assert (
        assumed is not None
        and assumed.mass_kg == MOUNTING["bracket_mass"].value
        and not assumed.floats
    )


def test_heights_on_a_line_are_the_boats_built_one_by_one() -> None:
    many = [hung(boat, 0.3, 0.0) for boat in OUTBOARDS[:3]]
    heights = np.array([-0.07, 0.0, 0.033, 0.21])
    for draws in (0, 15):
        quick = at_heights(many, heights, draws, 5)
        each = [hung(b, 0.3, float(h)) for b in many for h in heights]
        each = [
            replace(b, bracket=m.bracket)
            for m, b in zip(np.repeat(np.array(many, dtype=object), 4), each, strict=True)
        ]
        slow = Fleet.draw(each, draws, 5).lanes if draws else Fleet.of(each).lanes
        for field in fields(Lanes):
            x, y = getattr(quick, field.name), getattr(slow, field.name)
            assert np.allclose(x, y, rtol=1e-13, atol=1e-14, equal_nan=True), field.name


def test_the_moment_on_the_transom_is_that_of_the_forces() -> None:
    boat, bolts = FOUR, Bolts(3, 0.4, 0.5)
    bracket = boat.bracket
    assert bracket is not None
    table = transom_load(boat, 9000.0, bolts, 2.5).set_index("case")
    height = boat.hull.transom_height_m - 0.5
    lean = np.tan(np.radians(boat.hull.transom_rake_deg)) * height
    aft = boat.mounting.setback_m + ASSUMPTIONS["engine_aft"].value
    hanging = boat.engine.mass_kg * GRAVITY * (aft - lean)
    hanging += bracket.mass_kg * GRAVITY * (0.5 * bracket.length_m - lean)
    shaft = (
        boat.mounting.plate_height_m
        - ASSUMPTIONS["tip_clearance"].value
        - 0.5 * boat.propeller.diameter_m
    )
    push = 9000.0 * (height - shaft)
    for case, moment in (
        ("at rest", hanging),
        ("full throttle", push + hanging),
        ("full throttle, slamming", push + 2.5 * hanging),
    ):
        assert table.loc[case, "transom_moment_nm"] == pytest.approx(moment, rel=1e-12)
        assert table.loc[case, "bolt_pull_n"] == pytest.approx(moment / (0.4 * 3), rel=1e-12)
    weight = sum(one for one, _ in hung_weights(boat))
    assert table.loc["full throttle, slamming", "bolt_shear_n"] == pytest.approx(2.5 * weight / 6.0)


def test_each_of_two_engines_hangs_on_its_own_bolts() -> None:
    two = transom_load(bare(TWIN), 10_000.0, Bolts.of(bare(TWIN)))
    single = replace(bare(TWIN), engine=replace(TWIN.engine, count=1))
    one = transom_load(single, 5_000.0, Bolts.of(single))
    assert np.allclose(two["transom_moment_nm"], one["transom_moment_nm"])


# --- published values, each with its basis ----------------------------------------------------------


def test_near_surface_factor_as_published_and_scaled() -> None:
    """Minsaas et al. 1983, recalled: the factor at h/R; an outboard suffers a share of it past its shield."""
    ratio = np.array([1.3, 1.2, 1.1, 1.0, 0.8, 0.6, 0.5, 0.4, 0.2, 0.0])
    published = np.array([1.000, 0.973, 0.936, 0.893, 0.797, 0.690, 0.633, 0.575, 0.453, 0.325])
    assert np.allclose(propeller.near_surface_thrust(ratio), published, atol=6e-4)
    assert LAWS["near_surface_thrust"].basis is Basis.RECALLED
    lanes = Fleet.of(FOUR).lanes
    whole = replace(lanes, surface_loss=np.ones(1), plate_shield_m=np.zeros(1))
    depth = np.linspace(-0.25, 0.1, 30)
    radius = 0.5 * FOUR.propeller.diameter_m
    kept = immersion(whole, depth[None, :])
    # under its plate an outboard keeps all: the curve is entered at 1.3 radii with the plate in the water
    assert np.allclose(
        kept.thrust_kept[0], propeller.near_surface_thrust(np.minimum(depth, 0.0) / radius + 1.3)
    )
    own = immersion(lanes, depth[None, :])
    assert np.all(own.thrust_kept >= kept.thrust_kept - 1e-12), (
        "the published curve is a lower bound"
    )
    assert np.all(own.thrust_kept[0][depth >= -lanes.plate_shield_m[0]] == 1.0)


def test_the_scale_of_the_surface_loss_is_calibration() -> None:
    """Its trade rows stand in tuned_to, so none of them may ever be called evidence."""
    for name in ("surface_loss", "plate_shield"):
        assert ASSUMPTIONS[name].tuned_to, name


def test_immersion_ratio_and_depths() -> None:
    lanes = Fleet.of(FOUR).lanes
    depth = np.array([[-0.05, 0.0, 0.03]])
    found = immersion(lanes, depth)
    clearance, radius = ASSUMPTIONS["tip_clearance"].value, 0.5 * FOUR.propeller.diameter_m
    assert np.allclose(found.shaft_m, depth + clearance + radius)
    assert np.allclose(found.tip_m, depth + clearance)
    assert np.allclose(found.ratio, (depth + clearance + radius) / radius)
    assert np.allclose(found.pickup_margin_m, depth + MOUNTING["pickup_below"].value * 2.0 * radius)
    assert np.all(found.torque_kept >= found.thrust_kept)


WAKE_TABLE = [  # trim, speed coefficient, then rise over beam at X/B .25 .357 .5 1, wetted length 2 beams
    (6.0, 4.0, (0.0125, 0.0193, 0.0296, 0.0752), (0.0094, 0.0160, 0.0265, 0.0750)),
    (4.0, 4.0, (0.0101, 0.0153, 0.0230, 0.0556), (0.0063, 0.0107, 0.0177, 0.0500)),
    (4.0, 3.0, (0.0107, 0.0165, 0.0252, 0.0635), (0.0083, 0.0142, 0.0236, 0.0667)),
]


@pytest.mark.parametrize(("trim", "froude", "fit", "short"), WAKE_TABLE)
def test_wake_fit_table(
    trim: float, froude: float, fit: tuple[float, ...], short: tuple[float, ...]
) -> None:
    """Faltinsen 2005, eqs 9.19 and 9.31 (quoted): worked from the printed equations by another hand."""
    distance = np.array([0.25, 0.357, 0.5, 1.0])
    assert np.allclose(wake.wake_savitsky(distance, trim, froude, 2.0), fit, atol=6e-5)
    assert np.allclose(wake.wake_simplified(distance, trim, froude), short, atol=6e-5)
    assert LAWS["wake_savitsky"].basis is Basis.QUOTED


def test_the_straight_wake_is_the_rule_of_thumb_at_four_point_eight_degrees() -> None:
    """Geometry: an inch up for every foot back is a level surface behind a boat trimmed 4.8 degrees."""
    assert wake.wake_straight(12.0, 4.8) == pytest.approx(1.0, abs=0.01)
    assert rule_of_thumb_m(30 * INCH) == pytest.approx(2.5 * INCH)


def test_remembered_contours_say_that_they_are() -> None:
    """Savitsky & Morabito 2010, recalled: 1.5, 1.1, 0.9, 0.8 in behind 84 in of beam, 30 in aft."""
    rise = 84.0 * wake.wake_contour(30 / 84, 4.0, np.array([3.0, 4.0, 5.0, 6.0]), 2.0, 20.0)
    assert np.allclose(rise, (1.5, 1.1, 0.9, 0.8), atol=0.06)
    assert LAWS["wake_contour"].basis is Basis.RECALLED


@pytest.mark.parametrize(("draught", "knots"), [(0.3, 8.3), (0.4, 9.6), (0.5, 10.8)])
def test_transom_clear_criterion(draught: float, knots: float) -> None:
    """Faltinsen 2005 (quoted): dry above U / sqrt(g D) = 2.5."""
    speed = TRANSOM_DRY_FROUDE * np.sqrt(GRAVITY * draught)
    assert speed / 0.514444 == pytest.approx(knots, abs=0.06)
    assert wake.transom_clear(1.001 * speed, draught) and not wake.transom_clear(
        0.999 * speed, draught
    )


def test_locked_propeller_example() -> None:
    """Molland et al. 2011 (quoted): D .4 m, area ratio .65, P/D .8 at 8 kn drags 699 N."""
    area = 0.65 * 0.25 * np.pi * 0.4 * 0.4
    speed = 8.0 * 0.514444
    drag = propeller.locked_propeller_drag_coefficient(0.8) * area * 0.5 * 1025.0 * speed * speed
    assert drag == pytest.approx(699.0, rel=0.005)


def test_pod_drag_example() -> None:
    """Molland et al. 2011 (quoted), pod of 2.6 by 8.32 m at 8.177 m/s: body 7.78, strut 2.49, junction 5.38 kN."""
    pressure = 0.5 * 1025.0 * 8.177 * 8.177
    assert lower_unit.body_drag(pressure, 67.96, 2.6 / 8.32, 2.263e-3) == pytest.approx(
        7780, rel=0.002
    )
    assert lower_unit.strut_drag(pressure, 7.137, 1.5 / 4.99, 2.448e-3) == pytest.approx(
        2490, rel=0.006
    )
    assert lower_unit.filleted_junction_drag(pressure, 1.5, 1.5 / 4.99) == pytest.approx(
        5380, rel=0.01
    )


def test_a_sole_is_asked_what_a_scupper_is_not() -> None:
    """ABYC H-4, second-hand: 3 in, or 0.22 in a foot of length."""
    rest = at_rest({"as drawn": FOUR})
    edges = edges_of(FOUR, {"sole": Place(0.0, 0.55), "splash well": Place(0.0, 0.6)})
    table = rest_table(rest, edges)
    feet = FOUR.hull.length_overall_m / FOOT
    assert np.allclose(table["sole_wanted_m"], max(3.0, 0.22 * feet) * INCH)
    assert rest_table(rest, edges_of(FOUR, {}))["sole_wanted_m"].isna().all()
    assert np.allclose(table["splash_well_height_m"] - table["sole_height_m"],
                       0.05 * np.cos(np.radians(table["static_trim_deg"])))  # fmt: skip
    with pytest.raises(ValueError, match="scupper, sole, splash well"):
        edges_of(FOUR, {"cleat": Place(0.0, 0.5)})


# --- common practice, no source -----------------------------------------------------------------------


def test_the_plate_of_a_shaft_as_long_as_the_transom_lies_even_with_the_bottom() -> None:
    """Common practice, no source: 25 in shaft on a 25 in transom gives plate 0 ± 1/2 in."""
    hull = FOUR.hull
    assert hull.transom_height_m == pytest.approx(25 * INCH)
    assert plate_height_at_m(hull, 25 * INCH, 0) == pytest.approx(0.0, abs=0.5 * INCH)
    assert MOUNTING["shaft_fit"].value == pytest.approx(0.5 * INCH)
    lifted = plate_height_at_m(hull, 25 * INCH, 4)
    assert lifted == pytest.approx(4 * 0.75 * INCH * np.cos(np.radians(hull.transom_rake_deg)))
    assert plate_height_at_m(hull, 25 * INCH, 0, drop_m=-0.05) == pytest.approx(0.05)


def test_which_shaft_reaches_the_range() -> None:
    found = shafts(FOUR.hull, 1.0 * INCH, 1.6 * INCH)
    assert [round(one.shaft_m / INCH) for one in found] == [15, 20, 25, 30]
    best = best_shaft(found)
    assert round(best.shaft_m / INCH) == 25 and best.holes == 2 and best.misses_by_m == 0.0
    low = best_shaft(shafts(FOUR.hull, 6.0 * INCH, 6.5 * INCH))
    assert round(low.shaft_m / INCH) == 20 and low.holes == 2
    none = shafts(
        FOUR.hull, 3.4 * INCH, 3.6 * INCH
    )  # between the last hole of one and the first of the next
    assert all(one.misses_by_m != 0.0 for one in none)
    assert best_shaft(none).misses_by_m < 0.0, "too low drags, too high ventilates"


def test_the_range_snaps_to_holes() -> None:
    advice = advise([FOUR]).each[0]
    wide = replace(advice, low_m=0.5 * INCH, high_m=2.5 * INCH)
    drawn, shaft = snapped(wide, FOUR.hull, 0.0)
    grid = [plate_height_at_m(FOUR.hull, shaft.shaft_m, k) for k in range(5)]
    assert drawn.low_m in grid and drawn.high_m in grid and drawn.low_m >= wide.low_m
    assert drawn.high_m <= wide.high_m and drawn.high_m > drawn.low_m
    narrow = replace(advice, low_m=1.0 * INCH, high_m=1.1 * INCH)
    drawn, _ = snapped(narrow, FOUR.hull, 0.0)
    assert drawn.low_m == drawn.high_m and "no mounting hole" in drawn.reason


def test_an_engine_moved_aft_trims_her_up_and_slows_her_over_the_hump() -> None:
    """Common practice, no source; drive trim held, no flotation, each with the plate at the height advised there."""
    places = [hung(bare(boat), back, 0.0) for boat in OUTBOARDS for back in (0.0, 0.762)]
    heights = [one.middle_m for one in advise(places).each]
    swept = sweep_boats(
        [
            replace(b, mounting=replace(b.mounting, plate_height_m=h))
            for b, h in zip(places, heights, strict=True)
        ],
        0.0,
    )
    for at, boat in enumerate(OUTBOARDS):
        pair = rows_of(swept, [2 * at, 2 * at + 1])
        running = at_speed(pair, float(pair.hump.speed_mps[0])).trim_deg[:, 0]
        assert pair.afloat.trim_deg[1] > pair.afloat.trim_deg[0], boat.name
        assert running[1] > running[0], boat.name
        assert pair.hump.time_to_plane_s[1] > pair.hump.time_to_plane_s[0], boat.name


def test_the_brackets_buoyancy_answers_the_squat() -> None:
    """Common practice, no source: a flotation bracket gives back trim and draught at rest."""
    sunk = replace(FOUR, bracket=replace(FOUR.bracket, floats=False))
    table = rest_table(at_rest({"floats": FOUR, "does not": sunk}), {})
    for load in FOUR.load_names:
        a, b = (
            table[(table["hung"] == h) & (table["load"] == load)].iloc[0]
            for h in ("floats", "does not")
        )
        assert a["static_trim_deg"] < b["static_trim_deg"] and a["draught_m"] < b["draught_m"]
        assert a["bracket_buoyancy_n"] > 0.0 == b["bracket_buoyancy_n"]


def catalogue_boats(count: int, seed: int) -> list[Boat]:
    """Boats on hulls drawn from between those of the catalogue, engine and propeller of its rows, setback 0 to 36 in."""
    rows = [row for row in hulls().values() if row.type != "pilothouse"]
    motors = [row.part for row in engines().values() if row.part.drive == "outboard"]
    screws = [row.part for row in propellers().values()]
    made = []
    for number in range(count):
        draw = np.random.default_rng([seed, number])
        a, b = (rows[i] for i in draw.integers(0, len(rows), 2))
        share = draw.uniform()
        hull = replace(a.part, **{
            f.name: (1 - share) * getattr(a.part, f.name) + share * getattr(b.part, f.name)
            for f in fields(a.part) if f.name.endswith(("_m", "_deg")) and "hook" not in f.name
        })  # fmt: skip
        light = replace(a.light, **{
            f.name: (1 - share) * getattr(a.light, f.name) + share * getattr(b.light, f.name)
            for f in fields(a.light)
        })  # fmt: skip
        base = min(
            OUTBOARDS, key=lambda boat: abs(boat.hull.length_overall_m - hull.length_overall_m)
        )
        power = base.engine.rated_power_w * draw.uniform(0.8, 1.25)
        motor = replace(
            min(motors, key=lambda m: abs(m.rated_power_w - power)), count=base.engine.count
        )
        screw = min(screws, key=lambda p: abs(p.diameter_m - base.propeller.diameter_m)
                    + abs(p.pitch_m - base.propeller.pitch_m * draw.uniform(0.95, 1.1)))  # fmt: skip
        boat = replace(
            base.at(tank=float(draw.uniform(0.2, 1.0))), name=f"hull {number}", hull=hull, light=light,
            engine=motor, propeller=screw, bracket=None,
            mounting=replace(base.mounting, setback_m=0.0, plate_height_m=0.0),
        )  # fmt: skip
        made.append(hung(boat, float(draw.uniform(0.0, 36 * INCH)), 0.0))
    return made


def test_the_rule_of_thumb_on_two_hundred_hulls() -> None:
    """Prints how often the rule lies within an inch of the range (pytest -rP); no threshold on that."""
    found = advise(catalogue_boats(200, 11)).each
    there = [one for one in found if one.low_m is not None]
    for one in found:
        if one.low_m is None:
            assert one.reason and one.high_m is None, "an empty range without a reason"
        else:
            assert one.high_m is not None and one.low_m <= one.high_m
            assert one.limited_below_by and one.limited_above_by and one.holds_over
            assert HEIGHTS_M[0] <= one.low_m and one.high_m <= HEIGHTS_M[-1]
    misses = np.array([abs(one.rule_misses_by_m) for one in there])
    width = np.array([one.high_m - one.low_m for one in there])
    whole = sum(one.holds_over.startswith("every") for one in there)
    print(
        f"rule of thumb within 1 in of the range: {np.mean(misses <= INCH):.0%} of {len(there)} hulls with a range"
    )
    print(
        f"  it lies below the range on {np.mean([one.rule_misses_by_m < 0 for one in there]):.0%}, above on "
        f"{np.mean([one.rule_misses_by_m > 0 for one in there]):.0%}; median miss {np.median(misses) / INCH:.2f} in"
    )
    print(
        f"ranges that hold for every model of the water: {whole}, for the middle of the band only: "
        f"{len(there) - whole}, none with a reason: {len(found) - len(there)}; median width {np.median(width) / INCH:.2f} in"
    )
    assert len(there) > 100


# --- properties -----------------------------------------------------------------------------------------


def test_less_thrust_never_planes_sooner() -> None:
    boats = [b for b in random_boats(24, 5) if b.engine.drive == "outboard"]
    shares = (1.0, 0.93, 0.85, 0.7)
    many = [
        replace(b, engine=replace(b.engine, rated_power_w=s * b.engine.rated_power_w))
        for b in boats
        for s in shares
    ]
    seconds = sweep_boats(many, 0.0).hump.time_to_plane_s.reshape(len(boats), len(shares))
    ranked = np.where(np.isnan(seconds), np.inf, seconds)
    with np.errstate(invalid="ignore"):
        slower = ranked[:, 1:] - ranked[:, :-1]
    assert np.all((slower >= 0.0) | np.isnan(slower))


def test_raising_the_plate_never_adds_leg_drag_while_the_gear_case_is_covered() -> None:
    for boat in random_boats(20, 9):
        lanes = Fleet.of(boat).lanes
        case = boat.propeller.diameter_m * ASSUMPTIONS["gear_case_diameter"].value
        shaft = ASSUMPTIONS["tip_clearance"].value + 0.5 * boat.propeller.diameter_m
        depth = np.linspace(
            -(shaft - 0.5 * case), 0.3, 200
        )  # of the plate; at the first the gear case breaks the surface
        for speed in (5.0, 12.0, 20.0):
            drag = leg_drag_n(lanes, depth, speed)
            assert np.all(np.diff(drag) >= -1e-9 * drag[1:]), boat.name  # deeper never drags less


def test_buoyancy_is_weight_and_moments_balance() -> None:
    result = four()
    rest = at_rest({"as drawn": hung(FOUR, 0.762, 0.1), "on the transom": hung(FOUR, 0.0, 0.04)})
    assert np.all(np.abs(rest.floating.residual_volume) <= 1e-6)
    assert np.all(np.abs(rest.floating.residual_moment) <= 1e-6)
    swept = sweep_boats([hung(FOUR, s, h) for s in (0.0, 0.4, 0.8) for h in (0.0, 0.1)])
    for left in (swept.points.vertical_left, swept.points.moment_left):
        known = left[np.isfinite(left)]
        assert known.size > 20 and np.all(np.abs(known) <= 1e-6)
    assert set(result.tables["at_rest"]["status"]) == {"ok"}


def test_the_water_is_that_which_the_legs_see() -> None:
    swept = sweep_boats([FOUR, hung(FOUR, 0.0, 0.0), TWIN])
    lanes = swept.afloat.lanes
    water = water_over_bottom(swept.afloat, swept.points, lanes.propeller_aft_m)
    seen = swept.points.plate_depth_m + lanes.plate_height_m[:, None]
    assert np.allclose(water, seen, rtol=0.0, atol=1e-12)


def test_the_band_holds_every_model_and_the_water_the_answer_rests_on() -> None:
    swept = sweep_boats([FOUR])
    seen = wake_at(swept.afloat, swept.points)
    for name in MODELS:
        assert np.all(seen.low_m <= seen.rise_m[name]) and np.all(seen.rise_m[name] <= seen.high_m)
    water = water_over_bottom(swept.afloat, swept.points, swept.afloat.lanes.propeller_aft_m)
    dry = seen.dry >= 1.0
    assert (
        dry.any()
        and np.all((water >= seen.low_m - 1e-12)[dry])
        and np.all((water <= seen.high_m + 1e-12)[dry])
    )


def test_off_the_centreline_only_the_contours_know() -> None:
    swept = sweep_boats([FOUR])
    on, off = (
        wake_at(swept.afloat, swept.points),
        wake_at(swept.afloat, swept.points, off_centre_m=0.4),
    )
    for name in MODELS:
        same = np.array_equal(on.rise_m[name], off.rise_m[name], equal_nan=True)
        assert same == (name != "wake_contour"), name


def test_a_lane_alone_is_the_lane_in_a_crowd() -> None:
    draw = np.random.default_rng(4)
    spans = {"distance_ratio": (0.0, 3.0), "trim_deg": (0.5, 9.0), "beam_froude": (1.0, 8.0),
             "keel_length_ratio": (0.2, 5.0), "deadrise_deg": (0.0, 30.0), "off_centre_ratio": (-0.4, 0.4)}  # fmt: skip
    given = {name: draw.uniform(*span, 501) for name, span in spans.items()}
    crowd = wake.wake_contour(**given)
    for at in range(0, 501, 23):
        alone = wake.wake_contour(**{name: value[at : at + 1] for name, value in given.items()})
        assert alone.view(np.uint64)[0] == crowd.view(np.uint64)[at]


def test_identical_boats_differ_by_nothing_and_say_so() -> None:
    pair = (FOUR, FOUR)
    stated = sweep_boats(list(pair))
    drawn = sweep_draws(list(pair), stated, 30, 2)
    speed = float(stated.best_speed_mps[0])
    found = under_way(
        ("one", "other"),
        pair,
        speed,
        Runs(stated, at_speed(stated, speed)),
        Runs(drawn, at_speed(drawn, speed)),
    )
    for name, figure in found.figures.items():
        assert figure.difference == figure.low == figure.high == 0.0, name
        assert figure.inside_doubt, name


def test_a_large_difference_is_outside_the_doubt() -> None:
    heavier = replace(FOUR, light=replace(FOUR.light, mass_kg=FOUR.light.mass_kg + 200.0))
    pair = (heavier, FOUR)
    stated = sweep_boats(list(pair))
    drawn = sweep_draws(list(pair), stated, 40, 2)
    speed = float(stated.best_speed_mps[1])
    found = under_way(
        ("heavy", "light"),
        pair,
        speed,
        Runs(stated, at_speed(stated, speed)),
        Runs(drawn, at_speed(drawn, speed)),
    )
    top = found.figures["top_speed_mps"]
    assert top.difference < 0.0 and top.high < 0.0 and not top.inside_doubt
    # shared draws: the difference is far surer than either figure
    heavy, light = drawn.hump.slowest_planing_mps.reshape(2, 40)
    assert np.nanstd(heavy - light) < 0.5 * np.nanstd(light)


# --- how high ---------------------------------------------------------------------------------------------


def test_the_range_lies_between_the_limits_it_names() -> None:
    found = advise([hung(FOUR, s, 0.0) for s in (0.0, 0.3, 0.762)])
    for at, one in enumerate(found.each):
        assert one.low_m is not None and one.high_m is not None
        rows = range(5) if one.holds_over.startswith("every") else [1]
        assert one.low_m == pytest.approx(max(found.cases.low[at, r] for r in rows))
        assert one.high_m == pytest.approx(min(found.cases.high[at, r] for r in rows))
        assert one.limited_below_by.startswith("drag of the buried leg")
        assert one.limited_above_by.startswith(("ventilation", "water pickup"))


def test_the_upper_end_is_where_the_plate_stands_its_shield_over_the_water() -> None:
    boat = hung(FOUR, 0.762, 0.0)
    one = advise([boat]).each[0]
    assert one.high_m is not None and one.limited_above_by.startswith("ventilation at top speed")
    there = sweep_boats([hung(FOUR, 0.762, one.high_m)])
    depth = at_speed(there, float(there.top.speed_mps[0])).plate_depth_m[0, 0]
    assert depth == pytest.approx(-ASSUMPTIONS["plate_shield"].value, abs=0.004)


def test_a_low_pickup_limits_before_ventilation(monkeypatch: pytest.MonkeyPatch) -> None:
    boat = hung(FOUR, 0.0, 0.0)
    before = advise([boat]).each[0]
    monkeypatch.setitem(MOUNTING, "pickup_below", replace(MOUNTING["pickup_below"], value=0.05))
    after = advise([boat]).each[0]
    assert after.limited_above_by.startswith("water pickup") or after.low_m is None
    assert after.high_m is None or after.high_m < before.high_m


def test_a_boat_that_does_not_plane_gets_a_reason() -> None:
    weak = replace(FOUR, engine=replace(FOUR.engine, rated_power_w=20_000.0))
    result = mount(weak, draws=0)
    advice = result.summary["recommendation"]
    assert advice["plate_height_low_m"] is None and "plane" in advice["reason"]
    assert "no height can be recommended" in result.shown().answer
    json.loads(result.as_json())
    assert rig_card(weak, result).rows


def test_the_ladder_runs_through_the_wake_band() -> None:
    lanes = with_wake(Fleet.of([FOUR, TWIN]).lanes, np.array([0.0, 0.5, 1.0]))
    assert lanes.wake_place.tolist() == [0.0, 0.5, 1.0] * 2
    assert np.array_equal(lanes.mass_kg, np.repeat(Fleet.of([FOUR, TWIN]).lanes.mass_kg, 3))


# --- bracket, sideways, shallow ------------------------------------------------------------------------------


def test_a_bracket_below_the_hull_bottom_is_flagged_with_amount_and_cost() -> None:
    low = replace(FOUR, bracket=replace(FOUR.bracket, bottom_above_m=-0.01))
    result = mount(low, (0.762,), (0.1,), draws=0)
    found = result.summary["bracket"]
    assert found["hangs_below_m"] == pytest.approx(0.01)
    assert found["top_speed_lost_mps"] > 0.0 and found["share_of_mileage_lost"] > 0.0
    assert "bracket_low" in result.cautions
    swept = sweep_boats([low])
    flow = bracket_flow(low.bracket, swept.afloat, swept.points, float(swept.best_speed_mps[0]))
    at = int(np.argmin(np.abs(flow.speed_mps - swept.top.speed_mps[0])))
    box = (
        0.9
        * low.bracket.width_m
        * 0.01
        * 0.5
        * swept.afloat.lanes.water_density[0]
        * flow.speed_mps[at] ** 2
    )
    assert flow.drag_n[at] >= box > 0.0
    deeper = replace(low.bracket, bottom_above_m=-0.03)
    assert bracket_flow(deeper, swept.afloat, swept.points, 12.0).top_cost_mps > flow.top_cost_mps


def test_a_bracket_well_above_is_dry_on_plane_and_wet_at_low_speed() -> None:
    flow = four().summary["bracket"]
    assert flow["hangs_below_m"] == 0.0 and flow["wet_up_to_mps"] is not None
    assert flow["wet_up_to_mps"] < four().summary["top_speed_mps"]
    table = four().tables["bracket"]
    assert table["bracket_wet_share"].iloc[0] == 1.0 and table["bracket_wet_share"].iloc[-1] == 0.0
    assert (table["bracket_drag_low_n"] <= table["bracket_drag_n"]).all()
    high = replace(FOUR.bracket, bottom_above_m=1.2)
    swept = sweep_boats([replace(FOUR, bracket=high)])
    assert np.all(bracket_flow(high, swept.afloat, swept.points, 12.0).drag_n < 1e-9)


def test_whether_the_bracket_carries_itself_and_the_engine() -> None:
    found = four().summary["bracket"]
    assert found["own_weight_n"] == pytest.approx(FOUR.bracket.mass_kg * GRAVITY)
    assert found["bracket_and_engines_n"] == pytest.approx(
        (FOUR.bracket.mass_kg + FOUR.engine.mass_kg) * GRAVITY
    )
    assert found["carries_itself"] == (found["buoyancy_at_rest_n"] >= found["own_weight_n"])
    assert found["carries_engines_too"] == (
        found["buoyancy_at_rest_n"] >= found["bracket_and_engines_n"]
    )


def test_two_engines_turn_her_only_when_one_is_stopped() -> None:
    table = twin().tables["sideways"].set_index("case")
    off = 0.5 * MOUNTING["engine_spacing"].value
    assert table.loc["both engines running", "turning_moment_nm"] == 0.0
    down, up = (
        table.loc["one stopped, its leg in the water"],
        table.loc["one stopped and tilted clear"],
    )
    assert down["turning_moment_nm"] == pytest.approx((down["thrust_n"] + down["dragged_n"]) * off)
    assert up["turning_moment_nm"] == pytest.approx(up["thrust_n"] * off) and up["dragged_n"] == 0.0
    assert down["dragged_n"] > 0.0 and 0.0 < down["helm_deg"] < 45.0 and down["helm_drag_n"] > 0.0
    assert up["speed_mps"] > down["speed_mps"]
    assert "helm" in twin().cautions
    water = twin().summary["water"]
    deadrise = np.radians(TWIN.hull.deadrise_transom_deg)
    assert water["bottom_over_keel_there_m"] == pytest.approx(off * np.tan(deadrise))


def test_one_engine_off_the_centreline() -> None:
    result = mount(bare(FOUR), (0.0,), (0.05,), Wanted(off_centre_m=0.2), draws=0)
    row = result.tables["sideways"].iloc[0]
    assert row["turning_moment_nm"] == pytest.approx(row["thrust_n"] * 0.2)
    swept = sweep_boats([bare(FOUR, 0.0, result.inputs["at_plate_height_m"])])
    lever = swept.afloat.lanes.forward_m[0] + swept.afloat.lanes.propeller_aft_m[0]
    answered = np.sin(np.radians(row["helm_deg"])) * lever
    assert answered > 0.0
    side = row["turning_moment_nm"] / answered - row["thrust_n"]
    assert side > 0.0  # the leg helps as a rudder
    assert row["helm_drag_n"] == pytest.approx(
        float(steering.helm_drag(row["helm_deg"], row["thrust_n"], side))
    )


def test_how_shallow() -> None:
    table = four().tables["shallow"].set_index(["hung", "case"])
    boat = four().summary["side"]
    hung_at, lifted = (table.loc[(way, "at rest")] for way in ("as hung", "on a lift plate"))
    lift = MOUNTING["lift_plate"].value * np.cos(np.radians(boat["rest_trim_deg"]))
    assert hung_at["skeg_depth_m"] - lifted["skeg_depth_m"] == pytest.approx(lift)
    assert hung_at["keel_depth_m"] == lifted["keel_depth_m"] == pytest.approx(
        boat["rest_draught_m"] * np.cos(np.radians(boat["rest_trim_deg"])))  # fmt: skip
    for _, row in table.iterrows():
        assert row["water_needed_m"] == max(
            row["keel_depth_m"], row["propeller_depth_m"], row["skeg_depth_m"]
        )
    assert (
        table.loc[("as hung", "getting up on plane"), "water_needed_m"]
        > table.loc[("as hung", "under way"), "water_needed_m"]
    )
    critical = four().tables["critical"]
    assert np.allclose(
        critical["critical_from_mps"], 0.7 * np.sqrt(GRAVITY * critical["water_depth_m"])
    )
    assert np.allclose(critical["critical_to_mps"] / critical["critical_from_mps"], 1.2 / 0.7)


def test_the_caution_of_shallow_water() -> None:
    speed = 6.0
    depth = (speed / 0.9) ** 2 / GRAVITY
    near = mount(FOUR, (0.762,), (0.1,), Wanted(speed_mps=speed, water_depth_m=depth), draws=0)
    far = mount(FOUR, (0.762,), (0.1,), Wanted(speed_mps=speed, water_depth_m=20 * depth), draws=0)
    assert "critical_depth" in near.cautions and "critical_depth" not in far.cautions


# --- the result, the card, the command --------------------------------------------------------------------------


def test_the_result_carries_what_the_issue_names() -> None:
    result = four()
    assert result.kind == "mount"
    recommendation = result.summary["recommendation"]
    for key in (
        "plate_height_low_m",
        "plate_height_high_m",
        "limited_below_by",
        "limited_above_by",
        "rule_of_thumb_m",
        "holes",
    ):
        assert key in recommendation
    grid = result.tables["rows"]
    for key in ("setback_m", "plate_height_m", "top_speed_mps", "top_rpm", "time_to_plane_s", "mileage_m_per_l",
                "hump_margin", "immersion_ratio", "plate_depth_m", "cautions"):  # fmt: skip
        assert key in grid
    for table in ("at_rest", "with_without", "transom_load", "shallow"):
        assert len(result.tables[table])
    for name, figure in result.summary["with_without"].items():
        if isinstance(figure, dict):
            assert {
                "with",
                "without",
                "difference",
                "difference_p10",
                "difference_p90",
                "inside_the_doubt",
            } <= set(figure), name
    assert "NaN" not in result.as_json()


def test_every_column_caution_and_source_is_known() -> None:
    for result in (four(), twin()):
        for key, frame in result.tables.items():
            for name in frame.columns:
                if not name.endswith("_outside") and name != "inside_range":
                    assert column(name).sentence, f"{key}.{name}"
        assert all(sentence(code) for code in result.cautions)
        assert set(result.sources) <= set(SOURCES)
        assert set(MOUNTING) <= {a.name for a in result.assumptions}
        assert {"wake_outside", "transom", "estimate", "drill"} <= set(result.cautions)


def test_the_same_question_gets_the_same_answer() -> None:
    again = mount(FOUR, draws=40)
    assert again.as_json() == four().as_json()
    for plot in again.plots:
        for line in plot.lines:
            assert line.y in again.tables[line.table] and plot.x in again.tables[line.table]


def test_the_grid_is_the_boat_worked_out_alone() -> None:
    grid = four().tables["rows"]
    row = grid[(grid["setback_m"] > 0.0)].iloc[5]
    alone = sweep_boats([hung(FOUR, float(row["setback_m"]), float(row["plate_height_m"]))])
    assert row["top_speed_mps"] == alone.top.speed_mps[0]
    assert row["time_to_plane_s"] == alone.hump.time_to_plane_s[0]


def test_a_seven_by_twelve_grid_is_one_engine_call(monkeypatch: pytest.MonkeyPatch) -> None:
    """Counted: the grid and everything compared with it is one sweep; the rows of a grid add no call. Prints milliseconds."""
    calls: list[int] = []
    real = performance.points

    def counting(afloat, speed_mps, *rest, **more):  # type: ignore[no-untyped-def]
        calls.append(afloat.lanes.count * np.shape(speed_mps)[-1])
        return real(afloat, speed_mps, *rest, **more)

    swept: list[int] = []
    real_sweep = sweeps.sweep_boats

    def sweeping(boats, *rest):  # type: ignore[no-untyped-def]
        swept.append(len(boats))
        return real_sweep(boats, *rest)

    for place in (performance, sweeps):
        monkeypatch.setattr(place, "points", counting)
    monkeypatch.setattr(mount_setting, "sweep_boats", sweeping)

    def counted(setbacks: np.ndarray, heights: np.ndarray) -> tuple[int, list[int]]:
        calls.clear(), swept.clear()
        mount(FOUR, setbacks, heights, Wanted(at_setback_m=0.762), draws=0)
        return len(calls), list(swept)

    began = time.perf_counter()
    many, sweeps_made = counted(np.linspace(0.0, 36 * INCH, 7), np.linspace(-0.02, 0.19, 12))
    took = 1000.0 * (time.perf_counter() - began)
    few, _ = counted(np.array([0.0]), np.array([0.05]))
    print(
        f"7 x 12 grid: {many} calls of the engine, {few} for a grid of one; the whole study took {took:.0f} ms"
    )
    holes = int(MOUNTING["holes_up"].value) + 1
    wanted = [7 * 12 + 7 + 2 + holes]
    assert sweeps_made == wanted, "grid, holes, setbacks and both ways are rows of one sweep"
    assert many <= few + 4  # the root search of the top speed may take a turn more for some row


def test_the_card_says_what_the_result_says() -> None:
    result = four()
    card = rig_card(FOUR, result)
    envelope = json.loads(result.as_json())["summary"]
    known = {**envelope, **envelope["recommendation"]}
    seen = 0
    for row in card.rows:
        values = {part.si for part in row.value.parts if isinstance(part, Value)}
        for name in row.names:
            said = known[name]
            if isinstance(said, float) and said != 0.0:
                assert any(abs(said) == value for value in values), (row.label, name)
                seen += 1
            elif name == "holes":
                assert str(said) in row.value.spoken("us")
        for value in values:
            numbers = [abs(v) for v in known.values() if isinstance(v, float)]
            own = (FOUR.propeller.diameter_m, FOUR.propeller.pitch_m,
                   FOUR.engine.full_throttle_low_rpm, FOUR.engine.full_throttle_high_rpm)  # fmt: skip
            assert value in (*numbers, *own), row.label
    assert seen >= 8 and card.then and card.blanks and card.cautions
    with pytest.raises(ValueError, match="rig card"):
        rig_card(FOUR, replace(result, kind="speeds"))


def test_only_outboards_are_hung() -> None:
    stern = next(boat for boat in demos() if boat.engine.drive == "sterndrive")
    with pytest.raises(ValueError, match="sterndrive"):
        mount(stern)


def test_wanted_heights_and_places() -> None:
    result = mount(
        FOUR, (0.0, 0.9), (0.0, 0.1), Wanted(at_setback_m=0.5, at_plate_height_m=0.07), draws=0
    )
    assert result.inputs["at_setback_m"] == 0.5 and result.inputs["at_plate_height_m"] == 0.07
    assert result.summary["side"]["plate_height_m"] == 0.07
    assert result.summary["recommendation"]["setback_m"] == 0.5
    assert len(result.tables["rows"]) == 4


def test_rows_of_a_sweep() -> None:
    swept = sweep_boats([FOUR, TWIN, hung(FOUR, 0.0, 0.0)])
    some = rows_of(swept, [2, 0])
    assert np.array_equal(some.top.speed_mps, swept.top.speed_mps[[2, 0]])
    assert np.array_equal(some.points.trim_deg, swept.points.trim_deg[[2, 0]])


def command(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(list(words))
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return code, out, err


def test_the_command_answers(capsys: pytest.CaptureFixture[str], tmp_path) -> None:
    figure, card = tmp_path / "stern.svg", tmp_path / "card.pdf"
    code, out, err = command(
        capsys, "mount", "number_four", "--setback=0:30:30in", "--height=-1in:4in:2.5in", "--draws", "20",
        "--format", "json", "--sole", "24 in", "--depth", "4 ft", "--holes", "--figure", str(figure), "--card", str(card),
    )  # fmt: skip
    assert code == 0 and "written" in err
    answer = json.loads(out)
    assert answer["kind"] == "mount" and len(answer["rows"]) == 2 * 3
    heights = [row["plate_height_m"] for row in answer["rows"][:3]]
    assert heights == pytest.approx([-1 * INCH, 1.5 * INCH, 4 * INCH])
    assert "second_hand_sole" in answer["cautions"]
    assert figure.read_text().startswith("<?xml") and card.read_bytes().startswith(b"%PDF")
    assert answer["summary"] == json.loads(json.dumps(plain(answer["summary"])))


def test_page_report_card_and_command_draw_alike(
    capsys: pytest.CaptureFixture[str], tmp_path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same boat has the same figures and bands wherever she is asked about, to the last digit."""
    page, seen = places.whole(FOUR), []
    monkeypatch.setattr(
        rig_cards, "rig_card_bytes", lambda boat, result, units: (seen.append(result), b"")[1]
    )
    monkeypatch.setattr(
        reports, "report_bytes", lambda results, *rest, **more: (seen.extend(results), b"")[1]
    )
    told = command(
        capsys, "mount", "number_four", "--format", "json", "--card", str(tmp_path / "c.pdf")
    )[1]
    assert (
        command(capsys, "report", "number_four", "--mount", "-o", str(tmp_path / "r.pdf"))[0] == 0
    )
    assert [one.kind for one in seen] == ["mount", "speeds", "mount"]
    said = json.loads(page.as_json())["summary"]
    assert said["top_speed_mps_p10"] < said["top_speed_mps_p90"]
    for other in (told, seen[0].as_json(), seen[2].as_json()):
        assert json.loads(other)["summary"] == said


@pytest.mark.parametrize("boat", OUTBOARDS, ids=lambda boat: boat.name)
def test_the_page_and_the_study_by_itself_say_the_same_of_every_boat(boat: Boat) -> None:
    """The page looks at more setbacks and heights, which moves no figure and no comparison."""
    page, alone = places.whole(boat), mount(boat)
    assert json.loads(page.as_json())["summary"] == json.loads(alone.as_json())["summary"]
    assert (page.answer, page.cautions) == (alone.answer, alone.cautions)


def test_the_name_stands_once_over_the_drawings(tmp_path) -> None:
    figure = tmp_path / "stern.svg"
    assert main(["mount", "number_four", "--draws", "0", "--quiet", "--figure", str(figure)]) == 0
    over = figure.read_text().partition("over the bottom")[0]
    assert over.count("Number Four") <= 1


def test_only_what_the_engine_as_it_hangs_meets_stands_on_the_card() -> None:
    result = four()
    high = sentence("plate_high")
    assert "plate_high" not in result.cautions and high not in rig_card(FOUR, result).cautions
    assert high in rig_card(FOUR, replace(result, cautions=("plate_high",))).cautions
    up = mount(FOUR, (0.762,), (0.0,), Wanted(at_plate_height_m=0.3), draws=0)
    assert "plate_high" in up.cautions and high in rig_card(FOUR, up).cautions


def test_the_command_as_text_and_csv(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = command(capsys, "mount", "number_one", "--draws", "0")
    assert code == 0 and out.startswith("Number One") and "rule of thumb" in " ".join(out.split())
    assert all(len(line) <= 110 for line in out.splitlines())
    assert "At rest" in out and "Transom load" in out and "Shaft" in out
    code, out, _ = command(
        capsys, "mount", "number_one", "--draws", "0", "--format", "csv", "--setback=0in"
    )
    frame = pd.read_csv(pd.io.common.StringIO(out))
    assert code == 0 and len(frame) == 12 and frame["setback_m"].eq(0.0).all()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--setback=-3in",), "behind the transom"),
        (("--setback=0:36:1in", "--height=0:8:0.1in"), "too many"),
        (("--draws", "3"), "a band needs"),
        (("--height=3",), "write"),
        (("--speed", "0 mph"), "more than nothing"),
        (("--figure", "boat.gif"), ".svg"),
        (("--card", "card.png"), ".pdf"),
        (("--load", "nobody"), "no such load"),
        (("--sole", "7,5 in"), "comma"),
    ],
)
def test_the_command_refuses(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    code, out, err = command(capsys, "mount", "number_four", *words)
    assert code == 2 and not out and said in err


def test_the_command_refuses_a_sterndrive(capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = command(capsys, "mount", "number_six", "--draws", "0")
    assert code == 2 and "sterndrive" in err


PAGE = "perf/faces/dashboard/pages/mount.py"


def page_of(boat: str) -> tuple[AppTest, str]:
    at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=120)
    at.query_params["boat"] = boat
    at.run()
    at.switch_page(PAGE)
    at.run()
    assert not at.exception
    said = [
        str(e.value)
        for kind in ("markdown", "header", "caption", "info")
        for e in getattr(at, kind)
    ]
    return at, re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", "\n".join(said)).replace("\u2060", "")


def test_the_page_of_a_sterndrive_says_why_not() -> None:
    _, said = page_of("number_six")
    assert "sterndrive" in said and "cut-out" in said


def test_the_advice_in_words() -> None:
    answer = four().shown().answer
    assert answer.startswith(
        "Number Four, loaded as charter, engine 30 in back: a 25 in shaft, 4 holes up, "
    )
    for words in ("over the bottom", "shaft", "hole", "rule of thumb"):
        assert words in answer
    metric = four().shown("metric").answer
    assert "0.76 m back" in metric or "0.762 m back" in metric
    assert isinstance(four().tables["wake_models"]["range"].iloc[0], str)
    assert isinstance(mounting.OUTSIDE, tuple) and isinstance(advise([FOUR]).each[0], Advice)
    assert transom_loads.transom_moment(1.0, 1.0, 1.0, 1.0) == 2.0
