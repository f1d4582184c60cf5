"""Steady runs of a sea trial: what was read at each, in SI, NaN where it was not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class SteadyRuns:
    """One entry for each steady run, (m,) each.

    speed_mps : through the water. speed_doubt_mps : doubt of it beyond the meter's (nine in ten).
    fuel_lph : all engines. tank : share of it, or tank_m3 : what is in it. load : name of a load,
    empty for the boat's own. head_wind_mps : over the water, from ahead. where : the lines of the log.
    """

    speed_mps: Array
    engine_rpm: Array
    fuel_lph: Array
    trim_deg: Array
    drive_trim_deg: Array
    speed_doubt_mps: Array
    head_wind_mps: Array
    tank: Array
    tank_m3: Array
    water_c: Array
    full_throttle: NDArray[np.bool_]
    load: tuple[str, ...]
    where: tuple[str, ...]

    @classmethod
    def of(cls, speed_mps: Array, **known: Any) -> SteadyRuns:
        """Runs at speeds (m,) with what is known of them; the rest NaN, no wind, no load named."""
        speed = np.asarray(speed_mps, dtype=float)
        blank: dict[str, Any] = {
            f.name: np.full(speed.shape, np.nan) for f in fields(cls) if f.type == "Array"
        }
        blank |= {name: np.zeros(speed.shape) for name in ("speed_doubt_mps", "head_wind_mps")}
        blank |= {
            "full_throttle": np.zeros(speed.shape, dtype=bool),
            "load": ("",) * speed.size,
            "where": tuple(f"run {place}" for place in range(1, speed.size + 1)),
        }
        return cls(**(blank | {"speed_mps": speed} | known))

    @property
    def count(self) -> int:
        """Number of runs."""
        return int(self.speed_mps.size)

    def take(self, places: Sequence[int] | NDArray[np.intp]) -> SteadyRuns:
        """The runs at these places, in that order."""
        at = np.asarray(places, dtype=np.intp)
        taken: dict[str, Any] = {}
        for f in fields(self):
            value = getattr(self, f.name)
            taken[f.name] = tuple(value[i] for i in at) if isinstance(value, tuple) else value[at]
        return SteadyRuns(**taken)
