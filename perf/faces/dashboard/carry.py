"""A person's own boat and the boats kept for comparison, packed into the address: so that a reload keeps them.

Nothing is stored on the server and nothing that comes back is trusted: it goes through the same
readers as a file, capped before and while it is unpacked.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import streamlit as st

from perf.base.faults import InputFaults, ReadingError
from perf.base.files import harmless_name
from perf.base.folding import fold, unfold
from perf.boat.scenario.file import CAPS, read_scenario
from perf.boat.scenario.parts import KeptTold, Scenario, Told
from perf.boat.scenario.writer import write_scenario
from perf.faces.dashboard import kept
from perf.faces.dashboard.boats import OwnBoat, own_told
from perf.faces.dashboard.comparing import BOATS, KeptBoat, kept_boats
from perf.faces.dashboard.kept import FIRST_SHOWN, OWN
from perf.faces.dashboard.words import plain

NAME = "along"  # in the address
MOST_LETTERS = 12_000  # of the packed text: far below what browsers and servers of today refuse
TROUBLE = "_along_trouble"
CURE = "ask for the link again, or give the file"
TOO_LONG = "too long to keep in the link: save all of it as a file, under “Another boat”."


@dataclass(frozen=True)
class Along:
    """What the address carries: the packed text, and whether own boat and kept boats are all in it."""

    text: str = ""
    own: bool = True
    kept: bool = True


def take_up() -> None:
    """When a session begins: the boats that the address carries."""
    if "boat" in st.session_state or NAME not in st.query_params:
        return
    try:
        body = unfold(st.query_params[NAME], MOST_LETTERS, CAPS.most_bytes, CURE)
        found = read_scenario(body, name="the link")
        boats = tuple(KeptBoat(one.name, one.told.as_set(), one.told) for one in found.kept)
        told = found.boat
        filed = told.filed()
    except ReadingError as why:
        st.session_state[TROUBLE] = str(why)
        return
    except InputFaults as faults:
        st.session_state[TROUBLE] = f"a boat in it was not understood: {faults.faults[0].cure}"
        return
    if told.text is not None:
        st.session_state["_own"] = OwnBoat(harmless_name(told.file, "the link"), filed, told.text)
    st.session_state[BOATS] = boats


def write() -> None:
    """Write own boat and kept boats into the address, as far as there is room."""
    text = along().text
    if not text:
        st.query_params.pop(NAME, None)
    elif st.query_params.get(NAME) != text:
        st.query_params[NAME] = text


def along() -> Along:
    """What the address carries of own and kept boats as they are now."""
    return _along(own_told(), tuple(KeptTold(one.name, one.told) for one in kept_boats()))


def carried() -> dict[str, str]:
    """What of it belongs to every page's address, for links that take it along."""
    return {NAME: st.query_params[NAME]} if NAME in st.query_params else {}


def holds_her() -> bool:
    """Whether the address brings another person the boat that is looked at."""
    return kept.value("boat") != OWN or along().own


def show_trouble() -> None:
    """Say what a link held that could not be read, and what is too long for one."""
    if trouble := st.session_state.get(TROUBLE):
        st.warning(plain(f"The boats in this link were not read: {trouble}"))
    now = along()
    left = ["Your own boat"] * (not now.own) + ["The boats kept for comparison"] * (not now.kept)
    for what in left:
        st.caption(f"{what}: {TOO_LONG}")


@lru_cache(maxsize=64)
def _along(own: Told | None, boats: tuple[KeptTold, ...]) -> Along:
    """All of it where there is room, else the own boat alone, else nothing."""
    if own is None and not boats:
        return Along()
    her = own or Told(demo=FIRST_SHOWN)
    for kept_in, held in ((boats, True), ((), not boats)):
        try:
            packed = fold(write_scenario(Scenario("link", her, kept=kept_in), whole=False).encode())
        except ReadingError:
            continue
        if len(packed) <= MOST_LETTERS and (own is not None or kept_in):
            return Along(packed, kept=held)
    return Along(own=own is None, kept=not boats)
