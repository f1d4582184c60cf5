"""What the answer of a repower says where nothing tells the choices apart, none planes, or none has a figure."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from functools import cache

import pytest

from perf.base.cautions import sentence
from perf.base.results import Result
from perf.base.trust import A_LITTLE
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats, engines
from perf.boat.choice.duty import read_duty
from perf.boat.choice.file import read_candidates
from perf.boat.choice.parts import AS_SHE_IS, Candidate, Candidates, Costs
from perf.boat.choice.starter import candidates_text, duty_text
from perf.boat.parts import Boat
from perf.faces.text.repower import as_text
from perf.studies.repower.draws import season_boat
from perf.studies.repower.study import PURPOSES, repower
from perf.studies.speeds import speeds

WEIGHTS = (1.0, 1.7, 2.5)  # of the bare hull: she planes, she does not, no candidate does


@cache
def demo(name: str = "number_four") -> Boat:
    return read_boat(demo_boats()[name])


@cache
def demo_answer(purpose: str = "economy") -> Result:
    her = demo()
    found = read_candidates(candidates_text(her, "number_four").encode(), her)
    duty = read_duty(duty_text(her, "number_four").encode(), her)
    return repower(her, found, duty, purpose=purpose, draws=100)


@cache
def own(weight: float, purpose: str) -> Result:
    """A boat of a person's own with the candidates and the season the page begins with."""
    her = demo("number_eight")
    her = replace(her, light=replace(her.light, mass_kg=weight * her.light.mass_kg))
    found = read_candidates(candidates_text(her, "own").encode(), her)
    return repower(
        her, found, read_duty(duty_text(her, "own").encode(), her), purpose=purpose, draws=60
    )


def share(result: Result, column: str) -> float:
    """How often the first choice beats her."""
    frame = result.tables["pairwise"]
    of = (frame["candidate"] == result.summary["first"]) & (frame["against"] == AS_SHE_IS)
    return float(frame[of][column].iloc[0])


def test_no_difference_is_said_first() -> None:
    result = demo_answer()
    assert share(result, "burns_less") <= A_LITTLE
    said = result.answer.spoken("us")
    assert said.startswith(
        "No difference on fuel to rely on: a new 225 burns less than her as she is"
    )
    assert "Keep her, or choose by the hump, top speed or money." in said
    assert said.index("Keep her") < said.index("ranks first of 5")
    assert said.count("times in 100") == 2  # the share, and how surely it planes
    assert result.summary["no_difference"]


def test_a_difference_to_rely_on_is_no_such_thing() -> None:
    result = demo_answer("hump")
    assert share(result, "spares_more") > A_LITTLE
    assert not result.summary["no_difference"]
    assert result.answer.spoken("us").startswith("By thrust to spare at the hump, ")


def test_her_double_is_no_difference_or_she_ranks_first() -> None:
    """An engine that is hers with a hair less burn: by the figures first, by the draws not to be told apart."""
    her = demo()
    double = Candidate(
        "a twin sister",
        replace(her, engine=replace(her.engine, mass_kg=her.engine.mass_kg - 1.0)),
        Costs(),
    )
    keep = Candidate(AS_SHE_IS, her, Costs(), is_as_she_is=True)
    duty = read_duty(duty_text(her, "own").encode(), her)
    result = repower(her, Candidates("two", (keep, double)), duty, purpose="money", draws=20)
    assert not result.summary["ranked"]
    assert not result.summary["no_difference"]


def test_money_in_the_answer_has_its_band() -> None:
    result = demo_answer()
    row = result.tables["candidates"].set_index("candidate").loc[result.summary["first"]]
    low, high = row["net_present_value_p10"], row["net_present_value_p90"]
    worth = f"{row['net_present_value']:.0f} crowns ({low:.0f} to {high:.0f}) against keeping her"
    said = result.answer.spoken("us")
    assert worth in said
    assert re.search(r"It lays out \d+ crowns \(\d+ to \d+\) today", said)
    assert re.search(r"paid back in [\d.]+ years \((from )?[\d.]+", said)


@pytest.mark.parametrize("purpose", PURPOSES)
@pytest.mark.parametrize("weight", WEIGHTS)
def test_no_sentence_compares_what_does_not_exist(weight: float, purpose: str) -> None:
    result = own(weight, purpose)
    said = result.answer.spoken("us")
    assert "none as she is" not in said
    assert "though that figure" not in said
    assert "nan" not in said
    ranked = result.tables["candidates"]
    surest = ranked["will_plane"].max()
    assert said.startswith("None of these") == (surest < 0.8), surest
    assert result.summary["ranked"] == ("Nothing can be ranked" not in said)
    assert result.summary["ranked"] or "ranks first" not in said


def test_she_does_not_plane_so_there_is_no_figure() -> None:
    said = own(1.7, "economy").answer.spoken("us")
    assert "ranks first of the 2 that have a figure" in said
    assert "As she is she does not plane, so there is no figure to compare." in said
    assert "against" not in said


def test_without_a_price_nothing_is_ranked_by_money() -> None:
    said = own(1.0, "money").answer.spoken("us")
    assert said.startswith("Nothing can be ranked by money over the years: no price of an engine")
    assert "ranks first" not in said


def test_candidates_of_an_own_boat_reach_up_to_the_plate() -> None:
    her = demo("number_eight")
    watts = {row: engine.part.rated_power_w for row, engine in engines().items()}
    for factor in (1.0, 1.6):
        plate = replace(her, plate_power_w=factor * her.plate_power_w)
        offered = [
            one["engine"]["catalogue"]
            for one in tomllib.loads(candidates_text(plate, "own"))["candidates"].values()
        ]
        fitting = [
            watts[row]
            for row, engine in engines().items()
            if engine.part.drive == her.engine.drive
            and engine.part.technology.startswith("four-stroke injected")
            and her.engine.count * watts[row] <= plate.plate_power_w * 1.000001
        ]
        assert max(watts[row] for row in offered) == max(fitting)
        assert len(offered) == len(set(offered))


def test_the_caution_of_the_plate_names_whom_it_is_meant_for() -> None:
    result = demo_answer()
    over = "A 300 diesel: this is more power than the capacity plate allows."
    assert result.caution("over_plate").startswith(over)
    assert result.caution("over_plate").endswith("do not fit it.")
    assert result.caution("transom") == sentence("transom")
    assert over in " ".join(as_text(result, "us").split())
    assert result.as_dict()["cautions"]["over_plate"].startswith(over)


def test_why_she_runs_otherwise_here_is_said() -> None:
    """The bottom of the season is what makes the difference, and nothing else does on this boat."""
    result = demo_answer()
    why = result.inputs["as_she_is_here"]
    assert "scrubbed every 8 weeks, less grown on average than her file has it" in why
    assert "loaded as" not in why
    assert why in result.notes
    duty = read_duty(duty_text(demo(), "number_four").encode(), demo())
    here = result.tables["candidates"]["top_speed_mps"].iloc[0]
    alone = speeds(demo(), draws=0).summary["top_speed_mps"]
    bottom = speeds(season_boat(demo(), duty), draws=0).summary["top_speed_mps"]
    assert here > alone
    assert here == pytest.approx(bottom, rel=1e-9)
    assert own(1.0, "hump").inputs["as_she_is_here"] == ""


def test_the_printed_pages_name_them_too(monkeypatch: pytest.MonkeyPatch) -> None:
    from perf.faces.printed import repower_sheet
    from perf.faces.printed.sheet import Sheet

    printed: list[str] = []
    words = Sheet.words

    def listening(self: Sheet, text: str, *rest: object, **more: object) -> None:
        printed.append(text)
        words(self, text, *rest, **more)

    monkeypatch.setattr(Sheet, "words", listening)
    repower_sheet.sheet(demo_answer(), "us")
    assert any(
        t.startswith("Caution. A 300 diesel: this is more power than the capacity plate")
        for t in printed
    )
    assert any(t.startswith("No difference on fuel to rely on") for t in printed)
