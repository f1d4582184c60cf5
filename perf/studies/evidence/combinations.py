"""Every combination of methods that can be chosen by name, scored on the held-back whole boats.

A score is the mean of |ours / measured - 1|. The table shows what a choice is worth; the default was
not chosen by it, or the rows would be evidence no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.boat.fleet import Fleet
from perf.solve.afloat import Afloat
from perf.solve.methods import DEFAULT, EXTRA, FRICTION, PROPELLERS, RESISTANCE, Methods
from perf.solve.performance import Status, points
from perf.studies.evidence.scores import Cases, Check, crossing

Array = NDArray[np.float64]

AT_SPEED = ("rpm at speed", "fuel at speed")
SCORED = ("top speed", *AT_SPEED)
NEAR_TOP = np.linspace(0.5, 1.7, 9)  # of her top speed by the default: where others may find theirs
WAKES: dict[str, float | None] = {"fit": 0.0, "between": None, "straight": 1.0}  # wake_place
CHOICES = ("resistance", "friction line", "propeller", "planing extra", "wake")


def combination_table(checks: Sequence[Check], cases: Cases) -> pd.DataFrame:
    """One row per combination: the choices, the score of each kind of figure, and their mean.

    A figure that a combination cannot give (no balance, no top speed) is counted in lost and left
    out of its score.
    """
    wanted = [check for check in checks if check.what in SCORED]
    bench = _Bench(wanted, cases)
    rows = []
    for methods in every_method():
        for wake, errors in bench.errors(methods).items():
            scores = {
                what: _mean(errors[[check.what == what for check in wanted]]) for what in SCORED
            }
            rows.append(
                (
                    methods.resistance,
                    methods.friction_line,
                    methods.propeller,
                    methods.planing_extra,
                    wake,
                    *scores.values(),
                    float(np.mean(list(scores.values()))),
                    int(np.count_nonzero(~np.isfinite(errors))),
                    methods == DEFAULT and WAKES[wake] is None,
                )
            )
    table = pd.DataFrame(rows, columns=[*CHOICES, *SCORED, "mean", "lost", "default"])
    return table.sort_values(["lost", "mean"], kind="stable", ignore_index=True)


def every_method() -> Iterator[Methods]:
    """All methods that differ by a name; the ends of the join stay."""
    for resistance, line, propeller, extra in product(RESISTANCE, FRICTION, PROPELLERS, EXTRA):
        yield Methods(resistance, line, propeller, extra)


def _mean(errors: Array) -> float:
    finite = errors[np.isfinite(errors)]
    return float(np.mean(np.abs(finite))) if finite.size else float("nan")


class _Bench:
    """The lanes that every combination works out in one call, drive trims kept from the default.

    Lanes stand wake by wake; within a wake the checks of top speed take a run of speeds each, all
    others one speed.
    """

    def __init__(self, checks: Sequence[Check], cases: Cases) -> None:
        self.measured = np.array([check.middle for check in checks])
        self.rpm = np.array([check.what == "rpm at speed" for check in checks])
        self.top = np.array([check.what == "top speed" for check in checks])
        row = np.array([cases.rows(check)[0] for check in checks])
        flat_out = cases.stated.top.speed_mps[row[self.top]]
        self.run = flat_out[:, None] * NEAR_TOP
        rows = np.concatenate([np.repeat(row[self.top], NEAR_TOP.size), row[~self.top]])
        at = np.array([check.at_mps for check in checks])[~self.top]
        speed = np.concatenate([self.run.ravel(), at])
        trim = [float(cases.drive_trim(int(r), v)) for r, v in zip(rows, speed, strict=True)]
        lanes = Fleet.of(cases.boats).lanes.take(np.tile(rows, len(WAKES)))
        places = [
            np.full(rows.size, place) if place is not None else lanes.wake_place[: rows.size]
            for place in WAKES.values()
        ]
        self.afloat = Afloat.of(replace(lanes, wake_place=np.concatenate(places)))
        self.speed = np.tile(speed, len(WAKES))[:, None]
        self.trim = np.tile(trim, len(WAKES))[:, None]

    def errors(self, methods: Methods) -> dict[str, Array]:
        """Error of every check by wake, (checks,); NaN where there is no figure."""
        at = points(self.afloat, self.speed, self.trim, methods)
        shape = (len(WAKES), -1)
        status, rpm, fuel, spare = (
            value[:, 0].reshape(shape)
            for value in (
                at.status,
                at.engine_rpm,
                at.fuel_lph,
                at.full_power_w - at.shaft_power_w,
            )
        )
        runs = self.run.size
        found = {}
        for place, name in enumerate(WAKES):
            ours = np.full(self.measured.size, np.nan)
            able = (status[place, :runs] == Status.OK).reshape(self.run.shape)
            ours[self.top] = top_speeds(self.run, spare[place, :runs].reshape(able.shape), able)
            there = status[place, runs:] != Status.NO_BALANCE
            value = np.where(self.rpm[~self.top], rpm[place, runs:], fuel[place, runs:])
            ours[~self.top] = np.where(there, value, np.nan)
            found[name] = ours / self.measured - 1.0
        return found


def top_speeds(speed_mps: Array, spare_w: Array, able: NDArray[np.bool_]) -> Array:
    """Where spare power runs out after the last speed at which a row runs, by a straight line, (n,).

    NaN where none runs, and where she still runs at the last speed.
    """
    return np.where(able[:, -1], np.nan, crossing(speed_mps, spare_w, able))


def choice_table(table: pd.DataFrame) -> pd.DataFrame:
    """Mean score of every choice over all combinations that hold it: what that choice alone is worth."""
    parts = []
    for choice in CHOICES:
        means = table.groupby(choice)[[*SCORED, "mean"]].mean().reset_index()
        parts.append(means.rename(columns={choice: "choice"}).assign(of=choice))
    whole = pd.concat(parts, ignore_index=True)
    return whole[["of", "choice", *SCORED, "mean"]]
