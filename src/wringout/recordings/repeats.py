"""Fixes that a fast logger repeats until the receiver has a new one."""

import numpy as np

from wringout.recordings.exclusion import leave_out
from wringout.recordings.inspection import step_of
from wringout.recordings.jumps import EARTH_RADIUS, step_distances
from wringout.recordings.recording import Exclusion, ExclusionKind, FloatArray

RECEIVER = ("latitude", "longitude", "height", "ground_speed", "track", "vertical_speed")
MOVING = 2.0  # m/s; what is slower may stand, and many receivers pin a standing airplane's place
SEEN_MOTION = 1.0  # m while a fix is repeated, …
SEEN_STEPS = 2.0  # … and steps of the positions' text: less is rounding
REPEATED: ExclusionKind = "repeated"
FROZEN: ExclusionKind = "frozen"
STUCK = 5.0  # s; a repeat longer than this is a receiver that stood still


def repeated_fixes(time: FloatArray, channels: dict[str, FloatArray]) -> list[Exclusion]:
    """Leaves out, in place, all but the first of equal fixes where the airplane moved on meanwhile.

    A repeated fix carries a wrong time. It is told from a parked airplane by the next fix: had the receiver
    been asked again, the speed that leads there would have shown.
    """
    if "latitude" not in channels or "longitude" not in channels:
        return []
    latitude, longitude = channels["latitude"], channels["longitude"]
    valid = np.flatnonzero(np.isfinite(latitude) & np.isfinite(longitude))
    if len(valid) < 3:
        return []
    fix_time, phi, lam = time[valid], latitude[valid], longitude[valid]
    new = np.concatenate(([True], (np.diff(phi) != 0) | (np.diff(lam) != 0)))
    first = np.flatnonzero(new)
    run = np.cumsum(new) - 1  # which distinct fix each sample shows
    speed = np.zeros(len(first))
    if len(first) > 1:
        speed[:-1] = step_distances(phi[first], lam[first]) / np.diff(fix_time[first])
    ends = np.concatenate((first[1:], [len(valid)])) - 1
    shown = fix_time[ends] - fix_time[first]
    seen = max(SEEN_MOTION, SEEN_STEPS * EARTH_RADIUS * (step_of(latitude) or 0.0))
    repeated = ~new & ((speed > MOVING) & (speed * shown > seen))[run]
    if not repeated.any():
        return []
    stuck = (shown > STUCK)[run]
    origin = np.arange(len(time))
    origin[valid] = valid[first[run]]
    exclusions = []
    for chosen, reason, kind in (
        (repeated & ~stuck, "fix repeated until the receiver's next", REPEATED),
        (repeated & stuck, "position frozen while moving", FROZEN),
    ):
        flags = np.zeros(len(time), dtype=np.bool_)
        flags[valid[chosen]] = True
        for name in RECEIVER[2:]:  # the rest of the same fix was repeated with it
            if name in channels:
                values = channels[name]
                values[flags & (values == values[origin])] = np.nan
        exclusions += leave_out(time, channels, flags, ("latitude", "longitude"), reason=reason, kind=kind)
    return exclusions
