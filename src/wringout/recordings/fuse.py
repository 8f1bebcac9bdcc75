"""A roll by its accelerometer and its receiver together.

A receiver tells once a second where an airplane is. An accelerometer on a mount tells a hundred times a
second how its speed changes, but for a constant error, gravity's share in a tilted mount, and its scale. Over
one roll, with f and n the longitudinal and normal acceleration of the log (n less gravity) and F′, F″ the
first and second integral of a signal from the roll's beginning,

    v(t) = v₀ + c f′(t) + d t + e n′(t) + w′(t),     s(t) = s₀ + v₀ t + c f″(t) + d t²/2 + e n″(t) + w″(t):

c is the scale (nearly one), d the constant error with gravity's share, e the tangent of the tilt by which
bumps are seen lengthwise, and w white noise of the density with which the samples scatter. All is linear and
Gaussian: s and v at any moments, given the receiver's positions and speeds, are a regression with correlated
errors [derived; generalised least squares].
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from wringout.recordings.recording import FloatArray

BoolArray = NDArray[np.bool_]

# A priori: place [m] and speed [m/s] unknown; scale, constant error [m/s²] with 17° of tilt, tangent of the
# tilt; common practice, no source
PRIOR_MEAN = np.array([0.0, 0.0, 1.0, 0.0, 0.0])
PRIOR_SD = np.array([1e4, 1e2, 0.03, 3.0, 0.3])
STEADY = 0.5  # s over which the acceleration is taken
LEAST_DENSITY = 0.01  # m/s²/√Hz of accelerometer noise; no sensor on a shaking mount is better
FACTORS = 10.0 ** np.arange(-1.0, 1.01, 0.1)  # on the receiver's noise, as the record showed it
AGREEING = 5.0  # standard deviations by which distances by positions and by speeds may differ at most


@dataclass(frozen=True)
class FusedRoll:
    """The motion along one roll, by everything that was measured in it.

    Parameters
    ----------
    time, longitudinal, normal : ndarray, shape (n,)
        The accelerometer's samples; `normal` all zero where there is none. [s, m/s², m/s²]
    fix_time, fix : ndarray, shape (p,)
        The receiver's positions along the roll. [s, m]
    speed_time, fix_speed : ndarray, shape (q,)
        The receiver's speeds. [s, m/s]
    position_sd, speed_sd : float
        Standard deviations of one of each. [m, m/s]
    """

    time: FloatArray
    longitudinal: FloatArray
    normal: FloatArray
    fix_time: FloatArray
    fix: FloatArray
    speed_time: FloatArray
    fix_speed: FloatArray
    position_sd: float
    speed_sd: float

    @cached_property
    def density(self) -> float:
        """Noise of the accelerometer as its samples scatter about their neighbours [m/s²/√Hz]."""
        scatter = 1.4826 * float(np.median(np.abs(np.diff(self.longitudinal, 2)))) / np.sqrt(6)
        return float(max(scatter * np.sqrt(np.median(np.diff(self.time))), LEAST_DENSITY))

    def speed(self, moments: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Speed along the roll and its standard deviation at moments within it [m/s]."""
        own = self.density**2 * (moments - self.time[0])
        speed, sd = self._told(self.basis(moments, _SPEED), self.with_told(moments, _SPEED), own)
        return speed, np.hypot(sd, self.doubt * speed)

    def along(self, moments: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Distance along the line of the roll and its standard deviation at moments within it [m]."""
        own = self.density**2 * (moments - self.time[0]) ** 3 / 3
        along, sd = self._told(self.basis(moments, _PLACE), self.with_told(moments, _PLACE), own)
        return along, np.hypot(sd, self.doubt * (along - along.min(initial=np.inf)))

    def distance(self, first: float, second: float) -> tuple[float, float]:
        """Distance rolled between two moments and its standard deviation [m]."""
        ends = np.array([first, second])
        own = self.density**2 * _noise(ends - self.time[0], _PLACE, ends - self.time[0], _PLACE)
        step = np.array([[-1.0, 1.0]])
        rolled, sd = self._told(
            step @ self.basis(ends, _PLACE), step @ self.with_told(ends, _PLACE), (step @ own @ step.T)[0]
        )
        return float(rolled[0]), float(np.hypot(sd[0], self.doubt * rolled[0]))

    def acceleration(self, moments: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Mean acceleration over half a second about each moment, with its standard deviation [m/s²]."""
        before = np.maximum(moments - STEADY / 2, self.time[0])
        after = np.minimum(moments + STEADY / 2, self.time[-1])
        lapse = after - before
        gained, sd = self._told(
            self.basis(after, _SPEED) - self.basis(before, _SPEED),
            self.with_told(after, _SPEED) - self.with_told(before, _SPEED),
            self.density**2 * lapse,
        )
        return gained / lapse, sd / lapse

    @property
    def constant_error(self) -> tuple[float, float]:
        """The accelerometer's constant error with gravity's share, and its standard deviation [m/s²]."""
        mean, covariance = self._fitted
        return -float(mean[3]), float(np.sqrt(covariance[3, 3]))

    @property
    def misfit(self) -> float:
        """Mean squared misfit by which all variances are widened; 1 where the errors are as expected."""
        return self._solution[2]

    @cached_property
    def distances(self) -> tuple[float, float, float]:
        """By positions and by speeds between the two moments over which they differ most [m, m, s]."""
        first = max(self.fix_time[0], self.speed_time[0])
        last = min(self.fix_time[-1], self.speed_time[-1])
        moments = self.fix_time[(self.fix_time >= first) & (self.fix_time <= last)]
        every = np.unique(np.concatenate((moments, self.speed_time)))
        speeds = np.interp(every, self.speed_time, self.fix_speed)
        run = np.concatenate(([0.0], np.cumsum((speeds[1:] + speeds[:-1]) / 2 * np.diff(every))))
        by_position, by_speed = np.interp(moments, self.fix_time, self.fix), np.interp(moments, every, run)
        one, other = sorted((int(np.argmin(by_position - by_speed)), int(np.argmax(by_position - by_speed))))
        return (
            float(by_position[other] - by_position[one]),
            float(by_speed[other] - by_speed[one]),
            float(moments[other] - moments[one]),
        )

    @cached_property
    def doubt(self) -> float:
        """Share of distances and speeds that is in doubt, as positions and speeds contradict each other.

        Half of what lies between them, where it is more than both their noises explain; else none.
        """
        by_position, by_speed, lapse = self.distances
        # a smooth drift of the positions is no noise: what they scatter by shows from one to the next
        jitter = [
            float(np.std(np.diff(seen - told)) / np.sqrt(2))
            for seen, told in (
                (self.fix, self.basis(self.fix_time, _PLACE) @ self._fitted[0]),
                (self.fix_speed, self.basis(self.speed_time, _SPEED) @ self._fitted[0]),
            )
        ]
        spread = np.sqrt(2 * jitter[0] ** 2 + jitter[1] ** 2 * lapse)
        apart = abs(by_position - by_speed)
        return float(apart / 2 / max(by_speed, 1.0)) if apart > AGREEING * spread else 0.0

    @property
    def note(self) -> str:
        """What a reader of this roll must know, or nothing."""
        if not self.doubt:
            return ""
        by_position, by_speed, lapse = self.distances
        return (
            f"the receiver's positions give {by_position:.0f} m and its speeds {by_speed:.0f} m over "
            f"the same {lapse:.0f} s: half of the difference is in every uncertainty of this roll"
        )

    @cached_property
    def _integrals(self) -> FloatArray:
        """f′, n′, f″, n″ at the accelerometer's samples, by trapezia; shape (4, n)."""
        step = np.diff(self.time)
        signals = np.stack((self.longitudinal, self.normal))
        once = np.zeros_like(signals)
        np.cumsum((signals[:, 1:] + signals[:, :-1]) / 2 * step, axis=1, out=once[:, 1:])
        twice = np.zeros_like(signals)
        # between samples the signal is a line: ∫∫ over a step is v₀ h + (2 f₀ + f₁) h²/6
        inner = once[:, :-1] * step + (2 * signals[:, :-1] + signals[:, 1:]) * step**2 / 6
        np.cumsum(inner, axis=1, out=twice[:, 1:])
        return np.concatenate((once, twice))

    def basis(self, moments: FloatArray, speeds: BoolArray) -> FloatArray:
        """What s₀, v₀, c, d, e contribute to positions, or to speeds where flagged; shape (m, 5)."""
        since = moments - self.time[0]
        f1, n1, f2, n2 = (np.interp(moments, self.time, each) for each in self._integrals)
        one, zero = np.ones_like(since), np.zeros_like(since)
        of_position = np.stack((one, since, f2, since**2 / 2, n2), axis=1)
        of_speed = np.stack((zero, one, f1, since, n1), axis=1)
        return np.where(speeds[:, None], of_speed, of_position)

    def with_told(self, moments: FloatArray, speeds: BoolArray) -> FloatArray:
        """Covariance of the accelerometer's noise in positions or speeds with that in what was seen."""
        seen, seen_speeds, _, _ = self.told
        return self.density**2 * _noise(moments - self.time[0], speeds, seen - self.time[0], seen_speeds)

    @cached_property
    def told(self) -> tuple[FloatArray, BoolArray, FloatArray, FloatArray]:
        """Moments, whether each is a speed, values and standard deviations of all that was measured."""
        moments = np.concatenate((self.fix_time, self.speed_time))
        speeds = np.arange(len(moments)) >= len(self.fix_time)
        values = np.concatenate((self.fix, self.fix_speed))
        return moments, speeds, values, np.where(speeds, self.speed_sd, self.position_sd)

    @cached_property
    def _solution(self) -> tuple[FloatArray, FloatArray, float]:
        """Inverse covariance of what was seen, what is left of it, and the misfit."""
        moments, speeds, values, sd = self.told
        basis = self.basis(moments, speeds)
        covariance = self.with_told(moments, speeds) + np.diag(sd**2)
        inverse: FloatArray = np.linalg.inv(covariance).astype(np.float64)
        normal = basis.T @ inverse @ basis + np.diag(PRIOR_SD**-2.0)
        mean = np.linalg.solve(normal, basis.T @ inverse @ values + PRIOR_MEAN / PRIOR_SD**2)
        left = values - basis @ mean
        square = float(left @ inverse @ left)
        free = len(values) - 3  # place, speed and constant error are fitted, the others hardly
        return inverse, left, max(square / max(free, 1), 1.0)

    @cached_property
    def _fitted(self) -> tuple[FloatArray, FloatArray]:
        """s₀, v₀, c, d, e and their covariance."""
        moments, speeds, values, _ = self.told
        inverse, _, misfit = self._solution
        basis = self.basis(moments, speeds)
        normal = basis.T @ inverse @ basis + np.diag(PRIOR_SD**-2.0)
        covariance: FloatArray = np.linalg.inv(normal).astype(np.float64)
        mean = covariance @ (basis.T @ inverse @ values + PRIOR_MEAN / PRIOR_SD**2)
        return mean, misfit * covariance

    def _told(
        self, basis: FloatArray, with_told: FloatArray, own: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Means and deviations of linear quantities.

        Parameters
        ----------
        basis : ndarray, shape (m, 5)
            What s₀, v₀, c, d, e contribute to each.
        with_told : ndarray, shape (m, p + q)
            Covariance of each one's noise with that in what was seen.
        own : ndarray, shape (m,)
            Variance of each one's noise.
        """
        inverse, left, misfit = self._solution
        mean, covariance = self._fitted
        gain = with_told @ inverse
        rest = basis - gain @ self.basis(*self.told[:2])
        variance = np.einsum("ma,ab,mb->m", rest, covariance, rest)
        variance += misfit * (own - np.einsum("ma,ma->m", gain, with_told))
        return basis @ mean + gain @ left, np.sqrt(np.maximum(variance, 0.0))


_SPEED, _PLACE = np.array([True]), np.array([False])


def _noise(t: FloatArray, t_speed: BoolArray, u: FloatArray, u_speed: BoolArray) -> FloatArray:
    """Covariance of w′ (where flagged) and w″ between times since the beginning, at a density of one."""
    t, u, t_speed, u_speed = t[:, None], u[None, :], t_speed[:, None], u_speed[None, :]
    least = np.minimum(t, u)
    # white noise at x counts in w′(t) as 1 and in w″(t) as t − x: integrals of the products up to the earlier
    places = least * t * u - least**2 * (t + u) / 2 + least**3 / 3
    t_place, u_place = least * t - least**2 / 2, least * u - least**2 / 2
    return np.where(t_speed, np.where(u_speed, least, u_place), np.where(u_speed, t_place, places))


def likeliest(roll: FusedRoll) -> FusedRoll:
    """The roll with those standard deviations of the receiver's positions and speeds that fit it best.

    A record's own noise, found without the accelerometer, takes for noise what was motion. One factor after
    the other, each from a tenth to ten times, in steps of a quarter of itself.
    """
    moments, speeds, values, sd = roll.told
    basis = roll.basis(moments, speeds)
    # the five constants integrated out, as a part of the covariance
    process = roll.with_told(moments, speeds) + (basis * PRIOR_SD**2) @ basis.T
    left = values - basis @ PRIOR_MEAN

    def log_likelihood(position_factor: float, speed_factor: float) -> float:
        noise = sd * np.where(speeds, speed_factor, position_factor)
        factor = np.linalg.cholesky(process + np.diag(noise**2))
        white = np.linalg.solve(factor, left)
        return float(-np.sum(np.log(np.diag(factor))) - 0.5 * white @ white)

    position, speed = 1.0, 1.0
    for _ in range(2):
        speed = max(FACTORS, key=lambda each: log_likelihood(position, each))
        position = max(FACTORS, key=lambda each: log_likelihood(each, speed))
    return replace(roll, position_sd=roll.position_sd * position, speed_sd=roll.speed_sd * speed)
