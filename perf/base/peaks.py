"""Greatest value of sampled curves, many lanes at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def peak(place: Array, value: Array) -> tuple[Array, Array]:
    """Place and height of the greatest value of each row, (n,) from (n, m); NaN where a row has none.

    A parabola through the greatest sample and its two neighbours, at their true spacing; the sample
    itself where it stands at an end or beside a gap.
    """
    safe = np.where(np.isfinite(value), value, -np.inf)
    best = np.argmax(safe, axis=1)
    row = np.arange(best.size)
    middle = np.clip(best, 1, safe.shape[1] - 2)
    x0, x1, x2 = (place[row, middle + k] for k in (-1, 0, 1))
    y0, y1, y2 = (safe[row, middle + k] for k in (-1, 0, 1))
    with np.errstate(all="ignore"):
        rise, fall = (y1 - y0) / (x1 - x0), (y2 - y1) / (x2 - x1)
        bend = (fall - rise) / (x2 - x0)
        top = 0.5 * (x0 + x1) - 0.5 * rise / bend
        height = y1 + (top - x1) * (rise + bend * (top - x0))
        inside = (best == middle) & np.isfinite(height) & (bend < 0.0) & (top >= x0) & (top <= x2)
    where = np.where(inside, top, place[row, best])
    much = np.where(inside, height, safe[row, best])
    some = np.isfinite(much)
    return np.where(some, where, np.nan), np.where(some, much, np.nan)


def read_at(place: Array, value: Array, at: Array) -> Array:
    """Value (n,) at one place of each row of samples (n, m), by the cubic through the four about it.

    Straight between two where one of the four is missing; NaN where those two are.
    """
    columns, row = place.shape[1], np.arange(place.shape[0])
    before = np.clip((place < at[:, None]).sum(axis=1) - 1, 0, columns - 2)
    begin, end = place[row, before], place[row, before + 1]
    share = (at - begin) / (end - begin)
    straight = value[row, before] + share * (value[row, before + 1] - value[row, before])
    first = np.clip(before - 1, 0, columns - 4)
    cubic = np.zeros_like(at)
    for k in range(4):
        part = value[row, first + k]
        for other in range(4):
            if other != k:
                here = place[row, first + other]
                part = part * (at - here) / (place[row, first + k] - here)
        cubic = cubic + part
    return np.where(np.isfinite(cubic), cubic, straight)
