"""The tables of a card that name its logs and map their columns."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from wringout.dossier.card import RecordingRef
from wringout.dossier.fields import (
    Count,
    Fault,
    Moment,
    Name,
    PositiveRatio,
    SignedTime,
    Table,
    reader,
    shown,
)
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.text import parse
from wringout.quantity.units import find_unit
from wringout.recordings.mapping import ChannelColumn, ColumnMapping
from wringout.recordings.recording import CHANNELS


def _one_character(value: object) -> str:
    if not isinstance(value, str) or len(value) != 1 or value.isalnum() or value == '"':
        raise InputError(Problem(f"one mark is expected, found {shown(value)}", 'write it like "," or ";"'))
    return value


def zone_text(value: object) -> str:
    """A time zone like '+01:00'; InputError for anything else."""
    if not isinstance(value, str) or not re.fullmatch(r"[+-](?:0[0-9]|1[0-4]):[0-5][0-9]", value):
        raise InputError(Problem(f"a time zone is expected, found {shown(value)}", 'write it like "+01:00"'))
    return value


Character = Annotated[str, reader(_one_character)]


def _offset(value: object) -> str:
    if not isinstance(value, str):
        raise InputError(Problem(f"a quantity is expected, found {shown(value)}", 'write it like "-3.5 °"'))
    return value


class ColumnTable(Table):
    column: Name
    unit: Name
    offset: Annotated[str, reader(_offset)] | None = None
    factor: PositiveRatio = 1.0

    def made(self, channel: str) -> ChannelColumn:
        """The column; InputError where its unit or its offset is not of the channel's kind."""
        dimension = CHANNELS[channel]
        unit = find_unit(self.unit, dimension)
        if self.offset is None:
            return ChannelColumn(self.column, self.unit, factor=self.factor)
        if dimension is Dimension.TEMPERATURE:
            dimension = Dimension.TEMPERATURE_DIFFERENCE
        return ChannelColumn(self.column, self.unit, parse(self.offset, dimension) / unit.factor, self.factor)


class RecordingTable(Table):
    path: Name
    clock_offset: SignedTime | None = None
    time_column: Name | None = None
    time_format: Literal["iso", "iso utc", "unix", "elapsed"] | None = None
    elapsed_start: Moment | None = None
    delimiter: Character = ","
    decimal: Character = "."
    header_row: Count = 1
    units_rows: Count = 0
    comment: Name | None = None
    zone: Annotated[str, reader(zone_text)] | None = None
    missing: tuple[Name, ...] = ()
    track: Literal["true", "magnetic"] = "true"
    columns: dict[str, ColumnTable] | None = None

    def faults(self) -> tuple[Fault, ...]:
        if self.columns is None:
            return tuple(
                (
                    (key,),
                    Problem("says nothing without [recording.columns]", "add the columns, or remove this"),
                )
                for key in ("time_column", "time_format", "elapsed_start", "zone")
                if getattr(self, key) is not None
            )
        return tuple(self._column_faults(self.columns)) + tuple(self._time_faults())

    def _time_faults(self) -> list[Fault]:
        found: list[Fault] = []
        for key, example in (("time_column", "Time"), ("time_format", "iso utc")):
            if getattr(self, key) is None:
                found.append(
                    (("columns",), Problem(f"'{key}' is missing", f'add it, like {key} = "{example}"'))
                )
        if (self.time_format == "elapsed") != (self.elapsed_start is not None) and self.time_format:
            what = (
                "an elapsed time needs the moment from which it counts"
                if self.elapsed_start is None
                else f"a time that is '{self.time_format}' does not count from a start"
            )
            mend = 'elapsed_start = 2026-05-12T09:30:00+01:00 goes with time_format = "elapsed" and no other'
            found.append((("time_format",), Problem(what, mend)))
        if self.delimiter == self.decimal:
            found.append(
                (
                    ("decimal",),
                    Problem("the decimal mark separates the columns too", "write both as in the file"),
                )
            )
        if self.header_row == 0:
            found.append(
                (("header_row",), Problem("rows count from 1", "write the row with the column names"))
            )
        return found

    def _column_faults(self, columns: dict[str, ColumnTable]) -> list[Fault]:
        from wringout.airplane.lookups import unknown_name

        found: list[Fault] = []
        if not columns:
            found.append((("columns",), Problem("no column is named", "name at least one channel")))
        for channel, column in columns.items():
            if channel not in CHANNELS:
                found.append((("columns", channel), unknown_name("channel", channel, list(CHANNELS))))
                continue
            try:
                find_unit(column.unit, CHANNELS[channel])
            except InputError as error:
                found += [(("columns", channel, "unit"), problem) for problem in error.problems]
                continue
            try:
                column.made(channel)
            except InputError as error:
                found += [(("columns", channel, "offset"), problem) for problem in error.problems]
        return found

    def made(self) -> RecordingRef:
        return RecordingRef(self.path, self._mapping(), self.clock_offset)

    def _mapping(self) -> ColumnMapping | None:
        if self.columns is None or self.time_column is None or self.time_format is None:
            return None
        return ColumnMapping(
            time_column=self.time_column,
            time_format=self.time_format,
            channels={channel: column.made(channel) for channel, column in self.columns.items()},
            elapsed_start=None if self.elapsed_start is None else self.elapsed_start.isoformat(),
            delimiter=self.delimiter,
            decimal=self.decimal,
            header_row=self.header_row,
            units_rows=self.units_rows,
            comment=self.comment,
            zone=self.zone,
            missing=self.missing,
            track=self.track,
        )
