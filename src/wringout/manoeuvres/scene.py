"""Everything that a finder is given."""

from dataclasses import dataclass

from wringout.manoeuvres.ground import Contact
from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.motion import Motion


@dataclass(frozen=True, slots=True)
class Scene:
    """The motion, its sources of height with the geometric first, and the times on the ground in order."""

    motion: Motion
    heights: tuple[Height, ...]
    grounds: tuple[Contact, ...]
