"""What matters most: how much of the spread of one difference each drawn input explains.

Inputs are drawn independently, so that the squared correlation of an input with the difference is
its share of the variance, as far as the difference runs straight in it. Shares under what chance
alone would show among so many draws are left out.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from perf.base.assumptions import ASSUMPTIONS
from perf.base.draws import standard_normal
from perf.base.units import show
from perf.boat.choice.parts import AS_SHE_IS, Candidate, Duty
from perf.boat.fleet import doubted, draw_name
from perf.boat.parts import Boat

Array = NDArray[np.float64]

CHANCE = 3.0  # standard deviations of a correlation of nothing with nothing
MOST = 12

# what the paths of a boat file are called on a dock
WORDS = {
    "light.mass": "weight of the bare hull",
    "light.forward": "balance point of the bare hull",
    "light.above": "height of the hull's balance point",
    "hull.bottom": "drag of the fouled bottom",
    "hull.waterline_length": "waterline length",
    "hull.transom_beam": "beam at the transom",
    "hull.deadrise_midship": "deadrise amidships",
    "hull.entrance_angle": "sharpness of the bow",
    "engine.rated_power": "power of {of}",
    "engine.mass": "weight of {of}",
    "engine.rated_rpm": "rated rpm of {of}",
    "propeller.pitch": "true pitch of {of}",
    "propeller.cup": "what the cup of {of} adds",
    "propeller.area_ratio": "blade area of {of}",
    "mounting.plate_height": "height the engine hangs at",
    "mounting.setback": "setback",
    "air.frontal_area": "area that meets the wind",
    "air.top": "drag of the top",
    "water.temperature": "water temperature",
    "water.salinity": "salt in the water",
    "tank.usable": "usable fuel",
    "season.trips": "trips a season",
    "money.fuel_price": "price of fuel",
    "money.lost_day": "cost of a lost day",
    "assumed.trial_drag": "how much drag the hull really has",
    "assumed.trial_weight": "what she really weighs",
    "assumed.trial_balance": "where she really balances",
    "assumed.trial_pitch": "how much pitch propellers really bite",
    "assumed.trial_leg": "drag of the lower unit",
    "assumed.trial_fuel_idle": "how thirsty {of} is at idle",
    "assumed.trial_fuel_slope": "how thirsty {of} really is",
    "assumed.power_tolerance": "how much power {of} really makes",
    "assumed.idle_rpm": "idle rpm of {of}",
    "assumed.rev_limit": "rev limit of {of}",
    "assumed.join_share": "which published method holds at the hump",
    "assumed.hole_shot": "how much the blades let go at low speed",
    "assumed.vented_blades": "how much the exhaust lets the blades race at low speed",
    "assumed.drive_lift": "lift of the trimmed drive",
    "assumed.wake_place": "height of the water behind the transom",
    "assumed.surface_loss": "thrust lost near the surface",
    "assumed.inception": "when she counts as planing",
    "assumed.bottom_allowance": "drag of the fouled bottom",
    "assumed.relative_rotative": "how the propeller works behind the leg",
    "assumed.wake_fraction": "how far the leg slows the water",
    "assumed.thrust_deduction": "suction of the propeller on the hull",
    "assumed.engine_aft": "where the engine's weight hangs",
    "assumed.engine_above": "how high the engine's weight stands",
}


MONEY = {
    "upkeep_per_year": "upkeep",
    "lost_days_per_year": "days lost each year",
    "lost_days": "days lost in fitting",
    "residual": "what is left at the end",
    "expected_hours": "hours the engine lasts",
    "service_per_hour": "service",
}


def spoken(path: str, of: str = "") -> str:
    """A drawn input in words of the trade; of names the engine or propeller it belongs to."""
    aboard = "propeller" if path.startswith("propeller.") else "engine"
    if path in WORDS:
        return WORDS[path].format(of=of or f"the {aboard} aboard")
    if path.startswith("assumed."):
        sentence = ASSUMPTIONS[path.removeprefix("assumed.")].sentence.rstrip(".")
        return sentence[0].lower() + sentence[1:]
    parts = path.split(".")
    if parts[0] == "weights" and len(parts) == 3:
        return (
            f"{ {'mass': 'weight', 'forward': 'place', 'above': 'height'}[parts[2]] } of {parts[1]}"
        )
    if parts[0] == "runs" and len(parts) == 3:
        return f"{parts[2]} of the run {parts[1]}"
    if parts[0] == "money" and len(parts) == 3:
        words = MONEY.get(parts[2], parts[2].replace("_", " "))
        return f"{words} {parts[1]}" if parts[1] == AS_SHE_IS else f"{words} of {parts[1]}"
    return path.replace("_", " ").replace(".", ", ")


def drawn_inputs(choices: Iterable[Candidate], duty: Duty) -> dict[str, str]:
    """Name under which each input is drawn, and its words, for these candidates and the season."""
    found: dict[str, str] = {}
    for choice in choices:
        found |= _of_boat(choice.boat)
        for key, _ in choice.doubts:
            name = f"money.{choice.name}.{key}"
            if key == "fuel_price":
                name = f"money.fuel_price of {choice.boat.tank.fuel}"
                found[name] = f"price of {choice.boat.tank.fuel}"
            else:
                found[name] = spoken(name)
    for path, _ in duty.doubts:
        found[path] = spoken(path)
    for run in duty.runs:
        for key, _ in run.doubts:
            found[f"runs.{run.name}.{key}"] = spoken(f"runs.{run.name}.{key}")
    return found


def _of_boat(boat: Boat) -> dict[str, str]:
    power = show(boat.engine.rated_power_w, "power", "us", 0)
    engine = f"the new {power} {boat.engine.technology}" if boat.engine_key else ""
    screw = f"the propeller of {boat.propeller_key}" if boat.propeller_key else ""
    found = {}
    for path in dict.fromkeys(p for load in boat.load_names for p in doubted(boat.at(load=load))):
        name = draw_name(boat, path)
        of = screw if path.startswith("propeller.") else engine
        found[name] = spoken(path, of if name != path else "")
    return found


def matters_most(
    choices: Iterable[Candidate], duty: Duty, difference: Array, seed: int
) -> pd.DataFrame:
    """Inputs ranked by the share of the difference's spread they explain, (draws,) given."""
    good = np.isfinite(difference)
    columns = ["matter", "weighs", "way"]
    count = int(good.sum())
    if count < 3 or not np.std(difference[good]) > 0.0:
        return pd.DataFrame(columns=columns)
    centred = difference[good] - np.mean(difference[good])
    rows = []
    for name, words in drawn_inputs(choices, duty).items():
        drawn = standard_normal(seed, name, difference.size)[good]
        drawn = drawn - np.mean(drawn)
        together = float(np.mean(drawn * centred) / (np.std(drawn) * np.std(centred)))
        if abs(together) > CHANCE / np.sqrt(count):
            rows.append((words, together * together, "up" if together > 0.0 else "down"))
    rows.sort(key=lambda row: -row[1])
    return pd.DataFrame(rows[:MOST], columns=columns)
