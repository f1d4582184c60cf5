"""Hydrostatics of V sections with a chine and wall sides: closed forms, all elementwise.

A section is a V of one deadrise from the keel to the chine and a vertical side above it. Depths are
measured from the water down to the keel, in the plane of the section; a keel clear of the water is
wet nowhere. Everything here is elementary geometry of our own derivation; no published fit is used.

The functions that take a slope (the tangent of the deadrise) are what solvers call many times; those
that take degrees are the same laws for a person.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.sources import Basis, law

Array = NDArray[np.float64]

_FLATTEST = 1e-12  # slope of a flat bottom, so that no depth is divided by nothing


def _slope(deadrise_deg: ArrayLike) -> Array:
    """Tangent of the deadrise [deg]."""
    slope: Array = np.tan(np.radians(np.asarray(deadrise_deg, dtype=float)))
    return slope


def wet_half_breadth(depth_m: Array, half_beam_m: Array, slope: Array) -> Array:
    """Half breadth of a section at the water [m] from the slope of its bottom; any shape."""
    wet = np.maximum(depth_m, 0.0)
    return np.minimum(half_beam_m, wet / np.maximum(slope, _FLATTEST))


def wet_area(depth_m: Array, half_breadth_m: Array, slope: Array) -> Array:
    """Immersed area of a section [m^2] from its half breadth at the water; any shape."""
    # two strips of breadth y and depth d, less the two triangles under the V: 2 y d - y^2 tan(deadrise)
    return half_breadth_m * (2.0 * np.maximum(depth_m, 0.0) - half_breadth_m * slope)


def wet_area_moment(depth_m: Array, half_breadth_m: Array, slope: Array) -> Array:
    """First moment of the immersed area about the keel [m^3], upward positive; any shape."""
    wet = np.maximum(depth_m, 0.0)
    rise = half_breadth_m * slope
    # the integral over the breadth of (d^2 - z^2)/2, z the height of the bottom
    return half_breadth_m * (wet * wet - rise * rise / 3.0)


def wet_girth(depth_m: Array, half_breadth_m: Array, slope: Array) -> Array:
    """Wetted length round a section [m], bottom and sides, from its half breadth at the water."""
    side = np.maximum(np.maximum(depth_m, 0.0) - half_breadth_m * slope, 0.0)
    return 2.0 * (half_breadth_m * np.sqrt(1.0 + slope * slope) + side)


@law("Half breadth of a V section at the water", "own", "own derivation, geometry", Basis.ASSUMED)
def section_half_breadth(
    depth_m: ArrayLike, half_beam_m: ArrayLike, deadrise_deg: ArrayLike
) -> Array:
    """Half breadth at the water of a V section with wall sides above the chine.

    Parameters
    ----------
    depth_m : water over the keel [m], any shape; at or below zero the section is dry.
    half_beam_m : half the chine beam [m], broadcastable.
    deadrise_deg : deadrise [deg], 0 to under 90, broadcastable.

    Returns
    -------
    Half breadth [m], of the broadcast shape; 0 where dry.
    """
    depth, beam = np.asarray(depth_m, dtype=float), np.asarray(half_beam_m, dtype=float)
    return wet_half_breadth(depth, beam, _slope(deadrise_deg))


@law("Immersed area of a V section", "own", "own derivation, geometry", Basis.ASSUMED)
def section_area(depth_m: ArrayLike, half_beam_m: ArrayLike, deadrise_deg: ArrayLike) -> Array:
    """Immersed area of a V section with wall sides above the chine.

    d^2/tan(deadrise) below the chine, b d - b^2/4 tan(deadrise) above it, b the whole beam.

    Parameters
    ----------
    depth_m : water over the keel [m], any shape; at or below zero the section is dry.
    half_beam_m : half the chine beam [m], broadcastable.
    deadrise_deg : deadrise [deg], 0 to under 90, broadcastable.

    Returns
    -------
    Area [m^2], of the broadcast shape; 0 where dry.
    """
    depth, beam = np.asarray(depth_m, dtype=float), np.asarray(half_beam_m, dtype=float)
    slope = _slope(deadrise_deg)
    return wet_area(depth, wet_half_breadth(depth, beam, slope), slope)


@law("Centroid of a V section over its keel", "own", "own derivation, geometry", Basis.ASSUMED)
def section_centroid_height(
    depth_m: ArrayLike, half_beam_m: ArrayLike, deadrise_deg: ArrayLike
) -> Array:
    """Height of the centroid of the immersed section over its keel.

    Two thirds of the depth below the chine.

    Parameters
    ----------
    depth_m : water over the keel [m], any shape.
    half_beam_m : half the chine beam [m], broadcastable.
    deadrise_deg : deadrise [deg], 0 to under 90, broadcastable.

    Returns
    -------
    Height [m], of the broadcast shape; NaN where the section is dry.
    """
    depth, beam = np.asarray(depth_m, dtype=float), np.asarray(half_beam_m, dtype=float)
    slope = _slope(deadrise_deg)
    breadth = wet_half_breadth(depth, beam, slope)
    with np.errstate(invalid="ignore", divide="ignore"):
        return wet_area_moment(depth, breadth, slope) / wet_area(depth, breadth, slope)


@law("Wetted girth of a V section", "own", "own derivation, geometry", Basis.ASSUMED)
def section_girth(depth_m: ArrayLike, half_beam_m: ArrayLike, deadrise_deg: ArrayLike) -> Array:
    """Wetted length round a V section, both sides of bottom and wall.

    Parameters
    ----------
    depth_m : water over the keel [m], any shape; at or below zero the section is dry.
    half_beam_m : half the chine beam [m], broadcastable.
    deadrise_deg : deadrise [deg], 0 to under 90, broadcastable.

    Returns
    -------
    Girth [m], of the broadcast shape; 0 where dry.
    """
    depth, beam = np.asarray(depth_m, dtype=float), np.asarray(half_beam_m, dtype=float)
    slope = _slope(deadrise_deg)
    return wet_girth(depth, wet_half_breadth(depth, beam, slope), slope)


@law("Draught of a level prismatic hull", "own", "own derivation, geometry", Basis.ASSUMED)
def prism_draught(
    displaced_volume_m3: ArrayLike,
    length_m: ArrayLike,
    beam_m: ArrayLike,
    deadrise_deg: ArrayLike,
) -> Array:
    """Keel draught at which a level prismatic V hull displaces a volume: section_area turned round.

    Parameters
    ----------
    displaced_volume_m3 : volume [m^3], any shape.
    length_m, beam_m : length and chine beam [m], broadcastable.
    deadrise_deg : deadrise [deg], 0 to under 90, broadcastable.

    Returns
    -------
    Draught [m], of the broadcast shape; NaN where volume, length or beam is not positive.
    """
    volume, length = np.asarray(displaced_volume_m3, dtype=float), np.asarray(length_m, dtype=float)
    beam, slope = np.asarray(beam_m, dtype=float), _slope(deadrise_deg)
    with np.errstate(invalid="ignore", divide="ignore"):
        area = volume / length
        under_chine = 0.25 * beam * beam * slope
        draught = np.where(area <= under_chine, np.sqrt(area * slope), (area + under_chine) / beam)
    return np.where((volume > 0.0) & (length > 0.0) & (beam > 0.0), draught, np.nan)


@law("Longitudinal metacentric height", "own", "elementary hydrostatics", Basis.ASSUMED)
def longitudinal_metacentric_height(
    waterplane_second_moment_m4: ArrayLike,
    displaced_volume_m3: ArrayLike,
    buoyancy_above_m: ArrayLike,
    balance_above_m: ArrayLike,
) -> Array:
    """Height of the longitudinal metacentre over the balance point: I/volume + KB - KG.

    A weight w moved by s along the boat trims her by w s / (density g volume height) radians
    while the shift is small.

    Parameters
    ----------
    waterplane_second_moment_m4 : about the waterplane's own centroid, athwartships axis [m^4].
    displaced_volume_m3 : volume [m^3], broadcastable.
    buoyancy_above_m, balance_above_m : heights over the keel [m], broadcastable.

    Returns
    -------
    Height [m], of the broadcast shape; NaN where the volume is not positive.
    """
    volume = np.asarray(displaced_volume_m3, dtype=float)
    second = np.asarray(waterplane_second_moment_m4, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):
        radius = np.where(volume > 0.0, second / volume, np.nan)
    height: Array = radius + np.asarray(buoyancy_above_m) - np.asarray(balance_above_m)
    return height


@law("Height of a place over the water", "own", "own derivation, geometry", Basis.ASSUMED)
def height_over_water(
    forward_m: ArrayLike, above_m: ArrayLike, draught_m: ArrayLike, trim_deg: ArrayLike
) -> Array:
    """Height of a place on the boat over the still water, straight up.

    Parameters
    ----------
    forward_m : forward of the transom along the keel line [m], negative abaft it, any shape.
    above_m : above the keel line, square to it [m], broadcastable.
    draught_m : water over the keel at the transom, square to the keel line [m], broadcastable.
    trim_deg : bow up positive [deg], broadcastable.

    Returns
    -------
    Height [m], of the broadcast shape; negative under water.
    """
    trim = np.radians(np.asarray(trim_deg, dtype=float))
    over_keel_level = np.asarray(above_m, dtype=float) - np.asarray(draught_m, dtype=float)
    height: Array = over_keel_level * np.cos(trim) + np.asarray(forward_m) * np.sin(trim)
    return height
