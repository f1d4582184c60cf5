"""How far the meters of a log, the methods' shape and the day are trusted: doubts as standard deviations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.draws import NINE_IN_TEN
from perf.base.trial_assumptions import trial_half_width
from perf.boat.log.runs import SteadyRuns

Array = NDArray[np.float64]

LEAST_FLOW_LPH = 0.1  # no flow is read more finely than this
POWER_FOR_RPM = 2.0  # a share of rpm missed is about twice that share of power


@dataclass(frozen=True)
class Trust:
    """Half widths (nine in ten): of the meters, of the methods' shape at one speed, and of the day.

    other_day is a share of the doubt before the trial that no log takes away.
    """

    speed_mps: float
    rpm: float
    flow: float
    trim_deg: float
    throttle: float
    tape_m: float
    shape_rpm: float
    shape_fuel: float
    shape_trim_deg: float
    other_day: float

    @classmethod
    def usual(cls) -> Trust:
        """As assumed of every real log."""
        names = ("speed", "rpm", "flow", "trim")
        meters = (trial_half_width(f"meter_{name}") for name in names)
        shape = (trial_half_width(f"shape_{name}") for name in ("rpm", "fuel", "trim"))
        throttle, tape = trial_half_width("throttle_open"), trial_half_width("tape")
        return cls(*meters, throttle, tape, *shape, trial_half_width("other_day"))  # type: ignore[call-arg]

    @classmethod
    def meters_alone(cls) -> Trust:
        """The meters alone: for logs worked out by the same methods, on the same day."""
        usual = cls.usual()
        return cls(
            usual.speed_mps,
            usual.rpm,
            usual.flow,
            usual.trim_deg,
            usual.throttle,
            usual.tape_m,
            0.0,
            0.0,
            0.0,
            0.0,
        )

    # --- one standard deviation at each run, (m,) ---------------------------------------------

    def speed_sd(self, runs: SteadyRuns) -> Array:
        """Of the speed through the water [m/s]."""
        return np.hypot(self.speed_mps, runs.speed_doubt_mps) / NINE_IN_TEN

    def rpm_sd(self, runs: SteadyRuns) -> Array:
        """Of the engine speed [rpm]."""
        return np.hypot(self.rpm, self.shape_rpm * runs.engine_rpm) / NINE_IN_TEN

    def fuel_sd(self, runs: SteadyRuns) -> Array:
        """Of the burn, as a share of it."""
        share = np.hypot(self.flow, self.shape_fuel) / NINE_IN_TEN
        with np.errstate(all="ignore"):
            return np.hypot(share, LEAST_FLOW_LPH / runs.fuel_lph)

    def trim_sd(self) -> float:
        """Of the running trim [deg]."""
        return float(np.hypot(self.trim_deg, self.shape_trim_deg)) / NINE_IN_TEN

    def power_sd(self) -> float:
        """Of power needed over full power at a run called full throttle."""
        return float(np.hypot(self.throttle, POWER_FOR_RPM * self.shape_rpm)) / NINE_IN_TEN
