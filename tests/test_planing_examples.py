"""Published worked examples of the planing method, end to end, from the laws alone.

Each printed intermediate is asserted in order, so that the first wrong step is named. What was read
from a chart, or carries a slip of its own, is printed with its difference and not asserted
(`pytest -rP tests/test_planing_examples.py` shows it). The root is scipy's, never the tool's own.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from perf.laws import air, friction, planing
from perf.laws.friction import ittc57, schoenherr

MEASURED = Path(__file__).parents[1] / "hull_data" / "measured"
RADIAN = np.pi / 180.0


def near(found: float, printed: float, share: float = 0.0, absolute: float = 0.0) -> bool:
    return abs(found - printed) <= share * abs(printed) + absolute


def show(name: str, found: float, printed: float) -> None:
    gap = f"{100 * (found / printed - 1):+.1f} %" if printed else ""
    print(f"  {name:<34} printed {printed:>10.5g}   found {found:>10.5g}   {gap}")


@dataclass(frozen=True)
class Case:
    """A boat with weight, beam, deadrise, balance point and speed in one consistent set of units."""

    weight: float
    beam: float
    deadrise: float
    balance: float
    speed: float
    density: float
    viscosity: float
    gravity: float

    @property
    def pressure(self) -> float:
        return 0.5 * self.density * self.speed * self.speed

    @property
    def speed_coefficient(self) -> float:
        return self.speed / np.sqrt(self.gravity * self.beam)

    @property
    def lift(self) -> float:
        return self.weight / (self.pressure * self.beam * self.beam)

    @property
    def flat(self) -> float:
        return float(planing.flat_lift_from_deadrise(self.lift, self.deadrise))

    def length_ratio(self, trim: float) -> float:
        return float(planing.length_ratio_from_lift(self.flat, trim, self.speed_coefficient))

    def centre(self, length_ratio: float) -> float:
        """Centre of pressure forward of the transom."""
        share = planing.centre_of_pressure(length_ratio, self.speed_coefficient)
        return float(share) * length_ratio * self.beam

    def area(self, length_ratio: float) -> float:
        return (
            float(planing.pressure_area_ratio(length_ratio, self.deadrise)) * self.beam * self.beam
        )

    def through_balance_point(self) -> tuple[float, float]:
        """Trim and length ratio with the pressure under the balance point: two roots, one each."""
        length = brentq(lambda x: self.centre(x) - self.balance, 0.3, 9.0, xtol=1e-12)
        trim = brentq(lambda t: self.length_ratio(t) - length, 0.3, 14.0, xtol=1e-12)
        return trim, length


# --- Molland, Turnock & Hudson 2011, 10.3.3.2, Table 10.6 -----------------------------------------

TABLE_10_6 = [
    # trim, length ratio, mean length m, centre m, normal force kN, moment kN m
    (2.0, 3.8083, 24.754, 13.989, 686.28, -2733.27),
    (3.0, 2.6310, 17.102, 10.864, 685.76, -582.98),
    (4.0, 1.8701, 12.155, 8.301, 685.03, 1180.42),
    (3.50, 2.2138, 14.390, 9.527, 685.42, 340.759),
    (3.31, 2.3658, 15.378, 10.028, 685.55, -7.42),
]
CRAFT = Case(686.7, 6.5, 20.0, 10.0, 23.15, 1.025, 1.19e-6, 9.81)  # kN, m, s, t


def test_planing_craft_coefficients() -> None:
    assert near(CRAFT.speed_coefficient, 2.899, 0.005)
    assert near(CRAFT.lift, 0.0592, 0.005)
    assert near(CRAFT.flat, 0.0898, 0.005)


@pytest.mark.parametrize("row", TABLE_10_6, ids=[f"{row[0]}deg" for row in TABLE_10_6])
def test_planing_craft_table(row: tuple[float, ...]) -> None:
    """Molland et al. 2011 Table 10.6, each printed column 0.5 %.

    The moment is the small difference of two moments near 6,867 kN m and gets 0.1 % of those
    besides (the rows at 3.50 and 3.31 deg were interpolated by the book and round in the centre).
    """
    trim, length_ratio, length, centre, normal, moment = row
    ratio = CRAFT.length_ratio(trim)
    assert near(ratio, length_ratio, 0.005)
    assert near(ratio * CRAFT.beam, length, 0.005)
    assert near(CRAFT.centre(ratio), centre, 0.005)
    force = CRAFT.weight * np.cos(trim * RADIAN)
    assert near(force, normal, 0.005)
    found = CRAFT.weight * CRAFT.balance - force * CRAFT.centre(ratio)
    show(f"moment at {trim} deg, kN m", found, moment)
    assert near(found, moment, 0.005, 0.001 * CRAFT.weight * CRAFT.balance)


def test_planing_craft_equilibrium() -> None:
    """Molland et al. 2011 10.3.3.2, final line: no roughness, forward speed for bottom speed."""

    def moment(trim: float) -> float:
        force = CRAFT.weight * np.cos(trim * RADIAN)
        return CRAFT.weight * CRAFT.balance - force * CRAFT.centre(CRAFT.length_ratio(trim))

    trim = brentq(moment, 2.0, 5.0, xtol=1e-12)
    assert near(trim, 3.31, absolute=0.02)
    ratio = CRAFT.length_ratio(trim)
    reynolds = CRAFT.speed * ratio * CRAFT.beam / CRAFT.viscosity
    assert near(reynolds, 2.991e8, 0.005)
    assert near(float(ittc57(reynolds)), 1.7884e-3, 0.005)
    area = CRAFT.area(ratio)
    assert near(area, 106.37, 0.005)
    drag = CRAFT.pressure * area * float(ittc57(reynolds))
    assert near(drag, 52.24, 0.005)
    thrust = CRAFT.weight * np.sin(trim * RADIAN) + drag
    assert near(thrust, 91.89, 0.005)
    resistance = thrust * np.cos(trim * RADIAN)
    show("resistance, kN", resistance, 91.74)
    assert near(resistance, 91.74, 0.002)
    assert near(resistance * CRAFT.speed, 2123.5, 0.002)


# --- Savitsky 1964, Tables 1 and 2 ------------------------------------------------------------------

# The paper's half density is 0.97 in the lift coefficient and near 1.00 in the friction, so both
# waters are shown: slug/ft3, with the viscosity its Reynolds numbers imply.
WATERS = [1.94, 1.99]
TABLE_1 = {
    # per trim: length ratio, mean speed, Reynolds, friction, friction drag, drag, centre share,
    # centre ft, arm c ft, moment ft-lb
    2.0: (3.85, 67.0, 3.61e8, 0.00214, 7340.0, 9434.0, 0.59, 31.6, -2.6, -149960.0),
    3.0: (2.60, 66.6, 2.42e8, 0.00224, 5160.0, 8304.0, 0.65, 23.5, 5.5, 336600.0),
    4.0: (1.86, 66.2, 1.73e8, 0.00232, 3760.0, 7948.0, 0.70, 18.2, 10.8, 648350.0),
}
COLUMNS = (
    "length ratio",
    "mean speed, ft/s",
    "Reynolds number",
    "friction with allowance",
    "friction drag, lb",
    "drag, lb",
    "centre share",
    "centre, ft",
    "arm c, ft",
    "moment, ft lb",
)


def yacht(density: float) -> Case:
    """60,000 lb, 14 ft beam, 10 deg, balance 29 ft, 67.5 ft/s; pounds, feet, slugs."""
    return Case(60000.0, 14.0, 10.0, 29.0, 67.5, density, 1.00e-5, 32.2)


def yacht_at(case: Case, trim: float) -> tuple[float, ...]:
    """The columns of Table 1: thrust 0.5 ft off the balance point at 4 deg, 2.0 ft above the keel."""
    ratio = case.length_ratio(trim)
    speed = case.speed * float(planing.flat_bottom_velocity_ratio(trim, ratio))
    reynolds = speed * ratio * case.beam / case.viscosity
    skin = float(schoenherr(reynolds)) + friction.BOTTOMS["clean"]
    drag = 0.5 * case.density * speed * speed * case.area(ratio) * skin
    sine, cosine = np.sin(trim * RADIAN), np.cos(trim * RADIAN)
    total = case.weight * sine / cosine + drag / cosine
    share = float(planing.centre_of_pressure(ratio, case.speed_coefficient))
    centre = case.centre(ratio)
    arm = case.balance - centre
    above = 2.0 - 0.25 * case.beam * np.tan(case.deadrise * RADIAN)
    lifted = (1.0 - sine * np.sin((trim + 4.0) * RADIAN)) * arm / cosine - 0.5 * sine
    moment = case.weight * lifted + drag * (above - 0.5)
    return ratio, speed, reynolds, skin, drag, total, share, centre, arm, moment


def test_savitsky_1964_table_1_coefficients() -> None:
    """Two units of the last printed digit, with the half density 0.97 the paper itself uses here."""
    case = yacht(1.94)
    assert near(case.speed_coefficient, 3.18, absolute=0.02)
    assert near(case.lift, 0.069, absolute=0.002)
    assert near(case.flat, 0.085, absolute=0.002)
    assert near(case.length_ratio(2.0), 3.85, 0.015)
    assert near(case.length_ratio(3.0), 2.60, 0.015)


@pytest.mark.parametrize("density", WATERS)
def test_savitsky_1964_table_1(density: float) -> None:
    case = yacht(density)
    print(f"Savitsky 1964 Table 1, density {density} slug/ft3")
    show("lift coefficient", case.lift, 0.069)
    show("flat lift coefficient", case.flat, 0.085)
    for trim, printed in TABLE_1.items():
        print(f" trim {trim} deg")
        for name, found, value in zip(COLUMNS, yacht_at(case, trim), printed, strict=True):
            show(name, found, value)
    assert near(yacht_at(case, 2.0)[4], 7340.0, 0.035)
    trim = brentq(lambda t: yacht_at(case, t)[-1], 2.0, 4.0, xtol=1e-12)
    ratio, *_, drag, _, _, _, _ = yacht_at(case, trim)
    keel = float(planing.keel_length_ratio(ratio, trim, 10.0)) * 14.0
    print(" equilibrium")
    show("trim, deg", trim, 2.3)
    show("drag, lb", drag, 9095.0)
    show("effective power, hp", drag * case.speed / 550.0, 1115.0)
    show("length ratio (3.29 is a slip)", ratio, 3.475)
    show("wetted keel (from the slip), ft", keel, 55.9)
    show("draught (from the slip), ft", keel * np.sin(trim * RADIAN), 2.24)
    assert near(trim, 2.3, absolute=0.1)
    assert near(drag, 9095.0, 0.035)
    assert near(ratio, 3.475, 0.02)


@pytest.mark.parametrize("density", WATERS)
def test_savitsky_1964_table_2(density: float) -> None:
    """All forces through the balance point."""
    case = yacht(density)
    trim, ratio = case.through_balance_point()
    _, speed, reynolds, skin, drag, total, *_ = yacht_at(case, trim)
    print(f"Savitsky 1964 Table 2, density {density} slug/ft3")
    show("mean speed, ft/s", speed, 66.9)
    show("Reynolds number", reynolds, 3.22e8)
    show("friction with allowance", skin, 0.00217)
    show("friction drag, lb", drag, 6670.0)
    show("drag, lb", total, 9010.0)
    show("trim, deg", trim, 2.23)
    assert near(29.0 / 14.0, 2.07, 0.002)
    assert near(ratio, 3.45, 0.01)
    assert near(trim, 2.23, absolute=0.06)
    assert near(total, 9010.0, 0.03)
    show("root of half the lift", float(np.sqrt(0.5 * case.lift)), 0.186)
    assert near(float(np.sqrt(0.5 * case.lift)), 0.186, absolute=0.003)


def test_savitsky_1964_flat_bottom_has_a_broad_least_drag() -> None:
    """Savitsky 1964: drag over weight of a flat bottom is least near 0.12 and hardly changes there.

    The paper reads the least at 4.5 deg off a chart for other loads; the trim is printed only.
    """
    case = Case(60000.0, 10.0, 0.0, 29.0, 67.5, 1.94, 1.00e-5, 32.2)
    trims = np.linspace(2.0, 9.0, 71)
    ratios = [yacht_at(case, trim)[5] / case.weight for trim in trims]
    show("least drag over weight", min(ratios), 0.12)
    show("at trim, deg", trims[int(np.argmin(ratios))], 4.5)
    assert near(min(ratios), 0.12, absolute=0.005)
    assert near(yacht_at(case, 4.5)[5] / case.weight, min(ratios), 0.05)


# --- Molland, Turnock & Hudson 2011, example 15, Table 17.15 ---------------------------------------

TABLE_17_15 = [
    # volume Froude number, resistance over weight (None: does not follow from its own column), trim
    (0.50, 0.062, 3.4),
    (0.75, 0.068, 3.7),
    (1.00, 0.075, 3.9),
    (1.25, 0.084, 4.3),
    (1.50, 0.095, 4.7),
    (1.75, None, 5.2),  # printed .100
    (2.00, 0.118, 5.7),
    (2.25, 0.128, 6.0),
    (2.50, 0.134, 6.2),
    (2.75, 0.138, 6.2),
    (3.00, None, 6.1),  # printed .131
    (3.50, 0.139, 5.5),
]


@pytest.mark.parametrize(
    ("froude", "resistance", "trim"), TABLE_17_15, ids=[f"FnV{row[0]}" for row in TABLE_17_15]
)
def test_planing_craft_of_18_m(froude: float, resistance: float | None, trim: float) -> None:
    """The Savitsky column at a balance point of 40 %: a test of the roots, not of physics.

    Beam 3.80 m, balance 0.40 x 18.36 m, 444.8 kN; many cells lie outside the method's range.
    """
    speed = froude * np.sqrt(9.81 * 44.2 ** (1.0 / 3.0))
    case = Case(444.8, 3.80, 20.0, 0.40 * 18.36, speed, 1.025, 1.19e-6, 9.81)

    def moment(angle: float) -> float:
        centre = case.centre(case.length_ratio(angle))
        return case.balance - np.cos(angle * RADIAN) * centre

    found = brentq(moment, 0.5, 12.0, xtol=1e-12)
    show(f"trim at FnV {froude}", found, trim)
    # half of the last printed digit, and a hair for its own rounding; 0.06 in the flat of 2.75
    assert near(found, trim, absolute=0.06 if froude == 2.75 else 0.0505)
    ratio = case.length_ratio(found)
    drag = case.pressure * case.area(ratio) * float(ittc57(speed * ratio * 3.80 / 1.19e-6))
    share = (np.sin(found * RADIAN) + drag / case.weight) * np.cos(found * RADIAN)
    if resistance is not None:
        assert near(share, resistance, absolute=0.001)


# --- Faltinsen 2005, 9.3.1 -------------------------------------------------------------------------


def test_faltinsen_2005_example() -> None:
    """The yacht of 1964 in SI with its own split of the wetted area and the angle in radians."""
    case = Case(27000.0 * 9.81, 4.27, 10.0, 8.84, 20.58, 1026.0, 1.19e-6, 9.81)
    assert near(case.speed_coefficient, 3.18, absolute=0.005)
    assert near(case.lift, 0.067, absolute=0.0005)
    trim, ratio = case.through_balance_point()
    assert near(ratio, 3.43, 0.005)
    assert near(trim, 2.21, absolute=0.02)
    chine = float(planing.chine_length_ratio(ratio, trim, 10.0)) * 4.27
    keel = float(planing.keel_length_ratio(ratio, trim, 10.0)) * 4.27
    assert near(chine, 11.5, absolute=0.05)
    assert near(keel, 17.7, absolute=0.05)
    assert near(keel * np.sin(trim * RADIAN), 0.68, absolute=0.005)
    reynolds = case.speed * keel / case.viscosity
    assert near(reynolds, 3.1e8, absolute=0.05e8)
    skin = float(ittc57(reynolds))
    rough = float(friction.roughness_allowance_townsin(150e-6, keel, reynolds))
    assert near(skin, 1.78e-3, absolute=0.005e-3)
    assert near(rough, 3.7e-4, absolute=0.05e-4)
    beta = 10.0 * RADIAN
    spray = np.tan(beta) ** 2 / np.sin(beta) * 4.27**2 / (4.0 * (np.pi / 2.0) * trim * RADIAN)
    area = spray + 4.27 * chine / np.cos(beta)
    assert near(area, 63.3, 0.002)
    viscous = case.pressure * area * (skin + rough)
    total = case.weight * trim * RADIAN + viscous
    show("viscous resistance, N", viscous, 29603.0)
    show("resistance, N", total, 39825.0)
    assert near(viscous, 29603.0, 0.002)
    assert near(total, 39825.0, 0.002)
    assert near(total * case.speed / 1000.0, 820.0, 0.002)
    assert near(total / case.weight, 0.15, absolute=0.0005)


# --- Savitsky & Brown 1976, application of results -------------------------------------------------

WATER_1976 = 64.0 / 32.2  # slug/ft3, from 64 lb/ft3
SHIP = [
    # FnV, speed ft/s, Cv, lift, flat lift, load, length ratio, trim, keel
    (1.0, 21.4, 0.77, 0.71, 0.79, 0.295, 3.9, 2.4, 4.7),
    (1.5, 32.2, 1.16, 0.31, 0.37, 0.109, 3.4, 3.0, 4.1),
    (2.0, 42.9, 1.54, 0.18, 0.22, 0.052, 2.9, 3.6, 3.4),
]


def ship(weight: float, balance: float, speed: float) -> Case:
    """Beam 24 ft, 15 deg; viscosity of sea water of 59 deg F."""
    return Case(weight, 24.0, 15.0, balance, speed, WATER_1976, 1.28e-5, 32.2)


@pytest.mark.parametrize("row", SHIP, ids=[f"FnV{row[0]}" for row in SHIP])
def test_savitsky_brown_1976_planing(row: tuple[float, ...]) -> None:
    """186,000 lb, balance 34 ft: trim 0.1 deg, every coefficient half its last printed digit."""
    froude, speed, coefficient, lift, flat, load, length, angle, keel = row
    case = ship(186000.0, 34.0, speed)
    trim, ratio = case.through_balance_point()
    assert near(case.speed_coefficient, coefficient, absolute=0.006)
    assert near(case.lift, lift, absolute=0.006)
    assert near(case.flat, flat, absolute=0.006)
    assert near(34.0 / 24.0, 1.42, absolute=0.005)
    assert near(ratio, length, absolute=0.05)
    assert near(trim, angle, absolute=0.1)
    assert near(case.flat / trim**1.1, load, 0.02)
    # keel from eqs. 12 and 15
    found = ratio - 0.03 + 0.5 * float(planing.length_difference_1976(trim, 15.0))
    assert near(found, keel, absolute=0.06)
    chine = found - float(planing.length_difference_1976(trim, 15.0))
    assert near(float(planing.mean_length_ratio_1976(found, chine)), ratio, absolute=1e-12)
    if froude == 2.0:
        # the planing resistance: no roughness, forward speed, Schoenherr
        skin = float(schoenherr(speed * ratio * 24.0 / case.viscosity))
        drag = case.pressure * case.area(ratio) * skin
        total = case.weight * np.tan(trim * RADIAN) + drag / np.cos(trim * RADIAN)
        show("planing resistance, lb", total, 17500.0)
        assert near(total, 17500.0, 0.005)


def test_savitsky_brown_1976_flap() -> None:
    """A full-span flap of 1 ft at 5 deg and 42.9 ft/s, lengths from its trailing edge; 2 %."""
    bare = ship(186000.0, 35.0, 42.9)
    lift = float(planing.flap_lift(1.0, 1.0, 5.0, 24.0, bare.pressure))
    moment = float(planing.flap_moment(lift, 1.0, 1.0, 24.0))
    weight = bare.weight - lift
    case = ship(weight, (bare.weight * 35.0 - moment) / weight, 42.9)
    trim, ratio = case.through_balance_point()
    reynolds = 42.9 * ratio * 24.0 / case.viscosity
    skin = float(schoenherr(reynolds))
    friction_drag = case.pressure * case.area(ratio) * skin / np.cos(trim * RADIAN)
    added = float(planing.flap_drag(lift, trim, 5.0))
    # the printed sum holds the whole weight on the slope, not the weight less the flap's lift
    total = bare.weight * np.tan(trim * RADIAN) + friction_drag + added
    lighter = case.weight * np.tan(trim * RADIAN) + friction_drag + added
    show("drag, lb", total, 16200.0)
    show("drag with the lighter hull, lb", lighter, 16200.0)
    show("load (printed .060)", case.flat / trim**1.1, 0.060)
    assert near(lift, 10100.0, 0.02)
    assert near(weight, 175900.0, 0.002)
    assert near(case.balance, 36.2, 0.002)
    assert near(case.balance / 24.0, 1.50, absolute=0.008)
    assert near(case.lift, 0.17, absolute=0.005)
    assert near(case.flat, 0.20, absolute=0.005)
    assert near(trim, 2.9, absolute=0.05)
    assert near(ratio, 3.2, absolute=0.05)
    assert near(reynolds, 2.55e8, 0.02)
    assert near(skin, 0.00182, absolute=0.000005)
    assert near(total, 16200.0, 0.02)


# --- accuracy against the tank: Savitsky & Brown 1976, Tables 1 and 2 -------------------------------


def measured(name: str) -> list[dict[str, float]]:
    with (MEASURED / name).open(encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return [{key: float(value) for key, value in row.items()} for row in rows]


def dynamic_lift(trim: float, length_ratio: float, deadrise: float) -> float:
    """Lift with the buoyant term gone: the limit of high speed."""
    return float(planing.deadrise_lift(planing.flat_lift(trim, length_ratio, 1e9), deadrise))


def test_dynamic_lift_against_the_tank() -> None:
    """How far the 1964 dynamic lift lies from Table 1: an accuracy, printed; the band is a tripwire.

    The warped bottom is read as the paper's theory reads it: the deadrise of its transom, 10 deg,
    at the effective trim for lift.
    """
    rows = measured("savitsky_brown_1976_table_1.csv")
    for kind, warp in (("prismatic", 0.0), ("warped", 1.66)):
        gaps = []
        for row in rows:
            trim, length = row["trim_deg"], row["length_ratio"]
            effective = float(planing.warped_lift_trim(trim, warp))
            found = dynamic_lift(effective, length, 10.0)
            printed = row[f"{kind}_experiment"]
            show(f"{kind}, {trim:.0f} deg, length {length:.0f}", found, printed)
            gaps.append(found / printed - 1.0)
        print(f"  {kind}: mean {np.mean(gaps):+.3f}, sd {np.std(gaps, ddof=1):.3f}, n {len(gaps)}")
        assert len(gaps) == 9
        assert -0.13 < np.mean(gaps) < -0.06


def test_effective_trim_for_lift_as_the_paper_uses_it() -> None:
    """Table 1's own theory, warped over prismatic, is the trim ratio to the power 1.1."""
    for row in measured("savitsky_brown_1976_table_1.csv"):
        ratio = row["warped_theory"] / row["prismatic_theory"]
        effective = float(planing.warped_lift_trim(row["trim_deg"], 1.66))
        digit = 0.0005 * (1.0 + ratio) / row["prismatic_theory"]
        assert near((effective / row["trim_deg"]) ** 1.1, ratio, absolute=digit)


def test_drag_of_the_warped_bottom_is_printed_only() -> None:
    """Table 2 does not follow from Table 1 and its own equation at 6 deg, so nothing is asserted.

    There the printed drag is below lift x tan(trim), without friction: a slip in the table, or
    another lift than Table 1's. The effective trims are the law's, and those are asserted.
    """
    lifts = {
        (row["trim_deg"], row["length_ratio"]): row["warped_experiment"]
        for row in measured("savitsky_brown_1976_table_1.csv")
    }
    for row in measured("savitsky_brown_1976_table_2.csv"):
        trim = float(planing.warped_drag_trim(row["trim_deg"], 1.66))
        assert near(trim, row["effective_trim_deg"], absolute=1e-9)
        leaned = lifts[row["trim_deg"], row["length_ratio"]] * np.tan(trim * RADIAN)
        where = f"{row['trim_deg']:.0f} deg, length {row['length_ratio']:.0f}, no friction"
        show(where, leaned, row["experiment"])


# --- scaling ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("scale", [0.1, 0.5, 3.0, 12.0])
def test_froude_scaling_changes_nothing(scale: float) -> None:
    """A boat k times as long, k^3 as heavy, sqrt(k) as fast, in water k^1.5 as viscous is the same."""
    small = Case(25000.0, 2.3, 18.0, 2.6, 14.0, 1023.0, 1.2e-6, 9.80665)
    large = Case(
        25000.0 * scale**3,
        2.3 * scale,
        18.0,
        2.6 * scale,
        14.0 * scale**0.5,
        1023.0,
        1.2e-6 * scale**1.5,
        9.80665,
    )
    found = []
    for case in (small, large):
        trim, ratio = case.through_balance_point()
        slowed = case.speed * float(planing.bottom_velocity_ratio(trim, ratio, case.deadrise))
        skin = float(schoenherr(slowed * ratio * case.beam / case.viscosity))
        drag = 0.5 * case.density * slowed * slowed * case.area(ratio) * skin
        flap = float(planing.flap_lift(0.05 * case.beam, 0.5, 4.0, case.beam, case.pressure))
        found.append(
            [
                trim,
                ratio,
                drag / case.weight,
                flap / case.weight,
                float(planing.flap_moment(flap, 0.05 * case.beam, 0.5, case.beam))
                / (case.weight * case.beam),
                float(planing.transom_froude(case.speed, 0.1 * case.beam)),
                float(friction.roughness_allowance(1e-5 * case.beam, ratio * case.beam)),
            ]
        )
    assert np.allclose(found[0], found[1], rtol=1e-9, atol=0.0)


# --- inverses, limits and the branch with dry chines ----------------------------------------------


def test_inverses_are_inverses() -> None:
    draw = np.random.default_rng(1964)
    trim = draw.uniform(1.0, 16.0, 20000)
    deadrise = np.where(draw.random(20000) < 0.1, 0.0, draw.uniform(0.0, 32.0, 20000))
    coefficient = 10.0 ** draw.uniform(-0.3, 1.2, 20000)
    length = 10.0 ** draw.uniform(-2.0, 1.0, 20000)
    flat = planing.flat_lift(trim, length, coefficient)
    found = planing.length_ratio_from_lift(flat, trim, coefficient)
    assert np.max(np.abs(found / length - 1.0)) < 1e-12
    lift = planing.deadrise_lift(flat, deadrise)
    carried = lift > 0.0
    again = planing.flat_lift_from_deadrise(lift[carried], deadrise[carried])
    assert np.max(np.abs(again / flat[carried] - 1.0)) < 1e-13
    assert np.array_equal(planing.deadrise_lift(flat, 0.0), flat)
    assert float(planing.flat_lift_from_deadrise(0.0, 0.0)) == 0.0


def test_schoenherr_solves_its_own_equation() -> None:
    reynolds = np.logspace(4.0, 10.5, 2001)
    skin = schoenherr(reynolds)
    assert np.max(np.abs(0.242 / np.sqrt(skin) - np.log10(reynolds * skin))) < 1e-12


def test_dry_chines_meet_wet_chines() -> None:
    """At the load where the wetted chine length is zero both branches give one hull."""
    trim, deadrise, coefficient = np.meshgrid(
        np.linspace(2.0, 12.0, 11), np.linspace(5.0, 30.0, 6), np.linspace(1.0, 9.0, 5)
    )
    length = planing.length_ratio_chines_dry(trim, deadrise)
    assert np.max(np.abs(planing.chine_length_ratio(length, trim, deadrise))) < 1e-12
    flat = planing.flat_lift(trim, length, coefficient)
    lift = planing.deadrise_lift(flat, deadrise)
    found = planing.effective_beam_ratio_chines_dry(lift, trim, coefficient, deadrise)
    assert np.max(np.abs(found - 1.0)) < 1e-12
    lighter = planing.effective_beam_ratio_chines_dry(0.9 * lift, trim, coefficient, deadrise)
    assert np.all((lighter > 0.85) & (lighter < 1.0))
    # a triangle: keel length over wet breadth is tan(deadrise) / (pi tan(trim))
    keel = planing.keel_length_ratio(length, trim, deadrise)
    assert np.allclose(keel, planing.wetted_length_difference(trim, deadrise), rtol=1e-13)


def test_whisker_spray_fades_out_without_a_step() -> None:
    trim = np.linspace(2.0, 15.0, 5001)
    added = planing.whisker_spray_ratio(trim, 15.0)
    assert np.all(added >= 0.0)
    assert added[0] > 0.5
    assert added[-1] == 0.0
    assert np.max(np.abs(np.diff(added))) < 1e-3


def test_dry_transom() -> None:
    """Faltinsen 2005, ch. 9: the transom runs dry above a draught Froude number of 2.5."""
    assert planing.TRANSOM_DRY_FROUDE == 2.5


# --- what an owner calls it ------------------------------------------------------------------------


def test_words_for_bottoms_and_tops() -> None:
    """Clean is the 0.0004 of Savitsky 1964; each worse word costs more; tops keep to their band.

    Slime is tuned on whole boats (tests of common practice) to one log of +18 % litres per mile;
    here only what that makes of a bare bottom of 26 kN at 21 to 25 knots, where no leg, no air and
    no engine dilute it: this is no evidence.
    """
    assert friction.BOTTOMS["clean"] == 0.0004
    allowances = [friction.BOTTOMS[word] for word in ("clean", "slime", "weed", "shell")]
    assert allowances == sorted(set(allowances))
    assert all(0.6 <= value <= 0.9 for value in air.DRAG_OF_TOP.values())
    for speed in (11.0, 12.0, 13.0):
        case = Case(26000.0, 2.3, 18.0, 2.7, speed, 1023.0, 1.2e-6, 9.80665)
        trim, ratio = case.through_balance_point()
        skin = float(schoenherr(speed * ratio * case.beam / case.viscosity))
        drags = [
            case.weight * np.tan(trim * RADIAN) + case.pressure * case.area(ratio) * (skin + rough)
            for rough in allowances
        ]
        print(f"  {speed} m/s: " + ", ".join(f"{drag / drags[0]:.2f}" for drag in drags))
        assert 1.22 < drags[1] / drags[0] < 1.42
