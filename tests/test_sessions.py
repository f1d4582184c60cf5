"""Ten people at once, each with another boat, load or pitch: every one gets the right answer, and his own."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest
from browser_help import field, figure, open_page
from playwright.sync_api import Browser, expect
from streamlit.runtime import Runtime
from streamlit.testing.v1 import AppTest, app_test

from perf.boat import changes
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.parts import Boat
from perf.faces.dashboard import parts
from perf.studies.speeds import speeds

ROOT = Path(__file__).parents[1]
PEOPLE = 10
PITCHES = ("13 in", "14 in", "15 in", "16 in", "17 in", "18 in", "19 in")
NAMES = ("number_four", "number_five", "number_two")
AT_ONCE = [(name, PITCHES[turn]) for turn in range(7) for name in NAMES][:PEOPLE]
pytestmark = pytest.mark.xdist_group("browser")


def boat_of(name: str, pitch: str) -> Boat:
    return changes.with_pitch(read_boat(demo_boats()[name]), changes.read_pitch(pitch))


def expected(name: str, pitch: str) -> tuple[str, str]:
    result = speeds(boat_of(name, pitch))
    return result.shown("us").answer, parts.figure(result.summary, "top_speed_mps", "us")[1]


def asked(name: str, pitch: str, gate: Barrier) -> tuple[str, list[str]]:
    at = AppTest.from_file(str(ROOT / "app.py"), default_timeout=120)
    at.query_params["boat"] = name
    at.query_params["pitch"] = pitch
    gate.wait(60)  # all start together
    at.run()
    assert not at.exception
    return "\n".join(one.value for one in at.markdown), [one.value for one in at.metric]


class Standing:
    """The runtime that AppTest puts up for the whole process, left standing when one of ten takes it down.

    The page runs its script again once the bands are there, perhaps after another has ended.
    """

    def __getattr__(self, name: str):
        return getattr(Runtime, name)

    def __dir__(self) -> list[str]:
        return dir(Runtime)

    def __setattr__(self, name: str, value: object) -> None:
        if name != "_instance" or value is not None:
            setattr(Runtime, name, value)


@pytest.fixture
def standing(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(app_test, "Runtime", Standing())
    yield
    Runtime._instance = None


@pytest.mark.usefixtures("standing")
def test_ten_at_once_get_ten_right_answers() -> None:
    gate = Barrier(PEOPLE)
    with ThreadPoolExecutor(PEOPLE) as people:
        got = list(people.map(lambda one: asked(*one, gate), AT_ONCE))
    answers = []
    for (name, pitch), (text, metrics) in zip(AT_ONCE, got, strict=True):
        answer, top = expected(name, pitch)
        assert parts.plain(answer) in text or answer in text, (name, pitch, text[:800])
        assert metrics[0] == top, (name, pitch, metrics)
        answers.append(answer)
    assert len(set(answers)) == PEOPLE  # otherwise a mix-up would not show


def test_three_browsers_at_once(browser: Browser, served: str) -> None:
    contexts = [browser.new_context() for _ in range(3)]
    pages = [context.new_page() for context in contexts]
    mine = list(zip(pages, AT_ONCE[-3:], strict=True))
    for page, (name, _) in mine:
        open_page(page, f"{served}/?boat={name}")
    for page, (_, pitch) in mine:  # all typed before any answer is waited for
        field(page, "Propeller pitch").fill(pitch)
    for page, _ in mine:
        field(page, "Propeller pitch").press("Enter")
    for page, (name, pitch) in mine:
        answer, top = expected(name, pitch)
        expect(figure(page, "Top speed")).to_have_text(top, timeout=30_000)
        expect(page.locator(".st-key-answer")).to_have_text(answer, timeout=30_000)
        expect(field(page, "Propeller pitch")).to_have_value(pitch)
    for context in contexts:
        context.close()
