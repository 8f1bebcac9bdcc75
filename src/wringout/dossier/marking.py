"""What an evaluator says of a recording, written into the card: marks, named spans, what does not count."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from wringout.dossier.card import Mark, NamedManoeuvre
from wringout.dossier.editing import Content, value_at
from wringout.dossier.history import edit
from wringout.dossier.table_editing import with_table, without_table
from wringout.problems import InputError, Problem

MARKS, SPANS = "mark", "manoeuvre"  # the card's lists of tables
FINEST = timedelta(milliseconds=100)  # to which a moment is written: no hand is surer


def put_mark(root: Path, file: str, version: str, mark: Mark, at: int | None = None) -> str:
    """Add a mark to a card, or put it in the place of the one that is there.

    Parameters
    ----------
    root : Path
        The dossier.
    file, version : str
        The card's file, and the version of it that the person saw.
    mark : Mark
        Its time is written to a tenth of a second.
    at : int, optional
        Which of the card's marks it replaces; left out, it is added.

    Returns
    -------
    str
        The card's new version.

    Raises
    ------
    InputError
        As `wringout.dossier.history.edit`, or there is no such mark.
    """
    values: dict[str, Content] = {"time": _written(mark.time), "kind": mark.kind}
    if at is None and mark.time_sd != 0.5:
        values["time_sd"] = f"{mark.time_sd:g} s"
    verb = "at" if at is None else "to"
    words = f"{mark.kind} {verb} {_clock(mark.time)}"
    return edit(root, file, version, _putting(file, (MARKS, at), values | _said(mark)), words)


def name_span(root: Path, file: str, version: str, span: NamedManoeuvre, at: int | None = None) -> str:
    """Say on a card what was flown from when to when, or that it does not count; arguments as `put_mark`."""
    values: dict[str, Content] = {
        "start": _written(span.start),
        "end": _written(span.end),
        "kind": span.kind,
    }
    what = "left out" if span.kind == "none" else span.kind
    words = f"{what}, {_clock(span.start)} to {_clock(span.end)}"
    return edit(root, file, version, _putting(file, (SPANS, at), values | _said(span)), words)


def take_out(root: Path, file: str, version: str, place: tuple[str, int]) -> str:
    """Take one mark (`MARKS`) or named span (`SPANS`) out of a card; the new version.

    Raises InputError as `put_mark`, or where the place is of something else.
    """
    if place[0] not in (MARKS, SPANS):
        raise InputError(
            Problem(f"'{place[0]}' cannot be taken out here", "take out a mark or a manoeuvre", file)
        )
    words = "mark taken out" if place[0] == MARKS else "span by hand taken out"
    return edit(root, file, version, lambda data: without_table(file, data, place), words)


def _putting(
    file: str, place: tuple[str, int | None], values: dict[str, Content]
) -> Callable[[bytes], bytes]:
    key, at = place

    def change(data: bytes) -> bytes:
        there = value_at(file, data, (key,))
        count = len(there) if isinstance(there, list) else 0
        if at is not None and not 0 <= at < count:
            raise InputError(Problem(f"there is no '{key}.{at}'", "reload the page", file))
        return with_table(file, data, (key, count if at is None else at), values)

    return change


def _said(item: Mark | NamedManoeuvre) -> dict[str, Content]:
    return {key: text for key, text in (("point", item.point), ("note", item.note)) if text}


def _written(time: datetime) -> datetime:
    """The moment to the nearest tenth of a second. Raises InputError where it has no zone."""
    if time.tzinfo is None:
        raise InputError(Problem(f"the time {time} has no zone", "write it like 2026-05-12T09:30:00Z"))
    steps = int(time.microsecond / FINEST.microseconds + 0.5)
    return time.replace(microsecond=0) + steps * FINEST


def _clock(time: datetime) -> str:
    written = _written(time)
    return f"{written:%H:%M:%S}.{written.microsecond // FINEST.microseconds}"
