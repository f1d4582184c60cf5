"""The repower decision: which engine, which propeller, is it allowed, does it pay, and how sure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd

from perf.base.assumptions import FITTINGS, Assumption
from perf.base.results import Result
from perf.boat.choice.parts import Candidate, Candidates, Duty
from perf.boat.parts import Boat
from perf.studies.repower.answer import Found, answer
from perf.studies.repower.draws import (
    Progress,
    Stopped,
    draw_scenes,
    plan_scenes,
    season_boat,
    state,
)
from perf.studies.repower.gather import (
    AIMS,
    PURPOSES,
    Frame,
    Gathered,
    aim_scores,
    gather_drawn,
    gather_stated,
    ranking,
)
from perf.studies.repower.matters import matters_most
from perf.studies.repower.notes import (
    as_she_is_here,
    caution_for,
    cautions,
    duty_spoken,
    notes,
    spoken_doubt,
)
from perf.studies.repower.plots import plots
from perf.studies.repower.propeller import Fitted, Wish, fit_propellers, with_propeller
from perf.studies.repower.ranked import is_no_difference, is_ranked
from perf.studies.repower.rules import heaviest, over_plate, questions_table, rules_table
from perf.studies.repower.scrub import scrub_table
from perf.studies.repower.tables import (
    candidates_table,
    curves_table,
    loads_table,
    money_table,
    pairwise_table,
    season_table,
)
from perf.studies.speeds import LAWS_USED, assumptions_of, sources_of

__all__ = ["PURPOSES", "Progress", "Stopped", "repower"]

MORE_LAWS = (
    "powering_factor",
    "outboard_power_limit",
    "outboard_load_limit",
    "people_weight_limit",
    "people_limit",
    "manoeuvring_threshold",
    "annuity_factor",
    "capital_recovery_factor",
    "present_worth",
    "payback_years",
    "break_even",
    "fouling_allowance",
)
PROPELLERS = {"economy": "economy", "hump": "hump", "speed": "speed", "money": "economy"}


def repower(
    boat: Boat,
    candidates: Candidates,
    duty: Duty,
    *,
    purpose: str = "economy",
    draws: int = 500,
    seed: int = 1,
    progress: Progress | None = None,
) -> Result:
    """Rank candidates for one boat by a purpose, with the doubt of every difference.

    purpose : "economy" (the season's fuel), "hump" (thrust to spare with the heaviest load), "speed"
    (top speed), "money" (net present value). draws : times all doubts are drawn together, 0 for
    none. progress : called with the share done and what is being done; it returns False to stop.

    Raises
    ------
    ValueError for a purpose that is none of PURPOSES; Stopped when progress says so.
    """
    if purpose not in PURPOSES:
        raise ValueError(f'a purpose is one of {", ".join(PURPOSES)}, not "{purpose}"')
    with np.errstate(all="ignore"):
        found, tables, drawn_points = _found(boat, candidates, duty, purpose, draws, seed, progress)
    assumed = _assumptions(found.choices)
    frame = found.frame
    return Result(
        kind="repower",
        answer=answer(found),
        summary=_summary(found),
        tables=tables,
        plots=plots(found, tables),
        doubt=spoken_doubt(found, draws, seed),
        cautions=cautions(found),
        assumptions=assumed,
        sources=sources_of((*LAWS_USED, *MORE_LAWS), assumed),
        inputs={
            "candidates": candidates.name,
            "duty": duty_spoken(duty),
            "currency": duty.currency,
            "purpose": purpose,
            "load": frame.main,
            "heaviest_load": frame.heavy,
            "as_she_is_here": as_she_is_here(boat, duty, frame),
            "wanted_speed_mps": frame.wanted_mps,
            "years": duty.years,
            "discount_rate": duty.discount_rate,
            "seed": seed,
            "draws": draws,
            "points_drawn": drawn_points,
        },
        boat=boat.name,
        notes=notes(found, as_she_is_here(boat, duty, frame)),
    )


def _found(
    boat: Boat,
    candidates: Candidates,
    duty: Duty,
    purpose: str,
    draws: int,
    seed: int,
    progress: Progress | None,
) -> tuple[Found, dict[str, pd.DataFrame], int]:
    """All that was worked out: what the words are made of, the tables, how many points were drawn."""
    frame = frame_of(boat, duty)
    fitted = _fitted(candidates.choices, duty, frame, purpose)
    choices = [one.candidate for one in fitted]
    scenes = state(plan_scenes(choices, duty, frame.loads, (frame.main, frame.wanted_mps)))
    stated = gather_stated(choices, duty, frame, scenes)
    leans, drawn = None, None
    if draws:
        leans = draw_scenes(scenes, draws, seed, progress)
        drawn = gather_drawn(choices, duty, frame, scenes, leans, seed)
    over = [bool(over_plate(choice.boat)) for choice in choices]
    places = ranking(stated.figures, None if drawn is None else drawn.figures, purpose, over)
    both = [choices[at] for at in dict.fromkeys((0, int(np.argmin(places))))]
    found = Found(
        choices,
        duty,
        frame,
        purpose,
        places,
        stated,
        drawn,
        candidates_table(choices, places, stated, drawn, scenes, frame),
        _matters(choices, duty, drawn, purpose, _pair(places), seed),
        scrub_table(both, duty),
    )
    tops = stated.figures["top_speed_mps"][:, 0].tolist()
    tables = {
        "candidates": found.table,
        "rows": curves_table(choices, scenes, leans, frame),
        "loads": loads_table(choices, scenes, leans, frame),
        "propellers": _propellers(fitted),
        "season": season_table(choices, duty, stated),
        "scrubs": found.scrubbing,
        "money": money_table(choices, stated, drawn),
        "pairwise": pairwise_table(choices, drawn),
        "matters_most": found.matters,
        "rules": rules_table(choices, candidates.facts, tops),
        "questions": questions_table(),
    }
    return found, tables, int(sum(scenes.lanes[1:]))


def frame_of(boat: Boat, duty: Duty) -> Frame:
    """Load and speed of the run that goes farthest in a season, the heaviest load, and all loads asked for."""
    running = [run for run in duty.runs if run.kind == "run"]
    main, wanted = boat.load, None
    if running:
        busiest = max(
            running,
            key=lambda run: (
                (run.distance_m or (run.seconds or 0.0) * (run.speed_mps or 1.0))
                * (run.trips or duty.trips)
            ),
        )
        main = busiest.load
        stated = [run for run in running if run.load == main and run.speed_mps is not None]
        wanted = stated[0].speed_mps if stated else None
    heavy = heaviest(boat)
    asked = {main, heavy, *(run.load for run in duty.runs)}
    return Frame(main, heavy, tuple(load for load in boat.load_names if load in asked), wanted)


def _fitted(choices: Sequence[Candidate], duty: Duty, frame: Frame, purpose: str) -> list[Fitted]:
    """Every candidate with its propeller, searched with the bottom of the season."""
    wish = Wish(PROPELLERS[purpose], frame.main, frame.heavy, frame.wanted_mps)
    fouled = [replace(c, boat=season_boat(c.boat, duty)) for c in choices]
    return [
        Fitted(
            replace(c, boat=with_propeller(c.boat, f.candidate.boat.propeller))
            if c.searched
            else c,
            f.tried,
        )
        for f, c in zip(fit_propellers(fouled, wish), choices, strict=True)
    ]


def _pair(places: Any) -> tuple[int, int]:
    """The two whose difference is judged: the first choice and her, or she and the next."""
    order = np.argsort(places, kind="stable")
    first = int(order[0])
    return (first, 0) if first else (int(order[1]) if order.size > 1 else 0, 0)


def _matters(
    choices: Sequence[Candidate],
    duty: Duty,
    drawn: Gathered | None,
    purpose: str,
    pair: tuple[int, int],
    seed: int,
) -> pd.DataFrame:
    if drawn is None:
        return pd.DataFrame(columns=["matter", "weighs", "way"])
    name, _, _ = AIMS[purpose]
    values = drawn.figures[name]
    difference = values[pair[0]] - values[pair[1]]
    if purpose == "money":
        difference = values[pair[0]]  # already against her
    picked = [choices[at] for at in dict.fromkeys(pair)]
    return matters_most(picked, duty, difference, seed)


def _propellers(fitted: Sequence[Fitted]) -> pd.DataFrame:
    tried = [one.tried for one in fitted if len(one.tried)]
    return pd.concat(tried, ignore_index=True) if tried else pd.DataFrame()


def _summary(found: Found) -> dict[str, Any]:
    first, pair = found.first, _pair(found.places)
    row = found.table.iloc[first]
    summary: dict[str, Any] = {
        "first": found.choices[first].name,
        "purpose": found.purpose,
        "ranking": [found.choices[at].name for at in found.order],
        "heaviest_load": found.frame.heavy,
        "judged": [found.choices[at].name for at in pair],
        "ranked": is_ranked(found),
        "no_difference": is_no_difference(found),
        "caution_for": caution_for(found),
    }
    for name in ("will_plane", "top_speed_mps", "hump_margin_n", "time_to_plane_s"):
        for key in (name, f"{name}_p10", f"{name}_p90"):
            if key in row:
                value = float(row[key])
                summary[key] = value if np.isfinite(value) else None
    if found.drawn is not None:
        scores = aim_scores(found.drawn.figures, found.purpose)
        summary["beats_as_she_is"] = (
            None if not first else float(np.mean(scores[first] > scores[0]))
        )
    summary["reasons"] = {
        c.name: f.why_not
        for c, f in zip(found.choices, found.stated.flows, strict=True)
        if f.why_not
    }
    return summary


def _assumptions(choices: Sequence[Candidate]) -> tuple[Assumption, ...]:
    found: dict[str, Assumption] = {}
    for choice in choices:
        found |= {a.name: a for a in assumptions_of(choice.boat)}
        found |= {n: FITTINGS[n] for n in choice.boat.assumed if n in FITTINGS}
    return tuple(found.values())
