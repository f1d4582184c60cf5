"""What a trial says in sentences: the answer, and notes on the log, the fit and the hints."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd

from perf.base.results import Sentence, Value
from perf.boat.log.file import Log
from perf.boat.log.steady import Steady, compass_word
from perf.boat.parts import Boat, Trial
from perf.studies.trial.fit import Fit
from perf.studies.trial.judge import NOTHING
from perf.studies.trial.tables import FACTOR_WORDS, told

Part = str | Value

LEAST_TOLD = 0.005  # a factor that moved less has not moved


def answer_of(boat: Boat, fit: Fit, trial: Trial, summary: Mapping[str, Any]) -> Sentence:
    """Before and after, and what moved, as it could be spoken on a dock."""
    count = int(summary["runs_used"])
    runs = "one steady run" if count == 1 else f"{count} steady runs"
    parts: list[Part] = [f"{runs.capitalize()} with {boat.name}. "]
    parts += _top(summary)
    parts += _burn(summary)
    parts.append(_moved(fit, trial))
    return Sentence(tuple(parts))


def _top(summary: Mapping[str, Any]) -> list[Part]:
    after, before = summary["top_speed_mps"], summary["filed_top_speed_mps"]
    if after is None:
        return ["Loaded as her file says she does not get on plane. "]
    said: list[Part] = ["Flat out she does ", *_with_band(summary, "top_speed_mps", "speed", 0)]
    if before is not None:
        said += [", by the file alone ", *_with_band(summary, "filed_top_speed_mps", "speed", 0)]
    return [*said, ". "]


def _burn(summary: Mapping[str, Any]) -> list[Part]:
    cruise, after = summary["trial_cruise_mps"], summary["trial_cruise_lph"]
    if cruise is None or after is None:
        return []
    said: list[Part] = ["At ", Value(cruise, "speed", 0), " she burns "]
    said += _with_band(summary, "trial_cruise_lph", "fuel flow", 1)
    if summary["filed_cruise_lph"] is not None:
        said += [", by the file alone ", *_with_band(summary, "filed_cruise_lph", "fuel flow", 1)]
    return [*said, ". "]


def _with_band(summary: Mapping[str, Any], name: str, kind: str, digits: int) -> list[Part]:
    low, high = (summary.get(name + end) for end in ("_p10", "_p90"))
    said: list[Part] = [Value(summary[name], kind, digits)]
    if low is None or high is None:
        return said
    return [*said, " (", Value(low, kind, digits), " to ", Value(high, kind, digits), ")"]


def _moved(fit: Fit, trial: Trial) -> str:
    """What the log could tell of the factors."""
    known = told(fit, trial)
    if not known:
        return "The log cannot tell the single causes apart: together they are surer, one by one they stay as assumed."
    words = [_factor_words(field, float(getattr(trial, field))) for field in known]
    return f"It tells {_listed(words)}; the rest stays as assumed."


def _factor_words(field: str, value: float) -> str:
    name = FACTOR_WORDS[field]
    if field == "balance_m":
        way = "forward" if value > 0.0 else "aft"
        return f"a {name} farther {way}" if abs(value) > LEAST_TOLD else f"a {name} as listed"
    off = value - 1.0
    if abs(off) < LEAST_TOLD:
        return f"{name} as published"
    return f"{name} {100.0 * abs(off):.0f} % {'over' if off > 0.0 else 'under'} the published"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


# --- notes ----------------------------------------------------------------------------------------------


def earlier_of(boat: Boat) -> tuple[str, ...]:
    """What became of a trial that her file holds already."""
    if boat.trial == Trial():
        return ()
    return (
        "The trial her file holds already was set aside before this log was fitted: nothing counts twice.",
    )


def notes_of(
    fit: Fit, steady: Steady, log: Log | None, misfit: float, hints: pd.DataFrame
) -> tuple[str, ...]:
    """How the log was read, what was not counted, and what the hints are worth."""
    notes = []
    if log is not None:
        read = f"{log.name}: {log.count:,} rows read"
        aside = f", {log.damaged} set aside (they stand below)" if log.damaged else ""
        said = ". ".join(part[:1].upper() + part[1:] for part in (*log.said, *steady.said))
        notes.append(f"{read}{aside}. {said}.".replace(". .", "."))
    if np.isfinite(steady.current_mps) and (log is None or log.compass):
        way = compass_word(steady.current_to_deg)
        notes.append(f"By the runs there and back the current set {way}.")
    if fit.aside:
        where = _listed([fit.runs.where[at] for at in fit.aside])
        notes.append(
            f"Stands out from the rest and was not counted: {where}. Look at that run again."
        )
    if fit.scatter > 1.0:
        notes.append(
            f"The readings scatter {fit.scatter:.1f} times as much as their meters should: every band was widened by that."
        )
    notes.append(_judged(misfit, hints))
    if not fit.closed:
        notes.append(
            "The search ended at its limit of steps: what is shown is near the best, not quite at it."
        )
    return tuple(notes)


def _judged(misfit: float, hints: pd.DataFrame) -> str:
    if misfit <= NOTHING:
        return "The file alone explains the log as well as its meters can show: there is nothing to look for."
    if hints.empty:
        return (
            "The file alone misses the log, but no single cause explains it: look at the log first."
        )
    return (
        "The hints are single causes in the order of what each explains by itself. Two may explain the"
        " same log, and the true one may be a third: a licensed mechanic or surveyor decides."
    )
