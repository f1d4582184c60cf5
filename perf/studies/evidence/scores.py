"""Whole boats against what was measured on the water: each figure worked out, its band, its error.

The boats stand in hull_data/measured/boats in the ordinary format: what the rows state, and for the
rest our own judgement with a wide doubt, which the draws turn into the band. Where no propeller is
stated the pitch is set so that she turns her rated rpm flat out, as a boat that is sold does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from perf.base.tables import data_folder, read_table
from perf.base.units import to_si
from perf.boat.boatfile import read_boat
from perf.boat.parts import Boat
from perf.solve.afloat import Afloat
from perf.solve.performance import Points, Status, points
from perf.studies.spread import band
from perf.studies.sweeps import Sweep, sweep_boats, sweep_draws

Array = NDArray[np.float64]
Case = tuple[str, str]  # a boat's file and one of its loads

HELD_BACK, CHOOSING = "held back", "choosing"
SMALL_M = 4.5  # boats under this are inflatables and folding boats here
# what is measured: its kind, and the summary or column name that says which end is the worst
WHAT = {
    "top speed": ("speed", "top_speed_mps"),
    "slowest planing speed": ("speed", "slowest_planing_speed_mps"),
    "time to plane": ("time", "time_to_plane_s"),
    "rpm flat out": ("rotation", "top_rpm"),
    "rpm at speed": ("rotation", "engine_rpm"),
    "fuel at speed": ("fuel flow", "fuel_lph"),
    "fuel flat out": ("fuel flow", "fuel_lph"),
    "speed lost to load": ("speed", "speed_mps"),
}
PITCH_LADDER = (0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.25, 1.4)


@dataclass(frozen=True)
class Check:
    """One measured figure in SI: low is NaN for an upper bound; at_mps and at_rpm NaN where there is none."""

    id: str
    boat: str
    loads: tuple[str, ...]
    what: str
    at_mps: float
    at_rpm: float
    low: float
    high: float
    use: str
    note: str

    @property
    def kind(self) -> str:
        """The kind of quantity."""
        return WHAT[self.what][0]

    @property
    def middle(self) -> float:
        """The measured value or the middle of its range; NaN for a bound."""
        return 0.5 * (self.low + self.high)

    @property
    def cases(self) -> tuple[Case, ...]:
        """The boat at its load, or at the two loads that are compared."""
        return tuple((self.boat, load) for load in self.loads)


@dataclass(frozen=True)
class Scored:
    """A check beside what the tool says: SI; inside is None where no band is drawn."""

    check: Check
    ours: float
    p10: float
    p90: float
    inside: bool | None
    length_m: float = float("nan")

    @property
    def error(self) -> float:
        """Ours over the measured value, less one; NaN for a bound."""
        return self.ours / self.check.middle - 1.0


@cache
def split() -> dict[str, str]:
    """Which measured sets are for choosing and which are held back."""
    table = read_table("measured/split.csv")
    return dict(zip(table.texts("id"), table.texts("use"), strict=True))


@cache
def read_checks() -> tuple[Check, ...]:
    """Every figure that a boat is worked out for, in the order of the file."""
    return tuple(_check(row) for row in read_table("measured/checks.csv").rows)


def _check(row: dict[str, str]) -> Check:
    kind = WHAT[row["what"]][0]
    low, high = (_si(row[name], kind) for name in ("low", "high"))
    return Check(
        row["id"],
        row["boat"],
        tuple(row["load"].split()),
        row["what"],
        _si(row["at_kn"], "speed"),
        _si(row["at_rpm"], "rotation"),
        low,
        high,
        row["use"],
        row["note"],
    )


def _si(text: str, kind: str) -> float:
    """A cell as the file's comment says it is written: knots, and metric for the rest."""
    system = "nautical" if kind == "speed" else "metric"
    return to_si(float(text), kind, system) if text else float("nan")


@cache
def assumed_inputs() -> dict[str, tuple[str, ...]]:
    """What is assumed of each measured boat, by readable path."""
    table = read_table("measured/boats.csv")
    return {row["boat"]: tuple(row["assumed"].split()) for row in table.rows}


@dataclass(frozen=True, eq=False)
class Cases:
    """Boats at the loads that the checks ask for, one row each, swept as stated."""

    keys: tuple[Case, ...]
    boats: tuple[Boat, ...]
    stated: Sweep

    @classmethod
    def of(cls, checks: Sequence[Check]) -> Cases:
        """Read the boats, set the pitch where none is stated, sweep each at its load."""
        keys = tuple(dict.fromkeys(case for check in checks for case in check.cases))
        whole = _propped(tuple(dict.fromkeys(name for name, _ in keys)))
        boats = tuple(whole[name].at(load=load) for name, load in keys)
        return cls(keys, boats, sweep_boats(boats))

    def rows(self, check: Check) -> tuple[int, ...]:
        """Rows of a check's boat at its load or loads."""
        return tuple(self.keys.index(case) for case in check.cases)

    def drive_trim(self, row: int, speed_mps: Array) -> Array:
        """Drive trim of a row at speeds, read between those of the stated sweep."""
        known = self.stated.points
        found: Array = np.interp(speed_mps, known.speed_mps[row], known.drive_trim_deg[row])
        return found


def _propped(names: tuple[str, ...]) -> dict[str, Boat]:
    """The boats by name; an assumed pitch is moved until she turns her rated rpm flat out."""
    folder = data_folder() / "measured" / "boats"
    boats = {name: read_boat(folder / f"{name}.toml") for name in names}
    open_ = [name for name in names if "propeller.pitch" in assumed_inputs()[name]]
    tried = [_pitched(boats[name], share) for name in open_ for share in PITCH_LADDER]
    if not tried:
        return boats
    rpm = sweep_boats(tried).top.engine_rpm.reshape(len(open_), -1)
    ladder = np.array(PITCH_LADDER)
    for name, turned in zip(open_, rpm, strict=True):
        known = np.isfinite(turned)
        order = np.argsort(turned[known])
        share = np.interp(boats[name].engine.rated_rpm, turned[known][order], ladder[known][order])
        boats[name] = _pitched(boats[name], float(share))
    return boats


def _pitched(boat: Boat, share: float) -> Boat:
    return boat.at(propeller=replace(boat.propeller, pitch_m=share * boat.propeller.pitch_m))


def scored(checks: Sequence[Check], cases: Cases, draws: int, seed: int) -> list[Scored]:
    """Every check worked out as stated and drawn; the band is ten to ninety per cent of the draws."""
    stated = figures(checks, cases, cases.stated, 1)
    drawn = figures(checks, cases, sweep_draws(cases.boats, cases.stated, draws, seed), draws)
    lengths = [cases.boats[cases.rows(check)[0]].hull.length_overall_m for check in checks]
    return [
        replace(_scored(check, float(one[0]), many), length_m=length)
        for check, one, many, length in zip(checks, stated, drawn, lengths, strict=True)
    ]


def _scored(check: Check, ours: float, many: Array) -> Scored:
    low, high = (float(edge[0]) for edge in band(WHAT[check.what][1], many[:, None]))
    # a band that ends among the draws that fail has no end there
    floor = -np.inf if np.isnan(low) else low
    ceiling = np.inf if np.isnan(high) else high
    least = -np.inf if np.isnan(check.low) else check.low
    return Scored(check, ours, low, high, bool(floor <= check.high and ceiling >= least))


def figures(checks: Sequence[Check], cases: Cases, swept: Sweep, each: int) -> list[Array]:
    """What the tool says for every check: (each,) values, NaN where a figure does not exist.

    swept holds each rows per case, case by case.
    """
    at = _at_speeds(checks, cases, swept, each)
    found = []
    for check in checks:
        rows = [np.arange(row * each, (row + 1) * each) for row in cases.rows(check)]
        found.append(_figure(check, swept, rows, at.get(id(check))))
    return found


def _figure(
    check: Check, swept: Sweep, rows: list[NDArray[np.intp]], at: tuple[Array, Array] | None
) -> Array:
    if check.what == "top speed":
        return swept.top.speed_mps[rows[0]]
    if check.what == "rpm flat out":
        return swept.top.engine_rpm[rows[0]]
    if check.what == "slowest planing speed":
        return swept.hump.slowest_planing_mps[rows[0]]
    if check.what == "time to plane":
        return swept.hump.time_to_plane_s[rows[0]]
    if check.what == "speed lost to load":
        light, heavy = (speed_at_rpm(swept.points, check.at_rpm)[row] for row in rows)
        return light - heavy
    assert at is not None
    rpm, fuel = at
    return rpm if check.what == "rpm at speed" else fuel


def _at_speeds(
    checks: Sequence[Check], cases: Cases, swept: Sweep, each: int
) -> dict[int, tuple[Array, Array]]:
    """Rpm and fuel at the speed of each check that has one, flat out for those that ask for it."""
    asked = [c for c in checks if np.isfinite(c.at_mps) or c.what == "fuel flat out"]
    if not asked:
        return {}
    rows, speeds, trims = [], [], []
    for check in asked:
        case = cases.rows(check)[0]
        row = np.arange(case * each, (case + 1) * each)
        top = swept.top.speed_mps[row]
        speed = np.full(each, check.at_mps) if np.isfinite(check.at_mps) else top
        rows.append(row)
        speeds.append(speed)
        trims.append(cases.drive_trim(case, speed))
    return dict(
        zip(
            map(id, asked),
            zip(*_rpm_and_fuel(swept.afloat, rows, speeds, trims), strict=True),
            strict=True,
        )
    )


def _rpm_and_fuel(
    afloat: Afloat, rows: list[NDArray[np.intp]], speeds: list[Array], trims: list[Array]
) -> tuple[Array, Array]:
    speed = np.concatenate(speeds)
    somewhere = np.nan_to_num(speed, nan=1.0)
    trim = np.nan_to_num(np.concatenate(trims))
    at = points(afloat.take(np.concatenate(rows)), somewhere[:, None], trim[:, None])
    good = np.isfinite(speed) & (at.status[:, 0] != Status.NO_BALANCE)
    shape = (len(rows), -1)
    rpm = np.where(good, at.engine_rpm[:, 0], np.nan).reshape(shape)
    return rpm, np.where(good, at.fuel_lph[:, 0], np.nan).reshape(shape)


def speed_at_rpm(at: Points, engine_rpm: float) -> Array:
    """Highest speed of a rising sweep at which the engine turns engine_rpm [m/s], (n,); NaN where none."""
    under = (at.engine_rpm <= engine_rpm) & (at.status != Status.NO_BALANCE)
    return crossing(at.speed_mps, at.engine_rpm - engine_rpm, under)


def crossing(speed_mps: Array, left: Array, before: NDArray[np.bool_]) -> Array:
    """Where left crosses nought after the last column that is before it, by a straight line; (n,)."""
    columns = before.shape[1]
    last = np.minimum(columns - 1 - np.argmax(before[:, ::-1], axis=1), columns - 2)
    row = np.arange(before.shape[0])
    here, there = left[row, last], left[row, last + 1]
    with np.errstate(all="ignore"):
        share = np.clip(here / (here - there), 0.0, 1.0)
    found = speed_mps[row, last] + share * (speed_mps[row, last + 1] - speed_mps[row, last])
    return np.where(before.any(axis=1), found, np.nan)
