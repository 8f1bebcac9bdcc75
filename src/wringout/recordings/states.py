"""A moving point: what is measured of it, when its states are, and what is told of them.

State of one axis: position p, speed v, acceleration a. Between moments dt apart, with white jerk of density
q,

    x' = F x + w,   F = [1 dt dt²/2; 0 1 dt; 0 0 1],   cov w = q [dt⁵/20 dt⁴/8 dt³/6; · dt³/3 dt²/2; · · dt].
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.recording import FloatArray

IntArray = NDArray[np.int64]

STATE = 3
FACTORS = 15  # numbers a state in `chain`
CLOSEST = 0.04  # s; moments nearer than this share one state, or the system loses its digits
# A priori nearly nothing is known of the first state: standard deviations in m, m/s, m/s²
FIRST_STATE = np.array([1e5, 3e2, 3e1])


@dataclass(frozen=True, slots=True)
class Measured:
    """Measurements of one or more axes that share their noise.

    `position` and `speed` have shape (n, axes), NaN where there is none (then in every axis); `position_sd`
    and `speed_sd` have shape (n,).
    """

    time: FloatArray
    position: FloatArray
    position_sd: FloatArray
    speed: FloatArray
    speed_sd: FloatArray


@dataclass(frozen=True, slots=True)
class Smoothed:
    """Means, shape (n, axes), and standard deviations common to all axes, shape (n,)."""

    position: FloatArray
    speed: FloatArray
    acceleration: FloatArray
    position_sd: FloatArray
    speed_sd: FloatArray
    acceleration_sd: FloatArray


@dataclass(frozen=True, slots=True)
class Moments:
    """The state that each moment belongs to, its time after that state [s], and the states' times [s]."""

    state: IntArray
    offset: FloatArray
    at: FloatArray

    def part(self, first: int, after: int) -> tuple[slice, "Moments"]:
        """The moments of states `first` to before `after`."""
        low, high = np.searchsorted(self.state, (first, after))
        inside = slice(int(low), int(high))
        return inside, Moments(self.state[inside] - first, self.offset[inside], self.at[first:after])


def moments_of(time: FloatArray) -> Moments:
    """The states of rising moments [s], none nearer to another than `CLOSEST`."""
    close = np.flatnonzero(np.diff(time) < CLOSEST) + 1
    if not len(close):
        return Moments(np.arange(len(time)), np.zeros(len(time)), time)
    begins = np.ones(len(time), dtype=np.bool_)
    times = time.tolist()
    last, before = times[0], 0
    for index in close.tolist():  # only these can share a state
        if index - 1 != before or begins[before]:
            last = times[index - 1]
        begins[index] = times[index] - last >= CLOSEST
        before = index
    state = np.cumsum(begins) - 1
    at = time[begins]
    return Moments(state, time - at[state], at)
