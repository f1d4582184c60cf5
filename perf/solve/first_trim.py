"""Where the search for the running trim begins: a rough balance in closed form.

Only a start, never an answer: the pressure of 1964 alone carries her, and all other moments are taken
with rough forces. It saves more than half of the evaluations of a search over the whole bracket.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from perf.base.roots import Start
from perf.laws import planing
from perf.laws.drive_lift import drive_side_force

if TYPE_CHECKING:
    from perf.solve.bottom import Course

Array = NDArray[np.float64]

ROUGH_THRUST, ROUGH_FRICTION, ROUGH_LEG = 0.15, 0.05, 0.02  # over the weight
LIFT_POWER = 1.1  # of the trim, in the flat-plate lift of 1964
SHORTEST, LONGEST = 0.3, 5.0  # wetted length over beam a start is sought in
ASIDE = 0.1  # of the beam: the balance point moved so far gives the slope


def first_trim(course: Course) -> Start:
    """Trim [deg] near which the moments vanish and how steeply their share of weight x beam rises there, (n,)."""
    lanes = course.lanes
    beam, weight = lanes.beam_m, lanes.weight_n
    side = (lanes.engines + lanes.stopped) * drive_side_force(
        course.pressure_pa,
        lanes.diameter_m,
        course.drive_trim_deg,
        -lanes.plate_height_m,
        lanes.drive_lift,
    )
    turning = (
        course.flaps.lift_n * lanes.forward_m
        + course.flaps.moment_nm
        - side * (lanes.forward_m + lanes.propeller_aft_m)
        - course.air_drag_n * course.air_lever_m
    ) / weight + (
        ROUGH_FRICTION * course.friction_lever_m
        + ROUGH_LEG * (lanes.above_m + lanes.diameter_m)
        - ROUGH_THRUST * course.thrust_lever_m
    )
    load = np.maximum(weight + side - course.flaps.lift_n, ROUGH_THRUST * weight)
    flat = planing.flat_lift_from_deadrise(
        load / (course.pressure_pa * beam * beam), lanes.deadrise_transom_deg
    )
    place = (lanes.forward_m + turning) / beam
    trim = _trim_for(course, flat, place)
    with np.errstate(all="ignore"):
        return Start(trim, ASIDE / (_trim_for(course, flat, place - ASIDE) - trim))


def _trim_for(course: Course, flat_lift: Array, place: Array) -> Array:
    """Trim at which the pressure stands at this place over beam, under this flat-plate lift."""
    ratio = place
    with np.errstate(all="ignore"):
        for _ in range(4):
            share = planing.centre_of_pressure(ratio, course.speed_coefficient)
            ratio = np.clip(place / share, SHORTEST, LONGEST)
        each = planing.flat_lift(np.ones_like(ratio), ratio, course.speed_coefficient)
        return np.power(flat_lift / each, 1.0 / LIFT_POWER)
