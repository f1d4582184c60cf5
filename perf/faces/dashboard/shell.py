"""The shell around every page: links to the pages, the boat, what is set on her, the units.

A new page is one thin file in pages/ and one line in PAGES. On every page stand the boat and her
settings, drawn here and not in the page, so that they are the same everywhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from perf.faces.dashboard import address, boats, carry, kept, saving, settings, triptext
from perf.faces.dashboard.aboard import Aboard, come_aboard
from perf.faces.dashboard.style import STYLE
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
    About("mount.py", "Hanging the engine"),
    About("repower.py", "Which engine"),
    About("trip.py", "A trip", settings_open=True),
    About("trial.py", "Sea trial"),
    About("report.py", "Report"),
    About("how_sure.py", "How sure"),
    About("what_it_rests_on.py", "What it rests on"),
)


def run() -> None:
    """Draw the whole page that is asked for."""
    triptext.take_up()
    carry.take_up()
    address.take_over()
    pages = {
        st.Page(HERE.joinpath("pages", about.file), title=about.title, default=not place): about
        for place, about in enumerate(PAGES)
    }
    page = st.navigation(list(pages), position="hidden")
    st.set_page_config(
        f"{page.title} · Overhump", page_icon=str(HERE.joinpath("mark.svg")), layout="wide"
    )
    st.html(STYLE)
    links = st.container(horizontal=True, key="pages")
    found, under_the_picker = _frame(pages[page])
    come_aboard(found)
    with links:
        st.markdown("Overhump")
        for other in pages:
            st.page_link(other, query_params=address.link() | triptext.carried() | carry.carried())
    page.run()
    with under_the_picker:  # last, when all that was edited on the page is known
        saving.button("save-all")


def _frame(about: About) -> tuple[Aboard, DeltaGenerator]:
    """What stands over every page, with her name and settings; and the place under the list of boats."""
    with st.container(horizontal=True, key="head", vertical_alignment="center"):
        name_place = st.container(key="name", width="stretch")
        controls = st.container(
            horizontal=True, width="content", key="controls", vertical_alignment="center"
        )
    under_the_picker = boats.picker(controls, saving.take_file)
    units = settings.choose_units(controls)
    filed, faults = boats.chosen_boat(), boats.refused()
    kept.put("load", settings.load_of(filed))
    with name_place:
        st.title(plain(filed.name if faults is None else faults.source), anchor=False)
        st.caption(boats.what_she_is())
    boats.show_lost()
    carry.show_trouble()
    top = st.container(key="top")
    boat = None
    if faults is not None:
        boats.show_refused(faults)
    else:
        with (
            st.container(key="open")
            if about.settings_open
            else st.popover(settings.in_few_words(filed, units), key="settings-door")
        ):
            boat = settings.set_on(filed, units)
        if boat is None:
            st.error("Nothing is worked out until the text marked above is mended or taken out.")
    address.write(filed.load)
    carry.write()
    dark, as_filed = st.context.theme.type == "dark", filed if faults is None else None
    return Aboard(boat, as_filed, units, dark, top, carry.holds_her()), under_the_picker
