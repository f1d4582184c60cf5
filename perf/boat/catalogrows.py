"""Rows of the catalogue: cells held to the spans and words of a boat file, then the same parts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from perf.base.assumptions import ASSUMPTIONS
from perf.base.sources import Basis, Source
from perf.base.units import read
from perf.boat.csvtext import Cell, Sheet
from perf.boat.parts import Engine, Hull, Light, Propeller
from perf.boat.reading import nearest
from perf.boat.schema import Key, key_at

BASES = {basis.name.lower(): basis for basis in Basis}
HULL_TYPES = ("skiff", "centre console", "bay hull", "walkaround", "charter", "work", "pilothouse", "deep-V", "express")

_KEY = re.compile(r"[a-z0-9][a-z0-9.-]{0,59}")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_COUNT = re.compile(r"\d{1,3}")


@dataclass(frozen=True)
class Origin:
    """Where the numbers of a row come from: a key of sources, the place in it, how well it is known."""

    source: str
    locator: str
    basis: Basis


@dataclass(frozen=True)
class EngineRow:
    """One engine of the catalogue; part.mass_kg is as hung, with fluids and propeller."""

    key: str
    name: str
    part: Engine
    propeller_low_m: float
    propeller_high_m: float
    dry_mass_kg: float
    mass_origin: Origin
    band_origin: Origin


@dataclass(frozen=True)
class PropellerRow:
    """One propeller of the catalogue."""

    key: str
    name: str
    part: Propeller
    origin: Origin


@dataclass(frozen=True)
class HullRow:
    """One hull of the catalogue with its fittings as light."""

    key: str
    name: str
    type: str
    part: Hull
    light: Light
    origin: Origin


# Headings of quantities: the key of a boat file they fill, and the unit the heading states.
# The schema gives the kind and the span, so a row is held to what a person is held to.
_QUANTITIES: dict[str, tuple[str, str]] = {
    "rated_power_hp": ("engine.rated_power", "hp"),
    "rated_rpm": ("engine.rated_rpm", "rpm"),
    "full_throttle_low_rpm": ("engine.full_throttle_rpm", "rpm"),
    "full_throttle_high_rpm": ("engine.full_throttle_rpm", "rpm"),
    "gear_ratio": ("engine.gear_ratio", ""),
    "dry_mass_lb": ("engine.mass", "lb"),
    "mass_lb": ("engine.mass", "lb"),
    "propeller_low_in": ("propeller.diameter", "in"),
    "propeller_high_in": ("propeller.diameter", "in"),
    "diameter_in": ("propeller.diameter", "in"),
    "pitch_in": ("propeller.pitch", "in"),
    "area_ratio": ("propeller.area_ratio", ""),
    "length_overall_in": ("hull.length_overall", "in"),
    "waterline_length_in": ("hull.waterline_length", "in"),
    "chine_beam_in": ("hull.chine_beam", "in"),
    "transom_beam_in": ("hull.transom_beam", "in"),
    "deadrise_transom_deg": ("hull.deadrise_transom", "deg"),
    "deadrise_midship_deg": ("hull.deadrise_midship", "deg"),
    "transom_height_in": ("hull.transom_height", "in"),
    "transom_rake_deg": ("hull.transom_rake", "deg"),
    "entrance_angle_deg": ("hull.entrance_angle", "deg"),
    "light_mass_lb": ("light.mass", "lb"),
    "light_forward_in": ("light.forward", "in"),
    "light_above_in": ("light.above", "in"),
}

_ORIGIN = ("source", "locator", "basis")
HEADINGS: dict[str, tuple[str, ...]] = {
    "sources": ("key", "text"),
    "engines": (
        "key", "name", "drive", "technology", "rated_power_hp", "rated_rpm",
        "full_throttle_low_rpm", "full_throttle_high_rpm", "gear_ratio", "propeller_low_in",
        "propeller_high_in", "dry_mass_lb", "mass_lb", "mass_source", "mass_locator", "mass_basis",
        "band_source", "band_locator", "band_basis",
    ),
    "propellers": (
        "key", "name", "blades", "diameter_in", "pitch_in", "area_ratio", "cup", *_ORIGIN,
    ),
    "hulls": (
        "key", "name", "type", "length_overall_in", "waterline_length_in", "chine_beam_in",
        "transom_beam_in", "deadrise_transom_deg", "deadrise_midship_deg", "transom_height_in",
        "transom_rake_deg", "entrance_angle_deg", "light_mass_lb", "light_forward_in",
        "light_above_in", *_ORIGIN,
    ),
}  # fmt: skip


class RowReader:
    """One row being read: every cell that is wrong is noted, and nan or "" stands in for it."""

    def __init__(self, found: Sheet, row: Mapping[str, Cell], known: Mapping[str, Source]) -> None:
        self.found, self.row, self.known = found, row, known
        self.numbers: dict[str, float] = {}

    def fault(self, heading: str, cure: str) -> None:
        self.found.fault(self.row[heading], f"{self.row['key'].text}.{heading}", cure)

    def take_key(self, taken: dict[str, str], *, strict: bool) -> str:
        """The key of the row, noted in taken; a fault where it is taken or, if strict, ill formed."""
        key = self.row["key"].text
        if strict and key and not _KEY.fullmatch(key):
            self.fault("key", "a key is small letters, digits, dots and hyphens, at most 60")
        if key in taken:
            self.fault("key", f"this key is taken by {taken[key]}")
        elif not strict and key in self.known:
            self.fault("key", "this key is taken by a source of the laws")
        taken.setdefault(key, f"line {self.row['key'].line}")
        return key

    def text(self, heading: str) -> str:
        """A cell that may not be empty."""
        if not self.row[heading].text:
            self.fault(heading, "this cell is empty")
        return self.row[heading].text

    def word(self, heading: str, words: tuple[str, ...]) -> str:
        text = self.row[heading].text
        if text not in words:
            near = nearest(text, words)
            hint = f"did you mean {near}? " if near else ""
            self.fault(heading, f"{hint}write one of: {', '.join(words)}")
        return text

    def number(self, heading: str) -> float:
        if heading not in self.numbers:
            self.numbers[heading] = self._number(heading)
        return self.numbers[heading]

    def _number(self, heading: str) -> float:
        path, unit = _QUANTITIES[heading]
        about, text = key_at(path), self.row[heading].text
        assert about is not None
        if not _NUMBER.fullmatch(text):
            self.fault(heading, _number_cure(text, unit))
            return float("nan")
        kind = "rotation" if about.kind == "band" else about.kind
        value = read(f"{text} {unit}", kind).value
        low, high = about.limits
        if not low <= value <= high:
            self.fault(heading, _span_cure(about))
        return value

    def count(self, heading: str, path: str) -> int:
        about, text = key_at(path), self.row[heading].text
        assert about is not None
        low, high = about.limits
        if not _COUNT.fullmatch(text) or not low <= int(text) <= high:
            self.fault(heading, f"write a whole number from {low:.0f} to {high:.0f}")
            return 1
        return int(text)

    def origin(self, start: str = "") -> Origin:
        source, basis = self.text(f"{start}source"), self.word(f"{start}basis", tuple(BASES))
        if source and source not in self.known:
            near = nearest(source, self.known)
            hint = f"did you mean {near}? " if near else ""
            self.fault(f"{start}source", f"{hint}no such source: add it to sources.csv")
        return Origin(source, self.text(f"{start}locator"), BASES.get(basis, Basis.ASSUMED))

    def order(self, low: str, high: str, cure: str) -> None:
        """Note a fault on the second cell where the first number is the larger; nan never is."""
        if self.number(low) > self.number(high):
            self.fault(high, cure)


def _number_cure(text: str, unit: str) -> str:
    if not text:
        return "this cell is empty: write a number"
    if re.fullmatch(r"-?[\d.]*,[\d.,]*", text):
        return "a comma is never read: write the number with a dot"
    if re.match(r"-?\d+(?:\.\d+)?\s*[^\d.\s]", text) and unit:
        return f"only the number stands here: the heading says the unit ({unit})"
    return "not a plain number: write such as 17 or 1.86"


def _span_cure(about: Key) -> str:
    assert about.span is not None
    return f"not between {about.span[0]} and {about.span[1]}: a slip of unit or digit?"


def engine_row(row: RowReader) -> EngineRow:
    row.order("full_throttle_low_rpm", "full_throttle_high_rpm", "the band ends below where it begins")
    row.order("full_throttle_low_rpm", "rated_rpm", "rated rpm is under the full-throttle band")
    row.order("rated_rpm", "full_throttle_high_rpm", "the full-throttle band ends under rated rpm")
    row.order("propeller_low_in", "propeller_high_in", "the largest propeller is smaller than the smallest")
    row.order("dry_mass_lb", "mass_lb", "lighter as hung than dry")
    part = Engine(
        count=1,
        drive=row.word("drive", _words("engine.drive")),
        technology=row.word("technology", _words("engine.technology")),
        rated_power_w=row.number("rated_power_hp"),
        rated_rpm=row.number("rated_rpm"),
        full_throttle_low_rpm=row.number("full_throttle_low_rpm"),
        full_throttle_high_rpm=row.number("full_throttle_high_rpm"),
        gear_ratio=row.number("gear_ratio"),
        mass_kg=row.number("mass_lb"),
    )
    return EngineRow(
        row.text("key"), row.text("name"), part, row.number("propeller_low_in"),
        row.number("propeller_high_in"), row.number("dry_mass_lb"), row.origin("mass_"),
        row.origin("band_"),
    )  # fmt: skip


def propeller_row(row: RowReader) -> PropellerRow:
    cup = row.word("cup", _words("propeller.cup"))
    pitch = row.number("pitch_in")
    share = ASSUMPTIONS[f"{cup}_cup_share"].value if cup in ("light", "heavy") else 0.0
    part = Propeller(
        diameter_m=row.number("diameter_in"),
        pitch_m=pitch,
        blades=row.count("blades", "propeller.blades"),
        area_ratio=row.number("area_ratio"),
        cup=cup,
        cup_m=share * pitch,
    )
    return PropellerRow(row.text("key"), row.text("name"), part, row.origin())


def hull_row(row: RowReader) -> HullRow:
    row.order("waterline_length_in", "length_overall_in", "shorter over all than on the waterline")
    row.order("transom_beam_in", "chine_beam_in", "narrower at the widest than at the transom")
    row.order("light_forward_in", "length_overall_in", "the balance point is forward of the bow")
    part = Hull(
        length_overall_m=row.number("length_overall_in"),
        waterline_length_m=row.number("waterline_length_in"),
        chine_beam_m=row.number("chine_beam_in"),
        transom_beam_m=row.number("transom_beam_in"),
        deadrise_transom_deg=row.number("deadrise_transom_deg"),
        deadrise_midship_deg=row.number("deadrise_midship_deg"),
        transom_height_m=row.number("transom_height_in"),
        transom_rake_deg=row.number("transom_rake_deg"),
        entrance_angle_deg=row.number("entrance_angle_deg"),
    )
    light = Light(*(row.number(f"light_{name}") for name in ("mass_lb", "forward_in", "above_in")))
    kind = row.word("type", HULL_TYPES)
    return HullRow(row.text("key"), row.text("name"), kind, part, light, row.origin())


def source_row(row: RowReader) -> Source:
    return Source(row.text("key"), row.text("text"))


def _words(path: str) -> tuple[str, ...]:
    about = key_at(path)
    assert about is not None
    return about.words
