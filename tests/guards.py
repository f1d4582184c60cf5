"""Three counters that may only fall; run by the continuous check, printed every time.

numeric literals outside perf/laws and perf/base (0, 1, 2, 0.5, 10 and 100 aside)
functions over 40 lines in perf
arithmetic in perf/faces
"""

import ast
import sys
from pathlib import Path

PERF = Path(__file__).parents[1] / "perf"
LONG = 40
PLAIN = {0, 1, 2, -1, 0.5, 10, 100}
MOST = {"numeric literals": 955, "functions over 40 lines": 13, "arithmetic in faces": 133}


def count() -> dict[str, int]:
    """The three counts as the tree stands."""
    literals = long = sums = 0
    for path in sorted(PERF.rglob("*.py")):
        layer = path.relative_to(PERF).parts[0]
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and type(node.value) in (int, float):
                literals += layer not in ("laws", "base") and node.value not in PLAIN
            elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                long += node.end_lineno - node.lineno + 1 > LONG
            elif isinstance(node, ast.BinOp) and layer == "faces":
                sums += isinstance(node.op, ast.Sub | ast.Mult | ast.Div | ast.Pow)
    return {
        "numeric literals": literals,
        "functions over 40 lines": long,
        "arithmetic in faces": sums,
    }


if __name__ == "__main__":
    worse = False
    for name, now in count().items():
        print(f"{name:<26} {now:>5}  (may not pass {MOST[name]})")
        worse |= now > MOST[name]
    sys.exit(1 if worse else 0)
