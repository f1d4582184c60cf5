"""The dashboard in a real browser, as a person meets it: type, choose, upload, download, reload."""

import csv
import io
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from browser_help import (
    banned_in,
    field,
    figure,
    give_file,
    inputs_above,
    name_of_boat,
    open_page,
    settle,
    words_on,
    write,
)
from playwright.sync_api import Browser, Page, expect

from perf.base.units import show
from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.parts import Boat
from perf.faces.dashboard import parts
from perf.faces.dashboard.settings import LONGEST
from perf.studies.power_shares import nearest_row
from perf.studies.speeds import speeds

pytestmark = pytest.mark.xdist_group("browser")
expect.set_options(timeout=20_000)

DATA = Path(__file__).parent / "data"
NUMBER_FOUR = read_boat(demo_boats()["number_four"])
WIDE, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}


@pytest.fixture(autouse=True)
def clean(page: Page) -> Iterator[None]:
    """No request leaves the machine and the console stays free of errors, in every test."""
    outside: list[str] = []
    errors: list[str] = []
    page.on("request", lambda r: outside.append(r.url) if not _inside(r.url) else None)
    page.on("pageerror", lambda e: errors.append(str(e)))
    page.on(
        "console", lambda m: errors.append(f"{m.text} {m.location}") if m.type == "error" else None
    )
    yield
    assert outside == []
    # opened below its root, the server is first looked for beside the page
    assert [error for error in errors if "/_stcore/" not in error] == []


def _inside(url: str) -> bool:
    return url.startswith(("http://127.0.0.1:", "ws://127.0.0.1:", "data:", "blob:", "about:"))


reference = cache(speeds)  # the study itself, asked once for each boat


def said_of(boat: Boat, name: str, units: str = "us") -> str:
    return parts.figure(reference(boat).summary, name, units)[1]


def test_the_first_page_answers_before_any_input(page: Page, served: str) -> None:
    open_page(page, served)
    expect(page.locator(".st-key-answer")).to_have_text(reference(NUMBER_FOUR).shown("us").answer)
    expect(figure(page, "Top speed")).to_have_text(said_of(NUMBER_FOUR, "top_speed_mps"))
    chart = page.get_by_test_id("stVegaLiteChart").first
    expect(chart).to_be_visible()
    assert inputs_above(page, chart) == 5
    assert banned_in(words_on(page)) == []
    assert page.title() == "How she runs · Overhump"


def test_a_typed_pitch_gives_a_new_number(page: Page, served: str) -> None:
    open_page(page, served)
    write(page, "Propeller pitch", "17 in")
    boat = changes.with_pitch(NUMBER_FOUR, changes.read_pitch("17 in"))
    expect(figure(page, "Top speed")).to_have_text(said_of(boat, "top_speed_mps"))
    expect(page.get_by_text("Read as 17 in; her file says 15 in")).to_be_visible()
    write(page, "Fuel in the tank", "60 gal")
    half = boat.at(tank=changes.read_tank("60 gal", boat))
    expect(figure(page, "Whole distance there")).to_have_text(said_of(half, "best_range_m"))


def test_a_pitch_that_is_not_understood(page: Page, served: str) -> None:
    open_page(page, served)
    write(page, "Propeller pitch", "17")
    expect(page.get_by_text('Not understood: "17" lacks a unit')).to_be_visible()
    expect(page.get_by_text("Nothing is worked out until")).to_be_visible()
    expect(page.get_by_test_id("stMetric")).to_have_count(0)
    expect(page.get_by_test_id("stVegaLiteChart")).to_have_count(0)
    write(page, "Propeller pitch", "")
    expect(figure(page, "Top speed")).to_have_text(said_of(NUMBER_FOUR, "top_speed_mps"))


def test_units_change_everywhere_at_once(page: Page, served: str) -> None:
    open_page(page, served)
    page.get_by_role("radio", name="Nautical").click()
    expect(figure(page, "Top speed")).to_have_text(
        said_of(NUMBER_FOUR, "top_speed_mps", "nautical")
    )
    expect(page.locator(".st-key-answer")).to_have_text(
        reference(NUMBER_FOUR).shown("nautical").answer
    )
    settle(page)
    assert re.findall(r"\b(mph|mpg|km/h)\b|\d mi\b", words_on(page)) == []


def test_what_is_set_stays_over_pages_going_back_and_reloading(
    page: Page, served: str, browser: Browser
) -> None:
    open_page(page, served)
    page.get_by_role("button", name="Another boat").click()
    page.get_by_text("Number Five").click()
    expect(name_of_boat(page)).to_have_text("Number Five")
    page.keyboard.press("Escape")
    write(page, "Propeller pitch", "19 in")
    five = read_boat(demo_boats()["number_five"])
    top = said_of(changes.with_pitch(five, changes.read_pitch("19 in")), "top_speed_mps")
    expect(figure(page, "Top speed")).to_have_text(top)
    page.get_by_role("link", name="What it rests on").click()
    expect(page.get_by_role("heading", name="What was assumed")).to_be_visible()
    expect(page.get_by_role("button", name="Set to offshore, 150 hp, 19 in")).to_be_visible()
    settle(page)
    assert banned_in(words_on(page)) == []
    page.reload()
    expect(page.get_by_role("button", name="Set to offshore, 150 hp, 19 in")).to_be_visible()
    page.get_by_role("link", name="How she runs").click()
    expect(figure(page, "Top speed")).to_have_text(top)
    expect(field(page, "Propeller pitch")).to_have_value("19 in")
    page.go_back()
    expect(page.get_by_role("heading", name="What was assumed")).to_be_visible()
    page.go_back()
    expect(figure(page, "Top speed")).to_have_text(top)
    other = browser.new_page()  # another person, by the address alone
    open_page(other, page.url)
    expect(figure(other, "Top speed")).to_have_text(top)
    other.close()


def test_a_boat_from_a_file(page: Page, served: str) -> None:
    open_page(page, served)
    name = "Skiff *one* :skull: $a$ <b>x</b> [y](http://z.example)"
    text = (DATA / "tiller_skiff_15ft.toml").read_text(encoding="utf-8")
    own = re.sub(r"^name .*$", f'name = "{name}"', text, count=1, flags=re.MULTILINE).encode()
    give_file(page, "skiff.toml", own)
    expect(name_of_boat(page)).to_have_text(
        re.compile(r"Skiff \*one\* :\u2060?skull: \$a\$ <b>x</b> \[y\]\(http:\u2060?//z.example\)")
    )
    expect(page.get_by_role("heading", level=1).locator("a, b, em, .katex")).to_have_count(0)
    top = said_of(read_boat(own), "top_speed_mps")
    expect(figure(page, "Top speed")).to_have_text(top)
    page.get_by_role("link", name="What it rests on").click()
    expect(page.get_by_role("heading", name="What was assumed")).to_be_visible()
    page.get_by_role("link", name="How she runs").click()
    expect(figure(page, "Top speed")).to_have_text(top)
    page.reload()
    expect(figure(page, "Top speed")).to_have_text(top)  # her file is in the address
    expect(name_of_boat(page)).to_have_text(re.compile(r"Skiff \*one\*"))
    page.goto(f"{served}/?boat=own")  # an address without her
    expect(page.get_by_text("Your own boat is gone")).to_be_visible()
    expect(name_of_boat(page)).to_have_text("Number Four")


def test_a_file_with_faults(page: Page, served: str) -> None:
    open_page(page, served)
    text = (DATA / "charter_hull_24ft.toml").read_text(encoding="utf-8")
    give_file(page, "mine.toml", text.replace("gear_ratio", "gear_ratoi").encode())
    expect(page.get_by_text("did you mean gear_ratio?")).to_be_visible()
    expect(page.get_by_text("nothing was worked out")).to_be_visible()
    expect(page.get_by_test_id("stMetric")).to_have_count(0)
    page.get_by_role("button", name="Back to the boat before").click()
    expect(figure(page, "Top speed")).to_have_text(said_of(NUMBER_FOUR, "top_speed_mps"))


def test_on_a_phone_every_fault_says_how_to_mend_it_inside_the_screen(
    page: Page, served: str
) -> None:
    page.set_viewport_size(PHONE)
    open_page(page, served)
    text = (DATA / "charter_hull_24ft.toml").read_text(encoding="utf-8")
    give_file(page, "mine.toml", text.replace("gear_ratio", "gear_ratoi").encode())
    table = page.locator("[class*='st-key-faults-']")
    row = table.locator("tbody tr").first
    expect(row).to_be_visible()
    boxes = [cell.bounding_box() for cell in row.locator("td").all()]
    assert len(boxes) == 4 and all(boxes)
    tops = [box["y"] for box in boxes]
    assert tops == sorted(set(tops))  # a line under the other
    assert all(box["x"] >= 0 and box["x"] + box["width"] <= PHONE["width"] for box in boxes)


def test_no_count_of_letters_stands_in_a_box(page: Page, served: str) -> None:
    """Two numbers with a stroke between them were read as gallons."""
    open_page(page, served)
    box = page.get_by_role("textbox", name="Fuel in the tank")
    box.press_sequentially("60 gal")
    counters = page.get_by_test_id("InputInstructions")
    expect(counters.first).to_be_attached()
    assert not any(one.is_visible() for one in counters.all())
    box.press_sequentially("0" * LONGEST)  # and no more can be written than is read
    assert len(box.input_value()) == LONGEST


def test_downloads_hold_what_the_page_shows(page: Page, served: str) -> None:
    open_page(page, f"{served}/?load=alone")
    result = reference(NUMBER_FOUR.at(load="alone"))
    files = {}
    for button in (
        "Save the table as CSV",
        "Save everything as JSON",
        "Save as PNG",
        "Save as SVG",
    ):
        with page.expect_download() as coming:
            page.get_by_role("button", name=button).click()
        files[coming.value.suggested_filename] = Path(coming.value.path()).read_bytes()
    rows = list(csv.DictReader(io.StringIO(files["number_four_speeds.csv"].decode())))
    assert [float(row["speed_mps"]) for row in rows] == result.tables["rows"]["speed_mps"].tolist()
    assert files["number_four_speeds.json"].decode() == result.as_json("us")
    drawn = {name.rpartition(".")[2]: content for name, content in files.items()}
    assert drawn["png"].startswith(b"\x89PNG")
    assert b"<svg" in drawn["svg"]
    assert all(name.startswith("number_four_") for name in files)


def test_the_pictures_and_the_power_follow_what_is_chosen(page: Page, served: str) -> None:
    open_page(page, served)
    for tab, words in (
        ("Fuel burn", "fuel burn"),
        ("Engine rpm", "rpm"),
        ("Running trim", "running trim"),
    ):
        page.get_by_role("tab", name=tab).click()
        expect(
            page.get_by_role("tabpanel").locator(f"[aria-label*='{words}']").first
        ).to_be_visible()
    result = reference(NUMBER_FOUR)
    rows = result.tables["rows"]
    row = nearest_row(rows, result.summary["best_mileage_speed_mps"])
    speed = [show(metres, "speed", "us", 1) for metres in rows["speed_mps"]]
    power = [show(watts, "power", "us", 0) for watts in rows["shaft_power_w"]]
    at = page.get_by_role("slider")
    expect(at).to_have_attribute("aria-valuetext", speed[row])
    at.focus()
    at.press("ArrowLeft")
    said = f"At {speed[row - 1]} the propeller shafts take {power[row - 1]}"
    expect(page.get_by_text(said)).to_be_visible()


def test_the_keyboard_is_enough(page: Page, served: str) -> None:
    open_page(page, served)
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.getAttribute('aria-label')") == "Propeller pitch":
            break
    page.keyboard.type("17 in")
    page.keyboard.press("Enter")
    boat = changes.with_pitch(NUMBER_FOUR, changes.read_pitch("17 in"))
    expect(figure(page, "Top speed")).to_have_text(said_of(boat, "top_speed_mps"))
    settle(page)
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.getAttribute('role')") == "tab":
            break
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    expect(page.get_by_role("tab", name="Fuel burn")).to_have_attribute("aria-selected", "true")
    page.wait_for_function(  # where the keyboard is, can be seen
        """() => {
            const here = document.activeElement, look = getComputedStyle(here);
            return here.getAttribute("role") === "tab"
                && (look.boxShadow !== "none" || look.outlineStyle !== "none");
        }"""
    )


@pytest.mark.parametrize(("size", "dark"), [(PHONE, False), (WIDE, True)], ids=["phone", "dark"])
def test_it_fits_a_phone_and_the_night(page: Page, served: str, size: dict, dark: bool) -> None:
    page.set_viewport_size(size)
    page.emulate_media(color_scheme="dark" if dark else "light", reduced_motion="reduce")
    for address in (served, f"{served}/what_it_rests_on"):
        open_page(page, address)
        expect(name_of_boat(page)).to_be_visible()
        wide = page.evaluate("document.querySelector('[data-testid=stMain]').scrollWidth")
        assert wide <= size["width"]
        ink = page.evaluate("getComputedStyle(document.querySelector('h1')).color")
        light = sum(map(int, re.findall(r"\d+", ink)[:3])) > 3 * 128
        assert light is dark
    open_page(page, served)
    curve = page.get_by_test_id("stVegaLiteChart").first.locator("svg, canvas").first
    box = curve.bounding_box()
    assert box["x"] >= 0 and box["x"] + box["width"] <= size["width"]
