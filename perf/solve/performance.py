"""What boats do at speeds: the table of points, the best drive trim, the top speed."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import IntEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from perf.base.cautions import Caution, flag
from perf.base.peaks import peak, read_at
from perf.base.quantities import MINUTE_S
from perf.base.roots import Start, find_roots
from perf.boat.lanes import Lanes
from perf.solve import drive
from perf.solve.afloat import Afloat
from perf.solve.methods import DEFAULT, Methods
from perf.solve.running import run

Array = NDArray[np.float64]

BLOCK = 16_000  # lanes worked on at once: fits the cache, keeps memory flat
TOP_SPEED_MPS = 1e-6  # how near the top speed is found; each step asks a whole balance
NO_POWER = 1e-9  # share of rated power that is none
SLOPE_SHARE = 0.01  # of the power between two speeds, over which its slope is read
TRIM_STEPS = 7  # drive trims tried before the parabola
TRIM_INDIFFERENCE = 0.005  # power differences under this share are not worth moving the drive for


class Status(IntEnum):
    """Why a point has no number."""

    OK = 0
    NO_BALANCE = 1
    PAST_FULL_THROTTLE = 2


STATUS_WORDS = {
    Status.OK: "ok",
    Status.NO_BALANCE: "no balance found",
    Status.PAST_FULL_THROTTLE: "past full throttle",
}


@dataclass(frozen=True, eq=False)
class Points:
    """Boats at speeds, every array (n rows, m speeds); raw numbers, to be read together with status."""

    speed_mps: Array
    trim_deg: Array
    drive_trim_deg: Array
    draught_m: Array
    wetted_length_m: Array
    resistance_n: Array
    thrust_n: Array
    leg_drag_n: Array
    air_drag_n: Array
    wave_drag_n: Array
    shaft_power_w: Array
    full_power_w: Array
    engine_rpm: Array
    slip: Array
    efficiency: Array
    fuel_lph: Array
    plate_depth_m: Array
    planing_measure: Array
    volume_froude: Array
    planing_resistance_n: Array
    series_resistance_n: Array
    preplaning_resistance_n: Array
    displacement_resistance_n: Array
    planing_trim_deg: Array
    series_trim_deg: Array
    vertical_left: Array
    moment_left: Array
    status: NDArray[np.int64]
    cautions: NDArray[np.int64]
    evaluations: NDArray[np.int64]

    def columns(self, some: slice) -> Points:
        """These speeds only."""
        return Points(**{name: getattr(self, name)[:, some] for name in NAMES})


NAMES = tuple(field.name for field in fields(Points))


def points(
    afloat: Afloat, speed_mps: Array, drive_trim_deg: Array, methods: Methods = DEFAULT
) -> Points:
    """Every boat at every speed: speed_mps and drive_trim_deg broadcast to (n, m)."""
    count = afloat.lanes.count
    shape = np.broadcast_shapes((count, 1), speed_mps.shape, drive_trim_deg.shape)
    speed = np.ascontiguousarray(np.broadcast_to(speed_mps, shape), dtype=float).ravel()
    trim = np.ascontiguousarray(np.broadcast_to(drive_trim_deg, shape), dtype=float).ravel()
    rows = np.repeat(np.arange(count), shape[1])
    whole: dict[str, NDArray[Any]] = {}
    for at in range(0, rows.size, BLOCK):
        some = slice(at, at + BLOCK)
        block = _block(afloat.take(rows[some]), speed[some], trim[some], methods)
        for name in NAMES:
            part = getattr(block, name)
            # filled as it comes, so that nothing but the answer grows with the lanes
            whole.setdefault(name, np.empty(rows.size, dtype=part.dtype))[some] = part
    return Points(**{name: values.reshape(shape) for name, values in whole.items()})


def _block(afloat: Afloat, speed_mps: Array, drive_trim_deg: Array, methods: Methods) -> Points:
    """Flat lanes, one speed each."""
    lanes = afloat.lanes
    with np.errstate(all="ignore"):
        at = run(afloat, speed_mps, drive_trim_deg, methods)
        screw = drive.Screw.of(lanes, speed_mps, at.legs.plate_depth_m, methods.propeller)
        turning = drive.turn_for(screw, at.thrust_n)
        full = drive.full_power(lanes, turning.engine_rpm)
        fuel = drive.fuel_lph(lanes, turning.shaft_power_w, turning.engine_rpm)
        status = np.select(
            [~(at.found & turning.found), turning.shaft_power_w > full * (1 + 1e-9)],
            [Status.NO_BALANCE, Status.PAST_FULL_THROTTLE],
            Status.OK,
        ).astype(np.int64)
        return Points(
            speed_mps,
            at.trim_deg,
            drive_trim_deg,
            at.draught_m,
            at.wetted_length_m,
            at.resistance_n,
            at.thrust_n,
            at.legs.drag_n,
            at.air_drag_n,
            at.wave_drag_n,
            turning.shaft_power_w,
            full,
            turning.engine_rpm,
            turning.slip,
            turning.efficiency,
            fuel,
            at.legs.plate_depth_m,
            at.planing_measure,
            at.volume_froude,
            at.planing_resistance_n,
            at.series_resistance_n,
            at.preplaning_resistance_n,
            at.displacement_resistance_n,
            at.planing_trim_deg,
            at.series_trim_deg,
            at.vertical_left,
            at.moment_left,
            status,
            at.cautions
            | turning.cautions
            | flag(turning.engine_rpm >= lanes.idle_rpm, Caution.UNDER_IDLE),
            at.evaluations,
        )


def best_drive_trim(afloat: Afloat, speed_mps: Array) -> Array:
    """Drive trim that asks the least power at each speed (n, m), the drive's given angle where there is one.

    Seven trims in one call, a parabola through the best three. Moving the drive off the keel line
    for less than half a per cent of power is not worth it: the search adds that share over the range.
    """
    lanes = afloat.lanes
    shape = np.broadcast_shapes((lanes.count, 1), speed_mps.shape)
    given = np.broadcast_to(lanes.drive_trim_deg[:, None], shape)
    if np.all(np.isfinite(given)):
        return np.array(given)
    low, high = lanes.drive_trim_in_deg, lanes.drive_trim_out_deg
    step = (high - low) / (TRIM_STEPS - 1)
    ladder = low[:, None] + step[:, None] * np.arange(TRIM_STEPS)  # (n, 7)
    many = np.repeat(np.arange(lanes.count), TRIM_STEPS)
    tried = points(afloat.take(many), _rows(speed_mps, shape)[many], ladder.reshape(-1, 1))
    power = tried.shaft_power_w.reshape(lanes.count, TRIM_STEPS, -1)
    usable = (tried.status != Status.NO_BALANCE).reshape(power.shape)
    share = ladder / (high - low)[:, None]
    cost = (
        np.where(usable & np.isfinite(power), power, np.inf)
        * (1 + TRIM_INDIFFERENCE * (share * share))[:, :, None]
    )
    best = _parabola(cost, ladder, step)
    return np.where(np.isfinite(given), given, best)


def _rows(speed_mps: Array, shape: tuple[int, ...]) -> Array:
    return np.array(np.broadcast_to(speed_mps, shape), dtype=float)


def _parabola(cost: Array, ladder: Array, step: Array) -> Array:
    """Vertex through the lowest of the middle axis and its neighbours, kept inside the ladder; (n, m)."""
    lowest = np.argmin(cost, axis=1)
    middle = np.clip(lowest, 1, TRIM_STEPS - 2)
    row = np.arange(cost.shape[0])[:, None]
    speed = np.arange(cost.shape[2])[None, :]
    before, here, after = (cost[row, middle + k, speed] for k in (-1, 0, 1))
    with np.errstate(all="ignore"):
        bend = before - 2.0 * here + after
        shift = 0.5 * (before - after) / bend
    # without a bend upward the lowest of the three stands at an end of the ladder
    vertex = np.where(
        (bend > 0.0) & np.isfinite(shift),
        np.clip(shift, -1.0, 1.0),
        (lowest - middle).astype(float),
    )
    found: Array = ladder[row, middle] + vertex * step[:, None]
    return found


@dataclass(frozen=True, eq=False)
class TopSpeed:
    """Highest speed full throttle holds, its rpm and its cautions, (n,); NaN and why where there is none."""

    speed_mps: Array
    engine_rpm: Array
    cautions: NDArray[np.int64]


def speed_bound(lanes: Lanes) -> Array:
    """A speed no row can pass: the propeller at the rev limiter with no slip but the cup's, (n,)."""
    turns = drive.PAST_LIMIT * lanes.limit_rpm / (MINUTE_S * lanes.gear_ratio)
    return 1.15 * turns * lanes.diameter_m * lanes.effective_pitch_ratio


def top_speed(
    afloat: Afloat,
    coarse: Points,
    finer: Points | None = None,
    step_mps: float = TOP_SPEED_MPS,
) -> TopSpeed:
    """Root of full-throttle power less power needed, in the last bracket of a coarse sweep.

    coarse runs over rising speeds and its drive trims are kept, read between its speeds. finer, of
    the same rows at closer speeds, only tells the search where to begin. step_mps : the last step of
    the search, over one more than the speed; what is left after it is far less.
    """
    lanes = afloat.lanes
    last, some = _last_able(coarse)
    row = np.arange(lanes.count)
    pick = np.flatnonzero(some & np.isfinite(coarse.shaft_power_w[row, last + 1]))
    asked = _Asked(afloat, coarse, last)
    roots = find_roots(
        asked.short,
        coarse.speed_mps[pick, last[pick]],
        coarse.speed_mps[pick, last[pick] + 1],
        (pick.astype(float),),
        tolerance=step_mps,
        start=_about_top(lanes, coarse if finer is None else finer, pick),
    )
    speed = np.full(lanes.count, np.nan)
    speed[pick] = roots.x
    _on_the_mark(speed, asked, pick[~roots.found])
    # what was asked last is near the answer, but where the whole bracket had to be searched
    far = np.flatnonzero(np.abs(speed - asked.speed) > 2.0 * step_mps * (1.0 + speed))
    if far.size:
        asked.short(speed[far], far.astype(float))
    rpm = asked.rpm_at(speed)
    cautions = np.where(np.isfinite(speed), asked.cautions | _band(lanes, rpm), 0)
    return TopSpeed(speed, rpm, cautions)


def _on_the_mark(speed_mps: Array, asked: _Asked, rows: NDArray[np.intp]) -> None:
    """Where no root lies between two coarse speeds, the slower of them if it is the top speed itself."""
    if rows.size:
        wanting = asked.short(asked.low[rows], rows.astype(float))
        speed_mps[rows] = np.where(np.abs(wanting) <= NO_POWER, asked.low[rows], np.nan)


class _Asked:
    """Rows between the last speed full throttle holds and the next; what the last point asked of each said."""

    def __init__(self, afloat: Afloat, coarse: Points, last: NDArray[np.intp]) -> None:
        row = np.arange(last.size)
        pace, trim = coarse.speed_mps, coarse.drive_trim_deg
        self.afloat = afloat
        self.low, self.high = pace[row, last], pace[row, last + 1]
        self.trim_low, self.trim_high = trim[row, last], trim[row, last + 1]
        self.speed, self.rpm, self.climb = (np.full(last.size, np.nan) for _ in range(3))
        self.cautions = np.zeros(last.size, dtype=np.int64)

    def short(self, speed_mps: Array, which: Array) -> Array:
        """Power wanting at these speeds, as a share of one engine's rated power, drive trim between its ends."""
        rows = which.astype(np.intp)
        share = (speed_mps - self.low[rows]) / (self.high[rows] - self.low[rows])
        trim = self.trim_low[rows] + share * (self.trim_high[rows] - self.trim_low[rows])
        at = points(self.afloat.take(rows), speed_mps[:, None], trim[:, None])
        turned = at.engine_rpm[:, 0]
        with np.errstate(all="ignore"):
            self.climb[rows] = (turned - self.rpm[rows]) / (speed_mps - self.speed[rows])
        self.speed[rows], self.rpm[rows] = speed_mps, turned
        self.cautions[rows] = at.cautions[:, 0]
        wanting = (at.shaft_power_w - at.full_power_w)[:, 0]
        return np.asarray(wanting / self.afloat.lanes.rated_power_w[rows])

    def rpm_at(self, speed_mps: Array) -> Array:
        """The rpm asked last, run on to a speed close by; NaN where there is none."""
        run_on = self.rpm + self.climb * (speed_mps - self.speed)
        found = np.where(speed_mps == self.speed, self.rpm, run_on)
        return np.where(np.isfinite(speed_mps), found, np.nan)


def _last_able(at: Points) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
    """The last speed of each row that full throttle holds, and whether there is one with another past it; (n,)."""
    able = at.status == Status.OK
    columns = able.shape[1]
    last = columns - 1 - np.argmax(able[:, ::-1], axis=1)
    return np.minimum(last, columns - 2), able.any(axis=1) & (last < columns - 1)


def _about_top(lanes: Lanes, near: Points, pick: NDArray[np.intp]) -> Start:
    """Top speed of the picked rows read off points over rising speeds, and how fast the power wanting rises there.

    The speed as a cubic of the share of power that is wanting, through the four about the bracket.
    """
    end = _last_able(near)[0][pick]
    row = np.arange(pick.size)
    four = np.clip(end[:, None] + np.arange(-1, 3), 0, near.speed_mps.shape[1] - 1)
    there = pick[:, None], four
    short = (near.shaft_power_w[there] - near.full_power_w[there]) / lanes.rated_power_w[pick, None]
    speed, at = near.speed_mps[there], end - four[:, 0]
    rise = short[row, at + 1] - short[row, at]
    with np.errstate(all="ignore"):
        slope = rise / (speed[row, at + 1] - speed[row, at])
        chord = speed[row, at] - short[row, at] / slope
        zero = np.zeros(pick.size)
        root, beside = (read_at(short, speed, place) for place in (zero, zero + SLOPE_SHARE * rise))
        steep = SLOPE_SHARE * rise / (beside - root)
    rises = np.all(np.diff(short, axis=1) > 0.0, axis=1) & (steep > 0.0)
    return Start(np.where(rises, root, chord), np.where(rises, steep, slope))


def _band(lanes: Lanes, engine_rpm: Array) -> NDArray[np.int64]:
    under = flag(engine_rpm >= lanes.band_low_rpm, Caution.RPM_UNDER_BAND)
    return under | flag(engine_rpm <= lanes.band_high_rpm, Caution.RPM_OVER_BAND)


def slowest_planing_speed(coarse: Points) -> Array:
    """Lowest speed past the greatest running trim where the planing measure is not negative, (n,); NaN where none.

    The place of the greatest trim is that of a parabola, so that the answer moves smoothly with the boat.
    """
    balanced = coarse.status != Status.NO_BALANCE
    steepest, _ = peak(coarse.speed_mps, np.where(balanced, coarse.trim_deg, np.nan))
    return inception_speed(coarse, steepest)


def inception_speed(coarse: Points, past_mps: Array) -> Array:
    """Lowest speed past a given one where the planing measure is not negative, (n,); NaN where none.

    Found on straight lines between the speeds of the sweep, then mended once by the cubic through four.
    """
    balanced = coarse.status != Status.NO_BALANCE
    measure = np.where(balanced, coarse.planing_measure, np.nan)
    begin, end = coarse.speed_mps[:, :-1], coarse.speed_mps[:, 1:]
    first, last = measure[:, :-1], measure[:, 1:]
    row = np.arange(measure.shape[0])
    with np.errstate(all="ignore"):
        low = np.maximum(begin, past_mps[:, None])
        at_low = first + (last - first) * ((low - begin) / (end - begin))
        crossing = low + (end - low) * (at_low / (at_low - last))
        reached = np.where(at_low >= 0.0, low, np.where(last >= 0.0, crossing, np.inf))
        reached = np.where((low < end) & np.isfinite(reached), reached, np.inf)
        where = np.argmin(reached, axis=1)
        lowest, slope = reached[row, where], ((last - first) / (end - begin))[row, where]
        mended = lowest - read_at(coarse.speed_mps, measure, lowest) / slope
        crossed = (at_low[row, where] < 0.0) & (mended > low[row, where])
        crossed &= mended < end[row, where]
    lowest = np.where(crossed, mended, lowest)
    return np.where(np.isfinite(lowest), lowest, np.nan)
