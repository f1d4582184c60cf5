"""The customer's two pages: which engine, why, how sure, what it costs, what to ask before ordering.

Everything on it reads in black and white: marks and words, never colour alone.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from perf.base.cautions import sentence
from perf.base.files import write_whole
from perf.base.results import Plot, Result
from perf.faces import look
from perf.faces.printed import paper
from perf.faces.printed.sheet import DOTS_PER_INCH, INK, MARGIN_MM, Sheet
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
ROW_MM = 3.6
BOX_MM = 3.0  # a box to tick
NAME_LETTERS = 17  # of a candidate's name on one line
BARS = 5
BAR_IN = (0.8, 0.95, 1.15, 1.35, 1.55, 1.75)  # height of a picture of so many bars
FOOT = "An estimate, not a promise and no offer: plate, builder, engine maker and local law rule."
WIDE_IN, HIGH_IN = 5.4, 3.7  # of a picture before it is set to half a page
LEGEND_LETTERS = 34
FOOT_MM = 22.0  # kept free at the bottom of a page


def save_sheet(result: Result, path: str | Path, units: str) -> None:
    """Write the two pages as a PDF; ValueError for another ending or another kind of result."""
    if Path(path).suffix.lower() != ".pdf":
        raise ValueError("the customer's sheet is saved as .pdf")
    write_whole(path, sheet(result, units))


def sheet(result: Result, units: str) -> bytes:
    """The two pages as the bytes of a PDF; ValueError for another kind of result."""
    if result.kind != "repower":
        raise ValueError(f"this sheet shows a repower, not {result.kind}")
    pdf = Sheet(f"Which engine for {result.boat}?", FOOT, units)
    pdf.set_auto_page_break(False)
    left = _first_page(pdf, result, units)
    pdf.add_page()
    _second_page(pdf, result, units, left)
    return pdf.bytes()


def _first_page(pdf: Sheet, result: Result, units: str) -> list[str]:
    """The answer, the trade, the candidates side by side; the cautions that found no room."""
    about = f"{result.inputs['candidates']}. {result.inputs['duty']}."
    pdf.words(about, 8.5, color=INK.quiet, after=1.2)
    pdf.words(result.shown(units).answer, 9.0, after=1.5)
    trade = [plot for plot in result.plots if plot.key.startswith("trade_")]
    _pictures(pdf, result, trade, units)
    _table(pdf, result, units)
    said = [f"Caution. {sentence(code)}" for code in result.cautions]
    return _while_room(pdf, said, 7.2, INK.caution.text)


def _second_page(pdf: Sheet, result: Result, units: str, cautions: Sequence[str]) -> None:
    """Cautions left over, curves, what is least sure, rules, questions; notes as far as there is room."""
    for text in cautions:
        pdf.words(text, 7.2, color=INK.caution.text, after=0.2)
    curves = [p for p in result.plots if p.key in ("mileage_m_per_l", "sum_gain")]
    if len(curves) < len(("far", "money")):
        curves = [p for p in result.plots if p.key in ("mileage_m_per_l", "fuel_lph")]
    _pictures(pdf, result, curves, units)
    for plot in result.plots:
        if plot.style == "bars":
            _least_sure(pdf, result, plot)
    _rules(pdf, result)
    _questions(pdf, result)
    pdf.ln(1.5)
    if _while_room(pdf, result.notes, 7.0, INK.ink):
        pdf.words("More notes stand in the text of this result.", 7.0, after=0.0)


def _while_room(pdf: Sheet, sentences: Sequence[str], size: float, tone: str) -> list[str]:
    """Sentences as long as the page has room; those that are left over."""
    for place, text in enumerate(sentences):
        pdf.set_font("DejaVu", "", size)
        lines = pdf.multi_cell(0, size * 0.5, text, align="L", dry_run=True, output="LINES")
        many = len(lines) if isinstance(lines, list) else 1
        if pdf.get_y() + many * size * 0.5 > pdf.h - FOOT_MM:
            return list(sentences[place:])
        pdf.words(text, size, color=tone, after=0.2)
    return []


def _pictures(pdf: Sheet, result: Result, plots: Sequence[Plot], units: str) -> None:
    """Pictures side by side across the page."""
    if not plots:
        return
    each = pdf.epw / len(plots)
    top = pdf.get_y()
    high = each * HIGH_IN / WIDE_IN
    for place, plot in enumerate(plots):
        page = paper.figure(result, plot, units)
        page.set_size_inches(WIDE_IN, HIGH_IN)
        for axes in page.axes:
            legend = axes.get_legend()
            if legend is not None:
                words = [textwrap.fill(t.get_text(), LEGEND_LETTERS) for t in legend.get_texts()]
                # drawn anew in two columns: three would squeeze the picture
                axes.legend(
                    handles=legend.legend_handles,
                    labels=words,
                    loc="upper left",
                    bbox_to_anchor=(0.0, -0.2),
                    borderaxespad=0.0,
                    ncols=2,
                    frameon=False,
                    fontsize=8,
                )
        store = io.BytesIO()
        page.savefig(store, format="png", dpi=DOTS_PER_INCH, metadata={"Software": None})
        store.seek(0)
        pdf.image(store, x=MARGIN_MM + each * place, y=top, w=each, alt_text=plot.title)
    pdf.set_y(top + high + 1.0)


def _table(pdf: Sheet, result: Result, units: str) -> None:
    """Candidates as columns, the figures that decide as rows, each with its band."""
    frame = result.tables["candidates"].head(MOST_CANDIDATES)
    wide = (pdf.epw - LEFT_MM) / len(frame)
    has_money = bool(len(result.tables["money"]))
    names = [textwrap.wrap(str(name), NAME_LETTERS) for name in frame["candidate"]]
    for line in range(max(map(len, names))):
        said = [name[line] if line < len(name) else "" for name in names]
        _row(pdf, "", said, wide, 7.0, bold=True, rule=not line)
    for name in (*FIGURES, *(MONEY if has_money else ())):
        cells = [cell(frame.iloc[at], name, units) for at in range(len(frame))]
        _row(pdf, _heading(result, name, units), [value for value, _ in cells], wide, 7.5)
        if any(band for _, band in cells):
            _row(pdf, "", [band for _, band in cells], wide, 6.2, rule=False)
    fitted = zip(frame["candidate"], frame["engine"], frame["propeller"], strict=True)
    each = "; ".join(f"{name}: {engine}, {screw}" for name, engine, screw in fitted)
    pdf.words(f"Engines and propellers. {each}.", 7.0, after=0.3)
    left = len(result.tables["candidates"]) - len(frame)
    if left > 0:
        pdf.words(f"{left} more candidates stand in the file of this result.", 7.0, after=0.3)
    pdf.words(
        f"Small print: 10 to 90 % of {result.doubt['draws']} draws of what is not known for sure."
        if result.doubt["draws"]
        else "No bands were drawn: how sure this is, is not said here.",
        7.0,
        color=INK.quiet,
        after=1.0,
    )


def _heading(result: Result, name: str, units: str) -> str:
    coin = result.inputs["currency"]
    bare = heading(name, units)
    return f"{bare}, {coin}" if coin and name in MONEY and name != "payback_years" else bare


def _row(
    pdf: Sheet,
    head: str,
    cells: Sequence[str],
    wide: float,
    size: float,
    *,
    bold: bool = False,
    rule: bool = True,
) -> None:
    if rule:
        pdf.set_draw_color(INK.grid)
        pdf.line(MARGIN_MM, pdf.get_y(), MARGIN_MM + pdf.epw, pdf.get_y())
    pdf.set_font("DejaVu", "B" if bold else "", size)
    pdf.set_text_color(INK.ink if rule or bold else INK.quiet)
    pdf.cell(LEFT_MM, ROW_MM, _fit(pdf, head, LEFT_MM))
    for text in cells:
        pdf.cell(wide, ROW_MM, _fit(pdf, text, wide), align="R")
    pdf.ln(ROW_MM)
    pdf.set_text_color(INK.ink)


def _fit(pdf: Sheet, text: str, wide: float) -> str:
    """The text, cut where the cell ends."""
    if pdf.get_string_width(text) <= wide:
        return text
    while text and pdf.get_string_width(f"{text}…") > wide:
        text = text[:-1]
    return f"{text}…"


def _least_sure(pdf: Sheet, result: Result, plot: Plot) -> None:
    """The bars of what is least sure, drawn as bars with their words."""
    pdf.section(plot.title)
    few = replace(
        result, tables={**result.tables, "matters_most": result.tables["matters_most"].head(BARS)}
    )
    page = paper.figure(few, plot, "us")
    page.set_size_inches(8.4, BAR_IN[min(len(few.tables["matters_most"]), BARS)])
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
        pdf.words(f"{rule}: {'; '.join(parts)}.", 6.8, after=0.1)


def _questions(pdf: Sheet, result: Result) -> None:
    """Questions with a box for yes and one for no."""
    pdf.section("To be answered before anything is ordered")
    right = MARGIN_MM + pdf.epw
    for _, row in result.tables["questions"].iterrows():
        top = pdf.get_y()
        pdf.set_font("DejaVu", "", 7.2)
        for word, back in (("yes", 26.0), ("no", 12.0)):
            pdf.set_draw_color(look.LIGHT.ink)
            pdf.rect(right - back, top + 0.4, BOX_MM, BOX_MM)
            pdf.set_xy(right - back + BOX_MM + 0.8, top)
            pdf.cell(8.0, ROW_MM, word)
        pdf.set_xy(MARGIN_MM, top)
        pdf.multi_cell(pdf.epw - 30.0, ROW_MM, f"{row['ask']}: {row['question']}", align="L", new_x="LMARGIN", new_y="NEXT")  # fmt: skip
        pdf.ln(0.3)
