"""A Result as text for a terminal: the answer first, the table with speed in front, sources last."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from perf.base.assumptions import Assumption
from perf.base.bands import fell_inside, measured_bands
from perf.base.columns import SUMMARY, Column
from perf.base.results import Result, known_columns
from perf.base.sources import SOURCES
from perf.base.units import show, unit_label
from perf.faces.text.lines import aligned, filled
from perf.faces.text.tables import NONE, bare, letters_of, side_table, table
from perf.studies.trip.slower import slower_words

BAND_HEAD = "10 to 90 %"
MARKED = {"speeds": "at the speeds", "trip": "on the runs"}  # what the letters of a table stand at


def as_text(result: Result, units: str, quiet: bool = False) -> str:
    """The whole result as text, at most 110 columns wide; quiet leaves out what lies behind it."""
    letters = letters_of(result.tables.get("rows"))
    blocks = [filled(result.shown(units).answer), figures_text(result, units)]
    if result.kind == "trip":
        blocks.append(filled(slower_words(result, units)))
    if "rows" in result.tables:
        blocks.append(table(result.tables["rows"], units, letters))
    blocks.append(_cautions(result, letters))
    if not quiet:
        blocks.extend(_others(result, units))
    blocks.extend(filled(note) for note in result.notes)
    if not quiet:
        blocks += [
            how_sure_text(result.doubt, result.kind),
            assumptions_text(result.assumptions, units),
            _sources(result),
        ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _others(result: Result, units: str) -> list[str]:
    """The further tables whose columns are all declared; those that only feed a plot are not."""
    return [
        f"{key.replace('_', ' ').capitalize()}\n" + side_table(frame, units)
        for key, frame in result.tables.items()
        if key != "rows" and not frame.empty and known_columns(frame)
    ]


def as_csv(result: Result) -> str:
    """The rows in SI under their column names."""
    return result.as_csv()


# --- key figures --------------------------------------------------------------------------------


def figures_text(result: Result, units: str) -> str:
    """The key figures with their bands."""
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
    return f"{bare(low, label) if high.endswith(label) else low} to {high}"


# --- what limits it, and what lies behind it ------------------------------------------------------


def _cautions(result: Result, letters: Mapping[str, str]) -> str:
    codes = [*letters, *(code for code in result.cautions if code not in letters)]
    if not codes:
        return ""
    rows = [(letters.get(code, NONE), result.caution(code)) for code in codes]
    where = MARKED.get(result.kind, "in the rows")
    head = f"Cautions (letters: {where} marked above)" if letters else "Cautions"
    return f"{head}\n" + aligned(rows)


def how_sure_text(doubt: Mapping[str, object], kind: str) -> str:
    """How sure a result of some kind is, in a sentence or two."""
    measured = fell_inside(measured_bands(kind), "`overhump evidence`")
    if "by_slopes" in doubt:
        return filled(
            f"How sure: {doubt['by_slopes']} That is not the same as the truth: {measured}."
        )
    if not doubt.get("draws"):
        return "No bands were drawn: how sure this is, is not said here."
    inside, outside = doubt.get("inside"), doubt.get("outside")
    said = [f"How sure: {doubt['draws']} draws of what is not known for sure"]
    if isinstance(inside, (list, tuple)):
        said.append(f" ({len(inside)} values)")
    said.append(f"; the bands hold {doubt.get('band', BAND_HEAD)}; {measured}.")
    if isinstance(outside, (list, tuple)):
        said.append(f" Not in the bands: {', '.join(map(str, outside))}.")
    return filled("".join(said))


def assumptions_text(
    assumptions: Sequence[Assumption], units: str, head: str = "Assumed, where nobody said"
) -> str:
    """Assumptions under a heading, each with its value, its doubt and how it is known."""
    if not assumptions:
        return ""
    rows = [
        (a.name.replace("_", " "), a.said(units), f"{a.sentence} ({a.known_by})")
        for a in assumptions
    ]
    return f"{head}\n" + aligned(rows)


def _sources(result: Result) -> str:
    if not result.sources:
        return ""
    return "Sources\n" + aligned(
        (key, SOURCES[key].text if key in SOURCES else "") for key in result.sources
    )


def cautions_text(result: Result) -> str:
    """The cautions of a result whose rows carry none of their own."""
    return _cautions(result, {})


def behind(result: Result, units: str) -> list[str]:
    """What lies behind an answer: how sure it is, what was assumed, the sources."""
    return [
        how_sure_text(result.doubt, result.kind),
        assumptions_text(result.assumptions, units),
        _sources(result),
    ]
