"""All finders over one recording."""

from collections.abc import Sequence
from typing import Protocol

from wringout.manoeuvres.climb_glide import ClimbGlideFinder
from wringout.manoeuvres.ground import contacts
from wringout.manoeuvres.heights import heights
from wringout.manoeuvres.landing import LandingFinder
from wringout.manoeuvres.level_leg import LevelLegFinder
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.manoeuvres.mark import TimedMark, TimedSpan
from wringout.manoeuvres.motion import Motion
from wringout.manoeuvres.named import with_named
from wringout.manoeuvres.scene import Scene
from wringout.manoeuvres.stall import StallFinder
from wringout.manoeuvres.takeoff import TakeOffFinder
from wringout.manoeuvres.turn import TurnFinder
from wringout.recordings.recording import Recording, Track


class Finder(Protocol):
    """Finds one kind of manoeuvre. A new one is a small file with this method, and its place in `FINDERS`."""

    def find(self, scene: Scene) -> list[Manoeuvre]:
        """Every manoeuvre of the kind, measured, in order of time."""
        ...


FINDERS: tuple[Finder, ...] = (
    TakeOffFinder(),
    LandingFinder(),
    LevelLegFinder(),
    ClimbGlideFinder(),
    StallFinder(),
    TurnFinder(),
)


def find(
    recording: Recording,
    track: Track,
    stall_speed: float,
    marks: Sequence[TimedMark] = (),
    spans: Sequence[TimedSpan] = (),
) -> tuple[Manoeuvre, ...]:
    """Every manoeuvre in a recording, measured, in order of time.

    Parameters
    ----------
    recording : Recording
    track : Track
        Of the same recording (`wringout.recordings.smooth`).
    stall_speed : float
        Rough, power off, landing flap, calibrated; thresholds are shares of it. [m/s]
    marks : sequence of TimedMark
        An observer's marks, which override the finders; spans between 'exclude from' and 'exclude to' are not
        searched.
    spans : sequence of TimedSpan
        What an evaluator says was flown from when to when: measured as said, and whatever is found there and
        shares more than half of itself with it gives way; spans of kind 'none' are not searched.

    Raises
    ------
    ValueError
        The stall speed is not positive, or the track is not that of the recording.
    """
    if not stall_speed > 0:
        raise ValueError(f"the stall speed must be positive, found {stall_speed}")
    if track.time.shape != recording.time.shape:
        raise ValueError("the track has other moments than the recording")
    motion = Motion(recording, track, stall_speed, tuple(marks), tuple(spans))
    sources = heights(motion)
    scene = Scene(motion, sources, contacts(motion, sources[0] if sources else None))
    found = [each for finder in FINDERS for each in finder.find(scene)]
    return tuple(sorted(with_named(motion, found), key=lambda each: (each.start, each.kind)))
