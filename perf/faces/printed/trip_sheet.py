"""A trip on one printed page: the answer, run by run with room to write, the fuel line, the reach, cautions."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime, timezone
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, cast

from perf.base.cautions import sentence
from perf.base.columns import column
from perf.base.files import write_whole
from perf.base.results import Result
from perf.base.units import show, unit_label
from perf.boat.learned import counted_in
from perf.faces import look
from perf.faces.printed.trip_sheet_reach import draw_reach
from perf.faces.text.tables import letters_of

if TYPE_CHECKING:
    from fpdf import FPDF

INK = look.LIGHT
MARGIN, WIDE, LEFT_WIDE, RIGHT_WIDE = 13.0, 184.0, 122.0, 56.0  # millimetres
MOST_ROWS, MOST_NOTED = 12, 140
LETTERS = ((7.4, 3.6), (6.6, 3.1), (5.8, 2.7), (5.0, 2.3))  # sizes of the cautions
LINE = 4.1
FIGURES = (
    "trip_fuel_m3",
    "trip_time_s",
    "arrival_fuel_m3",
    "kept_back_m3",
    "chance_reserve_broken",
)
COLUMNS: tuple[tuple[str, str, float], ...] = (
    ("run", "run", 41.0),
    ("run_distance_m", "distance", 18.0),
    ("run_speed_mps", "speed", 18.0),
    ("engine_rpm", "rpm", 14.0),
    ("duration_s", "time", 14.0),
    ("fuel_m3", "fuel", 16.0),
    ("fuel_left_m3", "left then", 17.0),
    ("needed_m3", "at least", 16.0),
    ("gauge_needed", "on gauge", 17.0),
)
WRITE_IN, LOG_WIDE, ROW = "really used", 14.0, 5.8
LOG_HIGH, FOOT_HIGH = 48.0, 11.0  # over the lower edge of the page
LOGGED = (
    "filled up with", "hours on the engine",
    "wind and sea met", "people aboard",
    "filled up with after", "distance run",
)  # fmt: skip
STILL = datetime(2000, 1, 1, tzinfo=timezone.utc)  # noqa: UP017  the same result gives the same bytes


def save_sheet(result: Result, path: str | Path, units: str) -> None:
    """Write the sheet of a trip as a one-page PDF; ValueError for another ending or another kind of result."""
    if Path(path).suffix.lower() != ".pdf":
        raise ValueError("a trip sheet is saved as .pdf")
    write_whole(path, sheet(result, units))


def sheet(result: Result, units: str) -> bytes:
    """The sheet of a trip as the bytes of a PDF of one page; ValueError for another kind of result."""
    if result.kind != "trip":
        raise ValueError(f"a trip sheet shows a trip, not {result.kind}")
    pdf = _blank(units)
    _head(pdf, result)
    _answer(pdf, result, units)
    _figures(pdf, result, units)
    letters = letters_of(result.tables["rows"])
    _runs(pdf, result, units, letters)
    _pictures(pdf, result, units)
    _cautions(pdf, result, letters)
    _log(pdf)
    _foot(pdf, result)
    return bytes(pdf.output())


def _blank(units: str) -> FPDF:
    from fpdf import FPDF

    pdf = FPDF(format="letter" if units == "us" else "A4", unit="mm")
    pdf.set_margins(MARGIN, MARGIN)
    pdf.set_auto_page_break(False)
    found = find_spec("matplotlib")
    if found is None or not found.submodule_search_locations:
        raise RuntimeError("the fonts of the sheet are missing")
    fonts = Path(found.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"
    pdf.add_font("sheet", "", fonts / "DejaVuSans.ttf")
    pdf.add_font("sheet", "B", fonts / "DejaVuSans-Bold.ttf")
    pdf.set_creation_date(STILL)
    pdf.add_page()
    return pdf


def _ink(pdf: FPDF, tone: str, size: float, style: str = "") -> None:
    pdf.set_font("sheet", style, size)
    pdf.set_text_color(tone)


def _rule(pdf: FPDF, tone: str, thick: float) -> None:
    pdf.set_draw_color(tone)
    pdf.set_line_width(thick)
    pdf.line(MARGIN, pdf.get_y(), MARGIN + WIDE, pdf.get_y())


def _head(pdf: FPDF, result: Result) -> None:
    _ink(pdf, INK.ink, 15, "B")
    pdf.cell(WIDE, 7, _short(str(result.inputs["trip"]), 60), new_x="LMARGIN", new_y="NEXT")
    _ink(pdf, INK.quiet, 9)
    said = f"{result.boat}, loaded as {result.inputs['load']}"
    pdf.cell(LEFT_WIDE, 5, _short(said, 80))
    pdf.cell(WIDE - LEFT_WIDE, 5, "date ____________  skipper ________________", align="R")
    pdf.ln(6.5)
    _rule(pdf, INK.as_she_is.line, 0.8)
    pdf.ln(2.5)


def _answer(pdf: FPDF, result: Result, units: str) -> None:
    first, colon, rest = result.shown(units).answer.partition(": ")
    good = first == "Enough"
    _ink(pdf, INK.as_she_is.text if good else INK.changed.text, 15, "B")
    pdf.cell(WIDE, 8, _short(first, 50), new_x="LMARGIN", new_y="NEXT")
    _ink(pdf, INK.ink, 9.5)
    said = f"{rest[:1].upper()}{rest[1:]}" if colon else ""
    pdf.multi_cell(WIDE, 4.8, said, align="L", new_x="LMARGIN", new_y="NEXT")
    for note in counted_in(result.notes):
        _ink(pdf, INK.quiet, 7.5)
        pdf.cell(WIDE, 4, _short(note, MOST_NOTED), new_x="LMARGIN", new_y="NEXT")
    pdf.ln(2.5)


def _figures(pdf: FPDF, result: Result, units: str) -> None:
    """Five key figures side by side, each with its band."""
    names = [name for name in FIGURES if name in result.summary]
    wide = WIDE / len(names)
    top = pdf.get_y()
    for place, name in enumerate(names):
        about = column(name)
        value, _, band = result.shown(units).summary(name).partition(" (")
        pdf.set_xy(MARGIN + wide * place, top)
        _ink(pdf, INK.quiet, 7)
        pdf.multi_cell(wide, 3.2, about.label, new_x="LEFT", new_y="NEXT", align="L")
        pdf.set_xy(MARGIN + wide * place, top + 6.6)
        _ink(pdf, INK.as_she_is.text, 13, "B")
        pdf.cell(wide, 6, value, new_x="LEFT", new_y="NEXT")
        _ink(pdf, INK.quiet, 7.5)
        pdf.cell(wide, 4, band.removesuffix(")"))
    pdf.set_xy(MARGIN, top + 18.5)


def _runs(pdf: FPDF, result: Result, units: str, letters: dict[str, str]) -> None:
    """The runs, with a column left empty for what was really used."""
    frame = result.tables["rows"]
    _ink(pdf, INK.quiet, 7, "B")
    pdf.set_draw_color(INK.quiet)
    pdf.set_line_width(0.2)
    top = pdf.get_y()
    heads = [
        *((head, _unit(name, units), wide) for name, head, wide in COLUMNS),
        (WRITE_IN, "", 14.0),
    ]
    at = MARGIN
    for head, unit, wide in heads:
        pdf.set_xy(at, top)
        pdf.multi_cell(
            wide,
            3.1,
            f"{head}\n{unit}".strip() if unit != head else head,
            align="L" if at == MARGIN else "R",
            new_y="TOP",
        )
        at += wide
    pdf.set_xy(MARGIN, top + 7.2)
    _rule(pdf, INK.quiet, 0.3)
    for row in range(min(len(frame), MOST_ROWS)):
        _run(pdf, result, units, row, letters)
    if len(frame) > MOST_ROWS:
        _ink(pdf, INK.quiet, 7.5)
        more = f"and {len(frame) - MOST_ROWS} more runs, not shown here: print the table too"
        pdf.cell(WIDE, 5, more, new_x="LMARGIN", new_y="NEXT")
    _ink(pdf, INK.quiet, 7)
    said = (
        "left then: usable fuel at the end of the run. at least, on gauge: what must be left there to finish with the"
        " reserve whole. With less than that, cut the trip short."
    )
    pdf.ln(0.8)
    pdf.multi_cell(WIDE, 3.2, said, new_x="LMARGIN", new_y="NEXT")
    pdf.ln(1.5)


def _run(pdf: FPDF, result: Result, units: str, row: int, letters: dict[str, str]) -> None:
    frame = result.tables["rows"]
    for name, _, wide in COLUMNS:
        about = column(name)
        if name == "run":
            _ink(pdf, INK.ink, 8)
            codes = str(frame["cautions"].iloc[row]).split()
            beside = " ".join(sorted(letters[code] for code in codes if code in letters))
            said = f"{_short(str(frame[name].iloc[row]), 24)}  {beside}"
            pdf.cell(wide, ROW, said)
            continue
        heavy = name in ("needed_m3", "gauge_needed")
        _ink(pdf, INK.changed.text if heavy else INK.ink, 8, "B" if heavy else "")
        text = show(float(frame[name].iloc[row]), about.kind, units, about.digits)
        pdf.cell(wide, ROW, "-" if text == "none" else _bare(text, units, name), align="R")
    status = str(frame["status"].iloc[row])
    _ink(pdf, INK.caution.text, 6.5, "B")
    pdf.cell(LOG_WIDE, ROW, "" if status == "ok" else _short(status, 11), border="B", align="R")
    pdf.ln(ROW)


def _unit(name: str, units: str) -> str:
    return unit_label(column(name).kind, units)


def _bare(text: str, units: str, name: str) -> str:
    return text.removesuffix(_unit(name, units)).rstrip()


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[:most].rstrip()}…"


# --- pictures -----------------------------------------------------------------------------------------


def _pictures(pdf: FPDF, result: Result, units: str) -> None:
    """The fuel line, and beside it how far out and back around the start."""
    from perf.faces.printed.paper import figure

    top = pdf.get_y()
    plot = next(plot for plot in result.plots if plot.key == "fuel_line")
    picture = io.BytesIO()
    figure(result, plot, units).savefig(picture, format="png", dpi=220)
    pdf.image(picture, x=MARGIN, y=top, w=LEFT_WIDE)
    if "around" in result.tables:
        draw_reach(pdf, result, units, (MARGIN + LEFT_WIDE + 6.0, top, RIGHT_WIDE))
    pdf.set_xy(MARGIN, top + 61.5)


# --- words --------------------------------------------------------------------------------------------


def _cautions(pdf: FPDF, result: Result, letters: dict[str, str]) -> None:
    """What limits the answer; the letters stand beside the runs they belong to."""
    _ink(pdf, INK.caution.text, 8, "B")
    pdf.cell(WIDE, 4.5, "Cautions", new_x="LMARGIN", new_y="NEXT")
    said = [
        f"{letters.get(code, '–')}  {sentence(code)}"
        for code in _grave_first(result.cautions, letters)
    ]
    size, line = _fitting(pdf, said)
    _ink(pdf, INK.ink, size)
    for words in said:
        pdf.multi_cell(WIDE, line, words, align="L", new_x="LMARGIN", new_y="NEXT")


def _fitting(pdf: FPDF, said: Sequence[str]) -> tuple[float, float]:
    """Letters and their line height [points, mm]: the largest that leave room for the log, or for the foot."""
    heights = []
    for size, line in LETTERS:
        _ink(pdf, INK.ink, size)
        broken = (
            pdf.multi_cell(WIDE, line, words, align="L", dry_run=True, output="LINES")
            for words in said
        )
        heights.append(line * sum(len(cast("list[str]", each)) for each in broken))
    begins = pdf.get_y()
    for ends in (pdf.h - LOG_HIGH - 1.0, pdf.h - FOOT_HIGH - 1.0):
        for letters, height in zip(LETTERS, heights, strict=True):
            if begins + height <= ends:
                return letters
    return LETTERS[-1]


def _log(pdf: FPDF) -> None:
    """A box to write down what really happened, where there is room for it."""
    top = pdf.h - LOG_HIGH
    if pdf.get_y() > top:
        return
    pdf.set_xy(MARGIN, top)
    _rule(pdf, INK.quiet, 0.3)
    _ink(pdf, INK.quiet, 8, "B")
    pdf.ln(1.5)
    pdf.cell(WIDE, 5, "Log: what really happened", new_x="LMARGIN", new_y="NEXT")
    _ink(pdf, INK.quiet, 8)
    for asked in LOGGED:
        pdf.cell(WIDE / 2, 8, f"{asked}  {'_' * 24}")
        if asked in LOGGED[1::2]:
            pdf.ln(8)


def _grave_first(codes: Sequence[str], letters: dict[str, str]) -> list[str]:
    grave = [c for c in ("runs_dry", "reserve_broken", "no_headway") if c in codes or c in letters]
    rest = [c for c in (*letters, *codes) if c not in grave]
    return list(dict.fromkeys([*grave, *rest]))


def _foot(pdf: FPDF, result: Result) -> None:
    draws = result.doubt.get("draws")
    sure = f"bands: 10 to 90 % of {draws} draws" if draws else "no bands were drawn"
    _ink(pdf, INK.quiet, 6.5)
    pdf.set_xy(MARGIN, pdf.h - FOOT_HIGH)
    said = f"Overhump, results {result.results_version}; {sure}. An estimate, not a promise."
    pdf.cell(WIDE, 4, said)
