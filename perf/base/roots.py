"""Bracketed roots of many lanes at once: scipy's Chandrupatla search, checked, never raising for a lane."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import elementwise

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Roots:
    """x (NaN where there is none), whether each lane closed, and evaluations spent per lane."""

    x: Array
    found: NDArray[np.bool_]
    evaluations: NDArray[np.int64]


def find_roots(
    residual: Callable[..., Array],
    low: Array,
    high: Array,
    args: tuple[Array, ...] = (),
    *,
    tolerance: float = 1e-9,
    jump: float = np.inf,
) -> Roots:
    """Root of residual(x, *args) between low and high, lane by lane, arrays of one flat shape.

    The bracket must hold one sign change; a lane without one, or whose residual stays above jump at
    the end (a jump in a piecewise law closes a bracket too), comes back NaN and not found.
    """
    if low.size == 0:
        none = np.empty(0)
        return Roots(none, none.astype(bool), none.astype(np.int64))
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
