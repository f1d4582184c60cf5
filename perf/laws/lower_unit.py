"""Drag of a lower unit: published pieces, and their assembly by wetted depth.

Forces in newton, dynamic pressure rho V^2/2 in pascal. Each piece is a separate law; `leg_drag`
adds those that are in the water.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.laws.friction import ittc57

Array = NDArray[np.float64]

FRICTION_ALLOWANCE = 0.0004  # ITTC practice for paint and small roughness
# Shape of a skeg beside its height, our reading of a common lower unit: chord 4/3 of its
# height, as thick as 0.075 of its chord.
SKEG_CHORD_OVER_HEIGHT = 4.0 / 3.0
SKEG_THICKNESS_RATIO = 0.075
# The plate's own friction and junction come in over this depth of water over it, as a share of
# propeller diameter, so that nothing jumps (ours).
BLEND_DEPTH_RATIO = 0.10
# The leg stays slim up to its splash plate, this share of propeller diameter over the plate (about
# 4 in on a 15 in propeller; common practice, no source). The thick mid-section above it is met from
# half that depth of water to one and a half of it.
SPLASH_GAP_RATIO = 0.27


def _floats(*values: ArrayLike) -> tuple[Array, ...]:
    return tuple([np.asarray(value, np.float64) for value in values])


@law(
    "Drag of a strut",
    "Hoerner 1965",
    "ch. 6: D = 2 S Cf (1 + 2 t/c + 60 (t/c)^4) q",
    Basis.QUOTED,
    Span("thickness_ratio", 0.0, 0.4, Caution.ESTIMATE),
)
def strut_drag(
    dynamic_pressure: ArrayLike,
    planform_area_m2: ArrayLike,
    thickness_ratio: ArrayLike,
    friction: ArrayLike,
) -> Array:
    """Drag of a streamlined strut or skeg, both sides wet, in N; broadcast shape."""
    pressure, area, ratio, cf = _floats(
        dynamic_pressure, planform_area_m2, thickness_ratio, friction
    )
    square = ratio * ratio
    value: Array = 2.0 * area * cf * (1.0 + 2.0 * ratio + 60.0 * square * square) * pressure
    return value


@law(
    "Drag of a gear case",
    "Hoerner 1965",
    "ch. 6: D = Sw Cf (1 + kB) q, kB = 1.5 (d/l)^1.5 + 7 (d/l)^3; same in Molland et al. 2011 eq. 16.13",
    Basis.QUOTED,
)
def body_drag(
    dynamic_pressure: ArrayLike,
    wetted_area_m2: ArrayLike,
    fineness: ArrayLike,
    friction: ArrayLike,
) -> Array:
    """Drag of a body of revolution in N; fineness is diameter over length; broadcast shape."""
    pressure, area, cf = _floats(dynamic_pressure, wetted_area_m2, friction)
    value: Array = area * cf * (1.0 + body_form_factor(fineness)) * pressure
    return value


@law(
    "Form factor of a gear case",
    "Molland et al. 2011",
    "ch. 16, pod: kB = 1.5 (d/l)^1.5 + 7 (d/l)^3",
    Basis.QUOTED,
)
def body_form_factor(fineness: ArrayLike) -> Array:
    """Added share of friction for the shape of a body of revolution; fineness d/l; same shape."""
    (ratio,) = _floats(fineness)
    with np.errstate(invalid="ignore"):
        value: Array = 1.5 * ratio * np.sqrt(ratio) + 7.0 * ratio * ratio * ratio
    return value


@law("Spray of a strut at the surface", "Hoerner 1965", "ch. 10: D = 0.24 t^2 q", Basis.QUOTED)
def spray_drag(dynamic_pressure: ArrayLike, thickness_m: ArrayLike) -> Array:
    """Spray drag of a strut that pierces the surface, t its thickness there, in N."""
    pressure, thickness = _floats(dynamic_pressure, thickness_m)
    value: Array = 0.24 * thickness * thickness * pressure
    return value


@law("Friction of a plate", "Hoerner 1965", "D = Sw Cf q", Basis.RECALLED)
def plate_drag(
    dynamic_pressure: ArrayLike, wetted_area_m2: ArrayLike, friction: ArrayLike
) -> Array:
    """Friction of the anti-ventilation plate along the flow in N; broadcast shape."""
    pressure, area, cf = _floats(dynamic_pressure, wetted_area_m2, friction)
    value: Array = area * cf * pressure
    return value


@law(
    "Junction of strut and body",
    "Hoerner 1965",
    "ch. 8: D = t^2 (0.75 t/c - 0.0003/(t/c)^2) q; same in Molland et al. 2011 3.2.1.8",
    Basis.QUOTED,
    Span("thickness_ratio", 0.0737, 0.6, Caution.ESTIMATE),
)
def junction_drag(
    dynamic_pressure: ArrayLike, thickness_m: ArrayLike, thickness_ratio: ArrayLike
) -> Array:
    """Interference drag where a strut meets a body or a wall, one junction, in N."""
    pressure, thickness, ratio = _floats(dynamic_pressure, thickness_m, thickness_ratio)
    with np.errstate(divide="ignore", invalid="ignore"):
        value: Array = thickness * thickness * (0.75 * ratio - 0.0003 / (ratio * ratio)) * pressure
    return value


@law(
    "Filleted junction of strut and pod",
    "Molland et al. 2011",
    "ch. 16, pod: R = rho/2 t^2 V^2 (0.4 t/c - 0.05)",
    Basis.QUOTED,
)
def filleted_junction_drag(
    dynamic_pressure: ArrayLike, thickness_m: ArrayLike, thickness_ratio: ArrayLike
) -> Array:
    """Interference drag of a strut faired into a pod in N; broadcast shape."""
    pressure, thickness, ratio = _floats(dynamic_pressure, thickness_m, thickness_ratio)
    value: Array = thickness * thickness * (0.4 * ratio - 0.05) * pressure
    return value


@law(
    "Slipstream over a pod",
    "Molland et al. 2011",
    "ch. 16, pod: V1 = Va + K Va (sqrt(1 + 8 KT/(pi J^2)) - 1), K = 0.5 + 0.5/(1 + 0.15/(X/D))",
    Basis.QUOTED,
)
def slipstream_speed(
    advance_speed_mps: ArrayLike,
    thrust_coefficient: ArrayLike,
    advance_ratio: ArrayLike,
    distance_ratio: ArrayLike,
) -> Array:
    """Water speed at X/D behind a propeller in m/s; broadcast shape, NaN at no advance."""
    speed, thrust, advance, distance = _floats(
        advance_speed_mps, thrust_coefficient, advance_ratio, distance_ratio
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        contraction = 0.5 + 0.5 / (1.0 + 0.15 / distance)
        gain = np.sqrt(1.0 + 8.0 * thrust / (np.pi * advance * advance)) - 1.0
        value: Array = speed + contraction * speed * gain
    return value


def _friction(speed_mps: Array, length_m: Array, viscosity: Array) -> Array:
    """ITTC 1957 friction of one piece with the allowance; the allowance alone at rest."""
    reynolds = speed_mps * length_m / viscosity
    line = np.where(reynolds > 100.0, ittc57(reynolds), 0.0)
    value: Array = line + FRICTION_ALLOWANCE
    return value


def _smooth_step(value: Array) -> Array:
    step = np.clip(value, 0.0, 1.0)
    result: Array = step * step * (3.0 - 2.0 * step)
    return result


@dataclass(frozen=True, eq=False)
class _Leg:
    """Sizes in m of the leg of each lane, and how much of each part is in the water."""

    diameter: Array
    chord: Array
    thickness: Array
    case: Array
    length: Array
    skeg: Array
    middle: Array
    plate: Array  # wetted area, m2
    shaft: Array  # depth under the plate
    depth: Array  # of the plate under the water

    @cached_property
    def surface(self) -> Array:
        """Depth of the water's surface under the plate, nought when it stands over it."""
        return np.maximum(-self.depth, 0.0)

    @cached_property
    def above(self) -> Array:
        """Water over the plate."""
        return np.maximum(self.depth, 0.0)

    def share(self, top: Array, height: Array) -> Array:
        """Wetted share of a part from its top depth down over its height."""
        return np.clip((top + height - self.surface) / height, 0.0, 1.0)


def _parts(leg: _Leg, q: Array, speed: Array, nu: Array) -> Iterator[tuple[Array, Array]]:
    """Drag in N of each part and the depth of its centre under the plate."""
    top, bottom = leg.shaft - 0.5 * leg.case, leg.shaft + 0.5 * leg.case
    covered = leg.share(top, leg.case)
    deep = _smooth_step(leg.above / (BLEND_DEPTH_RATIO * leg.diameter))
    ratio = leg.thickness / leg.chord
    strut_cf = _friction(speed, leg.chord, nu)
    strut = np.clip(top - leg.surface, 0.0, top)
    yield strut_drag(q, leg.chord * strut, ratio, strut_cf), top - 0.5 * strut
    # over the plate stands the slim leg up to the splash plate, then the thick mid-section
    gap = SPLASH_GAP_RATIO * leg.diameter
    slim = np.minimum(leg.above, gap)
    yield strut_drag(q, leg.chord * slim, ratio, strut_cf), -0.5 * slim
    thick = leg.middle / leg.chord
    stout = leg.above - slim
    yield strut_drag(q, leg.chord * stout, thick, strut_cf), -slim - 0.5 * stout
    yield plate_drag(q, leg.plate, strut_cf) * deep, 0.0 * deep

    case_cf = _friction(speed, leg.length, nu)
    case = body_drag(q, np.pi * leg.case * leg.length, leg.case / leg.length, case_cf)
    yield case * covered, leg.shaft
    skeg_chord = SKEG_CHORD_OVER_HEIGHT * leg.skeg
    skeg_cf = _friction(speed, skeg_chord, nu)
    skeg = strut_drag(q, skeg_chord * leg.skeg, SKEG_THICKNESS_RATIO, skeg_cf)
    yield skeg * leg.share(bottom, leg.skeg), bottom + 0.5 * leg.skeg

    blunt = _smooth_step((leg.above - 0.5 * gap) / gap)
    spray = spray_drag(q, leg.thickness) * (1.0 - blunt) + spray_drag(q, leg.middle) * blunt
    yield spray * covered, leg.surface - leg.above
    # one junction at the gear case; one at the plate while water covers it
    junction = junction_drag(q, leg.thickness, ratio)
    yield junction * covered, top
    yield junction * deep, 0.0 * deep


def leg_drag(
    dynamic_pressure_pa: ArrayLike,
    speed_mps: ArrayLike,
    viscosity: ArrayLike,
    diameter_m: ArrayLike,
    plate_depth_m: ArrayLike,
    strut_chord: ArrayLike,
    strut_thickness: ArrayLike,
    gear_case_diameter: ArrayLike,
    gear_case_length: ArrayLike,
    skeg_height: ArrayLike,
    plate_area: ArrayLike,
    midsection_thickness: ArrayLike,
    tip_clearance_m: ArrayLike,
) -> tuple[Array, Array]:
    """Drag of one lower unit and the depth of its centre under the plate.

    Parameters
    ----------
    plate_depth_m : depth of the anti-ventilation plate under the water there, negative above it.
    strut_chord, ... midsection_thickness : over propeller diameter (plate_area over its square).
    viscosity : kinematic, m2/s. The rest in m, m/s, Pa; arrays that broadcast.

    Returns
    -------
    Drag in N and depth of its centre under the plate in m (negative above it), NaN where no part
    is wet. Terms by Hoerner 1965, friction ITTC 1957. Raising the leg never adds drag while the
    gear case is covered; what stands over the plate is a thick strut of the same chord.
    """
    pressure, speed, nu, diameter, depth = _floats(
        dynamic_pressure_pa, speed_mps, viscosity, diameter_m, plate_depth_m
    )
    ratios = _floats(
        strut_chord,
        strut_thickness,
        gear_case_diameter,
        gear_case_length,
        skeg_height,
        midsection_thickness,
    )
    chord, thickness, case, length, skeg, middle = (ratio * diameter for ratio in ratios)
    plate = np.asarray(plate_area, dtype=np.float64) * diameter * diameter
    shaft = np.asarray(tip_clearance_m, dtype=np.float64) + 0.5 * diameter
    leg = _Leg(diameter, chord, thickness, case, length, skeg, middle, plate, shaft, depth)
    drag, moment = 0.0 * depth, 0.0 * depth
    for force, centre in _parts(leg, pressure, speed, nu):
        drag = drag + force
        moment = moment + force * centre
    with np.errstate(divide="ignore", invalid="ignore"):
        place = moment / drag
    return drag, place
