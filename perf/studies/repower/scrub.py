"""Does a scrub pay: the season's fuel by weeks between scrubs, for the boat as she is and the first choice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from perf.boat.choice.parts import Candidate, Duty
from perf.studies.repower.draws import fouled, mean_allowance, plan_scenes, state
from perf.studies.repower.money import fuel_price
from perf.studies.repower.season import as_stated, season

WEEKS = (2.0, 4.0, 8.0, 12.0)  # tried beside what the duty states
COLUMNS = ["candidate", "weeks", "scrubs", "season_fuel_m3", "scrub_cost", "scrub_gain"]


def scrub_table(choices: Sequence[Candidate], duty: Duty) -> pd.DataFrame:
    """One row a choice and number of weeks between scrubs; empty where the duty states no weeks.

    The gain is against never scrubbing in the season, in money, and stands only where a scrub and
    the fuel have a price.
    """
    if duty.weeks is None:
        return pd.DataFrame(columns=COLUMNS)
    ladder = sorted({w for w in WEEKS if w < duty.weeks} | {duty.weeks} | _stated(duty))
    tried = [
        replace(c, boat=fouled(c.boat, mean_allowance(weeks))) for c in choices for weeks in ladder
    ]
    bare = replace(duty, weeks_between_scrubs=None)
    loads = tuple(dict.fromkeys(run.load for run in duty.runs))
    scenes = state(plan_scenes(tried, bare, loads, (loads[0], None)))
    litres = np.array(
        [
            float(season(c, at, bare, scenes.as_stated, scenes, as_stated).litres[0])
            for at, c in enumerate(tried)
        ]
    ).reshape(len(choices), len(ladder))
    rows = []
    for place, choice in enumerate(choices):
        price = fuel_price(choice, duty, choices[0].boat.tank.fuel, as_stated)
        for step, weeks in enumerate(ladder):
            many = duty.weeks / weeks - 1.0
            cost = np.nan if duty.scrub_price is None else many * duty.scrub_price
            saved = np.nan
            if price is not None:
                saved = float(price[0]) * (litres[place, -1] - litres[place, step])
            rows.append(
                (choice.name, weeks, many, litres[place, step] / 1000.0, cost, saved - cost)
            )
    return pd.DataFrame(rows, columns=COLUMNS)


def _stated(duty: Duty) -> set[float]:
    weeks = duty.weeks_between_scrubs
    return {weeks} if weeks is not None and duty.weeks and weeks < duty.weeks else set()


def best_scrub(table: pd.DataFrame, candidate: str) -> float | None:
    """Weeks between scrubs that gain most for one candidate; None where no scrub pays or none is known."""
    own = table[table["candidate"] == candidate]
    gains = own["scrub_gain"].to_numpy(dtype=float)
    if not gains.size or not np.isfinite(gains).any() or np.nanmax(gains) <= 0.0:
        return None
    return float(own["weeks"].to_numpy(dtype=float)[int(np.nanargmax(gains))])
