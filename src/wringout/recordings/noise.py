"""Measurement noise and liveliness of the motion, as the record itself shows them."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.recording import FloatArray
from wringout.recordings.smoothing import Measured, fitted_scale

BLOCKS = 4  # stretches of the record that are asked …
BLOCK_SAMPLES = 500  # … and the samples of each
MOVING = 5.0  # m/s; a parked airplane tells nothing of the motion
# Ratios tried, in powers of ten: jerk density over squared position noise [1/s⁵], speed noise over position
# noise [1/s]
JERK_RATIOS = (-5.0, 4.0)
SPEED_RATIOS = (-2.5, 1.0)
POOR_POSITION = 15.0  # m
DISTRUSTED = 8.0  # times the scatter of the speeds themselves: more noise than that is not theirs
ACROSS_MATTERS = 0.3  # of the speed noise
SMALLEST_SPEED_SD = 1e-3  # m/s
LEAST_JERK = 1e-6  # m²/s⁵; what never moves is no flight
ROUNDS, FIRST_WIDTH, NARROWING = 3, 1.5, 2.5  # of parabolas along each ratio, and the width of the first


@dataclass(frozen=True, slots=True)
class Noise:
    """Standard deviations of one position [m] and one speed [m/s], and the density of white jerk [m²/s⁵]."""

    position_sd: float
    speed_sd: float
    jerk_density: float

    def applied(self, measured: Measured, across: FloatArray | None = None) -> Measured:
        """The measurements with these standard deviations; a doubtful track adds `across` [m/s] to speeds."""
        count = len(measured.time)
        speed_sd = np.full(count, self.speed_sd)
        if across is not None:
            speed_sd = np.hypot(speed_sd, across / np.sqrt(2))  # of the two axes one lies along the track
            speed_sd[~np.isfinite(speed_sd)] = self.speed_sd
        return replace(measured, position_sd=np.full(count, self.position_sd), speed_sd=speed_sd)


def estimate_noise(
    measured: Measured,
    position_floor: float,
    speed_floor: float = 0.0,
    *,
    across: FloatArray | None = None,
    without_speeds: Noise | None = None,
) -> Noise:
    """Noise and jerk density that make stretches of the record likeliest.

    Only ratios are searched; the common scale is known in closed form at each (`fitted_scale`). A coarse
    grid, then the vertex of a parabola along each ratio in turn.

    Parameters
    ----------
    measured : Measured
        The standard deviations in it are not used.
    position_floor, speed_floor : float
        Least standard deviations: the rounding of the log. [m, m/s]
    across : ndarray, shape (n,), optional
        What an uncertain track adds to the speed noise. [m/s]
    without_speeds : Noise, optional
        What the positions alone gave; the search begins there.
    """
    noise = _likeliest(_blocks(measured, None), without_speeds)
    if across is not None and float(np.nanmedian(across)) > ACROSS_MATTERS * noise.speed_sd:
        noise = _likeliest(_blocks(measured, across / noise.position_sd), noise)
    if noise.position_sd > POOR_POSITION:
        own = max(_own_speed_noise(measured), speed_floor)
        if noise.speed_sd > DISTRUSTED * own > 0.0:
            # the speeds agree with one another, so it is the positions that do not belong to their times
            noise = _by_speed(_blocks(measured, None), own)
    return Noise(
        max(noise.position_sd, position_floor),
        max(noise.speed_sd, speed_floor, SMALLEST_SPEED_SD),
        max(noise.jerk_density, LEAST_JERK),
    )


def _own_speed_noise(measured: Measured) -> float:
    """Noise of the speeds as they scatter about their neighbours [m/s]; 0 without speeds."""
    speed = measured.speed[np.isfinite(measured.speed[:, 0])]
    if len(speed) < 20:
        return 0.0
    return float(1.4826 * np.median(np.abs(np.diff(speed, 2, axis=0))) / np.sqrt(6))


def _by_speed(blocks: list[tuple[Measured, FloatArray | None]], speed_sd: float) -> Noise:
    """The likeliest position noise and jerk density with the speeds' noise given, over a coarse grid."""

    def log_likelihood(position: float, jerk: float) -> float:
        total = 0.0
        for part, _ in blocks:
            known = Noise(10.0**position, speed_sd, 10.0**jerk).applied(part)
            scale, profiled = fitted_scale(known, 10.0**jerk)
            count = np.count_nonzero(np.isfinite(part.position)) + np.count_nonzero(np.isfinite(part.speed))
            # the profile has the scale's own best value; at a scale of one the cost stands as it is
            total += profiled + 0.5 * count * (np.log(scale**2) - scale**2)
        return total

    position, jerk = max(
        ((p, j) for p in np.arange(0.0, 3.1, 0.5) for j in np.arange(-4.0, 1.1, 0.5)),
        key=lambda pair: log_likelihood(*pair),
    )
    return Noise(10.0**position, speed_sd, 10.0**jerk)


def _likeliest(blocks: list[tuple[Measured, FloatArray | None]], begin: Noise | None) -> Noise:
    with_speed = any(np.isfinite(part.speed[:, 0]).any() for part, _ in blocks)
    tried: dict[tuple[float, float], tuple[float, float]] = {}

    def at(jerk: float, speed: float) -> tuple[float, float]:
        key = (round(jerk, 3), round(speed, 3))
        if key not in tried:
            tried[key] = _likelihood(blocks, 10.0 ** key[0], 10.0 ** key[1])
        return tried[key]

    speeds = np.arange(SPEED_RATIOS[0], SPEED_RATIOS[1] + 0.1, 1.0) if with_speed else np.array([-0.5])
    jerks = np.arange(JERK_RATIOS[0], JERK_RATIOS[1] + 0.1, 1.5)
    if begin is not None:
        jerks = np.array([np.clip(np.log10(begin.jerk_density / begin.position_sd**2), *JERK_RATIOS)])
    jerk, speed = max(
        ((float(jerk), float(speed)) for jerk in jerks for speed in speeds), key=lambda pair: at(*pair)[1]
    )
    width = FIRST_WIDTH
    for _ in range(ROUNDS):
        width /= NARROWING
        near = _three(jerk, width, JERK_RATIOS)
        jerk = _vertex(near, [at(each, speed)[1] for each in near])
        if with_speed:
            near = _three(speed, width, SPEED_RATIOS)
            speed = _vertex(near, [at(jerk, each)[1] for each in near])
    scale, _ = at(jerk, speed)
    return Noise(scale, scale * 10**speed, scale**2 * 10**jerk)


def _three(middle: float, width: float, limits: tuple[float, float]) -> tuple[float, float, float]:
    return max(middle - width, limits[0]), middle, min(middle + width, limits[1])


def _vertex(points: tuple[float, float, float], values: list[float]) -> float:
    """Where a parabola through three points is highest, or the better end where it is highest outside."""
    top = int(np.argmax(values))
    left, right = values[1] - values[0], values[1] - values[2]
    if top != 1 or left + right <= 0:
        return points[top]
    return points[1] + (points[2] - points[0]) / 4 * (left - right) / (left + right)


def _blocks(measured: Measured, across: FloatArray | None) -> list[tuple[Measured, FloatArray | None]]:
    """Evenly spaced stretches of fixes, the parked ones left out where others remain."""
    fixes = np.flatnonzero(np.isfinite(measured.position[:, 0]) | np.isfinite(measured.speed[:, 0]))
    if len(fixes) > BLOCKS * BLOCK_SAMPLES:
        starts = np.linspace(0, len(fixes) - BLOCK_SAMPLES, 3 * BLOCKS).astype(np.int64)
        groups = [fixes[start : start + BLOCK_SAMPLES] for start in starts]
        moving = [group for group in groups if _speed(measured, group) > MOVING]
        groups = moving if len(moving) >= BLOCKS else groups
        groups = [groups[i] for i in np.linspace(0, len(groups) - 1, BLOCKS).astype(np.int64)]
    else:
        groups = [fixes]
    return [
        (
            Measured(
                measured.time[group],
                measured.position[group] - np.nanmean(measured.position[group], axis=0),
                measured.position_sd[group],
                measured.speed[group],
                measured.speed_sd[group],
            ),
            None if across is None else across[group],
        )
        for group in groups
    ]


def _speed(measured: Measured, group: NDArray[np.int64]) -> float:
    """Median speed over a stretch, by displacements over ten fixes; of a height, by its own standard."""
    position = measured.position[group]
    good = np.isfinite(position[:, 0])
    position, time = position[good], measured.time[group][good]
    if len(time) < 20:
        return 0.0
    if position.shape[1] == 1:
        return np.inf  # a height's motion says nothing of parking
    return float(np.median(np.linalg.norm(position[10:] - position[:-10], axis=1) / (time[10:] - time[:-10])))


def _likelihood(
    blocks: list[tuple[Measured, FloatArray | None]], jerk_ratio: float, speed_ratio: float
) -> tuple[float, float]:
    """Mean scale and summed log likelihood over the blocks, the scale profiled in each."""
    scales, total = [], 0.0
    for part, across in blocks:
        unit = Noise(1.0, speed_ratio, jerk_ratio).applied(part, across)
        scale, log_likelihood = fitted_scale(unit, jerk_ratio)
        scales.append(scale)
        total += log_likelihood
    return float(np.median(scales)), total
