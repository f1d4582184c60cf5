"""How sure is it: every law beside its published rows, whole boats beside what was measured.

Evidence and calibration stand apart: a row that some number was tuned to, or that was in view when
it was set, is calibration (hull_data/measured/split.csv) and is never counted as evidence.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import pandas as pd

from perf.base.assumptions import ASSUMPTIONS, Assumption
from perf.base.results import Result, Sentence
from perf.base.sources import LAWS, Basis
from perf.base.tables import read_table
from perf.laws.technology import TECHNOLOGIES, Technology
from perf.studies.evidence.combinations import choice_table, combination_table
from perf.studies.evidence.how_sure import each, how_sure_markdown
from perf.studies.evidence.law_checks import law_table, oracle_rows
from perf.studies.evidence.model_checks import ModelCheck, model_checks
from perf.studies.evidence.scores import (
    CHOOSING,
    HELD_BACK,
    SMALL_M,
    WHAT,
    Cases,
    Scored,
    assumed_inputs,
    read_checks,
    scored,
    split,
)
from perf.studies.evidence.trials import trial_tables

__all__ = ["evidence", "how_sure_markdown", "tuned_rows"]

BAND = "10 to 90 per cent of the draws of what is not known for sure, boat by boat"
DRAWS, LONG_DRAWS = 100, 1000
SEED = 1
WEAK = (Basis.RECALLED, Basis.PRACTICE, Basis.ASSUMED)
OWNERS = "owners' logs"
ENGINE_NOTE = "Full-throttle and part-load burn of this kind of engine."


def evidence(long: bool = False, *, seed: int = SEED) -> Result:
    """Everything that says how far to trust the tool, worked out now; long draws ten times as often.

    Tables: laws, evidence, calibration, by_figure, combinations, choices, recalled, not_scored, trials,
    trials_in_short, trial_coverage (which long works out anew, some minutes).
    Values of whole boats are SI with their kind beside them; error is ours over measured, less one.
    """
    draws = LONG_DRAWS if long else DRAWS
    checks = read_checks()
    with np.errstate(all="ignore"):
        cases = Cases.of(checks)
        boats = scored(checks, cases, draws, seed)
        models = model_checks()
        held = [check for check in checks if check.use == HELD_BACK]
        combined = combination_table(held, cases)
        laws = law_table()
        trials = trial_tables(long, DRAWS)
    proof = [one for one in boats if one.check.use == HELD_BACK]
    used = [one for one in boats if one.check.use == CHOOSING]
    summary = _summary(proof, laws, combined)
    tables = {
        "laws": laws,
        "evidence": pd.concat([_whole(proof), _by_method(models)], ignore_index=True),
        "calibration": pd.concat([_whole(used), _used_rows(used)], ignore_index=True),
        "by_figure": by_figure(proof),
        "calibration_by_figure": by_figure(used),
        "combinations": combined,
        "choices": choice_table(combined),
        "recalled": _recalled(laws),
        "not_scored": _not_scored(),
        **trials,
    }
    return Result(
        kind="evidence",
        answer=_answer(summary),
        summary=summary,
        tables=tables,
        plots=(),
        doubt={"draws": draws, "seed": seed, "band": BAND},
        cautions=("estimate",),
        assumptions=tuple(a for a in ASSUMPTIONS.values() if a.tuned_to),
        sources=_sources(laws, models),
        inputs={"long": long, "seed": seed},
        boat="",
    )


def tuned_rows(
    assumptions: Iterable[Assumption | Technology] | None = None,
) -> dict[str, set[str]]:
    """Measured sets that each tuned assumption or kind of engine names; words that are no set are passed over."""
    known = set(split())
    found = {}
    for about in _tuned() if assumptions is None else assumptions:
        words = {w.rstrip(".") for said in about.tuned_to for w in re.findall(r"[\w.-]+", said)}
        if words & known:
            found[about.name] = words & known
    return found


# --- whole boats -------------------------------------------------------------------------------


def _whole(rows: Sequence[Scored]) -> pd.DataFrame:
    assumed = assumed_inputs()
    return pd.DataFrame(
        {
            "set": [one.check.id for one in rows],
            "subject": [" ".join((one.check.boat, *one.check.loads)) for one in rows],
            "what": [one.check.what for one in rows],
            "kind": [one.check.kind for one in rows],
            "length_m": [one.length_m for one in rows],
            "at_speed_mps": [one.check.at_mps for one in rows],
            "measured_low": [one.check.low for one in rows],
            "measured_high": [one.check.high for one in rows],
            "ours": [one.ours for one in rows],
            "p10": [one.p10 for one in rows],
            "p90": [one.p90 for one in rows],
            "error": [one.error for one in rows],
            "inside": pd.array([one.inside for one in rows], dtype="object"),
            "source": OWNERS,
            "note": [one.check.note for one in rows],
            "assumed": [" ".join(assumed[one.check.boat]) for one in rows],
        }
    )


def _by_method(rows: Sequence[ModelCheck]) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "set": [one.id for one in rows],
            "subject": [one.subject for one in rows],
            "what": [one.what for one in rows],
            "kind": [one.kind for one in rows],
            "measured_low": [one.low for one in rows],
            "measured_high": [one.high for one in rows],
            "ours": [one.ours for one in rows],
            "error": [one.error for one in rows],
            "inside": pd.array([None] * len(rows), dtype="object"),
            "source": [one.source for one in rows],
            "note": [one.note for one in rows],
        }
    )


def by_figure(rows: Sequence[Scored]) -> pd.DataFrame:
    """For each kind of figure: rows, boats, rows inside the band, mean error and mean size of it.

    Top speed is split at SMALL_M, because one mean would hide that small boats miss the other way.
    """
    lines = []
    for what in WHAT:
        some = [one for one in rows if one.check.what == what]
        if what == "top speed":
            small = [one for one in some if one.length_m < SMALL_M]
            large = [one for one in some if one.length_m >= SMALL_M]
            lines += [_line(f"top speed, boats under {SMALL_M} m", small)] if small else []
            lines += [_line(f"top speed, boats of {SMALL_M} m and more", large)] if large else []
        elif some:
            lines.append(_line(what, some))
    return pd.DataFrame(lines)


def _line(what: str, rows: Sequence[Scored]) -> dict[str, object]:
    errors = np.array([one.error for one in rows])
    known = errors[np.isfinite(errors)]
    return {
        "what": what,
        "rows": len(rows),
        "sets": len({one.check.boat for one in rows}),
        "inside": sum(bool(one.inside) for one in rows),
        "mean_error": float(np.mean(known)) if known.size else np.nan,
        "mean_size": float(np.mean(np.abs(known))) if known.size else np.nan,
    }


# --- what is calibration, what is recalled --------------------------------------------------------


def _used_rows(scored_rows: Sequence[Scored]) -> pd.DataFrame:
    """Choosing sets that no boat is worked out for, and everything named in a tuned_to."""
    worked = {one.check.id for one in scored_rows}
    table = read_table("measured/split.csv")
    lines = [
        {"set": row["id"], "what": "may be used for tuning", "note": row["reason"]}
        for row in table.rows
        if row["use"] == CHOOSING and row["id"] not in worked
    ]
    lines += [
        {"set": "; ".join(a.tuned_to), "subject": a.name, "what": "tuned to", "note": a.sentence}
        for a in ASSUMPTIONS.values()
        if a.tuned_to
    ]
    lines += [
        {
            "set": "; ".join(kind.tuned_to),
            "subject": kind.name,
            "what": "tuned to",
            "note": ENGINE_NOTE,
        }
        for kind in TECHNOLOGIES.values()
        if kind.tuned_to
    ]
    return pd.DataFrame(lines)


def _tuned() -> tuple[Assumption | Technology, ...]:
    """Everything of ours that may name the rows it was tuned to."""
    return (*ASSUMPTIONS.values(), *TECHNOLOGIES.values())


def _recalled(laws: pd.DataFrame) -> pd.DataFrame:
    """Laws and assumptions that rest on memory, on the trade's word or on our own judgement."""
    weak = {basis.value for basis in WEAK}
    lines = [
        {
            "what": "law",
            "name": row.law,
            "basis": row.basis,
            "said": row.title,
            "checks": row.checks,
        }
        for row in each(laws)
        if row.basis in weak
    ]
    lines += [
        {"what": "assumption", "name": a.name, "basis": a.basis.value, "said": a.sentence}
        for a in ASSUMPTIONS.values()
        if a.basis in WEAK
    ]
    return pd.DataFrame(lines)


def _not_scored() -> pd.DataFrame:
    table = read_table("measured/not_scored.csv")
    return pd.DataFrame({"set": table.texts("id"), "note": table.texts("reason")})


# --- in short -----------------------------------------------------------------------------------


def _summary(proof: Sequence[Scored], laws: pd.DataFrame, combined: pd.DataFrame) -> dict[str, Any]:
    inside = [bool(one.inside) for one in proof]
    by_boat: dict[str, list[bool]] = {}
    for one in proof:
        by_boat.setdefault(one.check.boat, []).append(bool(one.inside))
    guards = read_table("mutation.csv")
    default = combined[combined["default"]].iloc[0]
    whole = combined[combined["lost"] == default["lost"]]
    return {
        "laws": len(laws),
        "laws_without_check": int(np.count_nonzero(laws["checks"] == 0)),
        "law_checks": len(oracle_rows()),
        "law_checks_failing": int(np.count_nonzero(laws["worst"] > 1.0)),
        "worst_over_tolerance": float(laws["worst"].max()),
        "held_back_figures": len(proof),
        "held_back_boats": len(by_boat),
        "inside_band": sum(inside),
        "share_inside_band": float(np.mean(inside)),
        "share_inside_band_by_boat": float(np.mean([np.mean(some) for some in by_boat.values()])),
        "default_score": float(default["mean"]),
        "default_rank": int(np.count_nonzero(whole["mean"] < default["mean"])) + 1,
        "combinations": len(combined),
        "constants": int(guards.numbers("constants").sum()),
        "constants_unguarded": int(guards.numbers("unguarded").sum()),
    }


def _answer(summary: dict[str, Any]) -> Sentence:
    share = summary["share_inside_band"]
    return Sentence(
        (
            f"Of {summary['held_back_figures']} figures measured on"
            f" {summary['held_back_boats']} boats that nothing was tuned to,"
            f" {summary['inside_band']} lie inside the printed band: {100.0 * share:.0f} in 100, where"
            f" an honest band would hold 80. The {summary['laws']} rules it works with stand against"
            f" {summary['law_checks']} checks, each a published value or the same thing worked out a"
            f" second way: {summary['law_checks_failing']} rules fail one,"
            f" {summary['laws_without_check']} have none.",
        )
    )


def _sources(laws: pd.DataFrame, models: Sequence[ModelCheck]) -> tuple[str, ...]:
    keys = [LAWS[name].source for name in laws["law"]] + [one.source for one in models]
    return tuple(dict.fromkeys([*keys, OWNERS]))
