"""The rig card as one printed page: a table, what to do when, and lines to fill in by hand."""

from __future__ import annotations

from pathlib import Path

from perf.base.bands import fell_inside
from perf.base.files import write_whole
from perf.base.results import Result
from perf.boat.learned import said_of
from perf.boat.parts import Boat
from perf.faces.printed.scale import FINE, GAP_MM, HAIR_MM, SMALL, WRITE_MM
from perf.faces.printed.sheet import INK, Sheet
from perf.studies.mount.card import Card, rig_card

IF_MM = 82.0  # of the first column of what to do when
ASKED_MM = 68.0  # of the labels of what is to be measured


def save_rig_card(boat: Boat, result: Result, path: str | Path, units: str) -> None:
    """Write the rig card of a mounting result as .pdf.

    Raises
    ------
    ValueError
        For another ending, or a result of another study.
    OSError
        If the file cannot be written.
    """
    path = Path(path)
    if path.suffix.lower() != ".pdf":
        raise ValueError("a rig card is saved as .pdf")
    write_whole(path, rig_card_bytes(boat, result, units))


def rig_card_bytes(boat: Boat, result: Result, units: str) -> bytes:
    """The rig card as the bytes of a PDF."""
    card = rig_card(boat, result)
    page = Sheet(card.title, "", units, pages=1)
    page.words(card.about.spoken(units), after=0.0)
    for note in said_of(boat):
        page.words(note, FINE, after=0.0)
    page.section("Hang it here, and expect this (in brackets: eight in ten of our draws)")
    page.words(f"What is measured may lie outside: {fell_inside()}.", FINE, after=0.0)
    page.pairs([(row.label, row.value.spoken(units)) for row in card.rows])
    _then(page, card)
    page.section("Measured on the water")
    for words in card.blanks:
        page.blanks((words,), WRITE_MM, ASKED_MM)
    page.ln(GAP_MM)
    for words in card.cautions:
        page.words(words, FINE, color=INK.caution.text, after=HAIR_MM)
    return page.bytes()


def _then(page: Sheet, card: Card) -> None:
    page.section("If you see this, then do that")
    page.ink(SMALL)
    for seen, done in card.then:
        page.abreast((seen, done), (IF_MM, page.epw - IF_MM), SMALL)
        page.ln(1.0)
