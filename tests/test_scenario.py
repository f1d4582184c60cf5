"""Everything of one boat in one file and back, and in the address: byte for byte, to the same figures."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perf.base.faults import InputFaults, ReadingError
from perf.base.folding import fold, unfold
from perf.base.tables import data_folder
from perf.boat import changes, recognise
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats, demo_candidates, demo_duties
from perf.boat.scenario.file import CAPS, read_scenario
from perf.boat.scenario.parts import KeptTold, Scenario, Told
from perf.boat.scenario.writer import block, write_scenario
from perf.boat.trip.file import demo_trips, read_trip
from perf.faces.cli import main
from perf.studies.speeds import speeds
from perf.studies.trip.study import trip

DATA = Path(__file__).parent / "data"
FOUR = demo_boats()["number_four"].read_bytes()
SKIFF = (DATA / "tiller_skiff_15ft.toml").read_bytes()
# what a file may hold that a text in another file could stumble over
ODD = (
    b"\xef\xbb\xbf"
    + FOUR.replace(b"\n", b"\r\n")
    + '# \\ back \\u0041 """"" quotes, tab \t, \'\'\'\r\n# ½ \u2028 end"'.encode()
)


def full() -> Scenario:
    """A scenario with everything in it."""
    return Scenario(
        name='Number "Four" \\ alone',
        boat=Told(FOUR, file="mine.toml", load="alone", power="200 hp", pitch="17 in", fuel="half"),
        units="metric",
        kept=(
            KeptTold("Number Five, 17 in", Told(demo="number_five", pitch="17 in")),
            KeptTold("odd", Told(ODD, load="charter", fuel="60 gal")),
        ),
        trip=demo_trips()["out_and_back"].read_text(encoding="utf-8"),
        candidates=demo_candidates()["number_four"].read_text(encoding="utf-8"),
        season=demo_duties()["number_four"].read_text(encoding="utf-8"),
    )


def refused(text: str) -> InputFaults:
    with pytest.raises(InputFaults) as why:
        read_scenario(text.encode("utf-8"), name="all.toml")
    return why.value


def written_line(text: str, number: int) -> str:
    return text.split("\n")[number - 1]


# --- there and back -----------------------------------------------------------------------------------


def test_everything_comes_back_byte_for_byte() -> None:
    text = write_scenario(full(), whole=False)
    assert read_scenario(text.encode("utf-8")) == full()
    assert write_scenario(read_scenario(text.encode("utf-8")), whole=False) == text


def test_a_whole_file_stands_alone() -> None:
    found = read_scenario(write_scenario(full()).encode("utf-8"))
    five = found.kept[0].told
    assert five.demo == "" and five.text == demo_boats()["number_five"].read_bytes()
    assert replace(five, text=None, demo="number_five") == full().kept[0].told
    assert found.boat == full().boat


def test_the_same_figures_come_out_of_it() -> None:
    found = read_scenario(write_scenario(full()).encode("utf-8"))
    boat = read_boat(FOUR).at(load="alone")
    boat = boat.at(tank=changes.read_tank("half", boat))
    boat = changes.with_power(boat, changes.read_power("200 hp"))
    boat = changes.with_pitch(boat, changes.read_pitch("17 in"))
    back = found.boat.as_set()
    assert back == boat
    asked, got = (speeds(one, draws=20) for one in (boat, back))
    assert dict(got.summary) == dict(asked.summary)
    assert got.summary["top_speed_mps"] != speeds(read_boat(FOUR), draws=0).summary["top_speed_mps"]
    assert found.trip is not None
    plans = [read_trip(demo_trips()["out_and_back"], boat), read_trip(found.trip.encode(), back)]
    first, second = (
        trip(one, plan, draws=20, reach=False)
        for one, plan in zip((boat, back), plans, strict=True)
    )
    assert first.summary["trip_fuel_m3"] == second.summary["trip_fuel_m3"]
    np.testing.assert_array_equal(first.tables["rows"]["fuel_m3"], second.tables["rows"]["fuel_m3"])


@settings(max_examples=150, deadline=None)
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=200))
def test_any_text_stands_between_three_quotes(words: str) -> None:
    stands_inside(words)


@settings(max_examples=60, deadline=None)
@given(st.text('"\\\n\r\t u0041', max_size=60))
def test_quotes_and_backslashes_stand_between_three_quotes(words: str) -> None:
    stands_inside(words)


def stands_inside(words: str) -> None:
    assert tomllib.loads(f"a = {block(words)}\nb = 1\n") == {"a": words, "b": 1}


# --- what is refused ------------------------------------------------------------------------------------


FAULTS = [
    ("gear_ratio", "gear_ratoi", "boat.engine.gear_ratoi", "did you mean gear_ratio?", "gear_ratoi"),
    ('load = "alone"', 'load = "alonee"', "boat.load", "did you mean alone?", "alonee"),
    ('power = "200 hp"', 'power = "200"', "boat.power", "lacks a unit", '"200"'),
    ('power = "200 hp"', 'power = "9000 hp"', "boat.power", "not between", "9000 hp"),
    ('fuel = "half"', 'fuel = "900 gal"', "boat.fuel", "does not hold", "900 gal"),
    ('fuel = "half"', "fuel = 0.5", "boat.fuel", "a text in quotes", "0.5"),
    ("[season]", "[seasn]", "seasn", "did you mean season?", "[seasn]"),
    ("distance ", "distanse ", "trip.runs.out.distanse", "did you mean distance?", "distanse"),
    ("[candidates.", "[kandidates.", "candidates.kandidates", "did you mean", "kandidates"),
    ('demo = "number_five"', 'demo = "number_fife"', "kept.first.demo", "number_five?", "fife"),
    ('units = "metric"', 'units = "imperial"', "units", "one of: us", "imperial"),
    ('name = "odd"', 'name = "a\\u001bb"', "kept.second.name", "none of them hidden", "name ="),
    ("format = 1", "format = 2", "format", "newer overhump", "format = 2"),
    ('file = "mine.toml"', 'file = "mine.toml"\ndemo = "number_one"', "boat.demo", "leave one out", "demo"),
]  # fmt: skip


@pytest.mark.parametrize(("good", "bad", "key", "cure", "there"), FAULTS, ids=lambda v: str(v)[:30])
def test_faults_are_told_at_their_line_also_inside(
    good: str, bad: str, key: str, cure: str, there: str
) -> None:
    text = write_scenario(full(), whole=False)
    assert good in text
    text = text.replace(good, bad, 1)
    found = refused(text)
    fault = next(f for f in found.faults if f.key == key and cure in f.cure)
    assert there in written_line(text, fault.line), (fault, written_line(text, fault.line))


def test_five_kept_boats_are_too_many() -> None:
    text = write_scenario(full(), whole=False)
    more = "".join(f'\n[kept.more{n}]\nname = "m"\ndemo = "number_one"\n' for n in range(3))
    assert "more than the 4" in refused(text + more).faults[0].cure


def test_a_boat_is_needed_and_its_own_cap_holds() -> None:
    assert "this table is missing" in refused('format = 1\nscenario = "x"\n').faults[0].cure
    bare = 'format = 1\nscenario = "x"\n[boat]\n'
    assert refused(bare).faults[0].key == "boat.text"
    big = FOUR + b"#" + b" x" * 900 + b"\n"
    while len(big) <= 64_000:
        big += big[-1800:]
    found = refused(write_scenario(Scenario("x", Told(big))))
    assert "larger than 64 kB" in found.faults[0].cure  # a file inside has the cap of its reader


def test_what_is_too_large_is_refused_before_it_is_parsed() -> None:
    found = refused("x" * (CAPS.most_bytes + 1))
    assert "larger than 256 kB" in found.faults[0].cure
    big = Told((FOUR.decode() + "# x\n" * 13_000).encode())
    with pytest.raises(ReadingError, match="more than 256 kB"):
        write_scenario(Scenario("x", big, kept=tuple(KeptTold(f"{n}", big) for n in range(4))))


def test_a_command_takes_the_boat_as_set_in_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "whole.dat"
    path.write_text(write_scenario(full()), "utf-8")
    assert main(["check", str(path)]) == 0
    out, _ = capsys.readouterr()
    assert "everything of one boat, Number Four" in out
    assert re.search(r"boat\.pitch +17 in +set to 17 in", out)
    assert main(["speeds", str(path), "--draws", "0", "--format", "json"]) == 0
    out, _ = capsys.readouterr()
    as_set = speeds(full().boat.as_set(), draws=0)
    assert f'"top_speed_mps": {as_set.summary["top_speed_mps"]!r}' in out
    path.write_text(write_scenario(full()).replace("gear_ratio", "gear_ratoi", 1), "utf-8")
    assert main(["speeds", str(path)]) == 2
    assert main(["check", str(path)]) == 1
    _, err = capsys.readouterr()
    assert "boat.engine.gear_ratoi" in err


def test_a_trial_does_not_write_into_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, out = tmp_path / "whole.toml", tmp_path / "out.toml"
    path.write_text(write_scenario(full()), "utf-8")
    log = data_folder() / "trials" / "number_four_morning.csv"
    assert main(["trial", str(path), str(log), "-o", str(out)]) == 2
    assert "give her own file" in capsys.readouterr().err
    assert not out.exists()


def test_kinds_are_told_apart_by_content() -> None:
    assert recognise.kind_of(write_scenario(full()).encode()) == recognise.SCENARIO
    assert recognise.kind_of(write_scenario(full(), whole=False).encode()) == recognise.SCENARIO
    text = write_scenario(full()).replace("scenario =", "name =", 1)
    assert recognise.kind_of(text.encode()) == recognise.SCENARIO  # so that the missing key is told
    assert recognise.kind_of(SKIFF) == recognise.BOAT
    assert recognise.kind_of(b"apples,pears\n") == "" and recognise.kind_of(b"\x00\xff") == ""


# --- packed for an address ------------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=3000))
def test_any_bytes_are_folded_and_unfolded(body: bytes) -> None:
    assert unfold(fold(body), 64_000, 64_000, "") == body


def test_a_bomb_is_not_unpacked() -> None:
    bomb = fold(b"\x00" * 50_000_000)
    assert len(bomb) > 60_000
    with pytest.raises(ReadingError, match="too long"):
        unfold(bomb, 12_000, CAPS.most_bytes, "")
    with pytest.raises(ReadingError, match="holds more than 256 kB"):
        unfold(fold(b"\x00" * 5_000_000), 12_000, CAPS.most_bytes, "")
    for damaged in ("", "1.", "2.abc", "1.a b", fold(b"x" * 99)[:-4], fold(b"x") + "AAAA"):
        with pytest.raises(ReadingError):
            unfold(damaged, 12_000, CAPS.most_bytes, "")
