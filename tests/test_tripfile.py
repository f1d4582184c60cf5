"""Trip files, links, the printed sheet and the command: what is read, what is refused and how it says so."""

from __future__ import annotations

import json
import shutil
import subprocess
import tomllib
import zlib
from base64 import urlsafe_b64encode
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perf.base.faults import InputFaults, ReadingError
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.trip.file import demo_trips, read_trip
from perf.boat.trip.writer import write_trip
from perf.faces.cli import main
from perf.faces.printed.trip_sheet import save_sheet, sheet
from perf.studies.speeds import speeds
from perf.studies.trip.link import MOST_BYTES, pack, unpack
from perf.studies.trip.study import trip

MILE, KNOT, FOOT, GALLON = 1609.344, 1852.0 / 3600.0, 0.3048, 3.785411784e-3
BOAT = read_boat(demo_boats()["number_four"])
FITS = {
    "banks_and_back": "number_four",
    "out_and_back": "number_two",
    "out_to_the_light": "number_four",
    "the_far_yard": "number_eight",
}

PLAIN = """\
format = 1
name = "Test"
[weather]
wind = "10 kn ± 4 kn"
wind_from = "SW"
[places]
dock = { latitude = "66 30.0 N", longitude = 1.5 }
"the bank" = { latitude = "66.25 N", longitude = "1 12.0 W" }
[runs.out]
from = "dock"
to = "the bank"
speed = "best mileage"
wave_height = "2 ft"
[runs."the drift"]
hours = "1 h 30 min"
speed = "drift"
[runs.home]
distance = "12 nmi"
course = "NE"
speed = "21 mph"
over_ground = true
current = "1 kn"
current_toward = "astern"
aboard = ["skipper", "catch"]
take_on = "20 gal"
depth = "20 ft"
[weights]
catch = { mass = "300 lb", forward = "4 ft", above = "20 in" }
[log]
"in May" = { distance = "40 mi", speed = "20 mph", burned = "24 gal", course = "N" }
"""


def test_everything_in_a_file_is_read() -> None:
    plan = read_trip(PLAIN.encode(), BOAT)
    out, drift, home = plan.runs
    assert [run.name for run in plan.runs] == ["out", "the drift", "home"]
    assert out.distance_m == pytest.approx(123_700, rel=0.005)
    assert 250 < (out.course_deg or 0) < 270
    assert out.weather.wind_from.degrees == 225.0
    assert (
        out.weather.sea_from == out.weather.wind_from
    )  # where nothing is said, the sea runs with the wind
    assert out.weather.wave_height_m == pytest.approx(2 * FOOT)
    assert (drift.duration_s, drift.pace.kind) == (5400.0, "drift")
    assert home.pace.over_ground
    assert home.pace.value == pytest.approx(21 * MILE / 3600)
    assert home.course_deg == 45.0
    assert home.weather.current_toward.relative
    assert home.aboard == ("skipper", "catch")
    assert home.take_on_m3 == pytest.approx(20 * GALLON)
    assert home.depth_m == pytest.approx(20 * FOOT)
    assert plan.log[0].burned_m3 == pytest.approx(24 * GALLON)
    assert dict(plan.doubts)["weather.wind"] == pytest.approx(4 * KNOT)
    assert plan.path_of(out, "wave_height") == "runs.out.wave_height"
    assert plan.path_of(out, "wind") == "weather.wind"
    assert plan.weights[0].mass_kg == pytest.approx(300 * 0.45359237)


@pytest.mark.parametrize("name", sorted(demo_trips()))
def test_demo_trips_read_and_say_they_are_invented(name: str) -> None:
    path = demo_trips()[name]
    plan = read_trip(path, read_boat(demo_boats()[FITS[name]]))
    assert plan.runs
    assert "Invented for the demonstration" in path.read_text(encoding="utf-8")
    assert read_trip(path).name == plan.name  # and without a boat


RUN = '[runs.a]\ndistance = "5 mi"\nspeed = "20 mph"\n'
HEAD = 'format = 1\nname = "T"\n'


@pytest.mark.parametrize(
    ("text", "key", "cure"),
    [
        (HEAD + '[runs.a]\ndistance = "5 mi"\n', "runs.a.speed", 'missing: write such as speed = "22 mph"'),
        (HEAD + RUN.replace("5 mi", "-5 mi"), "runs.a.distance", "outside 0.01 mi to 2000 mi"),
        (HEAD + RUN.replace("5 mi", "5"), "runs.a.distance", "lacks a unit"),
        (HEAD + RUN.replace('"5 mi"', "5"), "runs.a.distance", "a number needs its unit"),
        (HEAD + RUN.replace("5 mi", "5,5 mi"), "runs.a.distance", 'a comma is never read: write "5.5 mi"'),
        (HEAD + RUN.replace("20 mph", "200 mph"), "runs.a.speed", "outside 0.3 mph to 100 mph"),
        (HEAD + RUN.replace("20 mph", "0 mph"), "runs.a.speed", "outside 0.3 mph"),
        (HEAD + RUN.replace("20 mph", "best milage"), "runs.a.speed", "did you mean best mileage?"),
        (HEAD + RUN.replace("20 mph", "as fast as 9 g allows"), "runs.a.speed", "outside 0.05 to 6 g"),
        (HEAD + RUN.replace("20 mph", "as fast as she goes"), "runs.a.speed", "as fast as 1.0 g allows"),
        (HEAD + RUN.replace("20 mph", "20000 rpm"), "runs.a.speed", "outside 500 rpm"),
        (HEAD + RUN.replace("20 mph", "20 ± 2 mph"), "runs.a.speed", "unit"),
        (HEAD + RUN.replace("20 mph", "20 mph ± 2 mph"), "runs.a.speed", "leave out the ±"),
        (HEAD + RUN.replace("20 mph", "idle"), "runs.a.speed", "give hours instead"),
        (HEAD + RUN + 'hours = "2 h"\n', "runs.a", "give one of distance"),
        (HEAD + '[runs.a]\nspeed = "20 mph"\n', "runs.a", "how far or how long?"),
        (HEAD + RUN + "over_groud = true\n", "runs.a.over_groud", "did you mean over_ground?"),
        (HEAD + RUN.replace("20 mph", "3000 rpm") + "over_ground = true\n", "runs.a.over_ground", "only a speed"),
        (HEAD + RUN + 'wind = "10 kn"\n', "runs.a.wind", "from where?"),
        (HEAD + RUN + 'wind = "10 kn"\nwind_from = "SW"\n', "runs.a", "compass bearing"),
        (HEAD + RUN + 'wind = "10 kn"\nwind_from = "left"\n', "runs.a.wind_from", "a compass point"),
        (HEAD + RUN + 'course = "400 deg"\n', "runs.a.course", "between 0 and 360"),
        (HEAD + RUN + 'course = "ahead"\n', "runs.a.course", "a course is a compass point"),
        (HEAD + RUN + 'from = "dock"\n', "runs.a.from", "a way has two ends"),
        (HEAD + '[places]\nx = { latitude = 95, longitude = 3 }\n' + RUN, "places.x.latitude",
         "a latitude is between -90 and 90"),
        (HEAD + '[places]\nx = { latitude = "95 N", longitude = 3 }\n' + RUN, "places.x.latitude",
         "a latitude is between -90 and 90"),
        (HEAD + '[places]\nx = { latitude = "66 75.0 N", longitude = 3 }\n' + RUN, "places.x.latitude",
         "minutes are under 60"),
        (HEAD + '[places]\nx = { latitude = "66 N", longitude = "3 S" }\n' + RUN, "places.x.longitude",
         'write such as "66 12.5 E"'),
        (HEAD + RUN + 'aboard = ["skiper"]\n', "runs.a.aboard", "did you mean skipper?"),
        (HEAD + RUN + 'take_on = "900 gal"\n', "runs.a.take_on", "more than the tank holds (120 gal)"),
        (HEAD + '[tank]\nlevel = 1.2\n' + RUN, "tank.level", "outside 0 to 1"),
        (HEAD + '[tank]\nlevel = 0.5\nsince_fill = "5 gal"\n' + RUN, "tank.since_fill", "not both"),
        (HEAD + '[tank]\nsince_fill = "500 gal"\n' + RUN, "tank.since_fill", "more than the tank holds"),
        (HEAD + 'load = "chater"\n' + RUN, "load", "did you mean charter?"),
        (HEAD + 'seat = "ghost"\n' + RUN, "seat", "there are:"),
        (HEAD + 'reserve = "half"\n' + RUN, "reserve", 'write "third" or a quantity'),
        (HEAD, "runs", "this table is missing"),
        (HEAD + "[runs]\n", "runs", "no run is named"),
        (HEAD + RUN + RUN, "runs.a", "written twice"),
        ('format = 2\nname = "T"\n' + RUN, "format", "newer overhump"),
        (HEAD + "".join(f'[runs.r{i}]\ndistance = "5 mi"\nspeed = "20 mph"\n' for i in range(201)), "runs",
         "201 of them: a trip has at most 200"),
        (HEAD + '[log]\nmay = { distance = "5 mi", speed = "20 mph" }\n' + RUN, "log.may.burned", "missing"),
    ],
)  # fmt: skip
def test_faults_are_placed_and_cured(text: str, key: str, cure: str) -> None:
    with pytest.raises(InputFaults) as refused:
        read_trip(text.encode(), BOAT)
    found = [f for f in refused.value.faults if f.key == key and cure in f.cure]
    assert found, refused.value.as_text()
    assert found[0].line > 0 or key == "runs", refused.value.as_text()


def test_all_faults_at_once() -> None:
    text = HEAD + RUN.replace("5 mi", "5,5 mi").replace("20 mph", "warp") + 'wind_from = "up"\n'
    with pytest.raises(InputFaults) as refused:
        read_trip(text.encode(), BOAT, name="mine.toml")
    said = refused.value.as_text()
    assert said.startswith("mine.toml refused: 3 faults, nothing computed.")


def test_a_hundred_thousand_runs_are_refused_before_parsing() -> None:
    runs = "".join(f'r{i}={{distance="5 mi",speed="9 kn"}}\n' for i in range(100_000))
    with pytest.raises(InputFaults, match="larger than 64 kB"):
        read_trip((HEAD + "[runs]\n" + runs).encode())


@settings(max_examples=120, deadline=None)
@given(
    st.binary(max_size=200)
    | st.text(max_size=200).map(lambda t: (HEAD + RUN + t).encode("utf-8", "replace"))
)
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        read_trip(data, BOAT)
    except InputFaults as refused:
        assert refused.faults


# --- back into a file -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(demo_trips()))
def test_written_back_it_reads_the_same(name: str) -> None:
    text = demo_trips()[name].read_text(encoding="utf-8")
    raw = tomllib.loads(text)
    again = write_trip(raw)
    assert tomllib.loads(again) == raw
    boat = read_boat(demo_boats()[FITS[name]])
    assert read_trip(again.encode(), boat) == read_trip(text.encode(), boat)


NAMES = st.text(min_size=1, max_size=8)
WORDS = (
    st.text(max_size=20)
    | st.booleans()
    | st.integers(-9, 9)
    | st.floats(-9, 9)
    | st.lists(st.text(max_size=5))
)


@settings(max_examples=150, deadline=None)
@given(
    st.dictionaries(
        NAMES,
        WORDS
        | st.dictionaries(NAMES, WORDS | st.dictionaries(NAMES, WORDS, max_size=3), max_size=3),
        max_size=4,
    )
)
def test_writer_and_reader_agree(raw: dict) -> None:
    assert tomllib.loads(write_trip(raw)) == raw


# --- links ------------------------------------------------------------------------------------------


def test_a_link_carries_boat_and_trip_whole() -> None:
    boat = demo_boats()["number_four"].read_bytes()
    plan = demo_trips()["banks_and_back"].read_bytes()
    text = pack(boat, plan)
    print(f"link: {len(boat) + len(plan)} bytes in {len(text)} letters")
    assert text.replace(".", "").replace("-", "").replace("_", "").isalnum()
    assert unpack(text) == (boat, plan)
    ours, theirs = (read_trip(p, read_boat(b)) for b, p in ((boat, plan), unpack(text)))
    assert ours == theirs


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=3000), st.binary(max_size=3000))
def test_any_two_files_come_back(boat: bytes, plan: bytes) -> None:
    assert unpack(pack(boat, plan)) == (boat, plan)


def linked(body: bytes) -> str:
    return "1." + urlsafe_b64encode(zlib.compress(body, 9)).decode().rstrip("=")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "not whole"),
        ("2.abc", "another version"),
        ("1.", "not whole"),
        ("1.!!!", "not whole"),
        ("1.abcd", "damaged"),
        ("1.A", "damaged"),
        ("1." + "A" * 70_000, "too long"),
        (linked(b"no number here"), "no boat and trip"),
        (linked(b"99\nshort"), "no boat and trip"),
        (linked(b"5\nhallo")[:-6], "cut short"),
        (linked(b"-1\nx"), "no boat and trip"),
    ],
)
def test_broken_links_say_so(text: str, said: str) -> None:
    with pytest.raises(ReadingError, match=said):
        unpack(text)


def test_a_small_link_that_unpacks_to_much_is_stopped_at_the_cap() -> None:
    bomb = linked(b"0\n" + b"\0" * 30_000_000)
    assert len(bomb) < 45_000
    with pytest.raises(ReadingError, match="more than 64 kB"):
        unpack(bomb)
    with pytest.raises(ReadingError, match="share them as files"):
        pack(b"x" * MOST_BYTES, b"y")


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=300) | st.text("ABCxyz019-_", max_size=300).map(lambda t: "1." + t))
def test_any_link_unpacks_or_is_refused(text: str) -> None:
    try:
        unpack(text)
    except ReadingError as why:
        assert str(why)


# --- the sheet --------------------------------------------------------------------------------------


def words_of(data: bytes, folder: Path) -> str:
    path = folder / "sheet.pdf"
    path.write_bytes(data)
    return subprocess.run(
        ["pdftotext", "-layout", str(path), "-"], capture_output=True, text=True, check=True
    ).stdout


def many_runs(count: int) -> bytes:
    runs = "".join(
        f'[runs."a run with quite a long name {i}"]\ndistance = "1.5 mi"\nspeed = "{18 + i % 9} mph"\n'
        'wind = "14 kn"\nwind_from = "ahead"\nwave_height = "3 ft"\ndepth = "9 ft"\n'
        for i in range(count)
    )
    return (HEAD + runs).encode()


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no pdftotext here")
@pytest.mark.parametrize("units", ["us", "nautical", "metric"])
def test_the_sheet_is_one_page_with_all_that_matters(units: str, tmp_path: Path) -> None:
    result = trip(BOAT, read_trip(demo_trips()["banks_and_back"], BOAT), draws=40)
    data = sheet(result, units)
    assert data == sheet(result, units)  # the same bytes for the same result
    text = words_of(data, tmp_path)
    assert text.count("\f") == 1
    for word in (
        "Enough",
        "The banks and back",
        "out to the bank",
        "at least",
        "Cautions",
        "really",
        "An estimate, not a promise",
    ):
        assert word in text, word
    assert result.shown(units).answer.split(": ")[1][:20].lower() in text.lower().replace("\n", " ")


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no pdftotext here")
def test_a_long_trip_still_fits_one_page(tmp_path: Path) -> None:
    result = trip(BOAT, read_trip(many_runs(40), BOAT), draws=20)
    text = words_of(sheet(result, "us"), tmp_path)
    assert text.count("\f") == 1
    assert "and 28 more runs" in text
    assert text.split("\f")[0].strip().splitlines()[-1].endswith("An estimate, not a promise.")


def test_a_sheet_shows_trips_only(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="not speeds"):
        sheet(speeds(BOAT, draws=0), "us")
    with pytest.raises(ValueError, match=r"saved as \.pdf"):
        save_sheet(speeds(BOAT, draws=0), tmp_path / "a.png", "us")


# --- the command ------------------------------------------------------------------------------------


def test_the_command_answers(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    code = main(["trip", "number_four", "banks_and_back", "--draws", "20", "--sheet", str(out)])
    said = capsys.readouterr()
    assert code == 0
    assert said.out.startswith("Enough: The banks and back takes ")
    assert "sheet written" in said.err
    assert out.read_bytes().startswith(b"%PDF")
    assert all(len(line) <= 110 for line in said.out.splitlines())


def test_the_command_in_json_and_short_is_an_answer_too(capsys: pytest.CaptureFixture[str]) -> None:
    code = main(
        [
            "trip",
            "number_four",
            "out_to_the_light",
            "--reserve",
            "60 gal",
            "--draws",
            "0",
            "--format",
            "json",
        ]
    )
    said = json.loads(capsys.readouterr().out)
    assert code == 0
    assert said["kind"] == "trip"
    assert said["answer"].startswith("Short by ")
    assert said["summary"]["spare_m3"] < 0.0
    assert {"fuel_line", "reach", "around"} <= set(said)
    assert "reserve_broken" in said["cautions"]
    third = main(
        [
            "trip",
            "number_four",
            "out_to_the_light",
            "--reserve",
            "third",
            "--draws",
            "0",
            "--format",
            "json",
        ]
    )
    assert third == 0
    assert json.loads(capsys.readouterr().out)["answer"].startswith("Enough: ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["trip", "number_four", "bank_and_back"], "did you mean banks_and_back?"),
        (
            ["trip", "number_four", "banks_and_back", "--reserve", "lots"],
            "write third or a quantity",
        ),
        (["trip", "number_four", "banks_and_back", "--reserve", "20"], "lacks a unit"),
        (["trip", "number_four", "banks_and_back", "--sheet", "a.png"], "is saved as .pdf"),
        (["trip", "number_four", "banks_and_back", "--draws", "3"], "a band needs 20 draws"),
        (["trip", "number_one", "banks_and_back"], "not in [loads] of Number One"),
    ],
)
def test_the_command_refuses(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    assert said in capsys.readouterr().err
