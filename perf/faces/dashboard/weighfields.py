"""Tables in which candidates and the season are edited, and the two as text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd
import streamlit as st

from perf.base.faults import InputFaults
from perf.boat.catalog import engines
from perf.boat.choice.duty import read_duty
from perf.boat.choice.file import read_candidates
from perf.boat.choice.parts import AS_SHE_IS, Candidates, Duty
from perf.boat.choice.schema import CANDIDATE, KINDS_OF_RUN, RUNNING
from perf.boat.parts import Boat
from perf.boat.schema import COUNT
from perf.faces.dashboard import weightext
from perf.faces.dashboard.tables import faults_table
from perf.faces.dashboard.weightext import CANDIDATES, DUTY, Raw, inner, said, value_of, word

LONGEST = 60
BARE = ("ratio", "money", "share", COUNT)
# columns of the table of candidates: what stands over each, and what may be written
MONEY = {
    "price": ("Price", "Of all its engines together, rigging apart."),
    "labour": ("Labour", "To take the old off and put the new on."),
    "propeller_price": ("Propeller", "Price of one, times the number of engines."),
    "trade_in": ("Trade-in", "What the old engine brings."),
    "lost_days": ("Days to fit", "Days at the dock while it is done."),
    "service_per_hour": ("Service an hour", "Of one engine, per hour it runs."),
    "upkeep_per_year": ("Upkeep a year", "Beyond service; such as 900 ± 300."),
    "upkeep_rise": ("Upkeep rises", "Each year, such as 12 %."),
    "lost_days_per_year": ("Lost days a year", "Days at the dock for repairs."),
    "expected_hours": ("Lasts", "Engine hours to come, such as 4000 h."),
    "residual": ("Left at the end", "What it still fetches after the last year."),
    "fuel_price": ("Fuel price", "Only where it burns another fuel, such as 5.60 per gal."),
}
RUNS = {
    "kind": ("What", "run, troll, idle or drift."),
    "distance": ("Distance", "Such as 16 mi ± 3 mi or 14 nmi; one of distance and time."),
    "hours": ("Time", "Such as 2 h or 20 min."),
    "speed": ("Speed", "Such as 25 mph, or best."),
    "load": ("Load", "One of her own loads."),
    "trips": ("Times a season", "Empty: on every trip."),
    "engines": ("Engines turning", "Such as 1 of two when trolling; empty for all."),
}
SEASON = {
    "trips": ("Trips a season", "Such as 96 or 96 ± 10."),
    "weeks": ("Weeks in the water", "Such as 20."),
    "weeks_between_scrubs": ("Weeks between scrubs", "Such as 8."),
    "scrub_price": ("Price of a scrub", "A bare number."),
}
FUNDS = {
    "currency": ("Money is in", "Such as crowns; a word and no more."),
    "fuel_price": ("Fuel price", "Such as 5.20 per gal ± 8 %."),
    "discount_rate": ("Real discount rate", "Over inflation, such as 4 %."),
    "years": ("Years counted", "Such as 8."),
    "lost_day": ("A lost day costs", "What a day at the dock costs in missed work."),
}


def candidate_rows() -> None:
    """Candidates in a table whose rows may be added and taken away."""
    raw = weightext.raw_of(CANDIDATES)
    if raw is None:
        st.warning("The text of the candidates cannot be shown as a table: mend it below.")
        return
    edited = _editor(
        CANDIDATES,
        _candidate_frame(raw),
        {
            "name": st.column_config.TextColumn("Candidate", max_chars=LONGEST, required=True),
            "engine": st.column_config.SelectboxColumn(
                "Engine", options=["", *engines()], help="One of the catalogue; generic, no makes."
            ),
            "count": st.column_config.TextColumn("Engines", help="Empty: as many as now."),
            **_texts(MONEY),
        },
        "Candidates, to be edited",
    )
    changed = _candidates_of(edited, raw)
    if changed != raw:
        weightext.edited(CANDIDATES, changed)


def run_rows() -> None:
    """The season: its runs in a table, its figures and the money in fields."""
    raw = weightext.raw_of(DUTY)
    if raw is None:
        st.warning("The text of the season cannot be shown as a table: mend it below.")
        return
    frame = _frame(
        [
            {"run": name} | {k: word(inner(raw, "runs", name).get(k)) for k in RUNS}
            for name in inner(raw, "runs")
        ],
        ["run", *RUNS],
    )
    config = {"run": st.column_config.TextColumn("Run", max_chars=LONGEST), **_texts(RUNS)}
    config["kind"] = st.column_config.SelectboxColumn(RUNS["kind"][0], options=list(KINDS_OF_RUN))
    edited = _editor(DUTY, frame, config, "Runs of a trip, to be edited")
    changed = {**raw, "runs": _runs_of(edited)}
    first, second = st.columns(2)
    with first:
        changed["season"] = _fields("season", SEASON, inner(raw, "season"))
    with second:
        changed["money"] = _fields("money", FUNDS, inner(raw, "money"))
    changed = {k: v for k, v in changed.items() if v != {}}
    if changed != raw:
        weightext.edited(DUTY, changed)


def as_text() -> None:
    """Both as text, for what the tables do not show: rigging, brackets, propellers, facts for the rules."""
    with st.expander("As text: rigging, brackets, propellers, what the rules ask"):
        for which, label in ((CANDIDATES, "Candidates file"), (DUTY, "Season file")):
            key = f"weigh-text-{which}-{weightext.fresh(which)}-{hash(weightext.text(which))}"
            st.text_area(
                label,
                weightext.text(which),
                key=key,
                height=320,
                on_change=_take_text,
                args=(which, key),
            )


def _take_text(which: str, key: str) -> None:
    weightext.put(which, str(st.session_state.get(key, "")))


def read(boat: Boat) -> tuple[Candidates, Duty] | None:
    """Candidates and season as they stand; None and the faults on the page where one is not understood."""
    try:
        duty = read_duty(weightext.text(DUTY).encode(), boat, name="this season")
        found = read_candidates(weightext.text(CANDIDATES).encode(), boat, name="these candidates")
    except InputFaults as faults:
        many = len(faults.faults)
        st.error(
            f"{many} fault{'s' if many > 1 else ''} in {faults.source}: nothing is worked out."
        )
        faults_table([fault.as_dict() for fault in faults.faults], "weigh")
        return None
    return found, duty


# --- tables -----------------------------------------------------------------------------------------


def _texts(asked: dict[str, tuple[str, str]]) -> dict[str, Any]:
    return {
        name: st.column_config.TextColumn(label, help=help, max_chars=LONGEST)
        for name, (label, help) in asked.items()
    }


def _editor(which: str, frame: pd.DataFrame, config: dict[str, Any], alt: str) -> pd.DataFrame:
    """An editor that keeps the frame it began with, so that no second edit is lost."""
    key = f"weigh-{which}-{weightext.fresh(which)}"
    source = f"_weigh_source_{which}"
    if key not in st.session_state or source not in st.session_state:
        st.session_state[source] = frame
    edited: pd.DataFrame = st.data_editor(
        st.session_state[source],
        column_config=config,
        column_order=list(config),
        num_rows="dynamic",
        hide_index=True,
        key=key,
        alt=alt,
    )
    return edited


def _frame(rows: Sequence[Raw], columns: list[str]) -> pd.DataFrame:
    return pd.DataFrame(list(rows), columns=columns, dtype=object)


def _candidate_frame(raw: Raw) -> pd.DataFrame:
    her = inner(raw, "as_she_is")
    rows: list[Raw] = [{"name": AS_SHE_IS} | {k: word(her.get(k)) for k in MONEY}]
    for name in inner(raw, "candidates"):
        it = inner(raw, "candidates", name)
        engine = inner(it, "engine")
        rows.append(
            {
                "name": name,
                "engine": word(engine.get("catalogue")),
                "count": word(engine.get("count")),
            }
            | {k: word(it.get(k)) for k in MONEY}
        )
    return _frame(rows, ["name", "engine", "count", *MONEY])


def _candidates_of(frame: pd.DataFrame, raw: Raw) -> Raw:
    """Rows back into the tables; what the rows do not show stays as it was."""
    changed: Raw = {**raw, "candidates": {}}
    for row in frame.to_dict("records"):
        name = said(row.get("name"))
        if not name:
            continue
        if name.lower() == AS_SHE_IS:
            her = inner(raw, "as_she_is")
            _fill(her, row, [k for k in MONEY if k in RUNNING])
            changed["as_she_is"] = her
            continue
        it = inner(raw, "candidates", name)
        engine = inner(it, "engine")
        for key, column in (("catalogue", "engine"), ("count", "count")):
            _put(engine, key, said(row.get(column)), bare=key == "count")
        it["engine"] = engine
        _fill(it, row, list(MONEY))
        changed["candidates"][name] = {k: v for k, v in it.items() if v != {}}
    if not changed.get("as_she_is"):
        changed.pop("as_she_is", None)
    return changed


def _fill(table: Raw, row: Mapping[Any, Any], names: Sequence[str]) -> None:
    for name in names:
        _put(table, name, said(row.get(name)), bare=CANDIDATE[name].kind in BARE)


def _runs_of(frame: pd.DataFrame) -> Raw:
    """Rows back into runs; empty rows go, a name that stands twice is told apart."""
    found: Raw = {}
    for row in frame.to_dict("records"):
        run: Raw = {}
        for key in RUNS:
            _put(run, key, said(row.get(key)), bare=key in ("trips", "engines"))
        if not run and not said(row.get("run")):
            continue
        name = said(row.get("run")) or f"run {len(found) + 1}"
        while name in found:
            name = f"{name} again"
        found[name] = run
    return found


def _put(table: Raw, key: str, words: str, *, bare: bool) -> None:
    """What was said under a key, kept as it stood where it says the same; gone where it is nothing."""
    if words == word(table.get(key)):
        return
    if words:
        table[key] = value_of(words, bare)
    else:
        table.pop(key, None)


def _fields(table: str, asked: dict[str, tuple[str, str]], known: Raw) -> Raw:
    """Text fields of one table, two in a row; an empty one leaves its key out."""
    columns = st.columns(2)
    for place, (name, (label, help)) in enumerate(asked.items()):
        with columns[place % 2]:
            words = st.text_input(
                label,
                word(known.get(name)),
                key=f"weigh-{table}-{name}-{weightext.fresh(DUTY)}",
                max_chars=LONGEST,
                help=help,
                autocomplete="off",
            )
        text = ("currency", "fuel_price", "discount_rate")
        _put(known, name, said(words), bare=name not in text)
    return known
