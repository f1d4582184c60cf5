"""Weighing by tape: weight and balance point from heights over the water."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.fleet import Fleet
from perf.boat.parts import Boat, Mark
from perf.laws.hydrostatics import height_over_water
from perf.solve.flotation import BuoyantBox, float_at_rest, hull_form
from perf.studies.trial.tape import TapeFault, weigh_by_tape
from perf.studies.trial.weighing import weighing

EIGHTH_M = 0.003175
NAMES = ("number_four", "number_one", "number_seven")


@cache
def boat(name: str) -> Boat:
    return read_boat(demo_boats()[name])


def marks(one: Boat, more: float, forward_m: float, step_m: float = 0.0) -> tuple[Mark, ...]:
    """Four marks on a boat with more weight than listed, taped to the nearest step, worked out afresh."""
    lanes = Fleet.of(one).lanes
    box = BuoyantBox(lanes.bracket_width_m, lanes.bracket_length_m, lanes.bracket_bottom_m)
    rest = float_at_rest(
        hull_form(lanes),
        more * lanes.mass_kg / lanes.water_density,
        lanes.forward_m + forward_m,
        box,
        balance_above_m=lanes.above_m,
    )
    long = one.hull.length_overall_m
    places = (
        ("tp", 0.0, 0.9),
        ("ts", 0.0, 0.9),
        ("bp", 0.85 * long, 1.3),
        ("bs", 0.85 * long, 1.3),
    )
    out = []
    for name, ahead, high in places:
        tall = float(height_over_water(ahead, high, rest.draught_transom_m, rest.trim_deg)[0])
        tall = round(tall / step_m) * step_m if step_m else tall
        out.append(Mark(name, ahead, high, tall, one.load))
    return tuple(out)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("more", [1.0, 1.03, 1.1])
def test_a_synthetic_boat_is_recovered_within_two_per_cent(name: str, more: float) -> None:
    own = Fleet.of(boat(name)).lanes
    exact = weigh_by_tape(boat(name), marks(boat(name), more, -0.05), draws=0)
    assert exact.mass_kg[0] == pytest.approx(more * own.mass_kg[0], rel=1e-6)
    assert exact.forward_m[0] == pytest.approx(own.forward_m[0] - 0.05, abs=1e-5)
    assert exact.agree_m < 1e-9
    read = weigh_by_tape(boat(name), marks(boat(name), more, -0.05, EIGHTH_M), draws=0)
    assert read.mass_kg[0] == pytest.approx(more * own.mass_kg[0], rel=0.02)


@pytest.mark.parametrize(
    ("more", "flagged"), [(1.0, False), (1.04, False), (1.06, True), (0.93, True)]
)
def test_more_than_five_per_cent_is_flagged(more: float, flagged: bool) -> None:
    one = replace(boat("number_four"), freeboard=marks(boat("number_four"), more, 0.0))
    result = weighing(one, draws=50)
    assert ("hidden_weight" in result.cautions) is flagged
    assert result.summary["unlisted_mass_kg"] == pytest.approx(
        (more - 1.0) * result.summary["listed_mass_kg"], abs=1.0
    )


def test_the_band_holds_the_truth_eight_times_in_ten() -> None:
    one, inside = boat("number_four"), 0
    truth = 1.05 * float(Fleet.of(one).lanes.mass_kg[0])
    clean = marks(one, 1.05, 0.03)
    rng = np.random.default_rng(3)
    for seed in range(40):
        taped = tuple(
            replace(m, over_water_m=m.over_water_m + float(rng.normal(0.0, 0.00635 / 1.645)))
            for m in clean
        )
        drawn = weigh_by_tape(one, taped, draws=60, seed=seed).mass_kg[1:]
        low, high = np.nanpercentile(drawn, (10, 90))
        inside += low <= truth <= high
    assert inside >= 28  # the shape and the water are known here, so the band is wide


def test_what_the_answer_says() -> None:
    hidden = replace(boat("number_four"), freeboard=marks(boat("number_four"), 1.1, 0.0))
    assert "nobody listed" in weighing(hidden).answer.spoken("us")
    honest = replace(boat("number_four"), freeboard=marks(boat("number_four"), 1.0, 0.0))
    assert "no more than the tape can be off" in weighing(honest).answer.spoken("us")
    assert list(weighing(honest).tables["rows"]["mark"]) == ["tp", "ts", "bp", "bs"]


def test_marks_that_cannot_weigh_her() -> None:
    good = marks(boat("number_four"), 1.0, 0.0)
    cases = (
        (good[:1], "no marks"),
        (good[:2], "too close together"),
        ((good[0], replace(good[2], load="alone")), "different loads"),
        (tuple(replace(m, over_water_m=m.over_water_m - 3.0) for m in good), "does not float"),
    )
    for some, said in cases:
        with pytest.raises(TapeFault, match=said):
            weigh_by_tape(boat("number_four"), some, draws=0)
