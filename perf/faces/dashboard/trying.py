"""Sea trial: which runs to make, the log fitted, bands before and after, hints, the calibrated boat to keep."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache, partial

import pandas as pd
import streamlit as st

from perf.base.columns import column
from perf.base.faults import InputFaults
from perf.base.results import Result
from perf.boat.log.file import Log
from perf.boat.parts import Boat
from perf.faces.dashboard import boats, parts, pictures, settings, tables, trylog, tryuse
from perf.faces.dashboard.aboard import Aboard, aboard
from perf.faces.dashboard.words import file_stem, plain
from perf.faces.printed.trial_sheet import trial_sheet
from perf.faces.text.trial import (
    BLIND_HEAD,
    BLIND_SAID,
    FACTOR_HEAD,
    FACTORS_SAID,
    HINT_HEAD,
    HINTS_SAID,
    Cells,
    blind_cells,
    factor_cells,
    hint_cells,
)
from perf.studies.trial.plan import plan
from perf.studies.trial.study import Found, result_of, work_out
from perf.studies.trial.tape import TapeFault
from perf.studies.trial.weighing import example, weighing

PART, NEVER_PART = " \\%", "\u00a0\\%"  # a per-cent sign stays beside its number
ESTIMATE = "estimate"  # the caution that every answer carries
KEPT = 8  # answers in memory
RUN_WIDE = 100  # pixels, for "1, flat out"
AFTER = ("top_speed_mps", "filed_top_speed_mps", "trial_cruise_lph", "filed_cruise_lph")
WEIGHED = ("taped_mass_kg", "listed_mass_kg", "unlisted_mass_kg", "taped_forward_m")
RUNS = (
    "speed_mps", "log_lines", "load", "logged_rpm", "filed_rpm", "fitted_rpm", "logged_fuel_lph",
    "filed_fuel_lph", "fitted_fuel_lph", "logged_trim_deg", "filed_trim_deg", "fitted_trim_deg",
    "left_over",
)  # fmt: skip
PLAN = (
    "plan_run", "load", "speed_mps", "expected_rpm", "expected_fuel_lph", "top_speed_band_mps",
    "cruise_burn_band_lph", "doubt_taken",
)  # fmt: skip
NARROW = {column("plan_run").label: st.column_config.TextColumn(width=RUN_WIDE)}
TABS = {"curve_fuel_lph": "Fuel burn", "curve_rpm": "Engine rpm"}


@lru_cache(maxsize=KEPT)
def planned(boat: Boat) -> Result:
    """The runs that would teach most; never to be changed."""
    return plan(boat)


@lru_cache(maxsize=KEPT)
def fitted(boat: Boat, log: Log, units: str) -> Found:
    """A log fitted; never to be changed."""
    return work_out(boat, log, units=units)


@lru_cache(maxsize=KEPT)
def shown(boat: Boat, log: Log, units: str) -> Result:
    """The same as a Result; never to be changed."""
    return result_of(fitted(boat, log, units))


def show_page() -> None:
    """The whole page, or nothing but the shell while something is not understood."""
    here = aboard()
    if here.boat is None or here.as_filed is None:
        return
    boat = here.as_filed.at(load=here.boat.load)
    answer, below = st.container(), st.container()
    with below:
        st.header("The log")
        given = trylog.give(boats.demo_key())
        log = None if given is None else trylog.read(given)
    if log is not None:
        try:
            result = shown(boat, log, here.units)
        except InputFaults as faults:
            with below:
                st.error(plain(faults.faults[0].cure.capitalize()))
        except ValueError as why:
            with below:
                st.error(plain(str(why).capitalize()))
        else:
            with answer:
                _first(result, boat, log, here)
            with below:
                _rest(result, boat, log, here)
    elif given is None:
        with here.top:
            parts.answer(planned(here.boat), here.units)
    _plan(here.boat, boat, here, said=given is None)
    _tape(boat, here)


# --- what a log tells -------------------------------------------------------------------------------


def _first(result: Result, boat: Boat, log: Log, here: Aboard) -> None:
    """The answer, the figures before and after, and the picture."""
    with here.top:
        parts.answer(result, here.units)
        if here.boat != boat:
            st.caption(
                plain(
                    f"The log is fitted to {boat.name} as her file says, loaded as {boat.load}: power, "
                    "pitch and fuel set on the page play no part in the fit."
                )
            )
        tryuse.offer(fitted(boat, log, here.units).trial, boat)
    parts.figures(result, AFTER, here.units, "trial", explained=True)
    parts.cautions(result.cautions, "trial")
    plots = {TABS.get(plot.key, plot.title): plot for plot in result.plots}
    if not plots:
        return
    for place, plot in zip(
        st.tabs(list(plots), key="trial-picture", on_change="rerun"), plots.values(), strict=True
    ):
        if place.open:
            with place:
                pictures.picture(result, plot, here.units, here.dark)
                pictures.save_buttons(result, plot, here.units)


def _rest(result: Result, boat: Boat, log: Log, here: Aboard) -> None:
    for note in result.notes:
        st.markdown(plain(note))
    _table(result, "set_aside", here.units, "Set aside, with the place in the file")
    tryuse.keep_her(fitted(boat, log, here.units).trial, boat)
    st.header("Run by run")
    _frame(result, "rows", [name for name in RUNS if name in result.tables["rows"]], here.units)
    st.header("What the log could tell")
    _words(FACTORS_SAID, FACTOR_HEAD, factor_cells(result.tables, here.units))
    st.header("What may be behind it")
    if result.tables["hints"].empty:
        st.markdown("No single cause stands out.")
    else:
        _words(HINTS_SAID, HINT_HEAD, hint_cells(result.tables["hints"], here.units))
    if not result.tables["blind"].empty:
        st.header("Asked blind")
        _words(BLIND_SAID, BLIND_HEAD, blind_cells(result.tables["blind"], here.units))
    st.header("How sure this is")
    parts.how_sure(result)
    tables.result_files(result, here.units)
    parts.behind(result, here.units)


def _words(said: str, head: Sequence[str], cells: Cells) -> None:
    """A table with sentences in it, every cell whole on a narrow screen too."""
    st.markdown(f"{said}.")
    shown = [tuple(plain(cell).replace(PART, NEVER_PART) for cell in row) for row in cells]
    st.table(pd.DataFrame(shown, columns=list(head)), border="horizontal", hide_index=True)


def _table(result: Result, key: str, units: str, heading: str) -> None:
    """A small table of a result with words in it, as it stands."""
    frame = result.tables.get(key)
    if frame is None or frame.empty:
        return
    if heading:
        st.markdown(f"**{heading}**")
    _frame(result, key, list(frame.columns), units)


def _frame(result: Result, key: str, names: Sequence[str], units: str) -> None:
    st.dataframe(
        result.shown(units).table(key, tuple(names)),
        hide_index=True,
        column_config=tables.formats(names, units) | NARROW,
        placeholder="",
        alt=f"{result.boat}: {', '.join(column(name).label for name in names)}",
        key=f"{file_stem(result.kind)}-{key}",
    )


# --- before a trial, and beside it ------------------------------------------------------------------


def _plan(boat: Boat, filed: Boat, here: Aboard, *, said: bool) -> None:
    """The plan of the boat as set; said is whether its answer stands over the page already."""
    result = planned(boat)
    st.header("Which runs would teach most")
    if boat != filed:
        st.caption(
            f"Worked out for her as set on the page, not as filed. {settings.in_few_words(filed, here.units)}."
        )
    if not said:
        st.markdown(plain(result.shown(here.units).answer))
    _frame(result, "rows", PLAN, here.units)
    st.download_button(
        "Sheet to take aboard, one page",
        partial(_sheet, result, here.units),
        file_name=f"{file_stem(boat.name)}_trial.pdf",
        mime="application/pdf",
        on_click="ignore",
        key="save-trial-sheet",
    )
    parts.cautions(_new(result, first=said), "plan")


def _new(result: Result, *, first: bool) -> tuple[str, ...]:
    """Cautions that do not stand higher up the page already."""
    return result.cautions if first else tuple(code for code in result.cautions if code != ESTIMATE)


def _sheet(result: Result, units: str) -> bytes:
    with pictures.DRAWING:  # one lock for every session
        return trial_sheet(result, units)


def _tape(boat: Boat, here: Aboard) -> None:
    st.header("Weighed by tape")
    if not boat.freeboard:
        st.markdown(
            "Her file names no marks. Tape two on the transom and two at the bow straight down to the "
            "water, boat lying still at a load you know, and add to her file a table like this. Places "
            "are by her measures; the heights over the water are those her list gives: write in their "
            "place what you tape."
        )
        st.code(example(boat, here.units), language="toml")
        return
    try:
        result = weighing(boat)
    except TapeFault as why:
        st.error(plain(str(why).capitalize()))
        return
    st.markdown(plain(result.shown(here.units).answer))
    parts.figures(result, WEIGHED, here.units, "tape")
    _frame(result, "rows", list(result.tables["rows"].columns), here.units)
    parts.cautions(_new(result, first=False), "tape")
