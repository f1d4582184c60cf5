"""Many boats as arrays: every number the physics needs, a column each, one row a boat and draw."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.boat.fuelcolumns import FuelColumns

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Lanes(FuelColumns):
    """What the physics needs, one (n,) array each, SI and degrees."""

    mass_kg: Array
    weight_n: Array
    forward_m: Array
    above_m: Array
    length_overall_m: Array
    waterline_length_m: Array
    beam_m: Array
    transom_beam_m: Array
    deadrise_transom_deg: Array
    deadrise_midship_deg: Array
    entrance_angle_deg: Array
    friction_allowance: Array
    water_density: Array
    viscosity: Array
    vapour_pressure: Array
    air_density: Array
    air_coefficient: Array
    frontal_area_m2: Array
    air_above_m: Array
    bracket_width_m: Array
    bracket_length_m: Array
    bracket_bottom_m: Array
    tab_chord_m: Array
    tab_span_ratio: Array
    tab_deflection_deg: Array
    hook_chord_m: Array
    hook_deflection_deg: Array
    engines: Array
    stopped: Array
    propeller_aft_m: Array
    propeller_below_m: Array
    plate_height_m: Array
    diameter_m: Array
    pitch_m: Array
    effective_pitch_ratio: Array
    area_ratio: Array
    blades: Array
    strut_chord: Array
    strut_thickness: Array
    gear_case_diameter: Array
    gear_case_length: Array
    skeg_height: Array
    plate_area: Array
    midsection_thickness: Array
    tip_clearance_m: Array
    wake_place: Array
    wake_fraction: Array
    thrust_deduction: Array
    relative_rotative: Array
    surface_loss: Array
    plate_shield_m: Array
    rated_power_w: Array
    rated_rpm: Array
    idle_rpm: Array
    limit_rpm: Array
    band_low_rpm: Array
    band_high_rpm: Array
    gear_ratio: Array
    diesel_curve: Array
    fuel_friction: Array
    fuel_slope: Array
    fuel_enrichment: Array
    fuel_idle: Array
    fuel_density: Array
    usable_fuel_m3: Array
    reserve: Array
    join_share: Array
    drive_lift: Array
    inception: Array
    hole_shot: Array
    vented_blades: Array
    throttle_delay_s: Array
    trial_drag: Array
    trial_leg: Array
    drive_trim_deg: Array
    drive_trim_in_deg: Array
    drive_trim_out_deg: Array
    head_wind_mps: Array  # wind over the water from ahead, astern negative
    wave_height_m: Array  # significant height, 0 in calm
    sea_share: Array  # of the drag a head sea of that height adds

    @property
    def count(self) -> int:
        """Number of rows."""
        return int(self.mass_kg.size)

    def take(self, rows: NDArray[np.intp]) -> Lanes:
        """The rows at these positions, in that order, contiguous."""
        return Lanes(**{f.name: getattr(self, f.name)[rows] for f in fields(self)})
