"""strips.csv: an open table of landing strips, each cell with its unit."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Mapping
from difflib import get_close_matches
from typing import Any

from wringout.dossier.dossier import Strip
from wringout.dossier.toml import text_of
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.text import parse

REQUIRED = ("name", "elevation", "length", "heading", "slope", "surface")
COLUMNS = (
    *REQUIRED, "obstacle_near", "obstacle_far", "displaced_near", "displaced_far", "latitude", "longitude",
    "one_way", "note",
)  # fmt: skip
_MOST_ROWS = 100_000


def read_strips(
    file: str, data: bytes
) -> tuple[tuple[Strip, ...], tuple[str, ...] | None, tuple[Problem, ...]]:
    """The strips of a table, the names that it gives, and every problem of it.

    A row with a problem gives no strip, but its name counts as given; the names are None where the table
    cannot be read.
    """
    try:
        text = text_of(file, data)
    except InputError as error:
        return (), None, error.problems
    reader = csv.reader(text.split("\n"), strict=True)
    try:
        header = [cell.strip() for cell in next(reader)]
        problems = _header_problems(file, header)
        if problems:
            return (), None, problems
        return _rows(file, header, reader)
    except (csv.Error, StopIteration) as error:
        problem = Problem(
            f"the table cannot be read from here ({error})",
            "look for a quote that is not closed",
            file,
            max(reader.line_num, 1),
        )
        return (), None, (problem,)


def _header_problems(file: str, header: list[str]) -> tuple[Problem, ...]:
    problems = []
    for name in header:
        if name not in COLUMNS:
            near = get_close_matches(name.lower().replace(" ", "_"), COLUMNS, n=1, cutoff=0.6)
            mend = f"write '{near[0]}' if that is meant" if near else f"use {', '.join(COLUMNS)}"
            problems.append(Problem(f"there is no column '{name[:60]}'", mend, file, 1))
    problems += [
        Problem(f"the column '{name}' is missing", "add it to the first row and to each strip", file, 1)
        for name in REQUIRED
        if name not in header
    ]
    if len(set(header)) != len(header):
        problems.append(Problem("two columns have the same name", "keep one of them", file, 1))
    return tuple(problems)


def _rows(
    file: str, header: list[str], reader: Any
) -> tuple[tuple[Strip, ...], tuple[str, ...] | None, tuple[Problem, ...]]:
    strips: list[Strip] = []
    problems: list[Problem] = []
    lines: dict[str, int] = {}
    for row in reader:
        line = reader.line_num
        if not any(cell.strip() for cell in row):
            continue
        if len(row) != len(header):
            what = f"the row has {len(row)} cells, the first row has {len(header)}"
            problems.append(Problem(what, "put a text with commas into double quotes", file, line))
            lines.setdefault(row[min(header.index("name"), len(row) - 1)].strip(), line)
            continue
        if len(lines) >= _MOST_ROWS:
            problems.append(
                Problem(f"there are more than {_MOST_ROWS} strips", "split the table", file, line)
            )
            break
        cells = dict(zip(header, (cell.strip() for cell in row), strict=True))
        name = cells["name"]
        if name in lines:
            what = f"there is another strip '{name}' on line {lines[name]}"
            problems.append(Problem(what, "give each its own name", file, line, "name"))
        lines.setdefault(name, line)
        try:
            strips.append(_strip(cells))
        except InputError as error:
            problems += [problem.at(file, line) for problem in error.problems]
    return tuple(strips), tuple(lines), tuple(problems)


def _strip(cells: Mapping[str, str]) -> Strip:
    problems: list[Problem] = []

    def read(column: str, dimension: Dimension, allowed: Callable[[float], bool], rule: str) -> float:
        text = cells.get(column, "")
        if not text and column not in REQUIRED:
            return 0.0
        try:
            value = parse(text, dimension)
        except InputError as error:
            problems.extend(problem.at(field=column) for problem in error.problems)
            return 0.0
        if not allowed(value):
            problems.append(Problem(f"'{text}' {rule}", "check the number and its unit", field=column))
        return value

    def place(column: str, most: float) -> float | None:
        if not cells.get(column, ""):
            return None
        return read(column, Dimension.ANGLE, lambda a: abs(a) <= math.radians(most), "is no such place")

    def words(column: str) -> str:
        if not cells[column]:
            problems.append(Problem("nothing stands here", "fill it in", field=column))
        return cells[column]

    strip = Strip(
        name=words("name"),
        elevation=read(
            "elevation", Dimension.LENGTH, lambda h: -500 <= h <= 6000, "is no elevation of a strip"
        ),
        length=read("length", Dimension.LENGTH, lambda x: 20 <= x <= 10_000, "is no length of a strip"),
        heading=read(
            "heading", Dimension.ANGLE, lambda a: 0 <= a <= 6.284, "does not lie between 0 and 360 °"
        ),
        slope=read("slope", Dimension.SLOPE, lambda s: abs(s) <= 0.5, "is steeper than a strip can be"),
        surface=words("surface"),
        obstacle_near=read(
            "obstacle_near", Dimension.LENGTH, lambda h: 0 <= h <= 500, "is no height of an obstacle"
        ),
        obstacle_far=read(
            "obstacle_far", Dimension.LENGTH, lambda h: 0 <= h <= 500, "is no height of an obstacle"
        ),
        one_way=_yes_or_no(cells.get("one_way", ""), problems),
        note=cells.get("note", ""),
        displaced_near=read(
            "displaced_near", Dimension.LENGTH, lambda x: 0 <= x <= 5000, "is no displaced threshold"
        ),
        displaced_far=read(
            "displaced_far", Dimension.LENGTH, lambda x: 0 <= x <= 5000, "is no displaced threshold"
        ),
        latitude=place("latitude", 90.0),
        longitude=place("longitude", 180.0),
    )
    if (strip.latitude is None) != (strip.longitude is None):
        problems.append(
            Problem("a place has a latitude and a longitude", "fill in both, or neither", field="latitude")
        )
    if problems:
        raise InputError(*problems)
    return strip


def _yes_or_no(text: str, problems: list[Problem]) -> bool:
    if text.lower() not in ("", "yes", "no", "true", "false"):
        problems.append(
            Problem(f"yes or no is expected, found '{text[:40]}'", "write yes or no", field="one_way")
        )
    return text.lower() in ("yes", "true")
