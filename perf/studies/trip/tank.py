"""What is really in the tank, what is kept back of it, and what a log of fill-ups says of the burn."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from perf.base.assumptions import ASSUMPTIONS
from perf.base.draws import drawn
from perf.base.faults import Fault, InputFaults
from perf.base.trip_assumptions import TRIP_ASSUMPTIONS
from perf.boat.parts import Boat
from perf.boat.trip.parts import Trip

Array = NDArray[np.float64]

USABLE = "tank.usable"


@dataclass(frozen=True, eq=False)
class TankLevel:
    """Fuel in the tank at the start, what of it cannot be drawn, what a filled tank holds; (k,) [m3]."""

    start_m3: Array
    unusable_m3: Array
    full_m3: Array
    capacity_m3: float
    by_gauge: bool

    @property
    def usable_m3(self) -> Array:
        """Fuel that can be drawn at the start, never under nothing."""
        return np.maximum(self.start_m3 - self.unusable_m3, 0.0)

    def gauge(self, usable_m3: Array) -> Array:
        """What a true gauge reads as stated with so much usable fuel: share of a filled tank, one at most."""
        return np.asarray(np.minimum((usable_m3 + self.unusable_m3[0]) / self.full_m3[0], 1.0))


class Draws:
    """Values by name: as stated (k = 1), or drawn k times, each keyed by its name alone."""

    def __init__(self, count: int, seed: int, doubts: dict[str, float]) -> None:
        self.count, self.seed, self.doubts = count, seed, doubts

    @property
    def rows(self) -> int:
        """Rows of every value: one as stated, else one a draw."""
        return max(self.count, 1)

    def value(self, path: str, value: float, half_width: float = 0.0) -> Array:
        """One value (k,) about the stated one; a doubt written for the path stands before half_width."""
        half_width = self.doubts.get(path, half_width)
        if self.count == 0 or half_width == 0.0:
            return np.full(self.rows, value)
        return drawn(self.seed, path, self.count, value, half_width)

    def assumed(self, name: str) -> Array:
        """One assumption of trips (k,)."""
        about = TRIP_ASSUMPTIONS[name]
        return self.value(f"assumed.{name}", about.value, about.half_width)


def tank_level(boat: Boat, trip: Trip, draws: Draws) -> TankLevel:
    """Fuel at the start: a filled tank less what was burned since, or what the gauge says of it."""
    tank, truth = boat.tank, trip.tank
    doubts = dict(boat.doubts)
    share = tank.usable if truth.usable is None else truth.usable
    usable = draws.value(
        USABLE, share, 0.0 if truth.usable is not None else doubts.get(USABLE, 0.0)
    )
    fill = draws.assumed("tank_fill")
    if truth.fill is not None:
        fill = draws.value("tank.fill", truth.fill)
    full = tank.capacity_m3 * np.clip(fill, 0.0, 1.0)
    by_gauge = truth.since_fill_m3 is None
    if truth.since_fill_m3 is not None:
        start = full - draws.value("tank.since_fill", truth.since_fill_m3)
    else:
        level = boat.loaded.tank if truth.level is None else truth.level
        # a level is a share of the stated capacity; a tank said to be full holds what fills it
        reading = tank.capacity_m3 * np.clip(level + _gauge(trip, draws, level), 0.0, 1.0)
        start = np.minimum(reading, full)
    unusable = tank.capacity_m3 * (1.0 - np.clip(usable, 0.0, 1.0))
    return TankLevel(np.maximum(start, 0.0), unusable, full, tank.capacity_m3, by_gauge)


def _gauge(trip: Trip, draws: Draws, level: float) -> Array:
    """Error of the gauge (k,): none where the tank is said to be full or the trip says there is none."""
    stated = draws.doubts.get("tank.level", trip.tank.gauge_error)
    if stated is None:
        return draws.assumed("gauge") if level < 1.0 else np.zeros(draws.rows)
    return draws.value("tank.gauge_error", 0.0, stated)


def reserve_m3(trip: Trip, stated: TankLevel) -> float:
    """Fuel to be kept back: the quantity, or the share of what is usable at the start as stated."""
    wanted = trip.reserve.quantity_m3
    return trip.reserve.share * float(stated.usable_m3[0]) if wanted is None else wanted


def check_tank(boat: Boat, trip: Trip, stated: TankLevel) -> None:
    """Refuse a trip that begins with no usable fuel and takes none on first; InputFaults."""
    if stated.usable_m3[0] > 0.0 or trip.runs[0].take_on_m3 > 0.0:
        return
    words = dict(trip.words)
    where = next(
        (p for p in ("tank.level", "tank.since_fill") if p in words), f"loads.{boat.load}.tank"
    )
    cure = "no usable fuel aboard at the start: fill up, or give the first run a take_on"
    raise InputFaults(trip.name, [Fault(0, 0, where, words.get(where, ""), cure)])


# --- the burn log -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class FuelFactor:
    """Real burn over the worked-out burn, its half width, and the fill-ups it rests on."""

    factor: float
    half_width: float
    fill_ups: int


def fuel_factor(boat: Boat, burned_m3: Array, predicted_m3: Array) -> FuelFactor:
    """Weigh fill-ups (n,) against what the boat was thought to burn: inverse squares of the half widths.

    Each fill-up says the ratio of both within the assumed scatter, or within the scatter they show
    among themselves where that is wider.
    """
    usual = ASSUMPTIONS["trial_fuel_slope"].half_width
    before = dict(boat.doubts).get(_burn_path(boat), usual) / boat.trial.fuel_slope
    ratio = burned_m3 / predicted_m3
    ratio = ratio[np.isfinite(ratio)]
    if ratio.size == 0:
        return FuelFactor(1.0, before, 0)
    each = TRIP_ASSUMPTIONS["log_scatter"].half_width
    if ratio.size > 2:
        each = max(each, 1.645 * float(np.std(ratio, ddof=1)))
    of_log = each / np.sqrt(ratio.size)
    if before == 0.0:
        return FuelFactor(1.0, 0.0, int(ratio.size))
    prior, said = 1.0 / (before * before), 1.0 / (of_log * of_log)
    factor = (prior + said * float(np.mean(ratio))) / (prior + said)
    return FuelFactor(factor, float(1.0 / np.sqrt(prior + said)), int(ratio.size))


def _burn_path(boat: Boat) -> str:
    """Where the doubt of the burn stands: an owner's own burn table goes before the law."""
    return "engine.fuel" if boat.engine.fuel_table else "assumed.trial_fuel_slope"


def with_factor(boat: Boat, found: FuelFactor) -> Boat:
    """The boat with her fuel factors corrected by a log, and the doubt of the burn narrowed with it."""
    if found.fill_ups == 0:
        return boat
    slope, idle = boat.trial.fuel_slope * found.factor, boat.trial.fuel_idle * found.factor
    doubts = {**dict(boat.doubts), _burn_path(boat): found.half_width * boat.trial.fuel_slope}
    return replace(
        boat,
        trial=replace(boat.trial, fuel_slope=slope, fuel_idle=idle),
        doubts=tuple(doubts.items()),
    )
