"""Delimited text (CSV): a table from header names to channels, and nothing guessed."""

import csv
from datetime import datetime
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from wringout.problems import InputError, Problem
from wringout.quantity import to_si
from wringout.recordings.log import Log, Unreadable
from wringout.recordings.mapping import ColumnMapping
from wringout.recordings.recording import CHANNELS, FloatArray

if TYPE_CHECKING:
    import polars as pl

UNREADABLE_SHARE = 0.1  # above it a column is taken to be mapped or written wrongly, and is refused
LONGEST_HEADER = 1 << 16
ZONE = r"([+-]\d\d):?(\d\d)?$"


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
        _check(mapping, path.name)
        header = _header(path, mapping)
        columns = _columns(header, mapping, path.name)
        table = _table(
            path, mapping, header, sorted({index for group in columns.values() for index in group})
        )
        written = _written(table)
        if not written.any():
            raise InputError(
                Problem("there is no row under the header", "copy the recording again", path.name)
            )
        lines = _lines(path, mapping, table.height)
        sheet = _Sheet(path.name, mapping, lines[written.to_numpy()])
        texts = {name: _text(table, group).filter(written) for name, group in columns.items()}
        time = sheet.time(texts.pop(""))
        channels = {name: sheet.channel(name, text) for name, text in texts.items()}
        return Log(time, channels, sheet.lines, tuple(sheet.unreadable))


def _is_text(head: bytes) -> bool:
    control = sum(byte < 32 and byte not in b"\t\r\n" for byte in head)
    return control * 100 <= len(head)


def _check(mapping: ColumnMapping, file: str) -> None:
    problems = []
    if len(mapping.delimiter.encode()) != 1:
        problems.append(
            Problem(
                f"the delimiter is to be one character, found {mapping.delimiter!r}",
                "write ',', ';' or a tab",
                file,
            )
        )
    if mapping.decimal not in {".", ","}:
        problems.append(
            Problem(f"the decimal mark is '.' or ',', found {mapping.decimal!r}", "write one of them", file)
        )
    if mapping.decimal == mapping.delimiter:
        problems.append(
            Problem(
                "decimal mark and delimiter are both a comma",
                "look into the file and name the real ones",
                file,
            )
        )
    if mapping.header_row < 1 or mapping.units_rows < 0:
        problems.append(Problem("rows count from 1", "give the header's line number in the file", file))
    for channel in mapping.channels:
        if channel not in CHANNELS:
            near = get_close_matches(channel, CHANNELS, 1, 0.5)
            known = f"'{near[0]}'" if near else "one of " + ", ".join(CHANNELS)
            problems.append(Problem(f"there is no channel '{channel}'", f"did you mean {known}", file))
    if problems:
        raise InputError(*problems)


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
    return [cell.strip() for cell in next(csv.reader([text.strip("\r\n")], delimiter=mapping.delimiter), [])]


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


def _table(path: Path, mapping: ColumnMapping, header: list[str], indices: list[int]) -> "pl.DataFrame":
    import polars as pl

    try:
        return pl.read_csv(
            path,
            has_header=False,
            schema={f"column_{index + 1}": pl.String for index in range(len(header))},
            columns=[f"column_{index + 1}" for index in indices],
            separator=mapping.delimiter,
            skip_lines=mapping.header_row + mapping.units_rows,
            comment_prefix=mapping.comment,
            encoding="utf8-lossy",
            truncate_ragged_lines=True,
            infer_schema=False,
            raise_if_empty=False,
        )
    except (pl.exceptions.PolarsError, OSError, ValueError) as error:
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


class _Sheet:
    """Columns of text to numbers and times; collects what could not be read."""

    def __init__(self, file: str, mapping: ColumnMapping, lines: NDArray[np.int64]) -> None:
        self.file = file
        self.mapping = mapping
        self.lines = lines
        self.unreadable: list[Unreadable] = []

    def channel(self, name: str, text: "pl.Series") -> FloatArray:
        """One channel in SI."""
        column = self.mapping.channels[name]
        values = self.numbers(name, text) + column.offset
        try:
            return to_si(values, column.unit, CHANNELS[name])
        except InputError as error:
            raise InputError(*(problem.at(self.file, None, name) for problem in error.problems)) from None

    def numbers(self, name: str, text: "pl.Series") -> FloatArray:
        """A column as numbers, NaN where empty; words among them are noted, mostly words refused."""
        import polars as pl

        if self.mapping.decimal == ",":
            text = text.str.replace_all(".", " ", literal=True).str.replace(",", ".", literal=True)
        values = np.array(text.cast(pl.Float64, strict=False).to_numpy(), dtype=np.float64)
        values[np.isinf(values)] = np.nan
        missing = ["", "nan", *(word.lower() for word in self.mapping.missing)]
        filled = ~text.str.to_lowercase().is_in(missing).to_numpy()
        self._judge(name, text, np.isnan(values) & filled, filled)
        return values

    def time(self, text: "pl.Series") -> FloatArray:
        """Seconds since 1970 UTC."""
        if self.mapping.time_format in {"iso", "iso utc"}:
            return self._iso_time(text)
        seconds = self.numbers("time", text)
        return seconds if self.mapping.time_format == "unix" else seconds + self._elapsed_start()

    def _judge(
        self, name: str, text: "pl.Series", junk: NDArray[np.bool_], filled: NDArray[np.bool_]
    ) -> None:
        count = int(np.count_nonzero(junk))
        if not count:
            return
        first = int(np.argmax(junk))
        shown, line = text[first][:40], int(self.lines[first])
        total = int(np.count_nonzero(filled))
        if count > UNREADABLE_SHARE * total:
            expected = "a time" if name == "time" else "a number"
            raise InputError(
                Problem(
                    f"{count} of {total} cells are not {expected}, the first is '{shown}'",
                    "map another column, correct decimal and delimiter, or list the text under missing",
                    self.file,
                    line,
                    name,
                )
            )
        self.unreadable.append(Unreadable(name, count, line, shown))

    def _elapsed_start(self) -> float:
        try:
            start = datetime.fromisoformat(self.mapping.elapsed_start or "")
        except ValueError:
            start = None
        if start is None or start.tzinfo is None:
            raise InputError(
                Problem(
                    f"elapsed times need their zero with its zone, found {self.mapping.elapsed_start!r}",
                    "give elapsed_start like '2026-05-02T07:31:00Z'",
                    self.file,
                    None,
                    "time",
                )
            )
        return start.timestamp()

    def _iso_time(self, text: "pl.Series") -> FloatArray:
        import polars as pl

        tidy = text.str.replace(r"^(\d{4}-\d\d-\d\d)[ Tt]+", "${1}T").str.replace_all(" ", "")
        tidy = tidy.str.replace("[Zz]$", "+0000")
        clock = tidy.str.slice(10)  # a date's own hyphens are no zone
        zoned = bool(clock.str.contains(ZONE).any())
        filled = (text.str.len_chars() > 0).to_numpy()
        if not zoned and filled.any() and self.mapping.zone is None and self.mapping.time_format != "iso utc":
            first = int(np.argmax(filled))
            raise InputError(
                Problem(
                    f"the times have no zone ('{text[first][:40]}')",
                    "say time_format = 'iso utc' if they are UTC, or give the zone, like zone = '-05:00'",
                    self.file,
                    int(self.lines[first]),
                    "time",
                )
            )
        if zoned:
            clock = clock.str.replace(r"([+-]\d\d)$", "${1}00").str.replace(ZONE, "${1}${2}")
            tidy = tidy.str.slice(0, 10) + clock
        form = "%Y-%m-%dT%H:%M:%S%.f" + ("%z" if zoned else "")
        moments = tidy.str.to_datetime(form, time_unit="us", strict=False)
        micro = moments.cast(pl.Int64).to_numpy().astype(np.float64)
        micro[moments.is_null().to_numpy()] = np.nan
        self._judge("time", text, np.isnan(micro) & filled, filled)
        utc = zoned or self.mapping.time_format == "iso utc"
        seconds: FloatArray = micro * 1e-6 - (0.0 if utc else self._zone_seconds())
        return seconds

    def _zone_seconds(self) -> float:
        try:
            offset = datetime.fromisoformat(f"2000-01-01T00:00:00{self.mapping.zone}").utcoffset()
        except ValueError:
            offset = None
        if offset is None:
            raise InputError(
                Problem(
                    f"'{self.mapping.zone}' is no zone",
                    "write it like '-05:00' or 'Z'",
                    self.file,
                    None,
                    "time",
                )
            )
        return offset.total_seconds()
