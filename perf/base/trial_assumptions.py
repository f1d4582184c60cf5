"""What a sea trial assumes of its meters, of the day and of the methods' shape, each with its doubt.

They stand apart from the boat's own assumptions because they belong to no answer but a trial's. value
is what is taken (nought for a doubt alone); half_width holds nine times in ten.
"""

from __future__ import annotations

from perf.base.assumptions import Assumption
from perf.base.sources import Basis

TRIAL_ASSUMPTIONS: dict[str, Assumption] = {
    assumption.name: assumption
    for assumption in (
        Assumption(
            "meter_speed",
            0.0,
            0.2,
            "speed",
            "Speed as a satellite receiver gives it, mean of a steady run.",
            Basis.QUOTED,
            "GPS user equipment 1996",
        ),
        Assumption(
            "meter_flow",
            0.0,
            0.05,
            "share",
            "Fuel flow as a meter or the engine's own computer gives it, share of the flow.",
            Basis.RECALLED,
            "trade",
        ),
        Assumption(
            "meter_rpm", 0.0, 50.0, "rotation", "Engine speed as read.", Basis.PRACTICE, "trade"
        ),
        Assumption(
            "meter_trim",
            0.0,
            0.5,
            "angle",
            "Running trim as read off a level.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "unknown_current",
            0.0,
            0.25,
            "speed",
            "Current along the run where speed is over the ground and no run back was made.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "throttle_open",
            0.0,
            0.01,
            "share",
            "Power at a run called full throttle over what full throttle gives.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "shape_rpm",
            0.0,
            0.03,
            "share",
            "What the methods miss of rpm at one speed and not at the next, share of the rpm.",
            Basis.ASSUMED,
            "own",
            ("OW2",),
        ),
        Assumption(
            "shape_fuel",
            0.0,
            0.10,
            "share",
            "What the methods miss of the burn at one speed and not at the next, share of the burn.",
            Basis.ASSUMED,
            "own",
            ("OW2",),
        ),
        Assumption(
            "shape_trim",
            0.0,
            1.0,
            "angle",
            "What the methods miss of the running trim at one speed and not at the next.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "other_day",
            0.0,
            0.2,
            "share",
            "What no log of one day can teach, as a share of the doubt before it: another day, another sea, another meter.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "tape",
            0.0,
            0.00635,
            "length",
            "Height of a mark over the water as read off a tape, boat lying still.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "tape_form",
            1.0,
            0.02,
            "ratio",
            "Real volume under the waterline over that of the straight-sided hull the marks are read on.",
            Basis.ASSUMED,
            "own",
        ),
        Assumption(
            "hidden_weight",
            0.05,
            0.0,
            "share",
            "Weight nobody has listed, share of the weight as loaded, from which it is warned of.",
            Basis.ASSUMED,
            "own",
        ),
    )
}


def trial_half_width(name: str) -> float:
    """The doubt (nine in ten) of one of them, SI; KeyError for an unknown name."""
    return TRIAL_ASSUMPTIONS[name].half_width
