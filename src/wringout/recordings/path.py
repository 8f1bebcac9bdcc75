"""From the fixes of a recording to its smoothed path."""

import numpy as np
from numpy.typing import NDArray

from wringout.problems import InputError, Problem
from wringout.recordings.inspection import step_of
from wringout.recordings.noise import Noise, estimate_noise
from wringout.recordings.projection import EQUATORIAL_RADIUS, Plane, project
from wringout.recordings.recording import FloatArray, Recording, Track
from wringout.recordings.smoothing import Measured, Smoothed, smooth_axes

SLOW = 2.0  # m/s; below it a receiver's track says nothing
TRACK_SD = np.radians(
    1.0
)  # of a receiver's track, beside what its speed's noise gives; common practice, no source
SMALLEST_POSITION_SD = 0.02  # m; a receiver claims nothing finer
SMALLEST_SPEED_SD = 0.02


def smooth(recording: Recording) -> Track:
    """The path with speeds and accelerations at every sample's moment, and their standard deviations.

    Positions lie on a transverse Mercator map about the first fix (`projection`); speeds and accelerations
    are brought back to true east, north and metres, so that at 100 km from the first fix they still are what
    a compass and a clock would give. `up` is the geometric height, or pressure altitude where there is no
    other, as the recording has it: no datum is changed.

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
    if latitude is None or longitude is None or len(fixes) < 5:
        raise InputError(
            Problem(
                f"the recording has {len(fixes)} positions, too few for a path",
                "map latitude and longitude, or merge the log with that of a receiver",
                recording.name,
            )
        )
    origin = (float(latitude[fixes[0]]), float(longitude[fixes[0]]))
    plane = project(latitude, longitude, *origin)
    horizontal = _horizontal(recording, plane, float(np.cos(origin[0])))
    vertical = _vertical(recording)
    scale = _between(recording.time, plane.scale, fixes)
    turned = _between(recording.time, plane.convergence, fixes)
    east_speed, north_speed = _true(horizontal.speed, scale, turned)
    east_acceleration, north_acceleration = _true(horizontal.acceleration, scale, turned)
    return Track(
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
    )


def _between(time: FloatArray, values: FloatArray, fixes: NDArray[np.int64]) -> FloatArray:
    """A slow property of the map where there is no fix."""
    between: FloatArray = np.interp(time, time[fixes], values[fixes])
    return between


def _true(vector: FloatArray, scale: FloatArray, turned: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Map components, shape (n, 2), to true east and north."""
    east, north = vector[:, 0] / scale, vector[:, 1] / scale
    sine, cosine = np.sin(turned), np.cos(turned)
    return east * cosine + north * sine, north * cosine - east * sine


def _horizontal(recording: Recording, plane: Plane, parallel: float) -> Smoothed:
    time = recording.time
    position = np.stack((plane.east, plane.north), axis=1)
    none = np.full_like(position, np.nan)
    ones = np.ones(len(time))
    # equal in both axes as the receiver's noise is; the coarser of the two steps of the text decides
    steps = [
        (step_of(recording.channels[name]) or 0.0) * factor * EQUATORIAL_RADIUS
        for name, factor in (("latitude", 1.0), ("longitude", parallel))
    ]
    floor = max(SMALLEST_POSITION_SD, max(steps) / np.sqrt(12))
    bare = Measured(time, position, ones, none, ones)
    ground_speed = recording.channels.get("ground_speed")
    if ground_speed is None or np.count_nonzero(np.isfinite(ground_speed)) < 5:
        return _smoothed(bare, estimate_noise(bare, floor))
    track = recording.channels.get("track")
    if track is None or np.count_nonzero(np.isfinite(track)) < 5:
        first = _smoothed(bare, estimate_noise(bare, floor))
        track = np.arctan2(first.speed[:, 0], first.speed[:, 1])  # on the map already
        track_sd = first.speed_sd / np.maximum(np.hypot(first.speed[:, 0], first.speed[:, 1]), 0.1)
    else:
        fixes = np.flatnonzero(np.isfinite(plane.east))
        track = track - _between(time, plane.convergence, fixes)
        track_sd = np.full(len(time), TRACK_SD)
    speed = np.stack((ground_speed * np.sin(track), ground_speed * np.cos(track)), axis=1)
    speed[~np.isfinite(speed).all(axis=1)] = np.nan
    across = np.where(ground_speed < SLOW, ground_speed, np.minimum(track_sd, 1.0) * ground_speed)
    speed_floor = max(SMALLEST_SPEED_SD, (step_of(ground_speed) or 0.0) / np.sqrt(12))
    measured = Measured(time, position, ones, speed, ones)
    return _smoothed(measured, estimate_noise(measured, floor, speed_floor, across), across)


def _vertical(recording: Recording) -> Smoothed:
    time = recording.time
    height = recording.channels.get("height", recording.channels.get("pressure_altitude"))
    ones = np.ones(len(time))
    if height is None or np.count_nonzero(np.isfinite(height)) < 5:
        nothing = np.full((len(time), 1), np.nan)
        unknown = np.full(len(time), np.nan)
        return Smoothed(nothing, nothing, nothing, unknown, unknown, unknown)
    floor = max(SMALLEST_POSITION_SD, (step_of(height) or 0.0) / np.sqrt(12))
    middle = float(np.nanmedian(height))
    position = (height - middle)[:, None]
    none = np.full_like(position, np.nan)
    rate = recording.channels.get("vertical_speed")
    if rate is None or np.count_nonzero(np.isfinite(rate)) < 5:
        measured = Measured(time, position, ones, none, ones)
        smoothed = _smoothed(measured, estimate_noise(measured, floor))
    else:
        speed_floor = max(SMALLEST_SPEED_SD, (step_of(rate) or 0.0) / np.sqrt(12))
        measured = Measured(time, position, ones, rate[:, None], ones)
        smoothed = _smoothed(measured, estimate_noise(measured, floor, speed_floor))
    return Smoothed(
        smoothed.position + middle,
        smoothed.speed,
        smoothed.acceleration,
        smoothed.position_sd,
        smoothed.speed_sd,
        smoothed.acceleration_sd,
    )


def _smoothed(measured: Measured, noise: Noise, across: FloatArray | None = None) -> Smoothed:
    return smooth_axes(noise.applied(measured, across), noise.jerk_density)
