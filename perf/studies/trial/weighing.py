"""A weighing by tape, as a Result: weight and balance by the water against those by the list."""

from __future__ import annotations

import pandas as pd

from perf.base.cautions import Caution, code
from perf.base.results import Result, Sentence, Value
from perf.base.trial_assumptions import TRIAL_ASSUMPTIONS
from perf.boat.parts import Boat
from perf.studies.speeds import assumptions_of, sources_of
from perf.studies.trial.study import tape_summary
from perf.studies.trial.tape import Taped, weigh_by_tape

LAWS = ("water_density", "height_over_water")


def weighing(boat: Boat, *, draws: int = 200, seed: int = 1) -> Result:
    """Weigh a boat by the marks of her file; TapeFault where they cannot weigh her."""
    return weighing_of(weigh_by_tape(boat, draws=draws, seed=seed), draws, seed)


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
