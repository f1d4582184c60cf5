"""Choosing a boat: one of the yard's, or one from a person's own file."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from perf.base.faults import InputFaults
from perf.base.files import harmless_name
from perf.boat.boatfile import read_boat
from perf.boat.learned import said_of
from perf.boat.parts import Boat
from perf.faces.dashboard import kept
from perf.faces.dashboard.answers import demo_boat, demo_file, demo_names
from perf.faces.dashboard.kept import FIRST_SHOWN, OWN
from perf.faces.dashboard.tables import faults_table
from perf.faces.dashboard.words import plain


@dataclass(frozen=True)
class OwnBoat:
    """A boat from a person's own file: the file's name, what was read, and its bytes for a link."""

    file: str
    boat: Boat
    content: bytes


def chosen_boat() -> Boat:
    """The boat of the list or of the file, as her file says."""
    key = kept.value("boat")
    boat: Boat = st.session_state["_own"].boat if key == OWN else demo_boat(key)
    return boat


def refused() -> InputFaults | None:
    """What is wrong with the file that was given last, until it is mended or another boat is chosen."""
    found: InputFaults | None = st.session_state.get("_refused")
    return found


def what_she_is() -> str:
    """The chosen boat in one line, as Markdown."""
    if refused() is not None:
        return "This file was not understood, so nothing was worked out."
    key = kept.value("boat")
    if key == OWN:
        own: OwnBoat = st.session_state["_own"]
        return ". ".join([f"From your own file {plain(own.file)}", *map(plain, said_of(own.boat))])
    return f"{plain(demo_names()[key][1])}. Invented for the demonstration."


# --- a person's own file --------------------------------------------------------------------------


def _take_file() -> None:
    """Read the file that was just given; one that is taken away again changes nothing."""
    given = st.session_state.get("file")
    if given is None:
        return
    kept.clear_settings()
    st.session_state["another"] = False  # the answer, or the faults, lie under the picker
    name = harmless_name(given.name, "boat file")
    try:
        boat = read_boat(given.getvalue(), name=name)
    except InputFaults as faults:
        st.session_state["_refused"] = faults
        return
    st.session_state["_own"] = OwnBoat(name, boat, given.getvalue())
    kept.put("boat", OWN)


# --- what is drawn --------------------------------------------------------------------------------


def picker(place: DeltaGenerator) -> None:
    """Draw the list of boats and the door for files behind one button."""
    with place.popover("Another boat", key="another", on_change="rerun"):
        _list()
        st.file_uploader(
            "Or your own boat file",
            type="toml",
            key="file",
            on_change=_take_file,
            max_upload_size=1,
            help="A text file in the shape of the yard's, 64 kB at most. It is held in memory while "
            "this page is open and kept nowhere.",
        )
        key = kept.value("boat")
        if key != OWN:
            st.download_button(
                f"Save the file of {demo_names()[key][0]}",
                partial(demo_file, key),
                file_name=f"{key}.toml",
                mime="application/toml",
                on_click="ignore",
                help="A pattern for your own: change the numbers, keep the shape.",
            )


def _list() -> None:
    own: OwnBoat | None = st.session_state.get("_own")
    known = dict(demo_names())
    if own is not None:
        known[OWN] = ("Your own boat", plain(f"{own.boat.name}, from {own.file}"))
    keys = list(known)
    st.radio(
        "A boat of the yard, invented for the demonstration",
        keys,
        index=keys.index(kept.value("boat")),
        format_func=lambda key: known[key][0],
        captions=[about for _, about in known.values()],
        **kept.shown_by("boat"),
    )


def show_lost() -> None:
    """Say once that a boat from a file did not outlive the reload."""
    if "_lost" in st.session_state:
        st.warning(
            "Your own boat is gone: a boat from a file is not kept when the page is loaded again. "
            "Give the file again under “Another boat”. Until then this is the yard's "
            f"{demo_names()[FIRST_SHOWN][0]}."
        )


def show_refused(faults: InputFaults) -> None:
    """List every fault of a refused file, and a way back."""
    count = len(faults.faults)
    st.error(
        f"{count} fault{'s' if count > 1 else ''} in {plain(faults.source)}. Mend the file and give "
        "it again under “Another boat”."
    )
    faults_table([fault.as_dict() for fault in faults.faults])
    st.button("Back to the boat before", on_click=lambda: st.session_state.pop("_refused", None))
