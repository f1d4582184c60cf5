"""Faults in what a person wrote: where, what, and how to mend it."""

from __future__ import annotations

from dataclasses import dataclass


class ReadingError(ValueError):
    """One text that cannot be read; the message is the cure, ready to be shown."""


@dataclass(frozen=True)
class Fault:
    """One fault of an input file.

    line, column count from one and are 0 where the fault has no place (a missing table).
    key is the readable path, text what the person wrote, cure what to write instead.
    """

    line: int
    column: int
    key: str
    text: str
    cure: str

    def as_dict(self) -> dict[str, object]:
        """The fault as plain data, for JSON."""
        return {
            "line": self.line,
            "column": self.column,
            "key": self.key,
            "text": self.text,
            "cure": self.cure,
        }


def seen(text: str) -> str:
    """Text as it may be shown: control signs, which a terminal would obey, as one replacement sign each."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)


class InputFaults(Exception):
    """All faults of one input at once; nothing was computed."""

    def __init__(self, source: str, faults: list[Fault] | tuple[Fault, ...]) -> None:
        self.source = source
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.line, fault.column)))
        super().__init__(self.as_text())

    def as_text(self) -> str:
        """The faults as a person reads them: a headline, then one line each."""
        count = len(self.faults)
        head = f"{seen(self.source)} refused: {count} fault{'s' if count != 1 else ''}, nothing computed."
        places = [f"line {f.line}:{f.column}" if f.line else "whole file" for f in self.faults]
        keys = [seen(fault.key) for fault in self.faults]
        texts = [f'"{seen(fault.text)}"' if fault.text else "" for fault in self.faults]
        cures = [seen(fault.cure) for fault in self.faults]
        wide = [max(map(len, column), default=0) for column in (places, keys, texts)]
        lines = [
            f"  {place:<{wide[0]}}  {key:<{wide[1]}}  {text:<{wide[2]}}  {cure}"
            for place, key, text, cure in zip(places, keys, texts, cures, strict=True)
        ]
        return "\n".join([head, *lines])

    def as_dict(self) -> dict[str, object]:
        """The faults as plain data, for JSON on stderr."""
        return {"refused": self.source, "faults": [fault.as_dict() for fault in self.faults]}
