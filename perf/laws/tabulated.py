"""Regressions printed as columns of coefficients, one column per Froude number.

A regression gives a value at each printed Froude number only. Between them the *values* are joined
by a piecewise cubic with matching slopes: smooth, exact at the printed columns, and linear in the
columns, so nothing but the choice of curve is added to the published work. Every operation is
elementwise and in a fixed order, so a lane alone equals the same lane in a crowd bit for bit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from perf.base.tables import read_table

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Regression:
    """Coefficients (terms, columns) of products of variables, at rising Froude numbers (columns,).

    factors names what each row multiplies: one letter per factor, "" for the constant term, which
    comes first. "XWW" is X times W squared.
    """

    froude: Array
    coefficients: Array
    factors: tuple[str, ...]

    def without(self, froude: float) -> Regression:
        """The same regression with one column left out; unchanged when there is no such column."""
        kept = self.froude != froude
        return Regression(self.froude[kept], self.coefficients[:, kept], self.factors)

    def columns(self, variables: Mapping[str, Array]) -> Array:
        """Values at every printed Froude number, shape (columns, *shape of the variables)."""
        shape = np.broadcast_shapes(*(value.shape for value in variables.values()))
        terms = [product(factors, variables) for factors in self.factors[1:]]
        wide = (..., *(None for _ in shape))
        values = np.empty((len(self.froude), *shape))
        values[...] = self.coefficients[0][wide]
        part = np.empty_like(values)
        # term by term for all columns at once: the same sums as column by column, in far fewer steps
        for coefficients, term in zip(self.coefficients[1:], terms, strict=True):
            np.multiply(term, coefficients[wide], out=part)
            np.add(values, part, out=values)
        return values

    def __call__(self, froude: Array, variables: Mapping[str, Array]) -> Array:
        """Value at any Froude number inside the printed ones, broadcast shape; NaN outside."""
        return between(froude, self.froude, self.columns(variables))


def read_regression(name: str, factors: Mapping[str, str], **chosen: str) -> Regression:
    """Read hull_data/coefficients/<name>; the column "coef" names each row, factors its product.

    chosen keeps only the rows with that text in that column, such as chine="hard". Columns whose
    heading is a number are the Froude numbers. KeyError for a row that factors does not know.
    """
    table = read_table(f"coefficients/{name}")
    headings = [heading for heading in table.columns if heading.replace(".", "").isdigit()]
    rows = [row for row in table.rows if all(row[key] == text for key, text in chosen.items())]
    numbers = np.array([[float(row[heading]) for heading in headings] for row in rows])
    return Regression(
        np.array([float(heading) for heading in headings]),
        numbers,
        tuple(factors[row["coef"]] for row in rows),
    )


def product(factors: str, variables: Mapping[str, Array]) -> Array:
    """Product of the named variables, multiplied from left to right."""
    value = variables[factors[0]]
    for factor in factors[1:]:
        value = value * variables[factor]
    return value


def floats(*values: ArrayLike) -> tuple[Array, ...]:
    """Contiguous float arrays of the given values, so that every lane runs the same machine code."""
    return tuple(np.array(value, dtype=np.float64, order="C", copy=None) for value in values)


def slopes(knots: Array, values: Array) -> Array:
    """Slope at each knot of the parabola through it and its neighbours; values (knots, ...)."""
    wide = np.diff(knots)
    tall = (..., *(None for _ in values.shape[1:]))
    rise = (values[1:] - values[:-1]) / wide[tall]
    before = (wide[1:] / (wide[:-1] + wide[1:]))[tall]
    found = np.empty_like(values)
    found[1:-1] = before * rise[:-1] + (1.0 - before) * rise[1:]
    found[0, ...] = rise[0] + (rise[0] - rise[1]) * (wide[0] / (wide[0] + wide[1]))
    found[-1, ...] = rise[-1] + (rise[-1] - rise[-2]) * (wide[-1] / (wide[-1] + wide[-2]))
    return found


def between(at: Array, knots: Array, values: Array, *, flat_start: bool = False) -> Array:
    """Smooth curve through values at knots, read at each lane's own place.

    Parameters
    ----------
    at : places to read, any shape that broadcasts with values[0].
    knots : rising places of the values, shape (knots,), at least three.
    values : values at the knots, shape (knots, ...).
    flat_start : whether the curve starts level at the first knot.

    Returns
    -------
    Broadcast shape of at and values[0]; NaN outside the knots and for NaN.
    """
    slope = slopes(knots, values)
    if flat_start:
        slope[0, ...] = 0.0
    along, wide, low, high = _places(at, knots, values)
    start, steep = values.take(low), slope.reshape(-1)
    rise = values.take(high) - start
    first = steep.take(low) * wide
    # Hermite cubic by Horner: y0 + t (m0 + t (3 dy - 2 m0 - m1 + t (m0 + m1 - 2 dy)))
    bend = first + steep.take(high) * wide - 2.0 * rise
    return np.asarray(start + along * (first + along * (rise - first - bend + along * bend)))


def straight_between(at: Array, knots: Array, values: Array) -> Array:
    """Straight lines through values at knots; arguments and return as in between."""
    along, _, low, high = _places(at, knots, values)
    start = values.take(low)
    return np.asarray(start + along * (values.take(high) - start))


def _places(
    at: Array, knots: Array, values: Array
) -> tuple[Array, Array, NDArray[np.intp], NDArray[np.intp]]:
    """Share of the interval passed (NaN outside), its width, flat places of its two ends."""
    inside = (at >= knots[0]) & (at <= knots[-1])
    place = np.where(inside, at, knots[0])
    interval = np.minimum(np.searchsorted(knots, place, side="right") - 1, len(knots) - 2)
    lanes = values[0, ...].size
    low = interval * lanes + np.arange(lanes).reshape(values.shape[1:])
    wide = np.diff(knots).take(interval)
    along = np.where(inside, (place - knots.take(interval)) / wide, np.nan)
    return along, wide, low, low + lanes
