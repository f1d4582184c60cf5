"""The customer's report: answers first, then pictures, tables, what could be wrong, where it comes from."""

from __future__ import annotations

from collections.abc import Sequence

from perf.base.assumptions import Assumption
from perf.base.cautions import sentence
from perf.base.results import Result, Shown
from perf.base.sources import SOURCES
from perf.base.units import show, show_difference
from perf.faces.paper import figure
from perf.faces.sheet import Sheet

HEADINGS = {
    "speeds": "How she runs",
    "mount": "Hanging the engine",
    "repower": "Choosing an engine",
    "trip": "The trip",
    "trial": "The sea trial",
}
MOST_PLOTS = 3
TABLE_COLUMNS = (
    "speed_mps",
    "trim_deg",
    "engine_rpm",
    "throttle",
    "fuel_lph",
    "mileage_m_per_l",
    "range_m",
)
EVERY = 2  # rows of the speed table skipped between two printed


def report_bytes(results: Sequence[Result], units: str, title: str = "") -> bytes:
    """One PDF of several results about one boat, in one system of units.

    Raises
    ------
    ValueError
        If there is no result.
    """
    if not results:
        raise ValueError("a report needs at least one result")
    first = results[0]
    name = title or f"{first.boat}: what to expect"
    sheet = Sheet(
        name, f"{first.boat}, results version {first.results_version}, an estimate", units
    )
    for result in results:
        sheet.words(result.shown(units).answer, 11.5, after=2.0)
    every = _codes(results)
    sheet.cautions([sentence(code) for code in every])
    for result in results:
        _study(sheet, result.shown(units))
    _doubt(sheet, results)
    _assumptions(sheet, results, units)
    _sources(sheet, results)
    return sheet.bytes()


def _codes(results: Sequence[Result]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(code for result in results for code in result.cautions))


def _study(sheet: Sheet, shown: Shown) -> None:
    result = shown.result
    sheet.section(HEADINGS.get(result.kind, result.kind))
    figures = [name for name in result.summary if _is_figure(result, name)]
    if figures:
        from perf.base.columns import column

        sheet.pairs([(column(name).label, shown.summary(name)) for name in figures])
        sheet.ln(1.5)
    for plot in result.plots[:MOST_PLOTS]:
        sheet.picture(figure(result, plot, shown.units), plot.title)
    _rows(sheet, shown)


def _is_figure(result: Result, name: str) -> bool:
    from perf.base.columns import known

    ending = name.endswith(("_p10", "_p90"))
    return not ending and known(name) and isinstance(result.summary[name], int | float)


def _rows(sheet: Sheet, shown: Shown) -> None:
    rows = shown.result.tables.get("rows")
    if rows is None or "speed_mps" not in rows.columns:
        return
    names = tuple(name for name in TABLE_COLUMNS if name in rows.columns)
    from perf.base.columns import column
    from perf.base.results import heading_of

    cells = []
    for _, row in rows.iloc[::EVERY].iterrows():
        if not (row["status"] == "ok" if "status" in rows.columns else True):
            continue
        cells.append(
            [show(float(row[n]), column(n).kind, shown.units, column(n).digits) for n in names]
        )
    sheet.grid([heading_of(n, shown.units) for n in names], cells, [1.0] * len(names))


def _doubt(sheet: Sheet, results: Sequence[Result]) -> None:
    sheet.section("What could be wrong")
    for result in results:
        doubt = result.doubt
        if doubt.get("draws"):
            sheet.words(
                f"{HEADINGS.get(result.kind, result.kind)}: worked out {doubt['draws']} times with everything that is "
                f"not known for sure drawn anew; in brackets stand the {doubt['band']}."
            )
        outside = doubt.get("outside")
        if outside:
            sheet.words(f"Not in the bands: {', '.join(outside)}.")


def _assumptions(sheet: Sheet, results: Sequence[Result], units: str) -> None:
    every: dict[str, Assumption] = {}
    for result in results:
        every |= {a.name: a for a in result.assumptions}
    if not every:
        return
    sheet.section("Assumed, where nobody said")
    rows = []
    for a in every.values():
        value = show(a.value, a.kind, units, 2)
        spread = (
            f"{value} ± {show_difference(a.half_width, a.kind, units, 2)}"
            if a.half_width
            else value
        )
        rows.append([a.sentence, spread, a.basis.value])
    sheet.grid(["what", "value", "how it is known"], rows, [3.4, 1.1, 1.1])


def _sources(sheet: Sheet, results: Sequence[Result]) -> None:
    keys = tuple(dict.fromkeys(key for result in results for key in result.sources))
    sheet.section("Where it comes from")
    for key in keys:
        sheet.words(SOURCES[key].text, 7.5, after=0.3)
