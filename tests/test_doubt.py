"""Doubt: draws that belong to their input's name, bands in which a failed draw counts as the worst."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from fleets import bits, demos, fixed
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from perf.base.draws import FARTHEST, NINE_IN_TEN, drawn, standard_normal
from perf.boat.fleet import Fleet
from perf.boat.lanes import Lanes
from perf.studies.speeds import speeds
from perf.studies.spread import WORST_IS_LOW, band
from perf.studies.sweeps import drawn_names, sweep_boats, sweep_draws

NAMES = st.text(st.characters(categories=("Ll", "Nd", "Pc", "Po")), min_size=1, max_size=30)


# --- the numbers ---------------------------------------------------------------------------------


@given(seed=st.integers(0, 2**31), name=NAMES, few=st.integers(1, 40), more=st.integers(0, 400))
def test_the_first_of_many_draws_are_the_few(seed: int, name: str, few: int, more: int) -> None:
    long = standard_normal(seed, name, few + more)
    assert np.array_equal(bits(standard_normal(seed, name, few)), bits(long[:few]))
    assert np.array_equal(bits(standard_normal(seed, name, few + more)), bits(long))


@given(seed=st.integers(0, 2**31), name=NAMES, other=NAMES)
def test_another_name_or_seed_draws_other_numbers(seed: int, name: str, other: str) -> None:
    mine = standard_normal(seed, name, 64)
    assert not np.array_equal(mine, standard_normal(seed + 1, name, 64))
    if other != name:
        assert not np.array_equal(mine, standard_normal(seed, other, 64))


def test_draws_are_normal_and_independent() -> None:
    """Kolmogorov and Smirnov's test on 20,000 draws; no correlation between inputs or seeds."""
    first = standard_normal(1, "hull.chine_beam", 20_000)
    assert stats.kstest(first, "norm").pvalue > 0.01
    assert np.abs(first).max() <= FARTHEST
    for other in (
        standard_normal(1, "hull.length_overall", 20_000),
        standard_normal(2, "hull.chine_beam", 20_000),
    ):
        assert abs(np.corrcoef(first, other)[0, 1]) < 0.03


def test_the_half_width_holds_nine_in_ten() -> None:
    """A value of 5,000 ± 150 lies between 4,850 and 5,150 in nine draws of ten, as the file means it."""
    values = drawn(3, "light.mass", 20_000, 5_000.0, 150.0)
    assert np.mean(np.abs(values - 5_000.0) <= 150.0) == pytest.approx(0.9, abs=0.01)
    assert values.mean() == pytest.approx(5_000.0, abs=3.0)
    assert pytest.approx(1.6448536, rel=1e-7) == NINE_IN_TEN


# --- draws of boats ------------------------------------------------------------------------------


def lanes_of(boat: object, count: int, seed: int = 1) -> Lanes:
    return Fleet.draw(boat, count, seed).lanes


def changed_columns(one: Lanes, other: Lanes) -> set[str]:
    return {
        f.name
        for f in fields(Lanes)
        if not np.array_equal(bits(getattr(one, f.name)), bits(getattr(other, f.name)))
    }


def test_the_same_seed_gives_the_same_boats() -> None:
    boat = demos()[3]
    assert not changed_columns(lanes_of(boat, 50), lanes_of(boat, 50))
    assert len(changed_columns(lanes_of(boat, 50), lanes_of(boat, 50, seed=2))) > 20
    first = lanes_of(boat, 50).take(np.arange(20))
    assert not changed_columns(first, lanes_of(boat, 20))


def test_a_new_doubt_moves_no_other_draw() -> None:
    """A doubt on the frontal area changes the air's columns alone."""
    boat = demos()[1]
    doubts = tuple(d for d in boat.doubts if d[0] != "air.frontal_area")
    without = lanes_of(replace(boat, doubts=doubts), 40)
    doubted = lanes_of(replace(boat, doubts=(("air.frontal_area", 0.4), *doubts)), 40)
    assert changed_columns(without, doubted) == {"frontal_area_m2", "air_above_m"}


def test_boats_share_their_draws_by_name() -> None:
    """Two hulls with the same engine draw the same power: what is compared is not blurred by luck."""
    one, other = (fixed(name) for name in ("charter_hull_24ft", "work_hull_25ft"))
    both = Fleet.draw([one, other], 30, 1).lanes
    power = both.rated_power_w.reshape(2, 30)
    assert power[0] / power[0].mean() == pytest.approx(power[1] / power[1].mean(), rel=1e-12)
    alone = lanes_of(other, 30)
    assert np.array_equal(bits(both.take(np.arange(30, 60)).mass_kg), bits(alone.mass_kg))


@pytest.mark.parametrize("boat", [*demos(), fixed("charter_hull_24ft")], ids=lambda boat: boat.name)
def test_what_is_said_to_be_drawn_is_drawn(boat: object) -> None:
    """Each input named as inside the band moves some column when it is drawn; each other one is still."""
    many = lanes_of(boat, 4)
    for name in drawn_names(boat):
        doubts = tuple(d for d in boat.doubts if d[0] != name)
        still = lanes_of(replace(boat, doubts=((name, 0.0), *doubts)), 4)
        assert changed_columns(many, still), f"{name} is named and moves nothing"
    sure = tuple((name, 0.0) for name in drawn_names(boat))
    none = lanes_of(replace(boat, doubts=sure), 4)
    assert not changed_columns(none, Fleet.of([boat] * 4).lanes)


# --- bands ---------------------------------------------------------------------------------------


@settings(max_examples=60)
@given(
    st.lists(st.floats(-1e6, 1e6), min_size=2, max_size=40),
    st.integers(0, 30),
    st.sampled_from(["top_speed_mps", "fuel_lph"]),
)
def test_a_failed_draw_ranks_worst(good: list[float], failed: int, name: str) -> None:
    """As if every failed draw were worse than the worst good one; where the edge is a failed one, no number."""
    worst = min(good) - 1.0 if name in WORST_IS_LOW else max(good) + 1.0
    draws = np.array(good + [np.nan] * failed)[:, None]
    as_if = np.array(good + [worst] * failed)[:, None]
    for found, wanted in zip(band(name, draws), band(name, as_if), strict=True):
        assert np.isnan(found[0]) if wanted[0] == worst else found[0] == wanted[0]


def test_failures_eat_the_band_from_their_end() -> None:
    """Twenty of a hundred draws that fail: the good edge stays a number, the bad one has none."""
    draws = np.concatenate([np.linspace(10.0, 20.0, 80), np.full(20, np.nan)])[:, None]
    low, high = band("top_speed_mps", draws)
    assert np.isnan(low[0])
    assert high[0] == pytest.approx(18.7, abs=0.2)
    low, high = band("fuel_lph", draws)
    assert low[0] == pytest.approx(11.3, abs=0.2)
    assert np.isnan(high[0])
    few = np.concatenate([np.linspace(10.0, 20.0, 95), np.full(5, np.nan)])[:, None]
    assert band("top_speed_mps", few)[0][0] < np.nanquantile(few, 0.1)


@pytest.fixture(scope="module")
def answer():
    return speeds(fixed("charter_hull_24ft"), draws=60, seed=4)


def test_the_band_holds_the_middle(answer) -> None:
    """The stated boat lies inside the band of her own draws, in figures and in nearly every row."""
    found = answer.summary
    for name in (
        "top_speed_mps",
        "top_rpm",
        "best_mileage_m_per_l",
        "slowest_planing_speed_mps",
        "hump_margin",
        "time_to_plane_s",
    ):
        low, value, high = (found[name + ending] for ending in ("_p10", "", "_p90"))
        assert low <= value <= high, name
        assert low < high, name
    rows = answer.tables["rows"]
    for name in ("resistance_n", "fuel_lph", "trim_deg"):
        low, high = rows[name + "_p10"], rows[name + "_p90"]
        both = low.notna() & high.notna()
        assert both.sum() > 20
        assert (low[both] <= high[both]).all(), name
        inside = (low <= rows[name]) & (rows[name] <= high)
        assert inside[both].mean() > 0.9, name


def test_the_same_seed_gives_the_same_answer(answer) -> None:
    again = speeds(fixed("charter_hull_24ft"), draws=60, seed=4)
    assert again.summary == answer.summary
    other = speeds(fixed("charter_hull_24ft"), draws=60, seed=5)
    assert other.summary["top_speed_mps"] == answer.summary["top_speed_mps"]
    assert other.summary["top_speed_mps_p10"] != answer.summary["top_speed_mps_p10"]


def test_she_planes_less_surely_with_more_aboard() -> None:
    """The chance over 100 draws falls with weight, from sure to none, and the same draws tell it."""
    boat = fixed("charter_hull_24ft")
    weak = replace(boat, engine=replace(boat.engine, rated_power_w=0.5 * boat.engine.rated_power_w))
    loads = [
        replace(weak, light=replace(weak.light, mass_kg=weak.light.mass_kg * more))
        for more in (0.6, 1.0, 1.4, 1.8, 2.4)
    ]
    stated = sweep_boats(loads)
    planes = sweep_draws(loads, stated, 100, 1).planes.reshape(5, 100)
    chance = planes.mean(axis=1)
    print(f"  chance of planing {chance}")
    assert np.all(np.diff(chance) <= 0.0)
    assert chance[0] > 0.95
    assert chance[-1] < 0.05
    # draw by draw: hardly one that planes with more planed not with less
    assert np.mean(planes[1:] & ~planes[:-1]) < 0.01
