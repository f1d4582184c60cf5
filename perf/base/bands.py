"""What a band of ours holds: of our own draws, and of the figures that were measured on boats."""

from __future__ import annotations

from functools import cache

from perf.base.tables import read_table

KEPT = "how_sure.csv"  # written from the evidence by tests/write_readme.py
AS_SHE_IS, AFTER_A_TRIAL = "as she is", "after a sea trial"
OF_DRAWS = "eight in ten of our own draws"
COUNTED = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@cache
def kept() -> dict[str, tuple[int, int]]:
    """Figures that were measured on boats nothing was tuned to, and how many fell inside our band.

    Keys AS_SHE_IS and AFTER_A_TRIAL, the last being readings a fitted boat was asked for blind.
    """
    rows = read_table(KEPT).rows
    return {row["bands"]: (int(row["figures"]), int(row["inside"])) for row in rows}


def in_ten(figures: int, inside: int) -> str:
    """A share as words of the dock: 39 of 67 is "about six in ten"."""
    return f"about {COUNTED[round(10 * inside / figures)]} in ten"


def about_measured(bands: str = AS_SHE_IS) -> str:
    """The share of measured figures that fell inside, such as "about six in ten"."""
    return in_ten(*kept()[bands])


def fell_inside(bands: str = AS_SHE_IS, where: str = "How sure") -> str:
    """What the bands held of what was measured, and where more of it stands; no full stop."""
    about = about_measured(bands)
    if bands == AFTER_A_TRIAL:
        return f"of readings on real boats after a trial {about} fell inside (see {where})"
    return f"of figures measured on real boats {about} fell inside (see {where})"


def measured_bands(kind: str) -> str:
    """Which of the two stands beside the bands of a kind of result."""
    return AFTER_A_TRIAL if kind in ("trial", "trial plan") else AS_SHE_IS
