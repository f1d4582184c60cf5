"""A whole boat and trip as one text fit for an address: packed small, capped before and while unpacking."""

from __future__ import annotations

import base64
import binascii
import re
import zlib

from perf.base.faults import ReadingError

MARK = "1."  # of the way it is packed
MOST_BYTES = 64_000  # boat and trip together, unpacked
MOST_LETTERS = 64_000  # of the packed text
_LETTERS = re.compile(r"[A-Za-z0-9_-]+")
_CURE = "ask for the link again, or for the two files"


def pack(boat: bytes, trip: bytes) -> str:
    """Two files as one URL-safe text; ReadingError where they are too large together."""
    body = b"%d\n%s%s" % (len(boat), boat, trip)
    if len(body) > MOST_BYTES:
        raise ReadingError(
            f"boat and trip are more than {MOST_BYTES // 1000} kB together: share them as files"
        )
    packed = base64.urlsafe_b64encode(zlib.compress(body, 9)).decode("ascii").rstrip("=")
    if len(packed) > MOST_LETTERS:
        raise ReadingError("too long for a link: share boat and trip as files")
    return MARK + packed


def unpack(text: str) -> tuple[bytes, bytes]:
    """Boat and trip of a packed text, still to be read by their readers; ReadingError says what is wrong.

    No more than the cap is ever unpacked, whatever the text promises.
    """
    if len(text) > MOST_LETTERS + len(MARK):
        raise ReadingError(f"this link is too long: {_CURE}")
    packed = text.removeprefix(MARK)
    if not text.startswith(MARK) or not _LETTERS.fullmatch(packed):
        raise ReadingError(f"this link is not whole, or of another version: {_CURE}")
    try:
        data = base64.urlsafe_b64decode(packed + "=" * (-len(packed) % 4))
        opened = zlib.decompressobj()
        body = opened.decompress(data, MOST_BYTES)
    except (binascii.Error, zlib.error, ValueError) as why:
        raise ReadingError(f"this link was damaged on its way: {_CURE}") from why
    if opened.unconsumed_tail or len(body) == MOST_BYTES:
        raise ReadingError(f"this link holds more than {MOST_BYTES // 1000} kB: {_CURE}")
    if not opened.eof or opened.unused_data:
        raise ReadingError(f"this link was cut short or added to: {_CURE}")
    return _parted(body)


def _parted(body: bytes) -> tuple[bytes, bytes]:
    head, line, rest = body.partition(b"\n")
    if not (line and head.isdigit() and len(head) < 8 and int(head) <= len(rest)):
        raise ReadingError(f"this link holds no boat and trip: {_CURE}")
    return rest[: int(head)], rest[int(head) :]
