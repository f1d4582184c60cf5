"""The fit of a sea trial: every doubted input moved together until the log is met, prior doubt kept in view.

perf.studies.trial.search does the search. Draws that move many inputs at once bend away from the
straight line its covariance rests on, and would spread the readings wider than the fit leaves them.
What they spread by being bent is measured on samples. The covariance that is drawn from (Fit.spread)
is then narrowed where readings can see it, each way to the share t at which straight and bent together
spread as wide as the fit leaves it: t + b t² = 1, b being the bent over the straight variance (the
variance of a bend of second order goes with the square of what bends it).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from perf.base.draws import NINE_IN_TEN, standard_normal
from perf.boat.log.runs import SteadyRuns
from perf.boat.parts import Boat
from perf.studies.trial.alone import shares_counted
from perf.studies.trial.model import Readings, Tried, untried
from perf.studies.trial.search import KINDS, STEP, Found, Search, misfits
from perf.studies.trial.trust import Trust

Array = NDArray[np.float64]

RUNS_FOR_ONE = 8  # of which one may be set aside
SAMPLES = 160
RARE = 0.02  # share of the samples at each end that is set back: one far off must not speak for all
SEEN = 1e-6  # of the greatest spread of the readings: less is nothing


@dataclass(frozen=True, eq=False)
class Fit:
    """What was found, inputs in the half width of the doubt they had before.

    names, half_widths : the inputs (P,). moves, covariance : of them in that doubt, (P,) and (P, P).
    spread : the covariance they are drawn from, what is bent being counted in.
    readings : as the file says and as found, (2, m). true_speed_mps : as found, (m,). left : what is
    left of each reading in standard deviations by kind, (2, m) as the file says and as found.
    scatter : how much wider than its doubt the log scatters, one where it does not. aside : places of
    the runs that stand out and were not counted.
    """

    tried: Tried
    trust: Trust
    names: tuple[str, ...]
    half_widths: Array
    moves: Array
    covariance: Array
    spread: Array
    readings: Readings
    true_speed_mps: Array
    left: dict[str, Array]
    scatter: float
    aside: tuple[int, ...]
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

    An earlier trial in the boat is set aside first, so that nothing is counted twice. Of every eight
    runs the one that stands far out of the rest is set aside and told (Fit.aside); with eight or more no
    single reading may tell a factor by itself (perf.studies.trial.alone).

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
    search = Search.of(untried(boat), runs, trust or Trust.usual(), only)
    found = search.run()
    for _ in range(runs.count // RUNS_FOR_ONE):
        strange = search.strangest(found)
        if strange is None:
            break
        search = search.without_run(strange)
        found = search.run(found.x)
    if runs.count >= RUNS_FOR_ONE:
        counted = shares_counted(search, found)
        if counted.min() < 1.0:
            search = replace(search, counted=counted)
            found = search.run(found.x)
    scatter = search.scatter(found) if widen else 1.0
    if scatter > 1.0:
        search = replace(search, scale=scatter)
        found = search.run(found.x)
    return _told(search, found, scatter)


def _unbent(search: Search, moves: Array, speeds: Array, covariance: Array) -> Array:
    """The covariance less what samples drawn from it spread by not lying on the straight line."""
    inputs = len(search.names)
    root = np.linalg.cholesky(covariance)
    normals = [standard_normal(0, f"bent {name}", SAMPLES) for name in search.names]
    away = np.stack(normals, axis=1) @ root.T
    step = np.concatenate([np.zeros((1, inputs)), STEP * np.eye(inputs), away])
    still = np.repeat(speeds[None, :], step.shape[0], axis=0)
    left = search.misfit(search.read(moves + step, still))[
        :, search.kept[search.active()[: search.kept.size]]
    ]
    left = np.where(np.isfinite(left).all(axis=0), left, 0.0)
    slopes = (left[1 : inputs + 1] - left[0]) / STEP
    off = left[inputs + 1 :] - left[0] - away @ slopes
    bent = np.clip(off, *np.quantile(off, (RARE, 1.0 - RARE), axis=0)) if off.size else off
    across = covariance @ slopes
    seen = slopes.T @ across
    size, axes = np.linalg.eigh(seen)
    good = size > SEEN * max(float(size.max(initial=0.0)), SEEN)
    half = axes[:, good] * np.sqrt(size[good])
    back = axes[:, good] / np.sqrt(size[good])
    much = back.T @ np.atleast_2d(np.cov(bent, rowvar=False)) @ back
    share, ways = np.linalg.eigh(much)
    # what t + b t² = 1 leaves to be taken off, written so that no b near nought is divided by
    taken = 1.0 - 2.0 / (1.0 + np.sqrt(1.0 + 4.0 * np.maximum(share, 0.0)))
    gain = across @ (back @ back.T)
    return covariance - gain @ half @ (ways * taken) @ ways.T @ half.T @ gain.T


def _told(search: Search, found: Found, scatter: float) -> Fit:
    """The search as a Fit, with the share put back that no log of one day takes away."""
    inputs, runs = len(search.names), search.tried.runs
    apart = search.trust.other_day
    same = float(np.sqrt(1.0 - apart * apart))
    covariance = same * same * search.covariance(found) + apart * apart * np.eye(inputs)
    moves, speeds = same * found.x[:inputs], found.x[inputs:]
    spread = _unbent(search, moves, speeds, covariance)
    seen = search.read(np.stack([0.0 * moves, moves]), np.zeros((2, runs.count)))
    left = np.split(misfits(search.tried, search.trust, seen), runs.count * np.arange(1, 5), axis=1)
    return Fit(
        search.tried,
        search.trust,
        search.names,
        search.units * NINE_IN_TEN,
        moves / NINE_IN_TEN,
        covariance,
        spread,
        seen,
        runs.speed_mps + speeds * search.trust.speed_sd(runs),
        dict(zip(KINDS, left, strict=True)),
        scatter,
        search.aside,
        found.steps,
        found.closed,
    )
