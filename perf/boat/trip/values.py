"""Values only a trip file holds: paces, bearings, positions, reserves; each refusal with its cure."""

from __future__ import annotations

import math
import re

from perf.base.faults import ReadingError
from perf.base.units import read
from perf.boat.schema import Key
from perf.boat.trip import schema as tripschema
from perf.boat.trip.parts import Direction, Pace, Reserve
from perf.boat.values import one_of

_G = re.compile(r"as fast as (\d{1,2}(?:\.\d{1,3})?) ?g allows")
_RPM = re.compile(r"rpm|rev/min|r/min")
_PLAIN_G = "as fast as 1.0 g allows"
_DEGREES = re.compile(
    r"(?P<degrees>\d{1,3}(?:\.\d{1,8})?) ?°?(?: ?(?P<minutes>\d{1,2}(?:\.\d{1,6})?) ?'?)? ?(?P<side>[NSEW])"
)
_SIDES = {"latitude": ("N", "S", 90.0), "longitude": ("E", "W", 180.0)}
_MINUTES = 60.0


def pace_of(raw: object, over_ground: bool = False) -> Pace:
    """A pace: a speed, an engine speed, or one of the words; ReadingError says what there is."""
    if not isinstance(raw, str):
        raise ReadingError(
            'a text in quotes is wanted, such as "22 mph", "3800 rpm" or "best mileage"'
        )
    text = " ".join(raw.split())
    if text in (tripschema.BEST, tripschema.IDLE, tripschema.DRIFT):
        return Pace(text)
    limit = _G.fullmatch(text)
    if limit is not None:
        return _bumps(float(limit[1]))
    if text[:1].isalpha():
        words = (tripschema.BEST, _PLAIN_G, tripschema.IDLE, tripschema.DRIFT)
        raise ReadingError(one_of(text, words, ', or a speed such as "22 mph", or "3800 rpm"'))
    if _RPM.search(text):
        return Pace("rpm", _within(text, "rotation", tripschema.RPM_SPAN))
    return Pace("speed", _within(text, "speed", tripschema.SPEED_SPAN), over_ground)


def _bumps(limit: float) -> Pace:
    low, high = tripschema.G_SPAN
    if not low <= limit <= high:
        raise ReadingError(
            f"outside {low:g} to {high:g} g: about 1 g is as much as people bear for long"
        )
    return Pace("g", limit)


def _within(text: str, kind: str, span: tuple[str, str]) -> float:
    quantity = read(text, kind)
    if quantity.doubt:
        raise ReadingError("a speed that is held has no doubt: leave out the ±")
    low, high = (read(end, kind).value for end in span)
    if not low <= quantity.value <= high:
        raise ReadingError(f"outside {span[0]} to {span[1]}: check the number and the unit")
    return quantity.value


def direction_of(raw: object) -> Direction:
    """A side as seen from aboard, a compass point, or degrees true; ReadingError says what there is."""
    if isinstance(raw, str):
        text = " ".join(raw.split())
        if text.lower() in tripschema.SIDES:
            return Direction(tripschema.SIDES[text.lower()], relative=True)
        if text.upper() in tripschema.POINTS:
            step = 360.0 / len(tripschema.POINTS)
            return Direction(step * tripschema.POINTS.index(text.upper()))
        if text[:1].isdigit():
            degrees = read(text, "angle").value
            if 0.0 <= degrees <= 360.0:
                return Direction(degrees)
            raise ReadingError('a bearing is between 0 and 360 degrees: write such as "215 deg"')
    sides = ", ".join(tripschema.SIDES)
    raise ReadingError(
        f'a compass point such as "SW", degrees such as "215 deg", or one of: {sides}'
    )


def course_of(raw: object) -> float:
    """A true course in degrees; ReadingError where a side as seen from aboard is given."""
    found = direction_of(raw)
    if found.relative:
        raise ReadingError('a course is a compass point such as "SW" or degrees such as "215 deg"')
    return found.degrees


def reserve_of(raw: object, key: Key) -> Reserve:
    """Fuel kept back: the word third, or a quantity; ReadingError says so."""
    if isinstance(raw, str):
        text = raw.strip()
        if text == tripschema.THIRD:
            return Reserve()
        if text[:1].isdigit():
            quantity = read(text, "volume")
            if quantity.doubt:
                raise ReadingError("a reserve has no doubt: leave out the ±")
            return Reserve(quantity_m3=quantity.value)
    raise ReadingError(f'write "{tripschema.THIRD}" or a quantity such as {key.example}')


def degrees_of(raw: object, kind: str) -> float:
    """Latitude or longitude in degrees, north and east positive.

    Read: 66.2083 or -1.6667 (bare), "66.2083 N", "66 12.5 N" (degrees and minutes).
    """
    north, south, most = _SIDES[kind]
    cure = f'write such as "66 12.5 {north}", "66.2083 {north}", or a bare number of degrees'
    if isinstance(raw, bool):
        raise ReadingError(cure)
    if isinstance(raw, int | float):
        degrees = float(raw) if abs(raw) < 1e6 and math.isfinite(raw) else math.inf
    else:
        degrees = _degrees(raw, (north, south), cure)
    if not -most <= degrees <= most:
        raise ReadingError(f"a {kind} is between {-most:g} and {most:g} degrees: check the number")
    return degrees


def _degrees(raw: object, sides: tuple[str, str], cure: str) -> float:
    found = _DEGREES.fullmatch(" ".join(raw.upper().split())) if isinstance(raw, str) else None
    if found is None or found["side"] not in sides:
        raise ReadingError(cure)
    minutes = float(found["minutes"] or 0.0)
    if minutes >= _MINUTES or (found["minutes"] and "." in found["degrees"]):
        raise ReadingError(f"minutes are under 60 and follow whole degrees: {cure}")
    size = float(found["degrees"]) + minutes / _MINUTES
    return size if found["side"] == sides[0] else -size
