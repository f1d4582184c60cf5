"""Engine and propeller: the rpm, power and fuel a thrust asks for, and the thrust full throttle gives.

Order of solving: the thrust gives J from KT/J² alone, J gives rpm and torque, power over
full-throttle power gives the throttle. Nothing here searches for trim or speed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution, flag
from perf.base.quantities import MINUTE_S, litres_per_hour
from perf.base.roots import Start, find_roots
from perf.boat.lanes import Lanes
from perf.laws import cavitation, engine, fuel_table, propeller
from perf.laws.water import GRAVITY

Array = NDArray[np.float64]
Cubic = tuple[Array, Array, Array, Array]

ADVANCE_LOW = 1e-3
# advance ratios of no thrust and no torque over pitch ratio, roughly: searches begin by them
ZERO_THRUST, ZERO_TORQUE = 1.1, 1.2
PAST_LIMIT = 1.03  # of the rev limit: as far as turns are sought
ATMOSPHERE_PA = 101_325.0  # ISO 2533 at sea level


@dataclass(frozen=True, eq=False)
class Screw:
    """One propeller per lane in its place: open-water cubics in J, advance speed, surface losses; all (n,)."""

    lanes: Lanes
    thrust_cubic: Cubic
    torque_cubic: Cubic
    advance_mps: Array
    thrust_kept: Array
    torque_kept: Array
    advance_high: Array

    @classmethod
    def of(
        cls, lanes: Lanes, speed_mps: Array, plate_depth_m: Array, series: str = "gawn"
    ) -> Screw:
        """Propellers under their plates at a speed; plate_depth_m is under the local water surface."""
        thrust, torque = propeller.open_water_coefficients(
            series, lanes.effective_pitch_ratio, lanes.area_ratio, lanes.blades
        )
        if series == "wageningen_b":
            thrust, torque = _at_full_size(lanes, thrust, torque)
        kept_thrust, kept_torque = surface_kept(lanes, plate_depth_m)
        # past this the series gives no thrust: the zero of KT lies near 1.1 of the pitch ratio
        high = 1.3 * lanes.effective_pitch_ratio + 0.1
        advance = speed_mps * (1.0 - lanes.wake_fraction)
        return cls(lanes, thrust, torque, advance, kept_thrust, kept_torque, high)

    def thrust_coefficient(
        self, advance_ratio: Array, rows: NDArray[np.intp] | slice = slice(None)
    ) -> Array:
        """KT in place."""
        c0, c1, c2, c3 = self.thrust_cubic
        cubic = (c0[rows], c1[rows], c2[rows], c3[rows])
        kept = self.thrust_kept[rows] * self._vented(advance_ratio, rows)
        return propeller.horner(cubic, advance_ratio) * kept

    def torque_coefficient(
        self, advance_ratio: Array, rows: NDArray[np.intp] | slice = slice(None)
    ) -> Array:
        """KQ in place, behind the leg."""
        c0, c1, c2, c3 = self.torque_cubic
        cubic = (c0[rows], c1[rows], c2[rows], c3[rows])
        kept = self.torque_kept[rows] * self.lanes.relative_rotative[rows]
        return propeller.horner(cubic, advance_ratio) * (kept * self._vented(advance_ratio, rows))

    def _vented(self, advance_ratio: Array, rows: NDArray[np.intp] | slice) -> Array:
        return propeller.vented_share(
            advance_ratio, self.lanes.effective_pitch_ratio[rows], self.lanes.vented_blades[rows]
        )


def _at_full_size(lanes: Lanes, thrust: Cubic, torque: Cubic) -> tuple[Cubic, Cubic]:
    """B-series cubics with their Reynolds terms, at the blade speed of rated rpm without way on.

    The terms are quadratic in J: three places give their coefficients.
    """
    turns = lanes.rated_rpm / (MINUTE_S * lanes.gear_ratio)
    chord = propeller.chord_ratio(lanes.area_ratio, lanes.blades) * lanes.diameter_m
    reynolds = chord * (0.75 * np.pi) * turns * lanes.diameter_m / lanes.viscosity
    shape = (lanes.effective_pitch_ratio, lanes.area_ratio, lanes.blades, reynolds)

    def corrected(cubic: Cubic, addition: Callable[..., Array]) -> Cubic:
        none, one, two = (addition(np.full(lanes.count, j), *shape) for j in (0.0, 1.0, 2.0))
        square = 0.5 * (two - 2.0 * one + none)
        return (cubic[0] + none, cubic[1] + (one - none - square), cubic[2] + square, cubic[3])

    return (
        corrected(thrust, propeller.wageningen_reynolds_thrust),
        corrected(torque, propeller.wageningen_reynolds_torque),
    )


def surface_kept(lanes: Lanes, plate_depth_m: Array) -> tuple[Array, Array]:
    """Share of thrust and torque kept near the surface.

    The published factor is for ship propellers and is a lower bound; under its plate an outboard
    keeps all until the plate stands plate_shield_m over the water, then loses a share of it.
    """
    radius = 0.5 * lanes.diameter_m
    shaft = np.minimum(plate_depth_m + lanes.plate_shield_m, 0.0) + radius * 1.3
    thrust = propeller.near_surface_thrust(shaft / radius)
    torque = propeller.near_surface_torque(shaft / radius)
    return 1.0 - lanes.surface_loss * (1.0 - thrust), 1.0 - lanes.surface_loss * (1.0 - torque)


@dataclass(frozen=True, eq=False)
class Turning:
    """A propeller at work: J, rpm of the engine, shaft power of all engines, and so on; all (n,)."""

    advance_ratio: Array
    engine_rpm: Array
    shaft_power_w: Array
    efficiency: Array
    slip: Array
    cautions: NDArray[np.int64]
    found: NDArray[np.bool_]


def turn_for(screw: Screw, thrust_n: Array) -> Turning:
    """Rpm and power at which all propellers together give thrust_n along their shafts."""
    lanes = screw.lanes
    each = thrust_n / (lanes.engines * (1.0 - lanes.thrust_deduction))
    wanted = each / (lanes.water_density * (screw.advance_mps * lanes.diameter_m) ** 2)

    def over(advance_ratio: Array, row: Array) -> Array:
        rows = row.astype(np.intp)
        much: Array = wanted[rows] * advance_ratio * advance_ratio - screw.thrust_coefficient(
            advance_ratio, rows
        )
        return much

    count = lanes.count
    rows = np.arange(count, dtype=float)
    roots = find_roots(
        over,
        np.full(count, ADVANCE_LOW),
        screw.advance_high,
        (rows,),
        tolerance=1e-10,
        start=_straight_thrust(screw, wanted),
    )
    return _turning(screw, roots.x, each, roots.found)


def _straight_thrust(screw: Screw, wanted: Array) -> Start:
    """Where KT, taken as straight from standing still to near its zero, meets wanted J squared."""
    still = screw.thrust_cubic[0] * screw.thrust_kept
    falls = still / (ZERO_THRUST * screw.lanes.effective_pitch_ratio)
    with np.errstate(all="ignore"):
        root = np.sqrt(falls * falls + 4.0 * wanted * still)
        return Start(2.0 * still / (falls + root), root)


def _turning(
    screw: Screw, advance_ratio: Array, each_n: Array, found: NDArray[np.bool_]
) -> Turning:
    lanes = screw.lanes
    turns = screw.advance_mps / (advance_ratio * lanes.diameter_m)
    thrust_k = screw.thrust_coefficient(advance_ratio)
    torque_k = screw.torque_coefficient(advance_ratio)
    diameter = lanes.diameter_m
    fifth = diameter * diameter * diameter * diameter * diameter
    torque = torque_k * lanes.water_density * turns * turns * fifth
    power = 2.0 * np.pi * turns * torque * lanes.engines
    speed = screw.advance_mps / (1.0 - lanes.wake_fraction)
    return Turning(
        advance_ratio,
        MINUTE_S * turns * lanes.gear_ratio,
        power,
        propeller.open_water_efficiency(advance_ratio, thrust_k, torque_k),
        propeller.slip(speed, lanes.pitch_m, turns),
        _cautions(screw, advance_ratio, thrust_k),
        found,
    )


def _cautions(screw: Screw, advance_ratio: Array, thrust_k: Array) -> NDArray[np.int64]:
    lanes = screw.lanes
    ratio, area = lanes.effective_pitch_ratio, lanes.area_ratio
    inside = (ratio >= 0.6) & (ratio <= 2.0) & (area >= 0.5) & (area <= 1.1) & (lanes.blades <= 4.0)
    bits = flag(inside, Caution.PROPELLER_OUTSIDE)
    turns = screw.advance_mps / (advance_ratio * lanes.diameter_m)
    sigma = blade_cavitation_number(screw, turns)
    limit = cavitation.thrust_coefficient_limit(advance_ratio, ratio, area, sigma)
    return bits | flag(~(thrust_k > limit), Caution.CAVITATION)


def blade_cavitation_number(screw: Screw, turns_per_s: Array) -> Array:
    """Cavitation number on the blade speed at 0.7 of the radius, shaft as deep as the propeller hangs; (n,)."""
    lanes = screw.lanes
    static = ATMOSPHERE_PA + lanes.water_density * GRAVITY * lanes.propeller_below_m
    number: Array = cavitation.cavitation_number_07(
        static,
        lanes.vapour_pressure,
        lanes.water_density,
        screw.advance_mps,
        turns_per_s,
        lanes.diameter_m,
    )
    return number


def full_power(lanes: Lanes, engine_rpm: Array) -> Array:
    """Full-throttle power of all engines at this rpm [W], (n,)."""
    each: Array = engine.full_throttle_power(
        engine_rpm,
        lanes.rated_power_w,
        lanes.rated_rpm,
        lanes.idle_rpm,
        lanes.limit_rpm,
        lanes.diesel_curve,
    )
    return lanes.engines * each


def full_thrust(screw: Screw) -> tuple[Array, Array]:
    """Thrust of all propellers at full throttle [N] and the engine rpm it turns at, (n,); NaN where none.

    The one rpm at which the power the propeller swallows meets the full-throttle curve.
    """
    lanes = screw.lanes
    diameter = lanes.diameter_m
    low = np.maximum(
        screw.advance_mps / (screw.advance_high * diameter),
        lanes.idle_rpm / (MINUTE_S * lanes.gear_ratio),
    )
    high = PAST_LIMIT * lanes.limit_rpm / (MINUTE_S * lanes.gear_ratio)

    def surplus(turns: Array, row: Array) -> Array:
        rows = row.astype(np.intp)
        part = lanes if rows.size == lanes.count else lanes.take(rows)
        size = part.diameter_m
        torque_k = screw.torque_coefficient(screw.advance_mps[rows] / (turns * size), rows)
        moved = 2.0 * np.pi * part.water_density * turns * turns * turns
        swallowed = moved * size * size * size * size * size
        left: Array = (
            swallowed * torque_k * part.engines
            - full_power(part, MINUTE_S * turns * part.gear_ratio)
        ) / part.rated_power_w
        return left

    rows = np.arange(lanes.count, dtype=float)
    start = _straight_torque(screw)
    roots = find_roots(surplus, low, high, (rows,), tolerance=1e-9, start=start)
    turns = roots.x
    thrust_k = screw.thrust_coefficient(screw.advance_mps / (turns * diameter))
    square = diameter * diameter
    each = thrust_k * lanes.water_density * turns * turns * square * square
    engine_rpm = MINUTE_S * turns * lanes.gear_ratio
    return each * lanes.engines * (1.0 - lanes.thrust_deduction), engine_rpm


def _straight_torque(screw: Screw) -> Start:
    """Where KQ, taken as straight in J to near its zero, meets full throttle of one torque."""
    lanes = screw.lanes
    square = lanes.diameter_m * lanes.diameter_m
    still = screw.torque_cubic[0] * screw.torque_kept * lanes.relative_rotative
    rated = lanes.rated_rpm / (MINUTE_S * lanes.gear_ratio)
    # a n (n - b) = torque, with b the turns at which the water alone carries the blades round
    each = 2.0 * np.pi * lanes.water_density * square * square * lanes.diameter_m * still
    free = screw.advance_mps / (ZERO_TORQUE * lanes.effective_pitch_ratio * lanes.diameter_m)
    with np.errstate(all="ignore"):
        torque = lanes.rated_power_w / (rated * each)
        turns = 0.5 * (free + np.sqrt(free * free + 4.0 * torque))
        slope = each * turns * (2.0 * turns - free) / lanes.rated_power_w
        return Start(turns, lanes.engines * slope)


def fuel_lph(lanes: Lanes, shaft_power_w: Array, engine_rpm: Array) -> Array:
    """Fuel of all engines together [L/h], (n,), the owner's own burn table counted in."""
    each = engine.fuel_mass_flow(
        shaft_power_w / lanes.engines,
        engine_rpm / lanes.rated_rpm,
        lanes.rated_power_w,
        lanes.fuel_friction,
        lanes.fuel_slope,
        lanes.fuel_enrichment,
        lanes.fuel_idle,
    )
    litres = litres_per_hour(each * lanes.engines, lanes.fuel_density)
    factors = lanes.fuel_factors
    if all(np.all(factor == 1.0) for factor in factors):
        return litres
    # a lane without a table is multiplied by one: the same alone and in a crowd
    share = engine_rpm / lanes.rated_rpm
    return litres * fuel_table.table_factor(share, lanes.fuel_shares, factors)
