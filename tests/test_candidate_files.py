"""Candidates and duty files: what is read, and how each wrong one is refused: line, text, cure, under a second."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from perf.base.faults import InputFaults
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats, demo_candidates, demo_duties, engines
from perf.boat.choice.duty import read_duty
from perf.boat.choice.file import read_candidates
from perf.boat.choice.parts import Candidates

BOAT = read_boat(demo_boats()["number_four"])

GOOD = """format = 1
[as_she_is]
upkeep_per_year = "1900 ± 700"
[rigging]
"second battery" = { mass = "58 lb", forward = "2 ft", above = "1 ft 4 in", price = 240 }
[candidates."a 250"]
engine   = { catalogue = "four-stroke-250" }
rigging  = ["second battery"]
price    = 26600
trade_in = 2500
expected_hours = "4000 h"
upkeep_rise = "12 %"
"""
DUTY = """format = 1
[season]
trips = "96 ± 10"
[money]
fuel_price = "5.20 per gal ± 8 %"
discount_rate = "4 %"
years = 8
[runs.out]
kind = "run"
distance = "14 nmi"
speed = "25 mph"
load = "charter"
[runs.dock]
kind = "idle"
hours = "20 min"
"""


def refused(text: str | bytes, name: str = "candidates.toml") -> InputFaults:
    data = text if isinstance(text, bytes) else text.encode()
    began = time.perf_counter()
    with pytest.raises(InputFaults) as caught:
        read_candidates(data, BOAT, name=name)
    assert time.perf_counter() - began < 1.0
    return caught.value


def changed(old: str, new: str) -> str:
    assert old in GOOD
    return GOOD.replace(old, new)


def test_only_differences_are_written() -> None:
    found = read_candidates(GOOD.encode(), BOAT)
    her, other = found.choices
    assert her.is_as_she_is
    assert her.boat is BOAT
    assert other.boat.engine == engines()["four-stroke-250"].part
    assert other.boat.hull == BOAT.hull
    assert other.boat.propeller == BOAT.propeller  # until one is found
    assert other.searched
    assert other.boat.mounting == BOAT.mounting
    assert other.costs.price == 26600.0
    assert other.costs.rigging == 240.0
    assert other.costs.expected_hours == pytest.approx(4000.0)
    assert other.costs.labour is None
    assert her.costs.upkeep_per_year == 1900.0
    assert dict(her.doubts) == {"upkeep_per_year": 700.0}
    (battery,) = [w for w in other.boat.weights if w.name == "second battery on"]
    assert battery.mass_kg == pytest.approx(58.0 * 0.45359237)
    assert all("second battery on" in load.aboard for load in other.boat.loads)
    assert "engine.rated_power" not in dict(other.boat.doubts)  # that was the old engine's
    assert dict(other.boat.doubts)["engine.mass"] == pytest.approx(0.1 * other.boat.engine.mass_kg)


def test_the_demo_files_are_read() -> None:
    assert demo_candidates().keys() == demo_duties().keys() >= {"number_four", "number_eight"}
    for name, path in demo_candidates().items():
        boat = read_boat(demo_boats()[name])
        assert len(read_candidates(path, boat).choices) >= 4
        assert len(read_duty(demo_duties()[name], boat).runs) >= 3


FAULTS = [
    # what is wrong, old text, new text, line, part of the key, part of the cure
    ("unknown engine", '"four-stroke-250"', '"four-stroke-255"', 7, "engine.catalogue", "did you mean four-stroke-2"),
    ("no engine like it", '"four-stroke-250"', '"steam"', 7, "engine.catalogue", "there are four-stroke-15"),
    ("missing mass", '{ catalogue = "four-stroke-250" }', '{ rated_power = "300 hp" }', 7, "engine.mass", "another engine has its own weight"),
    ("negative price", "price    = 26600", "price    = -26600", 9, "price", "outside 0 to 5000000"),
    ("price with a coin", "price    = 26600", 'price    = "26600 dollars"', 9, "price", "a bare number"),
    ("comma in a price", "price    = 26600", 'price    = "26,600"', 9, "price", "a bare number"),
    ("unknown key", "trade_in = 2500", "trade_inn = 2500", 10, "trade_inn", "did you mean trade_in"),
    ("unknown rigging", '["second battery"]', '["second batery"]', 8, "rigging", "did you mean second battery"),
    ("rigging without a place", 'forward = "2 ft", ', "", 5, "rigging.second battery.forward", "missing"),
    ("hours without a unit", '"4000 h"', "4000", 11, "expected_hours", "unit"),
    ("a rise over all", '"12 %"', '"120 %"', 12, "upkeep_rise", "between 0 (none) and 1 (all)"),
    ("wrong fuel", 'price    = 26600', 'fuel     = "diesel"', 9, "fuel", "burns petrol"),
    ("no such propeller", 'price    = 26600', 'propeller = { catalogue = "3-blade-15.25x99" }', 9, "propeller.catalogue", "no propeller of the catalogue"),
    ("pitch and diameter swapped", 'price    = 26600', 'propeller = { diameter = "40 in", pitch = "9 in" }', 9, "propeller.pitch", "times the diameter"),
    ("two engines of half a kind", '{ catalogue = "four-stroke-250" }', '{ count = 1.5 }', 7, "engine.count", "whole number"),
    ("her own name", '[candidates."a 250"]', '[candidates."as she is"]', 6, "as she is", "this name is taken"),
    ("a table that is none", "[rigging]", "[rigging", 4, "", ""),
    ("newer format", "format = 1", "format = 9", 1, "format", "newer overhump"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "line", "key", "cure"), [f[1:] for f in FAULTS], ids=[f[0] for f in FAULTS]
)
def test_faults_are_located(old: str, new: str, line: int, key: str, cure: str) -> None:
    faults = refused(changed(old, new)).faults
    assert any(f.line == line and key in f.key and cure in f.cure for f in faults), faults


def test_all_faults_at_once() -> None:
    text = changed("price    = 26600", "price    = -1").replace('"4000 h"', "4000")
    assert {f.line for f in refused(text).faults} == {9, 11}


def test_no_candidates_and_too_many() -> None:
    assert "this table is missing" in refused("format = 1\n").faults[0].cure
    many = "".join(
        f'[candidates.c{i}]\nengine = {{ catalogue = "four-stroke-250" }}\n' for i in range(30)
    )
    fault = refused("format = 1\n" + many).faults[0]
    assert "30 candidates are more than 24" in fault.cure
    assert fault.line == 2 + 24 * 2


def test_ten_thousand_rows_get_a_message() -> None:
    row = "a 250,four-stroke-250,26600\n"
    faults = refused("name,engine.catalogue,price\n" + row * 10_000, "many.csv").faults
    assert "larger than 64 kB" in faults[0].cure
    short = "name,price\n" + "".join(f"c{i},1\n" for i in range(100))
    assert "more than 48 rows" in refused(short, "many.csv").faults[0].cure
    toml = "format = 1\n" + "".join(f"[candidates.c{i}]\nprice = 1\n" for i in range(10_000))
    assert "larger than 64 kB" in refused(toml).faults[0].cure


def test_a_byte_order_mark_is_no_fault() -> None:
    plain = read_candidates(GOOD.encode(), BOAT)
    marked = read_candidates(b"\xef\xbb\xbf" + GOOD.encode(), BOAT)
    assert marked.choices == plain.choices


CSV = """name,engine.catalogue,engine.count,price,trade_in,expected_hours,upkeep_per_year,upkeep_rise,rigging.mass,rigging.forward,rigging.above,rigging.price
as she is,,,,,,1900 ± 700,,,,,
a 250,four-stroke-250,,26600,2500,4000 h,,12 %,58 lb,2 ft,1 ft 4 in,240
"""


def same(one: Candidates, other: Candidates) -> None:
    for a, b in zip(one.choices, other.choices, strict=True):
        assert a.costs == b.costs
        assert a.doubts == b.doubts
        assert a.boat.engine == b.boat.engine
        assert [w.mass_kg for w in a.boat.weights] == [w.mass_kg for w in b.boat.weights]


@pytest.mark.parametrize("mark", [",", ";"])
@pytest.mark.parametrize("head", [b"", b"\xef\xbb\xbf"])
def test_a_csv_says_the_same_with_commas_or_semicolons(mark: str, head: bytes) -> None:
    data = head + CSV.replace(",", mark).encode()
    same(read_candidates(data, BOAT, name="c.csv"), read_candidates(GOOD.encode(), BOAT))


def test_a_csv_may_write_quotes_and_windows_lines() -> None:
    data = CSV.replace("a 250", '"a 250"').replace("\n", "\r\n").encode()
    same(read_candidates(data, BOAT, name="c.csv"), read_candidates(GOOD.encode(), BOAT))


CSV_FAULTS = [
    ("unknown engine", "four-stroke-250", "four-stroke-255", 3, 2, "did you mean"),
    ("negative price", "26600", "-26600", 3, 4, "outside 0"),
    ("decimal comma", ",26600,", ',"26600,50",', 3, 4, "a bare number"),
    ("unknown column", "trade_in", "tradein", 1, 5, "did you mean trade_in"),
    ("a cell too many", ",240\n", ",240,9\n", 3, 13, "too many cells"),
    ("a cell too few", ",240\n", "\n", 3, 12, "too few cells"),
    ("no name", "\na 250,", "\n,", 3, 1, "needs a name"),
    ("unit missing", "4000 h", "4000", 3, 6, "unit"),
]


@pytest.mark.parametrize(
    ("old", "new", "line", "column", "cure"),
    [f[1:] for f in CSV_FAULTS],
    ids=[f[0] for f in CSV_FAULTS],
)
def test_csv_faults_have_line_and_cell(
    old: str, new: str, line: int, column: int, cure: str
) -> None:
    assert old in CSV
    faults = refused(CSV.replace(old, new), "c.csv").faults
    assert any((f.line, f.column) == (line, column) and cure in f.cure for f in faults), faults


def test_a_csv_of_other_letters_and_without_a_name_column() -> None:
    assert "UTF-16" in refused(CSV.encode("utf-16"), "c.csv").faults[0].cure
    assert "not UTF-8" in refused(CSV.encode("latin-1"), "c.csv").faults[0].cure
    assert "this column is missing" in refused("price\n1\n", "c.csv").faults[0].cure
    assert "no heading line" in refused("", "c.csv").faults[0].cure


def test_a_file_that_is_not_there() -> None:
    with pytest.raises(InputFaults, match="no such file"):
        read_candidates(Path("nowhere.toml"), BOAT)
    with pytest.raises(InputFaults, match="cannot be opened"):
        read_candidates(Path("nowhere.csv"), BOAT)


# --- duty -------------------------------------------------------------------------------------


def test_a_season_is_read() -> None:
    duty = read_duty(DUTY.encode(), BOAT)
    out, dock = duty.runs
    assert (duty.trips, duty.years, duty.discount_rate) == (96.0, 8, 0.04)
    assert duty.fuel_price == pytest.approx(5.20 / 3.785411784)
    assert dict(duty.doubts)["season.trips"] == 10.0
    assert out.distance_m == pytest.approx(14 * 1852.0)
    assert out.speed_mps == pytest.approx(25 * 0.44704)
    assert out.trips is None
    assert (dock.kind, dock.seconds, dock.load) == ("idle", 1200.0, BOAT.load)
    best = read_duty(DUTY.replace('"25 mph"', '"best"').encode(), BOAT)
    assert best.runs[0].speed_mps is None


DUTY_FAULTS = [
    ("no speed", 'speed = "25 mph"\n', "", 9, "how fast is missing"),
    ("no distance", 'distance = "14 nmi"\n', "", 9, "how long is missing"),
    (
        "both",
        'distance = "14 nmi"',
        'distance = "14 nmi"\nhours = "1 h"',
        12,
        "either distance or hours",
    ),
    ("unknown load", '"charter"', '"chartr"', 13, "did you mean charter"),
    ("unknown kind", '"idle"', '"idel"', 15, "did you mean idle"),
    (
        "an idle with a speed",
        'hours = "20 min"',
        'hours = "20 min"\nspeed = "3 mph"',
        17,
        "no speed",
    ),
    ("years of a half", "years = 8", "years = 8.5", 7, "whole number"),
    ("price of nothing", '"5.20 per gal ± 8 %"', '"5.20"', 5, "lacks a unit"),
    ("a rate in hundreds", '"4 %"', "4", 6, "between 0 (none) and 1 (all)"),
]


@pytest.mark.parametrize(
    ("old", "new", "line", "cure"), [f[1:] for f in DUTY_FAULTS], ids=[f[0] for f in DUTY_FAULTS]
)
def test_duty_faults_are_located(old: str, new: str, line: int, cure: str) -> None:
    text = DUTY.replace(old, new)
    assert text != DUTY
    lines = text.splitlines()
    with pytest.raises(InputFaults) as caught:
        read_duty(text.encode(), BOAT)
    assert any(cure in f.cure and abs(f.line - line) <= 1 for f in caught.value.faults), (
        caught.value,
        lines,
    )
