"""What is looked at: the boat, the ways her engine may hang, the heights advised, the one that is drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from perf.boat.parts import Boat, Place
from perf.solve.afloat import Afloat
from perf.solve.performance import Points
from perf.studies.mount.boats import hung
from perf.studies.mount.each_hole import hole_boats
from perf.studies.mount.grid import grid_boats
from perf.studies.mount.height import Advice, Advices, advise, advise_draws
from perf.studies.mount.holes import Shaft, shaft_for, snapped
from perf.studies.mount.ladder import Ladder, Limits
from perf.studies.mount.rows import at_speed, points_rows, rows_of
from perf.studies.mount.transom import Bolts
from perf.studies.mount.way import Runs, UnderWay, under_way
from perf.studies.sweeps import Sweep, sweep_boats, sweep_draws

INCH_M = 0.0254
TRIAL_SETBACK_M = 0.762  # tried where the boat has none: a 30 in bracket
HEIGHTS_M = tuple(float(0.75 * INCH_M * k) for k in range(-1, 11))  # by mounting holes
SLOWEST_MPS = 3.0  # looked at where she neither planes nor has a hump
CHOSEN = "as drawn"
SAME = 1e-9


@dataclass(frozen=True)
class Wanted:
    """What is asked beside the grid; None and empty mean "as usual".

    at_setback_m, at_plate_height_m : how she is drawn and judged; her own setback and the middle of
        the range. speed_mps : her best planing cruise. off_centre_m : of one engine, or of each of two.
    edges : scupper, sole, splash well by name. drop_m : seat of the bracket under the transom's top,
        negative above it. holes : draw the range in to mounting holes. water_depth_m : to be told
        about shallow water.
    """

    at_setback_m: float | None = None
    at_plate_height_m: float | None = None
    speed_mps: float | None = None
    off_centre_m: float | None = None
    edges: Mapping[str, Place] = field(default_factory=dict)
    drop_m: float = 0.0
    holes: bool = False
    bolts: Bolts | None = None
    slam_factor: float | None = None
    lift_m: float | None = None
    water_depth_m: float | None = None


@dataclass(frozen=True, eq=False)
class Setting:
    """One boat looked at: everything the tables and figures are read from.

    places : every setback advised on. way : on the bracket (row 0) against on the transom (row 1);
    row says which of them is the boat as drawn. by_setback : a row for each setback at the height
    advised there, and its draws. grid : a row for each combination; holes : a row for each hole. ladder, limits : by draws, None
    without. every : all boats as stated, their rows in every_swept.
    """

    boat: Boat
    wanted: Wanted
    setbacks: tuple[float, ...]
    heights: tuple[float, ...]
    places: tuple[float, ...]
    advices: Advices
    advice: Advice
    shaft: Shaft
    chosen: Boat
    speed_mps: float
    way: UnderWay
    row: int
    by_setback: tuple[Sweep, Sweep | None]
    grid_boats: tuple[Boat, ...]
    grid: Runs
    hole_boats: tuple[Boat, ...]
    holes: Runs
    draws: int
    seed: int
    ladder: Ladder | None
    limits: Limits | None
    every: tuple[Boat, ...]
    every_swept: Sweep

    @classmethod
    def of(
        cls, boat: Boat, wanted: Wanted, setback_m: Sequence[float] | None,
        plate_height_m: Sequence[float] | None, draws: int, seed: int,
    ) -> Setting:  # fmt: skip
        """Advise on every setback, choose what is drawn, run it both ways."""
        own = boat.mounting.setback_m
        grid = (0.0, own or TRIAL_SETBACK_M) if setback_m is None else setback_m
        setbacks = tuple(sorted({float(one) for one in grid}))
        heights = HEIGHTS_M if plate_height_m is None else tuple(map(float, plate_height_m))
        here = _here(wanted.at_setback_m, own, setbacks)
        aft = here or own or min(max(setbacks), TRIAL_SETBACK_M) or TRIAL_SETBACK_M
        places = tuple(sorted({*setbacks, aft, 0.0, here}))
        advices = advise([hung(boat, place, 0.0) for place in places])
        at = dict(zip(places, advices.each, strict=True))
        if wanted.holes:
            at[here], shaft = snapped(at[here], boat.hull, wanted.drop_m)
        else:
            shaft = shaft_for(at[here], boat.hull, wanted.drop_m)
        heights_at = {place: advice.middle_m for place, advice in at.items()}
        if wanted.at_plate_height_m is not None:
            heights_at[here] = wanted.at_plate_height_m
        speed = wanted.speed_mps or speed_drawn(at[here], advices, places.index(here))
        combined = grid_boats(boat, setbacks, heights)
        holes = hole_boats(boat, here, shaft, wanted.drop_m)
        many = _Many.of(
            [hung(boat, place, heights_at[place]) for place in (aft, 0.0, *setbacks)],
            (*combined, *holes), speed, draws, seed,
        )  # fmt: skip
        ladder, limits = None, None
        if draws:
            known = rows_of(advices.known, [places.index(here)])
            ladder, limits = advise_draws(hung(boat, here, 0.0), known, draws, seed)
        return cls(
            boat, wanted, setbacks, heights, places, advices, at[here], shaft,
            hung(boat, here, heights_at[here]), speed, many.way(speed), 0 if here > 0.0 else 1,
            many.by_setback, combined, many.after(0, len(combined)), holes,
            many.after(len(combined), len(holes)), draws, seed, ladder, limits,
            (*many.boats, *combined, *holes), many.stated.swept,
        )  # fmt: skip

    @property
    def index(self) -> int:
        """Where the setback that is drawn stands among those advised on."""
        return self.places.index(self.advice.setback_m)

    @property
    def cruise_mps(self) -> float:
        """The best planing cruise heights are judged at; NaN where she does not plane."""
        return self.advice.cruise_mps

    @property
    def swept(self) -> Sweep:
        """The boat as drawn over all speeds, one row."""
        return rows_of(self.way.stated.swept, [self.row])

    @property
    def afloat(self) -> Afloat:
        """The boat as drawn, afloat, one row."""
        return self.swept.afloat

    @property
    def at(self) -> Points:
        """The boat as drawn at the speed asked for, (1, 1)."""
        return points_rows(self.way.stated.at, [self.row])

    @property
    def other(self) -> Boat:
        """The boat hung the other way."""
        return self.way.boats[1 - self.row]

    @property
    def other_name(self) -> str:
        """What the other way is called."""
        return self.way.names[1 - self.row]


@dataclass(frozen=True, eq=False)
class _Many:
    """All boats of the study in one sweep: both ways first, every setback, then the grid and the holes."""

    boats: tuple[Boat, ...]
    first: int  # boats before the grid
    stated: Runs
    drawn: Sweep | None
    drawn_ways: Runs | None

    @classmethod
    def of(
        cls, boats: Sequence[Boat], combined: Sequence[Boat], speed: float, draws: int, seed: int
    ) -> _Many:
        swept = sweep_boats([*boats, *combined])
        first = len(boats)
        drawn, ways = None, None
        if draws:
            drawn = sweep_draws(boats, rows_of(swept, range(first)), draws, seed)
            both = rows_of(drawn, range(2 * draws))
            ways = Runs(both, at_speed(both, speed))
        return cls(tuple(boats), first, Runs(swept, at_speed(swept, speed)), drawn, ways)

    def way(self, speed_mps: float) -> UnderWay:
        """The first boat against the second."""
        aft, fore = self.boats[:2]
        names = ("on the bracket" if aft.bracket else "set back", "on the transom")
        return under_way(names, (aft, fore), speed_mps, self._rows(range(2)), self.drawn_ways)

    @property
    def by_setback(self) -> tuple[Sweep, Sweep | None]:
        """A row for each setback, and its draws."""
        stated = rows_of(self.stated.swept, range(2, self.first))
        if self.drawn is None:
            return stated, None
        each = self.drawn.best_speed_mps.size // self.first
        return stated, rows_of(self.drawn, range(2 * each, self.first * each))

    def after(self, place: int, count: int) -> Runs:
        """So many rows of what was combined, from a place on."""
        return self._rows(range(self.first + place, self.first + place + count))

    def _rows(self, rows: Sequence[int]) -> Runs:
        return Runs(rows_of(self.stated.swept, rows), points_rows(self.stated.at, rows))


def _here(given: float | None, own: float, setbacks: Sequence[float]) -> float:
    """The setback that is drawn: as given, her own where the grid spans it, else the farthest."""
    if given is not None:
        return float(given)
    inside = min(setbacks) - SAME <= own <= max(setbacks) + SAME
    return own if inside else max(setbacks)


def speed_drawn(advice: Advice, advices: Advices, at: int) -> float:
    """Her cruise; where she does not plane, her hump speed or one any boat makes."""
    hump = float(advices.known.hump.speed_mps[at])
    for speed in (advice.cruise_mps, hump):
        if np.isfinite(speed):
            return speed
    return SLOWEST_MPS
