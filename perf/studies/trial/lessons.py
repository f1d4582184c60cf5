"""From a fit to the Trial part: the factors, and what was learned of all inputs together, rounded as written."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from perf.boat.learned import FACTORS
from perf.boat.parts import Learned, Trial
from perf.studies.trial.fit import Fit

Array = NDArray[np.float64]

MATTERS = 0.01  # a move or a link under this share of an input's doubt is left out
DIGITS = 4
BASE = {"balance_m": 0.0}  # a factor not named here is one before the trial
FACTOR_DIGITS = 5


def lessons(fit: Fit, *, log: str = "", date: str = "", version: str = "") -> Trial:
    """The Trial part that makes the boat the calibrated one: Boat.at(trial=lessons(…)).

    Inputs that neither moved nor are linked to another are left to their own doubt. Numbers are
    rounded as the boat file holds them, so that a boat read back is the same boat.
    """
    kept = _that_matter(fit)
    spread = np.linalg.cholesky(fit.spread[np.ix_(kept, kept)])
    names = tuple(fit.names[at] for at in kept)
    units = tuple(_significant(float(fit.half_widths[at])) for at in kept)
    moves = [0.0 if fit.names[at] in FACTORS else float(fit.moves[at]) for at in kept]
    learned = Learned(
        names,
        units,
        tuple(_rounded(move) for move in moves),
        tuple(
            tuple(_rounded(float(part)) for part in row[: place + 1])
            for place, row in enumerate(spread)
        ),
    )
    return Trial(
        **_factors(fit, dict(zip(names, units, strict=True))),
        log=log,
        date=date,
        version=version,
        learned=learned if names else None,
    )


def _that_matter(fit: Fit) -> NDArray[np.intp]:
    """Places of the inputs that moved, narrowed or are linked; those that stand for factors first."""
    apart = np.sqrt(np.diag(fit.covariance))
    linked = np.abs(fit.covariance / np.outer(apart, apart) - np.eye(apart.size))
    strong = linked.max(axis=1) if apart.size else apart
    told = (np.abs(fit.moves) > MATTERS) | (apart < 1.0 - MATTERS) | (strong > MATTERS)
    return np.flatnonzero(told)


def _factors(fit: Fit, units: Mapping[str, float]) -> dict[str, float]:
    """The fields of Trial that the fit found."""
    found = {}
    for path, unit in units.items():
        field = FACTORS.get(path)
        if field is not None:
            value = BASE.get(field, 1.0) + unit * float(fit.moves[fit.place(path)])
            found[field] = float(round(value, FACTOR_DIGITS))
    return found


def _rounded(value: float) -> float:
    return float(round(value, DIGITS))


def _significant(value: float) -> float:
    return float(f"{value:.6g}")
