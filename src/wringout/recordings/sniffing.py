"""How a delimited text is laid out: delimiter, decimal mark, header, units, comments."""

import csv
import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from wringout.problems import InputError, Problem
from wringout.recordings.recording import CHANNELS
from wringout.recordings.vocabulary import channel_of, split_name, unit_of

HEAD = 1 << 18  # bytes that are looked at
DELIMITERS = (",", ";", "\t", "|")
NUMBER = re.compile(r"[+-]?(\d+[.,]?\d*|[.,]\d+)([eE][+-]?\d+)?$")
VALUE = re.compile(r"[+-]?\d[\d.,:/TZ eE+-]*$")  # a number, a date, a time of day
COMMENTS = ("#", "%", "//", ";")
ABOVE = 8  # lines above the first row in which header and units are sought


@dataclass(frozen=True, slots=True)
class Layout:
    """Rows of cells under one header. `units` are those of a units row above or below it, '' where none is.

    `rows` are the first rows, as text, without blank and comment lines.
    """

    delimiter: str
    decimal: str
    header_row: int
    units_rows: int
    comment: str | None
    header: tuple[str, ...]
    units: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def sniff(path: Path) -> Layout:
    """The layout of a file, from its first 256 KiB.

    Raises
    ------
    InputError
        It is no text, has no rows of several cells, or no line of names above them.
    """
    with path.open("rb") as stream:
        head = stream.read(HEAD)
    if b"\x00" in head:
        raise InputError(Problem("the file is no text", "export it as CSV", path.name))
    lines = _decoded(head).splitlines()
    if len(head) == HEAD and len(lines) > 1:
        lines.pop()  # cut off
    delimiter = max(DELIMITERS, key=lambda mark: _share_of_values(lines, mark))
    table = [_cells(line, delimiter) for line in lines]
    width = _usual_width(table)
    if width < 2:
        raise InputError(
            Problem(
                "no rows of several cells are found",
                "export it with a header and one row a sample",
                path.name,
            )
        )
    first = next((k for k, row in enumerate(table) if _is_row(row, width)), None)
    if first is None:
        raise InputError(Problem("no row of numbers is found", "export one row a sample", path.name))
    header, units = _headings(table, first, width)
    if header is None:
        raise InputError(
            Problem(
                "there is no line of column names above the rows",
                "write one, with the names in the order of the columns, in a copy",
                path.name,
                first + 1,
            )
        )
    below = lines[header + 1 :]
    marks = [mark for mark in COMMENTS if mark != delimiter]
    comment = next((mark for mark in marks if any(line.startswith(mark) for line in below)), None)

    def said(line: str) -> bool:
        return bool(line.strip()) and not (comment is not None and line.startswith(comment))

    rows = [tuple(row) for line, row in zip(lines[first:], table[first:], strict=True) if said(line)]
    names = tuple(table[header])
    texts = table[units] if units is not None else []
    return Layout(
        delimiter,
        _decimal(rows, delimiter),
        header + 1,
        max((k - header for k in range(header + 1, first) if said(lines[k])), default=0),
        comment,
        names,
        tuple(text.lstrip("#").strip() for text in [*texts, *[""] * len(names)][: len(names)]),
        tuple(rows),
    )


def _decoded(head: bytes) -> str:
    for cut in range(4):  # the last character may be cut
        try:
            return head[: len(head) - cut].decode("utf-8-sig")
        except UnicodeDecodeError:
            continue
    return head.decode("latin-1")


def _cells(line: str, delimiter: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter), [])]
    except csv.Error:
        return [line]


def _share_of_values(lines: list[str], delimiter: str) -> float:
    """How many cells a line has that are numbers, where lines agree: a decimal comma splits numbers badly."""
    sample = [_cells(line, delimiter) for line in lines[-60:] if line.strip()]
    if not sample:
        return 0.0
    width, agreeing = Counter(len(row) for row in sample).most_common(1)[0]
    rows = [row for row in sample if len(row) == width]
    filled = [cell for row in rows for cell in row if cell]
    odd = sum(any(other in cell for other in DELIMITERS if other not in {delimiter, ","}) for cell in filled)
    values = sum(VALUE.match(cell) is not None for cell in filled) - odd
    return (width > 1) * agreeing / len(sample) * values / len(rows)


def _usual_width(table: list[list[str]]) -> int:
    widths = Counter(len(row) for row in table if any(row))
    return widths.most_common(1)[0][0] if widths else 0


def _is_row(row: list[str], width: int) -> bool:
    """As wide as most, and more values than words in it."""
    filled = [cell for cell in row if cell]
    values = sum(VALUE.match(cell) is not None for cell in filled)
    return abs(len(row) - width) <= 1 and values >= 2 and 2 * values >= len(filled)


def _headings(table: list[list[str]], first: int, width: int) -> tuple[int | None, int | None]:
    """The lines of names and of units above the first row."""
    wide = [
        k
        for k in range(max(first - ABOVE, 0), first)
        if len(table[k]) >= 0.6 * width and not _is_row(table[k], width)
    ]
    if not wide:
        return None, None
    header = max(wide, key=lambda k: (sum(_known(cell) for cell in table[k]), k))
    others = [k for k in wide if k != header and sum(_unit_like(cell) for cell in table[k]) >= 2]
    return header, max(others, key=lambda k: sum(_unit_like(cell) for cell in table[k]), default=None)


def _known(cell: str) -> bool:
    return channel_of(split_name(cell)[0]) is not None


def _unit_like(cell: str) -> bool:
    text = cell.lstrip("#").strip()
    return bool(text) and any(unit_of(text, dimension) for dimension in set(CHANNELS.values()))


def _decimal(rows: list[tuple[str, ...]], delimiter: str) -> str:
    if delimiter == ",":
        return "."
    cells = [cell for row in rows[:200] for cell in row if NUMBER.match(cell)]
    commas = sum("," in cell for cell in cells)
    return "," if commas > sum("." in cell for cell in cells) else "."
