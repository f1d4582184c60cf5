"""What weighed candidates look like on the page: the trade, side by side, curves, rules, how sure, files."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from functools import partial

import pandas as pd
import streamlit as st

from perf.base.bands import OF_DRAWS, fell_inside
from perf.base.results import Plot, Result
from perf.boat.choice.parts import AS_SHE_IS
from perf.faces.dashboard import parts, pictures, tables, weightext
from perf.faces.dashboard.aboard import Aboard
from perf.faces.dashboard.words import file_stem, plain
from perf.faces.printed.repower_sheet import sheet
from perf.faces.text.repower import MONEY, SHOWN, cell, heading, rule_words
from perf.studies.repower.plots import MOST_CURVES, lines

FOUR = ("will_plane", "hump_margin_n", "top_speed_mps", "time_to_plane_s")
GRAVE = ("over_plate", "no_plate")


def first(result: Result, here: Aboard) -> None:
    """The answer, four figures of the first choice, the trade as a picture, candidates side by side."""
    with here.top:
        parts.answer(result, here.units)
    for code in GRAVE:
        if code in result.cautions:
            parts.cautions((code,), code, result.caution)
    st.subheader(plain(_whose_figures(result)))
    parts.figures(result, FOUR, here.units, "weigh", explained=True)
    for place, plot in zip(st.columns(2), _trades(result), strict=True):
        with place:
            pictures.picture(result, plot, here.units, here.dark)
            pictures.save_buttons(result, plot, here.units)
    st.header("Side by side")
    if result.inputs["as_she_is_here"]:
        st.caption(plain(result.inputs["as_she_is_here"]))
    _side_by_side(result, [name for block in SHOWN for name in block], here.units)
    if len(result.tables["money"]):
        coin = result.inputs["currency"]
        st.subheader(plain(f"Money{f', in {coin}' if coin else ''}, against keeping her as she is"))
        _side_by_side(result, list(MONEY), here.units)
    said = [code for code in result.cautions if code not in GRAVE]
    parts.cautions(said, "weigh")


def _whose_figures(result: Result) -> str:
    """Whose four figures stand below: the first choice, or one that no ranking put first."""
    who = f"{result.summary['first']}, loaded as {result.inputs['heaviest_load']}"
    if not result.summary["ranked"]:
        return f"{who[0].upper()}{who[1:]}"
    if result.summary["no_difference"]:
        return f"First as the figures stand, with no difference to rely on: {who}"
    return f"The first choice: {who}"


def _trades(result: Result) -> list[Plot]:
    return [plot for plot in result.plots if plot.key.startswith("trade_")]


def _side_by_side(result: Result, names: list[str], units: str) -> None:
    """Figures as rows, candidates as columns, each with its band in the same cell."""
    frame = result.tables["candidates"]
    shown = {"": [heading(name, units) for name in names]}
    for at in range(len(frame)):
        cells = (cell(frame.iloc[at], name, units) for name in names)
        shown[plain(str(frame["candidate"].iloc[at]))] = [
            plain(f"{value} ({band})" if band else value) for value, band in cells
        ]
    st.table(pd.DataFrame(shown), border="horizontal", hide_index=True)


def rest(result: Result, here: Aboard) -> None:
    """Curves, propellers, loads, season, rules, how sure, and what can be taken along."""
    st.header("Curves side by side")
    _curves(result, here)
    st.header("Propellers tried")
    tried = result.tables["propellers"]
    if len(tried):
        st.table(
            tables.words_table(tried[_PROPELLERS], here.units), border="horizontal", hide_index=True
        )
    st.header("Load by load")
    st.table(
        tables.words_table(result.tables["loads"][_LOADS], here.units),
        border="horizontal",
        hide_index=True,
    )
    st.header("What the season burns")
    st.table(
        tables.words_table(result.tables["season"], here.units),
        border="horizontal",
        hide_index=True,
    )
    if len(result.tables["scrubs"]):
        st.subheader("Does a scrub pay")
        st.table(
            tables.words_table(result.tables["scrubs"], here.units),
            border="horizontal",
            hide_index=True,
        )
    _rules(result)
    st.header("How sure this is")
    _sure(result, here)
    for note in result.notes:
        if note != result.inputs["as_she_is_here"]:  # stands beside the figures
            st.markdown(plain(note))
    st.header("Take it along")
    _take(result, here)
    parts.behind(result, here.units)


_PROPELLERS = [
    "candidate",
    "role",
    "propeller",
    "in_band",
    "top_rpm",
    "top_speed_mps",
    "wanted_fuel_lph",
    "hump_margin_n",
    "time_to_plane_s",
]
_LOADS = [
    "candidate",
    "load",
    "will_plane",
    "hump_margin_n",
    "time_to_plane_s",
    "top_speed_mps",
    "top_rpm",
    "best_mileage_m_per_l",
    "one_engine_speed_mps",
]


@st.fragment
def _curves(result: Result, here: Aboard) -> None:
    """Curves of her and of those chosen, no more than can be told apart."""
    names = [str(name) for name in result.summary["ranking"] if name != AS_SHE_IS]
    chosen = st.multiselect(
        "Beside her as she is",
        names,
        default=names[:1],
        max_selections=MOST_CURVES - 1,
        key=f"weigh-curves-{hash(tuple(names))}",
    )
    pairs = {
        "mileage_m_per_l": "Mileage",
        "fuel_lph": "Fuel burn",
        "sum_gain": "Money so far",
    }
    plots = {pairs[p.key]: p for p in result.plots if p.key in pairs}
    places = st.tabs(list(plots), key="weigh-tab", on_change="rerun")
    for place, plot in zip(places, plots.values(), strict=True):
        if place.open:
            with place:
                table = "money" if plot.key == "sum_gain" else "rows"
                drawn = replace(
                    plot, lines=lines(result.tables, table, plot.y, [AS_SHE_IS, *chosen])
                )
                pictures.picture(result, drawn, here.units, here.dark)
                pictures.save_buttons(result, drawn, here.units)


def _rules(result: Result) -> None:
    st.header("Rules")
    st.markdown("The capacity plate, the builder and the engine maker come before any formula.")
    frame = result.tables["rules"]
    shown = {
        "candidate": [plain(str(name)) for name in frame["candidate"]],
        "rule": [plain(str(rule)) for rule in frame["rule"]],
        "what it says": [
            plain(rule_words(str(applies), str(says)))
            for applies, says in zip(frame["applies"], frame["says"], strict=True)
        ],
    }
    st.table(pd.DataFrame(shown), border="horizontal", hide_index=True)
    with st.expander("To be answered yes or no before anything is ordered"):
        asked = result.tables["questions"]
        st.markdown(
            "\n".join(
                f"- **{plain(str(ask))}**: {plain(str(question))}"
                for ask, question in zip(asked["ask"], asked["question"], strict=True)
            )
        )


def _sure(result: Result, here: Aboard) -> None:
    st.markdown(
        plain(
            f"Everything that is not known for sure was drawn {result.doubt['draws']} times, the same for "
            "every candidate: what is wrong about the hull is wrong for all of them alike. A band holds "
            f"{OF_DRAWS}; a time in which she does not plane counts as the worst. That is not the same as "
            f"the truth: {fell_inside()}."
        )
    )
    for plot in result.plots:
        if plot.style == "bars":
            pictures.picture(result, plot, here.units, here.dark)
    with st.expander("Candidate against candidate: how many times in 100 one beats the other"):
        st.table(
            tables.words_table(result.tables["pairwise"], here.units),
            border="horizontal",
            hide_index=True,
        )


# --- taking it along ------------------------------------------------------------------------------------


def _take(result: Result, here: Aboard) -> None:
    stem = file_stem(f"{result.boat} engines")
    with st.container(horizontal=True):
        st.download_button(
            "Two pages for the customer",
            partial(_sheet, result, here.units),
            file_name=f"{stem}.pdf",
            mime="application/pdf",
            on_click="ignore",
            key="weigh-pdf",
        )
        st.download_button(
            "Every table as CSV",
            partial(tables_zip, result),
            file_name=f"{stem}_tables.zip",
            mime="application/zip",
            on_click="ignore",
            key="weigh-zip",
            help="One file a table, unrounded, in metres, kilograms and seconds.",
        )
        for which, label in (
            (weightext.CANDIDATES, "Candidates file"),
            (weightext.DUTY, "Season file"),
        ):
            st.download_button(
                label,
                weightext.text(which),
                file_name=f"{stem}_{which}.toml",
                mime="application/toml",
                on_click="ignore",
                key=f"weigh-save-{which}",
            )
    tables.result_files(result, here.units)


def _sheet(result: Result, units: str) -> bytes:
    with pictures.DRAWING:  # one lock for every session
        return sheet(result, units)


def tables_zip(result: Result) -> bytes:
    """Every table of a result as CSV in one archive; the same result gives the same bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, frame in result.tables.items():
            entry = zipfile.ZipInfo(f"{name}.csv", (2026, 1, 1, 0, 0, 0))
            archive.writestr(entry, frame.to_csv(index=False, lineterminator="\n"))
    return out.getvalue()
