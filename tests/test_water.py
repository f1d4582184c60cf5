"""Water against published tables and against two independent property libraries.

`gsw` is TEOS-10 for sea water, `iapws` the international formulations for water and steam.
"""

from __future__ import annotations

import gsw
import numpy as np
import pytest
from iapws import IAPWS97

from perf.laws.water import GRAVITY, kinematic_viscosity, vapour_pressure, water_density

ATMOSPHERE = 0.101325  # MPa

# Tupper, Introduction to Naval Architecture, Table 5.1: temperature, fresh and sea density, fresh
# and sea kinematic viscosity times a million; the sea is taken as 35 g/kg
TUPPER = [
    (0.0, 999.8, 1028.0, 1.787, 1.828),
    (10.0, 999.6, 1026.9, 1.306, 1.354),
    (20.0, 998.1, 1024.7, 1.004, 1.054),
    (30.0, 995.6, 1021.7, 0.801, 0.849),
]


@pytest.mark.parametrize(
    ("temperature", "fresh", "sea", "fresh_viscosity", "sea_viscosity"),
    TUPPER,
    ids=[f"{row[0]:.0f}C" for row in TUPPER],
)
def test_table_of_tupper(
    temperature: float, fresh: float, sea: float, fresh_viscosity: float, sea_viscosity: float
) -> None:
    """Tupper Table 5.1: density 0.02 %, fresh viscosity 0.3 %, sea viscosity 0.9 %."""
    assert water_density(temperature, 0.0) == pytest.approx(fresh, rel=2e-4)
    assert water_density(temperature, 35.0) == pytest.approx(sea, rel=2e-4)
    found = 1e6 * kinematic_viscosity(temperature, 0.0)
    assert found == pytest.approx(fresh_viscosity, rel=3e-3)
    found = 1e6 * kinematic_viscosity(temperature, 35.0)
    assert found == pytest.approx(sea_viscosity, rel=9e-3)


def test_density_against_teos_10() -> None:
    """TEOS-10 density at the surface, 0 to 30 degrees and 0 to 38 g/kg: within 0.02 %."""
    temperature, salinity = np.meshgrid(np.linspace(0.0, 30.0, 31), np.linspace(0.0, 38.0, 39))
    absolute = salinity * 35.16504 / 35.0  # the law takes practical salinity
    conservative = gsw.CT_from_t(absolute, temperature, 0.0)
    expected = gsw.rho(absolute, conservative, 0.0)
    found = water_density(temperature, salinity)
    gap = np.abs(found / expected - 1.0)
    print(f"density against TEOS-10: at most {1e2 * gap.max():.4f} %")
    assert gap.max() < 2e-4
    # whoever enters grams of salt per kilogram of water instead is no worse off
    literal = gsw.rho(salinity, gsw.CT_from_t(salinity, temperature, 0.0), 0.0)
    assert np.max(np.abs(found / literal - 1.0)) < 3e-4


@pytest.mark.parametrize("temperature", [1.0, 4.0, 8.0, 15.0, 22.0, 30.0, 38.0])
def test_fresh_water_against_iapws(temperature: float) -> None:
    """IAPWS formulations: density 0.02 %, viscosity 0.2 %."""
    state = IAPWS97(T=temperature + 273.15, P=ATMOSPHERE)
    assert water_density(temperature, 0.0) == pytest.approx(state.rho, rel=2e-4)
    found = float(kinematic_viscosity(temperature, 0.0))
    print(f"viscosity at {temperature} C: {100 * (found / state.nu - 1):+.2f} %")
    assert found == pytest.approx(state.nu, rel=2e-3)


@pytest.mark.parametrize("temperature", [1.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0])
def test_vapour_pressure_against_iapws(temperature: float) -> None:
    """IAPWS-IF97 saturation line: within 0.5 %."""
    expected = IAPWS97(T=temperature + 273.15, x=0).P * 1e6
    assert vapour_pressure(temperature) == pytest.approx(expected, rel=5e-3)


def test_ittc_2011_at_15_degrees() -> None:
    """ITTC 7.5-02-01-03 (2011), recalled: 999.10 and 1026.02 kg/m3, 1.1386e-6 and 1.1892e-6 m2/s."""
    assert water_density(15.0, 0.0) == pytest.approx(999.10, abs=0.02)
    assert water_density(15.0, 35.0) == pytest.approx(1026.02, abs=0.08)
    assert kinematic_viscosity(15.0, 0.0) == pytest.approx(1.1386e-6, rel=2e-3)
    assert kinematic_viscosity(15.0, 35.0) == pytest.approx(1.1892e-6, rel=7e-3)


def test_water_thins_as_it_warms_and_salt_makes_it_heavier() -> None:
    temperature = np.linspace(0.0, 40.0, 81)
    for salinity in (0.0, 20.0, 38.0):
        assert np.all(np.diff(kinematic_viscosity(temperature, salinity)) < 0.0)
    assert np.all(np.diff(vapour_pressure(temperature)) > 0.0)
    salinity = np.linspace(0.0, 40.0, 81)
    for cold in (0.0, 10.0, 30.0):
        assert np.all(np.diff(water_density(cold, salinity)) > 0.0)
        assert np.all(np.diff(kinematic_viscosity(cold, salinity)) > 0.0)
    # fresh water is heaviest near 4 degrees
    fine = np.linspace(2.0, 6.0, 401)
    assert fine[int(np.argmax(water_density(fine, 0.0)))] == pytest.approx(3.98, abs=0.03)


def test_standard_gravity() -> None:
    """CGPM 1901: 9.80665 m/s2 exactly."""
    assert GRAVITY == 9.80665
