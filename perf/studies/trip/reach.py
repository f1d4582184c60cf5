"""How far out and back with the reserve kept: over speed and sea, and by direction around the start."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.peaks import peak
from perf.base.trip_assumptions import SEA_STATES, SLOWER
from perf.base.units import to_si
from perf.boat.parts import Boat
from perf.boat.trip.parts import Direction, Run, Trip, Weather
from perf.studies.spread import band
from perf.studies.trip.legs import Felt, Spent, Voyage, afloat_at
from perf.studies.trip.pace import curve_at, grid_of
from perf.studies.trip.rows import aboard_of
from perf.studies.trip.tank import Draws, TankLevel
from perf.studies.trip.ways import (
    Cost,
    Purse,
    Ways,
    cost_of,
    drawn_pacing,
    met,
    slowed_cost,
    stated_pacing,
    trims_of,
    voyage_by,
)

Array = NDArray[np.float64]

SPEEDS = 14  # from under the hump to top speed
CRAWL = 3  # column of the usual grid of speeds at which the reach begins
NEAR_TOP = 0.995
BEARINGS = 24
MOST_DRAWS, MOST_AROUND = 120, 60  # draws of the bands of reach, and of those by direction
LESS = to_si(SLOWER["nautical"], "speed", "nautical")  # three knots
FULL_TURN = 360.0


@dataclass(frozen=True, eq=False)
class Setting:
    """What every question of reach starts from; drawn is None where there are no bands."""

    boat: Boat
    trip: Trip
    stated: TankLevel
    drawn: TankLevel | None
    kept_m3: float
    draws: Draws
    run: Run  # the longest run: its weather stands around the start
    speed_mps: float  # and its speed through the water


@dataclass(frozen=True, eq=False)
class Reach:
    """Tables of reach, and what is read off them [m, m/s]; NaN where there is none."""

    by_speed: pd.DataFrame
    around: pd.DataFrame
    best_m: float
    best_low_m: float
    best_high_m: float
    best_speed_mps: float
    here_m: float
    here_speed_mps: float
    three_less_m: float
    bearing_is_true: bool


def setting_of(
    boat: Boat,
    trip: Trip,
    spent: Spent,
    voyage: Voyage,
    levels: tuple[TankLevel, TankLevel | None],
    kept_m3: float,
    draws: Draws,
) -> Setting:
    """The setting of a trip worked out: voyage and spent of the boat as stated (k = 1)."""
    far = np.where(voyage.standing[0], -1.0, np.nan_to_num(spent.distance_m[0]))
    longest = int(np.argmax(far))
    speed = float(spent.at.speed_mps[longest, 0])
    return Setting(boat, trip, levels[0], levels[1], kept_m3, draws, trip.runs[longest], speed)


def reach_of(setting: Setting) -> Reach:
    """Reach by speed for each named sea, and around the start in the weather of the longest run."""
    grid = _speeds(setting)
    table = {"speed_mps": grid}
    calm: Array = np.full(grid.size, np.nan)
    planes = np.zeros(grid.size, dtype=bool)
    for state in SEA_STATES:
        weather = Weather(wind_mps=state.wind_mps, wave_height_m=state.wave_height_m)
        ways = met(weather, np.zeros(grid.size), (0.0, 0.0, 0.0), rising=True)
        cost, reach, low, high = _with_band(setting, ways, grid)
        name = f"reach_{state.name}_m"
        table[name], table[f"{name}_p10"], table[f"{name}_p90"] = reach, low, high
        mean = 0.5 * (cost.lph[0, :, 0] + cost.lph[0, :, 1])
        table[f"burn_{state.name}_lph"] = np.where(np.isfinite(reach), mean, np.nan)
        if state.wave_height_m == 0.0:
            calm, planes = reach, cost.planing[0].all(axis=1)
    frame = pd.DataFrame(table)
    speed, far = _farthest(grid, calm, planes)
    here = setting.speed_mps
    at_here = float(np.interp(here, grid, calm))
    less = float(np.interp(here - LESS, grid, calm, left=np.nan)) - at_here
    least, most = (
        float(np.interp(speed, grid, frame[f"reach_calm_m{end}"])) for end in ("_p10", "_p90")
    )
    around, true = _around(setting)
    return Reach(frame, around, far, least, most, speed, at_here, here, less, true)


def _farthest(grid: Array, reach: Array, planes: NDArray[np.bool_]) -> tuple[float, float]:
    """Speed and reach of the farthest on plane; of any speed where she does not plane."""
    chosen = np.where(planes, reach, np.nan) if np.any(planes & np.isfinite(reach)) else reach
    speed, far = peak(grid[None, :], chosen[None, :])
    return float(speed[0]), float(far[0])


def _speeds(setting: Setting) -> Array:
    """Rising speeds to what she holds in calm water, the trip's speed and three knots less among them."""
    ways = met(Weather(), np.zeros(1), (0.0, 0.0, 0.0), rising=True)
    as_stated = Draws(0, 0, {})
    voyage = voyage_by(setting.boat, aboard_of(setting.boat, setting.trip)[0], ways, as_stated)
    afloat = afloat_at(voyage, np.full(voyage.shape, float(setting.stated.start_m3[0])))
    one = np.zeros(1, dtype=np.intp)
    afloat, felt = afloat.take(one), Felt.of(voyage).take(one)
    grid = grid_of(afloat)
    top = float(curve_at(afloat, felt, grid, np.full(grid.shape, 2.0)).ceiling_mps[0])
    low = float(grid[0, CRAWL])
    spread = np.linspace(low, max(NEAR_TOP * top, 2.0 * low), SPEEDS)
    own = [v for v in (setting.speed_mps, setting.speed_mps - LESS) if low < v < spread[-1]]
    return np.unique(np.concatenate([spread, own]))


def _with_band(setting: Setting, ways: Ways, speed_mps: Array) -> tuple[Cost, Array, Array, Array]:
    """Cost and reach (n,) at these speeds, and the reach's band; a draw that does not hold one reaches nothing."""
    names = aboard_of(setting.boat, setting.trip)[0]
    voyage = voyage_by(setting.boat, names, ways, Draws(0, 0, {}))
    purse = _purse(setting.stated, setting.kept_m3)
    trims = trims_of(voyage, purse, ways, speed_mps)
    cost = cost_of(voyage, ways, purse, speed_mps, trims, None)
    reach = cost.reach_m(purse.spend_m3)[0]
    if setting.drawn is None:
        return cost, reach, *_no_band(reach)
    draws, purses = _drawn(setting, MOST_DRAWS)
    drawn = voyage_by(setting.boat, names, ways, draws)
    share = np.repeat(cost.share, draws.count, axis=0)
    each = cost_of(drawn, ways, purses, speed_mps, trims, share)
    return cost, reach, *_banded(reach, each.reach_m(purses.spend_m3))


def _as_fast(setting: Setting, ways: Ways) -> tuple[Array, Array, Array]:
    """Reach (n,) at the trip's speed, or as fast as she can where she does not hold it, and its band."""
    names = aboard_of(setting.boat, setting.trip)[0]
    voyage = voyage_by(setting.boat, names, ways, Draws(0, 0, {}))
    purse = _purse(setting.stated, setting.kept_m3)
    speed, half = np.full(ways.count, setting.speed_mps), np.full((1, ways.count), 0.5)
    pacing = stated_pacing(voyage, speed)
    cost, paced = slowed_cost(voyage, ways, purse, pacing, half)
    reach = cost.reach_m(purse.spend_m3)[0]
    if setting.drawn is None or pacing.curve is None:
        return reach, *_no_band(reach)
    draws, purses = _drawn(setting, MOST_AROUND)
    drawn = voyage_by(setting.boat, names, ways, draws)
    share = np.repeat(cost.share, draws.count, axis=0)
    slow = drawn_pacing(paced, pacing.curve, draws.count)
    each, _ = slowed_cost(drawn, ways, purses, slow, share)
    return reach, *_banded(reach, each.reach_m(purses.spend_m3))


def _drawn(setting: Setting, most: int) -> tuple[Draws, Purse]:
    """The first so many draws, and what each may spend."""
    count = min(setting.draws.count, most)
    level = setting.stated if setting.drawn is None else setting.drawn
    purses = _purse(level, setting.kept_m3)
    draws = Draws(count, setting.draws.seed, setting.draws.doubts)
    return draws, Purse(purses.start_m3[:count], purses.spend_m3[:count])


def _banded(reach: Array, each: Array) -> tuple[Array, Array]:
    low, high = band("range_m", each)
    shown = np.isfinite(reach)
    return np.where(shown, low, np.nan), np.where(shown, high, np.nan)


def _no_band(reach: Array) -> tuple[Array, Array]:
    return np.full(reach.size, np.nan), np.full(reach.size, np.nan)


def _purse(level: TankLevel, kept_m3: float) -> Purse:
    return Purse(level.start_m3, np.maximum(level.usable_m3 - kept_m3, 0.0))


# --- around the start ---------------------------------------------------------------------------------


def _around(setting: Setting) -> tuple[pd.DataFrame, bool]:
    """Reach by bearing at the speed of the longest run in its weather, and whether bearings are true.

    Where nothing ties the weather to the compass, bearings count from the course of that run.
    """
    run = setting.run
    weather = run.weather
    sides = (weather.wind_from, weather.sea_from, weather.current_toward)
    strong = (weather.wind_mps, weather.wave_height_m, weather.current_mps)
    told = [side for side, much in zip(sides, strong, strict=True) if much]
    true = run.course_deg is not None or not any(side.relative for side in told)
    bearing = np.linspace(0.0, FULL_TURN, BEARINGS, endpoint=False)
    ways = met(weather, bearing, tuple(_true(side, run) for side in sides), rising=False)
    reach, low, high = _as_fast(setting, ways)
    east, north = np.sin(np.radians(bearing)), np.cos(np.radians(bearing))
    frame = pd.DataFrame(
        {
            "bearing_deg": bearing,
            "reach_m": reach,
            "reach_m_p10": low,
            "reach_m_p90": high,
            "east_m": reach * east,
            "north_m": reach * north,
            "east_m_p10": low * east,
            "north_m_p10": low * north,
        }
    )
    return frame, true


def _true(side: Direction, run: Run) -> float:
    """A side as a bearing; from the course of the run, or from nought where it has none."""
    return side.degrees + (run.course_deg or 0.0) if side.relative else side.degrees
