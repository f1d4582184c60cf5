"""The lower units in the water behind the transom: how deep, how much drag, how much side force."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.boat.lanes import Lanes
from perf.laws import lower_unit, propeller, wake
from perf.laws.drive_lift import drive_side_force

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Legs:
    """All legs of each lane, (n,): drag and side force [N], depth of the drag's centre under the keel line.

    along_n is the drag with the side force's own part along the keel line; side_n is square to it, down positive.
    """

    drag_n: Array
    along_n: Array
    side_n: Array
    centre_below_m: Array
    plate_depth_m: Array


def wake_rise(
    lanes: Lanes, beam_m: Array, trim_deg: Array, speed_coefficient: Array, length_ratio: Array
) -> Array:
    """Water at the leg over the keel line run on aft [m], transom dry: between the fit and the straight wake."""
    distance = lanes.propeller_aft_m / beam_m
    fit = wake.wake_savitsky(distance, trim_deg, speed_coefficient, length_ratio)
    straight = wake.wake_straight(distance, trim_deg)
    return beam_m * (fit + lanes.wake_place * (straight - fit))


def legs_at(
    lanes: Lanes, speed_mps: Array, pressure_pa: Array, drive_trim_deg: Array, rise_m: Array
) -> Legs:
    """Drag and side force of all legs with the water rise_m over the keel line at them."""
    plate_depth = rise_m - lanes.plate_height_m
    drag, centre = lower_unit.leg_drag(
        pressure_pa,
        speed_mps,
        lanes.viscosity,
        lanes.diameter_m,
        plate_depth,
        lanes.strut_chord,
        lanes.strut_thickness,
        lanes.gear_case_diameter,
        lanes.gear_case_length,
        lanes.skeg_height,
        lanes.plate_area,
        lanes.midsection_thickness,
        lanes.tip_clearance_m,
    )
    legs = lanes.engines + lanes.stopped
    drag = legs * lanes.trial_leg * drag + lanes.stopped * _locked(lanes, pressure_pa)
    side = legs * drive_side_force(
        pressure_pa, lanes.diameter_m, drive_trim_deg, plate_depth, lanes.drive_lift
    )
    # sharp edges near the surface: no suction forward, the force stands square to plate and shaft
    along = drag + side * np.tan(np.radians(drive_trim_deg))
    return Legs(drag, along, side, centre - lanes.plate_height_m, plate_depth)


def _locked(lanes: Lanes, pressure_pa: Array) -> Array:
    """Drag of one propeller dragged along without turning [N]."""
    blades = lanes.area_ratio * (0.25 * np.pi) * lanes.diameter_m * lanes.diameter_m
    return (
        pressure_pa
        * blades
        * propeller.locked_propeller_drag_coefficient(lanes.effective_pitch_ratio)
    )
