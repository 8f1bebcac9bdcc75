"""Parquet: a table whose columns are mapped as those of a CSV are."""

from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from wringout.problems import InputError, Problem
from wringout.recordings.log import Log
from wringout.recordings.mapping import ColumnMapping
from wringout.recordings.sheet import Sheet, check_mapping
from wringout.recordings.sniffing import Layout
from wringout.recordings.unpacking import unpack

if TYPE_CHECKING:
    import polars as pl


class ParquetReader:
    """Reads the columns that a `ColumnMapping` names; a column's own type decides how."""

    name = "Parquet"

    def recognises(self, head: bytes, _suffix: str) -> bool:
        """Whether a file that begins with `head` is Parquet."""
        return head.startswith(b"PAR1")

    def read(self, path: Path, mapping: ColumnMapping | None) -> Log:
        """The mapped columns in SI, in file order; 'lines' count rows from 1.

        Raises
        ------
        InputError
            No mapping; a column, unit or time that does not fit it; a damaged file; no row.
        """
        if mapping is None:
            raise InputError(
                Problem(
                    "a Parquet file does not say its units, and no mapping was given",
                    "give the recording a mapping of its columns in the test card",
                    path.name,
                )
            )
        check_mapping(mapping, path.name)
        table, names = _table(path, mapping)
        sheet = Sheet(path.name, mapping, np.arange(1, table.height + 1))
        time = sheet.time(_moments(table, names))
        channels = {
            channel: sheet.channel(channel, _text(table[column.column], mapping.decimal))
            for channel, column in mapping.channels.items()
        }
        return Log(time, channels, sheet.lines, tuple(sheet.unreadable))


def _table(path: Path, mapping: ColumnMapping) -> "tuple[pl.DataFrame, tuple[str, ...]]":
    """The columns that are mapped, and which of them hold the time."""
    mapped = [column.column for column in mapping.channels.values()]
    either = [mapping.time_column, *_time_columns([], mapping)]
    unpacked = unpack(path, list(dict.fromkeys([*either, *mapped])))
    names = _time_columns(list(unpacked.schema), mapping)
    _refuse_missing(list(dict.fromkeys([*names, *mapped])), unpacked.schema, path.name)
    return unpacked.table, names


def _time_columns(columns: list[str], mapping: ColumnMapping) -> tuple[str, ...]:
    if mapping.time_column in columns:
        return (mapping.time_column,)
    return tuple(part.strip() for part in mapping.time_column.split("+"))


def _refuse_missing(wanted: list[str], schema: "pl.Schema", file: str) -> None:
    import polars as pl

    problems = []
    for name in wanted:
        if name not in schema:
            near = get_close_matches(name, list(schema), 1, 0.4)
            found = f"the nearest is '{near[0]}'" if near else "found " + ", ".join(list(schema)[:12])
            problems.append(
                Problem(f"there is no column '{name}', {found}", "write the name as the table has it", file)
            )
            continue
        kind = schema[name]
        if not (kind.is_numeric() or kind.is_temporal() or kind in {pl.String, pl.Null, pl.Categorical}):
            problems.append(
                Problem(
                    f"the column '{name}' holds {kind}, neither numbers nor text",
                    "map another column",
                    file,
                )
            )
    if problems:
        raise InputError(*problems)


def _moments(table: "pl.DataFrame", names: tuple[str, ...]) -> "pl.Series":
    """The time as text; a moment with its zone keeps it, one without stays without."""
    import polars as pl

    parts = [_moment_text(table[name]) for name in names]
    return pl.select(pl.concat_str(parts, separator=" ").str.strip_chars().alias("time")).to_series()


def _moment_text(column: "pl.Series") -> "pl.Series":
    import polars as pl

    if isinstance(column.dtype, pl.Datetime) and column.dtype.time_zone is not None:
        column = column.dt.convert_time_zone("UTC").dt.to_string("%Y-%m-%dT%H:%M:%S%.6fZ")
    elif isinstance(column.dtype, pl.Datetime):
        column = column.dt.to_string("%Y-%m-%dT%H:%M:%S%.6f")
    return _text(column)


def layout(path: Path, rows: int = 2000) -> Layout:
    """The names of a table's columns and its first rows as text, for a proposal; errors as reading it."""
    table = unpack(path, first=rows).table
    cells = [_moment_text(column).to_list() for column in table]
    texts = tuple(zip(*cells, strict=True)) if cells else ()
    return Layout(",", ".", 1, 0, None, tuple(table.columns), ("",) * table.width, texts)


def _text(column: "pl.Series", decimal: str = ".") -> "pl.Series":
    import polars as pl

    text = column.cast(pl.String, strict=False).fill_null("").str.strip_chars()
    return text.str.replace(".", decimal, literal=True) if column.dtype.is_numeric() else text
