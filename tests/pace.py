"""How long the solver takes, measured so that a busy neighbour does not matter.

    python tests/pace.py      prints the table; fails when a bound is passed

Bounds are counts and ratios of CPU time within this one process; milliseconds are printed only.

    evaluations     trims tried per lane in the search for the balance
    search          CPU of the search for the balance, 20,000 planing lanes, over one residual
    solving         CPU of everything (all methods, propeller, engine, fuel), the same lanes, over one residual
    growth          CPU per lane at 200,000 lanes over that at 20,000
    memory          peak at 200,000 lanes over that at 20,000, the arrays handed in and out taken off:
                    as traced by Python, less the bytes of the answer, of the speeds and of the drive trims
    sweep           lanes evaluated for one boat's answer with 200 draws, best drive trims with it
    asked, lanes    engine calls and lanes behind the first step of a change on the first page: sentence
                    and curves of the boat as stated, before the bands (tests/pace_pages.py)
    first, whole    CPU of the server for that step, and for the whole change, over one residual
    curves          the one bound on a clock: seconds in a real browser from the key to the new curves,
                    the median of twelve changes
    slider          another: seconds from an arrow key on a slider of hanging the engine to the new
                    drawing, the median of seventeen moves; picked, slid: lanes asked for until then, and
                    for the whole move, bands with it
    start           and the last: seconds from the address to the answer, the server being warm
"""

from __future__ import annotations

import sys
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent)]

import pace_pages  # noqa: E402
from fleets import course, fixed, froude_unit, random_lanes  # noqa: E402

from perf.solve import performance  # noqa: E402
from perf.solve.afloat import Afloat  # noqa: E402
from perf.solve.balance import forces_at, settle  # noqa: E402
from perf.solve.bottom import Course  # noqa: E402
from perf.solve.performance import Points, points  # noqa: E402
from perf.studies import speeds as speeds_study  # noqa: E402
from perf.studies.speeds import speeds  # noqa: E402
from perf.studies.sweeps import sweep_boats  # noqa: E402

LANES, MANY = 20_000, 200_000
BOATS = 200
MEGABYTE = 1e6
BOUNDS = {
    "evaluations": 16.0,
    "search": 30.0,
    "solving": 30.0,
    "growth": 1.6,
    "memory": 50.0,
    "sweep": 10_000.0,
    "asked": 6.0,
    "lanes": 1_200.0,
    "first": 5.0,
    "whole": 14.0,
    "picked": 1.0,
    "slid": 2_000.0,
    "curves": 0.6,
    "slider": 0.6,
    "start": 3.0,
}
UNITS = {
    "memory": "MB",
    "evaluations": "per lane",
    "sweep": "lanes",
    "asked": "calls",
    "lanes": "lanes",
    "picked": "lanes",
    "slid": "lanes",
    "curves": "s",
    "slider": "s",
    "start": "s",
}


def scattered(count: int) -> tuple[Afloat, np.ndarray, np.ndarray]:
    """Random boats over speeds on plane, count lanes in all: hulls (BOATS,), speeds and drive trims (BOATS, m)."""
    draw = np.random.default_rng(7)
    afloat = Afloat.of(random_lanes(BOATS))
    shape = (BOATS, count // BOATS)
    speed = draw.uniform(1.6, 4.5, shape) * froude_unit(afloat)[:, None]
    return afloat, speed, draw.uniform(-4.0, 6.0, shape)


def flat_course(count: int) -> Course:
    """The same lanes as one flat axis, for the residual and the search alone."""
    afloat, speed, trim = scattered(count)
    rows = np.repeat(np.arange(BOATS), speed.shape[1])
    return course(afloat.lanes.take(rows), speed.ravel(), trim.ravel())


def cpu(work: Callable[[], object], times: int = 3) -> float:
    """Least CPU seconds of several runs."""
    found = []
    for _ in range(times):
        began = time.process_time()
        work()
        found.append(time.process_time() - began)
    return min(found)


def in_blocks(where: Course, work: Callable[[Course], object]) -> None:
    """The same blocks as the solver's, so that both run in the same cache."""
    for at in range(0, where.lanes.count, performance.BLOCK):
        work(where.take(np.arange(at, min(at + performance.BLOCK, where.lanes.count))))


def overhead(count: int) -> float:
    """Peak bytes of one call beyond what goes in and comes out."""
    afloat, speed, trim = scattered(count)
    tracemalloc.start()
    held = tracemalloc.get_traced_memory()[0]
    tracemalloc.reset_peak()
    answer = points(afloat, speed, trim)
    peak = tracemalloc.get_traced_memory()[1] - held
    tracemalloc.stop()
    given = sum(getattr(answer, field.name).nbytes for field in fields(Points))
    # the flat speeds, drive trims and row numbers the call makes of what it was handed
    return float(peak - given - 2 * speed.nbytes - 8 * speed.size)


def lanes_of_one_answer() -> int:
    """Lanes evaluated for the answer of one boat, counted at the door."""
    seen = []
    inner = performance._block

    def counted(afloat: Afloat, *rest: object) -> Points:
        seen.append(afloat.lanes.count)
        return inner(afloat, *rest)

    performance._block = counted
    try:
        speeds(fixed("charter_hull_24ft"), draws=200)
    finally:
        performance._block = inner
    return sum(seen)


def measure() -> tuple[dict[str, float], dict[str, float]]:
    """The bounded figures, and milliseconds for the eye."""
    where = flat_course(LANES)
    trim = np.full(LANES, 4.0)
    rows = np.arange(LANES)

    def residual(part: Course) -> object:
        return forces_at(part, trim[: part.lanes.count])

    one = cpu(lambda: in_blocks(where, residual))
    search = cpu(lambda: in_blocks(where, settle))
    few, many = scattered(LANES), scattered(MANY)
    solving = cpu(lambda: points(*few))
    crowd = cpu(lambda: points(*many), 1)
    boat = fixed("charter_hull_24ft")
    behind, slid = pace_pages.behind_a_change(), pace_pages.behind_a_slide()
    seen = pace_pages.in_browser()
    found = {
        "evaluations": float(settle(where.take(rows)).evaluations.max()),
        "search": search / one,
        "solving": solving / one,
        "growth": (crowd / MANY) / (solving / LANES),
        "memory": (overhead(MANY) - overhead(LANES)) / MEGABYTE,
        "sweep": float(lanes_of_one_answer()),
        "asked": behind.calls,
        "lanes": behind.lanes,
        "first": behind.first / one,
        "whole": behind.whole / one,
        "picked": slid.asked,
        "slid": slid.lanes,
        "curves": seen.median("curves"),
        "slider": seen.slider,
        "start": seen.from_page,
    }
    shown = {
        f"one residual, {LANES:,} lanes": one,
        f"search for the balance, {LANES:,} lanes": search,
        f"everything, {LANES:,} lanes": solving,
        f"everything, {MANY:,} lanes": crowd,
        "one boat over her speeds": cpu(lambda: sweep_boats(boat)),
        "one boat's answer, 200 draws": cpu(lambda: speeds_study.speeds(boat, draws=200), 2),
        "a change: CPU to sentence and curves (60)": behind.first,
        "a change: CPU in all, bands with it": behind.whole,
        "a change: CPU of the server, browser and all": seen.server,
        "a change: key to sentence": seen.median("sentence"),
        "a change: key to curves (300)": seen.median("curves"),
        "a change: key to bands": seen.median("whole"),
        "a slider: CPU to figures and drawing (60)": slid.first,
        "a slider: CPU of the server, bands and all": seen.slid_server,
        "a slider: key to drawing (300)": seen.slider,
        "a slider: key to drawing, the slowest": max(seen.slides),
        "from the address to the answer, warm": seen.from_page,
        "from the start of the program to the answer": seen.from_program,
    }
    return found, shown


def main() -> int:
    """Print the table; 1 when a bound is passed."""
    found, shown = measure()
    worse = False
    for name, bound in BOUNDS.items():
        over = found[name] > bound
        worse |= over
        verdict = "PASSED THE BOUND" if over else "ok"
        print(
            f"{name:<12} {found[name]:>10.2f} of {bound:>10,.1f} {UNITS.get(name, 'times'):<9} {verdict}"
        )
    for name, seconds in shown.items():
        print(f"  {name:<44} {1e3 * seconds:>8.0f} ms")
    return int(worse)


if __name__ == "__main__":
    sys.exit(main())
