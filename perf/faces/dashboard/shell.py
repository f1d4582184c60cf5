"""The shell around every page: navigation, the boat, her settings, and what could not be understood.

A new page is one thin file in pages/ and one line in PAGES.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import streamlit as st

from perf.base.faults import InputFaults
from perf.faces.dashboard import inputs
from perf.faces.dashboard.answers import demo_names
from perf.faces.dashboard.style import STYLE
from perf.faces.dashboard.tables import faults_table
from perf.faces.dashboard.words import plain

HERE = Path(__file__).parent


@dataclass(frozen=True)
class About:
    """One page: its file, its name, and whether load, power, pitch and fuel stand open on it."""

    file: str
    title: str
    settings_open: bool = False


PAGES = (
    About("how_she_runs.py", "How she runs", settings_open=True),
    About("what_it_rests_on.py", "What it rests on"),
)


def run() -> None:
    """Draw the whole page that is asked for."""
    st.set_page_config("Overhump", page_icon=str(HERE / "mark.svg"), layout="wide")
    st.html(STYLE)
    st.logo(str(HERE / "mark.svg"), size="medium")
    inputs.take_up_lost_boat()
    pages = {
        st.Page(HERE / "pages" / about.file, title=about.title, default=not place): about
        for place, about in enumerate(PAGES)
    }
    page = st.navigation(list(pages), position="top")
    about = pages[page]
    if st.session_state.get("_page", about.file) != about.file:
        inputs.write_address_again()
    st.session_state["_page"] = about.file
    inputs.come_aboard(_frame(about))
    page.run()
    st.divider()
    with st.container(horizontal=True):
        for other in pages:
            if other != page:
                st.page_link(other, label=f"Go on to: {other.title}")
    if "_start_afresh" in st.session_state:
        st.rerun()


def _frame(about: About) -> inputs.Aboard:
    """What stands over every page: her name, another boat, units, a place for the answer, her settings."""
    with st.container(horizontal=True, key="head", vertical_alignment="center"):
        name_place = st.container(key="name", width="stretch")
        controls = st.container(horizontal=True, width="content", key="controls")
    name, filed = inputs.choose_boat(controls)
    units = inputs.choose_units(controls)
    refused: InputFaults | None = st.session_state.get("_refused")
    with name_place:
        st.title(plain(filed.name if refused is None else refused.source), anchor=False)
        st.caption(_what_she_is(name, refused is not None))
    if "_lost" in st.session_state:
        st.warning(
            "Your own boat is gone: a boat from a file is not kept when the page is loaded again. "
            "Give the file again under “Another boat”. Until then this is the yard's own "
            f"{inputs.FIRST_SHOWN}."
        )
    top = st.container(key="top")
    if refused is not None:
        _show_refused(refused)
        boat = None
    elif about.settings_open:
        boat = inputs.set_inputs(filed, units)
    else:
        with st.popover(inputs.settings_words(filed, units), key="settings-door"):
            boat = inputs.set_inputs(filed, units)
    if refused is None and boat is None:
        st.error("Nothing is worked out until the text marked above is mended or taken out.")
    dark = st.context.theme.type == "dark"
    return inputs.Aboard(boat, None if refused else filed, units, dark, top, name != inputs.OWN)


def _what_she_is(name: str, refused: bool) -> str:
    if refused:
        return "This file was not understood, so nothing was worked out."
    if name == inputs.OWN:
        return f"From your own file {plain(st.session_state['_own'].file)}"
    return f"{plain(demo_names()[name][0])}. Invented for the demonstration."


def _show_refused(refused: InputFaults) -> None:
    count = len(refused.faults)
    st.error(
        f"{count} fault{'s' if count > 1 else ''} in {plain(refused.source)}. Mend the file and give it again under “Another boat”."
    )
    faults_table([fault.as_dict() for fault in refused.faults])
    st.button("Back to the boat before", on_click=lambda: st.session_state.pop("_refused", None))
