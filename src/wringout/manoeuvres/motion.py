"""What the finders look at: the smoothed motion, the raw heights and the marks."""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.card import MarkKind
from wringout.manoeuvres.mark import TimedMark, TimedSpan, told_once
from wringout.recordings.exclusion import spans
from wringout.recordings.inspection import step_of
from wringout.recordings.recording import FloatArray, Recording, Track

BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]

SLEPT = 10.0  # s without a sample; what lies before and after is no one run
LOST_SPEED = 3.0  # m/s of standard deviation; beyond it the path is a guess across a gap …
LOST_POSITION = 200.0  # … and beyond these metres


@dataclass(frozen=True)
class Motion:
    """One recording as the finders see it; all arrays share the shape of `time`."""

    recording: Recording
    path: Track
    stall_speed: float
    marks: tuple[TimedMark, ...]
    spans: tuple[TimedSpan, ...] = ()

    @property
    def time(self) -> FloatArray:
        """Seconds from the recording's start."""
        return self.path.time

    @cached_property
    def ground_speed(self) -> FloatArray:
        """Smoothed [m/s]."""
        speed: FloatArray = np.hypot(self.path.east_speed, self.path.north_speed)
        return speed

    @cached_property
    def course(self) -> FloatArray:
        """True track over the ground, unwrapped [rad]."""
        course: FloatArray = np.unwrap(np.arctan2(self.path.east_speed, self.path.north_speed))
        return course

    @cached_property
    def acceleration(self) -> FloatArray:
        """Along the track [m/s²]."""
        speed = np.maximum(self.ground_speed, 0.5)
        along: FloatArray = (
            self.path.east_speed * self.path.east_acceleration
            + self.path.north_speed * self.path.north_acceleration
        ) / speed
        return along

    @cached_property
    def known(self) -> BoolArray:
        """Where the path is measured, not guessed across a gap, and nothing excludes it."""
        known: BoolArray = (self.path.speed_sd < LOST_SPEED) & (self.path.position_sd < LOST_POSITION)
        if np.isfinite(self.path.up).any():
            known &= np.isfinite(self.path.up)
        for start, end in self.excluded:
            known[self.between(start, end)] = False
        return known

    @cached_property
    def excluded(self) -> tuple[tuple[float, float], ...]:
        """Spans named 'none', and those between the marks 'exclude from' and 'exclude to'.

        A lone mark reaches to the record's end.
        """
        spans = [(span.start, span.end) for span in self.spans if span.kind == "none"]
        opened: float | None = None
        for mark in sorted(self.marks, key=lambda each: each.time):
            if mark.kind == "exclude from" and opened is None:
                opened = mark.time
            elif mark.kind == "exclude to":
                spans.append((float(self.time[0]) if opened is None else opened, mark.time))
                opened = None
        if opened is not None:
            spans.append((opened, float(self.time[-1])))
        return tuple(spans)

    @cached_property
    def slept(self) -> BoolArray:
        """Whether the recorder slept before a sample; True at the first."""
        slept: BoolArray = np.concatenate(([True], np.diff(self.time) > SLEPT))
        return slept

    def runs(self, flags: BoolArray, begin: int = 0) -> list[tuple[int, int]]:
        """First and one-past-last of each run of True during which the recorder did not sleep.

        `flags` are those of the samples from `begin` on.
        """
        found: list[tuple[int, int]] = []
        for first, after in zip(*(begin + each for each in spans(flags)), strict=True):
            edges = [
                int(first),
                *(int(first) + 1 + np.flatnonzero(self.slept[first + 1 : after])),
                int(after),
            ]
            found.extend((int(low), int(high)) for low, high in pairwise(edges))
        return found

    def between(self, start: float, end: float) -> slice:
        """The samples from one moment to another, both included."""
        first, after = np.searchsorted(self.time, start), np.searchsorted(self.time, end, side="right")
        return slice(int(first), int(after))

    def known_between(self, start: float, end: float) -> IntArray:
        """Indices of the samples from one moment to another at which the path is known."""
        inside = self.between(start, end)
        indices: IntArray = inside.start + np.flatnonzero(self.known[inside])
        return indices

    def channel(self, name: str) -> FloatArray | None:
        """A channel's raw samples, or None where the recording has fewer than five."""
        return self.channels.get(name)

    @cached_property
    def channels(self) -> dict[str, FloatArray]:
        """The channels that have five samples and more."""
        return {
            name: values
            for name, values in self.recording.channels.items()
            if np.count_nonzero(np.isfinite(values)) >= 5
        }

    def step(self, name: str) -> float:
        """The rounding step of a channel, 0 where it shows none."""
        if name not in self._steps:
            self._steps[name] = step_of(self.channels[name]) or 0.0
        return self._steps[name]

    @cached_property
    def _steps(self) -> dict[str, float]:
        return {}

    def at(self, values: FloatArray, moment: float) -> float:
        """A smoothed quantity between its samples."""
        return float(np.interp(moment, self.time, values))

    def roll_notes(self, moment: float) -> tuple[str, ...]:
        """What a reader must know of the roll at a moment, where an accelerometer told it too."""
        return tuple(roll.note for roll in self.path.rolls if roll.note and roll.start <= moment <= roll.end)

    def index(self, moment: float) -> int:
        """The first sample not before a moment."""
        return min(int(np.searchsorted(self.time, moment)), len(self.time) - 1)

    def marked(self, kind: MarkKind, start: float, end: float) -> TimedMark | None:
        """The first mark of a kind between two moments; of several of the same event the most certain."""
        inside = [mark for mark in self.marks if mark.kind == kind and start <= mark.time <= end]
        return next(iter(told_once(inside)), None)
