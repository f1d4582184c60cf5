"""Bytes as one text fit for an address: packed small, capped before and while unpacking."""

from __future__ import annotations

import base64
import binascii
import re
import zlib

from perf.base.faults import ReadingError

MARK = "1."  # of the way it is packed
_LETTERS = re.compile(r"[A-Za-z0-9_-]+")


def fold(body: bytes) -> str:
    """Bytes as a URL-safe text; the same bytes give the same text."""
    packed = base64.urlsafe_b64encode(zlib.compress(body, 9)).decode("ascii")
    return MARK + packed.rstrip("=")


def unfold(text: str, most_letters: int, most_bytes: int, cure: str) -> bytes:
    """The bytes of a folded text; ReadingError says what is wrong, with the cure behind it.

    No more than most_bytes is ever unpacked, whatever the text promises.
    """
    if len(text) > most_letters + len(MARK):
        raise ReadingError(f"this link is too long: {cure}")
    packed = text.removeprefix(MARK)
    if not text.startswith(MARK) or not _LETTERS.fullmatch(packed):
        raise ReadingError(f"this link is not whole, or of another version: {cure}")
    try:
        data = base64.urlsafe_b64decode(packed + "=" * (-len(packed) % 4))
        opened = zlib.decompressobj()
        body = opened.decompress(data, most_bytes)
    except (binascii.Error, zlib.error, ValueError) as why:
        raise ReadingError(f"this link was damaged on its way: {cure}") from why
    if opened.unconsumed_tail or len(body) == most_bytes:
        raise ReadingError(f"this link holds more than {most_bytes // 1000} kB: {cure}")
    if not opened.eof or opened.unused_data:
        raise ReadingError(f"this link was cut short or added to: {cure}")
    return body
