"""The reach around the start on the trip sheet: to scale, with a ring at a round distance."""

from __future__ import annotations

import math
from dataclasses import dataclass

from perf.base.results import Result
from perf.base.units import show
from perf.faces.printed.scale import FINE_LINE_MM, HEAVY_RULE_MM, LEAST, RULE_MM, SMALL
from perf.faces.printed.sheet import INK, Sheet
from perf.faces.reach_view import ring_of

Place = tuple[float, float, float]  # left, top, width [mm]
Point = tuple[float, float]


@dataclass(frozen=True)
class Ground:
    """Where the start lies on the paper [mm], and how many millimetres a metre is."""

    x: float
    y: float
    mm_per_m: float

    def at(self, east_m: float, north_m: float) -> Point:
        """A place on the ground as one on the paper."""
        return self.x + east_m * self.mm_per_m, self.y - north_m * self.mm_per_m


def draw_reach(sheet: Sheet, result: Result, units: str, place: Place) -> None:
    """Draw the reach by direction, dashed where nine draws in ten reach, with its words."""
    left, top, wide = place
    sheet.set_xy(left, top)
    sheet.ink(SMALL, bold=True)
    sheet.cell(wide, SMALL.line_mm, "How far out, one way", align="C")
    most = float(result.tables["around"]["reach_m"].max())
    if not math.isfinite(most) or most <= 0.0:
        return
    half = wide / 2
    ground = Ground(left + half, top + SMALL.line_mm + LEAST.line_mm + half, half / most)
    ring = ring_of(most, units)
    sheet.set_line_width(FINE_LINE_MM)
    sheet.set_draw_color(INK.second_opinion.line)
    sheet.circle(ground.x, ground.y, ring * ground.mm_per_m)
    sheet.set_draw_color(INK.grid)
    sheet.line(*ground.at(0.0, most), *ground.at(0.0, -most))
    sheet.line(*ground.at(most, 0.0), *ground.at(-most, 0.0))
    for ending, tone, thick, dash in (
        ("_p10", INK.quiet, RULE_MM, 1.0),
        ("", INK.as_she_is.line, HEAVY_RULE_MM, 0.0),
    ):
        sheet.set_draw_color(tone)
        sheet.set_line_width(thick)
        sheet.set_dash_pattern(dash=dash, gap=dash)
        _outline(sheet, result, ending, ground)
    sheet.set_dash_pattern()
    sheet.ink(LEAST, INK.quiet)
    sheet.text(*ground.at(0.0, -ring), show(ring, "distance", units, 0))
    sheet.set_xy(left, top + SMALL.line_mm)
    up = "N" if result.inputs.get("bearing_is_true", True) else "course out"
    sheet.cell(wide, LEAST.line_mm, up, align="C")
    sheet.set_xy(left, ground.y + half + 1.0)
    speed = show(result.summary.get("here_speed_mps"), "speed", units, 0)
    said = f"{speed} in this trip's weather, the reserve kept; dashed: nine in ten reach it"
    sheet.multi_cell(wide, LEAST.line_mm, said, align="L")


def _outline(sheet: Sheet, result: Result, ending: str, ground: Ground) -> None:
    frame = result.tables["around"]
    corners = [
        ground.at(x, y)
        for x, y in zip(frame[f"east_m{ending}"], frame[f"north_m{ending}"], strict=True)
        if math.isfinite(x) and math.isfinite(y)
    ]
    if len(corners) == len(frame):
        sheet.polygon(corners, style="D")
