"""Setback by plate height: every combination as a row of one sweep."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.assumptions import MOUNTING
from perf.base.cautions import codes
from perf.base.quantities import mileage
from perf.boat.lanes import Lanes
from perf.boat.parts import Boat
from perf.laws import lower_unit
from perf.solve import drive
from perf.solve.performance import STATUS_WORDS, Points, Status
from perf.studies.mount.boats import hung
from perf.studies.sweeps import Sweep

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Immersion:
    """A leg in the water at its plate depth, (n, m) each: depths [m], ratio and shares."""

    plate_m: Array
    shaft_m: Array
    tip_m: Array
    ratio: Array
    thrust_kept: Array
    torque_kept: Array
    pickup_margin_m: Array


def immersion(lanes: Lanes, plate_depth_m: Array) -> Immersion:
    """What a plate depth (n, m) under the local water means for shaft, tips, thrust and cooling water."""
    radius = 0.5 * lanes.diameter_m[:, None]
    clearance = lanes.tip_clearance_m[:, None]
    shaft = plate_depth_m + clearance + radius
    rows = np.repeat(np.arange(lanes.count), plate_depth_m.shape[1])
    kept = drive.surface_kept(lanes.take(rows), plate_depth_m.ravel())
    thrust, torque = (share.reshape(plate_depth_m.shape) for share in kept)
    pickup = MOUNTING["pickup_below"].value * lanes.diameter_m[:, None]
    return Immersion(
        plate_depth_m,
        shaft,
        plate_depth_m + clearance,
        shaft / radius,
        thrust,
        torque,
        plate_depth_m + pickup,
    )


def leg_drag_n(lanes: Lanes, plate_depth_m: Array, speed_mps: float) -> Array:
    """Drag of one leg at depths (k,) and one speed, of the first lane [N]."""
    one = lanes.take(np.zeros(plate_depth_m.size, dtype=np.intp))
    pressure = 0.5 * one.water_density * speed_mps * speed_mps
    drag, _ = lower_unit.leg_drag(
        pressure, speed_mps, one.viscosity, one.diameter_m, plate_depth_m, one.strut_chord,
        one.strut_thickness, one.gear_case_diameter, one.gear_case_length, one.skeg_height,
        one.plate_area, one.midsection_thickness, one.tip_clearance_m,
    )  # fmt: skip
    return np.asarray(one.trial_leg * drag)


def grid_boats(
    boat: Boat, setback_m: Sequence[float], plate_height_m: Sequence[float]
) -> tuple[Boat, ...]:
    """Every setback at every height, the height varying fastest."""
    return tuple(
        hung(boat, float(back), float(high)) for back, high in product(setback_m, plate_height_m)
    )


def grid_table(boats: Sequence[Boat], swept: Sweep, at: Points) -> pd.DataFrame:
    """The rows as the public table shows them: NaN and a status where she does not run.

    boats, swept : one row each; at : the same rows at the speed asked for, (n, 1).
    """
    lanes = swept.afloat.lanes
    balanced = at.status[:, 0] != Status.NO_BALANCE
    ok = at.status[:, 0] == Status.OK
    leg = immersion(lanes, at.plate_depth_m)

    def where(able: NDArray[np.bool_], values: Array) -> Array:
        return np.where(able, values, np.nan)

    frame = pd.DataFrame(
        {
            "setback_m": [b.mounting.setback_m for b in boats],
            "plate_height_m": [b.mounting.plate_height_m for b in boats],
            "top_speed_mps": swept.top.speed_mps,
            "top_rpm": swept.top.engine_rpm,
            "time_to_plane_s": swept.hump.time_to_plane_s,
            "mileage_m_per_l": where(ok, mileage(at.speed_mps[:, 0], at.fuel_lph[:, 0])),
            "hump_margin": swept.hump.margin,
            "trim_deg": where(balanced, at.trim_deg[:, 0]),
            "immersion_ratio": where(balanced, leg.ratio[:, 0]),
            "plate_depth_m": where(balanced, leg.plate_m[:, 0]),
            "shaft_depth_m": where(balanced, leg.shaft_m[:, 0]),
            "tip_depth_m": where(balanced, leg.tip_m[:, 0]),
            "thrust_kept": where(balanced, leg.thrust_kept[:, 0]),
            "torque_kept": where(balanced, leg.torque_kept[:, 0]),
            "leg_drag_n": where(balanced, at.leg_drag_n[:, 0]),
            "pickup_margin_m": where(balanced, leg.pickup_margin_m[:, 0]),
        }
    )
    bits = at.cautions[:, 0] | swept.top.cautions
    frame["status"] = [
        STATUS_WORDS[Status(s)] if planes else "does not get on plane"
        for s, planes in zip(at.status[:, 0], swept.planes, strict=True)
    ]
    frame["cautions"] = [" ".join(codes(int(b))) for b in bits]
    return frame
