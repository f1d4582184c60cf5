"""Money of candidates year by year against keeping her as she is; nothing has a hidden default.

What nobody stated is not counted, and named. Without a price, a fuel price or a number of years
there is no cash flow at all.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.boat.choice.parts import Candidate, Costs, Duty
from perf.laws import finance
from perf.studies.repower.season import Factor, Season

Array = NDArray[np.float64]

FARTHEST_BREAK_EVEN = 10.0  # times today's price or hours; beyond it nobody asks
PARTS = (
    "outlay",
    "fuel_cost",
    "service_cost",
    "upkeep_cost",
    "lost_days_cost",
    "scrub_cost",
    "residual_value",
)
# what each blank of Costs is called
CALLED = {
    "price": "price",
    "rigging": "price of some rigging",
    "labour": "labour",
    "propeller_price": "price of a propeller",
    "spare_price": "price of a spare propeller",
    "trade_in": "trade-in",
    "lost_days": "days lost in fitting",
    "service_per_hour": "service per engine hour",
    "upkeep_per_year": "upkeep",
    "upkeep_rise": "rise of upkeep",
    "lost_days_per_year": "days lost each year",
    "lost_days_rise": "rise of days lost",
    "expected_hours": "expected engine hours",
    "residual": "residual value",
}
NOT_FOR_HER = frozenset(
    ("price", "labour", "propeller_price", "spare_price", "trade_in", "lost_days", "rigging")
)


@dataclass(frozen=True, eq=False)
class Flow:
    """Cash flow (n, years + 1) by part, spent negative; None where it cannot be worked out and why."""

    parts: dict[str, Array]
    why_not: str

    @property
    def total(self) -> Array | None:
        """All parts together, (n, years + 1)."""
        if self.why_not:
            return None
        total = np.zeros_like(next(iter(self.parts.values())))
        for part in self.parts.values():
            total = total + part
        return total


def drawn_costs(candidate: Candidate, get: Factor) -> dict[str, Array]:
    """Every stated amount of a candidate, (n,), its doubts drawn by its own name; blanks are nought."""
    doubts = dict(candidate.doubts)
    found = {}
    for field in fields(Costs):
        value = getattr(candidate.costs, field.name)
        name = f"money.{candidate.name}.{field.name}"
        found[field.name] = get(name, value or 0.0, doubts.get(field.name, 0.0))
    return found


def fuel_price(candidate: Candidate, duty: Duty, old_fuel: str, get: Factor) -> Array | None:
    """Price of a litre of this candidate's fuel, (n,); None where nobody stated it.

    Its own price where it has one; else the season's, which is that of the fuel aboard now.
    """
    fuel = candidate.boat.tank.fuel
    own = candidate.costs.fuel_price
    if own is not None:
        return get(
            f"money.fuel_price of {fuel}", own, dict(candidate.doubts).get("fuel_price", 0.0)
        )
    if duty.fuel_price is None or fuel != old_fuel:
        return None
    return get("money.fuel_price", duty.fuel_price, dict(duty.doubts).get("money.fuel_price", 0.0))


def cash_flow(candidate: Candidate, duty: Duty, season: Season, old_fuel: str, get: Factor) -> Flow:
    """The whole cash flow of one candidate."""
    price = fuel_price(candidate, duty, old_fuel, get)
    why = _why_not(candidate, duty, price)
    if why or price is None or duty.years is None:
        return Flow({}, why)
    years = duty.years
    costs = drawn_costs(candidate, get)
    lost_day = get(
        "money.lost_day", duty.lost_day or 0.0, dict(duty.doubts).get("money.lost_day", 0.0)
    )
    later = np.arange(years + 1) > 0

    def yearly(amount: Array, rise: Array | float = 0.0) -> Array:
        grown = np.power(1.0 + np.asarray(rise)[..., None], np.arange(years + 1) - 1.0)
        flow: Array = -np.where(later, amount[..., None] * grown, 0.0)
        return flow

    def once(amount: Array, year: int) -> Array:
        flow = np.zeros((*amount.shape, years + 1))
        flow[..., year] = amount
        return flow

    count = candidate.boat.engine.count
    each = costs["propeller_price"] + costs["spare_price"]
    today = costs["price"] + costs["rigging"] + costs["labour"] + count * each
    today = today + costs["lost_days"] * lost_day - costs["trade_in"]
    many = scrubs(duty)
    parts = {
        "outlay": once(-today, 0),
        "fuel_cost": yearly(season.litres * price),
        "service_cost": yearly(season.engine_hours * costs["service_per_hour"]),
        "upkeep_cost": yearly(costs["upkeep_per_year"], costs["upkeep_rise"]),
        "lost_days_cost": yearly(costs["lost_days_per_year"] * lost_day, costs["lost_days_rise"]),
        "scrub_cost": yearly(np.full(season.litres.shape, many * (duty.scrub_price or 0.0))),
        "residual_value": once(costs["residual"], years),
    }
    shape = np.broadcast_shapes(*(part.shape for part in parts.values()))
    return Flow({name: np.broadcast_to(part, shape) for name, part in parts.items()}, "")


def _why_not(candidate: Candidate, duty: Duty, price: Array | None) -> str:
    if duty.years is None:
        return "the duty states no number of years"
    if price is None:
        return f"no price of {candidate.boat.tank.fuel} was stated"
    if candidate.costs.price is None and not candidate.is_as_she_is:
        return "no price was stated"
    return ""


def scrubs(duty: Duty) -> float:
    """Scrubs in a season; none where the duty does not say how often."""
    if duty.weeks_between_scrubs is None or duty.weeks is None:
        return 0.0
    return max(duty.weeks / duty.weeks_between_scrubs - 1.0, 0.0)


def blanks(candidate: Candidate, duty: Duty) -> tuple[str, ...]:
    """What was not stated and is therefore not counted, in the owner's words."""
    costs = candidate.costs
    quiet: set[str] = set()
    if candidate.is_as_she_is:
        quiet |= NOT_FOR_HER
    if costs.upkeep_per_year is None:
        quiet.add("upkeep_rise")
    if not costs.lost_days_per_year:
        quiet.add("lost_days_rise")
    if duty.lost_day is None:
        quiet |= {"lost_days", "lost_days_per_year", "lost_days_rise"}
    found = [CALLED[name] for name in costs.blanks if name in CALLED and name not in quiet]
    if duty.lost_day is None and (costs.lost_days or costs.lost_days_per_year):
        found.append("what a lost day costs")
    return tuple(found)


def within(times: Array) -> Array:
    """A break-even as so many times today's value; NaN where it lies too far off to mean anything."""
    return np.where(times <= FARTHEST_BREAK_EVEN, times, np.nan)


@dataclass(frozen=True, eq=False)
class Worth:
    """What a cash flow comes to against that of the boat as she is; (n,) each, NaN where it does not exist."""

    first_cost: Array
    yearly_cost: Array
    payback_years: Array
    net_present_value: Array
    cost_per_hour: Array
    cost_per_trip: Array
    break_even_fuel: Array
    break_even_hours: Array


def worth(
    flow: Flow, hers: Flow, season: Season, her_season: Season, duty: Duty, price: Array | None
) -> Worth | None:
    """Every figure of one candidate's money; None where there is no cash flow."""
    total, her_total = flow.total, hers.total
    if total is None or her_total is None or price is None:
        return None
    gain = total - her_total
    none = np.full(season.litres.shape, np.nan)
    rate, years = duty.discount_rate, float(duty.years or 0)
    even = value = none
    if rate is not None:
        value = finance.present_worth(gain, rate)
        even = -finance.present_worth(total, rate) * finance.capital_recovery_factor(rate, years)
    parts, her_parts = flow.parts, hers.parts
    with np.errstate(all="ignore"):
        per_hour, per_trip = even / season.each_engine_hours, even / season.trips
        fuel_price, hours = none, none
        if rate is not None:
            fuel = finance.present_worth(parts["fuel_cost"] - her_parts["fuel_cost"], rate)
            worked = fuel + finance.present_worth(
                parts["service_cost"] - her_parts["service_cost"], rate
            )
            fuel_price = price * within(finance.break_even(value - fuel, fuel))
            hours = season.each_engine_hours * within(finance.break_even(value - worked, worked))
    return Worth(
        -parts["outlay"][..., 0],
        -(total[..., 1] - parts["residual_value"][..., 1]),
        finance.payback_years(gain),
        value,
        per_hour,
        per_trip,
        fuel_price,
        hours,
    )
