"""Which engine: candidates weighed against keeping her, by what is wanted, with the doubt of every difference."""

from __future__ import annotations

import threading
from collections import OrderedDict

import streamlit as st

from perf.base.results import Result
from perf.boat.choice.parts import Candidates, Duty
from perf.boat.parts import Boat
from perf.faces.dashboard import weighed, weighfields, weightext
from perf.faces.dashboard.aboard import aboard
from perf.faces.dashboard.words import plain
from perf.studies.repower.study import repower

KEPT = 24  # answers in memory, for all sessions
PURPOSES = {
    "economy": "Least fuel in a season",
    "hump": "Surest over the hump",
    "speed": "Fastest",
    "money": "Cheapest over the years",
}
DRAWS = (100, 500, 2000)
Asked = tuple[Boat, Candidates, Duty, str, int]

_ANSWERS: OrderedDict[Asked, Result] = OrderedDict()
_GUARD = threading.Lock()


def show_page() -> None:
    """The whole page, or nothing but the shell while something is not understood."""
    here = aboard()
    if here.boat is None:
        return
    weightext.begin(here.boat)
    purpose = st.segmented_control(
        "What is wanted most",
        list(PURPOSES),
        default="economy",
        required=True,
        format_func=lambda key: PURPOSES[key],
        key="weigh-purpose",
        persist_state="session",
    )
    answer, below = st.container(), st.container()
    with below:
        st.header("Candidates")
        weighfields.candidate_rows()
        st.header("The season")
        weighfields.run_rows()
        weighfields.as_text()
        draws = st.select_slider(
            "How often everything that is not known is drawn anew",
            DRAWS,
            key="weigh-draws",
            persist_state="session",
            help="More draws take longer and tell small differences apart.",
        )
        rest = st.container()
    with answer:
        read = weighfields.read(here.boat)
        result = None if read is None else _answer((here.boat, *read, str(purpose), int(draws)))
        if result is None:
            return
        weighed.first(result, here)
        with here.top:
            weightext.say_made_up()
    with rest:
        weighed.rest(result, here)


# --- working it out ---------------------------------------------------------------------------------


def _answer(asked: Asked) -> Result | None:
    """The answer kept for an equal question, else worked out with its progress shown; None while stopped."""
    with _GUARD:
        if asked in _ANSWERS:
            _ANSWERS.move_to_end(asked)
            return _ANSWERS[asked]
    if st.session_state.get("_weigh_stopped") == asked:
        st.warning("Stopped: nothing is worked out.")
        st.button("Work it out", on_click=_go_on)
        return None
    result = _worked(asked)
    with _GUARD:
        _ANSWERS[asked] = result
        while len(_ANSWERS) > KEPT:
            _ANSWERS.popitem(last=False)
    return result


def _worked(asked: Asked) -> Result:
    """Weigh the candidates; the bar moves with the draws, and the button beside it stops them."""
    boat, candidates, duty, purpose, draws = asked
    place = st.empty()
    with place.container(horizontal=True, vertical_alignment="center"):
        bar = st.progress(0.0, text="Finding a propeller for each")
        st.button("Stop", on_click=_stop, args=(asked,), key="weigh-stop")

    def step(share: float, what: str) -> bool:
        bar.progress(min(share, 1.0), text=plain(f"Drawing {what}"))
        return True

    result = repower(boat, candidates, duty, purpose=purpose, draws=draws, progress=step)
    place.empty()
    return result


def _stop(asked: Asked) -> None:
    st.session_state["_weigh_stopped"] = asked


def _go_on() -> None:
    st.session_state.pop("_weigh_stopped", None)
