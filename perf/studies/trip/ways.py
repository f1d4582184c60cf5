"""Out and home in one call: what a metre costs each way, and how far that lets her go.

The fuel to be spent is known, so the fuel aboard half way out and half way home follows from the
share the way out takes; a few turns settle it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from perf.base.quantities import HOUR_S, LITRES
from perf.boat.parts import Boat
from perf.boat.trip.parts import Weather
from perf.laws import seaway
from perf.solve.afloat import Afloat
from perf.solve.performance import Points
from perf.studies.trip.legs import (
    Felt,
    Paced,
    Pacing,
    Voyage,
    afloat_at,
    burn_lph,
    run_at,
)
from perf.studies.trip.pace import Asked, Curve, DrawnPacing, StatedPacing, stopped, trims_at
from perf.studies.trip.rows import dry_lanes, sea_share
from perf.studies.trip.tank import Draws

Array = NDArray[np.float64]

TURNS = 3  # of the share of the fuel that the way out takes
HALF = 0.5


@dataclass(frozen=True, eq=False)
class Ways:
    """Wind, sea and current as met out and home, every array (n, 2); rising: one after the other faster."""

    wind_ahead_mps: Array
    wind_across_mps: Array
    current_along_mps: Array
    current_across_mps: Array
    wave_height_m: Array
    off_deg: Array  # where the sea comes from, off the course
    rising: bool

    @property
    def count(self) -> int:
        """How many ways, each out and home."""
        return int(self.off_deg.shape[0])


def met(weather: Weather, bearing_deg: Array, sides: Sequence[float], rising: bool) -> Ways:
    """The weather on the way out along bearings (n,) and home again.

    sides : true bearings where wind and sea come from and the current sets to.
    """

    def off(side: float) -> Array:
        out = np.radians(side - bearing_deg)
        return np.stack([out, out + np.pi], axis=1)

    wind, sea, sets = (off(side) for side in sides)
    along, across = weather.current_mps * np.cos(sets), weather.current_mps * np.sin(sets)
    return Ways(
        weather.wind_mps * np.cos(wind) + along,
        weather.wind_mps * np.sin(wind) + across,
        along,
        across,
        np.full(wind.shape, weather.wave_height_m),
        np.degrees(sea),
        rising,
    )


def voyage_by(boat: Boat, aboard: tuple[str, ...], ways: Ways, draws: Draws) -> Voyage:
    """A row for every draw, way, out and home: (k, 2n), so many aboard."""
    rows = 2 * ways.count
    dry = dry_lanes(boat, (aboard,) * rows, draws)
    sea, wind = draws.assumed("forecast_sea"), draws.assumed("forecast_wind")

    def each(values: Array, factor: Array) -> Array:
        return np.maximum(factor, 0.0)[:, None] * values.ravel()[None, :]

    wave, share = each(ways.wave_height_m, sea), sea_share(ways.off_deg.ravel(), draws)
    nothing = np.zeros((draws.rows, rows))
    return Voyage(
        replace(dry, wave_height_m=wave.ravel(), sea_share=share.ravel()),
        boat.tank.forward_m,
        boat.tank.above_m,
        boat.tank.capacity_m3,
        each(ways.wind_ahead_mps, wind),
        each(ways.wind_across_mps, wind),
        each(ways.current_along_mps, wind),
        each(ways.current_across_mps, wind),
        nothing,
        nothing,
        nothing > 0.0,
        nothing == 0.0,
        nothing,
    )


@dataclass(frozen=True, eq=False)
class Cost:
    """Out and home, all (k, n, 2): fuel for a metre over the ground [m3/m], burn [L/h]; NaN where not held.

    share (k, n): of the fuel that the way out takes.
    """

    per_metre: Array
    lph: Array
    planing: NDArray[np.bool_]
    share: Array

    def reach_m(self, spend_m3: Array) -> Array:
        """How far out with so much to spend (k,), (k, n); NaN where one of the ways is not held."""
        return np.asarray(spend_m3[:, None] / (self.per_metre[:, :, 0] + self.per_metre[:, :, 1]))


@dataclass(frozen=True, eq=False)
class Purse:
    """Fuel in the tank at the start and what of it may be spent, (k,) [m3]."""

    start_m3: Array
    spend_m3: Array


def cost_of(
    voyage: Voyage, ways: Ways, purse: Purse, speed_mps: Array, trim_deg: Array, share: Array | None
) -> Cost:
    """What each way costs at its speed (n,) and drive trim (2n,); share is a first guess from before."""
    trips, rows = voyage.shape
    turns = TURNS if share is None else 1
    part = np.full((trips, ways.count), HALF) if share is None else share
    speed = np.tile(np.repeat(speed_mps, 2), trips)
    trims, felt = np.tile(trim_deg, trips)[:, None], Felt.of(voyage)
    for turn in range(turns):
        afloat = _afloat(voyage, purse, part)
        at = run_at(afloat, felt, speed[:, None], trims)
        lph = burn_lph(afloat.lanes, at).reshape(trips, rows)
        if turn == turns - 1:
            lph = np.where(_held(ways, stopped(afloat, felt, at), trips), lph, np.nan)
        cost = _cost(voyage, ways, speed, lph, at)
        part = cost.share
    return cost


def slowed_cost(
    voyage: Voyage, ways: Ways, purse: Purse, pacing: Pacing, share: Array
) -> tuple[Cost, Paced]:
    """What each way costs where one that does not hold the speed goes as fast as it can, and how fast."""
    afloat = _afloat(voyage, purse, share)
    paced = pacing(afloat, Felt.of(voyage), 1)
    lph = burn_lph(afloat.lanes, paced.at).reshape(voyage.shape)
    return _cost(voyage, ways, paced.speed_mps, lph, paced.at), paced


def _cost(voyage: Voyage, ways: Ways, speed_mps: Array, lph: Array, at: Points) -> Cost:
    shape = (voyage.shape[0], ways.count, 2)
    ground = seaway.ground_speed(
        speed_mps.reshape(voyage.shape), voyage.current_along_mps, voyage.current_across_mps
    )
    both = (lph / LITRES / HOUR_S / ground).reshape(shape)
    found = both[:, :, 0] / (both[:, :, 0] + both[:, :, 1])
    planing = (at.planing_measure >= 0.0).reshape(shape)
    return Cost(both, lph.reshape(shape), planing, np.where(np.isfinite(found), found, HALF))


def _afloat(voyage: Voyage, purse: Purse, share: Array) -> Afloat:
    """Rows with the fuel they have half way out and half way home."""
    spend = purse.spend_m3[:, None]
    gone = np.stack([0.5 * share * spend, 0.5 * (1.0 + share) * spend], axis=2)
    level = np.maximum(purse.start_m3[:, None, None] - gone, 0.0)
    return afloat_at(voyage, level.reshape(voyage.shape))


def _held(ways: Ways, short: NDArray[np.bool_], trips: int) -> NDArray[np.bool_]:
    """Ways full throttle holds (k, 2n); where they rise in speed, none past one that is not held."""
    lost = short.reshape(trips, ways.count, 2)
    if ways.rising:
        lost = np.logical_or.accumulate(lost, axis=1)
    return np.asarray(~lost.reshape(trips, -1))


def trims_of(voyage: Voyage, purse: Purse, ways: Ways, speed_mps: Array) -> Array:
    """Best drive trim of the stated boat out and home, (2n,)."""
    afloat = _afloat(voyage, purse, np.full((1, ways.count), HALF))
    return trims_at(afloat, Felt.of(voyage), np.repeat(speed_mps, 2)[:, None])[:, 0]


def stated_pacing(voyage: Voyage, speed_mps: Array) -> StatedPacing:
    """Pace of the stated boat out and home: one speed (n,) each, less where the engine does not hold it."""
    speed = np.repeat(speed_mps, 2)
    rows = speed.size
    return StatedPacing(
        Asked(
            np.full(rows, "speed"),
            speed,
            np.zeros(rows, dtype=bool),
            voyage.current_along_mps.ravel(),
            voyage.current_across_mps.ravel(),
            np.full(rows, np.nan),
            np.zeros(rows),
        )
    )


def drawn_pacing(stated: Paced, curve: Curve, draws: int) -> DrawnPacing:
    """The same for draws: speeds and drive trims of the stated boat, less where a draw does not hold them."""

    def each(values: Array) -> Array:
        return np.ascontiguousarray(np.tile(values, (draws,) + (1,) * (values.ndim - 1)))

    rows = stated.speed_mps.size * draws
    return DrawnPacing(
        each(stated.speed_mps),
        each(stated.at.drive_trim_deg[:, 0]),
        np.full(rows, np.nan),
        each(curve.speed_mps),
        each(curve.drive_trim_deg),
        np.zeros(rows, dtype=bool),
    )
