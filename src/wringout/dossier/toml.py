"""Bytes → TOML data with the line of every key; whatever the bytes are, the answer is data or problems."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wringout.dossier.lines import Path, line_numbers
from wringout.problems import InputError, Problem

LARGEST_TEXT = 2_000_000
_DEEPEST = 12
_MOST_REPAIRS = 200

# What is meant by `span = 10.9 m` is certain, so reading goes on and the rest of the file is checked too.
_UNQUOTED = re.compile(
    r"(?P<start>[ \t]*[A-Za-z0-9_.\-]+[ \t]*=[ \t]*)"
    r"(?P<value>[+-]?[0-9][0-9. ]*[ \t]*[A-Za-z°%][^#\"'\[\]{}=,]*?)"
    r"(?P<end>[ \t]*(?:#.*)?)"
)
_DATE = re.compile(r"=[ \t]*[0-9]{4}-[0-9]")
# Where a text that never ends began: tomllib tells only that the end of the file was reached.
_OPENINGS = {
    "Expected \"'''": re.compile("'''"),
    "Expected \"'": re.compile(r"=[ \t]*'[^'\n]*$", re.MULTILINE),
    "Unterminated": re.compile('"+'),
}
_AT_LINE = re.compile(r"\(at line ([0-9]+), column [0-9]+\)$")
_WORDS = {
    "Cannot overwrite a value": ("the key stands here a second time", "keep one of them"),
    "Cannot declare": ("the table stands here a second time", "keep one of them, or write [[…]] for a list"),
    "Illegal character '\\n'": ("a text is not closed", "end it with the quote it began with"),
    "Illegal character": ("there is a character that TOML does not allow", "type the line again"),
    "Unclosed": ("a bracket is not closed", "close it"),
    "Found invalid character": ("there is a character that TOML does not allow", "type the line again"),
    "Expected ']'": ("a bracket is not closed", "close it"),
    "Expected \"'": ("a text is not closed", "end it with the quote it began with"),
    "Unterminated": ("a text is not closed", "end it with the quote it began with"),
    "Expected '=' after a key": ("a key is not followed by '='", "write it like: span = \"10.9 m\""),
    "Expected newline or end of document": (
        "there is more on the line than one key and its value",
        'put text and quantities into quotes: span = "10.9 m"',
    ),
    "Invalid value": ("the value is not understood", 'put text and quantities into quotes: span = "10.9 m"'),
    "Invalid initial character for a key": ("a key cannot start like this", 'put the key into quotes'),
    "Unescaped '\\'": ("a backslash stands in the text", "write '/' in paths, or use single quotes"),
    "Invalid statement": ("the line is no key with a value and no [table]", 'write it like: span = "10.9 m"'),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Document:
    """A TOML file as read: its data, the line of each path, and what was wrong but understood."""

    file: str
    data: Mapping[str, Any]
    lines: Mapping[Path, int]
    problems: tuple[Problem, ...] = ()

    def line(self, path: Path) -> int | None:
        """The line of a path, or of the nearest thing around it."""
        for length in range(len(path), 0, -1):
            if path[:length] in self.lines:
                return self.lines[path[:length]]
        return None

    def place(self, path: Path) -> str | None:
        """A path in words: "station 'cargo bay', arm"; None for the file itself."""
        words: list[str] = []
        inside: Any = self.data
        for key in path:
            inside = _step(inside, key)
            if isinstance(key, int):
                name = next((inside[k] for k in ("name", "id") if _is_text(inside, k)), None)
                shown = f"'{name[:40]}'" if name else str(key + 1)
                if words and isinstance(inside, Mapping):
                    words[-1] += f" {shown}"
                else:
                    words.append(f"item {key + 1}")
            else:
                words.append(key[:60])
        return ", ".join(words) or None

    def problem(self, path: Path, problem: Problem) -> Problem:
        """The problem, placed."""
        return problem.at(self.file, self.line(path), self.place(path))


def _step(inside: Any, key: str | int) -> Any:
    if isinstance(inside, Mapping) and isinstance(key, str):
        return inside.get(key)
    if isinstance(inside, list) and isinstance(key, int) and key < len(inside):
        return inside[key]
    return None


def _is_text(inside: Any, key: str) -> bool:
    return isinstance(inside, Mapping) and isinstance(inside.get(key), str) and bool(inside[key].strip())


def text_of(file: str, data: bytes) -> str:
    """The UTF-8 text of a file, without byte-order mark, with plain line ends.

    Raises
    ------
    InputError
        Empty, binary or not UTF-8.
    """
    if not data.strip(b"\xef\xbb\xbf \t\r\n"):
        raise InputError(Problem("the file is empty", "fill it in or remove it", file=file))
    if b"\0" in data:
        line = data.count(b"\n", 0, data.index(b"\0")) + 1
        raise InputError(
            Problem("is a binary file, text is expected", "is this the right file?", file=file, line=line)
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(
            Problem(
                "a character here is not UTF-8", "save the file with the encoding UTF-8", file=file, line=line
            )
        ) from error
    return text.replace("\r\n", "\n")


def read_toml(file: str, data: bytes) -> Document:
    """The data of a TOML file.

    Raises
    ------
    InputError
        The file cannot be read as TOML at all.
    """
    text = text_of(file, data)
    problems: list[Problem] = []
    while True:
        try:
            content = tomllib.loads(text)
            break
        except RecursionError as error:
            raise InputError(_too_deep(file)) from error
        except ValueError as error:
            line = _line_of(str(error), text)
            repaired = _quoted(text, line) if len(problems) < _MOST_REPAIRS else None
            if repaired is None:
                row = text.split("\n")[line - 1]
                raise InputError(*problems, _syntax(file, str(error), line, row)) from error
            text, problem = repaired
            problems.append(problem.at(file, line))
    if _depth(content) > _DEEPEST:
        raise InputError(_too_deep(file))
    return Document(file, content, line_numbers(text), tuple(problems))


def _depth(content: object) -> int:
    """Levels of nesting, counted without recursion so that any depth can be counted."""
    level, depth = [content], 0
    while level and depth <= _DEEPEST:
        depth += 1
        inner: list[object] = []
        for item in level:
            if isinstance(item, dict):
                inner += item.values()
            elif isinstance(item, list):
                inner += item
        level = inner
    return depth


def _too_deep(file: str) -> Problem:
    return Problem(
        "the tables are nested too deeply", "start from the file that 'wringout new' makes", file=file
    )


def _line_of(message: str, text: str) -> int:
    match = _AT_LINE.search(message)
    if match:
        return int(match.group(1))
    for start, opening in _OPENINGS.items():
        if message.startswith(start):
            begun = list(opening.finditer(text))
            return text.count("\n", 0, begun[-1].start()) + 1 if begun else 1
    return text.rstrip("\n").count("\n") + 1


def _syntax(file: str, message: str, line: int, row: str) -> Problem:
    if _DATE.search(row) and message.startswith("Expected newline"):
        return Problem(
            "the date or time does not exist", "write it like 2026-05-12T09:30:00+01:00", file, line
        )
    for start, (what, mend) in _WORDS.items():
        if message.startswith(start):
            return Problem(what, mend, file, line)
    reason = _AT_LINE.sub("", message).replace("(at end of document)", "").strip()
    what = f"this is not TOML ({reason[:1].lower()}{reason[1:120]})"
    return Problem(what, "look at this line and the one before", file, line)


def _quoted(text: str, line: int) -> tuple[str, Problem] | None:
    """The text with an unquoted quantity of that line in quotes, and the problem that says so."""
    rows = text.split("\n")
    match = _UNQUOTED.fullmatch(rows[line - 1])
    if match is None:
        return None
    value = match["value"].strip()
    rows[line - 1] = f'{match["start"]}"{value}"{match["end"]}'
    problem = Problem(
        "a quantity stands without quotes", f'write it like: {match["start"].strip()} "{value}"'
    )
    return "\n".join(rows), problem
