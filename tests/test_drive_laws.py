"""Propeller, cavitation, engine, lower unit and wake: examples worked whole, shapes, and limits."""

from __future__ import annotations

import csv
import inspect
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from perf.base import tables
from perf.base.assumptions import ASSUMPTIONS
from perf.base.sources import LAWS
from perf.laws import cavitation, engine, lower_unit, propeller, wake
from perf.laws import technology as kinds

HERE = Path(__file__).parent
LB_HP_H = kinds.KG_PER_J
HP = kinds.WATT_PER_HORSEPOWER
GRAM_KWH = 1.0 / 3.6e9  # kg/J of one g/kWh
RATIOS = {
    name: ASSUMPTIONS[name].value
    for name in (
        "strut_chord",
        "strut_thickness",
        "gear_case_diameter",
        "gear_case_length",
        "skeg_height",
        "plate_area",
        "midsection_thickness",
    )
}


# --- propellers ------------------------------------------------------------------------------


def check_values() -> list[dict[str, str]]:
    lines = (HERE / "oracle" / "propeller_check_values.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def test_series_repeat_the_computed_check_values() -> None:
    """Regression of the arithmetic against a separate program's evaluation; no tank data."""
    rows = check_values()
    assert len(rows) > 90
    for row in rows:
        series = "gawn" if row["series"] == "GAWN" else "wageningen_b"
        pitch, area, blades, j = (float(row[k]) for k in ("PD", "EAR", "Z", "J"))
        thrust, torque = propeller.open_water_coefficients(series, pitch, area, blades)
        kt, kq = float(propeller.horner(thrust, j)), float(propeller.horner(torque, j))
        assert kt == pytest.approx(float(row["KT"]), abs=6e-7), row
        assert kq == pytest.approx(float(row["KQ"]), abs=6e-8), row
        assert float(propeller.open_water_efficiency(j, kt, kq)) == pytest.approx(
            float(row["eta0"]), abs=6e-6
        ), row


def bisect(function, low: float, high: float) -> float:
    sign = function(low) > 0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if (function(middle) > 0) == sign else (low, middle)
    return low


def test_worked_ship_propeller() -> None:
    """Molland et al. 2011, 16.2.1.2 case 1: 486.0 kN at 5.329 m/s, 5.2 m, 2 rev/s, B4.40."""
    kt = 486.0e3 / (1025 * 4 * 5.2**4)
    j = 5.329 / (2 * 5.2)
    assert kt == pytest.approx(0.162, abs=5e-4)
    pitch = bisect(lambda p: float(propeller.wageningen_thrust(j, p, 0.4, 4)) - kt, 0.5, 1.4)
    kq = float(propeller.wageningen_torque(j, pitch, 0.4, 4))
    efficiency = float(propeller.open_water_efficiency(j, kt, kq))
    assert pitch == pytest.approx(0.79, abs=0.005)
    assert kq == pytest.approx(0.0225, abs=1e-4)
    assert efficiency == pytest.approx(0.588, abs=0.001)
    # eta_D .636, PD 4402.5 kW from PE 2800 kW
    hull = (1 - 0.20) / (1 - 0.26)
    assert 2800 / (efficiency * hull) == pytest.approx(4402.5, rel=0.005)


def test_worked_tanker_off_design() -> None:
    """Molland et al. 2011, ch. 17 example 18: the B4.40 polynomial against the book's own fit.

    5.8 m, P/D 0.8, 558.17 kN at 14 kn with w .41: n 1.60 per second, PD 4380.5 kW.
    """
    speed = 14 * 0.51444 * (1 - 0.41)

    def short(n: float) -> float:
        kt = float(propeller.wageningen_thrust(speed / (n * 5.8), 0.8, 0.4, 4))
        return kt * 1025 * n * n * 5.8**4 - 558.17e3

    n = bisect(short, 1.0, 3.0)
    kq = float(propeller.wageningen_torque(speed / (n * 5.8), 0.8, 0.4, 4))
    power = 2 * math.pi * kq * 1025 * n**3 * 5.8**5
    print(f"\ntanker at 14 kn: n {n:.3f} (book 1.60), PD {power / 1e3:.0f} kW (book 4380.5)")
    assert n == pytest.approx(1.60, rel=0.01)
    assert power == pytest.approx(4380.5e3, rel=0.02)


def test_locked_propeller_drag() -> None:
    """Molland et al. 2011, ch. 16: 0.4 m, blade area .082 m2, P/D .8, 8 kn: 699 N."""
    coefficient = float(propeller.locked_propeller_drag_coefficient(0.8))
    area = 0.65 * math.pi / 4 * 0.4**2
    assert area == pytest.approx(0.082, abs=5e-4)
    assert 0.5 * 1025 * (8 * 0.5144) ** 2 * area * coefficient == pytest.approx(699, rel=0.005)


def test_planing_boat_propeller_absorbs_its_engine() -> None:
    """Consistency, derived: 14.5 x 17 in, 5800 rpm through 1.85, J 1.049, takes about 200 hp."""
    n, diameter = 5800 / 60 / 1.85, 14.5 * 0.0254
    j, pitch = 1.049, 17 / 14.5
    kt = float(propeller.gawn_thrust(j, pitch, 0.55, 3))
    kq = float(propeller.gawn_torque(j, pitch, 0.55, 3))
    assert 2 * math.pi * 998 * n**3 * diameter**5 * kq / HP == pytest.approx(200, rel=0.01)
    assert 998 * n**2 * diameter**4 * kt == pytest.approx(5172, rel=0.01)
    assert float(propeller.open_water_efficiency(j, kt, kq)) == pytest.approx(0.696, abs=0.002)


def test_two_fits_of_one_series_agree() -> None:
    """Two published fits of the Gawn-Burrill tests: how far they differ, and no farther."""
    pitch, area = (a.ravel() for a in np.meshgrid([0.9, 1.1, 1.3, 1.4], [0.55, 0.7, 0.9]))
    j = 0.75 * pitch
    thrust = propeller.kca_thrust(j, pitch, area) / propeller.gawn_thrust(j, pitch, area, 3.0) - 1
    torque = propeller.kca_torque(j, pitch, area) / propeller.gawn_torque(j, pitch, area, 3.0) - 1
    print(
        f"\nsecond fit over first at three quarters of pitch: KT {thrust.min():+.1%} to"
        f" {thrust.max():+.1%}, KQ {torque.min():+.1%} to {torque.max():+.1%}"
    )
    # the worst is the lowest pitch with the widest blades; at outboard pitches 10 % at most
    assert np.abs(thrust).max() < 0.17
    assert np.abs(torque).max() < 0.17
    outboard = (pitch > 1.0) & (area < 0.8)
    assert np.abs(thrust[outboard]).max() < 0.10
    assert np.abs(torque[outboard]).max() < 0.10


def test_reynolds_correction_vanishes_at_its_base() -> None:
    """Oosterveld & van Oossanen 1975: the base polynomials hold at Reynolds number 2e6."""
    pitch, advance = np.meshgrid([0.6, 1.0, 1.4], [0.3, 0.5, 0.8])
    j = advance * pitch
    for blades in (3.0, 4.0):
        parts = (j, pitch, np.array(0.6), np.array(blades), np.array(2e6))
        assert np.abs(propeller.wageningen_reynolds_thrust(*parts)).max() < 6e-4
        assert np.abs(propeller.wageningen_reynolds_torque(*parts)).max() < 1.5e-4


@settings(max_examples=60, deadline=None)
@given(pitch=st.floats(0.7, 1.6), area=st.floats(0.5, 0.9), blades=st.sampled_from([3.0, 4.0]))
def test_thrust_falls_with_advance(pitch: float, area: float, blades: float) -> None:
    j = np.linspace(0.2, 1.1 * pitch, 60)
    thrust, torque = propeller.open_water_coefficients("gawn", pitch, area, blades)
    assert (np.diff(propeller.horner(thrust, j)) < 0).all()
    assert (propeller.horner(torque, 0.9 * j) > 0).all()


def test_near_surface_loss_is_more_than_the_lost_disc() -> None:
    """The published factor holds disc loss and lift loss, so it lies under the exact disc share."""
    depth = np.linspace(-0.2, 1.0, 40)
    disc = 1 - (np.arccos(depth) - depth * np.sqrt(1 - depth**2)) / np.pi
    kept = propeller.near_surface_thrust(depth)
    assert (kept < disc).all()
    assert (np.diff(kept) > 0).all()
    assert (propeller.near_surface_torque(depth) > kept).all()


# --- cavitation ------------------------------------------------------------------------------


def test_worked_blade_area() -> None:
    """Molland et al. 2011, 12.2.10 whole: 4 m, P/D .7, 2 rev/s, 5.144 m/s, 3 m deep, 250 kN."""
    static = 101e3 + 1025 * 9.81 * 3
    square = cavitation.blade_speed_squared(5.144, 2.0, 4.0)
    sigma = cavitation.cavitation_number_07(static, 3e3, 1025.0, 5.144, 2.0, 4.0)
    loading = cavitation.burrill_merchant(sigma)
    ratio = cavitation.area_ratio_for_loading(250e3, loading, 1025.0, square, 0.7, 4.0)
    assert float(square) == pytest.approx(335.97, abs=0.05)
    assert float(sigma) == pytest.approx(0.744, abs=5e-4)
    assert float(loading) == pytest.approx(0.231, abs=5e-4)
    assert float(ratio) == pytest.approx(0.552, abs=0.001)


def test_limits_meet_where_transition_reaches_the_full_level() -> None:
    pitch, area = np.array(1.2), np.array(0.65)
    full = float(cavitation.thrust_loading_limit(pitch, area, 0.0))
    meet = full / 1.2
    assert float(cavitation.thrust_loading_limit(pitch, area, 0.99 * meet)) == full
    assert float(cavitation.thrust_loading_limit(pitch, area, 1.01 * meet)) > full
    sigma = np.linspace(0.0, 1.0, 50)
    assert (np.diff(cavitation.thrust_coefficient_limit(0.9, pitch, area, sigma)) >= 0).all()
    assert (np.diff(cavitation.torque_coefficient_limit(0.9, pitch, area, sigma)) >= 0).all()


def test_loading_is_what_the_definition_says() -> None:
    """KT at the limit turned back into tau_c by its definition T/(rho/2 AP V07^2)."""
    n, diameter, j, area, pitch, sigma = 50.0, 0.37, 1.0, 0.6, 1.2, 0.2
    kt = float(cavitation.thrust_coefficient_limit(j, pitch, area, sigma))
    thrust = kt * 1000 * n**2 * diameter**4
    projected = area * math.pi / 4 * diameter**2 * float(cavitation.projected_area_share(pitch))
    square = float(cavitation.blade_speed_squared(j * n * diameter, n, diameter))
    # the published form rounds (0.7 pi)^2 to 4.84 and pi/8 to 0.3927
    assert thrust / (0.5 * 1000 * projected * square) == pytest.approx(1.2 * sigma, rel=0.002)


def test_second_opinion_on_lost_thrust_has_the_size_of_the_first() -> None:
    """Two published models of heavy cavitation leave the same thrust, within a twentieth."""
    kt = propeller.kca_thrust(0.8, 1.2, 0.65)
    for sigma in (0.08, 0.10):
        cap = cavitation.thrust_coefficient_limit(0.8, 1.2, 0.65, sigma)
        other = kt - cavitation.kca_thrust_loss(0.65, sigma, kt, 1.2)
        print(
            f"\nsigma {sigma}: KT {float(kt):.3f}, limit {float(cap):.3f}, other {float(other):.3f}"
        )
        assert cap < 0.7 * kt
        assert float(other) == pytest.approx(float(cap), rel=0.05)


# --- engine ----------------------------------------------------------------------------------


def burn(kind: str, horsepower: float, share: float, power: float) -> float:
    """Fuel flow in kg/s at a share of rated rpm and a share of rated power."""
    rated = horsepower * HP
    n = engine.technology_numbers(kind, rated)
    return float(
        engine.fuel_mass_flow(
            power * rated, share, rated, n.friction, n.slope, n.enrichment, n.idle
        )
    )


SIZES = (2.5, 5, 9.9, 15, 25, 40, 50, 90, 115, 150, 200, 225, 300, 450)


@pytest.mark.parametrize("technology", engine.TECHNOLOGIES)
@pytest.mark.parametrize("horsepower", SIZES)
def test_law_closes_on_what_it_was_solved_for(technology: str, horsepower: float) -> None:
    """Calibration, not evidence: the full-throttle value and the certification cycle come back."""
    kind = engine.TECHNOLOGIES[technology]
    numbers = engine.technology_numbers(technology, horsepower * HP)
    assert numbers.friction >= kinds.LEAST_FRICTION * numbers.full_throttle * (1 - 1e-12)
    assert numbers.slope > 0 and numbers.idle > 0
    full = burn(technology, horsepower, 1, 1)
    assert full / (horsepower * HP) == pytest.approx(numbers.full_throttle, rel=1e-12)
    # US CFR 40 part 1045 appendix II, and part 94 table B-5, typed again
    modes = {
        "spark": (
            (1, 1, 0.06),
            (0.8, 0.5728, 0.14),
            (0.6, 0.279, 0.15),
            (0.4, 0.1012, 0.25),
            (0.12, 0, 0.40),
        ),
        "diesel": (
            (1, 1, 0.08),
            (0.91, 0.75, 0.13),
            (0.8, 0.5, 0.17),
            (0.63, 0.25, 0.32),
            (0.15, 0, 0.30),
        ),
    }[kind.curve]
    fuel = sum(w * burn(technology, horsepower, s, p) for s, p, w in modes)
    work = sum(w * p for s, p, w in modes) * horsepower * HP
    assert fuel / work == pytest.approx(numbers.cycle, rel=0.002)
    capped = numbers.epa_cycle > kind.cycle_cap * numbers.full_throttle
    if numbers.friction == kinds.LEAST_FRICTION * numbers.full_throttle:
        # what burns at rest and at full throttle already takes more than the cycle leaves
        assert numbers.cycle > min(numbers.epa_cycle, kind.cycle_cap * numbers.full_throttle)
    elif not capped:
        assert numbers.cycle == pytest.approx(numbers.epa_cycle, rel=1e-9)
    else:
        assert numbers.cycle == pytest.approx(kind.cycle_cap * numbers.full_throttle, rel=1e-9)


@pytest.mark.parametrize(
    ("technology", "horsepower", "expected"),
    [
        ("two-stroke carburetted", 200, 0.83),
        ("two-stroke direct injected", 200, 0.67),
        ("four-stroke carburetted", 100, 0.80),
        ("four-stroke carburetted", 101, 0.69),
        ("four-stroke injected", 175, 0.62),
        ("four-stroke injected", 176, 0.56),
        ("petrol sterndrive injected", 300, 0.57),
        ("petrol sterndrive injected", 700, 0.595),
        ("petrol sterndrive carburetted", 300, 0.66),
        ("diesel outboard", 100, 0.408),
        ("diesel sterndrive", 300, 0.367),
        ("two-stroke injected", 3, 1.62),
    ],
)
def test_agency_table_is_read_in_its_bins(
    technology: str, horsepower: float, expected: float
) -> None:
    """US EPA NONROAD2008a BSFC.EMF, lb per hp-h."""
    code = engine.TECHNOLOGIES[technology].epa_code
    value = kinds.epa_cycle_consumption(code, horsepower * HP)
    assert value / LB_HP_H == pytest.approx(expected, rel=1e-12)


# Full-throttle burn read from owners' meters and magazine figures, g/kWh of rated power at
# 0.742 kg/L (common practice, no source); the last column says whether the technology's own
# number was chosen with this row in view, so it is no evidence.
FULL_THROTTLE = [
    ("four-stroke injected", 115, 311, True),
    ("two-stroke direct injected", 115, 311, True),
    ("four-stroke injected", 90, 276, True),
    ("two-stroke direct injected", 90, 332, True),
    ("four-stroke injected", 50, 312, True),
    ("two-stroke direct injected", 50, 328, True),
    ("two-stroke carburetted", 75, 377, True),
    ("two-stroke carburetted", 15, 511, False),
    ("petrol sterndrive injected", 250, 304, True),
]


def test_full_throttle_burn_against_metered_rows() -> None:
    for technology, horsepower, metered, chosen in FULL_THROTTLE:
        ours = burn(technology, horsepower, 1, 1) / (horsepower * HP) / GRAM_KWH
        word = "calibration" if chosen else "check"
        print(
            f"\n{technology} {horsepower} hp: {ours:.0f} g/kWh, metered {metered} ({word})", end=""
        )
        # of the four-stroke rows, 276 to 400 apart, the leanest is not met within 12 per cent
        leanest = metered == 276
        assert ours == pytest.approx(metered, rel=0.18 if leanest else 0.12)


def test_petrol_over_75_hp_burns_the_trade_figure() -> None:
    """Common practice, no source: 0.50 lb/hp-h within a quarter, four-stroke and direct injected."""
    for technology in (
        "four-stroke injected",
        "four-stroke direct injected",
        "two-stroke direct injected",
    ):
        for horsepower in (90, 115, 150, 225, 300):
            numbers = engine.technology_numbers(technology, horsepower * HP)
            assert numbers.full_throttle / LB_HP_H == pytest.approx(0.50, rel=0.25)


def test_part_load_is_printed_beside_metered_burn() -> None:
    """Metered: light boats 0.36-0.46 of full burn at 0.70 rpm, loaded 0.50-0.65.

    One log gave 480 g/kWh at 43 % load, one boat 400-500 g/kWh at 20-25 % load. cycle_cap was
    chosen with the light-boat band in view; the consumptions at part load were not used.
    """
    print(
        "\n                                  hp   light loaded   g/kWh at 1 / .43 / .25 / .20 of power"
    )
    for technology in engine.TECHNOLOGIES:
        for horsepower in (40, 90, 150, 250):
            full = burn(technology, horsepower, 1, 1)
            light = burn(technology, horsepower, 0.7, 0.7**2.5) / full
            loaded = burn(technology, horsepower, 0.7, 0.55) / full
            part = [
                burn(technology, horsepower, p**0.4, p) / (p * horsepower * HP) / GRAM_KWH
                for p in (1.0, 0.43, 0.25, 0.20)
            ]
            figures = " ".join(f"{value:6.0f}" for value in part)
            print(f"{technology:<31} {horsepower:4d}   {light:5.2f}  {loaded:5.2f}  {figures}")
            assert 0.36 <= light <= 0.52, (technology, horsepower)
            assert 0.50 <= loaded <= 0.65, (technology, horsepower)
            assert part[3] > part[1] > 0.9 * part[0]


@settings(max_examples=80, deadline=None)
@given(
    technology=st.sampled_from(sorted(engine.TECHNOLOGIES)),
    horsepower=st.floats(2, 500),
    share=st.floats(0, 1.05),
    power=st.floats(0, 1.1),
)
def test_more_work_never_burns_less(
    technology: str, horsepower: float, share: float, power: float
) -> None:
    here = burn(technology, horsepower, share, power)
    rated = horsepower * HP
    assert burn(technology, horsepower, share, power + 0.01) >= here
    assert burn(technology, horsepower, share + 0.01, power) >= here
    assert here >= engine.technology_numbers(technology, rated).idle * rated


def test_unknown_kinds_are_refused() -> None:
    with pytest.raises(KeyError):
        engine.technology_numbers("steam", 1e5)
    with pytest.raises(KeyError):
        propeller.open_water_coefficients("paddle", 1.0, 0.6, 3.0)


def test_fuels_against_a_second_table() -> None:
    """EIA: 19.64 lb of carbon dioxide per gallon of petrol, 17.68 from E10 (fossil part), 22.38 diesel.

    Blend: EIA, mileage down by up to 3.3 % on E10. Densities inside the DOE ranges.
    """
    per_gallon = {"petrol": 19.64, "petrol E10": 17.68, "diesel": 22.38}
    for name, pounds in per_gallon.items():
        litre = engine.FUELS[name].co2_kg_per_l
        assert litre * 3.785411784 / 0.45359237 == pytest.approx(pounds, rel=0.005)
    petrol, blend, diesel = (engine.FUELS[n] for n in ("petrol", "petrol E10", "diesel"))
    heat = (blend.lower_heating_value_j_kg * blend.density_kg_m3) / (
        petrol.lower_heating_value_j_kg * petrol.density_kg_m3
    )
    assert heat == pytest.approx(1 - 0.033, abs=0.002)
    assert blend.mass_factor == pytest.approx(1.04, abs=0.005) and petrol.mass_factor == 1.0
    assert diesel.mass_factor == 1.0
    assert 6.0 < petrol.density_kg_m3 * 3.785411784e-3 / 0.45359237 < 6.5
    assert 6.7 < diesel.density_kg_m3 * 3.785411784e-3 / 0.45359237 < 7.4
    assert petrol.lower_heating_value_j_kg == pytest.approx(43.5e6, rel=0.01)
    assert diesel.lower_heating_value_j_kg == pytest.approx(42.4e6, rel=0.01)


@pytest.mark.parametrize("curve", [0.0, 1.0])
def test_full_throttle_curve_is_whole(curve: float) -> None:
    rpm = np.linspace(0, 6600, 4000)
    power = engine.full_throttle_power(rpm, 1e5, 5500.0, 700.0, 6250.0, curve)
    assert power[0] == 0.0
    assert (np.diff(power[rpm <= 5500]) > 0).all()
    assert (np.diff(power[rpm >= 5500]) <= 0).all()
    assert np.abs(np.diff(power)).max() < 0.02 * 1e5  # nothing jumps in 1.65 rpm
    assert power.max() == pytest.approx(1e5, rel=1e-6)
    assert (power[rpm > 1.03 * 6250] == 0.0).all()
    under = power[rpm < 6250]
    free = engine.full_throttle_power(rpm[rpm < 6250], 1e5, 5500.0, 700.0, 1e9, curve)
    assert (under == free).all()


def test_curve_between_its_points_is_the_monotone_cubic() -> None:
    table = tables.read_table("coefficients/full_throttle_power.csv")
    place = np.linspace(0, 1.2, 1001)
    for kind, name in ((0.0, "spark"), (1.0, "diesel")):
        other = PchipInterpolator(table.numbers("x"), table.numbers(name))(place)
        assert engine.full_throttle_share(place, kind) == pytest.approx(other, abs=1e-12)


def test_power_in_thin_air() -> None:
    """Over sea level in the standard atmosphere, evaluated by another hand from ISO 15550."""
    height = np.array([500, 1000, 1500, 2000, 2500, 3000.0])
    share = engine.ambient_power_factor(15 - 0.0065 * height, height, 0.0)
    share = share / engine.ambient_power_factor(15.0, 0.0, 0.0)
    assert share == pytest.approx([0.937, 0.878, 0.822, 0.768, 0.718, 0.670], abs=6e-4)


# --- lower unit ------------------------------------------------------------------------------


def test_worked_pod() -> None:
    """Molland et al. 2011, ch. 16 pod example whole: 17.24 kN, KR .0058, KT left .156."""
    inside = float(lower_unit.slipstream_speed(5.329, 0.162, 0.512, 0.5))
    fast, slow = 0.5 * 1025 * inside**2, 0.5 * 1025 * 5.329**2
    body = float(lower_unit.body_drag(fast, math.pi * 2.6 * 8.32, 2.6 / 8.32, 2.263e-3))
    ratio = 1.5 / 4.99
    strut = float(lower_unit.strut_drag(fast, 14.274 / 2, ratio, 2.448e-3))
    strut += float(lower_unit.strut_drag(slow, 19.98 / 2, ratio, 2.621e-3))
    junction = float(lower_unit.filleted_junction_drag(fast, 1.5, ratio))
    total = body + strut + junction
    print(f"\npod: body {body:.0f}, strut {strut:.0f}, junction {junction:.0f}, all {total:.0f} N")
    assert inside == pytest.approx(8.177, abs=0.003)
    assert body == pytest.approx(7780, rel=0.002)
    assert total == pytest.approx(17240, rel=0.006)
    share = total / (1025 * 4 * 5.2**4)
    assert share == pytest.approx(0.0058, abs=1e-4)
    assert 0.162 - share == pytest.approx(0.156, abs=5e-4)
    kq = 0.0225
    efficiency = float(propeller.open_water_efficiency(0.512, 0.162 - share, kq))
    assert efficiency == pytest.approx(0.565, abs=0.003)


def leg(depth_m, speed_mps=18.0, diameter_m=0.37, **ratios) -> tuple[np.ndarray, np.ndarray]:
    speed, diameter = np.asarray(speed_mps, dtype=float), np.asarray(diameter_m, dtype=float)
    return lower_unit.leg_drag(
        0.5 * 1000.0 * speed * speed,
        speed,
        np.array(1.14e-6),
        diameter,
        np.asarray(depth_m, dtype=float),
        **{**RATIOS, **ratios},
        tip_clearance_m=np.array(0.02),
    )


def test_leg_of_a_big_outboard() -> None:
    """Derived build-up of a leg of .30 m chord at 18 m/s: 0.69 to 0.86 kN, good to 40 %.

    No measured drag of a bare lower unit was found, so this is a check of size only.
    """
    size = {
        "strut_chord": 0.30 / 0.37,
        "strut_thickness": 0.076 / 0.37,
        "gear_case_diameter": 0.115 / 0.37,
        "gear_case_length": 0.60 / 0.37,
        "skeg_height": 0.15 / 0.37,
    }
    at, centre = leg(0.0, **size)
    assumed, _ = leg(0.0)
    slim, _ = leg(0.04, **size)
    covered, _ = leg(0.20, **size)
    print(
        f"\nleg at 18 m/s: {at:.0f} N, assumed shape {assumed:.0f} N, "
        f"4 cm deep {slim:.0f} N, 20 cm deep {covered:.0f} N"
    )
    assert 0.6 * 690 < at < 1.4 * 860
    assert 0.6 * 690 < assumed < 1.4 * 860
    # under the splash plate the leg is slim; only above it does the thick mid-section throw spray
    assert slim < at + 0.5 * (875 - 225)
    assert covered > at + 0.8 * (875 - 225)
    assert 0.0 < centre < 0.37


@settings(max_examples=100, deadline=None)
@given(
    depth=st.floats(-0.2, 0.3),
    up=st.floats(0, 0.1),
    speed=st.floats(1, 30),
    diameter=st.floats(0.2, 0.45),
    thickness=st.floats(0.15, 0.25),
)
def test_raising_a_covered_leg_never_adds_drag(
    depth: float, up: float, speed: float, diameter: float, thickness: float
) -> None:
    top = 0.02 + 0.5 * diameter * (1 - RATIOS["gear_case_diameter"])  # of the gear case
    if depth - up < -top:
        up = max(depth + top, 0.0)
    low, _ = leg(depth, speed, diameter, strut_thickness=thickness)
    high, _ = leg(depth - up, speed, diameter, strut_thickness=thickness)
    assert high <= low * (1 + 1e-12)


def test_leg_drag_is_continuous_and_ends_when_it_leaves_the_water() -> None:
    depth = np.linspace(0.3, -0.6, 9001)
    drag, centre = leg(depth)
    assert np.abs(np.diff(drag)).max() < 0.01 * drag.max()  # per tenth of a millimetre
    assert drag[-1] == 0.0 and np.isnan(centre[-1])
    wet = drag > 0
    bottom = 0.02 + 0.37 * (0.5 + 0.5 * RATIOS["gear_case_diameter"] + RATIOS["skeg_height"])
    assert (centre[wet] > -0.3).all() and (centre[wet] < bottom).all()


def leg_by_hand(depth: float, speed: float) -> float:
    """A second route to the leg: scalars, constants typed again, D 0.37 m, assumed shape."""
    size = 0.37
    chord, thick, case, length, skeg, middle = (
        RATIOS[name] * size
        for name in (
            "strut_chord",
            "strut_thickness",
            "gear_case_diameter",
            "gear_case_length",
            "skeg_height",
            "midsection_thickness",
        )
    )
    q = 500.0 * speed**2

    def friction(run: float) -> float:
        return 0.075 / (math.log10(speed * run / 1.14e-6) - 2) ** 2 + 0.0004

    def foil(area: float, ratio: float, run: float) -> float:
        return 2 * area * friction(run) * (1 + 2 * ratio + 60 * ratio**4) * q

    low, high = max(-depth, 0.0), max(depth, 0.0)
    shaft = 0.02 + size / 2
    x = min(high / (0.1 * size), 1.0)
    deep = x * x * (3 - 2 * x)
    gap = 0.27 * size  # from the plate to the splash plate
    y = min(max((high - 0.5 * gap) / gap, 0.0), 1.0)
    blunt = y * y * (3 - 2 * y)
    slim = min(high, gap)
    sunk = min(max((shaft + case / 2 - low) / case, 0), 1)
    sunk_skeg = min(max((shaft + case / 2 + skeg - low) / skeg, 0), 1)
    ratio = thick / chord
    junction = thick**2 * (0.75 * ratio - 0.0003 / ratio**2) * q
    kb = 1.5 * (case / length) ** 1.5 + 7 * (case / length) ** 3
    return (
        foil(chord * max(shaft - case / 2 - low, 0), ratio, chord)
        + foil(chord * slim, ratio, chord)
        + foil(chord * (high - slim), middle / chord, chord)
        + math.pi * case * length * friction(length) * (1 + kb) * q * sunk
        + foil(4 / 3 * skeg * skeg, 0.075, 4 / 3 * skeg) * sunk_skeg
        + 0.24 * q * (thick**2 * (1 - blunt) + middle**2 * blunt) * sunk
        + RATIOS["plate_area"] * size**2 * friction(chord) * q * deep
        + junction * (sunk + deep)
    )


@pytest.mark.parametrize("depth", [-0.45, -0.25, -0.2, -0.05, 0.0, 0.015, 0.037, 0.2])
def test_leg_by_a_second_route(depth: float) -> None:
    assert float(leg(depth)[0]) == pytest.approx(leg_by_hand(depth, 18.0), rel=1e-9)
    assert float(leg(depth, 5.0)[0]) == pytest.approx(leg_by_hand(depth, 5.0), rel=1e-9)


def test_leg_drag_at_rest_is_nought() -> None:
    drag, centre = leg(np.array([0.0, 0.1]), 0.0)
    assert (drag == 0.0).all()
    assert np.isnan(centre).all()


# --- wake ------------------------------------------------------------------------------------


def test_published_wakes_lie_together_in_their_range() -> None:
    """Full and short form by one author, one to three beams aft: within a tenth of each other."""
    distance, trim, froude = np.meshgrid([1.0, 2.0, 3.0], [6.0, 8.0], [3.5, 4.0, 5.0])
    full = wake.wake_savitsky(distance, trim, froude, 1.5)
    short = wake.wake_simplified(distance, trim, froude)
    print(f"\nshort wake over full wake: {(short / full).min():.2f} to {(short / full).max():.2f}")
    assert ((short / full) > 0.75).all() and ((short / full) < 1.25).all()


def test_wake_near_the_transom_lies_under_the_straight_one() -> None:
    distance = np.linspace(0.02, 0.4, 20)
    for trim in (3.0, 4.0, 6.0):
        low = wake.wake_savitsky(distance, trim, 4.0, 2.0)
        assert (low > 0).all()
        assert (low < wake.wake_straight(distance, trim)).all()


# --- every lane alone ------------------------------------------------------------------------

RANGES = {
    "advance_ratio": (0.2, 1.3),
    "effective_pitch_ratio": (0.7, 1.6),
    "loss": (0.0, 0.6),
    "pitch_ratio": (0.7, 1.6),
    "area_ratio": (0.5, 1.0),
    "blades": (3, 4),
    "reynolds": (2e6, 2e7),
    "thrust_coefficient": (0.05, 0.3),
    "torque_coefficient": (0.01, 0.06),
    "speed_mps": (1, 30),
    "pitch_m": (0.2, 0.6),
    "revolutions_per_s": (5, 60),
    "immersion_ratio": (-0.4, 1.6),
    "static_pressure_pa": (1e5, 1.1e5),
    "vapour_pressure_pa": (600, 4000),
    "density_kg_m3": (990, 1030),
    "advance_speed_mps": (1, 30),
    "diameter_m": (0.2, 0.5),
    "sigma07": (0.03, 0.7),
    "loading": (0.05, 0.3),
    "thrust_n": (100, 1e4),
    "blade_speed_squared_m2_s2": (100, 3000),
    "constant": (0, 0.2),
    "power_w": (0, 2e5),
    "rotation_share": (0, 1.1),
    "rated_power_w": (1e4, 3e5),
    "friction": (1e-3, 5e-3),
    "slope": (2e-8, 8e-8),
    "enrichment": (0, 0.12),
    "idle": (1e-9, 1e-8),
    "exponent": (2, 3),
    "rotation_place": (-0.1, 1.4),
    "curve": (0, 1),
    "rotation_rpm": (0, 6600),
    "rated_rpm": (4500, 5800),
    "idle_rpm": (600, 900),
    "limit_rpm": (5900, 6400),
    "temperature_c": (-10, 40),
    "altitude_m": (0, 3000),
    "humidity": (0, 1),
    "dynamic_pressure": (0, 4e5),
    "planform_area_m2": (0.01, 0.1),
    "wetted_area_m2": (0.01, 0.3),
    "thickness_ratio": (0.1, 0.35),
    "fineness": (0.1, 0.35),
    "thickness_m": (0.02, 0.15),
    "distance_ratio": (0.05, 3),
    "trim_deg": (1, 10),
    "beam_froude": (1, 6),
    "length_ratio": (0.3, 4),
    "keel_length_ratio": (0.3, 4),
    "deadrise_deg": (5, 30),
    "off_centre_ratio": (-0.3, 0.3),
    "off_centre_m": (-0.8, 0.8),
    "transom_draught_m": (0.0, 0.6),
    "dynamic_pressure_pa": (0, 4e5),
    "viscosity": (0.9e-6, 1.8e-6),
    "plate_depth_m": (-0.4, 0.3),
    "tip_clearance_m": (0.01, 0.04),
    **{name: (0.9 * value, 1.1 * value) for name, value in RATIOS.items()},
}
WHOLE = {"blades", "curve"}
MODULES = (propeller, cavitation, engine, lower_unit, wake)
OURS = [
    law.function
    for law in LAWS.values()
    if law.function.__module__ in {m.__name__ for m in MODULES}
]


@pytest.mark.parametrize("function", [*OURS, lower_unit.leg_drag], ids=lambda f: f.__name__)
def test_lane_alone_is_the_lane_in_a_crowd(function) -> None:
    random = np.random.default_rng(5)
    names = list(inspect.signature(function).parameters)
    lanes = {}
    for name in names:
        low, high = RANGES[name]
        lanes[name] = random.uniform(low, high, 1003)
        if name in WHOLE:
            lanes[name] = np.round(lanes[name])

    def evaluate(pick) -> np.ndarray:
        return np.asarray(function(**{name: pick(value) for name, value in lanes.items()}))

    crowd = evaluate(lambda v: v)
    assert crowd.shape[-1] == 1003
    assert np.isfinite(crowd).mean() > 0.5
    # copies and strided views; a view run backwards is left out: numpy itself then takes another
    # loop for powers and logarithms (measured: 57 of 1,003 powers differ in the last bit)
    for rows in (slice(0, 1), slice(3, 10), slice(1, 1003, 7)):
        for pick in (lambda v, r=rows: v[r].copy(), lambda v, r=rows: v[r]):
            assert evaluate(pick).tobytes() == np.ascontiguousarray(crowd[..., rows]).tobytes()
    backwards = evaluate(lambda v: v[::-1].copy())
    assert backwards.tobytes() == np.ascontiguousarray(crowd[..., ::-1]).tobytes()
    for row in (0, 501, 1002):
        alone = evaluate(lambda v, r=row: v[r])
        assert alone.tobytes() == crowd[..., row].tobytes()


# --- ranges, typed again from the works ------------------------------------------------------

RANGES_OF_LAWS = {
    "gawn_thrust": {"pitch_ratio": (0.6, 2.0), "area_ratio": (0.5, 1.1), "blades": (3, 3)},
    "gawn_torque": {"pitch_ratio": (0.6, 2.0), "area_ratio": (0.5, 1.1), "blades": (3, 3)},
    "wageningen_thrust": {"pitch_ratio": (0.5, 1.4), "area_ratio": (0.3, 1.05), "blades": (2, 7)},
    "wageningen_torque": {"pitch_ratio": (0.5, 1.4), "area_ratio": (0.3, 1.05), "blades": (2, 7)},
    "kca_thrust": {
        "pitch_ratio": (0.8, 1.8),
        "area_ratio": (0.5, 1.1),
        "advance_ratio": (0.3, math.inf),
    },
    "thrust_coefficient_limit": {"pitch_ratio": (0.6, 2.0), "area_ratio": (0.5, 1.1)},
    "kca_thrust_loss": {
        "pitch_ratio": (0.8, 1.8),
        "area_ratio": (0.5, 1.1),
        "sigma07": (0.05, 0.28),
    },
    "near_surface_thrust": {"immersion_ratio": (-0.25, math.inf)},
    "wake_savitsky": {
        "distance_ratio": (0, 6),
        "trim_deg": (6, 14),
        "beam_froude": (3, 6),
        "length_ratio": (0, 3),
    },
    "full_throttle_share": {"rotation_place": (0, 1.2)},
}


@pytest.mark.parametrize("name", RANGES_OF_LAWS)
def test_stated_ranges(name: str) -> None:
    spans = {span.symbol: (span.low, span.high) for span in LAWS[name].spans}
    assert spans == RANGES_OF_LAWS[name]


def test_every_span_names_an_argument() -> None:
    for law in LAWS.values():
        if law.function in OURS:
            names = set(inspect.signature(law.function).parameters)
            assert {span.symbol for span in law.spans} <= names, law.name


# --- tables ----------------------------------------------------------------------------------


def test_tables_name_their_published_source() -> None:
    folder = tables.data_folder() / "coefficients"
    for name in (
        "gawn_kt",
        "gawn_kq",
        "bseries_kt",
        "bseries_kq",
        "kca_open_water",
        "kca_cavitation",
    ):
        table = tables.read_table(f"coefficients/{name}.csv")
        assert any(word in table.comment for word in ("Blount", "Oosterveld", "Radojcic"))
    assert tables.read_table("coefficients/gawn_kt.csv").numbers("C").shape == (39,)
    assert tables.read_table("coefficients/gawn_kq.csv").numbers("C").shape == (47,)
    assert (folder / "technology.csv").is_file()


def test_ragged_tables_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tables, "data_folder", lambda: tmp_path)
    (tmp_path / "good.csv").write_text("# a source\na,b\n1,2\n", encoding="utf-8")
    assert tables.read_table("good.csv").rows == ({"a": "1", "b": "2"},)
    assert tables.read_table("good.csv").comment == "a source"
    for text in ("a,b\n1\n", "a,b\n1,2,3\n"):
        (tmp_path / "bad.csv").write_text(text, encoding="utf-8")
        with pytest.raises(ValueError, match=r"bad\.csv"):
            tables.read_table("bad.csv")
    with pytest.raises(FileNotFoundError):
        tables.read_table("none.csv")
