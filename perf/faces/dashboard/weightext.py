"""Candidates and season as the page keeps them: two texts in the session, begun afresh with another boat.

The texts are the one truth. What a person edits in a table is written back into them; where the
program puts another text, fresh tables take the place of the old ones.
"""

from __future__ import annotations

import tomllib
from typing import Any

import streamlit as st

from perf.boat.choice.starter import candidates_text, duty_text, write_tables
from perf.boat.parts import Boat
from perf.faces.dashboard import kept

CANDIDATES, DUTY = "candidates", "duty"
Raw = dict[str, Any]


def begin(filed: Boat) -> None:
    """Put the texts that belong to this boat where another boat was looked at before."""
    whose = f"{kept.value('boat')} {filed.name}"
    if st.session_state.get("_weigh_whose") == whose:
        return
    st.session_state["_weigh_whose"] = whose
    key = kept.value("boat")
    put(CANDIDATES, candidates_text(filed, key))
    put(DUTY, duty_text(filed, key))


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
