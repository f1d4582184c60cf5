"""A trip: is there fuel enough, how far out and back, run by run, in what sea; to be edited and taken along."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache, partial
from typing import Any

import streamlit as st

from perf.base.faults import InputFaults, ReadingError
from perf.base.results import Result
from perf.base.trip_assumptions import SEA_STATES
from perf.base.units import show, to_si
from perf.boat.parts import Boat
from perf.boat.trip.parts import Pace, Trip
from perf.faces.dashboard import parts, pictures, tables, tripfields, triptext
from perf.faces.dashboard.aboard import Aboard, aboard
from perf.faces.dashboard.words import plain
from perf.faces.printed.trip_sheet import sheet
from perf.faces.reach_view import described, reach_svg
from perf.studies.trip.slower import slower_words
from perf.studies.trip.study import trip

KEPT = 24  # answers in memory
DRAWS, FEW = 100, 40  # of the page, and of what is tried
FOUR = ("trip_fuel_m3", "trip_time_s", "arrival_fuel_m3", "chance_reserve_broken")
REACH = ("farthest_m", "farthest_speed_mps", "reach_here_m", "reach_least_m")
TRIED = ("trip_fuel_m3", "trip_time_s", "arrival_fuel_m3", "chance_reserve_broken")
TABLE = (
    "run",
    "run_distance_m",
    "run_speed_mps",
    "engine_rpm",
    "duration_s",
    "fuel_m3",
    "fuel_left_m3",
    "needed_m3",
    "gauge_needed",
    "ground_mileage_m_per_l",
    "bumps_g",
)
GRAVE = ("runs_dry", "reserve_broken", "no_headway", "speed_not_held")
FASTER = (-8.0, -6.0, -4.0, -2.0, 0.0, 2.0, 4.0, 6.0, 8.0)  # in the reader's own units
AS_PLANNED = "as planned"
MOST_OPEN = 14  # runs of a table that stands open whole


@lru_cache(maxsize=KEPT)
def planned(boat: Boat, plan: Trip) -> Result:
    """The trip without its reach: what answers first; never to be changed."""
    return trip(boat, plan, draws=DRAWS, reach=False)


@lru_cache(maxsize=KEPT)
def whole(boat: Boat, plan: Trip) -> Result:
    """The trip and its reach; never to be changed."""
    return trip(boat, plan, draws=DRAWS)


@lru_cache(maxsize=KEPT)
def tried(boat: Boat, plan: Trip, faster_mps: float, sea: str) -> Result:
    """The trip at other speeds and in another sea; never to be changed."""
    return trip(boat, changed(plan, faster_mps, sea), draws=FEW, reach=False)


def changed(plan: Trip, faster_mps: float, sea: str) -> Trip:
    """Every stated speed so much faster, and every run under way in a named sea, wind and sea from where they were."""
    state = next((s for s in SEA_STATES if s.name == sea), None)
    runs = []
    for run in plan.runs:
        if run.pace.kind == "speed":
            speed = max(run.pace.value + faster_mps, 0.5)
            run = replace(run, pace=Pace("speed", speed, run.pace.over_ground))
        if state is not None and not run.pace.standing:
            weather = replace(
                run.weather, wind_mps=state.wind_mps, wave_height_m=state.wave_height_m
            )
            run = replace(run, weather=weather)
        runs.append(run)
    return replace(plan, runs=tuple(runs))


def show_page() -> None:
    """The whole page, or nothing but the shell while something is not understood."""
    here = aboard()
    if here.boat is None:
        return
    if trouble := st.session_state.pop(triptext.TROUBLE, None):
        st.warning(plain(f"The link was not read: {trouble}"))
    answer, how_far, below = st.container(), st.container(), st.container()
    with below:
        with st.container(horizontal=True, vertical_alignment="bottom"):
            st.header("The trip", width="stretch")
            tripfields.choose_trip(here.boat)
        tripfields.fields()
        tripfields.as_text()
        rest = st.container()
    triptext.write_address()
    with rest:
        plan = tripfields.read(here.boat)
        if plan is None:
            return
        try:
            result = planned(here.boat, plan)
        except InputFaults as faults:
            st.error(plain(faults.faults[0].cure.capitalize()))
            return
        except ValueError as why:
            st.error(plain(str(why)))
            return
    with answer:
        _first(result, here)
    far = whole(here.boat, plan)
    with how_far:
        _how_far(far, here)
    with rest:
        _what_if(here.boat, plan, result, here)
        _rest(result, far, plan, here)


def _first(result: Result, here: Aboard) -> None:
    """The answer, four figures, and the fuel along the trip."""
    with here.top:
        parts.answer(result, here.units)
    parts.cautions([code for code in GRAVE if code in result.cautions], "grave")
    parts.figures(result, FOUR, here.units, "trip", explained=True)
    pictures.picture(result, result.plots[0], here.units, here.dark)
    pictures.save_buttons(result, result.plots[0], here.units)


def _how_far(far: Result, here: Aboard) -> None:
    """How far she may go and still come home with the reserve whole: a sentence at the top, four figures."""
    with here.top:
        st.markdown(plain(how_far_words(far.summary, here.units)))
    st.header("How far out, with the way back")
    parts.figures(far, REACH, here.units, "reach")
    if slower := slower_words(far, here.units):
        st.markdown(plain(slower))


def how_far_words(summary: Mapping[str, Any], units: str) -> str:
    """How far out on what is in the tank, as it would be said on a dock."""
    usable, kept, far, both, speed = (
        show(summary.get(name), kind, units, 0)
        for name, kind in (
            ("usable_at_start_m3", "volume"),
            ("kept_back_m3", "volume"),
            ("farthest_m", "distance"),
            ("farthest_round_m", "distance"),
            ("farthest_speed_mps", "speed"),
        )
    )
    if summary.get("farthest_m") is None:
        return "At no planing speed is there an answer to how far she may go."
    return (
        f"Of what is in the tank {usable} can be drawn and {kept} are kept back: on the rest she goes "
        f"{far} out and the same way home ({both} there and back), in calm water at {speed}."
    )


@st.fragment
def _what_if(boat: Boat, plan: Trip, result: Result, here: Aboard) -> None:
    """The same trip faster or slower, and in another sea."""
    st.header("What if")
    first, second = st.columns(2)
    with first:
        steps = [to_si(step, "speed", here.units) for step in FASTER]
        faster = st.select_slider(
            "All stated speeds", steps, value=0.0, key="trip-faster",
            format_func=lambda v: AS_PLANNED if v == 0.0 else f"{'+' * (v > 0)}{show(v, 'speed', here.units, 0)}",
            help="Runs at best mileage, at an rpm or as the seat allows stay as they are.",
        )  # fmt: skip
    with second:
        sea = st.select_slider(
            "Sea and wind", [AS_PLANNED, *(state.name for state in SEA_STATES)], value=AS_PLANNED,
            key="trip-sea", help="From where they come now.",
        )  # fmt: skip
    if faster or sea != AS_PLANNED:
        found = tried(boat, plan, float(faster), str(sea))
        st.markdown(plain(found.shown(here.units).answer))
        parts.figures(found, TRIED, here.units, "tried")
        new = [code for code in GRAVE if code in found.cautions and code not in result.cautions]
        parts.cautions(new, "tried")


def _rest(result: Result, far: Result, plan: Trip, here: Aboard) -> None:
    st.header("Run by run")
    _runs(result, here.units)
    st.header("How far at other speeds")
    _reach(far, here)
    said = {*GRAVE, *_row_codes(result)}
    parts.cautions([code for code in far.cautions if code not in said], "rest")
    st.header("How sure this is")
    parts.how_sure(result)
    for note in far.notes:
        st.markdown(plain(note))
    st.header("Take it along")
    _take(far, plan, here)
    parts.behind(far, here.units)


def _row_codes(result: Result) -> set[str]:
    return set(tables.caution_letters(result.tables["rows"]))


def _runs(result: Result, units: str) -> None:
    few = len(result.tables["rows"]) <= MOST_OPEN
    said = [code for code in GRAVE if code in result.cautions]
    tables.speed_table(result, TABLE, units, "content" if few else tables.HIGH, said)
    st.caption(
        "Least usable fuel there: what must be left at the end of the run to finish with the reserve "
        "whole. With less than that on the gauge, cut the trip short."
    )


@st.fragment
def _reach(far: Result, here: Aboard) -> None:
    """Reach and burn against speed, and the drawing around the start, under tabs."""
    plots = {plot.title: plot for plot in far.plots[1:]}
    names = [*plots, "Around the start"]
    places = st.tabs(names, key="reach-tab", on_change="rerun")
    for place, name in zip(places, names, strict=True):
        if not place.open:
            continue
        with place:
            if name in plots:
                pictures.picture(far, plots[name], here.units, here.dark)
                pictures.save_buttons(far, plots[name], here.units)
            else:
                _around(far, here)


def _around(far: Result, here: Aboard) -> None:
    drawing = reach_svg(far, here.units, here.dark)
    if not drawing:
        st.markdown("No direction has an answer.")
        return
    st.image(drawing, width=420)
    st.caption(plain(described(far, here.units)))


def _take(far: Result, plan: Trip, here: Aboard) -> None:
    with st.container(horizontal=True):
        st.download_button(
            "Trip sheet, one page", partial(_sheet, far, here.units),
            file_name=tripfields.file_name(plan, ".pdf"), mime="application/pdf",
            on_click="ignore", key="save-sheet",
        )  # fmt: skip
        st.download_button(
            "Trip file", triptext.text(), file_name=tripfields.file_name(plan, ".toml"),
            mime="application/toml", on_click="ignore", key="save-trip",
        )  # fmt: skip
    tables.result_files(far, here.units)
    try:
        link = triptext.share_link()
    except ReadingError as why:
        st.caption(plain(str(why)))
        return
    with st.expander("A link that carries this whole boat and trip"):
        st.code(link, language=None, wrap_lines=True)


def _sheet(far: Result, units: str) -> bytes:
    with pictures.DRAWING:  # one lock for every session
        return sheet(far, units)
