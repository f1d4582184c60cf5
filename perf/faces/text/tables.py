"""A table as text: speed in front, units in the heading, bands beside, cautions as letters."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate
from string import ascii_letters

import pandas as pd

from perf.base.columns import Column, column
from perf.base.units import show, unit_label
from perf.faces.text.lines import GAP, WIDE

NONE = "-"
BAND_SHORT = "10–90 %"

# What a table shows first when there is not room for all of it; anything else stands before these.
WANTED = (
    "fuel_lph", "mileage_m_per_l", "range_m", "engine_rpm", "throttle", "trim_deg",
    "drive_trim_deg", "thrust_n", "shaft_power_w", "slip", "resistance_n", "leg_drag_n",
    "air_drag_n", "efficiency", "wetted_length_m", "draught_m",
)  # fmt: skip
# Shown with their bands; the others have theirs in CSV.
BANDED = ("fuel_lph", "mileage_m_per_l", "range_m")
WORDS = ("status", "cautions")


@dataclass(frozen=True)
class Strip:
    """One printed column: heading lines, then cells, all of one width."""

    head: tuple[str, ...]
    cells: tuple[str, ...]

    @property
    def wide(self) -> int:
        """Characters the column takes."""
        return max(map(len, (*self.head, *self.cells)))


def table(frame: pd.DataFrame, units: str, letters: Mapping[str, str]) -> str:
    """The rows of a result as text, speed in front, each row with the letters of its cautions."""
    if frame.empty:
        return ""
    first, *others = (_strip(frame, name, units) for name in _order(frame))
    notes = _notes(frame, letters)
    rows = _gathered(first, others, notes)
    numbered = [(said, note) for said, at, note in rows if at is not None]
    lead = max(map(len, (*first.head, *(said for said, _ in numbered))))
    beside = max((len(GAP + note) for _, note in numbered), default=WIDE)
    kept = _fitting(others, WIDE - lead - beside)  # no number anywhere: only speeds and why
    lines = _heads([Strip(first.head, (" " * lead,)), *kept])
    for said, at, note in rows:
        if at is None:
            lines.append(f"{said}{GAP}{note}")
        else:
            cells = (f"{strip.cells[at]:>{strip.wide}}" for strip in kept)
            lines.append(GAP.join([f"{said:>{lead}}", *cells, note]).rstrip())
    missing = len(others) - len(kept)
    if kept and missing:
        lines.append(f"({missing} more columns, and all of it unrounded, with --format csv)")
    return "\n".join(lines)


def side_table(frame: pd.DataFrame, units: str) -> str:
    """A further table of a result in its own order of columns, grouped by a first column of words."""
    grouped = column(str(frame.columns[0])).kind == "text"
    strips = [_strip(frame, str(name), units) for name in frame.columns[grouped:]]
    indent = GAP * grouped
    kept = _fitting(strips, WIDE - len(indent))
    lines = [indent + line for line in _heads(kept)]
    group = ""
    for at in range(len(frame)):
        if grouped and group != str(frame.iloc[at, 0]):
            group = str(frame.iloc[at, 0])
            lines.append(group)
        cells = (f"{strip.cells[at]:>{strip.wide}}" for strip in kept)
        lines.append((indent + GAP.join(cells)).rstrip())
    if len(kept) < len(strips):
        lines.append(f"({len(strips) - len(kept)} more columns with --format json)")
    return "\n".join(lines)


def _heads(strips: Sequence[Strip]) -> list[str]:
    """The lines over the columns, the last ones level."""
    deep = max(len(strip.head) for strip in strips)
    heads = [("",) * (deep - len(strip.head)) + strip.head for strip in strips]
    return [
        GAP.join(
            f"{head[at]:>{strip.wide}}" for head, strip in zip(heads, strips, strict=True)
        ).rstrip()
        for at in range(deep)
    ]


def _fitting(strips: Sequence[Strip], room: int) -> list[Strip]:
    """As many columns as there is room for, from the first."""
    ends = accumulate(strip.wide + len(GAP) for strip in strips)
    return [strip for strip, end in zip(strips, ends, strict=True) if end <= room]


def _order(frame: pd.DataFrame) -> list[str]:
    """Speed first, then what only this table has, then the columns of every table as wanted."""
    names = [
        name for name in frame.columns if name not in WORDS and not name.endswith(("_p10", "_p90"))
    ]
    first = [name for name in ("speed_mps",) if name in names]
    own = [name for name in names if name not in (*first, *WANTED)]
    return [*first, *own, *(name for name in WANTED if name in names)]


def _strip(frame: pd.DataFrame, name: str, units: str) -> Strip:
    about = column(name)
    label = unit_label(about.kind, units)
    cells = _cells(frame, name, about, units)
    unit = "" if label in about.label.split() else label
    said = about.label + {"_p10": ", low", "_p90": ", high"}.get(name[-4:], "")
    label_lines = textwrap.wrap(f"{said}," if unit else said, 11, break_long_words=False)
    if name not in BANDED or not {f"{name}_p10", f"{name}_p90"} <= set(frame.columns):
        head = (*label_lines, unit) if unit else tuple(label_lines)
        wide = max(map(len, cells)) if about.kind == "text" else 0  # words stand left
        return Strip(tuple(f"{line:<{wide}}" for line in head), cells)
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
        said = [str(value) for value in frame[name]]
        return tuple(f"{text:<{max(map(len, said))}}" for text in said)
    label = unit_label(about.kind, units)
    shown = (show(float(value), about.kind, units, about.digits) for value in frame[name])
    return tuple(NONE if text == "none" else bare(text, label) for text in shown)


def bare(text: str, label: str) -> str:
    """A shown quantity without its unit."""
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
        silent = bool(note) and not any(re.search(r"\d", strip.cells[at]) for strip in others)
        if not silent:
            out.append((said, at, note))
        elif out and out[-1][1] is None and out[-1][2] == note:
            out[-1] = (f"{start} to {said}", None, note)
        else:
            start = said
            out.append((said, None, note))
    return out


def _codes(text: object) -> list[str]:
    return re.findall(r"\w+", str(text)) if isinstance(text, str) else []


def letters_of(frame: pd.DataFrame | None) -> dict[str, str]:
    """A letter for every caution some row carries, in order of first use."""
    if frame is None or "cautions" not in frame:
        return {}
    numbered = frame["status"].eq("ok") if "status" in frame else slice(None)
    used = dict.fromkeys(code for text in frame["cautions"][numbered] for code in _codes(text))
    return {code: ascii_letters[at] for at, code in enumerate(used)}
