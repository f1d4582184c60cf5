"""How she runs: speed, fuel, rpm, range and trim of one boat, over the hump and where the power goes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from perf.base.results import Result
from perf.base.units import show
from perf.boat.parts import Boat
from perf.faces.dashboard import comparing, parts, pictures, saving, tables
from perf.faces.dashboard.aboard import Aboard, aboard
from perf.faces.dashboard.answers import answer_for, first_for, ready_for
from perf.faces.dashboard.folded import shape, trim_tabs
from perf.faces.dashboard.shares import power_at_speed

FOUR = ("top_speed_mps", "best_mileage_speed_mps", "best_mileage_m_per_l", "best_range_m")
HUMP = ("hump_margin_n", "time_to_plane_s", "will_plane", "slowest_planing_speed_mps")
SLOW = ("trolling_speed_mps", "trolling_fuel_lph", "one_stopped_speed_mps", "one_stopped_planes")
TABS = {
    "mileage_m_per_l": "Mileage",
    "fuel_lph": "Fuel burn",
    "engine_rpm": "Engine rpm",
    "range_m": "Range",
    "trim_deg": "Running trim",
}
TABLE = (
    "speed_mps",
    "fuel_lph",
    "mileage_m_per_l",
    "range_m",
    "engine_rpm",
    "throttle",
    "trim_deg",
    "drive_trim_deg",
)


def show_page() -> None:
    """The whole page, or nothing but the shell while something is not understood."""
    here = aboard()
    if here.boat is None:
        return
    result = ready_for(here.boat)
    if result is None:
        # her curves as stated are seen while the draws are worked out; then the page is drawn whole
        _top(first_for(here.boat), here.boat, here, waiting=True)
        answer_for(here.boat)
        st.rerun()
    compared = _top(result, here.boat, here)
    comparing.figures_table(compared, here.units)
    parts.cautions_beside(result, "rest")
    _over_the_hump(result, here.units)
    _slow(result, here.units)
    trim_tabs(here.boat, result.cautions, here.units, here.dark)
    shape(here.boat, here.units, here.dark)
    st.header("Where the power goes")
    power_at_speed(result, here.units, here.dark)
    st.header("Speed by speed")
    tables.speed_table(result, TABLE, here.units)
    st.header("How sure this is")
    parts.how_sure(result)
    tables.opinions(result, here.units)
    _take_along(result, here)
    parts.behind(result, here.units)


def _top(result: Result, boat: Boat, here: Aboard, *, waiting: bool = False) -> Result:
    """The answer, the four figures and the picture; what is drawn, kept boats with it."""
    with here.top:
        parts.answer(result, here.units, waiting=waiting)
    parts.cautions_beside(result, "engine")
    parts.figures(result, FOUR, here.units, "first", explained=True, waiting=waiting)
    parts.cautions_beside(result, "figures")
    compared = comparing.beside(result)
    curves(compared, here.units, here.dark)
    comparing.keep_button(boat, here)
    return compared


@st.fragment
def curves(result: Result, units: str, dark: bool) -> None:
    """The plots of a result under tabs; only the one that is open is drawn."""
    plots = {TABS.get(plot.key, plot.title): plot for plot in result.plots}
    for place, plot in zip(
        st.tabs(list(plots), key="picture", on_change="rerun"),
        plots.values(),
        strict=True,
    ):
        if place.open:
            with place:
                pictures.picture(result, plot, units, dark)
                pictures.save_buttons(result, plot, units)


def _over_the_hump(result: Result, units: str) -> None:
    st.header("Over the hump")
    st.markdown(hump_words(result.summary, units))
    parts.figures(result, HUMP, units, "hump")


def _slow(result: Result, units: str) -> None:
    """Idling in gear, and one engine of several stopped, where that was worked out."""
    names = [name for name in SLOW if name in result.summary]
    if names:
        several = "one_stopped_speed_mps" in names
        st.header("At idle, and on one engine less" if several else "At idle")
        parts.figures(result, names, units, "slow")


def hump_words(summary: Mapping[str, Any], units: str) -> str:
    """Whether she gets over the hump, as one sentence."""
    hump, spare, seconds = (
        summary.get(name) for name in ("hump_speed_mps", "hump_margin_n", "time_to_plane_s")
    )
    if hump is None or spare is None:
        return "No hump was found: at no speed does the thrust she needs come closest to what full throttle gives."
    where = f"She is hardest to push at {show(hump, 'speed', units, 0)}, just before she planes. "
    if seconds is None:
        return f"{where}Full throttle does not take her past it at this load."
    return (
        f"{where}Full throttle pushes {show(spare, 'force', units, 0)} harder than she needs there, "
        f"and from rest she is on plane in about {show(seconds, 'time', units, 0)}."
    )


def _take_along(result: Result, here: Aboard) -> None:
    st.header("Take it along")
    tables.result_files(result, here.units)
    if here.shared:
        st.caption(
            "The address of this page holds the boat and all that was set on her: send it, and another sees the same."
        )
    else:
        st.caption(
            "The address of this page does not hold your own boat: save all of it and send that file."
        )
    saving.button("save-all-here")
