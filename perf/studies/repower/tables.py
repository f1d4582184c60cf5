"""Tables of a repower: candidates, loads, pairs, seasons, money by year, curves."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.quantities import HOUR_S, mileage
from perf.base.units import show, to_si
from perf.boat.choice.parts import Candidate, Duty
from perf.boat.parts import Boat
from perf.solve.performance import STATUS_WORDS, Status, points
from perf.studies.repower.draws import Key, Scenes
from perf.studies.repower.gather import PURPOSES, Frame, Gathered, better_shares
from perf.studies.repower.money import PARTS
from perf.studies.repower.propeller import spoken as propeller_spoken
from perf.studies.repower.rules import over_plate
from perf.studies.repower.sweep import Lean
from perf.studies.spread import band, between

Array = NDArray[np.float64]

BANDED = (
    "hump_margin_n",
    "time_to_plane_s",
    "slowest_planing_speed_mps",
    "top_speed_mps",
    "top_rpm",
    "wanted_fuel_lph",
    "wanted_mileage_m_per_l",
    "best_mileage_m_per_l",
    "season_fuel_m3",
    "fuel_saved_m3",
    "first_cost",
    "payback_years",
    "net_present_value",
    "cost_per_trip",
)
PLAIN = (
    "hump_margin",
    "heavy_rpm",
    "best_mileage_speed_mps",
    "season_co2_kg",
    "season_hours_s",
    "life_years",
    "yearly_cost",
    "cost_per_hour",
    "break_even_fuel",
    "break_even_hours_s",
)
PAIRS = {
    "economy": "burns_less",
    "hump": "spares_more",
    "speed": "runs_faster",
    "money": "costs_less",
}
SLOWEST_SHOWN = 2.0  # miles per hour


def engine_spoken(boat: Boat) -> str:
    """The engines of a boat in words."""
    engine = boat.engine
    power = show(engine.rated_power_w, "power", "us", 0)
    return f"{engine.count} x {power} {engine.technology}"


def _with_bands(columns: dict[str, object], name: str, stated: Array, drawn: Array | None) -> None:
    columns[name] = stated
    if drawn is not None:
        low, high = band(name, drawn.T)
        columns[f"{name}_p10"], columns[f"{name}_p90"] = low, high


def candidates_table(
    choices: Sequence[Candidate],
    places: Array,
    stated: Gathered,
    drawn: Gathered | None,
    scenes: Scenes,
    frame: Frame,
) -> pd.DataFrame:
    """One row a candidate with every figure and its ten to ninety per cent band."""
    over = {None: "no plate known", True: "over the plate", False: "within"}
    columns: dict[str, object] = {
        "candidate": [c.name for c in choices],
        "engine": [engine_spoken(c.boat) for c in choices],
        "propeller": [propeller_spoken(c.boat.propeller) for c in choices],
        "rank": places,
        "plate": [over[over_plate(c.boat)] for c in choices],
        "power_w": [c.boat.engine.count * c.boat.engine.rated_power_w for c in choices],
        "mass_kg": _masses(scenes, frame, len(choices)),
    }
    known = (stated if drawn is None else drawn).figures
    columns["will_plane"] = known["will_plane"].mean(axis=1)
    for name in BANDED:
        some = None if drawn is None else drawn.figures[name]
        _with_bands(columns, name, stated.figures[name][:, 0], some)
    for name in PLAIN:
        columns[name] = stated.figures[name][:, 0]
    speed, burn = np.array([scenes.trolling[at, frame.main, 0] for at in range(len(choices))]).T
    columns["trolling_speed_mps"], columns["trolling_fuel_lph"] = speed, burn
    columns |= _one_stopped(scenes, frame.main, len(choices))
    return pd.DataFrame(columns)


def _masses(scenes: Scenes, frame: Frame, count: int) -> list[float]:
    rows = {scene.key: row for row, scene in enumerate(scenes.many)}
    mass = scenes.stated.afloat.lanes.mass_kg
    return [float(mass[rows[at, frame.heavy, 0]]) for at in range(count)]


def _one_stopped(scenes: Scenes, load: str, count: int) -> dict[str, object]:
    speeds, words = [], []
    for at in range(count):
        lean = scenes.as_stated.get((at, load, 1))
        speeds.append(np.nan if lean is None else float(lean.top_mps[0]))
        words.append("one engine" if lean is None else "yes" if lean.planes[0] else "no")
    return {"one_engine_speed_mps": speeds, "one_engine_planes": words}


def loads_table(
    choices: Sequence[Candidate],
    scenes: Scenes,
    drawn: dict[Key, Lean] | None,
    frame: Frame,
) -> pd.DataFrame:
    """One row a candidate and load."""
    rows = []
    for at, choice in enumerate(choices):
        for load in frame.loads:
            key = (at, load, 0)
            lean = scenes.as_stated[key]
            some = None if drawn is None else drawn[key]
            row: dict[str, object] = {"candidate": choice.name, "load": load}
            row["will_plane"] = float((lean if some is None else some).planes.mean())
            for name, read in _LOADED.items():
                other = None if some is None else getattr(some, read)[:, None]
                _one_band(row, name, float(getattr(lean, read)[0]), other)
            one = scenes.as_stated.get((at, load, 1))
            row["one_engine_speed_mps"] = np.nan if one is None else float(one.top_mps[0])
            row["one_engine_planes"] = (
                "one engine" if one is None else "yes" if one.planes[0] else "no"
            )
            row["trolling_speed_mps"], row["trolling_fuel_lph"] = scenes.trolling[key]
            rows.append(row)
    return pd.DataFrame(rows)


_LOADED = {
    "hump_margin_n": "margin_n",
    "time_to_plane_s": "time_to_plane_s",
    "slowest_planing_speed_mps": "slowest_mps",
    "top_speed_mps": "top_mps",
    "top_rpm": "top_rpm",
    "best_mileage_speed_mps": "best_mps",
    "best_mileage_m_per_l": "best_m_per_l",
}


def _one_band(row: dict[str, object], name: str, value: float, drawn: Array | None) -> None:
    row[name] = value
    if drawn is not None:
        low, high = band(name, drawn)
        row[f"{name}_p10"], row[f"{name}_p90"] = float(low[0]), float(high[0])


def pairwise_table(choices: Sequence[Candidate], drawn: Gathered | None) -> pd.DataFrame:
    """Shares of the shared draws in which one candidate beats another, by every purpose."""
    names = [c.name for c in choices]
    columns = ["candidate", "against", *PAIRS.values()]
    if drawn is None:
        return pd.DataFrame(columns=columns)
    shares = {purpose: better_shares(drawn.figures, purpose) for purpose in PURPOSES}
    money = [bool(np.isfinite(row).any()) for row in drawn.figures["net_present_value"]]
    rows = []
    for one, name in enumerate(names):
        for other, against in enumerate(names):
            if one == other:
                continue
            row: dict[str, object] = {"candidate": name, "against": against}
            for purpose, column in PAIRS.items():
                known = purpose != "money" or (money[one] and money[other])
                row[column] = float(shares[purpose][one, other]) if known else np.nan
            rows.append(row)
    return pd.DataFrame(rows, columns=columns)


def season_table(choices: Sequence[Candidate], duty: Duty, stated: Gathered) -> pd.DataFrame:
    """One row a candidate and run: how often, how long, how much fuel."""
    rows = []
    for choice, of in zip(choices, stated.seasons, strict=True):
        for at, run in enumerate(duty.runs):
            rows.append(
                {
                    "candidate": choice.name,
                    "run": run.name,
                    "load": run.load,
                    "run_trips": float(of.by_run_trips[0, at]),
                    "run_hours_s": float(of.by_run_hours[0, at] * HOUR_S),
                    "run_fuel_m3": float(of.by_run_litres[0, at] / 1000.0),
                    "season_fuel_m3": float(
                        of.by_run_trips[0, at] * of.by_run_litres[0, at] / 1000.0
                    ),
                }
            )
    return pd.DataFrame(rows)


def money_table(
    choices: Sequence[Candidate], stated: Gathered, drawn: Gathered | None
) -> pd.DataFrame:
    """One row a candidate and year; candidates without a cash flow are left out."""
    hers = stated.flows[0].total
    frames = []
    for at, choice in enumerate(choices):
        flow = stated.flows[at]
        total = flow.total
        if total is None or hers is None:
            continue
        columns: dict[str, object] = {"candidate": choice.name, "year": np.arange(total.shape[1])}
        columns |= {name: flow.parts[name][0] for name in PARTS}
        columns["year_total"] = total[0]
        columns["year_gain"] = total[0] - hers[0]
        columns["sum_gain"] = np.cumsum(total[0] - hers[0])
        many = None if drawn is None else drawn.flows[at].total
        her_many = None if drawn is None else drawn.flows[0].total
        if many is not None and her_many is not None:
            low, high = band("net_present_value", np.cumsum(many - her_many, axis=1))
            columns["sum_gain_p10"], columns["sum_gain_p90"] = low, high
        frames.append(pd.DataFrame(columns))
    return pd.concat(frames, ignore_index=True) if frames else pd.DataFrame()


def curves_table(
    choices: Sequence[Candidate], scenes: Scenes, drawn: dict[Key, Lean] | None, frame: Frame
) -> pd.DataFrame:
    """Rows over speeds of every candidate at the main load, burn and mileage with their bands."""
    rows = {scene.key: row for row, scene in enumerate(scenes.many)}
    keys = [(at, frame.main, 0) for at in range(len(choices))]
    pick = np.array([rows[key] for key in keys], dtype=np.intp)
    tops = scenes.stated.top.speed_mps[pick]
    mile = to_si(1.0, "speed", "us")
    fastest = np.nanmax(tops) if np.isfinite(tops).any() else to_si(40.0, "speed", "us")
    grid = mile * np.arange(SLOWEST_SHOWN, np.ceil(fastest / mile) + 1.0)
    trims = np.stack([scenes.plans[row].trims(grid) for row in pick])
    at = points(scenes.stated.afloat.take(pick), grid[None, :], trims)
    frames = []
    for place, choice in enumerate(choices):
        good = at.status[place] == Status.OK
        balanced = at.status[place] != Status.NO_BALANCE
        fuel = np.where(good, at.fuel_lph[place], np.nan)
        columns: dict[str, object] = {
            "candidate": choice.name,
            "speed_mps": grid,
            "fuel_lph": fuel,
            "mileage_m_per_l": mileage(grid, fuel),
            "engine_rpm": np.where(good, at.engine_rpm[place], np.nan),
            "trim_deg": np.where(balanced, at.trim_deg[place], np.nan),
            "thrust_n": np.where(balanced, at.thrust_n[place], np.nan),
        }
        if drawn is not None:
            plan = scenes.plans[pick[place]]
            columns |= _curve_bands(plan.lean_mps, drawn[keys[place]], grid, fuel)
        columns["status"] = [STATUS_WORDS[Status(s)] for s in at.status[place]]
        frames.append(pd.DataFrame(columns))
    return pd.concat(frames, ignore_index=True)


def _curve_bands(lean_mps: Array, drawn: Lean, grid: Array, fuel: Array) -> dict[str, object]:
    """Bands at the swept speeds, read between them; only where the curve itself has a number."""
    shown = np.isfinite(fuel)
    found: dict[str, object] = {}
    with np.errstate(all="ignore"):
        far = mileage(lean_mps, drawn.curve_lph)
    for name, values in (("fuel_lph", drawn.curve_lph), ("mileage_m_per_l", far)):
        for ending, edge in zip(("_p10", "_p90"), band(name, values), strict=True):
            found[name + ending] = np.where(shown, between(grid, lean_mps, edge), np.nan)
    return found
