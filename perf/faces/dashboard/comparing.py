"""Boats kept for comparison: up to four, held in the session, drawn beside the one that is looked at."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import pandas as pd
import streamlit as st

from perf.base.columns import column
from perf.base.results import Result
from perf.boat.parts import Boat
from perf.boat.scenario.parts import Told
from perf.faces.dashboard import parts
from perf.faces.dashboard.aboard import Aboard
from perf.faces.dashboard.answers import answer_for
from perf.faces.dashboard.boats import told_now
from perf.faces.dashboard.words import plain
from perf.studies.side_by_side import FIGURES, MOST, Kept, side_by_side

BOATS = "_kept_boats"
LONGEST = 40  # characters of a name
NAME = "keep-name"


@dataclass(frozen=True)
class KeptBoat:
    """A boat as she was set, under a name, and the words she was told in."""

    name: str
    boat: Boat
    told: Told


def kept_boats() -> tuple[KeptBoat, ...]:
    """The boats that were kept, in the order of keeping."""
    found: tuple[KeptBoat, ...] = st.session_state.get(BOATS, ())
    return found


def beside(result: Result) -> Result:
    """A result with the curves of the kept boats; the result itself where none is kept."""
    boats = kept_boats()
    if not boats:
        return result
    return side_by_side(result, [Kept(one.name, answer_for(one.boat)) for one in boats])


def keep_button(boat: Boat, here: Aboard) -> None:
    """A name and a button that keeps the boat as she is set now, and one to let each go again."""
    boats = kept_boats()
    with st.container(horizontal=True, vertical_alignment="bottom", key="keep"):
        if len(boats) < MOST:
            st.text_input(
                "Name for comparison",
                placeholder=named("", boat),
                max_chars=LONGEST,
                key=NAME,
                autocomplete="off",
                width=340,
            )
            st.button(
                "Keep this for comparison",
                on_click=partial(_keep, boat),
                disabled=any(one.boat == boat for one in boats),
                help=f"Her curves then stand beside those of other boats and settings; {MOST} at most.",
                key="keep-this",
            )
        else:
            st.caption(f"{MOST} boats are kept, which is all there is room for.")
        for place, one in enumerate(boats):
            st.button(
                plain(f"Let go {one.name}"),
                on_click=partial(_let_go, place),
                type="tertiary",
                key=f"let-go-{place}",
            )


def figures_table(result: Result, units: str) -> None:
    """Key figures as rows, boats as columns, each with its band; nothing where no boat is kept."""
    frame = result.tables.get("scenarios")
    if frame is None:
        return
    st.header("Side by side")
    summaries = {
        str(row["scenario"]): {str(k): None if v != v else v for k, v in row.items()}
        for row in frame.to_dict("records")
    }
    labels = [column(name).label for name in FIGURES]
    shown = {"": [f"{label[:1].upper()}{label[1:]}" for label in labels]}
    for name, summary in summaries.items():
        shown[plain(name)] = [_cell(summary, figure, units) for figure in FIGURES]
    st.table(pd.DataFrame(shown), border="horizontal", hide_index=True)


def _cell(summary: dict[str, object], name: str, units: str) -> str:
    _, said, band = parts.figure(summary, name, units)
    there = any(summary.get(name + end) is not None for end in ("_p10", "_p90"))
    return plain(f"{said} ({band})" if there else said)


def named(words: str, boat: Boat) -> str:
    """The name a boat is kept under: what was typed, or her own; and her load."""
    clean = " ".join("".join(c if c.isprintable() else " " for c in words).split())
    return f"{clean.lstrip('_') or boat.name}, {boat.load}"[: 2 * LONGEST]


def _keep(boat: Boat) -> None:
    boats = kept_boats()
    if len(boats) < MOST:
        words = str(st.session_state.get(NAME, ""))[:LONGEST]
        st.session_state[BOATS] = (*boats, KeptBoat(named(words, boat), boat, told_now()))
        st.session_state[NAME] = ""


def _let_go(place: int) -> None:
    boats = kept_boats()
    st.session_state[BOATS] = (*boats[:place], *boats[place + 1 :])
