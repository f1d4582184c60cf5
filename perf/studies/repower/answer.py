"""The paragraph that ranks, and what would change the ranking."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.results import Sentence, Value
from perf.boat.choice.parts import Candidate, Duty
from perf.studies.repower.gather import AIMS, Frame, Gathered, better_shares, ranking
from perf.studies.repower.rules import over_plate

Array = NDArray[np.float64]
Parts = list[str | Value]

KINDS = {
    "season_fuel_m3": ("volume", 0),
    "hump_margin_n": ("force", 0),
    "top_speed_mps": ("speed", 1),
    "net_present_value": ("money", 0),
}
BEATS = {
    "economy": "burns less than",
    "hump": "has more to spare than",
    "speed": "is faster than",
    "money": "costs less than",
}


@dataclass(frozen=True, eq=False)
class Found:
    """Everything the words are made of."""

    choices: Sequence[Candidate]
    duty: Duty
    frame: Frame
    purpose: str
    places: Array
    stated: Gathered
    drawn: Gathered | None
    table: pd.DataFrame
    matters: pd.DataFrame
    scrubbing: pd.DataFrame

    @property
    def order(self) -> list[int]:
        """Candidates from the first rank to the last."""
        return [int(at) for at in np.argsort(self.places, kind="stable")]

    @property
    def first(self) -> int:
        """The first-ranked candidate."""
        return self.order[0]

    def name(self, at: int) -> str:
        """What a candidate is called in a sentence."""
        choice = self.choices[at]
        return "keeping her as she is" if choice.is_as_she_is else choice.name

    def figure(self, name: str, at: int) -> float:
        """A figure as stated."""
        return float(self.stated.figures[name][at, 0])

    def share(self, one: int, other: int, purpose: str) -> float | None:
        """Share of the draws in which one beats the other."""
        if self.drawn is None:
            return None
        return float(better_shares(self.drawn.figures, purpose)[one, other])


def answer(found: Found) -> Sentence:
    """One paragraph that ranks by the purpose and says what would change it."""
    parts: Parts = [*_first(found), *_second(found), *_hump(found), *_money(found)]
    parts += _change(found)
    over = [found.choices[at].name for at in found.order if over_plate(found.choices[at].boat)]
    if over:
        verb = "is" if len(over) == 1 else "are"
        parts.append(
            f" {sentence_case(_listed(over))} {verb} over the capacity plate and ranked last, whatever the figures."
        )
    return Sentence(tuple(parts))


def sentence_case(words: str) -> str:
    """Words with a capital first letter."""
    return words[0].upper() + words[1:]


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _first(found: Found) -> Parts:
    name, _, called = AIMS[found.purpose]
    kind, digits = KINDS[name]
    first, her = found.first, 0
    parts: Parts = [f"By {called}, {found.name(first)} ranks first of {len(found.choices)}"]
    value = found.figure(name, first)
    if not np.isfinite(value):
        return [*parts, ", though that figure does not exist for any of them."]
    if found.purpose == "money" and found.choices[first].is_as_she_is:
        return [*parts, ": none of the others comes back inside the years counted."]
    parts += [": ", Value(value, kind, digits), *_currency(found, kind)]
    low, high = (found.table.get(f"{name}_{end}") for end in ("p10", "p90"))
    if low is not None and high is not None and np.isfinite([low[first], high[first]]).all():
        parts += [" (", Value(float(low[first]), kind, digits), " to "]
        parts += [Value(float(high[first]), kind, digits), ")"]
    if first != her:
        share = found.share(first, her, found.purpose)
        if found.purpose == "money":
            parts.append(" better than keeping her as she is")
        else:
            parts += [" against ", Value(found.figure(name, her), kind, digits), " as she is"]
        if share is not None:
            parts.append(f"; it {BEATS[found.purpose]} her {100 * share:.0f} times in 100")
    return [*parts, "."]


def _currency(found: Found, kind: str) -> Parts:
    return [f" {found.duty.currency}"] if kind == "money" and found.duty.currency else []


def _second(found: Found) -> Parts:
    if len(found.order) < 2:
        return []
    first, second = found.order[:2]
    share = found.share(first, second, found.purpose)
    if share is None or not np.isfinite(found.figure(AIMS[found.purpose][0], second)):
        return []
    how = (
        "clearly"
        if share > 0.9
        else "by a little"
        if share > 0.6
        else "with no difference to rely on"
    )
    return [
        f" Next, {how}, stands {found.name(second)}: "
        f"{found.name(first)} {BEATS[found.purpose]} it {100 * share:.0f} times in 100."
    ]


def _hump(found: Found) -> Parts:
    first = found.first
    chance = float(found.table["will_plane"][first])
    margin = found.figure("hump_margin_n", first)
    who = "she" if found.choices[first].is_as_she_is else "it"
    parts: Parts = [f" Loaded as {found.frame.heavy}, {who} planes {100 * chance:.0f} times in 100"]
    if found.drawn is None:
        parts = [
            f" Loaded as {found.frame.heavy}, {who} {'planes' if chance else 'does not plane'} as stated"
        ]
    if np.isfinite(margin) and margin > 0.0:
        parts += [" with ", Value(margin, "force", 0), " of thrust to spare"]
    return [*parts, "."]


def _money(found: Found) -> Parts:
    first = found.first
    if found.choices[first].is_as_she_is:
        return []
    flow = found.stated.flows[first]
    if flow.why_not:
        return [f" Money: no cash flow, {flow.why_not}."]
    coin = f" {found.duty.currency}" if found.duty.currency else ""
    parts: Parts = [" It lays out ", Value(found.figure("first_cost", first), "money", 0), coin]
    back, worth = found.figure("payback_years", first), found.figure("net_present_value", first)
    years = found.duty.years
    parts.append(
        f" today and is paid back in {back:.1f} years"
        if np.isfinite(back)
        else f" today and is not paid back inside {years} years"
    )
    if np.isfinite(worth):
        parts += [f"; over {years} years it is worth ", Value(worth, "money", 0), coin]
        parts.append(" against keeping her")
    return [*parts, "."]


def _change(found: Found) -> Parts:
    """What would change the ranking."""
    first = found.first
    said: list[Parts] = []
    over = [bool(over_plate(c.boat)) for c in found.choices]
    for purpose, (name, _, called) in AIMS.items():
        if purpose == found.purpose or not np.isfinite(found.stated.figures[name]).any():
            continue
        drawn = None if found.drawn is None else found.drawn.figures
        leader = int(np.argmin(ranking(found.stated.figures, drawn, purpose, over)))
        if leader != first:
            said.append([f"ranked by {called}, {found.name(leader)} comes first"])
    if not found.choices[first].is_as_she_is:
        said += _break_even(found, first)
    if len(found.matters):
        said.append([f"what is least sure is {found.matters['matter'][0]}"])
    if not said:
        return []
    parts: Parts = [" What would change this, with these propellers: "]
    for at, part in enumerate(said):
        parts += ["; " if at else "", *part]
    return [*parts, "."]


def _break_even(found: Found, first: int) -> list[Parts]:
    """Fuel price and hours at which the first choice begins or ceases to pay."""
    said: list[Parts] = []
    pays = found.figure("net_present_value", first) > 0.0
    less_fuel = found.figure("fuel_saved_m3", first) > 0.0
    fuel, hours = found.figure("break_even_fuel", first), found.figure("break_even_hours_s", first)
    if np.isfinite(fuel):
        side = "over" if less_fuel else "under"
        verb = "pays only with fuel" if not pays else "ceases to pay with fuel"
        side = side if not pays else {"over": "under", "under": "over"}[side]
        said.append([f"it {verb} {side} ", Value(fuel, "fuel price", 2)])
    if np.isfinite(hours):
        more = hours > found.figure("season_hours_s", first)
        if more and not pays:
            said.append(["it pays from ", Value(hours, "duration", 0), " of engine a season"])
        elif not more and pays:
            said.append(
                ["under ", Value(hours, "duration", 0), " of engine a season it does not pay"]
            )
    return said
