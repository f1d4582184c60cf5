"""From a boat and a trip to a voyage: who is aboard, wind, sea and current of every run and draw."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perf.boat.fleet import Fleet
from perf.boat.lanes import Lanes
from perf.boat.parts import Boat, Load
from perf.boat.trip.parts import Direction, Run, Trip
from perf.laws import seaway
from perf.studies.trip.legs import Voyage
from perf.studies.trip.pace import Asked
from perf.studies.trip.tank import Draws

Array = NDArray[np.float64]

DRY = "trip"  # what the load without fuel is called
STRENGTHS = {  # words of the file: field of the weather, and the assumption of what it is unsure by
    "wind": ("wind_mps", "forecast_wind"),
    "wave_height": ("wave_height_m", "forecast_sea"),
    "current": ("current_mps", "forecast_wind"),
}
SIDES = (
    ("wind_from", "wind_mps"),
    ("sea_from", "wave_height_m"),
    ("current_toward", "current_mps"),
)


def aboard_of(boat: Boat, trip: Trip) -> tuple[tuple[str, ...], ...]:
    """Names aboard on each run: as the load says until a run says otherwise."""
    now, found = boat.loaded.aboard, []
    for run in trip.runs:
        now = now if run.aboard is None else run.aboard
        found.append(now)
    return tuple(found)


def boat_of(boat: Boat, trip: Trip) -> Boat:
    """The boat as the trip begins: its load, and the weights only the trip knows; ValueError for unknown names."""
    own = {weight.name for weight in trip.weights}
    weights = (*(w for w in boat.weights if w.name not in own), *trip.weights)
    doubts = {
        **dict(boat.doubts),
        **{path: width for path, width in trip.doubts if path.startswith("weights.")},
    }
    begun = replace(boat.at(load=trip.load), weights=weights, doubts=tuple(doubts.items()))
    if trip.load is None:
        begun = replace(begun, tank_level=boat.tank_level)
    known = {weight.name for weight in weights}
    for names in (*aboard_of(begun, trip), (trip.seat,) if trip.seat else ()):
        for name in names:
            if name not in known:
                raise ValueError(
                    f'nothing aboard is called "{name}": there are {", ".join(sorted(known))}'
                )
    return begun


def dry_lanes(boat: Boat, aboard: Sequence[tuple[str, ...]], draws: Draws) -> Lanes:
    """Rows without fuel, draw by draw and run by run within: k x r of them."""
    sets = list(dict.fromkeys(aboard))
    boats = [
        replace(boat, loads=(Load(DRY, names, 0.0),), load=DRY, tank_level=None) for names in sets
    ]
    fleet = Fleet.draw(boats, draws.count, draws.seed) if draws.count else Fleet.of(boats)
    place = np.array([sets.index(names) for names in aboard], dtype=np.intp)
    rows = place[None, :] * draws.rows + np.arange(draws.rows)[:, None]
    return fleet.lanes.take(rows.ravel())


def voyage_of(boat: Boat, trip: Trip, draws: Draws, runs: Sequence[Run] | None = None) -> Voyage:
    """Every run of a trip (k = 1) or of its draws as rows; boat is that of boat_of."""
    runs = trip.runs if runs is None else runs
    aboard = aboard_of(boat, trip) if runs is trip.runs else (boat.loaded.aboard,) * len(runs)
    strong = _strengths(trip, runs, draws)
    wind_off, sea_off, set_off = (_angles(runs, *side) for side in SIDES)
    along = strong["current"] * _turned(np.cos, set_off)
    across = strong["current"] * _turned(np.sin, set_off)
    share = sea_share(np.degrees(sea_off), draws)
    dry = replace(
        dry_lanes(boat, aboard, draws),
        wave_height_m=strong["wave_height"].ravel(),
        sea_share=share.ravel(),
    )
    return Voyage(
        dry=dry,
        tank_forward_m=boat.tank.forward_m,
        tank_above_m=boat.tank.above_m,
        capacity_m3=boat.tank.capacity_m3,
        # air over moving water: a current that carries her along brings the air against her
        wind_ahead_mps=strong["wind"] * _turned(np.cos, wind_off) + along,
        wind_across_mps=strong["wind"] * _turned(np.sin, wind_off) + across,
        current_along_mps=along,
        current_across_mps=across,
        distance_m=_each(draws, [np.nan if r.distance_m is None else r.distance_m for r in runs]),
        duration_s=_each(draws, [np.nan if r.duration_s is None else r.duration_s for r in runs]),
        standing=_each(draws, [r.pace.standing for r in runs]),
        running=_each(draws, [r.pace.kind != "drift" for r in runs]),
        take_on_m3=_each(draws, [r.take_on_m3 for r in runs]),
    )


def _strengths(trip: Trip, runs: Sequence[Run], draws: Draws) -> dict[str, Array]:
    """Wind, sea and current of every run (k, r), never under nothing: with the doubt written, or the usual one."""
    written = set(dict(trip.words))
    found = {}
    for name, (field, factor) in STRENGTHS.items():
        columns = []
        for run in runs:
            own = f"runs.{run.name}.{name}"
            path, stated = own if own in written else f"weather.{name}", getattr(run.weather, field)
            known = path in draws.doubts
            columns.append(draws.value(path, stated) if known else stated * draws.assumed(factor))
        found[name] = np.maximum(np.stack(columns, axis=1), 0.0)
    return found


def _angles(runs: Sequence[Run], side: str, strength: str) -> Array:
    """Angle of a side off the course of each run [radians], (r,); nothing where there is no strength."""
    return np.radians([_off(run, side, strength) for run in runs])


def sea_share(off_deg: Array, draws: Draws) -> Array:
    """Share of a head sea's drag that counts, (k, r): its heading, and the doubt of the formula."""
    beam, following = draws.assumed("sea_beam"), draws.assumed("sea_following")
    heading = seaway.heading_share(off_deg[None, :], beam[:, None], following[:, None])
    drag = np.maximum(draws.assumed("sea_drag"), 0.0)
    return np.asarray(heading * drag[:, None])


def _off(run: Run, side: str, strength: str) -> float:
    """Angle of wind, sea or current off the course of a run [deg]; nothing in calm and lying still."""
    if run.pace.standing or not getattr(run.weather, strength):
        return 0.0
    found: Direction = getattr(run.weather, side)
    return found.off(run.course_deg)


def _turned(function: Any, angle: Array) -> Array:
    """Cosine or sine without the dust of a quarter turn."""
    value = function(angle)
    return np.where(np.abs(value) < 1e-12, 0.0, value)


def _each(draws: Draws, values: Sequence[Any]) -> NDArray[Any]:
    """One value a run for every draw, (k, r)."""
    return np.array(np.broadcast_to(np.array(values), (draws.rows, len(values))))


def asked_of(boat: Boat, trip: Trip, voyage: Voyage, runs: Sequence[Run] | None = None) -> Asked:
    """What is asked of each run of the stated boat, (r,)."""
    runs = trip.runs if runs is None else runs
    places = {weight.name: weight.forward_m for weight in boat.weights}
    seat = np.nan if trip.seat is None else places[trip.seat]
    as_stated = Draws(0, 0, {})
    off = np.array([_off(run, "sea_from", "wave_height_m") for run in runs])
    beam, following = as_stated.assumed("sea_beam"), as_stated.assumed("sea_following")
    return Asked(
        np.array([r.pace.kind for r in runs]),
        np.array([r.pace.value for r in runs]),
        np.array([r.pace.over_ground for r in runs]),
        voyage.current_along_mps.ravel(),
        voyage.current_across_mps.ravel(),
        np.full(len(runs), seat),
        seaway.heading_share(off, beam, following),
    )
