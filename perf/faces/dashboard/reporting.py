"""The report: what is on the pages now as one PDF for a customer, made when asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import streamlit as st

from perf.base.faults import InputFaults
from perf.base.results import Result
from perf.boat.choice.parts import Candidates, Duty
from perf.boat.parts import Boat
from perf.boat.trip.parts import Trip
from perf.faces.dashboard import (
    parts,
    pictures,
    places,
    tripfields,
    tripping,
    weighfields,
    weightext,
)
from perf.faces.dashboard.aboard import Aboard, aboard
from perf.faces.dashboard.answers import answer_for
from perf.faces.dashboard.words import file_stem, plain
from perf.faces.printed.report import report_bytes
from perf.studies.repower.study import repower
from perf.studies.shape import shape_drawings

KEPT = 8  # weighings in memory
MADE = "_report_made"
FIRST_DRAWS = 100  # of the page of engines where it was not opened yet
Work = Callable[[], Result]


@dataclass(frozen=True)
class Asked:
    """All that a report is made from; another one of it makes another report."""

    boat: Boat
    units: str
    hung: bool
    weighed: tuple[Candidates, Duty, str, int] | None
    trip: Trip | None


@dataclass(frozen=True)
class Made:
    """A finished report, what it was made from, and the parts that were left out with why."""

    asked: Asked
    content: bytes
    left_out: tuple[str, ...]


@lru_cache(maxsize=KEPT)
def _weighed(boat: Boat, candidates: Candidates, duty: Duty, purpose: str, draws: int) -> Result:
    return repower(boat, candidates, duty, purpose=purpose, draws=draws)


def show_page() -> None:
    """The whole page, or nothing but the shell while something is not understood."""
    here = aboard()
    if here.boat is None:
        return
    with here.top:
        parts.answer(answer_for(here.boat), here.units)
    asked = _choose(here.boat, here)
    if asked is None:
        return
    stopped = st.session_state.pop("_report_stopped", False)
    if st.button("Make the report", type="primary", key="report-make"):
        st.session_state[MADE] = _make(asked)
    if stopped:
        st.warning("Stopped: no report was made.")
    made: Made | None = st.session_state.get(MADE)
    if made is not None and made.asked == asked:
        _hand_over(made)
    elif made is not None:
        st.info("The last report was made for other settings: make it anew.")


def _choose(boat: Boat, here: Aboard) -> Asked | None:
    """What goes into it; None while a part that is asked for is not understood."""
    st.header("What goes in")
    st.markdown(
        "How she runs as she is set now, with the pictures, the table, what was assumed, what could "
        "be wrong and the sources. And if you like:"
    )
    hung = _box("Hanging the engine", "hung", "As the page of that name shows her.")
    weigh = _box("Which engine", "weigh", "The candidates and the season of that page.")
    sail = _box("The trip", "trip", "The trip of that page.")
    weighed = trip = None
    if weigh:
        weightext.begin(boat)
        weightext.say_made_up()
        read = weighfields.read(boat)
        if read is None:
            return None
        purpose = st.session_state.get("weigh-purpose") or "economy"
        draws = st.session_state.get("weigh-draws") or FIRST_DRAWS
        weighed = (*read, str(purpose), int(draws))
    if sail:
        trip = tripfields.read(boat)
        if trip is None:
            return None
    return Asked(boat, here.units, hung, weighed, trip)


def _box(label: str, name: str, help: str) -> bool:
    return bool(st.checkbox(label, key=f"report-{name}", help=help, persist_state="session"))


# --- making it --------------------------------------------------------------------------------------


def _works(asked: Asked) -> list[tuple[str, Work]]:
    """Every study to be done, with what is said meanwhile; the same answers as on the pages."""
    boat, trip, weighed = asked.boat, asked.trip, asked.weighed
    works: list[tuple[str, Work]] = [("How she runs", lambda: answer_for(boat))]
    if asked.hung:
        works.append(("Hanging the engine", lambda: places.whole(boat)))
    if weighed is not None:
        works.append(("Which engine", lambda: _weighed(boat, *weighed)))
    if trip is not None:
        works.append(("The trip", lambda: tripping.whole(boat, trip)))
    return works


def _make(asked: Asked) -> Made:
    """Work out what was asked for, one study after the other, and print it; Stop leaves it between two."""
    place = st.empty()
    with place.container(horizontal=True, vertical_alignment="center"):
        bar = st.progress(0.0, text="How she runs")
        st.button("Stop", on_click=_stop, key="report-stop")
    results, left_out = [], []
    works = _works(asked)
    for done, (name, work) in enumerate(works):
        bar.progress(done / (len(works) + 1), text=name)
        try:
            results.append(work())
        except InputFaults as faults:
            left_out.append(f"{name}: {faults.faults[0].cure}")
        except ValueError as why:
            left_out.append(f"{name}: {why}")
    bar.progress(len(works) / (len(works) + 1), text="Printing")
    with pictures.DRAWING:
        content = report_bytes(results, asked.units, drawings=shape_drawings(asked.boat))
    place.empty()
    return Made(asked, content, tuple(left_out))


def _stop() -> None:
    st.session_state["_report_stopped"] = True


def _hand_over(made: Made) -> None:
    for words in made.left_out:
        st.warning(plain(f"Left out: {words}."))
    st.download_button(
        "Save the report as PDF",
        made.content,
        file_name=f"{file_stem(f'{made.asked.boat.name} report')}.pdf",
        mime="application/pdf",
        on_click="ignore",
        key="report-save",
    )
    st.caption(f"{len(made.content) // 1024} kB. It says the same as the pages, to the last digit.")
