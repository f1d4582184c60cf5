"""A boat changed by hand, and where her power goes."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perf.base.faults import InputFaults, ReadingError
from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.trip.file import read_trip
from perf.studies.power_shares import LOST, nearest_row, power_shares, running_rows
from perf.studies.speeds import speeds

BOAT = read_boat(demo_boats()["number_four"])
HORSEPOWER = 745.6998715822702  # W, 550 ft lbf/s with the pound and gravity of the definition
INCH = 0.0254
GALLON = 3.785411784e-3  # m3, 231 cubic inches


@pytest.mark.parametrize(
    ("text", "level"),
    [
        ("1/2", 0.5),
        ("35 %", 0.35),
        ("0", 0.0),
        ("full", 1.0),
        (" Empty ", 0.0),
        ("half", 0.5),
        ("Half a tank", 0.5),
        ("half full", 0.5),
        ("quarter", 0.25),
        ("a quarter", 0.25),
        ("three quarters", 0.75),
        ("three-quarters full", 0.75),
        ("60 gal", 0.5),
        ("120 gal", 1.0),
        ("227.12470704 L", 0.5),
    ],
)
def test_a_tank_is_read_as_a_part_or_as_what_is_in_it(text: str, level: float) -> None:
    assert BOAT.tank.capacity_m3 == pytest.approx(120 * GALLON, rel=1e-12)
    assert changes.read_tank(text, BOAT) == pytest.approx(level, abs=1e-9)


@pytest.mark.parametrize(
    ("reader", "text", "says"),
    [
        (changes.read_power, "250", "250 hp"),
        (changes.read_power, "1 hp", "between 2 hp and 2000 hp"),
        (changes.read_power, "99999 kW", "look at the unit"),
        (changes.read_pitch, "17", "17 in"),
        (changes.read_pitch, "17 ft", "between 3 in and 50 in"),
        (lambda text: changes.read_tank(text, BOAT), "121 gal", "does not hold so much"),
        (lambda text: changes.read_tank(text, BOAT), "1.2", "a part of the tank"),
        (lambda text: changes.read_tank(text, BOAT), "halfish", "a part of the tank"),
        (
            lambda text: changes.read_tank(text, BOAT),
            "-5 gal",
            "part of the tank|less than nothing",
        ),
    ],
)
def test_what_cannot_be_meant_is_refused_with_a_cure(reader, text: str, says: str) -> None:
    with pytest.raises(ReadingError, match=says):
        reader(text)


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    for reader in (changes.read_power, changes.read_pitch, lambda t: changes.read_tank(t, BOAT)):
        try:
            reader(text)
        except ReadingError as why:
            assert str(why)


def test_power_changes_and_the_doubt_keeps_its_share() -> None:
    changed = changes.with_power(BOAT, changes.read_power("250 hp"))
    assert changed.engine == replace(BOAT.engine, rated_power_w=changed.engine.rated_power_w)
    assert changed.engine.rated_power_w == pytest.approx(250 * HORSEPOWER, rel=1e-12)
    # the file says "225 hp ± 3 %"
    assert dict(changed.doubts)["engine.rated_power"] == pytest.approx(7.5 * HORSEPOWER, rel=1e-9)
    assert dict(changed.words)["engine.rated_power"] == "250 hp"
    own = changes.with_power(BOAT, changes.read_power("250 hp ± 10 hp"))
    assert dict(own.doubts)["engine.rated_power"] == pytest.approx(10 * HORSEPOWER, rel=1e-9)
    assert BOAT.engine.rated_power_w == pytest.approx(225 * HORSEPOWER, rel=1e-12)  # untouched


def test_a_cup_in_words_grows_with_the_pitch_and_one_in_inches_does_not() -> None:
    changed = changes.with_pitch(BOAT, changes.read_pitch("18 in"))
    assert BOAT.propeller.cup == "light"
    assert changed.propeller.pitch_m == pytest.approx(18 * INCH)
    ratio = 18 / 15
    assert changed.propeller.cup_m == pytest.approx(BOAT.propeller.cup_m * ratio)
    assert dict(changed.doubts)["propeller.cup"] == pytest.approx(
        dict(BOAT.doubts)["propeller.cup"] * ratio
    )
    measured = replace(BOAT, propeller=replace(BOAT.propeller, cup="3/4 in", cup_m=0.75 * INCH))
    assert changes.with_pitch(measured, changes.read_pitch("18 in")).propeller.cup_m == 0.75 * INCH


def test_a_changed_boat_is_the_boat_of_a_changed_file() -> None:
    text = demo_boats()["number_four"].read_text(encoding="utf-8")
    filed = read_boat(
        text.replace('"225 hp ± 3 %"', '"250 hp ± 3 %"')
        .replace('"15 in ± 1/2 in"', '"18 in ± 1/2 in"')
        .encode()
    )
    changed = changes.with_pitch(
        changes.with_power(BOAT, changes.read_power("250 hp ± 3 %")),
        changes.read_pitch("18 in ± 1/2 in"),
    )
    assert changed.engine == filed.engine
    assert changed.propeller == filed.propeller
    assert dict(changed.doubts) == pytest.approx(dict(filed.doubts))


def test_the_parts_of_the_power_add_up_and_each_is_drag_times_speed() -> None:
    rows = speeds(BOAT, draws=0).tables["rows"]
    for at in running_rows(rows)[::4]:
        row = rows.iloc[at]
        parts = {part.part: part for part in power_shares(rows, at)}
        assert sum(part.power_w for part in parts.values()) == pytest.approx(row["shaft_power_w"])
        assert sum(part.share for part in parts.values()) == pytest.approx(1.0)
        assert parts["air"].power_w == pytest.approx(row["air_drag_n"] * row["speed_mps"])
        # what is not lost is a little more than propeller power in open water times hull losses allow
        assert 0.0 < parts[LOST].share < 1.0
        assert parts[LOST].share >= 1.0 - row["efficiency"] * 1.1


def test_the_nearest_row_is_one_in_which_she_runs() -> None:
    rows = speeds(BOAT, draws=0).tables["rows"]
    known = running_rows(rows)
    at = nearest_row(rows, 11.0)
    assert at in known
    assert abs(rows["speed_mps"][at] - 11.0) == np.abs(rows["speed_mps"][list(known)] - 11.0).min()
    assert nearest_row(rows, None) == known[-1]
    assert nearest_row(rows.assign(shaft_power_w=np.nan), 11.0) is None
    with pytest.raises(ValueError, match="no power"):
        power_shares(rows.assign(shaft_power_w=np.nan), 3)


@pytest.mark.parametrize(
    ("written", "level"),
    [('"half"', 0.5), ('"1/2"', 0.5), ('"quarter"', 0.25), ('"35 %"', 0.35), ("0.4", 0.4)],
)
def test_a_boat_file_reads_a_tank_level_in_words(written: str, level: float) -> None:
    text = demo_boats()["number_four"].read_text(encoding="utf-8")
    boat = read_boat(text.replace("tank = 1.0", f"tank = {written}").encode())
    assert boat.loaded.tank == pytest.approx(level)


@pytest.mark.parametrize(
    ("written", "level"),
    [
        ('"three quarters"', 0.75),
        ('"1/2"', 0.5),
        ('"60 gal"', 0.5),
        ("0.75", 0.75),
        ('"full"', 1.0),
        ('"0.5 ± 0.1"', 0.5),
    ],
)
def test_a_trip_reads_a_tank_level_in_words_and_in_gallons(written: str, level: float) -> None:
    text = f'format = 1\nname = "A"\n[tank]\nlevel = {written}\n[runs.a]\ndistance = "5 mi"\nspeed = "20 mph"\n'
    assert read_trip(text.encode(), BOAT).tank.level == pytest.approx(level)
    doubtful = read_trip(text.replace(written, '"60 gal ± 6 gal"').encode(), BOAT)
    assert dict(doubtful.doubts)["tank.level"] == pytest.approx(0.05, rel=1e-6)
    with pytest.raises(InputFaults, match="more than the tank holds"):
        read_trip(text.replace(written, '"600 gal"').encode(), BOAT)
