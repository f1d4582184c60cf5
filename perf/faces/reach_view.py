"""The reach around the start as a small drawing for the screen: to scale, with a ring at a round distance."""

from __future__ import annotations

import math
from html import escape

from perf.base.results import Result
from perf.base.units import show, to_si, units_from_si
from perf.faces import look

HALF, ROOM = 150.0, 1.12  # half the drawing's width in its own units, and room round it


def ring_of(most_m: float, units: str) -> float:
    """A round distance of one, two or five of the reader's miles inside the drawing [m]."""
    shown = max(units_from_si(0.9 * most_m, "distance", units), 1e-6)
    size = 10.0 ** math.floor(math.log10(shown))
    return to_si(
        max(n for n in (1.0, 2.0, 5.0) if n * size <= shown or n == 1.0) * size, "distance", units
    )


def reach_svg(result: Result, units: str, dark: bool) -> str:
    """The drawing as SVG text; empty where no direction has an answer."""
    frame = result.tables["around"]
    most = float(frame["reach_m"].max())
    if not math.isfinite(most) or most <= 0.0:
        return ""
    ink = look.DARK if dark else look.LIGHT
    scale = HALF / (most * ROOM)
    ring = ring_of(most, units)
    up = "N" if result.inputs["bearing_is_true"] else "course out"
    sure = _outline(frame["east_m_p10"], frame["north_m_p10"], scale)
    whole = _outline(frame["east_m"], frame["north_m"], scale)
    parts = [
        f'<circle r="{ring * scale:.1f}" fill="none" stroke="{ink.quiet}" stroke-width="0.6"/>',
        f'<path d="M0 {-HALF}V{HALF}M{-HALF} 0H{HALF}" stroke="{ink.grid}" stroke-width="0.8"/>',
        f'<path d="{whole}" fill="{ink.as_she_is.line}" fill-opacity="0.12" stroke="{ink.as_she_is.line}" stroke-width="2.4"/>',
        f'<path d="{sure}" fill="none" stroke="{ink.ink}" stroke-width="1.1" stroke-dasharray="4 3"/>'
        if sure
        else "",
        f'<circle r="2.6" fill="{ink.ink}"/>',
        _words(up, 5.0, 14.0 - HALF, ink.ink),
        _words(show(ring, "distance", units, 0), 4.0, ring * scale - 4.0, ink.quiet),
    ]
    title = escape(described(result, units))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{-HALF} {-HALF} {2 * HALF} {2 * HALF}"'
        f' width="420" height="420" role="img"><title>{title}</title>{"".join(parts)}</svg>'
    )


def described(result: Result, units: str) -> str:
    """The drawing in one sentence."""
    frame = result.tables["around"]
    low, high = (
        show(float(edge), "distance", units, 0)
        for edge in (frame["reach_m"].min(), frame["reach_m"].max())
    )
    speed = show(result.summary.get("here_speed_mps"), "speed", units, 0)
    return (
        f"How far out, one way, around the start at {speed}, with fuel for the way back, in the weather of the"
        f" longest run, the reserve kept: {low} to {high} by direction. Dashed: nine times in ten she reaches it."
    )


def _outline(east: object, north: object, scale: float) -> str:
    places = [(x * scale, -y * scale) for x, y in zip(east, north, strict=True)]  # type: ignore[call-overload]
    if not all(math.isfinite(x) and math.isfinite(y) for x, y in places):
        return ""
    return f"M{' L'.join(f'{x:.1f} {y:.1f}' for x, y in places)}Z"


def _words(text: str, x: float, y: float, tone: str) -> str:
    return f'<text x="{x}" y="{y:.1f}" font-size="11" font-family="sans-serif" fill="{tone}">{escape(text)}</text>'
