"""Long stretches in which a log goes on and the receiver is silent.

A moment without a measurement tells nothing, and leaving it out changes no other; thousands of them in a row
make the system of equations so stiff that it loses all its digits. So few are solved for, and the rest lie
between them: under white jerk the likeliest motion between two known states is the quintic through both.
"""

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.recording import FloatArray
from wringout.recordings.states import Smoothed

SILENT = 20.0  # s without a measurement that are thinned out
STATES = 50  # of a silent stretch that are solved for


def needed(time: FloatArray, measured: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Indices of the moments to be solved for: the measured ones, the short stretches, some of the long ones.

    Examples
    --------
    >>> time = np.arange(0.0, 400.0)
    >>> len(needed(time, (time < 100.0) | (time > 300.0)))
    249
    """
    count = len(time)
    seen = np.flatnonzero(measured)
    if not len(seen):
        return np.arange(count)
    # a silent stretch at an end of the record reaches to its last moment
    edges = np.concatenate(([-1], seen, [count]))
    bounds = np.concatenate((time[:1], time[seen], time[-1:]))
    lapse = np.diff(bounds)
    long = np.flatnonzero((lapse > SILENT) & (np.diff(edges) > STATES))
    keep = np.ones(count, dtype=np.bool_)
    for stretch in long:
        first, after = edges[stretch] + 1, edges[stretch + 1]
        keep[first:after] = False
        at = np.linspace(bounds[stretch], bounds[stretch + 1], STATES + 2)[1:-1]
        keep[np.clip(np.searchsorted(time, at), first, after - 1)] = True
    keep[[0, -1]] = True
    return np.flatnonzero(keep)


def between(solved: Smoothed, time: FloatArray, kept: NDArray[np.int64]) -> Smoothed:
    """The motion at all moments of `time` from that at the `kept` ones, the first and last among them.

    Deviations between are linear in time.
    """
    place = np.clip(np.searchsorted(kept, np.arange(len(time)), side="right") - 1, 0, len(kept) - 2)
    own = time[kept]
    length = np.diff(own)[place][:, None]
    share = (time - own[place])[:, None] / length
    start = (solved.position[place], solved.speed[place] * length, solved.acceleration[place] * length**2)
    end = (
        solved.position[place + 1],
        solved.speed[place + 1] * length,
        solved.acceleration[place + 1] * length**2,
    )
    # c₃ s³ + c₄ s⁴ + c₅ s⁵ beside the start's own motion meets the end's position, speed and acceleration
    short = end[0] - start[0] - start[1] - start[2] / 2
    slow = end[1] - start[1] - start[2]
    weak = end[2] - start[2]
    third = 10 * short - 4 * slow + weak / 2
    fourth = -15 * short + 7 * slow - weak
    fifth = 6 * short - 3 * slow + weak / 2
    position = start[0] + share * (
        start[1] + share * (start[2] / 2 + share * (third + share * (fourth + share * fifth)))
    )
    speed = start[1] + share * (start[2] + share * (3 * third + share * (4 * fourth + share * 5 * fifth)))
    acceleration = start[2] + share * (6 * third + share * (12 * fourth + share * 20 * fifth))
    speed /= length
    acceleration /= length**2
    # measured moments keep every digit
    position[kept], speed[kept], acceleration[kept] = solved.position, solved.speed, solved.acceleration
    return Smoothed(
        position,
        speed,
        acceleration,
        *(np.interp(time, own, sd) for sd in (solved.position_sd, solved.speed_sd, solved.acceleration_sd)),
    )
