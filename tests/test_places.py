"""The sliders of the page of hanging the engine: what is picked, what is worked out, and that both are the study's."""

from __future__ import annotations

import pytest
import streamlit as st
from browser_help import banned_in
from streamlit.testing.v1 import AppTest
from test_mount import FOUR, INCH, page_of

from perf.base.cautions import sentence
from perf.base.results import Result, plain
from perf.faces.dashboard import hanging, parts, places
from perf.solve import performance
from perf.solve.afloat import Afloat
from perf.solve.performance import Points
from perf.studies.mount.drawings import drawings
from perf.studies.mount.study import DRAWS, Wanted, mount
from perf.studies.mount.tried import Tried


def shown_by(at: AppTest) -> list[tuple[str, str]]:
    return [(metric.label, metric.value) for metric in at.metric]


def figures_of(found: Result) -> list[tuple[str, str]]:
    return [parts.figure(found.summary, name, "us")[:2] for name in hanging.FOUR]


def test_the_page_says_what_the_study_says() -> None:
    at, said = page_of("number_four")
    whole = places.whole(FOUR)
    assert whole.shown("us").answer in said
    assert shown_by(at) == figures_of(whole)
    for code in whole.cautions:
        assert sentence(code) in said, code
    assert not banned_in(said)


def studied(place: places.Place) -> Result:
    """The whole study of one place alone, as the command does it."""
    return mount(place.boat, (place.setback_m,), (0.0,), place.wanted)


PLACES = [
    places.Place(FOUR, FOUR.mounting.setback_m),  # nothing moved
    places.Place(FOUR, FOUR.mounting.setback_m, 2.25 * INCH),
    places.Place(FOUR, 12.0 * INCH),
    places.Place(FOUR, 12.0 * INCH, 3.0 * INCH, 14.0),
    places.Place(FOUR, 0.0, places.ADVISED, 9.0),
    places.Place(FOUR, 0.5, 0.02),  # not on the sliders: nothing to be picked
]


@pytest.mark.parametrize("place", PLACES, ids=lambda place: str(place[1:]))
def test_a_place_that_is_tried_is_what_the_study_of_it_alone_says(place: places.Place) -> None:
    alone, first, whole = studied(place), places.first(place), places.tried(place)
    seen = {name: value for name, value in first.summary.items() if name != "will_plane"}
    assert {"side", *hanging.FOUR} <= set(seen)
    assert not any(name.endswith(("_p10", "_p90")) for name in seen)
    assert plain(seen) == plain({name: alone.summary[name] for name in seen})
    assert any(name.endswith("_p90") for name in whole.summary)
    known = set(first.summary) | {name for name in whole.summary if name.endswith(("_p10", "_p90"))}
    for name in known:
        assert plain(whole.summary[name]) == plain(alone.summary[name]), name
    assert drawings(FOUR, first) == drawings(FOUR, alone) == drawings(FOUR, whole)
    cruising = studied(place._replace(speed_mps=places.CRUISE))
    assert whole.answer == cruising.answer
    hang, _, ends = first.shown("us").answer.partition(" Lower, ")
    assert cruising.shown("us").answer.startswith(hang)
    assert cruising.shown("us").answer.endswith(ends)


def test_two_holes_or_three_is_said_of_the_speed_it_is_worked_out_at() -> None:
    fast = mount(FOUR, (0.762,), (0.0,), Wanted(speed_mps=14.0), draws=0).shown("us").answer
    assert "on the same fuel at 31 mph" in fast and "at the cruise and" not in fast
    own = mount(FOUR, (0.762,), (0.0,), draws=0).shown("us").answer
    assert "on the same fuel at the cruise and" in own


def test_a_move_of_a_slider_picks_what_is_known_and_draws_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One lane to drawing and figures, the draws after, and nothing at all when she is moved back."""
    at, _ = page_of("number_four")
    places.forget()
    at.run()
    asked: list[int] = []
    inner, banded = performance._block, Tried.banded

    def counted(afloat: Afloat, *rest: object) -> Points:
        asked.append(afloat.lanes.count)
        return inner(afloat, *rest)  # type: ignore[arg-type]

    def marked(self: Tried, *rest: object) -> Result:
        asked.append(-1)
        return banded(self, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(performance, "_block", counted)
    monkeypatch.setattr(Tried, "banded", marked)
    at.select_slider(key="mount-height").set_value(3.75 * INCH).run()
    at.select_slider(key="mount-height").set_value(4.5 * INCH).run()
    assert not at.exception
    second = asked[asked.index(-1, asked.index(-1) + 1) :]
    between = asked[asked.index(-1) + 1 : len(asked) - len(second)]
    assert between[-1] == 1 and second[0] == -1
    assert second[1] == 24 * DRAWS and sum(second) < 30 * DRAWS
    asked.clear()
    at.select_slider(key="mount-height").set_value(places.ADVISED).run()
    at.select_slider(key="mount-height").set_value(3.75 * INCH).run()
    assert asked == []


def test_while_the_bands_of_a_place_are_on_their_way_none_is_seen(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    at, _ = page_of("number_four")
    places.forget()
    monkeypatch.setattr(Tried, "banded", lambda *rest: st.stop())
    at.select_slider(key="mount-height").set_value(5.25 * INCH).run()
    assert not at.exception
    first = places.first(places.Place(FOUR, FOUR.mounting.setback_m, 5.25 * INCH))
    assert shown_by(at) == figures_of(first)
    said = [str(one.value) for one in at.caption]
    assert said.count(parts.BAND_COMES) == len(hanging.FOUR)
    monkeypatch.undo()
    at.run()
    assert parts.BAND_COMES not in [str(one.value) for one in at.caption]
