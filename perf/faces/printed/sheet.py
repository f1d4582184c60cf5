"""A printed sheet: one look for every page that leaves the yard, deterministic to the byte."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fpdf import FPDF
from fpdf.enums import MethodReturnValue, XPos, YPos
from matplotlib import get_data_path

from perf.faces import look
from perf.faces.printed import scale
from perf.faces.printed.scale import BODY, FINE, GAP_MM, HAIR_MM, MARGIN_MM, SMALL, Type

if TYPE_CHECKING:
    from matplotlib.figure import Figure

INK = look.LIGHT
FONT = "DejaVu"
KEPT_MM = 28.0  # a heading is not left alone at the end of a page
STAMP = datetime(2026, 1, 1, tzinfo=UTC)  # the same result gives the same file
DOTS_PER_INCH = 200


class Sheet(FPDF):
    """Paper in the reader's size with a quiet head and foot.

    Text flows and tables break between rows. A single sheet is one page whatever it is given: its
    title stays on one line and its foot counts no pages. pages is how many there are at most.
    """

    def __init__(self, title: str, foot: str, units: str, pages: int | None = None) -> None:
        super().__init__(format="letter" if units == "us" else "A4", unit="mm")
        self.foot, self.single = foot, pages == 1
        fonts = Path(get_data_path()) / "fonts" / "ttf"
        self.add_font(FONT, "", fonts / "DejaVuSans.ttf")
        self.add_font(FONT, "B", fonts / "DejaVuSans-Bold.ttf")
        self.set_creation_date(STAMP)
        self.set_title(title)
        self.set_lang("en")
        self.set_margins(MARGIN_MM, MARGIN_MM, MARGIN_MM)
        self.set_auto_page_break(pages is None, margin=scale.FOOT_MM)
        self.alias_nb_pages()
        self.add_page()
        self.headline(title)

    def footer(self) -> None:
        """Foot of every page: what it is, and page of pages."""
        self.set_y(-MARGIN_MM)
        self.ink(FINE, INK.quiet)
        self.cell(0, FINE.line_mm, self.foot)
        if not self.single:
            self.set_x(MARGIN_MM)
            self.cell(0, FINE.line_mm, f"page {self.page_no()} of {{nb}}", align="R")
        self.set_text_color(INK.ink)

    # --- measures -----------------------------------------------------------------------------------

    @property
    def room_mm(self) -> float:
        """Height left over the foot of this page."""
        return self.h - scale.FOOT_MM - self.get_y()

    def high(self, texts: Sequence[str], size: Type) -> float:
        """How high paragraphs across the page stand [mm]."""
        self.ink(size)
        asked = MethodReturnValue.HEIGHT
        each = (
            self.multi_cell(0, size.line_mm, text, align="L", dry_run=True, output=asked)
            for text in texts
        )
        return sum(high for high in each if isinstance(high, int | float))

    def fit(self, text: str, wide: float) -> str:
        """The text in the letters at hand, cut where a cell of this width ends."""
        room = wide - self.c_margin * 2
        if self.get_string_width(text) <= room:
            return text
        while text and self.get_string_width(f"{text}…") > room:
            text = text[:-1].rstrip()
        return f"{text}…"

    # --- words --------------------------------------------------------------------------------------

    def ink(self, size: Type, tone: str = INK.ink, *, bold: bool = False) -> None:
        """Take up letters of a size and colour."""
        self.set_font(FONT, "B" if bold else "", size.points)
        self.set_text_color(tone)

    def headline(self, text: str, *, after: float = 1.0, color: str = INK.ink) -> None:
        """Words in the largest letters; on a single sheet one line, in smaller ones where it is long."""
        sizes = (scale.TITLE, scale.FIGURE, scale.HEADING) if self.single else (scale.TITLE,)
        for size in sizes:
            self.ink(size, bold=True)
            if self.fit(text, self.epw) == text:
                break
        said = self.fit(text, self.epw) if self.single else text
        self.words(said, size, bold=True, after=after, color=color)

    def rule(self, tone: str = INK.quiet, thick: float = scale.RULE_MM) -> None:
        """A line across the page; later lines are as thick."""
        self.set_draw_color(tone)
        self.set_line_width(thick)
        self.line(MARGIN_MM, self.get_y(), MARGIN_MM + self.epw, self.get_y())

    def words(
        self,
        text: str,
        size: Type = BODY,
        *,
        bold: bool = False,
        after: float = 1.0,
        color: str = INK.ink,
    ) -> None:
        """A paragraph."""
        self.ink(size, color, bold=bold)
        self.multi_cell(0, size.line_mm, text, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
        self.set_text_color(INK.ink)
        self.ln(after)

    def together(self, kept_mm: float) -> None:
        """Begin a new page where so much does not stand on this one."""
        if self.will_page_break(kept_mm):
            self.add_page()

    def section(self, heading: str, kept_mm: float = KEPT_MM) -> None:
        """A heading with a rule under it, kept with so much of what follows."""
        self.together(kept_mm)
        self.ln(scale.SPACE_MM)
        self.ink(scale.HEADING, INK.as_she_is.text, bold=True)
        self.set_draw_color(INK.quiet)
        high = scale.HEADING.line_mm
        self.cell(0, high, heading, border="B", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
        self.set_text_color(INK.ink)
        self.ln(GAP_MM)

    def cautions(self, sentences: Sequence[str]) -> None:
        """Cautions in their colour, each with its word, so that colour is not the only sign."""
        for sentence in sentences:
            self.words(f"Caution. {sentence}", SMALL, color=INK.caution.text, after=HAIR_MM)

    # --- rows and tables ----------------------------------------------------------------------------

    def pairs_mm(self, rows: Sequence[tuple[str, str]]) -> float:
        """How high labels and values on a line each stand [mm]."""
        return sum(self._pair_mm(value) for _, value in rows)

    def _pair_mm(self, value: str) -> float:
        """A value breaks beside its label where it is long."""
        self.ink(BODY, bold=True)
        self.set_x(self.l_margin + scale.LABEL_MM)
        asked = MethodReturnValue.HEIGHT
        high = self.multi_cell(0, scale.ROW_MM, value, dry_run=True, output=asked)
        self.set_x(self.l_margin)
        return float(high) if isinstance(high, int | float) else 0.0

    def pairs(self, rows: Sequence[tuple[str, str]]) -> None:
        """Label and value on a line each."""
        high = scale.ROW_MM
        for label, value in rows:
            self.ink(BODY)
            self.cell(scale.LABEL_MM, high, label)
            self.ink(BODY, bold=True)
            self.multi_cell(0, high, value, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)

    def abreast(
        self, texts: Sequence[str], widths: Sequence[float], size: Type, aligns: str = "L"
    ) -> None:
        """Texts side by side, each broken in its width, in the letters at hand.

        aligns holds a letter for the first text and one for the others. What follows stands under
        the highest of them.
        """
        top = low = self.get_y()
        at = self.l_margin
        for place, (text, wide) in enumerate(zip(texts, widths, strict=True)):
            self.set_xy(at, top)
            self.multi_cell(wide, size.line_mm, text, align=aligns[min(place, len(aligns) - 1)])
            at, low = at + wide, max(low, self.get_y())
        self.set_xy(self.l_margin, low)

    def blanks(self, labels: Sequence[str], high: float, label_mm: float | None = None) -> None:
        """Labels on one line, each with a rule to write on after it; label_mm lines the rules up."""
        each = self.epw / len(labels)
        self.ink(SMALL)
        for label in labels:
            wide = label_mm or self.get_string_width(label) + self.c_margin * 2
            self.cell(wide, high, label)
            self.cell(each - wide - scale.SPACE_MM, high, "", border="B")
            self.cell(scale.SPACE_MM, high, "")
        self.ln(high)

    def grid(
        self, headings: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float]
    ) -> None:
        """A table with its heading repeated on every page; the first column left, the others right."""
        self.together(KEPT_MM)  # its heading stands with a row or two
        self.ink(FINE)
        with self.table(
            col_widths=tuple(widths),
            text_align=("LEFT", *("RIGHT" for _ in headings[1:])),
            borders_layout="HORIZONTAL_LINES",
            line_height=SMALL.line_mm,
            padding=(HAIR_MM, 1.0),
        ) as table:
            for row in (headings, *rows):
                line = table.row()
                for cell in row:
                    line.cell(cell)
        self.ink(BODY)

    # --- pictures -----------------------------------------------------------------------------------

    def picture(self, figure: Figure, alt: str) -> None:
        """A matplotlib figure across the page."""
        if self.will_page_break(self.picture_mm(figure)):
            self.add_page()
        self.set_y(self.set_picture(figure, alt, self.l_margin, self.epw) + GAP_MM)

    def picture_mm(self, figure: Figure) -> float:
        """How high a figure across the page is [mm]."""
        wide, high = figure.get_size_inches()
        return self.epw * float(high) / float(wide)

    def set_picture(self, figure: Figure, alt: str, left: float, wide: float) -> float:
        """Set a matplotlib figure here, from left on and so wide; where it ends, downward [mm]."""
        store = io.BytesIO()
        figure.savefig(store, format="png", dpi=DOTS_PER_INCH, metadata={"Software": None})
        store.seek(0)
        top = self.get_y()
        info = self.image(store, x=left, y=top, w=wide, alt_text=alt)
        return top + info.rendered_height

    def bytes(self) -> bytes:
        """The finished file."""
        return bytes(self.output())
