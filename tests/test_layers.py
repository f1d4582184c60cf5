"""The folders are the layers: an import only ever goes down, and some packages stay at their door."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ORDER = ["base", "laws", "boat", "solve", "studies", "faces"]
DOORS = {  # a package and the only files that may import it
    "pint": ("base/units.py",),
    "streamlit": ("faces/dashboard/",),
    "altair": ("faces/screen.py", "faces/spots_screen.py"),
    "matplotlib": (
        "faces/printed/paper.py",
        "faces/printed/sheet.py",
        "faces/printed/side_view_paper.py",
        "faces/printed/axes.py",
        "faces/printed/spots_paper.py",
    ),
    "pydantic": ("boat/",),
}
FILES = sorted((ROOT / "perf").rglob("*.py"))


def imports(path: Path) -> set[str]:
    """Every module a file imports, inside functions too."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module} | {f"{node.module}.{name.name}" for name in node.names}
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_go_down(path: Path) -> None:
    parts = path.relative_to(ROOT / "perf").parts
    if len(parts) == 1:  # perf/__init__.py stands on top of all
        return
    layer = ORDER.index(parts[0])
    for module in imports(path):
        pieces = module.split(".")
        if pieces[0] == "perf" and len(pieces) > 1 and pieces[1] in ORDER:
            assert ORDER.index(pieces[1]) <= layer, f"{path}: {module} is above it"


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(ROOT)))
def test_packages_stay_at_their_door(path: Path) -> None:
    inside = str(path.relative_to(ROOT / "perf"))
    for module in imports(path):
        doors = DOORS.get(module.split(".")[0])
        if doors:
            assert inside.startswith(doors), f"{inside} imports {module}"
        assert "pyplot" not in module


def test_laws_never_see_a_boat() -> None:
    for path in (ROOT / "perf" / "laws").glob("*.py"):
        assert not any(m.startswith("perf.boat") for m in imports(path)), path


def test_lanes_stay_apart() -> None:
    """No matrix product and no sum over an axis where lanes live: a lane alone equals the lane in a crowd."""
    for layer in ("laws", "solve"):
        for path in (ROOT / "perf" / layer).glob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                assert not (isinstance(node, ast.BinOp) and isinstance(node.op, ast.MatMult)), path
                if isinstance(node, ast.Attribute):
                    assert node.attr not in {"dot", "einsum", "matmul", "tensordot"}, (
                        f"{path}: {node.attr}"
                    )
