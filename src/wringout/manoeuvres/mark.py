"""An observer's mark in the recording's own seconds."""

from dataclasses import dataclass
from typing import Literal

MarkKind = Literal[
    "start of roll",
    "lift-off",
    "touchdown",
    "full stop",
    "stall break",
    "stall warning",
    "exclude from",
    "exclude to",
]


@dataclass(frozen=True, slots=True)
class TimedMark:
    """At `time` [s from the recording's start] this happened, ± `time_sd` [s]; it overrides the finder."""

    time: float
    kind: MarkKind
    time_sd: float = 0.5
    note: str = ""
