"""Open-water thrust and torque of propeller series, slip, and losses near the surface.

J = V/(n D), KT = T/(rho n^2 D^4), KQ = Q/(rho n^2 D^5), efficiency J KT/(2 pi KQ).
The series polynomials are cubic in J, so a propeller is reduced once to four coefficients of
KT and four of KQ and then evaluated by Horner.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.base.tables import read_table

Array = NDArray[np.float64]
Coefficients = tuple[Array, Array, Array, Array]


@dataclass(frozen=True)
class _Term:
    """One term C J^s (P/D)^t (AE/A0)^u Z^v."""

    coefficient: float
    advance: int
    pitch: int
    area: int
    blades: int


def _terms(name: str) -> tuple[_Term, ...]:
    table = read_table(f"coefficients/{name}.csv")
    powers = zip(*(table.numbers(column).astype(int).tolist() for column in "stuv"), strict=True)
    return tuple(
        _Term(c, *power) for c, power in zip(table.numbers("C").tolist(), powers, strict=True)
    )


def _kca_terms(kind: str) -> tuple[_Term, ...]:
    return tuple(
        _Term(
            float(row["C"]) * 10.0 ** float(row["e"]),
            int(row["z"]),
            int(row["y"]),
            int(row["x"]),
            0,
        )
        for row in read_table("coefficients/kca_open_water.csv").rows
        if row["kind"] == kind
    )


THRUST_TERMS = {
    "gawn": _terms("gawn_kt"),
    "wageningen_b": _terms("bseries_kt"),
    "kca": _kca_terms("t"),
}
TORQUE_TERMS = {
    "gawn": _terms("gawn_kq"),
    "wageningen_b": _terms("bseries_kq"),
    "kca": _kca_terms("q"),
}


def _powers(value: ArrayLike) -> dict[int, Array]:
    one = np.asarray(value, dtype=np.float64)
    two = one * one
    three = two * one
    return {1: one, 2: two, 3: three, 6: three * three}


def _cubic(
    terms: tuple[_Term, ...], pitch_ratio: ArrayLike, area_ratio: ArrayLike, blades: ArrayLike
) -> Coefficients:
    pitch, area, count = _powers(pitch_ratio), _powers(area_ratio), _powers(blades)
    shape = np.broadcast_shapes(pitch[1].shape, area[1].shape, count[1].shape)
    sums = tuple(np.zeros(shape) for _ in range(4))
    for term in terms:
        part: Array | float = term.coefficient
        for powers, power in ((pitch, term.pitch), (area, term.area), (count, term.blades)):
            if power:
                part = part * powers[power]
        sums[term.advance][...] += part
    return sums[0], sums[1], sums[2], sums[3]


def open_water_coefficients(
    series: str, pitch_ratio: ArrayLike, area_ratio: ArrayLike, blades: ArrayLike
) -> tuple[Coefficients, Coefficients]:
    """Coefficients of KT and of KQ as cubics in the advance ratio, lowest power first.

    Parameters
    ----------
    series : "gawn", "wageningen_b" or "kca" (three blades whatever blades says); else KeyError.
    pitch_ratio, area_ratio, blades : arrays that broadcast; P/D, AE/A0, Z, all bare.

    Returns
    -------
    Two tuples of four arrays of the broadcast shape, made for `horner`.
    """
    return (
        _cubic(THRUST_TERMS[series], pitch_ratio, area_ratio, blades),
        _cubic(TORQUE_TERMS[series], pitch_ratio, area_ratio, blades),
    )


def horner(coefficients: Coefficients, advance_ratio: ArrayLike) -> Array:
    """Value of a cubic in the advance ratio, lowest power first; arrays broadcast."""
    advance = np.asarray(advance_ratio, dtype=np.float64)
    c0, c1, c2, c3 = coefficients
    value: Array = ((c3 * advance + c2) * advance + c1) * advance + c0
    return value


_GAWN = (
    Span("pitch_ratio", 0.6, 2.0, Caution.PROPELLER_OUTSIDE),
    Span("area_ratio", 0.5, 1.1, Caution.PROPELLER_OUTSIDE),
    Span("blades", 3, 3, Caution.PROPELLER_OUTSIDE),
)
_WAGENINGEN = (
    Span("pitch_ratio", 0.5, 1.4, Caution.PROPELLER_OUTSIDE),
    Span("area_ratio", 0.3, 1.05, Caution.PROPELLER_OUTSIDE),
    Span("blades", 2, 7, Caution.PROPELLER_OUTSIDE),
)
_KCA = (
    Span("pitch_ratio", 0.8, 1.8, Caution.PROPELLER_OUTSIDE),
    Span("area_ratio", 0.5, 1.1, Caution.PROPELLER_OUTSIDE),
    Span("advance_ratio", 0.3, np.inf, Caution.PROPELLER_OUTSIDE),
)
_GAWN_PLACE = "39-term and 47-term polynomials, Molland et al. 2011 Table A4.3"


@law(
    "Thrust of segmental-section propellers",
    "Blount & Hubble 1981",
    _GAWN_PLACE,
    Basis.QUOTED,
    *_GAWN,
)
def gawn_thrust(
    advance_ratio: ArrayLike, pitch_ratio: ArrayLike, area_ratio: ArrayLike, blades: ArrayLike
) -> Array:
    """Thrust coefficient KT of the Gawn series, deep and without cavitation; broadcast shape."""
    return horner(_cubic(THRUST_TERMS["gawn"], pitch_ratio, area_ratio, blades), advance_ratio)


@law(
    "Torque of segmental-section propellers",
    "Blount & Hubble 1981",
    _GAWN_PLACE,
    Basis.QUOTED,
    *_GAWN,
)
def gawn_torque(
    advance_ratio: ArrayLike, pitch_ratio: ArrayLike, area_ratio: ArrayLike, blades: ArrayLike
) -> Array:
    """Torque coefficient KQ of the Gawn series, deep and without cavitation; broadcast shape."""
    return horner(_cubic(TORQUE_TERMS["gawn"], pitch_ratio, area_ratio, blades), advance_ratio)


@law(
    "Thrust of Wageningen B propellers",
    "Oosterveld & van Oossanen 1975",
    "Table 5",
    Basis.QUOTED,
    *_WAGENINGEN,
)
def wageningen_thrust(
    advance_ratio: ArrayLike, pitch_ratio: ArrayLike, area_ratio: ArrayLike, blades: ArrayLike
) -> Array:
    """Thrust coefficient KT of the B-series at Reynolds number 2e6; broadcast shape."""
    return horner(
        _cubic(THRUST_TERMS["wageningen_b"], pitch_ratio, area_ratio, blades), advance_ratio
    )


@law(
    "Torque of Wageningen B propellers",
    "Oosterveld & van Oossanen 1975",
    "Table 5",
    Basis.QUOTED,
    *_WAGENINGEN,
)
def wageningen_torque(
    advance_ratio: ArrayLike, pitch_ratio: ArrayLike, area_ratio: ArrayLike, blades: ArrayLike
) -> Array:
    """Torque coefficient KQ of the B-series at Reynolds number 2e6; broadcast shape."""
    return horner(
        _cubic(TORQUE_TERMS["wageningen_b"], pitch_ratio, area_ratio, blades), advance_ratio
    )


@law(
    "Thrust of the Gawn-Burrill series, second fit",
    "Radojcic 1988",
    "Molland et al. 2011 Table A4.4",
    Basis.QUOTED,
    *_KCA,
)
def kca_thrust(advance_ratio: ArrayLike, pitch_ratio: ArrayLike, area_ratio: ArrayLike) -> Array:
    """Thrust coefficient KT of three-bladed Gawn-Burrill propellers; broadcast shape."""
    return horner(_cubic(THRUST_TERMS["kca"], pitch_ratio, area_ratio, 3.0), advance_ratio)


@law(
    "Torque of the Gawn-Burrill series, second fit",
    "Radojcic 1988",
    "Molland et al. 2011 Table A4.4",
    Basis.QUOTED,
    *_KCA,
)
def kca_torque(advance_ratio: ArrayLike, pitch_ratio: ArrayLike, area_ratio: ArrayLike) -> Array:
    """Torque coefficient KQ of three-bladed Gawn-Burrill propellers; broadcast shape."""
    return horner(_cubic(TORQUE_TERMS["kca"], pitch_ratio, area_ratio, 3.0), advance_ratio)


_REYNOLDS = (*_WAGENINGEN, Span("reynolds", 2e6, 2e9, Caution.PROPELLER_OUTSIDE))


@law(
    "Reynolds correction of B-series thrust",
    "Oosterveld & van Oossanen 1975",
    "Table 6",
    Basis.QUOTED,
    *_REYNOLDS,
)
def wageningen_reynolds_thrust(
    advance_ratio: ArrayLike,
    pitch_ratio: ArrayLike,
    area_ratio: ArrayLike,
    blades: ArrayLike,
    reynolds: ArrayLike,
) -> Array:
    """Addition to B-series KT above Reynolds number 2e6 (chord at 0.75 R); broadcast shape."""
    j, p, a, z, rn = (
        np.asarray(value, dtype=np.float64)
        for value in (advance_ratio, pitch_ratio, area_ratio, blades, reynolds)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        scale = np.log10(rn) - 0.301
    square, j2, p3 = scale * scale, j * j, p * p * p
    p6 = p3 * p3
    value: Array = (
        0.000353485
        - 0.00333758 * a * j2
        - 0.00478125 * a * p * j
        + 0.000257792 * square * a * j2
        + 0.0000643192 * scale * p6 * j2
        - 0.0000110636 * square * p6 * j2
        - 0.0000276305 * square * z * a * j2
        + 0.0000954 * scale * z * a * p * j
        + 0.0000032049 * scale * z * z * a * p3 * j
    )
    return value


@law(
    "Reynolds correction of B-series torque",
    "Oosterveld & van Oossanen 1975",
    "Table 6",
    Basis.QUOTED,
    *_REYNOLDS,
)
def wageningen_reynolds_torque(
    advance_ratio: ArrayLike,
    pitch_ratio: ArrayLike,
    area_ratio: ArrayLike,
    blades: ArrayLike,
    reynolds: ArrayLike,
) -> Array:
    """Addition to B-series KQ above Reynolds number 2e6 (chord at 0.75 R); broadcast shape."""
    j, p, a, z, rn = (
        np.asarray(value, dtype=np.float64)
        for value in (advance_ratio, pitch_ratio, area_ratio, blades, reynolds)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        scale = np.log10(rn) - 0.301
    square, j2, p2, a2 = scale * scale, j * j, p * p, a * a
    p6 = p2 * p2 * p2
    value: Array = (
        -0.000591412
        + 0.00696898 * p
        - 0.0000666654 * z * p6
        + 0.0160818 * a2
        - 0.000938091 * scale * p
        - 0.00059593 * scale * p2
        + 0.0000782099 * square * p2
        + 0.0000052199 * scale * z * a * j2
        - 0.00000088528 * square * z * a * p * j
        + 0.0000230171 * scale * z * p6
        - 0.00000184341 * square * z * p6
        - 0.00400252 * scale * a2
        + 0.000220915 * square * a2
    )
    return value


@law(
    "Chord of a B-series blade at 0.75 R",
    "Oosterveld & van Oossanen 1975",
    "c/D = 2.073 (AE/A0)/Z",
    Basis.RECALLED,
)
def chord_ratio(area_ratio: ArrayLike, blades: ArrayLike) -> Array:
    """Chord at three quarters of the radius over diameter; broadcast shape."""
    value: Array = 2.073 * np.asarray(area_ratio, dtype=np.float64) / np.asarray(blades)
    return value


@law("Open-water efficiency", "own", "definition J KT/(2 pi KQ)", Basis.READ)
def open_water_efficiency(
    advance_ratio: ArrayLike, thrust_coefficient: ArrayLike, torque_coefficient: ArrayLike
) -> Array:
    """Thrust power over shaft power; broadcast shape, NaN where the torque is nought."""
    thrust = np.asarray(thrust_coefficient, dtype=np.float64)
    torque = np.asarray(torque_coefficient, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        value: Array = np.asarray(advance_ratio) * thrust / (2.0 * np.pi * torque)
        return np.where(torque == 0.0, np.nan, value)


@law(
    "Slip of the stamped pitch",
    "own",
    "definition 1 - V/(n P), stamped pitch, speed through the water",
    Basis.READ,
)
def slip(speed_mps: ArrayLike, pitch_m: ArrayLike, revolutions_per_s: ArrayLike) -> Array:
    """Slip as a share of stamped pitch; NaN for a propeller at rest; broadcast shape."""
    run = np.asarray(pitch_m, dtype=np.float64) * np.asarray(revolutions_per_s)
    with np.errstate(divide="ignore", invalid="ignore"):
        value: Array = 1.0 - np.asarray(speed_mps) / run
        return np.where(run == 0.0, np.nan, value)


VENT_BEGINS, VENT_WHOLE = 0.15, 0.55  # slip of effective pitch


@law(
    "Blades in their own exhaust",
    "own",
    "smooth step over slip; its size is tuned to one owner's log of rpm under the hump",
    Basis.ASSUMED,
)
def vented_share(
    advance_ratio: ArrayLike, effective_pitch_ratio: ArrayLike, loss: ArrayLike
) -> Array:
    """Thrust, and torque alike, over that of clean blades; arrays broadcast.

    A hub that breathes the exhaust out behind heavily loaded blades lets them turn faster for the
    same thrust: 1 up to a slip of 0.15 of effective pitch, 1 - loss from 0.55.
    """
    slipped = 1.0 - np.asarray(advance_ratio) / np.asarray(effective_pitch_ratio)
    step = np.clip((slipped - VENT_BEGINS) / (VENT_WHOLE - VENT_BEGINS), 0.0, 1.0)
    value: Array = 1.0 - np.asarray(loss) * (step * step * (3.0 - 2.0 * step))
    return value


@law(
    "Thrust near the surface",
    "Minsaas et al. 1983",
    "combined factor of lost disc, unsteady lift and free surface; a lower bound for light loading",
    Basis.RECALLED,
    Span("immersion_ratio", -0.25, np.inf, Caution.PLATE_HIGH),
)
def near_surface_thrust(immersion_ratio: ArrayLike) -> Array:
    """Thrust over deep thrust for shaft depth over propeller radius h/R; same shape.

    0 below h/R = -0.25 and 1 above 1.3, as published; do not multiply by the immersed disc share.
    """
    depth = np.asarray(immersion_ratio, dtype=np.float64)
    with np.errstate(invalid="ignore"):
        # beta_T = 1 - 0.675 (1 - 0.769 h/R)^1.258
        loss = 0.675 * np.power(np.maximum(1.0 - 0.769 * depth, 0.0), 1.258)
        value: Array = np.where(depth >= 1.3, 1.0, np.where(depth < -0.25, 0.0, 1.0 - loss))
    return np.where(np.isnan(depth), np.nan, value)


@law(
    "Torque near the surface",
    "Minsaas et al. 1983",
    "beta_Q = beta_T^m with m 0.80 to 0.85; 0.85 here",
    Basis.RECALLED,
)
def near_surface_torque(immersion_ratio: ArrayLike) -> Array:
    """Torque over deep torque for shaft depth over propeller radius h/R; same shape."""
    value: Array = np.power(near_surface_thrust(immersion_ratio), 0.85)
    return value


@law(
    "Drag of a locked propeller",
    "Molland et al. 2011",
    "C_DB = 0.1 + cos^2(theta), tan(theta) = (P/D)/(0.7 pi), on blade area",
    Basis.QUOTED,
)
def locked_propeller_drag_coefficient(pitch_ratio: ArrayLike) -> Array:
    """Drag coefficient of a stopped propeller on its blade area; same shape."""
    tangent = np.asarray(pitch_ratio, dtype=np.float64) / (0.7 * np.pi)
    # cos^2(atan x) = 1/(1 + x^2)
    value: Array = 0.1 + 1.0 / (1.0 + tangent * tangent)
    return value
