"""Random numbers that belong to a name: draw i of an input is the same whatever else is drawn."""

from __future__ import annotations

import hashlib

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

NINE_IN_TEN = float(
    ndtri(0.95)
)  # half width of the central 90 % of a normal, in standard deviations
EIGHT_IN_TEN = float(ndtri(0.9))  # the same of the central 80 %
FARTHEST = 3.0  # draws beyond three standard deviations are set back to three


def standard_normal(seed: int, name: str, count: int) -> NDArray[np.float64]:
    """Standard normal draws (count,) keyed by (seed, name, draw): counter-based, so the first k of n agree.

    One Philox block per draw; normal by the inverse distribution, held within ±3.
    """
    digest = hashlib.blake2b(f"{seed}:{name}".encode(), digest_size=16).digest()
    key = np.frombuffer(digest, dtype=np.uint64)
    raw = np.random.Philox(key=key).random_raw(count)
    uniform = ((raw >> np.uint64(11)).astype(np.float64) + 0.5) * 2.0**-53
    return np.asarray(np.clip(ndtri(uniform), -FARTHEST, FARTHEST))


def drawn(seed: int, name: str, count: int, value: float, half_width: float) -> NDArray[np.float64]:
    """Draws (count,) around value whose central 90 % spans value ± half_width."""
    return value + standard_normal(seed, name, count) * (half_width / NINE_IN_TEN)
