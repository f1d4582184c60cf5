"""What people write on a command line: ranges, quantities, boats; refused with a cure, never guessed."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from perf.base.faults import Fault, ReadingError

if TYPE_CHECKING:
    from perf.boat.parts import Boat

MOST_SPEEDS = 400
RANGE = "LO:HI:STEP"


class Refusal(Exception):
    """One thing on the command line that cannot be done: where it stands, its text, the cure."""

    def __init__(self, where: str, text: str, cure: str) -> None:
        super().__init__(cure)
        self.where, self.text, self.cure = where, text[:80], cure

    def as_text(self) -> str:
        """The refusal in one line."""
        text = f' "{self.text}"' if self.text else ""
        return f"overhump: {self.where}{text}: {self.cure}"

    def as_dict(self) -> dict[str, object]:
        """The refusal as plain data, shaped like the faults of a file."""
        fault = Fault(0, 0, self.where, self.text, self.cure)
        return {"refused": "command line", "faults": [fault.as_dict()]}


def read_range(where: str, text: str, kind: str) -> list[float]:
    """One quantity, or LO:HI:STEP, as rising SI values that include LO and HI.

    Each part may carry a unit; a part without one takes that of the parts that have one. Refusal
    says what is wrong.
    """
    parts = [part.strip() for part in text.split(":")]
    if len(parts) not in (1, 3):
        raise Refusal(where, text, f'write {RANGE}, such as "5mph:45mph:2.5mph" or "5:45:2.5mph"')
    values = [read_one(where, text, part, kind) for part in _with_units(where, text, parts)]
    if len(values) == 1:
        return values
    low, high, step = values
    if step <= 0.0:
        raise Refusal(where, text, "the step, the third part, must be more than nothing")
    if high < low:
        raise Refusal(where, text, "the second part must not be less than the first")
    if (high - low) / step > MOST_SPEEDS:
        raise Refusal(where, text, f"more than {MOST_SPEEDS} steps: take a larger step")
    whole = int((high - low) / step + 1e-9)
    steps = [low + step * i for i in range(whole + 1)]
    if high - steps[-1] > 1e-9 * step:
        return [*steps, high]
    return [*steps[:-1], high]


def _with_units(where: str, text: str, parts: list[str]) -> list[str]:
    """The parts, those without a unit given the one unit of the others."""
    units = [part.lstrip("+-0123456789./ ") for part in parts]
    named = {unit.rstrip() for unit in units if unit}
    if all(units) or not named:
        return parts
    if len(named) > 1:
        raise Refusal(
            where, text, "two different units and a number without one: give each part its own unit"
        )
    unit = named.pop()
    if any(letter.isdigit() for letter in unit):
        raise Refusal(where, text, "give each part its own unit")
    return [part if own else f"{part} {unit}" for part, own in zip(parts, units, strict=True)]


def read_one(where: str, text: str, part: str, kind: str) -> float:
    """One quantity in SI; text is what stood at where, part the quantity in it."""
    from perf.base.units import read

    try:
        quantity = read(part, kind)
    except ReadingError as why:
        raise Refusal(where, text, str(why)) from why
    if quantity.doubt:
        raise Refusal(where, text, "a doubt (±) has no place here")
    return quantity.value


def tank_level(where: str, text: str, boat: Boat) -> float:
    """How full the boat's tank is (0 to 1), from a part of it, a word or what is in it."""
    from perf.boat.changes import read_tank

    try:
        return read_tank(text, boat)
    except ReadingError as why:
        raise Refusal(where, text, str(why)) from why


def whole(low: int, high: int) -> Callable[[str], int]:
    """A reader of whole numbers from low to high, for argparse."""

    def number(text: str) -> int:
        if not (text.isascii() and text.isdigit() and len(text) < 10 and low <= int(text) <= high):
            raise argparse.ArgumentTypeError(
                f'write a whole number from {low} to {high}, not "{text[:40]}"'
            )
        return int(text)

    return number


def boat_of(text: str) -> Boat:
    """The boat of a path or of a demo boat's name; of everything saved of one boat, she as set in it."""
    import difflib

    from perf.boat.boatfile import read_boat

    path = Path(text)
    if not _is_file(path):
        from perf.boat.catalog import demo_boats

        demos = demo_boats()
        if text in demos:
            return read_boat(demos[text])
        near = difflib.get_close_matches(text, demos, n=1)
        hint = f"did you mean {near[0]}? " if near else ""
        what = "a folder, not a file" if is_folder(path) else "no such file or demo boat"
        raise Refusal("BOAT", text, f"{what}; {hint}demo boats: {', '.join(demos)}")
    if is_everything(text):
        from perf.boat.scenario.file import read_scenario

        return read_scenario(path).boat.as_set()
    return read_boat(path)


def is_everything(text: str) -> bool:
    """Whether a path is a file that holds everything of one boat, not a boat file."""
    from perf.boat import recognise

    try:
        with Path(text).open("rb") as file:
            return recognise.kind_of(file.read(recognise.LOOKED_AT)) == recognise.SCENARIO
    except (OSError, ValueError):
        return False  # the reader says what is wrong with it


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # a name too long, a folder that may not be looked into
        return False


def is_folder(path: Path) -> bool:
    """Whether the path is a folder that can be seen."""
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False
