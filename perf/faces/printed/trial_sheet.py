"""The sheet of a sea trial, to be taken aboard: the runs that teach most with room to write, what to note, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from fpdf.enums import XPos, YPos

from perf.base.cautions import sentence
from perf.base.files import write_whole
from perf.base.results import Result
from perf.base.units import show, unit_label
from perf.boat.learned import counted_in
from perf.faces.printed.sheet import FONT, INK, Sheet

ROW_MM = 7.2
NOTE_MM = 5.5
HEAD_MM = 4.0
CONDITIONS = (
    ("date, place", "skipper, who writes"),
    ("wind: from, how strong", "sea, swell"),
    ("tide or current", "water temperature"),
    ("people aboard, where they sit", "gear, ice, water aboard"),
    ("fuel aboard at the start", "filled up with afterward"),
    ("engine hours", "propeller: stamp, damage"),
    ("bottom: last cleaned, growth", "tabs, drive trim used"),
)
STEPS = (
    "Deep, open water with room on every side, no one in the way, everybody seated, kill cord on.",
    "Set the throttle, trim for the best run, let her settle, then hold it half a minute.",
    "Read rpm, speed by satellite and burn; turn round and run the same rpm back. Both readings go on one line.",
    "Keep people and fuel where they are from run to run, or write the change beside it.",
    "A run at full throttle is worth most: only in flat water, and only as long as the reading takes.",
)
BLANKS = ("rpm out", "rpm back", "speed out", "speed back", "burn out", "burn back", "trim, notes")
GIVEN_MM = (36.0, 14.0, 12.0, 14.0)  # run and load, speed, rpm, burn
MARKS = ("transom, port", "transom, starboard", "bow, port", "bow, starboard")
MARK_BLANKS = ("forward of the transom", "above the keel", "over the water")


def save_trial_sheet(result: Result, path: str | Path, units: str) -> None:
    """Write the sheet of a plan as .pdf.

    Raises
    ------
    ValueError
        For another ending, or a result that is no plan of a trial.
    OSError
        If the file cannot be written.
    """
    if Path(path).suffix.lower() != ".pdf":
        raise ValueError("the sheet of a trial is saved as .pdf")
    write_whole(path, trial_sheet(result, units))


def trial_sheet(result: Result, units: str) -> bytes:
    """The sheet of a plan as the bytes of a PDF; ValueError for a result that is no plan of a trial."""
    if result.kind != "trial plan":
        raise ValueError(f"a trial sheet shows the plan of a trial, not {result.kind}")
    page = Sheet(f"Sea trial: {result.boat}", "Overhump, sheet of a sea trial", units)
    page.words(result.shown(units).answer, 9, after=0.5)
    for note in counted_in(result.notes):
        page.words(note, 7.5, after=0.5)
    page.cautions([sentence(code) for code in ("weather",)])
    page.section("The runs, load by load; number 1 teaches most")
    _runs(page, result, units)
    page.section("What to note, once")
    _pairs_of_blanks(page)
    page.section("How to run them")
    for place, step in enumerate(STEPS, start=1):
        page.words(f"{place}. {step}", 8.5, after=0.2)
    page.section("Weigh her by tape, lying still, at a load that is known")
    _marks(page, units)
    page.words(
        f"Back at the dock: overhump trial BOAT LOG. The log is a table with a line of headings, such as"
        f" rpm, speed ({unit_label('speed', units)}), fuel ({unit_label('fuel flow', units)}), direction,"
        " load, throttle.",
        8,
    )
    return page.bytes()


def _runs(page: Sheet, result: Result, units: str) -> None:
    """A line for each run: what to expect, then room for what was read."""
    heads = (
        "load, run",
        f"speed about, {unit_label('speed', units)}",
        "rpm about",
        f"burn about, {unit_label('fuel flow', units)}",
        *BLANKS,
    )
    room = (page.epw - sum(GIVEN_MM)) / (len(BLANKS) + 0.7)
    widths = (*GIVEN_MM, *(room for _ in BLANKS[1:]), 1.7 * room)
    _heads(page, heads, widths)
    rows = result.tables["rows"]
    by_load = rows.sort_values(["load", "speed_mps"], kind="stable")
    for row in by_load.to_dict("records"):
        given = (
            f"{row['load']}, {row['plan_run']}",
            _bare(float(row["speed_mps"]), "speed", units, 0),
            _bare(float(row["expected_rpm"]), "rotation", units, 0),
            _bare(float(row["expected_fuel_lph"]), "fuel flow", units, 1),
        )
        _line(page, given, widths)
    _line(page, ("", "", "", ""), widths)


def _bare(value: float, kind: str, units: str, digits: int) -> str:
    return show(value, kind, units, digits).removesuffix(unit_label(kind, units)).rstrip()


def _heads(page: Sheet, heads: Sequence[str], widths: Sequence[float]) -> None:
    page.set_font(FONT, "", 6.8)
    page.set_text_color(INK.quiet)
    top, low = page.get_y(), page.get_y()
    left = page.l_margin
    for head, wide in zip(heads, widths, strict=True):
        page.set_xy(left, top)
        page.multi_cell(wide, HEAD_MM * 0.8, head, align="L")
        left, low = left + wide, max(low, page.get_y())
    page.set_xy(page.l_margin, low + 0.5)
    page.set_text_color(INK.ink)


def _line(page: Sheet, given: Sequence[str], widths: Sequence[float]) -> None:
    """One row with its printed cells and empty boxes after them."""
    page.set_font(FONT, "B", 8)
    for text, wide in zip(given, widths, strict=False):
        page.cell(wide, ROW_MM, _short(page, text, wide), border="B")
    for wide in widths[len(given) :]:
        page.cell(wide, ROW_MM, "", border=1)
    page.ln(ROW_MM)


def _short(page: Sheet, text: str, wide: float) -> str:
    """Text cut to its cell."""
    while text and page.get_string_width(text) > wide - 1.5:
        text = f"{text.removesuffix('…')[:-1]}…"
    return text


def _pairs_of_blanks(page: Sheet) -> None:
    half = page.epw / 2.0
    for pair in CONDITIONS:
        for words in pair:
            page.set_font(FONT, "", 8)
            label = page.get_string_width(words) + 2.0
            page.cell(label, NOTE_MM, words)
            page.cell(half - label - 4.0, NOTE_MM, "", border="B")
            page.cell(4.0, NOTE_MM, "")
        page.ln(NOTE_MM)


def _marks(page: Sheet, units: str) -> None:
    label = (page.epw - 42.0) / len(MARK_BLANKS)
    widths = (42.0, *(label for _ in MARK_BLANKS))
    _heads(page, ("mark", *MARK_BLANKS), widths)
    for mark in MARKS:
        page.set_font(FONT, "", 8)
        page.cell(widths[0], NOTE_MM, mark, border="B")
        for wide in widths[1:]:
            page.cell(wide, NOTE_MM, "", border=1)
        page.ln(NOTE_MM)
    page.cell(0, 1.5, "", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
