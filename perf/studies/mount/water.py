"""The water behind the transom: how high it stands over the bottom, by every model, at any distance."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.sources import LAWS, Law
from perf.boat.lanes import Lanes
from perf.laws import planing, wake
from perf.laws.join import smooth_step
from perf.laws.water import GRAVITY
from perf.solve.afloat import Afloat
from perf.solve.legs import wake_rise
from perf.solve.performance import Points
from perf.solve.running import TRANSOM_WET_SHARE

Array = NDArray[np.float64]

MODELS = {
    "wake_savitsky": "fit of 1988",
    "wake_simplified": "its short form",
    "wake_contour": "contours of 2010, from memory",
    "wake_straight": "straight wake",
}
SYMBOLS = {  # what the spans of the wake laws are about, as a person says it
    "distance_ratio": "distance aft over beam",
    "trim_deg": "running trim, degrees",
    "beam_froude": "speed over the root of g and beam",
    "length_ratio": "wetted length over beam",
    "keel_length_ratio": "wetted keel over beam",
    "deadrise_deg": "deadrise, degrees",
}


@dataclass(frozen=True, eq=False)
class Wake:
    """Rise of the water over the bottom run on aft, per model, (n, m) each [m]; inside: in its range."""

    rise_m: dict[str, Array]
    inside: dict[str, NDArray[np.bool_]]
    dry: Array  # share of the way from a transom in still water (0) to one that runs dry (1)
    level_m: Array  # still water over the bottom there

    @property
    def low_m(self) -> Array:
        """The lowest model."""
        low: Array = np.minimum.reduce(list(self.rise_m.values()))
        return low

    @property
    def high_m(self) -> Array:
        """The highest model."""
        high: Array = np.maximum.reduce(list(self.rise_m.values()))
        return high


def wake_at(
    afloat: Afloat, at: Points, aft_m: Array | None = None, off_centre_m: float = 0.0
) -> Wake:
    """Every model at a distance aft of the transom; the propeller's own where none is given.

    aft_m : (n,) or (n, 1) [m]. The rise is over the bottom straight ahead, so an engine off the
    centreline is measured as one on it; only the contours know how far off it is.
    """
    lanes = afloat.lanes
    beam = lanes.beam_m[:, None]
    distance = (lanes.propeller_aft_m if aft_m is None else aft_m).reshape(-1, 1) / beam
    trim = np.maximum(at.trim_deg, 0.0)
    froude = at.speed_mps / np.sqrt(GRAVITY * beam)
    length = at.wetted_length_m / beam
    deadrise = 0.5 * (lanes.deadrise_transom_deg + lanes.deadrise_midship_deg)[:, None]
    with np.errstate(all="ignore"):
        keel = length + 0.5 * planing.wetted_length_difference(trim, deadrise)
        given = {
            "distance_ratio": distance,
            "trim_deg": trim,
            "beam_froude": froude,
            "length_ratio": length,
            "keel_length_ratio": keel,
            "deadrise_deg": deadrise,
        }
        off = abs(off_centre_m) / beam
        rises = {
            "wake_savitsky": wake.wake_savitsky(distance, trim, froude, length),
            "wake_simplified": wake.wake_simplified(distance, trim, froude),
            "wake_contour": wake.wake_contour(distance, trim, froude, keel, deadrise, off),
            "wake_straight": wake.wake_straight(distance, trim),
        }
        level = at.draught_m + distance * beam * np.tan(np.radians(at.trim_deg))
    return Wake(
        {name: rise * beam for name, rise in rises.items()},
        {name: _inside(LAWS[name], given) for name in MODELS},
        _dryness(at),
        level,
    )


def _dryness(at: Points) -> Array:
    """Share of the way from a transom in still water to one that runs dry, as the legs see it."""
    with np.errstate(all="ignore"):
        froude = planing.transom_froude(at.speed_mps, at.draught_m)
        return smooth_step(froude / planing.TRANSOM_DRY_FROUDE, TRANSOM_WET_SHARE, 1.0)


def _inside(about: Law, given: dict[str, Array]) -> NDArray[np.bool_]:
    shape = np.broadcast_shapes(*(value.shape for value in given.values()))
    inside = np.ones(shape, dtype=bool)
    for span in about.spans:
        inside &= (given[span.symbol] >= span.low) & (given[span.symbol] <= span.high)
    return inside


def water_over_bottom(afloat: Afloat, at: Points, aft_m: Array) -> Array:
    """The water the answer rests on, over the bottom run on aft, at a distance aft (n,): (n, m) [m].

    Still water while the transom is wet, the wake between fit and straight wake once it runs dry, as
    the legs see it.
    """
    seen = wake_at(afloat, at, aft_m)
    there = _lanes_at(afloat.lanes, aft_m, at.speed_mps.shape[1])
    beam = there.beam_m
    speed = at.speed_mps.ravel()
    with np.errstate(all="ignore"):
        behind = wake_rise(
            there,
            beam,
            np.maximum(at.trim_deg.ravel(), 0.0),
            speed / np.sqrt(GRAVITY * beam),
            at.wetted_length_m.ravel() / beam,
        ).reshape(at.speed_mps.shape)
    return np.where(seen.dry > 0.0, seen.dry * behind, 0.0) + (1.0 - seen.dry) * seen.level_m


def _lanes_at(lanes: Lanes, aft_m: Array, columns: int) -> Lanes:
    rows = np.repeat(np.arange(lanes.count), columns)
    return replace(lanes, propeller_aft_m=np.broadcast_to(aft_m, (lanes.count,))).take(rows)


def wake_table(afloat: Afloat, at: Points, off_centre_m: float) -> pd.DataFrame:
    """Rise by every model over the speeds of one boat (m rows), and where the transom runs dry."""
    seen = wake_at(afloat, at, off_centre_m=off_centre_m)
    frame: dict[str, object] = {"speed_mps": at.speed_mps[0]}
    for name in MODELS:
        frame[f"{name}_m"] = seen.rise_m[name][0]
    frame["rise_low_m"], frame["rise_high_m"] = seen.low_m[0], seen.high_m[0]
    for name in MODELS:
        frame[f"{name}_outside"] = ~seen.inside[name][0]
    frame["transom"] = [_transom_words(float(share)) for share in seen.dry[0]]
    return pd.DataFrame(frame)


def _transom_words(dry: float) -> str:
    if dry >= 1.0:
        return "dry"
    return "wet" if dry <= 0.0 else "running dry"


def model_table(afloat: Afloat, at: Points, off_centre_m: float) -> pd.DataFrame:
    """One row per model at one speed: the rise, whether it is inside its range, and that range."""
    seen = wake_at(afloat, at, off_centre_m=off_centre_m)
    height = afloat.lanes.plate_height_m[0]
    return pd.DataFrame(
        {
            "model": list(MODELS.values()),
            "rise_m": [float(seen.rise_m[name][0, 0]) for name in MODELS],
            "plate_depth_m": [float(seen.rise_m[name][0, 0] - height) for name in MODELS],
            "reach": ["inside" if seen.inside[n][0, 0] else "outside" for n in MODELS],
            "range": [_range_words(LAWS[name]) for name in MODELS],
            "basis": [LAWS[name].basis.value for name in MODELS],
            "source": [LAWS[name].source for name in MODELS],
        }
    )


def _range_words(about: Law) -> str:
    spans = [f"{SYMBOLS[s.symbol]} {s.low:g} to {s.high:g}" for s in about.spans]
    return "; ".join(spans) or "any: an upper bound for short setbacks"
