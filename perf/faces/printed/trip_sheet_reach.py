"""The reach around the start on the trip sheet: to scale, with a ring at a round distance."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from perf.base.results import Result
from perf.base.units import show
from perf.faces import look
from perf.faces.reach_view import ring_of

if TYPE_CHECKING:
    from fpdf import FPDF

INK = look.LIGHT
ROOM = 1.08  # round the drawing
DOWN = 34.0  # millimetres from the top of its place to the start
Place = tuple[float, float, float]  # left, top, width [mm]


def draw_reach(pdf: FPDF, result: Result, units: str, place: Place) -> None:
    """Draw the reach by direction, dashed where nine draws in ten reach, with its words."""
    left, top, wide = place
    frame = result.tables["around"]
    pdf.set_xy(left, top + 1.2)
    _ink(pdf, INK.ink, 8, "B")
    pdf.cell(wide, 4, "Out and back around the start")
    most = float(frame["reach_m"].max())
    if not math.isfinite(most) or most <= 0.0:
        return
    middle = left + wide / 2, top + DOWN
    scale = wide / 2 / (most * ROOM)
    ring, radius = ring_of(most, units), most * scale
    pdf.set_draw_color(INK.second_opinion.line)
    pdf.set_line_width(0.15)
    pdf.circle(*middle, ring * scale)
    pdf.set_draw_color(INK.grid)
    pdf.line(middle[0], middle[1] - radius, middle[0], middle[1] + radius)
    pdf.line(middle[0] - radius, middle[1], middle[0] + radius, middle[1])
    for ending, tone, thick, dash in (
        ("_p10", INK.quiet, 0.25, 1.0),
        ("", INK.as_she_is.line, 0.7, 0.0),
    ):
        pdf.set_draw_color(tone)
        pdf.set_line_width(thick)
        pdf.set_dash_pattern(dash=dash, gap=dash)
        _outline(pdf, result, ending, middle, scale)
    pdf.set_dash_pattern()
    _words(pdf, result, units, place, (ring, scale))


def _outline(
    pdf: FPDF, result: Result, ending: str, middle: tuple[float, float], scale: float
) -> None:
    frame = result.tables["around"]
    corners = [
        (middle[0] + x * scale, middle[1] - y * scale)
        for x, y in zip(frame[f"east_m{ending}"], frame[f"north_m{ending}"], strict=True)
        if math.isfinite(x) and math.isfinite(y)
    ]
    if len(corners) == len(frame):
        pdf.polygon(corners, style="D")


def _words(pdf: FPDF, result: Result, units: str, place: Place, ring: tuple[float, float]) -> None:
    left, top, wide = place
    x, y = left + wide / 2, top + DOWN
    _ink(pdf, INK.quiet, 6.5)
    pdf.text(x + 0.8, y + ring[0] * ring[1] - 0.8, show(ring[0], "distance", units, 0))
    up = "N" if result.inputs.get("bearing_is_true", True) else "course out"
    pdf.text(x - 0.9, y - wide / 2 / ROOM - 0.8, up)
    pdf.set_xy(left, y + wide / 2)
    speed = show(result.summary.get("here_speed_mps"), "speed", units, 0)
    said = f"{speed} in this trip's weather, the reserve kept; dashed: nine in ten reach it"
    pdf.multi_cell(wide, 2.8, said, align="L")


def _ink(pdf: FPDF, tone: str, size: float, style: str = "") -> None:
    pdf.set_font("sheet", style, size)
    pdf.set_text_color(tone)
