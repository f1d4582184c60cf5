"""A sea trial, or the plan of one, as text for a terminal: what moved, what may be behind it, how it was read."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pandas as pd

from perf.base.columns import column
from perf.base.results import Result
from perf.base.trial_assumptions import TRIAL_ASSUMPTIONS
from perf.base.units import show
from perf.faces.text.lines import aligned, filled
from perf.faces.text.result import assumptions_text, cautions_text, figures_text, how_sure_text
from perf.faces.text.tables import NONE, letters_of, table

KINDS = ("trial", "trial plan")
REST = (
    "The methods, their sources and what they assume of her where nobody said are those of"
    " `overhump speeds`, which lists them; --format json has all of it."
)


def as_text(result: Result, units: str, quiet: bool = False) -> str:
    """The whole answer as text, at most 110 columns wide; quiet leaves out what lies behind it."""
    tables = result.tables
    blocks = [
        filled(result.shown(units).answer),
        figures_text(result, units),
        table(tables["rows"], units, letters_of(tables["rows"])),
        cautions_text(result),
    ]
    if not quiet:
        blocks += [
            _factors(tables, units),
            _hints(tables.get("hints"), units),
            _blind(tables.get("blind"), units),
            _headings(tables.get("columns")),
            _set_aside(tables.get("set_aside")),
        ]
    blocks += [filled(note) for note in result.notes]
    if not quiet:
        meters = [a for a in result.assumptions if a.name in TRIAL_ASSUMPTIONS]
        blocks += [
            how_sure_text(result.doubt, result.kind),
            assumptions_text(meters, units, "Taken of meters, methods and the day of a trial"),
            filled(REST),
        ]
    return "\n\n".join(block for block in blocks if block) + "\n"


FACTORS_SAID = "1.00 is as the methods and her file say; the balance point is how far forward of it"
FACTOR_HEAD = ("", "found", "8 times in 10", "doubt left", "told by this log")
HINTS_SAID = (
    "Each cause by itself: how far off it would have to be, and how much of the difference between her log"
    " and her file it would then explain"
)
HINT_HEAD = ("explains", "if off", "what may be behind it", "look at first")
BLIND_SAID = "Fitted on some of the runs only, then asked for the others"
BLIND_HEAD = ("fitted on", "asked for", "off before", "off after", "inside the band")
Cells = list[tuple[str, ...]]


def factor_cells(tables: Mapping[str, pd.DataFrame], units: str) -> Cells:
    """Rows of FACTOR_HEAD: what of her the trial moved, the balance point among the rest."""
    lines: Cells = []
    for name, value in (("factors", "factor_found"), ("balance", "moved_m")):
        for row in _rows(tables.get(name)):
            low, high = (_cell(row, f"{value}{end}", units) for end in ("_p10", "_p90"))
            found, left = (_cell(row, one, units) for one in (value, "doubt_left"))
            lines.append((row["factor"], found, f"{low} to {high}", left, row["told"]))
    return lines


def hint_cells(frame: pd.DataFrame | None, units: str) -> Cells:
    """Rows of HINT_HEAD, the cause that explains most first."""
    return [
        (_cell(row, "explains", units), row["hint_size"], row["hint"], row["look_at"])
        for row in _rows(frame)
    ]


def blind_cells(frame: pd.DataFrame | None, units: str) -> Cells:
    """Rows of BLIND_HEAD, one for each part of the log and each reading."""
    return [
        (
            row["blind"],
            f"{row['blind_reading']}, {_cell(row, 'blind_runs', units)} runs",
            *(_cell(row, name, units) for name in ("error_before", "error_after", "blind_inside")),
        )
        for row in _rows(frame)
    ]


def _factors(tables: Mapping[str, pd.DataFrame], units: str) -> str:
    lines = factor_cells(tables, units)
    return (
        f"What the log tells of her. {FACTORS_SAID}\n" + aligned([FACTOR_HEAD, *lines])
        if lines
        else ""
    )


def _hints(frame: pd.DataFrame | None, units: str) -> str:
    lines: Cells = [HINT_HEAD[:-1]]
    for share, size, hint, look in hint_cells(frame, units):
        lines += [(share, size, hint), ("", "", f"{HINT_HEAD[-1]}: {look}")]
    return f"{filled(HINTS_SAID)}\n" + aligned(lines) if lines[1:] else ""


def _blind(frame: pd.DataFrame | None, units: str) -> str:
    lines = blind_cells(frame, units)
    return f"Asked blind. {BLIND_SAID}\n" + aligned([BLIND_HEAD, *lines]) if lines else ""


def _headings(frame: pd.DataFrame | None) -> str:
    lines = [
        (row["log_heading"], " in ".join((row["log_meaning"], *_unit(row["log_unit"]))))
        for row in _rows(frame)
    ]
    return "How the headings of the log were read\n" + aligned(lines) if lines else ""


def _unit(said: str) -> tuple[str, ...]:
    return () if said == NONE else (said,)


def _set_aside(frame: pd.DataFrame | None) -> str:
    lines = [(row["log_place"], f"{row['log_why']}: {row['log_text']}") for row in _rows(frame)]
    return "Set aside, with the place in the log\n" + aligned(lines) if lines else ""


def _rows(frame: pd.DataFrame | None) -> list[dict[str, Any]]:
    return [] if frame is None else [dict(row) for row in frame.to_dict("records")]  # type: ignore[arg-type]


def _cell(row: dict[str, Any], name: str, units: str) -> str:
    """One number as a person reads it."""
    about, value = column(name), float(row[name])
    return show(value, about.kind, units, about.digits) if math.isfinite(value) else NONE
