"""A whole boat and trip as one text fit for an address: packed small, capped before and while unpacking."""

from __future__ import annotations

from perf.base.faults import ReadingError
from perf.base.folding import MARK, fold, unfold

MOST_BYTES = 64_000  # boat and trip together, unpacked
MOST_LETTERS = 64_000  # of the packed text
_CURE = "ask for the link again, or for the two files"


def pack(boat: bytes, trip: bytes) -> str:
    """Two files as one URL-safe text; ReadingError where they are too large together."""
    body = b"%d\n%s%s" % (len(boat), boat, trip)
    if len(body) > MOST_BYTES:
        raise ReadingError(
            f"boat and trip are more than {MOST_BYTES // 1000} kB together: share them as files"
        )
    packed = fold(body)
    if len(packed) > MOST_LETTERS + len(MARK):
        raise ReadingError("too long for a link: share boat and trip as files")
    return packed


def unpack(text: str) -> tuple[bytes, bytes]:
    """Boat and trip of a packed text, still to be read by their readers; ReadingError says what is wrong.

    No more than the cap is ever unpacked, whatever the text promises.
    """
    return _parted(unfold(text, MOST_LETTERS, MOST_BYTES, _CURE))


def _parted(body: bytes) -> tuple[bytes, bytes]:
    head, line, rest = body.partition(b"\n")
    if not (line and head.isdigit() and len(head) < 8 and int(head) <= len(rest)):
        raise ReadingError(f"this link holds no boat and trip: {_CURE}")
    return rest[: int(head)], rest[int(head) :]
