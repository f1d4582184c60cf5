"""The calibrated file: the owner's text byte for byte, with one table appended or renewed."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from perf.base.faults import InputFaults
from perf.boat.boatfile import read_boat
from perf.boat.catalog import demo_boats
from perf.boat.fleet import Fleet
from perf.boat.log.demos import demo_logs
from perf.boat.log.file import read_log
from perf.boat.parts import Learned, Trial
from perf.boat.trialtable import with_trial
from perf.boat.understood import understood
from perf.studies.trial.study import fit_trial

OWNER = demo_boats()["number_four"].read_bytes()
SMALL = Trial(
    drag=1.04,
    balance_m=-0.021,
    log="morning.csv 0123456789abcdef",
    date="2026-05-14",
    version="overhump 0.1.0, results 2026.2",
    learned=Learned(
        ("assumed.trial_drag", "assumed.trial_balance", "weights.ice.mass"),
        (0.25, 0.05, 9.0),
        (0.0, 0.0, -0.4),
        ((0.4,), (0.1, 0.9), (-0.05, 0.02, 0.97)),
    ),
)
HEAD = b"\n[trial] # by overhump trial; take this table out to go back to the estimate\n"


@pytest.fixture(scope="module")
def real() -> Trial:
    found = fit_trial(
        read_boat(OWNER), read_log(demo_logs()["number_four_morning"]), date="2026-05-14"
    )
    return replace(found, version="overhump 0.1.0, results 2026.2")


def table_of(trial: Trial) -> bytes:
    """The table alone, from its heading on."""
    return with_trial(OWNER, trial)[len(OWNER) + 1 :]


def test_the_owners_text_stays_byte_for_byte() -> None:
    out = with_trial(OWNER, SMALL)
    assert out.startswith(OWNER + HEAD)
    again = with_trial(out, SMALL)
    assert again == out
    renewed = with_trial(out, replace(SMALL, drag=1.2))
    assert renewed.startswith(OWNER) and b"1.2 " in renewed and b"1.04 " not in renewed


@pytest.mark.parametrize("at", [b"[air]", b"[hull]", b"[water]"])
def test_a_table_in_the_middle_is_renewed_in_its_place(at: bytes) -> None:
    mine = b"[trial]   # by hand\ndrag = 1.2\n# mine too\nweight = 1.01\n"
    after = b"\n# what follows stays\n" + at
    text = OWNER.replace(at, mine + after, 1)
    out = with_trial(text, SMALL)
    first = text.index(mine)
    assert out[:first] == text[:first]
    assert out.endswith(text[text.index(after) :])
    assert out[first:].startswith(table_of(SMALL).rstrip(b"\n"))
    assert read_boat(out).trial == SMALL


def test_line_ends_mark_and_a_missing_last_line_end_are_kept() -> None:
    crlf = OWNER.replace(b"\n", b"\r\n")
    out = with_trial(crlf, SMALL)
    assert out.startswith(crlf) and b"\n" not in out.replace(b"\r\n", b"")
    marked = b"\xef\xbb\xbf" + OWNER
    assert with_trial(marked, SMALL).startswith(marked)
    bare = OWNER.rstrip(b"\n")
    assert with_trial(bare, SMALL).startswith(bare + b"\n" + HEAD)
    for text in (crlf, marked, bare):
        assert read_boat(with_trial(text, SMALL)).trial == SMALL


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"trial = { drag = 1.1 }\n" + OWNER, "of its own"),
        (b"trial.drag = 1.1\n" + OWNER, "of its own"),
        (OWNER + b"\n[trial\n", "cannot be|check it first"),
        (b"\xff\xfe" + OWNER, "check it first"),
        (OWNER + b"# filler\n" * 8000, "larger than 64 kB"),
    ],
)
def test_what_cannot_be_done_is_refused(text: bytes, said: str) -> None:
    with pytest.raises(InputFaults, match=said):
        with_trial(text, SMALL)


def test_a_text_that_only_looks_like_a_table_is_left_alone() -> None:
    text = OWNER.replace(b"format = 1", b"format = 1\n# [trial] is written below", 1)
    assert with_trial(text, SMALL).startswith(text)


def test_a_boat_read_back_is_the_calibrated_boat(real: Trial) -> None:
    plain = read_boat(OWNER)
    back = read_boat(with_trial(OWNER, real))
    assert back.trial == real
    for make in (Fleet.of, lambda one: Fleet.draw(one, 60, 9)):
        one, other = (make(each).lanes for each in (plain.at(trial=real), back))
        for field in fields(one):
            assert np.array_equal(
                getattr(one, field.name), getattr(other, field.name), equal_nan=True
            ), field.name


def test_the_narrower_doubts_stand_in_the_file_and_in_the_boat(real: Trial) -> None:
    back = read_boat(with_trial(OWNER, real))
    doubts = dict(back.doubts)
    assert doubts["assumed.trial_drag"] < 0.6 * 0.25
    rows = {path: said for path, _, said in understood(back)}
    assert "inputs, taken together" in rows["trial.together"]
    assert rows["trial.date"] == "2026-05-14"


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ('"assumed.trial_drag 0.25 0"', "run it again"),
        ('"assumed.trial_drag 0.25 0 0.4 0.1"', "run it again|any more"),
        ('"assumed.trial_drag 0.25 0 -0.4"', "run it again"),
        ('"assumed.trial_drag nan 0 0.4"', "run it again"),
        ('"assumed.trial_drag 1e9 0 99"', "run it again"),
        ('"assumed.trial_colour 0.25 0 0.4"', "any more"),
        ("0.25", "run it again"),
    ],
)
def test_rows_that_make_no_sense_are_located(row: str, said: str) -> None:
    text = OWNER + f"\n[trial]\ndrag = 1.1\ntogether = [\n  {row},\n]\n".encode()
    with pytest.raises(InputFaults, match=said) as caught:
        read_boat(text)
    assert caught.value.faults[0].key == "trial.together"
    assert caught.value.faults[0].line > OWNER.count(b"\n")


def test_rows_twice_and_too_many() -> None:
    same = '"assumed.trial_drag 0.25 0 0.4"', '"assumed.trial_drag 0.25 0 0.1 0.4"'
    for rows, said in ((same, "twice"), (("0",) * 200, "rows of text")):
        text = OWNER + f"\n[trial]\ntogether = [{', '.join(rows)}]\n".encode()
        with pytest.raises(InputFaults, match=said):
            read_boat(text)


def test_a_mark_at_a_load_she_has_not() -> None:
    mark = b'\n[freeboard]\nbow = { forward = "20 ft", above = "4 ft", over_water = "37 in", load = "alon" }\n'
    with pytest.raises(InputFaults, match="did you mean alone"):
        read_boat(OWNER + mark)
