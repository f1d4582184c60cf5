"""The one Result every study returns and every face shows, and the one Plot it may carry."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from perf.base import cautions as caution_words
from perf.base.assumptions import Assumption
from perf.base.columns import COLUMNS, SUMMARY, column
from perf.base.files import write_whole
from perf.base.sources import SOURCES
from perf.base.units import show, unit_label, units_from_si

RESULTS_VERSION = "2026.2"
FORMAT = 1
# tables that stand in the envelope under their own names, beside rows
ROWS_ALSO = {"mount": "grid"}  # the rows of a study under their spoken name as well


@dataclass(frozen=True)
class Value:
    """A quantity inside a spoken sentence: SI value, kind, and digits to show."""

    si: float
    kind: str
    digits: int = 1


@dataclass(frozen=True)
class Sentence:
    """Words and values in turn, spoken in the units the reader asked for."""

    parts: tuple[str | Value, ...]

    def spoken(self, system: str) -> str:
        """The sentence in one system of units."""
        return "".join(
            part if isinstance(part, str) else show(part.si, part.kind, system, part.digits)
            for part in self.parts
        )


@dataclass(frozen=True)
class Line:
    """One curve: a column of a table against the plot's x column, perhaps with its band."""

    table: str
    y: str
    label: str
    role: str = "as she is"  # as she is, changed, second opinion
    band: tuple[str, str] | None = None  # names of the low and high columns
    dashed_where: str | None = None  # boolean column: dashed where a method is outside its range
    only: tuple[str, str] | None = None  # a column of words and the one whose rows are meant


@dataclass(frozen=True)
class Mark:
    """A named point or vertical line at an x value."""

    x: float
    label: str


@dataclass(frozen=True)
class Shade:
    """A named stretch of the x axis, shaded."""

    low: float
    high: float
    label: str


@dataclass(frozen=True)
class Plot:
    """A picture as data: one x, one y axis, lines with bands, marks; no drawing library here.

    style : "curves"; "spots", one point a line with its bands both ways (those of x by name); or
    "bars", the words of the y column each with a bar of x.
    """

    key: str
    title: str
    x: str  # column on the horizontal axis
    y: str  # column that names the vertical axis
    lines: tuple[Line, ...]
    marks: tuple[Mark, ...] = ()
    shaded: tuple[Shade, ...] = ()
    from_zero: bool = True  # whether the vertical axis holds nothing
    style: str = "curves"


def banded_curves(
    titles: Sequence[tuple[str, str]],
    x: str,
    marks: tuple[Mark, ...],
    banded: bool,
    prefix: str = "",
) -> tuple[Plot, ...]:
    """A picture for each (column of rows, title) over x, as she is, with its band where one was drawn."""
    return tuple(
        Plot(
            f"{prefix}{name}",
            title,
            x,
            name,
            (
                Line(
                    "rows",
                    name,
                    "as she is",
                    band=(f"{name}_p10", f"{name}_p90") if banded else None,
                ),
            ),
            marks,
        )
        for name, title in titles
    )


@dataclass(frozen=True)
class Result:
    """What a study found, in SI; faces only show it."""

    kind: str
    answer: Sentence
    summary: Mapping[str, Any]
    tables: Mapping[str, pd.DataFrame]
    plots: tuple[Plot, ...]
    doubt: Mapping[str, Any]
    cautions: tuple[str, ...]
    assumptions: tuple[Assumption, ...]
    sources: tuple[str, ...]
    inputs: Mapping[str, Any]
    boat: str
    results_version: str = RESULTS_VERSION
    notes: tuple[str, ...] = field(default=())

    def shown(self, units: str = "us") -> Shown:
        """The result in one system of units: us, nautical or metric."""
        return Shown(self, units)

    def caution(self, code: str) -> str:
        """The sentence of a caution; it begins with those it is meant for where it is not meant for all."""
        said, meant = caution_words.sentence(code), self.summary.get("caution_for", {}).get(code)
        if not meant:
            return said
        names = " and ".join(meant)
        return f"{names[0].upper()}{names[1:]}: {said[0].lower()}{said[1:]}"

    def as_dict(self, units: str = "us") -> dict[str, Any]:
        """The public envelope; numbers stay SI, only the answer is in the asked units."""
        from importlib.metadata import PackageNotFoundError, version

        try:
            release = version("overhump")
        except PackageNotFoundError:
            release = "uninstalled"
        return {
            "overhump": release,
            "format": FORMAT,
            "results_version": self.results_version,
            "kind": self.kind,
            "answer": self.answer.spoken(units),
            "boat": self.boat,
            "inputs": plain(self.inputs),
            "summary": plain(self.summary),
            "rows": records(self.tables["rows"]) if "rows" in self.tables else [],
            **self._own_places(),
            "doubt": plain(self.doubt),
            "cautions": {code: self.caution(code) for code in self.cautions},
            "assumptions": [a.as_dict() for a in self.assumptions],
            "sources": [{"key": key, "text": SOURCES[key].text} for key in self.sources],
            "notes": list(self.notes),
        }

    def _own_places(self) -> dict[str, Any]:
        """Every further table and every group of the summary at the top of the envelope, by its name."""
        groups = {
            k: plain(v)
            for k, v in self.summary.items()
            if isinstance(v, Mapping) and k != "reasons"
        }
        tables = {k: records(t) for k, t in self.tables.items() if k != "rows"}
        if self.kind in ROWS_ALSO:
            tables[ROWS_ALSO[self.kind]] = records(self.tables["rows"])
        return tables | groups

    def as_json(self, units: str = "us") -> str:
        """The envelope as JSON text; NaN never appears, only null with a status."""
        return json.dumps(self.as_dict(units), indent=1, ensure_ascii=False, allow_nan=False)

    def save(self, path: str | Path, units: str = "us") -> None:
        """Write the result as .json or .csv (its main table); ValueError for another ending."""
        path = Path(path)
        if path.suffix == ".json":
            write_whole(path, self.as_json(units))
        elif path.suffix == ".csv":
            write_whole(path, self.as_csv())
        else:
            raise ValueError(f"{path.name}: a result is saved as .json or .csv")

    @property
    def main_table(self) -> str:
        """Name of the table that answers: rows, or the first of a study that has none; empty without any."""
        return "rows" if "rows" in self.tables else next(iter(self.tables), "")

    def as_csv(self) -> str:
        """The main table in SI under its column names, empty where there is no number."""
        if not self.main_table:
            return ""
        return str(self.tables[self.main_table].to_csv(index=False, lineterminator="\n"))


@dataclass(frozen=True)
class Shown:
    """A Result seen in one system of units; nothing is recomputed."""

    result: Result
    units: str

    @property
    def answer(self) -> str:
        """The answer as one spoken sentence or two."""
        return self.result.answer.spoken(self.units)

    def summary(self, name: str) -> str:
        """One key figure as text with its unit and its ten to ninety per cent band, "none" where it does not exist."""
        value = self.result.summary.get(name)
        if value is None:
            return "none"
        about = column(name)
        text = show(float(value), about.kind, self.units, about.digits)
        low, high = (self.result.summary.get(name + end) for end in ("_p10", "_p90"))
        if low is None or high is None:
            return text
        between = (show(float(v), about.kind, self.units, about.digits) for v in (low, high))
        return f"{text} ({' to '.join(between)})"

    def table(self, key: str = "rows", columns: tuple[str, ...] | None = None) -> pd.DataFrame:
        """A display copy of one table: converted, with unit-bearing headings."""
        frame = self.result.tables[key]
        names = [c for c in (columns or tuple(frame.columns)) if c in frame.columns]
        shown = {}
        for name in names:
            about = column(name)
            heading = heading_of(name, self.units)
            shown[heading] = (
                frame[name]
                if about.kind == "text"
                else units_from_si(frame[name].to_numpy(dtype=float), about.kind, self.units)
            )
        return pd.DataFrame(shown)


def heading_of(name: str, units: str) -> str:
    """A column's spoken heading with its unit, such as "fuel burn, gal/h"."""
    about = column(name)
    unit = unit_label(about.kind, units)
    band = {"_p10": ", low", "_p90": ", high"}.get(name[-4:], "")
    return (
        f"{about.label}{band}, {unit}"
        if unit and unit not in about.label.split()
        else f"{about.label}{band}"
    )


def plain(value: Any) -> Any:
    """Plain data for JSON: numpy scalars become Python's, NaN and infinities become None."""
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(v) for v in value]
    if isinstance(value, np.ndarray):
        return [plain(v) for v in value.tolist()]
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def records(frame: pd.DataFrame) -> list[dict[str, Any]]:
    """The rows of a table as plain records."""
    columns = {name: frame[name].tolist() for name in frame.columns}
    return [{name: plain(values[i]) for name, values in columns.items()} for i in range(len(frame))]


def known_columns(frame: pd.DataFrame) -> bool:
    """Whether every column of a rows table is declared."""
    known = (*COLUMNS, *SUMMARY)
    return all(c.removesuffix("_p10").removesuffix("_p90") in known for c in frame.columns)
