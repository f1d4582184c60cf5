"""Lines of a terminal: words filled to its width, rows in columns, CSV."""

from __future__ import annotations

import csv
import sys
import textwrap
from collections.abc import Iterable, Sequence

WIDE = 110  # columns of a terminal
GAP = "  "


def aligned(rows: Iterable[Sequence[str]], indent: str = GAP) -> str:
    """Rows of words in columns, the last column wrapped under itself."""
    rows = list(rows)
    wide = [max(len(row[i]) for row in rows) for i in range(len(rows[0]) - 1)] if rows else []
    lines = []
    for row in rows:
        cells = [f"{cell:<{width}}" for cell, width in zip(row[:-1], wide, strict=True)]
        head = indent + GAP.join([*cells, ""])
        lines.append(filled(row[-1], head, " " * len(head)))
    return "\n".join(lines)


def filled(text: str, first: str = "", other: str = "") -> str:
    """Text filled to the width of the terminal, its first and its other lines indented."""
    filled = textwrap.fill(text, WIDE, initial_indent=first, subsequent_indent=other)
    return filled or first.rstrip()


def write_csv(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Rows of words as CSV on stdout."""
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerows([heads, *rows])
