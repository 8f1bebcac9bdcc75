"""A recording that no card names yet: what it seems to hold, with its first rows as they would be read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from wringout.problems import InputError, Problem
from wringout.quantity.units import unit_symbols
from wringout.recordings import read
from wringout.recordings.log import Log
from wringout.recordings.proposal import Proposal, first_rows, propose
from wringout.recordings.reading import needs_mapping
from wringout.recordings.recording import CHANNELS


@dataclass(frozen=True, slots=True)
class ColumnChoice:
    """A column of a table, what it is taken for ('' for nothing) in which unit, and why that is doubtful."""

    column: str
    channel: str
    unit: str
    doubt: str


@dataclass(frozen=True, slots=True)
class Incoming:
    """A recording at `path` of the dossier; `proposal` None where the file says itself what it holds.

    `rows` are its samples as the columns are now read; `first` and `last` moments, UTC; `problems` what keeps
    it from being read.
    """

    path: str
    proposal: Proposal | None
    rows: Log | None
    first: datetime | None
    last: datetime | None
    channels: tuple[str, ...]
    problems: tuple[Problem, ...]


def look(file: Path, path: str, proposal: Proposal | None = None) -> Incoming:
    """What a recording seems to hold.

    Parameters
    ----------
    file : Path
        Where it is.
    path : str
        Its path in the dossier, for words.
    proposal : Proposal, optional
        Its columns as a person corrected them; left out, they are proposed.
    """
    try:
        if not needs_mapping(file):
            recording = read(file)
            last = float(recording.time[-1])
            end = datetime.fromtimestamp(recording.start.timestamp() + last, UTC)
            return Incoming(path, None, None, recording.start, end, tuple(recording.channels), ())
        seen = propose(file) if proposal is None else proposal
    except InputError as error:
        return Incoming(path, proposal, None, None, None, (), _of(error, path))
    try:
        rows = first_rows(file, seen)
        if not seen.asked:
            read(file, seen.mapping)
    except InputError as error:
        return Incoming(path, seen, None, None, None, (), _of(error, path))
    times = [] if rows is None else [float(time) for time in (rows.time[0], rows.time[-1])]
    known = [datetime.fromtimestamp(time, UTC) for time in times if time == time]  # noqa: PLR0124
    first, last_moment = (known[0], known[-1]) if known else (None, None)
    return Incoming(path, seen, rows, first, last_moment, tuple(seen.mapping.channels), ())


def column_choices(proposal: Proposal) -> tuple[ColumnChoice, ...]:
    """Every column of the table, in its order, with what it is proposed to be."""
    chosen = {item.column: (channel, item.unit) for channel, item in proposal.mapping.channels.items()}
    doubts = {column: (channel, why) for channel, column, why in proposal.doubtful}
    found = []
    for column in proposal.layout.header:
        channel, unit = chosen.get(column, ("", ""))
        doubt = ""
        if column in doubts:
            channel, doubt = doubts[column]
        found.append(ColumnChoice(column, channel, unit, doubt))
    return tuple(found)


def unit_choices() -> dict[str, tuple[str, ...]]:
    """The units that a column may be in, by channel."""
    return {channel: unit_symbols(dimension) for channel, dimension in CHANNELS.items()}


def _of(error: InputError, path: str) -> tuple[Problem, ...]:
    return tuple(
        Problem(problem.what, problem.mend, path, problem.line, problem.field) for problem in error.problems
    )
