"""An owner's own burn table over the fuel law: a factor along the share of rated rpm."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]

ROWS = 12  # most rows of a table: idle, then every 500 rpm to 6000
NEUTRAL = (tuple(float(row) for row in range(ROWS)), (1.0,) * ROWS)


@law(
    "Burn by the owner's own table",
    "own",
    "factor on the fuel law, straight lines between the rows of the table, held at its ends",
    Basis.ASSUMED,
)
def table_factor(
    rotation_share: ArrayLike, shares: Sequence[ArrayLike], factors: Sequence[ArrayLike]
) -> Array:
    """Factor on the fuel law at a share of rated rpm; broadcast shape.

    shares are the rows' rpm over rated rpm, rising, factors the table's burn over the law's there:
    both as long as the table, each entry a number or an array that broadcasts.
    """
    share = np.asarray(rotation_share, dtype=np.float64)
    first = np.asarray(factors[0], dtype=np.float64)
    value = np.broadcast_to(first, np.broadcast_shapes(first.shape, share.shape))
    for row in range(1, len(shares)):
        low, high = np.asarray(shares[row - 1]), np.asarray(shares[row])
        past = np.clip((share - low) / (high - low), 0.0, 1.0)
        value = value + (np.asarray(factors[row]) - np.asarray(factors[row - 1])) * past
    result: Array = value
    return result


def filled(table: Sequence[tuple[float, float]]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Shares and factors of a table, ROWS of each: rows past its last one change nothing."""
    if not table:
        return NEUTRAL
    shares = [share for share, _ in table]
    factors = [factor for _, factor in table]
    for _ in range(ROWS - len(table)):
        shares.append(shares[-1] + 1.0)
        factors.append(factors[-1])
    return tuple(shares), tuple(factors)
