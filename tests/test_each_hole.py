"""Hole by hole: the same numbers as the grid, the right words beside each, and two holes up or three."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pytest
from fleets import demos

from perf.base.assumptions import MOUNTING
from perf.base.results import Result, Sentence
from perf.boat.parts import Boat
from perf.studies.mount import each_hole
from perf.studies.mount.holes import FITS, Shaft
from perf.studies.mount.study import Wanted, mount
from perf.studies.mount.summary import _missed

OUTBOARDS = [boat for boat in demos() if boat.engine.drive == "outboard"]
FOUR = next(boat for boat in OUTBOARDS if boat.name == "Number Four")


@cache
def hung(boat: Boat) -> Result:
    return mount(boat, (boat.mounting.setback_m,), (0.0,), draws=60)


def test_a_hole_does_what_the_grid_says_of_its_height() -> None:
    result = hung(FOUR)
    table = result.tables["each_hole"]
    heights = table["plate_height_m"].tolist()
    grid = mount(FOUR, (FOUR.mounting.setback_m,), heights, draws=0).tables["rows"]
    for name in ("top_speed_mps", "mileage_m_per_l"):
        np.testing.assert_array_equal(table[name], grid[name])
    lost = table["thrust_lost"].to_numpy()  # flat out the water behind the transom lies lower
    assert np.all((lost >= -1e-12) & (lost < 1.0)) and np.all(np.diff(lost) >= -1e-12)
    assert np.all(lost >= 1.0 - grid["thrust_kept"].to_numpy() - 1e-3)
    assert table["holes"].tolist() == [0, 1, 2, 3, 4]
    steps = np.diff(heights)  # common practice: three quarters of an inch, along the raked transom
    rake = np.cos(np.radians(FOUR.hull.transom_rake_deg))
    np.testing.assert_allclose(steps, 0.75 * 0.0254 * rake, rtol=1e-9)


def test_what_stands_beside_a_hole_is_where_it_lies_to_the_range() -> None:
    seen = set()
    for boat in OUTBOARDS:
        result = hung(boat)
        low, high = (
            result.summary["recommendation"][f"plate_height_{end}_m"] for end in ("low", "high")
        )
        for _, row in result.tables["each_hole"].iterrows():
            mind, height = row["fit"], row["plate_height_m"]
            seen.add(mind.split(":")[0].split(";")[0])
            if low is None:
                assert "recommended" in mind or "plane" in mind
            elif mind.startswith("too low"):
                assert height < low
            elif mind.startswith("too high"):
                assert height > high
            else:
                assert mind.startswith("fits") and low - FITS <= height <= high + FITS
    assert {"too low", "too high", "fits"} <= seen


@pytest.mark.parametrize("boat", OUTBOARDS, ids=lambda boat: boat.name)
def test_two_holes_or_three_picks_the_one_nearer_to_the_range(boat: Boat) -> None:
    result = hung(boat)
    answer = result.shown("us").answer
    said = answer.partition("Two holes up or three? ")[2]
    advice = result.summary["recommendation"]
    if advice["plate_height_low_m"] is None:
        assert not said
        return
    table = result.tables["each_hole"].set_index("holes")
    low, high = advice["plate_height_low_m"], advice["plate_height_high_m"]
    misses = [max(low - h, h - high, 0.0) for h in table["plate_height_m"][[2.0, 3.0]]]
    if misses[0] != misses[1]:
        assert said.startswith("Two" if misses[0] < misses[1] else "Three")
    miles = table["mileage_m_per_l"]
    gain = float(miles[3.0] / miles[2.0] - 1.0)
    assert f"goes {abs(100 * gain):.1f} % {'farther' if gain >= 0 else 'less far'}" in said
    assert ("four better still" in said) == (said.startswith("Three") and advice["holes"] > 3)


def test_a_difference_is_called_one_to_rely_on_only_where_the_draws_agree() -> None:
    """A made ladder in which half the draws gain and half lose, and one in which all gain."""
    heights = np.array([each_hole.HEIGHTS_M[10], each_hole.HEIGHTS_M[12]])
    rising = np.tile(each_hole.HEIGHTS_M, (40, 1)) + 1.0
    turned = np.where(np.arange(40)[:, None] < 20, rising, 2.0 - rising)

    def ladder(values: np.ndarray) -> each_hole.Ladder:
        return each_hole.Ladder(values, values, values, values, None)  # type: ignore[arg-type]

    assert each_hole._trust(ladder(turned), heights) == ", no difference to rely on"
    assert each_hole._trust(ladder(rising), heights) == ""
    assert each_hole._trust(None, heights) == ""
    assert each_hole._share_more(np.full(4, np.nan), np.ones(4)) != 0.0  # unknown, not never


@pytest.mark.parametrize("boat", OUTBOARDS, ids=lambda boat: boat.name)
def test_the_answer_names_the_hole_first_and_calls_little_little(boat: Boat) -> None:
    result = hung(boat)
    answer, advice = result.shown("us").answer, result.summary["recommendation"]
    if advice["plate_height_low_m"] is None:
        return
    start = answer.partition(" back: ")[2]
    assert re.match(
        rf"a \d+ in shaft, {advice['holes']} holes? up, .*: plate .* over the bottom", start
    )
    assert start.index("Two holes up or three?") < start.index("Lower, ")
    assert "comes nearest, 0 in" not in answer and "little either way" not in answer
    miles = result.tables["each_hole"].set_index("holes")["mileage_m_per_l"]
    top = result.tables["each_hole"].set_index("holes")["top_speed_mps"]
    gains = [abs(one[3.0] / one[2.0] - 1.0) for one in (miles, top)]
    felt = max(gains) >= MOUNTING["height_loss"].value
    assert not (felt and "too little to feel" in answer)
    assert felt or "too little to feel" in answer or "no difference to rely on" in answer


def test_a_miss_that_rounds_to_nothing_gets_there() -> None:
    def shaft(misses_by_m: float) -> Shaft:
        return Shaft(0.635, 0.0, 0.07, 2, 0.04, misses_by_m, 0.0)

    assert _missed(shaft(0.9 * FITS)) == _missed(shaft(-0.9 * FITS)) == (", gets there",)
    for over, way in ((1.1 * FITS, "high"), (-1.1 * FITS, "low")):
        words = Sentence(_missed(shaft(over))).spoken("us")
        assert words == f", comes nearest, 1/4 in too {way}"


def test_the_holes_follow_the_seat_of_a_bracket() -> None:
    """The seat lowered by one hole: each hole stands where the one below it stood, if the shaft is the same."""
    step = MOUNTING["hole_spacing"].value * np.cos(np.radians(FOUR.hull.transom_rake_deg))
    plain = hung(FOUR)
    dropped = mount(FOUR, (FOUR.mounting.setback_m,), (0.0,), Wanted(drop_m=float(step)), draws=0)
    shafts = [one.summary["recommendation"]["shaft_m"] for one in (plain, dropped)]
    heights = [one.tables["each_hole"]["plate_height_m"].to_numpy() for one in (plain, dropped)]
    np.testing.assert_allclose(heights[1] - heights[0], shafts[0] - shafts[1] - step, atol=1e-9)
