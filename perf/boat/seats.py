"""People and gear moved between the named seats of a boat."""

from __future__ import annotations

from dataclasses import replace

from perf.boat.parts import Boat

__all__ = ["move"]

PLACE_WORDS = ("forward", "above", "seat")


def move(boat: Boat, weight_name: str, seat_name: str) -> Boat:
    """The same boat with all of one named weight in one of her named seats.

    The balance point moves by the moment and nothing else changes. The doubt of the place is then
    the seat's. ValueError for a weight or a seat she does not have, with those she has.
    """
    seats = {seat.name: seat for seat in boat.seats}
    known = [weight.name for weight in boat.weights]
    for name, names, what in ((weight_name, known, "weight"), (seat_name, list(seats), "seat")):
        if name not in names:
            there = ", ".join(names) or "none"
            raise ValueError(f'no {what} is called "{name}"; this boat has: {there}')
    seat = seats[seat_name]
    weights = tuple(
        replace(weight, forward_m=seat.forward_m, above_m=seat.above_m, seat=seat_name)
        if weight.name == weight_name
        else weight
        for weight in boat.weights
    )
    gone = {f"weights.{weight_name}.{word}" for word in PLACE_WORDS}
    return replace(
        boat,
        weights=weights,
        doubts=tuple((path, doubt) for path, doubt in boat.doubts if path not in gone),
        words=tuple((path, text) for path, text in boat.words if path not in gone),
    )
