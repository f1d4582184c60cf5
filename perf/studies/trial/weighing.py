"""A weighing by tape, as a Result: weight and balance by the water against those by the list."""

from __future__ import annotations

import json

import pandas as pd

from perf.base.cautions import Caution, code
from perf.base.results import Result, Sentence, Value
from perf.base.trial_assumptions import TRIAL_ASSUMPTIONS
from perf.base.units import show
from perf.boat.parts import Boat, Mark, Place
from perf.studies.speeds import assumptions_of, sources_of
from perf.studies.trial.study import tape_summary
from perf.studies.trial.tape import Taped, heights_by_list, weigh_by_tape

LAWS = ("water_density", "height_over_water")


def weighing(boat: Boat, *, draws: int = 200, seed: int = 1) -> Result:
    """Weigh a boat by the marks of her file; TapeFault where they cannot weigh her."""
    return weighing_of(weigh_by_tape(boat, draws=draws, seed=seed), draws, seed)


def example(boat: Boat, units: str) -> str:
    """A [freeboard] table to begin with: two marks on her transom, two toward the bow, at her first load.

    Places are her own measures; heights over the water are those by the list, for the owner to write
    over with what is taped.
    """
    hull, first = boat.hull, boat.load_names[0]
    stern, ahead = (
        Place(0.0, hull.transom_height_m),
        Place(hull.waterline_length_m, hull.transom_height_m),
    )
    marks = tuple(
        Mark(f"{end} {side}", place.forward_m, place.above_m, place.above_m, first)
        for end, place in (("transom", stern), ("bow", ahead))
        for side in ("port", "starboard")
    )
    over = heights_by_list(boat.at(load=first), marks)
    lines = [
        f'{_quoted(mark.name):<19} = {{ forward = "{_length(mark.forward_m, units)}", '
        f'above = "{_length(mark.above_m, units)}", over_water = "{_length(height, units)}", '
        f"load = {_quoted(first)} }}"
        for mark, height in zip(marks, over, strict=True)
    ]
    return "\n".join(("[freeboard]", *lines, ""))


def _length(value_m: float, units: str) -> str:
    return show(value_m, "length", units, 2)


def _quoted(name: str) -> str:
    return json.dumps(name, ensure_ascii=False)


def weighing_of(taped: Taped, draws: int, seed: int) -> Result:
    """The Result of a weighing that was worked out."""
    summary = {"reasons": {}, **tape_summary(taped)}
    assumed = (
        *assumptions_of(taped.boat),
        *(TRIAL_ASSUMPTIONS[name] for name in ("tape", "tape_form", "hidden_weight")),
    )
    cautions = [Caution.ESTIMATE] + ([Caution.HIDDEN_WEIGHT] if taped.hides_weight else [])
    return Result(
        kind="weighing",
        answer=_answer(taped, summary),
        summary=summary,
        tables={"rows": _rows(taped)},
        plots=(),
        doubt={
            "draws": draws,
            "seed": seed,
            "band": "10 to 90 per cent of the draws",
            "inside": ["the tape", "the shape under water", "the water", "doubted hull measures"],
            "outside": ["places of the marks", "a boat that moves while she is taped"],
        },
        cautions=tuple(code(one) for one in cautions),
        assumptions=assumed,
        sources=sources_of(LAWS, assumed),
        inputs={"load": taped.boat.load, "draws": draws, "seed": seed},
        boat=taped.boat.name,
        notes=(
            "Tape her lying still with nobody on one side, from each mark straight down to the water,"
            " at a load that is known to the pound.",
        ),
    )


def _rows(taped: Taped) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "mark": [mark.name for mark in taped.marks],
            "taped_m": [mark.over_water_m for mark in taped.marks],
            "listed_m": taped.listed_heights_m,
            "refloated_m": taped.heights_m[0],
        }
    )


def _answer(taped: Taped, summary: dict[str, object]) -> Sentence:
    """Weight by the water, by the list, and what to make of the difference."""
    low, high = (summary.get(f"unlisted_mass_kg{end}") for end in ("_p10", "_p90"))
    sure = isinstance(low, float) and isinstance(high, float) and (low > 0.0 or high < 0.0)
    parts: list[str | Value] = [
        f"By the tape {taped.boat.name}, loaded as {taped.boat.load}, weighs ",
        Value(float(taped.mass_kg[0]), "mass", 0),
        " and balances ",
        Value(float(taped.forward_m[0]), "length", 1),
        " forward of the transom; by the list ",
        Value(taped.listed_mass_kg, "mass", 0),
        " at ",
        Value(taped.listed_forward_m, "length", 1),
        ". ",
    ]
    size = Value(abs(taped.unlisted_kg), "mass", 0)
    if not sure:
        parts += ["The difference of ", size, " is no more than the tape can be off."]
    elif taped.unlisted_kg > 0.0:
        parts += [size, " are aboard that nobody listed."]
    else:
        parts += [
            "She floats ",
            size,
            " lighter than listed: look at the marks and the list again.",
        ]
    return Sentence(tuple(parts))
