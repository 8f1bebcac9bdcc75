"""Heights in which lift-off and touchdown are sought, with the errors that they show at rest."""

from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.motion import Motion
from wringout.recordings.inspection import step_of
from wringout.recordings.noise import estimate_noise
from wringout.recordings.recording import FloatArray
from wringout.recordings.smoothing import Measured, smooth_axes

GRAVITY = 9.80665
# Of the airspeed, by the static port's position at rolling and approach speeds, with flaps; and the time in
# which it becomes another as speed and attitude change there; common practice, no source
STATIC_ERROR = 0.05
STATIC_TIME = 5.0  # s
STANDING = 1.0  # m/s over the ground
LAG = 20.0  # s over which the wander of a standing airplane's height is taken
# m/√s of wander where the record does not show it, counted as this many lags; common practice, no source
USUAL_WANDER = {"geometric height": 0.3, "pressure altitude": 0.1}
USUAL_LAGS = 3.0
LEAST_WANDER = 0.1


@dataclass(frozen=True, slots=True)
class Height:
    """One source of height [m]: raw samples at their own times, the smoothed path at the recording's times.

    A raw sample's error is jitter of standard deviation `noise` [m] and a random walk of `wander` [m/√s]. Of
    the walk `unseen` [m/√s] shows neither at rest nor in steady flight.
    """

    name: str
    time: FloatArray
    values: FloatArray
    noise: float
    wander: float
    up: FloatArray
    up_speed: FloatArray
    up_sd: FloatArray
    unseen: float = 0.0


def heights(motion: Motion) -> tuple[Height, ...]:
    """The sources that the recording has, geometric height first."""
    sources = []
    smoothed = (motion.path.up, motion.path.up_speed, motion.path.height_sd)
    geometric = motion.channel("height")
    pressure = motion.channel("pressure_altitude")
    if geometric is not None:
        sources.append(_source(motion, "geometric height", geometric, smoothed, 0.0))
    if pressure is not None:
        # an airspeed error ε by a wrong static pressure is an altitude error of ε V²/g
        static = STATIC_ERROR * motion.stall_speed**2 / GRAVITY
        own = smoothed if geometric is None else None
        sources.append(_source(motion, "pressure altitude", pressure, own, static / np.sqrt(STATIC_TIME)))
    return tuple(sources)


def _source(
    motion: Motion,
    name: str,
    values: FloatArray,
    smoothed: tuple[FloatArray, FloatArray, FloatArray] | None,
    unseen: float,
) -> Height:
    time, raw = _own_samples(motion, name, values)
    floor = (step_of(raw) or 0.0) / np.sqrt(12)
    noise = estimate_noise(_measured(time, raw), max(floor, 0.02))
    if smoothed is None:
        sparse = np.full(len(motion.time), np.nan)
        sparse[np.searchsorted(motion.time, time)] = raw
        path = smooth_axes(noise.applied(_measured(motion.time, sparse)), noise.jerk_density)
        smoothed = (path.position[:, 0], path.speed[:, 0], path.position_sd)
    return Height(
        name,
        time,
        raw,
        noise.position_sd,
        float(np.hypot(_wander(motion, time, raw, noise.position_sd, name), unseen)),
        *smoothed,
        unseen,
    )


def _own_samples(motion: Motion, name: str, values: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The samples that the sensor itself took: of an interpolated channel one a period."""
    valid = np.isfinite(values)
    time, raw = motion.time[valid], values[valid]
    period = motion.recording.periods.get(name.replace("geometric ", "").replace(" ", "_"), 0.0)
    if period > 0:
        ticks = np.floor((time - time[0]) / period + 0.01)
        first = np.concatenate(([True], np.diff(ticks) > 0))
        time, raw = time[first], raw[first]
    return time, raw


def _wander(motion: Motion, time: FloatArray, values: FloatArray, noise: float, name: str) -> float:
    """Random walk [m/√s] of the height of a standing airplane, joined with the usual one by their weights."""
    standing = np.interp(time, motion.time, motion.ground_speed) < STANDING
    later = np.searchsorted(time, time + LAG)
    usable = np.flatnonzero(standing & (later < len(time)))
    later = later[usable]
    # standing all the while, and no hole between
    count = np.concatenate(([0], np.cumsum(~standing)))
    good = (count[later + 1] == count[usable]) & (time[later] - time[usable] < 1.5 * LAG)
    usable, later = usable[good], later[good]
    usual = USUAL_WANDER[name] ** 2
    if not len(usable):
        return float(np.sqrt(usual))
    steps = (values[later] - values[usable]) ** 2 - 2 * noise**2
    rate = max(float(np.mean(steps / (time[later] - time[usable]))), 0.0)
    lags = len(usable) * float(np.median(np.diff(time))) / LAG
    joined = (rate * lags + usual * USUAL_LAGS) / (lags + USUAL_LAGS)
    return max(float(np.sqrt(joined)), LEAST_WANDER)


def _measured(time: FloatArray, values: FloatArray) -> Measured:
    position = values[:, None]
    ones = np.ones(len(time))
    return Measured(time, position, ones, np.full_like(position, np.nan), ones)
