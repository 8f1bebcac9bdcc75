"""From the fixes of a recording to its smoothed path."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from wringout.problems import InputError, Problem
from wringout.recordings.inspection import step_of
from wringout.recordings.lag import advanced, speed_lag
from wringout.recordings.noise import Noise, estimate_noise
from wringout.recordings.projection import EQUATORIAL_RADIUS, Plane, project
from wringout.recordings.recording import FloatArray, Recording, Track
from wringout.recordings.rolls import with_rolls
from wringout.recordings.smoothing import Measured, Smoothed, part, smooth_axes

FEWEST = 5  # samples of a channel that is used
SLOW = 2.0  # m/s; below it a receiver's track says nothing
TRACK_SD = np.radians(
    1.0
)  # of a receiver's track, beside what its speed's noise gives; common practice, no source
SMALLEST_POSITION_SD = 0.02  # m; a receiver claims nothing finer
SMALLEST_SPEED_SD = 0.02
# Of a long record so many stretches of so many fixes show how late its speeds are
LAG_STRETCHES, LAG_FIXES = 16, 2500


def smooth(recording: Recording) -> Track:
    """The path with speeds and accelerations at every sample's moment, and their standard deviations.

    Positions lie on a transverse Mercator map about the first fix (`projection`); speeds and accelerations
    are brought back to true east, north and metres, so that at 100 km from the first fix they still are what
    a compass and a clock would give. `up` is the geometric height, or pressure altitude where there is no
    other, as the recording has it: no datum is changed.

    Where the log has a longitudinal acceleration, take-off and landing rolls are told by it too (`rolls`).
    A logged speed that lags behind the positions is brought back to its moments first (`lag`).
    Measurement noise and the liveliness of the motion (the density of white jerk) are those that make the
    record likeliest (`noise`). The standard deviations cover the random part of the receiver's error; an
    error that it keeps over minutes is in none of them.

    Raises
    ------
    InputError
        Fewer than five fixes.
    """
    latitude = recording.channels.get("latitude")
    longitude = recording.channels.get("longitude")
    fixes = (
        np.flatnonzero(np.isfinite(latitude) & np.isfinite(longitude))
        if latitude is not None and longitude is not None
        else np.array([], dtype=np.int64)
    )
    if latitude is None or longitude is None or len(fixes) < FEWEST:
        raise InputError(
            Problem(
                f"the recording has {len(fixes)} positions, too few for a path",
                "map latitude and longitude, or merge the log with that of a receiver",
                recording.name,
            )
        )
    origin = (float(latitude[fixes[0]]), float(longitude[fixes[0]]))
    plane = project(latitude, longitude, *origin)
    horizontal, late, noise = _horizontal(recording, plane, float(np.cos(origin[0])))
    vertical = _vertical(recording)
    scale = _between(recording.time, plane.scale, fixes)
    turned = _between(recording.time, plane.convergence, fixes)
    east_speed, north_speed = _true(horizontal.speed, scale, turned)
    east_acceleration, north_acceleration = _true(horizontal.acceleration, scale, turned)
    track = Track(
        *origin,
        recording.time,
        horizontal.position[:, 0],
        horizontal.position[:, 1],
        vertical.position[:, 0],
        east_speed,
        north_speed,
        vertical.speed[:, 0],
        east_acceleration,
        north_acceleration,
        vertical.acceleration[:, 0],
        horizontal.position_sd,
        vertical.position_sd,
        horizontal.speed_sd,
        vertical.speed_sd,
        horizontal.acceleration_sd,
        late,
    )
    return with_rolls(recording, track, (plane.east, plane.north), noise.position_sd, noise.speed_sd)


def _between(time: FloatArray, values: FloatArray, fixes: NDArray[np.int64]) -> FloatArray:
    """A slow property of the map where there is no fix."""
    between: FloatArray = np.interp(time, time[fixes], values[fixes])
    return between


def _true(vector: FloatArray, scale: FloatArray, turned: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Map components, shape (n, 2), to true east and north."""
    east, north = vector[:, 0] / scale, vector[:, 1] / scale
    sine, cosine = np.sin(turned), np.cos(turned)
    return east * cosine + north * sine, north * cosine - east * sine


def _horizontal(recording: Recording, plane: Plane, parallel: float) -> tuple[Smoothed, float, Noise]:
    time = recording.time
    position = np.stack((plane.east, plane.north), axis=1)
    ones = np.ones(len(time))
    # equal in both axes as the receiver's noise is; the coarser of the two steps of the text decides
    steps = [
        (step_of(recording.channels[name]) or 0.0) * factor * EQUATORIAL_RADIUS
        for name, factor in (("latitude", 1.0), ("longitude", parallel))
    ]
    floor = max(SMALLEST_POSITION_SD, max(steps) / np.sqrt(12))
    bare = Measured(time, position, ones, np.full_like(position, np.nan), ones)
    bare_noise = estimate_noise(bare, floor)
    ground_speed = _channel(recording, "ground_speed")
    if ground_speed is None:
        return _smoothed(bare, bare_noise), 0.0, bare_noise
    track = _channel(recording, "track")
    directed = track is not None
    # with a track, the path by positions alone is needed only to see how late the speeds are
    some = slice(None) if track is None else _stretches(bare)
    alone = _smoothed(part(bare, some), bare_noise)
    speed_alone = np.hypot(alone.speed[:, 0], alone.speed[:, 1])
    along = np.sum(alone.speed * alone.acceleration, axis=1) / np.maximum(speed_alone, SLOW)
    late = speed_lag(time[some], ground_speed[some], speed_alone, along, alone.acceleration_sd).seconds
    ground_speed = advanced(time, ground_speed, late)
    if track is None:
        track = np.arctan2(alone.speed[:, 0], alone.speed[:, 1])  # on the map already
        track_sd = alone.speed_sd / np.maximum(speed_alone, 0.1)
    else:
        # a receiver's track is as good as its speed; only its rounding adds to that
        track_sd = np.full(len(time), (step_of(track) or 0.0) / np.sqrt(12))
        fixes = np.flatnonzero(np.isfinite(plane.east))
        track = advanced(time, np.unwrap(track), late) - _between(time, plane.convergence, fixes)
    speed = np.stack((ground_speed * np.sin(track), ground_speed * np.cos(track)), axis=1)
    speed[~np.isfinite(speed).all(axis=1)] = np.nan
    across = np.where(ground_speed < SLOW, ground_speed, np.minimum(track_sd, 1.0) * ground_speed)
    speed_floor = max(SMALLEST_SPEED_SD, (step_of(ground_speed) or 0.0) / np.sqrt(12))
    measured = Measured(time, position, ones, speed, ones)
    noise = estimate_noise(measured, floor, speed_floor, across=across, without_speeds=bare_noise)
    both = _smoothed(measured, noise, across)
    return (both if directed else _half_sharpened(both, alone)), late, noise


def _stretches(measured: Measured) -> slice | NDArray[np.int64]:
    """The whole of a record, or evenly spaced stretches of a long one."""
    fixes = np.flatnonzero(np.isfinite(measured.position[:, 0]))
    if len(fixes) <= LAG_STRETCHES * LAG_FIXES:
        return slice(None)
    starts = np.linspace(0, len(fixes) - LAG_FIXES, LAG_STRETCHES).astype(np.int64)
    return np.unique(
        np.concatenate([np.arange(fixes[start], fixes[start + LAG_FIXES - 1] + 1) for start in starts])
    )


def _half_sharpened(both: Smoothed, alone: Smoothed) -> Smoothed:
    """Deviations where the log has a speed and no track: across the path nothing was learnt from it.

    One axis has the root mean square of the two.
    """
    sds = {
        name: np.sqrt((getattr(both, name) ** 2 + getattr(alone, name) ** 2) / 2)
        for name in ("position_sd", "speed_sd", "acceleration_sd")
    }
    return replace(both, **sds)


def _vertical(recording: Recording) -> Smoothed:
    time = recording.time
    height = _channel(recording, "height")
    if height is None:
        height = _channel(recording, "pressure_altitude")
    ones = np.ones(len(time))
    if height is None:
        nothing = np.full((len(time), 1), np.nan)
        unknown = np.full(len(time), np.nan)
        return Smoothed(nothing, nothing, nothing, unknown, unknown, unknown)
    floor = max(SMALLEST_POSITION_SD, (step_of(height) or 0.0) / np.sqrt(12))
    middle = float(np.nanmedian(height))
    position = (height - middle)[:, None]
    bare = Measured(time, position, ones, np.full_like(position, np.nan), ones)
    bare_noise = estimate_noise(bare, floor)
    rate = _channel(recording, "vertical_speed")
    some = slice(None) if rate is None else _stretches(bare)
    smoothed = _smoothed(part(bare, some), bare_noise)
    if rate is not None:
        late = speed_lag(
            time[some],
            rate[some],
            smoothed.speed[:, 0],
            smoothed.acceleration[:, 0],
            smoothed.acceleration_sd,
        )
        rate = advanced(time, rate, late.seconds)
        speed_floor = max(SMALLEST_SPEED_SD, (step_of(rate) or 0.0) / np.sqrt(12))
        measured = Measured(time, position, ones, rate[:, None], ones)
        smoothed = _smoothed(
            measured, estimate_noise(measured, floor, speed_floor, without_speeds=bare_noise)
        )
    return replace(smoothed, position=smoothed.position + middle)


def _channel(recording: Recording, name: str) -> FloatArray | None:
    values = recording.channels.get(name)
    return values if values is not None and np.count_nonzero(np.isfinite(values)) >= FEWEST else None


def _smoothed(measured: Measured, noise: Noise, across: FloatArray | None = None) -> Smoothed:
    return smooth_axes(noise.applied(measured, across), noise.jerk_density)
