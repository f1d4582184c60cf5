"""Height of the water behind a transom over the extended keel line, and when a transom runs dry.

Origin at the keel on the transom, X aft along the keel line, Z normal to it, so Z is the rise of
the water over the bottom as a bracket sees it; both over chine beam.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.laws import planing

Array = NDArray[np.float64]

_SPANS = (
    Span("distance_ratio", 0.0, 6.0, Caution.WAKE_OUTSIDE),
    Span("trim_deg", 6.0, 14.0, Caution.WAKE_OUTSIDE),
    Span("beam_froude", 3.0, 6.0, Caution.WAKE_OUTSIDE),
)


@law(
    "Water behind the transom",
    "Savitsky 1988",
    "Faltinsen 2005 eqs 9.19 to 9.22",
    Basis.QUOTED,
    *_SPANS,
    Span("length_ratio", 0.0, 3.0, Caution.WAKE_OUTSIDE),
)
def wake_savitsky(
    distance_ratio: ArrayLike, trim_deg: ArrayLike, beam_froude: ArrayLike, length_ratio: ArrayLike
) -> Array:
    """Rise of the water over the extended keel line, over beam; broadcast shape.

    distance_ratio X/B aft of the transom, trim in degrees, Froude number on beam, mean wetted
    length over beam. NaN for negative distance or trim, or no speed. Deadrise 10 to 30 degrees.
    """
    distance, trim, froude, length = (
        np.asarray(value, dtype=np.float64)
        for value in (distance_ratio, trim_deg, beam_froude, length_ratio)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        # C1 = 0.02064 [tau^0.7/FnB^0.6]^2, C2 = 0.00448 [...]^2.44, C3 = 0.0108 lambda tau^0.34
        steep = np.power(trim, 0.7) / np.power(froude, 0.6)
        # [...]^2 (X/B)^2 and [...]^2.44 (X/B)^2.44 share the product
        product = steep * distance
        value: Array = (
            0.02064 * product * product
            - 0.00448 * np.power(product, 2.44)
            + 0.0108 * length * np.power(trim, 0.34) * distance
        )
    return np.where(froude > 0.0, value, np.nan)


@law(
    "Water behind the transom, short form",
    "Faltinsen 2005",
    "eq. 9.31: Z = 0.05 B (tau/FnB)(X/B)^1.5",
    Basis.QUOTED,
    *_SPANS,
)
def wake_simplified(
    distance_ratio: ArrayLike, trim_deg: ArrayLike, beam_froude: ArrayLike
) -> Array:
    """Rise of the water over the extended keel line, over beam; broadcast shape."""
    distance, trim, froude = (
        np.asarray(value, dtype=np.float64) for value in (distance_ratio, trim_deg, beam_froude)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        value: Array = 0.05 * trim / froude * (distance * np.sqrt(distance))
    return np.where(froude > 0.0, value, np.nan)


@law(
    "Straight wake",
    "own",
    "water leaves the transom level and straight: Z = X tan(tau); upper bound for short setbacks",
    Basis.ASSUMED,
)
def wake_straight(distance_ratio: ArrayLike, trim_deg: ArrayLike) -> Array:
    """Rise of a level surface over the extended keel line, over beam; broadcast shape."""
    trim = np.deg2rad(np.asarray(trim_deg, dtype=np.float64))
    value: Array = np.asarray(distance_ratio, dtype=np.float64) * np.tan(trim)
    return value


@law("Transom runs dry", "Faltinsen 2005", "U/sqrt(g D) over 2.5", Basis.QUOTED)
def transom_clear(speed_mps: ArrayLike, transom_draught_m: ArrayLike) -> NDArray[np.bool_]:
    """Whether the water leaves the transom clear; booleans of broadcast shape, False for NaN.

    A transom with no draught left hangs over the water and is clear.
    """
    speed = np.asarray(speed_mps, dtype=np.float64)
    draught = np.asarray(transom_draught_m, dtype=np.float64)
    froude = planing.transom_froude(speed, draught)
    return np.asarray((froude > planing.TRANSOM_DRY_FROUDE) | (draught < 0.0))


_CENTRE_LOW, _CENTRE_HIGH = 1.5, 2.0  # A on the centreline at deadrise 10, and at 20 and more
_QUARTER_BEAM = 0.75  # A a quarter of the beam off, at any deadrise


@law(
    "Water behind the transom, contours of 2010",
    "Savitsky & Morabito 2010",
    "H = 0.17 (A + 0.03 LK tau^1.5) sin((pi/CV)(X/3)^1.5); written down from memory",
    Basis.RECALLED,
    Span("distance_ratio", 0.0, 3.0, Caution.WAKE_OUTSIDE),
    Span("trim_deg", 3.0, 5.0, Caution.WAKE_OUTSIDE),
    Span("beam_froude", 4.0, 8.0, Caution.WAKE_OUTSIDE),
    Span("keel_length_ratio", 0.1, 2.5, Caution.WAKE_OUTSIDE),
    Span("deadrise_deg", 10.0, 30.0, Caution.WAKE_OUTSIDE),
)
def wake_contour(
    distance_ratio: ArrayLike,
    trim_deg: ArrayLike,
    beam_froude: ArrayLike,
    keel_length_ratio: ArrayLike,
    deadrise_deg: ArrayLike,
    off_centre_ratio: ArrayLike = 0.0,
) -> Array:
    """Rise of the water over the bottom straight ahead run on aft, over beam; broadcast shape.

    distance_ratio X/B aft of the transom, trim in degrees, Froude number on beam, wetted keel length
    over beam, off_centre_ratio |y|/B. Between the centreline and a quarter of the beam, where the two
    contours lie, A runs in a straight line (ours), as it does between deadrise 10 and 20; past them
    it is held. NaN for no speed, negative distance or trim.
    """
    distance, trim, froude, length, deadrise, off = (
        np.asarray(value, dtype=np.float64)
        for value in (
            distance_ratio,
            trim_deg,
            beam_froude,
            keel_length_ratio,
            deadrise_deg,
            off_centre_ratio,
        )
    )
    steep = np.clip((deadrise - 10.0) / 10.0, 0.0, 1.0)
    centre = _CENTRE_LOW + (_CENTRE_HIGH - _CENTRE_LOW) * steep
    place = centre + (_QUARTER_BEAM - centre) * np.clip(np.abs(off) / 0.25, 0.0, 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        third = distance / 3.0
        height = 0.17 * (place + 0.03 * length * (trim * np.sqrt(trim)))
        value: Array = height * np.sin(np.pi / froude * (third * np.sqrt(third)))
    return np.where(froude > 0.0, value, np.nan)


@law("Bottom off the centreline", "own", "geometry: |y| tan(deadrise)", Basis.ASSUMED)
def bottom_off_centre(off_centre_m: ArrayLike, deadrise_deg: ArrayLike) -> Array:
    """Height of the bottom over the keel off the centreline, inside the chine [m]; broadcast shape."""
    slope = np.tan(np.deg2rad(np.asarray(deadrise_deg, dtype=np.float64)))
    return np.asarray(np.abs(np.asarray(off_centre_m, dtype=np.float64)) * slope)
