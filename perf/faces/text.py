"""A Result as text for a terminal: the answer first, the table with speed in front, sources last."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import ascii_letters

import pandas as pd

from perf.base.assumptions import Assumption
from perf.base.cautions import sentence
from perf.base.columns import COLUMNS, SUMMARY, Column, column
from perf.base.results import Result
from perf.base.sources import SOURCES
from perf.base.units import show, show_difference, unit_label
from perf.faces.lines import GAP, WIDE, aligned, filled

NONE = "-"
BAND_HEAD = "10 to 90 %"
BAND_SHORT = "10–90 %"

# What a table shows first when there is not room for all of it; anything else stands before these.
WANTED = (
    "fuel_lph", "mileage_m_per_l", "range_m", "engine_rpm", "throttle", "trim_deg",
    "drive_trim_deg", "thrust_n", "shaft_power_w", "slip", "resistance_n", "leg_drag_n",
    "air_drag_n", "efficiency", "wetted_length_m", "draught_m",
)  # fmt: skip
BANDED = (
    "fuel_lph",
    "mileage_m_per_l",
    "range_m",
)  # shown with their bands; the rest have them in CSV
WORDS = ("status", "cautions")


def as_text(result: Result, units: str, quiet: bool = False) -> str:
    """The whole result as text, at most 110 columns wide; quiet leaves out what lies behind it."""
    letters = _letters(result)
    blocks = [filled(result.shown(units).answer), _figures(result, units)]
    if "rows" in result.tables:
        blocks.append(_table(result.tables["rows"], units, letters))
    blocks.append(_cautions(result, letters))
    blocks.extend(filled(note) for note in result.notes)
    if not quiet:
        blocks += [_doubt(result.doubt), _assumptions(result.assumptions, units), _sources(result)]
    return "\n\n".join(block for block in blocks if block) + "\n"


def as_csv(result: Result) -> str:
    """The rows in SI under their column names."""
    return result.as_csv()


# --- key figures --------------------------------------------------------------------------------


def _figures(result: Result, units: str) -> str:
    rows = [
        (about.label, *_figure(result.summary, about, units))
        for name, about in SUMMARY.items()
        if name in result.summary
    ]
    if not rows:
        return ""
    banded = any(band for _, _, band in rows)
    head = [("", "", BAND_HEAD)] if banded else []
    return f"Key figures for {result.boat}\n" + aligned(head + rows)


def _figure(summary: Mapping[str, object], about: Column, units: str) -> tuple[str, str]:
    """One key figure and its band, or why there is none."""
    value = summary.get(about.name)
    if not isinstance(value, (int, float)) or not math.isfinite(value):
        reasons = summary.get("reasons", {})
        why = reasons.get(about.name, "") if isinstance(reasons, Mapping) else ""
        return "none", why
    edges = (summary.get(about.name + end) for end in ("_p10", "_p90"))
    low, high = (
        show(float(edge), about.kind, units, about.digits)
        if isinstance(edge, (int, float))
        else NONE
        for edge in edges
    )
    label = unit_label(about.kind, units)
    return show(float(value), about.kind, units, about.digits), _between(low, high, label)


def _between(low: str, high: str, label: str) -> str:
    if low == high == NONE:
        return ""
    if NONE in (low, high):
        return f"from {low}" if high == NONE else f"to {high}"
    return f"{_bare(low, label) if high.endswith(label) else low} to {high}"


# --- the table ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Strip:
    """One printed column: heading lines, then cells, all of one width."""

    head: tuple[str, ...]
    cells: tuple[str, ...]

    @property
    def wide(self) -> int:
        """Characters the column takes."""
        return max(map(len, (*self.head, *self.cells)))


def _table(frame: pd.DataFrame, units: str, letters: Mapping[str, str]) -> str:
    if frame.empty:
        return ""
    first, *others = (_strip(frame, name, units) for name in _order(frame))
    notes = _notes(frame, letters)
    rows = _gathered(first, others, notes)
    lead = max(
        len(GAP), *(len(said) for said, at, _ in rows if at is not None), *map(len, first.head)
    )
    beside = [len(GAP + note) for _, at, note in rows if at is not None]
    room = WIDE - lead - max(beside, default=WIDE)  # no number anywhere: only speeds and why
    kept = _fitting(others, room)
    deep = max(len(strip.head) for strip in (first, *kept))
    lines = []
    for line in range(deep):
        heads = [("",) * (deep - len(strip.head)) + strip.head for strip in (first, *kept)]
        wide = [lead, *(strip.wide for strip in kept)]
        lines.append(
            GAP.join(f"{head[line]:>{w}}" for head, w in zip(heads, wide, strict=True)).rstrip()
        )
    for said, at, note in rows:
        if at is None:
            lines.append(f"{said}{GAP}{note}")
            continue
        cells = [f"{said:>{lead}}", *(f"{strip.cells[at]:>{strip.wide}}" for strip in kept)]
        lines.append(GAP.join([*cells, note]).rstrip())
    missing = len(others) - len(kept)
    if kept and missing:
        lines.append(f"({missing} more columns, and all of it unrounded, with --format csv)")
    return "\n".join(lines)


def _fitting(strips: Sequence[Strip], room: int) -> list[Strip]:
    """As many columns as there is room for, from the first."""
    kept: list[Strip] = []
    for strip in strips:
        room -= strip.wide + len(GAP)
        if room < 0:
            break
        kept.append(strip)
    return kept


def _order(frame: pd.DataFrame) -> list[str]:
    """Speed first, then what only this table has, then the columns of every table as wanted."""
    names = [
        name for name in frame.columns if name not in WORDS and not name.endswith(("_p10", "_p90"))
    ]
    own = [name for name in names if name not in COLUMNS]
    first = [name for name in ("speed_mps",) if name in names]
    return [*first, *own, *(name for name in WANTED if name in names)]


def _strip(frame: pd.DataFrame, name: str, units: str) -> Strip:
    about = column(name)
    label = unit_label(about.kind, units)
    cells = _cells(frame, name, about, units)
    unit = "" if label in about.label.split() else label
    label_lines = textwrap.wrap(
        f"{about.label}," if unit else about.label, 11, break_long_words=False
    )
    if name not in BANDED or not {f"{name}_p10", f"{name}_p90"} <= set(frame.columns):
        return Strip((*label_lines, unit) if unit else tuple(label_lines), cells)
    edges = zip(*(_cells(frame, name + end, about, units) for end in ("_p10", "_p90")), strict=True)
    bands = [_close(*edge) for edge in edges]
    wide, beside = max(map(len, (*cells, unit))), max(len(BAND_SHORT), *map(len, bands))
    both = tuple(
        f"{cell:>{wide}} {band:<{beside}}" for cell, band in zip(cells, bands, strict=True)
    )
    heads = (
        f"{' '.join(label_lines):<{wide + 1 + beside}}",
        f"{unit:>{wide}} {BAND_SHORT:<{beside}}",
    )
    return Strip(heads, both)


def _close(low: str, high: str) -> str:
    """A band in few letters; one that has no end on one side says so."""
    if NONE in (low, high):
        return "" if low == high else f"{low} up" if high == NONE else f"to {high}"
    return f"{low} to {high}" if "-" in low + high else f"{low}–{high}"


def _cells(frame: pd.DataFrame, name: str, about: Column, units: str) -> tuple[str, ...]:
    if about.kind == "text":
        return tuple(str(value) for value in frame[name])
    label = unit_label(about.kind, units)
    said = (show(float(value), about.kind, units, about.digits) for value in frame[name])
    return tuple(NONE if text == "none" else _bare(text, label) for text in said)


def _bare(text: str, label: str) -> str:
    return text.removesuffix(label).rstrip()


def _notes(frame: pd.DataFrame, letters: Mapping[str, str]) -> list[str]:
    """Beside each row: why there is no number, or the letters of the cautions that limit it."""
    none = [""] * len(frame)
    statuses = list(frame["status"]) if "status" in frame else none
    cautions = list(frame["cautions"]) if "cautions" in frame else none
    return [
        " ".join(sorted(letters[code] for code in _codes(codes)))
        if status in ("ok", "")
        else str(status)
        for status, codes in zip(statuses, cautions, strict=True)
    ]


def _gathered(
    first: Strip, others: Sequence[Strip], notes: Sequence[str]
) -> list[tuple[str, int | None, str]]:
    """What the first column says, which row stands beside it, and its note.

    Neighbours that hold no number for one and the same reason become one line without a row.
    """
    out: list[tuple[str, int | None, str]] = []
    start = ""
    for at, (said, note) in enumerate(zip(first.cells, notes, strict=True)):
        bare = bool(note) and not any(re.search(r"\d", strip.cells[at]) for strip in others)
        if not bare:
            out.append((said, at, note))
        elif out and out[-1][1] is None and out[-1][2] == note:
            out[-1] = (f"{start} to {said}", None, note)
        else:
            start = said
            out.append((said, None, note))
    return out


# --- what limits it, and what lies behind it ------------------------------------------------------


def _codes(text: object) -> list[str]:
    return re.findall(r"\w+", str(text)) if isinstance(text, str) else []


def _letters(result: Result) -> dict[str, str]:
    """A letter for every caution some row carries, in order of first use."""
    frame = result.tables.get("rows")
    if frame is None or "cautions" not in frame:
        return {}
    numbered = frame["status"].eq("ok") if "status" in frame else slice(None)
    used = dict.fromkeys(code for text in frame["cautions"][numbered] for code in _codes(text))
    return {code: ascii_letters[at] for at, code in enumerate(used)}


def _cautions(result: Result, letters: Mapping[str, str]) -> str:
    codes = [*letters, *(code for code in result.cautions if code not in letters)]
    if not codes:
        return ""
    rows = [(letters.get(code, NONE), sentence(code)) for code in codes]
    head = "Cautions (letters: at the speeds marked above)" if letters else "Cautions"
    return f"{head}\n" + aligned(rows)


def _doubt(doubt: Mapping[str, object]) -> str:
    """How sure it is, in a sentence or two."""
    if not doubt.get("draws"):
        return "No bands were drawn: how sure this is, is not said here."
    inside, outside = doubt.get("inside"), doubt.get("outside")
    said = [f"How sure: {doubt['draws']} draws of what is not known for sure"]
    if isinstance(inside, (list, tuple)):
        said.append(f" ({len(inside)} values)")
    said.append(f"; the bands hold {doubt.get('band', BAND_HEAD)}.")
    if isinstance(outside, (list, tuple)):
        said.append(f" Not in the bands: {', '.join(map(str, outside))}.")
    return filled("".join(said))


def _assumptions(assumptions: Sequence[Assumption], units: str) -> str:
    if not assumptions:
        return ""
    rows = [
        (a.name.replace("_", " "), _assumed(a, units), f"{a.sentence} ({_basis(a)})")
        for a in assumptions
    ]
    return "Assumed, where nobody said\n" + aligned(rows)


def _basis(a: Assumption) -> str:
    named = "" if a.source in ("own", "trade") else f", {a.source}"
    return f"{a.basis.value}{named}"


def _assumed(a: Assumption, units: str) -> str:
    digits = 0 if a.kind in ("rotation", "angle", "temperature") else 2
    if a.kind == "ratio":
        value, doubt = f"{a.value:.3g}", f"{a.half_width:.3g}"
    else:
        value = show(a.value, a.kind, units, digits)
        doubt = show_difference(a.half_width, a.kind, units, digits)
    return f"{value} ± {doubt}" if a.half_width else value


def _sources(result: Result) -> str:
    if not result.sources:
        return ""
    return "Sources\n" + aligned(
        (key, SOURCES[key].text if key in SOURCES else "") for key in result.sources
    )
