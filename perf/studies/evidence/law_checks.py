"""Every law beside the published numbers it is held to: the rows of tests/oracle, evaluated.

In an installed wheel the rows stand in perf/_oracle. A row is {"law", "given", "expect" (null is
NaN), "tolerance" (absolute, or {"relative": share}), "source", "locator", "basis"}, perhaps "note".
"""

from __future__ import annotations

import importlib
import json
import pkgutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

import perf.laws
from perf.base.sources import LAWS
from perf.base.tables import PACKAGE

Array = NDArray[np.float64]
Row = Mapping[str, Any]


def oracle_folder() -> Path:
    """Folder of the published rows: perf/_oracle when installed, tests/oracle in a checkout."""
    installed = PACKAGE / "_oracle"
    return installed if installed.is_dir() else PACKAGE.parent / "tests" / "oracle"


def oracle_rows() -> list[tuple[str, Row]]:
    """All rows with the place each stands at, such as "water.json row 3"."""
    found: list[tuple[str, Row]] = []
    for path in sorted(oracle_folder().glob("*.json")):
        rows = json.loads(path.read_text(encoding="utf-8"))
        found += [(f"{path.name} row {at}", row) for at, row in enumerate(rows, start=1)]
    return found


def numbers(value: object) -> Array:
    """A value of a row as floats, null as NaN."""
    if isinstance(value, list):
        return np.array([np.nan if v is None else v for v in value], dtype=float)
    return np.array(np.nan if value is None else value, dtype=float)


def gap(function: Callable[..., object], row: Row) -> float:
    """Greatest error of a row over its tolerance: at most 1 where the row holds, infinite where shape or NaN differ."""
    given = {k: v if isinstance(v, str | bool) else numbers(v) for k, v in row["given"].items()}
    found = np.asarray(function(**given), dtype=float)
    expect, tolerance = numbers(row["expect"]), row["tolerance"]
    if found.shape != expect.shape or np.any(np.isnan(found) != np.isnan(expect)):
        return float("inf")
    limit = tolerance["relative"] * np.abs(expect) if isinstance(tolerance, dict) else tolerance
    error = np.abs(found - expect)
    with np.errstate(all="ignore"):
        over = np.where(error > 0.0, error / limit, 0.0)
    held = over[np.isfinite(expect)]
    return float(np.max(held)) if held.size else 0.0


def read_all_laws() -> None:
    """Import every module of laws, so that all are registered."""
    for module in pkgutil.iter_modules(perf.laws.__path__):
        importlib.import_module(f"perf.laws.{module.name}")


def law_table() -> pd.DataFrame:
    """One row for each law: how many published rows hold it, the worst of them, how it is known."""
    read_all_laws()
    gaps: dict[str, list[float]] = {name: [] for name in LAWS}
    known: dict[str, set[str]] = {name: set() for name in LAWS}
    for _, row in oracle_rows():
        name = row["law"]
        if name in LAWS:
            gaps[name].append(gap(LAWS[name].function, row))
            known[name].add(row["basis"])
    laws = sorted(LAWS.values(), key=lambda law: (law.function.__module__, law.name))
    return pd.DataFrame(
        {
            "law": [law.name for law in laws],
            "title": [law.title for law in laws],
            "file": [law.function.__module__.rpartition(".")[2] for law in laws],
            "source": [law.source for law in laws],
            "locator": [law.locator for law in laws],
            "basis": [law.basis.value for law in laws],
            "checks": [len(gaps[law.name]) for law in laws],
            "checks_known": [", ".join(sorted(known[law.name])) for law in laws],
            "worst": [max(gaps[law.name], default=float("nan")) for law in laws],
        }
    )
