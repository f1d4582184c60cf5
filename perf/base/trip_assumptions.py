"""What a trip assumes beside the boat: sea, wind, tank and log, each named, with its basis and its doubt.

They stand apart from the boat's own assumptions because they belong to no answer but a trip's.
"""

from __future__ import annotations

from dataclasses import dataclass

from perf.base.assumptions import Assumption
from perf.base.sources import Basis

TRIP_ASSUMPTIONS: dict[str, Assumption] = {
    assumption.name: assumption
    for assumption in (
        Assumption(
            "sea_drag",
            1.0,
            0.8,
            "ratio",
            "Real drag of head waves over the 1980 formula's: as wide as the 1976 equations stand above it, 1.8"
            " times on a 33 ft boat in their range and 2.4 times on their own published example.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "sea_beam",
            0.5,
            0.3,
            "ratio",
            "Share of a head sea's drag and slamming that is left with the sea abeam.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "sea_following",
            0.2,
            0.2,
            "ratio",
            "Share of a head sea's drag and slamming that is left with the sea astern.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "forecast_sea",
            1.0,
            0.35,
            "ratio",
            "Real wave height over the one given, where no ± is written.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "forecast_wind",
            1.0,
            0.3,
            "ratio",
            "Real wind and current over the ones given, where no ± is written.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "tank_fill",
            0.95,
            0.03,
            "ratio",
            "What a filled tank holds over its stated capacity.",
            Basis.QUOTED,
            "trade",
        ),
        Assumption(
            "gauge",
            0.0,
            0.08,
            "ratio",
            "How full the tank is, less what its gauge says, as a share of a filled tank.",
            Basis.PRACTICE,
            "trade",
        ),
        Assumption(
            "log_scatter",
            1.0,
            0.15,
            "ratio",
            "Burn between two fill-ups over what the same boat would burn on average: sea, load and pump.",
            Basis.ASSUMED,
            "own",
        ),
    )
}


@dataclass(frozen=True)
class SeaState:
    """A named sea with the wind that goes with it, both from one side."""

    name: str
    wave_height_m: float
    wind_mps: float


# A little slower, a round step in each system's own unit of speed: mph, knots, km/h (ours).
SLOWER = {"us": 3.0, "nautical": 3.0, "metric": 5.0}

# What "calm", "moderate" and "rough" mean for a small boat here: ours (assumed).
SEA_STATES = (
    SeaState("calm", 0.0, 0.0),
    SeaState("moderate", 0.6, 7.7),
    SeaState("rough", 1.2, 11.3),
)
