"""Pictures on the page: one plot at a time under tabs, each to be saved as PNG or SVG."""

from __future__ import annotations

import io
import threading
from functools import partial

import streamlit as st

from perf.base.results import Plot, Result
from perf.faces.dashboard.words import file_stem
from perf.faces.printed.paper import DOTS_PER_INCH, figure
from perf.faces.screen import chart

DRAWING = threading.Lock()  # the paper renderer keeps caches that two sessions must not share
MIME = {"png": "image/png", "svg": "image/svg+xml"}


def picture(result: Result, plot: Plot, units: str, dark: bool) -> None:
    """One plot, as wide as the page; it carries its own sentence for those who hear it."""
    st.altair_chart(
        chart(result, plot, units, dark=dark),
        width="stretch",
        key=f"plot-{plot.key}",
    )


def saved(result: Result, plot: Plot, units: str, ending: str) -> bytes:
    """One plot as the bytes of a PNG or SVG file; the same result gives the same bytes."""
    with DRAWING:
        page, out = figure(result, plot, units), io.BytesIO()
        page.savefig(
            out,
            format=ending,
            dpi=DOTS_PER_INCH,
            metadata={"Date": None} if ending == "svg" else None,
        )
    return out.getvalue()


def save_buttons(result: Result, plot: Plot, units: str) -> None:
    """Two buttons that draw the plot for paper when pressed."""
    with st.container(horizontal=True):
        for ending, mime in MIME.items():
            st.download_button(
                f"Save as {ending.upper()}",
                partial(saved, result, plot, units, ending),
                file_name=f"{file_stem(f'{result.boat} {plot.title}')}.{ending}",
                mime=mime,
                on_click="ignore",
                type="tertiary",
                key=f"save-{plot.key}-{ending}",
            )
