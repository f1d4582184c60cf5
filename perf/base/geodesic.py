"""Distance and course between two positions on the WGS-84 ellipsoid; the only module that knows the library."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geographiclib.geodesic import Geodesic


@dataclass(frozen=True)
class Way:
    """The shortest way between two positions: length [m] and true course at its middle [deg]."""

    distance_m: float
    course_deg: float


def check_position(latitude_deg: float, longitude_deg: float) -> None:
    """Refuse what is no position on the earth: ValueError says which of the two, and its span."""
    for name, value, most in (
        ("latitude", latitude_deg, 90.0),
        ("longitude", longitude_deg, 180.0),
    ):
        if not (math.isfinite(value) and -most <= value <= most):
            raise ValueError(
                f"a {name} is between {-most:g} and {most:g} degrees, not {value:g}"
                " (south and west are negative)"
            )


def way(
    from_latitude_deg: float,
    from_longitude_deg: float,
    to_latitude_deg: float,
    to_longitude_deg: float,
) -> Way:
    """Shortest way from one position to another (Karney 2013), degrees, north and east positive.

    ValueError for a latitude outside ±90 or a longitude outside ±180.
    """
    check_position(from_latitude_deg, from_longitude_deg)
    check_position(to_latitude_deg, to_longitude_deg)
    line = Geodesic.WGS84.InverseLine(
        from_latitude_deg, from_longitude_deg, to_latitude_deg, to_longitude_deg
    )
    middle = line.Position(0.5 * line.s13)
    return Way(float(line.s13), float(middle["azi2"]) % 360.0)
