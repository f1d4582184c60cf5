"""The renderers draw and say any Result; the look survives grey print and colour-blind eyes."""

from __future__ import annotations

import dataclasses
import itertools
import json
import re
import time
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_result import invented_result
from numpy.typing import NDArray
from PIL import Image

from perf.base.cautions import Caution, code, sentence
from perf.base.columns import COLUMNS, SUMMARY
from perf.base.results import Line, Mark, Plot, Result, heading_of, known_columns
from perf.base.sources import SOURCES
from perf.base.units import SYSTEMS
from perf.faces import look, screen
from perf.faces.curves import Piece, _pieces, curves, flags, notes
from perf.faces.printed import paper
from perf.faces.text import result as words

NUMBERS = [about for about in (*COLUMNS.values(), *SUMMARY.values()) if about.kind != "text"]
# The public columns of speeds, in no order.
CONTRACT = {
    "speed_mps",
    "trim_deg",
    "drive_trim_deg",
    "draught_m",
    "wetted_length_m",
    "resistance_n",
    "thrust_n",
    "leg_drag_n",
    "air_drag_n",
    "shaft_power_w",
    "throttle",
    "engine_rpm",
    "slip",
    "efficiency",
    "fuel_lph",
    "mileage_m_per_l",
    "range_m",
    "status",
    "cautions",
}
ROLES = ("as she is", "changed", "second opinion")


# --- the look -------------------------------------------------------------------------------------


def linear(colour: str) -> NDArray[np.float64]:
    """Linear light of an sRGB colour. IEC 61966-2-1:1999, the inverse transfer function."""
    value = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def luminance(light: NDArray[np.float64]) -> float:
    """Relative luminance. Web Content Accessibility Guidelines 2.1 (W3C 2018), definition."""
    return float(np.array([0.2126, 0.7152, 0.0722]) @ light)


def contrast(one: str, other: str) -> float:
    """Contrast ratio. Web Content Accessibility Guidelines 2.1 (W3C 2018), definition."""
    low, high = sorted((luminance(linear(one)), luminance(linear(other))))
    return (high + 0.05) / (low + 0.05)


def lab(light: NDArray[np.float64]) -> NDArray[np.float64]:
    """CIE 1976 L*a*b* of linear sRGB, white D65. CIE 15:2004."""
    to_xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    t = to_xyz @ np.clip(light, 0.0, 1.0) / np.array([0.9505, 1.0, 1.089])
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


# Machado, Oliveira & Fernandes 2009, IEEE Transactions on Visualization and Computer Graphics
# 15(6), matrices of severity 1.0 on linear light. Recalled; the rows must sum to one (grey stays).
EYES = {
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}


def apart(one: str, other: str, eyes: str) -> float:
    """Distance of two colours in L*a*b* as such eyes see them."""
    seen = [lab(np.array(EYES[eyes]) @ linear(colour)) for colour in (one, other)]
    return float(np.linalg.norm(seen[0] - seen[1]))


PALETTES = pytest.mark.parametrize("palette", [look.LIGHT, look.DARK], ids=["light", "dark"])


def lines_of(palette: look.Palette) -> list[str]:
    return [palette.tone(role).line for role in ROLES] + [palette.caution.line]


@PALETTES
def test_words_read_on_the_page(palette: look.Palette) -> None:
    tones = [palette.tone(role) for role in ROLES] + [palette.caution]
    for colour in [palette.ink, palette.quiet, *(tone.text for tone in tones)]:
        assert contrast(colour, palette.page) >= 4.5, colour
    for role in ROLES:
        assert contrast(palette.tone(role).line, palette.page) >= 3.0, role


@PALETTES
def test_lines_differ_in_grey(palette: look.Palette) -> None:
    light = sorted(float(lab(linear(colour))[0]) for colour in lines_of(palette))
    assert min(np.diff(light)) >= 9.0, light  # L*, where 100 is white


@PALETTES
@pytest.mark.parametrize("eyes", EYES)
def test_lines_differ_to_colour_blind_eyes(palette: look.Palette, eyes: str) -> None:
    np.testing.assert_allclose(np.sum(EYES[eyes], axis=1), 1.0, atol=2e-6)
    for one, other in itertools.combinations(lines_of(palette), 2):
        assert apart(one, other, eyes) >= 12.0, (one, other)


def test_the_colour_blind_check_can_fail() -> None:
    red, green = "#a04020", "#5f6a10"
    normal = float(np.linalg.norm(lab(linear(red)) - lab(linear(green))))
    assert normal > 50.0
    assert apart(red, green, "deutan") < normal / 3


def test_colour_is_never_the_only_sign() -> None:
    for one, other in itertools.combinations(ROLES, 2):
        a, b = look.STYLES[one], look.STYLES[other]
        assert a.mark(0) != b.mark(0)
        assert a.width != b.width
        assert a.hatch != b.hatch
    for style in look.STYLES.values():
        assert len(set(style.marks)) == len(style.marks)
        assert set(style.marks) <= set(look.SHAPES)


# --- curves ---------------------------------------------------------------------------------------


@given(st.lists(st.tuples(st.booleans(), st.booleans()), max_size=30))
def test_pieces_cover_what_is_there_and_nothing_else(points: list[tuple[bool, bool]]) -> None:
    there = np.array([p[0] for p in points], dtype=bool)
    outside = np.array([p[1] for p in points], dtype=bool)
    pieces = list(_pieces(there, outside))
    covered = {i for piece in pieces for i in range(piece.first, piece.last + 1)}
    assert covered == set(np.flatnonzero(there))
    steps = {(i, piece.dashed) for piece in pieces for i in range(piece.first, piece.last)}
    assert steps == {
        (i, bool(outside[i] or outside[i + 1]))
        for i in range(there.size - 1)
        if there[i] and there[i + 1]
    }
    alone = {piece.first: piece.dashed for piece in pieces if piece.first == piece.last}
    assert all(dashed == outside[i] for i, dashed in alone.items())


def test_pieces_of_a_known_row() -> None:
    there = np.array([0, 1, 1, 1, 1, 0, 1], dtype=bool)
    outside = np.array([0, 1, 0, 0, 0, 0, 1], dtype=bool)
    assert list(_pieces(there, outside)) == [
        Piece(1, 2, True),
        Piece(2, 4, False),
        Piece(6, 6, True),
    ]


def test_curves_are_in_the_readers_units_and_grow_to_the_right() -> None:
    result = invented_result()
    for name in ("rows", "curves"):
        assert name in result.tables
    shuffled = result.tables["curves"].sample(frac=1.0, random_state=3)
    mixed = dataclasses.replace(result, tables={**result.tables, "curves": shuffled})
    for system, second in (
        ("us", 0.44704),
        ("nautical", 1852 / 3600),
        ("metric", 1 / 3.6),
    ):  # exact
        (curve,) = curves(mixed, result.plots[0], system)
        assert np.all(np.diff(curve.x) > 0)
        assert curve.x[-1] == pytest.approx(22.0 / second, rel=1e-12)
    (curve,) = curves(result, result.plots[0], "us")
    gallons = result.tables["curves"]["fuel_lph"].to_numpy() / 3.785411784  # US gallon, exact
    np.testing.assert_allclose(curve.y, gallons, rtol=1e-12)
    assert np.all((curve.low <= curve.y)[np.isfinite(curve.y)])


def test_a_band_with_one_end_is_shaded_to_the_line_and_says_so() -> None:
    result = invented_result()
    frame = result.tables["curves"].copy()
    frame.loc[frame["speed_mps"] > 15.0, "fuel_lph_p90"] = np.nan
    open_end = dataclasses.replace(result, tables={**result.tables, "curves": frame})
    (curve,) = curves(open_end, result.plots[0], "us")
    (whole,) = curves(result, result.plots[0], "us")
    assert curve.half_open
    assert not whole.half_open
    assert curve.bands == whole.bands  # a curve is never drawn without its band
    high = curve.x > 15.0 / 0.44704
    np.testing.assert_array_equal(curve.roof[high], curve.y[high])
    np.testing.assert_array_equal(curve.floor, whole.floor)
    assert notes((curve,)) == (look.BAND_WORDS, look.HALF_WORDS, look.DASHED_WORDS)
    assert notes((whole,)) == (look.BAND_WORDS, look.DASHED_WORDS)
    drawn = screen.chart(open_end, result.plots[0], "us")
    assert look.HALF_WORDS in drawn.to_dict()["title"]["subtitle"]
    shaded = drawn.data[drawn.data["part"] == "band"]
    there = np.isfinite(curve.y)
    np.testing.assert_array_equal(shaded["low"], curve.floor[there])
    np.testing.assert_array_equal(shaded["high"], curve.roof[there])
    (axes,) = paper.figure(open_end, result.plots[0], "us").axes
    assert look.HALF_WORDS in {text.get_text() for text in axes.get_legend().get_texts()}


def test_a_lone_point_is_marked() -> None:
    result = invented_result(9)
    frame = result.tables["curves"].copy()
    frame.loc[frame.index != 4, "fuel_lph"] = np.nan
    lone = dataclasses.replace(result, tables={**result.tables, "curves": frame})
    (curve,) = curves(lone, result.plots[0], "us")
    assert curve.pieces == (Piece(4, 4, False),)
    assert list(np.flatnonzero(curve.marked)) == [4]


def test_words_of_close_marks_stand_in_different_rows() -> None:
    result = invented_result()
    plot = dataclasses.replace(
        result.plots[0], marks=tuple(Mark(8.0 + 0.1 * i, "a longish name") for i in range(3))
    )
    named = flags(plot, curves(result, plot, "us"), "us")
    assert sorted(flag.level for flag in named) == [0, 1, 2]
    far = dataclasses.replace(plot, marks=(Mark(7.0, "one"), Mark(15.0, "two")))
    assert {flag.level for flag in flags(far, curves(result, far, "us"), "us")} == {0}


# --- screen ---------------------------------------------------------------------------------------


def one_plot(name: str) -> tuple[Result, Plot]:
    """A made-up plot of one column, declared anywhere, with a band."""
    result = invented_result(12)
    frame = result.tables["curves"].copy()
    for end, share in (("", 1.0), ("_p10", 0.9), ("_p90", 1.1)):
        frame[name + end] = np.linspace(1.0, 3.0, 12) * share
    frame["speed_mps"] = np.linspace(4.0, 15.0, 12)
    line = Line(
        "curves", name, "as she is", band=(f"{name}_p10", f"{name}_p90"), dashed_where="outside"
    )
    plot = Plot(name, "Any column", "speed_mps", name, (line,), (Mark(9.0, "here"),))
    return dataclasses.replace(result, tables={**result.tables, "curves": frame}), plot


@pytest.mark.parametrize("about", NUMBERS, ids=lambda about: about.name)
def test_screen_draws_every_column(about: object) -> None:
    name = about.name  # type: ignore[attr-defined]
    result, plot = one_plot(name)
    drawn = screen.chart(result, plot, "us")
    spec = drawn.properties(
        height=300
    ).to_dict()  # a changed copy is written out and checked in full
    titles = {layer.get("encoding", {}).get("y", {}).get("title") for layer in spec["layer"]}
    assert heading_of(name, "us") in titles
    assert {"band", "whole", "dashed", "point", "rule"} <= set(drawn.data["part"])


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("dark", [False, True])
def test_screen_charts_are_valid_and_shown_as_checked(system: str, dark: bool) -> None:
    result = invented_result()
    for plot in result.plots:
        drawn = screen.chart(result, plot, system, dark=dark)
        quick = drawn.to_dict()
        full = drawn.properties(title=drawn.title).to_dict()  # checked against the schema
        assert quick["layer"] == full["layer"] or _unnamed(quick["layer"]) == _unnamed(
            full["layer"]
        )
        assert quick["background"] == "transparent"
        text = json.dumps({k: v for k, v in quick.items() if k != "data"})
        assert not re.search(r"#000|black", text)
        colours = set(re.findall(r"#[0-9a-f]{6}", text))
        mine, other = (look.DARK, look.LIGHT) if dark else (look.LIGHT, look.DARK)
        assert colours <= _colours(mine)
        assert not colours & (_colours(other) - _colours(mine))


def _unnamed(layers: list[dict[str, object]]) -> list[dict[str, object]]:
    return [{k: v for k, v in layer.items() if k != "name"} for layer in layers]


def _colours(palette: look.Palette) -> set[str]:
    return set(re.findall(r"#[0-9a-f]{6}", repr(palette)))


def test_screen_says_what_shading_and_dashes_mean_only_where_they_are() -> None:
    result = invented_result()
    banded = screen.chart(result, result.plots[0], "us").to_dict()["title"]["subtitle"]
    assert look.BAND_WORDS in banded
    assert look.DASHED_WORDS in banded
    bare = dataclasses.replace(
        result.plots[0],
        lines=(dataclasses.replace(result.plots[0].lines[0], band=None, dashed_where=None),),
    )
    assert screen.chart(result, bare, "us").to_dict()["title"]["subtitle"] == ""


def test_screen_dashes_where_outside_and_tells_the_pointer_speed_value_and_band() -> None:
    result = invented_result()
    layers = screen.chart(result, result.plots[0], "us").to_dict()["layer"]
    strokes = {
        part: layer["mark"]["strokeDash"]
        for layer in layers
        for part in ("whole", "dashed")
        if layer["mark"]["type"] == "line" and f"'{part}'" in json.dumps(layer["transform"])
    }
    assert strokes == {"whole": [1, 0], "dashed": list(look.DASHED)}
    (told,) = (layer["encoding"]["tooltip"] for layer in layers if "tooltip" in layer["encoding"])
    assert [row["title"] for row in told] == ["speed, mph", "fuel burn, gal/h", "10 to 90 %"]
    assert [row["field"] for row in told] == ["x", "y", "between"]


def test_screen_of_several_lines_has_a_legend_of_marks() -> None:
    result = invented_result()
    spec = screen.chart(result, result.plots[1], "us").to_dict()
    (points,) = (layer for layer in spec["layer"] if "shape" in layer.get("encoding", {}))
    scale = points["encoding"]["shape"]["scale"]
    assert scale["domain"] == ["as she is", "two inches higher", "another published method"]
    assert len(set(scale["range"])) == 3
    assert points["encoding"]["shape"]["legend"] is not None


def test_screen_of_nothing_says_so() -> None:
    result = invented_result()
    frame = result.tables["curves"].assign(
        fuel_lph=np.nan, fuel_lph_p10=np.nan, fuel_lph_p90=np.nan
    )
    empty = dataclasses.replace(result, tables={**result.tables, "curves": frame})
    assert look.EMPTY_WORDS in json.dumps(
        screen.chart(empty, result.plots[0], "us").to_dict()["layer"]
    )


def test_words_are_not_drawn() -> None:
    result = invented_result()
    plot = dataclasses.replace(
        result.plots[0], lines=(Line("rows", "status", "words"),), y="status"
    )
    for draw in (screen.chart, paper.figure):
        with pytest.raises(ValueError, match="status is words"):
            draw(result, plot, "us")


def test_screen_refills_faster_than_it_builds() -> None:
    """A page redraws the same charts at every move of a slider: only the data may cost anything."""
    result = invented_result(100)
    screen.chart(result, result.plots[0], "us").to_dict()  # imports and schema out of the way

    def spent() -> float:
        start = time.process_time()
        for plot in result.plots:
            screen.chart(result, plot, "us").to_dict()
        return time.process_time() - start

    screen._template.cache_clear()
    built = spent()
    refilled = min(spent() for _ in range(5))
    print(
        f"three charts of 100 points: built {1e3 * built:.0f} ms, refilled {1e3 * refilled:.1f} ms"
    )
    assert refilled < built / 3


# --- paper ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("about", NUMBERS, ids=lambda about: about.name)
def test_paper_draws_every_column(about: object) -> None:
    name = about.name  # type: ignore[attr-defined]
    result, plot = one_plot(name)
    (axes,) = paper.figure(result, plot, "metric").axes
    assert axes.get_ylabel() == heading_of(name, "metric")
    assert axes.get_xlabel() == heading_of("speed_mps", "metric")
    assert {line.get_linestyle() for line in axes.lines if len(line.get_xdata()) > 2} >= {"-", "--"}
    said = {text.get_text() for text in axes.get_legend().get_texts()}
    assert {"as she is", look.BAND_WORDS, look.DASHED_WORDS} <= said


def test_paper_saves_files_that_open(tmp_path: Path) -> None:
    result = invented_result()
    for ending in paper.ENDINGS:
        paper.save_figure(result, tmp_path / f"one{ending}", "us")
    with Image.open(tmp_path / "one.png") as picture:
        picture.load()
        assert picture.width > 1000
        grey = np.asarray(picture.convert("L"))
    assert (grey < 70).mean() > 0.005  # ink is there and dark in grey
    assert (grey > 245).mean() > 0.5
    assert ET.parse(tmp_path / "one.svg").getroot().tag.endswith("svg")
    pdf = (tmp_path / "one.pdf").read_bytes()
    assert pdf.startswith(b"%PDF-")
    assert pdf.rstrip().endswith(b"%%EOF")


def test_paper_is_the_same_twice(tmp_path: Path) -> None:
    result = invented_result()
    for ending in (".png", ".pdf"):
        for name in ("one", "two"):
            paper.save_figure(result, tmp_path / f"{name}{ending}", "us")
        assert (tmp_path / f"one{ending}").read_bytes() == (tmp_path / f"two{ending}").read_bytes()


def test_paper_refuses_other_endings_and_no_plots(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"\.png, \.svg or \.pdf"):
        paper.save_figure(invented_result(), tmp_path / "one.gif", "us")
    with pytest.raises(ValueError, match="no plots"):
        paper.save_figure(
            dataclasses.replace(invented_result(), plots=()), tmp_path / "one.png", "us"
        )


def test_paper_of_nothing_says_so() -> None:
    result = invented_result()
    frame = result.tables["curves"].assign(
        fuel_lph=np.nan, fuel_lph_p10=np.nan, fuel_lph_p90=np.nan
    )
    empty = dataclasses.replace(result, tables={**result.tables, "curves": frame})
    (axes,) = paper.figure(empty, result.plots[0], "us").axes
    assert look.EMPTY_WORDS in {text.get_text() for text in axes.texts}


# --- text -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("system", SYSTEMS)
def test_text_begins_with_the_answer_and_ends_with_the_sources(system: str) -> None:
    result = invented_result()
    said = words.as_text(result, system)
    flowing = " ".join(said.split())
    assert flowing.startswith(result.shown(system).answer)
    order = [
        flowing.index(part)
        for part in ("Key figures", "Cautions", "How sure", "Assumed", "Sources")
    ]
    assert order == sorted(order)
    assert flowing.endswith(" ".join(SOURCES[result.sources[-1]].text.split()))
    assert max(map(len, said.splitlines())) <= 110
    assert "nan" not in said.lower().split()


@pytest.mark.parametrize(
    ("system", "unit"), [("us", "mph"), ("nautical", "kn"), ("metric", "km/h")]
)
def test_table_has_speed_first_with_its_unit(system: str, unit: str) -> None:
    lines = words.as_text(invented_result(), system).splitlines()
    (at,) = (i for i, line in enumerate(lines) if line.startswith("speed,"))
    assert lines[at + 1].split()[0] == unit
    assert {"fuel", "mileage,", "range,"} <= set(lines[at].split())
    assert "rpm" in lines[at + 1].split()


def test_table_shows_numbers_in_units_rounded_with_bands() -> None:
    result = invented_result(37)  # every half metre per second
    lines = words.as_text(result, "us").splitlines()
    (row,) = (line for line in lines if line.strip().startswith("22.4 "))  # 10 m/s is 22.369 mph
    frame = result.tables["rows"]
    at = frame.index[np.isclose(frame["speed_mps"], 10.0)][0]
    gallon = 3.785411784  # litres in a US gallon, exact
    fuel, low, high = (frame[f"fuel_lph{end}"][at] / gallon for end in ("", "_p10", "_p90"))
    assert row.split()[1:3] == [f"{fuel:.1f}", f"{low:.1f}–{high:.1f}"]


def test_table_gathers_rows_without_numbers_and_says_why() -> None:
    said = words.as_text(invented_result(), "us")
    assert re.search(r"^8\.9 to 14\.0  below the planing range$", said, re.M)
    assert re.search(r"^47\.2 to 49\.2  faster than she goes$", said, re.M)


def test_table_of_a_boat_that_never_runs_says_only_why() -> None:
    result = invented_result()
    never = dataclasses.replace(result, tables={"rows": result.tables["rows"].iloc[:3]})
    said = words.as_text(never, "us", quiet=True)
    assert re.search(r"^8\.9 to 11\.0  below the planing range$", said, re.M)
    assert "more columns" not in said


def test_band_without_an_end_says_so() -> None:
    result = invented_result()
    frame = result.tables["rows"].assign(fuel_lph_p90=np.nan, mileage_m_per_l_p10=np.nan)
    said = words.as_text(dataclasses.replace(result, tables={**result.tables, "rows": frame}), "us")
    assert re.search(r"\d up +\d\.\d\d to \d\.\d\d", said)


def test_missing_figure_gives_its_reason() -> None:
    result = invented_result()
    summary = {**result.summary, "reasons": {"slowest_planing_speed_mps": "she never planes"}}
    said = words.as_text(dataclasses.replace(result, summary=summary), "us")
    assert re.search(r"slowest planing speed +none +she never planes", said)


def test_row_cautions_are_marked_and_spelled_out() -> None:
    result = invented_result()
    said = words.as_text(result, "us")
    for public in (code(Caution.WAKE_OUTSIDE), code(Caution.CHINES_DRY)):
        start = sentence(public)[:40]
        (line,) = (line for line in said.splitlines() if start in line)
        letter = line.split()[0]
        assert re.search(rf"^ +\d+\.\d .*\b{letter}\b", said, re.M)


def test_every_caution_has_a_sentence_and_is_said() -> None:
    flowing = " ".join(words.as_text(invented_result(), "us").split())
    for caution in Caution:
        if caution.value:
            assert sentence(code(caution)) in flowing


def test_every_assumption_is_listed_with_its_doubt_and_basis() -> None:
    result = invented_result()
    flowing = " ".join(words.as_text(result, "us").split())
    for a in result.assumptions:
        assert a.sentence in flowing
        assert f"{a.name.replace('_', ' ')} " in flowing
    assert (
        "water temperature 59 °F ± 9 °F Water temperature where none is given. (assumed)" in flowing
    )


def test_quiet_text_keeps_the_cautions_and_leaves_out_the_rest() -> None:
    said = words.as_text(invented_result(), "us", quiet=True)
    assert "Cautions" in said
    assert "Key figures" in said
    assert "Sources" not in said
    assert "Assumed" not in said


def test_text_without_rows_or_bands() -> None:
    result = dataclasses.replace(
        invented_result(), tables={}, doubt={}, cautions=(), assumptions=(), sources=(), summary={}
    )
    flowing = " ".join(words.as_text(result, "us").split())
    assert (
        flowing
        == f"{result.shown('us').answer} No bands were drawn: how sure this is, is not said here."
    )


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 60), st.sampled_from(SYSTEMS), st.randoms(use_true_random=False))
def test_text_never_grows_too_wide(points: int, system: str, chance: object) -> None:
    result = invented_result(points)
    names = [n for n in result.tables["rows"].columns if n == "speed_mps" or chance.random() < 0.7]  # type: ignore[attr-defined]
    cut = dataclasses.replace(result, tables={"rows": result.tables["rows"][names]})
    said = words.as_text(cut, system)
    assert max(map(len, said.splitlines())) <= 110


def test_side_tables_are_grouped_by_their_first_words() -> None:
    result = invented_result()
    opinions = pd.DataFrame(
        {
            "about": ["drag", "drag", "top speed"],
            "method": ["one", "another with a long name", "rule of thumb"],
            "speed_mps": [10.0, 10.0, 20.0],
            "resistance_n": [4448.2216, np.nan, 0.0],  # a thousand pounds of 4.4482216 N
        }
    )
    told = dataclasses.replace(result, tables={**result.tables, "second opinions": opinions})
    lines = words.as_text(told, "us").splitlines()
    at = lines.index("Second opinions")
    body = lines[at + 1 : lines.index("", at)]
    assert body[-5:] == [
        "drag",
        "  one                         22.4        1000",
        "  another with a long name    22.4           -",
        "top speed",
        "  rule of thumb               44.7           0",
    ]
    assert "Second opinions" not in words.as_text(told, "us", quiet=True)
    assert "Curves" not in lines  # what only feeds a plot is not printed


def test_csv_headings_are_the_declared_columns() -> None:
    result = invented_result()
    assert known_columns(result.tables["rows"])
    heads = words.as_csv(result).splitlines()[0].split(",")
    assert heads == list(result.tables["rows"].columns)
    plain = {head.removesuffix("_p10").removesuffix("_p90") for head in heads}
    assert CONTRACT <= plain <= set(COLUMNS)


def test_a_result_without_rows_gives_its_first_table() -> None:
    result = invented_result()
    other = pd.DataFrame({"speed_mps": [1.5, 2.5]})
    bare = dataclasses.replace(result, tables={"checks": other, "more": result.tables["rows"]})
    assert bare.as_csv() == "speed_mps\n1.5\n2.5\n"
    assert bare.main_table == "checks" and result.main_table == "rows"
    assert dataclasses.replace(result, tables={}).as_csv() == ""
