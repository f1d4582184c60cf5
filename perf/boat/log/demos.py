"""The demo logs that ship with the tool."""

from __future__ import annotations

from pathlib import Path

from perf.base.tables import data_folder


def demo_logs() -> dict[str, Path]:
    """The demo logs by name of the file without its ending, in alphabetical order."""
    return {path.stem: path for path in sorted((data_folder() / "trials").glob("*.csv"))}
