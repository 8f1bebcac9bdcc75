"""Delimited text (CSV): a table from header names to channels, and nothing guessed."""

import csv
from collections.abc import Set
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from wringout.problems import InputError, Problem
from wringout.recordings.log import Log
from wringout.recordings.mapping import ColumnMapping
from wringout.recordings.sheet import Sheet, check_mapping

if TYPE_CHECKING:
    import polars as pl

LONGEST_HEADER = 1 << 16


class DelimitedReader:
    """Reads rows of cells under one header row, by a `ColumnMapping`."""

    name = "delimited text (CSV)"

    def recognises(self, head: bytes, suffix: str) -> bool:
        """Whether a file that begins with `head` is text."""
        return b"\x00" not in head and (suffix in {".csv", ".txt", ".tsv", ".log"} or _is_text(head))

    def read(self, path: Path, mapping: ColumnMapping | None) -> Log:
        """The mapped columns in SI, in file order.

        Raises
        ------
        InputError
            No mapping; a header, column, unit or time that does not fit it; no row; a column that is mostly
            not numbers.
        """
        if mapping is None:
            raise InputError(
                Problem(
                    "a CSV says neither its units nor its time zone, and no mapping was given",
                    "give the recording a mapping of its columns in the test card",
                    path.name,
                )
            )
        check_mapping(mapping, path.name)
        header = _header(path, mapping)
        columns = _columns(header, mapping, path.name)
        table = _plain_table(path, mapping, header, columns)
        if table is not None:
            sheet = Sheet(path.name, mapping, _lines(path, mapping, table.height))
            texts = {name: _cells(table, group) for name, group in columns.items()}
            return _log(sheet, texts)
        table = _table(path, mapping, header, _indices(columns))
        written = _written(table)
        if not written.any():
            raise InputError(
                Problem("there is no row under the header", "copy the recording again", path.name)
            )
        lines = _lines(path, mapping, table.height)
        sheet = Sheet(path.name, mapping, lines[written.to_numpy()])
        return _log(sheet, {name: _text(table, group).filter(written) for name, group in columns.items()})


def _log(sheet: Sheet, columns: "dict[str, pl.Series]") -> Log:
    time = sheet.time(columns[""])
    channels = {name: sheet.channel(name, cells) for name, cells in columns.items() if name}
    return Log(time, channels, sheet.lines, tuple(sheet.unreadable))


def _indices(columns: dict[str, tuple[int, ...]]) -> set[int]:
    return {index for group in columns.values() for index in group}


def _plain_table(
    path: Path, mapping: ColumnMapping, header: list[str], columns: dict[str, tuple[int, ...]]
) -> "pl.DataFrame | None":
    """The table with numbers for text, read in a third of the time; None unless every cell is a number."""
    import polars as pl

    texts = set(columns[""]) if mapping.time_format in {"iso", "iso utc"} else set()
    numbers = _indices(columns) - texts
    if mapping.decimal != "." or not numbers or (len(columns[""]) > 1 and not texts):
        return None
    table = _table(path, mapping, header, _indices(columns), numbers)
    names = [f"column_{index + 1}" for index in sorted(numbers)]
    plain = (
        table.height > 0
        and table.select(pl.all_horizontal(pl.col(names).is_finite().fill_null(value=False).all())).item()
    )
    return table if plain else None


def _cells(table: "pl.DataFrame", group: tuple[int, ...]) -> "pl.Series":
    import polars as pl

    cells = table[f"column_{group[0] + 1}"]
    return cells if cells.dtype == pl.Float64 else _text(table, group)


def _is_text(head: bytes) -> bool:
    control = sum(byte < 32 and byte not in b"\t\r\n" for byte in head)
    return control * 100 <= len(head)


def _header(path: Path, mapping: ColumnMapping) -> list[str]:
    with path.open("rb") as stream:
        line = b""
        for _ in range(mapping.header_row):
            line = stream.readline(LONGEST_HEADER)
            if not line:
                raise InputError(
                    Problem(
                        f"the file ends before line {mapping.header_row}, where the header is to be",
                        "correct header_row in the mapping",
                        path.name,
                    )
                )
    try:
        text = line.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = line.decode("latin-1")
    try:
        cells = next(csv.reader([text.strip("\r\n")], delimiter=mapping.delimiter), [])
    except csv.Error:
        raise InputError(
            Problem(
                "the header cannot be split into cells",
                "check header_row and delimiter, and that lines end in a line feed",
                path.name,
                mapping.header_row,
            )
        ) from None
    return [cell.strip() for cell in cells]


def _columns(header: list[str], mapping: ColumnMapping, file: str) -> dict[str, tuple[int, ...]]:
    """Channel (time under '') → indices of its columns."""
    wanted = {"": _time_columns(header, mapping)} | {
        channel: (column.column,) for channel, column in mapping.channels.items()
    }
    problems = []
    for channel, names in wanted.items():
        for name in names:
            if header.count(name) == 1:
                continue
            if name in header:
                problems.append(
                    Problem(
                        f"the column '{name}' stands {header.count(name)} times in the header",
                        "map another column, or rename one in a copy",
                        file,
                        mapping.header_row,
                        channel or "time",
                    )
                )
                continue
            near = get_close_matches(name, header, 1, 0.4)
            found = f"the nearest is '{near[0]}'" if near else "found " + ", ".join(header[:12])
            problems.append(
                Problem(
                    f"there is no column '{name}', {found}",
                    "write the name as the header has it, or correct header_row and delimiter",
                    file,
                    mapping.header_row,
                    channel or "time",
                )
            )
    if problems:
        raise InputError(*problems)
    return {channel: tuple(header.index(name) for name in names) for channel, names in wanted.items()}


def _time_columns(header: list[str], mapping: ColumnMapping) -> tuple[str, ...]:
    if mapping.time_column in header:
        return (mapping.time_column,)
    return tuple(part.strip() for part in mapping.time_column.split("+"))


def _table(
    path: Path, mapping: ColumnMapping, header: list[str], indices: Set[int], numbers: Set[int] = frozenset()
) -> "pl.DataFrame":
    """The columns at some indices as text, those of `numbers` as numbers, null where they are none."""
    import polars as pl

    try:
        return pl.read_csv(
            path,
            has_header=False,
            schema={
                f"column_{index + 1}": pl.Float64 if index in numbers else pl.String
                for index in range(len(header))
            },
            columns=[f"column_{index + 1}" for index in sorted(indices)],
            ignore_errors=bool(numbers),
            separator=mapping.delimiter,
            skip_lines=mapping.header_row + mapping.units_rows,
            comment_prefix=mapping.comment,
            encoding="utf8-lossy",
            truncate_ragged_lines=True,
            infer_schema=False,
            raise_if_empty=False,
        )
    except (pl.exceptions.PolarsError, pl.exceptions.PanicException, OSError, ValueError) as error:
        reason = str(error).partition("\n")[0].rstrip(".")
        raise InputError(
            Problem(
                f"the rows cannot be read as delimited text ({reason[:120]})",
                "look for an unclosed quotation mark or a cut-off end, and check the delimiter",
                path.name,
            )
        ) from None


def _lines(path: Path, mapping: ColumnMapping, rows: int) -> NDArray[np.int64]:
    """The line of each row; counted one by one only where lines were skipped."""
    first = mapping.header_row + mapping.units_rows + 1
    with path.open("rb") as stream:
        total, last = 0, b"\n"
        while chunk := stream.read(1 << 20):
            total += chunk.count(b"\n")
            last = chunk[-1:]
    if total + (last != b"\n") == first - 1 + rows:
        return np.arange(first, first + rows)
    comment = mapping.comment.encode() if mapping.comment else None
    lines = []
    with path.open("rb") as stream:
        for number, line in enumerate(stream, 1):
            if number >= first and not (comment and line.startswith(comment)):
                lines.append(number)
    found = np.array(lines[:rows], dtype=np.int64)
    return (
        np.pad(found, (0, rows - len(found)), mode="edge") if len(found) else np.arange(first, first + rows)
    )


def _written(table: "pl.DataFrame") -> "pl.Series":
    """Rows with anything in them: a blank line is no sample."""
    import polars as pl

    filled = pl.any_horizontal(pl.all().fill_null("").str.strip_chars() != "")
    return table.select(filled).to_series()


def _text(table: "pl.DataFrame", group: tuple[int, ...]) -> "pl.Series":
    import polars as pl

    parts = [pl.col(f"column_{index + 1}").fill_null("").str.strip_chars() for index in group]
    return table.select(pl.concat_str(parts, separator=" ").str.strip_chars()).to_series()
