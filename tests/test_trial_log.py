"""Trial logs: what is read, what is said about it, what is set aside with its place; nothing is lost in silence."""

from __future__ import annotations

import io
import math
import subprocess
import sys
import zipfile
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from perf.base.faults import InputFaults, ReadingError
from perf.boat.log.columns import IGNORED, named, understand
from perf.boat.log.demos import demo_logs
from perf.boat.log.file import Log, log_columns, read_log
from perf.boat.log.steady import steady_runs

KNOT, GALLON, MILE = 0.514444444, 3.785411784, 0.44704
PLAIN = "rpm,sog (kn),fuel (L/h)\n1000,5.0,3.0\n3000,15.0,16.0\n5000,30.0,50.0\n"


def log_of(text: str | bytes, name: str = "log.csv") -> Log:
    return read_log(text.encode() if isinstance(text, str) else text, name=name)


def refusal(text: str | bytes) -> str:
    with pytest.raises(InputFaults) as caught:
        log_of(text)
    return caught.value.as_text()


# --- headings and units -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heading", "meaning", "unit"),
    [
        ("Engine Speed (rpm)", "rpm", "rpm"),
        ("RPM", "rpm", ""),
        ("port rpm", "rpm", "rpm"),
        ("SOG [kn]", "speed over ground", "kn"),
        ("SpeedKn", "speed over ground", "kn"),
        ("speed_mph", "speed over ground", "mph"),
        ("km/h", "speed over ground", "km/h"),
        ("STW mph", "speed through water", "mph"),
        ("GPH", "fuel flow", "gph"),
        ("fuel flow, L/h", "fuel flow", "l/h"),
        ("Stbd Fuel gph", "fuel flow", "gph"),
        ("economy (mpg)", "mileage", "mpg"),
        ("running trim deg", "trim", "deg"),
        ("drive_trim_deg", "drive trim", "deg"),
        ("Water Temp (°F)", "water temperature", "°f"),
        ("tank gal", "tank", "gal"),
        ("throttle %", "throttle", "%"),
        ("direction", "course", ""),
        ("Kommentar", IGNORED, ""),
        ("Trim", IGNORED, ""),  # of the boat or of the drive: nobody said
    ],
)
def test_headings_are_read_by_our_own_words(heading: str, meaning: str, unit: str) -> None:
    (column,) = understand([heading])
    assert (column.meaning, column.unit) == (meaning, unit)


def test_columns_in_any_order_and_unit_give_the_same_runs() -> None:
    kn = log_of("rpm,sog (kn),fuel (L/h)\n3000,20,30\n")
    mph = log_of(f"fuel gph,speed mph,engine speed\n{30 / GALLON},{20 * KNOT / MILE},3000\n")
    for meaning in ("rpm", "speed over ground", "fuel flow"):
        assert mph.number(meaning) == pytest.approx(kn.number(meaning), rel=1e-9)


def test_a_quantity_without_its_unit_is_asked_for_and_can_be_told() -> None:
    text = b"rpm,speed,fuel\n3000,20,30\n"
    said = refusal(text)
    assert "line 1:2" in said and "line 1:3" in said and "write its unit" in said
    columns = log_columns(text)
    told = (
        columns[0],
        named(columns[1], "speed over ground", "kn"),
        named(columns[2], "fuel flow", "L/h"),
    )
    log = read_log(text, columns=told)
    assert log.number("speed over ground")[0] == pytest.approx(20 * KNOT)
    with pytest.raises(ReadingError, match="write one of"):
        named(columns[0], "colour")


def test_a_line_of_units_under_the_headings() -> None:
    log = log_of("rpm;speed;fuel\nrpm;kn;L/h\n3000;20;30\n")
    assert log.number("speed over ground")[0] == pytest.approx(20 * KNOT)
    assert any("names units" in said for said in log.said)


def test_mixed_units_in_one_column_are_each_read_as_written() -> None:
    log = log_of("rpm,speed,fuel\n3000,20 kn,8 gal/h\n4000,30 mph,40 L/h\n")
    assert log.number("speed over ground") == pytest.approx([20 * KNOT, 30 * MILE])
    assert log.number("fuel flow") == pytest.approx([8 * GALLON, 40.0])


def test_engines_with_columns_of_their_own() -> None:
    log = log_of("rpm port,rpm stbd,speed kn,fuel port gph,fuel stbd gph\n3000,3100,20,5,6\n")
    assert log.number("rpm")[0] == 3050.0
    assert log.number("fuel flow")[0] == pytest.approx(11 * GALLON)
    assert sum("columns of" in said for said in log.said) == 2


def test_mileage_stands_in_for_the_burn() -> None:
    runs = steady_runs(log_of("rpm,speed mph,mpg\n3000,20,2.5\n")).runs
    assert runs.fuel_lph[0] == pytest.approx(20 / 2.5 * GALLON)


# --- how a file may be written ------------------------------------------------------------------------


def test_semicolons_and_decimal_commas_are_read_and_said() -> None:
    log = log_of("rpm;sog (kn);fuel (L/h)\n1000;5,5;3,2\n3000;15,1;16,4\n")
    assert log.number("speed over ground") == pytest.approx([5.5 * KNOT, 15.1 * KNOT])
    assert any("semicolons" in said and "decimal commas" in said for said in log.said)


def test_a_comma_inside_a_number_is_never_guessed() -> None:
    log = log_of('rpm,sog (kn),fuel (L/h)\n1000,"5,5",3\n3000,15,16\n')
    assert log.count == 1 and log.damaged == 1
    assert "comma" in log.faults[0].cure and log.faults[0].line == 2


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_encodings_give_the_same_log(encoding: str) -> None:
    text = PLAIN.replace("fuel", "fuel flow").replace("5000", "5000") + "# ± °\n"
    log = read_log(text.encode(encoding), name="log.csv")
    assert log.number("rpm") == pytest.approx([1000, 3000, 5000])
    assert log.number("speed over ground")[0] == pytest.approx(5 * KNOT)
    assert log.said if encoding != "cp1252" else True


def test_windows_and_old_line_ends_remarks_and_blank_lines() -> None:
    for end in ("\r\n", "\r"):
        log = log_of(("# a remark\n\n" + PLAIN + "\n").replace("\n", end))
        assert log.count == 3 and list(log.lines) == [4, 5, 6]


def test_excel_gives_the_same_runs_as_text() -> None:
    book = Workbook()
    sheet = book.active
    for row in (
        ["rpm", "sog (kn)", "fuel (L/h)"],
        [1000, 5.0, 3.0],
        [3000, 15.0, 16.0],
        [5000, 30, 50],
    ):
        sheet.append(row)
    book.create_sheet("other")
    out = io.BytesIO()
    book.save(out)
    log, plain = log_of(out.getvalue(), "log.xlsx"), log_of(PLAIN)
    for meaning in ("rpm", "speed over ground", "fuel flow"):
        assert log.number(meaning) == pytest.approx(plain.number(meaning))
    assert any("others were not looked at" in said for said in log.said)


# --- what is refused, with its reason ----------------------------------------------------------------


def bomb() -> bytes:
    """A workbook of 40 kB that unpacks to 60 MB."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", "<workbook/>")
        packed.writestr("xl/worksheets/sheet1.xml", b"0" * 60_000_000)
    return out.getvalue()


def entities() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("xl/workbook.xml", '<!DOCTYPE a [<!ENTITY b "ha">]><workbook/>')
    return out.getvalue()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"\n\n  \n", "empty"),
        (b"# only a remark\n", "nothing but remarks"),
        (b"1000,5,3\n3000,15,16\n", "no headings"),
        (PLAIN.splitlines()[0].encode() + b"\n", "no row"),
        (b"rpm,fuel (L/h)\n1000,3\n", "no column is known to be a speed"),
        (b"speed kn,colour\n10,red\n", "no column is known to be rpm"),
        (b"rpm,speed kn\x00\n1000,5\n", "not plain text"),
        (b"\xd0\xcf\x11\xe0" + b"x" * 100, "older or a locked Excel"),
        (b"PK\x03\x04" + b"broken" * 40, "damaged"),
        (bomb(), "unpacks to far more"),
        (entities(), "entities"),
        (b"rpm,speed kn\n" + b"9" * 30_000_000, "line without end"),
        (b"rpm,speed kn\nabc,def\nghi,jkl\n", "no row could be read"),
        (b"rpm,speed (kn)\n1000,5,3\n3000,15,2\n", "decimal commas"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_files_that_hold_no_log_are_refused_in_a_sentence(content: bytes, said: str) -> None:
    assert said in refusal(content)


def test_too_large_and_missing_files(tmp_path: Path) -> None:
    large = tmp_path / "large.csv"
    with large.open("wb") as file:
        file.truncate(64_000_001)
    for path, said in ((large, "larger than 64 MB"), (tmp_path / "none.csv", "no such file")):
        with pytest.raises(InputFaults, match=said):
            read_log(path)


def test_damaged_rows_are_located_and_the_good_ones_kept() -> None:
    text = (
        "rpm,sog (kn),fuel (L/h),note\n"
        "1000,5,3,ok\n"
        "3000,fifteen,16,ok\n"  # line 3
        "3000,15\n"  # line 4: cut short
        '4000,20,25,"not closed\n'  # line 5
        "5000,200,50,ok\n"  # line 6: 200 knots
        "5000,30,50,ok,more\n"  # line 7
        "5000,30,50,ok\n"
    )
    log = log_of(text)
    assert log.count == 2 and list(log.lines) == [2, 8]
    assert sorted(fault.line for fault in log.faults) == [3, 4, 5, 6, 7]
    assert log.damaged == 5
    assert "slip or another unit" in next(f.cure for f in log.faults if f.line == 6)
    assert log.count + log.damaged == len(text.splitlines()) - 1  # nothing lost


def test_a_log_in_the_wrong_unit_is_asked_about() -> None:
    rows = "\n".join(f"{rpm},{rpm / 40},{rpm / 100}" for rpm in range(4800, 6200, 100))
    log = log_of(f"rpm,sog (kn),fuel (L/h)\n2000,20,10\n{rows}\n")
    assert any("is the unit right" in said for said in log.said)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_are_a_log_or_a_refusal(content: bytes) -> None:
    try:
        log_of(content)
    except InputFaults as faults:
        assert faults.faults


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet='0123456789.,;:\n"-+eE knrpmx±°\t', max_size=200))
def test_any_rows_under_good_headings_are_read_or_counted(text: str) -> None:
    try:
        log = log_of("rpm,sog (kn),fuel (L/h)\n" + text + "\n1000,5,3\n")
    except InputFaults:
        return
    filled = [line for line in text.split("\n") if line.strip() and not line.startswith("#")]
    if '"' not in text:
        assert log.count + log.damaged >= 1 and log.count <= len(filled) + 2


# --- runs --------------------------------------------------------------------------------------------


def test_reciprocal_runs_are_averaged_and_the_current_told() -> None:
    text = "rpm,sog (kn),fuel (L/h),direction\n"
    for rpm, through, burn in ((3000, 15.0, 16.0), (5000, 30.0, 50.0)):
        text += f"{rpm},{through + 0.8},{burn},N\n{rpm + 20},{through - 0.8},{burn},S\n"
    found = steady_runs(log_of(text))
    assert found.runs.speed_mps == pytest.approx([15 * KNOT, 30 * KNOT])
    assert found.runs.engine_rpm == pytest.approx([3010, 5010])
    assert found.pairs == 2
    assert found.current_mps == pytest.approx(0.8 * KNOT)
    assert found.current_to_deg == pytest.approx(
        0.0, abs=1e-6
    ) or found.current_to_deg == pytest.approx(360.0)
    assert np.all(found.runs.speed_doubt_mps == 0.0)


def test_a_single_run_takes_the_current_of_the_pairs_or_its_doubt() -> None:
    head = "rpm,sog (kn),fuel (L/h),course\n"
    pair = "3000,16,16,0\n3000,14,16,180\n"
    with_pair = steady_runs(log_of(head + pair + "5000,31,50,0\n")).runs
    assert with_pair.speed_mps[-1] == pytest.approx(30 * KNOT)
    alone = steady_runs(log_of(head + "5000,31,50,0\n"))
    assert alone.runs.speed_mps[-1] == pytest.approx(31 * KNOT)
    assert alone.runs.speed_doubt_mps[-1] > with_pair.speed_doubt_mps[-1] > 0.0
    assert any("unknown current" in said for said in alone.said)


def test_runs_at_different_loads_are_no_pair() -> None:
    text = "load,rpm,sog (kn),fuel (L/h),course\nlight,3000,16,16,0\nheavy,3000,14,16,180\n"
    assert steady_runs(log_of(text)).pairs == 0


def test_speed_through_the_water_needs_no_run_back() -> None:
    runs = steady_runs(log_of("rpm,stw (kn),fuel (L/h)\n3000,15,16\n")).runs
    assert runs.speed_doubt_mps[0] == 0.0


def test_wind_from_ahead_is_a_head_wind_and_a_pair_keeps_its_square() -> None:
    text = (
        "rpm,sog (kn),fuel (L/h),course,wind (kn),wind from\n"
        "3000,15,16,0,10,N\n3000,15,16,180,10,N\n5000,30,50,90,10,N\n"
    )
    runs = steady_runs(log_of(text)).runs
    speed, wind = 15 * KNOT, 10 * KNOT
    mean = 0.5 * ((speed + wind) ** 2 + (speed - wind) ** 2)
    assert (speed + runs.head_wind_mps[0]) ** 2 == pytest.approx(mean)
    assert runs.head_wind_mps[1] == pytest.approx(0.0, abs=1e-9)


def recording(reverse: bool = False) -> str:
    """Three throttles held 60 s each, 15 s between, one reading a second."""
    rows, t = [], 0
    for rpm, speed, burn in ((2000, 8.0, 10.0), (3500, 18.0, 20.0), (5000, 30.0, 50.0)):
        for second in range(75):
            share = min(second / 15.0, 1.0)
            wobble = math.sin(t)
            rows.append(
                f"10:{t // 60:02d}:{t % 60:02d},{rpm * share + 1500 * (1 - share) + 5 * wobble:.0f},"
                f"{speed * share + 6 * (1 - share) + 0.1 * wobble:.2f},{burn:.1f}"
            )
            t += 1
    return "time,rpm,sog (kn),fuel (L/h)\n" + "\n".join(rows[::-1] if reverse else rows) + "\n"


def test_steady_stretches_of_a_recording() -> None:
    found = steady_runs(log_of(recording()))
    assert found.runs.count == 3
    assert found.runs.engine_rpm == pytest.approx([2000, 3500, 5000], rel=0.01)
    assert found.runs.speed_mps == pytest.approx(np.array([8.0, 18.0, 30.0]) * KNOT, rel=0.02)
    assert all(40 <= rows <= 64 for rows in found.rows)  # 60 held, little of the settling


def test_a_recording_that_runs_backward_is_put_in_order_and_told() -> None:
    found = steady_runs(log_of(recording(reverse=True)))
    assert found.runs.engine_rpm == pytest.approx([2000, 3500, 5000], rel=0.01)
    assert any("runs backward" in said for said in found.said)


def test_a_recording_that_never_settles_says_so() -> None:
    rows = "\n".join(f"{t},{1000 + 40 * t},{5 + 0.25 * t},{3 + t}" for t in range(100))
    with pytest.raises(InputFaults, match="hold each throttle longer"):
        steady_runs(log_of("time (s),rpm,sog (kn),fuel (L/h)\n" + rows + "\n"))


@pytest.mark.parametrize("name", sorted(demo_logs()))
def test_every_demo_log_reads_without_a_fault(name: str) -> None:
    path = demo_logs()[name]
    assert "Simulated for the demonstration" in path.read_text(encoding="utf-8")
    log = read_log(path)
    assert log.damaged == 0 and steady_runs(log).runs.count >= 5


# --- pace ----------------------------------------------------------------------------------------------

MILLION = """
import re, sys, time
from pathlib import Path
from perf.boat.log.file import read_log
from perf.boat.log.steady import steady_runs
began = time.process_time()
log = read_log(sys.argv[1])
runs = steady_runs(log)
spent = time.process_time() - began
# the high-water mark of this process alone: getrusage remembers the one that started it
kib = re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1]
print(log.count, spent, int(kib) / 1024, runs.runs.count)
"""


def test_a_million_rows_within_five_seconds_and_500_mib(tmp_path: Path) -> None:
    """CPU seconds in a process of its own, as a neighbour's work doubles the clock on the wall."""
    block = "".join(
        f"{{t}}{i % 10},{1000 + 4 * (i // 1000 % 10) * 100},{5 + 2 * (i // 1000 % 10)}.{i % 7},{i % 50}.5,90\n"
        for i in range(10_000)
    )
    path = tmp_path / "million.csv"
    with path.open("w", encoding="ascii") as file:
        file.write("time (s),rpm,sog (kn),fuel (L/h),course\n")
        for part in range(100):
            lines = block.splitlines(keepends=True)
            file.writelines(
                line.replace("{t}", f"{(part * 10_000 + i) // 10}.") for i, line in enumerate(lines)
            )
    done = subprocess.run(
        [sys.executable, "-c", MILLION, str(path)],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    count, seconds, mebibytes, _ = done.stdout.split()
    print(f"million rows: {float(seconds):.1f} CPU s, {float(mebibytes):.0f} MiB")
    assert int(count) == 1_000_000
    assert float(seconds) <= 5.0 and float(mebibytes) <= 500.0
