"""No serious or critical finding of accessibility on any page, by day and by night; nothing is left out."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser_help import open_page, settle
from playwright.sync_api import Page, expect

from perf.faces.dashboard.shell import PAGES

pytestmark = pytest.mark.xdist_group("browser")

ADDRESSES = [about.file.removesuffix(".py") for about in PAGES]
GRAVE = ("serious", "critical")


@pytest.mark.parametrize("address", ADDRESSES)
def test_no_grave_finding(page: Page, served: str, address: str) -> None:
    open_page(page, served if address == ADDRESSES[0] else f"{served}/{address}")
    heading = page.get_by_role("heading", level=1)
    assert grave(page) == [], "by day"
    ink = heading.evaluate("it => getComputedStyle(it).color")
    page.emulate_media(color_scheme="dark")
    expect(heading).not_to_have_css("color", ink)
    settle(page)
    assert grave(page) == [], "by night"


def grave(page: Page) -> list[str]:
    """What is serious or critical, rule by rule and place by place."""
    found = Axe().run(page).response
    assert len(found["passes"]) > 10  # it did look
    return [
        f"{rule['impact']} {rule['id']}: {node['target']} {node['html'][:300]} {node['failureSummary']}"
        for rule in found["violations"] if rule["impact"] in GRAVE
        for node in rule["nodes"]
    ]  # fmt: skip
