"""The wind along a flight, told by its airspeed indicator and its ground velocity together.

A flight out and back along one line gives no wind by the ground velocity alone. Yet the position error is
one smooth curve for all of it, and the wind changes slowly: the two are told apart by what differs between
out and back.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.reduction.wind_aloft import WindField

FloatArray = NDArray[np.float64]

ITERATIONS = 30


@dataclass(frozen=True, slots=True)
class GroundTrack:
    """Mean velocity over the ground (east, north, up) [m/s] of part of a manoeuvre, when and how high.

    `moment` is in seconds since 1970 UTC, `height` [m] as recorded, `sd` [m/s] of one component.
    """

    velocity: FloatArray
    moment: float
    height: float
    sd: float


@dataclass(frozen=True, slots=True)
class WindsFlown:
    """Air velocity (east, north) [m/s] at each of several spans, (n, 2), and its covariance, (2n, 2n)."""

    velocity: FloatArray
    covariance: FloatArray

    def mean_over(self, members: Sequence[int]) -> tuple[FloatArray, FloatArray]:
        """Mean air velocity over some of the spans, (2,) [m/s], and its covariance, (2, 2)."""
        share = np.zeros((2, self.velocity.size))
        for member in members:
            share[0, 2 * member] = share[1, 2 * member + 1] = 1.0 / len(members)
        return share @ self.velocity.ravel(), share @ self.covariance @ share.T


def winds_flown(
    tracks: Sequence[GroundTrack], airspeed: FloatArray, covariance: FloatArray, field: WindField
) -> WindsFlown:
    """The wind at each span by its ground velocity, its airspeed and what else is known of the wind.

    Parameters
    ----------
    tracks : sequence of GroundTrack, length n
    airspeed : ndarray, shape (n,)
        True airspeed by the indicator, with what is known of the position error beforehand. [m/s]
    covariance : ndarray, shape (n, n)
        Of the airspeeds; what the position error leaves open they share. [m²/s²]
    field : WindField
        What level legs on several headings and steady turns told; may be empty.

    Returns
    -------
    WindsFlown

    Notes
    -----
    |g_i − w_i| = V_i with the winds w a Gaussian process (`WindField`), by Gauss–Newton on the posterior
    [textbook iterated Kalman update]. Legs along one line leave the cross wind at what was known before.
    """
    ground = np.array([track.velocity for track in tracks])
    mean, prior = field.at(
        np.array([track.moment for track in tracks]), np.array([track.height for track in tracks])
    )
    expected, wind = mean.ravel(), mean.ravel()
    own = np.diag([track.sd**2 for track in tracks])
    kept = prior
    for _ in range(ITERATIONS):
        air = ground[:, :2] - wind.reshape(-1, 2)
        speed = np.sqrt(np.sum(air**2, axis=1) + ground[:, 2] ** 2)
        slope = along(-air / np.maximum(speed, 1.0)[:, None])
        gain = np.linalg.solve(slope @ prior @ slope.T + covariance + own, slope @ prior).T
        before, wind = wind, expected + gain @ (airspeed - speed - slope @ (expected - wind))
        kept = prior - gain @ slope @ prior
        if np.max(np.abs(wind - before)) < 1e-6:
            break
    return WindsFlown(wind.reshape(-1, 2), kept)


def along(direction: FloatArray) -> FloatArray:
    """Unit vectors (n, 2) as the matrix (n, 2n) that takes a component of each of n winds."""
    count = len(direction)
    matrix = np.zeros((count, 2 * count))
    for row, pair in enumerate(direction):
        matrix[row, 2 * row : 2 * row + 2] = pair
    return matrix
