"""One place that is tried after the whole study: what is known there is picked, only the rest is worked out.

The study leaves the advice for every setback it looked at and every boat it swept, hung at its height.
A place tried is first told as stated; its bands, and two holes or three, are asked for by themselves.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from perf.base.results import Result
from perf.boat.parts import Boat
from perf.studies.mount import summary as said
from perf.studies.mount.boats import hung
from perf.studies.mount.each_hole import Parts, hole_boats, two_or_three
from perf.studies.mount.height import Advice, Advices, advise, advise_draws
from perf.studies.mount.holes import Shaft, shaft_for
from perf.studies.mount.ladder import Ladder
from perf.studies.mount.rows import at_speed, rows_of
from perf.studies.mount.setting import Setting, speed_drawn
from perf.studies.mount.side import side_numbers
from perf.studies.mount.way import Runs
from perf.studies.sweeps import Sweep, sweep_boats, sweep_draws


@dataclass(frozen=True, eq=False)
class Advised:
    """What is advised at one setback, the speed she is drawn at there, her one row at the rule of thumb."""

    advice: Advice
    speed_mps: float
    ruled: Sweep

    @classmethod
    def of(cls, found: Advices, row: int) -> Advised:
        """One row of what was advised."""
        advice = found.each[row]
        return cls(advice, speed_drawn(advice, found, row), rows_of(found.known, [row]))


@dataclass(frozen=True, eq=False)
class Known:
    """What a study of one boat leaves: advice by setback [m], rows of swept by setback and height [m]."""

    boat: Boat
    advised: Mapping[float, Advised]
    rows: Mapping[tuple[float, float], int]
    swept: Sweep

    @classmethod
    def of(cls, found: Setting) -> Known:
        """What there is to be picked from a boat looked at."""
        advised = {place: Advised.of(found.advices, at) for at, place in enumerate(found.places)}
        rows = {
            (one.mounting.setback_m, one.mounting.plate_height_m): row
            for row, one in enumerate(found.every)
        }
        return cls(found.boat, advised, rows, found.every_swept)

    def at(self, setback_m: float) -> Advised:
        """What is advised at a setback: picked, or worked out where the study did not look."""
        if setback_m in self.advised:
            return self.advised[setback_m]
        return Advised.of(advise([hung(self.boat, setback_m, 0.0)]), 0)

    def swept_at(self, chosen: Boat) -> Sweep:
        """The boat as hung over all speeds, one row: picked, or swept where the study did not."""
        place = (chosen.mounting.setback_m, chosen.mounting.plate_height_m)
        return (
            rows_of(self.swept, [self.rows[place]]) if place in self.rows else sweep_boats(chosen)
        )


@dataclass(frozen=True, eq=False)
class Tried:
    """One place as stated: the boat hung there, what is advised at its setback, one row at the speed drawn."""

    known: Known
    chosen: Boat
    advice: Advice
    speed_mps: float
    runs: Runs

    @classmethod
    def at(
        cls, known: Known, setback_m: float, plate_height_m: float | None, speed_mps: float | None
    ) -> Tried:
        """The place at a setback; a height or speed of None is as advised there."""
        with np.errstate(all="ignore"):
            there = known.at(setback_m)
            height = there.advice.middle_m if plate_height_m is None else plate_height_m
            speed = there.speed_mps if speed_mps is None else speed_mps
            chosen = hung(known.boat, setback_m, height)
            swept = known.swept_at(chosen)
            return cls(known, chosen, there.advice, speed, Runs(swept, at_speed(swept, speed)))

    def result(self) -> Result:
        """Figures and drawing as stated, without bands; the answer is the height advised there."""
        return self._told(None, (), {"draws": 0})

    def banded(self, draws: int, seed: int, also: Parts = ()) -> Result:
        """The same with the bands of its figures; also : what the answer says besides the height."""
        with np.errstate(all="ignore"):
            many = sweep_draws(self.chosen, self.runs.swept, draws, seed)
            drawn = Runs(many, at_speed(many, self.speed_mps))
            return self._told(drawn, also, {"draws": draws, "seed": seed})

    def _told(self, drawn: Runs | None, also: Parts, doubt: Mapping[str, int]) -> Result:
        boat, mounting = self.known.boat, self.chosen.mounting
        summary = said.figures_of(self.runs, drawn, 0, self.advice.cruise_mps)
        summary["reasons"] = said.reasons(summary)
        afloat = self.runs.swept.afloat
        summary["side"] = side_numbers(self.chosen, afloat, self.runs.at, self.speed_mps)
        shaft = shaft_for(self.advice, boat.hull, 0.0)
        return Result(
            kind="place",
            answer=said.answer(boat, self.advice, shaft, also),
            summary=summary,
            tables={},
            plots=(),
            doubt=doubt,
            cautions=(),
            assumptions=said.assumptions(boat),
            sources=said.sources(boat),
            inputs={
                "at_setback_m": mounting.setback_m,
                "at_plate_height_m": mounting.plate_height_m,
                "speed_mps": self.speed_mps,
            },
            boat=boat.name,
        )


@dataclass(frozen=True, eq=False)
class _Raised:
    """One setback hole by hole, as each_hole.Holed."""

    advice: Advice
    shaft: Shaft
    hole_boats: tuple[Boat, ...]
    holes: Runs
    ladder: Ladder | None


def raised(known: Known, setback_m: float, draws: int, seed: int) -> Parts:
    """Two holes up or three at a setback, by the draws whether to rely on it, as it is said."""
    with np.errstate(all="ignore"):
        there = known.at(setback_m)
        shaft = shaft_for(there.advice, known.boat.hull, 0.0)
        boats = hole_boats(known.boat, setback_m, shaft, 0.0)
        level = hung(known.boat, setback_m, 0.0)
        swept = sweep_boats(boats)
        ladder = advise_draws(level, there.ruled, draws, seed)[0] if draws else None
        holes = Runs(swept, at_speed(swept, there.speed_mps))
        return two_or_three(_Raised(there.advice, shaft, boats, holes, ladder))
