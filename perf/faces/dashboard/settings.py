"""What is set on the boat: load, power, pitch and fuel, read as a person writes them; and the units.

An empty text field means "as her file says".
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from perf.base.faults import ReadingError
from perf.base.units import show
from perf.boat import changes
from perf.boat.parts import Boat
from perf.faces.dashboard import kept
from perf.faces.dashboard.address import LONGEST
from perf.faces.dashboard.kept import UNITS
from perf.faces.dashboard.words import plain

_T = TypeVar("_T")


def choose_units(place: DeltaGenerator) -> str:
    """The units of everything on every page."""
    place.segmented_control(
        "Units",
        list(UNITS),
        default=kept.value("units"),
        required=True,
        format_func=lambda system: UNITS[system],
        label_visibility="collapsed",
        help="US: mph, miles, US gallons. Nautical: knots, nautical miles, US gallons. "
        "Metric: km/h, km, litres.",
        **kept.shown_by("units"),
    )
    return kept.value("units")


def set_on(filed: Boat, units: str) -> Boat | None:
    """Draw load, power, pitch and fuel in a row; the boat as set, None where a text is not understood."""
    columns = st.container(key="settings").columns(4)
    with columns[0]:
        loaded = _load(filed)
    with columns[1]:
        power = _text(
            "Power of each engine" if filed.engine.count > 1 else "Power of the engine",
            "power",
            show(filed.engine.rated_power_w, "power", units, 0),
            changes.read_power,
            lambda read: show(read.value, "power", units, 0),
            'Rated power, such as "250 hp" or "186 kW". The engine\'s weight and rpm band stay as '
            "they are.",
        )
    with columns[2]:
        pitch = _text(
            "Propeller pitch",
            "pitch",
            show(filed.propeller.pitch_m, "length", units, 2),
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
            'A part of the tank or what is in it: half, 1/2, 35 %, full, "60 gal", "200 L".',
        )
    if not (power.clear and pitch.clear and fuel.clear):
        return None
    changed = loaded if fuel.read is None else loaded.at(tank=fuel.read)
    changed = changed if power.read is None else changes.with_power(changed, power.read)
    return changed if pitch.read is None else changes.with_pitch(changed, pitch.read)


def in_few_words(filed: Boat, units: str) -> str:
    """What is set on her, for a page on which the settings are folded away."""
    load = load_of(filed)
    power, pitch, fuel = (kept.value(name).strip() for name in kept.TYPED)
    said = (
        load,
        power or show(filed.engine.rated_power_w, "power", units, 0),
        pitch or show(filed.propeller.pitch_m, "length", units, 2),
        fuel or _fuel_words(filed.at(load=load), units),
    )
    return plain(f"Set to {', '.join(said)}")


def load_of(filed: Boat) -> str:
    """The load that is set, or the one her file means where that is none of hers."""
    load = kept.value("load")
    return load if load in filed.load_names else filed.load


def _load(filed: Boat) -> Boat:
    st.selectbox(
        "Load",
        filed.load_names,
        index=filed.load_names.index(load_of(filed)),
        format_func=lambda name: f"{name}: {_aboard(filed.at(load=name)) or 'nobody'}",
        help="The loads her file names: who and what is aboard, and how full the tank is.",
        **kept.shown_by("load"),
    )
    loaded = filed.at(load=load_of(filed))
    st.caption(plain(_who_is_aboard(loaded)))
    return loaded


def _who_is_aboard(boat: Boat) -> str:
    said = _aboard(boat)
    return f"Aboard: {said}" if said else "Nobody and nothing aboard"


def _aboard(boat: Boat) -> str:
    weights = [weight for weight in boat.weights if weight.name in boat.loaded.aboard]
    return ", ".join(f"{w.count} {w.name}" if w.count > 1 else w.name for w in weights)


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
    name: str,
    as_filed: str,
    reader: Callable[[str], _T],
    words: Callable[[_T], str],
    help: str,
) -> Typed[_T]:
    """One quantity as a person writes it, and under it how it was understood."""
    st.text_input(
        label,
        kept.value(name),
        placeholder=as_filed,
        max_chars=LONGEST,
        help=help,
        autocomplete="off",
        **kept.shown_by(name),
    )
    text = kept.value(name).strip()
    if not text:
        st.caption("As her file says")
        return Typed()
    try:
        read = reader(text)
    except ReadingError as why:
        st.error(plain(f"Not understood: {why}"))
        return Typed(clear=False)
    st.caption(plain(f"Read as {words(read)}; her file says {as_filed}"))
    return Typed(read)
