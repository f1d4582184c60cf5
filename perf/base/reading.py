"""How a quantity is taken apart: a closed grammar, every refusal with its cure.

Nothing is converted here and nothing is evaluated; the time to read grows with the length only.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from perf.base.faults import ReadingError
from perf.base.spellings import DOUBTFUL, KINDS, PAIRS, Kind

LONGEST = 60  # characters of one quantity

# Signs that mean the same as a plain one: minus, spaces that do not break, primes, micro.
_PLAIN = str.maketrans(
    {"\u2212": "-", "\t": " ", "\u00a0": " ", "\u202f": " ", "\u2032": "'", "\u2019": "'"}
    | {"\u2033": '"', "\u201d": '"', "\u03bc": "\u00b5"}
)
_STRANGE = re.compile(r"[^ -~°±²µ‰]")
_DOUBT = re.compile(r"±|\+/-|\+-")
_FRACTION = re.compile(r"(?:(\d+) +)?(\d+)/(\d+)(?![\d./])")
_NUMBER = re.compile(r"\d+(?:\.\d+)?(?![\d.])")
_UNIT = re.compile(r"[a-z°'\"%µ²‰](?:[a-z°'\"%µ²‰/ ]|-(?=[a-z])|\.(?![\d.]))*")
_SQUARE = re.compile(r"(?:m|ft|in)2(?!\d)")
_PERCENT = re.compile(r"(\d+(?:\.\d+)?) *%")
_SLASH = re.compile(r" ?/ ?")
_COMMA = re.compile(r"(\d+),(\d+)(?![\d,.])")
_TYPED = {"length": ["ft", "in", "m"], "angle": ["deg"], "time": ["min", "s"]}  # to offer
_FEET = re.compile(r" *(?:ft|foot|feet|')\.?", re.IGNORECASE)


@dataclass(frozen=True)
class _Part:
    number: Fraction
    written: str
    unit: str  # as spelled


@dataclass(frozen=True)
class _Amount:
    number: Fraction
    unit: str  # as the units library names it
    spelled: str


@dataclass(frozen=True)
class Understood:
    """A number and its doubt, each in a unit by the units library's name; nothing is converted."""

    number: Fraction
    unit: str
    doubt: Fraction
    doubt_unit: str


def understand(text: str, kind: str) -> Understood:
    """Take a person's text apart into an exact number, its unit, and its doubt.

    kind is a key of KINDS other than "text". ReadingError says what to write instead.
    """
    about = KINDS[kind]
    if not isinstance(text, str):
        unit = "" if about.bare else " with a unit"
        raise ReadingError(f'write it as text{unit}, such as "{about.example}"')
    if len(text) > LONGEST:
        raise ReadingError(f"{len(text)} characters are too many: {about.cure}, {LONGEST} at most")
    plain = text.translate(_PLAIN).strip()
    _refuse_strange_signs(plain, about)
    if "," in plain:
        raise ReadingError(_comma_cure(plain, kind))
    written, *doubts = _DOUBT.split(plain)
    if len(doubts) > 1:
        raise ReadingError(f'more than one doubt is given: write "{about.with_doubt}"')
    amount = _amount(written.strip(), kind)
    if kind == "share" and not 0 <= amount.number <= (100 if amount.unit else 1):
        raise ReadingError('a share is between 0 (none) and 1 (all): write "0.9" or "90 %"')
    if not doubts:
        return Understood(amount.number, amount.unit, Fraction(0), amount.unit)
    return Understood(amount.number, amount.unit, *_doubt(doubts[0].strip(), kind, amount))


def _refuse_strange_signs(text: str, about: Kind) -> None:
    if not text:
        raise ReadingError(f"nothing is written: {about.cure}")
    strange = _STRANGE.search(text)
    if strange:
        name = unicodedata.name(strange[0], f"character {ord(strange[0])}").lower()
        sign = f'"{strange[0]}" ({name})' if strange[0].isprintable() else f"a hidden sign ({name})"
        raise ReadingError(f"{sign} cannot be read, use plain letters and digits: {about.cure}")
    if re.search(r"(?<![a-z])(?:nan|inf|infinity)(?![a-z])", text.lower()):
        raise ReadingError(f"that is not a number: {about.cure}")
    if re.search(r"\d[eE][+-]?\d", text):
        raise ReadingError(f"powers of ten are not read, write the number out: {about.cure}")
    if re.search(r"\d *- *\d+/\d", text):
        spaced = re.sub(r"(?<=\d) *- *(?=\d+/\d)", " ", text)
        raise ReadingError(f'no dash stands before a fraction: write "{spaced}"')
    if re.search(r"[*^()=<>|&~!\\]", text):
        raise ReadingError(_no_sums(about))


def _no_sums(about: Kind) -> str:
    return f"sums and ranges are not worked out: {about.cure}"


def _comma_cure(text: str, kind: str) -> str:
    # Both readings of the comma, where each can be read.
    offers, found = [], _COMMA.search(text)
    if found and text.count(",") == 1:
        before, whole, rest, after = text[: found.start()], found[1], found[2], text[found.end() :]
        feet = _FEET.match(after)
        if len(rest) == 3:
            offers = [f"{whole}{rest}{after}", f"{whole}.{rest.rstrip('0') or '0'}{after}"]
        elif feet and kind == "length":
            offers = [f"{whole}.{rest}{after}", f"{whole} ft {int(rest)} in{after[feet.end() :]}"]
        else:
            offers = [f"{whole}.{rest}{after}"]
        offers = [f'"{before}{offer}"' for offer in offers if _reads(before + offer, kind)]
    what = " or ".join(offers) or f'without one, such as "{KINDS[kind].example}"'
    return f"a comma is never read: write {what}"


def _reads(text: str, kind: str) -> bool:
    try:
        understand(text, kind)
    except ReadingError:
        return False
    return True


def _amount(text: str, kind: str) -> _Amount:
    about = KINDS[kind]
    unsigned = text[1:].lstrip() if text[:1] in ("+", "-") else text
    if unsigned[:1] in ("+", "-"):
        raise ReadingError(f"two signs stand before one number: {about.cure}")
    parts = _parts(unsigned, kind)
    units = [_unit(part, unsigned, kind) for part in parts]
    number = parts[-1].number
    if len(parts) == 2:
        number += parts[0].number * _how_many(parts, units, about)
    if text.startswith("-"):  # the sign belongs to the whole: -1 ft 6 in is -18 in
        number = -number
    return _Amount(number, units[-1], parts[-1].unit)


def _parts(text: str, kind: str) -> list[_Part]:
    about, lower, at = KINDS[kind], text.lower(), 0
    parts: list[_Part] = []
    while at < len(lower):
        fraction = _FRACTION.match(lower, at)
        found = fraction or _NUMBER.match(lower, at)
        if found is None or len(parts) == 2:
            raise ReadingError(_no_part(lower[at:], len(parts), about))
        number = _mixed(fraction, about) if fraction else Fraction(found[0])
        at = _past_spaces(lower, found.end())
        square = _SQUARE.match(lower, at)
        # "8ft2in" has two parts, "8 ft2" one: the 2 belongs to the unit only at the end.
        unit = square if square and (kind == "area" or square.end() == len(lower)) else None
        unit = unit or _UNIT.match(lower, at)
        spelled = _SLASH.sub("/", " ".join(unit[0].replace(".", " ").split())) if unit else ""
        parts.append(_Part(number, found[0], spelled))
        at = _past_spaces(lower, unit.end() if unit else at)
    if not parts:
        raise ReadingError(f"there is no number: {about.cure}")
    return parts


def _past_spaces(text: str, at: int) -> int:
    while text[at : at + 1] == " ":
        at += 1
    return at


def _mixed(found: re.Match[str], about: Kind) -> Fraction:
    whole, top, bottom = int(found[1] or 0), int(found[2]), int(found[3])
    if not 0 < top < bottom <= 64:
        raise ReadingError(f"{top}/{bottom} is not a fraction under one: {about.cure}")
    return whole + Fraction(top, bottom)


def _no_part(rest: str, count: int, about: Kind) -> str:
    if rest[0] in "+-/":
        return _no_sums(about)
    if re.match(r"\d*\.", rest):
        return f"a number has one dot, with digits on both sides: {about.cure}"
    if rest[0].isdigit():
        return f"there are more than two parts: {about.cure}" if count == 2 else _no_sums(about)
    if rest[0].isalpha():
        return f"the number comes first: {about.cure}"
    return f'"{rest[0]}" is not read here: {about.cure}'


def _unit(part: _Part, text: str, kind: str) -> str:
    about = KINDS[kind]
    if part.unit in about.unit_of:
        return about.unit_of[part.unit]
    if not part.unit:
        raise ReadingError(f'"{part.written}" lacks a unit: write {_with_units(part, text, kind)}')
    if (kind, part.unit) in DOUBTFUL:
        raise ReadingError(DOUBTFUL[kind, part.unit])
    if about.bare:
        raise ReadingError(f'{about.called} has no unit: write it bare, such as "{about.example}"')
    if any(part.unit in other.unit_of for other in KINDS.values()):
        raise ReadingError(f"{about.called} cannot be in {part.unit}: {about.cure}")
    near = difflib.get_close_matches(part.unit[:20], about.unit_of, n=1, cutoff=0.5)
    meant = f", did you mean {near[0]}?" if near else ":"
    raise ReadingError(f'no unit of {about.called} is called "{part.unit}"{meant} {about.cure}')


def _with_units(part: _Part, text: str, kind: str) -> str:
    # What was written with the units it may have meant, where that can be read.
    about = KINDS[kind]
    labels = _TYPED.get(kind, [label for label, _ in about.shown.values()])
    offers = [f"{text} {label}" for label in dict.fromkeys(labels) if text.endswith(part.written)]
    readable = [f'"{offer}"' for offer in offers if _reads(offer, kind)]
    return " or ".join(readable) or f'{about.called} such as "{about.example}"'


def _how_many(parts: list[_Part], units: list[str], about: Kind) -> int:
    first, second = units
    spelled, small = (part.unit for part in parts)
    if (second, first) in PAIRS:
        raise ReadingError(f"{small} comes before {spelled}: {about.cure}")
    if (first, second) not in PAIRS:
        raise ReadingError(f"it has two parts, {spelled} and {small}, keep to one: {about.cure}")
    many = PAIRS[first, second]
    if not parts[0].written.isdigit():
        raise ReadingError(f"the {spelled} must be whole where {small} follows: {about.cure}")
    if parts[1].number >= many:
        raise ReadingError(f"{small} after {spelled} must be under {many}: {about.cure}")
    return many


def _doubt(text: str, kind: str, amount: _Amount) -> tuple[Fraction, str]:
    about = KINDS[kind]
    if not text:
        raise ReadingError(f'nothing stands after "±": write "{about.with_doubt}"')
    if text[0] in "+-":
        raise ReadingError(f'a doubt has no sign of its own: write "{about.with_doubt}"')
    percent = _PERCENT.fullmatch(text)
    if percent is None:
        doubt = _amount(text, kind)
        return doubt.number, doubt.unit
    if not about.doubt.endswith("%"):
        raise ReadingError(f'the doubt of {about.called} is not in %: write "{about.with_doubt}"')
    if not amount.number:
        unit = f" {amount.spelled}" if amount.spelled else ""
        raise ReadingError(f'no per cent of nothing is a doubt: write such as "0{unit} ± 1{unit}"')
    return abs(amount.number) * Fraction(percent[1]) / 100, amount.unit
