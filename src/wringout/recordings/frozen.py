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


def frozen_channels(time: FloatArray, channels: dict[str, FloatArray]) -> list[Exclusion]:
    """Leaves out, in place, spans in which a channel repeats one value although the airplane moves.

    Needs positions; a channel that changes seldom by nature (coarse, or sampled slowly) is judged by its own
    habit.
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


def _travelled(time: FloatArray, channels: dict[str, FloatArray], fixes: NDArray[np.int64]) -> FloatArray:
    """Distance covered until each sample [m]."""
    steps = step_distances(channels["latitude"][fixes], channels["longitude"][fixes])
    travelled: FloatArray = np.interp(time, time[fixes], np.concatenate(([0.0], np.cumsum(steps))))
    return travelled
