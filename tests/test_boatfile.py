"""The boat file: whole reading, both ways of weighing, and every way a file can be wrong."""

from __future__ import annotations

import random
import time
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from perf.base.assumptions import ASSUMPTIONS
from perf.base.faults import InputFaults
from perf.base.units import read
from perf.boat import places, schema
from perf.boat.boatfile import read_boat
from perf.boat.building import SUFFIXES
from perf.boat.parts import Boat, Trial
from perf.boat.tomlplaces import Path as Path_
from perf.boat.tomlplaces import locate
from perf.boat.understood import describe, understood
from perf.boat.weighing import Item, take_off, tank_level
from perf.laws.engine import FUELS
from perf.laws.friction import BOTTOMS, roughness_allowance

GOOD = """# An invented hull of no yard.
format = 1
name   = "Grey Tern"
load   = "charter"

[hull]
length_overall   = "24 ft 2 in"
waterline_length = "20 ft 6 in"
chine_beam       = "7 ft 10 in"
transom_beam     = "7 ft 6 in"
deadrise_transom = "18 deg"
deadrise_midship = "21 deg"
transom_height   = "25 in"
transom_rake     = "14 deg"
bottom           = "slime"               # a remark, with "quotes" = and [brackets]
scupper          = { forward = "0 in", above = "17 in" }

[plate]
power = "250 hp"

[weighed]
mass    = "5150 lb ± 3 %"
forward = "6 ft 10 in ± 4 in"
above   = "2 ft 5 in"
aboard  = ["engine", "bracket", "tackle", "tank 1/2"]

[engine]
count             = 1
drive             = "outboard"
technology        = "four-stroke injected"
rated_power       = "225 hp ± 3 %"
rated_rpm         = "5500 rpm"
full_throttle_rpm = ["5000 rpm", "6000 rpm"]
gear_ratio        = 1.86
mass              = "560 lb"

[propeller]
diameter   = "15 1/4 in"
pitch      = "17 in"
blades     = 3
area_ratio = 0.60
cup        = "light"

[mounting]
setback      = "30 in"
plate_height = "2 in"
drive_trim   = "best"

[bracket]
mass         = "115 lb"
width        = "30 in"
length       = "30 in"
bottom_above = "3 in"
floats       = true

[tank]
fuel     = "petrol"
capacity = "120 gal"
usable   = 0.90
forward  = "7 ft 6 in"
above    = "11 in"

[weights]
skipper = { mass = "200 lb",            forward = "9 ft",      above = "4 ft 2 in" }
guests  = { mass = "185 lb", count = 6, forward = "5 ft 6 in", above = "3 ft 9 in" }
ice     = { mass = "160 lb",            forward = "3 ft",      above = "1 ft 8 in" }
tackle  = { mass = "140 lb",            forward = "8 ft",      above = "2 ft 6 in" }

[loads]
alone   = { aboard = ["skipper", "tackle"],                  tank = 0.3 }
charter = { aboard = ["skipper", "guests", "ice", "tackle"], tank = 1.0 }
home    = { aboard = ["skipper", "guests", "ice", "tackle"], tank = 0.35 }

[air]
frontal_area = "38 sq ft"
top          = "half tower"

[water]
temperature = "48 °F"
salinity    = "31 g/kg"
"""

SHORTEST = """format = 1
name = "Little Auk"
[hull]
length_overall = "5.2 m"
chine_beam = "1.6 m"
deadrise_transom = "12 deg"
transom_height = "51 cm"
[light]
mass = "300 kg"
forward = "2 m"
[engine]
count = 1
drive = "outboard"
technology = "four-stroke injected"
rated_power = "37 kW"
full_throttle_rpm = ["5000 rpm", "6000 rpm"]
gear_ratio = 2.0
mass = "98 kg"
[propeller]
diameter = "11 1/2 in"
pitch = "13 in"
blades = 3
[tank]
fuel = "petrol E10"
capacity = "25 l"
forward = "40 cm"
above = "20 cm"
[loads]
empty = { aboard = [], tank = 0.5 }
"""


def boat_of(text: str) -> Boat:
    return read_boat(text.encode(), name="boat.toml")


def refusal(text: str | bytes) -> InputFaults:
    """The faults of a wrong file; it takes less than a second to find them."""
    began = time.process_time()
    with pytest.raises(InputFaults) as caught:
        read_boat(text if isinstance(text, bytes) else text.encode(), name="boat.toml")
    assert time.process_time() - began < 1.0
    return caught.value


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


# --- a good file -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "old, new, key, words",
    [
        ('"5150 lb ± 3 %"', '"51500 lb"', "weighed.mass", "deeper than her sides"),
        ('"185 lb"', '"18500 lb"', "weights.guests.mass", "deeper than her sides"),
        ('"225 hp ± 3 %"', '"800 hp"', "engine.rated_power", "three times what the plate allows"),
        ('mass              = "560 lb"', 'mass = "220 lb"', "engine.mass", "less than 1 lb per hp"),
    ],
)
def test_an_absurd_weight_or_power_is_a_fault(old: str, new: str, key: str, words: str) -> None:
    assert old in GOOD
    found = refusal(GOOD.replace(old, new)).faults
    assert any(one.key == key and words in one.cure for one in found), found


def test_without_a_plate_the_rule_for_small_boats_catches_a_zero_too_many() -> None:
    """33 CFR 183.53: 24 ft 2 in by 7 ft 10 in is a factor of 189; 2 x 189 - 90, raised to a five, 290 hp."""
    bare = GOOD.replace('[plate]\npower = "250 hp"\n', "").replace(
        'mass              = "560 lb"', 'mass = "1500 lb"'
    )
    found = refusal(bare.replace('"225 hp ± 3 %"', '"900 hp"')).faults
    assert [one.key for one in found] == ["engine.rated_power"] and "290 hp" in found[0].cure
    assert boat_of(bare.replace('"225 hp ± 3 %"', '"860 hp"')).engine.count == 1


def test_the_whole_file_is_read() -> None:
    boat = boat_of(GOOD)
    assert boat.name == "Grey Tern"
    assert boat.load_names == ("alone", "charter", "home")
    assert boat.loaded.aboard == ("skipper", "guests", "ice", "tackle")
    assert boat.hull.length_overall_m == pytest.approx(290 * 0.0254, rel=1e-12)
    assert boat.hull.friction_allowance == BOTTOMS["slime"]
    assert boat.hull.scupper is not None and boat.hull.scupper.above_m == pytest.approx(17 * 0.0254)
    assert boat.plate_power_w == pytest.approx(250 * 745.69987, rel=1e-6)
    assert (boat.engine.full_throttle_low_rpm, boat.engine.full_throttle_high_rpm) == (
        5000.0,
        6000.0,
    )
    assert boat.engine.count == 1 and boat.engine.gear_ratio == 1.86
    assert boat.propeller.cup == "light"
    assert boat.propeller.cup_m == pytest.approx(ASSUMPTIONS["light_cup_share"].value * 17 * 0.0254)
    assert boat.mounting.drive_trim_deg is None
    assert boat.bracket is not None and boat.bracket.floats is True
    assert boat.tank.capacity_m3 == pytest.approx(120 * 3.785411784e-3, rel=1e-12)
    assert [(weight.name, weight.count) for weight in boat.weights] == [
        ("skipper", 1), ("guests", 6), ("ice", 1), ("tackle", 1),
    ]  # fmt: skip
    assert boat.water.temperature_c == pytest.approx(8.8889, abs=1e-4)
    assert boat.trial == Trial()
    assert set(boat.assumed) == {
        "entrance_angle",
        "light_cup_share",
        "bottom_allowance",
        "top_drag",
    }


def test_words_and_doubts_are_kept_by_path() -> None:
    boat = boat_of(GOOD)
    words, doubts = dict(boat.words), dict(boat.doubts)
    assert words["engine.rated_power"] == "225 hp ± 3 %"
    assert words["weights.ice.mass"] == "160 lb"
    assert doubts["engine.rated_power"] == pytest.approx(0.03 * boat.engine.rated_power_w)
    assert doubts["propeller.cup"] == pytest.approx(
        ASSUMPTIONS["light_cup_share"].half_width * 17 * 0.0254
    )
    assert not any(path.startswith("weighed") for path in doubts)


def test_a_path_a_text_path_and_bytes_read_alike(tmp_path: Path) -> None:
    file = tmp_path / "tern.toml"
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert read_boat(file) == read_boat(str(file)) == read_boat(GOOD.encode())


def test_blanks_are_filled_by_named_assumptions_and_carry_their_doubt() -> None:
    boat = boat_of(SHORTEST)
    value = {name: about.value for name, about in ASSUMPTIONS.items()}
    assert boat.hull.waterline_length_m == pytest.approx(5.2 * value["waterline_share"])
    assert boat.hull.transom_beam_m == pytest.approx(1.6 * value["transom_beam_share"])
    assert boat.hull.deadrise_midship_deg == 12.0 + value["deadrise_rise"]
    assert boat.light.above_m == value["light_above"]
    assert boat.engine.rated_rpm == 5500.0
    assert boat.tank.usable == value["usable_fuel"]
    assert boat.propeller.area_ratio == value["area_ratio"]
    assert boat.air.frontal_area_m2 == pytest.approx(1.6 * value["frontal_area_per_beam"])
    assert (boat.mounting.setback_m, boat.mounting.plate_height_m) == (0.0, 0.0)
    assert (boat.bracket, boat.plate_power_w, boat.load) == (None, None, "empty")
    assert set(boat.assumed) == {
        "waterline_share", "transom_beam_share", "deadrise_rise", "transom_rake", "entrance_angle",
        "light_above", "rated_rpm_place", "area_ratio", "usable_fuel", "frontal_area_per_beam",
        "water_temperature", "salinity", "bottom_allowance", "top_drag",
    }  # fmt: skip
    doubts = dict(boat.doubts)
    assert doubts["hull.waterline_length"] == pytest.approx(
        5.2 * ASSUMPTIONS["waterline_share"].half_width
    )
    assert doubts["water.temperature"] == ASSUMPTIONS["water_temperature"].half_width


def test_roughness_cup_and_drive_trim_may_be_quantities() -> None:
    text = (
        GOOD.replace('"slime"', '"0.15 mm"')
        .replace('"light"', '"3/4 in"')
        .replace('"best"', '"-2 deg"')
    )
    boat = boat_of(text)
    expected = roughness_allowance(0.15e-3, boat.hull.waterline_length_m)  # type: ignore[arg-type]
    assert boat.hull.friction_allowance == pytest.approx(float(expected))
    assert boat.hull.bottom == "0.15 mm"
    assert boat.propeller.cup_m == pytest.approx(0.75 * 0.0254)
    assert boat.mounting.drive_trim_deg == -2.0


def test_trial_factors_are_read_with_their_doubt() -> None:
    boat = boat_of(GOOD + '\n[trial]\ndrag = "1.05 ± 0.03"\nbalance = "-2 in"\nleg = 1.2\n')
    assert boat.trial == replace(Trial(), drag=1.05, balance_m=-2 * 0.0254, leg=1.2)
    assert dict(boat.doubts)["assumed.trial_drag"] == pytest.approx(0.03)


def test_plate_none_and_no_plate_are_both_none() -> None:
    assert boat_of(GOOD.replace('"250 hp"', '"none"')).plate_power_w is None
    assert boat_of(GOOD.replace('[plate]\npower = "250 hp"\n', "")).plate_power_w is None


def test_a_weight_may_carry_a_quoted_name() -> None:
    text = GOOD.replace("ice  ", '"big ice"').replace('"ice"', '"big ice"')
    assert "big ice" in [weight.name for weight in boat_of(text).weights]


# --- weighing ----------------------------------------------------------------------------------


def test_both_ways_of_weighing_give_the_same_parts() -> None:
    """The light hull is loaded by hand, weighed with all aboard, and found again."""
    stated = boat_of(
        GOOD.replace(
            GOOD[GOOD.index("[weighed]") : GOOD.index("[engine]")],
            '[light]\nmass = "4000 lb"\nforward = "8 ft 3 in"\nabove = "2 ft"\n\n',
        )
    )
    value = {name: about.value for name, about in ASSUMPTIONS.items()}
    pound, inch = 0.45359237, 0.0254
    aboard = [  # mass, forward, above: worked out here from the geometry, not by the reader
        (4000 * pound, 99 * inch, 24 * inch),
        (560 * pound, -(30 * inch + value["engine_aft"]), 27 * inch + value["engine_above"]),
        (
            115 * pound,
            -value["bracket_centre"] * 30 * inch,
            3 * inch + 0.5 * value["bracket_height"],
        ),
        (140 * pound, 96 * inch, 30 * inch),
        (6 * 185 * pound, 66 * inch, 45 * inch),
        (0.5 * 120 * 3.785411784e-3 * FUELS["petrol"].density_kg_m3, 90 * inch, 11 * inch),
    ]
    mass = sum(m for m, _, _ in aboard)
    forward = sum(m * x for m, x, _ in aboard) / mass
    above = sum(m * z for m, _, z in aboard) / mass
    weighing = f'''[weighed]
mass = "{mass:.12f} kg"
forward = "{forward:.12f} m"
above = "{above:.12f} m"
aboard = ["engine", "bracket", "tackle", "guests", "tank 1/2"]

'''
    weighed = boat_of(
        GOOD.replace(GOOD[GOOD.index("[weighed]") : GOOD.index("[engine]")], weighing)
    )
    for name in ("mass_kg", "forward_m", "above_m"):
        assert getattr(weighed.light, name) == pytest.approx(getattr(stated.light, name), rel=1e-9)
    assert replace(weighed, light=stated.light, words=(), doubts=()) == replace(
        stated, words=(), doubts=()
    )


def test_doubts_of_a_weighing_become_doubts_of_the_light_boat() -> None:
    """Against finite differences: each stated doubt moved alone, added as the root of squares."""
    boat = boat_of(GOOD)

    def light(mass: str = "5150 lb", forward: str = "82 in") -> tuple[float, float]:
        text = GOOD.replace("5150 lb ± 3 %", mass).replace("6 ft 10 in ± 4 in", forward)
        found = boat_of(text).light
        return found.mass_kg, found.forward_m

    more_mass, more_forward = light(mass="5151 lb"), light(forward="82.1 in")
    as_is = light()
    by_mass = (more_mass[1] - as_is[1]) * 0.03 * 5150
    by_place = (more_forward[1] - as_is[1]) / 0.1 * 4
    doubts = dict(boat.doubts)
    assert doubts["light.mass"] == pytest.approx(0.03 * 5150 * 0.45359237)
    assert doubts["light.forward"] == pytest.approx((by_mass**2 + by_place**2) ** 0.5, rel=1e-3)
    assert (
        doubts["light.forward"] > 4 * 0.0254
    )  # less mass, same moment: less sure than was weighed


def test_doubts_of_what_was_aboard_count_too() -> None:
    text = GOOD.replace('mass = "140 lb"', 'mass = "140 lb ± 40 lb"').replace(
        ' ± 3 %"\nforward', '"\nforward'
    )
    assert dict(boat_of(text).doubts)["light.mass"] == pytest.approx(40 * 0.45359237)


def test_taking_off_what_is_put_on_changes_nothing() -> None:
    whole, thing = Item(1000.0, 3.0, 0.8), Item(200.0, -0.5, 1.0)
    light, _ = take_off(whole, [thing])
    back = (light.mass_kg * light.forward_m + 200.0 * -0.5) / 1000.0
    assert back == pytest.approx(3.0, rel=1e-12)
    with pytest.raises(ValueError, match="as much as"):
        take_off(thing, [whole])


@pytest.mark.parametrize(
    ("name", "level"),
    [
        ("tank 1/2", 0.5),
        ("tank full", 1.0),
        ("tank empty", 0.0),
        ("tank 0.4", 0.4),
        ("tank half", 0.5),
        ("tank three quarters", 0.75),
        ("tank 1/0", None),
        ("tank", None),
    ],
)
def test_tank_levels(name: str, level: float | None) -> None:
    assert tank_level(name) == level


def test_places_follow_the_mounting() -> None:
    forward, above = places.engine_place(
        drive="outboard", setback_m=0.5, plate_height_m=0.05, transom_height_m=0.6,
        engine_aft=0.3, engine_above=0.2, sterndrive_mass_forward=0.7, sterndrive_mass_above=0.5,
    )  # fmt: skip
    assert (forward, above) == (pytest.approx(-0.8), pytest.approx(0.85))
    assert places.propeller_place(
        setback_m=0.5, plate_height_m=0.05, diameter_m=0.4, propeller_aft=0.6, tip_clearance=0.02
    ) == (pytest.approx(-1.1), pytest.approx(-0.17))


# --- what was understood -----------------------------------------------------------------------


def test_what_was_understood_is_shown_beside_the_words() -> None:
    rows = {path: (text, value) for path, text, value in understood(boat_of(GOOD))}
    assert rows["hull.length_overall"] == ("24 ft 2 in", "24 ft 2 in")
    assert rows["engine.full_throttle_rpm"][1] == "5000 rpm to 6000 rpm"
    assert rows["weighed.mass"][1].startswith("5150 lb ± 15")
    assert rows["light.mass"][0] == "(from the weighing)"
    assert rows["hull.entrance_angle"][0] == "(assumed)"
    metric = {path: value for path, _, value in understood(boat_of(GOOD), "metric")}
    assert metric["hull.length_overall"] == "7.366 m"
    assert any("guests" in line and "185 lb" in line for line in describe(boat_of(GOOD)))


def test_every_example_and_limit_of_the_schema_can_be_read() -> None:
    for table in schema.TABLES.values():
        for name, key in table.keys.items():
            low, high = key.limits
            assert low < high, name
            text = key.example.strip('"')
            if key.kind in SUFFIXES and text not in key.words:
                assert low <= read(text, key.kind).value <= high


# --- wrong files -------------------------------------------------------------------------------

# name of the case: (what is replaced, by what, key, word of the cure)
WRONG: dict[str, tuple[str, str, str, str]] = {
    "no unit": ('"560 lb"', '"560"', "engine.mass", "unit"),
    "bare number": ('"560 lb"', "560", "engine.mass", "needs its unit"),
    "comma": ('"7 ft 10 in"', '"7,10 ft"', "hull.chine_beam", "7.10 ft"),
    "wrong kind of unit": ('"560 lb"', '"560 ft"', "engine.mass", "cannot be in"),
    "unknown unit": ('"250 hp"', '"250 ponies"', "plate.power", "250 hp"[4:]),
    "inches over a foot": ('"7 ft 6 in"\ndead', '"7 ft 16 in"\ndead', "hull.transom_beam", "under 12"),
    "inches first": ('"7 ft 6 in"\ndead', '"6 in 7 ft"\ndead', "hull.transom_beam", "before"),
    "fraction without unit": ('"15 1/4 in"', '"15 1/4"', "propeller.diameter", "unit"),
    "sum": ('pitch      = "17 in"', 'pitch = "17*1 in"', "propeller.pitch", "sums"),
    "not a number": ('pitch      = "17 in"', 'pitch = "nan in"', "propeller.pitch", "number"),
    "infinity": ("1.86", "inf", "engine.gear_ratio", "1.86"),
    "huge ratio": ("1.86", "1" + "0" * 400, "engine.gear_ratio", "1.86"),
    "ratio with unit": ("1.86", '"1.86 : 1"', "engine.gear_ratio", "write gear_ratio = 1.86"),
    "count with unit": ("blades     = 3", 'blades = "3 blades"', "propeller.blades", "write blades = 3"),
    "count not whole": ("blades     = 3", "blades = 3.0", "propeller.blades", "whole"),
    "count as truth": ("count             = 1", "count = true", "engine.count", "whole"),
    "five engines": ("count             = 1", "count = 5", "engine.count", "1 to 4"),
    "fraction with unit": ("usable   = 0.90", 'usable = "90 %"', "tank.usable", "usable = 0.9"),
    "flag as text": ("floats       = true", 'floats = "yes"', "bracket.floats", "true or false"),
    "unknown key": ("gear_ratio  ", "gear_ratoi  ", "engine.gear_ratoi", "did you mean gear_ratio"),
    "unknown table": ("[propeller]", "[propellor]", "propellor", "did you mean propeller"),
    "key of another table": ("[plate]\n", '[plate]\nsetback = "30 in"\n', "plate.setback", "[mounting]"),
    "key under the wrong table": ('salinity    = "31 g/kg"', 'salinity = "31 g/kg"\nload = "home"', "water.load", "top of the file"),
    "key of a weight": ("ice     = { mass", "ice = { colour = 1, mass", "weights.ice.colour", "known are"),
    "unknown drive": ('"outboard"', '"outbord"', "engine.drive", "did you mean outboard"),
    "unknown technology": ('"four-stroke injected"', '"steam"', "engine.technology", "one of"),
    "unknown fuel": ('"petrol"', '"gasoline"', "tank.fuel", "petrol E10"),
    "unknown top": ('"half tower"', '"halftower"', "air.top", "half tower"),
    "unknown bottom": ('"slime"', '"slimy"', "hull.bottom", "did you mean slime"),
    "unknown cup": ('"light"', '"lightly"', "propeller.cup", "none, light, heavy"),
    "band of one": ('["5000 rpm", "6000 rpm"]', '["5000 rpm"]', "engine.full_throttle_rpm", "two texts"),
    "band as text": ('["5000 rpm", "6000 rpm"]', '"5000-6000 rpm"', "engine.full_throttle_rpm", "two texts"),
    "band upside down": ('["5000 rpm", "6000 rpm"]', '["6000 rpm", "5000 rpm"]', "engine.full_throttle_rpm", "lower one"),
    "band without unit": ('"6000 rpm"]', '"6000"]', "engine.full_throttle_rpm", "unit"),
    "rated far from band": ('"5500 rpm"', '"3500 rpm"', "engine.rated_rpm", "5000 rpm, 6000 rpm"),
    "wrong fuel for engine": ('"petrol"', '"diesel"', "tank.fuel", "petrol"),
    "sterndrive with outboard engine": ('"outboard"', '"sterndrive"', "engine.technology", "diesel sterndrive"),
    "waterline over length": ('"20 ft 6 in"', '"26 ft"', "hull.waterline_length", "longer than the hull"),
    "transom wider than chine": ('"7 ft 6 in"\ndead', '"8 ft"\ndead', "hull.transom_beam", "7 ft 10 in"),
    "beam of another boat": ('chine_beam       = "7 ft 10 in"', 'chine_beam = "21 ft"', "hull.chine_beam", "24 ft 2 in"),
    "deadrise too steep": ('"18 deg"', '"48 deg"', "hull.deadrise_transom", "0 deg to 35 deg"),
    "balance forward of the bow": ('"6 ft 10 in ± 4 in"', '"31 ft"', "weighed.forward", "forward of the bow (24 ft 2 in)"),
    "guest forward of the bow": ('"5 ft 6 in"', '"55 ft"', "weights.guests.forward", "forward of the bow"),
    "guest far behind": ('forward = "9 ft"', 'forward = "-9 m"', "weights.skipper.forward", "outside"),
    "tank in the sky": ('above    = "11 in"', 'above = "13 ft"', "tank.above", "keel"),
    "gear ratio": ("1.86", "0.5", "engine.gear_ratio", "1 to 3.5"),
    "area ratio": ("area_ratio = 0.60", "area_ratio = 6", "propeller.area_ratio", "0.3 to 1.2"),
    "pitch and diameter swapped": ('pitch      = "17 in"', 'pitch = "45 in"', "propeller.pitch", "swapped"),
    "too many blades": ("blades     = 3", "blades = 8", "propeller.blades", "2 to 7"),
    "negative setback": ('setback      = "30 in"', 'setback = "-3 in"', "mounting.setback", "0 in"),
    "setback beyond a jack plate": (GOOD[GOOD.index("[bracket]") : GOOD.index("[tank]")], "", "mounting.setback", "[bracket]"),
    "bracket without setback": ('setback      = "30 in"\n', "", "bracket", "setback"),
    "setback of no such bracket": ('setback      = "30 in"', 'setback = "4 in"', "mounting.setback", "30 in long"),
    "plate too high": ('plate_height = "2 in"', 'plate_height = "2 ft"', "mounting.plate_height", "-8 in to 12 in"),
    "drive trim word": ('"best"', '"bast"', "mounting.drive_trim", "did you mean best"),
    "tank over full": ("tank = 1.0", "tank = 100", "loads.charter.tank", "0 to 1"),
    "tank as text": ("tank = 1.0", 'tank = "fullish"', "loads.charter.tank", "half"),
    "no such weight": ('"guests", "ice", "tackle"], tank = 1.0', '"gests", "ice"], tank = 1.0', "loads.charter.aboard", "did you mean guests"),
    "weight listed twice": ('aboard = ["skipper", "tackle"]', 'aboard = ["skipper", "skipper"]', "loads.alone.aboard", "listed twice"),
    "engine in a load": ('aboard = ["skipper", "tackle"]', 'aboard = ["engine"]', "loads.alone.aboard", "always aboard"),
    "aboard not a list": ('aboard = ["skipper", "tackle"]', 'aboard = "skipper"', "loads.alone.aboard", "brackets"),
    "aboard of numbers": ('aboard = ["skipper", "tackle"]', "aboard = [1]", "loads.alone.aboard", "quotes"),
    "no such load": ('load   = "charter"', 'load = "chartre"', "load", "did you mean charter"),
    "unknown aboard": ('"bracket", "tackle", "tank 1/2"', '"brackett"', "weighed.aboard", "did you mean bracket"),
    "tank level": ('"tank 1/2"', '"tank 3/2"', "weighed.aboard", "tank 1/2"),
    "two tanks": ('"tank 1/2"', '"tank 1/2", "tank full"', "weighed.aboard", "listed twice"),
    "reserved name": ("tackle  = {", "engine = {", "weights.engine", "taken"),
    "dot in a name": ("tackle  = {", '"a.b" = {', "weights.a.b", "letters"),
    "weight that is no table": ("tackle  = {", 'tub = "40 lb"\ntackle = {', "weights.tub", "mass ="),
    "both weighings": ("[weighed]", '[light]\nmass = "4000 lb"\nforward = "8 ft"\n[weighed]', "weighed", "not both"),
    "lighter than what is aboard": ('"5150 lb ± 3 %"', '"900 lb"', "weighed.mass", "what was aboard"),
    "impossible weighing": ('"6 ft 10 in ± 4 in"', '"0 ft"', "weighed.forward", "bare hull"),
    "doubt too large": ('"5150 lb ± 3 %"', '"5150 lb ± 6000 lb"', "weighed.mass", "doubt"),
    "doubt missing": ('"5150 lb ± 3 %"', '"5150 lb ±"', "weighed.mass", "±"),
    "empty name": ('"Grey Tern"', '"  "', "name", "letters"),
    "long name": ('"Grey Tern"', '"' + "x" * 61 + '"', "name", "60"),
    "hidden letters": ('"Grey Tern"', '"Grey\\u001b[31mTern"', "name", "hidden"),
    "name not text": ('"Grey Tern"', "7", "name", "quotes"),
    "stepped bottom": ("[plate]", "steps = 2\n[plate]", "hull.steps", "stepped"),
    "two hulls": ("[plate]", "hulls = 2\n[plate]", "hull.hulls", "multihull"),
    "newer format": ("format = 1", "format = 2", "format", "newer"),
    "older format": ("format = 1", "format = 0", "format", "format = 1"),
    "format as text": ("format = 1", 'format = "1"', "format", "format = 1"),
    "scupper not a place": ('{ forward = "0 in", above = "17 in" }', '"17 in"', "hull.scupper", "forward ="),
    "hot water": ('"48 °F"', '"48 °C"', "water.temperature", "28 °F to 100 °F"),
    "table twice": ("[plate]", "[hull]\n[plate]", "hull", "first in line 6"),
    "key twice": ("blades     = 3", "blades = 3\nblades = 4", "propeller.blades", "twice"),
    "no quotes": ('"560 lb"', "560 lb", "engine.mass", 'mass = "560 lb"'),
    "ratio without quotes": ("1.86", "1.86:1", "engine.gear_ratio", "gear_ratio = 1.86"),
    "curly quotes": ('"560 lb"', "“560 lb”", "engine.mass", "straight"),
    "quote missing": ('"560 lb"', '"560 lb', "engine.mass", "quote"),
    "inch mark": ('pitch      = "17 in"', 'pitch = "1\'5""', "propeller.pitch", "inch mark"),
    "value missing": ('mass              = "560 lb"', "mass =", "engine.mass", "missing"),
    "no key": ('mass              = "560 lb"', "560 lb", "engine", "key = value"),
    "broken table": ("[propeller]", "[propeller", "propeller", "brackets"),
    "broken list": ("tank = 1.0 }", "tank = 1.0", "loads.charter", "never closed"),
    "list never closed": ('"tank 1/2"]', '"tank 1/2"', "weighed.aboard", "never closed"),
    "date for a weight": ('"560 lb"', "2020-01-01", "engine.mass", "text in quotes"),
    "list of tables": ("[engine]", "[[engine]]", "engine", "table"),
}  # fmt: skip


# one change that makes several things wrong
SEVERAL = {
    "sterndrive with outboard engine",
    "setback beyond a jack plate",
    "reserved name",
    "dot in a name",
}


@pytest.mark.parametrize("case", WRONG)
def test_a_wrong_file_is_refused_in_place_with_a_cure(case: str) -> None:
    before, after, key, word = WRONG[case]
    assert GOOD.count(before) >= 1
    text = GOOD.replace(before, after, 1)
    faults = refusal(text).faults
    fault = next((f for f in faults if f.key == key and word in f.cure), None)
    assert fault is not None, refusal(text).as_text()
    assert len(faults) == 1 or case in SEVERAL, refusal(
        text
    ).as_text()  # no faults that follow from it
    last = key.split(".")[-1]
    line = text.split("\n")[fault.line - 1]
    assert fault.line > 0 and fault.column > 0
    assert last in line or fault.text in line or f"[{key.split('.')[0]}" in line
    assert 1 <= fault.column <= len(line) + 1


@pytest.mark.parametrize("table", [name for name, about in schema.TABLES.items() if about.needed])
def test_a_missing_table_is_named(table: str) -> None:
    start = GOOD.index(f"[{table}]")
    end = GOOD.find("\n[", start)
    faults = refusal(GOOD[:start] + GOOD[end:]).faults
    assert any(f.key == table and "missing" in f.cure and f.line == 0 for f in faults)


@pytest.mark.parametrize(
    "path",
    [f"{table}.{name}" for table, about in schema.TABLES.items() if not about.named and f"\n[{table}]" in GOOD
     for name, key in about.keys.items() if key.needed],
)  # fmt: skip
def test_a_missing_key_is_named_at_its_table(path: str) -> None:
    table, name = path.split(".")
    lines = GOOD.split("\n")
    start = lines.index(f"[{table}]")
    gone = next(n for n in range(start, len(lines)) if lines[n].startswith(name))
    faults = refusal("\n".join(lines[:gone] + lines[gone + 1 :])).faults
    fault = next(f for f in faults if f.key == path)
    assert (fault.line, fault.text) == (start + 1, "")
    assert f"{name} = " in fault.cure


def test_a_boat_without_weight_and_a_file_without_format() -> None:
    text = GOOD.replace(GOOD[GOOD.index("[weighed]") : GOOD.index("[engine]")], "")
    assert "[weighed]" in refusal(text).faults[0].cure
    assert "format = 1" in refusal(GOOD.replace("format = 1", "")).faults[0].cure
    assert {fault.key for fault in refusal("").faults} >= {
        "format",
        "name",
        "hull",
        "engine",
        "loads",
    }


def test_all_faults_are_told_at_once() -> None:
    text = (
        GOOD.replace('"7 ft 10 in"', '"7,10 ft"', 1)
        .replace('"6 ft 10 in ± 4 in"', '"31 ft"')
        .replace("gear_ratio  ", "gear_ratoi  ")
        .replace('"115 lb"', "115 lb")
        .replace('"48 °F"', '"48"')
    )
    faults = refusal(text)
    assert [fault.key for fault in faults.faults] == [
        "hull.chine_beam", "weighed.forward", "engine.gear_ratoi", "bracket.mass", "water.temperature",
    ]  # fmt: skip
    assert [f.line for f in faults.faults] == [
        line_of(text, part) for part in ("7,10", '"31 ft"', "gear_ratoi", "115 lb", '"48"')
    ]
    assert faults.faults[0].text == "7,10 ft"
    assert faults.as_text().startswith("boat.toml refused: 5 faults, nothing computed.")


def test_columns_point_at_the_value_inside_a_row_of_weights() -> None:
    text = GOOD.replace('"160 lb"', '"160 gal"')
    fault = refusal(text).faults[0]
    line = text.split("\n")[fault.line - 1]
    assert fault.key == "weights.ice.mass"
    assert line[fault.column - 1 :].startswith('"160 gal"')
    text = GOOD.replace('"bracket", "tackle"', '"bracket", "tub"')
    fault = refusal(text).faults[0]
    assert text.split("\n")[fault.line - 1][fault.column - 1 :].startswith('"tub"')


# --- hostile files -----------------------------------------------------------------------------

DEEP = ".".join(["a"] * 900)
HOSTILE: dict[str, tuple[bytes, str]] = {
    "too large": (b"#" * 70_000, "kB"),
    "long line": (b"name = '" + b"x" * 3000 + b"'", "letters"),
    "utf-16": (GOOD.encode("utf-16"), "UTF-8"),
    "binary": (b"\x89PNG\x00\x01", "plain text"),
    "old encoding": (GOOD.encode("latin-1"), "UTF-8"),
    "nested lists": (b"x = " + b"[" * 1990, "nested"),
    "nested over lines": (b"x = " + b"[\n" * 20_000, "nested"),
    "dotted keys": ("".join(f"{DEEP}.b{n} = 1\n" for n in range(30)).encode(), "dots"),
    "dotted table": (f"[{DEEP}]\n".encode() + b"".join(b"c%d.d = 1\n" % n for n in range(5000)), "dots"),
    "dots under the cap": (b"".join(b"a" + b".a" * 15 + b".k%d = 1\n" % n for n in range(1400)), "no such key"),
    "many keys": (b"".join(b"hull_%d = 1\n" % n for n in range(4500)), "more faults"),
    "many broken lines": (b"[hull]\n" * 9000, "twice"),
    "many bad values": (b"[hull]\n" + b"a = 1 lb\n" * 7000, "quotes"),
    "many tables": (b"[[hull]]\n" * 7000, "table"),
    "many weights": (b"[weights]\n" + b"".join(b"w%d = {}\n" % n for n in range(5000)), "more faults"),
    "long number": (b"name = " + b"9" * 1900, "quotes"),
    "number over the digit limit": (b"x = [" + b"9" * 1900 + b"]", "no such key"),
    "endless text": (b'name = """' + b"a\n" * 20_000, "never ends"),
    "carriage returns": (GOOD.replace("\n", "\r").encode(), ""),
    "escape codes": (b'"\x1b[31m" = 1', ""),
    "strange key": (b'"\\u202e\\u001b" = 1', "no such key"),
    "empty": (b"", "missing"),
    "aboard of many": (GOOD.replace('"skipper", "tackle"]', ",\n".join(f'"s{n}"' for n in range(6000)) + "]").encode(), "not in"),
}  # fmt: skip


@pytest.mark.parametrize("case", HOSTILE)
def test_a_hostile_file_is_refused_quickly(case: str) -> None:
    data, word = HOSTILE[case]
    faults = refusal(data)
    assert any(word in fault.cure for fault in faults.faults), faults.as_text()
    assert len(faults.faults) <= 61
    assert all(line.isprintable() for line in faults.as_text().split("\n"))
    assert all(len(fault.text) <= 60 for fault in faults.faults)


def test_the_place_of_a_wrong_byte_is_told() -> None:
    fault = refusal(GOOD.encode("latin-1")).faults[0]
    assert (fault.line, fault.column) == (line_of(GOOD, "±"), 20)


@pytest.mark.parametrize("source", ["no/such.toml", "", "x\0y", "y" * 5000, "/"])
def test_a_file_that_is_not_there_is_refused(source: str) -> None:
    with pytest.raises(InputFaults):
        read_boat(source)


# --- places of keys ----------------------------------------------------------------------------


def test_every_value_of_a_good_file_has_its_place() -> None:
    def leaves(path: Path_, value: object) -> Iterator[Path_]:
        if isinstance(value, dict):
            for name, inner in value.items():
                yield from leaves((*path, name), inner)
        elif isinstance(value, list):
            for place, inner in enumerate(value):
                yield from leaves((*path, place), inner)
        else:
            yield path

    found, lines = locate(GOOD), GOOD.split("\n")
    paths = list(leaves((), tomllib.loads(GOOD)))
    assert len(paths) > 70
    for path in paths:
        line, column = found.values[path]
        value = tomllib.loads(GOOD)
        for part in path:
            value = value[part]  # type: ignore[index]
        assert lines[line - 1][column - 1 :].startswith(
            f'"{value}"' if isinstance(value, str) else str(value).lower()
        )


def test_places_of_keys_and_values() -> None:
    text = 'a = 1\n[b]\n  "c d".e = {f = [1, "x = 2"], g = \'#\'} # h = 3\nm = """\n[no]\n"""\n[[t]]\nx=1\n[[t]]\nx=2\n'
    found = locate(text)
    assert found.keys[("a",)] == (1, 1)
    assert found.keys[("b", "c d", "e")] == (3, 3)
    assert found.values[("b", "c d", "e", "f", 1)] == (3, 22)
    assert found.values[("b", "c d", "e", "g")] == (3, 36)
    assert ("b", "h") not in found.keys and ("no",) not in found.keys
    assert found.keys[("t", 1, "x")] == (10, 1)
    assert (found.twice, found.open_at) == ([], None)


# --- chance ------------------------------------------------------------------------------------

SPLINTERS = [
    '"', "'", "[", "]", "{", "}", "=", ",", ".", "#", "\n", " ", "±", "-", "0", "1/2", "ft", " in", "nan",
    "inf", "true", "[hull]", "hull", '"""', "\\", "\\u0000", "\x00", "\x1b", "é", "½", "\ufeff", "9" * 50,
    "1e999", "2020-01-01", '= "6 ft"', "mass", "aboard",
]  # fmt: skip


def mutated(text: str, chance: random.Random) -> bytes:
    for _ in range(chance.randint(1, 6)):
        at, to = sorted(chance.randrange(len(text) + 1) for _ in range(2))
        to = min(to, at + chance.choice((0, 1, 3, 12, 80)))
        put = (
            chance.choice(SPLINTERS)
            if chance.random() < 0.7
            else text[chance.randrange(len(text) + 1) :][:30]
        )
        text = text[:at] + put + text[to:]
    data = text.encode()
    if chance.random() < 0.05:
        at = chance.randrange(len(data) + 1)
        data = data[:at] + bytes([chance.randrange(256)]) + data[at:]
    return data


@pytest.mark.parametrize("seed", range(4))
def test_chance_never_gives_anything_but_a_boat_or_faults(seed: int) -> None:
    chance = random.Random(seed)
    refused = 0
    for _ in range(500):
        data = mutated(chance.choice((GOOD, SHORTEST)), chance)
        began = time.process_time()
        try:
            boat = read_boat(data)
            assert boat.light.mass_kg > 0.0
            describe(boat)
        except InputFaults as faults:
            refused += 1
            assert faults.faults and all(fault.cure for fault in faults.faults)
        assert time.process_time() - began < 1.0, data
    assert 250 < refused <= 500
