"""What every page starts from: the boat as she is set now, the units, the place for the answer."""

from __future__ import annotations

from contextvars import ContextVar
from dataclasses import dataclass

from streamlit.delta_generator import DeltaGenerator

from perf.boat.parts import Boat


@dataclass(frozen=True)
class Aboard:
    """What the shell found set.

    boat : as she is now, None while something cannot be understood.
    as_filed : as her file says; None while the file was refused.
    top : the place over the settings where a page puts its answer.
    shared : whether the address of the page brings another person the same boat.
    """

    boat: Boat | None
    as_filed: Boat | None
    units: str
    dark: bool
    top: DeltaGenerator
    shared: bool


_ABOARD: ContextVar[Aboard] = ContextVar("aboard")


def come_aboard(found: Aboard) -> None:
    """Keep what the shell found set, for the page that is drawn next."""
    _ABOARD.set(found)


def aboard() -> Aboard:
    """What the shell found set for the page that is being drawn."""
    return _ABOARD.get()
