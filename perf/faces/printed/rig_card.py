"""The rig card as one printed page: a table, what to do when, and lines to fill in by hand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from fpdf import FPDF
from fpdf.enums import XPos, YPos
from matplotlib import get_data_path

from perf.base.files import write_whole
from perf.base.results import Result
from perf.boat.learned import said_of
from perf.boat.parts import Boat
from perf.faces import look
from perf.studies.mount.card import Card, rig_card

INK = look.LIGHT
FONT = "DejaVu"
MARGIN_MM = 14.0
LABEL_MM = 58.0  # of the first column of the table
IF_MM = 78.0  # of the first column of what to do when
ROW_MM = 5.3
BLANK_MM = 7.2
STAMP = datetime(2026, 1, 1, tzinfo=UTC)  # the same result gives the same file


def save_rig_card(boat: Boat, result: Result, path: str | Path, units: str) -> None:
    """Write the rig card of a mounting result as .pdf.

    Raises
    ------
    ValueError
        For another ending, or a result of another study.
    OSError
        If the file cannot be written.
    """
    path = Path(path)
    if path.suffix.lower() != ".pdf":
        raise ValueError("a rig card is saved as .pdf")
    write_whole(path, rig_card_bytes(boat, result, units))


def rig_card_bytes(boat: Boat, result: Result, units: str) -> bytes:
    """The rig card as the bytes of a PDF."""
    card = rig_card(boat, result)
    page = FPDF(format="letter" if units == "us" else "A4", unit="mm")
    _prepare(page, card)
    _head(page, card, units, said_of(boat))
    _rows(page, card, units)
    _then(page, card)
    _blanks(page, card)
    _cautions(page, card)
    return bytes(page.output())


def _prepare(page: FPDF, card: Card) -> None:
    fonts = Path(get_data_path()) / "fonts" / "ttf"
    page.add_font(FONT, "", fonts / "DejaVuSans.ttf")
    page.add_font(FONT, "B", fonts / "DejaVuSans-Bold.ttf")
    page.set_creation_date(STAMP)
    page.set_title(card.title)
    page.set_lang("en")
    page.set_margins(MARGIN_MM, MARGIN_MM, MARGIN_MM)
    page.set_auto_page_break(False)
    page.add_page()
    page.set_text_color(INK.ink)
    page.set_draw_color(INK.quiet)


def _head(page: FPDF, card: Card, units: str, said: Sequence[str]) -> None:
    page.set_font(FONT, "B", 15)
    page.cell(0, 8, card.title, new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    page.set_font(FONT, "", 9)
    page.cell(0, ROW_MM, card.about.spoken(units), new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    page.set_font(FONT, "", 7)
    for note in said:
        page.cell(0, ROW_MM, note, new_x=XPos.LMARGIN, new_y=YPos.NEXT)


def _section(page: FPDF, words: str) -> None:
    page.ln(2.5)
    page.set_font(FONT, "B", 10)
    page.set_text_color(INK.as_she_is.text)
    page.cell(0, 6, words, border="B", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    page.set_text_color(INK.ink)
    page.ln(1)


def _rows(page: FPDF, card: Card, units: str) -> None:
    _section(page, "Hang it here, and expect this (in brackets: eight times in ten)")
    for row in card.rows:
        page.set_font(FONT, "", 9)
        page.cell(LABEL_MM, ROW_MM, row.label)
        page.set_font(FONT, "B", 9)
        page.multi_cell(
            0, ROW_MM, row.value.spoken(units), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT
        )


def _then(page: FPDF, card: Card) -> None:
    _section(page, "If you see this, then do that")
    page.set_font(FONT, "", 8)
    for seen, done in card.then:
        top = page.get_y()
        page.multi_cell(IF_MM, 3.9, seen, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
        low = page.get_y()
        page.set_xy(page.l_margin + IF_MM + 4, top)
        page.multi_cell(0, 3.9, done, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
        page.set_y(max(low, page.get_y()) + 1.2)


def _blanks(page: FPDF, card: Card) -> None:
    _section(page, "Measured on the water")
    page.set_font(FONT, "", 8.5)
    for words in card.blanks:
        page.cell(LABEL_MM + 10, BLANK_MM, words)
        page.cell(0, BLANK_MM, "", border="B", new_x=XPos.LMARGIN, new_y=YPos.NEXT)


def _cautions(page: FPDF, card: Card) -> None:
    page.ln(2.5)
    page.set_font(FONT, "", 7)
    page.set_text_color(INK.caution.text)
    for words in card.cautions:
        page.multi_cell(0, 3.4, words, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
        page.ln(0.6)
