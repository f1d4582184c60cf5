"""The customer's report: answers first, then pictures, tables, what could be wrong, where it comes from."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence

from perf.base.assumptions import Assumption
from perf.base.bands import OF_DRAWS, fell_inside, measured_bands
from perf.base.columns import column, known
from perf.base.results import Result, Shown
from perf.base.sources import SOURCES
from perf.base.units import show
from perf.boat.learned import counted_in
from perf.faces.printed.paper import figure
from perf.faces.printed.scale import FINE, GAP_MM, HAIR_MM, HEADING, SPACE_MM
from perf.faces.printed.sheet import KEPT_MM, Sheet
from perf.faces.printed.side_view_paper import drawn
from perf.studies.mount.drawing_parts import Drawing

HEADINGS = {
    "speeds": "How she runs",
    "mount": "Hanging the engine",
    "repower": "Choosing an engine",
    "trip": "The trip",
    "trial": "The sea trial",
    "tabs": "Trim tabs",
}
SHAPE = "Her shape, as worked with"
MOST_PLOTS = 3
# of the candidates: printed with bands, where money was stated
MONEY = ("candidate", "first_cost", "payback_years", "net_present_value", "cost_per_trip")
NAN, NONE = float("nan"), "none"
WIDE, WIDEST = 1.8, 3.0  # of a column of words, of sentences, a column of figures being one
# by study: table, columns printed, and every how many rows
TABLES: dict[str, tuple[tuple[str, tuple[str, ...], int], ...]] = {
    "speeds": (
        (
            "rows",
            (
                "speed_mps",
                "trim_deg",
                "engine_rpm",
                "throttle",
                "fuel_lph",
                "mileage_m_per_l",
                "range_m",
            ),
            2,
        ),
    ),
    "mount": (
        (
            "with_without",
            ("hung", "top_speed_mps", "time_to_plane_s", "hump_margin", "mileage_m_per_l"),
            1,
        ),
        ("at_rest", ("hung", "load", "draught_m", "static_trim_deg", "scupper_height_m"), 1),
        (
            "transom_load",
            ("case", "full_thrust_n", "hung_weight_n", "transom_moment_nm", "bolt_pull_n"),
            1,
        ),
    ),
    "repower": (
        (
            "candidates",
            ("candidate", "propeller", "will_plane", "hump_margin_n", "top_speed_mps"),
            1,
        ),
        ("candidates", MONEY, 1),
        ("rules", ("candidate", "rule", "applies", "says"), 1),
        ("season", ("candidate", "run", "load", "run_hours_s", "season_fuel_m3"), 1),
    ),
    "trip": (
        (
            "rows",
            ("run", "run_distance_m", "run_speed_mps", "duration_s", "fuel_m3", "fuel_left_m3"),
            1,
        ),
    ),
}


def report_bytes(
    results: Sequence[Result], units: str, title: str = "", drawings: Sequence[Drawing] = ()
) -> bytes:
    """One PDF of several results about one boat, in one system of units.

    drawings : her shape, printed after the studies.

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
        sheet.words(result.shown(units).answer, HEADING, after=GAP_MM)
    for note in dict.fromkeys(note for result in results for note in counted_in(result.notes)):
        sheet.words(note)
    said: set[str] = set()
    for result in results:
        _study(sheet, result.shown(units), [code for code in result.cautions if code not in said])
        said |= set(result.cautions)
    _shape(sheet, drawings, units)
    _doubt(sheet, results)
    _assumptions(sheet, results, units)
    _sources(sheet, results)
    return sheet.bytes()


def _study(sheet: Sheet, shown: Shown, codes: Sequence[str]) -> None:
    """Figures, cautions not yet printed, pictures and tables of one result."""
    result = shown.result
    figures = [name for name in result.summary if _is_figure(result, name)]
    rows = [(column(name).label, shown.summary(name)) for name in figures]
    sheet.section(HEADINGS.get(result.kind, result.kind), KEPT_MM + sheet.pairs_mm(rows))
    if rows:
        sheet.pairs(rows)
        sheet.ln(GAP_MM)
    sheet.cautions([result.caution(code) for code in codes])
    sheet.ln(GAP_MM)
    for plot in result.plots[:MOST_PLOTS]:
        sheet.picture(figure(result, plot, shown.units), plot.title)
    for name, columns, every in TABLES.get(result.kind, ()):
        _table(sheet, shown, name, columns, every)


def _shape(sheet: Sheet, drawings: Sequence[Drawing], units: str) -> None:
    """Her shape as worked with, each drawing to scale."""
    for one in drawings:
        picture = drawn([one], units)
        if one is drawings[0]:
            sheet.section(SHAPE, KEPT_MM + sheet.picture_mm(picture))
        sheet.picture(picture, f"{one.title}: {one.about}")


def _is_figure(result: Result, name: str) -> bool:
    ending = name.endswith(("_p10", "_p90"))
    return not ending and known(name) and isinstance(result.summary[name], int | float)


def _table(sheet: Sheet, shown: Shown, name: str, columns: tuple[str, ...], every: int) -> None:
    """One table of a result, rows without a number left out."""
    rows = shown.result.tables.get(name)
    if rows is None or rows.empty or (columns == MONEY and shown.result.tables["money"].empty):
        return
    if "status" in rows.columns:
        rows = rows[rows["status"].isin(("ok", ""))]
    names = [column for column in columns if column in rows.columns]
    records = rows.iloc[::every].to_dict("records")
    said = _banded if columns == MONEY else _alone
    cells = [[said(row, n, shown.units) for n in names] for row in records]
    if columns == MONEY:
        sheet.together(KEPT_MM)
        sheet.words(_over_money(shown.result), after=HAIR_MM)
    wide = [WIDE if column(n).kind == "text" else 1.0 for n in names]
    sheet.grid([column(n).label for n in names], cells, wide)
    sheet.ln(SPACE_MM)


def _over_money(result: Result) -> str:
    coin, years = result.inputs["currency"] or "money", result.inputs["years"]
    return (
        f"Money, in {coin}, over {years} years, against keeping her as she is; in brackets, eight "
        "in ten of our own draws."
    )


def _alone(row: Mapping[Hashable, object], name: str, units: str) -> str:
    return _cell(row[name], name, units)


def _banded(row: Mapping[Hashable, object], name: str, units: str) -> str:
    """A figure with its band in brackets, where it has one."""
    text = _cell(row[name], name, units)
    if column(name).kind == "text":
        return text
    edges = [_cell(row.get(name + end, NAN), name, units) for end in ("_p10", "_p90")]
    if NONE in edges:  # never in some of the draws
        return text if edges == [NONE, NONE] else f"{text} ({edges[0]} or longer)"
    return f"{text} ({edges[0]} to {edges[1]})"


def _cell(value: object, name: str, units: str) -> str:
    about = column(name)
    if about.kind == "text" or isinstance(value, str):
        return str(value)
    return show(float(str(value)), about.kind, units, about.digits)


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
    for bands in dict.fromkeys(measured_bands(r.kind) for r in results if r.doubt.get("draws")):
        sheet.words(f"A band holds {OF_DRAWS}, which is not the truth: {fell_inside(bands)}.")


def _assumptions(sheet: Sheet, results: Sequence[Result], units: str) -> None:
    every: dict[str, Assumption] = {}
    for result in results:
        every |= {a.name: a for a in result.assumptions}
    if not every:
        return
    sheet.section("Assumed, where nobody said")
    rows = []
    for a in every.values():
        rows.append([a.sentence, a.said(units), a.basis.value])
    sheet.grid(["what", "value", "how it is known"], rows, [WIDEST, 1.0, 1.0])


def _sources(sheet: Sheet, results: Sequence[Result]) -> None:
    keys = tuple(dict.fromkeys(key for result in results for key in result.sources))
    sheet.section("Where it comes from")
    for key in keys:
        sheet.words(SOURCES[key].text, FINE, after=HAIR_MM)
