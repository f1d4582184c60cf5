"""Friction: flat-plate lines, and what roughness and fouling add to them."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]

# What the state of the bottom adds to the friction coefficient.
# clean: the 0.0004 of ATTC practice (Savitsky 1964).
# The rest is assumed, basis "own". slime is tuned to one owner's log of eight weeks of slime on a 7 m
# boat of 225 hp (OW14, so that log is no evidence): at one rpm +18 % litres per mile and 24.4 for
# 26.2 kn. Whole boats of 24 and 25 ft here burn 18 to 19 % more and make 24.3 to 24.6 kn with it.
# weed and shell are twice and four times the growth: a guess between slime and one owner's word that
# barnacles took a third of the speed (with shell the same boats lose a fifth).
BOTTOMS: dict[str, float] = {
    "clean": 0.0004,
    "slime": 0.0021,
    "weed": 0.0038,
    "shell": 0.0072,
}


@law("ITTC 1957 correlation line", "ITTC 1957", "correlation line", Basis.QUOTED)
def ittc57(reynolds: Array) -> Array:
    """Friction coefficient of the 1957 correlation line.

    Parameters
    ----------
    reynolds : speed x wetted length / kinematic viscosity [-].

    Returns
    -------
    Coefficient on wetted area [-], same shape; NaN at or below 100.
    """
    with np.errstate(all="ignore"):
        decades = np.where(reynolds > 100.0, np.log10(reynolds) - 2.0, np.nan)
        return np.asarray(0.075 / (decades * decades))


@law("Schoenherr friction line", "Schoenherr 1932", "mean line", Basis.QUOTED)
def schoenherr(reynolds: Array) -> Array:
    """Friction coefficient of Schoenherr's mean line, 0.242 / sqrt(CF) = log10(Re CF).

    Parameters
    ----------
    reynolds : speed x wetted length / kinematic viscosity [-].

    Returns
    -------
    Coefficient on wetted area [-], same shape; NaN at or below 100.
    """
    with np.errstate(all="ignore"):
        decades = np.where(reynolds > 100.0, np.log10(reynolds), np.nan)
        # start: the fit CF = 1 / (3.5 log10 Re - 5.96)^2 (Molland et al. 2011), u = CF^-1/2
        root = 3.5 * decades - 5.96
        # Newton on 0.242 u + 2 log10 u - log10 Re, concave and rising: the root is met from below
        for _ in range(3):
            excess = 0.242 * root + 2.0 * np.log10(root) - decades
            root = root - excess / (0.242 + 2.0 / np.log(10.0) / root)
        return np.asarray(1.0 / (root * root))


@law("roughness allowance of 1978", "Molland et al. 2011", "Bowden-Davison form", Basis.READ)
def roughness_allowance(roughness_m: Array, length_m: Array) -> Array:
    """Friction that roughness adds, [105 (k/L)^(1/3) - 0.64] / 1000, not below zero.

    Made for ships of 120 m and more: on a short boat it overstates.

    Parameters
    ----------
    roughness_m : mean apparent amplitude of roughness [m].
    length_m : wetted length [m].

    Returns
    -------
    Addition to the friction coefficient [-], broadcast shape; zero where the form turns negative.
    """
    with np.errstate(all="ignore"):
        return np.asarray(np.maximum((105.0 * np.cbrt(roughness_m / length_m) - 0.64) * 1e-3, 0.0))


@law("roughness allowance of 1990", "Faltinsen 2005", "Townsin form", Basis.RECALLED)
def roughness_allowance_townsin(roughness_m: Array, length_m: Array, reynolds: Array) -> Array:
    """Friction that roughness adds, by the later form that knows the Reynolds number.

    Parameters
    ----------
    roughness_m : mean apparent amplitude of roughness [m].
    length_m : wetted length [m].
    reynolds : speed x wetted length / kinematic viscosity [-].

    Returns
    -------
    Addition to the friction coefficient [-], broadcast shape; zero where the form turns negative.
    """
    with np.errstate(all="ignore"):
        # 1000 dCF = 44 [(k/L)^(1/3) - 10 Re^(-1/3)] + 0.125
        gap = np.cbrt(roughness_m / length_m) - 10.0 / np.cbrt(reynolds)
        return np.asarray(np.maximum((44.0 * gap + 0.125) * 1e-3, 0.0))


WEEKS_TO_SLIME = 8.0  # the owner's log that slime is tuned to, after some eight weeks afloat


@law(
    "growth on the bottom by weeks afloat",
    "own",
    "even growth from clean to the slime of eight weeks, whose size is tuned to one owner's log",
    Basis.ASSUMED,
)
def fouling_allowance(weeks: Array) -> Array:
    """Friction that a bottom adds after weeks in the water since it was last clean.

    Real growth hangs on water, season and paint: logs of other boats after two to six months, none
    used here, tell of a twentieth to a quarter of the speed at full throttle (FW8, FW9, FW15, FW16).

    Parameters
    ----------
    weeks : weeks afloat [-], 0 and more.

    Returns
    -------
    Addition to the friction coefficient [-], clean practice included as in BOTTOMS, same shape;
    NaN below zero.
    """
    # dCF = clean + (slime - clean) weeks / 8
    growth = (BOTTOMS["slime"] - BOTTOMS["clean"]) / WEEKS_TO_SLIME
    return np.asarray(np.where(weeks >= 0.0, BOTTOMS["clean"] + growth * weeks, np.nan))


LINES: dict[str, Callable[[Array], Array]] = {"ittc57": ittc57, "schoenherr": schoenherr}
