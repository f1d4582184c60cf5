"""A trip worked out, in words: enough or short, by how much, where it ends, how far she may go."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from perf.base.results import Sentence, Value
from perf.base.units import show

if TYPE_CHECKING:
    from perf.studies.trip.study import Found

Part = str | Value


def answer_of(found: Found, summary: dict[str, Any]) -> Sentence:
    """The answer as it could be spoken on a dock."""
    spare = summary["spare_m3"]
    if spare is None or summary["trip_fuel_m3"] is None:
        return Sentence((*_lost(found), *_farthest(summary)))
    parts: list[Part] = _off_plane(found)
    if spare >= 0.0:
        parts += ["Enough: "]
    else:
        parts += ["Short by ", Value(-spare, "volume", 0), ": "]
    parts += [
        f"{found.trip.name} takes ",
        Value(summary["trip_fuel_m3"], "volume", 0),
        " of the ",
        Value(summary["usable_at_start_m3"], "volume", 0),
        " usable",
        *_taken_on(found),
        ", over ",
        Value(summary["trip_distance_m"], "distance", 0),
        " and ",
        Value(summary["trip_time_s"], "duration", 1),
        "; ",
        Value(summary["arrival_fuel_m3"], "volume", 0),
        " are left on arrival where ",
        Value(summary["kept_back_m3"], "volume", 0),
        " should be kept back",
    ]
    end = where_dry(found)
    if end is not None:
        parts += [". The usable fuel is gone ", Value(end[1], "distance", 1), f' into "{end[0]}"']
    if "chance_reserve_broken" in summary:
        chance = round(100 * summary["chance_reserve_broken"])
        parts += [f". Chance of breaking the reserve: {chance} in 100"]
    return Sentence((*parts, *_farthest(summary)))


def _off_plane(found: Found) -> list[Part]:
    """Runs below planing speed that nobody asked to be so slow, their speed and hours."""
    spent = found.stated.spent
    slow = [at for at, run in enumerate(found.trip.runs) if not run.pace.standing and (
        run.pace.kind == "best mileage" or not spent.held[0, at]
    ) and not spent.at.planing_measure[at, 0] >= 0.0]  # fmt: skip
    if not slow:
        return []
    speeds, hours = spent.speed_mps[0, slow], float(np.sum(spent.time_s[0, slow]))
    least, most = float(np.min(speeds)), float(np.max(speeds))
    names = [found.trip.runs[at].name for at in slow]
    on = f"{', '.join(names[:-1])} and {names[-1]}" if names[1:] else names[0]
    parts: list[Part] = [f"She stays off plane: on {on} she makes ", Value(least, "speed", 0)]
    if show(least, "speed", "us", 0) != show(most, "speed", "us", 0):
        parts += [" to ", Value(most, "speed", 0)]
    return [*parts, ", under planing speed, and takes ", Value(hours, "duration", 1), ". "]


def _taken_on(found: Found) -> list[Part]:
    taken = sum(run.take_on_m3 for run in found.trip.runs)
    return [" and the ", Value(taken, "volume", 0), " taken on"] if taken else []


def _lost(found: Found) -> list[Part]:
    gone = np.isnan(found.stated.spent.burned_m3[0])
    names = [run.name for run, lost in zip(found.trip.runs, gone, strict=True) if lost]
    return [f"No answer: she makes no way on {', '.join(names) or 'a run'}"]


def _farthest(summary: dict[str, Any]) -> list[Part]:
    if summary.get("farthest_m") is None:
        return ["."]
    return [
        ". How far out with fuel for the way back, in calm water and with that kept: ",
        Value(summary["farthest_m"], "distance", 0),
        " one way at ",
        Value(summary["farthest_speed_mps"], "speed", 0),
        ".",
    ]


def where_dry(found: Found) -> tuple[str, float] | None:
    """Run in which the usable fuel is gone and how far into it [m]; None where it lasts."""
    left, spent = found.stated.left_m3[0], found.stated.spent
    dry = np.flatnonzero(left < 0.0)
    if dry.size == 0:
        return None
    at = int(dry[0])
    burned, far = spent.burned_m3[0, at], spent.distance_m[0, at]
    share = 1.0 + left[at] / burned
    return found.trip.runs[at].name, float(np.clip(share, 0.0, 1.0) * far)
