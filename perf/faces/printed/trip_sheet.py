"""A trip on one printed page: the answer, run by run with room to write, the fuel line, the reach, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from perf.base.bands import about_measured
from perf.base.cautions import sentence
from perf.base.columns import column
from perf.base.files import write_whole
from perf.base.results import Result
from perf.base.units import show, unit_label
from perf.boat.learned import counted_in
from perf.faces.printed import paper
from perf.faces.printed.scale import (
    BODY,
    FIGURE,
    FINE,
    GAP_MM,
    HAIR_MM,
    HEAVY_RULE_MM,
    LEAST,
    ROW_MM,
    SMALL,
    SPACE_MM,
    TINY,
    WRITE_MM,
    Type,
)
from perf.faces.printed.sheet import INK, Sheet
from perf.faces.printed.trip_sheet_reach import draw_reach
from perf.faces.text.tables import letters_of

MOST_ROWS = 12
LETTERS = (FINE, LEAST, TINY)  # sizes of the cautions
FIGURES = (
    "trip_fuel_m3",
    "trip_time_s",
    "arrival_fuel_m3",
    "kept_back_m3",
    "chance_reserve_broken",
)
COLUMNS: tuple[tuple[str, str], ...] = (
    ("run", "run"),
    ("run_distance_m", "distance"),
    ("run_speed_mps", "speed"),
    ("engine_rpm", "rpm"),
    ("duration_s", "time"),
    ("fuel_m3", "fuel"),
    ("fuel_left_m3", "left then"),
    ("needed_m3", "at least"),
    ("gauge_needed", "on gauge"),
)
WRITE_IN = "really used"
COLUMN_MM, REACH_MM = 15.0, 56.0
LOG_MM = 32.0  # height of the log
LOGGED = (
    ("filled up with", "hours on the engine"),
    ("wind and sea met", "people aboard"),
    ("filled up with after", "distance run"),
)


def save_sheet(result: Result, path: str | Path, units: str) -> None:
    """Write the sheet of a trip as a one-page PDF; ValueError for another ending or another kind of result."""
    if Path(path).suffix.lower() != ".pdf":
        raise ValueError("a trip sheet is saved as .pdf")
    write_whole(path, sheet(result, units))


def sheet(result: Result, units: str) -> bytes:
    """The sheet of a trip as the bytes of a PDF of one page; ValueError for another kind of result."""
    if result.kind != "trip":
        raise ValueError(f"a trip sheet shows a trip, not {result.kind}")
    page = Sheet(str(result.inputs["trip"]), _foot(result), units, pages=1)
    _head(page, result)
    _answer(page, result, units)
    _figures(page, result, units)
    letters = letters_of(result.tables["rows"])
    _runs(page, result, units, letters)
    _pictures(page, result, units)
    _cautions(page, result, letters)
    _log(page)
    return page.bytes()


def _foot(result: Result) -> str:
    draws = result.doubt.get("draws")
    held = f"bands: 10 to 90 % of {draws} draws, {about_measured()} measured figures (How sure)"
    sure = held if draws else "no bands were drawn"
    return f"Overhump, results {result.results_version}; {sure}. An estimate, not a promise."


def _head(page: Sheet, result: Result) -> None:
    half = page.epw / 2
    page.ink(BODY, INK.quiet)
    page.cell(half, ROW_MM, page.fit(f"{result.boat}, loaded as {result.inputs['load']}", half))
    page.cell(half, ROW_MM, "date ____________  skipper ________________", align="R")
    page.ln(WRITE_MM)
    page.rule(INK.as_she_is.line, HEAVY_RULE_MM)
    page.ln(GAP_MM)


def _answer(page: Sheet, result: Result, units: str) -> None:
    first, colon, rest = result.shown(units).answer.partition(": ")
    tone = INK.as_she_is.text if first == "Enough" else INK.changed.text
    page.headline(first, after=0.0, color=tone)
    page.words(f"{rest[:1].upper()}{rest[1:]}" if colon else "", after=0.0)
    for note in counted_in(result.notes):
        page.words(note, FINE, after=0.0, color=INK.quiet)
    page.ln(SPACE_MM)


def _figures(page: Sheet, result: Result, units: str) -> None:
    """Five key figures side by side, each with its band."""
    names = [name for name in FIGURES if name in result.summary]
    widths = [page.epw / len(names) for _ in names]
    said = [result.shown(units).summary(name).partition(" (") for name in names]
    page.ink(FINE, INK.quiet)
    page.abreast([column(name).label for name in names], widths, FINE)
    page.ink(FIGURE, INK.as_she_is.text, bold=True)
    page.abreast([value for value, _, _ in said], widths, FIGURE)
    page.ink(FINE, INK.quiet)
    page.abreast([band.removesuffix(")") for _, _, band in said], widths, FINE)
    page.ln(SPACE_MM)


def _runs(page: Sheet, result: Result, units: str, letters: dict[str, str]) -> None:
    """The runs, with a column left empty for what was really used."""
    frame = result.tables["rows"]
    heads = [f"{head}\n{_beside(name, head, units)}".strip() for name, head in COLUMNS]
    others = [COLUMN_MM for _ in COLUMNS]  # one of them is the column to write in
    widths = [page.epw - sum(others), *others]
    page.ink(FINE, INK.quiet, bold=True)
    page.abreast([*heads, WRITE_IN], widths, FINE, "LR")
    page.rule()
    page.ln(HAIR_MM)
    for row in range(min(len(frame), MOST_ROWS)):
        _run(page, result, units, row, letters, widths[0])
    if len(frame) > MOST_ROWS:
        more = f"and {len(frame) - MOST_ROWS} more runs, not shown here: print the table too"
        page.words(more, FINE, after=0.0, color=INK.quiet)
    page.ln(1.0)
    page.words(
        "left then: usable fuel at the end of the run. at least, on gauge: what must be left there to finish with the"
        " reserve whole. With less than that, cut the trip short.",
        FINE,
        after=GAP_MM,
        color=INK.quiet,
    )


def _run(
    page: Sheet, result: Result, units: str, row: int, letters: dict[str, str], first: float
) -> None:
    at = result.tables["rows"].iloc[row]
    page.ink(SMALL)
    beside = " ".join(sorted(letters[c] for c in str(at["cautions"]).split() if c in letters))
    signs = page.get_string_width(f"  {beside}")
    page.cell(first, ROW_MM, f"{page.fit(str(at['run']), first - signs)}  {beside}")
    for name, _ in COLUMNS[1:]:
        heavy = name in ("needed_m3", "gauge_needed")
        page.ink(SMALL, INK.changed.text if heavy else INK.ink, bold=heavy)
        about = column(name)
        text = show(float(at[name]), about.kind, units, about.digits)
        bare = text.removesuffix(unit_label(about.kind, units)).rstrip()
        page.cell(COLUMN_MM, ROW_MM, "-" if text == "none" else bare, align="R")
    status = str(at["status"])
    page.ink(LEAST, INK.caution.text, bold=True)
    said = "" if status == "ok" else page.fit(status, COLUMN_MM)
    page.cell(COLUMN_MM, ROW_MM, said, border="B", align="R")
    page.ln(ROW_MM)


def _beside(name: str, head: str, units: str) -> str:
    """The unit under a heading, unless it says the same."""
    unit = unit_label(column(name).kind, units)
    return "" if unit == head else unit


def _pictures(page: Sheet, result: Result, units: str) -> None:
    """The fuel line, and beside it how far out and back around the start."""
    top = page.get_y()
    plot = next(plot for plot in result.plots if plot.key == "fuel_line")
    wide = page.epw - REACH_MM - SPACE_MM
    drawn = paper.figure(result, plot, units)
    low = page.set_picture(drawn, plot.title, page.l_margin, wide)
    if "around" in result.tables:
        draw_reach(page, result, units, (page.w - page.r_margin - REACH_MM, top, REACH_MM))
    page.set_y(max(low, page.get_y()))


def _cautions(page: Sheet, result: Result, letters: dict[str, str]) -> None:
    """What limits the answer; the letters stand beside the runs they belong to."""
    page.words("Cautions", SMALL, bold=True, after=0.0, color=INK.caution.text)
    said = [
        f"{letters.get(code, '–')}  {sentence(code)}"
        for code in _grave_first(result.cautions, letters)
    ]
    size = _fitting(page, said)
    for words in said:
        page.words(words, size, after=0.0)


def _fitting(page: Sheet, said: Sequence[str]) -> Type:
    """The largest letters that leave room for the log, or for the foot."""
    for log in (LOG_MM, 0.0):
        for size in LETTERS:
            if page.high(said, size) + log <= page.room_mm:
                return size
    return LETTERS[-1]


def _log(page: Sheet) -> None:
    """A box to write down what really happened, at the foot, where there is room for it."""
    if page.room_mm < LOG_MM:
        return
    page.ln(page.room_mm - LOG_MM)
    page.rule()
    page.ln(GAP_MM)
    page.words("Log: what really happened", SMALL, bold=True, after=0.0, color=INK.quiet)
    for pair in LOGGED:
        page.blanks(pair, WRITE_MM)


def _grave_first(codes: Sequence[str], letters: dict[str, str]) -> list[str]:
    grave = [c for c in ("runs_dry", "reserve_broken", "no_headway") if c in codes or c in letters]
    rest = [c for c in (*letters, *codes) if c not in grave]
    return list(dict.fromkeys([*grave, *rest]))
