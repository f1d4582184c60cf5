"""Where every key and value of a TOML text stands: line and column, also in a text that is broken."""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field

Path = tuple[str | int, ...]
Spot = tuple[int, int]

NOWHERE: Spot = (0, 0)

_TOKEN = re.compile(
    r"""(?P<blank>[ \t\r]+|\#[^\n]*)
      | (?P<newline>\n)
      | (?P<text>\"{3}(?:[^\\]|\\.)*?\"{3,5} | '{3}.*?'{3,5}
             | "(?:[^"\\\n]|\\[^\n])*" | '[^'\n]*')
      | (?P<mark>[\[\]{},=.])
      | (?P<bare>[^\s\[\]{},=."'\#]+)
      | (?P<stray>.)""",
    re.VERBOSE | re.DOTALL,
)


def readable(path: Path) -> str:
    """A path as a person reads it, such as weights.ice.mass; places in a list are left out."""
    return ".".join(part for part in path if isinstance(part, str))


@dataclass
class Places:
    """Places found: of keys and tables, of values, and of keys written a second time.

    open_at is where a bracket that is never closed was opened.
    """

    keys: dict[Path, Spot] = field(default_factory=dict)
    values: dict[Path, Spot] = field(default_factory=dict)
    twice: list[tuple[Path, Spot, Spot]] = field(default_factory=list)
    open_at: Spot | None = None

    def of_value(self, path: Path) -> Spot:
        """Place of a value, else of its key, else of the nearest table around it; (0, 0) if none."""
        for known in (self.values.get(path), self.keys.get(path)):
            if known is not None:
                return known
        return self.of_value(path[:-1]) if path else NOWHERE

    def of_key(self, path: Path) -> Spot:
        """Place of a key, else of the nearest table around it; (0, 0) if none."""
        while path and path not in self.keys:
            path = path[:-1]
        return self.keys.get(path, NOWHERE)


@dataclass
class _Frame:
    """One open bracket: its kind ("document", "{" or "["), path, offset and place in a list."""

    kind: str
    path: Path
    offset: int
    index: int = 0


class _Walk:
    """One walk over the tokens; tolerant, since tomllib alone decides what is right."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.starts = [0, *(match.end() for match in re.finditer("\n", text))]
        self.places = Places()
        self.stack = [_Frame("document", (), 0)]
        self.mode = "key"  # key, header, value, after
        self.parts: list[str] = []
        self.key_offset = 0
        self.headers: set[Path] = set()
        self.lists: dict[Path, int] = {}

    def spot(self, offset: int) -> Spot:
        line = bisect_right(self.starts, offset)
        return line, offset - self.starts[line - 1] + 1

    def run(self) -> Places:
        for kind, token, offset in _tokens(self.text):
            if kind == "newline":
                self.newline()
            elif self.mode == "value":
                self.value(token, offset)
            elif self.mode == "after":
                self.after(token)
            else:
                self.key(kind, token, offset)
        self.unclosed(1)
        return self.places

    def newline(self) -> None:
        if self.stack[-1].kind == "{":  # may not run over lines: its end is missing
            self.unclosed(len(self.stack) - 1)
            del self.stack[1:]
        if len(self.stack) == 1:
            self.mode, self.parts = "key", []

    def unclosed(self, level: int) -> None:
        if len(self.stack) > level and self.places.open_at is None:
            self.places.open_at = self.spot(self.stack[level].offset)

    def key(self, kind: str, token: str, offset: int) -> None:
        if kind in ("bare", "text"):
            if not self.parts:
                self.key_offset = offset
            self.parts.append(_unquoted(token) if kind == "text" else token)
        elif token == "[" and len(self.stack) == 1 and not self.parts:
            self.mode = "header"
        elif token == "]" and self.mode == "header":
            self.header(offset)
        elif token == "=" and self.mode == "key" and self.parts:
            self.named(self.stack[-1].path + tuple(self.parts))
        elif token == "}":
            self.close()

    def header(self, offset: int) -> None:
        path: Path = tuple(self.parts)
        spot = self.spot(self.key_offset)
        if self.text.startswith("]]", offset):
            self.lists[path] = self.lists.get(path, -1) + 1
            path = (*path, self.lists[path])
        elif path in self.headers:
            self.places.twice.append((path, self.places.keys[path], spot))
        self.headers.add(path)
        for end in range(1, len(path) + 1):
            self.places.keys.setdefault(path[:end], spot)
        self.stack[0].path = path
        self.mode, self.parts = "after", []

    def named(self, path: Path) -> None:
        spot = self.spot(self.key_offset)
        if path in self.places.values:
            self.places.twice.append((path, self.places.keys[path], spot))
        for end in range(1, len(path) + 1):
            self.places.keys.setdefault(path[:end], spot)
        self.current = path
        self.mode, self.parts = "value", []

    def value(self, token: str, offset: int) -> None:
        frame = self.stack[-1]
        if token == "]" and frame.kind == "[":
            self.close()
            return
        path = (*frame.path, frame.index) if frame.kind == "[" else self.current
        self.places.values.setdefault(path, self.spot(offset))
        self.mode = "after"
        if token in ("[", "{"):
            self.stack.append(_Frame(token, path, offset))
            self.mode = "value" if token == "[" else "key"

    def after(self, token: str) -> None:
        frame = self.stack[-1]
        if token == ",":
            frame.index += 1
            self.mode = "value" if frame.kind == "[" else "key"
        elif token in ("]", "}"):
            self.close()
        elif token in ("[", "{") and len(self.stack) > 1:  # a comma or a closing bracket is missing
            self.stack.append(_Frame(token, frame.path, frame.offset))
            self.mode = "value" if token == "[" else "key"

    def close(self) -> None:
        if len(self.stack) > 1:
            self.stack.pop()
        self.mode, self.parts = "after", []


def locate(text: str) -> Places:
    """Find the places of all keys and values; never raises, lines and columns count from one."""
    return _Walk(text).run()


def _tokens(text: str) -> Iterator[tuple[str, str, int]]:
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or "stray"
        if kind != "blank":
            yield kind, match[0], match.start()


def _unquoted(token: str) -> str:
    if "\\" not in token and not token.startswith(('"""', "'''")):
        return token[1:-1]
    try:
        return str(tomllib.loads(f"key = {token}")["key"])
    except ValueError:
        return token
