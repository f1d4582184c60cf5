"""Does the boat make sense: checks across the fields of a boat file, each with its cure.

They catch slips (a place measured from the bow, a swapped pair, a missing bracket), not unusual
boats. The limits are ours; none is a range of a published method.
"""

from __future__ import annotations

from perf.base.units import read
from perf.boat import fitchecks, namechecks, slipchecks
from perf.boat.reading import Reading
from perf.laws.engine import TECHNOLOGIES

BEAM_OF_LENGTH = (0.2, 0.8)
PITCH_OF_DIAMETER = (0.4, 2.2)
HEIGHT_OF_LENGTH = 0.5  # tanks and balance points higher than this are slips
RATED_NEAR_BAND = 0.15
JACK_PLATE = "15 in"  # common practice, no source: farther aft takes a bracket
PLACES = ("light", "weighed", "tank", "kicker", "hull.scupper")


def check(reading: Reading) -> None:
    """Note every fault that shows only when fields are held together."""
    for part in (
        _hull,
        _places,
        _balance,
        _drive,
        _propeller,
        _mounting,
        _bracket,
        namechecks.check,
        fitchecks.check,
        slipchecks.check,
    ):
        part(reading)


def check_drive(reading: Reading) -> None:
    """Note the faults among engine, propeller, mounting and bracket alone."""
    for part in (_drive, _propeller, _mounting, _bracket, slipchecks.check_engine):
        part(reading)


def _hull(reading: Reading) -> None:
    length = reading.number("hull.length_overall")
    beam = reading.number("hull.chine_beam")
    waterline = reading.number("hull.waterline_length")
    transom = reading.number("hull.transom_beam")
    if length and waterline and waterline > length:
        said = reading.words["hull.length_overall"]
        reading.fault(
            "hull.waterline_length",
            f"longer than the hull ({said}): give the waterline at rest, loaded",
        )
    if length and beam and not BEAM_OF_LENGTH[0] * length <= beam <= BEAM_OF_LENGTH[1] * length:
        said = reading.words["hull.length_overall"]
        low, high = (f"{share:.0%}".replace("%", " %") for share in BEAM_OF_LENGTH)
        reading.fault(
            "hull.chine_beam",
            f"outside {low} to {high} of the length ({said}): check both, and their units",
        )
    if beam and transom and transom > beam:
        said = reading.words["hull.chine_beam"]
        reading.fault(
            "hull.transom_beam",
            f"wider than the widest chine beam ({said}): measure chine to chine at the transom",
        )
    if reading.number("hull.steps"):
        reading.fault(
            "hull.steps",
            "the published methods used here do not cover stepped bottoms: this boat cannot be worked out",
        )
    if reading.number("hull.hulls") not in (None, 1.0):
        reading.fault(
            "hull.hulls",
            "the published methods used here cover one planing hull, no multihulls: this boat cannot be worked out",
        )


def _places(reading: Reading) -> None:
    """Nothing stands forward of the bow, and balance points not half her length above the keel."""
    length = reading.number("hull.length_overall")
    if not length:
        return
    said = reading.words["hull.length_overall"]
    named = [f"{table}.{name}" for table in ("weights", "seats") for name in reading.names(table)]
    for where in (*PLACES, *named):
        forward, above = reading.number(f"{where}.forward"), reading.number(f"{where}.above")
        if forward is not None and forward > length:
            reading.fault(
                f"{where}.forward",
                f'forward of the bow ({said}): measure from the transom, such as "6 ft 10 in"',
            )
        if forward is not None and forward < -0.5 * length:
            reading.fault(
                f"{where}.forward",
                "far behind the transom: forward is measured from the transom toward the bow",
            )
        if above is not None and where not in named and above > HEIGHT_OF_LENGTH * length:
            reading.fault(
                f"{where}.above",
                f"more than half her length ({said}) up: measure from the keel at the transom",
            )


def _balance(reading: Reading) -> None:
    light, weighed = "light" in reading.given, "weighed" in reading.given
    if light and weighed:
        reading.fault(
            ("weighed",), "give either [light] or [weighed], not both", text="", on_key=True
        )
    if not light and not weighed:
        reading.fault(
            ("light",),
            "the boat has no weight: add [weighed] (one real weighing) or [light] (bare hull)",
            text="",
        )


def _drive(reading: Reading) -> None:
    for table in ("engine", "kicker"):
        _band(reading, table)
    technology = reading.values.get("engine.technology")
    drive, fuel = reading.values.get("engine.drive"), reading.values.get("tank.fuel")
    if technology and fuel and fuel not in TECHNOLOGIES[technology].fuels:
        fuels = " or ".join(TECHNOLOGIES[technology].fuels)
        reading.fault("tank.fuel", f"a {technology} engine burns {fuels}: change one of the two")
    if technology and drive and ("sterndrive" in technology) != (drive == "sterndrive"):
        fitting = [
            name for name in TECHNOLOGIES if ("sterndrive" in name) == (drive == "sterndrive")
        ]
        reading.fault("engine.technology", f"no {drive} technology: one of {', '.join(fitting)}")


def _band(reading: Reading, table: str) -> None:
    band = reading.values.get(f"{table}.full_throttle_rpm")
    rated = reading.number(f"{table}.rated_rpm")
    if band:
        low, high = band
        if not low < high:
            reading.fault(
                f"{table}.full_throttle_rpm",
                'the lower one comes first, such as ["5000 rpm", "6000 rpm"]',
            )
        elif rated and not low * (1 - RATED_NEAR_BAND) <= rated <= high * (1 + RATED_NEAR_BAND):
            said = reading.words[f"{table}.full_throttle_rpm"]
            reading.fault(
                f"{table}.rated_rpm",
                f"far from the full-throttle band ({said}): take the rpm at which the power is rated",
            )


def _propeller(reading: Reading) -> None:
    for table in ("propeller", "kicker.propeller"):
        _pitch(reading, table)


def _pitch(reading: Reading, table: str) -> None:
    diameter, pitch = reading.number(f"{table}.diameter"), reading.number(f"{table}.pitch")
    low, high = PITCH_OF_DIAMETER
    if diameter and pitch and not low <= pitch / diameter <= high:
        said = reading.words[f"{table}.diameter"]
        reading.fault(
            f"{table}.pitch",
            f"outside {low} to {high} times the diameter ({said}): are the two swapped?",
        )


def _mounting(reading: Reading) -> None:
    setback = reading.number("mounting.setback") or 0.0
    sterndrive = reading.values.get("engine.drive") == "sterndrive"
    if sterndrive and setback > 0.0:
        reading.fault(
            "mounting.setback",
            'a sterndrive hangs on the transom: write setback = "0 in" or leave it out',
        )
    elif setback > read(JACK_PLATE, "length").value and "bracket" not in reading.given:
        reading.fault(
            "mounting.setback",
            f"more than a jack plate gives ({JACK_PLATE}): add a [bracket] table, or correct it",
        )


def _bracket(reading: Reading) -> None:
    if "bracket" not in reading.given:
        return
    if reading.values.get("engine.drive") == "sterndrive":
        reading.fault(
            ("bracket",),
            "a sterndrive hangs on the transom: leave [bracket] out",
            text="",
            on_key=True,
        )
        return
    length, width = reading.number("bracket.length"), reading.number("bracket.width")
    beam = reading.number("hull.transom_beam") or reading.number("hull.chine_beam")
    if width and beam and width > beam:
        reading.fault("bracket.width", "wider than the hull: measure the bracket across")
    bottom, transom = reading.number("bracket.bottom_above"), reading.number("hull.transom_height")
    if bottom and transom and bottom >= transom:
        said = reading.words["hull.transom_height"]
        reading.fault(
            "bracket.bottom_above",
            f"above the top of the transom ({said}): measure up from the hull bottom",
        )
    _setback_of_bracket(reading, length)


def _setback_of_bracket(reading: Reading, length: float | None) -> None:
    setback = reading.number("mounting.setback")
    written = "mounting.setback" in reading.words or "mounting.setback" in reading.document.broken
    if not written and length:
        reading.fault(
            ("bracket",),
            "a bracket sets the engine back: add setback to [mounting]",
            text="",
            on_key=True,
        )
    elif (
        setback is not None
        and length
        and not 0.5 * length <= setback <= length + read(JACK_PLATE, "length").value
    ):
        said = reading.words["bracket.length"]
        reading.fault(
            "mounting.setback",
            f"does not fit a bracket {said} long: measure transom to engine bracket face",
        )
