"""What a sea trial taught, as the rows of a fleet ask for it: how far inputs moved, and their joint draws.

A lesson holds for an input only while that input is the one that was tried: its doubt is still what it
was before the trial (or what the trial left of it), a factor still has its found value or was never
set back, and its draws are not those of another engine or propeller. A study that fits a new
propeller or engine therefore drops those lessons and keeps the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import isclose, sqrt

import numpy as np
from numpy.typing import NDArray

from perf.base.assumptions import ASSUMPTIONS, Assumption
from perf.base.draws import NINE_IN_TEN, standard_normal
from perf.boat.parts import Boat, Learned, Trial

Array = NDArray[np.float64]

SAME = 0.01  # a doubt within this share is the same one, written with fewer digits
# inputs whose value is a factor of the Trial part: the field it stands in
FACTORS = {
    "assumed.trial_drag": "drag",
    "assumed.trial_weight": "weight",
    "assumed.trial_balance": "balance_m",
    "assumed.trial_pitch": "pitch",
    "assumed.trial_leg": "leg",
    "assumed.trial_fuel_idle": "fuel_idle",
    "assumed.trial_fuel_slope": "fuel_slope",
    "engine.fuel": "fuel_slope",  # where the owner's own burn table is surer than the law
}
NEUTRAL = Trial()
SEA_TRIAL = "A sea trial"
# on the kicker nothing learned of the main drive holds; of what is assumed only this is the hull's
MAIN_DRIVE = ("engine.", "propeller.", "mounting.", "assumed.")
OF_HULL = frozenset(
    f"assumed.{name}"
    for name in ("trial_drag", "trial_weight", "trial_balance", "join_share", "waterline_above")
)


def half_width_of(boat: Boat, path: str) -> float:
    """The doubt an input has by itself (nine in ten): the boat's own, else the assumption's."""
    doubts = dict(boat.doubts)
    if path.startswith("assumed."):
        return doubts.get(path, ASSUMPTIONS[path.removeprefix("assumed.")].half_width)
    return doubts.get(path, 0.0)


def half_width_left(learned: Learned, place: int) -> float:
    """What the trial left of the doubt of one input (nine in ten)."""
    return learned.half_widths[place] * sqrt(sum(part * part for part in learned.spread[place]))


def holding(boat: Boat, name_of: Callable[[Boat, str], str]) -> tuple[int, ...]:
    """Places in Boat.trial.learned of the lessons that hold for the boat as she is now."""
    learned = boat.trial.learned
    if learned is None:
        return ()
    return tuple(
        place
        for place, path in enumerate(learned.names)
        if name_of(boat, path) == path and _as_tried(boat, learned, place)
    )


def _as_tried(boat: Boat, learned: Learned, place: int) -> bool:
    path = learned.names[place]
    if boat.on_kicker and path.startswith(MAIN_DRIVE) and path not in OF_HULL:
        return False
    now = half_width_of(boat, path)
    before, left = learned.half_widths[place], half_width_left(learned, place)
    if not any(isclose(now, known, rel_tol=SAME) for known in (before, left)):
        return False
    field = FACTORS.get(path)
    return field is None or getattr(boat.trial, field) != getattr(NEUTRAL, field)


def shifts(boat: Boat, name_of: Callable[[Boat, str], str]) -> dict[str, float]:
    """How far each input lies off what is stated, SI, by readable path; the Trial factors left out."""
    learned = boat.trial.learned
    if learned is None:
        return {}
    return {
        learned.names[at]: learned.shifts[at] * learned.half_widths[at]
        for at in holding(boat, name_of)
        if learned.shifts[at]
    }


def deviations(
    boat: Boat, name_of: Callable[[Boat, str], str], count: int, seed: int
) -> dict[str, Array]:
    """Draws (count,) of how far each input lies off what is stated, SI, taken together."""
    learned = boat.trial.learned
    if learned is None:
        return {}
    normals = [standard_normal(seed, name, count) for name in learned.names]
    drawn = {}
    for at in holding(boat, name_of):
        unit = learned.half_widths[at]
        total = np.zeros(count)
        # one after another, so that the first draws of many are the same as of few
        for part, normal in zip(learned.spread[at], normals[: at + 1], strict=True):
            total = total + part * normal
        drawn[learned.names[at]] = unit * (learned.shifts[at] + total / NINE_IN_TEN)
    return drawn


def said_of(boat: Boat) -> tuple[str, ...]:
    """That a sea trial is counted in, and which, for every answer about the boat; empty without one."""
    if boat.trial == NEUTRAL:
        return ()
    named = f" ({boat.trial.log})" if boat.trial.log else ""
    day = f" of {boat.trial.date}" if boat.trial.date else ""
    joint = "" if boat.trial.learned is None else ", and the bands are narrower for it"
    return (f"{SEA_TRIAL}{day}{named} is counted in{joint}.",)


def counted_in(notes: Sequence[str]) -> tuple[str, ...]:
    """Of the notes of an answer those that say a sea trial is counted in, for paper with little room."""
    return tuple(note for note in notes if note.startswith(SEA_TRIAL))


def as_tried(boat: Boat, about: Assumption) -> Assumption:
    """An assumption as a sea trial left it: its value, its doubt, and that it is so."""
    learned, path = boat.trial.learned, f"assumed.{about.name}"
    if learned is None or path not in learned.names:
        return about
    place = learned.names.index(path)
    field = FACTORS.get(path)
    value = about.value + learned.shifts[place] * learned.half_widths[place]
    return replace(
        about,
        value=value if field is None else float(getattr(boat.trial, field)),
        half_width=half_width_left(learned, place),
        sentence=f"{about.sentence} As a sea trial left it.",
    )
