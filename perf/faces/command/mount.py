"""The command that hangs an engine: what it asks for, and how it shows the answer."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from perf.faces.command.asked import RANGE, Refusal, boat_of, is_folder, read_one, read_range, whole

if TYPE_CHECKING:
    from perf.base.results import Result
    from perf.boat.parts import Boat

LEAST_DRAWS, MOST_DRAWS = 20, 2000
MOST_ROWS = 400  # combinations of setback and height
EDGES = ("scupper", "sole", "splash_well")


def mount_options(parser: argparse.ArgumentParser) -> None:
    """Everything `overhump mount` takes."""
    add = parser.add_argument
    add("boat", metavar="BOAT", help="a boat file, or the name of a demo boat")
    add("--load", metavar="NAME", help="one of the boat's own loads (the one the file names)")
    add("--setback", metavar=RANGE, help='such as "0:36:6in" (on the transom and as she is)')
    add(
        "--height",
        metavar=RANGE,
        help="plate over the bottom, such as --height=-2in:6in:0.75in (by mounting holes)",
    )
    add("--speed", metavar="V", help="speed she is looked at (her best planing cruise)")
    add("--holes", action="store_true", help="draw the range in to mounting holes 3/4 in apart")
    add("--drop", metavar="LENGTH", help="seat of the bracket under the top of the transom (0 in)")
    add("--off-centre", metavar="LENGTH", help="how far the engine stands off the centreline")
    add(
        "--slam",
        metavar="TIMES",
        help="times their weight engine and bracket load the transom as she slams (3)",
    )
    add("--depth", metavar="DEPTH", help="depth of water, to be told what it does at this speed")
    for edge in EDGES:
        add(
            f"--{edge.replace('_', '-')}",
            metavar="HEIGHT",
            help=f"height of the {edge.replace('_', ' ')} over the keel at the transom",
        )
    add(
        "--draws",
        type=whole(0, MOST_DRAWS),
        default=None,
        help="draws for the bands, 0 for none (as many as the page and the report)",
    )
    add("--seed", type=whole(0, 999_999_999), default=1, help="start of the draws (1)")
    add("--figure", metavar="FILE", help="also draw her to scale as .png, .svg or .pdf")
    add("--card", metavar="FILE", help="also write the rig card, one page, as .pdf")


def mount_command(asked: argparse.Namespace) -> int:
    """Hang the engine and show what comes of it."""
    from perf.faces.command.commands import show_result

    figure, card = _files(asked)
    grid = [_range(asked.setback, "--setback"), _range(asked.height, "--height")]
    rows = len(grid[0] or (0, 0)) * len(grid[1] or (0,))
    if rows > MOST_ROWS:
        raise Refusal(
            "--setback",
            asked.setback or "",
            f"{rows} combinations are too many: {MOST_ROWS} at most",
        )
    if grid[0] is not None and grid[0][0] < 0.0:
        raise Refusal("--setback", asked.setback, "an engine hangs on or behind the transom")
    asked.draws = _draws(asked.draws)
    if 0 < asked.draws < LEAST_DRAWS:
        raise Refusal(
            "--draws", f"{asked.draws}", f"a band needs {LEAST_DRAWS} draws or more; 0 draws none"
        )
    boat = _loaded(asked)
    result = _worked(boat, asked, grid)
    code = show_result(result, argparse.Namespace(**{**vars(asked), "figure": None}))
    _write(boat, result, asked, figure, card)
    return code


def _draws(given: int | None) -> int:
    """As many as asked for; else as the page and the report draw."""
    from perf.studies.mount.study import DRAWS

    return DRAWS if given is None else given


def _loaded(asked: argparse.Namespace) -> Boat:
    boat = boat_of(asked.boat)
    if asked.load is not None and asked.load not in boat.load_names:
        raise Refusal(
            "--load",
            asked.load,
            f"{boat.name} has no such load; write {' or '.join(boat.load_names)}",
        )
    return boat.at(load=asked.load)


def _worked(boat: Boat, asked: argparse.Namespace, grid: list[list[float] | None]) -> Result:
    from perf.boat.parts import Place
    from perf.studies.mount.study import Wanted, mount

    edges = {
        name.replace("_", " "): Place(0.0, height)
        for name in EDGES
        if (height := _one(getattr(asked, name), f"--{name.replace('_', '-')}", "length"))
        is not None
    }
    wanted = Wanted(
        at_setback_m=_lone(grid[0]),
        at_plate_height_m=_lone(grid[1]),
        speed_mps=_one(asked.speed, "--speed", "speed"),
        off_centre_m=_one(asked.off_centre, "--off-centre", "length"),
        edges=edges,
        drop_m=_one(asked.drop, "--drop", "length") or 0.0,
        holes=asked.holes,
        slam_factor=_one(asked.slam, "--slam", "ratio"),
        water_depth_m=_one(asked.depth, "--depth", "length"),
    )
    try:
        return mount(boat, grid[0], grid[1], wanted, draws=asked.draws, seed=asked.seed)
    except ValueError as why:
        raise Refusal("BOAT", asked.boat, str(why)) from why


def _range(text: str | None, where: str) -> list[float] | None:
    return None if text is None else read_range(where, text, "length")


def _one(text: str | None, where: str, kind: str) -> float | None:
    if text is None:
        return None
    value = read_one(where, text, text, kind)
    if kind in ("speed", "ratio") and value <= 0.0:
        raise Refusal(where, text, "write more than nothing")
    return value


def _lone(values: list[float] | None) -> float | None:
    """The one value of a range that is none."""
    return values[0] if values is not None and len(values) == 1 else None


def _files(asked: argparse.Namespace) -> tuple[Path | None, Path | None]:
    """The files to be written, refused before anything is worked out where they cannot be."""
    from perf.faces.printed.paper import ENDINGS

    found: list[Path | None] = []
    for where, text, endings in (
        ("--figure", asked.figure, ENDINGS),
        ("--card", asked.card, (".pdf",)),
    ):
        if text is None:
            found.append(None)
            continue
        path = Path(text)
        if path.suffix.lower() not in endings:
            raise Refusal(where, text, f"is saved as {' or '.join(endings)}")
        if not is_folder(path.parent):
            raise Refusal(where, text, "there is no such folder to write it in")
        found.append(path)
    return found[0], found[1]


def _write(
    boat: Boat, result: Result, asked: argparse.Namespace, figure: Path | None, card: Path | None
) -> None:
    def drawn(path: Path) -> None:
        from perf.faces.printed.side_view_paper import save_drawings
        from perf.studies.mount.drawings import drawings

        said = result.shown(asked.units).answer  # begins with her name
        save_drawings(drawings(boat, result), path, asked.units, said)

    def printed(path: Path) -> None:
        from perf.faces.printed.rig_card import save_rig_card

        save_rig_card(boat, result, path, asked.units)

    files: tuple[tuple[str, Path | None, Any], ...] = (
        ("--figure", figure, drawn),
        ("--card", card, printed),
    )
    for where, path, write in files:
        if path is None:
            continue
        try:
            write(path)
        except OSError as why:
            raise Refusal(where, str(path), f"cannot be written: {why.strerror}") from why
        if not asked.quiet:
            print(f"{where.removeprefix('--')} written: {path}", file=sys.stderr)
