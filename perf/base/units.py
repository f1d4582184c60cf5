"""Quantities at the door: text to SI, SI to the units a person reads.

The only module that knows the units library, which is asked for factors and never sees a person's
text. Angles stay in degrees, engine speeds in rpm, fuel burn in litres per hour.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any, overload

import numpy as np
import pint
from numpy.typing import NDArray

from perf.base.reading import understand
from perf.base.spellings import KINDS, SYSTEMS

__all__ = [
    "KINDS",
    "SYSTEMS",
    "Quantity",
    "read",
    "show",
    "show_difference",
    "to_si",
    "unit_label",
    "units_from_si",
]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Quantity:
    """A value in SI, its doubt, and the text it was read from.

    Nine times in ten the truth is thought to lie within value ± doubt; 0.0 where none was given.
    """

    value: float
    doubt: float
    text: str


# --- factors ---------------------------------------------------------------------------------


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry[Any]:
    # Fractions keep the defined factors exact: 1 ft is 0.3048 m, not 0.30479999999999996 m.
    return pint.UnitRegistry(non_int_type=Fraction)


@lru_cache(maxsize=256)
def _exact(unit: str, si: str) -> tuple[Fraction, Fraction]:
    # (factor, shift): SI = (number + shift) * factor; the shift is zero but for temperatures.
    if unit == si:
        return Fraction(1), Fraction(0)
    quantity, target = _registry().Quantity, si or "dimensionless"
    zero = Fraction(quantity(Fraction(0), unit).m_as(target))
    factor = Fraction(quantity(Fraction(1), unit).m_as(target)) - zero
    return factor, zero / factor


@lru_cache(maxsize=256)
def _factor_and_shift(kind: str, system: str) -> tuple[float, float]:
    factor, shift = _exact(_shown(kind, system)[1], KINDS[kind].si)
    return float(factor), float(shift)


def _shown(kind: str, system: str) -> tuple[str, str]:
    # (label, unit); a name nobody knows is a fault of the program, not of the person.
    if kind not in KINDS:
        raise ValueError(f"no kind of quantity is called {kind!r}")
    if system not in SYSTEMS:
        raise ValueError(f"units are {', '.join(SYSTEMS)}, not {system!r}")
    return KINDS[kind].shown[system]


def read(text: str, kind: str) -> Quantity:
    """Read one quantity with its unit, and its doubt after "±" or "+/-" where one is given.

    Parameters
    ----------
    text : such as "24 ft 2 in", "25 1/2 in", "4350 lb ± 4 %", "48 °F ± 5 °F"; 60 characters at most.
    kind : a key of KINDS other than "text".

    Returns
    -------
    Quantity in SI, the nearest float to the exact value (degrees, rpm, g/kg, litres per hour,
    degrees Celsius where those are kept).

    Raises
    ------
    ReadingError whose message says what to write instead; ValueError for an unknown kind.
    """
    if kind not in KINDS or kind == "text":
        raise ValueError(f"no kind of quantity is called {kind!r}")
    found, si = understand(text, kind), KINDS[kind].si
    factor, shift = _exact(found.unit, si)
    doubt = found.doubt * _exact(found.doubt_unit, si)[0]  # a difference: never shifted
    return Quantity(float((found.number + shift) * factor), float(doubt), text.strip())


# --- showing ---------------------------------------------------------------------------------


@overload
def units_from_si(values: float, kind: str, system: str) -> float: ...
@overload
def units_from_si(values: FloatArray, kind: str, system: str) -> FloatArray: ...
def units_from_si(values: float | FloatArray, kind: str, system: str) -> float | FloatArray:
    """SI value or array in the unit a system shows; lengths in decimal feet or metres.

    ValueError for an unknown kind or system.
    """
    factor, shift = _factor_and_shift(kind, system)
    return values / factor - shift


@overload
def to_si(value: float, kind: str, system: str) -> float: ...
@overload
def to_si(value: FloatArray, kind: str, system: str) -> FloatArray: ...
def to_si(value: float | FloatArray, kind: str, system: str) -> float | FloatArray:
    """The inverse of units_from_si."""
    factor, shift = _factor_and_shift(kind, system)
    return (value + shift) * factor


def unit_label(kind: str, system: str) -> str:
    """The unit a system shows, as a heading carries it; empty for bare kinds and text."""
    return _shown(kind, system)[0]


def show(si: float | None, kind: str, system: str, digits: int = 1) -> str:
    """One SI value as a person reads it, with its unit; "none" where there is no number.

    Lengths in feet and inches: digits 0 or 1 to the nearest inch, 2 to the nearest quarter, 3 to
    the nearest sixteenth; in metres one decimal more than digits, at least two. Shares in per
    cent, digits counted on the share. Read gives back what is shown, to the last shown digit.
    """
    label, _ = _shown(kind, system)
    if si is None or not math.isfinite(si):
        return "none"
    return _worded(units_from_si(float(si), kind, system), label, kind, digits)


def show_difference(si: float | None, kind: str, system: str, digits: int = 1) -> str:
    """A difference or half width as a person reads it: like show, but 5 °C of doubt is 9 °F."""
    label, _ = _shown(kind, system)
    if si is None or not math.isfinite(si):
        return "none"
    return _worded(float(si) / _factor_and_shift(kind, system)[0], label, kind, digits)


def _worded(value: float, label: str, kind: str, digits: int) -> str:
    if kind == "length" and label == "ft":
        return _feet_and_inches(value, digits)
    if kind == "length":
        digits = max(digits, 1) + 1
    elif kind == "share":
        digits -= 2
    elif kind == "roughness":
        digits = max(digits, 2)
    number = f"{value:.{max(digits, 0)}f}"
    if not number.strip("-0."):
        number = number.removeprefix("-")  # no minus before nothing
    return f"{number}{'' if label in ('', '°') else ' '}{label}"


def _feet_and_inches(feet: float, digits: int) -> str:
    steps = 1 if digits <= 1 else 4 if digits == 2 else 16  # to the inch
    total = round(abs(feet) * 12.0 * steps)
    inches, part = divmod(total, steps)
    whole, inches = divmod(inches, 12) if inches >= 36 else (0, inches)
    small = f"{inches or ''} {Fraction(part, steps) if part else ''}".strip()
    words = [f"{whole} ft"] if whole else []
    if small or not whole:
        words.append(f"{small or 0} in")
    return ("-" if feet < 0.0 and total else "") + " ".join(words)
