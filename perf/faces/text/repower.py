"""A repower as text for a terminal: the paragraph, candidates side by side, money, rules, cautions."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from typing import Any

import pandas as pd

from perf.base.columns import column
from perf.base.results import Result
from perf.base.units import show, unit_label
from perf.faces.text.lines import GAP, WIDE, aligned, filled
from perf.faces.text.result import behind, cautions_text
from perf.faces.text.tables import NONE, side_table

# figures side by side, in the order a decision is talked through; a blank parts the blocks
SHOWN = (
    ("rank", "plate"),
    ("will_plane", "hump_margin_n", "time_to_plane_s", "slowest_planing_speed_mps"),
    ("top_speed_mps", "top_rpm", "one_engine_speed_mps", "one_engine_planes"),
    ("wanted_fuel_lph", "wanted_mileage_m_per_l", "best_mileage_speed_mps", "best_mileage_m_per_l"),
    ("trolling_speed_mps", "trolling_fuel_lph"),
    ("season_fuel_m3", "season_co2_kg", "season_hours_s", "life_years"),
)
MONEY = (
    "first_cost",
    "yearly_cost",
    "payback_years",
    "net_present_value",
    "cost_per_hour",
    "cost_per_trip",
    "break_even_fuel",
    "break_even_hours_s",
)
LABEL_WIDE = 27
CELL_WIDE = 15  # of one candidate's column
TRIED = (
    "candidate",
    "propeller",
    "role",
    "in_band",
    "top_speed_mps",
    "top_rpm",
    "heavy_rpm",
    "wanted_fuel_lph",
    "hump_margin_n",
    "time_to_plane_s",
)


def as_text(result: Result, units: str, quiet: bool = False) -> str:
    """The whole answer as text, at most 110 columns wide; quiet leaves out what lies behind it."""
    blocks = [
        filled(result.shown(units).answer),
        _who(result),
        side_by_side(result, units, [name for block in SHOWN for name in (*block, "")]),
        _money(result, units),
        _matters(result),
        _rules(result),
        cautions_text(result),
    ]
    blocks += [filled(note) for note in result.notes]
    if not quiet:
        blocks += [_propellers(result, units), _questions(result), *behind(result, units)]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _who(result: Result) -> str:
    """Engine and propeller of every candidate."""
    frame = result.tables["candidates"]
    rows = zip(frame["candidate"], frame["engine"], frame["propeller"], strict=True)
    return aligned([(str(name), str(engine), str(screw)) for name, engine, screw in rows])


def side_by_side(result: Result, units: str, names: Sequence[str]) -> str:
    """Candidates as columns, figures as rows, each with its ten to ninety per cent band under it."""
    frame = result.tables["candidates"]
    columns = [
        (
            str(frame["candidate"].iloc[at]),
            [cell(frame.iloc[at], n, units) if n else ("", "") for n in names],
        )
        for at in range(len(frame))
    ]
    heads = [heading(name, units) if name else "" for name in names]
    many = max(1, (WIDE - LABEL_WIDE + len(GAP)) // (CELL_WIDE + len(GAP)))
    blocks = [_block(heads, columns[at : at + many]) for at in range(0, len(columns), many)]
    return "\n\n".join(blocks)


def _block(heads: Sequence[str], columns: Sequence[tuple[str, list[tuple[str, str]]]]) -> str:
    """Some candidates side by side; a figure's band stands under it."""
    names = [textwrap.wrap(name, CELL_WIDE) for name, _ in columns]
    deep = max(map(len, names))
    lines = [
        _line("", [("", *([""] * (deep - len(name))), *name)[at + 1] for name in names])
        for at in range(deep)
    ]
    for row, head in enumerate(heads):
        said = textwrap.wrap(head, LABEL_WIDE - 2) or [""]
        values = [cells[row][0] for _, cells in columns]
        bands = [cells[row][1] for _, cells in columns]
        lines.append(_line(said[0], values))
        if any(bands) or len(said) > 1:
            lines.append(_line(" ".join(said[1:]), bands))
    return "\n".join(lines).rstrip()


def _line(said: str, cells: Sequence[str]) -> str:
    shown = (f"{_short(c, CELL_WIDE):>{CELL_WIDE}}" for c in cells)
    return f"{_short(said, LABEL_WIDE - 1):<{LABEL_WIDE}}{GAP.join(shown)}".rstrip()


def _short(text: str, wide: int) -> str:
    return text if len(text) <= wide else f"{text[: wide - 1]}…"


def heading(name: str, units: str) -> str:
    """A figure's name with its unit."""
    about = column(name)
    label = unit_label(about.kind, units)
    return f"{about.label}, {label}" if label and label not in about.label.split() else about.label


def cell(row: pd.Series[Any], name: str, units: str) -> tuple[str, str]:
    """A figure of one candidate and its band, units left to the heading."""
    about = column(name)
    if about.kind == "text":
        return str(row[name]), ""
    label = unit_label(about.kind, units)
    value, low, high = (
        _bare(row.get(key), about.kind, units, about.digits, label)
        for key in (name, f"{name}_p10", f"{name}_p90")
    )
    if NONE == low == high:
        return value, ""
    return value, f"{low} to {high}"


def _bare(value: object, kind: str, units: str, digits: int, label: str) -> str:
    if not isinstance(value, (int, float)) or not math.isfinite(value):
        return NONE
    return show(float(value), kind, units, digits).removesuffix(label).rstrip()


def _money(result: Result, units: str) -> str:
    if not len(result.tables["money"]):
        return ""
    coin = result.inputs["currency"] or "money"
    head = f"Money, in {coin}, over {result.inputs['years']} years, against keeping her as she is"
    return f"{head}\n" + side_by_side(result, units, MONEY)


def _matters(result: Result) -> str:
    frame = result.tables["matters_most"]
    if not len(frame):
        return ""
    judged = " and ".join(dict.fromkeys(str(name) for name in result.summary["judged"]))
    rows = [
        (show(float(row["weighs"]), "share", "us", 2), str(row["matter"]))
        for _, row in frame.iterrows()
    ]
    return (
        f"What is least sure of the difference between {judged} (share of the doubt)\n"
        + aligned(rows)
    )


def _rules(result: Result) -> str:
    rows = [
        (
            str(row["candidate"]),
            f"{row['rule']}: {rule_words(str(row['applies']), str(row['says']))}",
        )
        for _, row in result.tables["rules"].iterrows()
    ]
    return "Rules: the capacity plate, the builder and the engine maker come first\n" + aligned(
        rows
    )


def rule_words(applies: str, says: str) -> str:
    """Whether a rule applies and what it says, in one run of words."""
    if applies == "yes":
        return says
    return f"{applies}. {says[:1].upper()}{says[1:]}" if says else applies


def _propellers(result: Result, units: str) -> str:
    frame = result.tables["propellers"]
    if not len(frame):
        return ""
    tried = frame[[name for name in TRIED if name in frame.columns]]
    return "Propellers tried about the chosen one\n" + side_table(tried, units)


def _questions(result: Result) -> str:
    rows = [
        (str(row["ask"]), str(row["question"])) for _, row in result.tables["questions"].iterrows()
    ]
    return "Questions to answer yes or no before anything is ordered\n" + aligned(rows)
