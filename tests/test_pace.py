"""The counts of the pace, without a clock: trims tried, lanes evaluated, memory held. The rest is tests/pace.py."""

from __future__ import annotations

import numpy as np
import pace
import pace_pages
import pytest

from perf.solve import balance, performance
from perf.solve.balance import settle
from perf.solve.performance import points

LANES = 2_000


def test_trims_tried_per_lane() -> None:
    """At most 16 in the search for the balance, and no lane is asked more often than its search says."""
    where = pace.flat_course(LANES)
    at = settle(where)
    print(f"  {at.evaluations.mean():.1f} on average, {at.evaluations.max()} at most")
    assert at.found.mean() > 0.99
    assert at.evaluations.max() <= pace.BOUNDS["evaluations"]


def test_work_inside_the_search(monkeypatch) -> None:
    """Forces worked out per lane in all: the search, its end, and the ends of the search for the lost few."""
    asked = []
    inner = balance.forces_at

    def counted(course, trim_deg):
        asked.append(trim_deg.size)
        return inner(course, trim_deg)

    monkeypatch.setattr(balance, "forces_at", counted)
    where = pace.flat_course(LANES)
    at = settle(where)
    each = sum(asked) / LANES
    print(f"  {each:.1f} evaluations of the forces per lane in {len(asked)} calls")
    lost = 2 * np.sum(~at.found)
    assert sum(asked) == at.evaluations.sum() + LANES + lost
    assert each <= pace.BOUNDS["evaluations"] + 1
    assert len(asked) <= 30


@pytest.mark.parametrize("block", [200, 700, 16_000])
def test_every_lane_once(block: int, monkeypatch) -> None:
    """A call evaluates what it is asked for, in blocks no larger than said, and nothing twice."""
    seen = []
    inner = performance._block

    def counted(afloat, *rest):
        seen.append(afloat.lanes.count)
        return inner(afloat, *rest)

    monkeypatch.setattr(performance, "BLOCK", block)
    monkeypatch.setattr(performance, "_block", counted)
    points(*pace.scattered(LANES))
    assert sum(seen) == LANES
    assert max(seen) <= block
    assert len(seen) == -(-LANES // block)


def test_lanes_behind_one_answer() -> None:
    """One boat with 200 draws: 24 speeds each, the best drive trim of her own, the top speeds by root."""
    lanes = pace.lanes_of_one_answer()
    print(f"  {lanes} lanes")
    assert 200 * 24 < lanes <= pace.BOUNDS["sweep"]


def test_what_a_change_on_the_first_page_asks_for() -> None:
    """To sentence and curves a handful of engine calls over some hundred lanes, and the draws once, after."""
    behind = pace_pages.behind_a_change()
    print(f"  {behind.calls:.0f} calls, {behind.lanes:.0f} lanes")
    assert behind.calls <= pace.BOUNDS["asked"]
    assert 7 * 24 < behind.lanes <= pace.BOUNDS["lanes"]


def test_what_a_move_of_a_slider_asks_for() -> None:
    """To figures and drawing one lane, what else is shown being known; then the draws of that place."""
    slid = pace_pages.behind_a_slide()
    print(f"  {slid.asked:.0f} lanes, {slid.lanes:.0f} with the bands, {1e3 * slid.first:.0f} ms")
    assert slid.asked <= pace.BOUNDS["picked"]
    assert 24 * 60 < slid.lanes <= pace.BOUNDS["slid"]


def test_memory_does_not_grow_with_the_lanes(monkeypatch) -> None:
    """In blocks of 400: eight times the lanes hold no more than the same block, as tracemalloc counts."""
    monkeypatch.setattr(performance, "BLOCK", 400)
    few, many = pace.overhead(800), pace.overhead(6_400)
    print(f"  {few / 1e6:.2f} MB at 800 lanes, {many / 1e6:.2f} MB at 6,400")
    assert many - few < 0.25 * few + 1e5
