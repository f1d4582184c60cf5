"""One boat with a few things changed by hand: read, held to the spans of a boat file, doubts kept."""

from __future__ import annotations

from dataclasses import replace

from perf.base.faults import ReadingError
from perf.base.units import Quantity, read
from perf.boat import schema
from perf.boat.levels import level_of_words
from perf.boat.parts import Boat, Doubts

__all__ = ["fuel_aboard_m3", "read_pitch", "read_power", "read_tank", "with_pitch", "with_power"]

POWER, PITCH, CUP = "engine.rated_power", "propeller.pitch", "propeller.cup"


def read_power(text: str) -> Quantity:
    """Rated power of one engine [W], held to the span of a boat file; ReadingError says what to write."""
    return _within(read(text, "power"), POWER)


def read_pitch(text: str) -> Quantity:
    """Stamped pitch [m], held to the span of a boat file; ReadingError says what to write."""
    return _within(read(text, "length"), PITCH)


def read_tank(text: str, boat: Boat) -> float:
    """How full the tank is (0 to 1), from a share ("1/2", "35 %", "half") or a volume ("60 gal").

    Raises
    ------
    ReadingError that says what to write; also where the tank does not hold so much.
    """
    word = level_of_words(text)
    if word is not None:
        return word
    try:
        volume = read(text, "volume")
    except ReadingError:
        return _share(text)
    if volume.value > boat.tank.capacity_m3 * (1.0 + 1e-9):
        raise ReadingError("the tank does not hold so much: write a part of it, such as 1/2")
    if volume.value < 0.0:
        raise ReadingError('less than nothing is no fuel: write it such as 1/2 or "60 gal"')
    return min(volume.value / boat.tank.capacity_m3, 1.0)


def _share(text: str) -> float:
    try:
        return read(text, "share").value
    except ReadingError as why:
        raise ReadingError(
            'write a part of the tank or what is in it, such as 1/2, half, 35 %, full or "60 gal"'
        ) from why


def _within(quantity: Quantity, path: str) -> Quantity:
    """The quantity itself; ReadingError outside the span of its key in a boat file."""
    key = schema.key_at(path)
    if key is None or key.span is None:
        raise ValueError(f"a boat file has no span for {path}")
    low, high = key.limits
    if low <= quantity.value <= high:
        return quantity
    raise ReadingError(
        f'"{quantity.text}" is not between {key.span[0]} and {key.span[1]}: look at the unit again'
    )


def with_power(boat: Boat, power: Quantity) -> Boat:
    """The same boat with engines of another rated power each; their weight and rpm stay.

    A doubt written with the power replaces the file's; otherwise the file's keeps its share.
    """
    share = power.value / boat.engine.rated_power_w
    return replace(
        boat,
        engine=replace(boat.engine, rated_power_w=power.value),
        doubts=_doubts(boat.doubts, POWER, share, power.doubt),
        words=_words(boat, POWER, power.text),
    )


def with_pitch(boat: Boat, pitch: Quantity) -> Boat:
    """The same boat with a propeller of another stamped pitch; a cup in words grows with it."""
    screw = boat.propeller
    share = pitch.value / screw.pitch_m
    doubts = _doubts(boat.doubts, PITCH, share, pitch.doubt)
    cup = screw.cup_m
    if screw.cup in ("light", "heavy"):  # these words mean a share of the pitch
        cup = screw.cup_m * share
        doubts = _doubts(doubts, CUP, share, 0.0)
    return replace(
        boat,
        propeller=replace(screw, pitch_m=pitch.value, cup_m=cup),
        doubts=doubts,
        words=_words(boat, PITCH, pitch.text),
    )


def _doubts(doubts: Doubts, path: str, share: float, stated: float) -> Doubts:
    known = dict(doubts)
    if stated:
        known[path] = stated
    elif path in known:
        known[path] = known[path] * share
    return tuple(known.items())


def _words(boat: Boat, path: str, text: str) -> tuple[tuple[str, str], ...]:
    return tuple({**dict(boat.words), path: text}.items())


def fuel_aboard_m3(boat: Boat) -> float:
    """Fuel in the tank at the present level [m3], usable or not."""
    return boat.tank.capacity_m3 * boat.loaded.tank
