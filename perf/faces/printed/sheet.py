"""A printed sheet: one look for every page that leaves the yard, deterministic to the byte."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from fpdf import FPDF
from fpdf.enums import XPos, YPos
from matplotlib import get_data_path
from matplotlib.figure import Figure

from perf.faces import look

INK = look.LIGHT
FONT = "DejaVu"
MARGIN_MM = 15.0
STAMP = datetime(2026, 1, 1, tzinfo=UTC)  # the same result gives the same file
DOTS_PER_INCH = 200


class Sheet(FPDF):
    """Paper in the reader's size with a quiet head and foot; text flows, tables break between rows."""

    def __init__(self, title: str, foot: str, units: str) -> None:
        super().__init__(format="letter" if units == "us" else "A4", unit="mm")
        self.foot = foot
        fonts = Path(get_data_path()) / "fonts" / "ttf"
        self.add_font(FONT, "", fonts / "DejaVuSans.ttf")
        self.add_font(FONT, "B", fonts / "DejaVuSans-Bold.ttf")
        self.set_creation_date(STAMP)
        self.set_title(title)
        self.set_lang("en")
        self.set_margins(MARGIN_MM, MARGIN_MM, MARGIN_MM)
        self.set_auto_page_break(True, margin=MARGIN_MM + 6.0)
        self.alias_nb_pages()
        self.add_page()
        self.set_draw_color(INK.quiet)
        self.words(title, size=17, bold=True, after=1.5)

    def footer(self) -> None:
        """Foot of every page: what it is, and page of pages."""
        self.set_y(-MARGIN_MM - 2.0)
        self.set_font(FONT, "", 7)
        self.set_text_color(INK.quiet)
        self.cell(0, 4, self.foot)
        self.set_x(MARGIN_MM)
        self.cell(0, 4, f"page {self.page_no()} of {{nb}}", align="R")
        self.set_text_color(INK.ink)

    def words(
        self,
        text: str,
        size: float = 9.5,
        *,
        bold: bool = False,
        after: float = 1.0,
        color: str = INK.ink,
    ) -> None:
        """A paragraph."""
        self.set_font(FONT, "B" if bold else "", size)
        self.set_text_color(color)
        self.multi_cell(0, size * 0.5, text, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
        self.set_text_color(INK.ink)
        self.ln(after)

    def section(self, heading: str) -> None:
        """A heading with a rule under it, kept with what follows."""
        if self.will_page_break(28.0):
            self.add_page()
        self.ln(2.5)
        self.set_font(FONT, "B", 11)
        self.set_text_color(INK.as_she_is.text)
        self.cell(0, 6.5, heading, border="B", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
        self.set_text_color(INK.ink)
        self.ln(1.5)

    def pairs(self, rows: Sequence[tuple[str, str]], label_mm: float = 62.0) -> None:
        """Label and value on a line each."""
        for label, value in rows:
            self.set_font(FONT, "", 9)
            self.cell(label_mm, 5.2, label)
            self.set_font(FONT, "B", 9)
            self.multi_cell(0, 5.2, value, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)

    def grid(
        self, headings: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float]
    ) -> None:
        """A table with its heading repeated on every page; the first column left, the others right."""
        self.set_font(FONT, "", 7.5)
        with self.table(
            col_widths=tuple(widths),
            text_align=("LEFT", *("RIGHT" for _ in headings[1:])),
            borders_layout="HORIZONTAL_LINES",
            line_height=4.0,
            padding=(0.4, 1.0),
        ) as table:
            for row in (headings, *rows):
                line = table.row()
                for cell in row:
                    line.cell(cell)
        self.set_font(FONT, "", 9)

    def picture(self, figure: Figure, alt: str, width_mm: float | None = None) -> None:
        """A matplotlib figure across the page."""
        store = io.BytesIO()
        figure.savefig(store, format="png", dpi=DOTS_PER_INCH, metadata={"Software": None})
        store.seek(0)
        wide = width_mm or self.epw
        size = figure.get_size_inches()
        if self.will_page_break(wide * float(size[1]) / float(size[0])):
            self.add_page()
        self.image(store, w=wide, alt_text=alt)
        self.ln(1.5)

    def cautions(self, sentences: Sequence[str]) -> None:
        """Cautions in their colour, each with its word, so that colour is not the only sign."""
        for sentence in sentences:
            self.words(f"Caution. {sentence}", 8.5, color=INK.caution.text, after=0.4)

    def bytes(self) -> bytes:
        """The finished file."""
        return bytes(self.output())
