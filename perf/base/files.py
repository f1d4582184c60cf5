"""Files written whole or not at all, and the names that strangers give them."""

from __future__ import annotations

import contextlib
import os
import secrets
from pathlib import Path

LONGEST_NAME = 80  # letters
ANYBODY_MAY = 0o666  # less what the person's own mask takes away


def write_whole(path: str | Path, content: bytes | str) -> None:
    """Write a file so that a stop half-way leaves what stood there before.

    The content goes to a new file beside the old one, down to the disk, and takes its name only
    then. A link is followed, and the rights of a file that stood there are kept. A text is written
    as UTF-8 with its line ends as they are. What is no plain file (a pipe, a terminal) is written
    to directly.

    Raises
    ------
    OSError
        If the file cannot be written; what stood there is untouched.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    place = Path(os.path.realpath(path))
    if place.exists() and not place.is_file():
        place.write_bytes(data)
        return
    if place.exists() and not os.access(place, os.W_OK):
        raise PermissionError(13, "Permission denied", str(path))
    beside = place.with_name(f".{secrets.token_hex(8)}.part")
    opening = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    handle = os.open(beside, opening, ANYBODY_MAY)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if place.exists():
            beside.chmod(place.stat().st_mode & 0o7777)
        beside.replace(place)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise


def harmless_name(given: str, otherwise: str) -> str:
    """The last part of a file name somebody sent, for showing only: no folders, no control signs."""
    last = given.replace("\\", "/").rpartition("/")[2]
    kept = "".join(sign for sign in last if sign.isprintable()).strip()[:LONGEST_NAME]
    return kept if kept.strip(".") else otherwise
