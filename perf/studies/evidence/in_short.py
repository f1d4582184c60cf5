"""How far off it is in a few plain sentences, every figure in them counted from the tables of the evidence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from perf.base.bands import AFTER_A_TRIAL, AS_SHE_IS
from perf.base.results import Result
from perf.base.units import show
from perf.studies.evidence.scores import HELD_BACK, SMALL_M

FEW = 2  # this many measurements or fewer are called nearly none
BOAT = 0  # place of the boat among the words of a subject, her loads stand after it
OTHER_LOAD = "load "  # how a question about another load than the fitted one begins


def weak_points(result: Result, units: str) -> tuple[str, ...]:
    """About five sentences, the figures people ask for first; one that was not measured is left out."""
    held = result.tables["evidence"]
    held = held[held["length_m"].notna() & held["error"].notna()]
    by_figure = {str(what): some for what, some in held.groupby("what", sort=False)}
    none = held.head(0)
    said = (
        _top_speed(by_figure.get("top speed", none)),
        _off("Fuel at a given speed", by_figure.get("fuel at speed", none)),
        _off("Engine rpm at a given speed", by_figure.get("rpm at speed", none)),
        _off("The time to get on plane", by_figure.get("time to plane", none), "short"),
        _load(by_figure.get("speed lost to load", none), units),
        _trials(result.tables["trials_in_short"], result.tables["trials"]),
    )
    return tuple(one for one in said if one)


def bands_table(result: Result) -> pd.DataFrame:
    """What is kept for perf.base.bands: how many measured figures fell inside a band, of how many."""
    trials = result.tables["trials_in_short"]
    asked = trials[trials["use"] == HELD_BACK]
    inside = float((asked["blind_inside"] * asked["blind_runs"]).sum())
    return pd.DataFrame(
        {
            "bands": [AS_SHE_IS, AFTER_A_TRIAL],
            "figures": [result.summary["held_back_figures"], int(asked["blind_runs"].sum())],
            "inside": [result.summary["inside_band"], round(inside)],
        }
    )


def _per_cent(share: float) -> str:
    return f"{100.0 * share:.0f} %"


def _size(rows: pd.DataFrame) -> str:
    return _per_cent(float(rows["error"].abs().mean()))


def _boats(rows: pd.DataFrame) -> str:
    count = rows["subject"].str.split().str[BOAT].nunique()
    return "1 boat" if count == 1 else f"{count} boats"


def _side(errors: pd.Series[float], low: str) -> str:
    """Which way most of them miss, and how many."""
    under = int(np.count_nonzero(errors < 0.0))
    over = len(errors) - under
    most, word = (under, low) if under >= over else (over, {"low": "high", "short": "long"}[low])
    return f"too {word} in {most} of {len(errors)}"


def _off(figure: str, rows: pd.DataFrame, low: str = "low") -> str:
    if rows.empty:
        return ""
    return f"{figure} is about {_size(rows)} off ({_boats(rows)}), {_side(rows['error'], low)}."


def _top_speed(rows: pd.DataFrame) -> str:
    small = rows[rows["length_m"] < SMALL_M]
    if small.empty:
        return _off("Top speed", rows)
    under = f"{SMALL_M} m ({show(SMALL_M, 'length', 'us', 0)})"
    return (
        f"Top speed is about {_size(rows)} off ({_boats(rows)}); on boats under {under} {_size(small)},"
        f" {_side(small['error'], 'low')}."
    )


def _load(rows: pd.DataFrame, units: str) -> str:
    if rows.empty:
        return "What more load does to her speed was never tested."
    tested = "is nearly untested" if len(rows) <= FEW else "was tested"
    lost = "; ".join(
        f"{_speed(row['measured_low'], units)} were lost where we say {_speed(row['ours'], units)}"
        for row in rows.to_dict("records")
    )
    return f"What more load does to her speed {tested} ({len(rows)} measured): {lost}."


def _speed(value: float, units: str) -> str:
    return show(value, "speed", units, 1)


def _trials(short: pd.DataFrame, trials: pd.DataFrame) -> str:
    """What a sea trial makes better and what worse, on readings it had not seen."""
    held: list[dict[str, Any]] = [
        {str(name): value for name, value in row.items()}
        for row in short[short["use"] == HELD_BACK].to_dict("records")
    ]
    better = [row for row in held if row["error_after"] < row["error_before"]]
    worse = [row for row in held if row["error_after"] >= row["error_before"]]
    said = []
    if better:
        said.append(f"A sea trial helps with what is asked afterward: {_moved(better)}.")
    if worse:
        names = [row["blind_reading"] for row in worse]
        asked = trials[trials["use"].eq(HELD_BACK) & trials["blind_reading"].isin(names)]
        how = ""
        if asked["blind"].str.startswith(OTHER_LOAD).all():
            how = " where she was tried light and asked about a heavier load"
        said.append(f"A sea trial makes it worse{how}: {_moved(worse)}.")
    return " ".join(said)


def _moved(rows: Sequence[dict[str, Any]]) -> str:
    return ", ".join(
        f"{row['blind_reading']} {_per_cent(row['error_after'])} off instead of"
        f" {_per_cent(row['error_before'])} ({row['blind_runs']} readings)"
        for row in rows
    )
