"""Many boats at once: one flat axis of rows (boat, scenario, draw), stated, varied, moved or drawn."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.assumptions import ASSUMPTIONS
from perf.base.draws import drawn
from perf.boat import learned
from perf.boat.lanes import Lanes
from perf.boat.numbers import Get, columns_of
from perf.boat.parts import Boat

Array = NDArray[np.float64]

# assumptions that tell of one model of engine; all others are shared by every boat drawn together
ENGINE_DOUBTS = frozenset(
    f"assumed.{name}"
    for name in (
        "power_tolerance",
        "idle_rpm",
        "rev_limit",
        "trial_fuel_idle",
        "trial_fuel_slope",
    )
)


@dataclass(frozen=True, eq=False)
class Fleet:
    """Rows of boats: index says boat, load and draw of each row; lanes holds their numbers."""

    index: pd.DataFrame
    lanes: Lanes
    boats: tuple[Boat, ...]

    @classmethod
    def of(cls, boats: Boat | Iterable[Boat]) -> Fleet:
        """One row per boat, at its stated values."""
        many = (boats,) if isinstance(boats, Boat) else tuple(boats)
        return cls._join(many, [columns_of(boat, _stating(boat), 1) for boat in many], 1)

    @classmethod
    def vary(
        cls,
        boat: Boat,
        *,
        load: Sequence[str] | None = None,
        setback_m: Sequence[float] | None = None,
        plate_height_m: Sequence[float] | None = None,
    ) -> Fleet:
        """Every combination of the given loads, setbacks and plate heights, one row each, last varying fastest."""
        from dataclasses import replace
        from itertools import product

        many = [
            boat.at(
                load=name,
                mounting=replace(boat.mounting, setback_m=float(back), plate_height_m=float(high)),
            )
            for name, back, high in product(
                load or (None,),  # none named: the boat's own, with any tank level set since
                (boat.mounting.setback_m,) if setback_m is None else setback_m,
                (boat.mounting.plate_height_m,) if plate_height_m is None else plate_height_m,
            )
        ]
        return cls.of(many)

    @classmethod
    def draw(cls, boats: Boat | Iterable[Boat], count: int, seed: int) -> Fleet:
        """Rows of count draws per boat from every stated doubt; inputs of one name share their draws."""
        many = (boats,) if isinstance(boats, Boat) else tuple(boats)
        return cls._join(
            many, [columns_of(boat, _drawing(boat, count, seed), count) for boat in many], count
        )

    @classmethod
    def moved(cls, boats: Boat | Iterable[Boat], moves: Mapping[str, Array]) -> Fleet:
        """Rows boat by boat, one for each value of the moves: inputs by readable path moved off their stated values, SI."""
        many = (boats,) if isinstance(boats, Boat) else tuple(boats)
        count = max((move.size for move in moves.values()), default=1)
        return cls._join(
            many, [columns_of(boat, _moving(boat, moves), count) for boat in many], count
        )

    @classmethod
    def _join(cls, boats: tuple[Boat, ...], columns: list[dict[str, Array]], each: int) -> Fleet:
        names = [f.name for f in fields(Lanes)]
        joined = {name: np.concatenate([column[name] for column in columns]) for name in names}
        index = pd.DataFrame(
            {
                "boat": np.repeat([boat.name for boat in boats], each),
                "load": np.repeat([boat.load for boat in boats], each),
                "draw": np.tile(np.arange(each), len(boats)),
            }
        )
        return cls(index, Lanes(**joined), boats)


def _stated(path: str, value: float) -> float:
    return value


def _stating(boat: Boat) -> Get:
    """Stated values, and what a sea trial taught of them."""
    shifts = learned.shifts(boat, draw_name)
    if not shifts:
        return _stated
    return lambda path, value: value + shifts.get(path, 0.0)


def _moving(boat: Boat, moves: Mapping[str, Array]) -> Get:
    stated = _stating(boat)

    def get(path: str, value: float) -> Any:
        move = moves.get(path)
        return stated(path, value) if move is None else stated(path, value) + move

    return get


def _drawing(boat: Boat, count: int, seed: int) -> Get:
    doubts = dict(boat.doubts)
    together = learned.deviations(boat, draw_name, count, seed)

    def get(path: str, value: float) -> Any:
        if path in together:
            return value + together[path]
        if path.startswith("assumed."):
            half_width = doubts.get(path, ASSUMPTIONS[path.removeprefix("assumed.")].half_width)
        else:
            half_width = doubts.get(path, 0.0)
        return drawn(seed, draw_name(boat, path), count, value, half_width) if half_width else value

    return get


def doubted(boat: Boat) -> dict[str, float]:
    """Every input that is drawn for the boat at her load, and its own doubt (nine in ten), SI."""
    asked: dict[str, float] = {}

    def get(path: str, value: float) -> float:
        asked[path] = learned.half_width_of(boat, path)
        return value

    columns_of(boat, get, 1)
    return {path: half_width for path, half_width in asked.items() if half_width}


def draw_name(boat: Boat, path: str) -> str:
    """Name whose draws an input takes: doubts of an engine or a propeller belong to their model."""
    if boat.engine_key and (path.startswith("engine.") or path in ENGINE_DOUBTS):
        return f"{path} of {boat.engine_key}"
    if boat.propeller_key and path.startswith("propeller."):
        return f"{path} of {boat.propeller_key}"
    return path
