"""Whatever is handed in: refused in words or read, never a traceback, never a hang; files stay whole.

Five thousand broken inputs, the same ones each time. SPOILED=100000 asks for more.
"""

import ast
import io
import math
import os
import random
import re
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from perf.base import files
from perf.base.faults import InputFaults, ReadingError
from perf.base.files import harmless_name, write_whole
from perf.base.folding import fold, unfold
from perf.base.spellings import KINDS
from perf.base.units import read
from perf.boat import catalog, changes
from perf.boat.boatfile import read_boat
from perf.boat.checking import check_file
from perf.boat.choice.duty import read_duty
from perf.boat.choice.file import read_candidates
from perf.boat.log.file import log_columns, read_log
from perf.boat.scenario import file as scenario_file
from perf.boat.scenario.parts import KeptTold, Scenario, Told
from perf.boat.scenario.writer import write_scenario
from perf.boat.trip.file import demo_trips, read_trip
from perf.faces.dashboard.words import file_stem, plain
from perf.studies.trip.link import pack, unpack

HERE = Path(__file__).parent
PERF = HERE.parent / "perf"
INPUTS = int(os.environ.get("SPOILED", "5000"))
MOST_SECONDS = 1.0  # of processor time, for any one input
DATA = catalog.data_folder()
BOAT = read_boat(catalog.demo_boats()["number_four"])
LOG = (
    "time,speed (mph),rpm,fuel flow (gal/h)\n"
    + "".join(
        f"12:{s // 60:02}:{s % 60:02},{10 + s / 40:.1f},{2000 + 8 * s},{3 + s / 50:.2f}\n"
        for s in range(0, 240, 4)
    )
).encode()

NASTY = [
    b"nan", b"inf", b"-inf", b"1e999", b"-1e308", b"9" * 400, b"0", b"-1", b"1/0", b"9**9**9", b"0x10", b"1_000",
    b"7,10 ft", b"8 1/2", b"6 in 8 ft", b"12 ft \xc2\xb1 200 %", b"\xc2\xb1", b"+/-", b"1.2.3 ft", b"3 ft 3 ft", b"1/0 in",
    b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\xf0\x9f\x9a\xa4", b"\xe2\x80\xae", b"\x1b[2J", b"\\u001b[2J", b"\\U0010ffff",
    b'"', b"'", b'"""', b"'''", b"=", b"[", b"]", b"[[", b"{", b"}", b"#", b"\n", b"\r", b"\r\n", b"\t", b",", b";", b"\\",
    b"[" * 900, b"{a=" * 300, b"a." * 400, b"[a]\n" * 20, b"true", b"1979-05-27T07:32:00Z", b"99:99:99", b"2026-13-45",
    b"__import__('os').system('x')", b"<script>alert(1)</script>", b"=cmd|' /C x'!A0", b"../../etc/passwd", b"%s%n{0}",
    "１２ ｆｔ".encode(), "٣ ft".encode(), "²".encode(), "Ⅻ".encode(), "½ in".encode(), "12 ft 6½ in".encode(),
]  # fmt: skip


def spoil(content: bytes, chance: random.Random) -> bytes:
    """One to four hurts done to an input."""
    for _ in range(chance.randint(1, 4)):
        content = chance.choice(HURTS)(content, chance)
    return content


def _put_nasty(content: bytes, chance: random.Random) -> bytes:
    at = chance.randint(0, len(content))
    return content[:at] + chance.choice(NASTY) + content[at:]


def _nasty_value(content: bytes, chance: random.Random) -> bytes:
    """Something strange where a value stood: the deepest a broken file gets."""
    found = list(re.finditer(rb'"[^"\n]*"|(?<=[=,])[^,"\n]+|(?<==)[^\n]+', content))
    if not found:
        return _put_nasty(content, chance)
    one = chance.choice(found)
    new = chance.choice(NASTY)
    if one.group().startswith(b'"') and chance.random() < 0.7:
        new = b'"' + new + b'"'
    return content[: one.start()] + new + content[one.end() :]


def _flip(content: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(content)) if content else 0
    return content[:at] + bytes([chance.randrange(256)]) + content[at + 1 :]


def _cut(content: bytes, chance: random.Random) -> bytes:
    start = chance.randint(0, len(content))
    return content[:start] + content[start + chance.randint(0, 60) :]


def _cut_short(content: bytes, chance: random.Random) -> bytes:
    return content[: chance.randint(0, len(content))]


def _lines(content: bytes, chance: random.Random) -> bytes:
    """A line twice, taken out, or moved."""
    lines = content.splitlines(keepends=True)
    if not lines:
        return content
    one = lines[chance.randrange(len(lines))]
    way = chance.randrange(3)
    if way:
        lines.remove(one)
    if way != 1:
        lines.insert(chance.randint(0, len(lines)), one)
    return b"".join(lines)


def _number(content: bytes, chance: random.Random) -> bytes:
    """Another number where one stood."""
    found = list(re.finditer(rb"\d+(\.\d+)?", content))
    if not found:
        return content
    one = chance.choice(found)
    new = chance.choice(
        [b"0", b"-3", b"1e9", b"0.0000001", b"99999", b"1", b"%d" % chance.randint(-500, 5000)]
    )
    return content[: one.start()] + new + content[one.end() :]


def _unit(content: bytes, chance: random.Random) -> bytes:
    """Another unit where one stood."""
    found = list(re.finditer(rb"(?<=\d )[a-z%/]+", content))
    if not found:
        return content
    one = chance.choice(found)
    new = chance.choice(
        [b"ft", b"in", b"lb", b"kg", b"gal", b"hp", b"kn", b"mph", b"%", b"deg", b"bananas", b""]
    )
    return content[: one.start()] + new + content[one.end() :]


def _double(content: bytes, chance: random.Random) -> bytes:
    return content + content if len(content) < 30_000 else content


HURTS: list[Callable[[bytes, random.Random], bytes]] = [
    _put_nasty, _nasty_value, _nasty_value, _flip, _cut, _cut_short, _lines, _number, _number, _unit, _double,
]  # fmt: skip


def workbook() -> bytes:
    from openpyxl import Workbook

    book = Workbook()
    for line in LOG.decode().splitlines():
        book.active.append(line.split(","))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def quantity(data: bytes, name: str) -> object:
    return read(data.decode("utf-8", "replace"), name)


def typed(data: bytes, name: str) -> object:
    text = data.decode("utf-8", "replace")
    return {
        "power": changes.read_power,
        "pitch": changes.read_pitch,
        "tank": lambda t: changes.read_tank(t, BOAT),
    }[name](text)


def link(data: bytes, name: str) -> object:
    boat, trip = unpack(data.decode("latin-1"))
    return read_boat(boat, name=name), read_trip(trip, name=name)


def along(data: bytes, name: str) -> object:
    body = unfold(data.decode("latin-1"), 12_000, scenario_file.CAPS.most_bytes, "ask again")
    return scenario_file.read_scenario(body, name=name)


def checked(data: bytes, name: str) -> object:
    return check_file(data, name, BOAT).rows


def log(data: bytes, name: str) -> object:
    log_columns(data, name=name)
    return read_log(data, name=name)


def first_rows(content: bytes) -> bytes:
    """The heading and some rows of a catalogue, without its remarks."""
    return b"".join(
        [one for one in content.splitlines(keepends=True) if not one.startswith(b"#")][:9]
    )


def everything(whole: bool) -> bytes:
    """All of one boat with one kept beside her, and a trip."""
    kept = KeptTold("Number One", Told(demo="number_one", load=""))
    told = Told(catalog.demo_boats()["number_four"].read_bytes(), load="alone", power="200 hp")
    trip = demo_trips()["out_and_back"].read_text(encoding="utf-8")
    found = Scenario("Number Four", told, kept=(kept,), trip=trip)
    return write_scenario(found, whole=whole).encode()


CATALOGUE = {"engines": catalog.read_engines, "propellers": catalog.read_propellers, "hulls": catalog.read_hulls,
             "sources": catalog.read_sources}  # fmt: skip
Case = tuple[Callable[[bytes, str], object], str, bytes]


@cache
def readers() -> dict[str, list[Case]]:
    """Each reader with the good inputs it is spoiled from."""
    boats = [path.read_bytes() for path in catalog.demo_boats().values()]
    trips = [path.read_bytes() for path in demo_trips().values()]
    duties = catalog.demo_duties()["number_four"].read_bytes()
    candidates = catalog.demo_candidates()["number_four"].read_bytes()
    heads = {kind: first_rows((DATA / f"{kind}.csv").read_bytes()) for kind in CATALOGUE}
    return {
        "boat": [(lambda d, n: read_boat(d, name=n), "boat.toml", b) for b in boats],
        "trip": [(lambda d, n: read_trip(d, BOAT, name=n), "trip.toml", t) for t in trips],
        "duty": [(lambda d, n: read_duty(d, BOAT, name=n), "duty.toml", duties)],
        "candidates": [
            (lambda d, n: read_candidates(d, BOAT, name=n), name, content)
            for name, content in (("them.toml", candidates), ("them.csv", heads["engines"]))
        ],
        "catalogue": [
            (lambda d, n, r=CATALOGUE[kind]: r(d, name=n), kind, heads[kind]) for kind in CATALOGUE
        ],
        "quantity": [
            (quantity, name, kind.example.encode())
            for name, kind in KINDS.items()
            if name != "text"
        ],
        "typed": [
            (typed, "power", b"225 hp"),
            (typed, "pitch", b"15 in"),
            (typed, "tank", b"60 gal"),
            (typed, "tank", b"1/2"),
        ],
        "link": [(link, "link", pack(boats[0], trips[0]).encode())],
        "scenario": [
            (lambda d, n: scenario_file.read_scenario(d, name=n), "all.toml", everything(whole))
            for whole in (True, False)
        ],
        "along": [(along, "link", fold(everything(False)).encode())],
        "checked": [
            (checked, "file", content)
            for content in (
                boats[3],
                trips[0],
                duties,
                candidates,
                heads["engines"],
                LOG,
                everything(True),
            )
        ],
        "log": [
            (log, "log.csv", LOG),
            (log, "log.csv", LOG.replace(b",", b";")),
            (log, "log.xlsx", workbook()),
        ],
    }


SHARE = {
    "boat": 4,
    "trip": 3,
    "duty": 1,
    "candidates": 1,
    "catalogue": 3,
    "quantity": 6,
    "typed": 2,
    "link": 2,
    "log": 2,
    "scenario": 2,
    "along": 1,
    "checked": 2,
}


def not_finite(value: object, where: str = "") -> list[str]:
    """Where a value that was read as good holds no number."""
    if isinstance(value, float):
        return [] if math.isfinite(value) else [where]
    if isinstance(value, dict):
        return [bad for key, one in value.items() for bad in not_finite(one, f"{where}.{key}")]
    if isinstance(value, (tuple, list)):
        return [
            bad for place, one in enumerate(value) for bad in not_finite(one, f"{where}[{place}]")
        ]
    if is_dataclass(value) and not isinstance(value, type):
        return [
            bad
            for part in fields(value)
            for bad in not_finite(getattr(value, part.name), f"{where}.{part.name}")
        ]
    return []


def strange_signs(text: str) -> list[str]:
    """Control signs in a message, which a terminal would obey."""
    return [sign for sign in text if not sign.isprintable() and sign != "\n"]


@pytest.mark.parametrize("kind", sorted(SHARE))
@pytest.mark.timeout(7200 if INPUTS > 5000 else 240)
def test_broken_inputs_are_refused_in_words(kind: str) -> None:
    chance = random.Random(f"{kind} 1")
    count = INPUTS * SHARE[kind] // sum(SHARE.values())
    said: Counter[str] = Counter()
    for case in range(count):
        reader, name, good = chance.choice(readers()[kind])
        bad = spoil(good, chance)
        started = time.thread_time()
        try:
            value = reader(bad, name)
        except InputFaults as why:
            assert why.faults
            message = why.as_text()
            said["refused"] += 1
        except ReadingError as why:
            message = str(why)
            said["refused"] += 1
        except BaseException as why:
            pytest.fail(f"{kind} {case}: {type(why).__name__}: {why}\n{bad[:600]!r}")
        else:
            message = "read"
            said["read"] += 1
            if kind not in ("log",):  # a log may have gaps
                assert not_finite(value) == [], (case, bad[:600])
        spent = time.thread_time() - started
        assert spent < MOST_SECONDS, (case, spent, bad[:600])
        assert message.strip()
        assert strange_signs(message) == [], (case, message)
    assert said["refused"] > count // 10, said  # the hurts do hurt


def test_the_good_inputs_are_read() -> None:
    for kind, cases in readers().items():
        for reader, name, good in cases:
            if (
                name != "them.csv"
            ):  # an engines' catalogue is no list of candidates: only its shape is used
                assert reader(good, name) is not None, kind


def test_what_would_hang_a_careless_reader_is_refused_at_once() -> None:
    huge = [b"a=" + b"[" * 30_000, b"[a]\n" * 16_000, b'a="' + b"x" * 60_000 + b'"', b"9" * 60_000, b"{" * 60_000,
            b"a" * 70_000, b"a." * 30_000 + b"b=1", b"\n" * 64_000, b'"' * 64_000]  # fmt: skip
    for kind, cases in readers().items():
        reader, name, _ = cases[0]
        for bad in huge:
            started = time.thread_time()
            with pytest.raises((InputFaults, ReadingError)):
                reader(bad, name)
            assert time.thread_time() - started < MOST_SECONDS, (kind, bad[:20])


def test_the_largest_file_of_everything_does_not_hang_either() -> None:
    many = [b"[a%d]\n" % n for n in range(60_000)]
    for body in (b'[boat]\ntext = """\n' + b"\\\\\n" * 80_000 + b'"""\n', b'"""\n' * 60_000, b'a="""\\' * 40_000,
                 b"".join(many), b"[a]\n" * 60_000, b"x=[\n" * 60_000, b"'''\n" * 60_000, b'x = "\n' * 50_000,
                 b"[kept.a.b.c.d]\n" * 16_000, b"a.b=1\n" * 40_000, b'"\n' * 120_000):  # fmt: skip
        bad = (b'format = 1\nscenario = "x"\n' + body)[: scenario_file.CAPS.most_bytes]
        started = time.thread_time()
        with pytest.raises(InputFaults):
            check_file(bad, "x", BOAT)
        assert time.thread_time() - started < MOST_SECONDS, body[:20]


# --- files and their names ----------------------------------------------------------------------------


@pytest.mark.parametrize("stop", ["write", "rename", "disk"])
def test_a_write_that_is_stopped_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop: str
) -> None:
    path = tmp_path / "result.json"
    write_whole(path, "old and whole")

    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    if stop == "write":

        class Half(io.FileIO):
            def write(self, data: bytes) -> int:
                super().write(data[: len(data) // 2])
                raise OSError(28, "No space left on device")

        monkeypatch.setattr(files.os, "fdopen", lambda handle, _: Half(handle, "wb"))
    elif stop == "rename":
        monkeypatch.setattr(Path, "replace", stopped)
    else:
        monkeypatch.setattr(files.os, "fsync", stopped)
    with pytest.raises((OSError, KeyboardInterrupt)):
        write_whole(path, b"new " * 10_000)
    assert path.read_text() == "old and whole"
    assert [one.name for one in tmp_path.iterdir()] == ["result.json"]


def test_a_killed_writer_leaves_the_old_file(tmp_path: Path) -> None:
    import subprocess
    import sys

    path = tmp_path / "boat.toml"
    write_whole(path, "old and whole")
    code = (
        "import os, sys\nfrom perf.base import files\n"
        "files.os.fsync = lambda _: os.kill(os.getpid(), 9)\n"  # written beside, not yet in place
        "files.write_whole(sys.argv[1], b'new ' * 100000)\n"
    )
    ended = subprocess.run([sys.executable, "-c", code, str(path)], cwd=HERE.parent)
    assert ended.returncode == -9
    assert path.read_text() == "old and whole"


def test_rights_links_and_new_files(tmp_path: Path) -> None:
    path, other = tmp_path / "a.csv", tmp_path / "link.csv"
    write_whole(path, b"one")
    assert path.stat().st_mode & 0o777 == 0o666 & ~_mask()
    path.chmod(0o640)
    other.symlink_to(path)
    write_whole(other, "two\n")
    assert other.is_symlink()
    assert path.read_bytes() == b"two\n"
    assert path.stat().st_mode & 0o777 == 0o640
    with pytest.raises(OSError, match="No such file"):
        write_whole(tmp_path / "nowhere" / "a.csv", b"")
    with pytest.raises(IsADirectoryError):
        write_whole(tmp_path, b"")
    write_whole(Path("/dev/null"), b"gone")


def _mask() -> int:
    mask = os.umask(0o022)
    os.umask(mask)
    return mask


NAMES = ["../../etc/passwd", "..\\..\\boot.ini", "/etc/shadow", "C:\\boat.toml", "a\x00b\x1b[2J.toml", "\u202egnp.toml",
         "x" * 5000 + ".toml", "", "..", ".", "CON", "<b>.toml", "a\nb\rc", "[y](http://z.example) :skull:"]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_a_file_name_is_never_trusted(name: str) -> None:
    said = harmless_name(name, "boat file")
    assert said and len(said) <= 80 and said.isprintable()
    assert not set("/\\") & set(said) and said not in (".", "..")
    assert re.fullmatch(r"[a-z0-9_]{1,60}", file_stem(name))
    assert strange_signs(plain(name).replace("\u2060", "")) == []
    with pytest.raises(InputFaults) as refused:
        read_boat(b"[", name=name or "x")
    assert strange_signs(str(refused.value)) == []


# --- what the code may not do -------------------------------------------------------------------------

MODULES = sorted(PERF.rglob("*.py"))
FORBIDDEN = {
    "pickle",
    "marshal",
    "shelve",
    "dill",
    "joblib",
    "cloudpickle",
    "subprocess",
    "pty",
    "ctypes",
    "code",
    "socket",
}
CALLS = {"eval", "exec", "compile", "__import__", "breakpoint"}
ATTRIBUTES = {
    "system",
    "popen",
    "read_pickle",
    "to_pickle",
    "parse_expression",
    "spawnv",
    "execv",
    "load_module",
}
WRITES = {
    "write_text",
    "write_bytes",
    "to_csv",
    "to_json",
    "to_excel",
    "tofile",
    "savez",
    "savetxt",
}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PERF)))
def test_no_code_runs_what_it_reads(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, (ast.Import, ast.ImportFrom)):
            named = (
                [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else [a.name for a in node.names]
            )
            assert not {name.partition(".")[0] for name in named} & FORBIDDEN, (path, node.lineno)
        if isinstance(node, ast.Call):
            name = node.func.id if isinstance(node.func, ast.Name) else ""
            attribute = node.func.attr if isinstance(node.func, ast.Attribute) else ""
            assert name not in CALLS, (path, node.lineno)
            assert attribute not in ATTRIBUTES, (path, node.lineno)
            if path.name != "files.py":
                assert attribute not in WRITES - {"to_csv"}, (path, node.lineno)
                if attribute == "to_csv":  # as text, not to a path
                    assert not node.args, (path, node.lineno)
                if attribute == "savefig":  # into memory
                    assert any(word.arg == "format" for word in node.keywords), (path, node.lineno)
                if name == "open" or attribute == "open":
                    modes = [a.value for a in node.args if isinstance(a, ast.Constant)]
                    assert not any(
                        set(str(mode)) & set("wax+")
                        for mode in modes
                        if str(mode) in ("w", "wb", "a", "ab", "x", "xb", "r+", "w+")
                    ), (path, node.lineno)


def test_pickles_in_arrays_stay_shut() -> None:
    for path in MODULES:
        assert "allow_pickle=True" not in path.read_text(encoding="utf-8"), path
    assert np.load.__kwdefaults__ is None or not np.load.__kwdefaults__.get("allow_pickle", False)


def test_the_server_is_for_this_machine_alone_and_uploads_are_small() -> None:
    import tomllib

    said = tomllib.loads((HERE.parent / ".streamlit" / "config.toml").read_text(encoding="utf-8"))
    assert said["server"]["address"] == "127.0.0.1"
    assert said["server"]["maxUploadSize"] <= 64
    assert said["client"]["showErrorDetails"] == "none"
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "file_uploader":
                given = {word.arg for word in node.keywords}
                assert {"type", "max_upload_size"} <= given, (path, node.lineno)
