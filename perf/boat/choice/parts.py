"""What a repower is chosen from: candidates, what they cost, the season they work; frozen, in SI.

None stands for what the owner did not state. Nothing here has a price of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from perf.boat.parts import Boat, Doubts

AS_SHE_IS = "as she is"


@dataclass(frozen=True)
class Costs:
    """Money of one candidate in one currency; fuel price per litre, hours of one engine, days of work.

    price is of all its engines, rigging of what is fitted with them, propeller and spare of one each
    per engine. lost_days is what fitting takes; the yearly figures rise by their share each year.
    """

    price: float | None = None
    rigging: float | None = None
    labour: float | None = None
    propeller_price: float | None = None
    spare_price: float | None = None
    trade_in: float | None = None
    lost_days: float | None = None
    fuel_price: float | None = None
    service_per_hour: float | None = None
    upkeep_per_year: float | None = None
    upkeep_rise: float | None = None
    lost_days_per_year: float | None = None
    lost_days_rise: float | None = None
    expected_hours: float | None = None
    residual: float | None = None

    @property
    def blanks(self) -> tuple[str, ...]:
        """Names of what was not stated, in declared order."""
        return tuple(f.name for f in fields(self) if getattr(self, f.name) is None)


@dataclass(frozen=True)
class Candidate:
    """One choice: the whole boat with it, and what it costs.

    searched : whether its propeller is to be found; propeller_span_m the diameters the engine swings.
    doubts : half widths of money by key, such as ("price", 900.0).
    """

    name: str
    boat: Boat
    costs: Costs
    searched: bool = False
    propeller_span_m: tuple[float, float] | None = None
    span_is_stated: bool = True
    warranty: str | None = None
    rigging: tuple[str, ...] = ()
    doubts: Doubts = ()
    is_as_she_is: bool = False


@dataclass(frozen=True)
class RuleFacts:
    """What the rules ask and no boat file holds; None where nobody said."""

    steering: str | None = None
    transom_width_m: float | None = None
    flat_bottom: bool | None = None
    inflatable: bool | None = None
    swamping_displacement_kg: float | None = None
    side_weight_kg: float | None = None
    controls_kg: float | None = None
    plate_people: int | None = None
    plate_load_kg: float | None = None


@dataclass(frozen=True)
class Candidates:
    """All choices of one file, the boat as she is first."""

    name: str
    choices: tuple[Candidate, ...]
    facts: RuleFacts = RuleFacts()


@dataclass(frozen=True)
class Run:
    """One thing done on every trip: kind is run, troll, idle or drift.

    distance_m or seconds, whichever was stated; speed_mps None is "best". engines is how many turn
    (None for all), trips its own number (None for the season's). doubts : half widths by key
    (distance, hours, trips).
    """

    name: str
    kind: str
    load: str
    trips: float | None = None
    distance_m: float | None = None
    seconds: float | None = None
    speed_mps: float | None = None
    engines: int | None = None
    doubts: Doubts = ()


@dataclass(frozen=True)
class Duty:
    """A season of runs, and the money that does not hang on the engine; doubts by readable path."""

    name: str
    runs: tuple[Run, ...]
    trips: float
    weeks: float | None = None
    weeks_between_scrubs: float | None = None
    scrub_price: float | None = None
    currency: str = ""
    fuel_price: float | None = None
    discount_rate: float | None = None
    years: int | None = None
    lost_day: float | None = None
    doubts: Doubts = ()
