"""Renew what the README quotes (answer, picture, how sure) and the shares every band quotes: python tests/write_readme.py"""

import re
import sys
import textwrap
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from perf.base.bands import KEPT  # noqa: E402
from perf.base.tables import data_folder  # noqa: E402
from perf.boat.boatfile import read_boat  # noqa: E402
from perf.boat.catalog import demo_boats  # noqa: E402
from perf.faces.printed.paper import figure  # noqa: E402
from perf.studies.evidence.how_sure import how_sure_markdown, replaced  # noqa: E402
from perf.studies.evidence.in_short import bands_table  # noqa: E402
from perf.studies.evidence.study import evidence  # noqa: E402
from perf.studies.speeds import speeds  # noqa: E402

README = ROOT / "README.md"
HEAD = (
    "# How many measured figures fell inside our band, on boats that nothing was tuned to;"
    " written by tests/write_readme.py.\n"
)

ASKED = "$ overhump speeds number_four\n"
WIDE = 110  # letters of a line on a terminal


def quoted(readme: str, answer: str) -> str:
    """The README with the answer it quotes as it is now."""
    said = textwrap.fill(answer, WIDE)
    return re.sub(
        re.escape(ASKED) + ".*?\n```", lambda _: f"{ASKED}{said}\n```", readme, count=1, flags=re.S
    )


if __name__ == "__main__":
    before = README.read_text(encoding="utf-8")
    result = evidence()
    four = speeds(read_boat(demo_boats()["number_four"]))
    after = replaced(quoted(before, four.shown("us").answer), how_sure_markdown(result))
    drawn = figure(four, four.plots[0], "us")
    drawn.savefig(ROOT / ".readme" / "mileage.png", dpi=110, bbox_inches="tight")
    shares = bands_table(result).to_csv(index=False, lineterminator="\n")
    (data_folder() / KEPT).write_text(HEAD + shares, encoding="utf-8")
    README.write_text(after, encoding="utf-8")
    print("README.md renewed" if after != before else "README.md was up to date")
