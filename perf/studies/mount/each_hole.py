"""Hole by hole: what each mounting hole does, and whether one more is worth it."""

from __future__ import annotations

from typing import Protocol

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.assumptions import MOUNTING
from perf.base.cautions import Caution
from perf.base.quantities import mileage
from perf.base.results import Value
from perf.boat.parts import Boat, Hull
from perf.solve.performance import points
from perf.studies.mount.boats import hung
from perf.studies.mount.grid import grid_table, immersion
from perf.studies.mount.height import PICKUP, Advice
from perf.studies.mount.holes import FITS, Shaft, plate_height_at_m
from perf.studies.mount.ladder import HEIGHTS_M, Ladder
from perf.studies.mount.way import Runs
from perf.studies.sweeps import Sweep

Array = NDArray[np.float64]
Parts = tuple[str | Value, ...]

ASKED = (2, 3)  # the holes the sentence weighs against each other: the question of the trade
RELIED_ON = 0.9  # share of the draws that must agree before a difference is one to rely on
MIND = {  # caution of a row in the range: how it is said in one table cell
    Caution.LEG_DEEP: "leg deep",
    Caution.PLATE_HIGH: "plate high in turns and chop",
}
NAMES = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight")
ORDER = ("lowest", "first", "second", "third", "fourth")


class Holed(Protocol):
    """One setback looked at hole by hole: the advice and shaft, a row for each hole, the draws' ladder."""

    @property
    def advice(self) -> Advice:
        """The range of heights there."""

    @property
    def shaft(self) -> Shaft:
        """The shaft that fits."""

    @property
    def hole_boats(self) -> tuple[Boat, ...]:
        """The boat with that shaft in every hole, from the lowest."""

    @property
    def holes(self) -> Runs:
        """The same, a row each."""

    @property
    def ladder(self) -> Ladder | None:
        """The ladder of heights by draws; None without."""


def hole_boats(boat: Boat, setback_m: float, shaft: Shaft, drop_m: float) -> tuple[Boat, ...]:
    """The boat with that shaft in every hole, from the lowest."""
    return tuple(
        hung(boat, setback_m, height) for height in _heights(boat.hull, shaft.shaft_m, drop_m)
    )


def _heights(hull: Hull, shaft_m: float, drop_m: float) -> list[float]:
    most = int(MOUNTING["holes_up"].value)
    return [plate_height_at_m(hull, shaft_m, hole, drop_m) for hole in range(most + 1)]


def hole_table(found: Holed) -> pd.DataFrame:
    """One row for each hole of the shaft that fits: height, what she does, what is lost, what to mind."""
    runs = found.holes
    whole = grid_table(found.hole_boats, runs.swept, runs.at)
    heights = whole["plate_height_m"].to_numpy()
    bits = runs.at.cautions[:, 0] | runs.swept.top.cautions
    return pd.DataFrame(
        {
            "holes": np.arange(len(whole), dtype=float),
            "fit": [
                _fit(found.advice, float(height), int(bit), str(status))
                for height, bit, status in zip(heights, bits, whole["status"], strict=True)
            ],
            "plate_height_m": heights,
            "top_speed_mps": whole["top_speed_mps"],
            "mileage_m_per_l": whole["mileage_m_per_l"],
            "thrust_lost": _lost_flat_out(runs.swept),
            "more_mileage": _more(found, heights),
        }
    )


def _lost_flat_out(swept: Sweep) -> Array:
    """Share of the thrust lost near the surface at top speed, (n,); NaN where she is not held on plane."""
    top = swept.top.speed_mps
    speed = np.where(np.isfinite(top), top, swept.points.speed_mps[:, -1])
    rows = zip(speed, swept.points.speed_mps, swept.points.drive_trim_deg, strict=True)
    trim = np.array([[np.interp(one, pace, trims)] for one, pace, trims in rows])
    at = points(swept.afloat, speed[:, None], trim)
    kept = immersion(swept.afloat.lanes, at.plate_depth_m).thrust_kept[:, 0]
    return np.where(np.isfinite(top), 1.0 - kept, np.nan)


def _more(found: Holed, heights: Array) -> Array:
    """Share of the draws in which a hole gives more miles at cruise than the hole below it; NaN without."""
    more = np.full(heights.size, np.nan)
    if found.ladder is None:
        return more
    miles = _read(found.ladder.mileage_m_per_l, heights)
    for hole in range(1, heights.size):
        more[hole] = _share_more(miles[:, hole], miles[:, hole - 1])
    return more


def _share_more(high: Array, low: Array) -> float:
    """Share of the draws, of those with both figures, in which one is the greater; half for equal ones."""
    both = np.isfinite(high) & np.isfinite(low)
    if 2 * np.count_nonzero(both) < both.size:
        return float("nan")
    apart = (high - low)[both]
    return float(np.mean(apart > 0.0) + 0.5 * np.mean(apart == 0.0))


def _read(by_rung: Array, heights: Array) -> Array:
    """Figures (draws, rungs) read at heights: (draws, heights)."""
    return np.stack([np.interp(heights, HEIGHTS_M, row) for row in by_rung])


def _fit(advice: Advice, height_m: float, bits: int, status: str) -> str:
    """Where a height lies to the range advised, and what to mind there, in a few words."""
    if status != "ok":
        return status
    if advice.low_m is None or advice.high_m is None:
        return "no height can be recommended"
    if height_m < advice.low_m - FITS:
        return "too low: the leg drags"
    if height_m > advice.high_m + FITS:
        short = advice.limited_above_by.startswith(PICKUP)
        return f"too high: {'short of cooling water' if short else 'the propeller lets go'}"
    return "; ".join(["fits", *(words for one, words in MIND.items() if bits & int(one))])


def two_or_three(found: Holed) -> Parts:
    """Two holes up or three, as it would be said on a dock; nothing where no height can be recommended."""
    few, many = ASKED
    advice, boats = found.advice, found.hole_boats
    if advice.low_m is None or advice.high_m is None or len(boats) <= many:
        return ()
    heights = np.array([boats[hole].mounting.plate_height_m for hole in ASKED])
    runs = found.holes
    pace = runs.at.speed_mps[list(ASKED), 0]
    miles = mileage(pace, runs.at.fuel_lph[list(ASKED), 0])
    top = runs.swept.top.speed_mps[list(ASKED)]
    gain, faster = float(miles[1] / miles[0] - 1.0), float(top[1] - top[0])
    if not (np.isfinite(gain) and np.isfinite(faster)):
        return ()
    felt = max(abs(gain), abs(faster) / float(top[0])) >= MOUNTING["height_loss"].value
    choice, why = _choice(heights, advice, gain if felt else 0.0)
    best = found.shaft.holes
    better = f", and {NAMES[best]} better still" if best > many and choice == NAMES[many] else ""
    asked = f" {NAMES[few].capitalize()} holes up or {NAMES[many]}? {choice.capitalize()}, {why}{better}"
    surely = "" if found.ladder is None else "surely, but "
    little = "" if felt else f", {surely}too little to feel"
    trust = _trust(found.ladder, heights) or little
    return (
        asked,
        f": the {ORDER[many]} hole ",
        *_gains(gain, faster, _where(float(pace[0]), advice)),
        trust,
        ".",
    )


def _choice(heights: Array, advice: Advice, gain: float) -> tuple[str, str]:
    """Which of the two holes, and why; gain is nought where none would be felt."""
    low, high = advice.low_m or 0.0, advice.high_m or 0.0
    misses = [max(low - height, height - high, 0.0) for height in heights]
    if misses[0] == misses[1] == 0.0:
        if gain == 0.0:
            return "either", "for both lie in the range"
        return NAMES[ASKED[int(gain > 0.0)]], "though both lie in the range"
    closer = int(np.argmin(misses))
    where = "the one in the range" if misses[closer] < FITS else "the nearer to the range"
    return NAMES[ASKED[closer]], where


def _where(speed_mps: float, advice: Advice) -> Parts:
    """The speed at which miles are compared: her cruise, or the one asked for."""
    if speed_mps == advice.cruise_mps:
        return ("the cruise",)
    return (Value(speed_mps, "speed", 0),)


def _gains(gain: float, faster: float, where: Parts) -> Parts:
    """Mileage and top speed of one hole over another, in words."""
    miles = Value(abs(gain), "share", 3)
    speed = Value(abs(faster), "speed", 1)
    return (
        "goes ", miles, f" {'farther' if gain >= 0.0 else 'less far'} on the same fuel at ",
        *where, " and is ",
        speed, f" {'faster' if faster >= 0.0 else 'slower'} flat out",
    )  # fmt: skip


def _trust(drawn: Ladder | None, heights: Array) -> str:
    """Whether the difference between two heights is one to rely on."""
    if drawn is None:
        return ""
    shares = [
        _share_more(values[:, 1], values[:, 0])
        for values in (_read(drawn.mileage_m_per_l, heights), _read(drawn.top_mps, heights))
    ]
    sure = any(share >= RELIED_ON or share <= 1.0 - RELIED_ON for share in shares)
    return "" if sure else ", no difference to rely on"
