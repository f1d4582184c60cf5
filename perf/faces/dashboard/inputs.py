"""What a person sets on every page: the boat, her load, power, pitch and fuel, and the units.

All of it lives in the shell, so that it is the same on every page and stands in the address of the
page. An empty text field means "as her file says".
"""

from __future__ import annotations

from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Generic, TypeVar

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from perf.base.faults import InputFaults, ReadingError
from perf.base.units import show
from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.parts import Boat
from perf.faces.dashboard.answers import demo_boat, demo_file, demo_names
from perf.faces.dashboard.words import file_stem, plain

UNITS = {"us": "US", "nautical": "Nautical", "metric": "Metric"}
FIRST_SHOWN = "Number Four"
OWN = "Your own boat"
TYPED = ("power", "pitch", "fuel")
CHANGED = ("load", *TYPED)  # what belongs to one boat
LONGEST = 60  # characters of a quantity


@dataclass(frozen=True)
class OwnBoat:
    """A boat from a person's own file: the file's name, its bytes, and what was read."""

    file: str
    content: bytes
    boat: Boat


@dataclass(frozen=True)
class Aboard:
    """What every page starts from.

    boat : as she is now, None while something cannot be understood.
    as_filed : as her file says; None while the file was refused.
    top : the place over the inputs where a page puts its answer.
    shared : whether the address of the page brings another person the same boat.
    """

    boat: Boat | None
    as_filed: Boat | None
    units: str
    dark: bool
    top: DeltaGenerator
    shared: bool


_T = TypeVar("_T")

_ABOARD: ContextVar[Aboard] = ContextVar("aboard")


def come_aboard(found: Aboard) -> None:
    """Keep what the shell found set, for the page that is drawn next."""
    _ABOARD.set(found)


def aboard() -> Aboard:
    """What the shell found set for the page that is being drawn."""
    return _ABOARD.get()


def write_address_again() -> None:
    """After a change of page the address has lost what was set: setting it anew writes it there again."""
    for key in ("boat", "units", *CHANGED):
        if key in st.session_state:
            st.session_state[key] = st.session_state[key]


# --- the boat -----------------------------------------------------------------------------------


def take_up_lost_boat() -> None:
    """After a reload the address may name a boat from a file that is no longer here: say so, start afresh."""
    if st.session_state.pop("_start_afresh", False):
        _clear_settings()
    here = "_own" in st.session_state or "_lost" in st.session_state
    if st.query_params.get("boat") == OWN and not here:
        st.session_state["_lost"] = st.session_state["_start_afresh"] = True


def _forget_changes() -> None:
    """Another boat: what was typed for the last one goes."""
    _clear_settings()
    for key in ("_lost", "_refused"):
        st.session_state.pop(key, None)


def _clear_settings() -> None:
    for key in ("load", "at"):
        st.session_state.pop(key, None)
    for key in TYPED:
        st.session_state[key] = ""


def _take_file() -> None:
    """Read the file that was just given, or forget it where it was taken away."""
    given = st.session_state.get("file")
    if given is None:
        st.session_state.pop("_refused", None)
        st.session_state.pop("_own", None)
        if st.session_state["boat"] == OWN:
            _forget_changes()
            st.session_state["boat"] = FIRST_SHOWN
        return
    _forget_changes()
    content = given.getvalue()
    try:
        boat = read_boat(content, name=given.name)
    except InputFaults as refused:
        st.session_state["_refused"] = refused
        return
    st.session_state["_own"] = OwnBoat(given.name, content, boat)
    st.session_state["boat"] = OWN


def _choose() -> tuple[str, Boat]:
    """The radio of boats and the door for files; the name in the list and the boat."""
    own: OwnBoat | None = st.session_state.get("_own")
    about = {name: words for name, (words, _) in demo_names().items()}
    if own is not None:
        about[OWN] = f"{plain(own.boat.name)}, from {plain(own.file)}"
    names = list(about)
    name = st.radio(
        "A boat of the yard (invented for the demonstration)",
        names,
        index=names.index(FIRST_SHOWN),
        captions=list(about.values()),
        key="boat",
        on_change=_forget_changes,
        bind="query-params",
    )
    st.file_uploader(
        "Or your own boat file",
        type="toml",
        key="file",
        on_change=_take_file,
        max_upload_size=1,
        help="A text file in the shape of the one below, 64 kB at most. It stays on this computer's "
        "memory while the page is open and is not kept.",
    )
    if own is not None and name == OWN:
        return name, own.boat
    st.download_button(
        f"Save the file of {name}",
        demo_file(name).read_bytes,
        file_name=f"{file_stem(name)}.toml",
        mime="application/toml",
        on_click="ignore",
        help="A pattern for your own: change the numbers, keep the shape.",
    )
    return name, demo_boat(name)


def choose_boat(place: DeltaGenerator) -> tuple[str, Boat]:
    """Draw the picker in a place; the name in the list and the boat as her file says."""
    with place.popover("Another boat", key="another"):
        return _choose()


def choose_units(place: DeltaGenerator) -> str:
    """The units of everything on every page."""
    chosen: str = place.segmented_control(
        "Units",
        list(UNITS),
        default="us",
        required=True,
        format_func=lambda system: UNITS[system],
        key="units",
        bind="query-params",
        label_visibility="collapsed",
        help="US: mph, miles, US gallons. Nautical: knots, nautical miles, US gallons. "
        "Metric: km/h, km, litres.",
    )
    return chosen


# --- what is set on her ---------------------------------------------------------------------------


def set_inputs(boat: Boat, units: str) -> Boat | None:
    """Draw load, power, pitch and fuel in a row; the boat as set, None where a text is not understood."""
    columns = st.container(key="settings").columns(4)
    with columns[0]:
        loaded = _load(boat)
    with columns[1]:
        power = _text(
            "Power of each engine" if boat.engine.count > 1 else "Power of the engine",
            "power",
            show(boat.engine.rated_power_w, "power", units, 0),
            changes.read_power,
            lambda read: show(read.value, "power", units, 0),
            'Rated power, such as "250 hp" or "186 kW". The engine\'s weight and rpm band stay as '
            "they are.",
        )
    with columns[2]:
        pitch = _text(
            "Propeller pitch",
            "pitch",
            show(boat.propeller.pitch_m, "length", units, 2),
            changes.read_pitch,
            lambda read: show(read.value, "length", units, 2),
            'As stamped, such as "17 in" or "15 1/2 in". Diameter and blades stay as they are.',
        )
    with columns[3]:
        fuel = _text(
            "Fuel in the tank",
            "fuel",
            _fuel_words(loaded, units),
            lambda text: changes.read_tank(text, loaded),
            lambda level: _fuel_words(loaded.at(tank=level), units),
            'A part of the tank or what is in it: 1/2, 35 %, full, "60 gal", "200 L".',
        )
    if not (power.clear and pitch.clear and fuel.clear):
        return None
    changed = loaded if fuel.read is None else loaded.at(tank=fuel.read)
    changed = changed if power.read is None else changes.with_power(changed, power.read)
    return changed if pitch.read is None else changes.with_pitch(changed, pitch.read)


def settings_words(boat: Boat, units: str) -> str:
    """What is set on her in few words, for a page on which the settings are folded away."""
    set_to = {key: str(st.session_state.get(key) or "").strip() for key in CHANGED}
    load = set_to["load"] if set_to["load"] in boat.load_names else boat.load
    said = (
        load,
        set_to["power"] or show(boat.engine.rated_power_w, "power", units, 0),
        set_to["pitch"] or show(boat.propeller.pitch_m, "length", units, 2),
        set_to["fuel"] or _fuel_words(boat.at(load=load), units),
    )
    return plain(f"Set to {', '.join(said)}")


def _load(boat: Boat) -> Boat:
    name = st.selectbox(
        "Load",
        boat.load_names,
        index=boat.load_names.index(boat.load),
        key="load",
        bind="query-params",
        help="The loads her file names: who and what is aboard, and how full the tank is.",
    )
    loaded = boat.at(load=name)
    st.caption(plain(_aboard_words(loaded)))
    return loaded


def _aboard_words(boat: Boat) -> str:
    weights = [weight for weight in boat.weights if weight.name in boat.loaded.aboard]
    said = [f"{w.count} {w.name}" if w.count > 1 else w.name for w in weights]
    return f"Aboard: {', '.join(said)}" if said else "Nobody and nothing aboard"


def _fuel_words(boat: Boat, units: str) -> str:
    level = show(boat.loaded.tank, "share", units, 2)
    return f"{show(changes.fuel_aboard_m3(boat), 'volume', units, 0)} ({level})"


@dataclass(frozen=True)
class Typed(Generic[_T]):
    """What stood in one text field: read is None where it was left empty; clear, whether all is well."""

    read: _T | None = None
    clear: bool = True


def _text(
    label: str,
    key: str,
    as_filed: str,
    reader: Callable[[str], _T],
    words: Callable[[_T], str],
    help: str,
) -> Typed[_T]:
    """One quantity as a person writes it, and under it how it was understood."""
    text = st.text_input(
        label,
        key=key,
        placeholder=as_filed,
        max_chars=LONGEST,
        help=help,
        bind="query-params",
        autocomplete="off",
    )
    if not (text or "").strip():
        st.caption("As her file says")
        return Typed()
    try:
        read = reader(str(text))
    except ReadingError as why:
        st.error(plain(f"Not understood: {why}"))
        return Typed(clear=False)
    st.caption(f"Read as {words(read)}; her file says {as_filed}")
    return Typed(read)
