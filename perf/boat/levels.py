"""How full a tank is, in the words of a dock: half, three quarters, 1/2, 35 %."""

from __future__ import annotations

import re

from perf.base.faults import ReadingError
from perf.base.units import read

LEVEL_WORDS = {
    "empty": 0.0,
    "quarter": 0.25,
    "half": 0.5,
    "three quarters": 0.75,
    "full": 1.0,
}
CURE = 'how full, as a part: 0.5, "1/2", "35 %", "half", "full" or "empty"'


def level_of_words(text: str) -> float | None:
    """Level (0 to 1) of a word such as "half" or "three quarters full"; None for anything else."""
    word = " ".join(text.strip().lower().replace("-", " ").split())
    if word in LEVEL_WORDS:
        return LEVEL_WORDS[word]
    bare = word.removesuffix(" full").removesuffix(" tank").removesuffix(" a").removesuffix(" of")
    return LEVEL_WORDS.get(bare.removeprefix("a ").removeprefix("one "))


def level_of_text(text: str) -> float | None:
    """Level of a word, a fraction or a share in per cent; None for anything else."""
    known = level_of_words(text)
    if known is not None or not re.search(r"[/%]", text):
        return known
    try:
        return read(text, "share").value
    except ReadingError:
        return None
