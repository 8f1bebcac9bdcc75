"""Columns of text to numbers and moments, with an account of what could not be read."""

from datetime import datetime
from difflib import get_close_matches
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from wringout.problems import InputError, Problem
from wringout.quantity import to_si
from wringout.recordings.log import Unreadable
from wringout.recordings.mapping import ColumnMapping
from wringout.recordings.recording import CHANNELS, FloatArray

if TYPE_CHECKING:
    import polars as pl

UNREADABLE_SHARE = 0.1  # above it a column is taken to be mapped or written wrongly, and is refused
ZONE = r"([+-]\d\d):?(\d\d)?$"


def check_mapping(mapping: ColumnMapping, file: str) -> None:
    """Raises InputError where a mapping contradicts itself or names a channel that there is not."""
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


class Sheet:
    """Columns of text to numbers and times; collects what could not be read."""

    def __init__(self, file: str, mapping: ColumnMapping, lines: NDArray[np.int64]) -> None:
        self.file = file
        self.mapping = mapping
        self.lines = lines
        self.unreadable: list[Unreadable] = []

    def channel(self, name: str, text: "pl.Series") -> FloatArray:
        """One channel in SI."""
        column = self.mapping.channels[name]
        values = column.factor * self.numbers(name, text) + column.offset
        try:
            return to_si(values, column.unit, CHANNELS[name])
        except InputError as error:
            raise InputError(*(problem.at(self.file, None, name) for problem in error.problems)) from None

    def numbers(self, name: str, text: "pl.Series") -> FloatArray:
        """A column as numbers, NaN where empty; words among them are noted, mostly words refused."""
        import polars as pl

        if text.dtype == pl.Float64:  # the reader has seen that every cell is one
            return text.to_numpy()
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
