"""What the reader understood of a boat file, line by line, beside what the owner wrote."""

from __future__ import annotations

from typing import Any

from perf.base.faults import ReadingError
from perf.base.units import read, show, show_difference
from perf.boat import schema
from perf.boat.filling import SUFFIXES
from perf.boat.lightship import ALWAYS_ABOARD
from perf.boat.parts import Boat
from perf.boat.schema import Key

Row = tuple[str, str, str]

DIGITS = {
    "length": 3,
    "mass": 0,
    "power": 0,
    "rotation": 0,
    "temperature": 0,
    "salinity": 0,
    "ratio": 2,
    "share": 2,
}
SILENT = ("count", "seat", "weeks_afloat", "altitude")  # told only where the owner wrote them
SMALL_POWER_W = 15_000.0  # told to the tenth of a horsepower
DOUBT_OF = {"hull.hook.depth": "hull.hook"}
ASSUMED = "(assumed)"
WEIGHED = "(from the weighing)"
OF_SEAT = "(of the seat)"


def understood(boat: Boat, units: str = "us") -> list[Row]:
    """Rows of (path, the owner's text, what was understood) in the order of the file's tables.

    Blanks that were filled carry "(assumed)" for the text. units is us, nautical or metric;
    ValueError for another.
    """
    rows = [
        ("name", boat.name, boat.name),
        ("load", dict(boat.words).get("load", ASSUMED), boat.load),
    ]
    for table, about in schema.TABLES.items():
        if about.named:
            for part in getattr(boat, table):
                rows += _rows(boat, part, f"{table}.{part.name}", about.keys.items(), units)
        elif table == "weighed":
            rows += _weighing(boat, units)
        elif table == "plate":
            power = (
                "none"
                if boat.plate_power_w is None
                else show(boat.plate_power_w, "power", units, 0)
            )
            rows.append(("plate.power", dict(boat.words).get("plate.power", "not given"), power))
        elif getattr(boat, table) is not None:
            rows += _rows(boat, getattr(boat, table), table, about.keys.items(), units)
    return rows


def describe(boat: Boat, units: str = "us") -> list[str]:
    """The rows of understood as aligned lines of text."""
    rows = understood(boat, units)
    wide = [max(len(row[column]) for row in rows) for column in (0, 1)]
    return [f"{path:<{wide[0]}}  {text:<{wide[1]}}  {value}".rstrip() for path, text, value in rows]


def _rows(boat: Boat, part: Any, path: str, keys: Any, units: str) -> list[Row]:
    words = dict(boat.words)
    doubts = dict(boat.doubts if boat.kicker is None else boat.doubts + boat.kicker.doubts)
    blank = WEIGHED if path == "light" and "weighed.mass" in words else ASSUMED
    seat = getattr(part, "seat", "")
    blank = OF_SEAT if seat else blank
    rows: list[Row] = []
    for name, key in keys:
        here = f"{path}.{name}"
        if key.kind == schema.PLACE:
            inner = getattr(part, name)
            if inner is not None:
                rows += _rows(boat, inner, here, schema.inner_keys(key).items(), units)
            continue
        value = _value(part, name, key)
        if value is None or (here not in words and (path == "trial" or name in SILENT)):
            continue
        said = (
            ASSUMED
            if here == "light.above" and "light_above" in boat.assumed
            else words.get(here, blank)
        )
        told = f"seats.{seat}.{name}" if seat and name in schema.PLACE_KEYS else here
        text = spoken(value, key, units, doubts.get(DOUBT_OF.get(told, told), 0.0))
        rows.append((here, said, text + _weighed_with(here, words)))
    return rows


def _weighed_with(path: str, words: dict[str, str]) -> str:
    """Why a weight that was on the scale has no doubt of its own."""
    name, _, key = path.partition(".")
    aboard = words.get("weighed.aboard", "").split(", ")
    weighed = key == "mass" and name in ALWAYS_ABOARD and name in aboard
    return ", sure as far as the whole boat was weighed" if weighed else ""


def _value(part: Any, name: str, key: Key) -> Any:
    """The value a part holds for one key; None where a part has none."""
    if name == "full_throttle_rpm":
        return part.full_throttle_low_rpm, part.full_throttle_high_rpm
    if name == "drive_trim" and part.drive_trim_deg is None:
        return "best"
    if key.kind == schema.BURN:
        factors = [factor for _, factor in part.fuel_table]
        return (
            f"{len(factors)} rows, {min(factors):.2f} to {max(factors):.2f} of what the law burns"
            if factors
            else None
        )
    if key.kind == schema.TOGETHER:
        learned = part.learned
        return f"{len(learned.names)} inputs, taken together" if learned else None
    if name in ("altitude", "humidity") and part.temperature_c is None:
        return None
    if name == "bottom":
        return f"{part.friction_allowance:.4f} added to the friction coefficient"
    return getattr(part, name + SUFFIXES.get(key.kind, ""), None)


def spoken(value: Any, key: Key, units: str, doubt: float) -> str:
    """A value read under a key, as words in one system of units, with its doubt."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if key.kind == schema.NAMES:
        return ", ".join(value) or "nothing"
    if key.kind == schema.BAND:
        return " to ".join(show(end, "rotation", units, 0) for end in value)
    if key.kind == schema.COUNT:
        return str(value)
    digits = DIGITS.get(key.kind, 1)
    if key.kind == "power" and value < SMALL_POWER_W:
        digits = 1
    if key.kind == "length" and units == "metric":
        digits = 2  # to the millimetre
    text = show(value, key.kind, units, digits)
    return f"{text} ± {show_difference(doubt, key.kind, units, digits)}" if doubt else text


def _weighing(boat: Boat, units: str) -> list[Row]:
    """The weighing itself, read again from the owner's words, which are all the boat keeps of it."""
    rows: list[Row] = []
    for path, text in boat.words:
        key = schema.key_at(path)
        if not path.startswith("weighed.") or key is None:
            continue
        try:
            quantity = read(text, key.kind) if key.kind != schema.NAMES else None
        except ReadingError:
            continue
        said = (
            "taken off again"
            if quantity is None
            else spoken(quantity.value, key, units, quantity.doubt)
        )
        rows.append((path, text, said))
    return rows
