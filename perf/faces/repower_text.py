"""A repower as text for a terminal: the paragraph, candidates side by side, money, rules, cautions."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pandas as pd

from perf.base.columns import column
from perf.base.results import Result
from perf.base.units import show, unit_label
from perf.faces.lines import GAP, WIDE, aligned, filled
from perf.faces.tabletext import NONE
from perf.faces.text import behind, cautions_text

# figures side by side, in the order a decision is talked through; a blank parts the blocks
SHOWN = (
    ("rank", "plate", "engine", "propeller"),
    ("will_plane", "hump_margin_n", "time_to_plane_s", "slowest_planing_speed_mps"),
    ("top_speed_mps", "top_rpm", "one_engine_speed_mps", "one_engine_planes"),
    ("wanted_fuel_lph", "wanted_mileage_m_per_l", "best_mileage_m_per_l", "best_mileage_speed_mps"),
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
LABEL_WIDE = 30
LEAST_WIDE = 15  # of one candidate's column


def as_text(result: Result, units: str, quiet: bool = False) -> str:
    """The whole answer as text, at most 110 columns wide; quiet leaves out what lies behind it."""
    blocks = [
        filled(result.shown(units).answer),
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


def side_by_side(result: Result, units: str, names: Sequence[str]) -> str:
    """Candidates as columns, figures as rows, each with its ten to ninety per cent band under it."""
    frame = result.tables["candidates"]
    columns = [
        (str(frame["candidate"].iloc[at]), [cell(frame.iloc[at], n, units) if n else ("", "") for n in names])
        for at in range(len(frame))
    ]
    heads = [heading(name, units) if name else "" for name in names]
    room = WIDE - LABEL_WIDE
    many = max(1, room // (LEAST_WIDE + len(GAP)))
    blocks = [
        _block(heads, columns[at : at + many]) for at in range(0, len(columns), many)
    ]
    return "\n\n".join(blocks)


def _block(heads: Sequence[str], columns: Sequence[tuple[str, list[tuple[str, str]]]]) -> str:
    wide = [max(len(name), *(len(t) for pair in cells for t in pair)) for name, cells in columns]
    wide = [min(w, 2 * LEAST_WIDE) for w in wide]
    lines = [
        f"{'':<{LABEL_WIDE}}"
        + GAP.join(f"{_short(name, w):>{w}}" for (name, _), w in zip(columns, wide, strict=True))
    ]
    for row, head in enumerate(heads):
        if not head:
            lines.append("")
            continue
        for part in (0, 1):
            cells = [cells[row][part] for _, cells in columns]
            if part and not any(cells):
                continue
            said = head if not part else ""
            lines.append(
                f"{_short(said, LABEL_WIDE - 1):<{LABEL_WIDE}}"
                + GAP.join(f"{_short(c, w):>{w}}" for c, w in zip(cells, wide, strict=True)).rstrip()
            )
    return "\n".join(lines).rstrip()


def _short(text: str, wide: int) -> str:
    return text if len(text) <= wide else f"{text[: wide - 1]}…"


def heading(name: str, units: str) -> str:
    """A figure's name with its unit."""
    about = column(name)
    label = unit_label(about.kind, units)
    return f"{about.label}, {label}" if label and label not in about.label.split() else about.label


def cell(row: pd.Series[object], name: str, units: str) -> tuple[str, str]:
    """A figure of one candidate and its band, units left to the heading."""
    about = column(name)
    if about.kind == "text":
        return str(row[name]), ""
    label = unit_label(about.kind, units)
    value, low, high = (_bare(row.get(key), about.kind, units, about.digits, label) for key in (name, f"{name}_p10", f"{name}_p90"))
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
    return f"What is least sure of the difference between {judged} (share of the doubt)\n" + aligned(rows)


def _rules(result: Result) -> str:
    rows = [
        (str(row["candidate"]), f"{row['rule']}: {_applies(str(row['applies']))}{row['says']}")
        for _, row in result.tables["rules"].iterrows()
    ]
    return "Rules: the capacity plate, the builder and the engine maker come first\n" + aligned(rows)


def _applies(word: str) -> str:
    return "" if word == "yes" else f"{word}. "


def _propellers(result: Result, units: str) -> str:
    frame = result.tables["propellers"]
    if not len(frame):
        return ""
    names = ("top_speed_mps", "top_rpm", "in_band", "wanted_fuel_lph", "hump_margin_n", "time_to_plane_s")
    rows = [("", "", *(heading(name, units) for name in names), "")]
    last = ""
    for _, row in frame.iterrows():
        who = str(row["candidate"]) if row["candidate"] != last else ""
        last = str(row["candidate"])
        cells = (cell(row, name, units)[0] for name in names)
        rows.append((who, str(row["propeller"]), *cells, str(row["role"])))
    return "Propellers tried about the chosen one\n" + aligned(rows)


def _questions(result: Result) -> str:
    rows = [
        (str(row["ask"]), str(row["question"])) for _, row in result.tables["questions"].iterrows()
    ]
    return "Questions to answer yes or no before anything is ordered\n" + aligned(rows)
