"""Every table and key of a trip file: what it holds, an example, what is sensible, what may be blank.

Spans are there to catch slips of unit and digit; they are ours (no source).
"""

from __future__ import annotations

from perf.boat import schema
from perf.boat.schema import Key, Table

# Kinds that only a trip knows.
PACE, BEARING, RESERVE, LATITUDE, LONGITUDE = (
    "pace",
    "bearing",
    "reserve",
    "latitude",
    "longitude",
)
OWN_KINDS = (PACE, BEARING, RESERVE, LATITUDE, LONGITUDE)

BEST, IDLE, DRIFT, THIRD = "best mileage", "idle", "drift", "third"
SIDES = {"ahead": 0.0, "on the bow": 45.0, "abeam": 90.0, "on the quarter": 135.0, "astern": 180.0}
POINTS = (
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
    "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW",
)  # fmt: skip
SPEED_SPAN = ("0.3 mph", "100 mph")
RPM_SPAN = ("500 rpm", "9000 rpm")
G_SPAN = (0.05, 6.0)


def _key(
    kind: str, example: str, low: str = "", high: str = "", words: tuple[str, ...] = ()
) -> Key:
    return Key(kind, example, (low, high) if low else None, False, words)


WEATHER = {
    "wind": _key("speed", '"15 kn"', "0 kn", "60 kn"),
    "wind_from": _key(BEARING, '"SW"'),
    "wave_height": _key("length", '"2 ft ± 1 ft"', "0 ft", "20 ft"),
    "sea_from": _key(BEARING, '"ahead"'),
    "current": _key("speed", '"1.5 kn"', "0 kn", "12 kn"),
    "current_toward": _key(BEARING, '"NE"'),
}
RUN = {
    "distance": _key("distance", '"12 nmi"', "0.01 mi", "2000 mi"),
    "from": _key(schema.NAME, '"the dock"'),
    "to": _key(schema.NAME, '"the bank"'),
    "course": _key(BEARING, '"215 deg"'),
    "hours": _key("duration", '"3 h"', "10 s", "240 h"),
    "speed": Key(PACE, '"22 mph"'),
    "over_ground": _key(schema.FLAG, "true"),
    **WEATHER,
    "depth": _key("length", '"12 ft"', "1 ft", "20000 ft"),
    "aboard": _key(schema.NAMES, '["skipper", "guests"]'),
    "take_on": _key("volume", '"20 gal"', "0.1 gal", "3000 gal"),
}

TOP: dict[str, Key] = {
    "format": Key(schema.COUNT, "1"),
    "name": Key(schema.NAME, '"To the bank and back"'),
    "load": _key(schema.NAME, '"charter"'),
    "reserve": _key(RESERVE, '"20 gal"'),
    "seat": _key(schema.NAME, '"skipper"'),
}

TABLES: dict[str, Table] = {
    "tank": Table(
        {
            "level": Key("ratio", "0.75", ("0", "1"), False, ("full",), level=True),
            "fill": _key("ratio", "0.95", "0.5", "1"),
            "gauge_error": _key("ratio", "0.08", "0", "0.5"),
            "since_fill": _key("volume", '"12 gal"', "0 gal", "3000 gal"),
            "usable": _key("ratio", "0.90", "0.3", "1"),
        }
    ),
    "weather": Table(WEATHER),
    "places": Table(
        {"latitude": Key(LATITUDE, '"66 12.5 N"'), "longitude": Key(LONGITUDE, '"1 40.0 E"')},
        named=True,
    ),
    "weights": Table(schema.WEIGHT_KEYS, named=True),
    "runs": Table(RUN, needed=True, named=True),
    "log": Table(
        {"burned": Key("volume", '"34 gal"', ("0.1 gal", "3000 gal")), **RUN},
        named=True,
    ),
}


def example_of(path: str) -> str:
    """An example of the value of a readable path as it stands in a file; empty if there is none."""
    table, *rest = path.split(".")
    if not rest:
        return TOP[table].example if table in TOP else ""
    about = TABLES.get(table)
    key = None if about is None else about.keys.get(rest[-1])
    return key.example if key else ""
