"""From the rows of a log to steady runs: stretches of a recording found, runs there and back averaged.

A recording is a log with a time and more rows than a person writes down. A stretch is steady where over
STRETCH_S the speed and the rpm keep within a narrow band and do not climb; stretches that differ are
kept apart. Runs in opposite directions at one rpm are averaged: half their difference is the current.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perf.base.faults import Fault, InputFaults
from perf.base.trial_assumptions import trial_half_width
from perf.boat.log_runs import SteadyRuns
from perf.boat.logfile import Log

Array = NDArray[np.float64]

WRITTEN_DOWN = 60  # rows up to which a log is one a person wrote, a row a run
STRETCH_S = 20.0  # a run settles and is read over this long; common practice, no source
SPEED_BAND_MPS = 0.5  # spread (one standard deviation) of the speed within a steady stretch
RPM_BAND = 60.0
GAP_S = 10.0  # a longer silence ends a stretch
SAME_RPM = (0.02, 75.0)  # share, and rpm: two runs at one throttle
SAME_SPEED_MPS = 2.5  # runs that differ more are no pair, whatever the current
OPPOSITE_DEG = 35.0
FULL = 0.98  # share of the throttle that is full
MOST_RUNS = 60  # more teach no more; the longest are kept
COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@dataclass(frozen=True, eq=False)
class Steady:
    """Steady runs, and what was found on the way.

    current_mps, current_to_deg : along the runs, NaN where no run back was made. rows : rows of the
    log that stand behind each run. said : sentences. faults : what was set aside, with places.
    """

    runs: SteadyRuns
    rows: NDArray[np.int64]
    current_mps: float
    current_to_deg: float
    pairs: int
    said: tuple[str, ...]
    faults: tuple[Fault, ...]


@dataclass(eq=False)
class _Points:
    """Runs before they are paired: means by meaning, the words, the lines they came from."""

    mean: dict[str, Array]
    load: list[str]
    where: list[str]
    rows: NDArray[np.int64]

    def take(self, places: NDArray[np.intp]) -> _Points:
        return _Points(
            {name: value[places] for name, value in self.mean.items()},
            [self.load[at] for at in places],
            [self.where[at] for at in places],
            self.rows[places],
        )


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
    return _paired(log, points, said, faults)


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
        from_mileage = named["speed"] / log.number("mileage") * 3600.0
    named["fuel"] = np.where(np.isfinite(named["fuel"]), named["fuel"], from_mileage)
    return named


# --- a log a person wrote ---------------------------------------------------------------------------


def _as_written(log: Log, faults: list[Fault]) -> _Points:
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
    return _Points(
        mean,
        [loads[at] for at in keep],
        [f"line {int(log.lines[at])}" for at in keep],
        np.ones(keep.size, dtype=np.int64),
    )


# --- a recording --------------------------------------------------------------------------------------


def _stretches(log: Log, said: list[str]) -> _Points:
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
    return _Points(
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
    drift = np.abs(_half_change(speed, start, stop)) > SPEED_BAND_MPS
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


# --- there and back ---------------------------------------------------------------------------------


def _paired(log: Log, points: _Points, said: list[str], faults: list[Fault]) -> Steady:
    """Runs there and back averaged, the current told; single runs corrected by it where it is known."""
    pairs = _pairs(points)
    mean = points.mean
    along = [(0.5 * (mean["speed"][a] - mean["speed"][b]), mean["course"][a]) for a, b in pairs]
    current, toward = _current(along)
    taken = {at for pair in pairs for at in pair}
    single = [at for at in range(points.rows.size) if at not in taken]
    doubt = trial_half_width("unknown_current")
    known = np.isfinite(current) and log.compass
    runs = [_both(points, a, b) for a, b in pairs]
    runs += [_alone(points, at, current if known else np.nan, toward, doubt) for at in single]
    order = np.argsort([run["speed_mps"] for run in runs], kind="stable")
    whole = _gathered([runs[at] for at in order])
    rows = np.array([runs[at]["rows"] for at in order], dtype=np.int64)
    if pairs:
        said.append(f"{len(pairs)} runs there and back averaged")
    over = sum(bool(mean["over_ground"][at] > 0.5) for at in single)
    if over and not known:
        said.append(
            f"{over} runs over the ground without a run back: an unknown current of ± {doubt:.2f} m/s is allowed for"
        )
    return Steady(whole, rows, current, toward, len(pairs), tuple(said), tuple(faults))


def _pairs(points: _Points) -> list[tuple[int, int]]:
    """Runs over the ground at one rpm and load in opposite directions, nearest in rpm first, each once."""
    mean, count = points.mean, points.rows.size
    pairs: list[tuple[int, int]] = []
    used: set[int] = set()
    found = []
    for a in range(count):
        for b in range(a + 1, count):
            apart = abs(mean["rpm"][a] - mean["rpm"][b])
            turn = abs((mean["course"][a] - mean["course"][b]) % 360.0 - 180.0)
            same = apart <= max(SAME_RPM[0] * mean["rpm"][a], SAME_RPM[1])
            near = abs(mean["speed"][a] - mean["speed"][b]) <= SAME_SPEED_MPS
            ground = mean["over_ground"][a] + mean["over_ground"][b] > 1.5
            if (
                same
                and near
                and ground
                and turn <= OPPOSITE_DEG
                and points.load[a] == points.load[b]
            ):
                found.append((b - a, apart, a, b))
    for _, _, a, b in sorted(found):
        if not {a, b} & used:
            used |= {a, b}
            pairs.append((a, b))
    return pairs


def _current(along: list[tuple[float, float]]) -> tuple[float, float]:
    """Mean current of the pairs and where it sets [m/s, deg]; NaN without a pair."""
    if not along:
        return float("nan"), float("nan")
    east = float(np.mean([speed * np.sin(np.radians(way)) for speed, way in along]))
    north = float(np.mean([speed * np.cos(np.radians(way)) for speed, way in along]))
    return float(np.hypot(east, north)), float(np.degrees(np.arctan2(east, north)) % 360.0)


def _both(points: _Points, a: int, b: int) -> dict[str, Any]:
    """One run of two: means; the wind left is that of a drag that goes with the square."""
    one = _plain(points, a)
    other = _plain(points, b)
    with np.errstate(all="ignore"):
        run = {
            name: float(np.nanmean([one[name], other[name]]))
            if np.isfinite([one[name], other[name]]).any()
            else float("nan")
            for name in one
            if isinstance(one[name], float)
        }
    wind = 0.5 * (one["head_wind_mps"] - other["head_wind_mps"])
    speed = run["speed_mps"]
    run["head_wind_mps"] = float(np.sqrt(speed * speed + wind * wind) - speed)
    where = f"{points.where[a]} and {points.where[b].removeprefix('line ').removeprefix('lines ')}"
    rows = int(points.rows[a] + points.rows[b])
    full = bool(one["full_throttle"] and other["full_throttle"])
    return run | {"where": where, "load": points.load[a], "rows": rows, "full_throttle": full}


def _alone(points: _Points, at: int, current: float, toward: float, doubt: float) -> dict[str, Any]:
    run = _plain(points, at)
    if points.mean["over_ground"][at] > 0.5:
        course = points.mean["course"][at]
        if np.isfinite(current) and np.isfinite(course):
            run["speed_mps"] -= float(current * np.cos(np.radians(toward - course)))
            run["speed_doubt_mps"] = 0.5 * doubt
        else:
            run["speed_doubt_mps"] = doubt
    return run


def _plain(points: _Points, at: int) -> dict[str, Any]:
    mean = {name: float(value[at]) for name, value in points.mean.items()}
    ahead = mean["wind"] * np.cos(np.radians(mean["wind_from"] - mean["course"]))
    return {
        "speed_mps": mean["speed"],
        "engine_rpm": mean["rpm"],
        "fuel_lph": mean["fuel"],
        "trim_deg": mean["trim"],
        "drive_trim_deg": mean["drive_trim"],
        "speed_doubt_mps": 0.0,
        "head_wind_mps": float(ahead) if np.isfinite(ahead) else 0.0,
        "tank": mean["tank"],
        "tank_m3": mean["tank_m3"],
        "water_c": mean["water_c"],
        "full_throttle": bool(mean["throttle"] >= FULL),
        "load": points.load[at],
        "where": points.where[at],
        "rows": int(points.rows[at]),
    }


def _gathered(runs: list[dict[str, Any]]) -> SteadyRuns:
    numbers = {
        name: np.array([run[name] for run in runs], dtype=float)
        for name, value in runs[0].items()
        if isinstance(value, float)
    }
    whole = SteadyRuns.of(numbers.pop("speed_mps"), **numbers)
    return replace(
        whole,
        full_throttle=np.array([run["full_throttle"] for run in runs], dtype=bool),
        load=tuple(run["load"] for run in runs),
        where=tuple(run["where"] for run in runs),
    )


def compass_word(degrees: float) -> str:
    """The nearest of eight points of the compass in words."""
    return COMPASS[round(degrees / 45.0) % len(COMPASS)]
