"""The command as a person uses it: answers on stdout, refusals on stderr, exit codes, no traceback."""

from __future__ import annotations

import csv
import io
import json
import math
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_result import invented_result

import perf.studies.speeds
from perf.base.cautions import Caution, code
from perf.base.columns import COLUMNS
from perf.base.results import Result
from perf.boat.catalog import demo_boats
from perf.faces.cli import main
from perf.faces.command.asked import MOST_SPEEDS, Refusal, read_range
from perf.faces.command.commands import COMMANDS, show_result
from perf.faces.command.laws import all_laws

ROOT = Path(__file__).parents[1]
DEMO = "number_four"
MPH = 0.44704  # metres per second, exact
KNOT = 1852.0 / 3600.0  # metres per second, exact

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the command in this process: exit code, stdout, stderr."""

    def command(*words: object) -> tuple[int, str, str]:
        exit_code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return exit_code, out, err

    return command


@pytest.fixture
def study(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Any, ...]]:
    """Put the made-up result in place of the study; what it was called with."""
    calls: list[tuple[Any, ...]] = []

    def invented(boat: Any, speed_mps: Any = None, *, draws: int = 200, seed: int = 1) -> Result:
        calls.append((boat, speed_mps, draws, seed))
        return invented_result()

    monkeypatch.setattr(perf.studies.speeds, "speeds", invented)
    return calls


def strict_json(text: str) -> Any:
    """JSON without NaN or infinities."""

    def refuse(word: str) -> NoReturn:
        raise AssertionError(f"{word} is not JSON")

    return json.loads(text, parse_constant=refuse)


# --- ranges ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("5mph:45mph:20mph", MPH, [5, 25, 45]),
        ("5:45:20 mph", MPH, [5, 25, 45]),
        ("5mph:45:20", MPH, [5, 25, 45]),
        ("5 kn : 10 kn : 2.5 kn", KNOT, [5, 7.5, 10]),
        ("5:12:3kn", KNOT, [5, 8, 11, 12]),  # HI is included though the step does not reach it
        ("0.1:0.7:0.1kn", KNOT, [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7]),
        ("30mph", MPH, [30]),
        ("7:7:1mph", MPH, [7]),
        ("5:6:3mph", MPH, [5, 6]),
    ],
)
def test_ranges_include_both_ends(text: str, unit: float, expected: list[float]) -> None:
    got = read_range("--speed", text, "speed")
    np.testing.assert_allclose(got, np.array(expected) * unit, rtol=1e-12)
    assert np.all(np.diff(got) > 0)


def test_ranges_may_go_through_nothing_and_mix_units() -> None:
    got = read_range("--height", "-2in:2in:1in", "length")
    np.testing.assert_allclose(got, np.arange(-2, 3) * 0.0254, atol=1e-15)  # inch, exact
    mixed = read_range("--speed", "10 mph:20 kn:5 km/h", "speed")
    assert (mixed[0], mixed[-1]) == (10 * MPH, pytest.approx(20 * KNOT))


BAD_RANGES = {
    "": "nothing is written",
    "5:45": "write LO:HI:STEP",
    "5:45:2:3 mph": "write LO:HI:STEP",
    "5:45:2.5": "unit",
    "5mph:45kn:2": "two different units",
    "5mph:45mph:0mph": "the step",
    "5mph:45mph:-1mph": "the step",
    "45mph:5mph:1mph": "must not be less",
    "5mph:45mph:": "",
    "::": "",
    "5,5mph:45mph:1mph": "comma",
    "fast": "",
    "5mph:45mph:1lb": "",
    "1mph:1000mph:0.001mph": f"more than {MOST_SPEEDS}",
    "nan:45:1mph": "",
    "5 mph ± 1 mph": "doubt",
    "5:45:2 ft 3 in": "",
    "1e9mph": "",
}


@pytest.mark.parametrize("text", BAD_RANGES)
def test_bad_ranges_are_refused_with_a_cure(text: str) -> None:
    with pytest.raises(Refusal) as refused:
        read_range("--speed", text, "speed")
    assert BAD_RANGES[text] in refused.value.cure
    assert len(refused.value.cure) > 10


@given(st.text(alphabet="0123456789.:-+ mphknft/,±eE", max_size=24) | st.text(max_size=40))
@settings(max_examples=150, deadline=None)
def test_any_text_is_a_range_or_a_refusal(text: str) -> None:
    try:
        got = read_range("--speed", text, "speed")
    except Refusal as refused:
        assert "\n" not in refused.as_text() or "\n" in text
    else:
        assert all(map(math.isfinite, got))
        assert got == sorted(got)
        assert len(got) <= MOST_SPEEDS + 2


# --- speeds ---------------------------------------------------------------------------------------


def test_text_begins_with_the_answer(run: Run, study: list[Any]) -> None:
    exit_code, out, err = run("speeds", DEMO)
    assert exit_code == 0
    assert err == ""
    assert " ".join(out.split()).startswith(invented_result().shown("us").answer)


def test_json_is_the_envelope_without_nan(run: Run, study: list[Any]) -> None:
    exit_code, out, err = run("speeds", DEMO, "--format", "json", "--units", "metric")
    assert (exit_code, err) == (0, "")
    told = strict_json(out)
    wanted = "overhump format results_version answer boat summary rows doubt cautions assumptions sources"
    assert set(wanted.split()) <= set(told)
    assert told["answer"] == invented_result().shown("metric").answer
    assert told["rows"][0]["fuel_lph"] is None
    assert told["rows"][0]["status"] == "below the planing range"
    assert set(told["cautions"]) == {code(c) for c in Caution if c.value}
    assert all(told["cautions"].values())


def test_csv_has_the_declared_columns_in_si(run: Run, study: list[Any]) -> None:
    exit_code, out, err = run("speeds", DEMO, "--format", "csv", "--units", "us")
    assert (exit_code, err) == (0, "")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert {head.removesuffix("_p10").removesuffix("_p90") for head in rows[0]} <= set(COLUMNS)
    assert float(rows[0]["speed_mps"]) == 4.0
    assert rows[0]["fuel_lph"] == ""


def test_options_reach_the_study(run: Run, study: list[Any]) -> None:
    run(
        "speeds",
        DEMO,
        "--load",
        "alone",
        "--tank",
        "1/4",
        "--speed",
        "5:15:5kn",
        "--draws",
        50,
        "--seed",
        7,
    )
    ((boat, grid, draws, seed),) = study
    assert (boat.loaded.name, boat.loaded.tank) == ("alone", 0.25)
    np.testing.assert_allclose(grid, np.array([5, 10, 15]) * KNOT)
    assert (draws, seed) == (50, 7)


def test_tank_alone_keeps_the_load_of_the_file(run: Run, study: list[Any]) -> None:
    run("speeds", DEMO, "--tank", "90 %")
    run("speeds", DEMO)
    assert study[0][0].load == study[1][0].load
    assert study[0][0].loaded.tank == pytest.approx(0.9)
    assert study[1][1] is None


def test_a_path_is_a_boat_too(run: Run, study: list[Any], tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(demo_boats()[DEMO].read_bytes())
    assert run("speeds", path)[0] == 0
    run("speeds", DEMO)
    assert study[0][0] == study[1][0]


@pytest.mark.parametrize("ending", [".png", ".svg", ".pdf"])
def test_figure_is_written_and_said_on_stderr(
    run: Run, study: list[Any], tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"curves{ending}"
    exit_code, out, err = run("speeds", DEMO, "--figure", path, "--format", "csv")
    assert exit_code == 0
    assert out.startswith("speed_mps,")
    assert path.stat().st_size > 5000
    assert str(path) in err
    assert run("speeds", DEMO, "--figure", path, "--quiet")[2] == ""


def test_quiet_is_shorter(run: Run, study: list[Any]) -> None:
    assert len(run("speeds", DEMO, "--quiet")[1]) < len(run("speeds", DEMO)[1])


BAD_WORDS = [
    (["speeds"], "BOAT"),
    ([], "COMMAND"),
    (["speed", DEMO], "invalid choice"),
    (["speeds", DEMO, "--unit", "us"], "unrecognized"),
    (["speeds", DEMO, "--units", "imperial"], "invalid choice"),
    (["speeds", DEMO, "--format", "xml"], "invalid choice"),
    (["speeds", DEMO, "--draws", "-1"], "whole number"),
    (["speeds", DEMO, "--draws", "5"], "20 draws or more"),
    (["speeds", DEMO, "--draws", "²"], "whole number"),
    (["speeds", DEMO, "--draws", "9" * 5000], "whole number"),
    (["speeds", DEMO, "--seed", "1.5"], "whole number"),
    (["speeds", DEMO, "--tank", "1.5"], "a part of the tank"),
    (["speeds", DEMO, "--tank", "brimful"], "a part of the tank"),
    (["speeds", DEMO, "--load", "charterr"], "no such load"),
    (["speeds", DEMO, "--speed", "5:45:2.5"], "unit"),
    (["speeds", DEMO, "--speed", "0:45:5mph"], "more than nothing"),
    (["speeds", DEMO, "--speed", "-5mph:45mph:5mph"], "equals sign"),
    (["speeds", DEMO, "--speed=-5mph:45mph:5mph"], "more than nothing"),
    (["speeds", DEMO, "--figure", "curves.gif"], ".png, .svg or .pdf"),
    (["speeds", DEMO, "--figure", "/no/such/folder/curves.png"], "no such folder"),
    (["speeds", "number_for"], "did you mean number_four?"),
    (["speeds", "nothing_like_it.toml"], "no such file or demo boat"),
    (["speeds", "x" * 5000], "no such file"),
    (["speeds", "nul\0name"], "no such file"),
    (["speeds", ""], "BOAT"),
    (["speeds", "."], "a folder"),
    (["check"], "FILE"),
    (["laws", "planing_inceptio"], "planing_inception"),
    (["laws", "xyzzy"], "overhump laws"),
]


@pytest.mark.parametrize(("argv", "part"), BAD_WORDS, ids=lambda value: str(value)[:40])
def test_bad_words_are_refused_in_one_line(run: Run, argv: list[str], part: str) -> None:
    exit_code, out, err = run(*argv)
    assert (exit_code, out) == (2, "")
    assert part in err
    assert err.startswith("overhump: ")
    assert err.count("\n") == 1
    assert len(err) < 500


@pytest.mark.parametrize(("argv", "part"), BAD_WORDS, ids=lambda value: str(value)[:40])
def test_bad_words_are_refused_as_json_where_asked(run: Run, argv: list[str], part: str) -> None:
    if "--format" in argv:
        pytest.fail("covered above") if argv[-1] != "xml" else None
        argv = [word for word in argv if word not in ("--format", "xml")] + ["--units", "none"]
        part = "invalid choice"
    exit_code, out, err = run(*argv, "--format", "json")
    assert (exit_code, out) == (2, "")
    told = strict_json(err)
    assert told["refused"] == "command line"
    (fault,) = told["faults"]
    assert part in fault["cure"] or part in fault["key"]


def test_an_option_that_is_not_given_its_value(run: Run) -> None:
    assert run("speeds", DEMO, "--speed")[0] == 2


# --- files ----------------------------------------------------------------------------------------


def test_faults_of_a_file_go_to_stderr(run: Run, study: list[Any], tmp_path: Path) -> None:
    path = tmp_path / "wrong.toml"
    path.write_text(
        demo_boats()[DEMO].read_text("utf-8").replace('"7 ft 10 in"', '"7,10 ft"'), "utf-8"
    )
    for words, wanted in ((("speeds", path), 2), (("check", path), 1)):
        exit_code, out, err = run(*words)
        assert (exit_code, out) == (wanted, "")
        assert err.startswith("wrong.toml refused: 1 fault, nothing computed.")
        assert "hull.chine_beam" in err
        exit_code, out, err = run(*words, "--format", "json")
        assert exit_code == wanted and (out == "") == (words[0] == "speeds")
        told = strict_json(err)
        assert told["refused"] == "wrong.toml"
        assert told["faults"][0]["key"] == "hull.chine_beam"
    assert study == []


STRANGE = {
    "binary": bytes(range(256)) * 8,
    "empty": b"",
    "not UTF-8": 'name = "caf\u00e9"'.encode("latin-1"),
    "too large": b"# " + b"x" * 100_000,
    "deep": b"a = " + b"[" * 5000,
    "csv": b"speed,rpm\n1,2\n",
    "utf-16": "name = 1".encode("utf-16"),
}


@pytest.mark.parametrize("kind", STRANGE)
def test_strange_files_are_refused_in_sentences(run: Run, tmp_path: Path, kind: str) -> None:
    path = tmp_path / "strange.toml"
    path.write_bytes(STRANGE[kind])
    for words, wanted in ((("check", path), 1), (("speeds", path), 2)):
        exit_code, out, err = run(*words)
        assert (exit_code, out) == (wanted, "")
        assert err.startswith("strange.toml refused: ")


def test_a_file_that_cannot_be_opened(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "shut.toml"
    path.write_text("format = 1")

    def shut(*_: object, **__: object) -> NoReturn:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", shut)
    exit_code, out, err = run("check", path)
    assert (exit_code, out) == (1, "")
    assert "cannot be opened" in err


def test_check_says_what_was_understood(run: Run) -> None:
    exit_code, out, err = run("check", DEMO, "--units", "metric")
    assert (exit_code, err) == (0, "")
    assert out.startswith(f"{DEMO} understood: a boat file, ")
    (line,) = (line for line in out.splitlines() if line.split()[:1] == ["hull.chine_beam"])
    assert line.split("  ")[-1].strip() == "2.388 m"  # 94 in of 25.4 mm


def test_check_goes_on_past_a_refused_file(run: Run, tmp_path: Path) -> None:
    exit_code, out, err = run("check", tmp_path / "none.toml", DEMO, "--format", "json")
    assert exit_code == 1
    missing, told = strict_json(out)["checked"]
    assert (told["file"], told["kind"], told["passed"]) == (DEMO, "boat", True)
    assert {"key", "written", "understood"} == set(told["understood"][0])
    assert not missing["passed"] and "no such file" in missing["faults"][0]["cure"]
    assert strict_json(err)["refused"] == "command line"


def test_check_as_csv(run: Run) -> None:
    rows = list(csv.DictReader(io.StringIO(run("check", DEMO, "number_one", "--format", "csv")[1])))
    assert {row["file"] for row in rows} == {DEMO, "number_one"}
    assert {row["kind"] for row in rows} == {"boat"}


DATA = ROOT / "hull_data"
KINDS = {
    "trip": DATA / "trips" / "the_far_yard.toml",
    "duty": DATA / "duties" / "number_four.toml",
    "candidates": DATA / "candidates" / "number_four.toml",
    "log": DATA / "trials" / "number_four_morning.csv",
    "engines": DATA / "engines.csv",
    "propellers": DATA / "propellers.csv",
    "hulls": DATA / "hulls.csv",
    "sources": DATA / "sources.csv",
    "boat": DATA / "boats" / "number_four.toml",
}


@pytest.mark.parametrize("kind", KINDS)
def test_check_knows_every_kind_by_what_stands_in_it(run: Run, tmp_path: Path, kind: str) -> None:
    disguised = tmp_path / "something.dat"
    disguised.write_bytes(KINDS[kind].read_bytes())
    exit_code, out, err = run("check", disguised, "--format", "json")
    assert (exit_code, err) == (0, "")
    (told,) = strict_json(out)["checked"]
    assert (told["kind"], told["passed"]) == (kind, True)
    assert told["understood"]
    alone = any("without a boat" in note for note in told["notes"])
    assert alone == (kind in ("trip", "duty", "candidates"))


def test_check_holds_what_belongs_to_a_boat_against_the_boat_beside_it(
    run: Run, tmp_path: Path
) -> None:
    trip = tmp_path / "trip.toml"
    trip.write_text(KINDS["trip"].read_text("utf-8").replace('"alone"', '"alonee"'), "utf-8")
    exit_code, out, err = run("check", trip)
    assert exit_code == 0 and "not checked without a boat" in out
    exit_code, out, err = run("check", trip, "number_four")
    assert exit_code == 1
    assert "did you mean alone?" in err
    assert "number_four understood: a boat file" in out
    exit_code, out, err = run("check", KINDS["candidates"], KINDS["duty"], "number_four")
    assert (exit_code, err) == (0, "") and "without a boat" not in out


def test_check_says_where_each_fault_stands_in_every_format(run: Run, tmp_path: Path) -> None:
    rows = tmp_path / "mine"
    text = KINDS["engines"].read_text("utf-8")
    rows.write_text(text.replace(",2.08,", ",280,", 1), "utf-8")
    line = 1 + text[: text.index(",2.08,")].count("\n")
    exit_code, out, err = run("check", rows)
    assert (exit_code, out) == (1, "")
    assert f"line {line}:" in err and "gear_ratio" in err
    assert "It was taken for rows of engines." in err
    exit_code, out, _ = run("check", rows, DEMO, "--format", "csv")
    found = [row for row in csv.DictReader(io.StringIO(out)) if row["cure"]]
    assert exit_code == 1
    assert [(row["file"], row["line"]) for row in found] == [(str(rows), str(line))]
    exit_code, out, _ = run("check", rows, "--format", "json")
    (told,) = strict_json(out)["checked"]
    assert (told["kind"], told["faults"][0]["line"]) == ("engines", line)
    assert run("check", ROOT / "README.md")[0] == 1
    assert run("check", ".")[0] == 1


def test_a_workbook_is_checked_as_a_log(run: Run, tmp_path: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    for row in (("speed (mph)", "rpm"), (12, 2500), (24, 3600), ("x", 1)):
        book.active.append(row)
    path = tmp_path / "log"
    book.save(path)
    exit_code, out, err = run("check", path)
    assert (exit_code, err) == (0, "")
    assert "a trial log" in out and "1 set aside" in out


@pytest.mark.parametrize("name", demo_boats())
def test_every_demo_boat_checks(run: Run, name: str) -> None:
    assert run("check", name)[0] == 0


# --- laws -----------------------------------------------------------------------------------------


def test_laws_lists_every_law_with_its_source(run: Run) -> None:
    exit_code, out, err = run("laws")
    assert (exit_code, err) == (0, "")
    known = all_laws()
    assert len(known) > 50
    lines = out.splitlines()
    for law in known.values():
        assert f"  {law.name}" in lines
    flowing = " ".join(out.split())
    for law in known.values():
        assert " ".join(f"{law.source}, {law.locator}".split()) in flowing
    assert max(map(len, lines)) <= 110


def test_laws_in_json_and_csv_agree(run: Run) -> None:
    told = strict_json(run("laws", "--format", "json")[1])["laws"]
    rows = list(csv.DictReader(io.StringIO(run("laws", "--format", "csv")[1])))
    assert [law["name"] for law in told] == [row["name"] for row in rows] == list(all_laws())


def test_one_law_in_detail(run: Run) -> None:
    exit_code, out, _ = run("laws", "flat_lift")
    law = all_laws()["flat_lift"]
    assert exit_code == 0
    assert out.startswith("flat_lift(")
    assert law.title in out
    assert (law.function.__doc__ or "").split("\n")[0] in out
    assert all(f"{span.symbol} from {span.low:g} to {span.high:g}" in out for span in law.spans)


# --- leaving --------------------------------------------------------------------------------------


def test_help_is_an_answer(run: Run) -> None:
    assert run("--help")[0] == 0
    for command in COMMANDS:
        exit_code, out, _ = run(command.name, "--help")
        assert exit_code == 0
        assert "--units" in out


def test_stopped_by_the_user(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object, **__: object) -> NoReturn:
        raise KeyboardInterrupt

    monkeypatch.setattr(perf.studies.speeds, "speeds", stop)
    exit_code, out, err = run("speeds", DEMO)
    assert (exit_code, out, err) == (3, "", "overhump: stopped\n")


def test_a_figure_that_cannot_be_written_leaves_the_answer(
    run: Run, study: list[Any], tmp_path: Path
) -> None:
    (tmp_path / "taken.png").mkdir()
    exit_code, out, err = run("speeds", DEMO, "--figure", tmp_path / "taken.png")
    assert exit_code == 2
    assert "cannot be written" in err
    assert "Made-up Boat" in out


def overhump(*words: str, **more: Any) -> subprocess.CompletedProcess[bytes]:
    """Run the command as a process of its own."""
    argv = [sys.executable, "-m", "perf.faces.cli", *words]
    return subprocess.run(
        argv, cwd=ROOT, capture_output="stdout" not in more, check=False, timeout=60, **more
    )


def test_a_reader_that_goes_away_is_no_fault() -> None:
    script = f'"{sys.executable}" -m perf.faces.cli laws | head -1; echo "${{PIPESTATUS[0]}}"'
    done = subprocess.run(
        ["bash", "-c", script], cwd=ROOT, capture_output=True, check=False, timeout=60
    )
    assert done.stderr == b""
    assert done.stdout.splitlines()[-1] == b"0"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_is_said() -> None:
    with Path("/dev/full").open("wb") as full:
        done = overhump("laws", stdout=full, stderr=subprocess.PIPE)
    assert done.returncode == 1
    assert done.stderr.startswith(b"overhump: answer: cannot be written")
    assert b"Traceback" not in done.stderr


def test_a_terminal_without_special_signs() -> None:
    done = overhump("check", DEMO, env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"?" in done.stdout


def test_a_wrong_file_is_refused_without_heavy_packages(tmp_path: Path) -> None:
    path = tmp_path / "wrong.toml"
    path.write_text("format = 1\nname = 3\n")
    script = (
        "import sys, time; start = time.perf_counter()\n"
        "from perf.faces.cli import main\n"
        f"code = main(['check', {str(path)!r}])\n"
        "heavy = {'pandas', 'matplotlib', 'altair', 'streamlit'} & set(sys.modules)\n"
        "print(code, sorted(heavy), round(time.perf_counter() - start, 2))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, check=False, timeout=60
    )
    exit_code, heavy, seconds = done.stdout.decode().replace("[]", "none").split()
    print(
        f"a wrong file: {seconds} s"
    )  # what is loaded is the gate: a clock here depends on the neighbours
    assert (exit_code, heavy) == ("1", "none")


def test_the_real_study_from_a_real_file(run: Run) -> None:
    exit_code, out, err = run(
        "speeds", DEMO, "--speed", "20:30:5mph", "--draws", 20, "--format", "json"
    )
    assert (exit_code, err) == (0, "")
    told = strict_json(out)
    assert [row["speed_mps"] for row in told["rows"]] == pytest.approx(
        [20 * MPH, 25 * MPH, 30 * MPH]
    )
    assert told["boat"] == "Number Four"
    exit_code, out, err = run("speeds", DEMO, "--draws", 20)
    assert (exit_code, err) == (0, "")
    assert out.startswith("Number Four")
    assert max(map(len, out.splitlines())) <= 110


def test_any_result_can_be_shown(capsys: pytest.CaptureFixture[str]) -> None:
    import argparse

    asked = argparse.Namespace(format="text", units="nautical", quiet=False, figure=None)
    assert show_result(invented_result(), asked) == 0
    assert "kn" in capsys.readouterr().out
