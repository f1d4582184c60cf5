"""Rows of the catalogue: each becomes the table of a boat file and goes through the same reader."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from perf.base.sources import Basis, Source
from perf.base.units import read
from perf.boat import checks, schema
from perf.boat.boatfile import engine_of, hull_of, light_of, propeller_of
from perf.boat.csvtext import Cell, Sheet
from perf.boat.parts import Engine, Hull, Light, Propeller
from perf.boat.reading import Reading, nearest
from perf.boat.tomlplaces import Path, Places
from perf.boat.tomltext import Document

BASES = {basis.name.lower(): basis for basis in Basis}
HULL_TYPES = (
    "skiff", "centre console", "bay hull", "walkaround", "charter", "work", "pilothouse", "deep-V",
    "express",
)  # fmt: skip

_KEY = re.compile(r"[a-z0-9][a-z0-9.-]{0,59}")
_NUMBER = re.compile(r"-?\d{1,9}(?:\.\d{1,9})?")


@dataclass(frozen=True)
class Origin:
    """Where numbers of a row come from: a key of sources, the place in it, how well it is known."""

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
    """One hull of the catalogue; light is the hull with its fixed fittings."""

    key: str
    name: str
    type: str
    part: Hull
    light: Light
    origin: Origin


# Headings that fill a key of the boat file, and the unit the heading states ("" for bare values
# and words). Two headings of one key are its two ends, low before high.
FILLS: dict[str, tuple[str, str]] = {
    "drive": ("engine.drive", ""),
    "technology": ("engine.technology", ""),
    "rated_power_hp": ("engine.rated_power", "hp"),
    "rated_rpm": ("engine.rated_rpm", "rpm"),
    "full_throttle_low_rpm": ("engine.full_throttle_rpm", "rpm"),
    "full_throttle_high_rpm": ("engine.full_throttle_rpm", "rpm"),
    "gear_ratio": ("engine.gear_ratio", ""),
    "mass_lb": ("engine.mass", "lb"),
    "diameter_in": ("propeller.diameter", "in"),
    "pitch_in": ("propeller.pitch", "in"),
    "blades": ("propeller.blades", ""),
    "area_ratio": ("propeller.area_ratio", ""),
    "cup": ("propeller.cup", ""),
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

# Numbers that no boat file has: kind, unit, and the key whose span holds them.
_OTHER: dict[str, tuple[str, str, str]] = {
    "propeller_low_in": ("length", "in", "propeller.diameter"),
    "propeller_high_in": ("length", "in", "propeller.diameter"),
    "dry_mass_lb": ("mass", "lb", "engine.mass"),
}

_ORIGIN = ("source", "locator", "basis")
HEADINGS: dict[str, tuple[str, ...]] = {
    "sources": ("key", "text"),
    "engines": (
        "key", "name", "drive", "technology", "rated_power_hp", "rated_rpm",
        "full_throttle_low_rpm", "full_throttle_high_rpm", "gear_ratio", "propeller_low_in",
        "propeller_high_in", "dry_mass_lb", "mass_lb",
        *(f"mass_{word}" for word in _ORIGIN), *(f"band_{word}" for word in _ORIGIN),
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
    """One row being read; every cell that is wrong is noted in the sheet."""

    def __init__(self, found: Sheet, row: Mapping[str, Cell], known: Mapping[str, Source]) -> None:
        self.found, self.row, self.known = found, row, known
        self.before = len(found.faults)

    def fault(self, heading: str, cure: str) -> None:
        """Note a fault of one cell."""
        self.found.fault(self.row[heading], f"{self.row['key'].text}.{heading}", cure)

    @property
    def sound(self) -> bool:
        """Whether no fault was noted in this row so far."""
        return len(self.found.faults) == self.before

    def take_key(self, taken: dict[str, int], *, strict: bool) -> str:
        """The key of the row, noted in taken; a fault where it is taken or, if strict, ill formed."""
        key = self.text("key")
        if strict and key and not _KEY.fullmatch(key):
            self.fault("key", "a key is small letters, digits, dots and hyphens, at most 60")
        if key and key in taken:
            self.fault("key", f"this key is taken by line {taken[key]}")
        elif not strict and key in self.known:
            self.fault("key", "this key is taken by a source of the laws")
        taken.setdefault(key, self.row["key"].line)
        return key

    def text(self, heading: str) -> str:
        """A cell that may not be empty."""
        if not self.row[heading].text:
            self.fault(heading, "this cell is empty")
        return self.row[heading].text

    def word(self, heading: str, words: tuple[str, ...]) -> str:
        """A cell that holds one of a few words."""
        text = self.row[heading].text
        if text not in words:
            near = nearest(text, words)
            hint = f"did you mean {near}? " if near else ""
            self.fault(heading, f"{hint}one of: {', '.join(words)}")
        return text

    def origin(self, start: str = "") -> Origin:
        """Source, locator and basis; the headings may begin with a word such as "mass_"."""
        source, basis = self.text(f"{start}source"), self.word(f"{start}basis", tuple(BASES))
        if source and source not in self.known:
            near = nearest(source, self.known)
            hint = f"did you mean {near}? " if near else "add it to sources.csv"
            self.fault(f"{start}source", f"no such source: {hint}")
        return Origin(source, self.text(f"{start}locator"), BASES.get(basis, Basis.ASSUMED))

    def number(self, heading: str) -> float:
        """A number that no boat file has, in SI, held to the span of a key it has; nan if faulty."""
        kind, unit, path = _OTHER[heading]
        if not self._plain(heading, unit):
            return float("nan")
        value = read(f"{self.row[heading].text} {unit}", kind).value
        low, high = _key(path).limits
        if not low <= value <= high:
            span = " to ".join(_key(path).span or ())
            self.fault(heading, f"outside {span}: check the number and the unit")
        return value

    def tables(self) -> Reading:
        """The row as tables of a boat file, read, held to its spans and checked as a person's is."""
        document = Document(self.found.name, {}, Places())
        headings: dict[tuple[int, int], str] = {}
        for heading in FILLS:  # in this order, whatever the order of the columns
            if heading in self.row:
                cell = self.row[heading]
                headings[cell.line, cell.column] = heading
                self._fill(document, heading, cell)
        band = document.tables.get("engine", {}).get("full_throttle_rpm")
        if band is not None and len(band) < 2:
            del document.tables["engine"]["full_throttle_rpm"]  # one end is faulty: said already
        reading = Reading(document).walk()
        checks.check(reading)
        for fault in document.faults:
            # what has no place is about tables that a row does not have
            heading = headings.get((fault.line, fault.column), "")
            if heading and fault.line:
                self.fault(heading, fault.cure)
        return reading

    def _fill(self, document: Document, heading: str, cell: Cell) -> None:
        path, unit = FILLS[heading]
        table, name = path.split(".")
        about = _key(path)
        value: Any = cell.text
        if about.kind == schema.COUNT and re.fullmatch(r"\d{1,9}", cell.text):
            value = int(cell.text)
        elif about.kind != schema.WORD and not (about.words and cell.text[:1].isalpha()):
            if not self._plain(heading, unit, whole=about.kind == schema.COUNT):
                return
            value = f"{cell.text} {unit}" if unit else float(cell.text)
        held = document.tables.setdefault(table, {})
        where: Path = (table, name)
        document.places.values.setdefault(where, (cell.line, cell.column))
        if about.kind == schema.BAND:
            end = len(held.setdefault(name, []))
            document.places.values[*where, end] = (cell.line, cell.column)
            held[name].append(value)
        else:
            held[name] = value

    def _plain(self, heading: str, unit: str, whole: bool = False) -> bool:
        text = self.row[heading].text
        if _NUMBER.fullmatch(text) and not whole:
            return True
        self.fault(heading, "write a whole number" if whole else _number_cure(text, unit))
        return False


def _key(path: str) -> schema.Key:
    about = schema.key_at(path)
    assert about is not None
    return about


def _number_cure(text: str, unit: str) -> str:
    if not text:
        return "this cell is empty: write a number"
    if re.fullmatch(r"-?[\d.]*,[\d.,]*", text):
        return "a comma is never read: write the number with a dot"
    if re.fullmatch(r"-?\d+(?:\.\d+)?\s*[^\d.\s].*", text) and unit:
        return f"only the number stands here: the heading says the unit ({unit})"
    return "not a plain number: write such as 17 or 15.25"


def engine_row(row: RowReader) -> EngineRow | None:
    """One engine of the catalogue; None where a fault was noted."""
    reading = row.tables()
    reading.values["engine.count"] = 1
    low, high, dry = map(row.number, ("propeller_low_in", "propeller_high_in", "dry_mass_lb"))
    mass, band = row.origin("mass_"), row.origin("band_")
    key, name = row.row["key"].text, row.text("name")
    if not row.sound:
        return None
    part = engine_of(reading)
    if low > high:
        row.fault("propeller_high_in", "the largest propeller is smaller than the smallest")
    if dry > part.mass_kg:
        row.fault("mass_lb", "lighter as hung than dry")
    if not part.full_throttle_low_rpm <= part.rated_rpm <= part.full_throttle_high_rpm:
        row.fault("rated_rpm", "outside the full-throttle band of this row")
    return EngineRow(key, name, part, low, high, dry, mass, band)


def propeller_row(row: RowReader) -> PropellerRow | None:
    """One propeller of the catalogue; None where a fault was noted."""
    reading = row.tables()
    key, name, origin = row.row["key"].text, row.text("name"), row.origin()
    return PropellerRow(key, name, propeller_of(reading), origin) if row.sound else None


def hull_row(row: RowReader) -> HullRow | None:
    """One hull of the catalogue; None where a fault was noted."""
    reading = row.tables()
    key, name, origin = row.row["key"].text, row.text("name"), row.origin()
    kind = row.word("type", HULL_TYPES)
    if not row.sound:
        return None
    return HullRow(key, name, kind, hull_of(reading), light_of(reading), origin)


def source_row(row: RowReader) -> Source | None:
    """One source that only catalogue rows rest on; None where a fault was noted."""
    text = row.text("text")
    return Source(row.row["key"].text, text) if row.sound else None
