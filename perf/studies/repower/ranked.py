"""The sentences that rank candidates, and what is said where nothing can be ranked or told apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from perf.base.results import Value
from perf.base.trust import A_LITTLE, CLEARLY, EVENLY, SURELY
from perf.boat.choice.parts import Duty
from perf.studies.repower.gather import AIMS
from perf.studies.repower.rules import over_plate
from perf.studies.spread import band

if TYPE_CHECKING:
    from perf.studies.repower.answer import Found

Parts = list[str | Value]

KINDS = {
    "season_fuel_m3": ("volume", 0),
    "hump_margin_n": ("force", 0),
    "top_speed_mps": ("speed", 1),
    "net_present_value": ("money", 0),
    "first_cost": ("money", 0),
}
BEATS = {
    "economy": "burns less than",
    "hump": "has more to spare than",
    "speed": "is faster than",
    "money": "costs less than",
}
GROUND = {"economy": "fuel", "hump": "the hump", "speed": "top speed", "money": "money"}
NO_FIGURE = {
    "economy": "none of these makes every run of the season on plane",
    "hump": "none of these has a figure with the heaviest load",
    "speed": "no top speed was found for any of them",
}


def is_ranked(found: Found) -> bool:
    """Whether the figure of the purpose exists for the first choice, and for another than her in money."""
    name = AIMS[found.purpose][0]
    if found.purpose == "money" and not _finite(found, name)[1:].any():
        return False
    return bool(_finite(found, name)[found.first])


def is_no_difference(found: Found) -> bool:
    """Whether the first choice is another than her and no difference to rely on parts the two."""
    her, first = 0, found.first
    if not first or not is_ranked(found) or not _finite(found, AIMS[found.purpose][0])[her]:
        return False
    if over_plate(found.choices[her].boat) or float(found.table["will_plane"][her]) < EVENLY:
        return False
    share = found.share(first, her, found.purpose)
    return share is not None and share <= A_LITTLE


def unsure(found: Found) -> Parts:
    """What is said first where no candidate within the plate planes surely."""
    chance = found.table["will_plane"].to_numpy(dtype=float)
    allowed = [at for at in found.order if not over_plate(found.choices[at].boat)] or found.order
    best = max(allowed, key=lambda at: float(chance[at]))
    if chance[best] >= SURELY:
        return []
    start = f"None of these planes surely loaded as {found.frame.heavy}"
    if found.drawn is None or not chance[best]:
        return [f"None of these gets on plane loaded as {found.frame.heavy}. "]
    return [f"{start}: {found.name(best)}, the surest, {100 * chance[best]:.0f} times in 100. "]


def opening(found: Found) -> Parts:
    """Who ranks first and by how much; that no difference can be relied on, or that nothing is ranked."""
    if not is_ranked(found):
        return [f"Nothing can be ranked by {AIMS[found.purpose][2]}: {_why_not(found)}."]
    return [*_even(found), *_first(found)]


def _even(found: Found) -> Parts:
    if not is_no_difference(found):
        return []
    share = found.share(found.first, 0, found.purpose) or 0.0
    others = [
        GROUND[purpose]
        for purpose, (name, _, _) in AIMS.items()
        if purpose != found.purpose and _finite(found, name)[1:].any()
    ]
    choose = f", or choose by {_either(others)}" if others else ""
    return [
        f"No difference on {GROUND[found.purpose]} to rely on: {found.name(found.first)} "
        f"{BEATS[found.purpose]} her as she is {100 * share:.0f} times in 100. Keep her{choose}. "
    ]


def _either(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _first(found: Found) -> Parts:
    name, _, called = AIMS[found.purpose]
    first, her = found.first, 0
    known = _finite(found, name)
    number = int(known.sum())
    if number == 1:
        parts: Parts = [f"Only {found.name(first)} has a figure for {called}"]
    else:
        of = f"{number}" if known.all() else f"the {number} that have a figure"
        by = f"By {called}" + (", as the figures stand" if is_no_difference(found) else "")
        parts = [f"{by}, {found.name(first)} ranks first of {of}"]
    if found.purpose == "money" and first == her:
        return [*parts, ": none of the others comes back inside the years counted."]
    parts += [": ", *worded(found, name, first)]
    if first == her:
        return [*parts, "."]
    if found.purpose == "money":
        parts.append(" better than keeping her as she is")
    elif not known[her]:
        return [*parts, f". {_hers_lacks(found)}"]
    else:
        parts += [" against ", *worded(found, name, her), " as she is"]
    share = found.share(first, her, found.purpose)
    if share is not None and not is_no_difference(found):
        parts.append(f"; it {BEATS[found.purpose]} her {100 * share:.0f} times in 100")
    return [*parts, "."]


def _hers_lacks(found: Found) -> str:
    planes = bool(found.stated.figures["will_plane"][0, 0])
    if planes and found.purpose != "economy":
        return "As she is there is no such figure to compare."
    return "As she is she does not plane, so there is no figure to compare."


def second(found: Found) -> Parts:
    """Who stands next, and whether the difference can be relied on; what was said already is not said again."""
    if len(found.order) < 2 or not is_ranked(found):
        return []
    first, after = found.order[:2]
    share = found.share(first, after, found.purpose)
    if share is None or not _finite(found, AIMS[found.purpose][0])[after]:
        return []
    if after == 0 and is_no_difference(found):
        return []
    how = (
        "clearly"
        if share > CLEARLY
        else "by a little"
        if share > A_LITTLE
        else "with no difference to rely on"
    )
    if after == 0:  # how often it beats her was said
        return [f" Next, {how}, stands {found.name(after)}."]
    return [
        f" Next, {how}, stands {found.name(after)}: "
        f"{found.name(first)} {BEATS[found.purpose]} it {100 * share:.0f} times in 100."
    ]


# --- figures ------------------------------------------------------------------------------------------


def worded(found: Found, name: str, at: int) -> Parts:
    """A figure of one candidate with its band, and the currency of money."""
    kind, digits = KINDS[name]
    coin = f" {found.duty.currency}" if kind == "money" and found.duty.currency else ""
    parts: Parts = [Value(found.figure(name, at), kind, digits), coin]
    edges = edges_of(found, name, at)
    if edges is None or edges[0] == edges[1] or not np.isfinite(edges).any():
        return parts
    low, high = (Value(edge, kind, digits) for edge in edges)
    if not np.isfinite(edges[0]):
        return [*parts, " (up to ", high, ", or none at all)"]
    if not np.isfinite(edges[1]):
        return [*parts, " (from ", low, ", or none at all)"]
    return [*parts, " (", low, " to ", high, ")"]


def edges_of(found: Found, name: str, at: int) -> tuple[float, float] | None:
    """Tenth and ninetieth percentile of a figure; NaN for one that falls among what failed, None undrawn."""
    if found.drawn is None:
        return None
    low, high = band(name, found.drawn.figures[name][at][:, None])
    return float(low[0]), float(high[0])


def _finite(found: Found, name: str) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    return np.isfinite(found.stated.figures[name][:, 0])


def _why_not(found: Found) -> str:
    """Why nothing is ranked, in a few words."""
    if found.purpose != "money":
        return NO_FIGURE[found.purpose]
    missing = _not_given(found, found.duty)
    if not missing:
        return "money cannot be counted for any of them"
    return (
        f"{', '.join(missing[:-1])} and {missing[-1]} was given"
        if missing[1:]
        else (f"{missing[0]} was given")
    )


def _not_given(found: Found, duty: Duty) -> list[str]:
    prices = [choice.costs.price for choice in found.choices if not choice.is_as_she_is]
    fuels = [choice.costs.fuel_price for choice in found.choices]
    given = {
        "no price of an engine": any(price is not None for price in prices),
        "no price of fuel": duty.fuel_price is not None or any(f is not None for f in fuels),
        "no number of years": duty.years is not None,
        "no real discount rate": duty.discount_rate is not None,
    }
    return [words for words, known in given.items() if not known]
