"""Some rows of a sweep as a sweep, and a sweep read at one speed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from perf.solve.performance import Points, points
from perf.studies.sweeps import Sweep


def points_rows(at: Points, rows: Sequence[int]) -> Points:
    """Some rows of points as points."""
    some = np.asarray(rows, dtype=np.intp)
    return Points(**{name: value[some] for name, value in vars(at).items()})


def rows_of(swept: Sweep, rows: Sequence[int]) -> Sweep:
    """Some rows of a sweep as a sweep."""
    some = np.asarray(rows, dtype=np.intp)
    return Sweep(
        swept.afloat.take(some),
        points_rows(swept.points, rows),
        type(swept.top)(**{k: v[some] for k, v in vars(swept.top).items()}),
        type(swept.hump)(**{k: v[some] for k, v in vars(swept.hump).items()}),
        swept.best_speed_mps[some],
        swept.best_mileage_m_per_l[some],
        swept.best_range_m[some],
    )


def at_speed(swept: Sweep, speed_mps: float) -> Points:
    """The rows of a sweep at one speed (n, 1), their drive trims read off the sweep."""
    rows = zip(swept.points.speed_mps, swept.points.drive_trim_deg, strict=True)
    trim = np.array([[np.interp(speed_mps, pace, trims)] for pace, trims in rows])
    return points(swept.afloat, np.full(trim.shape, speed_mps), trim)
