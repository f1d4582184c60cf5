"""Overhump: power, propeller, fuel and range of small planing boats, with the doubt shown."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from perf.base.faults import InputFaults, ReadingError
    from perf.base.results import Plot, Result
    from perf.boat.boatfile import read_boat
    from perf.boat.candidatefile import read_candidates
    from perf.boat.dutyfile import read_duty
    from perf.boat.fleet import Fleet
    from perf.boat.logfile import read_log
    from perf.boat.parts import Boat
    from perf.boat.tripfile import read_trip
    from perf.boat.trips import Trip
    from perf.studies.mounting import Wanted, mount
    from perf.studies.repower import repower
    from perf.studies.speeds import speeds
    from perf.studies.trial import fit_trial, trial
    from perf.studies.trip import trip

__all__ = [
    "Boat",
    "Fleet",
    "InputFaults",
    "Plot",
    "ReadingError",
    "Result",
    "Trip",
    "Wanted",
    "fit_trial",
    "mount",
    "read_boat",
    "read_candidates",
    "read_duty",
    "read_log",
    "read_trip",
    "repower",
    "speeds",
    "trial",
    "trip",
]

# Fetched when first asked for: the command refuses a wrong file without loading all of it.
_HOMES = {
    "Boat": "perf.boat.parts",
    "Fleet": "perf.boat.fleet",
    "InputFaults": "perf.base.faults",
    "Plot": "perf.base.results",
    "ReadingError": "perf.base.faults",
    "Result": "perf.base.results",
    "Trip": "perf.boat.trips",
    "Wanted": "perf.studies.mounting",
    "fit_trial": "perf.studies.trial",
    "mount": "perf.studies.mounting",
    "read_boat": "perf.boat.boatfile",
    "read_candidates": "perf.boat.candidatefile",
    "read_duty": "perf.boat.dutyfile",
    "read_log": "perf.boat.logfile",
    "read_trip": "perf.boat.tripfile",
    "repower": "perf.studies.repower",
    "speeds": "perf.studies.speeds",
    "trial": "perf.studies.trial",
    "trip": "perf.studies.trip",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return [*globals(), *__all__]
