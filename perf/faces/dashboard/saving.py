"""All of it as one file and back: boat, what is set on her, kept boats, trip, engines, season."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import streamlit as st

from perf.base.faults import InputFaults, ReadingError
from perf.base.files import harmless_name
from perf.boat import recognise
from perf.boat.boatfile import read_boat
from perf.boat.scenario.file import BELONGS, read_scenario
from perf.boat.scenario.parts import KeptTold, Scenario, Told
from perf.boat.scenario.schema import LONGEST_TITLE
from perf.boat.scenario.writer import write_scenario
from perf.faces.dashboard import boats, comparing, kept, triptext, weightext
from perf.faces.dashboard.answers import demo_file, demo_names
from perf.faces.dashboard.boats import OwnBoat
from perf.faces.dashboard.kept import OWN
from perf.faces.dashboard.words import file_stem, plain

KEPT = 16  # texts in memory
SAID = {"trip": "the trip", "candidates": "the engines to choose from", "season": "the season"}
HELP = (
    "Her file, what is set on her, the boats kept for comparison, the trip, engines and season, in "
    "one text file. Give it under “Another boat”, here or on another machine, and all of it is back."
)


def everything() -> Scenario:
    """All that is set on the pages now, in a person's words."""
    told = boats.told_now()
    name = f"{boats.chosen_boat().name}, {told.load}"[:LONGEST_TITLE]
    return Scenario(
        name,
        told,
        kept.value("units"),
        tuple(KeptTold(one.name, one.told) for one in comparing.kept_boats()),
        trip=st.session_state.get(triptext.TEXT),
        **weightext.of_this_boat(boats.chosen_boat()),
    )


def button(key: str) -> None:
    """The button that saves all of it; what cannot be saved is said beside it."""
    try:
        scenario, content, left_out = saved(everything())
    except (ReadingError, InputFaults) as why:
        words = why.faults[0].cure if isinstance(why, InputFaults) else str(why)
        st.caption(plain(f"All of it cannot be saved as it stands: {words}"))
        return
    st.download_button(
        "Save all of it",
        content,
        file_name=f"{file_stem(scenario.name)}_all.toml",
        mime="application/toml",
        on_click="ignore",
        help=HELP,
        key=key,
    )
    for what in left_out:
        st.caption(f"Left out until it is mended: {what}.")


@lru_cache(maxsize=KEPT)
def saved(scenario: Scenario) -> tuple[Scenario, bytes, tuple[str, ...]]:
    """A scenario without the parts that are not understood, as a file, and what was left out.

    InputFaults where the boat or what is set on her is not understood, ReadingError where it is
    too large.
    """
    boat = scenario.boat.as_set()
    good: dict[str, str | None] = {}
    left_out = []
    for table, reader in BELONGS.items():
        words = good[table] = getattr(scenario, table)
        try:
            if words is not None:
                reader(words.encode("utf-8"), boat, name=table)
        except (InputFaults, UnicodeEncodeError):
            left_out.append(SAID[table])
            good[table] = None
    scenario = replace(
        scenario, trip=good["trip"], candidates=good["candidates"], season=good["season"]
    )
    return scenario, write_scenario(scenario).encode("utf-8"), tuple(left_out)


# --- back again -------------------------------------------------------------------------------------


def take_file() -> None:
    """Read the file that was just given, a boat or all of it; one that is taken away changes nothing."""
    given = st.session_state.get("file")
    if given is None:
        return
    kept.clear_settings()
    st.session_state["another"] = False  # the answer, or the faults, lie under the picker
    name, content = harmless_name(given.name, "boat file"), given.getvalue()
    try:
        if recognise.kind_of(content) == recognise.SCENARIO:
            put(read_scenario(content, name=name))
        else:
            take_boat(name, content)
    except InputFaults as faults:
        st.session_state["_refused"] = faults


def take_boat(name: str, content: bytes) -> None:
    """Look at the boat of a file, nothing set on her by hand; InputFaults leave the boat before."""
    own = OwnBoat(name, read_boat(content, name=name), content)
    kept.clear_settings()
    st.session_state["_own"] = own
    kept.put("boat", OWN)


def put(found: Scenario) -> None:
    """Set everything as it stands in what was read."""
    told = found.boat
    key = demo_of(told)
    filed = told.filed()
    if key == OWN:
        name = harmless_name(told.file, "all of it")
        st.session_state["_own"] = OwnBoat(name, filed, told.content())
    kept.put("boat", key)
    kept.put("units", found.units)
    for setting in ("load", *kept.TYPED):
        kept.put(setting, getattr(told, setting))
    st.session_state[comparing.BOATS] = tuple(
        comparing.KeptBoat(one.name, one.told.as_set(), one.told) for one in found.kept
    )
    if found.trip is not None:
        triptext.put(found.trip)
    weightext.put_for(filed, found.candidates, found.season)


def demo_of(told: Told) -> str:
    """Key of the demo boat whose file this is, letter for letter; OWN for any other."""
    if told.text is None:
        return told.demo
    return next((key for key in demo_names() if demo_file(key) == told.text), OWN)
