"""What a page needs worked out, kept between reruns: one engine call for one boat."""

from __future__ import annotations

from functools import lru_cache

from perf.base.results import Result
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats, demo_titles
from perf.boat.parts import Boat
from perf.studies.speeds import speeds

KEPT = 64  # answers in memory; the oldest unused one goes first


@lru_cache(maxsize=KEPT)
def answer_for(boat: Boat) -> Result:
    """How this boat runs; the same Result object again for an equal boat, never to be changed."""
    return speeds(boat)


@lru_cache(maxsize=1)
def demo_names() -> dict[str, tuple[str, str]]:
    """Key of each demo boat: her name, and what she is."""
    parted = {key: title.partition(":") for key, title in demo_titles().items()}
    return {key: (name, about.strip()) for key, (name, _, about) in parted.items()}


@lru_cache(maxsize=16)
def demo_boat(key: str) -> Boat:
    """One demo boat as her file says."""
    return read_boat(demo_boats()[key])


def demo_file(key: str) -> bytes:
    """The file of one demo boat."""
    return demo_boats()[key].read_bytes()
