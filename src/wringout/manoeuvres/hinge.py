"""When the wheels left or met the ground, from the height alone.

Along the ground the height follows the strip; from lift-off on it bends into a climb away from it, and the
strip goes on below. With x the distance along it, s the time since lift-off, w the steady rate of climb above
the strip, T the time that the bend lasts, and at once a share f of w for a time d,

    h = h₀ + slope · x + w g(s),   g = f s + (1 − f) arc(s − d),
    arc(u) = 0 (u < 0),  u²/(2T) (0 ≤ u ≤ T),  u − T/2 (u > T),   g = 0 for s < 0.

An airplane lifts off softly, f = 0. A touchdown is the same with time reversed: it may be firm (f > 0), and
follow a float (d > 0). For each moment and curve (T, f, d) of a grid the rest is linear; the likelihood over
the grid gives the moment and its standard deviation. A height's errors are jitter, which averages out, and
wander, which does not: a random walk.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from wringout.manoeuvres.heights import Height
from wringout.recordings.recording import FloatArray

if TYPE_CHECKING:
    from wringout.manoeuvres.hinge_fits import Fits, Roll

GRID = 0.15  # s between moments tried, where the moment is that well known; …
STRIDES = (6, 3, 1)  # … else every so manieth, …
STEPS = 3.0  # … as a sum over a density is exact enough where its sd spans so many steps
NEGLIGIBLE = 15.0  # moments whose density is below the greatest by e to this power are not looked at closer


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
# s by which no path is quite this curve, wheels leave one by one and skip as they meet; common practice
LOWEST_SD = {1: 0.1, -1: 0.2}
WITNESSES = 20.0  # residuals for which the noise of the whole record counts against those of these seconds
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
    likelihood = likelihood_of(height, along_time, along, start, end, direction=direction)
    return None if likelihood is None else likelihood.hinge(log_prior)


def likelihood_of(
    height: Height,
    along_time: FloatArray,
    along: FloatArray,
    start: float,
    end: float,
    *,
    direction: int,
) -> "Likelihood | None":
    """The likelihood of the moment, arguments as `hinge`; None with fewer than six heights in the span."""
    first, after = np.searchsorted(height.time, start), np.searchsorted(height.time, end, side="right")
    if after - first < 6:
        return None
    used = slice(first, after, (after - first) // MOST_SAMPLES + 1)
    time, values = height.time[used], height.values[used]
    # at least two heights on either side, or the fit has nothing to hold on to
    moments: FloatArray = np.arange(time[1], time[-2] + GRID / 2, GRID, dtype=np.float64)
    return Likelihood(
        height,
        direction,
        time,
        values,
        moments,
        np.interp(time, along_time, along),
        np.interp(moments, along_time, along),
    )


@dataclass(frozen=True)
class Likelihood:
    """Of each moment and curve, computed once and only where it matters.

    `at_heights` and `at_moments` are the distances along the roll at the heights' times and at the moments
    tried [m]. Each fit's coefficients are strip height, slope and climb rate.
    """

    height: Height
    direction: int
    time: FloatArray
    values: FloatArray
    moments: FloatArray
    at_heights: FloatArray
    at_moments: FloatArray

    @cached_property
    def _curves(self) -> tuple[Curve, ...]:
        return CURVES[self.direction]

    @cached_property
    def _middle(self) -> float:
        return float(np.median(self.values))

    @cached_property
    def _roll(self) -> "Roll":
        from wringout.manoeuvres.hinge_fits import Roll, whitened, whitening

        time = np.ascontiguousarray(self.time)  # another layout would be compiled anew
        by = whitening(time, self.height.noise, self.height.wander)
        ones, values = np.ones_like(time), self.values - self._middle
        return Roll(time, self.at_heights, whitened(ones, by), whitened(values, by), by)

    @cached_property
    def _known(self) -> "Fits":
        """What is computed so far."""
        from wringout.manoeuvres.hinge_fits import Fits

        shape = (len(self.moments), len(self._curves))
        return Fits(np.full(shape, np.nan), np.zeros(shape), np.zeros((3, *shape)), np.zeros((2, *shape)))

    def hinge(self, log_prior: Callable[[FloatArray], FloatArray] | None = None) -> Hinge | None:
        """The moment, with what is known of it beside the heights; None where no climb fits them."""
        prior = np.zeros(len(self.moments)) if log_prior is None else log_prior(self.moments)
        tried = np.arange(len(self.moments))
        found = None
        for stride in STRIDES:
            chosen = tried[tried % stride == 0]
            self.fits(chosen)
            if not np.isfinite(self._known.cost[chosen]).any():
                continue
            density, misfit = self._density(chosen, prior)
            weight = np.exp(density - density.max())
            weight /= weight.sum()
            found = (chosen, weight, misfit)
            _, spread = _mean_and_sd(self.moments[chosen], weight.sum(axis=1))
            if spread > STEPS * stride * GRID * np.sqrt(misfit):  # a finer grid may yet fit better
                break
            best = density.max(axis=1)
            near = chosen[best > best.max() - NEGLIGIBLE][:, None] + np.arange(1 - stride, stride)
            tried = np.unique(np.clip(near, 0, len(self.moments) - 1))
        return None if found is None else self._summary(*found)

    def _left(self) -> FloatArray:
        """The heights less the best fit [m]."""
        moment, curve = np.unravel_index(int(np.nanargmin(self._known.cost)), self._known.cost.shape)
        ground, along, climb = self._known.solution[:, moment, curve]
        since = self.direction * (self.time - self.moments[moment])
        rolled = self.at_heights - self.at_moments[moment]
        fitted = ground + along * rolled + climb * _rise(since, self._curves[curve])
        left: FloatArray = self.values - self._middle - fitted
        return left

    def _density(self, chosen: NDArray[np.int64], prior: FloatArray) -> tuple[FloatArray, float]:
        """Logarithm of the density of the chosen moments and each curve, and the misfit that widens it."""
        cost = self._known.cost[chosen]
        least = float(self._known.squares.flat[np.nanargmin(self._known.cost)])
        freedom = max(len(self.time) - 5, 1)
        misfit = (least + WITNESSES) / (freedom + WITNESSES)
        if self.height.unseen > 0:  # such an error leaves no residual, so that small ones vouch for nothing
            misfit = max(misfit, 1.0)
        return -0.5 * (cost - cost.min()) / misfit + prior[chosen, None], misfit

    def _summary(self, chosen: NDArray[np.int64], weight: FloatArray, misfit: float) -> Hinge:
        """The posterior's means and deviations."""
        ground, slope, _ = self._known.solution[:, chosen]
        ground_variance, slope_variance = misfit * self._known.variance[:, chosen]
        at, spread = _mean_and_sd(self.moments[chosen], weight.sum(axis=1))
        strip, strip_sd = _mean_and_sd(ground, weight, ground_variance)
        gradient, gradient_sd = _mean_and_sd(slope, weight, slope_variance)
        return Hinge(
            at,
            float(np.hypot(spread, LOWEST_SD[self.direction])),
            strip + self._middle,
            strip_sd,
            gradient,
            gradient_sd,
            float(np.sqrt(np.mean(self._left() ** 2))),
        )

    def fits(self, asked: NDArray[np.int64]) -> "Fits":
        """What is computed so far, and at the asked moments, by index, in any case."""
        from wringout.manoeuvres.hinge_fits import Curves, Grid, fit

        curves = np.array([(each.bend, each.firmness, each.floating, each.weight) for each in self._curves])
        bend, firmness, floating, weight = (np.ascontiguousarray(each) for each in curves.T)
        grid = Grid(self.moments, self.at_moments, self.direction, SLOPE_SD, RATE_SD)
        fit(self._roll, grid, Curves(bend, firmness, floating, np.log(weight)), self._known, asked)
        return self._known


def _mean_and_sd(
    values: FloatArray, weight: FloatArray, variance: FloatArray | float = 0.0
) -> tuple[float, float]:
    """Of weighted values that have variances of their own."""
    mean = float(np.sum(weight * values))
    return mean, float(np.sqrt(np.sum(weight * ((values - mean) ** 2 + variance))))


def _rise(since: FloatArray, curve: Curve) -> FloatArray:
    """g(s) of a curve at times since the wheels' moment [s]."""
    after = since - curve.floating
    np.maximum(after, 0.0, out=after)
    inside = np.minimum(after, curve.bend)
    # u²/2T within the bend and u − T/2 after it are one: i (u − i/2)/T, i being u or at most T
    after -= inside / 2
    after *= inside
    after *= (1 - curve.firmness) / curve.bend
    if curve.firmness:
        after += curve.firmness * np.maximum(since, 0.0)
    return after
