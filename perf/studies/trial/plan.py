"""Which runs would teach most: each possible run's readings, how they hang on what is not known, and what is left.

Near the boat as she is known now, readings and answers are taken as straight in her doubted inputs. A run
then takes off its share of the doubt whatever it reads (the linear update of Bayes), so that runs can be
ranked before any is made: the first is the one that leaves the least doubt of top speed and cruise burn
together, the second the one that leaves least after it, and so on.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.draws import EIGHT_IN_TEN, NINE_IN_TEN
from perf.base.results import Result, Sentence, Value
from perf.base.trial_assumptions import TRIAL_ASSUMPTIONS
from perf.boat.fleet import Fleet
from perf.boat.learned import said_of
from perf.boat.log.runs import SteadyRuns
from perf.boat.parts import Boat
from perf.solve.afloat import Afloat
from perf.solve.performance import points, top_speed
from perf.studies.speeds import LAWS_USED, assumptions_of, sources_of
from perf.studies.sweeps import Sweep, sweep_boats
from perf.studies.trial.model import Readings, Tried
from perf.studies.trial.trust import Trust

Array = NDArray[np.float64]

PACE = (0.14, 0.22, 0.32, 0.42, 0.52, 0.62, 0.72, 0.82, 0.92)  # of the top speed; then flat out
ABOUT_TOP = (0.3, 0.5, 0.7, 0.85, 0.97, 1.06, 1.15, 1.25, 1.4)  # the top speed between two of them
MOST_RUNS = 8
MOST_LOADS = 3
STEP = 0.05  # of a standard deviation
SPEED_STEP_MPS = 0.03
FLAT_OUT = "flat out"
BY_SLOPES = (
    "each ± holds eight times in ten, once that run and those above it are made in flat water with meters"
    " as good as below. It is a promise from how her readings hang on what is not known, not a fit: a"
    " log that scatters gives less."
)


@dataclass(frozen=True, eq=False)
class _Known:
    """Inputs in standard deviations: covariance now, slopes of the answers (2, P) and of the runs' readings.

    readings : (m, r, P) slopes in the reading's own standard deviation; by_speed : (m, r) the same by
    the speed's; expected : of the runs.
    """

    covariance: Array
    answers: Array
    readings: Array
    by_speed: Array
    expected: Readings
    runs: SteadyRuns


def plan(boat: Boat, *, most: int = MOST_RUNS, trust: Trust | None = None) -> Result:
    """The runs that would teach most of this boat, the best first, given what is known of her now."""
    trust = trust or Trust.usual()
    with np.errstate(all="ignore"):
        stated = sweep_boats(boat)
        known = _known(boat, stated, trust)
        order, left = _chosen(known, most)
    rows = _table(boat, known, order, left)
    first = np.sqrt(np.diag(known.answers @ known.covariance @ known.answers.T))
    summary = {
        "top_speed_mps": float(stated.top.speed_mps[0]),
        "trial_cruise_mps": float(stated.best_speed_mps[0]),
        "runs_used": float(len(order)),
        "reasons": {},
    }
    return Result(
        kind="trial plan",
        answer=_answer(boat, rows, EIGHT_IN_TEN * first),
        summary={k: v for k, v in summary.items() if not (isinstance(v, float) and np.isnan(v))},
        tables={"rows": rows},
        plots=(),
        doubt={"draws": 0, "by_slopes": BY_SLOPES},
        cautions=("estimate", "weather"),
        assumptions=(*assumptions_of(boat), *_meters()),
        sources=sources_of(LAWS_USED, (*assumptions_of(boat), *_meters())),
        inputs={"runs": len(order), "load": boat.load},
        boat=boat.name,
        notes=(
            "Hold each run half a minute at a steady throttle, there and back, and write down what the"
            " sheet asks for. The first three teach most: make those if there is time for no more.",
            *said_of(boat),
        ),
    )


def _meters() -> tuple[Any, ...]:
    return tuple(a for name, a in TRIAL_ASSUMPTIONS.items() if name.startswith(("meter", "shape")))


# --- how everything hangs on what is not known ------------------------------------------------------


def _known(boat: Boat, stated: Sweep, trust: Trust) -> _Known:
    runs = _possible(boat, stated)
    tried = Tried.at(boat, runs)
    doubts = tried.doubts()
    names = tuple(doubts)
    units = np.array([doubts[name] for name in names]) / NINE_IN_TEN
    moves = {
        name: STEP * units[at] * (np.arange(len(names) + 2) == at + 1)
        for at, name in enumerate(names)
    }
    speed = np.repeat(runs.speed_mps[None, :], len(names) + 2, axis=0)
    speed[-1] += SPEED_STEP_MPS
    seen = tried.readings(moves, speed)
    stack = _in_doubts(seen, runs, trust)
    slopes = (stack[1:-1] - stack[0]) / STEP
    by_speed = (stack[-1] - stack[0]) / SPEED_STEP_MPS * trust.speed_sd(runs)[None, :]
    return _Known(
        _covariance(boat, names),
        _answers(boat, stated, moves),
        np.nan_to_num(np.moveaxis(slopes, (0, 1, 2), (2, 1, 0))),
        np.nan_to_num(by_speed.T),
        Readings.row(seen, 0),
        runs,
    )


def _in_doubts(seen: Readings, runs: SteadyRuns, trust: Trust) -> Array:
    """Readings over their standard deviations, (k, 3, m): rpm, burn, power at full throttle."""
    expected = SteadyRuns.of(
        runs.speed_mps, engine_rpm=seen.engine_rpm[0], fuel_lph=seen.fuel_lph[0]
    )
    power = np.where(runs.full_throttle, seen.power_ratio / trust.power_sd(), 0.0)
    return np.stack(
        [
            seen.engine_rpm / trust.rpm_sd(expected),
            np.log(seen.fuel_lph) / trust.fuel_sd(expected),
            power,
        ],
        axis=1,
    )


def _possible(boat: Boat, stated: Sweep) -> SteadyRuns:
    """Every pace at up to three loads, the lightest, the one meant and the heaviest, each also flat out."""
    loads = _loads(boat)
    top = sweep_boats([boat.at(load=load) for load in loads]).top.speed_mps
    top = np.where(np.isfinite(top), top, stated.points.speed_mps[0, -1] / 2.0)
    speed = np.concatenate([np.r_[np.array(PACE) * one, one] for one in top])
    each = len(PACE) + 1
    flat_out = np.arange(speed.size) % each == each - 1
    names = tuple(load for load in loads for _ in range(each))
    return SteadyRuns.of(speed, full_throttle=flat_out, load=names)


def _loads(boat: Boat) -> tuple[str, ...]:
    weight = Fleet.of([boat.at(load=name) for name in boat.load_names]).lanes.mass_kg
    order = [boat.load_names[at] for at in np.argsort(weight, kind="stable")]
    return tuple(dict.fromkeys((order[0], boat.load, order[-1])))[:MOST_LOADS]


def _covariance(boat: Boat, names: tuple[str, ...]) -> Array:
    """Of the inputs in the standard deviation of their own doubt: what an earlier trial left, else one each."""
    whole = np.eye(len(names))
    learned = boat.trial.learned
    if learned is None:
        return whole
    size = len(learned.names)
    triangle = np.zeros((size, size))
    for at, row in enumerate(learned.spread):
        triangle[at, : at + 1] = row
    left = triangle @ triangle.T
    places = [names.index(name) if name in names else -1 for name in learned.names]
    kept = [at for at, place in enumerate(places) if place >= 0]
    where = np.array([places[at] for at in kept], dtype=np.intp)
    whole[np.ix_(where, where)] = left[np.ix_(kept, kept)]
    return whole


def _answers(boat: Boat, stated: Sweep, moves: dict[str, Array]) -> Array:
    """Slopes of top speed and of the burn at the cruise, (2, P), per standard deviation."""
    moved = {name: value[:-1] for name, value in moves.items()}
    afloat = Afloat.of(Fleet.moved(boat, moved).lanes)
    known = stated.points

    def trim(speed: Array) -> Array:
        return np.interp(speed, known.speed_mps[0], known.drive_trim_deg[0])

    about = stated.top.speed_mps[0] * np.array(ABOUT_TOP)[None, :]
    top = top_speed(afloat, points(afloat, about, trim(about))).speed_mps
    cruise = np.array([[stated.best_speed_mps[0]]])
    burn = points(afloat, cruise, trim(cruise)).fuel_lph[:, 0]
    both = np.stack([top, burn])
    return np.nan_to_num((both[:, 1:] - both[:, :1]) / STEP)


# --- choosing ---------------------------------------------------------------------------------------


def _chosen(known: _Known, most: int) -> tuple[list[int], list[Array]]:
    """Places of the runs in the order chosen, and standard deviations of the two answers after each."""
    covariance, order, left = known.covariance, list[int](), list[Array]()
    count = known.runs.count
    for _ in range(min(most, count)):
        after = [_after(known, covariance, at) for at in range(count)]
        doubts = [np.diag(known.answers @ one @ known.answers.T) for one in after]
        score = [
            np.inf if at in order else float(np.log(np.maximum(doubts[at], 1e-30)).sum())
            for at in range(count)
        ]
        best = int(np.argmin(score))
        order.append(best)
        covariance = after[best]
        left.append(np.sqrt(doubts[best]))
    return order, left


def _after(known: _Known, covariance: Array, at: int) -> Array:
    """What is left of the covariance once a run is made."""
    slope, by_speed = known.readings[at], known.by_speed[at]
    noise = np.eye(slope.shape[0]) + np.outer(by_speed, by_speed)
    across = covariance @ slope.T
    return covariance - across @ np.linalg.solve(slope @ across + noise, across.T)


def _table(boat: Boat, known: _Known, order: list[int], left: list[Array]) -> pd.DataFrame:
    runs, seen = known.runs, known.expected
    first = np.diag(known.answers @ known.covariance @ known.answers.T)
    lines = []
    for place, (at, doubt) in enumerate(zip(order, left, strict=True), start=1):
        asked = first > 0.0  # a boat that never planes has no cruise to learn of
        share = 1.0 - np.sqrt(np.mean(doubt[asked] * doubt[asked] / first[asked]))
        bands = np.where(asked, EIGHT_IN_TEN * doubt, np.nan)
        flat_out = bool(runs.full_throttle[at])
        lines.append(
            {
                "speed_mps": float(runs.speed_mps[at]),
                "plan_run": f"{place}{', ' + FLAT_OUT if flat_out else ''}",
                "load": runs.load[at] or boat.load,
                "expected_rpm": float(seen.engine_rpm[0, at]),
                "expected_fuel_lph": float(seen.fuel_lph[0, at]),
                "top_speed_band_mps": float(bands[0]),
                "cruise_burn_band_lph": float(bands[1]),
                "doubt_taken": float(share),
                "status": "ok",
            }
        )
    return pd.DataFrame(lines)


def _answer(boat: Boat, rows: pd.DataFrame, first: Array) -> Sentence:
    one, last = rows.iloc[0], rows.iloc[-1]
    how = "flat out" if FLAT_OUT in one["plan_run"] else "at about "
    pace: tuple[str | Value, ...] = (
        (how,) if how == "flat out" else (how, Value(one["speed_mps"], "speed", 0))
    )
    return Sentence(
        (
            f"The run that would teach most of {boat.name} is ",
            *pace,
            f" loaded as {one['load']}. {len(rows)} runs like those below would narrow her top speed from ± ",
            Value(float(first[0]), "speed", 1),
            " to ± ",
            Value(float(last["top_speed_band_mps"]), "speed", 1),
            *_cruise(boat, float(first[1]), float(last["cruise_burn_band_lph"])),
        )
    )


def _cruise(boat: Boat, before: float, after: float) -> tuple[str | Value, ...]:
    """The end of the answer: the burn at her cruise, or that there is none."""
    if np.isnan(after):
        none = f"{boat.name}, loaded as {boat.load}, has no planing cruise whose burn could be looked at"
        return (f". {none}: these runs are chosen for her top speed alone.",)
    burn = (Value(before, "fuel flow", 1), " to ± ", Value(after, "fuel flow", 1))
    return (" and the burn at her cruise from ± ", *burn, ".")
