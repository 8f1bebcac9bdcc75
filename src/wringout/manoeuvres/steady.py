"""Means of steady flight with standard errors that respect its slow waves."""

from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.motion import Motion
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import CHANNELS, FloatArray

BLOCK = 5.0  # s; gusts and the pilot's corrections are correlated over less
MOST_BLOCKS = 8
MOST_KEPT = 0.6  # of one block's deviation in the next; more cannot be told from a trend
TRIMMED = 0.1  # of the samples, at each end

MEANS = (
    "indicated_airspeed",
    "true_airspeed",
    "pressure_altitude",
    "outside_air_temperature",
    "engine_speed",
    "manifold_pressure",
    "fuel_flow",
)


@dataclass(frozen=True, slots=True)
class Steady:
    """A mean and its standard error, same unit."""

    mean: float
    sd: float


def steady_mean(time: FloatArray, values: FloatArray, floor: float = 0.0) -> Steady | None:
    """Trimmed mean of the finite samples, with the standard error of means over blocks of time.

    Samples a fraction of a second apart are no independent witnesses; blocks longer than the waves are nearly
    so. With n blocks the spread of their means over √n is widened by √((n − 1)/(n − 3)), the standard
    deviation of Student's t [GUM, G.3]. `floor` is the least standard error: the rounding of the channel.
    None with fewer than four samples or blocks.
    """
    valid = np.isfinite(values)
    if np.count_nonzero(valid) < 4:
        return None
    time, values = time[valid], values[valid]
    span = float(time[-1] - time[0])
    count = int(min(span / BLOCK, MOST_BLOCKS, len(values)))
    if count < 4:
        return None
    edges = np.linspace(time[0], time[-1], count + 1)
    place = np.clip(np.searchsorted(edges, time, side="right") - 1, 0, count - 1)
    filled = np.bincount(place, minlength=count)
    means = np.bincount(place, values, minlength=count)[filled > 0] / filled[filled > 0]
    if len(means) < 4:
        return None
    left = means - means.mean()
    kept = float(np.clip(left[1:] @ left[:-1] / max(float(left @ left), 1e-300), 0.0, MOST_KEPT))
    error = float(np.std(means, ddof=1)) / np.sqrt(len(means)) * np.sqrt((len(means) - 1) / (len(means) - 3))
    error *= np.sqrt((1 + kept) / (1 - kept))
    ordered = np.sort(values)
    cut = int(TRIMMED * len(ordered))
    return Steady(float(np.mean(ordered[cut : len(ordered) - cut])), float(np.hypot(error, floor)))


def channel_means(motion: Motion, start: float, end: float) -> dict[str, Estimate]:
    """The mean of each channel of `MEANS` that the recording has between two moments."""
    inside = motion.between(start, end)
    means = {}
    for name in MEANS:
        values = motion.channel(name)
        if values is None:
            continue
        step = motion.step(name)
        steady = steady_mean(motion.time[inside], values[inside], step / np.sqrt(12))
        if steady is not None:
            means[name] = Estimate(
                steady.mean,
                steady.sd,
                CHANNELS[name],
                f"trimmed mean of the log's {name.replace('_', ' ')}, block means",
            )
    return means


def smoothed_mean(
    motion: Motion, values: FloatArray, start: float, end: float, *, dimension: Dimension, what: str
) -> Estimate | None:
    """The mean of a smoothed quantity between two moments."""
    inside = motion.between(start, end)
    steady = steady_mean(motion.time[inside], values[inside])
    return (
        None
        if steady is None
        else Estimate(steady.mean, steady.sd, dimension, f"{what}, trimmed mean, block means")
    )
