"""Boats with their hulls at rest worked out: what the low-speed methods need beside the lanes."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.boat.lanes import Lanes
from perf.laws.hull_lines import hull_marks
from perf.solve.flotation import BuoyantBox, float_at_rest, hull_form

Array = NDArray[np.float64]

PROJECTED_OVER_WATERLINE = 1.02  # Lp over LWL, Molland et al. 2011, 10.3.3.1 (Series 62)


@dataclass(frozen=True, eq=False)
class Afloat:
    """Lanes and their hulls at rest, all (n,); NaN where a boat does not float upright."""

    lanes: Lanes
    volume_m3: Array
    draught_m: Array
    trim_deg: Array
    waterline_length_m: Array
    waterline_beam_m: Array
    transom_area_m2: Array
    section_area_m2: Array
    wetted_area_m2: Array
    buoyancy_forward_m: Array
    projected_length_m: Array
    chine_area_m2: Array
    chine_area_forward_m: Array

    @classmethod
    def of(cls, lanes: Lanes) -> Afloat:
        """Float every row once."""
        form = hull_form(lanes)
        volume = lanes.mass_kg / lanes.water_density
        box = BuoyantBox(lanes.bracket_width_m, lanes.bracket_length_m, lanes.bracket_bottom_m)
        rest = float_at_rest(form, volume, lanes.forward_m, box, balance_above_m=lanes.above_m)
        length = PROJECTED_OVER_WATERLINE * lanes.waterline_length_m
        return cls(
            lanes,
            volume,
            rest.draught_transom_m,
            rest.trim_deg,
            rest.waterline_length_m,
            rest.waterline_beam_m,
            rest.transom_area_m2,
            rest.maximum_section_area_m2,
            rest.wetted_area_m2,
            rest.buoyancy_forward_m,
            length,
            *_chine_area(lanes, length),
        )

    def take(self, rows: NDArray[np.intp]) -> Afloat:
        """The rows at these positions."""
        return Afloat(*(getattr(self, f.name).take(rows) for f in fields(self)))


def _chine_area(lanes: Lanes, length_m: Array) -> tuple[Array, Array]:
    """Area between the chines seen from above as far forward as length_m, and its centroid: closed form."""
    form = hull_form(lanes)
    at = hull_marks(form)
    narrow, wide, middle = form.transom_beam_m, form.chine_beam_m, at.midship_m
    aft = 0.5 * (narrow + wide) * middle
    aft_moment = middle * middle * (narrow + 2.0 * wide) / 6.0
    run = at.shoulder_m - middle
    parallel = wide * run
    reach = at.overall_m - at.shoulder_m
    past = np.clip((length_m - at.shoulder_m) / reach, 0.0, 1.0)
    square = past * past
    bow = wide * reach * (past - square * past / 3.0)
    bow_moment = at.shoulder_m * bow + wide * reach * reach * (
        0.5 * square - 0.25 * square * square
    )
    area = aft + parallel + bow
    moment = aft_moment + parallel * (middle + 0.5 * run) + bow_moment
    return area, moment / area
