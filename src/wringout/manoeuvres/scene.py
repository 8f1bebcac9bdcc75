"""Everything that a finder is given."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from wringout.manoeuvres.ground import Contact
from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.motion import BoolArray, Motion
from wringout.manoeuvres.windows import Seconds

CLEAR = 10.0  # s from the ground within which nothing steady is sought


@dataclass(frozen=True)
class Scene:
    """The motion, its sources of height with the geometric first, and the times on the ground in order."""

    motion: Motion
    heights: tuple[Height, ...]
    grounds: tuple[Contact, ...]

    @cached_property
    def seconds(self) -> Seconds:
        """The motion at every whole second."""
        return Seconds(self.motion)

    @cached_property
    def airborne(self) -> BoolArray:
        """Whether each whole second lies clear of every time on the ground."""
        clear = np.ones(len(self.seconds.time), dtype=np.bool_)
        for contact in self.grounds:
            first = np.searchsorted(self.seconds.time, contact.start - CLEAR)
            after = np.searchsorted(self.seconds.time, contact.end + CLEAR, side="right")
            clear[first:after] = False
        return clear
