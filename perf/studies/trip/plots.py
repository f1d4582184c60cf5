"""The pictures of a trip: the fuel along the way, reach and burn against speed in three seas."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from perf.base.results import Line, Mark, Plot
from perf.base.trip_assumptions import SEA_STATES

if TYPE_CHECKING:
    from perf.studies.trip.study import Found

ROLES = {"calm": "as she is", "moderate": "changed", "rough": "second opinion"}


def plots_of(found: Found, summary: dict[str, Any]) -> tuple[Plot, ...]:
    """Every picture of a trip; those of the reach where it was worked out."""
    banded = found.drawn is not None
    fuel = Plot(
        "fuel_line",
        "Fuel in the tank along the trip",
        "so_far_m",
        "fuel_left_m3",
        (
            Line(
                "fuel_line", "fuel_left_m3", "usable fuel left", band=_edges("fuel_left_m3", banded)
            ),
            Line(
                "fuel_line",
                "reserve_m3",
                "kept back: do not cross",
                "changed",
                band=("empty_m3", "reserve_m3"),
            ),
        ),
    )
    if found.reach is None:
        return (fuel,)
    marks = _marks(
        (summary["farthest_speed_mps"], "farthest"), (found.reach.here_speed_mps, "this trip")
    )
    reach = _by_sea("reach", "m", banded)
    burn = _by_sea("burn", "lph", False)
    return (
        fuel,
        Plot(
            "reach",
            "How far out, one way, with the way back and the reserve kept",
            "speed_mps",
            "reach_m",
            reach,
            marks,
        ),
        Plot("burn", "What she burns", "speed_mps", "fuel_lph", burn, marks),
    )


def _by_sea(stem: str, unit: str, banded: bool) -> tuple[Line, ...]:
    """One line for each named sea."""
    names = {state.name: f"{stem}_{state.name}_{unit}" for state in SEA_STATES}
    return tuple(
        Line("reach", column, sea, ROLES[sea], _edges(column, banded))
        for sea, column in names.items()
    )


def _edges(column: str, banded: bool) -> tuple[str, str] | None:
    return (f"{column}_p10", f"{column}_p90") if banded else None


def _marks(*asked: tuple[float | None, str]) -> tuple[Mark, ...]:
    return tuple(Mark(v, label) for v, label in asked if v is not None and np.isfinite(v))
