"""Channels that stand still while the airplane moves."""

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.exclusion import leave_out
from wringout.recordings.inspection import step_of
from wringout.recordings.jumps import step_distances
from wringout.recordings.recording import Exclusion, FloatArray

# Seconds for which a channel cannot honestly read exactly the same in flight
LONGEST_STILL = {
    "ground_speed": 20.0,
    "indicated_airspeed": 20.0,
    "true_airspeed": 20.0,
    "vertical_speed": 60.0,
    "height": 60.0,
    "pressure_altitude": 60.0,
}
MOVING = 15.0  # m/s
# Level flight is smooth, and a coarse step hides what it has: seconds more for each metre of step
STILL_BY_STEP = {"height": 60.0, "pressure_altitude": 60.0}
USUAL_STILL = 20  # times the channel's usual time between changes
# A height that was frozen goes on elsewhere; one that the airplane flew at level goes on from there
STEPS_ON = 2.0  # of the channel's small changes …
RATE_ON = 5.0  # m/s … and what the airplane climbs or sinks in the time of the change
SMALL_CHANGE = 0.1  # of the changes are smaller


def frozen_channels(time: FloatArray, channels: dict[str, FloatArray]) -> list[Exclusion]:
    """Leaves out, in place, spans in which a channel repeats one value although the airplane moves.

    Needs positions; a channel that changes seldom by nature (coarse, or sampled slowly) is judged by its own
    habit. A height counts as frozen only where it then jumps, or the record ends with it: an altitude in
    steps of 25 ft honestly reads the same for as long as an autopilot holds it.
    """
    if "latitude" not in channels or "longitude" not in channels:
        return []
    fixes = np.flatnonzero(np.isfinite(channels["latitude"]) & np.isfinite(channels["longitude"]))
    if len(fixes) < 2:
        return []
    path: FloatArray | None = None
    exclusions = []
    for name, shortest in LONGEST_STILL.items():
        if name not in channels:
            continue
        valid = np.flatnonzero(np.isfinite(channels[name]))
        if len(valid) < 3:
            continue
        values = channels[name][valid]
        first = np.flatnonzero(np.concatenate(([True], np.diff(values) != 0)))
        last = np.concatenate((first[1:], [len(valid)])) - 1
        still = time[valid[last]] - time[valid[first]]
        changes = np.diff(time[valid[first]])
        usual = float(np.median(changes)) if len(changes) else 0.0
        longest = shortest + STILL_BY_STEP.get(name, 0.0) * (step_of(values) or 0.0)
        long = still > max(longest, USUAL_STILL * usual)
        if not long.any():
            continue
        if name in STILL_BY_STEP:
            long &= ~_goes_on(time[valid], values, last)
        path = _travelled(time, channels, fixes) if path is None else path
        frozen = long & (path[valid[last]] - path[valid[first]] > MOVING * still)
        flags = np.zeros(len(time), dtype=np.bool_)
        for start, end in zip(first[frozen], last[frozen], strict=True):
            flags[valid[start + 1] : valid[end] + 1] = True
        exclusions += leave_out(
            time,
            channels,
            flags & np.isfinite(channels[name]),
            (name,),
            reason="frozen while the airplane moved",
            kind="frozen",
        )
    return exclusions


def _goes_on(time: FloatArray, values: FloatArray, last: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Whether the change that ends each still span leads on from its value; False where the record ends."""
    after = np.minimum(last + 1, len(values) - 1)
    change = np.abs(values[after] - values[last])
    changes = np.abs(np.diff(values))
    small = float(np.quantile(changes[changes > 0], SMALL_CHANGE)) if np.any(changes > 0) else 0.0
    goes_on: NDArray[np.bool_] = (change <= STEPS_ON * small + RATE_ON * (time[after] - time[last])) & (
        after > last
    )
    return goes_on


def _travelled(time: FloatArray, channels: dict[str, FloatArray], fixes: NDArray[np.int64]) -> FloatArray:
    """Distance covered until each sample [m]."""
    steps = step_distances(channels["latitude"][fixes], channels["longitude"][fixes])
    travelled: FloatArray = np.interp(time, time[fixes], np.concatenate(([0.0], np.cumsum(steps))))
    return travelled
