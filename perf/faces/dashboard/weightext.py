"""Candidates and season as the page keeps them: two texts in the session, begun afresh with another boat.

The texts are the one truth. What a person edits in a table is written back into them; where the
program puts another text, fresh tables take the place of the old ones.
"""

from __future__ import annotations

import tomllib
from typing import Any

import streamlit as st

from perf.boat.catalog import demo_candidates, demo_duties
from perf.boat.choice.starter import candidates_text, duty_text, write_tables
from perf.boat.parts import Boat
from perf.faces.dashboard import boats, kept

CANDIDATES, DUTY = "candidates", "duty"
WHOSE = "_weigh_whose"
OURS = "_weigh_ours"  # the season as the program put it
Raw = dict[str, Any]


def begin(filed: Boat) -> None:
    """Put the texts that belong to this boat where another boat was looked at before."""
    if st.session_state.get(WHOSE) == _whose(filed):
        _follow_units(filed)
        return
    st.session_state[WHOSE] = _whose(filed)
    key = boats.demo_key()
    for which, new, ours in (
        (CANDIDATES, candidates_text(filed, key), key in demo_candidates()),
        (DUTY, duty_text(filed, key, kept.value("units") or "us"), key in demo_duties()),
    ):
        put(which, new)
        st.session_state[f"_weigh_made_up_{which}"] = "" if ours else new
    st.session_state[OURS] = text(DUTY)


def _follow_units(filed: Boat) -> None:
    """A season of the program's own that nobody touched, in the units that are shown now."""
    if st.session_state.get(OURS) != text(DUTY):
        return
    new = duty_text(filed, boats.demo_key(), kept.value("units") or "us")
    if new == text(DUTY):
        return
    if st.session_state.get(f"_weigh_made_up_{DUTY}") == text(DUTY):
        st.session_state[f"_weigh_made_up_{DUTY}"] = new
    put(DUTY, new)
    st.session_state[OURS] = new


def made_up() -> list[str]:
    """Which of the two this program made up for the boat and nobody changed since."""
    said = {CANDIDATES: "the candidates", DUTY: "the season"}
    return [
        words
        for which, words in said.items()
        if text(which) and text(which) == st.session_state.get(f"_weigh_made_up_{which}")
    ]


def say_made_up() -> None:
    """Say what an answer rests on that nobody gave."""
    if found := made_up():
        what = " and ".join(found)
        st.warning(
            f"Made up by this page, not yours: {what}. Nobody gave any for this boat, so they are a "
            "pattern to write over: put in your own on the page “Which engine” before you go by this."
        )


def _whose(filed: Boat) -> str:
    return f"{boats.demo_key()} {filed.name}"


def of_this_boat(filed: Boat) -> dict[str, str]:
    """The texts that belong to this boat under their names in a file of all of it; none before the first look."""
    if st.session_state.get(WHOSE) != _whose(filed):
        return {}
    return {"candidates": text(CANDIDATES), "season": text(DUTY)}


def put_for(filed: Boat, candidates: str | None, season: str | None) -> None:
    """Texts that were saved with this boat; what was not saved begins afresh."""
    st.session_state.pop(WHOSE, None)
    if candidates is not None or season is not None:
        begin(filed)
    for which, saved in ((CANDIDATES, candidates), (DUTY, season)):
        if saved is not None:
            put(which, saved)


def text(which: str) -> str:
    """One of the two texts."""
    return str(st.session_state.get(f"_weigh_{which}", ""))


def put(which: str, new: str) -> None:
    """Another text by program: its tables start afresh."""
    st.session_state[f"_weigh_{which}"] = new
    st.session_state[f"_weigh_fresh_{which}"] = fresh(which) + 1


def edited(which: str, raw: Raw) -> None:
    """What a person edited, back into the text; the tables stay as they are."""
    st.session_state[f"_weigh_{which}"] = write_tables(raw)


def fresh(which: str) -> int:
    """Number that belongs to the tables of the text that was put last."""
    return int(st.session_state.get(f"_weigh_fresh_{which}", 0))


def raw_of(which: str) -> Raw | None:
    """The tables of a text, None where it is no TOML."""
    try:
        return tomllib.loads(text(which))
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        return None


def inner(raw: Raw, *path: str) -> Raw:
    """The table at a path, an empty one where there is none."""
    held: Any = raw
    for part in path:
        held = held.get(part) if isinstance(held, dict) else None
    return dict(held) if isinstance(held, dict) else {}


def word(value: object) -> str:
    """A value as it stands in a cell."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return " | ".join(str(item) for item in value)
    return "" if value is None else str(value)


def said(cell: object) -> str:
    """What a person wrote in a cell."""
    return cell.strip() if isinstance(cell, str) else ""


def value_of(words: str, bare: bool) -> Any:
    """Words of a cell as the file wants them: a number bare where it wants one."""
    if not bare:
        return words
    try:
        number = float(words)
    except ValueError:
        return words
    return int(number) if number.is_integer() and "." not in words else number
