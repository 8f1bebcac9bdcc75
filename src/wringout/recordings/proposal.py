"""What a table's columns seem to mean: a mapping to look at before it is used, and what it leaves open."""

import re
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import numpy as np

from wringout.problems import InputError, Problem
from wringout.recordings.delimited import DelimitedReader
from wringout.recordings.log import Log
from wringout.recordings.mapping import ChannelColumn, ColumnMapping
from wringout.recordings.parquet import ParquetReader
from wringout.recordings.parquet import layout as parquet_layout
from wringout.recordings.reading import read
from wringout.recordings.recording import CHANNELS
from wringout.recordings.references import GREATEST_VARIATION, track_note, track_offset
from wringout.recordings.sniffing import Layout, sniff
from wringout.recordings.vocabulary import (
    COORDINATES,
    OWN_UNIT,
    WARNINGS,
    channel_of,
    split_name,
    unit_of,
    unit_trouble,
)

MOMENT = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d+)?)?\s*(Z|[+-]\d\d:?(\d\d)?)?$")
DATE = re.compile(r"\d{4}-\d\d-\d\d$")
CLOCK = re.compile(r"\d\d:\d\d:\d\d(\.\d+)?$")
ZONE = re.compile(r"[+-]\d\d:\d\d$")
UNIVERSAL = {"utc", "gmt", "zulu", "gps"}
SECONDS_NAMES = ("time", "elapsed", "elapsed time", "session time", "seconds", "timer")
SAMPLE = 2000  # rows that are looked at
COARSE = 0.3  # share of rows with the time of the row before, above which a finer clock is sought


@dataclass(frozen=True, slots=True)
class Proposal:
    """A mapping as far as the file tells it.

    `asked` are sentences on what is still to be said before the mapping can be used; `notes` on what to look
    at; `doubtful` are columns whose channel is known and whose unit is not, with the reason; `left` those of
    known channels that another column has; `unknown` those whose names say nothing.
    """

    layout: Layout
    mapping: ColumnMapping
    asked: tuple[str, ...]
    notes: tuple[str, ...]
    doubtful: tuple[tuple[str, str, str], ...]  # (channel, column, why)
    left: tuple[tuple[str, str], ...]  # (channel, column)
    unknown: tuple[str, ...]


def propose(path: Path) -> Proposal:
    """What the columns of a CSV or Parquet seem to mean, from their names, units and first rows.

    Raises
    ------
    InputError
        The layout cannot be told, or no column is a time.
    """
    layout = parquet_layout(path) if _is_parquet(path) else sniff(path)
    time_columns, form, asked, notes, start = _time(layout, path.name)
    channels, doubtful, left, unknown = _channels(layout, time_columns)
    mapping = ColumnMapping(
        " + ".join(time_columns),
        form,  # type: ignore[arg-type]  # one of its literals
        channels,
        elapsed_start=start,
        delimiter=layout.delimiter,
        decimal=layout.decimal,
        header_row=layout.header_row,
        units_rows=layout.units_rows,
        comment=layout.comment,
    )
    warned = tuple(
        f"'{column.column}' is taken as the {channel.replace('_', ' ')}: {WARNINGS[words]}"
        for channel, column in channels.items()
        if (words := split_name(column.column)[0]) in WARNINGS
    )
    proposal = Proposal(layout, mapping, asked, (*notes, *warned), doubtful, left, unknown)
    return _with_track_reference(path, proposal)


def stand_in(proposal: Proposal) -> ColumnMapping:
    """The mapping with what is still to be said filled in, by UTC and 2000-01-01, for a look at the rows."""
    mapping = proposal.mapping
    if mapping.time_format == "elapsed" and mapping.elapsed_start is None:
        return replace(mapping, elapsed_start="2000-01-01T00:00:00Z")
    return replace(mapping, zone="Z") if proposal.asked and mapping.time_format == "iso" else mapping


def first_rows(path: Path, proposal: Proposal) -> Log | None:
    """All samples as the mapping reads them, before cleaning; None where no column can be mapped yet."""
    reader = ParquetReader() if _is_parquet(path) else DelimitedReader()
    return reader.read(path, stand_in(proposal)) if proposal.mapping.channels else None


def _is_parquet(path: Path) -> bool:
    with path.open("rb") as stream:
        return ParquetReader().recognises(stream.read(4), path.suffix)


def _with_track_reference(path: Path, proposal: Proposal) -> Proposal:
    """Tracks held against the positions: magnetic ones are proposed as such, with the evidence."""
    if not {"latitude", "longitude", "track"} <= set(proposal.mapping.channels):
        return proposal
    try:
        offset = track_offset(read(path, stand_in(proposal)))
    except InputError:
        return proposal
    note = None if offset is None else track_note(offset)
    if offset is None or note is None:
        return proposal
    magnetic = abs(offset.value) < GREATEST_VARIATION
    mapping = replace(proposal.mapping, track="magnetic") if magnetic else proposal.mapping
    return replace(proposal, mapping=mapping, notes=(*proposal.notes, note))


def _channels(
    layout: Layout, time_columns: tuple[str, ...]
) -> tuple[
    dict[str, ChannelColumn],
    tuple[tuple[str, str, str], ...],
    tuple[tuple[str, str], ...],
    tuple[str, ...],
]:
    candidates: dict[str, list[tuple[int, int, str, str]]] = {}
    unknown = []
    for index, (name, below) in enumerate(zip(layout.header, layout.units, strict=True)):
        if name in time_columns or not name:
            continue
        words, written = split_name(name)
        found = channel_of(words)
        if found is None or layout.header.count(name) > 1:
            unknown.append(name)
            continue
        rank, channel = found
        own = next((OWN_UNIT[word] for word in words.split() if word in OWN_UNIT), "")
        written = below or written or own or COORDINATES.get(channel, "")
        candidates.setdefault(channel, []).append((rank, index, name, written))
    chosen, doubtful, left = {}, [], []
    for channel in CHANNELS:
        for _, _, name, written in sorted(candidates.get(channel, [])):
            if channel in chosen:
                left.append((channel, name))
                continue
            unit = unit_of(written, CHANNELS[channel]) if written else None
            if unit is None:
                why = unit_trouble(written, CHANNELS[channel]) if written else "the file names no unit"
                doubtful.append((channel, name, why))
            elif _filled(layout, name):
                chosen[channel] = ChannelColumn(name, unit)
            else:
                left.append((channel, name))
    doubtful = [item for item in doubtful if item[0] not in chosen]
    return chosen, tuple(doubtful), tuple(left), tuple(unknown)


def _filled(layout: Layout, name: str) -> bool:
    """Whether any of the first rows has something in this column, or there are too few rows to tell."""
    index = layout.header.index(name)
    return any(index < len(row) and row[index] for row in layout.rows[:SAMPLE])


def _column(layout: Layout, index: int) -> list[str]:
    return [row[index] if index < len(row) else "" for row in layout.rows[:SAMPLE]]


def _all_like(pattern: re.Pattern[str], cells: list[str]) -> bool:
    filled = [cell for cell in cells if cell]
    return len(filled) > 0 and sum(pattern.match(cell) is not None for cell in filled) >= 0.95 * len(filled)


Time = tuple[tuple[str, ...], str, tuple[str, ...], tuple[str, ...], str | None]


def _time(layout: Layout, file: str) -> Time:
    """Columns, format, what is asked, what is noted, and an elapsed time's start."""
    found = [option for option in (_moments(layout), _unix(layout), _date_and_clock(layout)) if option]
    kin = _kin_of_latitude(layout)
    found.sort(key=lambda option: (not any(name in kin for name in option[0]), len(option[2])))
    counter = _counter(layout)
    if found:
        best = found[0]
        return _finer(layout, best, counter) or best
    if counter is not None:
        name = layout.header[counter]
        ask = "the moment from which its seconds count is to be given: elapsed_start = 2026-05-12T09:30:00Z"
        return (name,), "elapsed", (ask,), (), None
    raise InputError(
        Problem(
            "no column is seen to be a time: neither dates with times of day, nor seconds",
            "export the recording with a time in each row",
            file,
            layout.header_row,
        )
    )


def _zone_asked(name: str, words: str) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """Format, what is asked and what is noted, of texts that carry no zone."""
    if UNIVERSAL & set(words.split()):
        return "iso utc", (), (f"'{name}' is taken as UTC, by its name",)
    return "iso", ('the zone of its times is to be given, the file has none: zone = "+01:00"',), ()


def _moments(layout: Layout) -> Time | None:
    best: Time | None = None
    for index, name in enumerate(layout.header):
        cells = _column(layout, index)
        if layout.header.count(name) > 1 or not _all_like(MOMENT, cells) or _constant(cells):
            continue
        match = MOMENT.match(next(cell for cell in cells if cell))
        zoned = match is not None and match[3] is not None
        form, asked, notes = ("iso", (), ()) if zoned else _zone_asked(name, split_name(name)[0])
        option: Time = ((name,), form, asked, notes, None)
        if best is None or len(asked) < len(best[2]):
            best = option
    return best


def _constant(cells: list[str]) -> bool:
    """The same in every one of many rows: when something began, not when it was measured."""
    return len(cells) > 50 and len(set(cells)) == 1


def _unix(layout: Layout) -> Time | None:
    kin = _kin_of_latitude(layout)
    names = []
    for index, name in enumerate(layout.header):
        cells = [cell for cell in _column(layout, index) if cell]
        try:
            values = np.array([float(cell.replace(layout.decimal, ".")) for cell in cells])
        except ValueError:
            continue
        if len(values) and np.all((values > 6e8) & (values < 4e9)) and layout.header.count(name) == 1:
            names.append(name)
    names.sort(key=lambda name: name not in kin)
    return ((names[0],), "unix", (), (), None) if names else None


def _kin_of_latitude(layout: Layout) -> set[str]:
    """Columns whose name begins with the same word as that of the latitude, where it has more than one."""
    for name in layout.header:
        words = split_name(name)[0].split()
        found = channel_of(" ".join(words))
        if found is not None and found[1] == "latitude" and len(words) > 1:
            return {other for other in layout.header if split_name(other)[0].split()[:1] == words[:1]}
    return set()


def _date_and_clock(layout: Layout) -> Time | None:
    kinds: dict[str, list[str]] = {"date": [], "clock": [], "zone": []}
    for index, name in enumerate(layout.header):
        cells = _column(layout, index)
        for kind, pattern in (("date", DATE), ("clock", CLOCK), ("zone", ZONE)):
            if layout.header.count(name) == 1 and _all_like(pattern, cells):
                kinds[kind].append(name)
    if not kinds["date"] or not kinds["clock"]:
        return None
    date, clock = kinds["date"][0], kinds["clock"][0]
    if kinds["zone"]:
        return (date, clock, kinds["zone"][0]), "iso", (), (), None
    words = f"{split_name(date)[0]} {split_name(clock)[0]}"
    form, asked, notes = _zone_asked(f"{date} + {clock}", words)
    return (date, clock), form, asked, notes, None


def _counter(layout: Layout) -> int | None:
    """A column of seconds that rise from row to row."""
    for index, name in enumerate(layout.header):
        words, unit = split_name(name)
        unit = layout.units[index] or unit
        if words not in SECONDS_NAMES or unit.lower() not in {"", "s", "sec", "seconds"}:
            continue
        values = _numbers(layout, index)
        if len(values) > 1 and np.all(np.diff(values) >= 0) and values[-1] > values[0]:
            return index
    return None


def _numbers(layout: Layout, index: int) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    try:
        return np.array([float(cell.replace(layout.decimal, ".")) for cell in _column(layout, index)])
    except ValueError:
        return np.array([])


def _finer(layout: Layout, coarse: Time, counter: int | None) -> Time | None:
    """Seconds that count, tied to moments that are written too coarsely for several rows a second."""
    names, form, asked, _, _ = coarse
    if counter is None or form == "unix" or asked or len(names) > 1:
        return None
    cells = _column(layout, layout.header.index(names[0]))
    values = _numbers(layout, counter)
    same = np.mean([one == two for one, two in pairwise(cells)]) if len(cells) > 1 else 0.0
    if same < COARSE or len(values) != len(cells):
        return None
    starts = []
    for cell, value in zip(cells, values, strict=True):
        try:
            moment = datetime.fromisoformat(cell.replace(" ", "T", 1).replace(" ", ""))
        except ValueError:
            continue
        starts.append(
            (moment if moment.tzinfo else moment.replace(tzinfo=UTC)) - timedelta(seconds=float(value))
        )
    if not starts:
        return None
    start = max(starts)  # the texts are cut to whole seconds, so the latest is nearest to the truth
    name = layout.header[counter]
    note = (
        f"'{names[0]}' has several rows a second with one time, so '{name}' is taken, which counts from "
        f"{start.isoformat(timespec='milliseconds')} by it"
    )
    return (name,), "elapsed", (), (note,), start.isoformat(timespec="milliseconds")
