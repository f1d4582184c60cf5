"""Overhump: power, propeller, fuel and range of small planing boats, with the doubt shown."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from perf.base.faults import InputFaults, ReadingError
    from perf.base.results import Plot, Result
    from perf.boat.boatfile import read_boat
    from perf.boat.choice.duty import read_duty
    from perf.boat.choice.file import read_candidates
    from perf.boat.fleet import Fleet
    from perf.boat.log.file import read_log
    from perf.boat.parts import Boat
    from perf.boat.trip.file import read_trip
    from perf.boat.trip.parts import Trip
    from perf.studies.mount.study import Wanted, mount
    from perf.studies.repower.study import repower
    from perf.studies.speeds import speeds
    from perf.studies.tabs import tabs
    from perf.studies.trial.study import fit_trial, trial
    from perf.studies.trip.study import trip

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
    "tabs",
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
    "Trip": "perf.boat.trip.parts",
    "Wanted": "perf.studies.mount.study",
    "fit_trial": "perf.studies.trial.study",
    "mount": "perf.studies.mount.study",
    "read_boat": "perf.boat.boatfile",
    "read_candidates": "perf.boat.choice.file",
    "read_duty": "perf.boat.choice.duty",
    "read_log": "perf.boat.log.file",
    "read_trip": "perf.boat.trip.file",
    "repower": "perf.studies.repower.study",
    "speeds": "perf.studies.speeds",
    "tabs": "perf.studies.tabs",
    "trial": "perf.studies.trial.study",
    "trip": "perf.studies.trip.study",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return [*globals(), *__all__]
