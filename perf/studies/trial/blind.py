"""Blind what-if: fit on some of the runs, predict the rest, print the errors."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.draws import standard_normal
from perf.boat.fleet import Fleet
from perf.boat.log.runs import SteadyRuns
from perf.boat.parts import Boat
from perf.studies.spread import band
from perf.studies.trial.fit import fit
from perf.studies.trial.lessons import lessons
from perf.studies.trial.model import Tried, untried
from perf.studies.trial.trust import Trust

Array = NDArray[np.float64]
Places = NDArray[np.intp]

LEAST_FITTED = 1  # runs
DRAWS = 200
COLUMNS = ("blind", "blind_reading", "blind_runs", "error_before", "error_after", "blind_inside")


def blind(
    boat: Boat,
    runs: SteadyRuns,
    trust: Trust | None = None,
    *,
    draws: int = DRAWS,
    seed: int = 1,
) -> pd.DataFrame:
    """Every split of the log: fitted on one part, predicted for the other; empty where it is too short.

    Every other run by speed, both ways; and the lightest load for the heavier ones where several were
    tried. Errors are mean sizes of predicted over read, less one; the band is of eight in ten and has
    the meter's own doubt in it.
    """
    trust = trust or Trust.usual()
    lines: list[dict[str, object]] = []
    for name, fitted, asked in _splits(boat, runs):
        known = fit(boat, runs.take(fitted), trust)
        tried = boat.at(trial=lessons(known))
        # a log that scatters more than its doubt will go on doing so
        noise = known.scatter * _noise(seed, draws, asked.size)
        lines += _scored(name, untried(boat), tried, runs.take(asked), trust, noise, seed)
    return pd.DataFrame(lines, columns=list(COLUMNS))


def _splits(boat: Boat, runs: SteadyRuns) -> list[tuple[str, Places, Places]]:
    """Name, places fitted and places asked for."""
    order = np.argsort(runs.speed_mps, kind="stable").astype(np.intp)
    odd, even = order[::2], order[1::2]
    splits = [("every other run, from the slowest", odd, even)]
    splits += [("every other run, from the second", even, odd)]
    loads = [name or boat.load for name in runs.load]
    names = list(dict.fromkeys(loads))
    if len(names) > 1:
        weight = Fleet.of([boat.at(load=name) for name in names]).lanes.mass_kg
        light = names[int(np.argmin(weight))]
        same = np.array([load == light for load in loads])
        heavier = ", ".join(name for name in names if name != light)
        splits.append(
            (f"load {light}, asked for {heavier}", np.flatnonzero(same), np.flatnonzero(~same))
        )
    return [one for one in splits if one[1].size >= LEAST_FITTED and one[2].size]


def _scored(
    name: str,
    filed: Boat,
    tried: Boat,
    runs: SteadyRuns,
    trust: Trust,
    noise: Array,
    seed: int,
) -> list[dict[str, object]]:
    """One line for rpm and one for the burn, as far as they were read."""
    before = Tried.at(filed, runs)
    after = Tried.at(tried, runs)
    still = runs.speed_mps[None, :]
    old, new = before.readings({}, still), after.readings({}, still)
    many = after.drawn(noise.shape[0], seed)
    rows = (
        (
            "rpm",
            runs.engine_rpm,
            old.engine_rpm,
            new.engine_rpm,
            many.engine_rpm + noise * trust.rpm_sd(runs),
        ),
        (
            "burn",
            runs.fuel_lph,
            old.fuel_lph,
            new.fuel_lph,
            many.fuel_lph * (1.0 + noise * trust.fuel_sd(runs)),
        ),
    )
    return [
        dict(zip(COLUMNS, (name, reading, *_line(*values)), strict=True))
        for reading, *values in rows
        if np.isfinite(values[0]).any()
    ]


def _noise(seed: int, draws: int, count: int) -> Array:
    return np.stack(
        [standard_normal(seed, f"reading {run}", draws) for run in range(count)], axis=1
    )


def _line(
    read: Array, before: Array, after: Array, drawn: Array
) -> tuple[int, float, float, float]:
    known = np.isfinite(read)
    low, high = band("fuel_lph", drawn)
    inside = (np.nan_to_num(low, nan=-np.inf) <= read) & (read <= np.nan_to_num(high, nan=np.inf))
    return (
        int(np.count_nonzero(known)),
        _size(before[0][known] / read[known] - 1.0),
        _size(after[0][known] / read[known] - 1.0),
        float(np.mean(inside[known])),
    )


def _size(errors: Array) -> float:
    """Mean size of the errors there are."""
    known = errors[np.isfinite(errors)]
    return float(np.mean(np.abs(known))) if known.size else float("nan")


def mean_of(tables: Sequence[pd.DataFrame]) -> pd.DataFrame:
    """All tables as one, in order."""
    kept = [table for table in tables if not table.empty]
    return pd.concat(kept, ignore_index=True) if kept else pd.DataFrame(columns=list(COLUMNS))
