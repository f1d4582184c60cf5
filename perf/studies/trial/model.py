"""What the boat would read at the runs of a log, with her inputs moved: many rows in one call."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from perf.boat.fleet import Fleet, doubted
from perf.boat.lanes import Lanes
from perf.boat.learned import FACTORS
from perf.boat.log.runs import SteadyRuns
from perf.boat.parts import Boat, Mark, Trial
from perf.laws.hydrostatics import height_over_water
from perf.solve.afloat import Afloat
from perf.solve.performance import Status, best_drive_trim, points

Array = NDArray[np.float64]

LEAST_SPEED_MPS = 0.3


@dataclass(frozen=True, eq=False)
class Readings:
    """What the meters would show, (k rows, m runs), NaN where she finds no balance.

    power_ratio : power needed over full-throttle power. heights_m : marks over the water (k, marks).
    """

    engine_rpm: Array
    fuel_lph: Array
    trim_deg: Array
    power_ratio: Array
    heights_m: Array

    @classmethod
    def row(cls, many: Readings, at: int) -> Readings:
        """One row of many."""
        return cls(*(getattr(many, f.name)[at : at + 1] for f in fields(cls)))


@dataclass(frozen=True, eq=False)
class Tried:
    """One boat and the runs she made, ready to be asked what they would read.

    boats : the boat at each load, tank and water that was tried; of : which of them, (m,); the last
    boats are those at whose load the marks were taped.
    """

    boats: tuple[Boat, ...]
    runs: SteadyRuns
    of: NDArray[np.intp]
    drive_trim_deg: Array
    marks: tuple[Mark, ...]
    of_mark: NDArray[np.intp]

    @classmethod
    def at(cls, boat: Boat, runs: SteadyRuns, marks: tuple[Mark, ...] = ()) -> Tried:
        """Set the boat to every load and tank of the runs; ValueError for a load she has not."""
        settings = [_setting(boat, runs, place) for place in range(runs.count)]
        settings += [boat.at(load=mark.load or None) for mark in marks]
        boats = tuple(dict.fromkeys(settings))
        where = {one: place for place, one in enumerate(boats)}
        of = np.array([where[one] for one in settings], dtype=np.intp)
        sailed, taped = of[: runs.count], of[runs.count :]
        return cls(boats, runs, sailed, _drive_trims(boats, runs, sailed), marks, taped)

    def doubts(self) -> dict[str, float]:
        """Every input that is drawn at any of the loads, and its own doubt (nine in ten), SI."""
        known: dict[str, float] = {}
        for boat in self.boats:
            known |= doubted(boat)
        return known

    def readings(self, moves: Mapping[str, Array], speed_mps: Array) -> Readings:
        """What is read with inputs moved, rows (k,), at speeds (k, m): one call of the engine."""
        count = speed_mps.shape[0]
        return self._read(Fleet.moved(self.boats, _whole(moves, count)).lanes, speed_mps)

    def drawn(self, draws: int, seed: int) -> Readings:
        """What is read by boats drawn from their doubts, at the speeds of the runs, (draws, m)."""
        lanes = Fleet.draw(self.boats, draws, seed).lanes
        return self._read(lanes, np.repeat(self.runs.speed_mps[None, :], draws, axis=0))

    def _read(self, lanes: Lanes, speed_mps: Array) -> Readings:
        """Readings of rows boat by boat, as many for each boat as there are rows of speeds."""
        count = speed_mps.shape[0]
        afloat = Afloat.of(lanes)
        row = np.arange(count)[:, None]
        heights = self._heights(afloat, count)
        if not self.runs.count:
            none = np.empty((count, 0))
            return Readings(none, none, none, none, heights)
        flat = afloat.take((self.of[None, :] * count + row).ravel())
        shape = speed_mps.shape
        wind = np.broadcast_to(self.runs.head_wind_mps, shape).ravel()
        flat = replace(flat, lanes=replace(flat.lanes, head_wind_mps=np.array(wind)))
        trim = np.broadcast_to(self.drive_trim_deg, shape).reshape(-1, 1)
        with np.errstate(all="ignore"):
            at = points(flat, np.maximum(speed_mps, LEAST_SPEED_MPS).reshape(-1, 1), trim)
            ratio = at.shaft_power_w / at.full_power_w
        found = at.status != Status.NO_BALANCE
        seen = (at.engine_rpm, at.fuel_lph, at.trim_deg, ratio)
        rpm, fuel, angle, share = (np.where(found, one, np.nan).reshape(shape) for one in seen)
        return Readings(rpm, fuel, angle, share, heights)

    def _heights(self, afloat: Afloat, count: int) -> Array:
        """Heights of the marks over the water, (count, marks)."""
        row = np.arange(count)[:, None]
        at = self.of_mark[None, :] * count + row
        forward = np.array([mark.forward_m for mark in self.marks])
        above = np.array([mark.above_m for mark in self.marks])
        return height_over_water(forward, above, afloat.draught_m[at], afloat.trim_deg[at])


def untried(boat: Boat) -> Boat:
    """The boat before any trial: factors neutral, their doubts those of the assumptions."""
    kept = tuple((path, half) for path, half in boat.doubts if path not in TRIAL_PATHS)
    return boat.at(trial=Trial(), doubts=kept)


TRIAL_PATHS = frozenset(path for path in FACTORS if path.startswith("assumed."))


def _setting(boat: Boat, runs: SteadyRuns, place: int) -> Boat:
    set_ = boat.at(load=runs.load[place]) if runs.load[place] else boat
    if np.isfinite(runs.tank_m3[place]):
        share = float(runs.tank_m3[place]) / boat.tank.capacity_m3
        set_ = set_.at(tank=min(share, 1.0))
    elif np.isfinite(runs.tank[place]):
        set_ = set_.at(tank=float(runs.tank[place]))
    if np.isfinite(runs.water_c[place]):
        set_ = set_.at(water=replace(boat.water, temperature_c=float(runs.water_c[place])))
    return set_


def _whole(moves: Mapping[str, Array], count: int) -> Mapping[str, Array]:
    return moves or {"": np.zeros(count)}


def _drive_trims(boats: tuple[Boat, ...], runs: SteadyRuns, of: NDArray[np.intp]) -> Array:
    """As logged, as fixed in the file, or as she runs best by her file; then left alone."""
    if not runs.count:
        return np.empty(0)
    afloat = Afloat.of(Fleet.of(boats).lanes)
    with np.errstate(all="ignore"):
        best = best_drive_trim(afloat, runs.speed_mps[None, :])[of, np.arange(runs.count)]
    return np.where(np.isfinite(runs.drive_trim_deg), runs.drive_trim_deg, best)
