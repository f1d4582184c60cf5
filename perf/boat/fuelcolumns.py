"""The owner's burn table as columns of lanes: twelve rows of rpm share and factor, one (n,) array each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.boat.parts import Engine
from perf.laws.fuel_table import ROWS, filled

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class FuelColumns:
    """Rows of the burn table: rpm over rated rpm, and burn over the law's; ones where there is no table."""

    fuel_share_0: Array
    fuel_share_1: Array
    fuel_share_2: Array
    fuel_share_3: Array
    fuel_share_4: Array
    fuel_share_5: Array
    fuel_share_6: Array
    fuel_share_7: Array
    fuel_share_8: Array
    fuel_share_9: Array
    fuel_share_10: Array
    fuel_share_11: Array
    fuel_factor_0: Array
    fuel_factor_1: Array
    fuel_factor_2: Array
    fuel_factor_3: Array
    fuel_factor_4: Array
    fuel_factor_5: Array
    fuel_factor_6: Array
    fuel_factor_7: Array
    fuel_factor_8: Array
    fuel_factor_9: Array
    fuel_factor_10: Array
    fuel_factor_11: Array

    @property
    def fuel_shares(self) -> tuple[Array, ...]:
        """Rpm over rated rpm of each row, rising."""
        return tuple(getattr(self, f"fuel_share_{row}") for row in range(ROWS))

    @property
    def fuel_factors(self) -> tuple[Array, ...]:
        """Burn over the law's of each row."""
        return tuple(getattr(self, f"fuel_factor_{row}") for row in range(ROWS))


def fuel_columns(motor: Engine) -> dict[str, float]:
    """The columns of one engine."""
    shares, factors = filled(motor.fuel_table)
    return {f"fuel_share_{row}": share for row, share in enumerate(shares)} | {
        f"fuel_factor_{row}": factor for row, factor in enumerate(factors)
    }
