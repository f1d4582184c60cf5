"""Engines off the centreline, and one of two stopped: turning moment, helm, drag added."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from perf.base.assumptions import MOUNTING
from perf.boat.parts import Boat
from perf.laws.drive_lift import drive_side_force
from perf.laws.steering import helm_angle, helm_drag, turning_moment
from perf.laws.wake import bottom_off_centre
from perf.solve.performance import Points, Status, points
from perf.studies.mount.grid import leg_drag_n
from perf.studies.mount.rows import at_speed
from perf.studies.sweeps import Sweep, read_sweep, sweep_boats

BOTH = "both engines running"
STOPPED = "one stopped, its leg in the water"
TILTED = "one stopped and tilted clear"
SINGLE = "one engine off the centreline"


@dataclass(frozen=True)
class Sideways:
    """One case at one speed: forces [N], moment [N m], helm [deg], drag the helm adds [N]."""

    case: str
    speed_mps: float
    planes: bool
    thrust_n: float
    dragged_n: float
    moment_nm: float
    helm_deg: float
    helm_drag_n: float


def off_centre_of(boat: Boat, given_m: float | None) -> float:
    """How far the outer engine stands off the centreline [m]: as given, half the usual spacing of two, or not."""
    if given_m is not None:
        return abs(given_m)
    count = boat.engine.count
    return 0.5 * (count - 1) * MOUNTING["engine_spacing"].value


def local_bottom_m(boat: Boat, off_m: float) -> float:
    """Height of the bottom over the keel straight ahead of that engine [m]."""
    return float(bottom_off_centre(off_m, boat.hull.deadrise_transom_deg))


def sideways(boat: Boat, swept: Sweep, speed_mps: float, off_m: float) -> tuple[Sideways, ...]:
    """Every case that this boat has; swept is the sweep of the boat with all engines running (one row)."""
    if boat.engine.count == 1:
        if off_m == 0.0:
            return ()
        at = at_speed(swept, speed_mps)
        return (_case(SINGLE, swept, at, 0, True, off_m, 0.0, 1.0),)
    if boat.engine.count != 2:
        return ()
    down = replace(boat, stopped=1)
    # tilted clear: its weight stays, its leg is out of the water
    one = sweep_boats([down])
    up = _tilted(one)
    found = [_case(BOTH, swept, at_speed(swept, speed_mps), 0, True, 0.0, 0.0, 2.0)]
    for name, single, legs in ((STOPPED, one, 2.0), (TILTED, up, 1.0)):
        speed = reachable_top_mps(single)
        if not np.isfinite(speed):
            continue
        at = at_speed(single, speed)
        planes = bool(single.planes[0])
        whole = float(at.leg_drag_n[0, 0])
        running = float(leg_drag_n(single.afloat.lanes, at.plate_depth_m[0], speed)[0])
        dragged = max(whole - running, 0.0) if legs > 1.0 else 0.0
        found.append(_case(name, single, at, 0, planes, off_m, dragged, legs))
    return tuple(found)


def _tilted(swept: Sweep) -> Sweep:
    """The same boat with the stopped leg out of the water, swept over the same speeds."""
    lanes = replace(swept.afloat.lanes, stopped=np.zeros(swept.afloat.lanes.count))
    afloat = replace(swept.afloat, lanes=lanes)
    again = points(afloat, swept.points.speed_mps, swept.points.drive_trim_deg)
    return read_sweep(afloat, again)


def reachable_top_mps(swept: Sweep) -> float:
    """Highest speed a single row reaches from rest: top speed if she gets over the hump, else where power ends."""
    if swept.planes[0]:
        return float(swept.top.speed_mps[0])
    at = swept.points
    able = at.status[0] == Status.OK
    if not able.any():
        return float("nan")
    first = int(np.argmax(able))
    ends = np.flatnonzero(~able[first:])
    if not ends.size:
        return float(at.speed_mps[0, -1])
    last = first + int(ends[0]) - 1
    spare = at.full_power_w[0] - at.shaft_power_w[0]
    here, there = spare[last], spare[last + 1]
    share = here / (here - there) if np.isfinite(there) and there < 0.0 else 0.0
    pace = at.speed_mps[0]
    return float(pace[last] + share * (pace[last + 1] - pace[last]))


def _case(
    name: str, swept: Sweep, at: Points, row: int, planes: bool, off_m: float, dragged_n: float,
    legs: float,
) -> Sideways:  # fmt: skip
    lanes = swept.afloat.lanes
    speed = float(at.speed_mps[row, 0])
    thrust = float(at.thrust_n[row, 0])
    pressure = 0.5 * lanes.water_density[row] * speed * speed
    square = drive_side_force(
        np.asarray(pressure), lanes.diameter_m[row], np.asarray(90.0),
        at.plate_depth_m[row, 0], lanes.drive_lift[row],
    )  # fmt: skip
    side = legs * float(square)
    moment = float(turning_moment(thrust, off_m, dragged_n, off_m))
    lever = float(lanes.forward_m[row] + lanes.propeller_aft_m[row])
    helm = float(helm_angle(moment, lever, thrust, side))
    return Sideways(
        name, speed, planes, thrust, dragged_n, moment, helm, float(helm_drag(helm, thrust, side))
    )


def sideways_table(found: tuple[Sideways, ...]) -> pd.DataFrame:
    """One row per case."""
    return pd.DataFrame(
        {
            "case": [one.case for one in found],
            "speed_mps": [one.speed_mps for one in found],
            "thrust_n": [one.thrust_n for one in found],
            "dragged_n": [one.dragged_n for one in found],
            "turning_moment_nm": [one.moment_nm for one in found],
            "helm_deg": [one.helm_deg for one in found],
            "helm_drag_n": [one.helm_drag_n for one in found],
            "status": ["on plane" if one.planes else "not on plane" for one in found],
        }
    )
