"""Three questions a new user brings, answered with only the screen; how often he must touch it may not grow.

As first tried by somebody who did not know the pages, and after what cost a wrong turn was mended:

question                        touches  wrong turns | touches  wrong turns   what was mended
will she plane with six aboard?    2          1      |    2          0        the list of loads says who is aboard
how far out on 60 gallons?         6          3      |    2          0        fuel open on the page of the trip, read in
                                                                              gallons there too, the answer at its top
two holes up or three?             4          2      |    1          0        a table hole by hole, and a sentence

A touch is a click or a text written; reading and scrolling are none.
"""

import re

import pytest
from browser_help import banned_in, field, open_page, settle, words_on
from playwright.sync_api import Locator, Page, expect
from test_browser_axe import grave

from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.trip.file import demo_trips, read_trip
from perf.faces.dashboard import folded, places, triptext
from perf.faces.dashboard.tripping import DRAWS, how_far_words
from perf.studies.trip.study import trip

pytestmark = pytest.mark.xdist_group("browser")
expect.set_options(timeout=20_000)

NUMBER_FOUR = read_boat(demo_boats()["number_four"])
WIDE, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}
MOST = {"six aboard": 2, "60 gallons": 2, "holes": 1}  # touches; may only fall


class Hand:
    """A hand on the page that counts what it touches."""

    def __init__(self, page: Page) -> None:
        self.page, self.touches = page, 0

    def click(self, what: Locator) -> None:
        self.touches += 1
        what.click()

    def write(self, label: str, text: str) -> None:
        self.touches += 1
        field(self.page, label).fill(text)
        field(self.page, label).press("Enter")


@pytest.fixture(params=[WIDE, PHONE], ids=["desk", "phone"])
def hand(page: Page, request: pytest.FixtureRequest) -> Hand:
    page.set_viewport_size(request.param)
    return Hand(page)


def seen(page: Page, what: Locator) -> bool:
    """Whether it stands on the screen before anything is scrolled; on a phone, within the second screen."""
    box = what.bounding_box()
    high = page.viewport_size["height"]
    screens = 1 if page.viewport_size["width"] > PHONE["width"] else 2
    return box is not None and box["y"] >= 0 and box["y"] + box["height"] <= screens * high


def test_will_she_plane_with_six_aboard(hand: Hand, served: str) -> None:
    page = hand.page
    open_page(page, f"{served}/?load=alone")
    expect(page.locator(".st-key-answer")).to_contain_text("loaded as alone")
    hand.click(page.get_by_role("combobox", name=re.compile("Load")))
    hand.click(page.get_by_role("option", name=re.compile("6 guests")).first)
    expect(page.locator(".st-key-answer")).to_contain_text("loaded as charter")
    settle(page)
    answer = page.locator(".st-key-answer")
    # the chance comes with the bands, in the page's second step
    expect(answer).to_contain_text(re.compile(r"gets on plane \d+ times in 100"))
    assert seen(page, answer)
    assert seen(page, page.get_by_text("Aboard: skipper, 6 guests, ice, tackle"))
    assert hand.touches <= MOST["six aboard"]


def test_how_far_out_on_60_gallons(hand: Hand, served: str) -> None:
    page = hand.page
    open_page(page, served)
    hand.click(page.get_by_role("link", name="A trip"))
    expect(page.get_by_role("heading", name="How far out, with the way back")).to_be_visible()
    hand.write("Fuel in the tank", "60 gal")
    boat = NUMBER_FOUR.at(tank=changes.read_tank("60 gal", NUMBER_FOUR))
    plan = read_trip(demo_trips()[triptext.FIRST].read_bytes(), boat)
    said = how_far_words(trip(boat, plan, draws=DRAWS).summary, "us")
    assert re.search(r"\d+ mi out and the same way home", said)
    expect(page.get_by_text(said)).to_be_visible()
    settle(page)
    assert seen(page, page.get_by_text(said))
    assert hand.touches <= MOST["60 gallons"]


def test_the_tank_of_the_trip_reads_gallons_and_words(hand: Hand, served: str) -> None:
    """The wrong turn that was taken: a quantity written where a part of the tank was wanted."""
    page = hand.page
    open_page(page, f"{served}/trip")
    for text in ("60 gal", "half"):
        hand.write("How full", text)
        expect(page.get_by_text("48 gal can be drawn")).to_be_visible()
        expect(page.get_by_text("nothing is worked out")).to_have_count(0)
        hand.write("How full", "")
        expect(page.get_by_text("102 gal usable")).to_be_visible()


def test_two_holes_up_or_three(hand: Hand, served: str) -> None:
    page = hand.page
    open_page(page, served)
    hand.click(page.get_by_role("link", name="Hanging the engine"))
    answer = page.locator(".st-key-answer")
    said = places.whole(NUMBER_FOUR).shown("us").answer
    expect(answer).to_have_text(said)
    assert re.search(r"Two holes up or three\? (Two|Three|Either),", said)
    settle(page)
    assert seen(page, answer)
    table = page.get_by_role("heading", name="Hole by hole")
    assert seen(page, table)
    rows = page.get_by_test_id("stTable").first.get_by_role("row")
    expect(rows).to_have_count(6)  # a heading and five holes
    assert seen(page, rows.nth(4)) or page.viewport_size == PHONE
    assert hand.touches <= MOST["holes"]


def test_what_is_folded_opens_fits_and_can_be_heard(hand: Hand, served: str) -> None:
    """Tabs and her shape: one touch each, on a phone no wider than it is, no grave finding."""
    page = hand.page
    open_page(page, f"{served}/?boat=number_five")
    for heading in (folded.TABS_HEADING, folded.SHAPE_HEADING):
        hand.click(page.get_by_text(heading))
        settle(page)
    expect(page.get_by_text("her tabs, 9 in by 3 ft 4 in both together")).to_be_visible()
    expect(page.get_by_text("no strakes, steps, flare or rounded chine")).to_be_visible()
    for title in ("Her sections", "Her profile", "Half of her, from above"):
        drawing = page.locator(f"[aria-label*='{title}, drawn to scale']").first
        expect(drawing).to_be_visible()
        box = drawing.bounding_box()
        assert box["x"] >= 0 and box["x"] + box["width"] <= page.viewport_size["width"]
    assert banned_in(words_on(page)) == []
    assert grave(page) == []
