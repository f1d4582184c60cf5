"""A season from its runs: fuel, hours and carbon dioxide, for stated boats and for draws alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.draws import drawn
from perf.base.quantities import HOUR_S
from perf.boat.choice.parts import Candidate, Duty, Run
from perf.laws.engine import FUELS
from perf.studies.repower.draws import Key, Scenes, stopped_in
from perf.studies.repower.sweep import Lean

Array = NDArray[np.float64]
Factor = Callable[[str, float, float], Array]  # (name, value, half width) -> (n,)


@dataclass(frozen=True, eq=False)
class Season:
    """One candidate's season: (n,) litres and hours of all its engines; by_run (n, runs) litres and hours of a trip.

    NaN where a run cannot be made: she does not get on plane for it.
    """

    litres: Array
    engine_hours: Array
    each_engine_hours: Array
    co2_kg: Array
    trips: Array
    by_run_trips: Array
    by_run_litres: Array
    by_run_hours: Array


def as_stated(name: str, value: float, half_width: float) -> Array:
    """The factor of a season as stated: no doubt in it."""
    return np.array([value])


def drawing(draws: int, seed: int) -> Factor:
    """The factor of drawn seasons: inputs of one name share their draws."""

    def factor(name: str, value: float, half_width: float) -> Array:
        if not half_width:
            return np.full(draws, value)
        return np.maximum(drawn(seed, name, draws, value, half_width), 0.0)

    return factor


def season(
    candidate: Candidate, at: int, duty: Duty, leans: dict[Key, Lean], scenes: Scenes, get: Factor
) -> Season:
    """The season of the at-th candidate from its lean sweeps."""
    season_doubts = dict(duty.doubts)
    trips = get("season.trips", duty.trips, season_doubts.get("season.trips", 0.0))
    engine = candidate.boat.engine
    litres, hours, each = np.zeros(trips.size), np.zeros(trips.size), np.zeros(trips.size)
    columns: list[tuple[Array, Array, Array]] = []
    for run in duty.runs:
        doubts = dict(run.doubts)
        times = trips
        if run.trips is not None:
            times = get(f"runs.{run.name}.trips", run.trips, doubts.get("trips", 0.0))
        stopped = stopped_in(run.engines, engine.count)
        key = (at, run.load, stopped)
        burn, took = _run(run, leans[key], scenes, key, get)
        turning = 0 if run.kind == "drift" else engine.count - stopped
        litres = litres + times * burn
        hours = hours + times * took * turning
        each = each + times * took * turning / engine.count
        columns.append((times, burn, took))
    fuel = FUELS[candidate.boat.tank.fuel]
    return Season(
        litres,
        hours,
        each,
        litres * fuel.co2_kg_per_l,
        trips,
        np.stack([c[0] for c in columns], axis=1),
        np.stack([c[1] for c in columns], axis=1),
        np.stack([c[2] for c in columns], axis=1),
    )


def _run(run: Run, lean: Lean, scenes: Scenes, key: Key, get: Factor) -> tuple[Array, Array]:
    """Litres and hours of one run on one trip, (n,)."""
    doubts = dict(run.doubts)
    if run.kind in ("idle", "drift"):
        hours = get(f"runs.{run.name}.hours", run.seconds or 0.0, doubts.get("hours", 0.0))
        hours = hours / HOUR_S
        return (lean.idle_lph * hours if run.kind == "idle" else 0.0 * hours), hours
    speed, burn = pace(run, lean, scenes, key)
    if run.distance_m is not None:
        way = get(f"runs.{run.name}.distance", run.distance_m, doubts.get("distance", 0.0))
        hours = way / speed / HOUR_S
    else:
        hours = get(f"runs.{run.name}.hours", run.seconds or 0.0, doubts.get("hours", 0.0))
        hours = np.broadcast_to(hours / HOUR_S, speed.shape)
    return burn * hours, np.where(np.isfinite(burn), hours, np.nan)


def pace(run: Run, lean: Lean, scenes: Scenes, key: Key) -> tuple[Array, Array]:
    """Speed held and burn there [L/h], (n,): what was asked, or flat out where she cannot hold it.

    A speed on plane is not reached by a boat that does not get over the hump: NaN.
    """
    if run.speed_mps is None:
        speed = lean.best_mps
        with np.errstate(invalid="ignore", divide="ignore"):
            burn = speed * HOUR_S / lean.best_m_per_l
        return speed, np.where(lean.planes, burn, np.nan)
    asked = lean.asked_lph[:, scenes.asked(key, run.speed_mps)]
    with np.errstate(invalid="ignore"):
        short = np.isnan(asked) & (lean.top_mps < run.speed_mps)
        speed = np.where(short, lean.top_mps, run.speed_mps)
        burn = np.where(short, lean.top_lph, asked)
        on_plane = speed >= lean.slowest_mps
    return speed, np.where(on_plane & ~lean.planes, np.nan, burn)
