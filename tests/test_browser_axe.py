"""No serious or critical finding of accessibility in what we make, on every page, by day and by night.

What Streamlit's own widgets produce and no page can change is left out, each with its reason.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser_help import open_page
from playwright.sync_api import Page

from perf.faces.dashboard.shell import PAGES

pytestmark = pytest.mark.xdist_group("browser")

NOT_OURS: dict[str, str] = {}
ADDRESSES = [about.file.removesuffix(".py") for about in PAGES]
GRAVE = ("serious", "critical")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("address", ADDRESSES)
def test_no_grave_finding(page: Page, served: str, address: str, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    open_page(page, served if address == ADDRESSES[0] else f"{served}/{address}")
    context = {"exclude": [[place] for place in NOT_OURS]} if NOT_OURS else None
    found = Axe().run(page, context=context).response
    assert len(found["passes"]) > 10  # it did look
    grave = [
        f"{rule['impact']} {rule['id']}: {node['target']} {node['html'][:300]}\n{node['failureSummary']}"
        for rule in found["violations"] if rule["impact"] in GRAVE
        for node in rule["nodes"]
    ]  # fmt: skip
    assert grave == [], "\n\n".join(grave)
