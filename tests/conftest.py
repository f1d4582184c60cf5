"""A running server and a real browser for the tests that ask for them."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
NEEDED = "The browser tests need the Debian packages chromium and poppler-utils: apt-get install chromium poppler-utils"
QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-dev-shm-usage",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict) -> dict:
    """Debian's own Chromium; without it the tests fail with one sentence."""
    found = shutil.which("chromium")
    if found is None or shutil.which("pdftotext") is None:
        pytest.fail(NEEDED, pytrace=False)
    return {**browser_type_launch_args, "executable_path": found, "args": QUIET}


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict) -> dict:
    return {
        **browser_context_args,
        "viewport": {"width": 1280, "height": 900},
        "reduced_motion": "reduce",
        "accept_downloads": True,
    }


def _start(log: Path) -> tuple[subprocess.Popen, str]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(port)]
    with log.open("ab") as out:
        server = subprocess.Popen(
            command, cwd=ROOT, stdin=subprocess.DEVNULL, stdout=out, stderr=out
        )
    return server, f"http://127.0.0.1:{port}"


def _healthy(server: subprocess.Popen, address: str) -> bool:
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline and server.poll() is None:
        try:
            with urllib.request.urlopen(f"{address}/_stcore/health", timeout=2) as answer:
                if answer.read() == b"ok":
                    return True
        except (urllib.error.URLError, OSError):
            pass
        time.sleep(0.1)
    return False


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the dashboard, served as the README says."""
    log = tmp_path_factory.mktemp("server") / "log.txt"
    for _ in range(3):  # another process may take the free port first
        server, address = _start(log)
        if _healthy(server, address):
            break
        server.kill()
        server.wait()
    else:
        pytest.fail(f"the dashboard does not start:\n{log.read_text()}", pytrace=False)
    yield address
    server.terminate()
    try:
        server.wait(10)
    except subprocess.TimeoutExpired:
        server.kill()
        server.wait()
    said = log.read_text()
    assert "Traceback" not in said, said


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    """Keep a picture of the page where a browser test failed, in $OVERHUMP_SCREENS."""
    report = (yield).get_result()
    page = getattr(item, "funcargs", {}).get("page")
    folder = os.environ.get("OVERHUMP_SCREENS")
    if report.when == "call" and report.failed and hasattr(page, "screenshot") and folder:
        Path(folder).mkdir(parents=True, exist_ok=True)
        page.screenshot(path=str(Path(folder) / f"{item.name}.png"))
