"""The evidence command: how sure it is, evidence and calibration in two tables."""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from perf.base.units import show
from perf.faces.text.lines import aligned, filled

if TYPE_CHECKING:
    import pandas as pd

    from perf.base.results import Result

NONE = "-"
SAID = {True: "in", False: "out"}


def evidence_options(parser: argparse.ArgumentParser) -> None:
    """Short or long."""
    parser.add_argument(
        "--long",
        action="store_true",
        help="ten times the draws, 500 simulated trials, every law and combination; some minutes",
    )


def evidence(asked: argparse.Namespace) -> int:
    """Work out the evidence and show it; 1 when a law fails one of its published rows."""
    from perf.studies.evidence.study import evidence as worked_out

    result = worked_out(asked.long)
    if asked.format == "json":
        sys.stdout.write(result.as_json(asked.units) + "\n")
    elif asked.format == "csv":
        sys.stdout.write(_csv(result))
    else:
        sys.stdout.write(evidence_text(result, asked.units, asked.long, asked.quiet))
    return 1 if result.summary["law_checks_failing"] else 0


def _csv(result: Result) -> str:
    import pandas as pd

    parts = [
        result.tables[name].assign(table=name).astype(object)
        for name in ("evidence", "calibration")
    ]
    both = pd.concat(parts, ignore_index=True)
    names = ["table", *(name for name in both.columns if name != "table")]
    return str(both[names].to_csv(index=False, lineterminator="\n"))


def evidence_text(result: Result, units: str, long: bool = False, quiet: bool = False) -> str:
    """The evidence as text; long adds every law and every combination of methods."""
    tables = result.tables
    held, used = tables["evidence"], tables["calibration"]
    worked = used[used["kind"].notna()]
    boats = held["length_m"].notna()
    blocks = [
        filled(result.shown(units).answer),
        _weak(result, units),
        _titled("By figure", _figures(tables["by_figure"])),
    ]
    if not quiet:
        blocks += [
            _titled("Evidence: whole boats that nothing was tuned to", _rows(held[boats], units)),
            _titled("Evidence: methods by themselves", _methods(held[~boats], units)),
            _titled("Calibration: no evidence", _rows(worked, units)),
            _titled(
                "Calibration: what else was tuned to or in view", _used(used[used["kind"].isna()])
            ),
            _titled(
                "What a choice of method is worth, mean size of error", _choices(tables["choices"])
            ),
            _titled(
                "Sea trials, asked blind: fitted on a part, asked for the rest (mean size of error)",
                _lines(TRIAL_HEAD, trial_cells(tables["trials_in_short"])),
            ),
            _titled(
                "Sea trials, boat by boat",
                _lines(QUESTION_HEAD, question_cells(tables["trials"])),
            ),
            _titled(
                coverage_said(tables["trial_coverage"]),
                _lines(COVERAGE_HEAD, coverage_cells(tables["trial_coverage"])),
            ),
            _titled("Held back and not worked out", _words(tables["not_scored"], ("set", "note"))),
        ]
    if long:
        blocks += [
            _titled("Every combination of methods", _choices(tables["combinations"])),
            _titled("Every law with its checks", _laws(tables["laws"])),
            _titled(
                "Rests on memory, practice or our judgement",
                _words(tables["recalled"], ("what", "name", "basis", "said")),
            ),
        ]
    return "\n\n".join(blocks) + "\n"


def _each(frame: pd.DataFrame) -> list[Any]:
    from perf.studies.evidence.how_sure import each  # late, so that other commands start without it

    return each(frame)


def _weak(result: Result, units: str) -> str:
    from perf.studies.evidence.in_short import weak_points  # late, as in _each

    return "\n".join(filled(said) for said in weak_points(result, units))


def _titled(title: str, body: str) -> str:
    return f"{title}\n{body}"


def _share(value: object) -> str:
    if not isinstance(value, float) or not math.isfinite(value):
        return NONE
    return show(value, "share", "us", 2)


def _value(value: float, kind: str, units: str) -> str:
    if not math.isfinite(value):
        return NONE
    return (
        f"{value:.3g}"
        if kind == "ratio"
        else show(value, kind, units, 0 if kind == "rotation" else 1)
    )


def _span(low: float, high: float, kind: str, units: str) -> str:
    if low == high:
        return _value(low, kind, units)
    return f"{_value(low, kind, units)} to {_value(high, kind, units)}"


FIGURE_HEAD = ("figure", "rows", "boats", "inside", "mean error", "mean size")
BOAT_HEAD = ("row", "figure", "measured", "ours", "our band", "error", "")
TRIAL_HEAD = ("use", "asked for", "boats", "readings", "off before", "off after", "inside the band")
QUESTION_HEAD = ("row", "fitted on", "asked for", "off before", "off after", "inside the band")
COVERAGE_HEAD = ("figure", "inside", "share", "doubt left", "")
TELLS = {True: "told by the log", False: "stays as assumed"}
METHOD_HEAD = ("row", "measured", "ours", "error", "what")
Cells = list[tuple[str, ...]]


def figure_cells(table: pd.DataFrame) -> Cells:
    """Rows of FIGURE_HEAD as text: how often each kind of figure lies inside, and how far it misses."""
    return [
        (
            row.what,
            f"{row.rows}",
            f"{row.sets}",
            f"{row.inside}",
            _share(row.mean_error),
            _share(row.mean_size),
        )
        for row in _each(table)
    ]


def boat_cells(table: pd.DataFrame, units: str) -> Cells:
    """Rows of BOAT_HEAD as text: whole boats, measured beside ours."""
    lines: Cells = []
    for row in _each(table):
        at = _value(row.at_speed_mps, "speed", units)
        what = row.what if at == NONE else f"{row.what} at {at}"
        lines.append(
            (
                f"{row.set}",
                what,
                _span(row.measured_low, row.measured_high, row.kind, units),
                _value(row.ours, row.kind, units),
                _span(row.p10, row.p90, row.kind, units),
                _share(row.error),
                SAID.get(row.inside, NONE),
            )
        )
    return lines


def method_cells(table: pd.DataFrame, units: str) -> Cells:
    """Rows of METHOD_HEAD as text: a method by itself, measured beside ours."""
    return [
        (
            f"{row.set}",
            _span(row.measured_low, row.measured_high, row.kind, units),
            _value(row.ours, row.kind, units),
            _share(row.error),
            ", ".join(filter(None, (row.subject, row.what, row.note))),
        )
        for row in _each(table)
    ]


def trial_cells(table: pd.DataFrame) -> Cells:
    """Rows of TRIAL_HEAD as text: what a fit is worth for runs it never saw."""
    from perf.studies.evidence.how_sure import use_said  # late, as in _each

    return [
        (
            use_said(row.use),
            f"{row.blind_reading}",
            f"{row.sets}",
            f"{row.blind_runs}",
            *(_share(value) for value in (row.error_before, row.error_after, row.blind_inside)),
        )
        for row in _each(table)
    ]


def question_cells(table: pd.DataFrame) -> Cells:
    """Rows of QUESTION_HEAD as text: every set by itself."""
    return [
        (
            f"{row.set}",
            f"{row.blind}",
            NONE if row.blind_reading != row.blind_reading else f"{row.blind_reading}",
            *(_share(value) for value in (row.error_before, row.error_after, row.blind_inside)),
        )
        for row in _each(table)
    ]


def coverage_cells(table: pd.DataFrame) -> Cells:
    """Rows of COVERAGE_HEAD as text: how often the band of a simulated trial holds the truth."""
    return [
        (row.figure, f"{row.inside}", _share(row.share), _share(row.left), TELLS[bool(row.told)])
        for row in _each(table)
    ]


def coverage_said(table: pd.DataFrame) -> str:
    """What the table of coverage is, in a heading."""
    return (
        f"Sea trials, simulated {table['repeats'].iloc[0]} times (results {table['results'].iloc[0]}):"
        " how often the band of eight in ten holds the truth"
    )


def _figures(table: pd.DataFrame) -> str:
    return _lines(FIGURE_HEAD, figure_cells(table))


def _rows(table: pd.DataFrame, units: str) -> str:
    return _lines(BOAT_HEAD, boat_cells(table, units))


def _methods(table: pd.DataFrame, units: str) -> str:
    return _lines(METHOD_HEAD, method_cells(table, units))


def _used(table: pd.DataFrame) -> str:
    rows = (
        (
            f"{row.set}" if row.subject != row.subject else f"{row.subject}",
            f"{row.what}: {row.note}",
        )
        for row in _each(table)
    )
    return aligned(list(rows))


def _choices(table: pd.DataFrame) -> str:
    names = list(table.columns)
    rows = (
        tuple(
            _share(value) if isinstance(value, float) else f"{value}"
            for value in (record[name] for name in names)
        )
        for record in table.to_dict("records")
    )
    return _lines(names, rows)


def _laws(table: pd.DataFrame) -> str:
    rows = (
        (
            row.law,
            f"{row.checks}",
            _value(row.worst, "ratio", "us"),
            row.basis,
            f"{row.source}, {row.locator}",
        )
        for row in _each(table)
    )
    return _lines(("law", "checks", "worst over tolerance", "known", "source"), rows)


def _words(table: pd.DataFrame, names: Sequence[str]) -> str:
    return aligned(
        [tuple(f"{record[name]}" for name in names) for record in table.to_dict("records")]
    )


def _lines(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    return aligned([tuple(head), *(tuple(row) for row in rows)])
