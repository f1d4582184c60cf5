"""The shapes of a side view: hull, engine, bracket, people and gear, water."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from perf.boat.fleet import Fleet
from perf.boat.parts import Boat
from perf.laws.hull_lines import hull_lines, hull_marks
from perf.solve.flotation import hull_form
from perf.studies.mount.drawing_parts import Dot, Frame, Stroke

BOW_OVER_TRANSOM = (
    1.35  # height of the bow over that of the transom where the stem is lower: a sketch
)
POWERHEAD_HIGH_M, POWERHEAD_LONG_M = 0.62, 0.55  # a sketch


def hull_profile(chosen: Boat, frame: Frame) -> Iterator[Stroke]:
    """Profile and chine from the lines of the hull, transom with its rake, a sheer that is a sketch."""
    hull = chosen.hull
    form = hull_form(Fleet.of(chosen).lanes)
    marks = hull_marks(form)
    forward = np.linspace(0.0, hull.length_overall_m, 60)
    lines = hull_lines(form, forward[:, None], marks)
    keel = lines.keel_above_m[:, 0]
    chine = keel + (lines.chine_half_beam_m * lines.slope)[:, 0]
    height = hull.transom_height_m
    aft = -height * np.tan(np.radians(hull.transom_rake_deg))
    bow = max(float(keel[-1]), BOW_OVER_TRANSOM * height)
    sheer = np.linspace(height, bow, 20)
    along = np.linspace(aft, hull.length_overall_m, 20)
    outline_x = np.concatenate([forward, along[::-1]])
    outline_z = np.concatenate([keel, sheer[::-1]])
    yield Stroke("hull", frame.seen(outline_x, outline_z), closed=True, label="hull")
    under = np.minimum(chine, np.interp(forward, along, sheer))
    yield Stroke("hull", frame.seen(forward, under), label="chine")


def engine(chosen: Boat, side: Mapping[str, Any], frame: Frame) -> Iterator[Stroke]:
    """Bracket, engine, leg, plate and propeller; the leg is drawn square to the keel."""
    yield from _bracket(chosen, frame)
    aft, plate = -float(side["setback_m"]), float(side["plate_height_m"])
    seat = chosen.hull.transom_height_m + plate
    x, z = -float(side["propeller_aft_m"]), -float(side["propeller_below_m"])
    chord, half = float(side["strut_chord_m"]), 0.5 * float(side["gear_case_diameter_m"])
    nose = x + 0.75 * float(side["gear_case_length_m"])  # of the gear case, ahead of the propeller
    middle = x + 0.42 * float(side["gear_case_length_m"])
    fore, back = middle + 0.5 * chord, middle - 0.5 * chord
    skeg = z - half - float(side["skeg_height_m"])
    radius = 0.5 * float(side["propeller_diameter_m"])
    top, rest = seat + POWERHEAD_HIGH_M, aft - POWERHEAD_LONG_M
    outlines = {
        "clamp": ((aft, back, back, aft), (seat, seat, seat - 0.28, seat - 0.28)),
        "powerhead": (
            (aft, rest, rest - 0.04, rest, aft - 0.05, aft + 0.02),
            (seat + 0.1, seat + 0.1, seat + 0.4, top, top, seat + 0.4),
        ),
        "mid-section": (
            (fore, back, back - 0.02, fore + 0.02),
            (plate, plate, seat + 0.1, seat + 0.1),
        ),
        "leg": ((fore, back, back, fore), (plate, plate, z + half, z + half)),
        "gear case": (
            (nose, nose - 0.12, x - 0.04, x - 0.04, nose - 0.12),
            (z, z + half, z + 0.6 * half, z - 0.6 * half, z - half),
        ),
        "skeg": ((fore, back + 0.02, back + 0.08), (z - half, z - half, skeg)),
    }
    for label, (across, up) in outlines.items():
        yield Stroke("leg", frame.seen(np.array(across), np.array(up)), closed=True, label=label)
    run = frame.seen(np.array([x - 0.1, fore + 0.03]), plate)
    yield Stroke("plate", run, heavy=True, label="plate")
    disc = frame.seen(
        x + 0.02 * np.array([0.0, 1.0, 0.0, -1.0]), z + radius * np.array([1.0, 0.0, -1.0, 0.0])
    )
    yield Stroke("propeller", disc, closed=True, heavy=True, label="propeller")
    yield Stroke("shaft", frame.seen(np.array([x - 0.12, nose]), z), dashed=True, label="shaft")


def _bracket(chosen: Boat, frame: Frame) -> Iterator[Stroke]:
    setback = chosen.mounting.setback_m
    if setback <= 0.0:
        return
    height = chosen.hull.transom_height_m
    rake = np.tan(np.radians(chosen.hull.transom_rake_deg))
    given = chosen.bracket
    bottom = given.bottom_above_m if given is not None else 0.5 * height
    top = height + chosen.mounting.plate_height_m
    after = given.length_m if given is not None else setback
    x = np.array([-bottom * rake, -after, -max(after, setback), -height * rake])
    z = np.array([bottom, bottom, top, min(top, height)])
    yield Stroke("bracket", frame.seen(x, z), closed=True, heavy=True, label="bracket")


def weights(chosen: Boat, side: Mapping[str, Any], frame: Frame) -> Iterator[Dot]:
    """The balance point, and every named weight aboard."""
    forward, above = float(side["balance_forward_m"]), float(side["balance_above_m"])
    yield Dot("balance", *frame.one(forward, above), "balance point")
    aboard = set(chosen.loaded.aboard)
    for item in chosen.weights:
        if item.name in aboard:
            many = f" × {item.count}" if item.count > 1 else ""
            yield Dot("weight", *frame.one(item.forward_m, item.above_m), f"{item.name}{many}")


def water(frame: Frame, side: Mapping[str, Any], running: bool, ahead: float) -> Iterator[Stroke]:
    """Still water ahead, and behind the transom the water with its band when she runs."""
    aft = -np.asarray(side["water_aft_m"], dtype=float)
    low, high, used = (
        np.asarray(side[name], dtype=float) for name in ("water_low_m", "water_high_m", "water_m")
    )
    far = frame.one(float(aft[-1]), 0.0)[0]
    yield Stroke("water", ((far, 0.0), (ahead, 0.0)), dashed=running, label="still water")
    if not running:
        return
    band = (*frame.seen(aft, low), *reversed(frame.seen(aft, high)))
    yield Stroke(
        "band", band, closed=True, label="water behind the transom, lowest to highest model"
    )
    yield Stroke("water", frame.seen(aft, used), label="water behind the transom")
