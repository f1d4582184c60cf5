"""What the engine does to the transom: moment and pull on the bolts, at rest, flat out and as she slams."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from perf.base.assumptions import ASSUMPTIONS, MOUNTING
from perf.boat.parts import Boat
from perf.boat.places import bracket_place, propeller_place
from perf.laws.transom_loads import bolt_pull, bolt_shear, transom_moment
from perf.laws.water import GRAVITY

AT_REST, FLAT_OUT, SLAM = "at rest", "full throttle", "full throttle, slamming"


@dataclass(frozen=True)
class Bolts:
    """Two rows of bolts through the transom: bolts in a row, rows apart, lower row below the transom's top [m]."""

    a_row: int
    rows_apart_m: float
    lower_below_top_m: float

    @classmethod
    def of(cls, boat: Boat) -> Bolts:
        """The pattern assumed: an engine's clamp, or a bracket's taller one."""
        engine = MOUNTING["bolt_rows_apart"].value
        apart = MOUNTING["bracket_rows_apart"].value if boat.bracket else engine
        below = MOUNTING["lower_bolts_below"].value + apart - engine
        return cls(int(MOUNTING["bolts_a_row"].value), apart, below)


def hung_weights(boat: Boat) -> tuple[tuple[float, float], ...]:
    """Weight [N] and distance aft of the foot of the transom [m] of all that one set of bolts holds.

    A bracket holds every engine; without one each engine hangs on its own bolts.
    """
    count = boat.engine.count if boat.bracket is not None else 1
    aft = boat.mounting.setback_m + ASSUMPTIONS["engine_aft"].value
    hung = [(count * boat.engine.mass_kg * GRAVITY, aft)]
    if boat.bracket is not None:
        forward, _ = bracket_place(
            length_m=boat.bracket.length_m,
            bottom_above_m=boat.bracket.bottom_above_m,
            bracket_centre=ASSUMPTIONS["bracket_centre"].value,
            bracket_height=ASSUMPTIONS["bracket_height"].value,
        )
        hung.append((boat.bracket.mass_kg * GRAVITY, -float(forward)))
    return tuple(hung)


def transom_load(
    boat: Boat, all_thrust_n: float, bolts: Bolts, slam_factor: float | None = None
) -> pd.DataFrame:
    """One row per case: moment about the lower bolts, pull on each upper bolt, shear on each bolt.

    all_thrust_n : greatest full-throttle thrust of all engines [N]. slam_factor : times their weight
    engine and bracket load the transom as she slams; the assumption where none is given.
    """
    factor = MOUNTING["slam_factor"].value if slam_factor is None else slam_factor
    share = 1.0 if boat.bracket is not None else 1.0 / boat.engine.count
    thrust = all_thrust_n * share
    bolt_height = boat.hull.transom_height_m - bolts.lower_below_top_m
    rake = np.tan(np.radians(boat.hull.transom_rake_deg)) * bolt_height
    weights = hung_weights(boat)
    weight = sum(one for one, _ in weights)
    arm = sum(one * (aft - rake) for one, aft in weights) / weight
    below = bolt_height - _propeller_above_m(boat)
    cases = ((AT_REST, 0.0, 1.0), (FLAT_OUT, thrust, 1.0), (SLAM, thrust, factor))
    moments = [float(transom_moment(push, below, weight, arm, n)) for _, push, n in cases]
    return pd.DataFrame(
        {
            "case": [name for name, _, _ in cases],
            "full_thrust_n": [push for _, push, _ in cases],
            "hung_weight_n": [weight] * len(cases),
            "load_factor": [n for _, _, n in cases],
            "weight_aft_m": [arm] * len(cases),
            "thrust_below_m": [below] * len(cases),
            "transom_moment_nm": moments,
            "bolt_pull_n": [float(bolt_pull(m, bolts.rows_apart_m, bolts.a_row)) for m in moments],
            "bolt_shear_n": [float(bolt_shear(weight, n, bolts.a_row)) for _, _, n in cases],
        }
    )


def _propeller_above_m(boat: Boat) -> float:
    _, above = propeller_place(
        setback_m=boat.mounting.setback_m,
        plate_height_m=boat.mounting.plate_height_m,
        diameter_m=boat.propeller.diameter_m,
        propeller_aft=ASSUMPTIONS["propeller_aft"].value,
        tip_clearance=ASSUMPTIONS["tip_clearance"].value,
    )
    return float(above)
