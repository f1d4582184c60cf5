"""How long a person waits for the first page: in a real browser, and in CPU time of the server.

Part of tests/pace.py. A change is a propeller pitch never asked for before, typed and entered. The
page answers in two steps: the sentence and the curves of the boat as stated, then the bands.

    first step      key to new curves and sentence; CPU, engine calls and lanes behind them
    whole           key to the bands; CPU of the whole change
    slider          arrow key to the new drawing on the page of hanging the engine, at every height of the
                    slider and then every setback; a drawing is new when its own words are
    slid            CPU, lanes asked for and lanes of the bands behind the same moves of the height
    start           address entered to sentence, on a server that has been asked before; the same from
                    the start of the program itself, its files known to the machine
"""

from __future__ import annotations

import os
import shutil
import socket
import statistics
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from perf.faces.dashboard import answers, hanging, places
from perf.solve import performance

if TYPE_CHECKING:
    from playwright.sync_api import Page

ROOT = Path(__file__).parents[1]
PITCHES = tuple(f"{inches:.2f} in" for inches in (13.6, 14.1, 14.3, 14.6, 14.8, 15.2, 15.3, 15.6,
                                                  15.8, 16.1, 16.3, 16.6))  # fmt: skip
TYPED = "Propeller pitch"
SLID = {"Plate over the bottom": ("ArrowRight", 12), "Setback": ("ArrowLeft", 5)}
WAIT_S = 60.0
WATCH = """
() => {
    const seen = {key: 0, curves: 0, sentence: 0, whole: 0, before: ""};
    const answer = () => document.querySelector(".st-key-answer")?.textContent ?? "";
    const now = () => performance.now();
    window.pace = seen;
    window.addEventListener("keydown", event => {
        if (event.key === "Enter")
            Object.assign(seen, {key: now(), curves: 0, sentence: 0, whole: 0, before: answer()});
    }, true);
    new MutationObserver(changes => {
        if (!seen.key) return;
        const words = answer();
        if (!seen.sentence && words !== seen.before) seen.sentence = now();
        if (!seen.whole && words !== seen.before && words.includes("times in 100"))
            seen.whole = now();
        const drawn = changes.some(one =>
            one.target.closest?.("[data-testid=stVegaLiteChart] svg, [data-testid=stVegaLiteChart] .chart-wrapper"));
        if (!seen.curves && drawn) seen.curves = now();
    }).observe(document.body, {childList: true, subtree: true, characterData: true, attributes: true});
}
"""
DRAWING = "[data-testid=stVegaLiteChart] svg"
WATCH_DRAWING = f"""
() => {{
    const words = () => document.querySelector("{DRAWING}")?.textContent ?? "";
    const seen = {{key: 0, drawn: 0, before: ""}};
    window.pace = seen;
    window.addEventListener("keydown", event => {{
        if (event.key.startsWith("Arrow"))
            Object.assign(seen, {{key: performance.now(), drawn: 0, before: words()}});
    }}, true);
    new MutationObserver(() => {{
        if (seen.key && !seen.drawn && words() && words() !== seen.before)
            seen.drawn = performance.now();
    }}).observe(document.body, {{childList: true, subtree: true, characterData: true}});
}}
"""


@dataclass(frozen=True)
class Change:
    """One change: seconds from the key to what was seen."""

    curves: float
    sentence: float
    whole: float


@dataclass(frozen=True)
class Seen:
    """What the browser saw, medians in seconds, and CPU seconds of the server for a whole change."""

    changes: tuple[Change, ...]
    slides: tuple[float, ...]
    slid_server: float
    from_page: float
    from_program: float
    server: float

    @property
    def slider(self) -> float:
        """Median over every move of a slider."""
        return statistics.median(self.slides)

    def median(self, name: str) -> float:
        return statistics.median(getattr(change, name) for change in self.changes)


@contextmanager
def serving() -> Iterator[tuple[subprocess.Popen, str]]:
    """The dashboard as the README starts it."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(port)]
    nothing = subprocess.DEVNULL
    server = subprocess.Popen(command, cwd=ROOT, stdin=nothing, stdout=nothing, stderr=nothing)
    try:
        yield server, f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        server.wait(20)


def _healthy(address: str) -> None:
    deadline = time.monotonic() + WAIT_S
    while time.monotonic() < deadline:
        try:
            with urllib.request.urlopen(f"{address}/_stcore/health", timeout=2) as answer:
                if answer.read() == b"ok":
                    return
        except (urllib.error.URLError, OSError):
            time.sleep(0.02)
    raise RuntimeError("the dashboard does not start")


def _cpu_of(process: subprocess.Popen) -> float:
    """CPU seconds a process has used, from the kernel's own count."""
    parts = Path(f"/proc/{process.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(parts[11]) + int(parts[12])) / os.sysconf("SC_CLK_TCK")


def in_browser() -> Seen:
    """Start the program twice (the first makes the machine know its files), open the page, change it."""
    from browser_help import settle
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium")
    if chromium is None:
        raise RuntimeError("apt-get install chromium: the pages are timed in a real browser")
    from conftest import QUIET

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=QUIET)

        def opened(address: str) -> tuple[Page, float]:
            page = browser.new_context(viewport={"width": 1280, "height": 900}).new_page()
            began = time.monotonic()
            page.goto(address)
            page.locator(".st-key-answer p").first.wait_for(timeout=WAIT_S * 1e3)
            return page, time.monotonic() - began

        with serving() as (_, address):
            _healthy(address)
            opened(address)
        began = time.monotonic()
        with serving() as (server, address):
            _healthy(address)
            first = opened(address)[0]
            from_program = time.monotonic() - began
            settle(first)
            page, from_page = opened(address)
            settle(page)
            page.evaluate(WATCH)
            changes, spent = _typed(page, server)
            slides, slid_server = _slid(opened(f"{address}/mount")[0], server)
        browser.close()
    used = statistics.median(spent)
    return Seen(tuple(changes), tuple(slides), slid_server, from_page, from_program, used)


def _typed(page: Page, server: subprocess.Popen) -> tuple[list[Change], list[float]]:
    """Each pitch typed and entered: what was seen when, and the server's CPU."""
    from browser_help import field, settle

    changes, spent = [], []
    for pitch in PITCHES:
        used = _cpu_of(server)
        field(page, TYPED).fill(pitch)
        field(page, TYPED).press("Enter")
        page.wait_for_function("pace.whole && pace.curves", timeout=WAIT_S * 1e3)
        settle(page)
        time.sleep(0.3)  # what the server does after the last word is its CPU as well
        spent.append(_cpu_of(server) - used)
        at = page.evaluate("pace")
        seen = ((at[name] - at["key"]) / 1e3 for name in ("curves", "sentence", "whole"))
        changes.append(Change(*seen))
    return changes, spent


def _slid(page: Page, server: subprocess.Popen) -> tuple[list[float], float]:
    """Seconds from each arrow key to the new drawing, and the server's median CPU for a whole move."""
    from browser_help import settle

    settle(page)
    page.locator(DRAWING).first.wait_for()
    page.evaluate(WATCH_DRAWING)
    waited, spent = [], []
    for name, (key, moves) in SLID.items():
        slider = page.get_by_role("slider", name=name)
        slider.focus()
        for _ in range(moves):
            used = _cpu_of(server)
            slider.press(key)
            page.wait_for_function("pace.key && pace.drawn", timeout=WAIT_S * 1e3)
            waited.append(page.evaluate("(pace.drawn - pace.key) / 1e3"))
            settle(page)
            time.sleep(0.3)
            spent.append(_cpu_of(server) - used)
    return waited, statistics.median(spent)


@dataclass(frozen=True)
class Behind:
    """A change without a browser, medians: CPU seconds to the first step and in all, and what it asked for."""

    first: float
    whole: float
    calls: float
    lanes: float


def behind_a_change() -> Behind:
    """The same changes in this process; the first step ends where the draws begin."""
    from streamlit.testing.v1 import AppTest

    inner_block, inner_draws = performance._block, answers.whole_answer
    asked: list[int] = []
    at_draws: list[tuple[float, int, int]] = []

    def counted(afloat, *rest):
        asked.append(afloat.lanes.count)
        return inner_block(afloat, *rest)

    def drawing(*rest):
        at_draws.append((time.process_time(), len(asked), sum(asked)))
        return inner_draws(*rest)

    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=WAIT_S)
    page.run()
    performance._block, answers.whole_answer = counted, drawing
    found = []
    try:
        answers.forget()
        for pitch in PITCHES:
            text = next(one for one in page.text_input if one.label == TYPED)
            asked.clear()
            at_draws.clear()
            began = time.process_time()
            text.set_value(pitch).run()
            ended = time.process_time()
            (first, calls, lanes) = at_draws[0]
            assert len(at_draws) == 1
            found.append((first - began, ended - began, calls, lanes))
    finally:
        performance._block, answers.whole_answer = inner_block, inner_draws
    return Behind(*(statistics.median(column) for column in zip(*found, strict=True)))


@dataclass(frozen=True)
class Slid:
    """A move of the height without a browser, medians: CPU seconds of the first step, lanes for it and in all."""

    first: float
    asked: float
    lanes: float


def behind_a_slide() -> Slid:
    """Every height of the slider in this process; the first step ends where the draws begin."""
    from streamlit.testing.v1 import AppTest

    inner_block, inner_sliders, inner_tried = performance._block, hanging._sliders, places.tried
    asked: list[int] = []
    marks: list[tuple[float, int]] = []

    def counted(afloat, *rest):
        asked.append(afloat.lanes.count)
        return inner_block(afloat, *rest)

    def marked(inner):
        def marking(*rest):
            marks.append((time.process_time(), sum(asked)))
            return inner(*rest)

        return marking

    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=WAIT_S)
    page.run()
    places.forget()
    page.switch_page("perf/faces/dashboard/pages/mount.py").run()
    performance._block = counted
    hanging._sliders, places.tried = marked(inner_sliders), marked(inner_tried)
    found = []
    try:
        for height in places.heights():
            asked.clear()
            marks.clear()
            page.select_slider(key="mount-height").set_value(height).run()
            (began, none), (first, lanes) = marks
            assert not page.exception and none == 0
            found.append((first - began, lanes, sum(asked)))
    finally:
        performance._block = inner_block
        hanging._sliders, places.tried = inner_sliders, inner_tried
    return Slid(*(statistics.median(column) for column in zip(*found, strict=True)))


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT)]
    print(behind_a_change())
    print(behind_a_slide())
    print(in_browser())
