"""What a page needs worked out, kept between reruns: each boat as stated once, and drawn once.

The work of one boat is in two parts: her curves as stated, and the draws that give the bands. A page
may show the first while the second is on its way; together they are the study's own answer.
"""

from __future__ import annotations

from collections.abc import Hashable
from functools import lru_cache
from threading import Lock

from perf.base.results import Result
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats, demo_titles
from perf.boat.parts import Boat
from perf.boat.trialtable import same_but_trial
from perf.studies.speeds import DRAWS, SEED, Stated, as_stated, first_answer, whole_answer

KEPT = 64  # answers in memory; the oldest unused one goes first


@lru_cache(maxsize=KEPT)
def stated_for(boat: Boat) -> Stated:
    """The boat as stated, nothing drawn yet."""
    return as_stated(boat)


@lru_cache(maxsize=KEPT)
def first_for(boat: Boat) -> Result:
    """How this boat runs, without bands; never to be changed."""
    return first_answer(stated_for(boat))


class Answers:
    """Whole answers by what they are about, the newest KEPT; safe for many sessions at once."""

    def __init__(self) -> None:
        self._known: dict[Hashable, Result] = {}
        self._lock = Lock()

    def get(self, about: Hashable) -> Result | None:
        """The answer that is kept, as the newest of all; None where there is none."""
        with self._lock:
            found = self._known.pop(about, None)
            if found is not None:
                self._known[about] = found
            return found

    def put(self, about: Hashable, answer: Result) -> Result:
        """Keep an answer; where another session was quicker, its answer is the one."""
        with self._lock:
            kept = self._known.setdefault(about, answer)
            while len(self._known) > KEPT:
                del self._known[next(iter(self._known))]
            return kept

    def clear(self) -> None:
        """Forget all."""
        with self._lock:
            self._known.clear()


_ANSWERS = Answers()


def ready_for(boat: Boat) -> Result | None:
    """The whole answer where it was worked out before."""
    return _ANSWERS.get(boat)


def answer_for(boat: Boat) -> Result:
    """How this boat runs; the same Result object again for an equal boat, never to be changed."""
    known = _ANSWERS.get(boat)
    return (
        _ANSWERS.put(boat, whole_answer(stated_for(boat), DRAWS, SEED)) if known is None else known
    )


def forget() -> None:
    """Forget every answer, as when the program starts."""
    _ANSWERS.clear()
    first_for.cache_clear()
    stated_for.cache_clear()


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


@lru_cache(maxsize=16)
def demo_under(content: bytes) -> str:
    """Key of the demo boat whose file this is, a trial added or not; empty for any other."""
    return next((key for key in demo_names() if same_but_trial(content, demo_file(key))), "")
