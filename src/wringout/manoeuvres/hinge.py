"""When the wheels left or met the ground, from the height alone.

Along the ground the height follows the strip; from lift-off on it bends into a climb. With s the time since
lift-off, w the steady climb rate, T the time that the bend lasts, and at once a share f of w for a time d,

    h = h₀ + slope · x + w g(s),   g = f s + (1 − f) arc(s − d),
    arc(u) = 0 (u < 0),  u²/(2T) (0 ≤ u ≤ T),  u − T/2 (u > T),   g = 0 for s < 0.

An airplane lifts off softly, f = 0. A touchdown is the same with time reversed: it may be firm (f > 0), and
follow a float (d > 0). For each moment and curve (T, f, d) of a grid the rest is linear; the likelihood over
the grid gives the moment and its standard deviation. A height's errors are jitter, which averages out, and
wander, which does not: a random walk.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.heights import Height
from wringout.recordings.recording import FloatArray

GRID = 0.15  # s between moments tried


@dataclass(frozen=True, slots=True)
class Curve:
    """How the path bends: T, f and d as above, and how likely it is; common practice, no source."""

    bend: float
    firmness: float = 0.0
    floating: float = 0.0
    weight: float = 1.0


LIFTING = (
    Curve(0.5, weight=0.1),
    Curve(1.0, weight=0.3),
    Curve(2.0),
    Curve(3.0),
    Curve(4.0),
    Curve(6.0, weight=0.3),
)
FLARING = tuple(
    Curve(bend, firmness, floating)
    for bend in (1.0, 2.0, 3.0, 4.0)
    for firmness, floating in ((0.0, 0.0), (0.25, 0.0), (0.5, 0.0), (0.25, 1.0), (0.25, 2.0), (0.15, 3.0))
)
CURVES = {1: LIFTING, -1: FLARING}
SLOPE_SD = 0.03  # of strips, a priori
RATE_SD = 10.0  # m/s of climb, a priori: nothing is known
# s by which no path is quite this curve, and wheels leave one by one; common practice, no source
LOWEST_SD = {1: 0.2, -1: 0.45}
MOST_SAMPLES = 200  # heights used; more in a few seconds say nothing new


@dataclass(frozen=True, slots=True)
class Hinge:
    """The moment [s], its standard deviation, strip height there [m] with its own, and the slope along x."""

    time: float
    time_sd: float
    height: float
    height_sd: float
    slope: float
    slope_sd: float
    residual: float  # rms of the heights about the best fit [m]


def hinge(
    height: Height,
    along_time: FloatArray,
    along: FloatArray,
    start: float,
    end: float,
    *,
    direction: int,
    log_prior: Callable[[FloatArray], FloatArray] | None = None,
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
    log_prior : callable, optional
        What is known of the moment beside the height, as the logarithm of a density over moments.

    Returns
    -------
    Hinge or None
        None with fewer than six heights in the span, or where no climb fits them.
    """
    inside = np.flatnonzero((height.time >= start) & (height.time <= end))
    if len(inside) < 6:
        return None
    inside = inside[:: len(inside) // MOST_SAMPLES + 1]
    time, values = height.time[inside], height.values[inside]
    middle = float(np.median(values))
    whiten = _whitening(time, height.noise, height.wander)
    right = whiten(values - middle)
    # at least two heights on either side, or the fit has nothing to hold on to
    tried: FloatArray = np.arange(time[1], time[-2] + GRID / 2, GRID, dtype=np.float64)
    curves = CURVES[direction]
    moment, kind = np.repeat(tried, len(curves)), np.tile(np.arange(len(curves)), len(tried))
    x = np.interp(time, along_time, along)
    at_wheels = np.interp(moment, along_time, along)
    columns = _columns(
        direction * (time - moment[:, None]), x - at_wheels[:, None], [curves[each] for each in kind]
    )
    seen = whiten(columns.transpose(1, 0, 2)).transpose(1, 0, 2)
    prior = np.diag([0.0, SLOPE_SD**-2, RATE_SD**-2])
    normal = seen.transpose(0, 2, 1) @ seen + prior
    covariance: FloatArray = np.linalg.inv(normal + 1e-12 * np.eye(3)).astype(np.float64)
    solution = np.einsum("kab,kb->ka", covariance, seen.transpose(0, 2, 1) @ right)
    cost = np.sum((right - np.einsum("kic,kc->ki", seen, solution)) ** 2, axis=1)
    cost += solution[:, 1] ** 2 / SLOPE_SD**2
    # the linear coefficients integrated out, not only maximised: their room counts too
    cost += np.linalg.slogdet(normal)[1]
    cost -= 2 * np.log(np.array([each.weight for each in curves]))[kind]
    cost[solution[:, 2] <= 0] = np.inf
    best = int(np.argmin(cost))
    if not np.isfinite(cost[best]):
        return None
    left = right - seen[best] @ solution[best]
    misfit = max(float(left @ left) / max(len(left) - 5, 1), 1.0)
    density = -0.5 * (cost - cost[best]) / misfit
    if log_prior is not None:
        density += log_prior(moment)
    weight = np.exp(density - density.max())
    weight /= weight.sum()

    def mean_and_sd(values: FloatArray, variance: FloatArray | float) -> tuple[float, float]:
        mean = float(weight @ values)
        return mean, float(np.sqrt(weight @ ((values - mean) ** 2 + variance)))

    at, spread = mean_and_sd(moment, 0.0)
    ground, ground_sd = mean_and_sd(solution[:, 0], misfit * covariance[:, 0, 0])
    slope, slope_sd = mean_and_sd(solution[:, 1], misfit * covariance[:, 1, 1])
    raw = values - middle - columns[best] @ solution[best]
    return Hinge(
        at,
        float(np.hypot(spread, LOWEST_SD[direction])),
        ground + middle,
        ground_sd,
        slope,
        slope_sd,
        float(np.sqrt(np.mean(raw**2))),
    )


def _whitening(time: FloatArray, noise: float, wander: float) -> Callable[[FloatArray], FloatArray]:
    """What turns jitter and random walk along the first axis into independent errors of one.

    The steps from height to height have a tridiagonal covariance [derived]: the walk of one step and the
    jitter of both its ends, which it shares with the steps beside it.
    """
    from scipy.linalg import cholesky_banded

    covariance = np.empty((2, len(time)))
    covariance[0] = wander**2 * np.diff(time, prepend=time[0]) + 2 * noise**2
    covariance[0, 0] = noise**2
    covariance[1] = -(noise**2)
    diagonal, below = cholesky_banded(covariance, lower=True)

    def whiten(values: FloatArray) -> FloatArray:
        white: FloatArray = np.diff(values, axis=0, prepend=np.zeros_like(values[:1]))
        white[0] /= diagonal[0]
        for row in range(1, len(white)):  # few samples, each with thousands of columns
            white[row] -= below[row - 1] * white[row - 1]
            white[row] /= diagonal[row]
        return white

    return whiten


def _columns(since: FloatArray, rolled: FloatArray, curves: list[Curve]) -> FloatArray:
    """What strip height, slope and climb rate add to each height, by moment and curve: shape (k, n, 3).

    `since` is the time since the wheels' moment [s], `rolled` the distance from there [m], shapes (k, n).
    """
    bend, firmness, floating = np.array([(each.bend, each.firmness, each.floating) for each in curves]).T[
        ..., None
    ]
    after = since - floating
    inside = np.clip(after, 0.0, bend)
    arc = inside**2 / (2 * bend) + np.maximum(after - bend, 0.0)
    rise = firmness * np.maximum(since, 0.0) + (1 - firmness) * arc
    return np.stack((np.ones_like(since), np.where(since < 0, rolled, 0.0), rise), axis=2)
