"""What an observer marked and an evaluator named, in the recording's own seconds."""

from collections.abc import Sequence
from dataclasses import dataclass

from wringout.dossier.card import MarkKind, NamedKind

SAME_EVENT = 5.0  # s within which two people, or one and the same person twice, mark one event


@dataclass(frozen=True, slots=True)
class TimedMark:
    """At `time` [s from the recording's start] this happened, ± `time_sd` [s]; it overrides the finder."""

    time: float
    kind: MarkKind
    time_sd: float = 0.5
    note: str = ""


def told_once(marks: Sequence[TimedMark]) -> list[TimedMark]:
    """Marks of one kind in order of time, of those that tell the same event the most certain."""
    found: list[TimedMark] = []
    for mark in sorted(marks, key=lambda each: each.time):
        if found and mark.time - found[-1].time < SAME_EVENT:
            found[-1] = min(found[-1], mark, key=lambda each: each.time_sd)
        else:
            found.append(mark)
    return found


@dataclass(frozen=True, slots=True)
class TimedSpan:
    """From `start` to `end` [s from the recording's start] this was flown; it overrides the finder.

    Of kind 'none' nothing is sought there.
    """

    start: float
    end: float
    kind: NamedKind
    note: str = ""
