"""What a trip is: frozen parts in SI, valid from birth, written as differences from a boat."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from perf.boat.parts import Doubts, Weight, Words

MOST_RUNS = 200
MOST_FILL_UPS = 60
PACES = ("speed", "best mileage", "g", "rpm", "idle", "drift")
STANDING = ("idle", "drift")  # paces that make no way of their own


def _sane(name: str, value: float | None, low: float, high: float = math.inf) -> None:
    if value is not None and not (math.isfinite(value) and low <= value <= high):
        raise ValueError(f"{name} must be between {low:g} and {high:g} (SI), not {value}")


@dataclass(frozen=True)
class Direction:
    """Where wind, sea or current comes from or goes to: true degrees, or from dead ahead clockwise."""

    degrees: float
    relative: bool = False

    def __post_init__(self) -> None:
        _sane("a direction", self.degrees, -360.0, 360.0)

    def off(self, course_deg: float | None) -> float:
        """Angle off the course [deg], clockwise; ValueError for a true direction and no course."""
        if self.relative:
            return self.degrees
        if course_deg is None:
            raise ValueError("a compass direction means nothing to a run that has no course")
        return self.degrees - course_deg


AHEAD = Direction(0.0, relative=True)


@dataclass(frozen=True)
class Weather:
    """Wind over the ground, significant wave height, and current of one run, each with its side.

    Wind and sea are named by where they come from, the current by where it sets.
    """

    wind_mps: float = 0.0
    wind_from: Direction = AHEAD
    wave_height_m: float = 0.0
    sea_from: Direction = AHEAD
    current_mps: float = 0.0
    current_toward: Direction = AHEAD

    def __post_init__(self) -> None:
        _sane("wind", self.wind_mps, 0.0, 60.0)
        _sane("a wave height", self.wave_height_m, 0.0, 20.0)
        _sane("a current", self.current_mps, 0.0, 20.0)


@dataclass(frozen=True)
class Pace:
    """How fast: one of PACES. value is m/s for "speed", g for "g", rpm for "rpm", else 0.

    "g" is the speed at which the average of the highest tenth of the bumps at the seat reaches it.
    """

    kind: str
    value: float = 0.0
    over_ground: bool = False

    def __post_init__(self) -> None:
        if self.kind not in PACES:
            raise ValueError(f'a pace is one of {", ".join(PACES)}, not "{self.kind}"')
        if self.kind in ("speed", "g", "rpm"):
            _sane(f"a pace in {self.kind}", self.value, 1e-6, 1e5)
        if self.over_ground and self.kind != "speed":
            raise ValueError("only a speed can be over the ground")

    @property
    def standing(self) -> bool:
        """Whether she makes no way of her own."""
        return self.kind in STANDING


@dataclass(frozen=True)
class Run:
    """One stretch of a trip: a distance over the ground or a time, at one pace, in one weather.

    aboard : names of the weights aboard from here on; None as before. take_on_m3 : fuel taken on
    before it begins. depth_m : of the water where it is shallow.
    """

    name: str
    pace: Pace
    distance_m: float | None = None
    duration_s: float | None = None
    course_deg: float | None = None
    weather: Weather = Weather()
    depth_m: float | None = None
    aboard: tuple[str, ...] | None = None
    take_on_m3: float = 0.0

    def __post_init__(self) -> None:
        if (self.distance_m is None) == (self.duration_s is None):
            raise ValueError(f'run "{self.name}": give a distance or a time, one of the two')
        if self.pace.standing and self.duration_s is None:
            raise ValueError(f'run "{self.name}": idling and drifting take a time, no distance')
        _sane(f'the distance of "{self.name}"', self.distance_m, 0.0, 1e8)
        _sane(f'the time of "{self.name}"', self.duration_s, 0.0, 1e8)
        _sane(f'the course of "{self.name}"', self.course_deg, -360.0, 360.0)
        _sane(f'the depth of "{self.name}"', self.depth_m, 0.0)
        _sane(f'the fuel taken on before "{self.name}"', self.take_on_m3, 0.0, 1e3)


@dataclass(frozen=True)
class TankTruth:
    """What is really in the tank; None where the boat's file or an assumption speaks.

    level : share of a filled tank, by the gauge. fill : what a filled tank holds over its stated
    capacity. gauge_error : half width of the level. since_fill_m3 : fuel burned since the tank was
    last filled, known from a log or a flow meter; it stands in for the gauge. usable : share of
    the stated capacity that can be drawn.
    """

    level: float | None = None
    fill: float | None = None
    gauge_error: float | None = None
    since_fill_m3: float | None = None
    usable: float | None = None

    def __post_init__(self) -> None:
        for name in ("level", "fill", "gauge_error", "usable"):
            _sane(name, getattr(self, name), 0.0, 1.0)
        _sane("fuel burned since the last fill-up", self.since_fill_m3, 0.0)
        if self.level is not None and self.since_fill_m3 is not None:
            raise ValueError("give how full the tank is or what was burned since, not both")


@dataclass(frozen=True)
class FillUp:
    """One line of the burn log: what was run since the last fill-up, and what went into the tank."""

    run: Run
    burned_m3: float

    def __post_init__(self) -> None:
        _sane(f'the fuel of "{self.run.name}"', self.burned_m3, 1e-6, 1e3)


@dataclass(frozen=True)
class Reserve:
    """Fuel kept back: a share of the usable fuel at the start, or a quantity [m3] where there is one."""

    share: float = 1.0 / 3.0
    quantity_m3: float | None = None

    def __post_init__(self) -> None:
        _sane("a reserve", self.share, 0.0, 1.0)
        _sane("a reserve", self.quantity_m3, 0.0)


@dataclass(frozen=True)
class Trip:
    """Runs in order, and what they share.

    load : which of the boat's loads is aboard at the start; None as she is. weights : what comes
    aboard that the boat's file does not know. seat : the weight whose place the bumps are felt at;
    None for the balance point. doubts and words as those of a boat, by readable path.
    """

    name: str
    runs: tuple[Run, ...]
    tank: TankTruth = TankTruth()
    reserve: Reserve = Reserve()
    load: str | None = None
    seat: str | None = None
    weights: tuple[Weight, ...] = ()
    log: tuple[FillUp, ...] = ()
    lightens: bool = True  # whether burned fuel lightens the boat
    doubts: Doubts = ()
    words: Words = field(default=(), compare=False)

    def __post_init__(self) -> None:
        for what, many, most in (
            ("runs", self.runs, MOST_RUNS),
            ("fill-ups", self.log, MOST_FILL_UPS),
        ):
            if len(many) > most:
                raise ValueError(f"a trip has at most {most} {what}, not {len(many):,}")
        if not self.runs:
            raise ValueError("a trip has at least one run")

    def path_of(self, run: Run, quantity: str) -> str:
        """Readable path of where a run's wind, wave_height or current was written."""
        own = f"runs.{run.name}.{quantity}"
        return own if own in dict(self.words) else f"weather.{quantity}"
