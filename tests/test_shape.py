"""Her shape as worked with: what is drawn floats her weight, meets the water where she floats, is to scale."""

from __future__ import annotations

import itertools

import altair
import numpy as np
import pytest
from fleets import demos

from perf.boat.fleet import Fleet
from perf.boat.parts import Boat
from perf.faces.side_view_screen import described, view
from perf.solve.afloat import Afloat
from perf.studies.shape import SIMPLIFIED, Stations, section_way, shape_drawings, stations

BOATS = demos()
FOUR = next(boat for boat in BOATS if boat.name == "Number Four")


def immersed_area(at: Stations, place: int) -> float:
    """Area of one drawn section under the water, both sides: its outline cut at the water, by the shoelace."""
    way = list(section_way(at, place, 1.0))
    under = []
    for (y1, z1), (y2, z2) in itertools.pairwise(way):
        if z1 < 0.0:
            under.append((y1, z1))
        if (z1 < 0.0) != (z2 < 0.0):
            share = z1 / (z1 - z2)
            under.append((y1 + share * (y2 - y1), 0.0))
    if len(under) < 2:
        return 0.0
    if way[-1][1] < 0.0:  # the sheer itself is under water
        under += [way[-1], (way[-1][0], 0.0)]
    outline = [*under, (0.0, 0.0)]
    turned = zip(outline, [*outline[1:], outline[0]], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in turned))


@pytest.mark.parametrize("boat", BOATS, ids=lambda boat: boat.name)
def test_what_is_drawn_floats_what_she_weighs(boat: Boat) -> None:
    """Archimedes, another way than the flotation: areas of the drawn sections along her length."""
    bare = boat.at(bracket=None)
    at = stations(bare, np.linspace(0.0, bare.hull.length_overall_m, 801))
    areas = np.array([immersed_area(at, place) for place in range(at.forward_m.size)])
    volume = float(np.sum(0.5 * (areas[1:] + areas[:-1]) * np.diff(at.forward_m)))
    rest = Afloat.of(Fleet.of(bare).lanes)
    assert volume == pytest.approx(float(rest.volume_m3[0]), rel=2e-3)
    middle = 0.5 * (areas[1:] + areas[:-1]) * np.diff(at.forward_m)
    places = 0.5 * (at.forward_m[1:] + at.forward_m[:-1])
    assert float(np.sum(middle * places) / volume) == pytest.approx(
        float(rest.buoyancy_forward_m[0]), abs=0.01
    )


def test_the_edge_of_the_water_is_where_the_section_meets_it() -> None:
    at = stations(FOUR, np.linspace(0.0, 6.0, 25))
    for place in range(at.forward_m.size):
        way = section_way(at, place, 1.0)
        heights, across = [z for _, z in way], [y for y, _ in way]
        assert np.interp(0.0, heights, across) == pytest.approx(at.water_half_m[place], abs=1e-9)
    far = stations(FOUR, np.array([FOUR.hull.length_overall_m]))
    assert far.water_half_m[0] == 0.0


def test_the_measures_of_the_file_are_in_the_drawing() -> None:
    sections, profile, plan = shape_drawings(FOUR)
    hull = FOUR.hull
    transom = next(s for s in sections.strokes if s.role == "hull").way
    assert 2.0 * abs(transom[1][0]) == pytest.approx(hull.transom_beam_m)
    rise = np.degrees(np.arctan2(transom[1][1] - transom[0][1], abs(transom[1][0])))
    assert rise == pytest.approx(hull.deadrise_transom_deg)
    chine = next(s for s in plan.strokes if s.label == "chine").way
    assert 2.0 * max(y for _, y in chine) == pytest.approx(hull.chine_beam_m, rel=1e-6)
    assert chine[-1][0] == pytest.approx(hull.length_overall_m)
    outline = next(s for s in profile.strokes if s.closed).way
    assert min(y for _, y in outline) == pytest.approx(
        -float(Afloat.of(Fleet.of(FOUR).lanes).draught_m[0]), rel=0.01
    )


def test_heavier_she_lies_deeper_and_the_drawing_says_it_is_simplified() -> None:
    alone, party = (
        stations(FOUR.at(load=load), np.array([3.0])).water_m[0] for load in ("alone", "charter")
    )
    assert party > alone
    for one in shape_drawings(FOUR):
        assert one.about == SIMPLIFIED and "implified" in described(one, "us")
        assert one.facing in described(one, "metric")
        chart = view(one, "us")
        altair.LayerChart.from_dict(chart)  # checks it against the published schema
        share = (one.high - one.low) / (one.right - one.left)
        assert chart["height"] == pytest.approx(chart["width"] * share, abs=0.5), "to scale"


def test_a_boat_that_does_not_float_upright_is_not_drawn() -> None:
    heavy = FOUR.at(light=FOUR.light.__class__(60000.0, FOUR.light.forward_m, FOUR.light.above_m))
    rest = Afloat.of(Fleet.of(heavy).lanes)
    assert (shape_drawings(heavy) == ()) == (not np.isfinite(rest.draught_m[0]))
    tipped = FOUR.at(light=FOUR.light.__class__(FOUR.light.mass_kg, 15.0, FOUR.light.above_m))
    assert shape_drawings(tipped) == ()
