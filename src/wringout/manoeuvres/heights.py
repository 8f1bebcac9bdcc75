"""Heights in which lift-off and touchdown are sought, raw and smoothed."""

from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.motion import Motion
from wringout.recordings.inspection import step_of
from wringout.recordings.noise import estimate_noise
from wringout.recordings.recording import FloatArray
from wringout.recordings.smoothing import Measured, smooth_axes

GRAVITY = 9.80665
STATIC_ERROR = (
    0.02  # of the airspeed, by the static port's position near the ground; common practice, no source
)


@dataclass(frozen=True, slots=True)
class Height:
    """One source of height [m]: raw samples at their own times, the smoothed path at the recording's times.

    `systematic` is a standard deviation common to all samples of one take-off or landing relative to its ground, as a
    function of speed: systematic = coefficient · V².
    """

    name: str
    time: FloatArray
    values: FloatArray
    noise: float  # of one raw sample
    up: FloatArray
    up_speed: FloatArray
    up_sd: FloatArray
    systematic: float

    def bias(self, speed: float) -> float:
        """Standard deviation of the common error at a speed [m]."""
        return self.systematic * speed**2


def heights(motion: Motion) -> tuple[Height, ...]:
    """The sources that the recording has, geometric height first."""
    sources = []
    geometric = motion.channel("height")
    pressure = motion.channel("pressure_altitude")
    if geometric is not None:
        sources.append(
            _source(
                motion,
                "geometric height",
                geometric,
                (motion.path.up, motion.path.up_speed, motion.path.height_sd),
                0.0,
            )
        )
    if pressure is not None:
        smoothed = None
        if geometric is None:
            smoothed = (motion.path.up, motion.path.up_speed, motion.path.height_sd)
        # an airspeed error ε by a wrong static pressure is an altitude error of ε V²/g
        sources.append(_source(motion, "pressure altitude", pressure, smoothed, STATIC_ERROR / GRAVITY))
    return tuple(sources)


def _source(
    motion: Motion,
    name: str,
    values: FloatArray,
    smoothed: tuple[FloatArray, FloatArray, FloatArray] | None,
    systematic: float,
) -> Height:
    valid = np.isfinite(values)
    time, raw = motion.time[valid], values[valid]
    measured = _measured(time, raw)
    floor = (step_of(raw) or 0.0) / np.sqrt(12)
    noise = estimate_noise(measured, max(floor, 0.02))
    if smoothed is None:
        path = smooth_axes(noise.applied(_measured(motion.time, values)), noise.jerk_density)
        smoothed = (path.position[:, 0], path.speed[:, 0], path.position_sd)
    return Height(name, time, raw, noise.position_sd, *smoothed, systematic)


def _measured(time: FloatArray, values: FloatArray) -> Measured:
    position = values[:, None]
    ones = np.ones(len(time))
    return Measured(time, position, ones, np.full_like(position, np.nan), ones)
