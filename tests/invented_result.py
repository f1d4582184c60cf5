"""A Result made up for tests of the faces: plausible shapes, no boat, no physics, no evidence."""

from __future__ import annotations

import numpy as np
import pandas as pd

from perf.base.assumptions import ASSUMPTIONS
from perf.base.cautions import Caution, code
from perf.base.columns import COLUMNS, SUMMARY
from perf.base.results import Line, Mark, Plot, Result, Sentence, Value

KNOT = 1852.0 / 3600.0


def invented_rows(points: int = 41) -> pd.DataFrame:
    """Made-up rows from 4 to 22 m/s: nothing under 6.5 or over 20.8 m/s, cautions at both ends."""
    speed = np.linspace(4.0, 22.0, points)
    planing = (speed >= 6.5) & (speed <= 20.8)
    rise = (speed - 4.0) / 18.0
    made = {
        "trim_deg": 2.6 + 4.0 * np.exp(-(((speed - 8.0) / 4.0) ** 2)),
        "drive_trim_deg": -4.0 + 12.0 * rise,
        "draught_m": 0.62 - 0.3 * rise,
        "wetted_length_m": 5.4 - 2.9 * rise,
        "resistance_n": 3300.0 + 2600.0 * rise**2 + 700.0 * np.exp(-((speed - 7.0) ** 2)),
        "thrust_n": 3600.0 + 3900.0 * rise**2 + 700.0 * np.exp(-((speed - 7.0) ** 2)),
        "leg_drag_n": 60.0 + 640.0 * rise**2,
        "air_drag_n": 30.0 + 480.0 * rise**2,
        "shaft_power_w": 34_000.0 + 118_000.0 * rise**1.6,
        "throttle": 0.42 + 0.5 * rise,
        "engine_rpm": 2700.0 + 2900.0 * rise,
        "slip": 0.30 - 0.19 * rise,
        "efficiency": 0.52 + 0.14 * rise,
        "fuel_lph": 18.0 + 52.0 * rise**1.5,
    }
    made["mileage_m_per_l"] = speed * 3600.0 / made["fuel_lph"]
    made["range_m"] = made["mileage_m_per_l"] * 272.0
    frame = pd.DataFrame({"speed_mps": speed})
    for name, values in made.items():
        frame[name] = np.where(planing, values, np.nan)
        if name not in ("drive_trim_deg", "slip", "throttle"):
            spread = 0.05 + 0.1 * rise
            frame[f"{name}_p10"] = frame[name] * (1.0 - spread)
            frame[f"{name}_p90"] = frame[name] * (1.0 + spread)
    frame["status"] = np.select(
        [speed < 6.5, speed > 20.8], ["below the planing range", "faster than she goes"], "ok"
    )
    words = np.full(points, "", dtype=object)
    words[planing & (speed < 7.5)] = code(Caution.WAKE_OUTSIDE)
    words[planing & (speed > 19.0)] = f"{code(Caution.CHINES_DRY)} {code(Caution.PORPOISING)}"
    frame["cautions"] = words
    frame["outside"] = (speed < 9.0) | (speed > 19.0)
    return frame


def _plots() -> tuple[Plot, ...]:
    def one(key: str, y: str, title: str, marks: tuple[Mark, ...] = ()) -> Plot:
        band = (f"{y}_p10", f"{y}_p90")
        line = Line("curves", y, "Made-up Boat", "as she is", band, "outside")
        return Plot(key, title, "speed_mps", y, (line,), marks)

    two = Plot(
        "against",
        "Mileage, as she is and changed",
        "speed_mps",
        "mileage_m_per_l",
        (
            Line(
                "curves",
                "mileage_m_per_l",
                "as she is",
                "as she is",
                ("mileage_m_per_l_p10", "mileage_m_per_l_p90"),
                "outside",
            ),
            Line(
                "other",
                "mileage_m_per_l",
                "two inches higher",
                "changed",
                ("mileage_m_per_l_p10", "mileage_m_per_l_p90"),
                "outside",
            ),
            Line("second", "mileage_m_per_l", "another published method", "second opinion"),
        ),
        (Mark(8.2, "slowest planing speed"), Mark(9.0, "hump"), Mark(20.8, "top speed")),
    )
    return (
        one("fuel", "fuel_lph", "Fuel burn", (Mark(11.5, "best cruise"), Mark(20.8, "top speed"))),
        two,
        one("rpm", "engine_rpm", "Engine speed"),
    )


def invented_result(points: int = 41) -> Result:
    """The whole made-up result, with every caution, three plots and one figure that is missing."""
    curves = invented_rows(points)
    other, second = curves.copy(), curves.copy()
    for ending in ("", "_p10", "_p90"):
        other[f"mileage_m_per_l{ending}"] = curves[f"mileage_m_per_l{ending}"] * 1.07
    second["mileage_m_per_l"] = curves["mileage_m_per_l"] * 0.9
    summary: dict[str, object] = {
        "top_speed_mps": 20.8,
        "top_rpm": 5630.0,
        "best_mileage_speed_mps": 11.5,
        "best_mileage_m_per_l": 1410.0,
        "best_range_m": 383_000.0,
        "slowest_planing_speed_mps": None,
        "hump_speed_mps": 7.1,
        "hump_margin": 0.22,
        "hump_margin_n": 1180.0,
        "will_plane": 0.97,
        "mass_kg": 2870.0,
        "forward_m": 2.1,
    }
    for name in list(summary):
        if name in SUMMARY and isinstance(summary[name], float) and name not in ("will_plane",):
            summary[f"{name}_p10"] = float(summary[name]) * 0.93  # type: ignore[arg-type]
            summary[f"{name}_p90"] = float(summary[name]) * 1.08  # type: ignore[arg-type]
    return Result(
        kind="speeds",
        answer=Sentence(
            (
                "Made-up Boat tops out at ",
                Value(20.8, "speed", 0),
                " and goes farthest on a tank at ",
                Value(11.5, "speed", 0),
                ", about ",
                Value(1410.0, "mileage", 1),
                ".",
            )
        ),
        summary=summary,
        tables={
            "rows": curves[
                [c for c in curves if c.removesuffix("_p10").removesuffix("_p90") in COLUMNS]
            ],
            "curves": curves,
            "other": other,
            "second": second,
        },
        plots=_plots(),
        doubt={"draws": 200, "inside": "weights, drag of the published method, propeller pitch"},
        cautions=tuple(code(c) for c in Caution if c.value),
        assumptions=tuple(ASSUMPTIONS.values()),
        sources=("Savitsky 1964", "trade"),
        inputs={"load": "charter", "seed": 1},
        boat="Made-up Boat",
    )
