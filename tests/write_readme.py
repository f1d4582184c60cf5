"""Renew the "how sure" section of the README from the evidence: python tests/write_readme.py"""

import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from perf.studies.evidence.how_sure import how_sure_markdown, replaced  # noqa: E402
from perf.studies.evidence.study import evidence  # noqa: E402

README = ROOT / "README.md"

if __name__ == "__main__":
    before = README.read_text(encoding="utf-8")
    after = replaced(before, how_sure_markdown(evidence()))
    README.write_text(after, encoding="utf-8")
    print("README.md renewed" if after != before else "README.md was up to date")
