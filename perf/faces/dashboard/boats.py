"""Choosing a boat: one of the yard's, or one from a person's own file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from perf.base.faults import InputFaults
from perf.boat.learned import said_of
from perf.boat.parts import Boat
from perf.boat.scenario.parts import Told
from perf.faces.dashboard import kept
from perf.faces.dashboard.answers import demo_boat, demo_file, demo_names, demo_under
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


def demo_key() -> str:
    """Key of the demo boat that is looked at, also as tried from a file; OWN for any other boat."""
    key = kept.value("boat")
    return (demo_under(st.session_state["_own"].content) or OWN) if key == OWN else key


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


def own_told() -> Told | None:
    """The person's own boat as her file says; None where there is none."""
    own: OwnBoat | None = st.session_state.get("_own")
    return None if own is None else Told(own.content, file=own.file)


def told_now() -> Told:
    """The boat that is looked at with everything set on her, in the person's words."""
    key = kept.value("boat")
    her = own_told() if key == OWN else None
    load, power, pitch, fuel = (kept.value(name).strip() for name in ("load", *kept.TYPED))
    return replace(her or Told(demo=key), load=load, power=power, pitch=pitch, fuel=fuel)


# --- what is drawn --------------------------------------------------------------------------------


def picker(place: DeltaGenerator, take_file: Callable[[], None]) -> DeltaGenerator:
    """Draw the list of boats and the door for files behind one button; the place under them there.

    take_file : reads the file that was just given.
    """
    with place.popover("Another boat", key="another", on_change="rerun"):
        _list()
        st.file_uploader(
            "Or your own boat file, or all of it as saved",
            type="toml",
            key="file",
            on_change=take_file,
            max_upload_size=1,
            help="A text file in the shape of the yard's, 64 kB at most. It is held in memory while "
            "this page is open, and in the address of the page where there is room; nowhere else.",
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
        return st.container()


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
            "Your own boat is gone: the address of this page did not hold her whole file. "
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
