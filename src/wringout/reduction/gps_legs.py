"""True airspeed and wind from level legs on several headings, by their ground velocities alone."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.problems import InputError, Problem

FloatArray = NDArray[np.float64]

# Three legs within about ± 20° of one heading reach this; the answer is then worth a twentieth of the
# measurement.
MOST_CONDITION = 20.0
ITERATIONS = 50
MEND = "fly at least three legs at one indicated airspeed on headings about 120° apart, or four 90° apart"


@dataclass(frozen=True, slots=True)
class GpsLegs:
    """Wind and airspeeds that the legs agree on.

    `true_airspeed` [m/s] has one entry a group in the order of `groups`; `wind` [m/s] is (east, north), the
    velocity of the air, on the mean over the legs, and `covariance` that of (true_airspeed…, wind east, wind
    north) from the stated leg uncertainties. `winds` (n, 2) are the velocities at `wind_times` [s] with their
    covariance (2n, 2n): one where the wind was steady, at each leg where it may wander. `residuals` [m/s] and
    `heading` (true [rad]) go with the legs. `scatter` is the root of chi-squared over degrees of freedom, 1
    where the stated uncertainties are right and NaN without freedom.
    """

    groups: tuple[str, ...]
    true_airspeed: FloatArray
    wind: FloatArray
    covariance: FloatArray
    wind_times: FloatArray
    winds: FloatArray
    winds_covariance: FloatArray
    heading: FloatArray
    residuals: FloatArray
    degrees_of_freedom: int
    scatter: float
    condition: float


def solve(
    ground_east: ArrayLike,
    ground_north: ArrayLike,
    sd: ArrayLike,
    groups: Sequence[str],
    *,
    time: ArrayLike | None = None,
    wander: float | None = None,
    airspeed_offset: ArrayLike | None = None,
) -> GpsLegs:
    """Wind and true airspeed of each speed group from ground velocities on unknown headings.

    Parameters
    ----------
    ground_east, ground_north : array_like, shape (legs,)
        Mean ground velocity of each leg. [m/s]
    sd : array_like, shape (legs,) or scalar
        Standard uncertainty of one horizontal component, unsteadiness of the leg included. [m/s]
    groups : sequence of str, length legs
        Legs flown at the same true airspeed bear the same name; all groups share the wind.
    time : array_like, shape (legs,), optional
        Middle of each leg; needed for a wind that wanders. [s]
    wander : float, optional
        Where given, each component of the wind is a random walk in time that after t seconds has gone this
        times √t astray. [m/s^1.5]
    airspeed_offset : array_like, shape (legs,), optional
        By how much a leg's true airspeed was above that of its group, from the airspeed indicator. [m/s]

    Returns
    -------
    GpsLegs

    Raises
    ------
    InputError
        Too few legs, legs that contradict one another, or headings that leave the wind undetermined; names
        the condition number and what to fly instead.
    ValueError
        Shapes that do not match, an uncertainty that is not positive, or a velocity that is not finite.

    Notes
    -----
    Least squares on |g_i − w| = V_k(i) + offset_i (Gray1998 for three legs; Lewis1997), by Gauss–Newton
    with the analytic Jacobian: a residual falls by the unit vector of the air velocity for the wind and by
    one for its airspeed. A wandering wind has its own velocity at each leg, held to that at the leg before by
    the walk's standard deviation. The start is the exact solution of |g|² = 2 g·w + (V² − |w|²), which is
    linear in w and the bracket. With three legs on one group the residuals vanish and this is Gray's
    solution.

    Examples
    --------
    >>> import math
    >>> speed, track = [140.0, 112.0, 120.0], [math.radians(t) for t in (192, 283, 20)]
    >>> east = [v * math.sin(t) for v, t in zip(speed, track)]
    >>> north = [v * math.cos(t) for v, t in zip(speed, track)]
    >>> legs = solve(east, north, 0.5, ["cruise"] * 3)
    >>> print(f"{legs.true_airspeed[0]:.0f} kt, wind {math.hypot(*legs.wind):.1f} kt")
    130 kt, wind 20.6 kt
    """
    ground = np.column_stack([np.asarray(ground_east, dtype=float), np.asarray(ground_north, dtype=float)])
    legs = ground.shape[0]
    spread = np.broadcast_to(np.asarray(sd, dtype=float), (legs,))
    offset = np.zeros(legs) if airspeed_offset is None else np.asarray(airspeed_offset, dtype=float)
    if len(groups) != legs or offset.shape != (legs,):
        raise ValueError("ground velocities, groups and airspeed offsets differ in length")
    if not np.all(np.isfinite(ground)) or not np.all(spread > 0.0):
        raise ValueError("ground velocities must be finite and their uncertainties positive")
    names = tuple(dict.fromkeys(groups))
    membership = np.array([[float(group == name) for name in names] for group in groups])
    times, leg_at = _knots(legs, time, wander)
    geometry = _Geometry(membership, leg_at, np.diff(times), spread, wander or 0.0)
    geometry.refuse_too_few()
    unknown, air, residual, rows, targets = _gauss_newton(geometry, ground, offset)
    direction = air / np.maximum(np.hypot(*air.T), 1e-9)[:, None]
    condition = float(np.linalg.cond(np.column_stack([membership, direction]) / spread[:, None]))
    if not condition <= MOST_CONDITION:
        raise InputError(
            Problem(
                f"the headings of the {legs} legs leave the wind undetermined "
                f"(condition number {condition:.3g}, at most {MOST_CONDITION:.0f})",
                MEND,
            )
        )
    covariance = geometry.covariance(rows)
    count = len(names)
    mean = geometry.mean_wind()
    freedom = targets.size - unknown.size
    return GpsLegs(
        groups=names,
        true_airspeed=unknown[:count],
        wind=(mean @ unknown)[count:],
        covariance=mean @ covariance @ mean.T,
        wind_times=times,
        winds=unknown[count:].reshape(-1, 2),
        winds_covariance=covariance[count:, count:],
        heading=np.mod(np.arctan2(air[:, 0], air[:, 1]), 2.0 * np.pi),
        residuals=residual,
        degrees_of_freedom=freedom,
        scatter=float(np.sqrt(np.sum(targets**2) / freedom)) if freedom > 0 else float("nan"),
        condition=condition,
    )


@dataclass(frozen=True, slots=True)
class _Geometry:
    """Which leg belongs to which group and flew in which of the winds, these some `steps` [s] apart."""

    membership: FloatArray
    leg_at: NDArray[np.intp]
    steps: FloatArray
    spread: FloatArray
    wander: float

    @property
    def winds(self) -> int:
        return int(self.steps.size) + 1

    @property
    def unknowns(self) -> int:
        return int(self.membership.shape[1]) + 2 * self.winds

    def design(self, direction: FloatArray) -> FloatArray:
        legs, count = self.membership.shape
        matrix = np.zeros((legs, self.unknowns))
        matrix[:, :count] = self.membership
        for axis in range(2):
            matrix[np.arange(legs), count + 2 * self.leg_at + axis] = direction[:, axis]
        return matrix

    def walk(self) -> FloatArray:
        """Rows of the steps from wind to wind over their standard deviations."""
        count, steps = self.membership.shape[1], self.steps.size
        matrix = np.zeros((2 * steps, self.unknowns))
        weight = np.repeat(1.0 / (self.wander * np.sqrt(self.steps)), 2) if steps else np.zeros(0)
        index = np.arange(2 * steps)
        matrix[index, count + index] = -weight
        matrix[index, count + 2 + index] = weight
        return matrix

    def mean_wind(self) -> FloatArray:
        """The matrix that takes airspeeds as they are and the winds to their mean over the legs."""
        legs, count = self.membership.shape
        matrix = np.zeros((count + 2, self.unknowns))
        matrix[:count, :count] = np.eye(count)
        for axis in range(2):
            np.add.at(matrix[count + axis], count + 2 * self.leg_at + axis, 1.0 / legs)
        return matrix

    def wind(self, unknown: FloatArray) -> FloatArray:
        winds: FloatArray = unknown[self.membership.shape[1] :].reshape(-1, 2)[self.leg_at]
        return winds

    def refuse_too_few(self) -> None:
        legs, count = self.membership.shape[0], self.membership.shape[1] if self.membership.ndim == 2 else 0
        short = count + 2 - legs
        if short > 0:
            raise InputError(
                Problem(
                    f"{legs} level legs in {count} speed groups cannot give {count} airspeeds and "
                    f"wind: {short} too few",
                    MEND,
                )
            )

    def covariance(self, rows: FloatArray) -> FloatArray:
        _, singular, directions = np.linalg.svd(rows, full_matrices=False)
        # A singular value of rounding size is an undetermined direction: let its variance say so.
        inverse = 1.0 / np.maximum(singular, singular[0] * 1e-12)
        matrix: FloatArray = (directions.T * inverse**2) @ directions
        return matrix


def _knots(legs: int, time: ArrayLike | None, wander: float | None) -> tuple[FloatArray, NDArray[np.intp]]:
    """Moments at which the wind is sought, and which of them each leg flew in."""
    if time is None:
        if wander is not None:
            raise ValueError("a wandering wind needs the time of each leg")
        return np.zeros(1), np.zeros(legs, dtype=np.intp)
    clock = np.asarray(time, dtype=float)
    if clock.shape != (legs,):
        raise ValueError("each leg needs its time")
    if wander is None:
        return np.array([np.mean(clock)]), np.zeros(legs, dtype=np.intp)
    if not wander > 0.0:
        raise ValueError("the wander of a wind must be positive")
    times, leg_at = np.unique(clock, return_inverse=True)
    return times, leg_at.astype(np.intp)


def _start(geometry: _Geometry, ground: FloatArray) -> FloatArray:
    """The exact solution of the squared equations in a steady wind, or still air where that is wild."""
    count = geometry.membership.shape[1]
    squared = np.sum(ground**2, axis=1)
    unknown = np.zeros(geometry.unknowns)
    linear, *_ = np.linalg.lstsq(np.column_stack([geometry.membership, 2.0 * ground]), squared, rcond=None)
    wind = linear[count:]
    if np.hypot(*wind) < np.sqrt(np.max(squared)):
        unknown[:count] = np.sqrt(np.maximum(linear[:count] + wind @ wind, 1.0))
        unknown[count:] = np.tile(wind, geometry.winds)
    else:
        unknown[:count] = geometry.membership.T @ np.sqrt(squared) / np.sum(geometry.membership, axis=0)
    return unknown


def _gauss_newton(
    geometry: _Geometry, ground: FloatArray, offset: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """Unknowns, air velocities and residuals at the solution, with the weighted rows and targets there."""
    count = geometry.membership.shape[1]
    unknown = _start(geometry, ground)
    walk = geometry.walk()
    for _ in range(ITERATIONS):
        air = ground - geometry.wind(unknown)
        airspeed = np.hypot(*air.T)
        residual = airspeed - geometry.membership @ unknown[:count] - offset
        rows = geometry.design(air / np.maximum(airspeed, 1e-9)[:, None]) / geometry.spread[:, None]
        rows = np.vstack([rows, walk])
        targets = np.append(residual / geometry.spread, -walk @ unknown)
        step, *_ = np.linalg.lstsq(rows, targets, rcond=None)
        unknown = unknown + step
        if np.max(np.abs(step)) < 1e-8:
            return unknown, air, residual, rows, targets
    raise InputError(
        Problem("the legs agree on no wind: their speeds and tracks contradict one another", MEND)
    )
