"""Side views to scale as plain data: strokes, dots and notes in metres; no drawing library here.

x runs forward (the bow to the right), y up from the undisturbed water of that picture. What a hand
can change is marked heavy. Where a shape is not in the boat file it is a sketch and says so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from perf.base.results import Result, Sentence, Value
from perf.boat.parts import Boat
from perf.studies.mount.boats import hung
from perf.studies.mount.drawing_parts import Dot, Drawing, Frame, Note, Stroke, Way
from perf.studies.mount.drawing_shapes import engine, hull_profile, water, weights

__all__ = ["Dot", "Drawing", "Note", "Stroke", "drawing", "drawings", "side_view", "stern_view"]

BOW_OVER_TRANSOM = (
    1.35  # height of the bow over that of the transom where the stem is lower: a sketch
)
POWERHEAD_HIGH_M, POWERHEAD_LONG_M = 0.62, 0.55  # a sketch
AHEAD_M = 0.9  # of the transom, in the picture of her stern
LETTER_M = 0.085  # width of a letter in the picture of the whole boat, roughly
BAR_M = {"us": (0.3048, 1.524), "nautical": (0.3048, 1.524), "metric": (0.25, 1.0)}  # stern, whole
PICTURES = ("stern_running", "stern_rest", "side_running", "side_rest")
BAR_WORDS = {"us": ("1 ft", "5 ft"), "nautical": ("1 ft", "5 ft"), "metric": ("0.25 m", "1 m")}


def drawings(boat: Boat, result: Result) -> tuple[Drawing, ...]:
    """Every picture of a mounting result: her stern close by, at rest and at speed, then the whole boat."""
    return tuple(drawing(boat, result, key) for key in PICTURES)


def drawing(boat: Boat, result: Result, key: str) -> Drawing:
    """One picture of a mounting result by its key: stern or side, running or rest."""
    inputs, side = result.inputs, result.summary["side"]
    chosen = hung(boat, float(inputs["at_setback_m"]), float(inputs["at_plate_height_m"]))
    what, _, state = key.partition("_")
    draw = {"stern": stern_view, "side": side_view}[what]
    return draw(chosen, side, running=state == "running")


def frame_of(side: Mapping[str, Any], running: bool) -> Frame:
    """How she lies at rest or at the speed drawn."""
    state = "running" if running else "rest"
    return Frame(float(side[f"{state}_draught_m"]), float(side[f"{state}_trim_deg"]))


def side_view(chosen: Boat, side: Mapping[str, Any], *, running: bool) -> Drawing:
    """The whole boat: hull, engine, bracket, balance point, people and gear, and the water."""
    frame = frame_of(side, running)
    strokes = [
        *water(frame, side, running, chosen.hull.length_overall_m + 0.5),
        *hull_profile(chosen, frame),
        *engine(chosen, side, frame),
    ]
    notes = [_still(chosen.hull.length_overall_m + 0.55)]
    if running:
        strokes.append(_wet(frame, side))
        notes.append(_wet_note(frame, side))
    dots = tuple(sorted(weights(chosen, side, frame), key=lambda dot: dot.x))
    top = max(place[1] for stroke in strokes for place in stroke.way) + 0.15
    for dot, height in zip(dots, _levels(dots, top), strict=True):
        strokes.append(Stroke("leader", ((dot.x, dot.y), (dot.x, height))))
        notes.append(Note(dot.x + 0.03, height, Sentence((dot.label,))))
    box = _box([stroke.way for stroke in strokes], (0.1, 0.2))
    return Drawing(
        f"side_{'running' if running else 'rest'}", _title(chosen, side, running), _about(running),
        tuple(strokes), dots, tuple(notes), *box, _bars(1),
    )  # fmt: skip


def stern_view(chosen: Boat, side: Mapping[str, Any], *, running: bool) -> Drawing:
    """Her stern close by: plate, shaft, propeller, bracket and the water with its band."""
    frame = frame_of(side, running)
    strokes = [
        *water(frame, side, running, AHEAD_M),
        *(_cut(stroke, AHEAD_M) for stroke in hull_profile(chosen, frame)),
        *engine(chosen, side, frame),
    ]
    box = _box([s.way for s in strokes], (0.05, 0.08))
    notes = _stern_notes(chosen, side, box, running)
    return Drawing(
        f"stern_{'running' if running else 'rest'}", f"Her stern, {_state(side, running)[0]}",
        _about(running), tuple(strokes), (), notes, *box, _bars(0),
    )  # fmt: skip


def _levels(dots: Sequence[Dot], lowest_m: float) -> list[float]:
    """Height of each dot's words, from left to right, lifted where two would collide [m]."""
    free: list[float] = []  # per level, the first free x
    heights = []
    for dot in dots:
        level = next((i for i, x in enumerate(free) if x <= dot.x), len(free))
        free[level : level + 1] = [dot.x + LETTER_M * (len(dot.label) + 2)]
        heights.append(lowest_m + 0.2 * level)
    return heights


def _bars(whole: int) -> dict[str, tuple[float, str]]:
    return {system: (BAR_M[system][whole], BAR_WORDS[system][whole]) for system in BAR_M}


def _state(side: Mapping[str, Any], running: bool) -> tuple[str, ...]:
    return ("at speed",) if running else ("at rest",)


def _title(chosen: Boat, side: Mapping[str, Any], running: bool) -> str:
    return f"{chosen.name}, {'at speed' if running else 'at rest'}"


def _about(running: bool) -> str:
    shape = "The sheer, the powerhead and the shape of the leg are a sketch; the rest is her own numbers."
    if not running:
        return shape
    return f"{shape} The band is the lowest to the highest model of the water behind the transom."


def _box(ways: list[Way], margin: tuple[float, float]) -> tuple[float, float, float, float]:
    x = [place[0] for way in ways for place in way]
    y = [place[1] for way in ways for place in way]
    wide, tall = margin
    return min(x) - wide, max(x) + wide, min(y) - tall, max(y) + tall


def _wet(frame: Frame, side: Mapping[str, Any]) -> Stroke:
    length = float(side["wetted_length_m"])
    return Stroke(
        "wet",
        frame.seen(np.array([0.0, length]), -0.05),
        heavy=False,
        label="wet length, a model result",
    )


def _wet_note(frame: Frame, side: Mapping[str, Any]) -> Note:
    x, y = frame.one(0.5 * float(side["wetted_length_m"]), -0.30)
    words = Sentence(
        ("wet length ", Value(float(side["wetted_length_m"]), "length", 1), ", a model result")
    )
    return Note(x, y, words, "middle")


def _still(x: float) -> Note:
    return Note(x, 0.03, Sentence(("still water",)), "end")


def _stern_notes(
    chosen: Boat, side: Mapping[str, Any], box: tuple[float, float, float, float], running: bool
) -> tuple[Note, ...]:
    """Words down the after edge, where nothing stands, and the setback over its bracket."""
    plate, diameter = float(side["plate_height_m"]), float(side["propeller_diameter_m"])
    rows = [
        Sentence(("plate ", Value(plate, "length", 2), " over the bottom")),
        Sentence(("propeller ", Value(diameter, "length", 2))),
    ]
    if running:
        depth = float(side["plate_depth_m"])
        over = " under the water" if depth > 0.0 else " clear of the water"
        rows.append(Sentence(("plate ", Value(abs(depth), "length", 2), over)))
    if chosen.mounting.setback_m > 0.0:
        rows.insert(0, Sentence(("setback ", Value(chosen.mounting.setback_m, "length", 1))))
    left, _, low, high = box
    notes = [Note(left, high - 0.1 - 0.12 * row, words) for row, words in enumerate(rows)]
    notes.append(Note(left, 0.03, Sentence(("still water",))))
    if running:
        notes.append(Note(left, low + 0.05, Sentence(("band: lowest to highest model",))))
    return tuple(notes)


def _cut(stroke: Stroke, ahead: float) -> Stroke:
    """A stroke cut off at a distance ahead; an outline keeps its transom."""
    way = tuple((min(x, ahead), y) for x, y in stroke.way if x <= ahead + 0.3)
    if stroke.closed:
        way = (*way, way[0])
    return Stroke(stroke.role, way, False, stroke.heavy, stroke.dashed, stroke.label)
