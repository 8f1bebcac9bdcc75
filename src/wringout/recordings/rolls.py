"""The ground rolls of a recording with an accelerometer, put into its smoothed track."""

from dataclasses import replace

import numpy as np

from wringout.recordings.fuse import FusedRoll, likeliest
from wringout.recordings.recording import FloatArray, Recording, RollNote, Track

ROLLING = 10.0  # m/s that every take-off and landing roll passes
STILL = 0.5  # m/s by which a speed falls and rises again, to be another run
BEFORE = 5.0  # s before the run begins that are fused too: they show the accelerometer's constant error
LONGEST = 60.0  # s of one roll
FLYING_RATE = 1.0  # m/s of climb or sink: the wheels are off, and gravity's share changes with the pitch
MARGIN = 2.0  # s before that at which a take-off's nose is raised, after which a landing's is lowered
FEWEST_FIXES = 6
BLENDED = 1.5  # s at each end over which the fused motion takes over from the smoothed one
AT_REST = 3.0  # standard deviations of a speed below which it is taken for none
GRAVITY = 9.80665


def with_rolls(
    recording: Recording,
    track: Track,
    fixes: tuple[FloatArray, FloatArray],
    position_sd: float,
    speed_sd: float,
) -> Track:
    """The track with each roll's motion along the strip by accelerometer and receiver together (`fuse`).

    Across the strip it stays as it was. Without longitudinal acceleration the track is returned as it is.

    Parameters
    ----------
    recording, track : Recording, Track
        The track is that of the recording.
    fixes : tuple of ndarray, shape (n,)
        The receiver's positions east and north on the track's map, NaN where there is none. [m]
    position_sd, speed_sd : float
        Noise of the receiver's positions and speeds. [m, m/s]
    """
    longitudinal = recording.channels.get("longitudinal_acceleration")
    speeds = recording.channels.get("ground_speed")
    if longitudinal is None or speeds is None:
        return track
    for first, after in _spans(track):
        span = slice(first, after)
        direction = _direction(track, span)
        along = fixes[0][span] * direction[0] + fixes[1][span] * direction[1]
        roll = _roll(recording, span, along, track.speed_lag, position_sd=position_sd, speed_sd=speed_sd)
        if roll is not None:
            track = _put(track, span, direction, roll)
    return track


def _spans(track: Track) -> list[tuple[int, int]]:
    """First and one-past-last samples of each roll: from standing or taxiing to flying, and back."""
    time, speed = track.time, np.hypot(track.east_speed, track.north_speed)
    spans = []
    fast = speed > ROLLING
    for crossing in np.flatnonzero(np.diff(fast.astype(np.int8)) != 0):
        direction = 1 if fast[crossing + 1] else -1
        slow = _end_of_run(time, speed, int(crossing), -direction)
        fastest = _flying(time, track.up_speed, speed, int(crossing), direction)
        low, high = sorted((slow, fastest))
        if high - low > 2 and time[high] > time[low]:
            spans.append((low, high + 1))
    return [span for number, span in enumerate(spans) if not number or span[0] >= spans[number - 1][1]]


def _end_of_run(time: FloatArray, speed: FloatArray, crossing: int, step: int) -> int:
    """Where the speed, followed from the crossing, is least before it rises again; and a little beyond."""
    least = index = crossing
    while 0 <= index + step < len(time) and abs(time[index] - time[crossing]) < LONGEST:
        index += step
        if speed[index] < speed[least]:
            least = index
        elif speed[index] > speed[least] + STILL or abs(time[index] - time[least]) > BEFORE:
            break
    return int(np.clip(np.searchsorted(time, time[least] + step * BEFORE), 0, len(time) - 1))


def _flying(time: FloatArray, rate: FloatArray, speed: FloatArray, crossing: int, step: int) -> int:
    """The last sample of the run, away from the crossing, before climb or sink shows the wheels off."""
    most = index = crossing
    while 0 <= index + step < len(time) and abs(time[index] - time[crossing]) < LONGEST:
        index += step
        most = index if speed[index] > speed[most] else most
        if abs(rate[index]) > FLYING_RATE:
            at = np.searchsorted(time, time[index] - step * MARGIN)
            return int(np.clip(at, min(crossing, index), max(crossing, index)))
        if speed[index] < speed[most] - 2 * STILL:
            return most
    return index


def _direction(track: Track, span: slice) -> tuple[float, float]:
    """East and north of the direction of the fast part of a roll."""
    speed = np.hypot(track.east_speed[span], track.north_speed[span])
    fast = span.start + np.flatnonzero(speed > speed.max() / 2)
    east = float(track.east[fast[-1]] - track.east[fast[0]])
    north = float(track.north[fast[-1]] - track.north[fast[0]])
    length = max(float(np.hypot(east, north)), 1e-9)
    return east / length, north / length


def _roll(
    recording: Recording, span: slice, along: FloatArray, late: float, *, position_sd: float, speed_sd: float
) -> FusedRoll | None:
    """What was measured in a roll; None with too few fixes, or an accelerometer no faster than they are."""
    time = recording.time[span]
    longitudinal = recording.channels["longitudinal_acceleration"][span]
    normal = recording.channels.get("normal_acceleration")
    ground_speed = recording.channels["ground_speed"][span]
    felt, fixed, told = np.isfinite(longitudinal), np.isfinite(along), np.isfinite(ground_speed)
    told[told] = time[told] - late >= time[0]
    fewest = min(int(np.count_nonzero(fixed)), int(np.count_nonzero(told)))
    if fewest < FEWEST_FIXES or not felt[[0, -1]].all() or np.count_nonzero(felt) < 2 * fewest:
        return None
    bumps = np.zeros(len(time)) if normal is None else np.nan_to_num(normal[span] - GRAVITY)
    # at rest a receiver tells the length of its noise
    ground_speed = np.where(ground_speed < AT_REST * speed_sd, 0.0, ground_speed)
    roll = FusedRoll(
        time[felt],
        longitudinal[felt],
        bumps[felt],
        time[fixed],
        along[fixed],
        time[told] - late,
        ground_speed[told],
        position_sd,
        speed_sd,
    )
    return likeliest(roll)


def _put(track: Track, span: slice, direction: tuple[float, float], roll: FusedRoll) -> Track:
    """The track with the motion along a roll replaced, and its deviations by those along it."""
    time = track.time[span]
    east, north = direction
    share = np.ones(len(time))
    if span.start > 0:
        share *= np.clip((time - time[0]) / BLENDED, 0.0, 1.0)
    if span.stop < len(track.time):
        share *= np.clip((time[-1] - time) / BLENDED, 0.0, 1.0)
    values: list[tuple[FloatArray, FloatArray, FloatArray]] = []
    for arrays, (fused, sd) in (
        ((track.east, track.north, track.position_sd), roll.along(time)),
        ((track.east_speed, track.north_speed, track.speed_sd), roll.speed(time)),
        ((track.east_acceleration, track.north_acceleration, track.acceleration_sd), roll.acceleration(time)),
    ):
        of_east, of_north, of_sd = (each.copy() for each in arrays)
        change = share * (fused - of_east[span] * east - of_north[span] * north)
        of_east[span] += change * east
        of_north[span] += change * north
        of_sd[span] += share * (sd - of_sd[span])
        values.append((of_east, of_north, of_sd))
    position, speed, acceleration = values
    note = RollNote(float(time[0]), float(time[-1]), roll.note)
    return replace(
        track,
        east=position[0],
        north=position[1],
        position_sd=position[2],
        east_speed=speed[0],
        north_speed=speed[1],
        speed_sd=speed[2],
        east_acceleration=acceleration[0],
        north_acceleration=acceleration[1],
        acceleration_sd=acceleration[2],
        rolls=(*track.rolls, note),
    )
