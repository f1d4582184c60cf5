"""How sure: whole boats measured beside ours, methods by themselves, every law with its checks; worked out, never typed."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from functools import lru_cache, partial

import pandas as pd
import streamlit as st

from perf.base.results import Result
from perf.faces.command.evidence import (
    BOAT_HEAD,
    COVERAGE_HEAD,
    FIGURE_HEAD,
    METHOD_HEAD,
    TRIAL_HEAD,
    Cells,
    boat_cells,
    coverage_cells,
    coverage_said,
    figure_cells,
    method_cells,
    trial_cells,
)
from perf.faces.command.laws import KNOWN
from perf.faces.dashboard import parts
from perf.faces.dashboard.aboard import Aboard, aboard
from perf.faces.dashboard.words import plain
from perf.studies.evidence.in_short import weak_points
from perf.studies.evidence.study import evidence

INSIDE = "inside our band"  # over the last column, which needs no name on a terminal
COUNTS = {  # figures of the summary, and what each counts
    "laws": "rules in use",
    "laws_without_check": "rules without a check",
    "law_checks": "checks of the rules, against a published value or a second way of working it out",
    "law_checks_failing": "rules that fail one of their checks",
    "held_back_boats": "measured boats that nothing was tuned to",
    "held_back_figures": "figures measured on them",
    "inside_band": "of these inside our band",
    "constants": "numbers inside the rules",
    "constants_unguarded": "of these with a change that no check would notice",
}
_ONE = threading.Lock()  # two sessions that ask at once wait for the same answer


@lru_cache(maxsize=1)
def _worked() -> Result:
    return evidence()


def worked_out() -> Result:
    """The evidence, worked out once for as long as the program runs; never to be changed."""
    with _ONE:
        return _worked()


def known_already() -> bool:
    """Whether it was worked out before."""
    return bool(_worked.cache_info().currsize)


def show_page() -> None:
    """The whole page once it is asked for, or at once where somebody asked before."""
    here = aboard()
    with here.top:
        place = st.container()
    if not known_already():
        with place:
            st.markdown(
                "Every rule is held against published values, and whole boats against what was "
                "measured on them. It is worked out now, from the program as it stands."
            )
            pressed = st.button("Work it out, some twenty seconds", type="primary", key="sure-go")
        if not pressed:
            return
    with st.spinner("Working out every boat that was measured"):
        result = worked_out()
    with place:
        parts.answer(result, here.units)
        st.markdown("\n".join(f"- {plain(said)}" for said in weak_points(result, here.units)))
    _shown(result, here)


def _shown(result: Result, here: Aboard) -> None:
    """Evidence first, calibration apart from it, then the rules themselves."""
    held, used = result.tables["evidence"], result.tables["calibration"]
    boats, worked = held["length_m"].notna(), used["kind"].notna()
    parts.cautions(result.cautions, "sure")
    st.header("Figure by figure")
    st.markdown("An error is ours over what was measured, less one; its size is without the sign.")
    _table(FIGURE_HEAD, figure_cells(result.tables["by_figure"]))
    st.header("Whole boats that nothing was tuned to")
    st.markdown("A band that is honest holds eight of ten such figures.")
    _frame(BOAT_HEAD, boat_cells(held[boats], here.units), "boats")
    st.header("Calibration: no evidence")
    st.markdown(
        "Some number was tuned to these, or they were in view when it was set, so they prove nothing."
    )
    with st.expander(f"Boats that were tuned to ({int(worked.sum())} figures)"):
        _frame(BOAT_HEAD, boat_cells(used[worked], here.units), "tuned")
    with st.expander(f"What else was tuned to, or in view ({int((~worked).sum())})"):
        _words(used[~worked], ("set", "subject", "what", "note"))
    st.header("Methods by themselves")
    with st.expander(f"Each against what was measured ({int((~boats).sum())})"):
        _frame(METHOD_HEAD, method_cells(held[~boats], here.units), "methods")
    st.header("Sea trials, asked blind")
    st.markdown(
        "Boats fitted on a part of their runs, or at their lightest load, and asked for the rest. "
        "Held back means that nothing was tuned to them. The simulated log says what the fit is worth, "
        "nothing of the methods."
    )
    _table(TRIAL_HEAD, trial_cells(result.tables["trials_in_short"]))
    covered = result.tables["trial_coverage"]
    with st.expander(coverage_said(covered)):
        _table(COVERAGE_HEAD, coverage_cells(covered))
    st.header("Rule by rule")
    _table(("what", "count"), [(said, f"{result.summary[name]}") for name, said in COUNTS.items()])
    with st.expander(f"Every rule with its checks ({len(result.tables['laws'])})"):
        _laws(result.tables["laws"])
    with st.expander(
        f"What rests on memory, practice or our judgement ({len(result.tables['recalled'])})"
    ):
        _words(result.tables["recalled"], ("what", "said", "basis"))
    with st.expander(f"Held back and not worked out ({len(result.tables['not_scored'])})"):
        _words(result.tables["not_scored"], ("set", "note"))
    st.download_button(
        "Save everything as JSON",
        partial(result.as_json, here.units),
        file_name="how_sure.json",
        mime="application/json",
        on_click="ignore",
        key="save-sure",
    )


def _named(head: Sequence[str], cells: Cells) -> pd.DataFrame:
    return pd.DataFrame(cells, columns=[name or INSIDE for name in head])


def _table(head: Sequence[str], cells: Cells) -> None:
    """A short table that stands open."""
    frame = _named(head, [tuple(plain(cell) for cell in row) for row in cells])
    st.table(frame, border="horizontal", hide_index=True)


def _frame(head: Sequence[str], cells: Cells, key: str) -> None:
    """A long table that scrolls."""
    frame = _named(head, cells)
    st.dataframe(
        frame, hide_index=True, key=f"sure-{key}", alt=f"Figures: {', '.join(frame.columns)}"
    )


def _words(frame: pd.DataFrame, names: Sequence[str]) -> None:
    shown = frame[list(names)].fillna("").astype(str).rename(columns={"set": "row"})
    st.dataframe(shown, hide_index=True, alt=f"Words: {', '.join(names)}")


def _laws(laws: pd.DataFrame) -> None:
    shown = pd.DataFrame(
        {
            "rule": laws["title"],
            "known by": [KNOWN.get(basis, basis) for basis in laws["basis"]],
            "checks": laws["checks"],
            "worst miss, of what is allowed": [f"{worst:.2g}" for worst in laws["worst"]],
            "source": laws["source"] + ", " + laws["locator"],
        }
    )
    st.dataframe(shown, hide_index=True, key="sure-laws", alt="Every rule with its checks")
