"""The pages without a browser: what they say, what they refuse, what they work out and how often."""

import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
from browser_help import banned_in
from streamlit.testing.v1 import AppTest

from perf.base.faults import InputFaults
from perf.base.results import Result
from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.parts import Boat
from perf.faces.dashboard import answers, parts
from perf.faces.dashboard.running import FOUR, HUMP
from perf.faces.dashboard.shell import HERE, PAGES
from perf.faces.dashboard.words import file_stem, plain
from perf.studies.speeds import Stated, speeds

ROOT = Path(__file__).parents[1]
PAGE_FOLDER = "perf/faces/dashboard/pages"
NUMBER_FOUR = read_boat(demo_boats()["number_four"])
SKIFF = ROOT / "tests" / "data" / "tiller_skiff_15ft.toml"
FAULTY = (
    (ROOT / "tests" / "data" / "charter_hull_24ft.toml")
    .read_text(encoding="utf-8")
    .replace("gear_ratio", "gear_ratoi")
    .replace("chine_beam", 'chine_beam = "7,10 ft"\nwide', 1)
    .encode()
)


def app(**address: str) -> AppTest:
    at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    for key, value in address.items():
        at.query_params[key] = value
    at.run()
    assert not at.exception
    return at


def texts(at: AppTest) -> str:
    """Everything the page says in words, its Markdown escapes taken off again."""
    said = [
        str(element.value)
        for kind in ("title", "header", "markdown", "caption", "error", "warning")
        for element in getattr(at, kind)
    ]
    said += [element.label + " " + str(element.value) for element in at.metric]
    said += [
        element.label
        for kind in ("text_input", "selectbox", "radio", "expander")
        for element in getattr(at, kind)
    ]
    for table in at.table:
        said += [*table.value.columns, *table.value.astype(str).to_numpy().ravel().tolist()]
    said += [
        heading
        for frame in at.dataframe
        if "rule" not in frame.value
        for heading in frame.value.columns
    ]
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", "\n".join(said)).replace("\u2060", "")


reference = cache(speeds)  # the study itself, asked once for each boat


def figures_of(boat: Boat, units: str) -> list[tuple[str, str]]:
    result = reference(boat)
    return [parts.figure(result.summary, name, units)[:2] for name in (*FOUR, *HUMP)]


def metrics(at: AppTest) -> list[tuple[str, str]]:
    return [(metric.label, metric.value) for metric in at.metric]


def field(at: AppTest, label: str):
    return next(element for element in at.text_input if element.label == label)


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[Boat]]:
    """The boats that were worked out, one entry for every call of the engine; the memory begins empty.

    The work is in two parts, as stated and drawn: each boat is stated once and drawn once, and the
    stated part is not worked out anew for the draws.
    """
    stated: list[Boat] = []
    drawn: list[Boat] = []
    inner = answers.as_stated

    def stating(boat: Boat) -> Stated:
        stated.append(boat)
        return inner(boat)

    def drawing(known: Stated, draws: int, seed: int) -> Result:
        assert (draws, seed) == (200, 1)
        drawn.append(known.boat)
        return reference(known.boat)

    monkeypatch.setattr(answers, "as_stated", stating)
    monkeypatch.setattr(answers, "whole_answer", drawing)
    answers.forget()
    yield stated
    assert drawn[len(drawn) - len(stated) :] == stated
    answers.forget()


def test_a_finished_answer_before_any_input(counted: list[Boat]) -> None:
    at = app()
    result = reference(NUMBER_FOUR)
    assert at.title[0].value == "Number Four"
    assert at.markdown[0].value == "Overhump"
    assert plain(result.shown("us").answer) in [m.value for m in at.markdown]
    wanted = [parts.figure(result.summary, name, "us")[:2] for name in (*FOUR, *HUMP)]
    assert metrics(at)[: len(wanted)] == wanted
    assert counted == [NUMBER_FOUR]
    kinds = [element.type for element in at.main]  # in the order of the page
    asked = [
        kind
        for kind in kinds[: kinds.index("metric")]
        if kind in ("text_input", "selectbox", "button_group")
    ]
    assert 4 <= len(asked) <= 5


@pytest.mark.parametrize(
    ("label", "text", "change"),
    [
        ("Propeller pitch", "17 in", lambda b: changes.with_pitch(b, changes.read_pitch("17 in"))),
        (
            "Power of the engine",
            "200 hp",
            lambda b: changes.with_power(b, changes.read_power("200 hp")),
        ),
        ("Fuel in the tank", "60 gal", lambda b: b.at(tank=changes.read_tank("60 gal", b))),
    ],
)
def test_a_change_is_worked_out_once_and_shown_as_the_study_says(
    counted: list[Boat], label: str, text: str, change: Callable[[Boat], Boat]
) -> None:
    at = app()
    before = metrics(at)
    counted.clear()
    field(at, label).set_value(text).run()
    assert not at.exception
    assert counted == [change(NUMBER_FOUR)]
    wanted = figures_of(change(NUMBER_FOUR), "us")
    assert metrics(at)[: len(wanted)] == wanted
    assert metrics(at) != before
    assert any(re.match(r"Read as .*; her file says ", caption.value) for caption in at.caption)
    field(at, label).set_value("").run()
    assert metrics(at) == before
    assert len(counted) == 1  # the first answer was still known


def test_another_load(counted: list[Boat]) -> None:
    at = app()
    counted.clear()
    at.selectbox[0].set_value("alone").run()
    assert counted == [NUMBER_FOUR.at(load="alone")]
    wanted = figures_of(NUMBER_FOUR.at(load="alone"), "us")
    assert metrics(at)[: len(wanted)] == wanted
    assert at.query_params["load"] == "alone"


@pytest.mark.parametrize(
    ("units", "foreign"),
    [
        ("nautical", r"\d (mph|mi|mpg|km/h|km|kg|kW|N|L)\b|, (mph|mi|mpg|km/h)\b"),
        (
            "metric",
            r"\d (mph|kn|mi|nmi|mpg|lb|hp|gal|gal/h|in(?! 100)|ft)\b|, (mph|mi|mpg|gal/h)\b",
        ),
    ],
)
def test_units_change_everywhere_at_once_and_nothing_is_worked_out_again(
    counted: list[Boat], units: str, foreign: str
) -> None:
    at = app()
    counted.clear()
    at.get("button_group")[0].set_value(units).run()
    assert not at.exception
    assert counted == []
    wanted = figures_of(NUMBER_FOUR, units)
    assert metrics(at)[: len(wanted)] == wanted
    hers = texts(at).replace(plain_description(), "")
    assert re.findall(foreign, hers) == []
    assert field(at, "Power of the engine").placeholder == (
        "168 kW" if units == "metric" else "225 hp"
    )


def plain_description() -> str:
    """What her file says of her in its own words, which no units can change; and a method of 1964 in its name."""
    return answers.demo_names()["number_four"][1]


@pytest.mark.parametrize(
    ("label", "text", "says"),
    [
        ("Propeller pitch", "17", '"17" lacks a unit'),
        ("Propeller pitch", "17,5 in", "a comma is never read"),
        ("Power of the engine", "lots", "the number comes first"),
        ("Power of the engine", "9**9**9 hp", "Not understood"),
        ("Fuel in the tank", "900 gal", "does not hold so much"),
    ],
)
def test_a_text_that_is_not_understood_gets_one_sentence_and_no_result(
    counted: list[Boat], label: str, text: str, says: str
) -> None:
    at = app()
    before, address = metrics(at), dict(at.query_params)
    counted.clear()
    field(at, label).set_value(text).run()
    assert not at.exception
    assert says in texts(at)
    assert "Nothing is worked out" in texts(at)
    assert not at.metric
    assert not at.get("vega_lite_chart") and not at.dataframe
    assert counted == []
    field(at, label).set_value("").run()
    assert metrics(at) == before
    assert dict(at.query_params) == address


def test_an_address_brings_the_same_boat_and_nonsense_in_it_brings_none() -> None:
    at = app(boat="number_two", units="metric", pitch="19 in", fuel="1/4", load="nonsense")
    boat = read_boat(demo_boats()["number_two"])
    boat = changes.with_pitch(boat.at(tank=0.25), changes.read_pitch("19 in"))
    wanted = figures_of(boat, "metric")
    assert metrics(at)[: len(wanted)] == wanted
    assert "load" not in at.query_params
    wild = app(boat="../../etc/passwd", units="9**9", power="\u202e" + "x" * 5000, other="kept")
    assert wild.title[0].value == "Number Four"
    assert "Not understood" in texts(wild)
    assert wild.query_params["other"] in ("kept", ["kept"])


def test_another_boat_forgets_what_was_typed_for_the_last() -> None:
    at = app(pitch="17 in", load="home")
    at.radio[0].set_value("number_five").run()
    assert not at.exception
    wanted = figures_of(read_boat(demo_boats()["number_five"]), "us")
    assert metrics(at)[: len(wanted)] == wanted
    assert field(at, "Propeller pitch").value == ""
    assert {"pitch", "load"}.isdisjoint(at.query_params)
    assert "one engine stopped" in texts(at)


def test_a_refused_file_lists_every_fault_and_shows_no_old_answer(counted: list[Boat]) -> None:
    at = app()
    counted.clear()
    at.file_uploader[0].set_value(("mine.toml", FAULTY, "application/toml")).run()
    assert not at.exception
    with pytest.raises(InputFaults) as refused:
        read_boat(FAULTY, name="mine.toml")
    listed = at.table[0].value
    assert len(listed) == len(refused.value.faults) >= 2
    for fault, where, cure in zip(
        refused.value.faults, listed["where"], listed["mend it"], strict=True
    ):
        assert f"line {fault.line}" == where
        assert plain(fault.cure) == cure
    assert not at.metric and "runs" not in texts(at)
    assert counted == []
    next(button for button in at.button if button.label.startswith("Back")).click().run()
    assert at.title[0].value == "Number Four" and at.metric


@pytest.mark.parametrize(
    "content", [b"", b"\x00\x01", b"\xff\xfe", b"[" * 5000, b"a" * 70_000, b"name = 1"]
)
def test_any_rubbish_is_refused_in_words(content: bytes) -> None:
    at = app()
    at.file_uploader[0].set_value(("rubbish.toml", content, "application/toml")).run()
    assert not at.exception
    assert not at.metric
    assert len(at.table[0].value) >= 1


def test_a_boat_from_a_file_stays_over_pages_and_is_missed_without_her_link() -> None:
    at = app()
    at.file_uploader[0].set_value(("skiff.toml", SKIFF.read_bytes(), "application/toml")).run()
    boat = read_boat(SKIFF)
    wanted = figures_of(boat, "us")
    assert at.title[0].value == plain(boat.name)
    assert metrics(at)[: len(wanted)] == wanted
    assert at.query_params["boat"] == "own"
    assert "The address of this page holds the boat" in texts(at)
    at.switch_page(f"{PAGE_FOLDER}/what_it_rests_on.py").run()
    assert not at.exception and at.title[0].value == plain(boat.name)
    at.switch_page(f"{PAGE_FOLDER}/how_she_runs.py").run()
    assert metrics(at)[: len(wanted)] == wanted
    again = app(boat="own", power="50 hp", units="metric")
    assert "Your own boat is gone" in texts(again)
    assert metrics(again)[: len(wanted)] == figures_of(NUMBER_FOUR, "metric")
    assert dict(again.query_params) == {"units": ["metric"]} or dict(again.query_params) == {
        "units": "metric"
    }


def test_two_people_see_their_own_boats() -> None:
    one, two = app(), app(boat="number_one")
    field(one, "Propeller pitch").set_value("17 in").run()
    two.run()
    assert one.title[0].value == "Number Four"
    assert metrics(two)[:4] == figures_of(read_boat(demo_boats()["number_one"]), "us")[:4]


@pytest.mark.parametrize("file", [about.file for about in PAGES])
def test_every_page_speaks_the_trades_words(file: str) -> None:
    at = app()
    at.switch_page(f"{PAGE_FOLDER}/{file}").run()
    assert not at.exception
    assert banned_in(texts(at)) == []
    at.file_uploader[0].set_value(("mine.toml", FAULTY, "application/toml")).run()
    assert not at.exception
    assert banned_in(texts(at)) == []


def test_the_banned_words_are_found_where_they_stand() -> None:
    assert banned_in("LCG at Cv 2, λ of 3 by a Froude number, the Willans line and KT") == [
        "LCG",
        "Cv",
        "λ",
        "Froude",
        "Willans",
        "KT",
    ]
    assert banned_in("a kettle, a market, cover, lcgx") == []


def test_every_page_file_is_in_the_list() -> None:
    files = {path.name for path in (HERE / "pages").glob("*.py")} - {"__init__.py"}
    assert files == {about.file for about in PAGES}


def test_what_a_person_named_is_never_markdown() -> None:
    for name in (
        "*a*",
        "$x$",
        "[a](b)",
        "<b>",
        "# a",
        ":smile:",
        "http://a.b",
        "www.a.b",
        "a@b.c",
        "1. a",
        "`a`",
    ):
        escaped = plain(name)
        assert re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", escaped).replace("\u2060", "") == name
        bare = re.sub(r"\\.", "", escaped)
        assert not re.search(r"[!-/:-@\[-`{-~]", bare), escaped
    assert file_stem("../../etc/*Pass wd*\u202e") == "etc_pass_wd"
    assert file_stem("…") == "boat"
