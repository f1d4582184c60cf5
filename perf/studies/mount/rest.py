"""At rest: draughts, trim, and how high the edges that let water in stand, at any load."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from perf.base.assumptions import MOUNTING
from perf.boat.fleet import Fleet
from perf.boat.numbers import NO_BRACKET
from perf.boat.parts import Boat, Load, Place
from perf.laws.cockpit import sole_height_wanted
from perf.laws.hull_lines import hull_marks
from perf.laws.water import GRAVITY
from perf.solve.flotation import REST_WORDS, BuoyantBox, Flotation, Rest, float_at_rest, freeboard
from perf.solve.flotation import hull_form as form_of

SCUPPER, SOLE, SPLASH_WELL = "scupper", "sole", "splash well"
EDGES = (SCUPPER, SOLE, SPLASH_WELL)
FULL, AFT = "full fuel", "everyone and all gear aft"


@dataclass(frozen=True, eq=False)
class AtRest:
    """Boats afloat at rest, one row each: what each is called, and the flotation."""

    boats: tuple[Boat, ...]
    hangs: tuple[str, ...]
    fleet: Fleet
    floating: Flotation


def at_rest(named: Mapping[str, Boat]) -> AtRest:
    """Boats by how their engine hangs, each at her own loads, with full fuel and with everyone aft."""
    boats: list[Boat] = []
    hangs: list[str] = []
    for hang, boat in named.items():
        for loaded in loads_of(boat):
            boats.append(loaded)
            hangs.append(hang)
    fleet = Fleet.of(boats)
    return AtRest(tuple(boats), tuple(hangs), fleet, floating(fleet))


def floating(fleet: Fleet) -> Flotation:
    """The flotation of every row of a fleet, flotation brackets in the water included."""
    lanes = fleet.lanes
    box = BuoyantBox(lanes.bracket_width_m, lanes.bracket_length_m, lanes.bracket_bottom_m)
    volume = lanes.mass_kg / lanes.water_density
    return float_at_rest(
        form_of(lanes), volume, lanes.forward_m, box, balance_above_m=lanes.above_m
    )


def loads_of(boat: Boat) -> tuple[Boat, ...]:
    """The boat at each of her loads, then at the one that is meant with full fuel, then with all aft."""
    own = tuple(boat.at(load=name) for name in boat.load_names)
    full = _renamed(boat.at(tank=1.0), FULL)
    return (*own, full, _renamed(_all_aft(boat), AFT))


def _renamed(boat: Boat, name: str) -> Boat:
    meant = boat.loaded
    return replace(boat, load=name, loads=(Load(name, meant.aboard, meant.tank),), tank_level=None)


def _all_aft(boat: Boat) -> Boat:
    """Everything that comes and goes, no farther forward than the place assumed for a crowd aft."""
    place = MOUNTING["aft_place"].value
    moved = tuple(replace(w, forward_m=min(w.forward_m, place)) for w in boat.weights)
    return replace(boat, weights=moved)


def rest_table(rest: AtRest, edges: Mapping[str, Place]) -> pd.DataFrame:
    """One row per way of hanging and load: draughts, trim, heights of the edges, what the bracket carries."""
    lanes, afloat = rest.fleet.lanes, rest.floating
    marks = hull_marks(form_of(lanes))
    slope = np.tan(np.radians(afloat.trim_deg))
    frame = pd.DataFrame(
        {
            "hung": rest.hangs,
            "load": [boat.load for boat in rest.boats],
            "mass_kg": lanes.mass_kg,
            "forward_m": lanes.forward_m,
            "draught_m": afloat.draught_transom_m,
            "draught_forward_m": afloat.draught_transom_m - slope * marks.forefoot_m,
            "static_trim_deg": afloat.trim_deg,
        }
    )
    for edge in EDGES:
        height = np.full(lanes.count, np.nan)
        if edge in edges:
            height = freeboard(edges[edge].forward_m, edges[edge].above_m, afloat)
        frame[f"{edge.replace(' ', '_')}_height_m"] = height
    frame["sole_wanted_m"] = sole_height_wanted(lanes.length_overall_m) if SOLE in edges else np.nan
    frame["bracket_buoyancy_n"] = afloat.bracket_volume_m3 * lanes.water_density * GRAVITY
    frame["hung_weight_n"] = [_hung_weight_n(boat) for boat in rest.boats]
    frame["status"] = [REST_WORDS[Rest(int(s))] for s in afloat.status]
    return frame


def _hung_weight_n(boat: Boat) -> float:
    """Weight of bracket and engines together [N]."""
    bracket = boat.bracket or NO_BRACKET
    return (bracket.mass_kg + boat.engine.count * boat.engine.mass_kg) * GRAVITY


def edges_of(boat: Boat, more: Mapping[str, Place]) -> dict[str, Place]:
    """The edges that let water in, by name; ValueError for one that is none of EDGES."""
    for name in more:
        if name not in EDGES:
            raise ValueError(f'an edge is one of {", ".join(EDGES)}, not "{name}"')
    own = {SCUPPER: boat.hull.scupper} if boat.hull.scupper is not None else {}
    return {**own, **more}


def lowest_edge(table: pd.DataFrame, hangs: Sequence[str]) -> tuple[str, str, float] | None:
    """The edge, load and height nearest the water among these ways of hanging; None where none is known."""
    some = table[table["hung"].isin(hangs)]
    found: tuple[str, str, float] | None = None
    for edge in (SCUPPER, SPLASH_WELL):
        heights = some[f"{edge.replace(' ', '_')}_height_m"].to_numpy(dtype=float)
        if not np.isfinite(heights).any():
            continue
        at = int(np.nanargmin(heights))
        if found is None or heights[at] < found[2]:
            found = (edge, str(some["load"].iloc[at]), float(heights[at]))
    return found


def floods(table: pd.DataFrame) -> bool:
    """Whether any edge stands lower than its margin, or the sole lower than what is asked of it."""
    margin = MOUNTING["edge_margin"].value
    low = (table[["scupper_height_m", "splash_well_height_m"]] < margin).to_numpy().any()
    sole = (table["sole_height_m"] < table["sole_wanted_m"]).to_numpy().any()
    return bool(low or sole)


def carries(table: pd.DataFrame, hang: str, load: str) -> tuple[float, float]:
    """Buoyancy of the bracket, and the weight of bracket and engines [N], of one row."""
    row = table[(table["hung"] == hang) & (table["load"] == load)].iloc[0]
    return float(row["bracket_buoyancy_n"]), float(row["hung_weight_n"])
