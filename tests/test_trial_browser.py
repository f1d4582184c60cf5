"""The page of a sea trial in a real browser: a log given, a heading told, before and after, her file kept and given."""

import re
from pathlib import Path

import pytest
from browser_help import banned_in, figure, give_file, open_page, settle, words_on
from playwright.sync_api import Page, expect
from test_browser import NUMBER_FOUR, PHONE, clean  # noqa: F401

from perf.base.results import Result
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.log.demos import demo_logs
from perf.faces.dashboard import parts
from perf.studies.speeds import speeds
from perf.studies.trial.study import trial

pytestmark = pytest.mark.xdist_group("browser")
MORNING = demo_logs()["number_four_morning"]
TOPS = {"Top speed": "top_speed_mps", "Top speed by the file alone": "filed_top_speed_mps"}


def said(result: Result, name: str) -> str:
    return parts.figure(result.summary, name, "us")[1]


def wide(result: Result, name: str) -> float:
    return result.summary[f"{name}_p90"] - result.summary[f"{name}_p10"]


def give_log(page: Page, content: bytes) -> None:
    chooser = page.locator(".st-key-trial-file input[type=file]")
    chooser.set_input_files({"name": "mine.csv", "mimeType": "text/csv", "buffer": content})


def test_a_log_makes_the_estimate_this_boats_own(page: Page, served: str) -> None:
    open_page(page, f"{served}/trial")
    expect(page.locator(".st-key-answer")).to_contain_text("would teach most of Number Four")
    give_log(page, MORNING.read_bytes().replace(b"SOG (kn)", b"V"))
    expect(page.get_by_text("no column is known to be a speed")).to_be_visible()
    page.get_by_role("combobox", name=re.compile("What V is")).click()
    page.get_by_role("option", name="speed over the ground", exact=True).click()
    page.get_by_role("textbox", name="Unit of V").fill("kn")
    page.get_by_role("textbox", name="Unit of V").press("Enter")
    result = trial(NUMBER_FOUR, MORNING)
    for label, name in TOPS.items():  # before and after
        expect(figure(page, label)).to_have_text(said(result, name))
    expect(page.get_by_role("heading", name="What the log could tell")).to_be_visible()
    settle(page)
    assert banned_in(words_on(page)) == []
    with page.expect_download() as coming:
        page.get_by_role("button", name="Save the calibrated boat").click()
    kept = Path(coming.value.path()).read_bytes()
    assert coming.value.suggested_filename == "number_four_tried.toml"
    assert kept.startswith(demo_boats()["number_four"].read_bytes())
    tried = read_boat(kept)
    assert tried.trial.log.startswith("mine.csv ") and tried.trial.date
    page.set_viewport_size(PHONE)
    page.wait_for_function(
        f"document.querySelector('[data-testid=stMain]').scrollWidth <= {PHONE['width']}"
    )
    expect(page.get_by_text("look at first")).to_be_visible()
    # her file goes back in by the page's own way, and every other page has her as tried
    page.set_viewport_size({"width": 1280, "height": 900})
    give_file(page, "number_four_tried.toml", kept)
    expect(page.get_by_text(re.compile("A sea trial of .* is counted in"))).to_be_visible()
    page.get_by_role("link", name="How she runs").click()
    after, before = speeds(tried), speeds(NUMBER_FOUR)
    expect(figure(page, "Top speed")).to_have_text(said(after, "top_speed_mps"))
    band = parts.figure(after.summary, "top_speed_mps", "us")[2]
    expect(page.get_by_text(band, exact=True).first).to_be_visible()
    assert wide(after, "top_speed_mps") < 0.5 * wide(before, "top_speed_mps")
