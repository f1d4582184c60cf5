"""Federal rules on power and load: the cases of the regulation and of its published examples."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.choice.parts import AS_SHE_IS, Candidate, Costs, RuleFacts
from perf.laws import rules
from perf.laws.rules import FOOT_M, HORSEPOWER_W, INCH_M, POUND_KG
from perf.studies.repower.rules import over_plate, questions_table, rules_table

# 33 CFR 183.53 (a): length ft, transom width ft, transom in, remote, flat bottom, horsepower
POWERING = [
    (19.5, 7.0, 20.0, True, False, 185.0),  # a published example: 2 x 136.5 - 90 = 183
    (16.0, 6.5, 20.0, True, False, 120.0),  # 118
    (16.0, 6.5, 20.0, False, False, 60.0),  # 58.2
    (16.0, 6.5, 15.0, False, True, 40.0),  # 37
    (18.0, 7.0, 20.0, True, False, 165.0),  # 162
    (18.0, 7.0, 15.0, True, False, 80.0),  # 75.8: a transom under 20 in
    (18.0, 7.0, 20.0, False, True, 50.0),  # 48
    (12.0, 3.83, 15.0, False, False, 15.0),  # 45.96 is 46 by the text; a published example says 10
    (12.0, 3.83, 15.0, False, True, 10.0),  # a flat bottom one step lower
    (10.0, 3.5, 15.0, False, False, 3.0),  # 35
]


@pytest.mark.parametrize(("length", "width", "transom", "remote", "flat", "horses"), POWERING)
def test_powering_cases(
    length: float, width: float, transom: float, remote: bool, flat: bool, horses: float
) -> None:
    factor = rules.powering_factor(length * FOOT_M, width * FOOT_M)
    limit = rules.outboard_power_limit(factor, transom * INCH_M, float(remote), float(flat))
    assert limit / HORSEPOWER_W == pytest.approx(horses, abs=1e-9)


def test_an_exact_multiple_of_five_is_not_raised() -> None:
    # 2 x 110 - 90 = 130, and 0.8 x 100 - 25 = 55, whatever the last bits of the factor
    for bit in (-1e-12, 0.0, 1e-12):
        assert rules.outboard_power_limit(
            110.0 + bit, 0.508, 1.0, 0.0
        ) / HORSEPOWER_W == pytest.approx(130.0)
        assert rules.outboard_power_limit(
            100.0 + bit, 0.508, 0.0, 0.0
        ) / HORSEPOWER_W == pytest.approx(55.0)


def test_persons_of_the_coast_guards_handbook() -> None:
    # (550 + 32) / 141 = 4.12 -> 4 people
    assert rules.people_limit(550.0 * POUND_KG) == 4.0
    # 547 lb stands against 545 / 0.6 = 908 lb: 547 counts, 4.10 -> 4
    people = rules.people_weight_limit(547.0 * POUND_KG, 0.0, 545.0 * POUND_KG)
    assert people / POUND_KG == pytest.approx(547.0)
    assert rules.people_limit(people) == 4.0
    # A = 328 lb: 546 lb marked, 4 people
    people = rules.people_weight_limit(549.0 * POUND_KG, 0.0, 328.0 * POUND_KG)
    assert people / POUND_KG == pytest.approx(546.0)
    assert rules.people_limit(people) == 4.0


def test_five_hundred_and_fifty_pounds_part_the_two_ways() -> None:
    at, under = 550.0 * POUND_KG, 549.9 * POUND_KG
    assert rules.people_weight_limit(at, 0.0, 100.0 * POUND_KG) / POUND_KG == pytest.approx(550.0)
    assert rules.people_weight_limit(under, 0.0, 100.0 * POUND_KG) / POUND_KG == pytest.approx(
        166.0
    )


def test_power_never_falls_with_the_factor() -> None:
    factors = np.linspace(0.0, 300.0, 4001)
    for remote, flat in ((1.0, 0.0), (0.0, 0.0), (0.0, 1.0)):
        limit = rules.outboard_power_limit(factors, 0.508, remote, flat)
        # over 52.5 the text's own formulas begin lower than its table ends: 0.5 x 53 - 15 = 11.5
        over = factors > 52.5
        assert np.all(np.diff(limit[over]) >= 0.0)
        assert np.all(np.diff(limit[~over]) >= 0.0)


# --- what the study says ---------------------------------------------------------------------


def said(table: object, rule: str) -> dict[str, object]:
    rows = table[table["rule"].str.startswith(rule)]  # type: ignore[index]
    assert len(rows), rule
    return rows.iloc[0].to_dict()


def choice(name: str, boat: object, **parts: object) -> Candidate:
    return Candidate(name, replace(boat, **parts), Costs())  # type: ignore[type-var]


def test_a_boat_of_twenty_feet_has_no_federal_formula() -> None:
    boat = read_boat(demo_boats()["number_four"])
    table = rules_table([choice(AS_SHE_IS, boat)], RuleFacts(), [15.0])
    assert "not under 20 ft" in said(table, "33 CFR 183 subpart D")["applies"]  # type: ignore[operator]
    assert "not under 20 ft" in said(table, "33 CFR 183 subpart C")["applies"]  # type: ignore[operator]


def test_a_small_outboard_boat_is_worked_out_and_a_bracket_adds_nothing() -> None:
    boat = read_boat(demo_boats()["number_two"])  # 19 ft 2 in, 20 in transom, plate 150 hp
    facts = RuleFacts(steering="remote", transom_width_m=6.5 * FOOT_M)
    row = said(rules_table([choice(AS_SHE_IS, boat)], facts, [15.0]), "33 CFR 183 subpart D")
    # 19.1667 x 6.5 = 124.58; 2 F - 90 = 159.2, raised to 160
    assert row["limit_w"] / HORSEPOWER_W == pytest.approx(160.0)  # type: ignore[operator]
    set_back = replace(boat, mounting=replace(boat.mounting, setback_m=0.6))
    again = said(rules_table([choice(AS_SHE_IS, set_back)], facts, [15.0]), "33 CFR 183 subpart D")
    assert again["limit_w"] == row["limit_w"]
    none = said(rules_table([choice(AS_SHE_IS, boat)], RuleFacts(), [15.0]), "33 CFR 183 subpart D")
    assert "no transom width or steering was stated" in none["applies"]  # type: ignore[operator]
    assert np.isnan(none["limit_w"])  # type: ignore[arg-type]


def test_a_sterndrive_says_not_computed() -> None:
    boat = read_boat(demo_boats()["number_six"])
    short = replace(boat, hull=replace(boat.hull, length_overall_m=19.0 * FOOT_M))
    facts = RuleFacts(swamping_displacement_kg=3000.0)
    table = rules_table([choice(AS_SHE_IS, short)], facts, [12.0])
    assert said(table, "33 CFR 183 subpart C")["applies"] == "not computed"
    assert "outboards only" in said(table, "33 CFR 183 subpart D")["applies"]  # type: ignore[operator]


def test_people_of_a_small_boat() -> None:
    boat = read_boat(demo_boats()["number_one"])
    light = boat.light.mass_kg + boat.tank.capacity_m3 * 742.0
    facts = RuleFacts(swamping_displacement_kg=light + 5.0 * 400.0, controls_kg=30.0)
    row = said(rules_table([choice(AS_SHE_IS, boat)], facts, [12.0]), "33 CFR 183 subpart C")
    people = 400.0 - boat.engine.mass_kg - 30.0
    assert people > 550.0 * POUND_KG  # the side weight does not count
    number = int((people / POUND_KG + 32.0) / 141.0 + 0.5)
    assert str(row["says"]).endswith(f"that is {number}")


def test_the_plate_is_read_first_and_over_it_is_over_it() -> None:
    boat = read_boat(demo_boats()["number_four"])  # plate 250 hp
    strong = replace(boat.engine, rated_power_w=300.0 * HORSEPOWER_W)
    table = rules_table(
        [choice(AS_SHE_IS, boat), choice("a 300", boat, engine=strong)], RuleFacts(), [15.0, 17.0]
    )
    assert list(table["rule"][:2]) == ["capacity plate", "capacity plate"]
    assert "do not fit it" in table["says"][1]
    assert over_plate(boat) is False
    assert over_plate(replace(boat, engine=strong)) is True
    assert over_plate(replace(boat, plate_power_w=None)) is None


def test_the_european_counterparts_are_named_with_what_is_known() -> None:
    boat = read_boat(demo_boats()["number_four"])
    table = rules_table([choice(AS_SHE_IS, boat)], RuleFacts(), [15.0])
    assert said(table, "ISO 11592-1")["applies"] == "for craft sold in Europe"
    assert "75 kg a person" in said(table, "ISO 14946")["says"]  # type: ignore[operator]
    long = replace(boat, hull=replace(boat.hull, length_overall_m=9.0))
    assert len(
        rules_table([choice(AS_SHE_IS, long)], RuleFacts(), [15.0]).query(
            "rule.str.startswith('ISO 11592-2')"
        )
    )


def test_questions_are_questions() -> None:
    table = questions_table()
    assert len(table) >= 8
    assert all(text.endswith("?") for text in table["question"])
    assert {"capacity plate", "insurer", "certificate"} <= set(table["ask"])
