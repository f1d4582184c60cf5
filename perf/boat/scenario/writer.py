"""Everything of one boat as one text: each file inside it as it stands, to be read by a person and by the reader."""

from __future__ import annotations

import json
import re

from perf.base.faults import ReadingError
from perf.boat.scenario.file import CAPS
from perf.boat.scenario.parts import SET, Scenario, Told
from perf.boat.scenario.schema import MARK, NUMBERS
from perf.boat.schema import FORMAT

HEAD = """\
# Everything of one boat in one file: her own file, what was set on her, boats kept beside her, and
# the trip, engines and season that belong to her. Give it on the page under "Another boat", or name
# it wherever a command asks for a boat. Between three quotes stand whole files: a \\\\ there is one \\.
"""
_HIDDEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\ufeff\u2028\u2029]")


def write_scenario(scenario: Scenario, *, whole: bool = True) -> str:
    """The text of a scenario; reading it back gives the same, every file in it byte for byte.

    whole : demo boats too are written out, so that the file stands alone.

    Raises
    ------
    ReadingError
        Where it is larger than such a file may be.
    """
    lines = [f"format = {FORMAT}", f"{MARK} = {_text(scenario.name)}"]
    lines += [f"units = {_text(scenario.units)}", "", "[boat]", *_told(scenario.boat, whole)]
    for number, kept in zip(NUMBERS, scenario.kept, strict=False):
        lines += ["", f"[kept.{number}]", f"name = {_text(kept.name)}", *_told(kept.told, whole)]
    for table in ("trip", "candidates", "season"):
        words = getattr(scenario, table)
        if words is not None:
            lines += ["", f"[{table}]", f"text = {block(words)}"]
    text = HEAD * whole + "\n".join(lines) + "\n"
    if len(text.encode("utf-8")) > CAPS.most_bytes:
        raise ReadingError(
            f"all of it is more than {CAPS.most_bytes // 1000} kB: let some kept boats go"
        )
    return text


def block(words: str) -> str:
    """A whole file as a text between three quotes, line for line; nothing in it can end it."""
    safe = words.replace("\\", "\\\\").replace('"""', '""\\"')
    safe = _HIDDEN.sub(lambda sign: f"\\u{ord(sign[0]):04x}", safe)
    if safe.endswith('"'):
        safe = safe[:-1] + '\\"'
    return f'"""\n{safe}"""'


def _told(told: Told, whole: bool) -> list[str]:
    said = {name: getattr(told, name) for name in ("file", *SET) if getattr(told, name)}
    lines = [f"{name} = {_text(words)}" for name, words in said.items()]
    if told.text is None and not whole:
        return [*lines, f"demo = {_text(told.demo)}"]
    return [*lines, f"text = {block(told.content().decode('utf-8'))}"]


def _text(words: str) -> str:
    # JSON's escapes are TOML's, but for the delete sign
    return json.dumps(words, ensure_ascii=False).replace("\x7f", "\\u007f")
