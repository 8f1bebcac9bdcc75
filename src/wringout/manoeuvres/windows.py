"""The longest stretches over which quantities stay within their tolerances."""

from collections.abc import Sequence

import numpy as np

from wringout.manoeuvres.motion import BoolArray, Motion
from wringout.recordings.exclusion import spans
from wringout.recordings.recording import FloatArray

SECOND = 1.0  # s between the samples that the search uses


class Seconds:
    """The smoothed motion at every whole second, gaps marked as unknown."""

    def __init__(self, motion: Motion) -> None:
        self.time: FloatArray = np.arange(motion.time[0], motion.time[-1], SECOND)
        self.ground_speed = self.sampled(motion, motion.ground_speed)
        self.course = self.sampled(motion, motion.course)
        self.up = self.sampled(motion, motion.path.up)
        self.up_speed = self.sampled(motion, motion.path.up_speed)
        self.acceleration = self.sampled(motion, motion.acceleration)
        place = np.clip(np.searchsorted(motion.time, self.time), 1, len(motion.time) - 1)
        self.known: BoolArray = motion.known[place] & motion.known[place - 1]
        self.known &= motion.time[place] - motion.time[place - 1] < 12.0
        airspeed = motion.channel("indicated_airspeed")
        self.airspeed = None if airspeed is None else _interpolated(motion.time, airspeed, self.time)
        self.turn_rate: FloatArray = moving_mean(np.gradient(self.course, SECOND), 7)

    def sampled(self, motion: Motion, values: FloatArray) -> FloatArray:
        """A smoothed quantity at the whole seconds."""
        result: FloatArray = np.interp(self.time, motion.time, values)
        return result


def _interpolated(time: FloatArray, values: FloatArray, at: FloatArray) -> FloatArray | None:
    valid = np.isfinite(values)
    result: FloatArray = np.interp(at, time[valid], values[valid])
    after = np.clip(np.searchsorted(time[valid], at), 1, np.count_nonzero(valid) - 1)
    result[time[valid][after] - time[valid][after - 1] > 12.0] = np.nan
    return result


def moving_mean(values: FloatArray, width: int) -> FloatArray:
    """Mean over `width` samples centred on each, at the ends over those that there are; NaN if any is NaN."""
    half = width // 2
    unknown = np.isnan(values)
    total = np.concatenate(([0.0], np.cumsum(np.where(unknown, 0.0, values))))
    index = np.arange(len(values))
    low, high = np.maximum(index - half, 0), np.minimum(index + half + 1, len(values))
    mean: FloatArray = (total[high] - total[low]) / (high - low)
    if unknown.any():
        count = np.concatenate(([0], np.cumsum(unknown)))
        mean[count[high] > count[low]] = np.nan
    return mean


def hysteresis(tight: BoolArray, loose: BoolArray) -> list[tuple[int, int]]:
    """Runs of `loose` that hold somewhere `tight`, as first and one-past-last."""
    return [
        (int(first), int(after))
        for first, after in zip(*spans(loose), strict=True)
        if bool(tight[first:after].any())
    ]


def within_tolerance(
    quantities: Sequence[tuple[FloatArray, float]], first: int, after: int, shortest: int
) -> list[tuple[int, int]]:
    """Windows over which each quantity's range stays within its tolerance, the longest taken first."""
    if after - first < shortest:
        return []
    best = _longest(quantities, first, after)
    if best[1] - best[0] < shortest:
        return []
    return [
        *within_tolerance(quantities, first, best[0], shortest),
        best,
        *within_tolerance(quantities, best[1], after, shortest),
    ]


def _longest(quantities: Sequence[tuple[FloatArray, float]], first: int, after: int) -> tuple[int, int]:
    """The longest window, the first of equals.

    Part of a window that holds holds too, so the greatest length is found by halving. The extremes of every
    window of a length come from those of two overlapping ones of a power of two.
    """
    values = np.stack([values[first:after] for values, _ in quantities])
    tolerances = np.array([[tolerance] for _, tolerance in quantities])
    highest, lowest = [values], [values]
    while 2 ** len(highest) <= values.shape[1]:
        half = 2 ** (len(highest) - 1)
        highest.append(np.maximum(highest[-1][:, :-half], highest[-1][:, half:]))
        lowest.append(np.minimum(lowest[-1][:, :-half], lowest[-1][:, half:]))

    def holding(length: int) -> BoolArray:
        """Whether the window of a length that begins at each place holds."""
        level = length.bit_length() - 1
        high, low, shift = highest[level], lowest[level], length - 2**level
        ends = slice(shift, None), slice(None, high.shape[1] - shift)
        spread = np.maximum(high[:, ends[0]], high[:, ends[1]]) - np.minimum(low[:, ends[0]], low[:, ends[1]])
        held: BoolArray = np.all(spread <= tolerances, axis=0)
        return held

    holds, fails = 0, after - first + 1
    start = first
    while fails - holds > 1:
        length = (holds + fails) // 2 if holds or fails <= after - first else after - first  # the whole first
        where = np.flatnonzero(holding(length))
        if len(where):
            holds, start = length, first + int(where[0])
        else:
            fails = length
    return start, start + holds
