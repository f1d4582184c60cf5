"""Single values of a document: what a person wrote, held to what its key asks for."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable

from perf.base.faults import ReadingError
from perf.base.units import KINDS, read
from perf.boat import schema
from perf.boat.schema import Key
from perf.boat.tomltext import SHOWN_LETTERS

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
    parts = [
        name
        for name in names
        if min(len(lower), len(name)) > 3 and (lower in name or name in lower)
    ]
    close = close or parts or difflib.get_close_matches(lower, names, n=1, cutoff=0.64)
    return close[0] if close else None


def written(raw: object) -> str:
    """A value as the person wrote it, as near as it can be told."""
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, list):
        return ", ".join(written(item) for item in raw[:SHOWN_LETTERS])
    if isinstance(raw, dict):
        return "{ … }"
    return str(raw)


def plain(key: Key) -> str:
    """The example of a key without its quotes."""
    return key.example.strip('"')


def text_of(raw: object, key: Key) -> str:
    """A value that must be a text; ReadingError otherwise."""
    if isinstance(raw, str):
        return raw
    if isinstance(raw, int | float) and not isinstance(raw, bool) and key.kind in KINDS:
        raise ReadingError(f"a number needs its unit, in quotes: write such as {key.example}")
    raise ReadingError(f"a text in quotes is wanted, such as {key.example}")


def one_of(text: str, words: tuple[str, ...], more: str = "") -> str:
    """The cure for a word that is not known."""
    near = nearest(text, words)
    return f"did you mean {near}? " * bool(near) + f"one of: {', '.join(words)}{more}"


def outside(key: Key) -> str:
    """The cure for a value outside the span of its key."""
    low, high = key.span or ("", "")
    unit = "" if key.kind in (schema.COUNT, "ratio") else " and the unit"
    return f"outside {low} to {high}: check the number{unit}"


def word_of(raw: object, key: Key) -> str:
    """A value that must be one of the words of its key; ReadingError otherwise."""
    text = text_of(raw, key) if isinstance(raw, str) else ""
    if text not in key.words:
        raise ReadingError(one_of(text, key.words))
    return text


def count_of(raw: object, name: str, key: Key) -> int:
    """A value that must be a bare whole number; ReadingError otherwise."""
    if isinstance(raw, int) and not isinstance(raw, bool):
        return raw
    number = _WHOLE.search(str(raw))
    whole = number[0] if number else key.example
    raise ReadingError(f"a whole number, bare, without unit or quotes: write {name} = {whole}")


def bare_of(raw: object, name: str, key: Key) -> tuple[float, float]:
    """A bare number of a ratio or an amount of money, or a text of one with its doubt."""
    if isinstance(raw, str) and _DOUBT.search(raw):
        quantity = read(raw, key.kind)
        return quantity.value, quantity.doubt
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        try:
            if math.isfinite(raw):
                return float(raw), 0.0
        except OverflowError:
            pass
        raise ReadingError(f"there must be a real number: write {name} = {key.example}")
    number = _NUMBER.search(raw) if isinstance(raw, str) else None
    bare = number[0] if number else key.example
    if number and isinstance(raw, str) and raw.strip().endswith("%"):
        bare = f"{float(number[0]) / 100:g}"
    raise ReadingError(f"a bare number, without unit or quotes: write {name} = {bare}")
