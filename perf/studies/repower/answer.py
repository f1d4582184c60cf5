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
from perf.studies.repower.ranked import edges_of, is_ranked, opening, second, unsure, worded
from perf.studies.repower.rules import over_plate

Array = NDArray[np.float64]
Parts = list[str | Value]


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
    parts: Parts = [*unsure(found), *opening(found), *second(found), *_hump(found)]
    parts += [*_money(found), *_change(found)]
    over = [found.choices[at].name for at in found.order if over_plate(found.choices[at].boat)]
    if over:
        verb = "is" if len(over) == 1 else "are"
        parts.append(
            f" {sentence_case(listed(over))} {verb} over the capacity plate and ranked last, whatever the figures."
        )
    return Sentence(tuple(parts))


def sentence_case(words: str) -> str:
    """Words with a capital first letter."""
    return words[0].upper() + words[1:]


def listed(words: Sequence[str]) -> str:
    """Words with commas and an "and" before the last."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _hump(found: Found) -> Parts:
    first = found.first
    chance = float(found.table["will_plane"][first])
    margin = found.figure("hump_margin_n", first)
    who = "she" if found.choices[first].is_as_she_is else "it"
    if not is_ranked(found) and who == "it":
        who = found.name(first)
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
    if found.choices[first].is_as_she_is or not is_ranked(found):
        return []
    flow = found.stated.flows[first]
    if flow.why_not:
        return [f" Money: no cash flow, {flow.why_not}."]
    parts: Parts = [" It lays out ", *worded(found, "first_cost", first), " today and is "]
    years = found.duty.years
    parts.append(_paid_back(found, first))
    if np.isfinite(found.figure("net_present_value", first)) and found.purpose != "money":
        parts += [f"; over {years} years it is worth ", *worded(found, "net_present_value", first)]
        parts.append(" against keeping her")
    return [*parts, "."]


def _paid_back(found: Found, first: int) -> str:
    """How soon what is laid out has come back, with the band of that."""
    back, edges = found.figure("payback_years", first), edges_of(found, "payback_years", first)
    if not np.isfinite(back):
        return f"not paid back inside {found.duty.years} years"
    said = f"paid back in {back:.1f} years"
    if edges is None or not np.isfinite(edges[0]):
        return said
    if np.isfinite(edges[1]):
        return f"{said} ({edges[0]:.1f} to {edges[1]:.1f})"
    return f"{said} (from {edges[0]:.1f}, or not inside {found.duty.years} years)"


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
        if leader != first and np.isfinite(found.figure(name, leader)):
            said.append([f"ranked by {called}, {found.name(leader)} comes first"])
    if not found.choices[first].is_as_she_is and is_ranked(found):
        said += _break_even(found, first)
    if len(found.matters):
        said.append([f"what is least sure is {found.matters['matter'][0]}"])
    if not said:
        return []
    start = "What would change this" if is_ranked(found) else "Ranked otherwise"
    parts: Parts = [f" {start}, with these propellers: "]
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
