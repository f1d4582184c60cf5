"""The customer's two pages: which engine, why, how sure, what it costs, what to ask before ordering.

Everything on it reads in black and white: marks and words, never colour alone.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from perf.base.bands import fell_inside
from perf.base.files import write_whole
from perf.base.results import Plot, Result
from perf.faces.printed import paper
from perf.faces.printed.axes import legend_under
from perf.faces.printed.scale import (
    FINE,
    GAP_MM,
    HAIR_MM,
    LEAST,
    MARGIN_MM,
    PAGE_IN,
    SMALL,
    SPACE_MM,
    Type,
)
from perf.faces.printed.sheet import INK, Sheet
from perf.faces.text.repower import cell, heading, rule_words
from perf.studies.repower.rules import EVERY

MOST_CANDIDATES = 6
FIGURES = (
    "rank",
    "plate",
    "will_plane",
    "hump_margin_n",
    "time_to_plane_s",
    "top_speed_mps",
    "top_rpm",
    "wanted_fuel_lph",
    "best_mileage_m_per_l",
    "season_fuel_m3",
)
MONEY = ("first_cost", "payback_years", "net_present_value", "cost_per_trip")
LEFT_MM = 44.0  # the column of words of the table
BOX_MM, ANSWER_MM = 3.0, 13.0  # a box to tick, with its word
BARS = 5
BARS_IN, BAR_IN = 0.75, 0.2  # height of a picture of bars: without any, of each
FOOT = "An estimate, not a promise and no offer: plate, builder, engine maker and local law rule."
WIDE_IN, HIGH_IN = 5.4, 3.7  # of a picture before it is set to half a page
LEGEND_LETTERS = 34


def save_sheet(result: Result, path: str | Path, units: str) -> None:
    """Write the two pages as a PDF; ValueError for another ending or another kind of result."""
    if Path(path).suffix.lower() != ".pdf":
        raise ValueError("the customer's sheet is saved as .pdf")
    write_whole(path, sheet(result, units))


def sheet(result: Result, units: str) -> bytes:
    """The two pages as the bytes of a PDF; ValueError for another kind of result."""
    if result.kind != "repower":
        raise ValueError(f"this sheet shows a repower, not {result.kind}")
    pdf = Sheet(f"Which engine for {result.boat}?", FOOT, units, pages=2)
    left = _first_page(pdf, result, units)
    pdf.add_page()
    _second_page(pdf, result, units, left)
    return pdf.bytes()


def _first_page(pdf: Sheet, result: Result, units: str) -> list[str]:
    """The answer, the trade, the candidates side by side; the cautions that found no room."""
    about = f"{result.inputs['candidates']}. {result.inputs['duty']}."
    pdf.words(about, SMALL, color=INK.quiet)
    pdf.words(result.shown(units).answer, after=GAP_MM)
    trade = [plot for plot in result.plots if plot.key.startswith("trade_")]
    _pictures(pdf, result, trade, units)
    _table(pdf, result, units)
    said = [f"Caution. {result.caution(code)}" for code in result.cautions]
    return _while_room(pdf, said, FINE, INK.caution.text)


def _second_page(pdf: Sheet, result: Result, units: str, cautions: Sequence[str]) -> None:
    """Cautions left over, curves, what is least sure, rules, questions; notes as far as there is room."""
    for text in cautions:
        pdf.words(text, FINE, color=INK.caution.text, after=HAIR_MM)
    curves = [p for p in result.plots if p.key in ("mileage_m_per_l", "sum_gain")]
    if len(curves) < len(("far", "money")):
        curves = [p for p in result.plots if p.key in ("mileage_m_per_l", "fuel_lph")]
    _pictures(pdf, result, curves, units)
    for plot in result.plots:
        if plot.style == "bars":
            _least_sure(pdf, result, plot)
    _rules(pdf, result)
    _questions(pdf, result)
    pdf.ln(GAP_MM)
    if _while_room(pdf, result.notes, FINE, INK.ink):
        pdf.words("More notes stand in the text of this result.", FINE, after=0.0)


def _while_room(pdf: Sheet, sentences: Sequence[str], size: Type, tone: str) -> list[str]:
    """Sentences as long as the page has room; those that are left over."""
    for place, text in enumerate(sentences):
        if pdf.high([text], size) > pdf.room_mm:
            return list(sentences[place:])
        pdf.words(text, size, color=tone, after=HAIR_MM)
    return []


def _pictures(pdf: Sheet, result: Result, plots: Sequence[Plot], units: str) -> None:
    """Pictures side by side across the page."""
    if not plots:
        return
    each = pdf.epw / len(plots)
    low = top = pdf.get_y()
    for place, plot in enumerate(plots):
        page = paper.figure(result, plot, units)
        page.set_size_inches(WIDE_IN, HIGH_IN)
        for axes in page.axes:
            legend = axes.get_legend()
            if legend is not None:
                words = [textwrap.fill(t.get_text(), LEGEND_LETTERS) for t in legend.get_texts()]
                # drawn anew in two columns: three would squeeze the picture
                legend_under(axes, 2, handles=legend.legend_handles, labels=words)
        pdf.set_y(top)
        low = pdf.set_picture(page, plot.title, MARGIN_MM + each * place, each)
    pdf.set_y(low + 1.0)


def _table(pdf: Sheet, result: Result, units: str) -> None:
    """Candidates as columns, the figures that decide as rows, each with its band."""
    frame = result.tables["candidates"].head(MOST_CANDIDATES)
    wide = (pdf.epw - LEFT_MM) / len(frame)
    has_money = bool(len(result.tables["money"]))
    names = ["", *(str(name) for name in frame["candidate"])]
    pdf.rule(INK.grid)
    pdf.ink(FINE, bold=True)
    pdf.abreast(names, [LEFT_MM, *(wide for _ in names[1:])], FINE, "R")
    for name in (*FIGURES, *(MONEY if has_money else ())):
        cells = [cell(frame.iloc[at], name, units) for at in range(len(frame))]
        _row(pdf, _heading(result, name, units), [value for value, _ in cells], wide)
        if any(band for _, band in cells):
            _row(pdf, "", [band for _, band in cells], wide, small=True)
    fitted = zip(frame["candidate"], frame["engine"], frame["propeller"], strict=True)
    each = "; ".join(f"{name}: {engine}, {screw}" for name, engine, screw in fitted)
    pdf.words(f"Engines and propellers. {each}.", FINE, after=HAIR_MM)
    left = len(result.tables["candidates"]) - len(frame)
    if left > 0:
        pdf.words(f"{left} more candidates stand in the file of this result.", FINE, after=HAIR_MM)
    pdf.words(
        f"Small print: 10 to 90 % of {result.doubt['draws']} draws of what is not known for sure;"
        f" {fell_inside()}."
        if result.doubt["draws"]
        else "No bands were drawn: how sure this is, is not said here.",
        FINE,
        color=INK.quiet,
    )


def _heading(result: Result, name: str, units: str) -> str:
    coin = result.inputs["currency"]
    bare = heading(name, units)
    return f"{bare}, {coin}" if coin and name in MONEY and name != "payback_years" else bare


def _row(pdf: Sheet, head: str, cells: Sequence[str], wide: float, *, small: bool = False) -> None:
    """A line of the table under a rule, or the small print that goes with the line above."""
    if not small:
        pdf.rule(INK.grid)
    pdf.ink(LEAST if small else FINE, INK.quiet if small else INK.ink)
    high = LEAST.line_mm if small else FINE.line_mm
    pdf.cell(LEFT_MM, high, pdf.fit(head, LEFT_MM))
    for text in cells:
        pdf.cell(wide, high, pdf.fit(text, wide), align="R")
    pdf.ln(high)


def _least_sure(pdf: Sheet, result: Result, plot: Plot) -> None:
    """The bars of what is least sure, drawn as bars with their words."""
    pdf.section(plot.title)
    few = replace(
        result, tables={**result.tables, "matters_most": result.tables["matters_most"].head(BARS)}
    )
    page = paper.figure(few, plot, "us")
    page.set_size_inches(PAGE_IN, BARS_IN + BAR_IN * len(few.tables["matters_most"]))
    for axes in page.axes:
        axes.set_title("", loc="left")
    pdf.picture(page, plot.title)


def _rules(pdf: Sheet, result: Result) -> None:
    """Each rule once, what it says of each candidate one after the other."""
    pdf.section("Rules: the plate, the builder and the engine maker come first")
    said: dict[str, list[str]] = {}
    for _, row in result.tables["rules"].iterrows():
        words = rule_words(str(row["applies"]), str(row["says"]))
        whom = "" if row["candidate"] == EVERY else f"{row['candidate']}: "
        said.setdefault(str(row["rule"]), []).append(f"{whom}{words}")
    for rule, parts in said.items():
        pdf.words(f"{rule}: {'; '.join(parts)}.", FINE, after=0.0)


def _questions(pdf: Sheet, result: Result) -> None:
    """Questions with a box for yes and one for no."""
    pdf.section("To be answered before anything is ordered")
    room = pdf.epw - ANSWER_MM - ANSWER_MM
    for _, row in result.tables["questions"].iterrows():
        pdf.ink(FINE)
        top = pdf.get_y()
        pdf.set_draw_color(INK.ink)
        pdf.set_x(MARGIN_MM + room)
        for word in ("yes", "no"):
            pdf.rect(pdf.get_x(), top, BOX_MM, BOX_MM)
            pdf.set_x(pdf.get_x() + BOX_MM)
            pdf.cell(ANSWER_MM - BOX_MM, BOX_MM, word)
        pdf.set_xy(MARGIN_MM, top)
        pdf.abreast([f"{row['ask']}: {row['question']}"], [room - SPACE_MM], FINE)
        pdf.ln(HAIR_MM)
