"""The sheet of a sea trial, to be taken aboard: the runs that teach most with room to write, what to note, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from perf.base.cautions import sentence
from perf.base.files import write_whole
from perf.base.results import Result
from perf.base.units import show, unit_label
from perf.boat.learned import counted_in
from perf.faces.printed.scale import FINE, GAP_MM, HAIR_MM, LABEL_MM, ROW_MM, SMALL, WRITE_MM
from perf.faces.printed.sheet import INK, Sheet

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
RUN_MM, GIVEN_MM = 36.0, 13.0  # run and load; speed, rpm and burn about
NOTES_WIDE = 1.7  # of the last blank, the others being one
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
    page.words(result.shown(units).answer, after=HAIR_MM)
    for note in counted_in(result.notes):
        page.words(note, FINE, after=HAIR_MM)
    page.cautions([sentence(code) for code in ("weather",)])
    page.section("The runs, load by load; number 1 teaches most")
    _runs(page, result, units)
    page.section("What to note, once")
    for pair in CONDITIONS:
        page.blanks(pair, ROW_MM)
    page.section("How to run them")
    for place, step in enumerate(STEPS, start=1):
        page.words(f"{place}. {step}", SMALL, after=HAIR_MM)
    page.section("Weigh her by tape, lying still, at a load that is known")
    _marks(page)
    page.words(
        f"Back at the dock: overhump trial BOAT LOG. The log is a table with a line of headings, such as"
        f" rpm, speed ({unit_label('speed', units)}), fuel ({unit_label('fuel flow', units)}), direction,"
        " load, throttle.",
        SMALL,
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
    shares = [*(1.0 for _ in BLANKS[1:]), NOTES_WIDE]
    given = [RUN_MM, GIVEN_MM, GIVEN_MM, GIVEN_MM]
    each = (page.epw - sum(given)) / sum(shares)
    widths = [*given, *(each * share for share in shares)]
    _heads(page, heads, widths)
    rows = result.tables["rows"]
    by_load = rows.sort_values(["load", "speed_mps"], kind="stable")
    for row in by_load.to_dict("records"):
        said = (
            f"{row['load']}, {row['plan_run']}",
            _bare(float(row["speed_mps"]), "speed", units, 0),
            _bare(float(row["expected_rpm"]), "rotation", units, 0),
            _bare(float(row["expected_fuel_lph"]), "fuel flow", units, 1),
        )
        _line(page, said, widths, WRITE_MM, bold=True)
    _line(page, [""] * len(given), widths, WRITE_MM)


def _bare(value: float, kind: str, units: str, digits: int) -> str:
    return show(value, kind, units, digits).removesuffix(unit_label(kind, units)).rstrip()


def _heads(page: Sheet, heads: Sequence[str], widths: Sequence[float]) -> None:
    page.ink(FINE, INK.quiet)
    page.abreast(heads, widths, FINE)
    page.ln(HAIR_MM)


def _line(
    page: Sheet, given: Sequence[str], widths: Sequence[float], high: float, *, bold: bool = False
) -> None:
    """One row with its printed cells and empty boxes after them."""
    page.ink(SMALL, bold=bold)
    for text, wide in zip(given, widths, strict=False):
        page.cell(wide, high, page.fit(text, wide), border="B")
    for wide in widths[len(given) :]:
        page.cell(wide, high, "", border=1)
    page.ln(high)


def _marks(page: Sheet) -> None:
    each = (page.epw - LABEL_MM) / len(MARK_BLANKS)
    widths = (LABEL_MM, *(each for _ in MARK_BLANKS))
    _heads(page, ("mark", *MARK_BLANKS), widths)
    for mark in MARKS:
        _line(page, [mark], widths, ROW_MM)
    page.ln(GAP_MM)
