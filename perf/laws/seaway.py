"""A boat in waves and wind: the drag a head sea adds, how hard she slams, what other headings leave of it.

Two published methods stand side by side. The equations of 1976 were fitted on model tests at three
speeds; most boats under 30 ft are outside their range. The formula of 1980 is looser and reaches
them. Heights are significant heights, accelerations in g over the 1 g of rest.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law

Array = NDArray[np.float64]

RADIAN = np.pi / 180.0

# What the 1980 formula is taken to reach; the paper was not seen, so these ends are ours (assumed).
FROUDE_LOW_1980, FROUDE_HIGH_1980 = 0.6, 4.5  # volume Froude numbers
HEIGHT_LOW_1980, HEIGHT_HIGH_1980 = 0.05, 0.8  # significant height over beam

_HEIGHT = Span("height_ratio", 0.2, 0.7, Caution.SEA_OUTSIDE)
_LENGTH = Span("length_ratio", 3.0, 5.0, Caution.SEA_OUTSIDE)
_TRIM = Span("trim_deg", 3.0, 7.0, Caution.SEA_OUTSIDE)
_DEADRISE = Span("deadrise_deg", 10.0, 30.0, Caution.SEA_OUTSIDE)
_SPEED = Span("speed_length", 2.0, 6.0, Caution.SEA_OUTSIDE)
_RANGE_1976 = (_HEIGHT, _LENGTH, _TRIM, _DEADRISE, _SPEED)
SLENDER_LOW_1976, SLENDER_HIGH_1976 = 100.0, 250.0  # long tons over (0.01 length in feet) cubed
_RANGE_1980 = (
    Span("height_ratio", HEIGHT_LOW_1980, HEIGHT_HIGH_1980, Caution.SEA_OUTSIDE),
    Span("volume_froude", FROUDE_LOW_1980, FROUDE_HIGH_1980, Caution.SEA_OUTSIDE),
)

# V/sqrt(L) in knots and feet from metres per second and metres
_KNOT, _FOOT = 1852.0 / 3600.0, 0.3048
_LONG_TON = 1016.0469088


@law(
    "speed-length ratio of the 1976 equations",
    "Savitsky & Brown 1976",
    "V/sqrt(L), knots and feet",
    Basis.READ,
)
def speed_length(speed_mps: Array, length_m: Array) -> Array:
    """Speed in knots over the root of the length in feet, broadcast shape; NaN for no length."""
    with np.errstate(all="ignore"):
        return np.asarray(speed_mps / _KNOT / np.sqrt(length_m / _FOOT))


@law(
    "fullness of the 1976 equations",
    "Savitsky & Brown 1976",
    "displacement over (0.01 L) cubed, long tons and feet",
    Basis.READ,
)
def fullness(mass_kg: Array, length_m: Array) -> Array:
    """Long tons over a hundredth of the length in feet, cubed; broadcast shape."""
    hundredth = 0.01 * length_m / _FOOT
    with np.errstate(all="ignore"):
        return np.asarray(mass_kg / _LONG_TON / (hundredth * hundredth * hundredth))


@law(
    "added resistance in a head sea",
    "Savitsky & Brown 1976",
    "eqs. 22-24",
    Basis.READ,
    *_RANGE_1976,
)
def added_resistance_1976(
    height_ratio: Array,
    length_ratio: Array,
    loading: Array,
    trim_deg: Array,
    deadrise_deg: Array,
    speed_length: Array,
) -> Array:
    """Mean drag an irregular head sea adds, over weight: three equations, straight lines between.

    Parameters
    ----------
    height_ratio : significant wave height over beam [-].
    length_ratio : length over beam [-].
    loading : weight over specific weight of the water and beam cubed [-].
    trim_deg : trim in calm water [deg].
    deadrise_deg : deadrise [deg].
    speed_length : knots over root feet; the equations stand at 2, 4 and 6.

    Returns
    -------
    Added resistance over weight [-], broadcast shape; nothing in calm water; NaN below 2 and above
    6, and where the bracket of the third equation is no longer positive.
    """
    height, length, speed = (
        np.asarray(value, dtype=float) for value in (height_ratio, length_ratio, speed_length)
    )
    with np.errstate(all="ignore"):
        # eq. 22, V/sqrt(L) = 2: R/(w b^3) = 66e-6 (H/b + 0.5) (L/b)^3 / C + 0.0043 (t - 4)
        cube = length * length * length
        slow_sea = 66e-6 * (height + 0.5) * cube / loading + 0.0043 * (trim_deg - 4.0)
        at_two, at_six = slow_sea / loading, _at_six(height, length, loading, deadrise_deg)
        # eq. 23, V/sqrt(L) = 4: R/W = 0.3 (H/b)/(1 + 2 H/b) (1.76 - t/6 - 2 tan^3 b)
        tangent = np.tan(np.asarray(deadrise_deg) * RADIAN)
        shape = 1.76 - trim_deg / 6.0 - 2.0 * tangent * tangent * tangent
        at_four = 0.3 * height / (1.0 + 2.0 * height) * shape
        slow = at_two + (speed - 2.0) / 2.0 * (at_four - at_two)
        fast = at_four + (speed - 4.0) / 2.0 * (at_six - at_four)
        found = np.where(height == 0.0, 0.0, np.where(speed <= 4.0, slow, fast))
        return np.where((speed >= 2.0) & (speed <= 6.0), found, np.nan)


def _at_six(height: Array, length: Array, loading: Array, deadrise_deg: Array) -> Array:
    """Eq. 24, V/sqrt(L) = 6, over weight; NaN where its bracket is no longer positive.

    R/(w b^3) = 0.158 (H/b) / (1 + (H/b) [0.12 b - 21 C (5.6 - L/b) + 7.5 (6 - L/b)])
    """
    bracket = 0.12 * deadrise_deg - 21.0 * loading * (5.6 - length) + 7.5 * (6.0 - length)
    under = 1.0 + height * bracket
    return np.where(under > 0.0, 0.158 * height / under / loading, np.nan)


@law(
    "added resistance in a head sea",
    "Hoggard & Jones 1980",
    "as used with the 1976 power method",
    Basis.RECALLED,
    *_RANGE_1980,
)
def added_resistance_1980(height_ratio: Array, slenderness: Array, volume_froude: Array) -> Array:
    """Mean drag an irregular head sea adds, over weight.

    Parameters
    ----------
    height_ratio : significant wave height over beam [-].
    slenderness : projected chine length over the cube root of the displaced volume [-].
    volume_froude : volume Froude number [-].

    Returns
    -------
    Added resistance over weight [-], broadcast shape; nothing in calm water and at rest.
    """
    with np.errstate(all="ignore"):
        # R/W = 1.3 (H/b)^0.5 Fv (Lp / vol^(1/3))^-2.5
        steep = slenderness * slenderness * np.sqrt(slenderness)
        return np.asarray(1.3 * np.sqrt(height_ratio) * volume_froude / steep)


@law(
    "vertical acceleration at the balance point",
    "Savitsky & Brown 1976",
    "average of the peaks",
    Basis.READ,
    *_RANGE_1976,
)
def acceleration_1976(
    height_ratio: Array,
    length_ratio: Array,
    loading: Array,
    trim_deg: Array,
    deadrise_deg: Array,
    speed_length: Array,
) -> Array:
    """Average peak at the balance point in an irregular head sea [g], broadcast shape.

    The arguments are those of added_resistance_1976; stated doubt of the paper 0.2 g.
    """
    with np.errstate(all="ignore"):
        # n = 0.0104 (H/b + 0.084) (t/4) (5/3 - b/30) (V/sqrt L)^2 (L/b)/C
        peak = (
            0.0104 * (height_ratio + 0.084) * (trim_deg / 4.0) * (5.0 / 3.0 - deadrise_deg / 30.0)
        )
        return np.asarray(peak * speed_length * speed_length * length_ratio / loading)


@law(
    "vertical acceleration at the bow",
    "Savitsky & Brown 1976",
    "average of the peaks",
    Basis.READ,
    _LENGTH,
    _SPEED,
)
def bow_acceleration_1976(balance_g: Array, length_ratio: Array, speed_length: Array) -> Array:
    """Average peak at the bow [g] from that at the balance point, broadcast shape; NaN at rest."""
    with np.errstate(all="ignore"):
        # n_bow = n [1 + 3.8 (L/b - 2.25)/(V/sqrt L)]
        ratio = np.where(speed_length > 0.0, 3.8 * (length_ratio - 2.25) / speed_length, np.nan)
        return np.asarray(balance_g * (1.0 + ratio))


@law(
    "average of the highest peaks",
    "Savitsky & Brown 1976",
    "exponential distribution: (1 + ln N) times the average",
    Basis.READ,
)
def highest_average(average_g: Array, one_in: Array) -> Array:
    """Average of the highest one in so many peaks from the average of all, broadcast shape; NaN under one."""
    with np.errstate(all="ignore"):
        return np.asarray(average_g * np.where(one_in >= 1.0, 1.0 + np.log(one_in), np.nan))


@law(
    "vertical acceleration at the balance point",
    "Hoggard & Jones 1980",
    "average of the highest tenth",
    Basis.RECALLED,
    *_RANGE_1980,
)
def acceleration_1980(
    height_ratio: Array, length_ratio: Array, trim_deg: Array, volume_froude: Array
) -> Array:
    """Average of the highest tenth of the peaks at the balance point in a head sea [g], broadcast shape.

    length_ratio is projected chine length over beam; trim_deg of calm water.
    """
    with np.errstate(all="ignore"):
        # n = 7.0 (H/b) (1 + t/2)^0.25 Fv / (Lp/b)^1.25
        trim = np.sqrt(np.sqrt(1.0 + 0.5 * trim_deg))
        long = length_ratio * np.sqrt(np.sqrt(length_ratio))
        return np.asarray(7.0 * height_ratio * trim * volume_froude / long)


@law(
    "vertical acceleration at the bow",
    "Hoggard & Jones 1980",
    "average of the highest tenth",
    Basis.RECALLED,
    *_RANGE_1980,
)
def bow_acceleration_1980(
    height_ratio: Array, length_ratio: Array, trim_deg: Array, volume_froude: Array
) -> Array:
    """Average of the highest tenth of the peaks at the bow in a head sea [g], broadcast shape.

    The arguments are those of acceleration_1980.
    """
    with np.errstate(all="ignore"):
        # n = 10.5 (H/b) (1 + t/2)^0.5 Fv / (Lp/b)^0.75
        trim, root = np.sqrt(1.0 + 0.5 * trim_deg), np.sqrt(length_ratio)
        return np.asarray(10.5 * height_ratio * trim * volume_froude / (root * np.sqrt(root)))


@law(
    "share of a head sea that another heading leaves",
    "own",
    "straight lines between head, beam and following",
    Basis.ASSUMED,
)
def heading_share(angle_deg: Array, beam_share: Array, following_share: Array) -> Array:
    """Share of a head sea's added drag and slamming on another heading, broadcast shape.

    angle_deg is between the course and where the sea comes from, any number of turns; the shares
    are those at 90 and 180 degrees. Never under nothing: a sea from astern is not taken to push.
    """
    with np.errstate(all="ignore"):
        turned = np.abs(np.mod(angle_deg + 180.0, 360.0) - 180.0)
        fore = 1.0 + turned / 90.0 * (beam_share - 1.0)
        aft = beam_share + (turned - 90.0) / 90.0 * (following_share - beam_share)
        return np.maximum(np.where(turned <= 90.0, fore, aft), 0.0)


@law(
    "head wind that drags like a slanting one",
    "own",
    "drag as the square of the air's speed, taken along the heading",
    Basis.ASSUMED,
)
def effective_head_wind(speed_mps: Array, ahead_mps: Array, across_mps: Array) -> Array:
    """Wind from dead ahead that drags as the given wind does at this speed [m/s], broadcast shape.

    ahead_mps and across_mps are the wind over the water along and across the heading, from ahead
    positive; the wind itself comes back where it has no part across.
    """
    along = speed_mps + ahead_mps
    with np.errstate(all="ignore"):
        whole = np.sqrt(along * along + across_mps * across_mps)
        felt = np.sign(along) * np.sqrt(np.abs(along) * whole)
    return np.where(across_mps == 0.0, ahead_mps + 0.0 * along, felt - speed_mps)


@law(
    "speed over the ground in a current",
    "own",
    "the boat is steered to stay on her course",
    Basis.ASSUMED,
)
def ground_speed(speed_mps: Array, current_along_mps: Array, current_across_mps: Array) -> Array:
    """Speed over the ground along the course [m/s], broadcast shape; NaN where she makes no way."""
    with np.errstate(all="ignore"):
        room = speed_mps * speed_mps - current_across_mps * current_across_mps
        made = np.where(current_across_mps == 0.0, speed_mps, np.sqrt(room)) + current_along_mps
        return np.where(made > 0.0, made, np.nan)


@law(
    "speed through the water for one over the ground", "own", "inverse of the above", Basis.ASSUMED
)
def speed_for_ground(
    ground_mps: Array, current_along_mps: Array, current_across_mps: Array
) -> Array:
    """Speed through the water that makes a speed over the ground [m/s], broadcast shape."""
    along = ground_mps - current_along_mps
    return np.asarray(np.sqrt(along * along + current_across_mps * current_across_mps))
