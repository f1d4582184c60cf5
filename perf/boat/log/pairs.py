"""Runs there and back averaged, the current told: from steady runs as logged to runs through the water."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perf.base.faults import Fault
from perf.base.trial_assumptions import trial_half_width
from perf.boat.log.runs import SteadyRuns

Array = NDArray[np.float64]

SAME_RPM = (0.02, 75.0)  # share, and rpm: two runs at one throttle
SAME_SPEED_MPS = 2.5  # runs that differ more are no pair, whatever the current
OPPOSITE_DEG = 35.0
FULL = 0.98  # share of the throttle that is full
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
class Points:
    """Runs before they are paired: means by meaning, the words, the lines they came from."""

    mean: dict[str, Array]
    load: list[str]
    where: list[str]
    rows: NDArray[np.int64]


def paired(compass: bool, points: Points, said: list[str], faults: list[Fault]) -> Steady:
    """Runs there and back averaged, the current told; single runs corrected by it where it is known."""
    pairs = _pairs(points)
    mean = points.mean
    along = [(0.5 * (mean["speed"][a] - mean["speed"][b]), mean["course"][a]) for a, b in pairs]
    current, toward = _current(along)
    taken = {at for pair in pairs for at in pair}
    single = [at for at in range(points.rows.size) if at not in taken]
    doubt = trial_half_width("unknown_current")
    known = np.isfinite(current) and compass
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
            f"{over} runs over the ground without a run back: an unknown current of ± {doubt:.2f} m/s (half a knot) is allowed for"
        )
    return Steady(whole, rows, current, toward, len(pairs), tuple(said), tuple(faults))


def _pairs(points: Points) -> list[tuple[int, int]]:
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


def _both(points: Points, a: int, b: int) -> dict[str, Any]:
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
    where = " and ".join(points.where[at].split(" ", 1)[1] for at in (a, b))
    rows = int(points.rows[a] + points.rows[b])
    full = bool(one["full_throttle"] and other["full_throttle"])
    return run | {
        "where": f"lines {where}",
        "load": points.load[a],
        "rows": rows,
        "full_throttle": full,
    }


def _alone(points: Points, at: int, current: float, toward: float, doubt: float) -> dict[str, Any]:
    run = _plain(points, at)
    if points.mean["over_ground"][at] > 0.5:
        course = points.mean["course"][at]
        if np.isfinite(current) and np.isfinite(course):
            run["speed_mps"] -= float(current * np.cos(np.radians(toward - course)))
            run["speed_doubt_mps"] = 0.5 * doubt
        else:
            run["speed_doubt_mps"] = doubt
    return run


def _plain(points: Points, at: int) -> dict[str, Any]:
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
