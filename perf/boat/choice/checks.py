"""Does a candidates file hang together: names in the catalogue and in [rigging], weights of new engines."""

from __future__ import annotations

from collections.abc import Iterable

from perf.boat.catalog import engines, propellers
from perf.boat.choice import schema as about
from perf.boat.choice.parts import AS_SHE_IS
from perf.boat.reading import Reading

ANOTHER_ENGINE = ("rated_power", "technology", "drive")  # what makes an engine another one


def check_candidates(reading: Reading) -> None:
    """Note every fault that shows only when the tables of the file are held together."""
    names = reading.names("candidates")
    if "candidates" in reading.given and not reading.written_names("candidates"):
        cure = 'no candidate is named: begin one such as [candidates."a 250"]'
        reading.fault(("candidates",), cure, text="")
    if len(names) > about.MOST_CANDIDATES:
        extra = names[about.MOST_CANDIDATES]
        cure = f"{len(names)} candidates are more than {about.MOST_CANDIDATES}: keep those that are meant"
        reading.fault(("candidates", extra), cure, text=extra, on_key=True)
    for name in names[: about.MOST_CANDIDATES]:
        if name.strip().lower() == AS_SHE_IS:
            cure = "this name is taken: the boat herself is always the first candidate, her money in [as_she_is]"
            reading.fault(("candidates", name), cure, text=name, on_key=True)
        _catalogue(reading, name, "engine", engines(), f"there are {', '.join(engines())}")
        _catalogue(
            reading, name, "propeller", propellers(), 'names are such as "3-blade-15.25x16-light"'
        )
        _mass(reading, name)
        for key in ("rigging", "taken_off"):
            _rigging(reading, name, key)


def _catalogue(
    reading: Reading, name: str, what: str, known: Iterable[str], otherwise: str
) -> None:
    path = f"candidates.{name}.{what}.catalogue"
    key = reading.values.get(path)
    if key is None or key in known:
        return
    near = reading.nearest(key, known)
    hint = f"did you mean {near}?" if near else otherwise
    reading.fault(path, f"no {what} of the catalogue is called so; {hint}")


def _mass(reading: Reading, name: str) -> None:
    """An engine that is another one and not of the catalogue has its own weight."""
    table = f"candidates.{name}.engine"
    written = set(reading.words) | reading.document.broken
    if f"{table}.catalogue" in written or f"{table}.mass" in written:
        return
    if any(f"{table}.{key}" in written for key in ANOTHER_ENGINE):
        cure = 'missing: another engine has its own weight, write such as mass = "604 lb ± 4 %"'
        reading.fault(("candidates", name, "engine", "mass"), cure, text="")


def _rigging(reading: Reading, name: str, key: str) -> None:
    known = reading.written_names("rigging")
    for place, thing in enumerate(reading.values.get(f"candidates.{name}.{key}", ())):
        if thing in known:
            continue
        near = reading.nearest(thing, known)
        hint = f"did you mean {near}?" if near else "add it there with its weight and place"
        reading.fault(("candidates", name, key, place), f"not in [rigging]; {hint}", text=thing)
