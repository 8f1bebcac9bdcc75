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
    velocity of the air, at time zero of the solution (`wind_time`), and `wind_rate` [m/s²] its change.
    `covariance` is that of (true_airspeed…, wind east, wind north[, rate east, rate north]) from the stated
    leg uncertainties; `residuals` [m/s] and `heading` (true [rad]) go with the legs. `scatter` is the root
    of chi-squared over degrees of freedom, 1 where the stated uncertainties are right and NaN without
    freedom.
    """

    groups: tuple[str, ...]
    true_airspeed: FloatArray
    wind: FloatArray
    wind_rate: FloatArray
    wind_time: float
    covariance: FloatArray
    heading: FloatArray
    residuals: FloatArray
    degrees_of_freedom: int
    scatter: float
    condition: float

    def wind_at(self, time: float) -> tuple[FloatArray, FloatArray]:
        """Air velocity (east, north) [m/s] at a time [s] of the legs' clock, and its (2, 2) covariance."""
        count = len(self.groups)
        lapse = time - self.wind_time
        wind = self.wind + lapse * self.wind_rate
        select = np.zeros((2, self.covariance.shape[0]))
        select[:, count : count + 2] = np.eye(2)
        if self.covariance.shape[0] > count + 2:
            select[:, count + 2 :] = lapse * np.eye(2)
        return wind, select @ self.covariance @ select.T


def solve(
    ground_east: ArrayLike,
    ground_north: ArrayLike,
    sd: ArrayLike,
    groups: Sequence[str],
    *,
    time: ArrayLike | None = None,
    drift_sd: float | None = None,
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
        Middle of each leg; needed for a drifting wind. [s]
    drift_sd : float, optional
        Where given, the wind changes linearly in time, each component by a rate that is beforehand
        0 ± this. [m/s²] Infinite: nothing is known beforehand.
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
    one for its airspeed. The start is the exact solution of |g|² = 2 g·w + (V² − |w|²), which is linear in
    w and the bracket. With three legs on one group the residuals vanish and this is Gray's solution.

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
    if drift_sd is not None and time is None:
        raise ValueError("a drifting wind needs the time of each leg")
    names = tuple(dict.fromkeys(groups))
    membership = np.array([[float(group == name) for name in names] for group in groups])
    lapse, half_span, centre = _lapse(legs, time, drift_sd)
    geometry = _Geometry(membership, lapse, spread, _rate_prior(drift_sd, half_span, lapse))
    geometry.refuse_too_few()
    unknown, air, residual, rows, targets = _gauss_newton(geometry, ground, offset)
    count, steady = len(names), len(names) + 2
    covariance = geometry.covariance(rows)
    condition = (
        float(np.sqrt(np.linalg.cond(covariance[:steady, :steady]))) if covariance.size else float("inf")
    )
    if not condition <= MOST_CONDITION:
        raise InputError(
            Problem(
                f"the headings of the {legs} legs leave the wind undetermined "
                f"(condition number {condition:.3g}, at most {MOST_CONDITION:.0f})",
                MEND,
            )
        )
    scale = np.ones(unknown.size)
    scale[steady:] = 1.0 / half_span if half_span > 0.0 else 1.0
    freedom = targets.size - unknown.size
    return GpsLegs(
        groups=names,
        true_airspeed=unknown[:count],
        wind=unknown[count:steady],
        wind_rate=unknown[steady:] * scale[steady:] if lapse is not None else np.zeros(2),
        wind_time=centre,
        covariance=covariance * np.outer(scale, scale),
        heading=np.mod(np.arctan2(air[:, 0], air[:, 1]), 2.0 * np.pi),
        residuals=residual,
        degrees_of_freedom=freedom,
        scatter=float(np.sqrt(np.sum(targets**2) / freedom)) if freedom > 0 else float("nan"),
        condition=condition,
    )


@dataclass(frozen=True, slots=True)
class _Geometry:
    """Which leg belongs to which group, when (−1 to 1, None in steady wind), how uncertain."""

    membership: FloatArray
    lapse: FloatArray | None
    spread: FloatArray
    rate_sd: float | None

    @property
    def unknowns(self) -> int:
        return int(self.membership.shape[1]) + (2 if self.lapse is None else 4)

    def design(self, direction: FloatArray) -> FloatArray:
        drift = () if self.lapse is None else (direction * self.lapse[:, None],)
        return np.column_stack([self.membership, direction, *drift])

    def wind(self, unknown: FloatArray) -> FloatArray:
        count = self.membership.shape[1]
        wind: FloatArray = np.broadcast_to(unknown[count : count + 2], (self.membership.shape[0], 2))
        return wind if self.lapse is None else wind + self.lapse[:, None] * unknown[count + 2 :]

    def refuse_too_few(self) -> None:
        legs, count = self.membership.shape[0], self.membership.shape[1] if self.membership.ndim == 2 else 0
        short = self.unknowns - legs - (2 if self.rate_sd is not None else 0)
        if short > 0:
            drifting = "" if self.lapse is None else " that drifts"
            raise InputError(
                Problem(
                    f"{legs} level legs in {count} speed groups cannot give {count} airspeeds and "
                    f"wind{drifting}: {short} too few",
                    MEND,
                )
            )

    def covariance(self, rows: FloatArray) -> FloatArray:
        _, singular, directions = np.linalg.svd(rows, full_matrices=False)
        # A singular value of rounding size is an undetermined direction: let its variance say so.
        inverse = 1.0 / np.maximum(singular, singular[0] * 1e-12)
        matrix: FloatArray = (directions.T * inverse**2) @ directions
        return matrix


def _lapse(
    legs: int, time: ArrayLike | None, drift_sd: float | None
) -> tuple[FloatArray | None, float, float]:
    """Time from the middle of the legs over half their span, so that a drift too is solved as a speed."""
    if time is None:
        return None, 0.0, 0.0
    clock = np.asarray(time, dtype=float)
    if clock.shape != (legs,):
        raise ValueError("each leg needs its time")
    centre, half_span = float(np.mean(clock)), float(np.ptp(clock)) / 2.0
    if drift_sd is None or half_span == 0.0:
        return None, 0.0, centre
    return (clock - centre) / half_span, half_span, centre


def _rate_prior(drift_sd: float | None, half_span: float, lapse: FloatArray | None) -> float | None:
    if drift_sd is None or lapse is None or not np.isfinite(drift_sd):
        return None
    return drift_sd * half_span


def _start(geometry: _Geometry, ground: FloatArray) -> FloatArray:
    """The exact solution of the squared equations in a steady wind, or still air where that is wild."""
    count = geometry.membership.shape[1]
    squared = np.sum(ground**2, axis=1)
    unknown = np.zeros(geometry.unknowns)
    linear, *_ = np.linalg.lstsq(np.column_stack([geometry.membership, 2.0 * ground]), squared, rcond=None)
    wind = linear[count:]
    if np.hypot(*wind) < np.sqrt(np.max(squared)):
        unknown[:count] = np.sqrt(np.maximum(linear[:count] + wind @ wind, 1.0))
        unknown[count : count + 2] = wind
    else:
        unknown[:count] = geometry.membership.T @ np.sqrt(squared) / np.sum(geometry.membership, axis=0)
    return unknown


def _gauss_newton(
    geometry: _Geometry, ground: FloatArray, offset: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """Unknowns, air velocities and residuals at the solution, with the weighted rows and targets there."""
    count = geometry.membership.shape[1]
    unknown = _start(geometry, ground)
    for _ in range(ITERATIONS):
        air = ground - geometry.wind(unknown)
        airspeed = np.hypot(*air.T)
        residual = airspeed - geometry.membership @ unknown[:count] - offset
        rows = geometry.design(air / np.maximum(airspeed, 1e-9)[:, None]) / geometry.spread[:, None]
        targets = residual / geometry.spread
        if geometry.rate_sd is not None:
            rows = np.vstack([rows, np.eye(unknown.size)[count + 2 :] / geometry.rate_sd])
            targets = np.append(targets, -unknown[count + 2 :] / geometry.rate_sd)
        step, *_ = np.linalg.lstsq(rows, targets, rcond=None)
        unknown = unknown + step
        if np.max(np.abs(step)) < 1e-8:
            return unknown, air, residual, rows, targets
    raise InputError(
        Problem("the legs agree on no wind: their speeds and tracks contradict one another", MEND)
    )
