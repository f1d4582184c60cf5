"""Work out the 500 simulated trials anew and keep the table: python tests/write_coverage.py (some minutes)"""

import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from perf.base.tables import data_folder  # noqa: E402
from perf.studies.evidence.trials import KEPT, trial_coverage  # noqa: E402

HEAD = (
    "# How often the band of eight in ten of a simulated sea trial held the truth (overhump evidence"
    " --long works it out anew); written by tests/write_coverage.py.\n"
)

if __name__ == "__main__":
    table = trial_coverage()
    columns = ["figure", "repeats", "inside", "left", "told", "results"]
    text = table[columns].to_csv(index=False, lineterminator="\n", float_format="%.4f")
    (data_folder() / KEPT).write_text(HEAD + text, encoding="utf-8")
    print(table.to_string(index=False))
