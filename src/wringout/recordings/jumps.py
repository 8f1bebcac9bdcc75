"""Fixes that lie where the airplane cannot have been."""

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.exclusion import leave_out
from wringout.recordings.recording import Exclusion, FloatArray

EARTH_RADIUS = 6_371_000.0  # enough for steps between fixes
STRONGEST_TURN = 30.0  # m/s²; no light airplane leaves a straight line faster
SMALLEST_SPIKE = 6.0  # m; smaller ones are left to the smoother's noise
SMALLEST_HEIGHT_SPIKE = 15.0
SPIKE_DEVIATIONS = 8.0  # robust standard deviations of the fixes about their neighbours' middle
SLACK = 20.0  # m by which a step may exceed speed × time …
SPEED_SLACK = 15.0  # … and m/s by which its speed may
SPEED_WINDOW = 9  # steps over which speed is taken where no channel has it
LONGEST_EXCURSION = 10.0  # s that a group of wrong fixes lasts at most


def step_distances(latitude: FloatArray, longitude: FloatArray) -> FloatArray:
    """Distances between consecutive fixes [m], by the mean sphere; shape (n − 1,)."""
    north = np.diff(latitude)
    east = np.diff(longitude)
    if np.nanmax(np.abs(east), initial=0.0) > np.pi:  # across the date line
        east = (east + np.pi) % (2 * np.pi) - np.pi
    east *= np.cos((latitude[1:] + latitude[:-1]) / 2)
    distance: FloatArray = EARTH_RADIUS * np.sqrt(north**2 + east**2)
    return distance


def position_jumps(time: FloatArray, channels: dict[str, FloatArray]) -> list[Exclusion]:
    """Leaves out, in place, lone fixes far off their neighbours and excursions that the speed contradicts.

    A jump from which the receiver does not come back costs the fixes at both sides of it: which of them is
    right cannot be known.
    """
    if "latitude" not in channels or "longitude" not in channels:
        return []
    valid = np.flatnonzero(np.isfinite(channels["latitude"]) & np.isfinite(channels["longitude"]))
    if len(valid) < 5:
        return []
    phi, lam = channels["latitude"][valid], channels["longitude"][valid]
    lam = np.unwrap(lam)
    middle = np.cos(np.median(phi))
    plane = np.stack((EARTH_RADIUS * phi, EARTH_RADIUS * middle * lam))
    lone = _spikes(time[valid], plane, SMALLEST_SPIKE)
    keep = np.flatnonzero(~lone)
    excursion, steps = _excursions(
        time[valid][keep],
        phi[keep],
        lam[keep],
        channels.get("ground_speed", np.full(len(time), np.nan))[valid][keep],
    )
    exclusions = []
    for where, reason in (
        (valid[lone], "GNSS jump: fix far off the ones before and after"),
        (valid[keep[excursion]], "GNSS jump: fixes away from the path and back"),
        (valid[keep[steps]], "GNSS jump: the path goes on elsewhere than the speed allows"),
    ):
        flags = np.zeros(len(time), dtype=np.bool_)
        flags[where] = True
        exclusions += leave_out(time, channels, flags, ("latitude", "longitude"), reason=reason, kind="jump")
    return exclusions


def height_jumps(time: FloatArray, channels: dict[str, FloatArray]) -> list[Exclusion]:
    """Leaves out, in place, lone heights far off their neighbours."""
    exclusions = []
    for name in ("height", "pressure_altitude"):
        if name not in channels:
            continue
        valid = np.flatnonzero(np.isfinite(channels[name]))
        if len(valid) < 5:
            continue
        lone = _spikes(time[valid], channels[name][valid][None], SMALLEST_HEIGHT_SPIKE)
        flags = np.zeros(len(time), dtype=np.bool_)
        flags[valid[lone]] = True
        exclusions += leave_out(
            time, channels, flags, (name,), reason="jump: far off the samples before and after", kind="jump"
        )
    return exclusions


def _spikes(time: FloatArray, points: FloatArray, smallest: float) -> NDArray[np.bool_]:
    """Points, shape (axes, n), farther off the line between neighbours than noise and any turn explain."""
    before, after = time[1:-1] - time[:-2], time[2:] - time[1:-1]
    weight = after / (before + after)
    off = np.zeros(len(time))
    for axis in points:
        off[1:-1] += (axis[1:-1] - axis[2:] - weight * (axis[:-2] - axis[2:])) ** 2
    np.sqrt(off, out=off)
    noise = 1.4826 * float(np.median(off[1:-1]))
    allowed = np.full(len(time), np.inf)
    allowed[1:-1] = max(smallest, SPIKE_DEVIATIONS * noise) + 0.5 * STRONGEST_TURN * before * after
    peak = np.zeros(len(time), dtype=np.bool_)
    # a lone wrong point shows half of itself at each neighbour; the point itself is the greatest of the three
    peak[1:-1] = (off[1:-1] > 1.5 * off[:-2]) & (off[1:-1] > 1.5 * off[2:])
    return (off > allowed) & peak


def _excursions(
    time: FloatArray, latitude: FloatArray, longitude: FloatArray, ground_speed: FloatArray
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Indices inside excursions that come back, and at both sides of steps that do not."""
    period = np.diff(time)
    distance = step_distances(latitude, longitude)
    reference = (ground_speed[1:] + ground_speed[:-1]) / 2
    missing = np.isnan(reference)
    if missing.any():
        reference[missing] = _running_median(distance / period, SPEED_WINDOW)[missing]
    excess = distance - reference * period > SLACK + SPEED_SLACK * period
    bad = np.flatnonzero(excess)
    away: list[int] = []
    sides: list[int] = []
    index = 0
    while index < len(bad):
        out = int(bad[index])
        back = int(bad[index + 1]) if index + 1 < len(bad) else -1
        if back > 0 and time[back + 1] - time[out] <= LONGEST_EXCURSION:
            ends = np.array([out, back + 1])
            across = float(step_distances(latitude[ends], longitude[ends])[0])
            lapse = float(time[back + 1] - time[out])
            if across - float(reference[out]) * lapse <= SLACK + SPEED_SLACK * lapse:
                away.extend(range(out + 1, back + 1))
                index += 2
                continue
        if _lasts(time, latitude, longitude, reference, step=out):
            sides.extend((out, out + 1))
        index += 1
    return np.array(away, dtype=np.int64), np.unique(np.array(sides, dtype=np.int64))


def _lasts(
    time: FloatArray, latitude: FloatArray, longitude: FloatArray, reference: FloatArray, *, step: int
) -> bool:
    """Whether a step is still there from two fixes before to two after: a late time stamp's is not."""
    wide, narrow = (
        _excess(
            time,
            latitude,
            longitude,
            reference,
            span=(max(step - more, 0), min(step + 1 + more, len(time) - 1)),
        )
        for more in (2, 0)
    )
    return wide > narrow / 2


def _excess(
    time: FloatArray,
    latitude: FloatArray,
    longitude: FloatArray,
    reference: FloatArray,
    *,
    span: tuple[int, int],
) -> float:
    """By how much two fixes lie farther apart than the speed between them allows [m]."""
    first, last = span
    ends = np.array([first, last])
    across = float(step_distances(latitude[ends], longitude[ends])[0])
    return across - float(np.sum(reference[first:last] * np.diff(time[first : last + 1])))


def _running_median(values: FloatArray, width: int) -> FloatArray:
    half = width // 2
    padded = np.pad(values, half, mode="reflect" if len(values) > half else "edge")
    windows = np.lib.stride_tricks.sliding_window_view(padded, width)
    median: FloatArray = np.median(windows, axis=1)
    return median
