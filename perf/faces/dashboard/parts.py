"""Pieces every page is made of: the answer, key figures, cautions, how sure, what was assumed, sources."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

import pandas as pd
import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from perf.base.assumptions import Assumption
from perf.base.bands import OF_DRAWS, fell_inside, measured_bands
from perf.base.cautions import sentence
from perf.base.columns import column
from perf.base.results import Result
from perf.base.sources import SOURCES
from perf.base.units import show, unit_label
from perf.faces.dashboard.words import plain

BAND_COMES = "band on its way"
WAITING_WORDS = "How sure that is, is being worked out."
NONE = "none"

# Which cautions stand beside what; those named nowhere stand under the picture.
BESIDE: dict[str, tuple[str, ...]] = {
    "engine": ("over_plate", "no_plate"),
    "figures": ("rpm_under_band", "rpm_over_band", "reserve", "estimate"),
}
LOUD = "engine"  # what stands here forbids something


def answer(result: Result, units: str, *, waiting: bool = False) -> None:
    """The answer as it could be spoken on a dock; waiting, what is still missing from it."""
    with st.container(key="answer"):
        said = plain(result.shown(units).answer)
        st.markdown(f"{said} {WAITING_WORDS}" if waiting else said)


# --- figures --------------------------------------------------------------------------------------


def figures(
    result: Result,
    names: Sequence[str],
    units: str,
    key: str,
    *,
    explained: bool = False,
    waiting: bool = False,
) -> list[DeltaGenerator]:
    """Key figures in a row, each with its band or why there is none; explained says what a band is.

    waiting : the bands are still being worked out, and each figure says so. What stands under each
    figure is returned, for the bands to take its place.
    """
    under = []
    with st.container(key=f"figures-{key}"):
        for place, name in zip(st.columns(len(names)), names, strict=True):
            with place:
                label, value, beside = figure(result.summary, name, units)
                st.metric(label, value)
                words = BAND_COMES if waiting and value != NONE else plain(beside)
                under.append(st.caption(words))
        if explained:
            st.caption(band_words(result.kind))
    return under


def band_words(kind: str) -> str:
    """What the band under each figure holds, of our own draws and of what was measured."""
    return f"Under each figure: {OF_DRAWS}; {fell_inside(measured_bands(kind))}."


def bands(
    under: Sequence[DeltaGenerator], result: Result, names: Sequence[str], units: str
) -> None:
    """The bands under figures that stand on the page already."""
    for place, name in zip(under, names, strict=True):
        place.caption(plain(figure(result.summary, name, units)[2]))


def figure(summary: Mapping[str, Any], name: str, units: str) -> tuple[str, str, str]:
    """One key figure: its label, its value, and its band or why it does not exist."""
    about = column(name)
    label = f"{about.label[:1].upper()}{about.label[1:]}"
    value = summary.get(name)
    if value is None:
        return label, NONE, str(summary.get("reasons", {}).get(name, "not known"))
    said = show(float(value), about.kind, units, about.digits)
    low, high = (summary.get(name + end) for end in ("_p10", "_p90"))
    if low is None and high is None:
        if about.kind != "share":
            return label, said, "worked out once, without a band"
        chance = f"{said.removesuffix(' %')} in 100"
        return label, chance, "allowing for all that is not known for sure"
    return label, said, between(low, high, about.kind, units, about.digits)


def between(low: float | None, high: float | None, kind: str, units: str, digits: int) -> str:
    """A band in words; open on the side where one draw in ten has no number at all."""
    first, last = (
        None if edge is None else show(edge, kind, units, digits) for edge in (low, high)
    )
    if first is None:
        return f"up to {last}, or none at all"
    if last is None:
        return f"from {first}, or none at all"
    label = unit_label(kind, units)
    bare = first.removesuffix(label).rstrip() if last.endswith(label) else first
    return f"{bare} to {last}"


# --- cautions -------------------------------------------------------------------------------------


def cautions(codes: Iterable[str], key: str, spoken: Callable[[str], str] = sentence) -> None:
    """Sentences that limit what stands above them, set apart by a rule and the word, not by colour alone."""
    said = [plain(spoken(code)) for code in codes]
    if said:
        with st.container(key=f"caution-{key}"):
            st.markdown("\n".join(f"- **Caution.** {words}" for words in said))


def cautions_beside(result: Result, place: str) -> None:
    """Those cautions of a result that belong beside one thing; "rest" for all that belong to none."""
    named = {code for codes in BESIDE.values() for code in codes}
    wanted = BESIDE.get(place, tuple(code for code in result.cautions if code not in named))
    here = [code for code in wanted if code in result.cautions]
    if place == LOUD:
        for code in here:
            st.warning(f"**Caution.** {plain(sentence(code))}")
    else:
        cautions(here, place)


# --- what lies behind -----------------------------------------------------------------------------


def how_sure(result: Result) -> None:
    """How sure the answer is, and what that does not cover."""
    doubt = result.doubt
    if not doubt.get("draws"):
        st.markdown("No bands were worked out, so how sure this is, is not said here.")
        return
    inside, outside = doubt.get("inside", ()), doubt.get("outside", ())
    st.markdown(
        f"Worked out {doubt['draws']} times over, each time with every value that is not known for "
        f"sure ({len(inside)} of them) drawn anew. The band holds {OF_DRAWS}: one in ten is lower, one "
        "in ten higher. A time in which she does not get on plane counts as the worst. That is not the "
        f"same as the truth: {fell_inside(measured_bands(result.kind))}."
    )
    if outside:
        st.markdown(plain(f"Not in the band: {', '.join(outside)}."))


def behind(result: Result, units: str) -> None:
    """What was assumed and where the methods come from, folded away."""
    with st.expander(f"Assumed, where nobody said ({len(result.assumptions)})"):
        assumptions_table(result.assumptions, units)
    with st.expander(f"Sources ({len(result.sources)})"):
        sources_list(result.sources)


def assumptions_table(assumptions: Sequence[Assumption], units: str) -> None:
    """Each assumption with its value, its doubt and how it is known."""
    rows = {
        "what": [plain(a.sentence) for a in assumptions],
        "value": [plain(a.said(units)) for a in assumptions],
        "known by": [plain(a.known_by) for a in assumptions],
    }
    st.table(pd.DataFrame(rows), border="horizontal", hide_index=True)


def sources_list(keys: Iterable[str]) -> None:
    """Full references, one line each."""
    known = [SOURCES[key].text for key in keys if key in SOURCES]
    st.markdown("\n".join(f"- {plain(text)}" for text in known))
