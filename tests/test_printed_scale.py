"""Every paper is of one family: its letters are of the one scale, and none of them leaves the page."""

import re
import shutil
import subprocess
import zlib
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.trip.file import demo_trips, read_trip
from perf.faces.printed import scale
from perf.faces.printed.report import report_bytes
from perf.faces.printed.rig_card import rig_card_bytes
from perf.faces.printed.sheet import Sheet
from perf.faces.printed.side_view_paper import drawn
from perf.faces.printed.trial_sheet import trial_sheet
from perf.faces.printed.trip_sheet import sheet
from perf.studies.mount.study import mount
from perf.studies.shape import shape_drawings
from perf.studies.speeds import speeds
from perf.studies.trial.plan import plan
from perf.studies.trip.study import trip

BOAT = read_boat(demo_boats()["number_four"])
PAPERS = ("trip", "rig card", "weak rig card", "trial", "report")
POINT_MM = 25.4 / 72.0
EDGE_MM = 8.0  # what a printer leaves white at most


@cache
def printed(paper: str, units: str) -> bytes:
    if paper == "trip":
        asked = read_trip(demo_trips()["out_to_the_light"], BOAT)
        return sheet(trip(BOAT, asked, draws=0), units)
    if paper == "rig card":
        return rig_card_bytes(BOAT, mount(BOAT, draws=10), units)
    if paper == "weak rig card":  # the one with the most to say
        weak = replace(
            BOAT,
            engine=replace(BOAT.engine, rated_power_w=25_000.0),
            name="A boat with a long name " * 2,
        )
        return rig_card_bytes(weak, mount(weak, (0.0,), (0.0,), draws=0), units)
    if paper == "trial":
        return trial_sheet(plan(BOAT), units)
    return report_bytes([speeds(BOAT, draws=0)], units, drawings=shape_drawings(BOAT))


def letters(content: bytes) -> set[float]:
    """The sizes of type a PDF sets [points]."""
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", content, re.DOTALL)
    found: set[float] = set()
    for stream in streams:
        try:
            words = zlib.decompress(stream)
        except zlib.error:
            continue
        found |= {float(size) for size in re.findall(rb"/F\d+ ([\d.]+) Tf", words)}
    return found


@pytest.mark.parametrize("paper", PAPERS)
def test_letters_are_of_the_one_scale(paper: str) -> None:
    sizes = {one.points for one in vars(scale).values() if isinstance(one, scale.Type)}
    found = letters(printed(paper, "us"))
    assert {scale.TITLE.points, scale.SMALL.points} & found
    assert found <= sizes, f"{found - sizes} points are of no size of the scale"


def edges(content: bytes, folder: Path) -> Iterator[tuple[str, float, float, float, float]]:
    """Every word and how far it is from the left, top, right and lower edge [mm]."""
    path = folder / "paper.pdf"
    path.write_bytes(content)
    said = subprocess.run(["pdftotext", "-bbox", str(path), "-"], capture_output=True, check=True)
    wide = high = 0.0
    for line in said.stdout.decode().splitlines():
        if page := re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line):
            wide, high = float(page[1]), float(page[2])
        elif word := re.search(r'xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*?)<', line):
            left, top, right, low = (float(word[i]) for i in (1, 2, 3, 4))
            apart = (left, top, wide - right, high - low)
            yield (word[5], *(each * POINT_MM for each in apart))


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="reads PDF with pdftotext")
@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("paper", PAPERS)
def test_no_word_leaves_the_page(paper: str, units: str, tmp_path: Path) -> None:
    seen = list(edges(printed(paper, units), tmp_path))
    assert len(seen) > 50
    for word, *apart in seen:
        assert min(apart) > EDGE_MM, f"{word} {apart}"
    # sideways the margin holds but for what stands in a picture
    assert min(apart[1] for apart in seen) > scale.MARGIN_MM - 1.0


def test_a_long_title_of_a_single_sheet_gets_smaller_before_it_is_cut() -> None:
    def size(words: str, pages: int | None) -> float:
        return Sheet(words, "", "us", pages).font_size_pt

    assert size("short", 1) == scale.TITLE.points
    assert size("a boat with a long name, and with " * 2, 1) == scale.FIGURE.points
    assert size("word " * 60, 1) == scale.HEADING.points
    assert size("word " * 60, None) == scale.TITLE.points, "where pages follow it takes two lines"


@pytest.mark.parametrize("words", ["Number Four", "many words " * 60])
def test_words_over_drawings_end_above_the_first(words: str) -> None:
    page = drawn(shape_drawings(BOAT)[:1], "us", words)
    page.canvas.draw()
    over, first = page.texts[0], page.axes[0]._left_title
    assert over.get_window_extent().y0 >= first.get_window_extent().y1
