"""Scenes of a repower and their draws: every candidate at every load that the answer asks for.

A scene is one candidate at one load with some engines stopped. Every scene is swept once as stated;
the draws repeat it with the drive trim frozen from there. Inputs of one name share their draws, so
that candidates differ only in what makes them differ.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, fields, replace

import numpy as np
from numpy.typing import NDArray

from perf.boat.choice.parts import Candidate, Duty
from perf.boat.fleet import Fleet
from perf.boat.lanes import Lanes
from perf.boat.parts import Boat
from perf.laws.friction import fouling_allowance
from perf.solve import drive
from perf.solve.afloat import Afloat
from perf.solve.performance import Status, points
from perf.studies.repower.sweep import Lean, Plan, Planned, asked_sweep, lean_sweep
from perf.studies.sweeps import Sweep, idling_in_gear, sweep_boats

Array = NDArray[np.float64]
Progress = Callable[[float, str], bool]  # share done, what; False stops
CHUNK = 1000  # draws worked on between two words of progress

Key = tuple[int, str, int]  # candidate, load, engines stopped


class Stopped(Exception):
    """The user stopped the work; nothing is answered."""


@dataclass(frozen=True, eq=False)
class Scene:
    """One candidate at one load; asked are the speeds whose burn is wanted.

    draws : "all" of the lean sweep, the "asked" speeds alone, or "none" (as stated only).
    """

    key: Key
    boat: Boat
    asked_mps: tuple[float, ...]
    draws: str = "all"


@dataclass(frozen=True, eq=False)
class Scenes:
    """All scenes, swept as stated, and what the lean sweep of the draws needs.

    trolling : speed and burn idling in gear, by scene.
    """

    many: tuple[Scene, ...]
    stated: Sweep
    plans: tuple[Plan, ...]
    as_stated: dict[Key, Lean]
    trolling: dict[Key, tuple[float, float]]
    lanes: list[int] = field(default_factory=list)  # points evaluated, for the count

    def asked(self, key: Key, speed_mps: float) -> int:
        """Which of a scene's asked speeds this is."""
        scene = next(s for s in self.many if s.key == key)
        return scene.asked_mps.index(speed_mps)


def mean_allowance(weeks: float) -> float:
    """Friction that fouling adds on average between two scrubs so many weeks apart."""
    # growth is straight in the weeks, so its mean is that of half the time
    return float(fouling_allowance(np.asarray(0.5 * weeks)))


def season_boat(boat: Boat, duty: Duty) -> Boat:
    """The boat with the bottom of the season, where the duty says how often it is scrubbed."""
    if duty.weeks_between_scrubs is None:
        return boat
    weeks = min(duty.weeks_between_scrubs, duty.weeks or duty.weeks_between_scrubs)
    return fouled(boat, mean_allowance(weeks))


def fouled(boat: Boat, allowance: float) -> Boat:
    """The boat with another friction allowance, its doubt in proportion."""
    old = boat.hull.friction_allowance
    doubts = dict(boat.doubts)
    if old > 0.0 and "hull.bottom" in doubts:
        doubts["hull.bottom"] *= allowance / old
    return replace(
        boat,
        hull=replace(boat.hull, friction_allowance=allowance),
        doubts=tuple(doubts.items()),
    )


def plan_scenes(
    choices: Sequence[Candidate],
    duty: Duty,
    loads: Sequence[str],
    wanted: tuple[str, float | None],
) -> list[Scene]:
    """Every scene that duty, loads and the wanted (load, speed) ask for."""
    scenes: list[Scene] = []
    for at, choice in enumerate(choices):
        boat = season_boat(choice.boat, duty)
        asked: dict[tuple[str, int], dict[float, None]] = {(load, 0): {} for load in loads}
        if wanted[1] is not None:
            asked[wanted[0], 0][wanted[1]] = None
        for run in duty.runs:
            stopped = stopped_in(run.engines, boat.engine.count)
            speeds = asked.setdefault((run.load, stopped), {})
            if run.speed_mps is not None:
                speeds[run.speed_mps] = None
        if boat.engine.count > 1:
            for load in loads:
                asked.setdefault((load, 1), {})
        for (load, stopped), speeds in asked.items():
            draws = "all" if not stopped else "asked" if speeds else "none"
            here = boat.at(load=load, stopped=stopped)
            scenes.append(Scene((at, load, stopped), here, tuple(speeds), draws))
    return scenes


def stopped_in(engines: int | None, count: int) -> int:
    """Engines stopped when so many are asked to turn; at least one turns."""
    return 0 if engines is None else max(0, count - max(1, engines))


def state(scenes: Sequence[Scene]) -> Scenes:
    """Sweep all scenes once as stated, best drive trim each."""
    stated = sweep_boats([scene.boat for scene in scenes])
    plans = tuple(
        Plan.of(stated, row, np.array(scene.asked_mps)) for row, scene in enumerate(scenes)
    )
    asked = [_asked(stated, row, plans[row]) for row in range(len(scenes))]
    tops = _tops(stated)
    speed, burn = idling_in_gear(stated)
    idle = drive.fuel_lph(stated.afloat.lanes, np.zeros(len(scenes)), stated.afloat.lanes.idle_rpm)
    leans = {}
    for row, scene in enumerate(scenes):
        leans[scene.key] = _as_lean(stated, row, tops, asked[row], plans[row], idle)
    trolling = {
        scene.key: (float(speed[row]), float(burn[row])) for row, scene in enumerate(scenes)
    }
    counted = [stated.points.speed_mps.size * 8 + sum(len(s.asked_mps) for s in scenes)]
    return Scenes(tuple(scenes), stated, plans, leans, trolling, counted)


def _asked(stated: Sweep, row: int, plan: Plan) -> Array:
    if not plan.asked_mps.size:
        return np.empty((1, 0))
    rows = np.array([row], dtype=np.intp)
    at = points(
        stated.afloat.take(rows), plan.asked_mps[None, :], plan.trims(plan.asked_mps)[None, :]
    )
    return np.where(at.status == Status.OK, at.fuel_lph, np.nan)


def _tops(stated: Sweep) -> Array:
    """Burn at top speed, (n,)."""
    speed = stated.top.speed_mps
    good = np.flatnonzero(np.isfinite(speed))
    trims = np.array(
        [
            np.interp(speed[r], stated.points.speed_mps[r], stated.points.drive_trim_deg[r])
            for r in good
        ]
    )
    burn = np.full(speed.shape, np.nan)
    if good.size:
        at = points(stated.afloat.take(good), speed[good][:, None], trims[:, None])
        burn[good] = at.fuel_lph[:, 0]
    return burn


def _as_lean(stated: Sweep, row: int, tops: Array, asked: Array, plan: Plan, idle: Array) -> Lean:
    """One row of the stated sweep in the form of a lean one."""
    one = slice(row, row + 1)
    hump = stated.hump
    good = stated.points.status[row] == Status.OK
    fuel = np.where(good, stated.points.fuel_lph[row], np.nan)
    return Lean(
        stated.top.speed_mps[one],
        stated.top.engine_rpm[one],
        tops[one],
        hump.margin[one],
        hump.margin_n[one],
        hump.slowest_planing_mps[one],
        hump.time_to_plane_s[one],
        stated.planes[one],
        stated.best_speed_mps[one],
        stated.best_mileage_m_per_l[one],
        asked,
        np.interp(plan.lean_mps, stated.points.speed_mps[row], fuel)[None, :],
        idle[one],
    )


def draw_scenes(
    scenes: Scenes, draws: int, seed: int, progress: Progress | None = None
) -> dict[Key, Lean]:
    """Every scene drawn, (draws,) rows each; Stopped when the progress says so."""
    work = [(s, p) for s, p in zip(scenes.many, scenes.plans, strict=True) if s.draws != "none"]
    batches = _batches(work, draws)
    parts: dict[Key, list[Lean]] = {scene.key: [] for scene, _ in work}
    for done, batch in enumerate(batches, start=1):
        sizes = [stop - start for _, _, start, stop in batch]
        plans = Planned.of([plan for _, plan, _, _ in batch], sizes)
        lanes = [
            Fleet.draw(scene.boat, stop, seed).lanes.take(np.arange(start, stop))
            for scene, _, start, stop in batch
        ]
        whole = batch[0][0].draws == "all"
        sweep, beside = (lean_sweep, plans.lean_count + 1) if whole else (asked_sweep, 0)
        lean = sweep(Afloat.of(_joined(lanes)), plans)
        at = 0
        for (scene, plan, _, _), size in zip(batch, sizes, strict=True):
            parts[scene.key].append(lean.part(at, at + size))
            scenes.lanes.append(size * (plan.asked_mps.size + beside))
            at += size
        if progress is not None and not progress(done / len(batches), _spoken(batch[-1][0])):
            raise Stopped
    return {key: Lean.joined(some) for key, some in parts.items()}


Piece = tuple[Scene, Plan, int, int]  # draws from start to stop of one scene


def _batches(work: Sequence[tuple[Scene, Plan]], draws: int) -> list[list[Piece]]:
    """Pieces of scenes with equally many speeds, put together up to about CHUNK rows each."""
    batches: list[list[Piece]] = []
    groups: dict[tuple[str, int], list[tuple[Scene, Plan]]] = {}
    for scene, plan in work:
        groups.setdefault((scene.draws, plan.asked_mps.size), []).append((scene, plan))
    for group in groups.values():
        room = 0
        for scene, plan in group:
            for start in range(0, draws, CHUNK):
                stop = min(start + CHUNK, draws)
                if room < stop - start:
                    batches.append([])
                    room = CHUNK
                batches[-1].append((scene, plan, start, stop))
                room -= stop - start
    return batches


def _joined(many: Sequence[Lanes]) -> Lanes:
    return Lanes(
        **{f.name: np.concatenate([getattr(one, f.name) for one in many]) for f in fields(Lanes)}
    )


def _spoken(scene: Scene) -> str:
    stopped = f", {scene.key[2]} stopped" if scene.key[2] else ""
    return f"candidate {scene.key[0] + 1}, {scene.key[1]}{stopped}"
