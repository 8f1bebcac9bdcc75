"""The longest stretches over which quantities stay within their tolerances."""

from collections import deque
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
    """Mean over `width` samples centred on each; at the ends over those that there are."""
    half = width // 2
    total = np.concatenate(([0.0], np.cumsum(values)))
    index = np.arange(len(values))
    low, high = np.maximum(index - half, 0), np.minimum(index + half + 1, len(values))
    mean: FloatArray = (total[high] - total[low]) / (high - low)
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
    if all(np.ptp(values[first:after]) <= tolerance for values, tolerance in quantities):
        return [(first, after)]
    best = _longest([(values[first:after].tolist(), tolerance) for values, tolerance in quantities])
    best = (first + best[0], first + best[1])
    if best[1] - best[0] < shortest:
        return []
    return [
        *within_tolerance(quantities, first, best[0], shortest),
        best,
        *within_tolerance(quantities, best[1], after, shortest),
    ]


def _longest(quantities: Sequence[tuple[list[float], float]]) -> tuple[int, int]:
    """First and one-past-last of the longest window; lists, as a loop over arrays is slow."""
    lows: list[deque[int]] = [deque() for _ in quantities]
    highs: list[deque[int]] = [deque() for _ in quantities]
    start, best = 0, (0, 0)
    for index in range(len(quantities[0][0])):
        for (values, _), low, high in zip(quantities, lows, highs, strict=True):
            value = values[index]
            while low and values[low[-1]] >= value:
                low.pop()
            while high and values[high[-1]] <= value:
                high.pop()
            low.append(index)
            high.append(index)
        while any(
            values[high[0]] - values[low[0]] > tolerance
            for (values, tolerance), low, high in zip(quantities, lows, highs, strict=True)
        ):
            start += 1
            for queue in (*lows, *highs):
                while queue[0] < start:
                    queue.popleft()
        if index + 1 - start > best[1] - best[0]:
            best = (start, index + 1)
    return best
