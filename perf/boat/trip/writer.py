"""A trip's own words back into a file: what a page or a program edited, as TOML the reader reads."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def write_trip(tables: Mapping[str, Any]) -> str:
    """TOML text of a trip as nested words: top keys first, then tables, then tables of named tables.

    tables : what tomllib makes of a trip file; texts, numbers, true or false, lists of texts, and
    tables of these. TypeError for anything else. Reading the text back gives the same.
    """
    lines = [f"{_key(k)} = {_value(v)}" for k, v in tables.items() if not isinstance(v, Mapping)]
    for name, table in tables.items():
        if isinstance(table, Mapping):
            lines += ["", *_table((name,), table)]
    return "\n".join(lines) + "\n"


def _table(path: tuple[str, ...], table: Mapping[str, Any]) -> list[str]:
    """One table: its own keys under its heading, its tables after them."""
    own = {k: v for k, v in table.items() if not isinstance(v, Mapping)}
    inner = {k: v for k, v in table.items() if isinstance(v, Mapping)}
    lines = [f"[{'.'.join(_key(part) for part in path)}]"] if own or not inner else []
    lines += [f"{_key(k)} = {_value(v)}" for k, v in own.items()]
    for name, each in inner.items():
        lines += [*([""] if lines else []), *_table((*path, name), each)]
    return lines


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _text(name)


def _text(text: str) -> str:
    # JSON's escapes are TOML's, but for the delete sign
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, list | tuple):
        return f"[{', '.join(_value(item) for item in value)}]"
    raise TypeError(f"a trip file holds no {type(value).__name__}")
