"""The propeller of each candidate: every diameter, pitch and blade count its engine swings, in one sweep.

Each propeller is a row. The drive trims are frozen from the candidate with a first guess, so that the
propellers are compared at the same running of the hull.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.assumptions import ASSUMPTIONS, FITTINGS
from perf.base.units import to_si
from perf.boat.choice.building import new_propeller, propeller_model
from perf.boat.choice.parts import Candidate
from perf.boat.fleet import Fleet
from perf.boat.parts import Boat, Engine, Propeller
from perf.solve.afloat import Afloat
from perf.studies.repower.sweep import Lean, Plan, Planned, lean_sweep
from perf.studies.sweeps import sweep_boats

Array = NDArray[np.float64]

INCH_M = 0.0254
DIAMETERS = 3  # from the smallest to the largest the engine swings
PITCHES = np.arange(-6, 8)  # inches about the first guess
# blades, blade area over disc, cup: as usually stocked; common practice, no source
FEWEST_BLADES = 3
PATTERNS = ((3, 0.60, "light"), (3, 0.60, "none"), (4, 0.72, "light"))
GUESSED_SLIP = 0.14  # of the first guess alone, as is the speed where none is known
GUESSED_MPH = 25.0
PITCH_RATIO = (0.6, 1.9)  # pitches over diameter worth trying
PURPOSES = ("economy", "hump", "speed")
# a propeller is chosen so that the loaded boat turns the upper half of the maker's band; common practice
UPPER, INSIDE, UNDER, OVER = "upper half", "lower half", "under", "over"


@dataclass(frozen=True)
class Wish:
    """What a propeller is chosen for: one of PURPOSES, the stated load, the heaviest, a wanted speed."""

    purpose: str
    load: str
    heavy: str
    speed_mps: float | None


@dataclass(frozen=True, eq=False)
class Fitted:
    """A candidate with its propeller, and what was tried about it (one table, role by role)."""

    candidate: Candidate
    tried: pd.DataFrame


def fit_propellers(candidates: Sequence[Candidate], wish: Wish) -> list[Fitted]:
    """Find a propeller for every candidate that wants one; the others keep theirs."""
    wanting = [c for c in candidates if c.searched and c.propeller_span_m is not None]
    nothing = pd.DataFrame()
    if not wanting:
        return [Fitted(c, nothing) for c in candidates]
    plain = sweep_boats([c.boat for c in wanting]).top.speed_mps
    guesses = [
        with_propeller(c.boat, _guess(c, float(top))) for c, top in zip(wanting, plain, strict=True)
    ]
    ladders = [_ladder(c, guess.propeller) for c, guess in zip(wanting, guesses, strict=True)]
    boats = [
        [with_propeller(c.boat, screw) for screw in ladder]
        for c, ladder in zip(wanting, ladders, strict=True)
    ]
    main = _swept(guesses, boats, wish.load, wish)
    heavy = main if wish.load == wish.heavy else _swept(guesses, boats, wish.heavy, wish)
    found: dict[str, Fitted] = {}
    start = 0
    for candidate, fitting, screws in zip(wanting, boats, ladders, strict=True):
        stop = start + len(screws)
        table = _table(candidate, screws, main.part(start, stop), heavy.part(start, stop))
        found[candidate.name] = _chosen(candidate, fitting, screws, table, wish)
        start = stop
    return [found.get(c.name, Fitted(c, nothing)) for c in candidates]


def _swept(guesses: Sequence[Boat], boats: Sequence[Sequence[Boat]], load: str, wish: Wish) -> Lean:
    """Every propeller of every candidate at one load, drive trims frozen from the guesses."""
    stated = sweep_boats([boat.at(load=load) for boat in guesses])
    asked = np.array([] if wish.speed_mps is None else [wish.speed_mps])
    plans = [Plan.of(stated, at, asked) for at in range(len(guesses))]
    rows = Planned.of(plans, [len(some) for some in boats])
    loaded = [boat.at(load=load) for some in boats for boat in some]
    return lean_sweep(Afloat.of(Fleet.of(loaded).lanes), rows)


def _guess(candidate: Candidate, top_mps: float) -> Propeller:
    """A middling propeller that would turn rated rpm at the top speed with the one aboard."""
    boat, old = candidate.boat, candidate.boat.propeller
    low, high = candidate.propeller_span_m or (old.diameter_m, old.diameter_m)
    engine = boat.engine
    turns = engine.rated_rpm / (60.0 * engine.gear_ratio)
    speed = top_mps if np.isfinite(top_mps) else to_si(GUESSED_MPH, "speed", "us")
    pitch = speed / ((1.0 - GUESSED_SLIP) * turns)
    middle = 0.5 * (low + high)
    pitch = float(np.clip(pitch, PITCH_RATIO[0] * middle, PITCH_RATIO[1] * middle))
    return propeller_of(middle, round(pitch / INCH_M) * INCH_M, *PATTERNS[0])


def propeller_of(
    diameter_m: float, pitch_m: float, blades: int, area_ratio: float, cup: str
) -> Propeller:
    """One propeller of a stocked pattern, its cup as added pitch."""
    share = 0.0 if cup == "none" else ASSUMPTIONS[f"{cup}_cup_share"].value
    return Propeller(diameter_m, pitch_m, blades, area_ratio, cup, share * pitch_m)


def with_propeller(boat: Boat, propeller: Propeller) -> Boat:
    """The boat with another propeller, not yet aboard: its doubts are its own."""
    doubts = new_propeller(dict(boat.doubts))
    doubts["propeller.pitch"] = FITTINGS["stamped_pitch"].half_width
    if propeller.cup != "none":
        half = ASSUMPTIONS[f"{propeller.cup}_cup_share"].half_width
        doubts["propeller.cup"] = half * propeller.pitch_m
    return replace(
        boat,
        propeller=propeller,
        trial=replace(boat.trial, pitch=1.0),
        doubts=tuple(doubts.items()),
        assumed=tuple(dict.fromkeys([*boat.assumed, "stamped_pitch"])),
        propeller_key=propeller_model(propeller),
    )


def _ladder(candidate: Candidate, guess: Propeller) -> list[Propeller]:
    low, high = candidate.propeller_span_m or (guess.diameter_m, guess.diameter_m)
    quarter = INCH_M / 4.0
    sizes = np.unique(np.round(np.linspace(low, high, DIAMETERS) / quarter) * quarter)
    pitches = guess.pitch_m + INCH_M * PITCHES
    return [
        propeller_of(float(size), float(pitch), *pattern)
        for size in sizes
        for pattern in PATTERNS
        for pitch in pitches
        if PITCH_RATIO[0] * size <= pitch <= PITCH_RATIO[1] * size
    ]


def _chosen(
    candidate: Candidate,
    boats: Sequence[Boat],
    screws: Sequence[Propeller],
    table: pd.DataFrame,
    wish: Wish,
) -> Fitted:
    """The best by the purpose, with what stands beside it."""
    best = _best(table, wish, candidate.boat.engine)
    roles = {best: "chosen"} | _beside(screws, table, best, wish)
    shown = table.iloc[list(roles)].copy()
    shown.insert(1, "role", list(roles.values()))
    return Fitted(replace(candidate, boat=boats[best]), shown.reset_index(drop=True))


def _table(
    candidate: Candidate, screws: Sequence[Propeller], main: Lean, heavy: Lean
) -> pd.DataFrame:
    asked = main.asked_lph[:, 0] if main.asked_lph.shape[1] else np.full(len(screws), np.nan)
    return pd.DataFrame(
        {
            "candidate": candidate.name,
            "propeller": [spoken(screw) for screw in screws],
            "diameter_m": [screw.diameter_m for screw in screws],
            "pitch_m": [screw.pitch_m for screw in screws],
            "blades": [float(screw.blades) for screw in screws],
            "top_speed_mps": main.top_mps,
            "top_rpm": main.top_rpm,
            "heavy_rpm": heavy.top_rpm,
            "in_band": in_band(candidate.boat.engine, main.top_rpm),
            "wanted_fuel_lph": asked,
            "best_mileage_m_per_l": main.best_m_per_l,
            "hump_margin_n": heavy.margin_n,
            "time_to_plane_s": heavy.time_to_plane_s,
        }
    )


def in_band(engine: Engine, top_rpm: Array) -> NDArray[np.str_]:
    """Where full-throttle rpm lies in the maker's band, (n,) words."""
    low, high = engine.full_throttle_low_rpm, engine.full_throttle_high_rpm
    with np.errstate(invalid="ignore"):
        cases = [~np.isfinite(top_rpm), top_rpm < low, top_rpm > high, top_rpm < 0.5 * (low + high)]
    return np.select(cases, ["none", UNDER, OVER, INSIDE], UPPER)


def spoken(screw: Propeller) -> str:
    """A propeller as the trade says it."""
    size = f"{screw.diameter_m / INCH_M:.4g} x {screw.pitch_m / INCH_M:.4g} in"
    cup = "" if screw.cup == "none" else f", {screw.cup} cup"
    return f"{size}, {screw.blades} blades{cup}"


def _score(table: pd.DataFrame, wish: Wish) -> Array:
    """What is wanted much of, (n,); the purpose's own figure."""
    if wish.purpose == "hump":
        return table["hump_margin_n"].to_numpy(dtype=float)
    if wish.purpose == "speed":
        return table["top_speed_mps"].to_numpy(dtype=float)
    burn = table["wanted_fuel_lph"].to_numpy(dtype=float)
    if np.all(np.isnan(burn)):
        return table["best_mileage_m_per_l"].to_numpy(dtype=float)
    return -burn


def _best(table: pd.DataFrame, wish: Wish, engine: Engine) -> int:
    """Best by the purpose in the upper half of the maker's band, else in the band, else nearest to it."""
    score = np.nan_to_num(_score(table, wish), nan=-np.inf)
    for words in ((UPPER,), (UPPER, INSIDE)):
        inside = table["in_band"].isin(words).to_numpy() & np.isfinite(score)
        if inside.any():
            return int(np.argmax(np.where(inside, score, -np.inf)))
    rpm = table["top_rpm"].to_numpy(dtype=float)
    away = np.abs(rpm - engine.rated_rpm)
    return int(np.argmin(np.where(np.isfinite(rpm), away, np.inf)))


def _beside(
    screws: Sequence[Propeller], table: pd.DataFrame, best: int, wish: Wish
) -> dict[int, str]:
    """Rows to show beside the chosen one: an inch of pitch either side, the other blades, cup or none."""
    it = screws[best]
    place = {_key(screw): at for at, screw in enumerate(screws)}
    found: dict[int, str] = {}
    for inches, role in ((-1, "an inch less pitch"), (1, "an inch more pitch")):
        near = place.get(_key(replace(it, pitch_m=it.pitch_m + inches * INCH_M)))
        if near is not None:
            found[near] = role
    score = np.nan_to_num(_score(table, wish), nan=-np.inf)
    inside = (table["in_band"] == UPPER).to_numpy()
    other = np.array([screw.blades != it.blades for screw in screws])
    cups = np.array([_key(replace(s, cup=it.cup)) == _key(it) and s.cup != it.cup for s in screws])
    blades = "best with four blades" if it.blades == FEWEST_BLADES else "best with three blades"
    for role, pick in ((blades, other), ("same, other cup", cups)):
        chosen = pick & inside if (pick & inside).any() else pick
        if chosen.any():
            found.setdefault(int(np.argmax(np.where(chosen, score, -np.inf))), role)
    return found


def _key(screw: Propeller) -> tuple[object, ...]:
    return (
        round(screw.diameter_m / INCH_M, 2),
        round(screw.pitch_m / INCH_M, 2),
        screw.blades,
        screw.cup,
    )
