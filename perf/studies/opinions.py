"""Second opinions: what each published method says of this boat, in the trade's words."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.cautions import Caution
from perf.laws import porpoising, thumb
from perf.solve import drive
from perf.solve.performance import Points, points
from perf.studies.sweeps import Sweep

Array = NDArray[np.float64]

PROPELLER_SERIES = (
    # name, words, lowest and highest pitch over diameter, most blades
    ("gawn", "segmental blades, 1981 polynomials", 0.6, 2.0, 3),
    ("kca", "segmental blades, 1988 polynomials", 0.8, 1.8, 3),
    ("wageningen_b", "ship propeller series of 1975, at full size", 0.5, 1.4, 7),
)
INSIDE, OUTSIDE = "yes", "stretched"
DRAG_METHODS = (
    # array of Points, words, lowest and highest volume Froude number, caution outside
    (
        "planing_resistance_n",
        "planing plates of 1964, hump or spray added",
        2.0,
        13.0,
        Caution.WETTED_LENGTH_OUTSIDE,
    ),
    ("series_resistance_n", "towed family of hard-chine models", 1.0, 3.5, Caution.SERIES_OUTSIDE),
    (
        "preplaning_resistance_n",
        "regression of 118 hulls before planing, 1973",
        1.0,
        2.0,
        Caution.NONE,
    ),
    ("displacement_resistance_n", "towed transom-stern hulls, 1986", 0.0, 1.0, Caution.NONE),
)


def opinions(stated: Sweep) -> pd.DataFrame:
    """Drag by each method at the hump, at best cruise and flat out; top speed and porpoising by rule; one boat."""
    places = {
        "over the hump": stated.hump.speed_mps[0],
        "best cruise": stated.best_speed_mps[0],
        "flat out": stated.top.speed_mps[0],
    }
    named = {word: speed for word, speed in places.items() if np.isfinite(speed)}
    rows: list[dict[str, object]] = []
    if named:
        speed = np.array(list(named.values()))
        trims = np.interp(speed, stated.points.speed_mps[0], stated.points.drive_trim_deg[0])
        at = points(stated.afloat, speed[None, :], trims[None, :])
        for column, word in enumerate(named):
            rows += _drags(at, column, word)
        rows += _propellers(stated, at, list(named))
        rows += _porpoising(stated, at, list(named))
    rows += _top(stated)
    return pd.DataFrame(
        rows,
        columns=["about", "method", "speed_mps", "resistance_n", "trim_deg", "engine_rpm", "reach"],
    )


def _drags(at: Points, column: int, word: str) -> list[dict[str, object]]:
    speed, froude = at.speed_mps[0, column], at.volume_froude[0, column]
    about = f"drag of the hull, {word}"
    rows = [_row(about, "this answer", speed, at.resistance_n[0, column], at.trim_deg[0, column])]
    for name, method, low, high, caution in DRAG_METHODS:
        drag = getattr(at, name)[0, column]
        if np.isfinite(drag) and froude <= 1.3 * high:
            inside = low <= froude <= high and not at.cautions[0, column] & caution
            trim = {
                "planing_resistance_n": at.planing_trim_deg,
                "series_resistance_n": at.series_trim_deg,
            }.get(name)
            rows.append(
                _row(
                    about,
                    method,
                    speed,
                    drag,
                    np.nan if trim is None else trim[0, column],
                    reach=INSIDE if inside else OUTSIDE,
                )
            )
    return rows


def _row(
    about: str,
    method: str,
    speed: float,
    drag: float = np.nan,
    trim: float = np.nan,
    rpm: float = np.nan,
    reach: str = INSIDE,
) -> dict[str, object]:
    return {
        "about": about,
        "method": method,
        "speed_mps": speed,
        "resistance_n": drag,
        "trim_deg": trim,
        "engine_rpm": rpm,
        "reach": reach,
    }


def _propellers(stated: Sweep, at: Points, words: list[str]) -> list[dict[str, object]]:
    """Rpm that each published propeller series asks for at the same speeds and thrusts."""
    lanes = stated.afloat.lanes.take(np.zeros(len(words), dtype=np.intp))
    pitch, blades = lanes.effective_pitch_ratio[0], lanes.blades[0]
    rows = []
    for series, words_of, low, high, most in PROPELLER_SERIES:
        screw = drive.Screw.of(lanes, at.speed_mps[0], at.plate_depth_m[0], series)
        rpm = drive.turn_for(screw, at.thrust_n[0]).engine_rpm
        inside = INSIDE if low <= pitch <= high and blades <= most else OUTSIDE
        rows += [
            _row(f"engine speed, {word}", words_of, at.speed_mps[0, k], rpm=rpm[k], reach=inside)
            for k, word in enumerate(words)
        ]
    return rows


def _porpoising(stated: Sweep, at: Points, words: list[str]) -> list[dict[str, object]]:
    """Trim at which porpoising begins, by both readings of the same old tests."""
    lanes = stated.afloat.lanes
    deadrise = 0.5 * (lanes.deadrise_transom_deg + lanes.deadrise_midship_deg)
    pressure = 0.5 * lanes.water_density * at.speed_mps[0] * at.speed_mps[0]
    root = np.sqrt(0.5 * lanes.weight_n / (pressure * lanes.beam_m * lanes.beam_m))
    chart = porpoising.porpoising_limit_savitsky(
        root, np.minimum(deadrise, porpoising.STEEPEST_DEG)
    )
    fit = porpoising.porpoising_limit_celano(root, deadrise)
    rows = []
    for column, word in enumerate(words):
        about = f"trim where porpoising begins, {word}"
        on = np.isfinite(chart[column])
        speed = at.speed_mps[0, column]
        if on:
            rows.append(_row(about, "chart of 1964", speed, trim=chart[column]))
        rows.append(
            _row(about, "fit of 1998", speed, trim=fit[column], reach=INSIDE if on else OUTSIDE)
        )
    return rows


def _top(stated: Sweep) -> list[dict[str, object]]:
    lanes = stated.afloat.lanes
    power = lanes.rated_power_w * lanes.engines
    return [
        _row(
            "top speed from weight and power",
            f"rule of thumb, {word}",
            float(thumb.crouch_speed(lanes.mass_kg, power, constant)[0]),
        )
        for word, constant in (
            ("average boat", thumb.AVERAGE_RUNABOUT),
            ("fast boat", thumb.FAST_RUNABOUT),
        )
    ]
