"""Force of a trimmed drive across its shaft: blades and plate in slanting water push the stern about."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.sources import Basis, law
from perf.laws.join import smooth_step

Array = NDArray[np.float64]

PLATE_WETS = (-0.05, 0.03)  # depth of the plate over which its upper face floods [m]; assumed
DRY_SHARE = 0.5  # share of the force left with the plate dry: blades and gear case; assumed


@law(
    "side force of a trimmed drive",
    "trade",
    "one coefficient for disc, plate and gear case",
    Basis.PRACTICE,
)
def drive_side_force(
    dynamic_pressure_pa: Array,
    diameter_m: Array,
    drive_trim_deg: Array,
    plate_depth_m: Array,
    coefficient: Array,
) -> Array:
    """Force on one drive square to the keel line [N], down positive for a drive trimmed out; broadcast shape.

    coefficient : over dynamic pressure, propeller diameter squared and radians of drive trim [-].
    Half of it goes as the plate comes out of the water (plate_depth_m [m], negative above it).
    """
    wet = DRY_SHARE + (1.0 - DRY_SHARE) * smooth_step(plate_depth_m, *PLATE_WETS)
    angle = np.radians(drive_trim_deg)
    return np.asarray(
        coefficient * wet * dynamic_pressure_pa * diameter_m * diameter_m * np.sin(angle)
    )
