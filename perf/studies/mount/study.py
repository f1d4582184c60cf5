"""Hanging the engine: how far back, how high, with which bracket and shaft, and what that does to her."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd

from perf.base.assumptions import MOUNTING
from perf.base.cautions import Caution
from perf.base.results import Result, Sentence
from perf.boat.learned import said_of
from perf.boat.parts import Boat
from perf.laws.water import GRAVITY
from perf.solve.hump import full_throttle_thrust
from perf.solve.performance import Points, points
from perf.studies.mount import curves as mount_curves
from perf.studies.mount import rest as mount_rest
from perf.studies.mount import shallow as mount_shallow
from perf.studies.mount import summary as said
from perf.studies.mount.boats import is_assumed_bracket
from perf.studies.mount.bracket import BracketFlow, bracket_flow, bracket_summary, bracket_table
from perf.studies.mount.each_hole import hole_table, two_or_three
from perf.studies.mount.grid import grid_table
from perf.studies.mount.holes import shaft_table
from perf.studies.mount.setting import CHOSEN, Setting, Wanted
from perf.studies.mount.side import side_numbers
from perf.studies.mount.sideways import local_bottom_m, off_centre_of, sideways, sideways_table
from perf.studies.mount.transom import Bolts, transom_load
from perf.studies.mount.water import model_table, wake_table
from perf.studies.mount.way import doubt_words, way_summary, way_table
from perf.studies.sweeps import drawn_names

__all__ = ["DRAWS", "SEED", "Bolts", "Wanted", "look", "mount", "told"]

Tables = dict[str, pd.DataFrame]

# of what is not known: one number for screen, paper and command, so that they say the same figures
DRAWS, SEED = 60, 1

ONLY_OUTBOARDS = (
    "only outboards are hung by setback and height: a sterndrive's place is fixed by its cut-out"
)
WAKE_SPEEDS = 15
OUTSIDE = (
    "waves and chop at the transom",
    "the pump's own need of pressure",
    "strakes, steps or through-hulls ahead of the propeller",
    "how stiff the transom is",
    "turns",
)


def mount(
    boat: Boat,
    setback_m: Sequence[float] | None = None,
    plate_height_m: Sequence[float] | None = None,
    wanted: Wanted | None = None,
    *,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Result:
    """Where to hang the engine, and what that does to the boat at rest and under way.

    setback_m, plate_height_m : the grid [m]; on the transom and as she is, by mounting holes from
        one below the bottom to ten above, where none are given.
    draws : how many times the doubts are drawn for the bands; 0 for none.

    Raises
    ------
    ValueError
        For a sterndrive, whose place is fixed by its cut-out; for an edge that is none of the three.
    """
    return told(look(boat, setback_m, plate_height_m, wanted, draws=draws, seed=seed))


def look(
    boat: Boat,
    setback_m: Sequence[float] | None = None,
    plate_height_m: Sequence[float] | None = None,
    wanted: Wanted | None = None,
    *,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Setting:
    """What mount tells, before it is told; arguments and errors as there."""
    if boat.engine.drive != "outboard":
        raise ValueError(ONLY_OUTBOARDS)
    with np.errstate(all="ignore"):
        return Setting.of(boat, wanted or Wanted(), setback_m, plate_height_m, draws, seed)


def told(found: Setting) -> Result:
    """The whole study of what was looked at."""
    boat = found.boat
    with np.errstate(all="ignore"):
        flow = _flow(found)
        tables = _tables(found, flow)
        summary = _summary(found, tables, flow)
    return Result(
        kind="mount",
        answer=_answer(found),
        summary=summary,
        tables=tables,
        plots=mount_curves.plots(
            found.advice, found.chosen, found.draws > 0, len(found.setbacks) > 1, found.cruise_mps
        ),
        doubt=_doubt(found),
        cautions=said.cautions(boat, _bits(found, tables, summary)),
        assumptions=said.assumptions(boat),
        sources=said.sources(boat),
        inputs=_inputs(found),
        boat=boat.name,
        notes=_notes(found),
    )


def _answer(found: Setting) -> Sentence:
    """The recommendation, and two holes up or three."""
    return said.answer(found.boat, found.advice, found.shaft, two_or_three(found))


def _flow(found: Setting) -> BracketFlow | None:
    bracket = found.chosen.bracket
    if bracket is None:
        return None
    return bracket_flow(bracket, found.afloat, found.swept.points, found.cruise_mps)


def _tables(found: Setting, flow: BracketFlow | None) -> Tables:
    """Every table of the study; rows is the grid."""
    wanted, one = found.wanted, found.swept
    off = off_centre_of(found.boat, wanted.off_centre_m)
    rest = mount_rest.at_rest({CHOSEN: found.chosen, found.other_name: found.other})
    lift = MOUNTING["lift_plate"].value if wanted.lift_m is None else wanted.lift_m
    greatest = float(np.nanmax(full_throttle_thrust(found.afloat, one.points)[0]))
    bolts = wanted.bolts or Bolts.of(found.chosen)
    tables = {
        "rows": grid_table(found.grid_boats, found.grid.swept, found.grid.at),
        "each_hole": hole_table(found),
        "at_rest": mount_rest.rest_table(rest, mount_rest.edges_of(found.boat, wanted.edges)),
        "with_without": way_table(found.way),
        "wake_models": model_table(found.afloat, found.at, off),
        "shaft": shaft_table(found.advice, found.boat.hull, wanted.drop_m),
        "transom_load": transom_load(found.chosen, greatest, bolts, wanted.slam_factor),
        "shallow": mount_shallow.shallow_table(found.afloat, one, found.at, lift),
        "critical": mount_shallow.critical_table(),
        "sideways": sideways_table(sideways(found.chosen, one, found.speed_mps, off)),
        "wake": wake_table(found.afloat, _planing_points(found), off),
        "by_height": mount_curves.height_curve(
            found.advices, found.advice, found.index, found.ladder
        ),
    }
    if len(found.setbacks) > 1:
        advice = [found.advices.each[found.places.index(place)] for place in found.setbacks]
        tables["by_setback"] = mount_curves.setback_curve(advice, *found.by_setback)
    if flow is not None:
        tables["bracket"] = bracket_table(flow)
    return tables


def _planing_points(found: Setting) -> Points:
    """The boat as drawn at rising speeds from where she planes to top speed."""
    one = found.swept
    pace, trims = one.points.speed_mps[0], one.points.drive_trim_deg[0]
    top, low = float(one.top.speed_mps[0]), float(one.hump.slowest_planing_mps[0])
    top = top if np.isfinite(top) else 0.5 * float(pace[-1])
    low = min(low, 0.9 * top) if np.isfinite(low) else 0.5 * top
    speed = np.linspace(low, top, WAKE_SPEEDS)
    return points(found.afloat, speed[None, :], np.interp(speed, pace, trims)[None, :])


def _summary(
    found: Setting, tables: Mapping[str, pd.DataFrame], flow: BracketFlow | None
) -> dict[str, Any]:
    summary = said.key_figures(found.way, found.row, found.cruise_mps)
    summary["reasons"] = said.reasons(summary)
    summary["recommendation"] = said.recommendation(found.advice, found.shaft, found.limits)
    summary["with_without"] = way_summary(found.way)
    summary["water"] = _water(found, tables["wake_models"])
    summary["side"] = side_numbers(found.chosen, found.afloat, found.at, found.speed_mps)
    bracket = found.chosen.bracket
    if bracket is not None and flow is not None:
        carried = mount_rest.carries(tables["at_rest"], CHOSEN, found.boat.load)
        summary["bracket"] = bracket_summary(bracket, flow, *carried, bracket.mass_kg * GRAVITY)
    return summary


def _water(found: Setting, models: pd.DataFrame) -> dict[str, Any]:
    rises = models["rise_m"].to_numpy(dtype=float)
    off = off_centre_of(found.boat, found.wanted.off_centre_m)
    return {
        "speed_mps": found.speed_mps,
        "trim_deg": float(found.at.trim_deg[0, 0]),
        "rise_low_m": float(np.min(rises)),
        "rise_high_m": float(np.max(rises)),
        "off_centre_m": off,
        "bottom_over_keel_there_m": local_bottom_m(found.boat, off),
        "transom": str(wake_table(found.afloat, found.at, off)["transom"].iloc[0]),
    }


def _bits(found: Setting, tables: Mapping[str, pd.DataFrame], summary: Mapping[str, Any]) -> int:
    bits = int(found.at.cautions[0, 0]) | int(found.swept.top.cautions[0])
    bracket = summary.get("bracket", {"hangs_below_m": 0.0, "wet_up_to_mps": None})
    sole = mount_rest.SOLE in mount_rest.edges_of(found.boat, found.wanted.edges)
    fits = tables["wake_models"]["reach"].iloc[:-1]  # the straight wake has no range to leave
    depth, rest = found.wanted.water_depth_m, tables["at_rest"]
    for caution, met in (
        (Caution.WAKE_OUTSIDE, not fits.eq("inside").all()),
        (Caution.BRACKET_LOW, bracket["hangs_below_m"] > 0.0),
        (Caution.BRACKET_WET, bracket["wet_up_to_mps"] is not None),
        (Caution.FLOODING, mount_rest.floods(rest[rest["hung"] == CHOSEN])),
        (Caution.SECOND_HAND_SOLE, sole),
        (Caution.HELM, len(tables["sideways"]) > 0),
        (Caution.CRITICAL_DEPTH, mount_shallow.is_critical(found.speed_mps, depth)),
    ):
        bits |= int(caution) if met else 0
    return bits


def _doubt(found: Setting) -> dict[str, Any]:
    if not found.draws:
        return {"draws": 0, "band": "none drawn", "outside": list(OUTSIDE)}
    return {
        "draws": found.draws,
        "seed": found.seed,
        "band": "10 to 90 per cent of the draws; a draw in which she does not plane counts as the worst",
        "inside": list(drawn_names(found.boat)),
        "outside": list(OUTSIDE),
    }


def _inputs(found: Setting) -> dict[str, Any]:
    return {
        "load": found.boat.load,
        "tank": found.boat.loaded.tank,
        "setback_m": found.setbacks,
        "plate_height_m": found.heights,
        "at_setback_m": found.chosen.mounting.setback_m,
        "at_plate_height_m": found.chosen.mounting.plate_height_m,
        "speed_mps": found.speed_mps,
        "holes": found.wanted.holes,
        "drop_m": found.wanted.drop_m,
        "seed": found.seed,
        "draws": found.draws,
    }


def _notes(found: Setting) -> tuple[str, ...]:
    way = found.way
    notes = [f"Engine {way.names[0]} against {way.names[1]}; {doubt_words(way)}."]
    if is_assumed_bracket(found.boat, way.boats[0]):
        notes.append(
            "The boat file has no bracket: a plain one of assumed weight, without buoyancy, is hung "
            "wherever the engine goes farther back than it hangs."
        )
    return (*notes, *said_of(found.boat))
