"""What one reading alone says of a factor: it cannot be told from a slip of that reading, so it is given less weight.

With runs enough that one may be set aside, a single rpm or burn that is a slip may move no factor of the
boat by more than its standard deviation. A slow run is the only one that knows the fuel at rest: were its burn read a third off, no other
run would speak against it, and a robust loss would see nothing strange.
"""

from __future__ import annotations

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from perf.boat.learned import FACTORS
from perf.studies.trial.search import FARTHEST, SLOPE, Found, Linear, Search

Array = NDArray[np.float64]

# A reading that tells a factor l times as surely as all else moves it, when it is wrong by as far as a
# factor is ever sought (FARTHEST), by FARTHEST l / (1 + l); that is one standard deviation of what is
# left, 1 / sqrt(1 + l), at this l.
SURELY = (1.0 + sqrt(1.0 + 4.0 * FARTHEST * FARTHEST)) / (2.0 * FARTHEST * FARTHEST)
TAKEN = SURELY / (1.0 + SURELY)  # of a factor's variance, the most that one reading may take


def shares_counted(search: Search, found: Found) -> Array:
    """Share at which each reading counts, (4 m + marks,): one where others speak of the same factors too."""
    inputs, count = len(search.names), search.tried.runs.count
    slopes = np.sqrt(SLOPE) * Linear(search).jacobian(found.x)[: search.kept.size + count]
    whole = np.linalg.inv(slopes.T @ slopes + np.diag(np.r_[np.ones(inputs), np.zeros(count)]))
    factors = [at for at, name in enumerate(search.names) if name in FACTORS]
    counted = np.ones(4 * count + len(search.tried.marks))
    for row, place in enumerate(search.kept):
        if place < 2 * count:  # the rpm and the burn of a run
            counted[place] = _share(whole, slopes[row], factors)
    return counted


def _share(whole: Array, slope: Array, factors: list[int]) -> float:
    """The weight w at which a reading takes no more than TAKEN of any factor's variance.

    With the reading taken out the covariance is V, across = V g, own = gᵀ V g; counted at w it takes
    w across² / (1 + w own) off a factor's variance.
    """
    seen = whole @ slope
    left = 1.0 - float(slope @ seen)
    if left <= 0.0:
        return 1.0
    across, own = seen[factors] / left, (1.0 - left) / left
    most = TAKEN * (np.diag(whole)[factors] + seen[factors] ** 2 / left)
    over = across * across - own * most
    weights = np.where(over > 0.0, most / np.maximum(over, 1e-300), 1.0)
    return float(min(1.0, weights.min(initial=1.0)))
