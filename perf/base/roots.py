"""Bracketed roots of many lanes at once, never raising for a lane.

Two ways. Without a start: scipy's Chandrupatla search over the whole bracket, checked. With one, for
a residual that rises from below zero to above: steps by the slope given, then by the inverse
parabola through the last three, held between the ends; the few lanes that do not close so are
searched the first way. Each lane goes its own way whatever stands beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import elementwise

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

PATIENT = 3  # steps before a lane that does not close in goes half way or to an end
STEPS = 14  # from a start, before a lane is searched over its whole bracket


@dataclass(frozen=True)
class Roots:
    """x (NaN where there is none), whether each lane closed, and evaluations spent per lane."""

    x: Array
    found: NDArray[np.bool_]
    evaluations: NDArray[np.int64]


@dataclass(frozen=True)
class Start:
    """Where a root of a rising residual is looked for first, and the residual's slope there; (n,) each."""

    x: Array
    slope: Array


def find_roots(
    residual: Callable[..., Array],
    low: Array,
    high: Array,
    args: tuple[Array, ...] = (),
    *,
    tolerance: float = 1e-9,
    jump: float = np.inf,
    start: Start | None = None,
) -> Roots:
    """Root of residual(x, *args) between low and high, lane by lane, arrays of one flat shape.

    The bracket must hold one sign change; a lane without one, or whose residual stays above jump at
    the end (a jump in a piecewise law closes a bracket too), comes back NaN and not found.
    With a start the residual must rise with x; the last step, less than tolerance, is not asked again.
    """
    if low.size == 0:
        none = np.empty(0)
        return Roots(none, none.astype(bool), none.astype(np.int64))
    if start is None:
        return _search(residual, low, high, args, tolerance, jump)
    x, state, spent = _steps(residual, low, high, args, tolerance, start)
    again = np.flatnonzero(state == _OPEN)
    found = state == _CLOSED
    if again.size:
        rest = tuple(arg[again] for arg in args)
        late = _search(residual, low[again], high[again], rest, tolerance, jump)
        x[again], found[again] = late.x, late.found
        spent[again] += late.evaluations
    return Roots(np.where(found, x, np.nan), found, spent)


def _search(
    residual: Callable[..., Array],
    low: Array,
    high: Array,
    args: tuple[Array, ...],
    tolerance: float,
    jump: float,
) -> Roots:
    answer: Any = elementwise.find_root(
        residual,
        (low, high),
        args=args,
        tolerances={"xatol": tolerance, "xrtol": tolerance, "fatol": 0.0, "frtol": 0.0},
        maxiter=80,
    )
    found = np.asarray(answer.success) & (np.abs(answer.f_x) <= jump)
    x = np.where(found, answer.x, np.nan)
    return Roots(x, found, np.asarray(answer.nfev, dtype=np.int64))


_OPEN, _CLOSED, _NONE = 0, 1, 2


def _steps(
    residual: Callable[..., Array],
    low: Array,
    high: Array,
    args: tuple[Array, ...],
    tolerance: float,
    start: Start,
) -> tuple[Array, NDArray[np.int64], NDArray[np.int64]]:
    """Where each lane got to, how it ended, and evaluations spent."""
    at, state = np.full(low.shape, np.nan), np.full(low.shape, _OPEN)
    spent = np.zeros(low.shape, dtype=np.int64)
    rows: Rows = np.arange(low.size)
    walk = _Walk(low, high, args, start)
    for turn in range(STEPS):
        wanted, none = walk.ask(residual, turn)
        close = np.abs(wanted - walk.x[0]) <= tolerance * (1.0 + np.abs(walk.x[0]))
        # a slope that was only given closes nothing
        close &= (turn > 0) | (walk.f[0] == 0.0)
        spent[rows] += 1
        at[rows] = np.clip(wanted, walk.low, walk.high)
        state[rows] = np.where(none, _NONE, np.where(close, _CLOSED, _OPEN))
        going = np.flatnonzero(~(none | close))
        if not going.size:
            break
        walk.go(wanted, turn)
        if going.size < rows.size:
            rows = rows[going]
            walk.keep(going)
    return at, state, spent


class _Walk:
    """Lanes still under way: their last three points, and the narrowest ends known to hold the root."""

    def __init__(self, low: Array, high: Array, args: tuple[Array, ...], start: Start) -> None:
        self.low, self.high, self.args, self.slope = low, high, args, start.slope
        self.floor, self.roof = np.full(low.shape, -np.inf), np.full(low.shape, np.inf)
        first = np.where(np.isfinite(start.x), np.clip(start.x, low, high), 0.5 * (low + high))
        self.x = self.f = (first, first, first)  # newest first

    def ask(self, residual: Callable[..., Array], turn: int) -> tuple[Array, NDArray[np.bool_]]:
        """The residual at the newest point; where to go from there, and where there is no root."""
        here = self.x[0]
        self.f = (residual(here, *self.args), self.f[0], self.f[1])
        under, root = self.f[0] < 0.0, self.f[0] == 0.0
        # an end of the bracket whose residual lies on the wrong side
        none = np.where(under, here >= self.high, here <= self.low) & ~root
        self.floor = np.where(under, here, self.floor)
        self.roof = np.where(under, self.roof, here)
        return np.where(root, here, here + _step(turn, self.x, self.f, self.slope)), none

    def go(self, wanted: Array, turn: int) -> None:
        """To the point wanted; where that lies out of what holds the root, to an untried end or half way."""
        low, high = np.maximum(self.floor, self.low), np.minimum(self.roof, self.high)
        middle = 0.5 * (low + high)
        below = np.where(np.isfinite(self.floor), middle, self.low)
        above = np.where(np.isfinite(self.roof), middle, self.high)
        held = np.where(wanted <= low, below, np.where(wanted >= high, above, wanted))
        # a step not much shorter than the last but one follows a corner, or runs after an end
        slow = 2.0 * np.abs(wanted - self.x[0]) > np.abs(self.x[1] - self.x[2])
        onward = np.where(self.f[0] < 0.0, above, below)
        held = np.where(slow & (turn >= PATIENT), onward, held)
        self.x = (np.where(np.isfinite(wanted), held, onward), self.x[0], self.x[1])

    def keep(self, rows: Rows) -> None:
        """Only these go on."""
        self.low, self.high, self.slope = self.low[rows], self.high[rows], self.slope[rows]
        self.floor, self.roof = self.floor[rows], self.roof[rows]
        self.args = tuple(arg[rows] for arg in self.args)
        self.x, self.f = _kept(self.x, rows), _kept(self.f, rows)


def _kept(three: tuple[Array, Array, Array], rows: Rows) -> tuple[Array, Array, Array]:
    return three[0][rows], three[1][rows], three[2][rows]


def _step(
    turn: int, x: tuple[Array, Array, Array], f: tuple[Array, Array, Array], slope: Array
) -> Array:
    """From the newest point: by the slope, then the chord, then the inverse parabola where it bends little."""
    with np.errstate(all="ignore"):
        if turn == 0:
            return np.where((slope > 0.0) & np.isfinite(slope), -f[0] / slope, np.nan)
        chord = (x[0] - x[1]) / (f[0] - f[1])
        straight = -f[0] * chord
        if turn == 1:
            return np.asarray(straight)
        older = (x[1] - x[2]) / (f[1] - f[2])
        bent = straight + f[0] * f[1] * (chord - older) / (f[0] - f[2])
        mild = np.abs(bent - straight) <= 0.5 * np.abs(straight)
        return np.where(mild, bent, straight)
