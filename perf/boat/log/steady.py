"""From the rows of a log to steady runs: stretches of a recording found, runs there and back averaged.

A recording is a log with a time and more rows than a person writes down. A stretch is steady where over
STRETCH_S the speed and the rpm keep within a narrow band and do not climb; stretches that differ are
kept apart. Runs in opposite directions at one rpm are averaged: half their difference is the current.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.faults import Fault, InputFaults
from perf.base.quantities import HOUR_S
from perf.boat.log.file import Log
from perf.boat.log.pairs import FULL, Points, Steady, compass_word, paired

__all__ = ["Steady", "compass_word", "steady_runs"]

Array = NDArray[np.float64]

WRITTEN_DOWN = 60  # rows up to which a log is one a person wrote, a row a run
STRETCH_S = 20.0  # a run settles and is read over this long; common practice, no source
SPEED_BAND_MPS = 0.5  # spread (one standard deviation) of the speed within a steady stretch
RPM_BAND = 60.0
GAP_S = 10.0  # a longer silence ends a stretch
MOST_RUNS = 60  # more teach no more; the longest are kept


def steady_runs(log: Log) -> Steady:
    """The steady runs of a log; InputFaults where there is none."""
    said: list[str] = []
    faults = list(log.faults)
    points = _stretches(log, said) if _is_recording(log) else _as_written(log, faults)
    if not points.rows.size:
        cure = (
            f"no stretch of {STRETCH_S:.0f} s at a steady speed and rpm was found: hold each throttle longer"
            if _is_recording(log)
            else "no row has both a speed and an rpm, a fuel flow or a trim"
        )
        raise InputFaults(log.name, [Fault(0, 0, log.name, "", cure), *faults[:10]])
    return paired(log.compass, points, said, faults)


def _is_recording(log: Log) -> bool:
    return "time" in log.numbers and log.count > WRITTEN_DOWN


def _named(log: Log) -> dict[str, Array]:
    """Columns that are averaged, by the names of SteadyRuns; the speed is the one through the water if there is one."""
    through = log.number("speed through water")
    over = log.number("speed over ground")
    named = {
        "speed": np.where(np.isfinite(through), through, over),
        "over_ground": np.where(np.isfinite(through), 0.0, 1.0),
        "rpm": log.number("rpm"),
        "fuel": log.number("fuel flow"),
        "trim": log.number("trim"),
        "drive_trim": log.number("drive trim"),
        "throttle": log.number("throttle"),
        "wind": log.number("wind speed"),
        "water_c": log.number("water temperature"),
    }
    tank = log.number("tank")
    by_volume = any(c.meaning == "tank" and c.kind == "volume" for c in log.columns)
    named["tank_m3" if by_volume else "tank"] = tank
    named.setdefault("tank", np.full(tank.shape, np.nan))
    named.setdefault("tank_m3", np.full(tank.shape, np.nan))
    with np.errstate(all="ignore"):
        from_mileage = named["speed"] * HOUR_S / log.number("mileage")
    named["fuel"] = np.where(np.isfinite(named["fuel"]), named["fuel"], from_mileage)
    return named


# --- a log a person wrote ---------------------------------------------------------------------------


def _as_written(log: Log, faults: list[Fault]) -> Points:
    """Every row a run; rows without a speed or without anything beside it are told and left out."""
    named = _named(log)
    read = np.isfinite(named["rpm"]) | np.isfinite(named["fuel"]) | np.isfinite(named["trim"])
    good = np.isfinite(named["speed"]) & (read | (named["throttle"] >= FULL))
    for at in np.flatnonzero(~good):
        line = int(log.lines[at])
        what = "no speed" if not np.isfinite(named["speed"][at]) else "neither rpm, burn nor trim"
        faults.append(Fault(line, 0, f"line {line}", "", f"{what} in this row: left out"))
    keep = np.flatnonzero(good)
    mean = {name: value[keep] for name, value in named.items()}
    mean["course"], mean["wind_from"] = log.number("course")[keep], log.number("wind from")[keep]
    loads = log.texts.get("load", ("",) * log.count)
    return Points(
        mean,
        [loads[at] for at in keep],
        [f"line {int(log.lines[at])}" for at in keep],
        np.ones(keep.size, dtype=np.int64),
    )


# --- a recording --------------------------------------------------------------------------------------


def _stretches(log: Log, said: list[str]) -> Points:
    """Steady stretches of a recording, their rows averaged."""
    time, order = _in_order(log, said)
    named = {name: value[order] for name, value in _named(log).items()}
    first, last = _steady_spans(time, named)
    said.append(
        f"{first.size} steady stretches of {STRETCH_S:.0f} s or longer found in {log.count:,} rows"
    )
    if first.size > MOST_RUNS:
        longest = np.sort(np.argsort(first - last, kind="stable")[:MOST_RUNS])
        first, last = first[longest], last[longest]
        said.append(f"the {MOST_RUNS} longest of them were used")
    course, wind_from = log.number("course")[order], log.number("wind from")[order]
    mean = {name: _means(value, first, last) for name, value in named.items()}
    mean["course"] = _mean_ways(course, first, last)
    mean["wind_from"] = _mean_ways(wind_from, first, last)
    loads = log.texts.get("load", ("",) * log.count)
    lines = log.lines[order]
    return Points(
        mean,
        [loads[int(order[at])] for at in first],
        [f"lines {int(lines[a])} to {int(lines[b])}" for a, b in zip(first, last, strict=True)],
        last - first + 1,
    )


def _in_order(log: Log, said: list[str]) -> tuple[Array, NDArray[np.intp]]:
    """Rows in order of time; said where they were not."""
    time = log.number("time")
    known = np.flatnonzero(np.isfinite(time))
    back = np.flatnonzero(np.diff(time[known]) < 0.0)
    if back.size:
        line = int(log.lines[known[back[0] + 1]])
        said.append(
            f"time runs backward at {back.size} places, first at line {line}: rows taken in order of time"
        )
    order = known[np.argsort(time[known], kind="stable")]
    return time[order], order


def _steady_spans(
    time: Array, named: dict[str, Array]
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and last row of every steady stretch."""
    speed, rpm = named["speed"], named["rpm"]
    ok = np.isfinite(speed) & (np.isfinite(rpm) | np.isfinite(named["fuel"]))
    end = np.searchsorted(time, time + STRETCH_S, side="left")
    start = np.flatnonzero(end < time.size)
    stop = end[start]
    whole = _sum(ok.astype(float), start, stop) == stop - start + 1
    rough = _spread(speed, start, stop) > SPEED_BAND_MPS
    turning = _spread(np.where(np.isfinite(rpm), rpm, 0.0), start, stop) > RPM_BAND
    drift = np.abs(_half_change(speed, start, stop)) > 0.5 * SPEED_BAND_MPS
    drift |= np.abs(_half_change(np.nan_to_num(rpm), start, stop)) > 0.5 * RPM_BAND
    silent = _sum((np.diff(time, append=time[-1:]) > GAP_S).astype(float), start, stop - 1) > 0
    good = start[whole & ~rough & ~turning & ~drift & ~silent & (stop > start)]
    return _merged(good, end, speed, rpm)


def _merged(
    good: NDArray[np.intp], end: NDArray[np.intp], speed: Array, rpm: Array
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Overlapping windows joined; one that has drifted off the first of its stretch begins another."""
    firsts: list[int] = []
    lasts: list[int] = []
    step = 0
    while step < good.size:
        first = int(good[step])
        last = int(end[first])
        firsts.append(first)
        ahead = step
        level, turns = float(speed[first : last + 1].mean()), float(rpm[first : last + 1].mean())
        # windows that still begin inside the stretch and stay at its level lengthen it
        while True:
            inside = int(np.searchsorted(good, last, side="right")) - 1
            if inside <= ahead:
                break
            reach = int(end[good[inside]])
            part = slice(int(good[inside]), reach + 1)
            off = abs(float(speed[part].mean()) - level) > SPEED_BAND_MPS
            if off or abs(float(rpm[part].mean()) - turns) > RPM_BAND:
                break
            ahead, last = inside, reach
        lasts.append(last)
        step = int(np.searchsorted(good, last, side="right"))
    return np.array(firsts, dtype=np.intp), np.array(lasts, dtype=np.intp)


def _sum(value: Array, first: NDArray[np.intp], last: NDArray[np.intp]) -> Array:
    total = np.concatenate([[0.0], np.cumsum(np.nan_to_num(value))])
    return total[last + 1] - total[first]


def _spread(value: Array, first: NDArray[np.intp], last: NDArray[np.intp]) -> Array:
    """Standard deviation within each window, about the mean of all for the digits' sake."""
    away = value - np.nanmean(value) if np.isfinite(value).any() else value
    count = last - first + 1
    mean = _sum(away, first, last) / count
    return np.sqrt(np.maximum(_sum(away * away, first, last) / count - mean * mean, 0.0))


def _half_change(value: Array, first: NDArray[np.intp], last: NDArray[np.intp]) -> Array:
    """Mean of the second half of each window less that of the first."""
    middle = (first + last) // 2
    early = _sum(value, first, middle) / (middle - first + 1)
    late = _sum(value, middle, last) / (last - middle + 1)
    return late - early


def _means(value: Array, first: NDArray[np.intp], last: NDArray[np.intp]) -> Array:
    known = _sum(np.isfinite(value).astype(float), first, last)
    with np.errstate(all="ignore"):
        return np.where(known > 0, _sum(value, first, last) / known, np.nan)


def _mean_ways(way: Array, first: NDArray[np.intp], last: NDArray[np.intp]) -> Array:
    """Mean direction within each window [deg]."""
    east = _means(np.sin(np.radians(way)), first, last)
    north = _means(np.cos(np.radians(way)), first, last)
    return np.degrees(np.arctan2(east, north)) % 360.0
