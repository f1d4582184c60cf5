"""The customer's report, the pages that make it and say how sure it is, and boats side by side."""

import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache
from pathlib import Path

import pandas as pd
import pytest
from browser_help import banned_in
from test_dashboard import NUMBER_FOUR, PAGE_FOLDER, app, field, texts

from perf.base.columns import column
from perf.base.results import Result
from perf.base.units import show
from perf.boat.choice.duty import read_duty
from perf.boat.choice.file import read_candidates
from perf.faces.cli import main
from perf.faces.curves import curves
from perf.faces.dashboard import answers, comparing, reporting, surety
from perf.faces.dashboard.words import plain
from perf.faces.printed.paper import figure
from perf.faces.printed.report import TABLES, report_bytes
from perf.faces.printed.scale import FOOT_MM
from perf.faces.printed.sheet import KEPT_MM, Sheet
from perf.faces.screen import chart
from perf.studies.evidence.in_short import weak_points
from perf.studies.mount.study import mount
from perf.studies.repower.study import repower
from perf.studies.shape import shape_drawings
from perf.studies.side_by_side import FIGURES, NOW, Kept, side_by_side
from perf.studies.speeds import speeds

SHOWN = (
    "top_speed_mps",
    "best_mileage_speed_mps",
    "best_mileage_m_per_l",
    "best_range_m",
    "will_plane",
    "hump_margin_n",
)
reader = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="reads PDF with pdftotext")


@cache
def found(load: str = "charter") -> Result:
    return speeds(NUMBER_FOUR.at(load=load), draws=40)


def read(content: bytes, folder: Path) -> tuple[str, int]:
    """The words of a PDF on one line, and how many pages it has."""
    path = folder / "read.pdf"
    path.write_bytes(content)
    said = subprocess.run(["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True)
    text = said.stdout.decode()
    return re.sub(r"\s+", " ", text), text.count("\f")


@reader
@pytest.mark.parametrize("units", ["us", "nautical", "metric"])
def test_the_report_says_what_the_result_says_to_the_last_digit(units: str, tmp_path: Path) -> None:
    result = found()
    text, pages = read(report_bytes([result], units), tmp_path)
    assert result.shown(units).answer in text
    for name in SHOWN:
        assert f"{column(name).label} {result.shown(units).summary(name)}" in text, name
    told = result.as_dict(units)
    for name in SHOWN:  # the same numbers as in the JSON
        about = column(name)
        assert show(told["summary"][name], about.kind, units, about.digits) in text, name
    name, columns, every = TABLES["speeds"][0]
    row = [r for r in told["rows"] if r["status"] == "ok"][::every][0]
    cells = [show(row[c], column(c).kind, units, column(c).digits) for c in columns]
    assert "".join(cells).replace(" ", "") in text.replace(
        " ", ""
    )  # a reader may set a narrow blank as none
    assert 3 <= pages <= 8
    assert f"page {pages} of {pages}" in text
    assert "Assumed, where nobody said" in text and "What could be wrong" in text
    for words in told["cautions"].values():
        assert words in text
    for source in told["sources"]:
        assert source["text"][:30] in text


@reader
def test_the_report_of_a_choice_prints_the_money_its_answer_quotes(tmp_path: Path) -> None:
    folder = Path(__file__).parents[1] / "hull_data"
    choice = read_candidates(folder / "candidates" / "number_four.toml", NUMBER_FOUR)
    season = read_duty(folder / "duties" / "number_four.toml", NUMBER_FOUR)
    result = repower(NUMBER_FOUR, choice, season, draws=40)
    text, _ = read(report_bytes([result], "us"), tmp_path)
    assert f"Money, in {season.currency}, over {season.years} years" in text
    frame = result.tables["candidates"]
    for name in ("first_cost", "payback_years", "net_present_value", "cost_per_trip"):
        digits, sure = (
            column(name).digits,
            frame.dropna(subset=[name, f"{name}_p10", f"{name}_p90"]),
        )
        assert len(sure)
        for value, low, high in sure[[name, f"{name}_p10", f"{name}_p90"]].to_numpy():
            parts = [f"{one:.{digits}f}" for one in (value, low, high)]
            assert f"{parts[0]} ({parts[1]} to {parts[2]})" in text, name
    without = replace(result, tables={**result.tables, "money": result.tables["money"].head(0)})
    assert "Money, in" not in read(report_bytes([without], "us"), tmp_path)[0]


@reader
def test_what_was_assumed_is_said_no_finer_than_it_is_known(tmp_path: Path) -> None:
    text, _ = read(report_bytes([mount(NUMBER_FOUR, draws=0)], "us"), tmp_path)
    assert "Engine idle speed. 700 rpm ± 100 rpm" in text and "700.00" not in text
    assert "Holes an engine can be raised by. 4 " in text
    assert "Bolts in each of the two rows. 2 " in text


def test_a_heading_and_its_figures_stand_on_one_page() -> None:
    """Wherever on the page the heading would fall, down to the foot."""
    rows = [(f"figure {number}", "12.3 mph (10.1 mph to 14.5 mph)") for number in range(12)]
    turned = 0
    for at in range(20, 280, 5):
        sheet = Sheet("a title", "a foot", "metric")
        sheet.set_y(at)
        high = sheet.pairs_mm(rows)
        sheet.section("How she runs", KEPT_MM + high)
        page, top = sheet.page_no(), sheet.get_y()
        sheet.pairs(rows)
        assert sheet.page_no() == page and sheet.get_y() == pytest.approx(top + high)
        turned += page > 1
    assert 0 < turned < 52


@reader
def test_a_table_begins_with_a_row_under_its_heading(tmp_path: Path) -> None:
    sheet = Sheet("a title", "a foot", "metric")
    sheet.set_y(sheet.h - FOOT_MM - 12.0)  # room for the heading row alone
    sheet.grid(["what", "value"], [["a thing", "1"]], [1.0, 1.0])
    text, pages = read(sheet.bytes(), tmp_path)
    assert pages == 2 and text.count("what value") == 1  # no heading row left behind


def test_the_same_result_gives_the_same_bytes() -> None:
    first = report_bytes([found()], "us")
    assert first == report_bytes([found()], "us")
    assert first != report_bytes([found()], "metric")
    with pytest.raises(ValueError, match="at least one"):
        report_bytes([], "us")


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (["-o", "nowhere/at/all.pdf"], "no such folder"),
        (["-o", "report.txt"], "written as .pdf"),
        (["-o", "report.pdf", "--candidates", "these.toml"], "go together"),
        (["-o", "report.pdf", "--duty", "this.toml"], "go together"),
        (["-o", "report.pdf", "--load", "moon"], "no such load"),
    ],
)
def test_the_command_refuses_in_words(
    more: list[str],
    says: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["report", "number_four", *more]) == 2
    assert says in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def press(at, label: str, seconds: int = 60):
    return next(b for b in at.button if b.label.startswith(label)).click().run(timeout=seconds)


def test_the_page_makes_the_report_of_the_boat_as_she_is_set() -> None:
    at = app(load="alone", units="metric")
    at.switch_page(f"{PAGE_FOLDER}/report.py").run()
    assert "report-save" not in [b.key for b in at.get("download_button")]
    press(at, "Make the report")
    assert not at.exception
    made = at.session_state[reporting.MADE]
    alone = NUMBER_FOUR.at(load="alone")
    assert made.content == report_bytes(
        [answers.answer_for(alone)], "metric", drawings=shape_drawings(alone)
    )
    assert made.left_out == ()
    assert "report-save" in [b.key for b in at.get("download_button")]
    at.get("button_group")[0].set_value("us").run()
    assert "report-save" not in [b.key for b in at.get("download_button")]
    assert any("other settings" in info.value for info in at.info)


def test_how_sure_is_worked_out_when_asked_and_shows_the_study(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    surety._worked.cache_clear()
    at = app()
    at.switch_page(f"{PAGE_FOLDER}/how_sure.py").run()
    assert not at.dataframe and not surety.known_already()
    press(at, "Work it out", 120)
    assert not at.exception
    result = surety.worked_out()
    said = texts(at)
    assert result.shown("us").answer in said
    assert all(line in said for line in weak_points(result, "us"))
    assert banned_in(said) == []
    held = result.tables["evidence"]
    boats = next(f.value for f in at.dataframe if "inside our band" in f.value.columns)
    assert len(boats) == int(held["length_m"].notna().sum())
    assert (boats["inside our band"] == "in").sum() == result.summary["inside_band"]
    again = app()
    again.switch_page(f"{PAGE_FOLDER}/how_sure.py").run()
    assert result.shown("us").answer in texts(again)


# --- side by side -----------------------------------------------------------------------------------


def test_kept_boats_are_drawn_as_they_were_found_and_only_she_has_a_band() -> None:
    now, other = found(), found("alone")
    both = side_by_side(now, [Kept("light", other), Kept("light", now), Kept(NOW, other)])
    for plot, alone in zip(both.plots, other.plots, strict=True):
        assert [line.label for line in plot.lines] == [NOW, "light", "light (2)", f"{NOW} (2)"]
        assert [line.band is not None for line in plot.lines] == [True, False, False, False]
        drawn, hers = curves(both, plot, "us"), curves(other, alone, "us")[0]
        assert drawn[1].y.tobytes() == hers.y.tobytes()
        assert len({(curve.line.role, curve.mark) for curve in drawn}) == 4
    table = both.tables["scenarios"]
    assert list(table["scenario"]) == [NOW, "light", "light (2)", f"{NOW} (2)"]
    for name in FIGURES:
        assert table[name][1] == pytest.approx(other.summary[name], rel=0), name
    assert both.summary is now.summary and both.answer == now.answer
    assert side_by_side(now, []).plots == now.plots
    with pytest.raises(ValueError, match="4 at most"):
        side_by_side(now, [Kept(str(i), other) for i in range(5)])


def test_a_name_is_only_ever_words() -> None:
    both = side_by_side(
        found(), [Kept(name, found("alone")) for name in ("$\\frac$", "'); alert(1)//", 'a"b')]
    )
    figure(both, both.plots[0], "us").savefig("/dev/null", format="svg")
    assert chart(both, both.plots[0], "us").to_dict()
    assert comparing.named(
        "  _\u202e\n x  ", NUMBER_FOUR
    ) == "x, charter" or "\u202e" not in comparing.named("\u202e", NUMBER_FOUR)


def test_four_are_kept_over_settings_and_let_go_again() -> None:
    at = app()
    press(at, "Keep this")
    assert not at.exception
    for load in ("alone", "home"):
        if load in NUMBER_FOUR.load_names:
            at.selectbox[0].set_value(load).run()
            field(at, "Name for comparison").set_value(f"*{load}*").run()
            press(at, "Keep this")
    kept = at.session_state[comparing.BOATS]
    assert kept[0].boat == NUMBER_FOUR and kept[1].boat == NUMBER_FOUR.at(load="alone")
    table: pd.DataFrame = next(t.value for t in at.table if plain(kept[1].name) in t.value.columns)
    top = answers.answer_for(kept[1].boat).summary["top_speed_mps"]
    assert table[plain(kept[1].name)][FIGURES.index("top_speed_mps")].startswith(
        plain(show(top, "speed", "us", 1))
    )
    for at_pitch in ("17 in", "18 in", "19 in"):
        field(at, "Propeller pitch").set_value(at_pitch).run()
        if any(b.label.startswith("Keep this") for b in at.button):
            press(at, "Keep this")
    assert len(at.session_state[comparing.BOATS]) == 4
    assert not any(b.label.startswith("Keep this") for b in at.button)
    press(at, "Let go")
    assert len(at.session_state[comparing.BOATS]) == 3
    assert not at.exception
    assert banned_in(texts(at)) == []
