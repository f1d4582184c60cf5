"""Planing series: the 1985 regression of Series 62 and 65 for resistance, trim and wetted bottom.

Everything is for a 100,000 lb boat; `preplaning.size_corrected_ratio` brings the resistance to the
boat's own size with the wetted area and length given here. The printed column at volume Froude
number 3.0 does not reproduce the book's own worked example (0.1414 against 0.150 for resistance,
5.06 against 4.8 degrees for trim) and carries a dip or bump for many hulls, so by default the
curve runs from 2.5 to 3.5 without it; keep_suspect=True puts it back.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.laws.tabulated import Array, Regression, floats, read_regression

SUSPECT_FROUDE = 3.0

# Molland et al. 2011, Table A3.19: X5 to X26 as products of the four shifted measures X1 to X4.
_FACTORS = {
    str(at): factors
    for at, factors in enumerate(
        ("", "1", "2", "3", "4", "12", "13", "14", "23", "24", "34", "11", "22", "33", "44",
         "122", "133", "144", "211", "233", "244", "311", "322", "344", "411", "422", "433")
    )
}  # fmt: skip


def _read(name: str) -> dict[bool, Regression]:
    """The regression with (True) and without (False) its suspect column."""
    whole = read_regression(name, _FACTORS)
    return {True: whole, False: whole.without(SUSPECT_FROUDE)}


_RESISTANCE = _read("series62_resistance.csv")
_TRIM = _read("series62_trim.csv")
_AREA = _read("series62_wetted_area.csv")
_LENGTH = _read("series62_wetted_length.csv")

_SPANS = (
    Span("volume_froude", 1.0, 3.5, Caution.SPEED_OUTSIDE),
    Span("area_volume", 4.25, 9.5, Caution.SERIES_OUTSIDE),
    Span("balance_share", 0.30, 0.448, Caution.SERIES_OUTSIDE),
    Span("length_beam", 2.36, 6.73, Caution.SERIES_OUTSIDE),
    Span("deadrise_deg", 13.0, 37.4, Caution.SERIES_OUTSIDE),
)


def _evaluate(
    regression: Regression,
    volume_froude: ArrayLike,
    area_volume: ArrayLike,
    balance_share: ArrayLike,
    length_beam: ArrayLike,
    deadrise_deg: ArrayLike,
) -> Array:
    froude, area, balance, beam, deadrise = floats(
        volume_froude, area_volume, balance_share, length_beam, deadrise_deg
    )
    with np.errstate(all="ignore"):
        # X1 to X4 of Table A3.19: each measure less its middle, over its half range
        measures = {
            "1": (area - 6.875) / 2.625,
            "2": (100.0 * balance - 37.4) / 7.4,
            "3": (beam - 4.545) / 2.185,
            "4": (deadrise - 25.2) / 12.2,
        }
        return regression(froude, measures)


@law(
    "Series 62 and 65 resistance of a 100,000 lb boat",
    "Molland et al. 2011",
    "Table A3.19, regression of Radojcic 1985; column 3.0 left out by default",
    Basis.READ,
    *_SPANS,
)
def series62_resistance_ratio(
    volume_froude: ArrayLike,
    area_volume: ArrayLike,
    balance_share: ArrayLike,
    length_beam: ArrayLike,
    deadrise_deg: ArrayLike,
    *,
    keep_suspect: bool = False,
) -> Array:
    """Bare-hull resistance over weight at 100,000 lb of a hard-chine hull free to trim.

    Parameters
    ----------
    volume_froude : speed over sqrt(g x volume^(1/3)) [-], 1 to 3.5.
    area_volume : projected chine area over volume^(2/3) [-], 4.25 to 9.5.
    balance_share : centre of gravity forward of the transom over projected length [-], 0.30 to 0.448.
    length_beam : projected chine length over mean chine beam (area over length) [-], 2.36 to 6.73.
    deadrise_deg : deadrise amidships [deg], 13 to 37.4.
    keep_suspect : whether the printed column at 3.0 is used.

    Returns
    -------
    Resistance over weight [-], broadcast shape; NaN outside volume Froude number 1 to 3.5. The
    curve passes through the published speeds and is smooth between them.
    """
    table = _RESISTANCE[keep_suspect]
    return _evaluate(table, volume_froude, area_volume, balance_share, length_beam, deadrise_deg)


@law(
    "Series 62 and 65 running trim",
    "Molland et al. 2011",
    "Table A3.20, regression of Radojcic 1985; column 3.0 left out by default",
    Basis.READ,
    *_SPANS,
)
def series62_trim(
    volume_froude: ArrayLike,
    area_volume: ArrayLike,
    balance_share: ArrayLike,
    length_beam: ArrayLike,
    deadrise_deg: ArrayLike,
    *,
    keep_suspect: bool = False,
) -> Array:
    """Running trim of a hard-chine hull free to trim, thrust through her centre of gravity.

    Parameters
    ----------
    volume_froude, area_volume, balance_share, length_beam, deadrise_deg, keep_suspect
        As in series62_resistance_ratio.

    Returns
    -------
    Trim [deg], broadcast shape, bow up positive; negative for some short hulls near volume Froude
    number 1; NaN outside 1 to 3.5.
    """
    table = _TRIM[keep_suspect]
    return _evaluate(table, volume_froude, area_volume, balance_share, length_beam, deadrise_deg)


@law(
    "Series 62 and 65 wetted area under way",
    "Molland et al. 2011",
    "Table A3.21, regression of Radojcic 1985; column 3.0 left out by default",
    Basis.READ,
    *_SPANS,
)
def series62_wetted_area(
    volume_froude: ArrayLike,
    area_volume: ArrayLike,
    balance_share: ArrayLike,
    length_beam: ArrayLike,
    deadrise_deg: ArrayLike,
    *,
    keep_suspect: bool = False,
) -> Array:
    """Wetted area under way over volume^(2/3).

    Parameters
    ----------
    volume_froude, area_volume, balance_share, length_beam, deadrise_deg, keep_suspect
        As in series62_resistance_ratio.

    Returns
    -------
    Wetted area over volume^(2/3) [-], broadcast shape; NaN outside volume Froude number 1 to 3.5.
    """
    table = _AREA[keep_suspect]
    return _evaluate(table, volume_froude, area_volume, balance_share, length_beam, deadrise_deg)


@law(
    "Series 62 and 65 wetted length under way",
    "Molland et al. 2011",
    "Table A3.22, regression of Radojcic 1985; column 3.0 left out by default",
    Basis.READ,
    *_SPANS,
)
def series62_wetted_length(
    volume_froude: ArrayLike,
    area_volume: ArrayLike,
    balance_share: ArrayLike,
    length_beam: ArrayLike,
    deadrise_deg: ArrayLike,
    *,
    keep_suspect: bool = False,
) -> Array:
    """Mean wetted length under way over projected chine length.

    Parameters
    ----------
    volume_froude, area_volume, balance_share, length_beam, deadrise_deg, keep_suspect
        As in series62_resistance_ratio.

    Returns
    -------
    Wetted length over projected chine length [-], broadcast shape; NaN outside volume Froude number
    1 to 3.5.
    """
    table = _LENGTH[keep_suspect]
    return _evaluate(table, volume_froude, area_volume, balance_share, length_beam, deadrise_deg)
