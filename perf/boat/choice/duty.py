"""The duty file: a season as runs done on every trip, and the money that does not hang on the engine."""

from __future__ import annotations

from pathlib import Path

from perf.base.faults import InputFaults
from perf.boat.boatfile import check_format
from perf.boat.choice import schema as about
from perf.boat.choice.parts import Duty, Run
from perf.boat.parts import Boat
from perf.boat.reading import Reading
from perf.boat.tomltext import Document, document

__all__ = ["InputFaults", "duty_of", "read_duty"]


def read_duty(
    source: str | Path | bytes, boat: Boat | None = None, *, name: str | None = None
) -> Duty:
    """Read a season for one boat.

    Parameters
    ----------
    source : path of a TOML file, or its bytes; at most 64 kB and 40 runs.
    boat : the boat whose loads the runs name; without one those names are not checked.
    name : what to call the file in faults; the file's own name where none is given.

    Returns
    -------
    Duty in SI.

    Raises
    ------
    InputFaults with every fault found, each with line, column, path, text and cure.
    """
    called = "duty file" if isinstance(source, bytes) else Path(source).name or "duty file"
    read = document(source, name or called, about.duty_example)
    check_format(read)
    return duty_of(read, boat)


def duty_of(read: Document, boat: Boat | None) -> Duty:
    """The season of a document; InputFaults with every fault found."""
    reading = Reading(read, about.DUTY_TOP, about.DUTY_TABLES).walk()
    names = reading.names("runs")
    if "runs" in reading.given and not reading.written_names("runs"):
        reading.fault(("runs",), "no run is named: begin one such as [runs.out]", text="")
    if len(names) > about.MOST_RUNS:
        extra = names[about.MOST_RUNS]
        cure = f"{len(names)} runs are more than {about.MOST_RUNS}: put like runs together"
        reading.fault(("runs", extra), cure, text=extra, on_key=True)
    for each in names[: about.MOST_RUNS]:
        _check(reading, boat, each)
    read.refuse_if_faulty()
    number = reading.number
    years = number("money.years")
    return Duty(
        name=reading.values.get("name")
        or ("a season" if boat is None else f"{boat.name}'s season"),
        runs=tuple(_run(reading, boat, each) for each in names),
        trips=number("season.trips") or 0.0,
        weeks=number("season.weeks"),
        weeks_between_scrubs=number("season.weeks_between_scrubs"),
        scrub_price=number("season.scrub_price"),
        currency=reading.values.get("money.currency", ""),
        fuel_price=number("money.fuel_price"),
        discount_rate=number("money.discount_rate"),
        years=None if years is None else int(years),
        lost_day=number("money.lost_day"),
        doubts=tuple(
            (path, doubt)
            for path, doubt in reading.doubts.items()
            if path.startswith(("season.", "money."))
        ),
    )


def _check(reading: Reading, boat: Boat | None, each: str) -> None:
    """Faults that show only when the keys of one run are held together."""
    run = f"runs.{each}"
    kind = reading.values.get(f"{run}.kind")
    distance, hours = reading.number(f"{run}.distance"), reading.number(f"{run}.hours")
    speed = reading.values.get(f"{run}.speed")
    broken = {f"{run}.{k}" for k in ("distance", "hours", "speed")} & (
        reading.document.broken | {f.key for f in reading.document.faults}
    )
    if distance is not None and hours is not None:
        reading.fault(f"{run}.hours", "either distance or hours: leave one out")
    if distance is None and hours is None and not broken:
        need = 'distance = "14 nmi" or hours = "2 h"' if kind == "run" else 'hours = "3 h"'
        reading.fault(run, f"how long is missing: write such as {need}", text="", on_key=True)
    if kind in ("run", "troll") and speed is None and not broken:
        need = '"24 mph" or "best"' if kind == "run" else '"3 mph"'
        reading.fault(
            run, f"how fast is missing: write such as speed = {need}", text="", on_key=True
        )
    if kind in ("idle", "drift") and distance is not None:
        reading.fault(f"{run}.distance", f'a boat at {kind} goes nowhere: write hours = "1 h"')
    if kind in ("idle", "drift") and speed is not None:
        reading.fault(f"{run}.speed", f"a boat at {kind} has no speed: leave it out")
    if kind == "troll" and speed == about.BEST:
        reading.fault(f"{run}.speed", 'a trolling speed is a number, such as "3 mph"')
    load = reading.values.get(f"{run}.load")
    if load is not None and boat is not None and load not in boat.load_names:
        near = reading.nearest(load, boat.load_names)
        hint = f"did you mean {near}?" if near else f"there are {', '.join(boat.load_names)}"
        reading.fault(f"{run}.load", f"{boat.name} has no such load; {hint}")


def _run(reading: Reading, boat: Boat | None, each: str) -> Run:
    run = f"runs.{each}"
    number, speed = reading.number, reading.values.get(f"runs.{each}.speed")
    engines = number(f"{run}.engines")
    return Run(
        name=each,
        kind=reading.values[f"{run}.kind"],
        load=reading.values.get(f"{run}.load", "" if boat is None else boat.load),
        trips=number(f"{run}.trips"),
        distance_m=number(f"{run}.distance"),
        seconds=number(f"{run}.hours"),
        speed_mps=None if speed in (None, about.BEST) else float(speed),
        engines=None if engines is None else int(engines),
        doubts=tuple(
            (path.removeprefix(f"{run}."), doubt)
            for path, doubt in reading.doubts.items()
            if path.startswith(f"{run}.")
        ),
    )
