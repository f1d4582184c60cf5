"""Simulate the demo logs anew after a change of physics: python tests/write_demo_logs.py

Each boat is moved off her file as the remarks of her log say, runs at shares of her own top speed, and
is read with the noise of her meters. The noise is seeded: the same physics gives the same files.
"""

import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from perf.base.tables import data_folder  # noqa: E402
from perf.base.units import units_from_si  # noqa: E402
from perf.boat.boatfile import read_boat  # noqa: E402
from perf.boat.catalog import demo_boats  # noqa: E402
from perf.boat.log.runs import SteadyRuns  # noqa: E402
from perf.boat.parts import Boat  # noqa: E402
from perf.studies.trial.model import Tried  # noqa: E402

FOUR = {"assumed.trial_drag": 0.12, "assumed.trial_pitch": -0.03, "assumed.trial_fuel_slope": 0.06}
SEVEN = {"assumed.trial_drag": -0.05, "assumed.trial_weight": 0.05}
CURRENT_MPS = 0.25
NOISE = np.random.default_rng(20260514)

MORNING = """\
# Simulated for the demonstration, not measured: Number Four with 12 % more hull drag, 3 % less effective
# pitch and 6 % more fuel for her power than her file says, in a current of half a knot setting north, with
# the noise of her meters (satellite speed, tachometer, fuel meter).
load,RPM,SOG (kn),Fuel (gal/h),direction,throttle
"""
RECORDING = """\
# Simulated for the demonstration, not measured: the same boat recorded once a second, loaded as charter.
time;rpm;speed (km/h);fuel (L/h);course
"""
TWINS = """\
# Simulated for the demonstration, not measured: Number Seven 5 % heavier and 5 % easier to drive than her
# file says, one way only, with the noise of her meters.
engine rpm port,engine rpm starboard,speed (mph),fuel port (gph),fuel starboard (gph),throttle
"""


def runs(boat: Boat, load: str, off: dict[str, float], pace: Sequence[float]) -> np.ndarray:
    """Speed [m/s], rpm and burn [L/h] at shares of the top speed, (runs, 3)."""
    moves = {name: np.array([move]) for name, move in off.items()}
    grid = np.linspace(4.0, 28.0, 121)
    seen = Tried.at(boat, SteadyRuns.of(grid, load=(load,) * grid.size)).readings(moves, grid[None])
    ratio = seen.power_ratio[0]
    known = np.isfinite(ratio)
    last = np.flatnonzero(ratio[known] <= 1.0)[-1]
    top = np.interp(1.0, ratio[known][last : last + 2], grid[known][last : last + 2])
    speed = top * np.array(pace)
    at = Tried.at(boat, SteadyRuns.of(speed, load=(load,) * speed.size))
    read = at.readings(moves, speed[None])
    return np.stack([speed, read.engine_rpm[0], read.fuel_lph[0]], axis=1)


def morning(boat: Boat) -> str:
    """Runs there and back at two loads, read off by hand."""
    lines = []
    for load, pace in (
        ("alone", (0.2, 0.42, 0.6, 0.8, 1.0)),
        ("charter", (0.2, 0.4, 0.55, 0.7, 0.85, 1.0)),
    ):
        for share, (speed, rpm, burn) in zip(pace, runs(boat, load, FOUR, pace), strict=True):
            for way, current in (("N", CURRENT_MPS), ("S", -CURRENT_MPS)):
                over_ground = units_from_si(
                    speed + NOISE.normal(0, 0.1) + current, "speed", "nautical"
                )
                gallons = units_from_si(burn * (1 + NOISE.normal(0, 0.025)), "fuel flow", "us")
                lines.append(
                    f"{load},{rpm + NOISE.normal(0, 20):.0f},{over_ground:.1f},{gallons:.1f},{way},"
                    f"{'full' if share == 1 else ''}"
                )
    return MORNING + "\n".join(lines) + "\n"


def recording(boat: Boat) -> str:
    """The same boat once a second: ten seconds to the next throttle, forty held."""
    lines: list[str] = []
    now = np.array([0.0, 700.0, 2.5])
    throttles = runs(boat, "charter", FOUR, (0.2, 0.4, 0.55, 0.7, 0.85, 0.97))
    for course, current in ((20.0, CURRENT_MPS), (200.0, -CURRENT_MPS)):
        for held in throttles:
            goal = held + np.array([current, 0.0, 0.0])
            steps = [now + (goal - now) * (second + 1) / 10 for second in range(10)]
            lines += [
                _second(one, course, len(lines) + at)
                for at, one in enumerate([*steps, *[goal] * 40])
            ]
            now = goal
    return RECORDING + "\n".join(lines) + "\n"


def _second(read: np.ndarray, course: float, second: int) -> str:
    speed, rpm, burn = read
    clock = f"{10 + second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}"
    turned = rpm + NOISE.normal(0, 20)
    over_ground = units_from_si(speed + NOISE.normal(0, 0.12), "speed", "metric")
    burnt = burn * (1 + NOISE.normal(0, 0.04))
    numbers = f"{turned:.0f};{over_ground:.1f};{burnt:.1f}".replace(".", ",")
    return f"{clock};{numbers};{(course + NOISE.normal(0, 3)) % 360:.0f}"


def twins(boat: Boat) -> str:
    """Two engines with columns of their own, one way only."""
    pace = (0.18, 0.35, 0.5, 0.62, 0.75, 0.88, 1.0)
    lines = []
    for share, (speed, rpm, burn) in zip(pace, runs(boat, boat.load, SEVEN, pace), strict=True):
        each = units_from_si(burn, "fuel flow", "us") / 2
        miles = units_from_si(speed + NOISE.normal(0, 0.1), "speed", "us")
        turned = [f"{rpm + NOISE.normal(0, 25):.0f}" for _ in range(2)]
        burnt = [f"{each * (1 + NOISE.normal(0, 0.03)):.1f}" for _ in range(2)]
        lines.append(",".join((*turned, f"{miles:.1f}", *burnt, "full" if share == 1 else "")))
    return TWINS + "\n".join(lines) + "\n"


if __name__ == "__main__":
    np.seterr(all="ignore")
    four, seven = (read_boat(demo_boats()[name]) for name in ("number_four", "number_seven"))
    out = data_folder() / "trials"
    for name, text in (
        ("number_four_morning", morning(four)),
        ("number_four_recording", recording(four)),
        ("number_seven_morning", twins(seven)),
    ):
        (out / f"{name}.csv").write_text(text, encoding="utf-8")
        print(f"{name}.csv written")
