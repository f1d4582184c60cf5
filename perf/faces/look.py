"""The look: colours, line styles and marks, so that no curve is told apart by colour alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Tone:
    """One colour of the house: line for what is drawn, text for words on the page."""

    line: str
    text: str


@dataclass(frozen=True)
class Palette:
    """The colours on one kind of page; every text colour reads on page at 4.5 to 1 or better."""

    page: str
    ink: str
    quiet: str  # axes, rules, small print
    grid: str
    as_she_is: Tone
    changed: Tone
    second_opinion: Tone
    caution: Tone

    def tone(self, role: str) -> Tone:
        """The colour of a line's role; KeyError for an unknown role."""
        return {
            "as she is": self.as_she_is,
            "changed": self.changed,
            "second opinion": self.second_opinion,
        }[role]


@dataclass(frozen=True)
class Style:
    """How a role is drawn: line width in points, strength of its band, marks in turn.

    marks are names of the shape table below; an empty name is a bare line. The second line of
    the same role takes the second mark, and so on round.
    """

    width: float
    band: float
    hatch: str
    marks: tuple[str, ...]

    def mark(self, turn: int) -> str:
        """The mark of the turn-th line of this role, counted from none."""
        return self.marks[turn % len(self.marks)]


# Deep teal, rust, grey, ochre: each a clear step lighter than the one before, so that a grey
# print keeps the order.
LIGHT = Palette(
    page="#fbfbf8",
    ink="#1b2426",
    quiet="#5a6467",
    grid="#dfe2df",
    as_she_is=Tone(line="#08464d", text="#08464d"),
    changed=Tone(line="#a8471f", text="#a8471f"),
    second_opinion=Tone(line="#868c90", text="#5f666a"),
    caution=Tone(line="#d8a02a", text="#7c5800"),
)

# On a dark page the order turns round: teal and ochre are the lightest.
DARK = Palette(
    page="#171614",
    ink="#e9eceb",
    quiet="#a4adb0",
    grid="#2b3136",
    as_she_is=Tone(line="#63cbc2", text="#63cbc2"),
    changed=Tone(line="#d9713f", text="#e48a5d"),
    second_opinion=Tone(line="#70767c", text="#a4adb0"),
    caution=Tone(line="#ffe7a3", text="#ffe7a3"),
)

STYLES: Mapping[str, Style] = {
    "as she is": Style(2.6, 0.20, "", ("", "square", "cross", "diamond")),
    "changed": Style(2.0, 0.14, "///", ("circle", "triangle down", "diamond", "cross")),
    "second opinion": Style(1.3, 0.10, "...", ("triangle", "triangle right", "square")),
}

# Name of a mark: its name on screen, its name on paper.
SHAPES: Mapping[str, tuple[str, str]] = {
    "": ("stroke", ""),
    "circle": ("circle", "o"),
    "square": ("square", "s"),
    "cross": ("cross", "P"),
    "diamond": ("diamond", "D"),
    "triangle": ("triangle-up", "^"),
    "triangle down": ("triangle-down", "v"),
    "triangle right": ("triangle-right", ">"),
}

# Dashes mean one thing only: a method is outside its range there.
DASHED = (7, 5)  # on and off, in pixels
DASHED_PAPER = (2.6, 1.7)  # on and off, in line widths
DOTTED = (1.5, 3)  # rules
MARKS_ALONG = 9  # marks along one line

BAND_WORDS = "shaded: 10 to 90 %"
HALF_WORDS = "half a band: one time in ten or more she does not get there"
DASHED_WORDS = "dashed: a method is outside its range"
EMPTY_WORDS = "no number at any of these speeds"
