"""What may be behind a misfit: one cause at a time is freed, and the causes ordered by what each explains.

These are hints, not findings: two causes may explain a log equally well, and a third may be the true one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.units import show
from perf.studies.trial.fit import Fit
from perf.studies.trial.model import Readings
from perf.studies.trial.search import SPEED_STEP_MPS, misfits

Array = NDArray[np.float64]

NOTHING = 1.0  # mean square of a misfit in standard deviations up to which nothing needs explaining
LEAST_SHARE = 0.1  # of the misfit that a cause must explain to be shown
MOST_HINTS = 6
LADDER = 17  # sizes of a cause that are tried
SPEED, RPM = "speed read", "rpm read"  # causes that lie in a meter, not in the boat


@dataclass(frozen=True)
class Cause:
    """One cause: the inputs it moves from low to high, in words for less and for more of it.

    kind "share" is said in per cent, "length" as a length. look : what to look at first.
    """

    inputs: tuple[tuple[str, float, float], ...]
    less: str
    more: str
    kind: str
    look: str


CAUSES: tuple[Cause, ...] = (
    Cause(
        (("assumed.trial_pitch", -0.2, 0.2),),
        "the propeller slips more, or has less pitch than the file says",
        "the propeller holds better, or has more pitch than the file says",
        "share",
        "stamp and cup, bent or worn blades, a spun hub; the gear ratio",
    ),
    Cause(
        (("mounting.plate_height", -0.02, 0.16), ("assumed.surface_loss", -0.06, 0.5)),
        "the propeller sits deeper in the water than the file says",
        "air reaches the propeller, as if the engine hung higher",
        "length",
        "plate height, drive trim, anything ahead of the leg that breaks the flow",
    ),
    Cause(
        (("assumed.trial_drag", -0.3, 0.6),),
        "the hull runs easier than the published method says",
        "the hull drags more: a foul or rough bottom, a hook, tabs left down",
        "share",
        "growth, paint, straightness of the last few feet, tabs and fittings",
    ),
    Cause(
        (("assumed.trial_weight", -0.2, 0.4),),
        "she is lighter than listed",
        "she is heavier than listed: wet foam, bilge water, gear",
        "share",
        "the waterline: weigh her by tape, lift the soles, sound the foam",
    ),
    Cause(
        (("assumed.trial_balance", -0.6, 0.6),),
        "she balances farther aft than listed",
        "she balances farther forward than listed",
        "length",
        "where heavy things lie, and the trim at rest",
    ),
    Cause(
        (("assumed.trial_leg", -0.7, 2.0),),
        "the lower unit drags less than worked out",
        "the lower unit drags more than worked out",
        "share",
        "an engine hung too deep, a damaged gear case, transducers near the leg",
    ),
    Cause(
        (("assumed.power_tolerance", -0.3, 0.15),),
        "the engine gives less power than rated",
        "the engine gives more power than rated",
        "share",
        "throttle linkage, plugs, fuel filter, compression; heat and altitude",
    ),
    Cause(
        (("fuel", -0.4, 0.6),),
        "the engine burns less for its power, or the meter reads low",
        "the engine burns more for its power, or the meter reads high",
        "share",
        "the fuel meter against a fill-up; then plugs, injectors and thermostat",
    ),
    Cause(
        (("assumed.trial_fuel_idle", -0.8, 2.0),),
        "she burns less at idle than worked out",
        "she burns more at idle than worked out",
        "share",
        "idle speed, and whether the meter reads low flows at all",
    ),
    Cause(
        ((SPEED, -0.15, 0.15),),
        "the speed is read too high",
        "the speed is read too low",
        "share",
        "a satellite receiver, both ways; current without a run back",
    ),
    Cause(
        ((RPM, -0.12, 0.12),),
        "the rpm is read too high",
        "the rpm is read too low",
        "share",
        "the tachometer's setting for poles or cylinders; a hand tachometer",
    ),
)


def hints(fit: Fit, units: str = "us") -> pd.DataFrame:
    """Causes in the order of what each explains of the misfit before the fit; none where there is none.

    Columns hint, explains, hint_size, look_at. One call of the engine for all of them.
    """
    found = [_hint(cause, *one, units) for cause, *one in _explained(fit)]  # type: ignore[call-arg, arg-type]
    table = pd.DataFrame(found, columns=["hint", "explains", "hint_size", "look_at"])
    table = table[table["explains"] >= LEAST_SHARE]
    return (
        table.sort_values("explains", ascending=False, kind="stable")
        .head(MOST_HINTS)
        .reset_index(drop=True)
    )


def misfit_before(fit: Fit) -> float:
    """Mean square of what the file alone leaves of the readings, in standard deviations of their doubt."""
    left = misfits(fit.tried, fit.trust, Readings.row(fit.readings, 0))[0]
    spread = _spread(fit)
    known = np.isfinite(left) & _asked(fit)
    return float(np.mean((left[known] / spread[known]) ** 2)) if known.any() else 0.0


def _explained(fit: Fit) -> list[tuple[Cause, float, float]]:
    """Each cause, the share it explains and how far it would have to be off."""
    if misfit_before(fit) <= NOTHING:
        return []
    causes = [cause for cause in CAUSES if _possible(fit, cause)]
    steps = np.linspace(0.0, 1.0, LADDER)
    rows = len(causes) * LADDER
    moves: dict[str, Array] = {}
    speed, rpm = np.ones(rows), np.ones(rows)
    sizes = []
    for place, cause in enumerate(causes):
        part = slice(place * LADDER, (place + 1) * LADDER)
        sizes.append(cause.inputs[0][1] + steps * (cause.inputs[0][2] - cause.inputs[0][1]))
        for name, low, high in cause.inputs:
            value = low + steps * (high - low)
            if name == SPEED:
                speed[part] = 1.0 + value
            elif name == RPM:
                rpm[part] = 1.0 + value
            else:
                path = _fuel_path(fit) if name == "fuel" else name
                moves.setdefault(path, np.zeros(rows))[part] = value
    seen = fit.tried.readings(moves, speed[:, None] * fit.runs.speed_mps)
    left = misfits(fit.tried, fit.trust, seen, rpm_share=rpm) / _spread(fit)
    cost = _cost(left[:, _asked(fit)]).reshape(len(causes), LADDER)
    before = float(
        _cost(
            (misfits(fit.tried, fit.trust, Readings.row(fit.readings, 0)) / _spread(fit))[
                :, _asked(fit)
            ]
        )[0]
    )
    return [
        (cause, *_best(size, one, before))
        for cause, size, one in zip(causes, sizes, cost, strict=True)
    ]


def _cost(left: Array) -> Array:
    """Soft loss of each row; a reading she cannot give counts as far off."""
    far = np.where(np.isfinite(left), left, 1e3)
    return (2.0 * (np.sqrt(1.0 + far * far) - 1.0)).sum(axis=1)


def _asked(fit: Fit) -> NDArray[np.bool_]:
    """The readings there are a number for by the file alone."""
    return np.isfinite(misfits(fit.tried, fit.trust, Readings.row(fit.readings, 0))[0])


def _spread(fit: Fit) -> Array:
    """Standard deviation of each misfit with the doubt of the speed counted in."""
    sd = fit.trust.speed_sd(fit.runs)
    speed = np.stack([fit.runs.speed_mps, fit.runs.speed_mps + SPEED_STEP_MPS])
    two = misfits(fit.tried, fit.trust, fit.tried.readings({}, speed))
    by_run = (two[1] - two[0]) / SPEED_STEP_MPS
    runs = fit.runs.count
    each = np.concatenate([np.tile(sd, 4), np.zeros(two.shape[1] - 4 * runs)])
    spread: Array = np.sqrt(1.0 + np.nan_to_num(by_run * each) ** 2)
    return spread


def _possible(fit: Fit, cause: Cause) -> bool:
    """Whether a reading of this log could show the cause at all."""
    name = cause.inputs[0][0]
    if name in ("fuel", "assumed.trial_fuel_idle"):
        return bool(np.isfinite(fit.runs.fuel_lph).any())
    if name == RPM:
        return bool(np.isfinite(fit.runs.engine_rpm).any())
    return True


def _fuel_path(fit: Fit) -> str:
    return "engine.fuel" if fit.tried.boats[0].engine.fuel_table else "assumed.trial_fuel_slope"


def _best(size: Array, cost: Array, before: float) -> tuple[float, float]:
    """Share explained and the size that explains it: the vertex through the lowest three."""
    at = int(np.clip(np.argmin(cost), 1, LADDER - 2))
    low, here, high = cost[at - 1 : at + 2]
    bend = low - 2.0 * here + high
    shift = float(np.clip(0.5 * (low - high) / bend, -1.0, 1.0)) if bend > 0.0 else 0.0
    least = min(float(here - 0.25 * (low - high) * shift), float(cost.min()))
    where = float(size[at] + shift * (size[1] - size[0]))
    return max(1.0 - max(least, 0.0) / before, 0.0), where


def _hint(cause: Cause, share: float, size: float, units: str) -> dict[str, object]:
    said = show(abs(size), cause.kind, units, 2)
    return {
        "hint": cause.more if size > 0.0 else cause.less,
        "explains": share,
        "hint_size": f"by {said}",
        "look_at": cause.look,
    }
