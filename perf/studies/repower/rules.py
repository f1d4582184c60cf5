"""What plates and published rules say of each candidate: the plate first, formulas where they apply.

The federal formulas bind builders of monohulls under 20 ft. Here they are shown beside the plate,
never instead of it, and what cannot be worked out says why.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from perf.base.units import show
from perf.boat.choice.parts import Candidate, RuleFacts
from perf.boat.fleet import Fleet
from perf.boat.parts import Boat
from perf.laws import rules
from perf.laws.engine import FUELS

EVERY = "every candidate"
TEST_LENGTH_M = 13.0 * rules.FOOT_M  # 33 CFR 183.53 (b): the performance test of small boats
TEST_TRANSOM_M = 19.0 * rules.INCH_M
TEST_POWER_W = 40.0 * rules.HORSEPOWER_W
OLD_RATING = "two-stroke carburetted"
EUROPEAN_LENGTH_M = 8.0  # ISO 11592-1 covers hulls shorter than this

QUESTIONS = (
    ("capacity plate", "Is there a plate, does it belong to this hull, and is the new power within it?"),
    ("builder", "Does the builder allow this power, this weight on the transom, and a bracket at all?"),
    ("engine maker", "Does the maker allow this propeller range, this mounting height and commercial use under warranty?"),
    ("surveyor", "Has a qualified person looked at transom core, stringers, fastenings and bracket for the new weight and thrust?"),
    ("insurer", "Does the policy stay in force with the new power, in charter and in private use?"),
    ("certificate", "Does a certificate of inspection, a charter licence or local law name power, people or fuel, and who must agree to the change?"),
    ("flotation", "Under 20 ft: is the flotation still enough for the heavier engine?"),
    ("fuel system", "Are tank, lines, filters and vents fit for the new fuel and its burn?"),
    ("afloat", "Is there freeboard left at the transom and the scuppers with everybody aft, tried at the dock?"),
)  # fmt: skip


def over_plate(boat: Boat) -> bool | None:
    """Whether all engines together pass the capacity plate; None without a plate."""
    if boat.plate_power_w is None:
        return None
    return boat.engine.count * boat.engine.rated_power_w > boat.plate_power_w * (1.0 + 1e-9)


def rules_table(
    choices: Sequence[Candidate], facts: RuleFacts, top_mps: Sequence[float]
) -> pd.DataFrame:
    """One row a rule, with whether it applies and what it says; top_mps of each candidate."""
    rows: list[dict[str, object]] = []
    for choice in choices:
        rows.append(_plate(choice))
    boat = choices[0].boat
    rows.append(_powering(boat, facts))
    rows += _small_boat_test(boat, facts)
    rows += _loading(choices, facts)
    rows += _plate_load(choices, facts)
    rows += _old_ratings(choices)
    rows += _european(boat, top_mps)
    return pd.DataFrame(rows, columns=["candidate", "rule", "applies", "says", "limit_w"])


def questions_table() -> pd.DataFrame:
    """Questions to be answered yes or no before anything is ordered."""
    return pd.DataFrame(QUESTIONS, columns=["ask", "question"])


def _row(
    candidate: str, rule: str, applies: str, says: str, limit_w: float = np.nan
) -> dict[str, object]:
    return {
        "candidate": candidate,
        "rule": rule,
        "applies": applies,
        "says": says,
        "limit_w": limit_w,
    }


def _plate(choice: Candidate) -> dict[str, object]:
    boat = choice.boat
    over = over_plate(boat)
    have = _hp(boat.engine.count * boat.engine.rated_power_w)
    if over is None or boat.plate_power_w is None:
        says = f"{have}; no plate was given: builder, local law and a surveyor decide"
        return _row(choice.name, "capacity plate", "no plate known", says)
    limit = _hp(boat.plate_power_w)
    says = f"{have} is over the plate's {limit}: do not fit it" if over else f"{have} of {limit}"
    return _row(choice.name, "capacity plate", "yes", says, boat.plate_power_w)


def _hp(watts: float) -> str:
    return show(watts, "power", "us", 0)


def _feet(metres: float) -> str:
    return show(metres, "length", "us")


def _formula_reach(boat: Boat, facts: RuleFacts) -> str:
    """Why the federal formulas for small boats do not reach this one; empty where they do."""
    length = boat.hull.length_overall_m
    if length >= rules.FORMULA_LENGTH_M - rules.HAIR:
        return f"no: {_feet(length)} is not under 20 ft"
    return "no: inflatables are left out" if facts.inflatable else ""


def _powering(boat: Boat, facts: RuleFacts) -> dict[str, object]:
    rule = "33 CFR 183 subpart D, horsepower"
    why = _formula_reach(boat, facts)
    if not why and boat.engine.drive != "outboard":
        why = "no: it is for outboards only"
    if why:
        says = "there is no federal formula for this boat: the builder's figure rules"
        return _row(EVERY, rule, why, says)
    missing = [
        word
        for word, fact in (("transom width", facts.transom_width_m), ("steering", facts.steering))
        if fact is None
    ]
    if missing or facts.transom_width_m is None:
        return _row(EVERY, rule, f"not computed: no {' or '.join(missing)} was stated", "")
    factor = float(rules.powering_factor(boat.hull.length_overall_m, facts.transom_width_m))
    limit = float(
        rules.outboard_power_limit(
            factor,
            boat.hull.transom_height_m,
            float(facts.steering == "remote"),
            float(bool(facts.flat_bottom)),
        )
    )
    said = (
        f"{_hp(limit)} from length x transom width = {factor:.1f}, {facts.steering} steering, "
        f"transom {_feet(boat.hull.transom_height_m)}; the length leaves a bracket out; "
        "binds builders, the plate rules"
    )
    return _row(EVERY, rule, "yes", said, limit)


def _small_boat_test(boat: Boat, facts: RuleFacts) -> list[dict[str, object]]:
    fits = (
        boat.engine.drive == "outboard"
        and boat.hull.length_overall_m <= TEST_LENGTH_M + rules.HAIR
        and facts.steering == "remote"
        and boat.hull.transom_height_m >= TEST_TRANSOM_M - rules.HAIR
    )
    if not fits or _formula_reach(boat, facts):
        return []
    says = "a builder may instead prove up to this by the turning test, two people at most"
    return [_row(EVERY, "33 CFR 183.53 (b), test", "perhaps", says, TEST_POWER_W)]


def _loading(choices: Sequence[Candidate], facts: RuleFacts) -> list[dict[str, object]]:
    boat = choices[0].boat
    rule = "33 CFR 183 subpart C, load and people"
    why = _formula_reach(boat, facts)
    if why:
        return [_row(EVERY, rule, why, "the builder's plate rules")]
    if boat.engine.drive != "outboard":
        says = "the formula for inboards and sterndrives (183.33) is printed as a drawing and was not read"
        return [_row(EVERY, rule, "not computed", says)]
    if facts.swamping_displacement_kg is None:
        missing = "not computed: no swamping displacement was stated"
        return [_row(EVERY, rule, missing, "the builder's plate rules")]
    return [_people(choice, facts, facts.swamping_displacement_kg) for choice in choices]


def _people(choice: Candidate, facts: RuleFacts, swamping_kg: float) -> dict[str, object]:
    boat, tank = choice.boat, choice.boat.tank
    fuel = tank.capacity_m3 * FUELS[tank.fuel].density_kg_m3
    load = rules.outboard_load_limit(swamping_kg, boat.light.mass_kg + fuel)
    machinery = boat.engine.count * boat.engine.mass_kg + (facts.controls_kg or 0.0)
    side = np.nan if facts.side_weight_kg is None else facts.side_weight_kg
    people = float(rules.people_weight_limit(load, machinery, side))
    says = f"load {show(float(load), 'mass', 'us', 0)}"
    if not np.isfinite(people):
        says += "; people not computed: under 550 lb the side weight counts and was not stated"
    else:
        number = int(rules.people_limit(people))
        says += f", people {show(people, 'mass', 'us', 0)}, that is {number}"
    if facts.controls_kg is None:
        says += "; controls, battery and portable tank were not stated and are not counted"
    return _row(choice.name, "33 CFR 183 subpart C, load and people", "yes", says)


def _plate_load(choices: Sequence[Candidate], facts: RuleFacts) -> list[dict[str, object]]:
    boat = choices[0].boat
    if facts.plate_load_kg is None:
        thumb = float(
            rules.people_rule_of_thumb(boat.hull.length_overall_m, boat.hull.chine_beam_m)
        )
        if facts.plate_people is not None:
            return []
        says = f"length x beam in feet over 15 is {thumb:.1f} people of 150 lb; the chine beam is taken"
        return [_row(EVERY, "people, rule of thumb", "no people on a plate were stated", says)]
    rows = []
    for choice in choices:
        carried = _carried(choice.boat)
        over = carried > facts.plate_load_kg * (1.0 + 1e-9)
        limit = show(facts.plate_load_kg, "mass", "us", 0)
        said = show(carried, "mass", "us", 0)
        word = f"{said} is over the plate's {limit}" if over else f"{said} of {limit}"
        rows.append(_row(choice.name, "weight on the plate, heaviest load", "yes", word))
    return rows


def _carried(boat: Boat) -> float:
    """People, gear and engines of the heaviest named load [kg]."""
    return max(_aboard(boat.at(load=load)) for load in boat.load_names)


def _aboard(boat: Boat) -> float:
    aboard = set(boat.loaded.aboard)
    weights = sum(w.count * w.mass_kg for w in boat.weights if w.name in aboard)
    engines = boat.engine.count * boat.engine.mass_kg if boat.engine.drive == "outboard" else 0.0
    return weights + engines


def heaviest(boat: Boat) -> str:
    """The named load under which she is heaviest."""
    boats = [boat.at(load=load) for load in boat.load_names]
    return boats[int(np.argmax(Fleet.of(boats).lanes.mass_kg))].load


def _old_ratings(choices: Sequence[Candidate]) -> list[dict[str, object]]:
    if not any(c.boat.engine.technology == OLD_RATING for c in choices):
        return []
    says = (
        "American outboards of before about 1985 were rated at the powerhead, later ones at the "
        "propeller: an old 60 is a modern 50 or so. An old engine may be weaker than its number, and "
        "an old plate was drawn up for such numbers; the plate's number still rules"
    )
    return [_row(EVERY, "old powerhead ratings", "where an engine or plate is that old", says)]


def _european(boat: Boat, top_mps: Sequence[float]) -> list[dict[str, object]]:
    length = boat.hull.length_overall_m
    limit = float(rules.manoeuvring_threshold(length))
    fast = [top for top in top_mps if np.isfinite(top)]
    part = "ISO 11592-1" if length < EUROPEAN_LENGTH_M else "ISO 11592-2"
    says = "greatest power by a manoeuvring test on the water, not by a formula"
    if part == "ISO 11592-1" and fast and max(fast) > limit:
        says += f"; annex A applies over {show(limit, 'speed', 'us', 0)}"
    load = "plate load of 75 kg a person, effects, stores; fixed tanks counted at 95 % beside it"
    return [
        _row(EVERY, f"{part}, European counterpart", "for craft sold in Europe", says),
        _row(EVERY, "ISO 14946, European counterpart", "for craft sold in Europe", load),
    ]
