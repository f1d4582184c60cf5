"""Evidence and calibration stay apart, every figure can be traced, and the README says what comes out."""

from __future__ import annotations

import csv
import json
import math
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import mutation
import numpy as np
import pandas as pd
import pytest
import write_readme

from perf.base import bands
from perf.base.assumptions import ASSUMPTIONS
from perf.base.results import Result
from perf.base.sources import SOURCES
from perf.base.tables import read_table
from perf.boat.boatfile import read_boat
from perf.faces import cli
from perf.faces.command.evidence import evidence_text, trial_cells
from perf.faces.dashboard import parts
from perf.faces.text.result import how_sure_text
from perf.studies.evidence import law_checks
from perf.studies.evidence import study as evidence_module
from perf.studies.evidence.combinations import combination_table
from perf.studies.evidence.how_sure import BEGIN, END, how_sure_markdown, replaced
from perf.studies.evidence.in_short import bands_table, weak_points
from perf.studies.evidence.model_checks import model_checks
from perf.studies.evidence.scores import (
    CHOOSING,
    HELD_BACK,
    Cases,
    Check,
    Scored,
    _scored,
    assumed_inputs,
    crossing,
    read_checks,
    scored,
    split,
)
from perf.studies.evidence.study import evidence, tuned_rows
from perf.studies.speeds import speeds

ROOT = Path(__file__).parents[1]
MEASURED = ROOT / "hull_data" / "measured"
KNOT, GALLON = 0.514444, 3.785411784
pytestmark = pytest.mark.xdist_group("evidence")  # one worker: the evidence is worked out once


@cache
def result() -> Result:
    return evidence()


@cache
def held_back() -> tuple[Check, ...]:
    return tuple(check for check in read_checks() if check.use == HELD_BACK)


@cache
def cases() -> Cases:
    return Cases.of(read_checks())


# --- sea trials ---------------------------------------------------------------------------------------


def test_blind_questions_of_sea_trials_are_shown_everywhere() -> None:
    tables = result().tables
    trials, short = tables["trials"], tables["trials_in_short"]
    known = trials["blind_runs"].notna()
    assert short["blind_runs"].sum() == trials.loc[known, "blind_runs"].sum()
    for row in short.itertuples():  # the means are over readings, by a second route
        some = trials[
            known & trials["use"].eq(row.use) & trials["blind_reading"].eq(row.blind_reading)
        ]
        total = sum(one.error_after * one.blind_runs for one in some.itertuples())
        assert row.error_after == pytest.approx(total / row.blind_runs)
    text, readme = evidence_text(result(), "us"), how_sure_markdown(result())
    for line in trial_cells(short):
        assert any(all(cell in said for cell in line) for said in text.splitlines())
    assert "Sea trials, boat by boat" in text and "T8 T9 T10 T11" in text
    assert "500 simulated trials" in readme and "| held back | top speed | 2 | 4 |" in readme


# --- the split -------------------------------------------------------------------------------------


def test_every_set_is_choosing_or_held_back() -> None:
    table = read_table("measured/split.csv")
    assert len(split()) == len(table.rows), "an id stands twice"
    assert set(split().values()) == {CHOOSING, HELD_BACK}
    assert all(row["reason"] for row in table.rows)


@pytest.mark.parametrize("path", sorted(MEASURED.glob("*.csv")), ids=lambda p: p.name)
def test_measured_rows_say_what_they_are(path: Path) -> None:
    table = read_table(f"measured/{path.name}")
    assert table.comment, "the first line says what kind of source it is"
    if "use" not in table.columns or "set" not in table.columns:
        return
    for row in table.rows:
        assert row["use"] == split()[row["set"]], row
        if "fuel_use" in row:
            assert row["fuel_use"] == split().get(f"{row['set']}.fuel", row["use"])


def test_every_held_back_set_is_worked_out_or_says_why_not() -> None:
    worked = {check.id for check in read_checks()} | {check.id for check in model_checks()}
    excused = set(read_table("measured/not_scored.csv").texts("id"))
    held = {name for name, use in split().items() if use == HELD_BACK}
    assert not worked & excused
    assert held == (worked & held) | excused
    assert excused <= held


def test_half_of_the_boats_on_the_water_are_held_back() -> None:
    boats = {check.boat: check.use for check in read_checks() if not check.id.endswith(".fuel")}
    uses = list(boats.values())
    assert uses.count(HELD_BACK) >= len(uses) / 2


def test_a_row_that_something_was_tuned_to_is_never_evidence() -> None:
    tuned = set().union(*tuned_rows().values(), set())
    held = {name for name, use in split().items() if use == HELD_BACK}
    assert not tuned & held, "an assumption names a held-back row"
    shown = set(result().tables["evidence"]["set"])
    assert not tuned & shown and shown <= held
    assert not set(result().tables["calibration"]["set"]) & held


def test_that_guard_can_fail() -> None:
    bent = replace(ASSUMPTIONS["hole_shot"], tuned_to=("T16 and A13: 10 s to 40 kn",))
    assert tuned_rows([bent]) == {"hole_shot": {"T16", "A13"}}
    assert split()["T16"] == HELD_BACK
    fuel = replace(bent, tuned_to=("OW4.fuel",))
    assert tuned_rows([fuel]) == {"hole_shot": {"OW4.fuel"}}
    assert tuned_rows()["four-stroke injected"] == {"WOT3", "WOT5", "WOT7", "OW2", "CYC"}


# --- the figures can be traced to the rows -----------------------------------------------------------


def numbers_in(row: dict[str, str]) -> list[float]:
    text = " ".join(value for name, value in row.items() if name not in ("set", "use", "fuel_use"))
    return [float(found) for found in re.findall(r"\d+(?:\.\d+)?", text)]


def stands(value: float, found: list[float]) -> bool:
    """Whether a value, or the same in mph for knots or gallons for litres, is among the numbers."""
    same = [value, value * KNOT / 0.44704, value / GALLON]
    return any(abs(one - number) <= 0.02 * number for one in same for number in found)


@pytest.mark.parametrize("row", read_table("measured/checks.csv").rows, ids=lambda r: r["id"])
def test_a_check_repeats_a_measured_row(row: dict[str, str]) -> None:
    assert row["use"] == split()[row["id"]]
    place = read_table("measured/split.csv")
    file = next(r["file"] for r in place.rows if r["id"] == row["id"])
    name = row["id"].removesuffix(".fuel")
    rows = [r for r in read_table(f"measured/{file}").rows if r["set"] == name]
    if row["what"] == "speed lost to load":  # the difference of two printed speeds
        low, high = sorted(numbers_in(rows[0]))[:1], numbers_in(rows[0])
        assert stands(32 * 0.44704 / KNOT, high) and low
        assert float(row["high"]) == pytest.approx(5 * 0.44704 / KNOT, rel=0.02)
        return
    found = [numbers_in(r) for r in rows]
    wanted = [float(row[key]) for key in ("low", "high", "at_kn") if row[key]]
    spread = row["low"] != row["high"] and row["low"]
    if spread:  # the ends of a range are read from the remark
        found = [[number for numbers in found for number in numbers]]
        wanted = [w for w in wanted if row["id"] not in ("T5", "T13")]
    assert any(all(stands(w, numbers) for w in wanted) for numbers in found), (wanted, found)


def test_sources_are_known() -> None:
    assert set(result().tables["evidence"]["source"]) <= set(SOURCES)
    assert set(result().sources) <= set(SOURCES)


# --- the boats ---------------------------------------------------------------------------------------

BOATS = sorted((MEASURED / "boats").glob("*.toml"))
GUESSED = (  # what is never known exactly when the row does not state it
    "hull.chine_beam",
    "hull.deadrise_transom",
    "light.mass",
    "light.forward",
    "weighed.forward",
    "engine.mass",
    "propeller.pitch",
    "air.frontal_area",
)


@pytest.mark.parametrize("path", BOATS, ids=lambda p: p.stem)
def test_a_measured_boat_is_an_ordinary_boat_file(path: Path) -> None:
    boat = read_boat(path)
    doubts = dict(boat.doubts)
    assumed = set(assumed_inputs()[path.stem])
    for name in GUESSED:
        weighed_with = (
            name == "engine.mass" and "weighed.aboard" in assumed
        )  # its doubt is the whole's
        if name in assumed and not weighed_with:
            assert doubts.get(name.replace("weighed", "light"), 0.0) > 0.0, f"{name} has no doubt"
    said: dict[str, set[str]] = {"stated": set(), "assumed": set()}
    table = ""
    for line in path.read_text(encoding="utf-8").splitlines():
        if match := re.match(r"\[(\w+)\]", line):
            table = match[1]
        for word, names in said.items():
            if line.endswith(f"# {word}"):
                names.add(f"{table}.{line.split('=')[0].strip()}")
    assert said["assumed"] == assumed
    row = next(r for r in read_table("measured/boats.csv").rows if r["boat"] == path.stem)
    assert said["stated"] == set(row["stated"].split())


def test_every_boat_is_used_and_every_check_has_its_boat() -> None:
    assert {check.boat for check in read_checks()} == {path.stem for path in BOATS}
    for check in read_checks():
        for name, load in check.cases:
            assert load in read_boat(MEASURED / "boats" / f"{name}.toml").load_names


def test_boats_of_no_stated_propeller_turn_in_their_band() -> None:
    stated = cases().stated.top.engine_rpm
    seen = set()
    for row, (name, _) in enumerate(cases().keys):
        if name in seen or "propeller.pitch" not in assumed_inputs()[name]:
            continue
        seen.add(name)
        motor = cases().boats[row].engine
        low, high = motor.full_throttle_low_rpm, motor.full_throttle_high_rpm
        assert 0.97 * low <= stated[row] <= 1.03 * high, name
    assert len(seen) > 10


def test_rpm_is_checked_only_where_the_pitch_is_known() -> None:
    for check in read_checks():
        if check.what in ("rpm at speed", "rpm flat out"):
            assert "propeller.pitch" not in assumed_inputs()[check.boat], check


# --- how a figure is scored ----------------------------------------------------------------------------


def one(what: str, low: float, high: float) -> Check:
    return Check("X", "x", ("l",), what, math.nan, math.nan, low, high, HELD_BACK, "")


@pytest.mark.parametrize(
    ("what", "low", "high", "draws", "inside"),
    [
        ("top speed", 10.0, 10.0, np.linspace(8, 12, 101), True),
        ("top speed", 11.8, 11.8, np.linspace(8, 12, 101), False),  # past the ninetieth per cent
        ("top speed", 11.8, 13.0, np.linspace(8, 12, 101), False),
        ("top speed", 11.5, 13.0, np.linspace(8, 12, 101), True),  # the ranges overlap
        ("time to plane", math.nan, 4.0, np.linspace(5, 9, 101), False),  # an upper bound
        ("time to plane", math.nan, 6.0, np.linspace(5, 9, 101), True),
        ("time to plane", 50.0, 50.0, np.array([5.0] * 80 + [math.nan] * 20), True),  # no upper end
        ("time to plane", 4.0, 4.0, np.array([5.0] * 80 + [math.nan] * 20), False),
        ("top speed", 1.0, 1.0, np.array([5.0] * 80 + [math.nan] * 20), True),  # no lower end
    ],
)
def test_inside_or_outside_the_band(
    what: str, low: float, high: float, draws: np.ndarray, inside: bool
) -> None:
    found = _scored(one(what, low, high), 9.0, draws)
    assert found.inside is inside
    assert math.isnan(found.error) == math.isnan(low)


def test_error_is_ours_over_the_middle() -> None:
    assert Scored(one("top speed", 9.0, 11.0), 12.0, 0.0, 0.0, True).error == pytest.approx(0.2)


def test_crossing() -> None:
    speed = np.array([[1.0, 2.0, 3.0], [1.0, 2.0, 3.0], [1.0, 2.0, 3.0]])
    left = np.array([[4.0, 1.0, -1.0], [4.0, 2.0, -2.0], [-1.0, -2.0, -3.0]])
    found = crossing(speed, left, left > 0.0)
    np.testing.assert_allclose(found, [2.5, 2.5, np.nan])


def test_table_of_combinations_holds_the_default_by_another_route() -> None:
    """The default's row of the table against the figures worked out one by one."""
    table = combination_table(held_back(), cases())
    default = table[table["default"]]
    assert len(default) == 1 and len(table) == 216 and not table.duplicated().any()
    figures = scored(held_back(), cases(), 20, 1)
    for what, near in (("rpm at speed", 1e-9), ("fuel at speed", 1e-9), ("top speed", 0.004)):
        errors = [abs(f.error) for f in figures if f.check.what == what]
        assert default[what].item() == pytest.approx(np.mean(errors), abs=near)


def test_models_as_copied_out() -> None:
    """Begovic & Bertorello 2012 and Fridsma 1969, with the errors another hand found for the 1964 method."""
    printed = {"B1": (0.68, -0.005), "B3": (0.49, -0.050), "F1": (0.44, 0.030)}
    for check in model_checks():
        if check.id in printed:
            gap, share = printed[check.id]
            found = check.ours - check.low if check.kind == "angle" else check.error
            wanted, near = (gap, 0.015) if check.kind == "angle" else (share, 0.003)
            assert found == pytest.approx(wanted, abs=near), check
    lift = [check.ours for check in model_checks() if check.id == "SB76-1"]
    assert lift == pytest.approx([0.91, 0.893], abs=0.002)


# --- laws ------------------------------------------------------------------------------------------------


def test_every_law_holds_its_rows() -> None:
    laws = result().tables["laws"]
    assert (laws["worst"].dropna() <= 1.0).all()
    assert laws["checks"].sum() == len(law_checks.oracle_rows())


def test_rows_are_found_in_an_installed_wheel(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert law_checks.oracle_folder() == ROOT / "tests" / "oracle"
    (tmp_path / "_oracle").mkdir()
    (tmp_path / "_oracle" / "one.json").write_text('[{"law": "ittc57"}]', encoding="utf-8")
    monkeypatch.setattr(law_checks, "PACKAGE", tmp_path)
    assert law_checks.oracle_rows() == [("one.json row 1", {"law": "ittc57"})]
    shipped = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert '"tests/oracle" = "perf/_oracle"' in shipped


def test_gap_of_a_row() -> None:
    row = {"given": {"x": [1.0, None]}, "expect": [2.0, None], "tolerance": 0.1}
    assert law_checks.gap(lambda x: 2.05 * x, row) == pytest.approx(0.5)
    assert law_checks.gap(lambda x: 2.05 * np.nan_to_num(x), row) == math.inf
    assert law_checks.gap(lambda x: np.array(2.0), row) == math.inf
    share = row | {"tolerance": {"relative": 0.1}}
    assert law_checks.gap(lambda x: 2.05 * x, share) == pytest.approx(0.25)


# --- would anybody notice ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "row", mutation.named_rows(), ids=lambda r: f"{r['file']} {r['what'][:40]}"
)
def test_named_row(row: dict) -> None:
    assert row["source"] in SOURCES and row["locator"]
    module = __import__(f"perf.laws.{row['file']}", fromlist=["x"])
    assert mutation.named_gap(row, module) <= 1.0, row


def test_a_moved_constant_is_noticed_and_an_unmoved_one_is_not() -> None:
    bench = mutation.Bench()
    assert not bench.noticed(frozenset({"planing"}), {})
    spots, left_out = mutation.spots("preplaning")
    assert left_out["span"] > 4
    spots, _ = mutation.spots("planing")
    first = next(spot for spot in spots if spot.value == 0.012)
    assert bench.noticed(frozenset({"planing"}), {"planing": mutation.moved_code(first)})
    # and nothing is left behind
    law_checks.read_all_laws()
    import perf.laws.planing as planing

    assert float(planing.flat_lift(1.0, 1.0, 1e9)) == pytest.approx(0.012)


def test_unguarded_constants_may_only_fall() -> None:
    """Run too by itself, tests/mutation.py, which lists them and renews the counts."""
    lines, unguarded, _ = mutation.count()
    assert len(unguarded) <= mutation.MOST, "\n".join(unguarded)
    assert lines == mutation.kept(), "run tests/mutation.py --write"
    assert not mutation.stale_excuses()


# --- what is shown --------------------------------------------------------------------------------------------


def test_result_is_whole() -> None:
    shown = result()
    assert shown.kind == "evidence"
    assert {"laws", "evidence", "calibration", "combinations", "recalled"} <= set(shown.tables)
    envelope = json.loads(shown.as_json())
    assert envelope["summary"]["held_back_figures"] == len(held_back())
    inside = shown.tables["evidence"]["inside"].dropna()
    assert shown.summary["inside_band"] == int(inside.sum())
    assert shown.summary["share_inside_band"] == pytest.approx(inside.mean())
    assert f"{shown.summary['inside_band']} lie inside" in shown.answer.spoken("us")
    weak = set(shown.tables["recalled"]["basis"])
    assert weak <= {"recalled", "assumed", "common practice, no source"}


def test_command(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(evidence_module, "evidence", lambda long=False: result())
    assert cli.main(["evidence", "--units", "nautical"]) == 0
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 110
    assert "Calibration: no evidence" in text and "T16" in text and "Every law" not in text
    assert cli.main(["evidence", "--long", "--quiet"]) == 0
    assert "Every law" in capsys.readouterr().out
    assert cli.main(["evidence", "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out)["kind"] == "evidence"
    assert cli.main(["evidence", "--format", "csv"]) == 0
    rows = list(csv.DictReader(capsys.readouterr().out.splitlines()))
    assert {row["table"] for row in rows} == {"evidence", "calibration"}
    assert len(rows) == len(result().tables["evidence"]) + len(result().tables["calibration"])


def test_a_failing_law_is_said_with_the_exit_code(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    failing = replace(result(), summary=dict(result().summary) | {"law_checks_failing": 1})
    monkeypatch.setattr(evidence_module, "evidence", lambda long=False: failing)
    assert cli.main(["evidence", "--quiet"]) == 1
    capsys.readouterr()


def test_text_in_every_unit() -> None:
    for units in ("us", "nautical", "metric"):
        text = evidence_text(result(), units)
        assert "nan" not in text.lower().replace("finance", "")


def test_readme_says_what_comes_out() -> None:
    """Equal to the last letter; after a change of physics run python tests/write_readme.py."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert BEGIN in readme and END in readme
    assert readme == replaced(readme, how_sure_markdown(result()))
    four = speeds(read_boat(ROOT / "hull_data" / "boats" / "number_four.toml"))
    assert readme == write_readme.quoted(readme, four.shown("us").answer)


def test_shares_that_every_band_quotes_are_what_comes_out() -> None:
    """After a change of physics run python tests/write_readme.py."""
    rows = bands_table(result()).to_dict("records")
    assert bands.kept() == {row["bands"]: (row["figures"], row["inside"]) for row in rows}
    summary, trials = result().summary, result().tables["trials"]
    assert bands.kept()[bands.AS_SHE_IS] == (summary["held_back_figures"], summary["inside_band"])
    asked = trials[trials["use"].eq(HELD_BACK) & trials["blind_runs"].notna()]
    figures, inside = bands.kept()[bands.AFTER_A_TRIAL]
    assert figures == asked["blind_runs"].sum()
    assert inside == pytest.approx((asked["blind_inside"] * asked["blind_runs"]).sum())


def test_words_of_a_band_follow_what_was_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    assert bands.in_ten(67, 39) == "about six in ten" and bands.in_ten(9, 9) == "about ten in ten"
    kept = {bands.AS_SHE_IS: (50, 15), bands.AFTER_A_TRIAL: (40, 28)}
    monkeypatch.setattr(bands, "kept", lambda: kept)
    for kind, words in (("speeds", "three"), ("trip", "three"), ("trial", "seven")):
        said = parts.band_words(kind)
        assert f"about {words} in ten" in said and "our own draws" in said
        assert f"about {words} in ten" in how_sure_text({"draws": 100}, kind)
    assert bands.about_measured() == "about three in ten"


def test_weak_points_are_the_figures_of_the_tables() -> None:
    """Each by a second route, from the table by figure or the rows themselves."""
    said = weak_points(result(), "nautical")
    assert 5 <= len(said) <= 6
    by = result().tables["by_figure"].set_index("what")
    rows = {"Fuel at": "fuel at speed", "Engine rpm": "rpm at speed", "The time": "time to plane"}
    for begins, what in rows.items():
        (line,) = [one for one in said if one.startswith(begins)]
        assert (
            f"about {100 * by.loc[what, 'mean_size']:.0f} % off ({by.loc[what, 'sets']} boats)"
            in line
        )
    small, large = (
        by.loc[f"top speed, boats {end}"] for end in ("under 4.5 m", "of 4.5 m and more")
    )
    both = np.average((small.mean_size, large.mean_size), weights=(small.rows, large.rows))
    assert f"{100 * both:.0f} % off ({small.sets + large.sets:.0f} boats)" in said[0]
    assert f"{100 * small.mean_size:.0f} %, too high" in said[0]
    short = result().tables["trials_in_short"]
    for row in short[short["use"] == HELD_BACK].itertuples():
        moved = f"{100 * row.error_after:.0f} % off instead of {100 * row.error_before:.0f} %"
        assert f"{row.blind_reading} {moved}" in said[-1]
    for line in said:
        assert line in " ".join(evidence_text(result(), "nautical").split())
        assert f"- {line}\n" in how_sure_markdown(result())
        assert not {"choosing", "second-route", "set"} & set(re.findall(r"[\w-]+", line))


def test_weak_points_turn_with_the_figures() -> None:
    tables = dict(result().tables)
    held = tables["evidence"].copy()
    held["error"] = -2.0 * held["error"]
    short = tables["trials_in_short"].copy()
    short[["error_before", "error_after"]] = short[["error_after", "error_before"]].to_numpy()
    bent = replace(result(), tables=tables | {"evidence": held, "trials_in_short": short})
    before, after = weak_points(result(), "us"), weak_points(bent, "us")
    assert "too short" in before[3] and "too long" in after[3]
    assert "too low" in before[1] and "too high" in after[1]
    helps = after[-1].partition("makes it worse")[0]
    assert "top speed" in helps and "burn" not in helps
    none = replace(result(), tables=tables | {"evidence": held.head(0)})
    assert "never tested" in " ".join(weak_points(none, "us"))


def test_section_is_put_between_the_markers() -> None:
    text = f"a\n{BEGIN}\nold\n{END}\nb\n"
    assert replaced(text, "new\n") == f"a\n{BEGIN}\nnew\n{END}\nb\n"
    with pytest.raises(ValueError, match="no section"):
        replaced("a\n", "new\n")


def test_a_bad_result_would_be_said() -> None:
    """The section is written from the figures: worse figures read worse."""
    worse = dict(result().tables)
    figures = worse["by_figure"].copy()
    figures["inside"] = 0
    worse["by_figure"] = figures
    assert how_sure_markdown(replace(result(), tables=worse)) != how_sure_markdown(result())
    assert isinstance(worse["evidence"], pd.DataFrame)


def test_it_is_saved_as_csv_though_it_has_no_rows() -> None:
    found = result()
    assert "rows" not in found.tables
    first = found.tables[found.main_table]
    lines = found.as_csv().splitlines()
    assert lines[0] == ",".join(first.columns) and len(lines) > len(first)
