"""Renew the "how sure" section of the README and the shares that every band quotes: python tests/write_readme.py"""

import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from perf.base.bands import KEPT  # noqa: E402
from perf.base.tables import data_folder  # noqa: E402
from perf.studies.evidence.how_sure import how_sure_markdown, replaced  # noqa: E402
from perf.studies.evidence.in_short import bands_table  # noqa: E402
from perf.studies.evidence.study import evidence  # noqa: E402

README = ROOT / "README.md"
HEAD = (
    "# How many measured figures fell inside our band, on boats that nothing was tuned to;"
    " written by tests/write_readme.py.\n"
)

if __name__ == "__main__":
    before = README.read_text(encoding="utf-8")
    result = evidence()
    after = replaced(before, how_sure_markdown(result))
    shares = bands_table(result).to_csv(index=False, lineterminator="\n")
    (data_folder() / KEPT).write_text(HEAD + shares, encoding="utf-8")
    README.write_text(after, encoding="utf-8")
    print("README.md renewed" if after != before else "README.md was up to date")
