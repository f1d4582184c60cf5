"""The fit of a sea trial: every doubted input moved together until the log is met, prior doubt kept in view.

Unknowns are the inputs that are drawn for the boat (the seven factors of the Trial part first), each
in its own standard deviation from what is stated, and the true speed of each run in the standard
deviation of the meter. Left over are, each in its standard deviation,

    rpm     read less worked out          fuel    logarithm of read over worked out
    trim    read less worked out          power   needed over full, less one (at full throttle; and
    speed   true less read                        wherever more than full would be needed)
    height  of a taped mark, read less worked out
    prior   every input's own move

The data pass through a soft loss (2 (sqrt(1 + r²) - 1), each reading's pull at most one), the priors
do not. Slopes are forward differences: rows of ONE call of the engine at each step.

Covariance: inverse of the curvature, with the mean slope and mean square of the soft loss's pull over
normal readings in place of one (Huber 1981, ch. 6).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from perf.base.draws import NINE_IN_TEN
from perf.boat.learned import FACTORS
from perf.boat.log_runs import SteadyRuns
from perf.boat.parts import Boat
from perf.studies.trial_model import LEAST_SPEED_MPS, Readings, Tried, untried
from perf.studies.trial_trust import Trust

Array = NDArray[np.float64]

STEP = 0.1  # of a standard deviation: finite differences of the inputs
SPEED_STEP_MPS = 0.05
FARTHEST = 4.0  # standard deviations an input may move
FARTHEST_SPEED = 60.0
MOST_STEPS = 12
CLOSE = 1e-3  # a step shorter than this ends the search
STRANGE = 3.5  # standard deviations from which a reading is shown as an outlier
SCATTER_SEEN = 1.25  # scatter over its doubt from which the doubt is widened

Moments = tuple[float, float, float]


def _moments() -> Moments:
    """Mean slope, mean square of the pull and mean loss over normal readings (Gauss-Hermite)."""
    at, weight = np.polynomial.hermite_e.hermegauss(80)
    weight = weight / weight.sum()
    root = np.sqrt(1.0 + at * at)
    return (
        float((weight / (root * root * root)).sum()),
        float((weight * at * at / (root * root)).sum()),
        float((weight * 2.0 * (root - 1.0)).sum()),
    )


SLOPE, SQUARE, LOSS = _moments()


@dataclass(frozen=True, eq=False)
class Fit:
    """What was found, inputs in the half width of the doubt they had before.

    names, half_widths : the inputs (P,). moves, covariance : of them in that doubt, (P,) and (P, P).
    before, after : one row of readings as the file says and as found; true_speed_mps (m,).
    left : what is left of each reading in standard deviations, by kind, (m,). scatter : how much
    wider than its doubt the log scatters, one where it does not.
    """

    boat: Boat
    tried: Tried
    trust: Trust
    names: tuple[str, ...]
    half_widths: Array
    moves: Array
    covariance: Array
    before: Readings
    after: Readings
    true_speed_mps: Array
    left: dict[str, Array]
    scatter: float
    cost: float
    steps: int
    closed: bool

    @property
    def runs(self) -> SteadyRuns:
        """The runs that were fitted."""
        return self.tried.runs

    def place(self, name: str) -> int:
        """Place of an input among the names; ValueError where it is not among them."""
        return self.names.index(name)

    def left_of(self, name: str) -> float:
        """What is left of an input's doubt, one for all of it."""
        at = self.place(name)
        return float(np.sqrt(self.covariance[at, at]))


def fit(
    boat: Boat,
    runs: SteadyRuns,
    trust: Trust | None = None,
    *,
    only: tuple[str, ...] | None = None,
    widen: bool = True,
) -> Fit:
    """Fit the doubted inputs of a boat to steady runs and to the marks that were taped.

    An earlier trial in the boat is set aside first, so that nothing is counted twice.

    Parameters
    ----------
    boat : read from her file, at the load meant where a run names none.
    runs : at least one run with a speed and one more reading, or taped marks in the boat.
    trust : doubts of meters, methods and day; those assumed of every real log by default.
    only : the inputs that may move, by readable path; all by default.
    widen : whether a log that scatters more than its doubt widens the doubt.

    Raises
    ------
    ValueError where there is nothing to fit, or a run names a load she has not.
    """
    search = _Search.of(untried(boat), runs, trust or Trust.usual(), only)
    found = search.run()
    scatter = search.scatter(found)
    if widen and scatter > SCATTER_SEEN:
        search = replace(search, scale=scatter)
        found = search.run(found.x)
    return search.told(found, scatter if widen else 1.0)


@dataclass(frozen=True, eq=False)
class _Found:
    x: Array
    cost: float
    steps: int
    closed: bool


@dataclass(frozen=True, eq=False)
class _Search:
    """One least-squares problem: x holds the inputs' moves, then those of the speeds, in standard deviations."""

    tried: Tried
    trust: Trust
    names: tuple[str, ...]
    units: Array  # one standard deviation of each input, SI
    scale: float = 1.0

    @classmethod
    def of(
        cls, boat: Boat, runs: SteadyRuns, trust: Trust, only: tuple[str, ...] | None
    ) -> _Search:
        tried = Tried.at(boat, runs, boat.freeboard)
        doubts = tried.doubts()
        first = [path for path in FACTORS if path in doubts]
        names = tuple(
            path
            for path in (*first, *(path for path in doubts if path not in first))
            if only is None or path in only
        )
        search = cls(tried, trust, names, np.array([doubts[n] for n in names]) / NINE_IN_TEN)
        if not search.kept.size:
            raise ValueError(
                "nothing to fit: no run has both a speed and an rpm, a burn or a trim, and no mark was taped"
            )
        return search

    # --- readings ----------------------------------------------------------------------------

    def read(self, moves: Array, speeds: Array) -> Readings:
        """Readings with inputs moved (k, P) and speeds moved (k, m), both in standard deviations."""
        away = {n: moves[:, i] * self.units[i] for i, n in enumerate(self.names)}
        speed = self.tried.runs.speed_mps + speeds * self.trust.speed_sd(self.tried.runs)
        return self.tried.readings(away, np.maximum(speed, LEAST_SPEED_MPS))

    def misfit(self, seen: Readings) -> Array:
        """What is left of every reading in standard deviations, (k, 4 m + marks), NaN where not read."""
        runs, trust = self.tried.runs, self.trust
        with np.errstate(all="ignore"):
            over = np.where(runs.full_throttle, seen.power_ratio, np.maximum(seen.power_ratio, 1.0))
            taped = np.array([mark.over_water_m for mark in self.tried.marks])
            parts = (
                (runs.engine_rpm - seen.engine_rpm) / trust.rpm_sd(runs),
                np.log(runs.fuel_lph / seen.fuel_lph) / trust.fuel_sd(runs),
                (runs.trim_deg - seen.trim_deg) / trust.trim_sd(),
                (1.0 - over) / trust.power_sd(),
                (taped - seen.heights_m) * (NINE_IN_TEN / trust.tape_m),
            )
        return np.concatenate(parts, axis=1) / self.scale

    @property
    def kept(self) -> NDArray[np.intp]:
        """Places of the misfits that were read and that the boat as stated has a number for."""
        runs = self.tried.runs
        none = np.zeros((1, len(self.names))), np.zeros((1, runs.count))
        return np.flatnonzero(np.isfinite(self.misfit(self.read(*none))[0]) & self._useful())

    def _useful(self) -> NDArray[np.bool_]:
        """A run without rpm, burn and trim teaches nothing, unless it was at full throttle."""
        runs = self.tried.runs
        read = [np.isfinite(v) for v in (runs.engine_rpm, runs.fuel_lph, runs.trim_deg)]
        power = np.isfinite(runs.speed_mps) & (runs.full_throttle | read[0] | read[1] | read[2])
        marks = np.ones(len(self.tried.marks), dtype=bool)
        return np.concatenate([*read, power, marks])

    # --- the search ----------------------------------------------------------------------------

    def run(self, start: Array | None = None) -> _Found:
        """Search from the stated values, or from start."""
        inputs, count = len(self.names), self.tried.runs.count
        at = _Linear(self, self.kept)
        edge = np.r_[np.full(inputs, FARTHEST), np.full(count, FARTHEST_SPEED)]
        data = at.kept.size + count

        def loss(z: Array) -> Array:
            rho = np.stack([z, np.ones_like(z), np.zeros_like(z)])
            root = np.sqrt(1.0 + z[:data])
            rho[:, :data] = 2.0 * (root - 1.0), 1.0 / root, -0.5 / (root * root * root)
            return rho

        search: Callable[..., Any] = least_squares
        done = search(
            at.residual,
            np.zeros(inputs + count) if start is None else start,
            jac=at.jacobian,
            bounds=(-edge, edge),
            method="trf",
            loss=loss,
            xtol=CLOSE * CLOSE,
            ftol=CLOSE * CLOSE,
            gtol=CLOSE,
            max_nfev=MOST_STEPS,
        )
        return _Found(np.asarray(done.x), float(done.cost), int(done.nfev), bool(done.status > 0))

    def scatter(self, found: _Found) -> float:
        """Root of the loss left over what normal readings leave, priors and unknowns counted off."""
        at = _Linear(self, self.kept)
        left = at.residual(found.x)
        data = left[: at.kept.size + self.tried.runs.count]
        covariance = self.covariance(found)
        free = data.size - float((1.0 - np.diag(covariance)).sum()) - self._speeds_told(found)
        if free < 1.0:
            return 1.0
        loss = float((2.0 * (np.sqrt(1.0 + data * data) - 1.0)).sum())
        return float(np.sqrt(max(loss / (LOSS * free), 1.0)))

    def _speeds_told(self, found: _Found) -> float:
        return 0.0

    def covariance(self, found: _Found) -> Array:
        """Of the inputs in their own standard deviations, (P, P), speeds taken out."""
        at = _Linear(self, self.kept)
        slopes = at.jacobian(found.x)
        data = at.kept.size + self.tried.runs.count
        told = slopes[:data].T @ slopes[:data]
        own = np.diag(np.r_[np.ones(len(self.names)), np.zeros(self.tried.runs.count)])
        curve = np.linalg.inv(SLOPE * told + own)
        whole = curve @ (SQUARE * told + own) @ curve
        return whole[: len(self.names), : len(self.names)]

    def told(self, found: _Found, scatter: float) -> Fit:
        """The search as a Fit: the share no log takes away is put back."""
        inputs = len(self.names)
        moves, speeds = found.x[None, :inputs], found.x[None, inputs:]
        nowhere = np.zeros_like(moves), np.zeros_like(speeds)
        before, after = self.read(*nowhere), self.read(moves, speeds)
        runs = self.tried.runs
        again = self.read(moves, nowhere[1])
        sizes = np.split(self.misfit(again)[0] * self.scale, runs.count * np.arange(1, 5))
        kept = self.trust.other_day * self.trust.other_day
        covariance = (1.0 - kept) * self.covariance(found) + kept * np.eye(inputs)
        return Fit(
            self.tried.boats[0],
            self.tried,
            self.trust,
            self.names,
            self.units * NINE_IN_TEN,
            moves[0] / NINE_IN_TEN,
            covariance,
            before,
            after,
            runs.speed_mps + speeds[0] * self.trust.speed_sd(runs),
            dict(zip(("rpm", "fuel", "trim", "power", "height"), sizes, strict=True)),
            scatter,
            found.cost,
            found.steps,
            found.closed,
        )


class _Linear:
    """Residuals and slopes at a point, both from one call of the engine, kept for the next asking."""

    def __init__(self, search: _Search, kept: NDArray[np.intp]) -> None:
        self.search, self.kept = search, kept
        self.at: bytes = b""
        self.values = np.empty(0)
        self.slopes = np.empty((0, 0))

    def residual(self, x: Array) -> Array:
        """Readings, speeds, priors: all that is left over at x."""
        self._go(x)
        return self.values

    def jacobian(self, x: Array) -> Array:
        """Slopes of the residuals at x."""
        self._go(x)
        return self.slopes

    def _go(self, x: Array) -> None:
        if x.tobytes() == self.at:
            return
        search = self.search
        inputs, count = len(search.names), search.tried.runs.count
        sd = search.trust.speed_sd(search.tried.runs)
        moves = np.repeat(x[None, :inputs], inputs + 2, axis=0)
        moves[np.arange(inputs) + 1, np.arange(inputs)] += STEP
        speeds = np.repeat(x[None, inputs:], inputs + 2, axis=0)
        stride = SPEED_STEP_MPS / sd
        speeds[-1] += stride
        left = search.misfit(search.read(moves, speeds))[:, self.kept]
        base = left[0]
        steps = (left[1 : inputs + 1] - base) / STEP
        by_speed = np.zeros((self.kept.size, count))
        of_run = self.kept < 4 * count
        run = self.kept[of_run] % max(count, 1)
        by_speed[np.flatnonzero(of_run), run] = ((left[-1] - base)[of_run]) / stride[run]
        data = np.concatenate([np.nan_to_num(steps.T), np.nan_to_num(by_speed)], axis=1)
        own = np.eye(inputs + count)
        # speeds first among what is left, as they are readings too
        order = np.r_[np.arange(inputs, inputs + count), np.arange(inputs)]
        own[inputs:, inputs:] /= search.scale
        self.slopes = np.concatenate([data, own[order]])
        self.values = np.concatenate([np.nan_to_num(base), x[inputs:] / search.scale, x[:inputs]])
        self.at = x.tobytes()
