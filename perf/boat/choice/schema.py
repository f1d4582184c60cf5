"""Every table and key of a candidates file and of a duty file.

Both are written as differences: a candidate from the boat as she is, a duty from nothing. Spans
are there to catch slips of unit and digit; they are ours (no source).
"""

from __future__ import annotations

from collections.abc import Mapping

from perf.boat import schema
from perf.boat.schema import Key, Table

MOST_CANDIDATES = 24
MOST_RUNS = 40
STEERING = ("remote", "tiller")
KINDS_OF_RUN = ("run", "troll", "idle", "drift")
BEST = "best"  # a speed: the one that goes farthest on plane

_MONEY = ("0", "5000000")


def _blank(
    kind: str, example: str, low: str = "", high: str = "", words: tuple[str, ...] = ()
) -> Key:
    return Key(kind, example, (low, high) if low else None, False, words)


def _money(example: str) -> Key:
    return Key("money", example, _MONEY, False)


def _loose(table: str) -> dict[str, Key]:
    """The keys of a table of the boat file, none of them needed: what is left out stays as it is."""
    keys = schema.TABLES[table].keys
    return {name: Key(k.kind, k.example, k.span, False, k.words) for name, k in keys.items()}


def _inner(example: str, keys: dict[str, Key]) -> Key:
    return Key(schema.PLACE, example, None, False, (), keys)


# What owning and running costs, of the boat as she is and of every candidate alike.
RUNNING: dict[str, Key] = {
    "fuel_price": _blank("fuel price", '"5.20 per gal"', "0.01 per gal", "100 per gal"),
    "service_per_hour": _money("4.50"),
    "upkeep_per_year": _money("900"),
    "upkeep_rise": _blank("share", '"6 %"', "0", "1"),
    "lost_days_per_year": _blank("ratio", "2", "0", "365"),
    "lost_days_rise": _blank("share", '"10 %"', "0", "1"),
    "expected_hours": _blank("duration", '"3500 h"', "1 h", "60000 h"),
    "residual": _money("4000"),
}

CANDIDATE: dict[str, Key] = {
    "engine": _inner(
        '{ catalogue = "four-stroke-250" }',
        {"catalogue": _blank(schema.ENTRY, '"four-stroke-250"'), **_loose("engine")},
    ),
    "propeller": _inner(
        '{ catalogue = "3-blade-15.25x16-light" }',
        {
            "catalogue": _blank(schema.ENTRY, '"3-blade-15.25x16-light"'),
            "search": _blank(schema.FLAG, "true"),
            "smallest": _blank("length", '"14 1/2 in"', "5 in", "40 in"),
            "largest": _blank("length", '"16 in"', "5 in", "40 in"),
            **_loose("propeller"),
        },
    ),
    "mounting": _inner('{ plate_height = "2 in" }', _loose("mounting")),
    "bracket": _inner('{ mass = "140 lb" }', _loose("bracket")),
    "no_bracket": _blank(schema.FLAG, "true"),
    "fuel": _blank(schema.WORD, '"diesel"', words=schema.TABLES["tank"].keys["fuel"].words),
    "rigging": _blank(schema.NAMES, '["second battery"]'),
    "taken_off": _blank(schema.NAMES, '["oil tank"]'),
    "warranty": _blank(schema.NAME, '"1 year in commercial use"'),
    "price": _money("21500"),
    "labour": _money("2400"),
    "propeller_price": _money("650"),
    "spare_price": _money("650"),
    "trade_in": _money("3000"),
    "lost_days": _blank("ratio", "3", "0", "365"),
    **RUNNING,
}

RIGGING: dict[str, Key] = {
    "mass": Key("mass", '"58 lb"', ("0.1 lb", "5000 lb")),
    "count": _blank(schema.COUNT, "2", "1", "20"),
    **schema.PLACE_KEYS,
    "price": _money("240"),
}

RULES: dict[str, Key] = {
    "steering": _blank(schema.WORD, '"remote"', words=STEERING),
    "transom_width": _blank("length", '"7 ft 6 in"', "2 ft", "25 ft"),
    "flat_bottom": _blank(schema.FLAG, "false"),
    "inflatable": _blank(schema.FLAG, "false"),
    "swamping_displacement": _blank("mass", '"6200 lb"', "100 lb", "200000 lb"),
    "side_weight": _blank("mass", '"410 lb"', "20 lb", "20000 lb"),
    "controls": _blank("mass", '"120 lb"', "0 lb", "2000 lb"),
    "plate_people": _blank(schema.COUNT, "6", "1", "99"),
    "plate_load": _blank("mass", '"1600 lb"', "50 lb", "50000 lb"),
}

CANDIDATES_TOP: dict[str, Key] = {
    "format": Key(schema.COUNT, "1"),
    "name": _blank(schema.NAME, '"Engines for Number Four"'),
}
CANDIDATES_TABLES: dict[str, Table] = {
    "as_she_is": Table(RUNNING),
    "rules": Table(RULES),
    "rigging": Table(RIGGING, named=True),
    "candidates": Table(CANDIDATE, needed=True, named=True),
}

DUTY_TOP: dict[str, Key] = {
    "format": Key(schema.COUNT, "1"),
    "name": _blank(schema.NAME, '"Number Four\'s season"'),
}
DUTY_TABLES: dict[str, Table] = {
    "season": Table(
        {
            "trips": Key("ratio", '"96 ± 10"', ("0.1", "5000")),
            "weeks": _blank("ratio", "20", "0.1", "52"),
            "weeks_between_scrubs": _blank("ratio", "8", "0.1", "520"),
            "scrub_price": _money("180"),
        },
        needed=True,
    ),
    "money": Table(
        {
            "currency": _blank(schema.NAME, '"crowns"'),
            "fuel_price": _blank(
                "fuel price", '"5.20 per gal ± 8 %"', "0.01 per gal", "100 per gal"
            ),
            "discount_rate": _blank("share", '"4 %"', "0", "0.5"),
            "years": _blank(schema.COUNT, "8", "1", "40"),
            "lost_day": _money("650"),
        }
    ),
    "runs": Table(
        {
            "kind": Key(schema.WORD, '"run"', words=KINDS_OF_RUN),
            "distance": _blank("distance", '"14 nmi ± 2 nmi"', "0.01 mi", "2000 mi"),
            "hours": _blank("duration", '"3 h ± 30 min"', "10 s", "240 h"),
            "speed": _blank("speed", '"24 mph"', "0.5 mph", "100 mph", (BEST,)),
            "load": _blank(schema.NAME, '"charter"'),
            "trips": _blank("ratio", "96", "0.1", "5000"),
            "engines": _blank(schema.COUNT, "1", "1", "4"),
        },
        needed=True,
        named=True,
    ),
}


def key_at(tables: Mapping[str, Table], top: Mapping[str, Key], path: str) -> Key | None:
    """The key of a readable path under some tables; None if there is none."""
    table, *rest = path.split(".")
    if not rest:
        return top.get(table)
    about = tables.get(table)
    if about is None:
        return None
    names = rest[1:] if about.named else rest
    keys = about.keys
    key: Key | None = None
    for name in names:
        key = keys.get(name)
        if key is None:
            return None
        keys = dict(key.inner or {})
    return key


def candidate_key(path: str) -> Key | None:
    """The key of a readable path of a candidates file; None if there is none."""
    return key_at(CANDIDATES_TABLES, CANDIDATES_TOP, path)


def candidate_example(path: str) -> str:
    """An example of a value of a candidates file as it stands there; empty if there is none."""
    key = candidate_key(path)
    return key.example if key else ""


def duty_example(path: str) -> str:
    """An example of a value of a duty file as it stands there; empty if there is none."""
    key = key_at(DUTY_TABLES, DUTY_TOP, path)
    return key.example if key else ""
