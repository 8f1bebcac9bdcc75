"""When the wheels left or met the ground, from the height alone.

Along the ground the height follows the strip; from lift-off on it bends into a climb. With s the time since lift-off, w the steady climb
rate and T the time that the bend lasts,

    h = h₀ + slope · x + w g(s),   g = 0 (s < 0),  s²/(2T) (0 ≤ s ≤ T),  s − T/2 (s > T).

For each (lift-off, T) of a grid the rest is linear; the likelihood over the grid gives the moment and its standard deviation.
A touchdown is the same with time reversed.
"""

from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.heights import Height
from wringout.recordings.recording import FloatArray

GRID = 0.1  # s between moments tried
BENDS = (0.5, 1.0, 1.5, 2.5, 4.0, 6.0)  # s that the bend may last
SLOPE_SD = 0.03  # of strips, a priori
LOWEST_SD = 0.1  # s; nobody knows lift-off closer: wheels leave one by one


@dataclass(frozen=True, slots=True)
class Hinge:
    """The moment [s], its standard deviation, strip height there [m] with its own, and the slope along x."""

    time: float
    time_sd: float
    height: float
    height_sd: float
    slope: float
    slope_sd: float
    residual: float  # rms [m]


def hinge(
    height: Height, along_time: FloatArray, along: FloatArray, start: float, end: float, direction: int
) -> Hinge | None:
    """The moment between `start` and `end` at which the height leaves (direction 1) or meets (−1) the strip.

    Parameters
    ----------
    height : Height
        The source; its raw samples are used.
    along_time, along : ndarray, shape (n,)
        Distance along the roll at moments. [s, m]
    start, end : float
        The span fitted: rolling at one end, well above the obstacle height at the other. [s]
    direction : int
        1 for a lift-off, −1 for a touchdown.

    Returns
    -------
    Hinge or None
        None with fewer than six heights in the span.
    """
    inside = (height.time >= start) & (height.time <= end)
    time, values = height.time[inside], height.values[inside]
    if len(time) < 6:
        return None
    x = np.interp(time, along_time, along)
    # at least two heights on either side, or the fit has nothing to hold on to
    tried = np.arange(time[1], time[-2] + GRID / 2, GRID)
    middle = float(np.median(values))
    cost = np.full((len(tried), len(BENDS)), np.inf)
    solutions = np.zeros((len(tried), len(BENDS), 3))
    for i, moment in enumerate(tried):
        since = direction * (time - moment)
        x0 = float(np.interp(moment, along_time, along))
        rolled = np.where(since < 0, x - x0, 0.0)
        for j, bend in enumerate(BENDS):
            rise = np.where(since <= 0, 0.0, np.where(since < bend, since**2 / (2 * bend), since - bend / 2))
            columns = np.stack((np.ones_like(time), rolled, rise), axis=1)
            weighted = np.vstack((columns / height.noise, [[0.0, 1 / SLOPE_SD, 0.0]]))
            right = np.concatenate(((values - middle) / height.noise, [0.0]))
            solution = np.linalg.lstsq(weighted, right, rcond=None)[0]
            left = right - weighted @ solution
            if solution[2] > 0:
                cost[i, j] = float(left @ left)
                solutions[i, j] = solution
    if not np.isfinite(cost).any():
        return None
    best = np.unravel_index(int(np.argmin(cost)), cost.shape)
    scale = _inflation(
        time,
        values - middle,
        tried[best[0]],
        BENDS[best[1]],
        solutions[best],
        x,
        direction,
        height.noise,
        along_time,
        along,
    )
    weight = np.exp(-0.5 * (cost - cost[best]) / scale)
    weight /= weight.sum()
    at = float(np.sum(weight * tried[:, None]))
    spread = float(np.sqrt(max(np.sum(weight * (tried[:, None] - at) ** 2), 0.0)))
    ground = float(np.sum(weight * solutions[:, :, 0]))
    ground_spread = float(np.sqrt(np.sum(weight * (solutions[:, :, 0] - ground) ** 2)))
    slope = float(np.sum(weight * solutions[:, :, 1]))
    rolling = direction * (time - at) < 0
    count = max(int(np.count_nonzero(rolling)), 1)
    mean_sd = height.noise * np.sqrt(scale / count)
    reach = float(np.std(x[rolling])) if count > 2 else 0.0
    slope_sd = 1 / np.sqrt(1 / SLOPE_SD**2 + count * reach**2 / (height.noise**2 * scale))
    return Hinge(
        at,
        float(np.hypot(spread, LOWEST_SD)),
        ground + middle,
        float(np.hypot(ground_spread, 2 * mean_sd)),
        slope,
        float(slope_sd),
        float(height.noise * np.sqrt(cost[best] / len(time))),
    )


def _inflation(
    time: FloatArray,
    values: FloatArray,
    moment: float,
    bend: float,
    solution: FloatArray,
    x: FloatArray,
    direction: int,
    noise: float,
    along_time: FloatArray,
    along: FloatArray,
) -> float:
    """By how much the cost overstates what the heights know: misfit beyond their noise, and errors that last."""
    since = direction * (time - moment)
    x0 = float(np.interp(moment, along_time, along))
    rise = np.where(since <= 0, 0.0, np.where(since < bend, since**2 / (2 * bend), since - bend / 2))
    left = values - solution[0] - solution[1] * np.where(since < 0, x - x0, 0.0) - solution[2] * rise
    misfit = float(left @ left) / (noise**2 * max(len(left) - 5, 1))
    power = float(left @ left)
    kept = float(left[1:] @ left[:-1]) / power if power > 0 else 0.0
    kept = min(max(kept, 0.0), 0.9)
    return max(misfit, 1.0) * (1 + kept) / (1 - kept)
