"""Side views as data to scale, their two renderers, and the rig card as one printed page."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import altair
import numpy as np
import pytest
from browser_help import banned_in
from fleets import demos

from perf.base.results import Result
from perf.faces import look
from perf.faces.printed.rig_card import rig_card_bytes, save_rig_card
from perf.faces.printed.side_view_paper import PENS, drawn, save_drawings
from perf.faces.side_view_screen import described, pens, view
from perf.studies.mount.boats import hung
from perf.studies.mount.drawing_parts import Drawing, Frame, Stroke
from perf.studies.mount.drawings import drawings
from perf.studies.mount.study import Wanted, mount

FOUR = next(boat for boat in demos() if boat.name == "Number Four")
ONE = next(boat for boat in demos() if boat.name == "Number One")
SYSTEMS = ("us", "nautical", "metric")


@cache
def result() -> Result:
    return mount(FOUR, (0.0, 0.762), (0.0, 0.1), draws=20)


@cache
def four() -> dict[str, Drawing]:
    return {one.key: one for one in drawings(FOUR, result())}


def stroke(one: Drawing, label: str) -> Stroke:
    return next(s for s in one.strokes if s.label == label)


def size(one: Stroke) -> float:
    """Greatest distance between two of its places."""
    places = np.array(one.way)
    return float(max(np.hypot(*(places - place).T).max() for place in places))


# --- the data -----------------------------------------------------------------------------------------


def test_four_pictures_of_a_boat() -> None:
    assert list(four()) == ["stern_running", "stern_rest", "side_running", "side_rest"]
    for one in four().values():
        assert one.left < one.right and one.low < one.high
        for place in (p for s in one.strokes for p in s.way):
            assert one.left <= place[0] <= one.right and one.low <= place[1] <= one.high
        assert set(one.bars) == set(SYSTEMS)


@pytest.mark.parametrize("key", ["side_running", "side_rest", "stern_running", "stern_rest"])
def test_sizes_are_the_boats_own(key: str) -> None:
    one = four()[key]
    assert size(stroke(one, "propeller")) == pytest.approx(FOUR.propeller.diameter_m, rel=1e-9)
    frame = Frame(*(result().summary["side"][f"{'running' if 'running' in key else 'rest'}_{n}"]
                    for n in ("draught_m", "trim_deg")))  # fmt: skip
    back = stroke(one, "bracket").way
    assert size(stroke(one, "bracket")) >= FOUR.mounting.setback_m - 0.2
    assert min(x for x, _ in back) < frame.one(-0.7, 0.0)[0]
    if key.startswith("side"):
        hull = np.array(stroke(one, "hull").way)
        keel = frame.one(0.0, 0.0)
        bow = frame.one(FOUR.hull.length_overall_m, 0.0)
        assert np.hypot(*(np.array(bow) - keel)) == pytest.approx(
            FOUR.hull.length_overall_m, rel=1e-9
        )
        assert hull[:, 0].max() > 0.0 > hull[:, 0].min(), "bow to the right"
        assert hull[hull[:, 0].argmax(), 1] > 0.0, "the bow stands over the water"


def test_the_plate_stands_where_it_is_said_to() -> None:
    side = result().summary["side"]
    frame = Frame(side["running_draught_m"], side["running_trim_deg"])
    plate = np.array(stroke(four()["stern_running"], "plate").way)
    at_bottom = np.array([frame.one(-1.0, 0.0), frame.one(0.0, 0.0)])
    along = (at_bottom[1] - at_bottom[0]) / np.hypot(*(at_bottom[1] - at_bottom[0]))
    over = (plate - at_bottom[0]) @ np.array([-along[1], along[0]])
    assert np.allclose(over, side["plate_height_m"], atol=1e-12)
    # and its depth under the water the answer rests on is that of the result
    water = np.array(stroke(four()["stern_running"], "water behind the transom").way)
    propeller = frame.one(-side["propeller_aft_m"], side["plate_height_m"])
    depth = np.interp(propeller[0], water[::-1, 0], water[::-1, 1]) - propeller[1]
    assert depth == pytest.approx(side["plate_depth_m"], abs=0.004)


def test_at_rest_the_water_is_level_and_the_draught_that_of_the_result() -> None:
    one, side = four()["side_rest"], result().summary["side"]
    water = np.array(stroke(one, "still water").way)
    assert np.all(water[:, 1] == 0.0)
    keel = stroke(one, "hull").way[0]
    assert keel[1] == pytest.approx(
        -side["rest_draught_m"] * np.cos(np.radians(side["rest_trim_deg"]))
    )
    assert not any(s.role == "band" for s in one.strokes)


def test_the_band_holds_the_water_behind_the_transom() -> None:
    one, side = four()["stern_running"], result().summary["side"]
    low, high, used = (np.array(side[f"water{end}_m"]) for end in ("_low", "_high", ""))
    assert np.all(low <= used + 1e-12) and np.all(used <= high + 1e-12)
    assert any(s.role == "band" and s.closed for s in one.strokes)


def test_what_a_hand_can_change_is_heavier() -> None:
    for one in four().values():
        assert {s.role for s in one.strokes if s.heavy} == {"plate", "propeller", "bracket"}


def test_the_wet_length_says_what_it_is() -> None:
    said = [note.words.spoken("us") for note in four()["side_running"].notes]
    assert any("wet length" in words and "model result" in words for words in said)
    wet = stroke(four()["side_running"], "wet length, a model result")
    assert size(wet) == pytest.approx(result().summary["side"]["wetted_length_m"], rel=1e-9)
    assert not any("wet" in note.words.spoken("us") for note in four()["side_rest"].notes)


def test_people_and_the_balance_point_are_named() -> None:
    one, side = four()["side_rest"], result().summary["side"]
    labels = {dot.label for dot in one.dots}
    assert labels >= {"balance point", "skipper", "guests × 6", "ice", "tackle"}
    frame = Frame(side["rest_draught_m"], side["rest_trim_deg"])
    balance = next(dot for dot in one.dots if dot.role == "balance")
    assert (balance.x, balance.y) == frame.one(side["balance_forward_m"], side["balance_above_m"])
    # words of neighbours never on one line where they would run into each other
    words = [note for note in one.notes if note.words.spoken("us") in labels]
    for a, b in pairwise(words):
        assert a.y != b.y or b.x - a.x > 0.06 * len(a.words.spoken("us"))


def test_setback_height_speed_and_load_move_it() -> None:
    def places(boat: object, **asked: float) -> dict[str, object]:
        return mount(boat, (0.0,), (0.0,), Wanted(**asked), draws=0).summary["side"]  # type: ignore[arg-type]

    base = places(FOUR, at_setback_m=0.6, at_plate_height_m=0.05, speed_mps=12.0)
    farther = places(FOUR, at_setback_m=0.8, at_plate_height_m=0.05, speed_mps=12.0)
    higher = places(FOUR, at_setback_m=0.6, at_plate_height_m=0.09, speed_mps=12.0)
    faster = places(FOUR, at_setback_m=0.6, at_plate_height_m=0.05, speed_mps=14.0)
    light = places(FOUR.at(load="alone"), at_setback_m=0.6, at_plate_height_m=0.05, speed_mps=12.0)
    assert farther["propeller_aft_m"] - base["propeller_aft_m"] == pytest.approx(0.2)
    assert higher["plate_depth_m"] < base["plate_depth_m"]
    assert faster["running_trim_deg"] != base["running_trim_deg"]
    assert light["rest_draught_m"] < base["rest_draught_m"]


def test_a_boat_without_a_bracket_has_none_drawn() -> None:
    found = drawings(ONE, mount(ONE, (0.0,), (0.05,), draws=0))
    assert not any(s.role == "bracket" for one in found for s in one.strokes)
    assert hung(ONE, 0.0, 0.05).bracket is None


# --- paper ----------------------------------------------------------------------------------------------


def test_every_role_has_a_pen_on_paper_and_on_screen() -> None:
    roles = {s.role for one in four().values() for s in one.strokes}
    assert roles <= set(PENS)
    for colours in (look.LIGHT, look.DARK):
        assert roles <= set(pens(colours))


@pytest.mark.parametrize("units", SYSTEMS)
def test_on_paper_it_is_to_scale(units: str) -> None:
    one = four()["side_running"]
    page = drawn([one], units, "title")
    (axes,) = page.axes
    page.canvas.draw()
    box = axes.get_window_extent()
    across, up = box.width / (one.right - one.left), box.height / (one.high - one.low)
    assert across == pytest.approx(up, rel=1e-6), "as many dots to the metre across as up"
    assert axes.get_xlim() == (one.left, one.right), "the bow is not turned about"
    length, words = one.bars[units]
    said = {text.get_text() for text in axes.texts}
    assert words in said
    factor = {"us": 0.3048, "nautical": 0.3048, "metric": 1.0}[units]
    assert length == pytest.approx(float(words.split()[0]) * factor)


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_the_same_boat_gives_the_same_file(ending: str, tmp_path: Path) -> None:
    first, second = (tmp_path / f"{name}.{ending}" for name in ("a", "b"))
    for path in (first, second):
        save_drawings(list(four().values()), path, "us", "Number Four")
    assert first.stat().st_size > 5000
    if ending != "svg":  # its marks are numbered anew
        assert first.read_bytes() == second.read_bytes()
    with pytest.raises(ValueError, match="saved as"):
        save_drawings(list(four().values()), tmp_path / "boat.gif", "us", "x")


def test_changed_parts_are_drawn_wider() -> None:
    page = drawn([four()["stern_running"]], "us")
    widths = {round(line.get_linewidth(), 3) for line in page.axes[0].get_lines()}
    assert max(widths) >= 2.5 * PENS["plate"].width


# --- screen ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("key", ["side_running", "stern_rest"])
def test_on_screen_it_is_to_scale(key: str, dark: bool) -> None:
    one = four()[key]
    spec = view(one, "us", dark=dark)
    altair.LayerChart.from_dict(spec)  # checks it against the published schema
    encoded = spec["layer"][0]["encoding"]
    across, up = (encoded[way]["scale"]["domain"] for way in ("x", "y"))
    assert across == [one.left, one.right] and up == [one.low, one.high]
    ratio = (spec["width"] / (across[1] - across[0])) / (spec["height"] / (up[1] - up[0]))
    assert ratio == pytest.approx(1.0, abs=0.01)
    assert spec["background"] == "transparent" and "bow to the right" in spec["description"]


def test_the_words_that_are_heard_are_the_trades() -> None:
    for one in four().values():
        for units in SYSTEMS:
            said = described(one, units)
            assert not banned_in(said) and "still water" in said
    assert "in" in described(four()["stern_running"], "us").split()
    assert "ft" not in described(four()["side_running"], "metric").split()


# --- the rig card ------------------------------------------------------------------------------------------


def text_of(path: Path) -> str:
    if shutil.which("pdftotext") is None:
        pytest.fail("install the Debian package poppler-utils", pytrace=False)
    return subprocess.run(
        ["pdftotext", "-layout", str(path), "-"], capture_output=True, text=True, check=True
    ).stdout


@pytest.mark.parametrize("units", SYSTEMS)
def test_the_card_is_one_page_with_every_value(units: str, tmp_path: Path) -> None:
    path = tmp_path / "card.pdf"
    save_rig_card(FOUR, result(), path, units)
    said = text_of(path)
    assert said.count("\f") == 1, "one printed page"
    shown = result().shown(units)
    for name in ("top_rpm", "top_speed_mps", "time_to_plane_s", "cruise_fuel_lph"):
        assert shown.summary(name).split(" (")[0] in said, name
    for words in ("Rig card: Number Four", "Plate over the bottom", "Hole", "Propeller", "If you see this",
                  "Measured on the water", "Before a hole is drilled"):  # fmt: skip
        assert words in said
    assert not banned_in(said)


def test_the_card_stays_one_page_with_the_most_to_say(tmp_path: Path) -> None:
    weak = replace(
        FOUR,
        engine=replace(FOUR.engine, rated_power_w=25_000.0),
        name="A boat with a long name " * 2,
    )
    path = tmp_path / "card.pdf"
    save_rig_card(weak, mount(weak, (0.0,), (0.0,), draws=0), path, "metric")
    said = text_of(path)
    assert said.count("\f") == 1 and "none" in said and "Water, wind, date" in said
    assert "check water pressure" in said.replace("\n", " ") or "water pressure" in said, (
        "the last caution is on the page"
    )


def test_the_same_card_gives_the_same_bytes(tmp_path: Path) -> None:
    assert rig_card_bytes(FOUR, result(), "us") == rig_card_bytes(FOUR, result(), "us")
    with pytest.raises(ValueError, match="pdf"):
        save_rig_card(FOUR, result(), tmp_path / "card.txt", "us")
