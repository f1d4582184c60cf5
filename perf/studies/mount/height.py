"""How high: the range of plate heights that holds from cruise to top speed, and what ends it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.assumptions import MOUNTING
from perf.boat.parts import Boat
from perf.studies.mount.boats import at_heights, hung, with_wake
from perf.studies.mount.ladder import HEIGHTS_M, Ladder, Limits, climb, limits
from perf.studies.mount.water import wake_at
from perf.studies.sweeps import Sweep, sweep_boats

Array = NDArray[np.float64]

RULE_PER_SETBACK = 1.0 / 12.0  # an inch up for every foot back, common practice, no source
PLACES = np.array([0.0, 0.5, 1.0])  # between the published fit and the straight wake
MIDDLE = 1
CASES = ("the fit of 1988", "the middle of the band", "the straight wake",
         "the short form of the fit", "the contours of 2010")  # fmt: skip
OTHERS = ("wake_simplified", "wake_contour")  # the last two cases, in that order
EVERY = "every model of the water behind the transom"
ONLY_MIDDLE = "the middle of the band of models only"
DRAG = "drag of the buried leg"
VENTILATION = "ventilation"
PICKUP = "water pickup"
LOOKED = "lowest height looked at"


@dataclass(frozen=True)
class Advice:
    """The range of one boat at one setback [m]; None with a reason where there is none."""

    setback_m: float
    low_m: float | None
    high_m: float | None
    limited_below_by: str
    limited_above_by: str
    holds_over: str
    reason: str
    rule_of_thumb_m: float
    cruise_mps: float
    top_mps: float

    @property
    def middle_m(self) -> float:
        """Middle of the range, or the rule of thumb where there is no range."""
        if self.low_m is None or self.high_m is None:
            return self.rule_of_thumb_m
        return 0.5 * (self.low_m + self.high_m)

    @property
    def rule_misses_by_m(self) -> float | None:
        """How far the rule of thumb lies over (positive) or under the range; 0 inside."""
        if self.low_m is None or self.high_m is None:
            return None
        over = max(self.rule_of_thumb_m - self.high_m, 0.0)
        return over - max(self.low_m - self.rule_of_thumb_m, 0.0)


@dataclass(frozen=True, eq=False)
class Advices:
    """Advice per boat, and what it was read from: the sweep at the rule of thumb, the ladder, its limits."""

    each: tuple[Advice, ...]
    known: Sweep
    ladder: Ladder
    cases: Limits  # (boats, cases)


def rule_of_thumb_m(setback_m: float) -> float:
    """An inch up for every foot back, from a plate even with the bottom [m]."""
    return RULE_PER_SETBACK * setback_m


def advise(boats: Sequence[Boat]) -> Advices:
    """The range of plate heights for each boat as she hangs; their own plate heights do not matter."""
    known = sweep_boats(
        [hung(b, b.mounting.setback_m, rule_of_thumb_m(b.mounting.setback_m)) for b in boats]
    )
    lanes = with_wake(at_heights(boats, HEIGHTS_M), PLACES)
    # (boat, height, place) to (boat, place, height)
    order = np.arange(lanes.count).reshape(len(boats), HEIGHTS_M.size, PLACES.size)
    lanes = lanes.take(order.transpose(0, 2, 1).ravel())
    row_of = np.repeat(np.arange(len(boats)), PLACES.size)
    ladder = climb(lanes, known, row_of)
    fleet = known.afloat.lanes
    shield = np.repeat(fleet.plate_shield_m, PLACES.size)
    pickup = np.repeat(MOUNTING["pickup_below"].value * fleet.diameter_m, PLACES.size)
    own = limits(ladder, shield, pickup)
    cases = _with_other_models(known, own, len(boats))
    each = tuple(_advice(boat, known, cases, at) for at, boat in enumerate(boats))
    return Advices(each, known, ladder, cases)


def advise_draws(boat: Boat, known: Sweep, draws: int, seed: int) -> tuple[Ladder, Limits]:
    """The ladder and limits of one boat in every draw of what is not known (draws,), wake and all.

    known : the sweep at the rule of thumb of this boat alone, first row.
    """
    lanes = at_heights([boat], HEIGHTS_M, draws, seed)
    order = np.arange(lanes.count).reshape(HEIGHTS_M.size, draws)
    lanes = lanes.take(order.T.ravel())
    first = lanes.take(np.arange(draws) * HEIGHTS_M.size)
    ladder = climb(lanes, known, np.zeros(draws, dtype=np.intp))
    pickup = MOUNTING["pickup_below"].value * first.diameter_m
    return ladder, limits(ladder, first.plate_shield_m, pickup)


def _with_other_models(known: Sweep, own: Limits, boats: int) -> Limits:
    """Limits by case (boats, 5): three places the engine ran with, two models shifted from the middle."""
    cruise = _shift(known, known.best_speed_mps)
    top = _shift(known, known.top.speed_mps)
    columns = {}
    for name, value in vars(own).items():
        mine = value.reshape(boats, PLACES.size)
        moved = mine[:, [MIDDLE]] + (cruise if name.endswith("cruise") else top)
        columns[name] = np.concatenate([mine, moved], axis=1)
    return Limits(**columns)


def _shift(known: Sweep, speed_mps: Array) -> Array:
    """Short form and contours over the middle of the band at a speed (n,): (n, 2) [m]."""
    seen = wake_at(known.afloat, known.points)
    middle = 0.5 * (seen.rise_m["wake_savitsky"] + seen.rise_m["wake_straight"])
    pace = known.points.speed_mps
    shifts = [
        [np.interp(speed, pace[row], (seen.rise_m[name] - middle)[row]) for name in OTHERS]
        for row, speed in enumerate(speed_mps)
    ]
    return np.array(shifts)


def _advice(boat: Boat, known: Sweep, cases: Limits, at: int) -> Advice:
    setback = boat.mounting.setback_m
    cruise, top = float(known.best_speed_mps[at]), float(known.top.speed_mps[at])
    low, high = cases.low[at], cases.high[at]
    thumb = rule_of_thumb_m(setback)

    def made(rows: list[int], holds: str, reason: str) -> Advice:
        below, under = _below(cases, at, rows)
        above, over = _above(cases, at, rows)
        if len(rows) == 1:  # only one case: its name says nothing
            under, over = (words.split(", by ")[0] for words in (under, over))
        found = below <= above
        return Advice(
            setback, below if found else None, above if found else None, under, over,
            holds if found else "", reason, thumb, cruise, top,
        )  # fmt: skip

    if not (np.isfinite(low).all() and np.isfinite(high).all()):
        why = "she is not held on plane by full throttle at this load: there is no cruise or top speed to judge a height by"
        return Advice(setback, None, None, "", "", "", why, thumb, cruise, top)
    every = made(list(range(len(CASES))), EVERY, "")
    if every.low_m is not None:
        return every
    apart = "methods for the water behind her differ: this suits the middle one"
    middle = made([MIDDLE], ONLY_MIDDLE, apart)
    if middle.low_m is not None:
        return middle
    why = (
        "the water behind the transom falls more from cruise to top speed than a leg forgives: a "
        "height that clears the leg at cruise lets the propeller ventilate flat out"
    )
    return made([MIDDLE], "", why)


def _below(cases: Limits, at: int, rows: list[int]) -> tuple[float, str]:
    """The highest of the lower limits, and what makes it."""
    cruise, top = cases.drag_cruise[at, rows], cases.drag_top[at, rows]
    speed = "cruise" if cruise.max() >= top.max() else "top speed"
    worst = cruise if speed == "cruise" else top
    case = CASES[rows[int(np.argmax(worst))]]
    value = float(worst.max())
    if value <= HEIGHTS_M[0]:
        return value, LOOKED
    return value, f"{DRAG} at {speed}, by {case}"


def _above(cases: Limits, at: int, rows: list[int]) -> tuple[float, str]:
    """The lowest of the upper limits, and what makes it."""
    named = [
        (VENTILATION, "cruise", cases.ventilation_cruise[at, rows]),
        (VENTILATION, "top speed", cases.ventilation_top[at, rows]),
        (PICKUP, "cruise", cases.pickup_cruise[at, rows]),
        (PICKUP, "top speed", cases.pickup_top[at, rows]),
    ]
    what, speed, worst = min(named, key=lambda one: float(one[2].min()))
    case = CASES[rows[int(np.argmin(worst))]]
    return float(worst.min()), f"{what} at {speed}, by {case}"
