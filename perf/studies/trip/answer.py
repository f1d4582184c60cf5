"""A trip worked out, as a Result: answer, run by run, the fuel line, the reach, cautions, what it rests on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from perf.base.assumptions import ASSUMPTIONS, Assumption
from perf.base.cautions import Caution, codes
from perf.base.quantities import LITRES
from perf.base.results import Result
from perf.base.trip_assumptions import SEA_STATES, TRIP_ASSUMPTIONS
from perf.base.units import show
from perf.boat.learned import said_of
from perf.studies.speeds import LAWS_USED, assumptions_of, sources_of
from perf.studies.spread import band
from perf.studies.trip.plots import plots_of
from perf.studies.trip.table import bits_of, fuel_line, runs_table
from perf.studies.trip.words import answer_of

if TYPE_CHECKING:
    from perf.studies.trip.study import Found

Array = NDArray[np.float64]

TRIP_LAWS = (
    "added_resistance_1980",
    "acceleration_1980",
    "bow_acceleration_1980",
    "heading_share",
    "effective_head_wind",
    "ground_speed",
)
LAWS_1976 = ("added_resistance_1976", "acceleration_1976", "highest_average")
EDGES = ("_p10", "_p90")


def result_of(found: Found) -> Result:
    """The whole Result of a trip."""
    summary = _summary(found)
    tables = {"rows": runs_table(found), "fuel_line": fuel_line(found)}
    if found.reach is not None:
        tables |= {"reach": found.reach.by_speed, "around": found.reach.around}
    assumed = (*assumptions_of(found.boat), *_trip_assumptions(found))
    laws = (*LAWS_USED, *TRIP_LAWS, *LAWS_1976)
    sources = dict.fromkeys(sources_of(laws, assumed))
    sources |= dict.fromkeys(("US Coast Guard Auxiliary", "Karney 2013"))
    return Result(
        kind="trip",
        answer=answer_of(found, summary),
        summary=summary,
        tables=tables,
        plots=plots_of(found, summary),
        doubt=_doubt(found),
        cautions=_cautions(found),
        assumptions=assumed,
        sources=tuple(sources),
        inputs=_inputs(found),
        boat=found.boat.name,
        notes=_notes(found),
    )


# --- key figures --------------------------------------------------------------------------------------


def _summary(found: Found) -> dict[str, Any]:
    stated, drawn = found.stated, found.drawn
    time, far = stated.spent.time_s[0], stated.spent.distance_m[0]
    total = float(stated.total_m3[0])
    usable = float(stated.level.usable_m3[0])
    summary: dict[str, Any] = {
        "trip_fuel_m3": total,
        "trip_time_s": float(np.sum(time)),
        "trip_distance_m": float(np.sum(far)),
        "trip_mileage_m_per_l": float(np.sum(far)) / (total * LITRES) if total > 0.0 else np.nan,
        "usable_at_start_m3": usable,
        "arrival_fuel_m3": max(float(stated.left_m3[0, -1]), 0.0),
        "kept_back_m3": found.reserve_m3,
        "spare_m3": float(stated.least_left_m3[0]) - found.reserve_m3,
        "reasons": {},
    }
    if drawn is not None:
        left = np.maximum(np.nan_to_num(drawn.left_m3[:, -1]), 0.0)
        bands = {
            "trip_fuel_m3": band("trip_fuel_m3", drawn.total_m3[:, None]),
            "trip_time_s": band("trip_time_s", np.sum(drawn.spent.time_s, axis=1)[:, None]),
            "usable_at_start_m3": band("usable_at_start_m3", drawn.level.usable_m3[:, None]),
            "arrival_fuel_m3": band("arrival_fuel_m3", left[:, None]),
        }
        for name, ends in bands.items():
            summary |= {name + end: float(e[0]) for end, e in zip(EDGES, ends, strict=True)}
        least = drawn.least_left_m3
        summary["chance_reserve_broken"] = float(np.mean(least < found.reserve_m3))
        summary["chance_dry"] = float(np.mean(least < 0.0))
    summary |= _reach_figures(found)
    if found.factor.fill_ups:
        summary["fuel_factor"] = found.factor.factor
    return _numbers(summary)


def _reach_figures(found: Found) -> dict[str, Any]:
    reach = found.reach
    if reach is None:
        return {}
    figures = {
        "farthest_m": reach.best_m,
        "farthest_round_m": 2.0 * reach.best_m,
        "farthest_speed_mps": reach.best_speed_mps,
        "here_speed_mps": reach.here_speed_mps,
        "reach_here_m": reach.here_m,
        "three_less_m": reach.three_less_m,
        "reach_least_m": float(np.min(reach.around["reach_m"])),
    }
    if found.drawn is not None:
        figures |= {"farthest_m_p10": reach.best_low_m, "farthest_m_p90": reach.best_high_m}
    return figures


WHY_NOT = {
    "farthest_m": "no speed was found that full throttle holds in calm water at this load",
    "farthest_round_m": "no speed was found that full throttle holds in calm water at this load",
    "farthest_speed_mps": "no speed was found that full throttle holds in calm water at this load",
    "three_less_m": "three knots less is slower than the reach was worked out for",
    "reach_here_m": "the speed of this trip is not held in calm water at this load",
    "reach_least_m": "she makes no way in some direction in this weather",
}


def _numbers(summary: dict[str, Any]) -> dict[str, Any]:
    """The figures, None and a reason where one does not exist."""
    for name, value in list(summary.items()):
        if isinstance(value, float) and not np.isfinite(value):
            summary[name] = None
            bare = name.removesuffix("_p10").removesuffix("_p90")
            if bare == name:
                summary["reasons"][name] = WHY_NOT.get(name, "a run has no answer: see its status")
    return summary


# --- cautions, doubt, what it rests on ------------------------------------------------------------


def _cautions(found: Found) -> tuple[str, ...]:
    bits = int(Caution.TRIP) | int(Caution.WEATHER)  # TRIP says what ESTIMATE says, of a trip
    for row in found.stated.spent.at.cautions[:, 0][~found.stated.voyage.standing[0]]:
        bits |= int(row)
    for own in bits_of(found):
        bits |= int(own)
    least = float(found.stated.least_left_m3[0])
    if least < found.reserve_m3:
        bits |= int(Caution.RESERVE_BROKEN)
    if least < 0.0:
        bits |= int(Caution.RUNS_DRY)
    if found.stated.level.by_gauge:
        bits |= int(Caution.FUEL_GAUGE)
    return codes(bits)


def _doubt(found: Found) -> dict[str, Any]:
    if found.drawn is None:
        return {"draws": 0, "band": "none drawn"}
    lost = np.isnan(found.drawn.total_m3)
    slow = ~found.drawn.spent.held
    return {
        "draws": found.draws,
        "seed": found.seed,
        "band": "10 to 90 per cent of the draws; a draw with no answer counts as the worst",
        "inside": list(_drawn_names(found)),
        "outside": [
            "breaking or crossing seas, surf and tide rips",
            "shallow water",
            "a hooked or rockered bottom",
            "damage to hull or propeller",
            "detours and time spent manoeuvring",
        ],
        "share_without_answer": float(np.mean(lost)),
        "share_not_holding_speed": {
            run.name: float(share)
            for run, share in zip(found.trip.runs, np.mean(slow, axis=0), strict=True)
            if share > 0.0
        },
        "sweeps_stated": found.stated.spent.sweeps,
        "sweeps_drawn": found.drawn.spent.sweeps,
        "engine_calls": found.stated.spent.engine_calls + found.drawn.spent.engine_calls,
        "settled": found.stated.spent.settled and found.drawn.spent.settled,
    }


def _drawn_names(found: Found) -> Iterable[str]:
    yield from (path for path, _ in found.boat.doubts)
    yield from (f"assumed.{name}" for name, a in ASSUMPTIONS.items() if a.half_width)
    yield from (path for path, _ in found.trip.doubts)
    yield from (f"assumed.{a.name}" for a in _trip_assumptions(found) if a.half_width)


def _trip_assumptions(found: Found) -> tuple[Assumption, ...]:
    """Those assumptions of trips that this one rests on."""
    weather = [run.weather for run in found.trip.runs]
    given = {path.rpartition(".")[2] for path, _ in found.trip.doubts}
    waves = any(w.wave_height_m for w in weather) or found.reach is not None
    moving = any(w.wind_mps or w.current_mps for w in weather) or found.reach is not None
    truth = found.trip.tank
    level = found.boat.loaded.tank if truth.level is None else truth.level
    used = {
        "sea_drag": waves,
        "sea_beam": waves,
        "sea_following": waves,
        "forecast_sea": waves and not ("wave_height" in given and found.reach is None),
        "forecast_wind": moving,
        "tank_fill": truth.fill is None,
        "gauge": truth.gauge_error is None and truth.since_fill_m3 is None and level < 1.0,
        "log_scatter": found.factor.fill_ups > 0,
    }
    return tuple(a for name, a in TRIP_ASSUMPTIONS.items() if used[name])


def _inputs(found: Found) -> dict[str, Any]:
    reserve = found.trip.reserve
    return {
        "trip": found.trip.name,
        "load": found.boat.load,
        "runs": len(found.trip.runs),
        "reserve": "a quantity" if reserve.quantity_m3 is not None else reserve.share,
        "seat": found.trip.seat or "balance point",
        "bearing_is_true": found.reach is None or found.reach.bearing_is_true,
        "lightens": found.trip.lightens,
        "draws": found.draws,
        "seed": found.seed,
    }


def both(si: float, kind: str) -> str:
    """A figure of a note in both tongues, as notes are not converted."""
    return f"{show(si, kind, 'us', 0)} ({show(si, kind, 'metric', 1)})"


def _notes(found: Found) -> tuple[str, ...]:
    notes = []
    if found.trip.reserve.quantity_m3 is None and found.trip.reserve.share == 1.0 / 3.0:
        notes.append(
            "Rule of thirds, as the US Coast Guard Auxiliary teaches it: a third of the usable fuel out, a third"
            " back, a third kept back."
        )
    if found.reach is not None:
        seas = "; ".join(
            f"{s.name} is waves of {both(s.wave_height_m, 'length')} and a wind of {both(s.wind_mps, 'speed')}"
            for s in SEA_STATES
            if s.wave_height_m
        )
        notes.append(
            f"Reach by sea: {seas}, met head-on going out and from astern coming home (ours, assumed)."
        )
    if found.factor.fill_ups:
        count = found.factor.fill_ups
        notes.append(
            f"The log of {count} fill-up{'s' * (count > 1)} makes the burn {found.factor.factor:.2f} times the"
            f" worked-out burn (within ± {found.factor.half_width:.2f})."
        )
    if not found.stated.spent.settled or (found.drawn and not found.drawn.spent.settled):
        notes.append("The fuel did not settle to a thousandth in four sweeps: read it with care.")
    return (*notes, *said_of(found.boat))
