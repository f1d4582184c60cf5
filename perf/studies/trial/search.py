"""The search of a sea trial's fit: what is left over, its slopes in one call of the engine, least squares.

Unknowns are the inputs that are drawn for the boat (the seven factors of the Trial part first), each
in its own standard deviation from what is stated, and the true speed of each run in the standard
deviation of the meter. Left over are, each in its standard deviation,

    rpm     read less worked out          fuel    logarithm of read over worked out
    trim    read less worked out          power   needed over full, less one (at full throttle; and
    speed   true less read                        wherever more than full would be needed)
    height  of a taped mark, read less worked out
    prior   every input's own move

The data pass through a soft loss, 2 c² (sqrt(1 + r²/c²) - 1) with c = 2, so that no reading pulls more
than two; the priors do not. Slopes are forward differences: rows of ONE call of the engine at each step.

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
from scipy.special import chdtri

from perf.base.draws import NINE_IN_TEN
from perf.boat.learned import FACTORS
from perf.boat.log.runs import SteadyRuns
from perf.boat.parts import Boat
from perf.studies.trial.model import LEAST_SPEED_MPS, Readings, Tried
from perf.studies.trial.trust import Trust

Array = NDArray[np.float64]

STEP = 0.03  # of a standard deviation: finite differences of the inputs
SPEED_STEP_MPS = 0.02
FARTHEST = 4.0  # standard deviations an input may move
FARTHEST_SPEED = 60.0
REACH = 6.0  # standard deviations the first step may go
# the corner of the soft loss, and steps allowed: nearly least squares from afar, then as it should be
CORNER = 2.0
STAGES = ((8.0, 6), (CORNER, 24))
CLOSE = 1e-3  # a step shorter than this ends the search
HEARD = 0.03  # standard deviations of all readings together that an input must move to be sought
STRANGE = (
    4.0  # standard deviations, or so many times what the rest is off, from which a run stands out
)
MEDIAN_OF_NORMAL = 0.6745
CHANCE = 0.01  # of so much scatter in a log whose meters are as good as said: less, and the doubt is widened

KINDS = ("rpm", "fuel", "trim", "power", "height")
ROUNDING = 0.5  # of a standard deviation: the corner of what is one-sided
Moments = tuple[float, float, float]


def _moments() -> Moments:
    """Mean slope, mean square of the pull and mean loss over normal readings (Gauss-Hermite)."""
    at, weight = np.polynomial.hermite_e.hermegauss(80)
    weight = weight / weight.sum()
    bend = CORNER * CORNER
    root = np.sqrt(1.0 + at * at / bend)
    return (
        float((weight / (root * root * root)).sum()),
        float((weight * at * at / (root * root)).sum()),
        float((weight * 2.0 * bend * (root - 1.0)).sum()),
    )


SLOPE, SQUARE, LOSS = _moments()


def _soft_part(value: Array) -> Array:
    """The value where it is more than nought, nought elsewhere, its corner rounded."""
    return 0.5 * (value + np.sqrt(value * value + ROUNDING * ROUNDING))


def _soft(count: int, corner: float) -> Callable[[Array], Array]:
    """The loss and its first two slopes in the square: soft for the first count, plain for the rest."""

    def loss(square: Array) -> Array:
        rho = np.stack([square, np.ones_like(square), np.zeros_like(square)])
        bend = corner * corner
        root = np.sqrt(1.0 + square[:count] / bend)
        rho[:, :count] = 2.0 * bend * (root - 1.0), 1.0 / root, -0.5 / (bend * root * root * root)
        return rho

    return loss


def misfits(tried: Tried, trust: Trust, seen: Readings, rpm_share: Array | None = None) -> Array:
    """What is left of every reading in standard deviations, (k, 4 m + marks), NaN where not read.

    rpm, fuel, trim and power of every run, then the heights of the marks. rpm_share : what is read of
    the true rpm, (k,).
    """
    runs = tried.runs
    shown = 1.0 if rpm_share is None else rpm_share[:, None]
    with np.errstate(all="ignore"):
        spare = (1.0 - seen.power_ratio) / trust.power_sd()
        short = np.where(runs.full_throttle, spare, -_soft_part(-spare))
        taped = np.array([mark.over_water_m for mark in tried.marks])
        parts = (
            (runs.engine_rpm * shown - seen.engine_rpm) / trust.rpm_sd(runs),
            np.log(runs.fuel_lph / seen.fuel_lph) / trust.fuel_sd(runs),
            (runs.trim_deg - seen.trim_deg) / trust.trim_sd(),
            short,
            (taped - seen.heights_m) * (NINE_IN_TEN / trust.tape_m),
        )
        return np.concatenate(parts, axis=1)


@dataclass(frozen=True, eq=False)
class Found:
    """Where a search ended: moves and speeds, the loss there, steps taken, whether it closed."""

    x: Array
    cost: float
    steps: int
    closed: bool


@dataclass(frozen=True, eq=False)
class Search:
    """One least-squares problem: x holds the inputs' moves, then those of the speeds, in standard deviations."""

    tried: Tried
    trust: Trust
    names: tuple[str, ...]
    units: Array  # one standard deviation of each input, SI
    kept: NDArray[np.intp]  # places of the misfits that count
    scale: float = 1.0
    aside: tuple[int, ...] = ()
    counted: Array | None = (
        None  # share at which each reading counts, (4 m + marks,); all whole by default
    )

    @classmethod
    def of(cls, boat: Boat, runs: SteadyRuns, trust: Trust, only: tuple[str, ...] | None) -> Search:
        """The search for a boat before any trial; ValueError where nothing can be fitted."""
        tried = Tried.at(boat, runs, boat.freeboard)
        doubts = tried.doubts()
        first = [path for path in FACTORS if path in doubts]
        names = tuple(
            path
            for path in (*first, *(path for path in doubts if path not in first))
            if only is None or path in only
        )
        units = np.array([doubts[n] for n in names]) / NINE_IN_TEN
        search = cls(tried, trust, names, units, np.empty(0, dtype=np.intp))
        search = replace(search, kept=search.counting())
        if not search.kept.size:
            raise ValueError(
                "nothing to fit: no run has both a speed and an rpm, a burn or a trim, and no mark was taped"
            )
        return search if only is not None else search.without_idlers()

    # --- readings ----------------------------------------------------------------------------

    def read(self, moves: Array, speeds: Array) -> Readings:
        """Readings with inputs moved (k, P) and speeds moved (k, m), both in standard deviations."""
        away = {n: moves[:, i] * self.units[i] for i, n in enumerate(self.names)}
        speed = self.tried.runs.speed_mps + speeds * self.trust.speed_sd(self.tried.runs)
        return self.tried.readings(away, np.maximum(speed, LEAST_SPEED_MPS))

    def misfit(self, seen: Readings) -> Array:
        """What is left of every reading in standard deviations, (k, 4 m + marks), NaN where not read."""
        left = misfits(self.tried, self.trust, seen) / self.scale
        return left if self.counted is None else left * np.sqrt(self.counted)

    def counting(self) -> NDArray[np.intp]:
        """Places of the misfits that were read and that the boat as stated has a number for."""
        none = np.zeros((1, len(self.names))), np.zeros((1, self.tried.runs.count))
        return np.flatnonzero(np.isfinite(self.misfit(self.read(*none))[0]) & self._useful())

    def without_idlers(self) -> Search:
        """The same search without the inputs that no reading heeds: they stay as they are."""
        inputs = len(self.names)
        slopes = Linear(self).jacobian(np.zeros(inputs + self.tried.runs.count))
        told = slopes[: self.kept.size, :inputs]
        heard = np.flatnonzero(np.sqrt((told * told).sum(axis=0)) > HEARD)
        return replace(self, names=tuple(self.names[i] for i in heard), units=self.units[heard])

    def _useful(self) -> NDArray[np.bool_]:
        """A run without rpm, burn and trim teaches nothing, unless it was at full throttle."""
        runs = self.tried.runs
        read = [np.isfinite(v) for v in (runs.engine_rpm, runs.fuel_lph, runs.trim_deg)]
        power = np.isfinite(runs.speed_mps) & (runs.full_throttle | read[0] | read[1] | read[2])
        marks = np.ones(len(self.tried.marks), dtype=bool)
        return np.concatenate([*read, power, marks])

    # --- the search ----------------------------------------------------------------------------

    def run(self, start: Array | None = None) -> Found:
        """Search from the stated values, or from start."""
        inputs, count = len(self.names), self.tried.runs.count
        at = Linear(self)
        edge = np.r_[np.full(inputs, FARTHEST), np.full(count, FARTHEST_SPEED)]
        data = self.kept.size + count

        solve: Callable[..., Any] = least_squares
        x = np.zeros(inputs + count) if start is None else start
        steps = 0
        for corner, most in STAGES if start is None else STAGES[1:]:
            done = solve(
                at.residual,
                x,
                jac=at.jacobian,
                bounds=(-edge, edge),
                method="trf",
                x_scale=REACH,
                loss=_soft(data, corner),
                xtol=CLOSE,
                ftol=CLOSE,
                gtol=CLOSE,
                max_nfev=most,
            )
            x, steps = np.asarray(done.x), steps + int(done.nfev)
        return Found(x, float(done.cost), steps, bool(done.status > 0))

    def active(self) -> NDArray[np.bool_]:
        """Which of the kept readings, and then of the speeds, say something whatever is found.

        Power is one-sided where the throttle was not full; a run set aside has no speed.
        """
        runs = self.tried.runs
        where = self.kept - 3 * runs.count
        power = (where >= 0) & (where < runs.count)
        full = runs.full_throttle[np.where(power, where, 0)] if runs.count else power
        speed = np.isfinite(runs.speed_mps) & ~np.isin(np.arange(runs.count), self.aside)
        return np.concatenate([~power | full, speed])

    def strangest(self, found: Found) -> int | None:
        """The run that stands far out of the rest; None where none does."""
        runs = self.tried.runs
        left = np.abs(Linear(self).residual(found.x)[: self.kept.size + runs.count])
        left = np.where(self.active(), left, 0.0)
        usual = float(np.median(left[self.active()])) / MEDIAN_OF_NORMAL
        place = np.concatenate([self.kept, np.arange(runs.count)])
        of_run = np.concatenate([self.kept < 4 * runs.count, np.ones(runs.count, dtype=bool)])
        worst = int(np.argmax(np.where(of_run, left, 0.0)))
        if left[worst] <= STRANGE * max(usual, 1.0):
            return None
        return int(place[worst] % runs.count)

    def without_run(self, run: int) -> Search:
        """The same search with one run not counted."""
        count = self.tried.runs.count
        gone = (self.kept < 4 * count) & (self.kept % max(count, 1) == run)
        return replace(self, kept=self.kept[~gone], aside=(*self.aside, run))

    def scatter(self, found: Found) -> float:
        """How much wider than its doubt the data scatter; one unless chance would hardly do it."""
        at = Linear(self)
        active = self.active()
        left = at.residual(found.x)[: active.size][active]
        told, own = self._curvature(at, found)
        free = left.size - float(np.trace(np.linalg.solve(told + own, told)))
        if free < 1.0:
            return 1.0
        bend = CORNER * CORNER
        loss = float((2.0 * bend * (np.sqrt(1.0 + left * left / bend) - 1.0)).sum())
        much = loss / (LOSS * free)
        return float(np.sqrt(much)) if much > chdtri(free, CHANCE) / free else 1.0

    def _curvature(self, at: Linear, found: Found) -> tuple[Array, Array]:
        """What the data and what the priors say of inputs and speeds together."""
        inputs, count = len(self.names), self.tried.runs.count
        slopes = at.jacobian(found.x)[: self.kept.size + count]
        return slopes.T @ slopes, np.diag(np.r_[np.ones(inputs), np.zeros(count)])

    def covariance(self, found: Found) -> Array:
        """Of the inputs in their own standard deviations, (P, P), the speeds taken out."""
        told, own = self._curvature(Linear(self), found)
        curve = np.linalg.inv(SLOPE * told + own)
        whole = curve @ (SQUARE * told + own) @ curve
        return whole[: len(self.names), : len(self.names)]


class Linear:
    """Residuals and slopes at a point, both from one call of the engine, kept for the next asking."""

    def __init__(self, search: Search) -> None:
        self.search = search
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
        left = search.misfit(search.read(moves, speeds))[:, search.kept]
        base = np.nan_to_num(left[0])
        by_input = np.nan_to_num((left[1 : inputs + 1] - left[0]) / STEP).T
        by_speed = np.zeros((search.kept.size, count))
        sailed = np.flatnonzero(search.kept < 4 * count)
        run = search.kept[sailed] % max(count, 1)
        by_speed[sailed, run] = np.nan_to_num((left[-1] - left[0])[sailed] / stride[run])
        data = np.concatenate([by_input, by_speed], axis=1)
        # speeds come before the priors of the inputs: they are readings too
        speed = np.eye(count, inputs + count, inputs) / search.scale
        self.slopes = np.concatenate([data, speed, np.eye(inputs, inputs + count)])
        self.values = np.concatenate([base, x[inputs:] / search.scale, x[:inputs]])
        self.at = x.tobytes()
