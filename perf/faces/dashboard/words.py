"""Words on the page: nothing a person named or wrote is ever read as Markdown."""

from __future__ import annotations

import re
from functools import lru_cache

MARKS = re.compile(r"([!-/:-@\[-`{-~])")  # all ASCII punctuation may be escaped
# Pictures such as :smile:, addresses and mail are found even in escaped text: they are broken up.
FOUND_ANYWAY = re.compile(r"(:(?=[\w/+-]+:|//)|@|www(?=\.))", re.IGNORECASE)
JOINER = "\u2060"  # takes no room


@lru_cache(maxsize=4096)
def plain(text: str) -> str:
    """Text that a Markdown reader shows letter by letter, on one line."""
    seen = "".join(sign for sign in " ".join(text.split()) if sign.isprintable())
    return MARKS.sub(r"\\\1", FOUND_ANYWAY.sub(rf"\1{JOINER}", seen))


def file_stem(text: str) -> str:
    """A safe file name from a person's words: small ASCII letters, digits and underscores."""
    return "_".join(re.findall(r"[a-z0-9]+", text.lower()))[:60] or "boat"
