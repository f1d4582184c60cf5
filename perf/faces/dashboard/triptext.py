"""The trip as the page keeps it: its text, in the session and in the address, and the words in its fields.

The text is the one truth. What a person edits is written back into it; where the program puts
another text, fresh fields take the place of the old ones.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

import pandas as pd
import streamlit as st

from perf.base.faults import InputFaults, ReadingError
from perf.base.respell import in_units
from perf.boat.boatfile import read_boat
from perf.boat.trip.file import demo_trips
from perf.boat.trip.writer import write_trip
from perf.faces.dashboard import carry, kept
from perf.faces.dashboard.answers import demo_file
from perf.faces.dashboard.boats import OwnBoat
from perf.faces.dashboard.kept import OWN
from perf.studies.trip.link import pack, unpack

NAME = "trip"  # in the address
TEXT, FRESH, TROUBLE = "_trip_text", "_trip_fresh", "_trip_trouble"
OURS = "_trip_ours"  # what was put by the program: its words, and as they were shown
FIRST = "out_and_back"
WAYS = ("distance", "from", "to", "hours", "speed", "over_ground", "course")
MORE = (
    "wind",
    "wind_from",
    "wave_height",
    "sea_from",
    "current",
    "current_toward",
    "depth",
    "aboard",
    "take_on",
)
Raw = dict[str, Any]


def text() -> str:
    """The text of the trip; the first demo trip where there is none yet."""
    if TEXT not in st.session_state:
        put_ours(demo_trips()[FIRST].read_text(encoding="utf-8"))
    ours = st.session_state.get(OURS)
    if ours and st.session_state[TEXT] == ours[1] != in_units(ours[0], _units()):
        put_ours(ours[0])  # nobody has touched it: it follows the units
    return str(st.session_state[TEXT])


def put_ours(words: str) -> None:
    """A trip of the program's own, in the units that are shown."""
    st.session_state[OURS] = (words, in_units(words, _units()))
    put(st.session_state[OURS][1])


def _units() -> str:
    return kept.value("units") or "us"


def put(new: str) -> None:
    """Another trip by program: every field starts afresh."""
    st.session_state[TEXT] = new
    st.session_state[FRESH] = fresh() + 1


def edited(raw: Raw) -> None:
    """What a person edited, back into the text; the fields stay as they are."""
    st.session_state[TEXT] = write_trip(raw)


def fresh() -> int:
    """Number that belongs to the fields of the text that was put last."""
    return int(st.session_state.get(FRESH, 0))


def raw_of(words: str) -> Raw | None:
    """The tables of a text, None where it is no TOML."""
    try:
        return tomllib.loads(words)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        return None


# --- in the address ---------------------------------------------------------------------------------


def take_up() -> None:
    """When a session begins: the trip of the address, and the boat it carries where it carries one."""
    if "boat" in st.session_state or NAME not in st.query_params:
        return
    try:
        boat, trip = unpack(st.query_params[NAME])
        words = trip.decode("utf-8")
        if boat:
            st.session_state["_own"] = OwnBoat("the link", read_boat(boat, name="the link"), boat)
            st.query_params["boat"] = OWN
    except (ReadingError, UnicodeDecodeError) as why:
        st.session_state[TROUBLE] = str(why)
        return
    except InputFaults as faults:
        st.session_state[TROUBLE] = (
            f"the boat in this link was not understood: {faults.faults[0].cure}"
        )
        return
    put(words)


def write_address() -> None:
    """The trip into the address, with the person's own boat where she stands nowhere else in it."""
    own = b"" if carry.along().own else own_bytes()  # once in an address is enough
    try:
        packed = pack(own, text().encode("utf-8"))
    except ReadingError:
        st.query_params.pop(NAME, None)
        return
    if st.query_params.get(NAME) != packed:
        st.query_params[NAME] = packed


def carried() -> dict[str, str]:
    """What of the trip belongs to every page's address, for links that take it along."""
    return {NAME: st.query_params[NAME]} if NAME in st.query_params else {}


def own_bytes() -> bytes:
    """The file of the person's own boat; nothing for a boat of the yard."""
    own: OwnBoat | None = st.session_state.get("_own")
    return own.content if own is not None and kept.value("boat") == OWN else b""


def share_link() -> str:
    """An address that brings another person this whole boat and trip; ReadingError where it is too long."""
    key = kept.value("boat")
    boat = own_bytes() or demo_file(key)
    settings = {
        name: kept.value(name) for name in ("units", "load", *kept.TYPED) if kept.value(name)
    }
    packed = pack(boat, text().encode("utf-8"))
    base = str(st.context.url or "").partition("?")[0]
    return f"{base}?{urlencode({**settings, 'boat': OWN, NAME: packed})}"


# --- in the fields ----------------------------------------------------------------------------------


def runs_frame(raw: Raw) -> pd.DataFrame:
    """The runs as rows of words for the editor."""
    runs = raw.get("runs")
    rows = []
    for name, run in runs.items() if isinstance(runs, Mapping) else ():
        inner = run if isinstance(run, Mapping) else {}
        rows.append({"run": name} | {key: _word(inner.get(key)) for key in (*WAYS, *MORE)})
    frame = pd.DataFrame(rows, columns=["run", *WAYS, *MORE], dtype=object)
    frame["over_ground"] = [row.get("over_ground") == "true" for row in rows]
    return frame


def runs_of(frame: pd.DataFrame) -> Raw:
    """Rows of words back into runs; empty rows go, a name that stands twice is numbered."""
    found: Raw = {}
    for row in frame.to_dict("records"):
        words = {key: _said(row.get(key)) for key in (*WAYS, *MORE) if key != "over_ground"}
        run: Raw = {key: word for key, word in words.items() if word}
        if not run and not _said(row.get("run")):
            continue
        if run.get("aboard"):
            run["aboard"] = [name.strip() for name in run["aboard"].split(",") if name.strip()]
        if row.get("over_ground") is True:
            run["over_ground"] = True
        name = _said(row.get("run")) or f"run {len(found) + 1}"
        while name in found:
            name = f"{name} again"
        found[name] = run
    return found


def _word(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return ", ".join(str(item) for item in value)
    return "" if value is None else str(value)


def _said(value: object) -> str:
    return value.strip() if isinstance(value, str) else ""
