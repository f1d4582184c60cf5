"""Walks a document along the schema: values in SI, doubts, the owner's words, and every fault."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Mapping
from typing import Any

from perf.base.faults import ReadingError
from perf.base.units import read
from perf.boat import schema
from perf.boat.schema import Key
from perf.boat.tomlplaces import Path, readable
from perf.boat.tomltext import MOST_FAULTS, SHOWN_LETTERS, Document

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_WHOLE = re.compile(r"\d{1,3}(?!\d)")
_DOUBT = re.compile(r"±|\+/-|\+-")


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word a person probably meant, None where none is near."""
    lower = word.lower().strip()
    if not lower or len(lower) > SHOWN_LETTERS:
        return None
    names = list(known)
    close = difflib.get_close_matches(lower, names, n=1, cutoff=0.7)
    parts = [name for name in names if min(len(lower), len(name)) > 3 and (lower in name or name in lower)]
    close = close or parts or difflib.get_close_matches(lower, names, n=1, cutoff=0.55)
    return close[0] if close else None


class Reading:
    """What a document holds: values (SI) and words by readable path, doubts, and its faults."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.values: dict[str, Any] = {}
        self.words: dict[str, str] = {}
        self.doubts: dict[str, float] = {}
        self.given: dict[str, None] = {}  # tables there are, in order

    # --- asking ----------------------------------------------------------------------------

    def number(self, path: str) -> float | None:
        """The SI value of a path; None where it is blank, faulty or a word."""
        value = self.values.get(path)
        return float(value) if isinstance(value, int | float) else None

    def names(self, table: str) -> list[str]:
        """The names an owner chose in a table of tables, in order."""
        return [path.split(".")[1] for path in self.given if path.count(".") == 1 and path.startswith(f"{table}.")]

    def fault(self, path: str | Path, cure: str, *, text: object = None, on_key: bool = False) -> None:
        """Note a fault of a path, with what the person wrote there."""
        parts: Path = tuple(path.split(".")) if isinstance(path, str) else path
        places, key = self.document.places, readable(parts)
        spot = places.of_key(parts) if on_key else places.of_value(parts)
        self.document.fault(spot, key, self.words.get(key, "") if text is None else text, cure)

    # --- walking ---------------------------------------------------------------------------

    def walk(self) -> Reading:
        """Read every table and key of the boat file."""
        tables = self.document.tables
        top = {name: value for name, value in tables.items() if name not in schema.TABLES}
        self._keys((), top, schema.TOP, (*schema.TOP, *schema.TABLES))
        for name, about in schema.TABLES.items():
            if name not in tables:
                if about.needed and not self._broken(name):
                    self.fault((name,), f"this table is missing: it begins with [{name}]")
                continue
            self.given[name] = None
            if about.named:
                self._named(name, tables[name])
            else:
                self._table((name,), tables[name], about.keys)
        return self

    def _broken(self, path: str) -> bool:
        return any(broken == path or broken.startswith(f"{path}.") for broken in self.document.broken)

    def _table(self, path: Path, raw: object, keys: Mapping[str, Key]) -> None:
        if not isinstance(raw, dict):
            self.fault(path, f"this is a table: begin it with [{readable(path)}] on its own line, once", text="")
            return
        self._keys(path, raw, keys, tuple(keys))

    def _keys(self, path: Path, raw: dict[str, Any], keys: Mapping[str, Key], known: tuple[str, ...]) -> None:
        meant = {self._unknown((*path, name), known) for name in raw if name not in keys}
        for name, key in keys.items():
            here = (*path, name)
            if name in raw:
                self._value(here, key, raw[name])
            elif key.needed and name not in meant and readable(here) not in self.document.broken:
                self.fault(here, f"missing: write such as {name} = {key.example}", text="", on_key=True)

    def _named(self, table: str, raw: object) -> None:
        if not isinstance(raw, dict):
            self.fault((table,), f"this is a table: begin it with [{table}] on its own line, once", text="")
            return
        for name, inner in raw.items():
            if table == "weights" and name.split(" ")[0].lower() in schema.OWN_WORDS:
                self.fault((table, name), "this name is taken: engine, bracket and tank are always known", text=name, on_key=True)
            elif self._good_name((table, name), name):
                self.given[f"{table}.{name}"] = None
                self._table((table, name), inner, schema.TABLES[table].keys)

    def _good_name(self, path: Path, name: str) -> bool:
        if not 0 < len(name.strip()) <= schema.LONGEST_NAME:
            self.fault(path, f"a name has 1 to {schema.LONGEST_NAME} letters", text=name)
        elif not name.isprintable():
            self.fault(path, "a name has no hidden letters: write it on one line, plainly", text=name)
        elif len(path) > 1 and re.search(r"[^\w '\-]", name):
            self.fault(path, "a name in a table is letters, digits, blanks, - and _", text=name, on_key=True)
        else:
            return True
        return False

    def _unknown(self, path: Path, known: tuple[str, ...]) -> str:
        """Note an unknown key; the key that was probably meant, else empty."""
        name = str(path[-1])
        if len(self.document.faults) > MOST_FAULTS:
            self.fault(path, "no such key", text="", on_key=True)
            return ""
        near = nearest(name, known)
        owners = [f"[{table}]" for table, about in schema.TABLES.items() if name in about.keys]
        if near:
            cure = f"no such key; did you mean {near}?"
        elif name in schema.TOP:
            cure = "this belongs at the top of the file, above the first [table]"
        elif len(owners) == 1:
            cure = f"no such key here; it belongs in {owners[0]}"
        else:
            cure = f"no such key here; known are {', '.join(known)}"
        self.fault(path, cure, text="", on_key=True)
        return near or ""

    # --- values ----------------------------------------------------------------------------

    def _value(self, path: Path, key: Key, raw: object) -> None:
        where = readable(path)
        if key.kind == schema.PLACE:
            self._table(path, raw, schema.PLACE_KEYS)
            return
        self.words[where] = _written(raw)
        try:
            match key.kind:
                case schema.COUNT:
                    self._within(where, key, _count(raw, str(path[-1]), key))
                case "ratio":
                    self._quantity(where, key, raw)
                case schema.WORD:
                    self.values[where] = _word(raw, key)
                case schema.NAME:
                    if self._good_name(path, _text(raw, key)):
                        self.values[where] = raw
                case schema.NAMES:
                    self._names(path, key, raw)
                case schema.FLAG:
                    if not isinstance(raw, bool):
                        raise ReadingError("write true or false, without quotes")
                    self.values[where] = raw
                case schema.BAND:
                    self._band(path, key, raw)
                case _:
                    self._quantity(where, key, raw)
        except ReadingError as why:
            self.fault(path, str(why))

    def _quantity(self, where: str, key: Key, raw: object) -> None:
        if isinstance(raw, str) and raw in key.words:
            self.values[where] = raw
            return
        if key.kind == "ratio":
            value, doubt = _ratio(raw, where.split(".")[-1], key)
        else:
            text = _text(raw, key)
            if key.words and text.strip()[:1].isalpha():
                raise ReadingError(_one_of(text, key.words, f', or write it such as "{_plain(key)}"'))
            quantity = read(text, key.kind)
            value, doubt = quantity.value, quantity.doubt
        low, high = key.limits
        if doubt and (doubt > 0.5 * (high - low) or (low > 0.0 and doubt >= value)):
            raise ReadingError("the doubt after ± is as large as the value: check its unit")
        self._within(where, key, value)
        if doubt:
            self.doubts[where] = doubt

    def _within(self, where: str, key: Key, value: float) -> None:
        low, high = key.limits
        if not low <= value <= high:
            assert key.span is not None
            raise ReadingError(f"outside {key.span[0]} to {key.span[1]}: check the number and the unit")
        self.values[where] = value

    def _band(self, path: Path, key: Key, raw: object) -> None:
        if not isinstance(raw, list) or len(raw) != 2:
            raise ReadingError(f"two texts in brackets, low and high, such as {key.example}")
        low, high = key.limits
        ends = []
        for place, item in enumerate(raw):
            try:
                ends.append(read(_text(item, Key("rotation", '"5000 rpm"')), "rotation").value)
                if not low <= ends[-1] <= high and key.span:
                    raise ReadingError(f"outside {key.span[0]} to {key.span[1]}: check the number")
            except ReadingError as why:
                self.fault((*path, place), str(why), text=_written(item))
                return
        self.values[readable(path)] = tuple(ends)

    def _names(self, path: Path, key: Key, raw: object) -> None:
        if not isinstance(raw, list):
            raise ReadingError(f"names in brackets, such as {key.example}")
        names: list[str] = []
        for place, item in enumerate(raw):
            if not isinstance(item, str):
                self.fault((*path, place), f"each name in quotes, such as {key.example}", text=_written(item))
            elif item in names:
                self.fault((*path, place), "listed twice: give the weight a count instead", text=item)
            else:
                names.append(item)
        self.values[readable(path)] = tuple(names)


def _written(raw: object) -> str:
    """A value as the person wrote it, as near as it can be told."""
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, list):
        return ", ".join(_written(item) for item in raw[:SHOWN_LETTERS])
    if isinstance(raw, dict):
        return "{ … }"
    return str(raw)


def _plain(key: Key) -> str:
    return key.example.strip('"')


def _text(raw: object, key: Key) -> str:
    if isinstance(raw, str):
        return raw
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        raise ReadingError(f"a number needs its unit, in quotes: write such as {key.example}")
    raise ReadingError(f"a text in quotes is wanted, such as {key.example}")


def _one_of(text: str, words: tuple[str, ...], more: str = "") -> str:
    near = nearest(text, words)
    return f"did you mean {near}? " * bool(near) + f"one of: {', '.join(words)}{more}"


def _word(raw: object, key: Key) -> str:
    text = _text(raw, key) if isinstance(raw, str) else ""
    if text not in key.words:
        raise ReadingError(_one_of(text, key.words))
    return text


def _count(raw: object, name: str, key: Key) -> int:
    if isinstance(raw, int) and not isinstance(raw, bool):
        return raw
    number = _WHOLE.search(str(raw))
    whole = number[0] if number else key.example
    raise ReadingError(f"a whole number, bare, without unit or quotes: write {name} = {whole}")


def _ratio(raw: object, name: str, key: Key) -> tuple[float, float]:
    """A bare number, or a text of a bare number with its doubt."""
    if isinstance(raw, str) and _DOUBT.search(raw):
        quantity = read(raw, "ratio")
        return quantity.value, quantity.doubt
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        try:
            if math.isfinite(raw):
                return float(raw), 0.0
        except OverflowError:
            pass
        raise ReadingError(f"there must be a real number: write {name} = {key.example}")
    number = _NUMBER.search(raw) if isinstance(raw, str) else None
    raise ReadingError(f"a bare number, without unit or quotes: write {name} = {number[0] if number else key.example}")
