"""Hanging the engine: how high, how far back, drawn to scale, and what that does at rest and under way."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import partial

import pandas as pd
import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from perf.base.columns import column
from perf.base.results import Result, heading_of
from perf.base.units import show, to_si
from perf.boat.parts import Boat
from perf.faces.dashboard import parts, pictures, places, tables
from perf.faces.dashboard.aboard import Aboard, aboard
from perf.faces.dashboard.hanging_words import BESIDE, FOLDED, SECTIONS
from perf.faces.dashboard.places import ADVISED, CRUISE, Place
from perf.faces.dashboard.words import file_stem, plain
from perf.faces.printed.paper import DOTS_PER_INCH
from perf.faces.printed.rig_card import rig_card_bytes
from perf.faces.printed.side_view_paper import drawn
from perf.faces.side_view_screen import described, view
from perf.studies.mount.drawings import drawing, drawings
from perf.studies.mount.study import mount

SPEEDS = (10, 15, 20, 25, 30, 35, 40, 45, 50)  # in the reader's own units
FOUR = ("top_speed_mps", "top_rpm", "time_to_plane_s", "cruise_mileage_m_per_l")
TABS = {
    "stern_running": "Her stern at speed",
    "stern_rest": "Her stern at rest",
    "side_running": "All of her at speed",
    "side_rest": "All of her at rest",
}
GRID = (
    "setback_m",
    "plate_height_m",
    "top_speed_mps",
    "top_rpm",
    "time_to_plane_s",
    "mileage_m_per_l",
    "hump_margin",
    "immersion_ratio",
    "plate_depth_m",
    "pickup_margin_m",
)


def show_page() -> None:
    """The whole page, or nothing but the shell while something is not understood."""
    here = aboard()
    if here.boat is None:
        return
    try:
        result = places.whole(here.boat)
    except ValueError as why:
        st.info(plain(f"Nothing to hang here: {why}."))
        return
    with here.top:
        parts.answer(result, here.units)
    parts.cautions_beside(result, "engine")
    _section(result, "each_hole", here.units)
    _try(here.boat, here)
    _other_cautions(result)
    st.header("Against height and setback")
    pictures_of(result, here.units, here.dark)
    for name in SECTIONS:
        if name != "each_hole":  # stands at the top
            _section(result, name, here.units)
    st.header("Every setback and height")
    _grid(result, here.units)
    st.header("How sure this is")
    parts.how_sure(result)
    st.header("Take it along")
    tables.result_files(result, here.units)
    parts.behind(result, here.units)


# --- trying a place -------------------------------------------------------------------------------


@st.fragment
def _try(boat: Boat, here: Aboard) -> None:
    """Setback, height and speed move the drawing and the four figures; the bands follow."""
    place = _sliders(boat, here.units)
    known = places.ready(place)
    moved = (place.setback_m, place.height_m) != (boat.mounting.setback_m, ADVISED)
    answer = st.empty() if moved else None
    result = known or places.first(place)
    _said(answer, result, here.units, waiting=known is None)
    _pictures(boat, result, here)
    under = parts.figures(result, FOUR, here.units, "hung", explained=True, waiting=known is None)
    _take(place, here.units)
    if known is None:
        banded = places.tried(place)
        _said(answer, banded, here.units)
        parts.bands(under, banded, FOUR, here.units)


def _said(
    place: DeltaGenerator | None, result: Result, units: str, *, waiting: bool = False
) -> None:
    if place is not None:
        said = plain(result.shown(units).answer)
        place.markdown(f"{said} {parts.WAITING_WORDS}" if waiting else said)


def _sliders(boat: Boat, units: str) -> Place:
    own, setbacks = boat.mounting.setback_m, places.setbacks_of(boat)
    speeds = [CRUISE, *(to_si(float(i), "speed", units) for i in SPEEDS)]
    first, second, third = st.columns(3)
    with first:
        setback = st.select_slider(
            "Setback", setbacks, value=own, key="mount-setback",
            format_func=lambda value: show(value, "length", units, 2),
            help="From the transom to the face the engine hangs on.",
        )  # fmt: skip
    with second:
        height = st.select_slider(
            "Plate over the bottom", [ADVISED, *places.heights()], value=ADVISED, key="mount-height",
            format_func=lambda value: "as advised" if value == ADVISED else show(value, "length", units, 2),
            help="Anti-ventilation plate over the hull bottom straight ahead of it, by mounting holes.",
        )  # fmt: skip
    with third:
        speed = st.select_slider(
            "Speed", speeds, value=CRUISE, key="mount-speed",
            format_func=lambda value: "her cruise" if value == CRUISE else show(value, "speed", units, 0),
            help="Her running trim and the water behind her are drawn at this speed.",
        )  # fmt: skip
    return Place(boat, float(setback), float(height), float(speed))


def _pictures(boat: Boat, result: Result, here: Aboard) -> None:
    for place, key in zip(
        st.tabs(list(TABS.values()), key="drawing", on_change="rerun"), TABS, strict=True
    ):
        if place.open:
            with place, st.container(key=f"drawn-{key}"):
                one = drawing(boat, result, key)
                st.vega_lite_chart(
                    spec=view(one, here.units, dark=here.dark),
                    width="content",
                    key=f"drawing-{key}",
                )
                st.caption(plain(described(one, here.units)))


def _take(place: Place, units: str) -> None:
    stem = file_stem(f"{place.boat.name} hung")
    with st.container(horizontal=True):
        st.download_button(
            "Rig card, one page", partial(_card, place, units),
            file_name=f"{stem}_card.pdf", mime="application/pdf", on_click="ignore",
            key="save-card",
        )  # fmt: skip
        for ending, mime in pictures.MIME.items():
            st.download_button(
                f"Drawings as {ending.upper()}", partial(_saved, place, units, ending),
                file_name=f"{stem}.{ending}", mime=mime, on_click="ignore", type="tertiary",
                key=f"save-drawing-{ending}",
            )  # fmt: skip


def _card(place: Place, units: str) -> bytes:
    """The rig card asks the whole study of the place, when it is asked for."""
    boat = place.boat
    if place.as_advised:
        return rig_card_bytes(boat, places.whole(boat), units)
    there = mount(boat, (place.setback_m,), (0.0,), place.wanted)
    return rig_card_bytes(boat, there, units)


def _saved(place: Place, units: str, ending: str) -> bytes:
    out, result = io.BytesIO(), places.tried(place)
    words = result.shown(units).answer  # begins with her name
    page = drawn(drawings(place.boat, result), units, words)
    stamp = {"Date": None} if ending == "svg" else None
    page.savefig(out, format=ending, dpi=DOTS_PER_INCH, metadata=stamp)
    return out.getvalue()


# --- the rest of the page -------------------------------------------------------------------------


@st.fragment
def pictures_of(result: Result, units: str, dark: bool) -> None:
    """The curves of the study under tabs; only the one that is open is drawn."""
    doors = st.tabs([plot.title for plot in result.plots], key="picture", on_change="rerun")
    for place, plot in zip(doors, result.plots, strict=True):
        if place.open:
            with place:
                pictures.picture(result, plot, units, dark)
                pictures.save_buttons(result, plot, units)


def _other_cautions(result: Result) -> None:
    """Those that stand beside no table and were not said before."""
    said = {code for codes in BESIDE.values() for code in codes} | set(parts.BESIDE["engine"])
    parts.cautions([code for code in result.cautions if code not in said], "hung")


def _section(result: Result, name: str, units: str) -> None:
    frame = result.tables.get(name)
    if frame is None or frame.empty:
        return
    heading, words, out = SECTIONS[name]
    if name not in FOLDED:
        st.header(heading)
    with st.expander(heading) if name in FOLDED else st.container(key=f"section-{name}"):
        st.markdown(words)
        if name == "with_without":
            st.markdown(plain(result.notes[0]))
        shown = tables.words_table(_filled(frame, out), units)
        st.table(shown, border="horizontal", hide_index=True)
        beside = [code for code in BESIDE.get(name, ()) if code in result.cautions]
        parts.cautions(beside, name.replace("_", "-"))


def _filled(frame: pd.DataFrame, out: Sequence[str]) -> pd.DataFrame:
    """The columns that say something, less those left out; status last, where it is not always ok."""
    kept = [
        name
        for name in frame.columns
        if name not in out
        and frame[name].notna().any()
        and not (name == "status" and len(set(frame[name])) == 1)
    ]
    return frame[kept]


def _grid(result: Result, units: str) -> None:
    shown = result.shown(units).table("rows", GRID)
    formats = {
        heading_of(name, units): st.column_config.NumberColumn(
            format=f"%.{column(name).digits if column(name).kind != 'share' else 0}f",
            help=column(name).sentence,
        )
        for name in GRID
    }
    st.dataframe(
        shown, hide_index=True, height=tables.HIGH, column_config=formats, placeholder="",
        alt=f"{result.boat} by setback and plate height: {', '.join(shown.columns)}", key="grid",
    )  # fmt: skip
