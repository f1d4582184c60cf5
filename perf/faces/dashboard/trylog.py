"""The log of a trial on the page: given, its headings confirmed, read; kept while the page is open."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import streamlit as st

from perf.base.faults import InputFaults, ReadingError
from perf.base.files import harmless_name
from perf.boat.log.columns import IGNORED, MEANINGS, LogColumn, named, says_enough
from perf.boat.log.demos import demo_logs
from perf.boat.log.file import Log, log_columns, read_log
from perf.faces.dashboard.tables import faults_table
from perf.faces.dashboard.words import plain

GIVEN, READ = "_trial_given", "_trial_read"
MOST_MB = 64
MOST_ASKED = 16  # columns that are shown for confirming
ENDINGS = ("csv", "txt", "tsv", "xlsx")
LONGEST_UNIT = 20


@dataclass(frozen=True)
class Given:
    """A log as it was given: its name and its bytes."""

    name: str
    content: bytes


def give(boat_key: str) -> Given | None:
    """Draw the ways to give a log; the one given last."""
    st.file_uploader(
        "The log: CSV or Excel, a line of headings, a line for each run or a recording",
        type=list(ENDINGS),
        key="trial-file",
        on_change=_take_file,
        max_upload_size=MOST_MB,
        help="Columns in any order: rpm, speed with its unit, fuel per hour with its unit; if known "
        "trim, drive trim, load, tank, wind, direction of the run, throttle. It is held in memory "
        "while this page is open and kept nowhere.",
    )
    demos = {name: path for name, path in demo_logs().items() if name.startswith(boat_key)}
    with st.container(horizontal=True):
        for name in demos:
            st.button(
                plain(
                    f"Try her demo log {name.removeprefix(boat_key).strip('_').replace('_', ' ')}"
                ),
                on_click=partial(_take_demo, name),
                key=f"trial-demo-{name}",
                help="Simulated for the demonstration, with the noise of its meters.",
            )
        if GIVEN in st.session_state:
            st.button("Take the log away", on_click=_forget, key="trial-away", type="tertiary")
    found: Given | None = st.session_state.get(GIVEN)
    return found


def _take_file() -> None:
    given = st.session_state.get("trial-file")
    if given is not None:
        _keep(Given(harmless_name(given.name, "log"), given.getvalue()))


def _take_demo(name: str) -> None:
    path = demo_logs()[name]
    _keep(Given(path.name, path.read_bytes()))


def _keep(given: Given) -> None:
    _forget()
    st.session_state[GIVEN] = given


def _forget() -> None:
    for name in [
        GIVEN,
        READ,
        *(key for key in st.session_state if str(key).startswith("trial-is-")),
    ]:
        st.session_state.pop(name, None)


def read(given: Given) -> Log | None:
    """The log read as its headings are confirmed; None where it is refused, with every fault shown."""
    try:
        found = log_columns(given.content, name=given.name)
    except InputFaults as faults:
        _refused(faults)
        return None
    columns = _confirmed(found)
    if columns is None:
        return None
    kept = st.session_state.get(READ)
    if kept is not None and kept[0] == columns:
        log: Log = kept[1]
        return log
    try:
        log = read_log(given.content, name=given.name, columns=columns)
    except InputFaults as faults:
        _refused(faults)
        return None
    st.session_state[READ] = (columns, log)
    return log


def _refused(faults: InputFaults) -> None:
    count = len(faults.faults)
    st.error(
        f"{plain(faults.source)} cannot be used yet: {count} thing{'s' if count > 1 else ''} to mend."
    )
    faults_table([fault.as_dict() for fault in faults.faults])


def _confirmed(found: tuple[LogColumn, ...]) -> tuple[LogColumn, ...] | None:
    """The columns as confirmed or told; None where a unit is not understood."""
    unsure = not says_enough(found)
    shown = [column for column in found if column.heading][:MOST_ASKED]
    read_as = ", ".join(f"{c.heading} is {c.meaning}" for c in shown if c.used)
    with st.expander(
        f"How the headings were read: {plain(read_as) or 'none was known'}", expanded=unsure
    ):
        told: dict[int, LogColumn | None] = {c.place: _one(c) for c in shown}
    if None in told.values():
        return None
    return tuple(told.get(column.place) or column for column in found)


def _one(column: LogColumn) -> LogColumn | None:
    """One heading: what it is and in which unit; None where that is not understood."""
    first, second, third = st.columns([2, 3, 2], vertical_alignment="bottom")
    with first:
        st.markdown(f"**{plain(column.heading)}**")
    known = [IGNORED, *MEANINGS]
    with second:
        meaning = st.selectbox(
            f"What {plain(column.heading)} is",
            known,
            index=known.index(column.meaning),
            format_func=lambda name: MEANINGS[name].said if name in MEANINGS else name,
            key=f"trial-is-{column.place}-meaning",
            label_visibility="collapsed",
        )
    with third:
        unit = st.text_input(
            f"Unit of {plain(column.heading)}",
            column.unit,
            max_chars=LONGEST_UNIT,
            key=f"trial-is-{column.place}-unit",
            placeholder="unit, such as mph",
            label_visibility="collapsed",
            autocomplete="off",
        )
    if meaning == column.meaning and unit == column.unit and not column.missing:
        return column
    try:
        told = named(column, str(meaning), unit)
    except ReadingError as why:
        st.error(plain(str(why)))
        return None
    if told.missing:
        st.error(plain(f"{column.heading}: {told.missing}"))
        return None
    return told
