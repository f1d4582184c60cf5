"""Overhump: power, propeller, fuel and range of small planing boats, with the doubt shown."""

from __future__ import annotations

from perf.base.faults import InputFaults, ReadingError
from perf.base.results import Plot, Result
from perf.boat.boatfile import read_boat
from perf.boat.fleet import Fleet
from perf.boat.parts import Boat
from perf.studies.speeds import speeds

__all__ = ["Boat", "Fleet", "InputFaults", "Plot", "ReadingError", "Result", "read_boat", "speeds"]
