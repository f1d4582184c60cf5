"""Every figure of every candidate, as stated and in all draws, under the name of its column."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from perf.base.quantities import HOUR_S, mileage
from perf.boat.choice.parts import Candidate, Duty
from perf.studies.repower.draws import Key, Scenes
from perf.studies.repower.money import Flow, Worth, cash_flow, fuel_price, worth
from perf.studies.repower.season import Factor, Season, as_stated, drawing, season
from perf.studies.repower.sweep import Lean

Array = NDArray[np.float64]
Figures = dict[str, Array]  # (candidates, rows) by column name; one row as stated, one a draw

PURPOSES = ("economy", "hump", "speed", "money")
# figure a purpose ranks by, whether much of it is wanted, and how the answer calls it
AIMS: dict[str, tuple[str, bool, str]] = {
    "economy": ("season_fuel_m3", False, "the season's fuel"),
    "hump": ("hump_margin_n", True, "thrust to spare at the hump"),
    "speed": ("top_speed_mps", True, "top speed"),
    "money": ("net_present_value", True, "money over the years"),
}


@dataclass(frozen=True)
class Frame:
    """What the answer is about: load and wanted speed of the busiest run, the heaviest load, all loads."""

    main: str
    heavy: str
    loads: tuple[str, ...]
    wanted_mps: float | None


@dataclass(frozen=True, eq=False)
class Gathered:
    """Figures, seasons and flows of all candidates for one set of rows."""

    figures: Figures
    seasons: tuple[Season, ...]
    flows: tuple[Flow, ...]
    leans: dict[Key, Lean]


def gather(
    choices: Sequence[Candidate],
    duty: Duty,
    frame: Frame,
    scenes: Scenes,
    leans: dict[Key, Lean],
    get: Factor,
) -> Gathered:
    """Read every figure off the lean sweeps of all candidates."""
    old_fuel = choices[0].boat.tank.fuel
    seasons = tuple(season(c, at, duty, leans, scenes, get) for at, c in enumerate(choices))
    flows = tuple(
        cash_flow(c, duty, s, old_fuel, get) for c, s in zip(choices, seasons, strict=True)
    )
    worths = [
        worth(flow, flows[0], s, seasons[0], duty, fuel_price(c, duty, old_fuel, get))
        for flow, s, c in zip(flows, seasons, choices, strict=True)
    ]
    figures = _running(choices, frame, scenes, leans, seasons[0].litres.size)
    figures |= _seasonal(choices, seasons)
    worths[0] = _of_herself(worths[0])
    none = np.full(seasons[0].litres.shape, np.nan)
    for name, take in _WORTH.items():
        rows = [none if w is None else np.broadcast_to(take(w), none.shape) for w in worths]
        figures[name] = np.stack(rows)
    return Gathered(figures, seasons, flows, leans)


def _running(
    choices: Sequence[Candidate],
    frame: Frame,
    scenes: Scenes,
    leans: dict[Key, Lean],
    count: int,
) -> Figures:
    """What each candidate does afloat."""
    figures: Figures = {}
    many = range(len(choices))

    def put(name: str, values: Sequence[Array]) -> None:
        figures[name] = np.stack([np.broadcast_to(v, (count,)) for v in values])

    for name, read in _SWEPT.items():
        load = frame.heavy if name in _HEAVY else frame.main
        put(name, [read(leans[at, load, 0]) for at in many])
    put("heavy_rpm", [leans[at, frame.heavy, 0].top_rpm for at in many])
    put("wanted_fuel_lph", [_wanted(leans, scenes, frame, at) for at in many])
    speed = np.nan if frame.wanted_mps is None else frame.wanted_mps
    with np.errstate(all="ignore"):
        figures["wanted_mileage_m_per_l"] = mileage(speed, figures["wanted_fuel_lph"])
    return figures


def _seasonal(choices: Sequence[Candidate], seasons: Sequence[Season]) -> Figures:
    """What each candidate's season comes to."""
    fuel = np.stack([s.litres for s in seasons]) / 1000.0
    with np.errstate(all="ignore"):
        life = np.stack([_life(c, s) for c, s in zip(choices, seasons, strict=True)])
    return {
        "season_fuel_m3": fuel,
        "fuel_saved_m3": fuel[:1] - fuel,
        "season_co2_kg": np.stack([s.co2_kg for s in seasons]),
        "season_hours_s": np.stack([s.each_engine_hours for s in seasons]) * HOUR_S,
        "life_years": life,
    }


_HEAVY = frozenset(
    ("hump_margin", "hump_margin_n", "slowest_planing_speed_mps", "time_to_plane_s", "will_plane")
)
_SWEPT: dict[str, Callable[[Lean], Array]] = {
    "hump_margin": lambda lean: lean.margin,
    "hump_margin_n": lambda lean: lean.margin_n,
    "slowest_planing_speed_mps": lambda lean: lean.slowest_mps,
    "time_to_plane_s": lambda lean: lean.time_to_plane_s,
    "will_plane": lambda lean: lean.planes.astype(float),
    "top_speed_mps": lambda lean: lean.top_mps,
    "top_rpm": lambda lean: lean.top_rpm,
    "best_mileage_speed_mps": lambda lean: lean.best_mps,
    "best_mileage_m_per_l": lambda lean: lean.best_m_per_l,
}
_WORTH: dict[str, Callable[[Worth], Array]] = {
    "first_cost": lambda w: w.first_cost,
    "yearly_cost": lambda w: w.yearly_cost,
    "payback_years": lambda w: w.payback_years,
    "net_present_value": lambda w: w.net_present_value,
    "cost_per_hour": lambda w: w.cost_per_hour,
    "cost_per_trip": lambda w: w.cost_per_trip,
    "break_even_fuel": lambda w: w.break_even_fuel,
    "break_even_hours_s": lambda w: w.break_even_hours * HOUR_S,
}


def _wanted(leans: dict[Key, Lean], scenes: Scenes, frame: Frame, at: int) -> Array:
    key = (at, frame.main, 0)
    if frame.wanted_mps is None:
        return np.full(leans[key].top_mps.shape, np.nan)
    return leans[key].asked_lph[:, scenes.asked(key, frame.wanted_mps)]


def _of_herself(of: Worth | None) -> Worth | None:
    """Her own money: nothing is laid out, so nothing is paid back."""
    none = np.array(np.nan)
    return None if of is None else replace(of, payback_years=none)


def _life(choice: Candidate, of: Season) -> Array:
    hours = choice.costs.expected_hours
    return np.full(of.litres.shape, np.nan) if hours is None else hours / of.each_engine_hours


def gather_stated(
    choices: Sequence[Candidate], duty: Duty, frame: Frame, scenes: Scenes
) -> Gathered:
    """The figures as stated: one row each."""
    return gather(choices, duty, frame, scenes, scenes.as_stated, as_stated)


def gather_drawn(
    choices: Sequence[Candidate],
    duty: Duty,
    frame: Frame,
    scenes: Scenes,
    leans: dict[Key, Lean],
    seed: int,
) -> Gathered:
    """The figures of all draws."""
    draws = next(iter(leans.values())).top_mps.size
    return gather(choices, duty, frame, scenes, leans, drawing(draws, seed))


def aim_scores(figures: Figures, purpose: str) -> Array:
    """What a purpose wants much of, (candidates, rows); what failed counts as the worst."""
    name, much, _ = AIMS[purpose]
    values = figures[name] if much else -figures[name]
    return np.where(np.isfinite(values), values, -np.inf)


def better_shares(figures: Figures, purpose: str) -> Array:
    """Share of the rows in which one candidate beats another, (candidates, candidates); a tie is half."""
    scores = aim_scores(figures, purpose)
    one, other = scores[:, None, :], scores[None, :, :]
    with np.errstate(invalid="ignore"):
        wins = np.where(one > other, 1.0, np.where(one == other, 0.5, 0.0))
    return np.asarray(wins.mean(axis=2))


def ranking(stated: Figures, drawn: Figures | None, purpose: str, over: Sequence[bool]) -> Array:
    """Places from 1, (candidates,): allowed and planing first, then the figure; over the plate last.

    A candidate over the plate stands behind all others whatever its figure; one that gets on plane
    with the heaviest load in less than half the draws behind those that do.
    """
    score = aim_scores(stated, purpose)[:, 0]
    chance = (stated if drawn is None else drawn)["will_plane"].mean(axis=1)
    behind = np.where(np.asarray(over), 2, np.where(chance < 0.5, 1, 0))
    order = sorted(range(score.size), key=lambda at: (behind[at], -score[at], at))
    places = np.empty(score.size)
    places[order] = np.arange(1, score.size + 1)
    return places
