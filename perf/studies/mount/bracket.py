"""Where a bracket's bottom lies against the hull's and the flow: what wets it, and what that drags."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.boat.parts import Bracket
from perf.laws.bracket_flow import box_drag
from perf.laws.friction import ittc57
from perf.laws.lower_unit import FRICTION_ALLOWANCE, plate_drag
from perf.solve.afloat import Afloat
from perf.solve.hump import full_throttle_thrust
from perf.solve.performance import Points, Status
from perf.studies.mount.water import wake_at, water_over_bottom

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class BracketFlow:
    """One bracket over the speeds of one boat, (m,) each: water at its after end, wet share, drag.

    drag_low_n is skin friction of what is wet, drag_n that of a box standing in the flow as well: an
    upper bound, our judgement.
    """

    speed_mps: Array
    water_m: Array
    wet_share: Array
    drag_low_n: Array
    drag_n: Array
    hangs_below_m: float  # under the hull bottom; 0 where it does not
    top_cost_mps: float
    cruise_cost: float  # share of the mileage at the cruise asked for


def bracket_flow(bracket: Bracket, afloat: Afloat, at: Points, cruise_mps: float) -> BracketFlow:
    """What wets the bracket of one boat (one row) over a rising sweep, and what that costs her."""
    after = np.array([bracket.length_m])
    start, end = _water_at_ends(afloat, at, after)
    below = max(-bracket.bottom_above_m, 0.0)
    wet = _wet_share(start - bracket.bottom_above_m, end - bracket.bottom_above_m)
    speed = at.speed_mps[0]
    pressure = 0.5 * afloat.lanes.water_density[0] * speed * speed
    with np.errstate(all="ignore"):
        length = wet * bracket.length_m
        reynolds = np.maximum(speed * length / afloat.lanes.viscosity[0], 1e3)
        skin = plate_drag(pressure, bracket.width_m * length, ittc57(reynolds) + FRICTION_ALLOWANCE)
    # behind a wet transom the bracket stands in its dead water; what hangs below the hull does not
    reach = np.clip(end - bracket.bottom_above_m, 0.0, None) * wet_dry(afloat, at)
    front = bracket.width_m * np.maximum(reach, below)
    drag = skin + box_drag(pressure, front)
    top_cost, cruise_cost = _cost(afloat, at, drag, cruise_mps)
    return BracketFlow(speed, end, wet, skin, drag, below, top_cost, cruise_cost)


def wet_dry(afloat: Afloat, at: Points) -> Array:
    """Share of the way to a dry transom of one boat, (m,)."""
    return np.asarray(wake_at(afloat, at).dry[0])


def _water_at_ends(afloat: Afloat, at: Points, after_m: Array) -> tuple[Array, Array]:
    """Water over the bottom at the transom and at the after end of the bracket, (m,) each [m]."""
    start = (1.0 - wet_dry(afloat, at)) * at.draught_m[0]
    return start, water_over_bottom(afloat, at, after_m)[0]


def _wet_share(start: Array, end: Array) -> Array:
    """Share of the length under a surface that runs straight from one height over the bottom to another."""
    with np.errstate(all="ignore"):
        crossing = np.clip(start / (start - end), 0.0, 1.0)
    share = np.where(end > 0.0, 1.0 - crossing, crossing)
    both = np.where((start > 0.0) & (end > 0.0), 1.0, share)
    return np.where((start <= 0.0) & (end <= 0.0), 0.0, both)


def _cost(afloat: Afloat, at: Points, drag_n: Array, cruise_mps: float) -> tuple[float, float]:
    """Top speed lost [m/s] and share of the mileage lost at cruise; NaN where she has none."""
    thrust = np.where(at.status[0] == Status.NO_BALANCE, np.nan, at.thrust_n[0])
    full = full_throttle_thrust(afloat, at)[0]
    speed = at.speed_mps[0]
    top = holds(speed, full - thrust) - holds(speed, full - thrust - drag_n)
    there = np.isfinite(thrust)
    if not np.isfinite(cruise_mps) or there.sum() < 2:
        return top, np.nan
    needed = float(np.interp(cruise_mps, speed[there], thrust[there]))
    more = float(np.interp(cruise_mps, speed, drag_n))
    return top, more / (needed + more)


def holds(speed_mps: Array, spare_n: Array) -> float:
    """Highest speed at which thrust is still to spare, read between speeds; NaN where there is none."""
    able = spare_n >= 0.0
    if not able.any() or able[-1]:
        return float("nan")
    last = int(np.flatnonzero(able)[-1])
    here, there = spare_n[last], spare_n[last + 1]
    if not np.isfinite(there):
        return float(speed_mps[last])
    share = here / (here - there)
    return float(speed_mps[last] + share * (speed_mps[last + 1] - speed_mps[last]))


def bracket_table(found: BracketFlow) -> pd.DataFrame:
    """The bracket over the speeds at which any of it is wet, and the first at which none is."""
    wet = np.flatnonzero(found.wet_share > 0.0)
    some = slice(0, int(wet[-1]) + 2 if wet.size else 1)
    return pd.DataFrame(
        {
            "speed_mps": found.speed_mps[some],
            "bracket_water_m": found.water_m[some],
            "bracket_wet_share": found.wet_share[some],
            "bracket_drag_low_n": found.drag_low_n[some],
            "bracket_drag_n": found.drag_n[some],
        }
    )


def bracket_summary(
    bracket: Bracket, found: BracketFlow, buoyancy_n: float, hung_n: float, own_n: float
) -> dict[str, object]:
    """The bracket as plain data: what it hangs below, when it is wet, what it carries at rest."""
    wet = found.speed_mps[(found.wet_share > 0.0) & np.isfinite(found.drag_n)]
    return {
        "bottom_above_m": bracket.bottom_above_m,
        "hangs_below_m": found.hangs_below_m,
        "wet_up_to_mps": float(wet.max()) if wet.size else None,
        "greatest_drag_n": float(np.nanmax(found.drag_n)),
        "top_speed_lost_mps": found.top_cost_mps,
        "share_of_mileage_lost": found.cruise_cost,
        "buoyancy_at_rest_n": buoyancy_n,
        "own_weight_n": own_n,
        "bracket_and_engines_n": hung_n,
        "carries_itself": buoyancy_n >= own_n,
        "carries_engines_too": buoyancy_n >= hung_n,
    }
