"""What goes on the card that is taken to the boat: every value read from the Result, nothing worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from perf.base.cautions import sentence
from perf.base.columns import column
from perf.base.results import Result, Sentence, Value
from perf.boat.parts import Boat
from perf.studies.mount.holes import FITS

CUPS = {"none": "no cup", "light": "light cup", "heavy": "heavy cup"}
MET = ("flooding", "bracket_low", "over_plate", "plate_high")  # of the engine as it hangs
ALWAYS = ("estimate", "drill", "transom")
THEN = (
    (
        "Green water or heavy spray runs up the leg at cruise",
        "The leg is buried: raise one hole and run again.",
    ),
    (
        "Revs run away in a turn or in chop, speed falls",
        "The propeller lets go: lower one hole, or trim in before the turn.",
    ),
    (
        "Cooling water or its pressure falls off as she speeds up",
        "Throttle back at once. Lower one hole, or fit low pickups; the engine maker's limit rules.",
    ),
    (
        "Full-throttle rpm under the maker's band with the plate right",
        "Too much propeller for this load: less pitch. Over the band: more pitch or cup.",
    ),
    (
        "She porpoises with the drive out",
        "Bring the drive in; move weight forward; look at the setback again if it stays.",
    ),
    (
        "Slower over the hump than the card says",
        "Drive fully in, weight forward; check load, bottom and propeller before moving the engine.",
    ),
    (
        "Water stands at the scuppers or the splash well at rest",
        "Stop: too much weight aft. Do not go out like this.",
    ),
)
BLANKS = (
    "Plate over the bottom, as measured",
    "Hole",
    "Speed flat out, both ways",
    "Rpm flat out",
    "Seconds over the hump",
    "Burn at cruise",
    "Cooling-water pressure flat out",
    "People, fuel and gear aboard",
    "Water, wind, date, by whom",
)


@dataclass(frozen=True)
class Row:
    """One line of the card: what it is, its value, and the names of the summary it stands on."""

    label: str
    value: Sentence
    names: tuple[str, ...] = ()


@dataclass(frozen=True)
class Card:
    """One printed page."""

    title: str
    about: Sentence
    rows: tuple[Row, ...]
    then: tuple[tuple[str, str], ...]
    blanks: tuple[str, ...]
    cautions: tuple[str, ...]


def rig_card(boat: Boat, result: Result) -> Card:
    """The card of a mounting result; ValueError for the result of another study."""
    if result.kind != "mount":
        raise ValueError(f"a rig card is read from a mounting, not from {result.kind}")
    extra = [code for code in result.cautions if code in MET]
    return Card(
        f"Rig card: {boat.name}",
        Sentence(
            (
                "Loaded as ",
                str(result.inputs["load"]),
                ", ",
                Value(result.summary["mass_kg"], "mass", 0),
            )
        ),
        (*_hanging(boat, result), *_expected(boat, result.summary)),
        THEN,
        BLANKS,
        tuple(sentence(code) for code in (*extra, *ALWAYS)),
    )


def _hanging(boat: Boat, result: Result) -> tuple[Row, ...]:
    advice: Mapping[str, Any] = result.summary["recommendation"]
    screw = boat.propeller
    rows = [
        Row("Setback", _length(advice["setback_m"]), ("setback_m",)),
        Row("Plate over the bottom ahead", _range(advice), ("plate_height_low_m", "plate_height_high_m")),
        Row("That range holds for", Sentence((str(advice["holds_over"]) or "nothing",))),
        Row("Rule of thumb", _length(advice["rule_of_thumb_m"]), ("rule_of_thumb_m",)),
        Row("Shaft", Sentence((Value(advice["shaft_m"], "length", 1),)), ("shaft_m",)),
        Row("Hole", _hole(advice), ("holes", "plate_height_at_hole_m", "hole_misses_by_m")),
        Row(
            "Propeller",
            Sentence((
                Value(screw.diameter_m, "length", 2), " by ", Value(screw.pitch_m, "length", 2),
                f" pitch, {screw.blades} blades, {CUPS.get(screw.cup, 'cupped')}",
            )),
        ),
    ]  # fmt: skip
    return tuple(rows)


def _hole(advice: Mapping[str, Any]) -> Sentence:
    parts: list[str | Value] = [f"{advice['holes']} up from the lowest: plate at "]
    parts.append(Value(advice["plate_height_at_hole_m"], "length", 2))
    misses = float(advice["hole_misses_by_m"])
    if abs(misses) > FITS:
        parts += [
            ", ",
            Value(abs(misses), "length", 2),
            " over" if misses > 0.0 else " under",
            " the range",
        ]
    return Sentence(tuple(parts))


def _range(advice: Mapping[str, Any]) -> Sentence:
    low, high = advice["plate_height_low_m"], advice["plate_height_high_m"]
    if low is None or high is None:
        return Sentence(("none: ", str(advice["reason"])))
    return Sentence((Value(low, "length", 2), " to ", Value(high, "length", 2)))


def _length(value: float) -> Sentence:
    return Sentence((Value(value, "length", 2),))


def _expected(boat: Boat, summary: Mapping[str, Any]) -> tuple[Row, ...]:
    engine = boat.engine
    band = Sentence((
        Value(engine.full_throttle_low_rpm, "rotation", 0), " to ",
        Value(engine.full_throttle_high_rpm, "rotation", 0),
    ))  # fmt: skip
    return (
        _figure("Rpm flat out", summary, "top_rpm"),
        Row("Maker's full-throttle band", band),
        _figure("Speed flat out", summary, "top_speed_mps"),
        _figure("Seconds over the hump", summary, "time_to_plane_s"),
        _figure("Cruise", summary, "cruise_speed_mps"),
        _figure("Burn at cruise", summary, "cruise_fuel_lph"),
    )


def _figure(label: str, summary: Mapping[str, Any], name: str) -> Row:
    """A key figure with its band, or why there is none."""
    about, value = column(name), summary.get(name)
    if value is None:
        return Row(label, Sentence((str(summary["reasons"].get(name, "none")),)), (name,))
    parts: list[str | Value] = [Value(float(value), about.kind, about.digits)]
    low, high = summary.get(f"{name}_p10"), summary.get(f"{name}_p90")
    if low is not None and high is not None:
        parts += [
            " (",
            Value(float(low), about.kind, about.digits),
            " to ",
            Value(float(high), about.kind, about.digits),
            ")",
        ]
    return Row(label, Sentence(tuple(parts)), (name,))
