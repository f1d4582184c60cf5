"""What an engine does to the transom it hangs on: moment and bolt reactions, elementary statics.

A figure for the surveyor. Whether a transom carries it is for a qualified person to judge; nothing
here knows the laminate, the core or the bolts.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]


@law("Moment about the lower bolts", "own", "statics: M = T h + W n x", Basis.ASSUMED)
def transom_moment(
    thrust_n: ArrayLike,
    thrust_below_m: ArrayLike,
    weight_n: ArrayLike,
    weight_aft_m: ArrayLike,
    load_factor: ArrayLike = 1.0,
) -> Array:
    """Moment that pulls the upper bolts out of the transom [N m]; broadcast shape.

    thrust_n acts thrust_below_m under the lower bolt row [m]; weight_n hangs weight_aft_m aft of it
    [m], multiplied by load_factor: 1 at rest, more as she slams.
    """
    push = np.asarray(thrust_n, dtype=float) * np.asarray(thrust_below_m, dtype=float)
    hang = np.asarray(weight_n, dtype=float) * np.asarray(weight_aft_m, dtype=float)
    return np.asarray(push + np.asarray(load_factor, dtype=float) * hang)


@law("Pull on each upper bolt", "own", "statics: F = M / (rows apart x bolts)", Basis.ASSUMED)
def bolt_pull(moment_nm: ArrayLike, rows_apart_m: ArrayLike, bolts_a_row: ArrayLike) -> Array:
    """Pull on each bolt of the upper row [N], its lower edge bearing at the lower row; broadcast shape."""
    with np.errstate(divide="ignore", invalid="ignore"):
        each = np.asarray(moment_nm, dtype=float) / np.asarray(rows_apart_m, dtype=float)
        return np.asarray(each / np.asarray(bolts_a_row, dtype=float))


@law("Shear on each bolt", "own", "statics: weight over all bolts", Basis.ASSUMED)
def bolt_shear(weight_n: ArrayLike, load_factor: ArrayLike, bolts_a_row: ArrayLike) -> Array:
    """Weight carried across each bolt of two rows [N]; broadcast shape."""
    carried = np.asarray(weight_n, dtype=float) * np.asarray(load_factor, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(carried / (2.0 * np.asarray(bolts_a_row, dtype=float)))
