"""The fit of a sea trial: known factors found inside their band, closed form, bootstrap, outliers, few points."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import cache

import numpy as np
import pytest

from perf.base.draws import NINE_IN_TEN, standard_normal
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.choice.building import new_propeller
from perf.boat.fleet import Fleet, doubted
from perf.boat.kicker import on_kicker
from perf.boat.learned import FACTORS
from perf.boat.log.demos import demo_logs
from perf.boat.log.file import read_log
from perf.boat.log.runs import SteadyRuns
from perf.boat.log.steady import steady_runs
from perf.boat.parts import Boat, Mark, Trial
from perf.studies.sweeps import sweep_boats, sweep_draws
from perf.studies.trial.alone import SURELY, TAKEN, _share, shares_counted
from perf.studies.trial.fit import Fit, fit
from perf.studies.trial.lessons import lessons
from perf.studies.trial.model import Tried, untried
from perf.studies.trial.search import FARTHEST, Search
from perf.studies.trial.study import calibrated, fit_trial
from perf.studies.trial.trust import Trust

METERS = Trust.meters_alone()
PACE = np.array([0.2, 0.35, 0.48, 0.6, 0.7, 0.8, 0.9, 1.0])
DRAG, PITCH, SLOPE = "assumed.trial_drag", "assumed.trial_pitch", "assumed.trial_fuel_slope"
IDLE = "assumed.trial_fuel_idle"
SEED = 7


@cache
def boat() -> Boat:
    return read_boat(demo_boats()["number_four"]).at(load="alone")


@cache
def top() -> float:
    return float(sweep_boats(boat()).top.speed_mps[0])


def log(
    moves: dict[str, float], *, noise: float = 0.0, seed: int = SEED, pace: np.ndarray = PACE
) -> SteadyRuns:
    """What the meters would show of a boat whose inputs are moved, nine in ten within their doubts."""
    speed = pace * 0.92 * top()
    runs = SteadyRuns.of(speed)
    tried = Tried.at(boat(), runs)
    seen = tried.readings({name: np.array([move]) for name, move in moves.items()}, speed[None, :])
    draw = {
        name: noise * standard_normal(seed, f"test {name}", speed.size) / NINE_IN_TEN
        for name in ("speed", "rpm", "flow")
    }
    return SteadyRuns.of(
        speed + METERS.speed_mps * draw["speed"],
        engine_rpm=seen.engine_rpm[0] + METERS.rpm * draw["rpm"],
        fuel_lph=seen.fuel_lph[0] * (1.0 + METERS.flow * draw["flow"]),
        drive_trim_deg=tried.drive_trim_deg,
    )


def found(one: Fit, name: str) -> tuple[float, float]:
    """What was found of an input, SI, and its standard deviation."""
    at = one.place(name)
    unit = float(one.half_widths[at])
    return float(one.moves[at]) * unit, one.left_of(name) * unit / NINE_IN_TEN


# --- recovery -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "truth",
    [{DRAG: 0.15, PITCH: -0.03}, {DRAG: -0.1, SLOPE: 0.12}, {PITCH: 0.03, SLOPE: -0.1}, {}],
    ids=str,
)
def test_known_factors_are_found_inside_their_band(truth: dict[str, float]) -> None:
    one = fit(boat(), log(truth, noise=1.0), METERS, only=(DRAG, PITCH, SLOPE))
    assert one.closed
    for name in (DRAG, PITCH, SLOPE):
        value, sd = found(one, name)
        assert abs(value - truth.get(name, 0.0)) <= 2.6 * sd  # 99 in 100
        assert sd < 0.7 * doubted(boat())[name] / NINE_IN_TEN


def test_with_meters_ten_times_as_good_the_factors_are_found_nearly_whole() -> None:
    truth = {DRAG: 0.1, PITCH: -0.02, SLOPE: 0.05}
    fine = replace(METERS, speed_mps=0.02, rpm=5.0, flow=0.005)
    one = fit(boat(), log(truth), fine, only=tuple(truth))
    for name, true in truth.items():
        assert found(one, name)[0] == pytest.approx(true, rel=0.05)


def test_with_everything_free_the_log_is_met_and_each_truth_lies_within_three_deviations() -> None:
    truth = {DRAG: 0.12, PITCH: -0.02, SLOPE: 0.08}
    one = fit(boat(), log(truth, noise=1.0), METERS)
    for name, true in truth.items():
        value, sd = found(one, name)
        assert abs(value - true) <= 3.0 * sd
    runs = one.runs
    assert np.abs(one.readings.engine_rpm[1, 2:] / runs.engine_rpm[2:] - 1.0).max() < 0.03
    assert np.abs(one.readings.fuel_lph[1] / runs.fuel_lph - 1.0).max() < 0.12


def test_what_the_log_tells_and_what_stays_as_assumed() -> None:
    one = fit(boat(), log({DRAG: 0.1}, noise=1.0), METERS)
    assert one.left_of(DRAG) < 0.6 and one.left_of(SLOPE) < 0.6
    assert one.left_of("assumed.trial_weight") > 0.9  # nothing but drag speaks for it
    no_fuel = replace(log({}, noise=1.0), fuel_lph=np.full(PACE.size, np.nan))
    assert SLOPE not in fit(boat(), no_fuel, METERS).names


# --- against a closed form, against a bootstrap ----------------------------------------------------------


def test_a_linear_part_against_its_closed_form() -> None:
    """Fuel alone, its slope alone: Bayes for one unknown with a normal prior, the speed's doubt folded in."""
    runs = replace(log({SLOPE: 0.04}, noise=0.4), engine_rpm=np.full(PACE.size, np.nan))
    one = fit(boat(), runs, METERS, only=(SLOPE,))
    value, sd = found(one, SLOPE)
    prior = doubted(boat())[SLOPE] / NINE_IN_TEN
    tried = Tried.at(untried(boat()), runs)
    step = 0.05
    speed = np.stack([runs.speed_mps, runs.speed_mps, runs.speed_mps + step])
    seen = np.log(tried.readings({SLOPE: np.array([value, value + 0.01, value])}, speed).fuel_lph)
    slope, by_speed = (seen[1] - seen[0]) / 0.01, (seen[2] - seen[0]) / step
    noise = METERS.fuel_sd(runs) ** 2 + (by_speed * METERS.speed_sd(runs)) ** 2
    told = np.sum(slope * slope / noise) + 1.0 / prior**2
    at_nought = seen[0] - slope * value
    closed = np.sum(slope * (np.log(runs.fuel_lph) - at_nought) / noise) / told
    assert value == pytest.approx(closed, abs=0.12 / np.sqrt(told))
    assert sd == pytest.approx(1.0 / np.sqrt(told), rel=0.08)


def test_covariance_against_a_bootstrap() -> None:
    """Truths drawn anew from the priors, fresh noise each time: the errors beside what each fit states."""
    names, count = (DRAG, PITCH, SLOPE), 40
    units = {name: doubted(boat())[name] / NINE_IN_TEN for name in names}
    drawn = {
        name: unit * standard_normal(SEED, f"truth {name}", count) for name, unit in units.items()
    }
    fits, errors = [], []
    for at in range(count):
        truth = {name: float(values[at]) for name, values in drawn.items()}
        one = fit(boat(), log(truth, noise=1.0, seed=at), METERS, only=names)
        fits.append(one)
        errors.append([found(one, name)[0] - truth[name] for name in names])
    off = np.array(errors)
    for at, name in enumerate(names):
        stated = np.sqrt(np.mean([found(one, name)[1] ** 2 for one in fits]))
        assert stated == pytest.approx(np.sqrt(np.mean(off[:, at] ** 2)), rel=0.3)
    pairs = [one.covariance[0, 2] / (one.left_of(DRAG) * one.left_of(SLOPE)) for one in fits]
    assert np.mean(pairs) == pytest.approx(np.corrcoef(off[:, 0], off[:, 2])[0, 1], abs=0.3)


# --- outliers and few points ---------------------------------------------------------------------------


@pytest.mark.parametrize("row", [0, 3, 7])
@pytest.mark.parametrize("column", ["engine_rpm", "fuel_lph", "speed_mps"])
@pytest.mark.parametrize("much", [0.7, 1.3])
def test_one_row_thirty_per_cent_off_moves_no_factor_by_a_deviation(
    row: int, column: str, much: float
) -> None:
    good, clean = honest()
    bad = getattr(good, column).copy()
    bad[row] *= much
    hurt = fit(boat(), replace(good, **{column: bad}), METERS)
    for path in FACTORS:
        if path in clean.names and path in hurt.names:
            before, after = found(clean, path), found(hurt, path)
            assert abs(after[0] - before[0]) <= after[1]


@cache
def honest() -> tuple[SteadyRuns, Fit]:
    runs = log({DRAG: 0.08, SLOPE: 0.05}, noise=1.0, seed=11)
    return runs, fit(boat(), runs, METERS)


def test_the_row_that_stands_out_is_named_and_an_honest_log_loses_none() -> None:
    good, clean = honest()
    assert clean.aside == () and clean.scatter == 1.0
    bad = good.engine_rpm.copy()
    bad[4] *= 1.3
    assert fit(boat(), replace(good, engine_rpm=bad), METERS).aside == (4,)


def test_a_log_that_scatters_widens_its_bands() -> None:
    good, clean = honest()
    wild = np.array([1.06, 0.94, 1.07, 0.93, 1.06, 0.94, 1.07, 0.93])
    rough = fit(
        boat(),
        replace(good, engine_rpm=good.engine_rpm * wild, fuel_lph=good.fuel_lph * wild[::-1] ** 3),
        METERS,
    )
    assert rough.scatter > 1.3
    assert rough.left_of(DRAG) > clean.left_of(DRAG)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_few_points_work_and_say_how_little_they_know(count: int) -> None:
    runs = log({DRAG: 0.1}, noise=1.0).take(list(range(7, 7 - count, -1)))
    one = fit(boat(), runs)
    more = fit(boat(), log({DRAG: 0.1}, noise=1.0))
    told = [name for name in one.names if one.left_of(name) < 0.95]
    assert one.closed and all(one.left_of(name) <= 1.0 + 1e-9 for name in one.names)
    assert len(told) <= len([name for name in more.names if more.left_of(name) < 0.95])
    assert one.left_of(DRAG) > more.left_of(DRAG) - 1e-9


def test_nothing_to_fit_is_said() -> None:
    with pytest.raises(ValueError, match="nothing to fit"):
        fit(boat(), SteadyRuns.of(np.array([10.0])))
    with pytest.raises(ValueError, match="no load is called"):
        fit(
            boat(),
            replace(
                SteadyRuns.of(np.array([10.0]), engine_rpm=np.array([4000.0])), load=("party",)
            ),
        )


def test_many_points_never_claim_more_than_a_day_can_teach() -> None:
    crowd = np.repeat(PACE, 6)
    one = fit(boat(), log({}, noise=1.0, pace=crowd), Trust.usual())
    assert min(one.left_of(name) for name in one.names) >= Trust.usual().other_day


# --- what is learned goes with the boat ------------------------------------------------------------------


@cache
def taught() -> Trial:
    return fit_trial(boat(), honest()[0], METERS)


def test_without_a_trial_nothing_changes_by_a_bit() -> None:
    plain, neutral = boat(), boat().at(trial=Trial())
    for make in (Fleet.of, lambda one: Fleet.draw(one, 40, 3), lambda one: Fleet.moved(one, {})):
        for field in fields(make(plain).lanes):
            one, other = (getattr(make(b).lanes, field.name) for b in (plain, neutral))
            assert np.array_equal(one, other, equal_nan=True), field.name


def test_the_calibrated_boat_has_narrower_bands_about_what_was_measured() -> None:
    before, after = boat(), boat().at(trial=taught())
    widths = []
    for one in (before, after):
        stated = sweep_boats(one)
        speed = sweep_draws(one, stated, 100, 1).top.speed_mps
        widths.append(np.diff(np.nanpercentile(speed, (10, 90)))[0])
    assert widths[1] < 0.6 * widths[0]


def test_draws_are_taken_together_and_shared_by_candidates() -> None:
    tried = boat().at(trial=taught())
    other = replace(tried, mounting=replace(tried.mounting, plate_height_m=0.0))
    one, two = (Fleet.draw(each, 50, 5).lanes for each in (tried, other))
    assert np.array_equal(one.trial_drag, two.trial_drag)
    assert np.array_equal(one.rated_power_w, two.rated_power_w)
    few = Fleet.draw(tried, 10, 5).lanes
    assert np.array_equal(few.trial_drag, one.trial_drag[:10])  # counter-based: the first of many
    learned = taught().learned
    assert learned is not None
    stated = np.array([one.trial_drag, one.fuel_slope])
    names = [learned.names.index(DRAG), learned.names.index(SLOPE)]
    rows = [
        np.array([*learned.spread[at], *(0.0,) * (len(learned.names) - at - 1)]) for at in names
    ]
    expected = rows[0] @ rows[1] / np.sqrt((rows[0] @ rows[0]) * (rows[1] @ rows[1]))
    many = Fleet.draw(tried, 4000, 5).lanes
    assert np.corrcoef(many.trial_drag, many.fuel_slope)[0, 1] == pytest.approx(expected, abs=0.05)
    assert stated.shape == (2, 50)


def test_lessons_of_a_part_that_is_changed_do_not_go_along() -> None:
    tried = boat().at(trial=taught())
    fresh = replace(
        tried,
        trial=replace(tried.trial, pitch=1.0),
        doubts=tuple((new_propeller(dict(tried.doubts)) | {"propeller.pitch": 0.01}).items()),
        propeller_key="3 blades 15 in cup none",
    )
    plain = replace(fresh, trial=Trial())
    one, other = (Fleet.draw(each, 30, 2).lanes for each in (fresh, plain))
    assert np.array_equal(
        one.pitch_m, other.pitch_m
    )  # a propeller not aboard yet is not learned of
    assert not np.array_equal(one.trial_drag, other.trial_drag)  # the hull is
    engine = replace(
        tried, engine_key="other", trial=replace(tried.trial, fuel_slope=1.0, fuel_idle=1.0)
    )
    bare = replace(engine, trial=Trial())
    one, other = (Fleet.draw(each, 30, 2).lanes for each in (engine, bare))
    assert np.array_equal(one.rated_power_w, other.rated_power_w)
    assert np.array_equal(one.fuel_slope, other.fuel_slope)


def test_on_the_kicker_only_the_hull_is_learned_of() -> None:
    kickers = [read_boat(path) for path in demo_boats().values()]
    with_kicker = next(one for one in kickers if one.kicker is not None)
    runs = SteadyRuns.of(np.array([8.0, 12.0]), engine_rpm=np.array([3900.0, 4600.0]))
    tried = on_kicker(with_kicker.at(trial=fit_trial(with_kicker, runs)))
    plain = on_kicker(with_kicker)
    one, other = (Fleet.draw(each, 20, 2).lanes for each in (tried, plain))
    assert np.array_equal(one.effective_pitch_ratio, other.effective_pitch_ratio)
    assert np.array_equal(one.rated_power_w, other.rated_power_w)


def test_a_second_trial_replaces_the_first_and_counts_nothing_twice() -> None:
    once = calibrated(boat(), honest()[0])
    twice = calibrated(once, honest()[0])
    assert twice.trial == once.trial


def test_taped_marks_in_the_file_speak_for_weight_and_balance() -> None:
    heavy = {"assumed.trial_weight": 0.06}
    marks = (Mark("transom", 0.0, 0.8, 0.0, "alone"), Mark("bow", 6.0, 1.3, 0.0, "alone"))
    empty = SteadyRuns.of(np.empty(0))
    tried = Tried.at(boat(), empty, marks)
    heights = tried.readings(
        {k: np.array([v]) for k, v in heavy.items()}, np.empty((1, 0))
    ).heights_m[0]
    taped = replace(
        boat(),
        freeboard=tuple(
            replace(m, over_water_m=float(h)) for m, h in zip(marks, heights, strict=True)
        ),
    )
    runs = log({DRAG: 0.0}, noise=1.0)
    plain, told = fit(boat(), runs, METERS), fit(taped, runs, METERS)
    mass = "light.mass"
    assert told.left_of(mass) < plain.left_of(mass)
    weight, listed = (
        Fleet.of(one.at(trial=lessons(f))).lanes.mass_kg[0]
        for one, f in ((taped, told), (boat(), plain))
    )
    assert weight > listed + 0.3 * 0.06 * boat().light.mass_kg


@pytest.mark.parametrize("name", ["number_four_morning", "number_four_recording"])
def test_the_demo_logs_tell_what_was_put_into_them(name: str) -> None:
    """Their remarks say it: 12 % more drag, 6 % more fuel for her power, 3 % less effective pitch."""
    whole = read_boat(demo_boats()["number_four"])
    one = fit(whole, steady_runs(read_log(demo_logs()[name])).runs)
    for path, true in ((DRAG, 0.12), (SLOPE, 0.06), (PITCH, -0.03)):
        value, sd = found(one, path)
        assert abs(value - true) <= 2.0 * sd


@pytest.mark.parametrize("slope", [0.2, 1.0, 5.0])
def test_one_reading_alone_takes_no_more_than_its_share_of_a_factors_doubt(slope: float) -> None:
    """One factor of prior variance one and one reading of it: closed form, and the bound it is made for."""
    whole = np.array([[1.0 / (1.0 + slope * slope)]])
    weight = _share(whole, np.array([slope]), [0])
    surely = weight * slope * slope
    assert surely / (1.0 + surely) <= TAKEN + 1e-12
    assert weight == 1.0 or surely / (1.0 + surely) == pytest.approx(TAKEN)
    assert (weight < 1.0) is (slope * slope > SURELY)
    moved, left = FARTHEST * surely / (1.0 + surely), 1.0 / np.sqrt(1.0 + surely)
    assert moved <= left * (1.0 + 1e-12)


def test_a_run_that_alone_knows_the_fuel_at_rest_does_not_tell_it_alone() -> None:
    good, clean = honest()
    search = Search.of(untried(boat()), good, METERS, None)
    counted = shares_counted(search, search.run())
    assert np.all((counted > 0.0) & (counted <= 1.0))
    assert counted[good.count] < 0.5  # the burn of the slowest run
    assert np.all(
        counted[good.count + 3 : 2 * good.count] == 1.0
    )  # of the fast ones others speak too
    assert clean.left_of(IDLE) > 0.7
