"""On which line of a TOML text each key and each array item stands."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

Path = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"[ \t]*")
_SPACE_AND_COMMENTS = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SCALAR = re.compile(r"[^,\]}#\n]*")
_STRINGS = (
    ('"""', re.compile(r'"""(?:[^"\\]|\\.|"(?!""))*"{3,5}', re.DOTALL)),
    ("'''", re.compile(r"'''(?:[^']|'(?!''))*'{3,5}", re.DOTALL)),
    ('"', re.compile(r'"(?:[^"\\\n]|\\.)*"')),
    ("'", re.compile(r"'[^'\n]*'")),
)


def line_numbers(text: str) -> dict[Path, int]:
    """Line, counted from 1, of every table, key and array item of a TOML text that is valid.

    A path holds keys and, for items of arrays and arrays of tables, their index. A table stands where its
    header does, or the first key that made it.
    """
    scanner = _Scanner(text)
    scanner.document()
    return scanner.lines


@dataclass(slots=True)
class _Scanner:
    """Walks a valid text once; `place` is the position of the next character."""

    text: str
    place: int = 0
    lines: dict[Path, int] = field(default_factory=dict)
    line: int = 1
    counted: int = 0
    arrays: dict[Path, int] = field(default_factory=dict)

    def document(self) -> None:
        table: Path = ()
        while self._skip_to_content():
            if self.text.startswith("[", self.place):
                table = self._header()
            else:
                self._pair(table)

    def _here(self) -> int:
        self.line += self.text.count("\n", self.counted, self.place)
        self.counted = self.place
        return self.line

    def _enter(self, path: Path) -> None:
        line = self._here()
        for length in range(1, len(path) + 1):
            self.lines.setdefault(path[:length], line)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self.text, self.place)
        if match is not None:
            self.place = match.end()

    def _skip_to_content(self) -> bool:
        self._skip(_SPACE_AND_COMMENTS)
        return self.place < len(self.text)

    def _header(self) -> Path:
        array = self.text.startswith("[[", self.place)
        self.place += 2 if array else 1
        keys = self._keys()
        path = (*self._resolved(keys[:-1]), keys[-1])
        if array:
            self._enter(path)
            index = self.arrays.get(path, -1) + 1
            self.arrays[path] = index
            path = (*path, index)
        else:
            path = self._resolved(keys)
        self._enter(path)
        self.place = self.text.index("]", self.place) + (2 if array else 1)
        return path

    def _resolved(self, keys: Path) -> Path:
        """Header keys name the latest item of every array of tables on their way."""
        path: Path = ()
        for key in keys:
            path = (*path, key)
            if path in self.arrays:
                path = (*path, self.arrays[path])
        return path

    def _keys(self) -> Path:
        keys: list[str] = []
        while True:
            self._skip(_BLANK)
            keys.append(self._key())
            self._skip(_BLANK)
            if not self.text.startswith(".", self.place):
                return tuple(keys)
            self.place += 1

    def _key(self) -> str:
        start = self.place
        if self.text[start] in "\"'":
            self._string()
            quoted = self.text[start : self.place]
            if quoted[0] == "'" or "\\" not in quoted:
                return quoted[1:-1]
            import tomllib

            return next(iter(tomllib.loads(f"{quoted} = 0")))
        self._skip(_BARE)
        return self.text[start : self.place]

    def _string(self) -> None:
        for quote, pattern in _STRINGS:
            if self.text.startswith(quote, self.place):
                self._skip(pattern)
                return

    def _pair(self, table: Path) -> None:
        start = self.place
        keys = self._keys()
        path = table + keys
        after, self.place = self.place, start
        self._enter(path)
        self.place = self.text.index("=", after) + 1
        self._skip(_BLANK)
        self._value(path)

    def _value(self, path: Path) -> None:
        first = self.text[self.place]
        if first in "\"'":
            self._string()
        elif first == "[":
            self._array(path)
        elif first == "{":
            self._inline_table(path)
        else:
            self._skip(_SCALAR)

    def _array(self, path: Path) -> None:
        self.place += 1
        index = 0
        while True:
            self._skip(_SPACE_AND_COMMENTS)
            if self.text[self.place] == "]":
                break
            item = (*path, index)
            self._enter(item)
            self._value(item)
            self._skip(_SPACE_AND_COMMENTS)
            if self.text[self.place] == ",":
                self.place += 1
            index += 1
        self.place += 1

    def _inline_table(self, path: Path) -> None:
        self.place += 1
        while True:
            self._skip(_SPACE_AND_COMMENTS)
            if self.text[self.place] == "}":
                break
            self._pair(path)
            self._skip(_SPACE_AND_COMMENTS)
            if self.text[self.place] == ",":
                self.place += 1
        self.place += 1
