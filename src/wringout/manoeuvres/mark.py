"""What an observer marked and an evaluator named, in the recording's own seconds."""

from dataclasses import dataclass

from wringout.dossier.card import MarkKind, NamedKind


@dataclass(frozen=True, slots=True)
class TimedMark:
    """At `time` [s from the recording's start] this happened, ± `time_sd` [s]; it overrides the finder."""

    time: float
    kind: MarkKind
    time_sd: float = 0.5
    note: str = ""


@dataclass(frozen=True, slots=True)
class TimedSpan:
    """From `start` to `end` [s from the recording's start] this was flown; it overrides the finder.

    Of kind 'none' nothing is sought there.
    """

    start: float
    end: float
    kind: NamedKind
    note: str = ""
