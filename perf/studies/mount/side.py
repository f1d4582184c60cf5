"""The numbers a side view is drawn from: how she lies at rest and runs, and the water behind her."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perf.boat.parts import Boat
from perf.solve.afloat import Afloat
from perf.solve.performance import Points
from perf.studies.mount.water import wake_at, water_over_bottom

Array = NDArray[np.float64]

BEHIND_PROPELLER_M = 0.9  # how far past the propeller the water is drawn
STATIONS = 16


def side_numbers(chosen: Boat, afloat: Afloat, at: Points, speed_mps: float) -> dict[str, Any]:
    """Draughts, trims, places and the water over the bottom behind the transom, of one boat at one speed.

    Lengths in metres in the keel's own axes: forward of the transom, above the keel line.
    """
    lanes = afloat.lanes
    aft = np.linspace(0.0, float(lanes.propeller_aft_m[0]) + BEHIND_PROPELLER_M, STATIONS)
    low, high, used = _water(afloat, at, aft)
    diameter = float(lanes.diameter_m[0])
    return {
        "speed_mps": speed_mps,
        "rest_draught_m": float(afloat.draught_m[0]),
        "rest_trim_deg": float(afloat.trim_deg[0]),
        "running_draught_m": float(at.draught_m[0, 0]),
        "running_trim_deg": float(at.trim_deg[0, 0]),
        "wetted_length_m": float(at.wetted_length_m[0, 0]),
        "drive_trim_deg": float(at.drive_trim_deg[0, 0]),
        "balance_forward_m": float(lanes.forward_m[0]),
        "balance_above_m": float(lanes.above_m[0]),
        "propeller_aft_m": float(lanes.propeller_aft_m[0]),
        "propeller_below_m": float(lanes.propeller_below_m[0]),
        "propeller_diameter_m": diameter,
        "setback_m": chosen.mounting.setback_m,
        "plate_height_m": chosen.mounting.plate_height_m,
        "plate_depth_m": float(at.plate_depth_m[0, 0]),
        "strut_chord_m": float(lanes.strut_chord[0]) * diameter,
        "gear_case_diameter_m": float(lanes.gear_case_diameter[0]) * diameter,
        "gear_case_length_m": float(lanes.gear_case_length[0]) * diameter,
        "skeg_height_m": float(lanes.skeg_height[0]) * diameter,
        "water_aft_m": aft.tolist(),
        "water_low_m": low.tolist(),
        "water_high_m": high.tolist(),
        "water_m": used.tolist(),
    }


def _water(afloat: Afloat, at: Points, aft_m: Array) -> tuple[Array, Array, Array]:
    """Lowest model, highest model and the water the answer rests on, over the bottom, at distances aft (k,)."""
    rows = np.zeros(aft_m.size, dtype=np.intp)
    many = afloat.take(rows)
    points = Points(**{name: value[rows] for name, value in vars(at).items()})
    seen = wake_at(many, points, aft_m)
    still = (1.0 - seen.dry) * seen.level_m
    low, high = (
        np.where(seen.dry > 0.0, seen.dry * model, 0.0) + still
        for model in (seen.low_m, seen.high_m)
    )
    lanes = replace(many.lanes, propeller_aft_m=aft_m)
    used = water_over_bottom(replace(many, lanes=lanes), points, aft_m)
    return low[:, 0], high[:, 0], used[:, 0]
