"""Where the power goes: what the propeller shafts give, parted by what it is spent on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

Array = NDArray[np.float64]

DRAGS = {
    "hull in the water": "resistance_n",
    "drive legs in the water": "leg_drag_n",
    "air": "air_drag_n",
}
LOST = "lost at the propellers"


@dataclass(frozen=True)
class PowerShare:
    """One part of the power at one speed: its name, the power [W], its share of all (0 to 1)."""

    part: str
    power_w: float
    share: float


def power_shares(rows: pd.DataFrame, at: int) -> tuple[PowerShare, ...]:
    """Power at all propeller shafts in one row of a speeds table, parted; the parts add up to it.

    A drag costs drag times speed. What is left of the shaft power is lost at the propellers: slip,
    swirl and friction of the blades, and what they pull on the hull.

    at : position of the row. ValueError where she does not run at that speed.
    """
    row = rows.iloc[at]
    shaft = float(row["shaft_power_w"])
    if not np.isfinite(shaft):
        raise ValueError(f"no power is known in row {at}: {row['status']}")
    spent = {part: float(row[name] * row["speed_mps"]) for part, name in DRAGS.items()}
    spent[LOST] = shaft - sum(spent.values())
    return tuple(PowerShare(part, power, power / shaft) for part, power in spent.items())


def running_rows(rows: pd.DataFrame) -> tuple[int, ...]:
    """Positions of the rows in which she runs, by rising speed."""
    return tuple(int(at) for at in np.flatnonzero(np.isfinite(rows["shaft_power_w"].to_numpy())))


def nearest_row(rows: pd.DataFrame, speed_mps: float | None) -> int | None:
    """Position of the row in which she runs nearest to a speed, the fastest for None; None without rows."""
    known = running_rows(rows)
    if not known:
        return None
    if speed_mps is None:
        return known[-1]
    away: Array = np.abs(rows["speed_mps"].to_numpy()[list(known)] - speed_mps)
    return known[int(np.argmin(away))]
