"""What a person has set, kept in the session apart from the widgets that show it.

A widget that is not on the screen (behind a closed button, on another page) may come back with an
old value or with none. So the value lives here under its own name, a widget only starts from it
and reports to it; where the program sets a value, a fresh widget takes the place of the old one.
"""

from __future__ import annotations

from typing import Any

import streamlit as st

FIRST_SHOWN = "number_four"
OWN = "own"
UNITS = {"us": "US", "nautical": "Nautical", "metric": "Metric"}
TYPED = ("power", "pitch", "fuel")
NAMES = ("boat", "units", "load", *TYPED)


def value(name: str) -> str:
    """What is set under a name; empty for "as her file says"."""
    return str(st.session_state.get(name, ""))


def put(name: str, new: str) -> None:
    """Set a value by program: a widget that shows it starts afresh."""
    if st.session_state.get(name) != new:
        st.session_state[name] = new
        st.session_state[f"_fresh_{name}"] = st.session_state.get(f"_fresh_{name}", 0) + 1


def shown_by(name: str) -> dict[str, Any]:
    """The key and the report of the widget that shows a value, to be passed to it."""
    key = f"{name}-{st.session_state.get(f'_fresh_{name}', 0)}"
    return {"key": key, "on_change": _report, "args": (name, key)}


def _report(name: str, key: str) -> None:
    st.session_state[name] = st.session_state[key] or ""
    if name == "boat":
        clear_settings()


def clear_settings() -> None:
    """Another boat: what was set on the last one goes, and so does what was said of it."""
    for name in ("load", *TYPED):
        put(name, "")
    for name in ("_lost", "_refused", "_along_trouble", "at"):
        st.session_state.pop(name, None)
