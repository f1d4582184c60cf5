"""A trip run by run: the table of runs, the fuel line along the way, and what limits each run."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.cautions import Caution, codes
from perf.base.quantities import LITRES
from perf.laws import seaway
from perf.solve.afloat import Afloat
from perf.solve.performance import Points
from perf.studies.spread import band
from perf.studies.trip.legs import afloat_at
from perf.studies.trip.pace import Asked, bumps, seat_share
from perf.studies.trip.rows import asked_of

if TYPE_CHECKING:
    from perf.studies.trip.study import Found, Worked

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

SHALLOW_BEAMS = 3.0  # depth over beam under which tests are not taken as of deep water
ONE_IN_TEN = 10.0
OK, DRY, NO_WAY, LOST = "ok", "runs dry here", "makes no way", "no balance found"
RANGE_1976 = {
    "height_ratio": (0.2, 0.7),
    "length_ratio": (3.0, 5.0),
    "trim_deg": (3.0, 7.0),
    "deadrise_deg": (10.0, 30.0),
    "speed_length": (2.0, 6.0),
}


def runs_table(found: Found) -> pd.DataFrame:
    """One row a run, bands where draws were made; NaN and a status where a run has no answer."""
    stated, runs = found.stated, found.trip.runs
    spent, at = stated.spent, stated.spent.at
    afloat = afloat_of(stated)
    moving = ~stated.voyage.standing[0]
    second, bumpy = _opinions_1976(found, afloat)
    needed = needed_m3(stated, found.reserve_m3)

    def under_way(values: Array) -> Array:
        return np.where(moving, values, np.nan)

    frame = pd.DataFrame(
        {
            "run": [run.name for run in runs],
            "run_distance_m": spent.distance_m[0],
            "run_speed_mps": spent.speed_mps[0],
            "ground_speed_mps": spent.ground_mps[0],
            "duration_s": spent.time_s[0],
            "fuel_m3": spent.burned_m3[0],
            "fuel_left_m3": _left(stated)[0],
            "needed_m3": needed,
            "gauge_needed": stated.level.gauge(needed),
            "ground_mileage_m_per_l": under_way(
                spent.distance_m[0] / (spent.burned_m3[0] * LITRES)
            ),
            "fuel_lph": spent.lph[0],
            "engine_rpm": under_way(at.engine_rpm[:, 0]),
            "drive_trim_deg": under_way(at.drive_trim_deg[:, 0]),
            "mass_kg": afloat.lanes.mass_kg,
            "wave_height_m": [run.weather.wave_height_m for run in runs],
            "wave_drag_n": under_way(at.wave_drag_n[:, 0]),
            "wave_drag_1976_n": under_way(second),
            "bumps_g": under_way(bumps_of(found, afloat)),
            "bumps_1976_g": under_way(bumpy),
        }
    )
    return _with_words(frame, found)


def _with_words(frame: pd.DataFrame, found: Found) -> pd.DataFrame:
    """The table with its bands, the status of each run and its cautions."""
    if found.drawn is not None:
        _add_bands(frame, found.drawn)
    frame["status"] = _status(found)
    frame["cautions"] = [" ".join(codes(int(bits))) for bits in _bits(found)]
    return frame


def afloat_of(worked: Worked) -> Afloat:
    """The rows afloat as they were in the last sweep."""
    return afloat_at(worked.voyage, worked.spent.fuel_mid_m3)


def _left(worked: Worked) -> Array:
    """Usable fuel left after each run, never under nothing; NaN from the first run without an answer on."""
    lost = np.logical_or.accumulate(np.isnan(worked.spent.burned_m3), axis=1)
    return np.where(lost, np.nan, np.maximum(worked.left_m3, 0.0))


def needed_m3(worked: Worked, reserve_m3: float) -> Array:
    """Usable fuel that must be left after each run to finish with the reserve whole, as stated (r,).

    From the end backward: what the next run burns, less what is taken on before it; never under the reserve.
    """
    burned = np.nan_to_num(worked.spent.burned_m3[0])
    taken = worked.voyage.take_on_m3[0]
    found, need = np.empty(burned.size), reserve_m3
    for run in range(burned.size - 1, -1, -1):
        found[run] = need
        need = max(need + burned[run] - taken[run], reserve_m3)
    return found


def _add_bands(frame: pd.DataFrame, drawn: Worked) -> None:
    left = np.nan_to_num(_left(drawn))
    for name, values in (
        ("duration_s", drawn.spent.time_s),
        ("fuel_m3", drawn.spent.burned_m3),
        ("fuel_left_m3", left),
        ("fuel_lph", drawn.spent.lph),
    ):
        shown = np.isfinite(frame[name].to_numpy())
        for ending, edge in zip(("_p10", "_p90"), band(name, values), strict=True):
            frame[name + ending] = np.where(shown, edge, np.nan)


def _status(found: Found) -> list[str]:
    spent, left = found.stated.spent, found.stated.left_m3[0]
    words = []
    for run in range(left.size):
        if np.isnan(spent.burned_m3[0, run]):
            words.append(NO_WAY if np.isfinite(spent.lph[0, run]) else LOST)
        else:
            words.append(DRY if left[run] < 0.0 else OK)
    return words


def fuel_line(found: Found) -> pd.DataFrame:
    """Usable fuel along the trip: at the start, before and after fuel is taken on, at the end of each run."""
    stated, drawn = found.stated, found.drawn
    so_far, left = _line(stated)
    frame = pd.DataFrame({"so_far_m": so_far, "fuel_left_m3": left[0]})
    if drawn is not None:
        low, high = band("fuel_left_m3", np.nan_to_num(_line(drawn)[1]))
        frame["fuel_left_m3_p10"], frame["fuel_left_m3_p90"] = low, high
    frame["reserve_m3"], frame["empty_m3"] = found.reserve_m3, 0.0
    return frame


def _line(worked: Worked) -> tuple[Array, Array]:
    """Distance of each point as stated (p,), and usable fuel there (k, p), never under nothing."""
    voyage, level = worked.voyage, worked.level
    full = (voyage.capacity_m3 - level.unusable_m3)[:, None]
    end = worked.left_m3
    before = np.concatenate([level.usable_m3[:, None], end[:, :-1]], axis=1)
    begin = np.minimum(before + voyage.take_on_m3, full)
    far = np.nan_to_num(worked.spent.distance_m[0])
    reached = np.cumsum(far)
    points = np.stack([before, begin, end], axis=2).reshape(end.shape[0], -1)
    places = np.stack([reached - far, reached - far, reached], axis=1).ravel()
    # the first point, both sides of every fill-up, and the end of each run
    taken = voyage.take_on_m3[0] > 0.0
    told = np.stack([taken, taken, np.ones(far.size, dtype=bool)], axis=1).ravel()
    told[0] = True
    return places[told], np.maximum(points, 0.0)[:, told]


# --- sea ----------------------------------------------------------------------------------------------


def bumps_of(found: Found, afloat: Afloat) -> Array:
    """Accelerations at the seat on each run as stated [g], (r,)."""
    asked = _asked(found)
    return bumps(afloat, found.stated.spent.at, asked.seat_forward_m, asked.heading)[:, 0]


def _asked(found: Found) -> Asked:
    return asked_of(found.boat, found.trip, found.stated.voyage)


def _opinions_1976(found: Found, afloat: Afloat) -> tuple[Array, Array]:
    """Drag of the waves [N] and bumps at the seat [g] by the 1976 equations, (r,); NaN outside their range."""
    asked, at, lanes = _asked(found), found.stated.spent.at, afloat.lanes
    given = _ratios_1976(afloat, at)
    loading = lanes.mass_kg / (lanes.water_density * lanes.beam_m * lanes.beam_m * lanes.beam_m)
    inside = inside_1976(afloat, at)
    drag = seaway.added_resistance_1976(loading=loading, **given) * lanes.weight_n * asked.heading
    balance = seaway.acceleration_1976(loading=loading, **given)
    bow = seaway.bow_acceleration_1976(balance, given["length_ratio"], given["speed_length"])
    mean = balance + seat_share(afloat, asked.seat_forward_m) * (bow - balance)
    high = seaway.highest_average(mean * asked.heading, np.full(mean.shape, ONE_IN_TEN))
    return np.where(inside, drag, np.nan), np.where(inside, high, np.nan)


def _ratios_1976(afloat: Afloat, at: Points) -> dict[str, Array]:
    lanes = afloat.lanes
    return {
        "height_ratio": lanes.wave_height_m / lanes.beam_m,
        "length_ratio": lanes.waterline_length_m / lanes.beam_m,
        "trim_deg": at.trim_deg[:, 0],
        "deadrise_deg": 0.5 * (lanes.deadrise_transom_deg + lanes.deadrise_midship_deg),
        "speed_length": seaway.speed_length(at.speed_mps[:, 0], lanes.waterline_length_m),
    }


def inside_1976(afloat: Afloat, at: Points) -> Flags:
    """Rows inside every stated range of the 1976 head-sea equations, (n,)."""
    given = _ratios_1976(afloat, at)
    full = seaway.fullness(afloat.lanes.mass_kg, afloat.lanes.waterline_length_m)
    inside = (full >= seaway.SLENDER_LOW_1976) & (full <= seaway.SLENDER_HIGH_1976)
    for name, (low, high) in RANGE_1976.items():
        inside &= (given[name] >= low) & (given[name] <= high)
    return np.asarray(inside)


# --- cautions -----------------------------------------------------------------------------------------


def bits_of(found: Found) -> NDArray[np.int64]:
    """Cautions that only a trip knows, run by run, (r,)."""
    stated, runs = found.stated, found.trip.runs
    spent, afloat = stated.spent, afloat_of(stated)
    beam = afloat.lanes.beam_m
    shallow = np.array([np.inf if run.depth_m is None else run.depth_m for run in runs])
    waves = np.array([run.weather.wave_height_m > 0.0 and not run.pace.standing for run in runs])
    lost = np.isnan(spent.burned_m3[0])
    left = stated.left_m3[0]
    bits = np.zeros(len(runs), dtype=np.int64)
    for caution, where in (
        (Caution.SHALLOW, shallow < SHALLOW_BEAMS * beam),
        (Caution.SEA_1976_OUTSIDE, waves & ~inside_1976(afloat, spent.at)),
        (Caution.SPEED_NOT_HELD, ~spent.held[0]),
        (Caution.NO_HEADWAY, lost & np.isfinite(spent.lph[0])),
        (Caution.RUNS_DRY, left < 0.0),
        (Caution.RESERVE_BROKEN, left < found.reserve_m3),
    ):
        bits |= np.where(where, int(caution), 0)
    return bits


def _bits(found: Found) -> NDArray[np.int64]:
    """All cautions of each run; those of the running boat where she is under way."""
    moving = ~found.stated.voyage.standing[0]
    running = np.where(moving, found.stated.spent.at.cautions[:, 0], 0)
    return np.asarray(running | bits_of(found))
