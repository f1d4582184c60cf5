"""A person's own boat, kept boats and all that was set come back: after a reload, from a link, from one file."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from browser_help import field as browser_field
from browser_help import figure, give_file, name_of_boat, open_page, settle, write
from playwright.sync_api import Page, expect
from streamlit.testing.v1 import AppTest

from perf.base.folding import fold
from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats, demo_candidates
from perf.boat.parts import Boat
from perf.boat.scenario.file import read_scenario
from perf.boat.scenario.parts import KeptTold, Scenario, Told
from perf.boat.scenario.writer import write_scenario
from perf.boat.trip.file import demo_trips
from perf.faces.dashboard import carry, comparing, parts, saving, triptext, weightext
from perf.faces.dashboard.words import plain
from perf.studies.speeds import speeds

ROOT = Path(__file__).parents[1]
SKIFF = (ROOT / "tests" / "data" / "tiller_skiff_15ft.toml").read_bytes()
FOUR = demo_boats()["number_four"].read_bytes()
NUMBER_FOUR = read_boat(FOUR)
expect.set_options(timeout=20_000)

reference = cache(speeds)


def top_of(boat: Boat, units: str = "us") -> str:
    return parts.figure(reference(boat).summary, "top_speed_mps", units)[1]


def app(**address: str) -> AppTest:
    at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=90)
    for key, value in address.items():
        at.query_params[key] = value
    at.run()
    assert not at.exception
    return at


def address_of(at: AppTest) -> dict[str, str]:
    """The address as it stands, for opening it anew."""
    return {k: v[0] if isinstance(v, list) else v for k, v in dict(at.query_params).items()}


def give(at: AppTest, name: str, content: bytes) -> None:
    at.file_uploader[0].set_value((name, content, "application/toml")).run()
    assert not at.exception


def press(at: AppTest, label: str) -> None:
    next(b for b in at.button if b.label.startswith(label)).click().run()
    assert not at.exception


def field(at: AppTest, label: str):
    return next(element for element in at.text_input if element.label.startswith(label))


def said(at: AppTest) -> str:
    words = [e.value for kind in ("warning", "caption", "markdown") for e in getattr(at, kind)]
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", "\n".join(words)).replace("\u2060", "")


# --- in the address -----------------------------------------------------------------------------------


def test_own_boat_and_kept_boats_outlive_a_reload() -> None:
    at = app()
    field(at, "Propeller pitch").set_value("17 in").run()
    press(at, "Keep this")
    give(at, "skiff.toml", SKIFF)
    field(at, "Power").set_value("30 hp").run()
    press(at, "Keep this")
    again = app(**address_of(at))
    skiff = read_boat(SKIFF)
    assert again.title[0].value == plain(skiff.name)
    assert field(again, "Power").value == "30 hp"
    wanted = at.session_state[comparing.BOATS]
    assert wanted[0].boat == changes.with_pitch(NUMBER_FOUR, changes.read_pitch("17 in"))
    assert again.session_state[comparing.BOATS] == wanted
    assert again.metric[0].value == at.metric[0].value
    assert "From your own file skiff.toml" in said(again)
    assert address_of(again) == address_of(at)
    tables = [[t.value.to_dict() for t in one.table] for one in (at, again)]
    assert tables[0] == tables[1]  # side by side with the same figures
    press(again, "Let go")
    press(again, "Let go")
    assert app(**address_of(again)).session_state[comparing.BOATS] == ()


def test_the_own_boat_stays_while_one_of_the_yards_is_looked_at() -> None:
    at = app()
    give(at, "skiff.toml", SKIFF)
    at.radio[0].set_value("number_one").run()
    again = app(**address_of(at))
    assert again.title[0].value == "Number One"
    again.radio[0].set_value("own").run()
    assert again.title[0].value == plain(read_boat(SKIFF).name)


def test_no_address_is_longer_than_it_may_be_and_it_says_what_it_leaves_out() -> None:
    import random

    chance = random.Random(1)
    noise = "".join(
        f"# {''.join(chance.choices('abcdefghijklmnopqrstuvwxyz0123456789', k=200))}\n"
        for _ in range(100)
    )
    at = app()
    give(at, "long.toml", SKIFF + noise.encode())
    assert at.title[0].value == plain(read_boat(SKIFF).name)
    assert carry.NAME not in address_of(at)
    assert f"Your own boat: {carry.TOO_LONG}" in said(at)
    assert "does not hold your own boat" in said(at)
    again = app(**address_of(at))
    assert "Your own boat is gone" in said(again)
    give(at, "skiff.toml", SKIFF)  # a short one is kept again
    assert "too long" not in said(at)
    assert 0 < len(address_of(at)[carry.NAME]) <= carry.MOST_LETTERS


BAD_LINKS = {
    "cut": fold(b"x" * 500)[:-9],
    "bomb": fold(b"\x00" * 5_000_000),
    "long": "1." + "A" * 20_000,
    "no scenario": fold(b"hello"),
    "faulty boat": fold(
        write_scenario(Scenario("x", Told(SKIFF.replace(b"gear_ratio", b"gear_ratoi")))).encode()
    ),
    "markup": fold(b'format = 1\nscenario = "<script>"\n[boat]\ndemo = "[x](http://z.example)"\n'),
}


@pytest.mark.parametrize("kind", BAD_LINKS)
def test_a_link_is_never_trusted(kind: str) -> None:
    at = app(along=BAD_LINKS[kind], boat="own")
    assert at.title[0].value == "Number Four"
    assert "The boats in this link were not read" in said(at)
    assert comparing.BOATS not in at.session_state
    assert at.metric[0].value == top_of(NUMBER_FOUR)
    assert carry.NAME not in address_of(at)


# --- one file and back ----------------------------------------------------------------------------------


def whole() -> Scenario:
    trip = demo_trips()["out_and_back"].read_text(encoding="utf-8").replace("22 mph", "21 mph")
    return Scenario(
        "all of it",
        Told(SKIFF, file="skiff.toml", power="30 hp"),
        "metric",
        (KeptTold("*Four*, alone", Told(FOUR, load="alone")),),
        trip=trip,
    )


def test_a_file_of_everything_brings_everything_back() -> None:
    at = app()
    give(at, "all.toml", write_scenario(whole()).encode())
    boat = changes.with_power(read_boat(SKIFF), changes.read_power("30 hp"))
    assert at.title[0].value == plain(boat.name)
    assert at.metric[0].value == top_of(boat, "metric")
    (kept,) = at.session_state[comparing.BOATS]
    assert (kept.name, kept.boat) == ("*Four*, alone", NUMBER_FOUR.at(load="alone"))
    assert at.session_state[triptext.TEXT] == whole().trip
    give(at, "all.toml", write_scenario(Scenario("x", Told(FOUR))).encode())
    assert address_of(at).get("boat") is None  # a file of the yard, letter for letter, is hers
    assert at.session_state[comparing.BOATS] == ()


def test_candidates_and_season_come_back_with_their_boat() -> None:
    text = demo_candidates()["number_four"].read_text(encoding="utf-8")
    found = Scenario("x", Told(FOUR, load="alone"), candidates=text + "# mine\n")
    at = app()
    give(at, "all.toml", write_scenario(found).encode())
    at.switch_page("perf/faces/dashboard/pages/repower.py").run()
    assert not at.exception
    assert at.session_state[f"_weigh_{weightext.CANDIDATES}"] == text + "# mine\n"


def test_a_faulty_file_of_everything_is_refused_with_its_places() -> None:
    at = app()
    bad = write_scenario(whole()).replace("rated_power", "rated_pover", 1)
    give(at, "all.toml", bad.encode())
    (table,) = (
        t.value for t in at.table if any("rated" in str(c) for c in t.value.to_numpy().ravel())
    )
    assert any("did you mean rated_power?" in plain_text(c) for c in table.to_numpy().ravel())
    assert not at.metric
    press(at, "Back to the boat before")
    assert at.metric[0].value == top_of(NUMBER_FOUR)


def plain_text(cell: object) -> str:
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", str(cell))


def test_what_is_not_understood_is_left_out_of_the_file_and_said() -> None:
    found, content, left_out = saving.saved(
        Scenario("x", Told(demo="number_four"), trip="nonsense", season=None)
    )
    assert left_out == ("the trip",)
    assert found.trip is None and read_scenario(content).boat.content() == FOUR
    trip = demo_trips()["out_and_back"].read_text(encoding="utf-8")
    _, content, left_out = saving.saved(Scenario("x", Told(demo="number_four"), trip=trip))
    assert left_out == () and read_scenario(content).trip == trip


# --- in a real browser ------------------------------------------------------------------------------------


@pytest.mark.xdist_group("browser")
def test_all_of_it_over_reload_and_file_in_a_browser(page: Page, served: str) -> None:
    errors: list[str] = []
    page.on("pageerror", lambda e: errors.append(str(e)))
    open_page(page, served)
    page.get_by_role("button", name="Keep this for comparison").click()
    expect(page.get_by_role("button", name="Let go Number Four")).to_be_visible()
    give_file(page, "skiff.toml", SKIFF)
    skiff = read_boat(SKIFF)
    expect(figure(page, "Top speed")).to_have_text(top_of(skiff))
    settle(page)
    write(page, "Power of the engine", "30 hp")
    top = top_of(changes.with_power(skiff, changes.read_power("30 hp")))
    expect(figure(page, "Top speed")).to_have_text(top)
    settle(page)
    page.reload()
    expect(figure(page, "Top speed")).to_have_text(top)
    expect(name_of_boat(page)).to_have_text(skiff.name)
    expect(browser_field(page, "Power of the engine")).to_have_value("30 hp")
    expect(page.get_by_role("button", name="Let go Number Four")).to_be_visible()
    page.get_by_role("link", name="What it rests on").click()
    expect(page.get_by_role("heading", name="What was assumed")).to_be_visible()
    page.reload()  # on another page too
    expect(name_of_boat(page)).to_have_text(skiff.name)
    page.get_by_role("link", name="How she runs").click()
    expect(figure(page, "Top speed")).to_have_text(top)
    settle(page)
    with page.expect_download() as coming:
        page.get_by_role("button", name="Save all of it").first.click()
    content = Path(coming.value.path()).read_bytes()
    found = read_scenario(content)
    assert found.boat == Told(SKIFF, file="skiff.toml", load=skiff.load, power="30 hp")
    assert [one.told.content() for one in found.kept] == [FOUR]
    open_page(page, served)  # as on another machine
    expect(name_of_boat(page)).to_have_text("Number Four")
    give_file(page, coming.value.suggested_filename, content)
    expect(figure(page, "Top speed")).to_have_text(top)
    expect(page.get_by_role("button", name="Let go Number Four")).to_be_visible()
    assert errors == []
