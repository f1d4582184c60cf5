"""Walks a document along the schema: values in SI, doubts, the owner's words, and every fault."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from perf.base.faults import ReadingError
from perf.base.units import read
from perf.boat import burn, schema, together
from perf.boat.levels import CURE as LEVEL_CURE
from perf.boat.levels import level_of_text
from perf.boat.schema import Key, Table
from perf.boat.tomlplaces import Path, readable
from perf.boat.tomltext import MOST_FAULTS, Document
from perf.boat.values import (
    bare_of,
    count_of,
    nearest,
    one_of,
    outside,
    plain,
    text_of,
    word_of,
    written,
)

__all__ = ["Reading", "nearest"]

BARE = ("ratio", "money")  # kinds whose numbers stand without unit or quotes


class Reading:
    """What a document holds: values (SI) and words by readable path, doubts, and its faults."""

    def __init__(
        self,
        document: Document,
        top: Mapping[str, Key] = schema.TOP,
        tables: Mapping[str, Table] = schema.TABLES,
    ) -> None:
        self.document, self.top, self.tables = document, top, tables
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
        return [
            path.split(".")[1]
            for path in self.given
            if path.count(".") == 1 and path.startswith(f"{table}.")
        ]

    def written_names(self, table: str) -> list[str]:
        """All names written in a table of tables, also of those that are faulty."""
        raw = self.document.tables.get(table)
        broken = (path.split(".") for path in self.document.broken)
        return [
            *(raw if isinstance(raw, dict) else ()),
            *(b[1] for b in broken if b[0] == table and b[1:]),
        ]

    def nearest(self, word: str, known: Iterable[str]) -> str | None:
        """The known word that was probably meant; not looked for in a file with too many faults to show."""
        return None if len(self.document.faults) > MOST_FAULTS else nearest(word, known)

    def fault(
        self, path: str | Path, cure: str, *, text: object = None, on_key: bool = False
    ) -> None:
        """Note a fault of a path, with what the person wrote there."""
        parts: Path = tuple(path.split(".")) if isinstance(path, str) else path
        places, key = self.document.places, readable(parts)
        spot = places.of_key(parts) if on_key else places.of_value(parts)
        self.document.fault(spot, key, self.words.get(key, "") if text is None else text, cure)

    # --- walking ---------------------------------------------------------------------------

    def walk(self) -> Reading:
        """Read every table and key of the file."""
        tables = self.document.tables
        top = {name: value for name, value in tables.items() if name not in self.tables}
        meant = self._keys((), top, self.top, (*self.top, *self.tables))
        for name, about in self.tables.items():
            if name not in tables:
                if about.needed and name not in meant and not self._broken(name):
                    self.fault((name,), f"this table is missing: it begins with [{name}]")
                continue
            self.given[name] = None
            if about.named:
                self._named(name, tables[name])
            else:
                self._table((name,), tables[name], about.keys)
        return self

    def _broken(self, path: str) -> bool:
        return any(
            broken == path or broken.startswith(f"{path}.") for broken in self.document.broken
        )

    def _table(self, path: Path, raw: object, keys: Mapping[str, Key]) -> None:
        if not isinstance(raw, dict):
            inner = ", ".join(f"{name} = {key.example}" for name, key in keys.items() if key.needed)
            one_line = f"write it as {path[-1]} = {{ {inner} }}"
            own_line = f"this is a table: begin it with [{readable(path)}] on its own line, once"
            self.fault(path, one_line if len(path) > 1 else own_line, text=written(raw))
            return
        self._keys(path, raw, keys, tuple(keys))

    def _keys(
        self, path: Path, raw: dict[str, Any], keys: Mapping[str, Key], known: tuple[str, ...]
    ) -> set[str]:
        """Read the keys of one table; the known names that unknown ones were probably meant for."""
        meant = {self._unknown((*path, name), known) for name in raw if name not in keys}
        for name, key in keys.items():
            here = (*path, name)
            if name in raw:
                self._value(here, key, raw[name])
            elif self._misses(key, here, {*raw, *meant}):
                self.fault(
                    here, f"missing: write such as {name} = {key.example}", text="", on_key=True
                )
        return meant

    def _misses(self, key: Key, path: Path, written_keys: set[str]) -> bool:
        """Whether a key that is not there should be, all that was written or meant being known."""
        excused = path[-1] in written_keys or (key.unless != "" and key.unless in written_keys)
        return key.needed and not excused and readable(path) not in self.document.broken

    def _named(self, table: str, raw: object) -> None:
        if not isinstance(raw, dict):
            self.fault(
                (table,),
                f"this is a table: begin it with [{table}] on its own line, once",
                text=written(raw),
            )
            return
        for name, inner in raw.items():
            if table == "weights" and name.split(" ")[0].lower() in schema.OWN_WORDS:
                self.fault(
                    (table, name),
                    "this name is taken: engine, bracket, kicker and tank are always known",
                    text=name,
                    on_key=True,
                )
            elif self._good_name((table, name), name):
                self.given[f"{table}.{name}"] = None
                self._table((table, name), inner, self.tables[table].keys)

    def _good_name(self, path: Path, name: str) -> bool:
        if not 0 < len(name.strip()) <= schema.LONGEST_NAME:
            self.fault(path, f"a name has 1 to {schema.LONGEST_NAME} letters", text=name)
        elif not name.isprintable():
            self.fault(
                path, "a name has no hidden letters: write it on one line, plainly", text=name
            )
        elif len(path) > 1 and re.search(r"[^\w '\-]", name):
            self.fault(
                path,
                "a name in a table is letters, digits, blanks, - and _",
                text=name,
                on_key=True,
            )
        else:
            return True
        return False

    def _unknown(self, path: Path, known: tuple[str, ...]) -> str:
        """Note an unknown key; the key that was probably meant, else empty."""
        name = str(path[-1])
        near = self.nearest(name, known)
        owners = [f"[{table}]" for table, about in self.tables.items() if name in about.keys]
        if near:
            cure = f"no such key; did you mean {near}?"
        elif name in self.top:
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
            self._table(path, raw, schema.inner_keys(key))
            return
        self.words[where] = written(raw)
        try:
            match key.kind:
                case schema.COUNT:
                    self._within(where, key, count_of(raw, str(path[-1]), key))
                case schema.WORD:
                    self.values[where] = word_of(raw, key)
                case schema.NAME:
                    if self._good_name(path, text_of(raw, key)):
                        self.values[where] = raw
                case schema.ENTRY:
                    self.values[where] = text_of(raw, key)
                case schema.NAMES:
                    self._names(path, key, raw)
                case schema.FLAG:
                    if not isinstance(raw, bool):
                        raise ReadingError("write true or false, without quotes")
                    self.values[where] = raw
                case schema.BAND:
                    self._band(path, key, raw)
                case schema.BURN:
                    burn.read_burn(self, path, key, raw)
                case schema.REMARK:
                    self.values[where] = together.remark(raw, key)
                case schema.TOGETHER:
                    together.read_together(self, path, key, raw)
                case _:
                    self._quantity(where, key, raw)
        except ReadingError as why:
            self.fault(path, str(why))

    def _quantity(self, where: str, key: Key, raw: object) -> None:
        if isinstance(raw, str) and raw in key.words:
            self.values[where] = raw
            return
        if key.level and isinstance(raw, str):
            level = level_of_text(raw)
            if level is not None:
                self._within(where, key, level)
                return
            if raw.strip()[:1].isalpha():
                raise ReadingError(LEVEL_CURE)
        if key.kind == "share" and isinstance(raw, int | float) and not isinstance(raw, bool):
            raw = str(raw)  # a share may stand bare or in per cent
        if key.kind in BARE:
            value, doubt = bare_of(raw, where.split(".")[-1], key)
        else:
            text = text_of(raw, key)
            if key.words and text.strip()[:1].isalpha():
                raise ReadingError(one_of(text, key.words, f', or write it such as "{plain(key)}"'))
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
            raise ReadingError(outside(key))
        self.values[where] = value

    def _band(self, path: Path, key: Key, raw: object) -> None:
        if not isinstance(raw, list) or len(raw) != 2:
            raise ReadingError(f"two texts in brackets, low and high, such as {key.example}")
        low, high = key.limits
        ends = []
        for place, item in enumerate(raw):
            try:
                ends.append(read(text_of(item, Key("rotation", '"5000 rpm"')), "rotation").value)
                if not low <= ends[-1] <= high:
                    raise ReadingError(outside(key))
            except ReadingError as why:
                self.fault((*path, place), str(why), text=written(item))
                return
        self.values[readable(path)] = tuple(ends)

    def _names(self, path: Path, key: Key, raw: object) -> None:
        if not isinstance(raw, list):
            raise ReadingError(f"names in brackets, such as {key.example}")
        names: dict[str, None] = {}
        for place, item in enumerate(raw):
            if not isinstance(item, str):
                self.fault(
                    (*path, place),
                    f"each name in quotes, such as {key.example}",
                    text=written(item),
                )
            elif item in names:
                self.fault(
                    (*path, place), "listed twice: give the weight a count instead", text=item
                )
            else:
                names[item] = None
        self.values[readable(path)] = tuple(names)
