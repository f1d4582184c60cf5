"""A ladder of plate heights: what each costs at cruise and at top speed, and where its limits lie."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.assumptions import MOUNTING
from perf.base.quantities import mileage
from perf.boat.lanes import Lanes
from perf.solve.afloat import Afloat
from perf.solve.performance import Points, Status, points
from perf.studies.sweeps import Sweep

Array = NDArray[np.float64]

HEIGHTS_M = np.linspace(-0.10, 0.30, 33)  # plate heights tried, every half inch
STEP_M = float(HEIGHTS_M[1] - HEIGHTS_M[0])
ABOUT_TOP = np.array([0.80, 0.88, 0.94, 0.99, 1.04, 1.09, 1.16])  # of the top speed known before


@dataclass(frozen=True, eq=False)
class Ladder:
    """Groups (k) on the ladder (h): top speed [m/s], cruise mileage [m/L], depth of the plate there."""

    top_mps: Array
    mileage_m_per_l: Array
    depth_cruise_m: Array
    depth_top_m: Array
    cruise: Points


@dataclass(frozen=True, eq=False)
class Limits:
    """Heights (k,) at which each limit is met [m]; NaN where there is no speed to judge by."""

    drag_cruise: Array
    drag_top: Array
    ventilation_cruise: Array
    ventilation_top: Array
    pickup_cruise: Array
    pickup_top: Array

    @property
    def low(self) -> Array:
        """Lowest height that is not too low at either speed."""
        return np.maximum(self.drag_cruise, self.drag_top)

    @property
    def high(self) -> Array:
        """Highest height that is not too high at either speed."""
        ventilation = np.minimum(self.ventilation_cruise, self.ventilation_top)
        return np.minimum(ventilation, np.minimum(self.pickup_cruise, self.pickup_top))


def climb(lanes: Lanes, known: Sweep, row_of: NDArray[np.intp]) -> Ladder:
    """Evaluate groups on the ladder in one call, drive trims frozen from a sweep known before.

    lanes : (k x h) rows, height varying fastest. row_of : (k,) row of known each group belongs to.
    """
    groups, rungs = row_of.size, HEIGHTS_M.size
    cruise, top = known.best_speed_mps[row_of], known.top.speed_mps[row_of]
    speed = np.concatenate([cruise[:, None], top[:, None] * ABOUT_TOP[None, :]], axis=1)
    trim = _trims(known, row_of, speed)
    afloat = Afloat.of(lanes)
    with np.errstate(all="ignore"):
        at = points(afloat, np.repeat(speed, rungs, axis=0), np.repeat(trim, rungs, axis=0))
        spare = np.where(
            at.status == Status.NO_BALANCE, np.nan, (at.full_power_w - at.shaft_power_w)
        )
        lost, place = _last_crossing(spare[:, 1:])
    shape = (groups, rungs)
    best = np.where(at.status == Status.NO_BALANCE, np.nan, mileage(at.speed_mps, at.fuel_lph))
    cruising = Points(**{name: value[:, :1] for name, value in vars(at).items()})
    return Ladder(
        _read(at.speed_mps[:, 1:], lost, place).reshape(shape),
        best[:, 0].reshape(shape),
        at.plate_depth_m[:, 0].reshape(shape),
        _read(at.plate_depth_m[:, 1:], lost, place).reshape(shape),
        cruising,
    )


def _trims(known: Sweep, row_of: NDArray[np.intp], speed_mps: Array) -> Array:
    pace, trims = known.points.speed_mps, known.points.drive_trim_deg
    rows = [
        np.interp(wanted, pace[row], trims[row])
        for wanted, row in zip(speed_mps, row_of, strict=True)
    ]
    return np.stack(rows)


def _last_crossing(spare: Array) -> tuple[NDArray[np.intp], Array]:
    """Column before the last change from power to spare to none, and the share of the way; (n,).

    Held at the ends: a row that always has power to spare reads its last speed.
    """
    able = spare >= 0.0
    columns = spare.shape[1]
    last = columns - 1 - np.argmax(able[:, ::-1], axis=1)
    before = np.minimum(np.where(able.any(axis=1), last, 0), columns - 2)
    row = np.arange(spare.shape[0])
    here, there = spare[row, before], spare[row, before + 1]
    share = np.where(able.any(axis=1), np.clip(here / (here - there), 0.0, 1.0), np.nan)
    return before, np.where(able[:, -1], 1.0, share)


def _read(values: Array, before: NDArray[np.intp], share: Array) -> Array:
    row = np.arange(values.shape[0])
    here = values[row, before]
    return here + share * (values[row, before + 1] - here)


def limits(ladder: Ladder, shield_m: Array, pickup_below_m: Array) -> Limits:
    """Where the limits lie for each group; shield_m and pickup_below_m (k,) or (k, h) under the plate."""
    shield, pickup = shield_m.reshape(-1, 1), pickup_below_m.reshape(-1, 1)
    high = [
        _too_high(depth + under)
        for under in (shield, pickup)
        for depth in (ladder.depth_cruise_m, ladder.depth_top_m)
    ]
    cap = np.minimum.reduce(high)
    return Limits(_too_low(ladder.mileage_m_per_l, cap), _too_low(ladder.top_mps, cap), *high)


def _too_low(value: Array, cap_m: Array) -> Array:
    """Height down from the best at which a value falls the stated share under it; the lowest rung if never.

    The best is sought under the cap: over it the propeller breathes air and no method holds.
    """
    under_cap = HEIGHTS_M[None, :] <= cap_m[:, None] + STEP_M
    value = np.where(under_cap, value, np.nan)
    with np.errstate(all="ignore"):
        best = np.nanmax(np.where(np.isfinite(value), value, -np.inf), axis=1)
        left = value / best[:, None] - (1.0 - MOUNTING["height_loss"].value)
    top = np.argmax(np.where(np.isfinite(left), left, -np.inf), axis=1)
    under = np.arange(HEIGHTS_M.size)[None, :] < top[:, None]
    bad = under & ~(left >= 0.0)
    last = HEIGHTS_M.size - 1 - np.argmax(bad[:, ::-1], axis=1)
    crossed = _between(left, last)
    found = np.where(bad.any(axis=1), crossed, HEIGHTS_M[0])
    return np.where(np.isfinite(best) & (best > 0.0), found, np.nan)


def _too_high(left: Array) -> Array:
    """Height up the ladder at which what is left turns negative; the highest rung if never."""
    bad = left < 0.0
    first = np.argmax(bad, axis=1)
    crossed = np.where(first > 0, _between(left, np.maximum(first - 1, 0)), HEIGHTS_M[0])
    found = np.where(bad.any(axis=1), crossed, HEIGHTS_M[-1])
    return np.where(np.isfinite(left).all(axis=1), found, np.nan)


def _between(left: Array, before: NDArray[np.intp]) -> Array:
    """Height at which what is left passes nothing between a rung and the next."""
    row = np.arange(left.shape[0])
    at = np.minimum(before, HEIGHTS_M.size - 2)
    here, there = left[row, at], left[row, at + 1]
    with np.errstate(all="ignore"):
        share = np.where(here == there, 0.0, here / (here - there))
    share = np.clip(np.where(np.isfinite(share), share, 1.0), 0.0, 1.0)
    return np.asarray(HEIGHTS_M[at] + share * (HEIGHTS_M[at + 1] - HEIGHTS_M[at]))
