"""The fields of a trip: its runs in a table, its weather, tank and reserve, the whole of it as text."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import streamlit as st

from perf.base.faults import InputFaults
from perf.boat.parts import Boat
from perf.boat.trip.file import demo_trips, read_trip
from perf.boat.trip.parts import Trip
from perf.boat.trip.writer import write_trip
from perf.faces.dashboard import triptext
from perf.faces.dashboard.tables import faults_table
from perf.faces.dashboard.triptext import MORE, WAYS, Raw
from perf.faces.dashboard.words import file_stem, plain

LONGEST = 60
COLUMNS = {  # of the editor: what stands over it, and what may be written
    "run": ("Run", "Any name."),
    "distance": ("Distance", "Such as 12 mi, 8 nmi. One of distance, from and to, hours."),
    "from": ("From", "A place of this trip; places are written in the text below."),
    "to": ("To", "A place of this trip."),
    "hours": ("Time", "Such as 3 h or 40 min: for trolling, idling, drifting."),
    "speed": ("Speed", "22 mph, best mileage, as fast as 1.0 g allows, 3800 rpm, idle, drift."),
    "over_ground": ("Over ground", "The speed is over the ground, not through the water."),
    "course": ("Course", "Such as SW or 215 deg, true."),
    "wind": ("Wind", "Such as 15 kn or 17 mph; empty as for the whole trip."),
    "wind_from": ("Wind from", "SW, 215 deg, ahead, on the bow, abeam, on the quarter, astern."),
    "wave_height": ("Waves", "Height of the sea, such as 2 ft."),
    "sea_from": ("Sea from", "As for the wind; empty as the wind."),
    "current": ("Current", "Such as 1.5 kn or 1.7 mph."),
    "current_toward": ("Sets toward", "As for the wind, but where it sets to."),
    "depth": ("Depth", "Where it is shallow, such as 12 ft."),
    "aboard": ("Aboard from here", "Names of her weights with commas between."),
    "take_on": ("Fuel taken on", "Before the run, such as 20 gal."),
}
WEATHER = ("wind", "wind_from", "wave_height", "sea_from", "current", "current_toward")
TANK = {
    "level": (
        "How full",
        "By the gauge or the dipstick: full, half, 3/4, 60 gal. Nothing: as set at the top.",
    ),
    "since_fill": ("Or burned since filled", "Such as 12 gal, from a log or flow meter."),
    "fill": ("A filled tank holds", "Share of the stated capacity, such as 0.95."),
    "gauge_error": ("The gauge lies by", "Such as 0.1: a tenth of the tank either way."),
}


def choose_trip(boat: Boat) -> None:
    """A demo trip that fits this boat, or a person's own file."""
    with st.popover("Another trip", key="another-trip"):
        for name in fitting(boat):
            words = demo_trips()[name].read_text(encoding="utf-8")
            st.button(
                plain(name.replace("_", " ").capitalize()),
                on_click=partial(triptext.put_ours, words),
                help=plain(words.splitlines()[0].lstrip("# ")),
                key=f"trip-{name}",
            )
        st.file_uploader(
            "Or your own trip file",
            type="toml",
            key="trip-file",
            on_change=_take_file,
            max_upload_size=1,
            help="A text file in the shape of the one you can save below, 64 kB at most.",
        )


def fitting(boat: Boat) -> list[str]:
    """Names of the demo trips whose loads and people this boat knows."""
    found = []
    for name, path in demo_trips().items():
        try:
            read_trip(path, boat)
        except InputFaults:
            continue
        found.append(name)
    return found


def _take_file() -> None:
    given = st.session_state.get("trip-file")
    if given is not None:
        triptext.put(given.getvalue()[:70_000].decode("utf-8", "replace"))


def fields() -> None:
    """Everything that can be set, in the order it is asked on a dock; what was edited goes into the text."""
    raw = triptext.raw_of(triptext.text())
    if raw is None or not isinstance(raw.get("runs", {}), dict):
        st.warning("The text of the trip below cannot be shown as a table: mend it there.")
        return
    before = write_trip(raw)
    st.subheader("The runs")
    _runs(raw)
    first, second = st.columns(2)
    with first, st.container(key="trip-weather"):
        st.subheader("Weather of the whole trip")
        _table(raw, "weather", {name: COLUMNS[name] for name in WEATHER})
    with second, st.container(key="trip-tank"):
        st.subheader("Tank and reserve")
        _table(raw, "tank", TANK)
        _top(raw, "reserve", "Kept back", "third, or a quantity such as 20 gal.")
    if write_trip(raw) != before:
        triptext.edited(raw)


def _runs(raw: Raw) -> None:
    """The runs in an editor whose rows may be added and taken away."""
    every = st.toggle("Weather, people and fuel run by run", key="trip-every")
    key = f"runs-{triptext.fresh()}"
    if key not in st.session_state or "_runs_source" not in st.session_state:
        st.session_state["_runs_source"] = triptext.runs_frame(raw)
    names = ("run", *WAYS, *(MORE if every else ()))
    config = {
        name: (
            st.column_config.CheckboxColumn(COLUMNS[name][0], help=COLUMNS[name][1])
            if name == "over_ground"
            else st.column_config.TextColumn(
                COLUMNS[name][0], help=COLUMNS[name][1], max_chars=LONGEST
            )
        )
        for name in ("run", *WAYS, *MORE)
    }
    edited = st.data_editor(
        st.session_state["_runs_source"],
        column_order=names,
        column_config=config,
        num_rows="dynamic",
        hide_index=True,
        key=key,
        alt="The runs of the trip, to be edited",
    )
    runs = triptext.runs_of(edited)
    if runs != triptext.runs_of(triptext.runs_frame(raw)):
        raw["runs"] = runs


def _table(raw: Raw, table: str, asked: dict[str, tuple[str, str]]) -> None:
    """Text fields of one table, two in a row; an empty one leaves its key out."""
    known = raw.get(table)
    inner: Raw = dict(known) if isinstance(known, dict) else {}
    columns = st.columns(2)
    for place, (name, (label, help)) in enumerate(asked.items()):
        with columns[place % 2]:
            said = _field(f"{table}-{name}", label, inner.get(name), help)
        _set(inner, name, said, bare=table == "tank")
    if inner or known:
        raw[table] = inner


def _top(raw: Raw, name: str, label: str, help: str) -> None:
    _set(raw, name, _field(name, label, raw.get(name), help))


def _field(name: str, label: str, value: object, help: str) -> str:
    """One text field that starts from what the trip says."""
    start = "" if value is None else str(value)
    said = st.text_input(
        label,
        start,
        key=f"trip-{name}-{triptext.fresh()}",
        max_chars=LONGEST,
        help=help,
        autocomplete="off",
    )
    return (said or "").strip()


def _set(table: Raw, name: str, said: str, bare: bool = False) -> None:
    """What was said under a name, a number bare where the file wants it so; gone where it is nothing."""
    old = table.get(name)
    if said == ("" if old is None else str(old)):
        return
    if not said:
        table.pop(name, None)
        return
    try:
        table[name] = float(said) if bare else said
    except ValueError:
        table[name] = said


def as_text() -> None:
    """The whole trip as text, for what the fields do not show: places, the log of fill-ups, new weights."""
    with st.expander("The whole trip as text: places, burn log, what comes aboard"):
        st.text_area(
            "Trip file",
            triptext.text(),
            key=f"trip-text-{triptext.fresh()}-{hash(triptext.text())}",
            height=420,
            on_change=_take_text,
            args=(f"trip-text-{triptext.fresh()}-{hash(triptext.text())}",),
        )


def _take_text(key: str) -> None:
    triptext.put(str(st.session_state.get(key, "")))


def read(boat: Boat) -> Trip | None:
    """The trip as it stands, None and its faults on the page where it is not understood."""
    try:
        return read_trip(triptext.text().encode("utf-8"), boat, name="this trip")
    except InputFaults as faults:
        count = len(faults.faults)
        st.error(f"{count} fault{'s' if count > 1 else ''} in this trip: nothing is worked out.")
        faults_table([fault.as_dict() for fault in faults.faults], "trip")
        return None


def file_name(trip: Trip, ending: str) -> str:
    """A safe file name from the name of a trip."""
    return str(Path(file_stem(trip.name)).with_suffix(ending))
