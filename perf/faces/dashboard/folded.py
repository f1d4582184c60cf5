"""What stands folded on the page of how she runs, worked out only when it is opened: tabs, her shape."""

from __future__ import annotations

from functools import lru_cache

import streamlit as st

from perf.base.results import Result
from perf.boat.parts import Boat
from perf.faces.dashboard import parts, pictures, tables
from perf.faces.dashboard.words import plain
from perf.faces.side_view_screen import described, view
from perf.studies.mount.drawing_parts import Drawing
from perf.studies.shape import SIMPLIFIED, shape_drawings
from perf.studies.tabs import tabs

KEPT = 16  # answers in memory
TABS_HEADING = "Trim tabs: what they gain over the hump and cost at the cruise"
SHAPE_HEADING = "Her shape, as worked with"
TABS_TABLE = (
    "tab_deflection_deg",
    "hump_trim_deg",
    "hump_resistance_n",
    "hump_spare_n",
    "cruise_trim_deg",
    "mileage_m_per_l",
    "mileage_lost",
    "fuel_lph",
    "more_fuel_lph",
)


@lru_cache(maxsize=KEPT)
def tabs_for(boat: Boat) -> Result:
    """The tabs of this boat, angle by angle; never to be changed."""
    return tabs(boat)


@st.fragment
def trim_tabs(boat: Boat, said: tuple[str, ...], units: str, dark: bool) -> None:
    """The tabs from up to all the way down: the answer, two curves, the table; said on the page already."""
    place = st.expander(TABS_HEADING, key="tabs-door", on_change="rerun")
    if not place.open:
        return
    with place:
        result = tabs_for(boat)
        st.markdown(plain(result.shown(units).answer))
        for plot in result.plots:
            pictures.picture(result, plot, units, dark)
        shown = result.shown(units).table("rows", TABS_TABLE)
        st.dataframe(
            shown, hide_index=True, column_config=tables.formats(TABS_TABLE, units),
            placeholder="", alt=f"{result.boat} by tabs: {', '.join(shown.columns)}", key="tabs-rows",
        )  # fmt: skip
        parts.cautions([code for code in result.cautions if code not in said], "tabs")


@lru_cache(maxsize=KEPT)
def shape_of(boat: Boat) -> tuple[Drawing, ...]:
    """Her sections, profile and half breadths at rest; never to be changed."""
    return shape_drawings(boat)


@st.fragment
def shape(boat: Boat, units: str, dark: bool) -> None:
    """What the hull looks like to the methods, to scale."""
    place = st.expander(SHAPE_HEADING, key="shape-door", on_change="rerun")
    if not place.open:
        return
    with place:
        st.markdown(plain(SIMPLIFIED))
        for one in shape_of(boat):
            with st.container(key=f"drawn-{one.key}"):
                drawing = view(one, units, dark=dark)
                st.vega_lite_chart(spec=drawing, width="content", key=f"drawing-{one.key}")
            st.caption(plain(described(one, units).removesuffix(SIMPLIFIED)))
        if not shape_of(boat):
            st.markdown("She was not found to float upright at this load, so nothing is drawn.")
