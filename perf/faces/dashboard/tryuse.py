"""The boat as tried: put to use on every page at once, or saved as her own file with one table more."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial

import streamlit as st

from perf.base.faults import InputFaults
from perf.boat.learned import FACTORS
from perf.boat.parts import Boat, Trial
from perf.boat.trialtable import with_trial
from perf.faces.dashboard import kept, saving
from perf.faces.dashboard.answers import demo_file
from perf.faces.dashboard.words import file_stem, plain

TROUBLE = "_tried_trouble"
SAME = 0.01  # share of a factor; a fit begun elsewhere ends this near


def offer(found: Trial, boat: Boat) -> None:
    """Beside the answer: whether every page goes by the log already, and the button that makes them.

    found : what the log tells. boat : as her file says.
    """
    if trouble := st.session_state.pop(TROUBLE, None):
        st.error(plain(f"She cannot be used as tried: {trouble}"))
    if in_use(boat.trial, found):
        st.success(
            plain(
                f"Every page now uses {boat.name} as tried by this log. To go back to the estimate, "
                "choose her in the list under “Another boat”, or give her file as it was."
            )
        )
        return
    st.warning("This log was read and fitted, but it is not used yet: the other pages go without.")
    st.button(
        "Use her as tried on every page",
        on_click=use,
        args=(_text(), found, boat.name),
        key="use-tried",
        type="primary",
        help="As if her file with the trial in it were saved and given under “Another boat”. "
        "Load, power, pitch and fuel go back to what her file says.",
    )


def in_use(filed: Trial, found: Trial) -> bool:
    """Whether the boat's file holds what this log tells, read as it is read now."""
    return filed.log == found.log and all(
        math.isclose(getattr(filed, name), getattr(found, name), rel_tol=SAME, abs_tol=SAME)
        for name in FACTORS.values()
    )


def use(text: bytes, found: Trial, name: str) -> None:
    """Make the calibrated text the own boat of this session, as when the file is given."""
    try:
        saving.take_boat(_file_name(name), calibrated(text, found))
    except InputFaults as faults:
        st.session_state[TROUBLE] = faults.faults[0].cure


def keep_her(found: Trial, boat: Boat) -> None:
    """The owner's own text with the trial in it, to be kept and given again."""
    st.header("Keep her as tried")
    st.download_button(
        "Save the calibrated boat",
        partial(calibrated, _text(), found),
        file_name=_file_name(boat.name),
        mime="application/toml",
        on_click="ignore",
        key="save-tried",
    )
    st.caption(
        "Her file as it was, with one table added at its end. Give it under “Another boat” another "
        "day, and every page uses what the trial found and shows narrower bands."
    )


def calibrated(text: bytes, found: Trial) -> bytes:
    """Her file with what the log tells, dated today."""
    return with_trial(text, replace(found, date=datetime.now(UTC).date().isoformat()))


def _text() -> bytes:
    """Her file as it was given; asked while the page is drawn, as a button pressed later knows no session."""
    own = kept.value("boat") == kept.OWN
    text: bytes = st.session_state["_own"].content if own else demo_file(kept.value("boat"))
    return text


def _file_name(name: str) -> str:
    return f"{file_stem(name)}_tried.toml"
