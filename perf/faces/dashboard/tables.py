"""Tables on the page, speed first, and the files a result is saved as."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import partial
from string import ascii_lowercase
from typing import Any, Literal

import pandas as pd
import streamlit as st

from perf.base.cautions import sentence
from perf.base.columns import Column, column
from perf.base.results import Result, heading_of
from perf.base.units import show
from perf.faces.dashboard.words import file_stem, plain

HIGH = 420  # pixels, about ten rows
NOTE = "note"
ABOVE = "as said at the top of this page"


def speed_table(
    result: Result,
    columns: Sequence[str],
    units: str,
    high: int | Literal["content"] = HIGH,
    said: Sequence[str] = (),
) -> None:
    """Rows over speed in the reader's units, a note beside each, and what the letters stand for.

    said : cautions whose sentence stands higher on the page: their letter only points there.
    """
    frame = result.tables["rows"]
    letters = caution_letters(frame)
    shown = result.shown(units).table("rows", tuple(columns))
    if {"cautions", "status"} <= set(frame.columns):
        shown[NOTE] = _notes(frame, letters)
    st.dataframe(
        shown,
        hide_index=True,
        height=high,
        column_config=formats(columns, units)
        | {NOTE: st.column_config.TextColumn(width=150, help="Cautions by letter, or why not.")},
        placeholder="",
        alt=f"{result.boat} over speed: {', '.join(shown.columns)}",
        key="rows",
    )
    if letters:
        meant = [
            f"- **{letter}** {ABOVE if code in said else plain(sentence(code))}"
            for code, letter in letters.items()
        ]
        with st.container(key="caution-rows"):
            st.markdown("**Cautions**, by the letter in the last column\n" + "\n".join(meant))


def formats(columns: Sequence[str], units: str) -> dict[str, Any]:
    """How each column of numbers is shown: its digits, and its sentence on hovering."""
    found: dict[str, Any] = {}
    for name in columns:
        about = column(name)
        if about.kind == "text":
            continue
        found[heading_of(name, units)] = st.column_config.NumberColumn(
            format=f"%.{about.decimals}f", help=about.sentence
        )
    return found


def caution_letters(frame: pd.DataFrame) -> dict[str, str]:
    """A letter for every caution that some row in which she runs carries, in order of first use.

    None where the rows carry neither cautions nor a status.
    """
    if not {"cautions", "status"} <= set(frame.columns):
        return {}
    codes = [code for text in frame["cautions"][frame["status"].eq("ok")] for code in text.split()]
    return dict(zip(dict.fromkeys(codes), ascii_lowercase, strict=False))


def _notes(frame: pd.DataFrame, letters: Mapping[str, str]) -> list[str]:
    return [
        " ".join(sorted(letters[code] for code in text.split())) if status == "ok" else str(status)
        for status, text in zip(frame["status"], frame["cautions"], strict=True)
    ]


def opinions(result: Result, units: str) -> None:
    """What other published methods say of her, each beside the answer, folded away."""
    frame = result.tables.get("opinions")
    if frame is None or frame.empty:
        return
    with st.expander(f"Second opinions: what each published method says of her ({len(frame)})"):
        st.markdown(
            "“Yes” in the last column: she lies within what the method was made for. "
            "“Stretched”: she does not, so give it less weight."
        )
        st.table(words_table(frame, units), border="horizontal", hide_index=True)


def words_table(frame: pd.DataFrame, units: str) -> pd.DataFrame:
    """A short table with every cell as a person reads it, nothing where there is no number."""
    shown = {}
    for name in frame.columns:
        about = column(name)
        cells = frame[name]
        shown[about.label] = [
            plain(str(cell)) if about.kind == "text" else _number(float(cell), about, units)
            for cell in cells
        ]
    return pd.DataFrame(shown)


def _number(value: float, about: Column, units: str) -> str:
    """A number that does not part from its unit at the end of a line."""
    said = show(value, about.kind, units, about.digits)
    return "" if said == "none" else said.replace(" ", "\u00a0")


def result_files(result: Result, units: str) -> None:
    """Buttons for the rows as CSV and the whole result as JSON; the file is made when pressed."""
    stem = file_stem(f"{result.boat} {result.kind}")
    with st.container(horizontal=True):
        st.download_button(
            "Save the table as CSV",
            result.as_csv,
            file_name=f"{stem}.csv",
            mime="text/csv",
            on_click="ignore",
            key="save-csv",
            help="All columns with their bands, unrounded, in metres, kilograms and seconds.",
        )
        st.download_button(
            "Save everything as JSON",
            partial(result.as_json, units),
            file_name=f"{stem}.json",
            mime="application/json",
            on_click="ignore",
            key="save-json",
            help="The answer, every row, cautions, assumptions and sources, for another program.",
        )


def faults_table(rows: Sequence[Mapping[str, object]], name: str = "boat") -> None:
    """Faults of a file: where, what stands there, what to write; on a phone a line under the other."""
    shown = [
        {
            "where": f"line {row['line']}" if row["line"] else "whole file",
            "what": plain(str(row["key"])),
            "written": plain(_short(str(row["text"]))),
            "mend it": plain(str(row["cure"])),
        }
        for row in rows
    ]
    with st.container(key=f"faults-{name}"):
        st.table(pd.DataFrame(shown), border="horizontal", hide_index=True)


def _short(text: str) -> str:
    return re.sub(r"\s+", " ", text)[:80]
