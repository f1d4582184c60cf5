"""Every table and key of a boat file: what it holds, an example, what is sensible, what may be blank.

Spans are written as an owner would write them and shown to him as they stand. They are there to
catch slips of unit and digit: they are wider than any law's range, and ours (no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from perf.base.units import read
from perf.laws.air import DRAG_OF_TOP
from perf.laws.engine import FUELS, TECHNOLOGIES
from perf.laws.friction import BOTTOMS

FORMAT = 1
LONGEST_NAME = 60
# always known aboard, never names of weights
OWN_WORDS = ("engine", "bracket", "tank", "kicker")

KICKERS = tuple(name for name in TECHNOLOGIES if "sterndrive" not in name)

# Kinds beside those of perf.base.units: what a value is when it is no quantity.
COUNT, WORD, NAME, NAMES, FLAG, BAND, BURN, PLACE, REMARK, TOGETHER = (
    "count",
    "word",
    "name",
    "names",
    "flag",
    "band",
    "burn",
    "place",
    "remark",
    "together",
)
ENTRY = "entry"  # the key of something in the catalogue


@dataclass(frozen=True)
class Key:
    """One key: its kind, an example as it stands in a file, its span, and words allowed instead.

    inner : keys of the table in braces that a key of kind PLACE holds; those of a place if None.
    unless : another key of the same table that makes a needed one needless.
    level : how full a tank is, so that half, full, "1/2" and "35 %" are read as well.
    """

    kind: str
    example: str
    span: tuple[str, str] | None = None
    needed: bool = True
    words: tuple[str, ...] = ()
    inner: Mapping[str, Key] | None = None
    unless: str = ""
    level: bool = False

    @cached_property
    def limits(self) -> tuple[float, float]:
        """The span in SI; without one, no limits."""
        if self.span is None:
            return float("-inf"), float("inf")
        kind = {COUNT: "ratio", BAND: "rotation"}.get(self.kind, self.kind)
        low, high = self.span
        return read(low, kind).value, read(high, kind).value


@dataclass(frozen=True)
class Table:
    """One table of keys; named: a table of tables, each under a name its owner chose."""

    keys: Mapping[str, Key]
    needed: bool = False
    named: bool = False


def _blank(
    kind: str, example: str, low: str = "", high: str = "", words: tuple[str, ...] = ()
) -> Key:
    return Key(kind, example, (low, high) if low else None, False, words)


PLACE_KEYS: dict[str, Key] = {
    "forward": Key("length", '"6 ft 10 in"', ("-10 ft", "80 ft")),
    "above": Key("length", '"2 ft 5 in"', ("-3 ft", "25 ft")),
}

_BALANCE = {
    "mass": Key("mass", '"4350 lb ± 4 %"', ("50 lb", "80000 lb")),
    "forward": Key("length", '"6 ft 10 in ± 4 in"', ("0 ft", "80 ft")),
    "above": _blank("length", '"2 ft 5 in"', "0 ft", "15 ft"),
}

_PROPELLER = {
    "diameter": Key("length", '"15 1/4 in"', ("5 in", "40 in")),
    "pitch": Key("length", '"17 in"', ("3 in", "50 in")),
    "blades": Key(COUNT, "3", ("2", "7")),
    "area_ratio": _blank("ratio", "0.60", "0.3", "1.2"),
    "cup": _blank("length", '"3/4 in"', "0 in", "3 in", ("none", "light", "heavy")),
}

_POWER = {
    "rated_power": Key("power", '"225 hp ± 3 %"', ("2 hp", "2000 hp")),
    "rated_rpm": _blank("rotation", '"5500 rpm"', "1000 rpm", "9000 rpm"),
    "full_throttle_rpm": Key(BAND, '["5000 rpm", "6000 rpm"]', ("1000 rpm", "9000 rpm")),
    "gear_ratio": Key("ratio", "1.86", ("1", "3.5")),
    "mass": Key("mass", '"560 lb"', ("20 lb", "6000 lb")),
}

WEIGHT_KEYS: dict[str, Key] = {
    "mass": Key("mass", '"185 lb"', ("0.5 lb", "20000 lb")),
    "count": _blank(COUNT, "6", "1", "60"),
    **PLACE_KEYS,
}

_HOOK = {
    "depth": Key("length", '"1/4 in"', ("-2 in", "2 in")),
    "length": Key("length", '"4 ft"', ("1 ft", "20 ft")),
}

TOP: dict[str, Key] = {
    "format": Key(COUNT, "1"),
    "name": Key(NAME, '"Number Four"'),
    "load": _blank(NAME, '"charter"'),
}

TABLES: dict[str, Table] = {
    "hull": Table(
        {
            "length_overall": Key("length", '"24 ft 2 in"', ("8 ft", "80 ft")),
            "waterline_length": _blank("length", '"20 ft 6 in"', "6 ft", "80 ft"),
            "chine_beam": Key("length", '"7 ft 10 in"', ("2 ft", "25 ft")),
            "transom_beam": _blank("length", '"7 ft 6 in"', "2 ft", "25 ft"),
            "deadrise_transom": Key("angle", '"18 deg"', ("0 deg", "35 deg")),
            "deadrise_midship": _blank("angle", '"21 deg"', "0 deg", "45 deg"),
            "transom_height": Key("length", '"25 in"', ("6 in", "6 ft")),
            "transom_rake": _blank("angle", '"14 deg"', "-20 deg", "40 deg"),
            "entrance_angle": _blank("angle", '"30 deg"', "5 deg", "80 deg"),
            "bottom": _blank("roughness", '"0.15 mm"', "0 mm", "2 mm", tuple(BOTTOMS)),
            "weeks_afloat": _blank(COUNT, "8", "0", "104"),
            "hook": Key(PLACE, '{ depth = "1/4 in", length = "4 ft" }', needed=False, inner=_HOOK),
            "scupper": _blank(PLACE, '{ forward = "0 in", above = "17 in" }'),
            "steps": _blank(COUNT, "0"),
            "hulls": _blank(COUNT, "1"),
        },
        needed=True,
    ),
    "plate": Table({"power": Key("power", '"250 hp"', ("2 hp", "5000 hp"), words=("none",))}),
    "light": Table(_BALANCE),
    "weighed": Table(_BALANCE | {"aboard": Key(NAMES, '["engine", "tank 1/2"]')}),
    "engine": Table(
        {
            "count": Key(COUNT, "1", ("1", "4")),
            "drive": Key(WORD, '"outboard"', words=("outboard", "sterndrive")),
            "technology": Key(WORD, '"four-stroke injected"', words=tuple(TECHNOLOGIES)),
            **_POWER,
            "fuel": _blank(BURN, '[["3000 rpm", "5.1 gal/h"], ["4500 rpm", "11 gal/h"]]'),
        },
        needed=True,
    ),
    "propeller": Table(_PROPELLER, needed=True),
    "mounting": Table(
        {
            "setback": _blank("length", '"30 in"', "0 in", "78 in"),
            "plate_height": _blank("length", '"2 in"', "-8 in", "12 in"),
            "drive_trim": _blank("angle", '"4 deg"', "-10 deg", "20 deg", ("best",)),
        }
    ),
    "bracket": Table(
        {
            "mass": Key("mass", '"115 lb"', ("5 lb", "1500 lb")),
            "width": Key("length", '"30 in"', ("6 in", "12 ft")),
            "length": Key("length", '"30 in"', ("4 in", "78 in")),
            "bottom_above": Key("length", '"3 in"', ("-6 in", "4 ft")),
            "floats": Key(FLAG, "true"),
        }
    ),
    "kicker": Table(
        {
            "technology": Key(WORD, '"four-stroke injected"', words=KICKERS),
            **_POWER,
            "rated_power": Key("power", '"9.9 hp"', ("2 hp", "100 hp")),
            "mass": Key("mass", '"98 lb"', ("20 lb", "500 lb")),
            "propeller": Key(
                PLACE,
                '{ diameter = "9 1/4 in", pitch = "7 in", blades = 3 }',
                inner=_PROPELLER,
            ),
            **PLACE_KEYS,
            "plate_height": _blank("length", '"0 in"', "-12 in", "12 in"),
            "capacity": _blank("volume", '"6 gal"', "0.5 gal", "300 gal"),
        }
    ),
    "tabs": Table(
        {
            "chord": Key("length", '"9 in"', ("2 in", "3 ft")),
            "span": Key("length", '"36 in"', ("6 in", "20 ft")),
            "deflection": _blank("angle", '"3 deg"', "0 deg", "15 deg"),
        }
    ),
    "tank": Table(
        {
            "fuel": Key(WORD, '"petrol"', words=tuple(FUELS)),
            "capacity": Key("volume", '"120 gal"', ("1 gal", "3000 gal")),
            "usable": _blank("ratio", "0.90", "0.3", "1"),
            **PLACE_KEYS,
        },
        needed=True,
    ),
    "seats": Table(PLACE_KEYS, named=True),
    "weights": Table(
        {
            **WEIGHT_KEYS,
            **{name: replace(key, unless="seat") for name, key in PLACE_KEYS.items()},
            "seat": _blank(NAME, '"stern"'),
        },
        named=True,
    ),
    "loads": Table(
        {
            "aboard": Key(NAMES, '["skipper", "ice"]'),
            "tank": Key("ratio", "0.5", ("0", "1"), level=True),
        },
        needed=True,
        named=True,
    ),
    "air": Table(
        {
            "frontal_area": _blank("area", '"38 sq ft"', "1 sq ft", "800 sq ft"),
            "top": _blank(WORD, '"half tower"', words=tuple(DRAG_OF_TOP)),
            "temperature": _blank("temperature", '"59 °F"', "-20 °F", "125 °F"),
            "altitude": _blank("length", '"5000 ft"', "-1300 ft", "10000 ft"),
            "humidity": _blank("share", "0.6", "0", "1"),
        }
    ),
    "water": Table(
        {
            "temperature": _blank("temperature", '"48 °F"', "28 °F", "100 °F"),
            "salinity": _blank("salinity", '"31 g/kg"', "0 g/kg", "42 g/kg"),
        }
    ),
    "trial": Table(
        {
            "drag": _blank("ratio", "1.05", "0.5", "2"),
            "weight": _blank("ratio", "1.02", "0.7", "1.5"),
            "balance": _blank("length", '"3 in"', "-5 ft", "5 ft"),
            "pitch": _blank("ratio", "0.98", "0.7", "1.3"),
            "leg": _blank("ratio", "1.1", "0.1", "4"),
            "fuel_idle": _blank("ratio", "1.1", "0.1", "5"),
            "fuel_slope": _blank("ratio", "1.05", "0.4", "2.5"),
            "log": _blank(REMARK, '"morning.csv 0f1e2d3c4b5a6978"'),
            "date": _blank(REMARK, '"2026-05-14"'),
            "version": _blank(REMARK, '"overhump 0.1.0, results 2026.2"'),
            "together": _blank(TOGETHER, '["propeller.pitch 0.0127 -0.2 0.9"]'),
        }
    ),
    "freeboard": Table(
        {
            **PLACE_KEYS,
            "over_water": Key("length", '"21 1/2 in"', ("-1 ft", "12 ft")),
            "load": _blank(NAME, '"alone"'),
        },
        named=True,
    ),
}


def key_at(path: str) -> Key | None:
    """The key of a readable path such as engine.mass or weights.ice.mass; None if there is none."""
    table, *rest = path.split(".")
    if not rest:
        return TOP.get(table)
    about = TABLES.get(table)
    names = rest if about is None or not about.named else rest[1:]
    if about is None or not names:
        return None
    keys = about.keys
    for name in names[:-1]:
        keys = inner_keys(keys.get(name))
    return keys.get(names[-1])


def inner_keys(key: Key | None) -> Mapping[str, Key]:
    """The keys of the table that a key of kind PLACE holds; none for any other."""
    if key is None or key.kind != PLACE:
        return {}
    return PLACE_KEYS if key.inner is None else key.inner


def example_of(path: str) -> str:
    """An example of the value of a readable path as it stands in a file; empty if there is none."""
    key = key_at(path)
    return key.example if key else ""
