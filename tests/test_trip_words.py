"""What a trip says of runs that stay off plane, of going a little slower, and of which way a reach counts."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

from perf.base.columns import column
from perf.base.respell import in_units
from perf.base.results import Result
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.trip.parts import Pace, Run, Trip
from perf.faces.dashboard.tripping import how_far_words
from perf.faces.reach_view import described
from perf.faces.text.result import as_text
from perf.studies.trip.slower import slower_m, slower_words
from perf.studies.trip.study import trip

STEPS = {"us": 3 * 0.44704, "nautical": 3 * 1852 / 3600, "metric": 5 / 3.6}  # m/s
WORDS = {"us": "3 mph", "nautical": "3 kn", "metric": "5 km/h"}
BEST = Pace("best mileage")


@cache
def worked(weight: float = 1.0, pace: Pace = BEST) -> Result:
    """Out and home; weight is that of the bare hull over hers."""
    her = read_boat(demo_boats()["number_four"])
    her = replace(her, light=replace(her.light, mass_kg=weight * her.light.mass_kg))
    runs = (Run("out", pace, distance_m=30_000.0), Run("home", pace, distance_m=30_000.0))
    return trip(her, Trip("the banks", runs), draws=20)


@pytest.mark.parametrize("pace", [BEST, Pace("speed", 11.2)])
def test_a_boat_that_stays_off_plane_is_said_so_first(pace: Pace) -> None:
    heavy = worked(2.5, pace)
    first = heavy.answer.spoken("us").split(". ")[0]
    row = heavy.tables["rows"].iloc[0]
    hours = heavy.tables["rows"]["duration_s"].sum() / 3600
    assert first.startswith("She stays off plane: on out and home she makes ")
    assert f"{row['run_speed_mps'] / 0.44704:.0f} mph, under planing speed" in first
    assert first.endswith(f"{hours:.1f}") or f"takes {hours:.1f} h" in heavy.answer.spoken("us")
    assert worked(1.0, pace).answer.spoken("us").startswith("Enough: ")


def test_a_slow_speed_that_was_asked_for_is_no_surprise() -> None:
    assert worked(1.0, Pace("speed", 2.5)).answer.spoken("us").startswith("Enough: ")


@pytest.mark.parametrize("units", STEPS)
def test_going_slower_is_said_in_the_readers_own_units(units: str) -> None:
    found = worked(1.0, Pace("speed", 11.2))
    table = found.tables["reach"]
    there = np.interp([11.2 - STEPS[units], 11.2], table["speed_mps"], table["reach_calm_m"])
    gain = slower_m(found, units)
    assert gain == pytest.approx(there[0] - there[1], rel=1e-9)
    said = slower_words(found, units)
    assert said.startswith(f"Going {WORDS[units]} slower than the ")
    assert ("farther out" in said, "less far out" in said) == (gain > 0.0, gain < 0.0)
    assert "-" not in said
    assert said in " ".join(as_text(found, units).split())
    assert "knots" not in as_text(found, units)


def test_no_words_where_a_little_slower_has_no_answer() -> None:
    assert slower_words(worked(2.5), "us") == ""
    her = read_boat(demo_boats()["number_four"])
    plan = Trip("near", (Run("out", BEST, distance_m=3_000.0),))
    assert slower_words(trip(her, plan, draws=0, reach=False), "us") == ""


def test_every_reach_says_that_it_is_one_way() -> None:
    found = worked()
    for name in ("farthest_m", "reach_here_m", "reach_least_m", "reach_m", "reach_calm_m"):
        assert column(name).label.endswith("one way"), name
    assert "one way" in next(plot.title for plot in found.plots if plot.key == "reach")
    assert "one way" in described(found, "us")
    assert " one way at " in found.answer.spoken("us")
    assert found.summary["farthest_round_m"] == 2.0 * found.summary["farthest_m"]
    far = found.summary["farthest_m"] / 1609.344
    assert f"{far:.0f} mi out and the same way home ({2 * far:.0f} mi there and back)" in (
        how_far_words(found.summary, "us")
    )


def test_our_own_words_follow_the_units_and_a_persons_do_not() -> None:
    words = 'wind = "8 kn" # as "8 kn"\ndistance = "14 nmi ± 3 nmi"\nhours = "2 h"\n'
    assert in_units(words, "nautical") == words
    shown = in_units(words, "us")
    assert shown.splitlines()[0] == 'wind = "9.21 mph" # as "8 kn"'  # 8 x 1852 / 1609.344 = 9.206
    assert shown.splitlines()[1] == 'distance = "16.11 mi ± 3.452 mi"'
    assert shown.splitlines()[2] == 'hours = "2 h"'
    at = AppTest.from_file(str(Path(__file__).parents[1] / "app.py"), default_timeout=120).run()
    at.switch_page("perf/faces/dashboard/pages/trip.py").run()
    assert not at.exception
    wind = next(e for e in at.text_input if e.label == "Wind")
    assert wind.value.endswith(" mph")
    at.session_state["units"] = "nautical"
    at.run()
    wind = next(e for e in at.text_input if e.label == "Wind")
    assert wind.value.endswith(" kn")
    wind.set_value("10 kn").run()
    at.session_state["units"] = "us"
    at.run()
    assert next(e for e in at.text_input if e.label == "Wind").value == "10 kn"
