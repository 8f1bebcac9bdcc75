"""The ground roll as a line: its direction, and distance along it."""

from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.motion import IntArray, Motion
from wringout.recordings.recording import FloatArray

WANDER = 0.15  # m/√s by which a receiver drifts along the track; common practice, no source


@dataclass(frozen=True, slots=True)
class Line:
    """The roll's direction on the map (east, north), and its true direction [rad], standard deviation."""

    direction: tuple[float, float]
    track: float
    track_sd: float

    def along(self, motion: Motion, inside: slice) -> FloatArray:
        """Distance along the roll [m] at some samples."""
        east, north = self.direction
        along: FloatArray = motion.path.east[inside] * east + motion.path.north[inside] * north
        return along

    def at(self, motion: Motion, moment: float) -> float:
        """Distance along the roll [m] at a moment."""
        east, north = self.direction
        return motion.at(motion.path.east, moment) * east + motion.at(motion.path.north, moment) * north


def roll_line(motion: Motion, start: float, end: float) -> Line:
    """The straight line of the fast part of a roll between two moments."""
    inside = motion.known_between(start, end)
    speed = motion.ground_speed[inside]
    fast = inside[speed > 0.5 * speed.max(initial=0.0)]
    weight = motion.ground_speed[fast]
    east = float(np.sum(weight * motion.path.east_speed[fast]))
    north = float(np.sum(weight * motion.path.north_speed[fast]))
    track = float(np.arctan2(east, north) % (2 * np.pi))
    off = motion.course[fast] - track
    off = (off + np.pi) % (2 * np.pi) - np.pi
    sd = float(np.sqrt(np.mean(off**2) / max(min(len(off), 5), 1)))
    return Line(_map_direction(motion, fast, track), track, max(sd, 1e-3))


def _map_direction(motion: Motion, fast: IntArray, track: float) -> tuple[float, float]:
    """The roll's direction on the map, which away from the first fix is not quite the true one."""
    first, last = fast[0], fast[-1]
    east = float(motion.path.east[last] - motion.path.east[first])
    north = float(motion.path.north[last] - motion.path.north[first])
    length = float(np.hypot(east, north))
    if length < 20.0:
        return float(np.sin(track)), float(np.cos(track))
    return east / length, north / length


def distance_sd(motion: Motion, first: float, first_sd: float, second: float, second_sd: float) -> float:
    """Standard deviation of the distance along the roll between two uncertain moments [m]."""
    total = WANDER**2 * abs(second - first)
    for moment, sd in ((first, first_sd), (second, second_sd)):
        total += (motion.at(motion.ground_speed, moment) * sd) ** 2 + motion.at(
            motion.path.position_sd, moment
        ) ** 2
    return float(np.sqrt(total))
