"""Is a trial's band honest: boats drawn from the stated doubts, logs with the meters' noise, fitted again.

Each repeat draws one true boat from every doubt of a boat file, lets her make eight steady runs (the
last flat out) with the noise that is assumed of the meters, fits the log with the file alone in view,
and asks whether the truth lies in the band of eight in ten.
"""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.draws import EIGHT_IN_TEN, NINE_IN_TEN, standard_normal
from perf.boat.fleet import Fleet, doubted
from perf.boat.lanes import Lanes
from perf.boat.learned import FACTORS
from perf.boat.log.runs import SteadyRuns
from perf.boat.parts import Boat
from perf.solve.afloat import Afloat
from perf.solve.performance import Points, points, top_speed
from perf.studies.spread import band
from perf.studies.sweeps import Sweep, sweep_boats
from perf.studies.trial.fit import Fit, fit
from perf.studies.trial.lessons import lessons
from perf.studies.trial.model import untried
from perf.studies.trial.trust import POWER_FOR_RPM, Trust

Array = NDArray[np.float64]
Moves = dict[str, Array]

PACE = (0.2, 0.33, 0.45, 0.55, 0.67, 0.78, 0.89)  # of the top speed; the eighth run is flat out
ABOUT_TOP = (
    0.2,
    0.3,
    0.4,
    0.5,
    0.6,
    0.7,
    0.8,
    0.9,
    0.99,
    1.1,
    1.22,
    1.4,
)  # of the stated top speed
DRAWS = 100
NEAR = 0.02  # share of the top speed over which the need for power is taken as straight
TOLD = 0.8  # a factor of whose doubt less than this is left has been told


def coverage(
    boat: Boat,
    repeats: int = 120,
    seed: int = 1,
    *,
    trust: Trust | None = None,
    draws: int = DRAWS,
) -> pd.DataFrame:
    """Share of repeats in which the truth lies in the band: one row for top speed, cruise burn, each factor.

    Parameters
    ----------
    boat : whose stated doubts the truths are drawn from; any trial in her file is set aside.
    repeats, seed : how many true boats, and where their draws begin.
    trust : noise that is put into the logs and taken of them; the meters' alone by default.
    draws : for the bands of top speed and burn.

    Returns
    -------
    Table of figure, repeats, inside, share, left (mean of what is left of the doubt), told.
    """
    trust = trust or Trust.meters_alone()
    boat = untried(boat)
    with np.errstate(all="ignore"):
        world = _World.of(boat, repeats, seed, trust)
        fits = [fit(boat, runs, trust) for runs in world.logs()]
        rows = [_figure(*one) for one in world.figures(fits, draws)]
        rows += [_factor(path, world.true[path], fits) for path in FACTORS if path in world.true]
    return pd.DataFrame(rows)


class _World:
    """The true boats and what they do."""

    def __init__(self, boat: Boat, stated: Sweep, seed: int, trust: Trust, count: int) -> None:
        self.boat, self.stated, self.seed, self.trust, self.count = boat, stated, seed, trust, count
        doubts = doubted(boat)
        units = {path: half / NINE_IN_TEN for path, half in doubts.items()}
        self.true: Moves = {path: unit * self.normal(path) for path, unit in units.items()}
        apart = trust.other_day
        same = np.sqrt(1.0 - apart * apart)
        self.that_day: Moves = {
            path: same * self.true[path] + apart * unit * self.normal(f"{path} on the day")
            for path, unit in units.items()
        }
        self.cruise_mps = float(stated.best_speed_mps[0])

    @classmethod
    def of(cls, boat: Boat, count: int, seed: int, trust: Trust) -> _World:
        """True boats drawn from every doubt of the boat."""
        return cls(boat, sweep_boats(boat), seed, trust, count)

    def normal(self, name: str) -> Array:
        """Standard normal draws, one for each repeat."""
        return standard_normal(self.seed, f"coverage {name}", self.count)

    def drive_trim(self, speed_mps: Array) -> Array:
        """Drive trims of the boat as stated, whatever is true of her."""
        known = self.stated.points
        return np.interp(speed_mps, known.speed_mps[0], known.drive_trim_deg[0])

    def about_top(self, afloat: Afloat) -> Points:
        """Points from well under to well over the stated top speed."""
        speed = self.stated.top.speed_mps[0] * np.array(ABOUT_TOP)[None, :]
        return points(afloat, speed, self.drive_trim(speed))

    def logs(self) -> list[SteadyRuns]:
        """What the meters of each true boat showed."""
        trust, count = self.trust, self.count
        afloat = Afloat.of(Fleet.moved(self.boat, self.that_day).lanes)
        speed = self._speeds(afloat)
        at = points(afloat, speed, self.drive_trim(speed))
        noise = {
            name: np.stack([self.normal(f"{name} {run}") for run in range(speed.shape[1])], axis=1)
            / NINE_IN_TEN
            for name in ("speed", "rpm", "shape of rpm", "flow", "shape of fuel")
        }
        rpm = at.engine_rpm * (1.0 + trust.shape_rpm * noise["shape of rpm"])
        fuel = at.fuel_lph * (1.0 + trust.shape_fuel * noise["shape of fuel"])
        shown = (
            speed + trust.speed_mps * noise["speed"],
            rpm + trust.rpm * noise["rpm"],
            fuel * (1.0 + trust.flow * noise["flow"]),
        )
        flat_out = np.arange(speed.shape[1]) == speed.shape[1] - 1
        return [
            SteadyRuns.of(
                shown[0][one],
                engine_rpm=shown[1][one],
                fuel_lph=shown[2][one],
                drive_trim_deg=self.drive_trim(speed[one]),
                full_throttle=flat_out,
            )
            for one in range(count)
        ]

    def _speeds(self, afloat: Afloat) -> Array:
        """Speeds of the runs: shares of the top speed, then what full throttle gave that day."""
        top = top_speed(afloat, self.about_top(afloat)).speed_mps
        near = top[:, None] * np.array([[1.0, 1.0 + NEAR]])
        at = points(afloat, near, self.drive_trim(near))
        ratio = at.shaft_power_w / at.full_power_w
        slope = (ratio[:, 1] - ratio[:, 0]) / NEAR
        missed = np.hypot(self.trust.throttle, POWER_FOR_RPM * self.trust.shape_rpm) / NINE_IN_TEN
        flat_out = top * (1.0 + missed * self.normal("throttle") / slope)
        return np.concatenate([top[:, None] * np.array(PACE)[None, :], flat_out[:, None]], axis=1)

    def figures(self, fits: list[Fit], draws: int) -> list[tuple[str, Array, Array, Array]]:
        """Top speed and burn at the cruise: name, truth, low and high end of the band, (repeats,) each."""
        true = self._told(Afloat.of(Fleet.moved(self.boat, self.true).lanes))
        boats = [self.boat.at(trial=lessons(one)) for one in fits]
        # each repeat has draws of its own: the chance in few draws must not be the same for all
        lanes = [Fleet.draw(one, draws, self.seed + place).lanes for place, one in enumerate(boats)]
        drawn = self._told(Afloat.of(_joined(lanes)))
        out = []
        for name, key in (("top speed", "top_speed_mps"), ("cruise burn", "fuel_lph")):
            many = drawn[name].reshape(len(fits), draws)
            out.append((name, true[name], *band(key, many.T)))
        return out

    def _told(self, afloat: Afloat) -> dict[str, Array]:
        """Top speed and burn at the cruise of every row."""
        cruise = np.array([[self.cruise_mps]])
        burn = points(afloat, cruise, self.drive_trim(cruise)).fuel_lph[:, 0]
        return {
            "top speed": top_speed(afloat, self.about_top(afloat)).speed_mps,
            "cruise burn": burn,
        }


def _joined(many: list[Lanes]) -> Lanes:
    return Lanes(
        **{f.name: np.concatenate([getattr(one, f.name) for one in many]) for f in fields(Lanes)}
    )


def _figure(name: str, true: Array, low: Array, high: Array) -> dict[str, object]:
    inside = (np.nan_to_num(low, nan=-np.inf) <= true) & (true <= np.nan_to_num(high, nan=np.inf))
    return _row(name, inside, np.nan)


def _factor(path: str, true: Array, fits: list[Fit]) -> dict[str, object]:
    """A factor no reading heeds stays at the doubt it had."""
    inside, left = [], []
    for value, one in zip(true, fits, strict=True):
        heard = path in one.names
        at = one.place(path) if heard else -1
        move = one.moves[at] * one.half_widths[at] if heard else 0.0
        unit = doubted(one.tried.boats[0])[path] / NINE_IN_TEN
        left.append(one.left_of(path) if heard else 1.0)
        inside.append(abs(value - move) <= EIGHT_IN_TEN * left[-1] * unit)
    return _row(path.removeprefix("assumed."), np.array(inside), float(np.mean(left)))


def _row(name: str, inside: NDArray[np.bool_], left: float) -> dict[str, object]:
    return {
        "figure": name,
        "repeats": int(inside.size),
        "inside": int(np.count_nonzero(inside)),
        "share": float(np.mean(inside)),
        "left": left,
        "told": bool(left < TOLD) if np.isfinite(left) else True,
    }
