"""Would anybody notice? Every numeric constant of perf/laws is moved by 2 %, one at a time.

    python tests/mutation.py            counts, file by file; fails when more pass unnoticed than may
    python tests/mutation.py --list     every unguarded constant with its place
    python tests/mutation.py --write    keeps the counts in hull_data/mutation.csv for the evidence

A mutant is a fresh copy of one module of laws (and of the modules of laws that import it), held to
the rows of tests/oracle that belong to the laws in them, and to the rows of tests/oracle/named that
hold what is no law (named constants, helpers); it is noticed when a row fails or the module no longer
loads. Cells of the coefficient tables are moved too, a sample of each file.

Left out, each with its reason:
    zero          2 % of nothing is nothing
    span          stated ranges in @law(...) and Span(...): data about the law, held by the cautions' tests
    place         indexes, shapes, counts of turns and letters: not physics
    stop          tolerances and ends of an inner search: they move a root by less than is printed
    excused       lines of EXCUSED below, each with its own reason
"""

from __future__ import annotations

import argparse
import ast
import csv
import json
import sys
import time
import types
from collections import Counter
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

import perf.laws  # noqa: E402
from perf.base import sources, tables  # noqa: E402
from perf.studies.evidence.law_checks import gap, oracle_rows, read_all_laws  # noqa: E402

MOST = 12  # unguarded constants; may only fall
MOVE = 1.02
SAMPLE = 12  # cells of each coefficient table
KEPT = ROOT / "hull_data" / "mutation.csv"
LAWS = Path(perf.laws.__path__[0])
STOPS = {"tolerance", "xatol", "xrtol", "atol", "rtol", "maxiter", "jump", "turns"}
PLACES = {"axis", "shape", "dtype", "maxsize", "slots", "ndigits", "strict", "count", "repeats"}
START = "where an inner search starts or how it steps: the root is the same"
HAIR = "a hair against rounding"
ENDS = "our choice of where methods meet: the tests of the join move it by a quarter"
OWN = "our own choice: no published value to hold it to; the tests of calibration hold it"
EXCUSED = {
    "air.py": {f'"{top}": 0': OWN for top in ("none", "hard top", "half tower", "canvas", "tower")},
    "dry_chines.py": {"r = np.sqrt(deadrise_lift": START, "slope = 2.0 + buoyant * r": START},
    "planing.py": {
        "x = np.minimum(load / 0.0120": START,
        "w = np.sqrt(np.power(deadrise_lift": START,
        "bend = excess * w": START,
        "w = w - 2.0 * excess": START,
        "x = x - 2.0 * excess": START,
    },
    "friction.py": {
        "root = 3.5 * decades - 5.96": START,
        **{f'"{bottom}": 0': OWN for bottom in ("slime", "weed", "shell")},
    },
    "hull_lines.py": {"_NEAREST = 1e-9": HAIR},
    "hydrostatics.py": {"_FLATTEST = 1e-12": HAIR},
    "technology.py": {
        "if text.startswith(": HAIR,
        "LEAST_FRICTION = 0.02": OWN,
        "FULL_SIZE_W = {": "any power in the same bin of the agency's table does",
    },
    "lower_unit.py": {"line = np.where(reynolds > 100.0": "far below any leg's Reynolds number"},
    "semiplaning.py": {"_LEAST_RESIDUARY = 0.0001": HAIR},
    "rules.py": {
        "HAIR = 1e-9": HAIR,
        "return np.asarray(np.floor(np.maximum(least, 0.0)": HAIR,
        "TABLE_FACTOR = np.array(": "whole numbers are looked up: 2 % of them is less than one",
        "remote, flat = np.asarray(": "a yes or no, 1 or 0",
    },
    "engine.py": {
        "_END = 1.2": "the end of the table",
        "ends = np.array([[float(curve(x[-1]))": "an order of derivative, whole",
        "_AT_RATED = np.array([float(": "which of the two curves, whole",
        "piece = np.minimum((inside * 10.0)": "ten pieces in one: the layout of the table",
    },
    "propeller.py": {
        "np.where(depth >= 1.3": "past it the loss of the formula is nothing already",
        'TERMS["kca"], pitch_ratio, area_ratio, 3.0': "the series has no term in blades",
    },
    "join.py": {
        "rest: float": ENDS,
        "displacement: float": ENDS,
        "series: float": ENDS,
        "mix: tuple": ENDS,
        "planing: tuple": ENDS,
        "trim_planing: tuple": ENDS,
    },
}
COUNTERS = {"range", "reshape", "repeat", "tile", "zeros", "ones", "empty", "split", "take", "int"}


@dataclass(frozen=True)
class Spot:
    """One constant: its place in the file, or the cell of a table."""

    file: str
    line: int
    column: int
    value: float

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column + 1}  {self.value!r}"


# --- what is moved and what is left out -----------------------------------------------------------


def spots(name: str) -> tuple[list[Spot], Counter]:
    """Constants of a module of laws that are moved, and how many are left out for which reason."""
    tree = ast.parse(_text(name))
    left_out, lines = reasons(tree), _text(name).splitlines()
    excused = EXCUSED.get(f"{name}.py", {})
    found, skipped = [], Counter()
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or type(node.value) not in (int, float):
            continue
        line = lines[node.lineno - 1]
        why = "zero" if node.value == 0 else left_out.get(id(node))
        if why is None and any(part in line for part in excused):
            why = "excused"
        if why:
            skipped[why] += 1
        else:
            found.append(Spot(f"{name}.py", node.lineno, node.col_offset, node.value))
    return found, skipped


@cache
def _text(name: str) -> str:
    return (LAWS / f"{name}.py").read_text(encoding="utf-8")


def stale_excuses() -> list[str]:
    """Excuses whose line is no longer there."""
    return [
        f"{file}: {part}"
        for file, parts in EXCUSED.items()
        for part in parts
        if part not in _text(file.removesuffix(".py"))
    ]


def reasons(tree: ast.Module) -> dict[int, str]:
    """Why constants inside some expressions are left out, by the id of their node."""
    why: dict[int, str] = {}

    def mark(part: ast.AST, reason: str) -> None:
        for node in ast.walk(part):
            if isinstance(node, ast.Constant):
                why.setdefault(id(node), reason)

    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            for decorator in node.decorator_list:
                mark(decorator, "span")
        elif isinstance(node, ast.Subscript):
            mark(node.slice, "place")
        elif isinstance(node, ast.keyword) and node.arg in STOPS | PLACES:
            mark(node.value, "stop" if node.arg in STOPS else "place")
        elif isinstance(node, ast.Call):
            called = node.func
            named = called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")
            if named == "Span":
                mark(node, "span")
            elif named in COUNTERS:
                for argument in node.args:
                    mark(argument, "place")
        elif isinstance(node, ast.Compare) and any(
            isinstance(side, ast.Attribute) and side.attr in ("ndim", "size")
            for side in (node.left, *node.comparators)
        ):
            mark(node, "place")
    return why


# --- copies of the modules ------------------------------------------------------------------------


@cache
def imports_of(name: str) -> frozenset[str]:
    """Modules of laws that a module of laws imports."""
    found = set()
    for node in ast.walk(ast.parse(_text(name))):
        if isinstance(node, ast.ImportFrom) and node.module == "perf.laws":
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("perf.laws."):
            found.add(node.module.removeprefix("perf.laws."))
    return frozenset(found & set(modules()))


@cache
def modules() -> tuple[str, ...]:
    return tuple(sorted(path.stem for path in LAWS.glob("*.py") if path.stem != "__init__"))


@cache
def users_of(names: frozenset[str]) -> tuple[str, ...]:
    """The modules and all that import them, each after what it imports."""
    wanted = set(names)
    while more := {n for n in modules() if imports_of(n) & wanted} - wanted:
        wanted |= more
    ordered: list[str] = []
    while len(ordered) < len(wanted):
        ordered += [
            n for n in sorted(wanted - set(ordered)) if not (imports_of(n) & wanted) - set(ordered)
        ]
    return tuple(ordered)


@cache
def code_of(name: str) -> types.CodeType:
    return compile(_text(name), str(LAWS / f"{name}.py"), "exec")


def moved_code(spot: Spot) -> types.CodeType:
    """The module's code with one constant moved."""
    tree = ast.parse(_text(spot.file.removesuffix(".py")))
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and (node.lineno, node.col_offset) == (
            spot.line,
            spot.column,
        ):
            node.value = node.value * MOVE
    return compile(tree, str(LAWS / spot.file), "exec")


def named_rows() -> list[dict]:
    """Rows that hold what is no law: an expression of a module of laws, and what it must be."""
    path = ROOT / "tests" / "oracle" / "named" / "values.json"
    return json.loads(path.read_text(encoding="utf-8"))


def named_gap(row: dict, module: types.ModuleType) -> float:
    """Greatest error of a named row over its tolerance."""
    value = eval(row["what"], {**vars(module), "np": np})
    return gap(lambda: value, row | {"given": {}})


class Bench:
    """Loads copies of modules of laws without registering them, and holds them to their rows."""

    def __init__(self) -> None:
        read_all_laws()
        self.home = {
            name: law.function.__module__.rpartition(".")[2] for name, law in sources.LAWS.items()
        }
        rows = [row for _, row in oracle_rows() if row["law"] in self.home]
        # a row that fails as things stand would notice everything, and so guards nothing
        self.rows = [row for row in rows if gap(sources.LAWS[row["law"]].function, row) <= 1.0]
        self.named = named_rows()
        self.real = {name: sys.modules[f"perf.laws.{name}"] for name in modules()}
        self.read = cache(tables.read_table)
        self.readers: dict[str, set[str]] = {}

    def noticed(self, changed: frozenset[str], code: dict[str, types.CodeType], read=None) -> bool:
        """Whether some row fails once the changed modules, and all that import them, are loaded anew."""
        order = users_of(changed)
        sources.law, law = lambda *_: lambda function: function, sources.law
        tables.read_table, read_table = read or self.read, tables.read_table
        try:
            copies = {}
            for name in order:
                copy = types.ModuleType(f"perf.laws.{name}")
                copy.__file__ = str(LAWS / f"{name}.py")
                sys.modules[copy.__name__] = copies[name] = copy
                setattr(perf.laws, name, copy)
                exec(code.get(name) or code_of(name), copy.__dict__)
            return any(self.fails(row, copies) for row in self.rows_of(order)) or any(
                not named_gap(row, copies[row["file"]]) <= 1.0
                for row in self.named
                if row["file"] in copies
            )
        except Exception:  # a module that does not load, or a law that raises
            return True
        finally:
            sources.law, tables.read_table = law, read_table
            for name in order:
                sys.modules[f"perf.laws.{name}"] = self.real[name]
                setattr(perf.laws, name, self.real[name])

    @cache  # noqa: B019
    def rows_of(self, names: tuple[str, ...]) -> list:
        return [row for name in names for row in self.rows if self.home[row["law"]] == name]

    def fails(self, row: dict, copies: dict) -> bool:
        function = getattr(copies[self.home[row["law"]]], row["law"])
        return not gap(function, row) <= 1.0

    # --- coefficient tables

    def tables_read(self) -> dict[str, frozenset[str]]:
        """Coefficient tables by name, with the modules of laws that read each."""
        found: dict[str, set[str]] = {}
        for name in modules():
            seen: set[str] = set()

            def read(table: str, seen: set[str] = seen) -> tables.Table:
                seen.add(table)
                return self.read(table)

            # only this module is loaded anew, so what is read is its own
            sources.law, law = lambda *_: lambda function: function, sources.law
            tables.read_table, read_table = read, tables.read_table
            try:
                exec(code_of(name), types.ModuleType(f"perf.laws.{name}").__dict__)
            finally:
                sources.law, tables.read_table = law, read_table
            for table in seen:
                found.setdefault(table, set()).add(name)
        return {table: frozenset(names) for table, names in found.items()}

    def cell_noticed(
        self, table: tables.Table, at: int, column: str, users: frozenset[str]
    ) -> bool:
        rows = [dict(row) for row in table.rows]
        rows[at][column] = repr(float(rows[at][column]) * MOVE)
        moved = replace(table, rows=tuple(rows))
        return self.noticed(
            users, {}, lambda name: moved if name == table.name else self.read(name)
        )


WHOLE = {"n", "s", "t", "u", "v"}  # numbers of terms and powers: whole, and read as such
OURS = {"technology.csv"}  # our own choices, held by the tests of calibration


def cells(table: tables.Table) -> list[tuple[int, str]]:
    """A spread sample of the cells that hold a number other than nought."""
    found = []
    for at, row in enumerate(table.rows):
        for column in table.columns:
            if column in WHOLE or table.name.rpartition("/")[2] in OURS:
                continue
            try:
                if float(row[column]) != 0.0:
                    found.append((at, column))
            except ValueError:
                continue
    step = max(len(found) / SAMPLE, 1.0)
    return [found[int(k * step)] for k in range(min(SAMPLE, len(found)))]


# --- the count -----------------------------------------------------------------------------------


def count() -> tuple[list[dict[str, object]], list[str], Counter]:
    """A line for each file, the unguarded constants, and what was left out for which reason."""
    bench, lines, open_, left = Bench(), [], [], Counter()
    for name in modules():
        found, skipped = spots(name)
        unguarded = [
            str(spot)
            for spot in found
            if not bench.noticed(frozenset({name}), {name: moved_code(spot)})
        ]
        lines.append(_line(f"laws/{name}.py", len(found), len(unguarded), skipped.total()))
        open_ += unguarded
        left += skipped
    for table_name, users in sorted(bench.tables_read().items()):
        table = bench.read(table_name)
        tried = cells(table)
        unguarded = [
            f"{table_name} row {at + 1} {column}  {table.rows[at][column]}"
            for at, column in tried
            if not bench.cell_noticed(table, at, column, users)
        ]
        lines.append(_line(table_name, len(tried), len(unguarded), 0))
        open_ += unguarded
    return lines, open_, left


def _line(file: str, constants: int, unguarded: int, excluded: int) -> dict[str, object]:
    return {"file": file, "constants": constants, "unguarded": unguarded, "excluded": excluded}


def write(lines: list[dict[str, object]]) -> None:
    with KEPT.open("w", encoding="utf-8", newline="") as file:
        file.write(
            "# Numeric constants of the laws (and sampled cells of their tables) moved by 2 % one at a time,"
            " and how many moves no row of tests/oracle noticed; written by tests/mutation.py.\n"
        )
        writer = csv.DictWriter(file, list(lines[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(lines)


def kept() -> list[dict[str, object]]:
    return [
        row | {key: int(row[key]) for key in ("constants", "unguarded", "excluded")}
        for row in tables.read_table("mutation.csv").rows
    ]


def main() -> int:
    asked = argparse.ArgumentParser()
    asked.add_argument("--list", action="store_true")
    asked.add_argument("--write", action="store_true")
    words = asked.parse_args()
    if stale := stale_excuses():
        print("EXCUSED names lines that are gone:", *stale, sep="\n  ")
        return 1
    begin = time.process_time()
    with np.errstate(all="ignore"):
        lines, unguarded, left = count()
    for line in lines:
        print(
            f"{line['file']:<40} {line['constants']:>5} constants {line['unguarded']:>5} unguarded"
        )
    if words.list:
        print("\n".join(unguarded))
    whole = sum(int(line["constants"]) for line in lines)
    print(
        f"{whole} moved, {len(unguarded)} unguarded (may not pass {MOST}); left out: "
        + ", ".join(f"{n} {why}" for why, n in sorted(left.items()))
        + f"; {time.process_time() - begin:.0f} s of processor"
    )
    if words.write:
        write(lines)
    elif lines != kept():
        print("hull_data/mutation.csv is stale: run tests/mutation.py --write")
        return 1
    return 1 if len(unguarded) > MOST else 0


if __name__ == "__main__":
    sys.exit(main())
