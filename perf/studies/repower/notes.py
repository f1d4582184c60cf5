"""What a repower's answer rests on: notes, cautions, what the bands hold."""

from __future__ import annotations

import numpy as np

from perf.base.cautions import Caution, codes
from perf.base.units import show
from perf.boat.choice.parts import Duty
from perf.boat.learned import said_of
from perf.boat.parts import Boat
from perf.studies.repower.answer import Found, listed, sentence_case
from perf.studies.repower.draws import season_boat
from perf.studies.repower.gather import Frame
from perf.studies.repower.money import blanks
from perf.studies.repower.rules import OLD_RATING, over_plate
from perf.studies.repower.scrub import best_scrub


def notes(found: Found, here: str = "") -> tuple[str, ...]:
    """What the answer rests on, in plain sentences; here is that of as_she_is_here."""
    said = [here] if here else []
    for choice, flow in zip(found.choices, found.stated.flows, strict=True):
        if flow.why_not:
            said.append(f"No cash flow for {choice.name}: {flow.why_not}.")
            continue
        missing = blanks(choice, found.duty)
        if missing:
            said.append(f"Not stated and not counted for {choice.name}: {', '.join(missing)}.")
        if not choice.span_is_stated and choice.searched:
            said.append(
                f"The propellers tried on {choice.name} are those an engine of that power usually swings."
            )
    said += _life_notes(found)
    if found.duty.discount_rate is None:
        said.append("No real discount rate was stated: there is no net present value.")
    said += _scrub_notes(found)
    said += [
        f"{c.name}: warranty in commercial use as stated: {c.warranty}."
        for c in found.choices
        if c.warranty
    ]
    return (*said, *said_of(found.choices[0].boat))


def as_she_is_here(boat: Boat, duty: Duty, frame: Frame) -> str:
    """Why she runs otherwise here than on her own: load, fuel and bottom of the season; empty where she does not.

    boat : as she is set, which is how she is shown on her own.
    """
    why = []
    if frame.main != boat.load:
        why.append(f"loaded as {frame.main}, not as {boat.load}")
    if boat.at(load=frame.main).loaded.tank != boat.loaded.tank:
        share = show(boat.at(load=frame.main).loaded.tank, "share", "us", 2)
        why.append(f"with the tank {share} full, as that load is written")
    weeks = duty.weeks_between_scrubs
    season, own = season_boat(boat, duty).hull.friction_allowance, boat.hull.friction_allowance
    if weeks is not None and season != own:
        grown = "less" if season < own else "more"
        why.append(
            f"with the bottom of a season scrubbed every {weeks:.0f} weeks, {grown} grown on average "
            "than her file has it"
        )
    if not why:
        return ""
    return (
        f"Here every boat, also as she is, runs {listed(why)}: "
        "so her figures differ from those of How she runs."
    )


def caution_for(found: Found) -> dict[str, list[str]]:
    """Names of those a caution is meant for, where it is not meant for all."""
    over = [found.choices[at].name for at in found.order if over_plate(found.choices[at].boat)]
    return {"over_plate": over} if over else {}


def _life_notes(found: Found) -> list[str]:
    """Engines whose expected hours end before the years counted."""
    years, said = found.duty.years or 0, []
    for at, choice in enumerate(found.choices):
        life = found.figure("life_years", at)
        if life < years and not found.stated.flows[at].why_not:
            said.append(
                f"{sentence_case(choice.name)}: the expected hours of the engine last {life:.1f} of the "
                f"{years} years counted; no further engine is counted."
            )
    return said


def _scrub_notes(found: Found) -> list[str]:
    if not len(found.scrubbing):
        return []
    weeks = best_scrub(found.scrubbing, found.choices[0].name)
    if weeks is not None:
        return [f"As she is, a scrub every {weeks:.0f} weeks gains most of those tried."]
    if np.isfinite(found.scrubbing["scrub_gain"].to_numpy(dtype=float)).any():
        return ["As she is, no scrub in the season pays for itself in fuel."]
    return ["Scrubs have no price: whether one pays is left to the owner."]


def cautions(found: Found) -> tuple[str, ...]:
    """What limits the answer, from all candidates."""
    bits = int(Caution.ESTIMATE)
    her = found.choices[0].boat
    hung = her.engine.count * her.engine.mass_kg
    for at, choice in enumerate(found.choices):
        boat = choice.boat
        over = over_plate(boat)
        bits |= int(Caution.NO_PLATE if over is None else Caution.OVER_PLATE if over else 0)
        if boat.mounting.setback_m > 0.0:
            bits |= int(Caution.TRANSOM)
        if boat.engine.count * boat.engine.mass_kg > hung * (1.0 + 1e-9):
            bits |= int(Caution.HEAVIER_AFT)
        if boat.engine.technology == OLD_RATING:
            bits |= int(Caution.OLD_RATING)
        life = found.figure("life_years", at)
        if not found.stated.flows[at].why_not and life < float(found.duty.years or 0):
            bits |= int(Caution.LIFE_ENDS)
        if blanks(choice, found.duty) or found.stated.flows[at].why_not:
            bits |= int(Caution.MONEY_PARTIAL)
        rpm, engine = found.figure("top_rpm", at), boat.engine
        if rpm < engine.full_throttle_low_rpm:
            bits |= int(Caution.RPM_UNDER_BAND)
        if rpm > engine.full_throttle_high_rpm:
            bits |= int(Caution.RPM_OVER_BAND)
    return codes(bits)


def spoken_doubt(found: Found, draws: int, seed: int) -> dict[str, object]:
    """What the bands hold."""
    if found.drawn is None:
        return {"draws": 0, "band": "none drawn"}
    failed = 1.0 - found.drawn.figures["will_plane"].mean(axis=1)
    return {
        "draws": draws,
        "seed": seed,
        "band": "10 to 90 per cent of the draws; a draw in which she does not plane counts as the worst",
        "shared": "the same draws for every candidate: errors of hull and method are shared, those of engine and propeller by model",
        "outside": ["waves", "wind", "current", "damage", "prices and wear nobody stated"],
        "share_not_planing": {c.name: float(f) for c, f in zip(found.choices, failed, strict=True)},
    }


def duty_spoken(duty: Duty) -> str:
    """The season in a few words."""
    return f"{duty.name}: {show(duty.trips, 'ratio', 'us', 0)} trips of {len(duty.runs)} runs"
