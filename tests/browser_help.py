"""What the browser tests share: words that may not be seen, waiting until a page is still, its parts."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from perf.faces.dashboard.parts import BAND_COMES, WAITING_WORDS

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

# Symbols and names of the laboratory; the trade has its own words for what they stand for.
BANNED = re.compile(
    r"\bLCG\b|\bVCG\b|\bCv\b|\blambda\b|λ|\bFroude\b|\bWillans\b|\bKT\b|\bKQ\b", re.IGNORECASE
)
WAIT_MS = 20_000


def banned_in(text: str) -> list[str]:
    """Every banned word in a text, in order."""
    return BANNED.findall(text)


def settle(page: Page) -> None:
    """Wait until the script has run, the second step with the bands too, and every part is drawn."""
    from playwright.sync_api import expect

    app = page.get_by_test_id("stApp")
    expect(app).to_have_attribute("data-test-connection-state", "CONNECTED", timeout=WAIT_MS)
    expect(app).to_have_attribute("data-test-script-state", "notRunning", timeout=WAIT_MS)
    expect(page.get_by_text(BAND_COMES)).to_have_count(0, timeout=WAIT_MS)
    expect(page.get_by_text(WAITING_WORDS)).to_have_count(0, timeout=WAIT_MS)
    expect(app).to_have_attribute("data-test-script-state", "notRunning", timeout=WAIT_MS)
    expect(page.get_by_test_id("stSkeleton")).to_have_count(0, timeout=WAIT_MS)
    expect(page.get_by_test_id("stException")).to_have_count(0)


def open_page(page: Page, address: str) -> None:
    """Open an address and wait for the name over the page."""
    page.goto(address)
    page.get_by_role("heading", level=1).wait_for(timeout=WAIT_MS)
    settle(page)


def field(page: Page, label: str) -> Locator:
    """One text field by its label."""
    return page.get_by_role("textbox", name=label)


def write(page: Page, label: str, text: str) -> None:
    """Write into a text field and have it read."""
    field(page, label).fill(text)
    field(page, label).press("Enter")


def figure(page: Page, label: str) -> Locator:
    """The value of one key figure by its label."""
    metric = page.get_by_test_id("stMetric").filter(has=page.get_by_text(label, exact=True))
    return metric.get_by_test_id("stMetricValue")


KINDS_OF_INPUT = (
    "stTextInput", "stSelectbox", "stButtonGroup", "stRadio", "stSlider", "stNumberInput",
    "stFileUploader", "stCheckbox", "stMultiSelect", "stTextArea", "stDateInput", "stDataEditor",
)  # fmt: skip


def inputs_above(page: Page, first: Locator) -> int:
    """How many inputs can be seen above something."""
    edge = first.bounding_box()
    seen = [
        box
        for kind in KINDS_OF_INPUT
        for one in page.get_by_test_id(kind).all()
        if (box := one.bounding_box())
    ]
    return sum(box["y"] < edge["y"] for box in seen) if edge else 0


def name_of_boat(page: Page) -> Locator:
    """The name that stands over the page."""
    return page.get_by_role("heading", level=1)


def give_file(page: Page, name: str, content: bytes) -> None:
    """Give a boat file through the picker."""
    page.get_by_role("button", name="Another boat").click()
    chooser = page.locator(".st-key-file input[type=file]")
    chooser.wait_for(state="attached", timeout=WAIT_MS)
    chooser.set_input_files({"name": name, "mimeType": "application/toml", "buffer": content})


def words_on(page: Page) -> str:
    """Everything that is written on the page, pictures and their descriptions included."""
    labels = page.eval_on_selector_all(
        "[aria-label]", "all => all.map(e => e.getAttribute('aria-label'))"
    )
    return "\n".join([page.locator("body").inner_text(), *labels])
