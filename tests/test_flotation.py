"""The boat at rest: closed forms, an independent integration, and properties on random hulls.

The expected figures of a prismatic hull are our own derivation: elementary hydrostatics, solved
apart from this code (depth at station x: T - x tan(trim); section d^2/tan(deadrise)). No published
flotation of such a hull was found. The independent integration lays vertical columns under a hull
whose lines are written out here a second time, in plain form.
"""

from __future__ import annotations

import time
from dataclasses import fields, replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from perf.laws.hull_lines import HullForm, hull_lines, hull_marks
from perf.laws.hydrostatics import height_over_water, longitudinal_metacentric_height
from perf.solve import flotation
from perf.solve.flotation import BuoyantBox, Flotation, Rest, float_at_rest, freeboard

NAMES = [f.name for f in fields(HullForm)]
DESCRIBED = [f.name for f in fields(Flotation)]


def form_of(*measures: float, count: int = 1) -> HullForm:
    return HullForm(*(np.full(count, value, dtype=float) for value in measures))


def take(form: HullForm, rows: Any) -> HullForm:
    return HullForm(*(getattr(form, name)[rows] for name in NAMES))


def random_boats(count: int, seed: int) -> tuple[HullForm, np.ndarray, np.ndarray, np.ndarray]:
    """Hulls, volumes, balance points forward and above; drawn wide of what floats in harbours."""
    g = np.random.default_rng(seed)
    overall = g.uniform(4.0, 10.0, count)
    waterline = overall * g.uniform(0.75, 1.0, count)
    beam = overall * g.uniform(0.26, 0.42, count)
    midship = g.uniform(0.0, 30.0, count)
    form = HullForm(
        overall,
        waterline,
        beam,
        beam * g.uniform(0.7, 1.0, count),
        midship * g.uniform(0.3, 1.0, count),
        midship,
        g.uniform(10.0, 60.0, count),
    )
    volume = waterline * beam * beam * g.uniform(0.04, 0.16, count)
    return form, volume, waterline * g.uniform(0.3, 0.5, count), beam * g.uniform(0.2, 0.5, count)


def random_boxes(count: int, seed: int) -> BuoyantBox:
    g = np.random.default_rng(seed)
    return BuoyantBox(
        g.uniform(0.5, 1.2, count), g.uniform(0.4, 1.0, count), g.uniform(-0.05, 0.4, count)
    )


PRISM = (6.0, 6.0, 2.2, 2.2, 20.0, 20.0, 90.0)
WORK_HULL = (7.37, 6.25, 2.39, 2.29, 18.0, 21.0, 30.0)  # invented


# --- closed forms ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("balance", "draught", "trim"),
    [(2.5, 0.4161, 1.617), (2.3, 0.4483, 2.298), (2.2, 0.4648, 2.655), (2.0, 0.4990, 3.413)],
)
def test_prism_off_level(balance: float, draught: float, trim: float) -> None:
    """6.0 m, 2.2 m, 20 deg, 1850 kg in fresh water of 1000 kg/m^3; own derivation."""
    found = float_at_rest(form_of(*PRISM), 1.850, balance)
    assert found.draught_transom_m[0] == pytest.approx(draught, abs=0.0001)
    assert found.trim_deg[0] == pytest.approx(trim, abs=0.001)


def test_prism_level() -> None:
    """sqrt(volume/length tan(deadrise)) = 0.33500 m; own derivation."""
    found = float_at_rest(form_of(*PRISM), 1.850, 3.0)
    assert found.draught_transom_m[0] == pytest.approx(0.33500, abs=5e-6)
    assert found.trim_deg[0] == pytest.approx(0.0, abs=1e-9)
    half = 0.334999 / np.tan(np.radians(20.0))
    assert found.waterline_beam_m[0] == pytest.approx(2.0 * half, abs=1e-5)
    assert found.waterline_length_m[0] == pytest.approx(6.0, abs=1e-12)
    assert found.transom_area_m2[0] == pytest.approx(1.850 / 6.0, abs=1e-9)
    assert found.maximum_section_area_m2[0] == pytest.approx(1.850 / 6.0, abs=1e-9)
    assert found.wetted_area_m2[0] == pytest.approx(
        12.0 * half / np.cos(np.radians(20.0)), abs=1e-4
    )
    assert found.waterplane_second_moment_m4[0] == pytest.approx(2.0 * half * 18.0, abs=1e-4)
    assert found.buoyancy_above_m[0] == pytest.approx(0.334999 * 2.0 / 3.0, abs=1e-5)


def test_prism_with_flotation_bracket() -> None:
    """Box 0.9 m wide, 0.75 m long, bottom 0.15 m over the keel line, balance at 2.0 m; own derivation."""
    box = BuoyantBox(np.array([0.9]), np.array([0.75]), np.array([0.15]))
    found = float_at_rest(form_of(*PRISM), 1.850, 2.0, box)
    assert found.draught_transom_m[0] == pytest.approx(0.4260, abs=0.0001)
    assert found.trim_deg[0] == pytest.approx(2.222, abs=0.001)
    bare = float_at_rest(form_of(*PRISM), 1.850, 2.0)
    assert bare.trim_deg[0] - found.trim_deg[0] == pytest.approx(1.19, abs=0.005)


def test_square_bow_is_the_prism_at_every_station() -> None:
    x = np.linspace(0.0, 5.999, 50)[:, np.newaxis]
    lines = hull_lines(form_of(*PRISM), x)
    assert np.all(lines.keel_above_m == 0.0)
    assert np.all(lines.chine_half_beam_m == 1.1)
    assert np.all(lines.slope == np.tan(np.radians(20.0)))


def test_box_of_nothing_changes_nothing() -> None:
    form, volume, forward, above = random_boats(50, 4)
    none = BuoyantBox(np.zeros(1), np.zeros(1), np.zeros(1))
    thin = BuoyantBox(np.zeros(1), np.full(1, 0.8), np.full(1, 0.1))
    bare = float_at_rest(form, volume, forward, balance_above_m=above)
    for box in (none, thin):
        boxed = float_at_rest(form, volume, forward, box, balance_above_m=above)
        for name in DESCRIBED:
            assert np.array_equal(getattr(bare, name), getattr(boxed, name)), name


# --- the form, written a second time ------------------------------------------------------------


def plain_lines(m: tuple[float, ...], x: float) -> tuple[float, float, float]:
    """Keel height, chine half beam, tangent of deadrise at one station, as the page of lines says."""
    overall, waterline, beam, transom, aft, midship, entrance = m
    middle, h = waterline / 2, 0.10 * beam
    f = min(overall - waterline, middle)
    tangent = np.tan(np.radians(midship))
    k = max(tangent, 2 * h / beam)
    # entrance: (2h/f) / (tangent + k (2 l/(f m) - 1)) = tan ie, solved for l/m
    per_m = (2 * h / np.tan(np.radians(entrance)) - f * (tangent - k)) / (2 * k)
    length, m_ = (2 * per_m, 2.0) if 2 * per_m < middle else (middle, middle / per_m)
    share = min(x / middle, 1.0)
    slope = np.tan(np.radians(aft + (midship - aft) * share))
    half = (transom + (beam - transom) * share) / 2
    shoulder, forefoot = waterline - length, waterline - f
    u = max(x - forefoot, 0.0) / f
    if x > shoulder:
        half *= 1 - ((x - shoulder) / (overall - shoulder)) ** 2
    at = min(x, waterline * (1 - 1e-7))
    s = max(at - shoulder, 0.0) / length
    u_at = max(at - forefoot, 0.0) / f
    g = (1 - s) * (1 + s - (2 - m_) * s**2) if at > shoulder else 1.0
    return h * u**2, half, slope + k * ((1 - u_at**2) / g - 1)


PLAIN = [
    WORK_HULL,
    (4.6, 3.9, 1.75, 1.6, 8.0, 12.0, 30.0),  # flat enough for the chine to lie under the waterline
    (8.2, 7.4, 2.5, 2.3, 22.0, 24.0, 13.0),  # fine enough for the shoulder to stand amidships
    (6.0, 3.6, 2.0, 1.8, 14.0, 20.0, 40.0),  # long overhang
]


@pytest.mark.parametrize("measures", PLAIN)
def test_lines_are_as_written(measures: tuple[float, ...]) -> None:
    x = np.linspace(0.0, measures[0], 301)
    lines = hull_lines(form_of(*measures), x[:, np.newaxis])
    expect = np.array([plain_lines(measures, at) for at in x])
    for column, name in enumerate(("keel_above_m", "chine_half_beam_m", "slope")):
        assert getattr(lines, name)[:, 0] == pytest.approx(expect[:, column], rel=1e-5, abs=1e-9)


def columns_under(
    m: tuple[float, ...], box: tuple[float, float, float], draught: float, trim: float
) -> dict[str, float]:
    """Volume and moments from vertical columns on a grid, hull and box, nothing shared with the code."""
    t = np.tan(np.radians(trim))
    stations, across = 1600, 800
    x = (np.arange(stations) + 0.5) / stations * m[0]
    keel, half, slope = np.array([plain_lines(m, at) for at in x]).T
    y = (np.arange(across) + 0.5) / across * half[:, np.newaxis]
    bottom = keel[:, np.newaxis] + y * slope[:, np.newaxis]
    cell = m[0] / stations * half[:, np.newaxis] / across * 2.0
    top = (draught - x * t)[:, np.newaxis]
    high = np.maximum(top - bottom, 0.0)
    volume, forward = (cell * high).sum(), (cell * high * x[:, np.newaxis]).sum()
    above = (cell * high * 0.5 * (top + bottom)).sum()
    wet = cell * (high > 0.0)
    plane, first = wet.sum(), (wet * x[:, np.newaxis]).sum()
    second = (wet * (x[:, np.newaxis] - first / plane) ** 2).sum()
    skin = (wet * np.sqrt(1.0 + slope[:, np.newaxis] ** 2)).sum()
    skin += 2.0 * m[0] / stations * np.maximum(draught - x * t - keel - half * slope, 0.0).sum()
    width, length, base = box
    bx = -(np.arange(20000) + 0.5) / 20000 * length
    high = np.maximum(draught - bx * t - base, 0.0)
    cell_box = width * length / 20000
    return {
        "volume": volume + (cell_box * high).sum(),
        "forward": forward + (cell_box * high * bx).sum(),
        "above": above + (cell_box * high * (base + 0.5 * high)).sum(),
        "box": (cell_box * high).sum(),
        "plane": plane,
        "second": second,
        "skin": skin,
        "widest": 2.0 * (high_breadth := (wet.sum(axis=1) / (m[0] / stations) / 2.0)).max(),
        "end": x[np.flatnonzero(high_breadth > 0.0)[-1]] + 0.5 * m[0] / stations,
    }


@pytest.mark.parametrize("measures", PLAIN)
@pytest.mark.parametrize(
    ("share", "place", "box"),
    [
        (0.07, 0.36, (0.0, 0.0, 0.0)),
        (0.12, 0.42, (0.8, 0.75, 0.10)),
        (0.05, 0.33, (0.8, 0.75, 0.30)),
        (0.08, 0.52, (0.0, 0.0, 0.0)),
    ],
)
def test_columns_of_water_agree(
    measures: tuple[float, ...], share: float, place: float, box: tuple[float, float, float]
) -> None:
    _, waterline, beam, *_ = measures
    volume, forward, above = waterline * beam * beam * share, waterline * place, 0.3 * beam
    made = BuoyantBox(*(np.array([value]) for value in box))
    rest = float_at_rest(form_of(*measures), volume, forward, made, balance_above_m=above)
    draught, trim = rest.draught_transom_m[0], rest.trim_deg[0]
    sum_of = columns_under(measures, box, draught, trim)
    assert sum_of["volume"] == pytest.approx(volume, rel=1e-3)
    along = 1.0 / np.cos(np.radians(trim))
    # plumb: the horizontal places of buoyancy and balance agree when both are turned by the trim
    angle = np.radians(trim)
    buoyancy = np.array([sum_of["forward"], sum_of["above"]]) / sum_of["volume"]
    level = [x * np.cos(angle) - z * np.sin(angle) for x, z in (buoyancy, (forward, above))]
    assert level[0] == pytest.approx(level[1], abs=1e-3 * waterline)
    assert rest.buoyancy_forward_m[0] == pytest.approx(buoyancy[0], abs=1e-3 * waterline)
    assert rest.buoyancy_above_m[0] == pytest.approx(buoyancy[1], rel=1e-3)
    assert rest.bracket_volume_m3[0] == pytest.approx(sum_of["box"], rel=1e-3, abs=1e-9)
    assert rest.waterplane_area_m2[0] == pytest.approx(sum_of["plane"] * along, rel=2e-3)
    assert rest.waterplane_second_moment_m4[0] == pytest.approx(
        sum_of["second"] * along**3, rel=1e-2
    )
    assert rest.wetted_area_m2[0] == pytest.approx(sum_of["skin"], rel=2e-3)
    assert rest.waterline_beam_m[0] == pytest.approx(sum_of["widest"], rel=1e-2)
    assert rest.waterline_length_m[0] == pytest.approx(sum_of["end"] * along, abs=0.01)


# --- what a shift of weight does ------------------------------------------------------------------


def test_small_shift_follows_the_metacentre() -> None:
    """A small shift trims by shift/height: I/V + KB - KG, heights taken plumb; textbook hydrostatics."""
    form, volume, forward, above = random_boats(200, 8)
    step = 1e-4 * form.waterline_length_m
    before = float_at_rest(form, volume, forward - step, balance_above_m=above)
    after = float_at_rest(form, volume, forward + step, balance_above_m=above)
    at = float_at_rest(form, volume, forward, balance_above_m=above)
    cosine = np.cos(np.radians(at.trim_deg))
    height = longitudinal_metacentric_height(
        at.waterplane_second_moment_m4, volume, at.buoyancy_above_m / cosine, above / cosine
    )
    turned = np.radians(after.trim_deg - before.trim_deg)
    assert turned == pytest.approx(-2.0 * step * cosine / height, rel=1e-3)


def test_more_weight_is_deeper_and_weight_aft_lifts_the_bow() -> None:
    form, volume, forward, above = random_boats(500, 9)
    at = float_at_rest(form, volume, forward, balance_above_m=above)
    heavy = float_at_rest(form, 1.05 * volume, forward, balance_above_m=above)
    aft = float_at_rest(
        form, volume, forward - 0.02 * form.waterline_length_m, balance_above_m=above
    )
    # under the balance point: at the transom a weight far forward may lift the stern as it sinks her
    depth = [-height_over_water(forward, 0.0, r.draught_transom_m, r.trim_deg) for r in (at, heavy)]
    assert np.all(depth[1] > depth[0])
    assert np.all(aft.trim_deg > at.trim_deg)
    assert np.all(aft.draught_transom_m > at.draught_transom_m)


def test_bracket_afloat_lowers_the_bow() -> None:
    form, volume, forward, above = random_boats(200, 10)
    box = random_boxes(200, 10)
    bare = float_at_rest(form, volume, forward, balance_above_m=above)
    boxed = float_at_rest(form, volume, forward, box, balance_above_m=above)
    wet = boxed.bracket_volume_m3 > 0.0
    assert 50 < wet.sum() < 200  # some of these brackets hang clear of the water
    assert np.all(boxed.trim_deg[wet] < bare.trim_deg[wet])
    assert boxed.trim_deg[~wet] == pytest.approx(bare.trim_deg[~wet], abs=1e-9)


# --- properties -----------------------------------------------------------------------------------


def test_closes_on_random_boats() -> None:
    form, volume, forward, above = random_boats(3000, 11)
    for extra in ({}, {"balance_above_m": above}):
        rest = float_at_rest(form, volume, forward, random_boxes(3000, 12), **extra)
        assert np.all(rest.status == Rest.OK)
        assert np.max(np.abs(rest.residual_volume)) < 1e-6
        assert np.max(np.abs(rest.residual_moment)) < 1e-6
    lever = (rest.buoyancy_above_m - above) * np.tan(np.radians(rest.trim_deg))
    assert rest.buoyancy_forward_m - lever == pytest.approx(forward, abs=1e-6)


def test_scales_with_the_boat() -> None:
    form, volume, forward, above = random_boats(100, 13)
    scale = 2.7
    big = HullForm(
        *(getattr(form, name) * (scale if name.endswith("_m") else 1.0) for name in NAMES)
    )
    small = float_at_rest(form, volume, forward, balance_above_m=above)
    large = float_at_rest(big, volume * scale**3, forward * scale, balance_above_m=above * scale)
    assert large.trim_deg == pytest.approx(small.trim_deg, abs=1e-7)
    powers = {"_m": 1, "_m2": 2, "_m3": 3, "_m4": 4}
    for name in DESCRIBED:
        power = powers.get("_" + name.rsplit("_", 1)[-1])
        if power:
            assert getattr(large, name) == pytest.approx(
                getattr(small, name) * scale**power, rel=1e-8, abs=1e-9
            ), name


@pytest.mark.parametrize("plumb", [False, True])
def test_lane_alone_is_the_lane_in_a_crowd(plumb: bool) -> None:
    count = 1003
    form, volume, forward, above = random_boats(count, 14)
    box = random_boxes(count, 15)

    def run(rows: Any) -> Flotation:
        some = BuoyantBox(box.width_m[rows], box.length_m[rows], box.bottom_above_m[rows])
        high = {"balance_above_m": above[rows]} if plumb else {}
        return float_at_rest(take(form, rows), volume[rows], forward[rows], some, **high)

    crowd = run(slice(None))
    groups: list[Any] = [slice(at, at + 1) for at in range(0, count, 37)]
    groups += [slice(at, at + 7) for at in (0, 5, 500, 996)]
    groups += [slice(None, None, 3), slice(None, None, -1)]
    for rows in groups:
        few = run(rows)
        for name in DESCRIBED:
            assert np.array_equal(getattr(few, name), getattr(crowd, name)[rows]), (rows, name)


def test_any_block_gives_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    form, volume, forward, above = random_boats(300, 16)
    whole = float_at_rest(form, volume, forward, balance_above_m=above)
    monkeypatch.setattr(flotation, "BLOCK", 17)
    parts = float_at_rest(form, volume, forward, balance_above_m=above)
    for name in DESCRIBED:
        assert np.array_equal(getattr(whole, name), getattr(parts, name)), name


def test_the_bow_is_a_bow() -> None:
    """Beam never grows ahead of the shoulder, keel and deadrise never fall, on hulls of the trade."""
    form, *_ = random_boats(300, 17)
    form = replace(form, entrance_angle_deg=np.minimum(form.entrance_angle_deg, 40.0))
    marks = hull_marks(form)
    share = np.linspace(0.0, 1.0, 200)[:, np.newaxis]
    lines = hull_lines(form, marks.shoulder_m + share * (marks.overall_m - marks.shoulder_m))
    assert np.all(np.diff(lines.chine_half_beam_m, axis=0) < 1e-12)
    assert np.all(lines.chine_half_beam_m[-1] < 1e-9)
    assert np.all(np.diff(lines.keel_above_m, axis=0) >= 0.0)
    assert np.all(lines.slope >= 0.0)
    long_bow = marks.bow_length_m > marks.rise_length_m
    assert long_bow.mean() > 0.5
    assert np.all(np.diff(lines.slope, axis=0)[:, long_bow] > -1e-9)


def test_waterline_comes_out_near_the_stated_one() -> None:
    """The stated waterline length is met within a fifth at any load; the middle boat within 3 %."""
    form, volume, forward, above = random_boats(1000, 18)
    rest = float_at_rest(form, volume, forward, balance_above_m=above)
    ratio = rest.waterline_length_m / form.waterline_length_m
    assert np.median(ratio) == pytest.approx(1.0, abs=0.03)
    assert np.mean(np.abs(ratio - 1.0) < 0.2) > 0.97


# --- places over the water -----------------------------------------------------------------------


def test_freeboard_is_straight_up() -> None:
    rest = float_at_rest(form_of(*WORK_HULL), 2.6, 2.1, balance_above_m=0.7)
    draught, slope = rest.draught_transom_m[0], np.tan(np.radians(rest.trim_deg[0]))
    assert freeboard(0.0, draught, rest)[0] == pytest.approx(0.0, abs=1e-12)
    assert freeboard(1.7, draught - 1.7 * slope, rest)[0] == pytest.approx(0.0, abs=1e-12)
    raised = freeboard(0.4, 0.9, rest)[0] - freeboard(0.4, 0.8, rest)[0]
    assert raised == pytest.approx(0.1 * np.cos(np.arctan(slope)), abs=1e-12)
    assert freeboard(-0.5, 0.45, rest)[0] < freeboard(0.0, 0.45, rest)[0]  # bow up: stern low


def test_measures_come_from_the_lanes() -> None:
    lanes: Any = SimpleNamespace(
        **{name: np.array([value]) for name, value in zip(NAMES, WORK_HULL, strict=True)}
    )
    lanes.beam_m = lanes.chine_beam_m
    del lanes.chine_beam_m
    form = flotation.hull_form(lanes)
    assert tuple(float(getattr(form, name)[0]) for name in NAMES) == WORK_HULL


# --- refusals and pace -----------------------------------------------------------------------------


def test_says_why_she_does_not_float() -> None:
    count = 9
    form = form_of(*WORK_HULL, count=count)
    form.chine_beam_m[1] = np.nan
    form.waterline_length_m[2] = 9.0
    form.entrance_angle_deg[3] = 0.0
    volume, forward = np.full(count, 2.6), np.full(count, 2.1)
    volume[4] = 0.0
    forward[5], forward[6], forward[7] = -0.1, 7.5, 0.3
    forward[8] = np.inf
    rest = float_at_rest(form, volume, forward)
    bad, outside = Rest.NOT_A_HULL, Rest.BALANCE_OUTSIDE
    expect = [Rest.OK, bad, bad, bad, bad, outside, outside, Rest.STANDS_ON_END, bad]
    assert [Rest(status) for status in rest.status] == expect
    for name in DESCRIBED:
        values = getattr(rest, name)
        if values.dtype.kind == "f":
            assert np.isfinite(values[0]), name
            assert np.all(np.isnan(values[1:])), name
    assert set(flotation.REST_WORDS) == set(Rest)
    well = float_at_rest(form_of(*WORK_HULL), 2.6, 2.1)
    for name in DESCRIBED:
        assert getattr(rest, name)[0] == getattr(well, name)[0], name


def test_pace(capsys: pytest.CaptureFixture[str]) -> None:
    """Counted evaluations decide; milliseconds are printed."""
    form, volume, forward, above = random_boats(2000, 19)
    one = take(form, slice(0, 1))
    spent = {}
    for count, some in ((1, one), (2000, form)):
        best = np.inf
        for _ in range(3):
            start = time.process_time()
            rest = float_at_rest(
                some, volume[:count], forward[:count], balance_above_m=above[:count]
            )
            best = min(best, time.process_time() - start)
        spent[count] = best
    with capsys.disabled():
        print(
            f"\nfloat_at_rest: 1 lane {1e3 * spent[1]:.1f} ms, 2,000 lanes {1e3 * spent[2000]:.0f} ms"
            f" of processor time, at most {rest.evaluations.max()} evaluations"
        )
    assert rest.evaluations.max() <= 16
    assert spent[2000] < 200 * spent[1]  # 2,000 lanes for the price of a tenth as many calls
