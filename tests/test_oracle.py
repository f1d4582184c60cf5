"""Every law against published numbers: one test per row of tests/oracle/*.json.

A row is {"law", "given": {argument: value or list}, "expect": value or list (null is NaN),
"tolerance": absolute or {"relative": share}, "source", "locator", "basis"} and may carry a
"note". A failing row prints its citation.
"""

from __future__ import annotations

import importlib
import json
import pkgutil
from pathlib import Path

import numpy as np
import pytest

import perf.laws
from perf.base.sources import LAWS, SOURCES, Basis

HERE = Path(__file__).parent / "oracle"
KEYS = {"law", "given", "expect", "tolerance", "source", "locator", "basis"}

for module in pkgutil.walk_packages(perf.laws.__path__, "perf.laws."):
    importlib.import_module(module.name)


def read_rows() -> list[tuple[str, dict]]:
    """All rows with the place each stands at, such as "water.json row 3"."""
    found = []
    for path in sorted(HERE.glob("*.json")):
        rows = json.loads(path.read_text(encoding="utf-8"))
        found += [(f"{path.name} row {at}", row) for at, row in enumerate(rows, start=1)]
    return found


ROWS = read_rows()


def citation(place: str, row: dict) -> str:
    work = SOURCES[row["source"]].text if row["source"] in SOURCES else "UNKNOWN SOURCE"
    note = f"\n  note: {row['note']}" if "note" in row else ""
    return f"{place}: {row['law']}\n  {work}\n  {row['locator']} ({row['basis']}){note}"


def as_numbers(value: object) -> np.ndarray:
    """A JSON value as floats, null as NaN."""
    if isinstance(value, list):
        return np.array([np.nan if v is None else v for v in value], dtype=float)
    return np.array(np.nan if value is None else value, dtype=float)


def as_argument(value: object) -> object:
    """Words stay words; numbers and lists of numbers become arrays."""
    return value if isinstance(value, str | bool) else as_numbers(value)


@pytest.mark.parametrize(("place", "row"), ROWS, ids=[f"{r.get('law')}-{p}" for p, r in ROWS])
def test_row(place: str, row: dict) -> None:
    law = LAWS[row["law"]]
    given = {name: as_argument(value) for name, value in row["given"].items()}
    found = np.asarray(law.function(**given), dtype=float)
    expect = as_numbers(row["expect"])
    tolerance = row["tolerance"]
    if isinstance(tolerance, dict):
        limit = tolerance["relative"] * np.abs(expect)
    else:
        limit = np.full_like(expect, tolerance)
    assert found.shape == expect.shape, f"{citation(place, row)}\n  shape {found.shape}"
    undefined = np.isnan(expect)
    gap = np.where(undefined, 0.0, np.abs(found - expect))
    good = (np.isnan(found) == undefined) & (undefined | (gap <= limit))
    assert np.all(good), (
        f"{citation(place, row)}\n  given    {row['given']}\n  expected {row['expect']}"
        f" within {tolerance}\n  found    {found.tolist()}"
    )


@pytest.mark.parametrize(("place", "row"), ROWS, ids=[p for p, _ in ROWS])
def test_row_is_complete(place: str, row: dict) -> None:
    assert KEYS <= set(row) <= KEYS | {"note"}, f"{place}: keys {sorted(row)}"
    assert row["law"] in LAWS, f"{place}: no law is called {row['law']}"
    assert row["source"] in SOURCES, f"{place}: unknown source {row['source']}"
    assert row["locator"].strip(), f"{place}: no locator"
    assert row["basis"] in {b.value for b in Basis}, f"{place}: unknown basis {row['basis']}"
    tolerance = row["tolerance"]
    expect = np.atleast_1d(np.abs(as_numbers(row["expect"])))
    expect = expect[expect > 0]  # NaN and zero have no share
    if isinstance(tolerance, dict):
        loose = tolerance["relative"] > 0.1
    else:
        loose = bool(np.any(tolerance > 0.1 * expect))
    assert not loose or row.get("note"), f"{place}: a tolerance over 10 % needs a note saying why"


@pytest.mark.parametrize("name", sorted(LAWS))
def test_every_law_has_a_row(name: str) -> None:
    law = LAWS[name]
    assert any(row["law"] == name for _, row in ROWS), (
        f"{law.title} ({name}, {law.source} {law.locator}) has no row in tests/oracle"
    )


def test_no_row_stands_twice() -> None:
    seen = [json.dumps([r["law"], r["given"], r["source"], r["locator"]]) for _, r in ROWS]
    assert len(seen) == len(set(seen))


def test_how_the_rows_are_known() -> None:
    """Prints what the rows rest on (pytest -rP); every law has a title and a locator."""
    counts = {basis.value: 0 for basis in Basis}
    for _, row in ROWS:
        counts[row["basis"]] += 1
    print("oracle rows by basis: " + ", ".join(f"{k} {v}" for k, v in counts.items() if v))
    assert sum(counts.values()) == len(ROWS) > 0
    assert all(law.title and law.locator for law in LAWS.values())
