"""Read the small tables of coefficients and rows that ship as CSV under hull_data."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

PACKAGE = Path(__file__).resolve().parents[1]


def data_folder() -> Path:
    """Folder of the shipped data: perf/_hull_data when installed, hull_data in a checkout."""
    installed = PACKAGE / "_hull_data"
    return installed if installed.is_dir() else PACKAGE.parent / "hull_data"


@dataclass(frozen=True)
class Table:
    """One CSV: the words of its leading comment, its column names, its rows as text."""

    name: str
    comment: str
    columns: tuple[str, ...]
    rows: tuple[dict[str, str], ...]

    def texts(self, column: str) -> tuple[str, ...]:
        """One column as text; KeyError for an unknown column."""
        return tuple(row[column] for row in self.rows)

    def numbers(self, column: str) -> NDArray[np.float64]:
        """One column as floats, shape (rows,); KeyError for an unknown column."""
        return np.array([float(text) for text in self.texts(column)])


def read_table(name: str) -> Table:
    """Read hull_data/<name>; FileNotFoundError when it is not shipped, ValueError when ragged.

    Lines that begin with "#" before the heading are the comment that names the source.
    """
    lines = (data_folder() / name).read_text(encoding="utf-8").splitlines()
    comments = [line.removeprefix("#").strip() for line in lines if line.startswith("#")]
    reader = csv.DictReader(line for line in lines if line and not line.startswith("#"))
    rows = tuple(dict(row) for row in reader)
    columns = tuple(reader.fieldnames or ())
    for row in rows:
        if set(row) != set(columns) or None in row.values():
            raise ValueError(f"{name}: a row does not match its heading: {row}")
    return Table(name, " ".join(comments), columns, rows)
