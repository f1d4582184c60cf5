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

STEPS = 8  # from a start, before a lane is searched over its whole bracket


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
    at, state = np.full(low.shape, np.nan), np.zeros(low.shape, dtype=np.int64)
    spent = np.zeros(low.shape, dtype=np.int64)
    rows: Rows = np.arange(low.size)
    floor, roof = np.full(low.shape, -np.inf), np.full(low.shape, np.inf)
    slope = start.slope
    first = np.where(np.isfinite(start.x), np.clip(start.x, low, high), 0.5 * (low + high))
    x = (first, first, first)  # newest first
    f = (first, first, first)
    for turn in range(STEPS):
        whole = rows.size == low.size
        f = (residual(x[0], *(args if whole else (a[rows] for a in args))), *f[:2])
        spent[rows] += 1
        under, at_root = f[0] < 0.0, f[0] == 0.0
        begin, end = (low, high) if whole else (low[rows], high[rows])
        # an end of the bracket whose residual lies on the wrong side: no root within
        none = np.where(under, x[0] >= end, x[0] <= begin) & ~at_root
        floor, roof = np.where(under, x[0], floor), np.where(under, roof, x[0])
        wanted = np.where(at_root, x[0], x[0] + _step(turn, x, f, slope))
        close = np.abs(wanted - x[0]) <= tolerance * (1.0 + np.abs(x[0]))
        at[rows] = np.clip(wanted, begin, end)
        state[rows] = np.where(none, _NONE, np.where(close, _CLOSED, _OPEN))
        # out of what holds the root: to the end where that is untried, else half way
        lowest, highest = np.maximum(floor, begin), np.minimum(roof, end)
        middle = 0.5 * (lowest + highest)
        below = np.where(np.isfinite(floor), middle, begin)
        above = np.where(np.isfinite(roof), middle, end)
        wanted = np.where(wanted <= lowest, below, np.where(wanted >= highest, above, wanted))
        wanted = np.where(np.isfinite(wanted), wanted, middle)
        going = np.flatnonzero(~(none | close))
        if not going.size:
            break
        if going.size < rows.size:
            rows, floor, roof, slope = rows[going], floor[going], roof[going], slope[going]
            wanted, x, f = wanted[going], _kept(x, going), _kept(f, going)
        x = (wanted, x[0], x[1])
    return at, state, spent


def _kept(three: tuple[Array, Array, Array], rows: Rows) -> tuple[Array, Array, Array]:
    return three[0][rows], three[1][rows], three[2][rows]


def _step(
    turn: int, x: tuple[Array, Array, Array], f: tuple[Array, Array, Array], slope: Array
) -> Array:
    """From the newest point: by the slope, then the chord, then the inverse parabola where it bends little."""
    with np.errstate(all="ignore"):
        if turn == 0:
            return np.asarray(-f[0] / slope)
        chord = (x[0] - x[1]) / (f[0] - f[1])
        straight = -f[0] * chord
        if turn == 1:
            return np.asarray(straight)
        older = (x[1] - x[2]) / (f[1] - f[2])
        bent = straight + f[0] * f[1] * (chord - older) / (f[0] - f[2])
        mild = np.abs(bent - straight) <= 0.5 * np.abs(straight)
        return np.where(mild, bent, straight)
