"""The lines of a small planing hull, set by seven measures; our own form, simple and smooth.

x runs forward of the transom along the keel line, heights are square to it. With

    L  length overall               W  waterline length
    b  chine beam, bt transom beam  ie half angle of the waterline at the bow

two marks cut the hull. Amidships is x = W/2; the design waterline is a line parallel to the keel
at the height h = stem_depth * b (an assumption), which meets the stem at x = W exactly.

Chine, in plan      aft of amidships the half beam runs in a straight line from bt/2 to b/2; it
                    stays b/2 to the shoulder x = W - l and then falls on a parabola to nothing at
                    the stem head: b/2 (1 - v^2), v from 0 at the shoulder to 1 at x = L.
Keel, in profile    straight to the forefoot x = W - f, where f is the overhang L - W but never past
                    amidships, then a parabola h u^2, u from 0 at the forefoot to 1 at x = W, that
                    runs on to the stem head.
Deadrise            its angle runs in a straight line from the transom's to that amidships; ahead of
                    the shoulder its tangent grows by k (R - 1), R = (1 - u^2)/g(s), where g is the
                    shape of the design waterline, 1 at the shoulder and 0 at the stem, s from 0 to 1
                    between them: g = (1 - s)(1 + s - (2 - m) s^2). k is the tangent of the deadrise
                    amidships, or 2h/b where the chine amidships lies below the design waterline.
                    R keeps its value ahead of x = W.
Entrance            the design waterline leaves the stem at exactly the half angle ie. That gives
                    l/m, and m = 2 (a parabola) unless the shoulder would pass amidships: then it
                    stays there and m falls, so that a very fine bow becomes a little hollow.
Sides               vertical above the chine; no sheer, no flare.

A square bow (ie = 90 deg), no overhang (W = L) and like measures at transom and amidships leave the
prismatic hull exactly: keel straight, beam and deadrise the same at every station.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.assumptions import ASSUMPTIONS
from perf.base.sources import Basis, law
from perf.laws.hydrostatics import wet_half_breadth

Array = NDArray[np.float64]

_NEAREST = 1e-9  # share of the waterline length; the shape R is read no nearer to the stem


@dataclass(frozen=True, eq=False)
class HullForm:
    """The measures that set the lines, as arrays of one shape (n,); lengths in m, angles in deg."""

    length_overall_m: Array
    waterline_length_m: Array
    chine_beam_m: Array
    transom_beam_m: Array
    deadrise_transom_deg: Array
    deadrise_midship_deg: Array
    entrance_angle_deg: Array


@dataclass(frozen=True, eq=False)
class Marks:
    """Where the lines of a form change, each (n,): x of the marks and the sizes of the curves."""

    midship_m: Array
    shoulder_m: Array
    forefoot_m: Array
    waterline_m: Array
    overall_m: Array
    stem_depth_m: Array
    bow_length_m: Array
    rise_length_m: Array
    bow_slope: Array
    fullness: Array


@dataclass(frozen=True, eq=False)
class Lines:
    """A station or many: height of the keel, half beam at the chine, tangent of the deadrise."""

    keel_above_m: Array
    chine_half_beam_m: Array
    slope: Array


def hull_marks(form: HullForm) -> Marks:
    """Work out where the lines of each hull change; arrays of the shape of the form."""
    waterline, beam = form.waterline_length_m, form.chine_beam_m
    midship = 0.5 * waterline
    depth = ASSUMPTIONS["stem_depth"].value * beam
    rise = np.minimum(np.maximum(form.length_overall_m - waterline, 0.0), midship)
    slope = np.tan(np.radians(form.deadrise_midship_deg))
    bow_slope = np.maximum(slope, 2.0 * depth / beam)
    # the keel rises with 2h/f at the stem; over the tangent of the deadrise there it must give tan ie
    length_per_m = depth / bow_slope / np.tan(np.radians(form.entrance_angle_deg)) + 0.5 * rise * (
        1.0 - slope / bow_slope
    )
    bow = np.minimum(2.0 * length_per_m, midship)
    return Marks(
        midship_m=midship,
        shoulder_m=waterline - bow,
        forefoot_m=waterline - rise,
        waterline_m=waterline,
        overall_m=form.length_overall_m,
        stem_depth_m=depth,
        bow_length_m=bow,
        rise_length_m=rise,
        bow_slope=bow_slope,
        fullness=np.where(bow < midship, 2.0, bow / length_per_m),
    )


def hull_lines(form: HullForm, forward_m: ArrayLike, marks: Marks | None = None) -> Lines:
    """Read the lines at stations.

    Parameters
    ----------
    form : measures, arrays (n,).
    forward_m : stations forward of the transom [m], broadcastable with (n,), such as (stations, n).
    marks : hull_marks(form), when the caller has them.

    Returns
    -------
    Lines of the broadcast shape.
    """
    at = hull_marks(form) if marks is None else marks
    x = np.asarray(forward_m, dtype=float)
    aft = np.minimum(x / at.midship_m, 1.0)
    turn = form.deadrise_midship_deg - form.deadrise_transom_deg
    deadrise = form.deadrise_transom_deg + turn * aft
    half_beam = 0.5 * (form.transom_beam_m + (form.chine_beam_m - form.transom_beam_m) * aft)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        past = np.maximum(x - at.shoulder_m, 0.0) / (at.overall_m - at.shoulder_m)
        rise = np.maximum(x - at.forefoot_m, 0.0) / at.rise_length_m
        steeper = at.bow_slope * (_steepening(x, at) - 1.0)
    past = np.where(x > at.shoulder_m, past, 0.0)
    rise = np.where(x > at.forefoot_m, rise, 0.0)
    return Lines(
        keel_above_m=at.stem_depth_m * (rise * rise),
        chine_half_beam_m=half_beam * (1.0 - past * past),
        slope=np.tan(np.radians(deadrise)) + steeper,
    )


def _steepening(x: Array, at: Marks) -> Array:
    """R = (1 - u^2)/g(s), with the distance to the stem taken out of both so that nothing is 0/0."""
    left = np.maximum(at.waterline_m - x, _NEAREST * at.waterline_m)
    keel = np.where(
        left < at.rise_length_m, (2.0 - left / at.rise_length_m) / at.rise_length_m, 1.0 / left
    )
    s = 1.0 - left / at.bow_length_m
    full = (1.0 + s - (2.0 - at.fullness) * (s * s)) / at.bow_length_m
    return keel / np.where(left < at.bow_length_m, full, 1.0 / left)


@law("Design waterline of the hull form", "own", "own form", Basis.ASSUMED)
def design_waterline_half_breadth(
    forward_m: ArrayLike,
    length_overall_m: ArrayLike,
    waterline_length_m: ArrayLike,
    chine_beam_m: ArrayLike,
    transom_beam_m: ArrayLike,
    deadrise_transom_deg: ArrayLike,
    deadrise_midship_deg: ArrayLike,
    entrance_angle_deg: ArrayLike,
) -> Array:
    """Half breadth of the design waterline, the level parallel to the keel that meets the stem at W.

    Parameters
    ----------
    forward_m : stations forward of the transom [m], any shape.
    length_overall_m, waterline_length_m, chine_beam_m, transom_beam_m : [m], broadcastable.
    deadrise_transom_deg, deadrise_midship_deg, entrance_angle_deg : [deg], broadcastable.

    Returns
    -------
    Half breadth [m], of the broadcast shape; 0 ahead of the waterline's end.
    """
    measures = (length_overall_m, waterline_length_m, chine_beam_m, transom_beam_m)
    angles = (deadrise_transom_deg, deadrise_midship_deg, entrance_angle_deg)
    form = HullForm(*(np.asarray(value, dtype=float) for value in measures + angles))
    marks = hull_marks(form)
    lines = hull_lines(form, forward_m, marks)
    depth = marks.stem_depth_m - lines.keel_above_m
    return wet_half_breadth(depth, lines.chine_half_beam_m, lines.slope)


@law("Waterline's end at the stem", "own", "own form", Basis.ASSUMED)
def stem_at_water(
    draught_m: ArrayLike,
    trim_slope: ArrayLike,
    forefoot_m: ArrayLike,
    rise_length_m: ArrayLike,
    stem_depth_m: ArrayLike,
    overall_m: ArrayLike,
) -> Array:
    """Find where the keel, straight and then a parabola, comes out of the water.

    Parameters
    ----------
    draught_m : water over the keel at the transom, square to the keel line [m], any shape.
    trim_slope : tangent of the trim, bow up positive, broadcastable.
    forefoot_m, rise_length_m, stem_depth_m, overall_m : of Marks [m], broadcastable.

    Returns
    -------
    x forward of the transom [m], of the broadcast shape, at most the length overall; 0 where the
    whole keel from the transom forward is dry.
    """
    draught, slope = np.asarray(draught_m, dtype=float), np.asarray(trim_slope, dtype=float)
    start, rise = np.asarray(forefoot_m, dtype=float), np.asarray(rise_length_m, dtype=float)
    depth, end = np.asarray(stem_depth_m, dtype=float), np.asarray(overall_m, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):
        straight = np.where(slope > 0.0, draught / slope, end)
        left = draught - slope * start
        # h u^2 + (slope f) u - left = 0, its upper root written without a difference of like numbers
        half = 0.5 * slope * rise
        root = np.sqrt(np.maximum(half * half + depth * left, 0.0))
        up = np.where(half >= 0.0, left / (half + root), (root - half) / depth)
        curved = np.where(rise > 0.0, start + rise * up, end)
    place = np.where(left > 0.0, curved, straight)
    dry = (left <= 0.0) & (draught <= 0.0)
    return np.where(dry, 0.0, np.minimum(np.maximum(place, 0.0), end))
