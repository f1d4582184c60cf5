"""The address of the page holds what was set: for reloading, for sharing, for going back.

The session rules. Only when a session begins, and when a person goes back or forward, is the
address taken over into it; after that the address is written from the session. (Streamlit's own
binding of widgets to the address loses those behind a closed button when the page changes.)
"""

from __future__ import annotations

import streamlit as st
from streamlit.runtime.scriptrunner import get_script_run_ctx

from perf.faces.dashboard import kept
from perf.faces.dashboard.answers import demo_names
from perf.faces.dashboard.kept import FIRST_SHOWN, NAMES, OWN, UNITS

LONGEST = 60  # characters of a text


def take_over() -> None:
    """Set the session from the address where the address leads; unknown values are as good as none."""
    context = get_script_run_ctx()
    back_or_forward = bool(context and getattr(context, "is_history_navigation", False))
    if "boat" in st.session_state and not back_or_forward:
        return
    said = {name: st.query_params[name][:LONGEST] for name in NAMES if name in st.query_params}
    units, boat = said.get("units", "us"), said.get("boat", FIRST_SHOWN)
    kept.put("units", units if units in UNITS else "us")
    if boat == OWN and "_own" not in st.session_state:
        # a boat from a file is gone with the session that read it, and what was set on her too
        st.session_state["_lost"] = True
        boat, said = FIRST_SHOWN, {}
    kept.put("boat", boat if boat in (*demo_names(), OWN) else FIRST_SHOWN)
    for name in ("load", *kept.TYPED):
        kept.put(name, said.get(name, ""))


def write(as_filed_load: str) -> None:
    """Write what is set into the address, leaving out what is as it comes."""
    plain = {"boat": FIRST_SHOWN, "units": "us", "load": as_filed_load}
    now = {name: kept.value(name).strip() for name in NAMES}
    wanted = {name: text for name, text in now.items() if text and text != plain.get(name)}
    if wanted != link():
        others = {name: st.query_params[name] for name in st.query_params if name not in NAMES}
        st.query_params.from_dict(others | wanted)


def link() -> dict[str, str]:
    """What of the address belongs to every page, for links that take it along."""
    return {name: st.query_params[name] for name in NAMES if name in st.query_params}
