"""Does what is fitted make sense: hook, tabs, kicker and burn table, each with its cure. Limits are ours."""

from __future__ import annotations

from perf.boat.reading import Reading
from perf.laws.engine import TECHNOLOGIES

LONGEST_EDGE = 0.5  # of the hull: a straight edge longer than this is no hook at the transom
DEEPEST = 1.0 / 24.0  # of the straight edge: half an inch to the foot
PAST_BAND = 1.1  # of the top of the full-throttle band


def check(reading: Reading) -> None:
    """Note every fault of fittings that shows only when fields are held together."""
    for part in (_hook, _tabs, _kicker, _burn):
        part(reading)


def _hook(reading: Reading) -> None:
    depth, length = reading.number("hull.hook.depth"), reading.number("hull.hook.length")
    overall = reading.number("hull.length_overall")
    if length and overall and length > LONGEST_EDGE * overall:
        said = reading.words["hull.length_overall"]
        reading.fault(
            "hull.hook.length",
            f"more than half the hull ({said}): lay a straight edge of a few feet at the transom",
        )
    elif depth and length and abs(depth) > DEEPEST * length:
        said = reading.words["hull.hook.length"]
        reading.fault(
            "hull.hook.depth",
            f"deeper than half an inch to the foot of straight edge ({said}): check both",
        )


def _tabs(reading: Reading) -> None:
    span, beam = reading.number("tabs.span"), reading.number("hull.chine_beam")
    if span and beam and span > beam:
        said = reading.words["hull.chine_beam"]
        reading.fault(
            "tabs.span", f"wider than the hull ({said}): give both tabs together, side to side"
        )


def _kicker(reading: Reading) -> None:
    power, main = reading.number("kicker.rated_power"), reading.number("engine.rated_power")
    if power and main and power >= main:
        said = reading.words["engine.rated_power"]
        reading.fault(
            "kicker.rated_power",
            f"no less than the main engine ({said}): a kicker is the small one, two alike are count = 2",
        )
    technology, fuel = reading.values.get("kicker.technology"), reading.values.get("tank.fuel")
    own = "kicker.capacity" in reading.words
    if technology and fuel and not own and fuel not in TECHNOLOGIES[technology].fuels:
        fuels = " or ".join(TECHNOLOGIES[technology].fuels)
        reading.fault(
            "kicker.technology",
            f'burns {fuels}, the tank holds {fuel}: give its own tank, such as capacity = "6 gal"',
        )


def _burn(reading: Reading) -> None:
    band = reading.values.get("engine.full_throttle_rpm")
    for row, (rpm, _) in enumerate(reading.values.get("engine.fuel", ())):
        if band and rpm > PAST_BAND * band[1]:
            said = reading.words["engine.full_throttle_rpm"]
            text = reading.document.tables["engine"]["fuel"][row][0]
            reading.fault(
                ("engine", "fuel", row, 0),
                f"far past the full-throttle band ({said}): engine rpm, not the propeller's",
                text=text,
            )
