"""A trip: how much fuel, how long, what is left of it, how sure, and how far out and back she may go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from perf.base.results import Result
from perf.boat.parts import Boat
from perf.boat.trip.parts import Reserve, Run, Trip
from perf.studies.trip import answer as trip_answer
from perf.studies.trip.legs import Spent, Voyage, left_after, spend
from perf.studies.trip.pace import Curve, DrawnPacing, StatedPacing
from perf.studies.trip.reach import Reach, reach_of, setting_of
from perf.studies.trip.rows import asked_of, boat_of, voyage_of
from perf.studies.trip.tank import (
    Draws,
    FuelFactor,
    TankLevel,
    check_tank,
    fuel_factor,
    reserve_m3,
    tank_level,
    with_factor,
)

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Worked:
    """A trip worked out: of the boat as stated (k = 1), or of her draws; left_m3 (k, r) may be under nothing."""

    voyage: Voyage
    level: TankLevel
    spent: Spent
    left_m3: Array

    @property
    def least_left_m3(self) -> Array:
        """Least usable fuel at the end of any run (k,); worst where a run has no answer."""
        left = np.where(np.isfinite(self.spent.burned_m3), self.left_m3, np.nan)
        least = np.min(left, axis=1)
        return np.where(np.isfinite(least), least, -np.inf)

    @property
    def total_m3(self) -> Array:
        """Fuel of the whole trip (k,); NaN where a run has no answer."""
        total: Array = np.sum(self.spent.burned_m3, axis=1)
        return total


def trip(
    boat: Boat,
    runs: Trip | Sequence[Run],
    *,
    reserve: Reserve | None = None,
    draws: int = 200,
    seed: int = 1,
    reach: bool = True,
) -> Result:
    """Fuel and time of a trip run by run, what is left against the reserve, and the out-and-back reach.

    Parameters
    ----------
    boat : with her load and tank level; a trip's own load and tank stand before them.
    runs : a whole trip, or its runs in order.
    reserve : stands before the trip's own; a third of the usable fuel where nobody says.
    draws : how many times the doubts of boat, tank and weather are drawn; 0 for no bands.
    reach : whether the reach is worked out too.

    Raises
    ------
    InputFaults where no usable fuel is aboard; ValueError for names the boat does not know.
    """
    planned = runs if isinstance(runs, Trip) else Trip("trip", tuple(runs))
    if reserve is not None:
        planned = replace(planned, reserve=reserve)
    with np.errstate(all="ignore"):
        begun, factor = corrected(boat_of(boat, planned), planned)
        stated, curve = work_out(begun, planned)
        drawn = draw_out(begun, planned, stated, curve, draws, seed) if draws else None
        kept = reserve_m3(planned, stated.level)
        far = None
        if reach:
            levels = (stated.level, None if drawn is None else drawn.level)
            drawing = Draws(draws, seed, dict(planned.doubts))
            far = reach_of(
                setting_of(begun, planned, stated.spent, stated.voyage, levels, kept, drawing)
            )
        found = Found(begun, planned, stated, drawn, kept, factor, far, draws, seed)
        return trip_answer.result_of(found)


@dataclass(frozen=True, eq=False)
class Found:
    """Everything the answer is made of."""

    boat: Boat
    trip: Trip
    stated: Worked
    drawn: Worked | None
    reserve_m3: float
    factor: FuelFactor
    reach: Reach | None
    draws: int
    seed: int


def work_out(boat: Boat, planned: Trip) -> tuple[Worked, Curve | None]:
    """A trip of the boat as stated, and the curves its paces were read from; boat is that of boat_of."""
    as_stated = Draws(0, 0, {})
    voyage = voyage_of(boat, planned, as_stated)
    level = tank_level(boat, planned, as_stated)
    check_tank(boat, planned, level)
    pacing = StatedPacing(asked_of(boat, planned, voyage))
    spent = spend(voyage, level.start_m3, pacing, np.zeros(1), planned.lightens)
    return _worked(voyage, level, spent), pacing.curve


def draw_out(
    boat: Boat, planned: Trip, stated: Worked, curve: Curve | None, draws: int, seed: int
) -> Worked:
    """The same trip drawn from every doubt, at the speeds and drive trims of the boat as stated."""
    if curve is None:
        raise ValueError("the stated trip has no curves to draw from")
    drawing = Draws(draws, seed, dict(planned.doubts))
    voyage = voyage_of(boat, planned, drawing)
    level = tank_level(boat, planned, drawing)
    held = stated.spent.at
    rpm = [run.pace.value if run.pace.kind == "rpm" else np.nan for run in planned.runs]

    def each(values: Array) -> Array:
        """Values of every run (r, …) for every draw, k x r rows."""
        return np.ascontiguousarray(np.tile(values, (draws,) + (1,) * (values.ndim - 1)))

    pacing = DrawnPacing(
        each(held.speed_mps[:, 0]),
        each(held.drive_trim_deg[:, 0]),
        each(np.array(rpm)),
        each(curve.speed_mps),
        each(curve.drive_trim_deg),
        voyage.standing.ravel(),
    )
    guess = np.nan_to_num(stated.spent.burned_m3)
    spent = spend(voyage, level.start_m3, pacing, guess, planned.lightens)
    return _worked(voyage, level, spent)


def _worked(voyage: Voyage, level: TankLevel, spent: Spent) -> Worked:
    burned = np.nan_to_num(spent.burned_m3)
    left = left_after(voyage, level.start_m3, level.unusable_m3, burned)
    return Worked(voyage, level, spent, left)


def corrected(boat: Boat, planned: Trip) -> tuple[Boat, FuelFactor]:
    """The boat with her burn corrected by the trip's log of fill-ups, and what the log says."""
    if not planned.log:
        return boat, fuel_factor(boat, np.empty(0), np.empty(0))
    logged = replace(planned, runs=tuple(line.run for line in planned.log), log=())
    as_stated = Draws(0, 0, {})
    voyage = voyage_of(boat, logged, as_stated)
    voyage = replace(voyage, take_on_m3=np.zeros(voyage.shape))
    # each line of the log is a trip of its own, worked out with the tank half full
    half = np.full(1, 0.5 * boat.tank.capacity_m3)
    pacing = StatedPacing(asked_of(boat, logged, voyage))
    spent = spend(voyage, half, pacing, np.zeros(1), lightens=False)
    burned = np.array([line.burned_m3 for line in planned.log])
    found = fuel_factor(boat, burned, spent.burned_m3[0])
    return with_factor(boat, found), found
