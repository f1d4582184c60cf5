"""How shallow she goes: what hangs lowest at rest, under way and getting up on plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.boat.lanes import Lanes
from perf.laws.hull_lines import hull_marks
from perf.laws.hydrostatics import height_over_water
from perf.laws.shallow import CRITICAL_HIGH, CRITICAL_LOW, depth_froude, speed_at_depth_froude
from perf.solve.afloat import Afloat
from perf.solve.flotation import hull_form
from perf.solve.performance import Points, Status
from perf.studies.sweeps import Sweep

Array = NDArray[np.float64]

FOOT_M = 0.3048
DEPTHS_M = FOOT_M * np.array([1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 20.0])  # of water
AT_REST, UNDER_WAY, CLIMBING = "at rest", "under way", "getting up on plane"


@dataclass(frozen=True, eq=False)
class Depths:
    """What reaches how deep under the undisturbed water, (m,) each [m]."""

    keel_m: Array
    propeller_m: Array
    skeg_m: Array

    @property
    def deepest_m(self) -> Array:
        """The lowest of the three."""
        deepest: Array = np.maximum(self.keel_m, np.maximum(self.propeller_m, self.skeg_m))
        return deepest


def depths(lanes: Lanes, draught_m: Array, trim_deg: Array, raised_m: float = 0.0) -> Depths:
    """Depths of one boat (one row) at draughts and trims (m,), the engine raised by so much."""
    forefoot = float(hull_marks(hull_form(lanes)).forefoot_m[0])
    diameter = float(lanes.diameter_m[0])
    aft = -float(lanes.propeller_aft_m[0])
    shaft = -float(lanes.propeller_below_m[0]) + raised_m
    case, fin = float(lanes.gear_case_diameter[0]), float(lanes.skeg_height[0])
    skeg = shaft - (0.5 * case + fin) * diameter
    keel = np.maximum(
        -height_over_water(0.0, 0.0, draught_m, trim_deg),
        -height_over_water(forefoot, 0.0, draught_m, trim_deg),
    )
    return Depths(
        keel,
        -height_over_water(aft, shaft - 0.5 * diameter, draught_m, trim_deg),
        -height_over_water(aft, skeg, draught_m, trim_deg),
    )


def shallow_table(afloat: Afloat, swept: Sweep, at: Points, raised_m: float) -> pd.DataFrame:
    """Rows at rest, under way at the speed asked for and getting up on plane, as hung and raised (one boat)."""
    lanes = afloat.lanes
    climb = _climbing(swept)
    cases = (
        (AT_REST, 0.0, afloat.draught_m, afloat.trim_deg),
        (UNDER_WAY, float(at.speed_mps[0, 0]), at.draught_m[0], at.trim_deg[0]),
        (CLIMBING, None, swept.points.draught_m[0, climb], swept.points.trim_deg[0, climb]),
    )
    rows = []
    for raised, hung in ((0.0, "as hung"), (raised_m, "on a lift plate")):
        for case, speed, draught, trim in cases:
            rows.append(_row(lanes, swept, climb, case, hung, speed, draught, trim, raised))
    return pd.DataFrame(rows)


def _row(
    lanes: Lanes, swept: Sweep, climb: NDArray[np.bool_], case: str, hung: str,
    speed: float | None, draught: Array, trim: Array, raised: float,
) -> dict[str, object]:  # fmt: skip
    found = depths(lanes, draught, trim, raised)
    if not draught.size or not np.isfinite(found.deepest_m).any():
        nothing = dict.fromkeys(
            ("keel_depth_m", "propeller_depth_m", "skeg_depth_m", "water_needed_m"), np.nan
        )
        return {
            "case": case,
            "hung": hung,
            "speed_mps": np.nan,
            **nothing,
            "status": "no balance found",
        }
    worst = int(np.nanargmax(found.deepest_m))
    pace = swept.points.speed_mps[0, climb][worst] if speed is None else speed
    return {
        "case": case,
        "hung": hung,
        "speed_mps": float(pace),
        "keel_depth_m": float(found.keel_m[worst]),
        "propeller_depth_m": float(found.propeller_m[worst]),
        "skeg_depth_m": float(found.skeg_m[worst]),
        "water_needed_m": float(found.deepest_m[worst]),
        "status": "ok",
    }


def _climbing(swept: Sweep) -> NDArray[np.bool_]:
    """Speeds of the first row from rest until she planes, those with a balance."""
    pace = swept.points.speed_mps[0]
    planing = swept.hump.slowest_planing_mps[0]
    climbing = pace <= planing if np.isfinite(planing) else np.ones(pace.shape, dtype=bool)
    return np.asarray(climbing & (swept.points.status[0] != Status.NO_BALANCE))


def critical_table() -> pd.DataFrame:
    """Speeds between which each depth of water makes her drag her own wave."""
    depth = DEPTHS_M
    return pd.DataFrame(
        {
            "water_depth_m": depth,
            "critical_from_mps": speed_at_depth_froude(CRITICAL_LOW, depth),
            "critical_to_mps": speed_at_depth_froude(CRITICAL_HIGH, depth),
        }
    )


def is_critical(speed_mps: float, depth_m: float | None) -> bool:
    """Whether this depth of water is felt at this speed."""
    if depth_m is None:
        return False
    return bool(CRITICAL_LOW <= depth_froude(speed_mps, depth_m) <= CRITICAL_HIGH)
