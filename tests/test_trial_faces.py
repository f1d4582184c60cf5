"""The command and the page of a trial: the same numbers as the study, every refusal with its cure."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from browser_help import banned_in
from streamlit.testing.v1 import AppTest

from perf.base.cautions import sentence
from perf.base.columns import column
from perf.base.results import known_columns
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.log.demos import demo_logs
from perf.boat.log.file import read_log
from perf.faces.cli import main
from perf.faces.dashboard.words import plain
from perf.faces.text.trial import REST, as_text
from perf.studies.trial.study import trial

ROOT = Path(__file__).parents[1]
MORNING = demo_logs()["number_four_morning"]
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    def go(*words: str) -> tuple[int, str, str]:
        code = main(["trial", *words])
        said = capsys.readouterr()
        return code, said.out, said.err

    return go


def test_a_log_is_fitted_and_the_calibrated_boat_written(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "tried.toml"
    code, said, err = run("number_four", "number_four_morning", "-o", str(out), "--draws", "40")
    assert code == 0 and "calibrated boat written" in err
    assert said.startswith("11 steady runs with Number Four.")
    owner = demo_boats()["number_four"].read_bytes()
    assert out.read_bytes().startswith(owner)
    boat = read_boat(out)
    assert boat.trial.drag == pytest.approx(1.12, abs=0.06)
    assert boat.trial.log.startswith("number_four_morning.csv ") and boat.trial.date
    assert main(["speeds", str(out), "--draws", "40", "--quiet"]) == 0  # every command takes her


def test_text_json_and_the_study_agree(run: Run) -> None:
    result = trial(read_boat(demo_boats()["number_four"]), MORNING, draws=40)
    code, said, _ = run("number_four", str(MORNING), "--draws", "40", "--format", "json")
    told = json.loads(said)
    assert code == 0 and told["kind"] == "trial"
    assert told["summary"]["top_speed_mps"] == pytest.approx(result.summary["top_speed_mps"])
    assert len(told["rows"]) == 11
    assert told["answer"] == result.answer.spoken("us")
    for name, frame in result.tables.items():
        for heading in frame.columns:
            column(str(heading))  # every column is declared
        if name not in ("curves", "readings"):
            assert known_columns(frame), name
    text = as_text(result, "us")
    for words in (
        "What the log tells of her",
        "told by this log",
        "look at first: ",
        "Asked blind. Fitted on some of the runs only",
        "How the headings of the log were read",
        "current found",
        "SOG (kn)      speed over ground in kn",
    ):
        assert words in text
    for named in ("  hull drag ", "  balance point "):
        (line,) = [one for one in text.splitlines() if one.startswith(named) and "%" in one]
        assert " to " in line and line.endswith(("yes", "no, as assumed"))
    assert max(map(len, text.splitlines())) <= 112


def test_a_plan_and_its_sheet(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    code, said, err = run("--plan", "number_four", "-o", str(out))
    assert code == 0 and said.startswith("The run that would teach most") and "sheet written" in err
    assert out.read_bytes().startswith(b"%PDF")
    assert "No bands were drawn" not in said and "each ± holds eight times in ten" in said
    assert " ".join(REST.split()) in " ".join(said.split())
    below = said.partition("Taken of meters")[2]
    assert below.count(" ± ") <= 9  # the meters and the methods' shape, not all of the boat
    code, told, _ = run("--plan", "number_four", "--format", "json")
    assert len(json.loads(told)["assumptions"]) > 40  # nothing is lost


def test_weighed_by_tape(run: Run, tmp_path: Path) -> None:
    marks = "".join(
        f'"{side} {name}" = {{ forward = "{ahead}", above = "{high}", over_water = "{over}", load = "alone" }}\n'
        for name, ahead, high, over in (
            ("transom", "0 in", "33 in", "16 in"),
            ("bow", "20 ft", "48 in", "36 in"),
        )
        for side in ("port", "starboard")
    )
    path = tmp_path / "boat.toml"
    path.write_bytes(demo_boats()["number_four"].read_bytes() + b"\n[freeboard]\n" + marks.encode())
    code, said, _ = run("--tape", str(path), "--draws", "40")
    assert code == 0 and said.startswith("By the tape Number Four, loaded as alone, weighs")
    assert "weight nobody listed" in said
    code, _, err = run("--tape", "number_four")
    assert code == 2 and "[freeboard]" in err


def test_columns_are_told_by_hand(run: Run, tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    log.write_text("rpm,V,burn\n2000,8,2\n4000,24,9\n5200,34,17\n", encoding="utf-8")
    code, _, err = run("number_four", str(log))
    assert code == 2 and "no column is known to be a speed" in err and "write its unit" in err
    code, said, _ = run(
        "number_four", str(log), "--draws", "40",
        "--column", "V=speed over ground, mph", "--column", "burn=fuel flow, gph",
    )  # fmt: skip
    assert code == 0 and said.startswith("3 steady runs")


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (("number_four",), "one of the three"),
        (("number_four", "number_four_morning", "--plan"), "one of the three"),
        (("number_four", "number_four_mornin"), "did you mean number_four_morning"),
        (("number_four", "number_four_morning", "-o", "x.pdf"), "saved as .toml"),
        (("--plan", "number_four", "-o", "x.toml"), "saved as .pdf"),
        (("--plan", "number_four", "--figure", "x.png"), "only the fit of a log"),
        (("number_four", "number_four_morning", "-o", "/nowhere/at/all.toml"), "no such folder"),
        (("number_four", "number_four_morning", "--load", "party"), "no such load"),
        (("number_four", "number_four_morning", "--date", "yesterday"), "2026-05-14"),
        (("number_four", "number_four_morning", "--column", "V"), "headings:"),
        (("number_four", "number_four_morning", "--column", "RPM=colour"), "no column is called"),
        (("number_seven", "number_four_morning"), "no load is called"),
    ],
)
def test_what_cannot_be_done_is_refused_with_a_cure(
    run: Run, words: tuple[str, ...], part: str
) -> None:
    code, out, err = run(*words)
    assert code == 2 and not out and part in err


# --- the page ------------------------------------------------------------------------------------------


@pytest.fixture
def opened() -> AppTest:
    at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=90)
    at.run()
    at.switch_page("perf/faces/dashboard/pages/trial.py")
    at.run()
    assert not at.exception
    return at


def words_of(at: AppTest) -> str:
    return "\n".join(
        str(element.value)
        for kind in ("markdown", "caption", "error")
        for element in getattr(at, kind)
    )


def give(at: AppTest, name: str, content: bytes) -> None:
    uploader = next(one for one in at.get("file_uploader") if one.key == "trial-file")
    uploader.set_value((name, content, "text/csv"))
    at.run()
    assert not at.exception


def test_the_page_answers_before_a_log_is_given(opened: AppTest) -> None:
    assert plain("The run that would teach most of Number Four") in words_of(opened)
    assert banned_in(words_of(opened)) == []


def test_a_demo_log_one_press_away_shows_before_and_after(opened: AppTest) -> None:
    next(one for one in opened.button if one.key == "trial-demo-number_four_morning").click()
    opened.run()
    assert not opened.exception and not opened.error
    result = trial(read_boat(demo_boats()["number_four"]), MORNING)
    assert plain(result.shown("us").answer) in words_of(opened)
    shown = {metric.label: metric.value for metric in opened.metric}
    assert shown["Top speed"] == result.shown("us").summary("top_speed_mps").partition(" (")[0]
    assert "Top speed by the file alone" in shown
    assert banned_in(words_of(opened)) == []
    next(one for one in opened.button if one.key == "trial-away").click()
    opened.run()
    assert "Top speed by the file alone" not in {metric.label for metric in opened.metric}


def test_a_heading_is_confirmed_with_its_unit(opened: AppTest) -> None:
    give(opened, "mine.csv", b"rpm,V,fuel (gph)\n2000,8,2\n4000,24,9\n5200,34,17\n")
    assert opened.error and not any(metric.label == "Top speed" for metric in opened.metric)
    next(one for one in opened.selectbox if one.label == "What V is").set_value("speed over ground")
    opened.run()
    assert any("write its unit" in plain(error.value).replace("\\", "") for error in opened.error)
    next(one for one in opened.text_input if one.label == "Unit of V").set_value("mph")
    opened.run()
    assert not opened.exception and not opened.error
    assert any(metric.label == "Top speed" for metric in opened.metric)


def test_a_log_that_cannot_be_used_says_where(opened: AppTest) -> None:
    give(opened, "bad.csv", b"1,2,3\n4,5,6\n")
    assert any("cannot be used yet" in error.value for error in opened.error)
    assert opened.table and "no headings" in opened.table[0].value.to_string()


def test_a_caution_stands_once_on_the_page(opened: AppTest) -> None:
    next(one for one in opened.button if one.key == "trial-demo-number_four_morning").click()
    opened.run()
    assert words_of(opened).count(plain(sentence("estimate"))) == 1


# --- every answer about a boat that was tried says so ----------------------------------------------------


def test_every_study_says_that_a_trial_is_counted_in() -> None:
    from perf.boat.catalog import demo_candidates, demo_duties
    from perf.boat.choice.duty import read_duty
    from perf.boat.choice.file import read_candidates
    from perf.boat.trip.file import demo_trips, read_trip
    from perf.studies.mount.study import mount
    from perf.studies.repower.study import repower
    from perf.studies.speeds import speeds
    from perf.studies.trial.study import calibrated
    from perf.studies.trip.study import trip

    plain_boat = read_boat(demo_boats()["number_four"])
    boat = calibrated(plain_boat, read_log(MORNING), date="2026-05-14")
    for result in (
        speeds(boat, draws=30),
        mount(boat, draws=20),
        trip(boat, read_trip(demo_trips()["out_and_back"], boat), draws=30, reach=False),
        repower(
            boat,
            read_candidates(demo_candidates()["number_four"], boat),
            read_duty(demo_duties()["number_four"], boat),
            draws=20,
        ),
    ):
        assert any("sea trial of 2026-05-14" in note for note in result.notes), result.kind
        drag = [a for a in result.assumptions if a.name == "trial_drag"]
        assert all("As a sea trial left it" in a.sentence for a in drag), result.kind
    before, after = (speeds(one, draws=100).summary for one in (plain_boat, boat))
    for name in ("top_speed_mps", "best_mileage_m_per_l", "best_range_m"):
        narrow, wide = (one[f"{name}_p90"] - one[f"{name}_p10"] for one in (after, before))
        assert narrow < 0.6 * wide, name
    assert not speeds(plain_boat, draws=0).notes


def written(content: bytes) -> str:
    """The words of a PDF in one line."""
    done = subprocess.run(["pdftotext", "-", "-"], input=content, capture_output=True, check=True)
    return " ".join(done.stdout.decode().split())


def test_paper_says_that_a_trial_is_counted_in() -> None:
    from perf.boat.trip.file import demo_trips, read_trip
    from perf.faces.printed.report import report_bytes
    from perf.faces.printed.rig_card import rig_card_bytes
    from perf.faces.printed.trial_sheet import trial_sheet
    from perf.faces.printed.trip_sheet import sheet
    from perf.studies.mount.study import mount
    from perf.studies.speeds import speeds
    from perf.studies.trial.plan import plan
    from perf.studies.trial.study import calibrated
    from perf.studies.trip.study import trip

    boat = read_boat(demo_boats()["number_four"])
    tried = calibrated(boat, read_log(MORNING), date="2026-05-14")
    hung = mount(tried, draws=20)
    for paper in (
        report_bytes([speeds(tried, draws=20), hung], "us"),
        rig_card_bytes(tried, hung, "us"),
        sheet(
            trip(tried, read_trip(demo_trips()["out_and_back"], tried), draws=20, reach=False), "us"
        ),
        trial_sheet(plan(tried), "us"),
    ):
        assert written(paper).count("A sea trial of 2026-05-14") == 1
    assert "A sea trial" not in written(report_bytes([speeds(boat, draws=20)], "us"))


def test_a_trial_her_file_holds_already_is_said_to_be_set_aside(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "tried.toml"
    run("number_four", "number_seven_morning", "-o", str(out), "--draws", "20")
    code, said, _ = run(str(out), "number_four_morning", "--draws", "20", "--quiet")
    assert code == 0 and "was set aside before this log was fitted" in said
    code, fresh, _ = run("number_four", "number_four_morning", "--draws", "20", "--quiet")
    assert (
        said.splitlines()[0] == fresh.splitlines()[0]
    )  # bands apart: their draws come in another order
