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
# Besides its slow change the wind of a flight is restless over minutes and miles: by how much the flights
# themselves tell, beforehand 0 ± this. Common practice, no source.
RESTLESS_SD = 0.7  # [m/s]
RESTLESS_TIME = 600.0  # [s]
RESTLESS_TRIED = (0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0)  # [m/s]


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
    """Air velocity (east, north) [m/s] at each of several spans, (n, 2), and its covariance, (2n, 2n).

    `restless` is what the wind's restlessness adds to the field's covariance before these airspeeds.
    """

    velocity: FloatArray
    covariance: FloatArray
    restless: FloatArray

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
    |g_i − w_i| = V_i with the winds w a Gaussian process (`WindField`) and besides one of short memory, whose
    size is the likeliest; by Gauss–Newton on the posterior [textbook iterated Kalman update]. Legs along one
    line leave the cross wind at what was known before.
    """
    ground = np.array([track.velocity for track in tracks])
    moment = np.array([track.moment for track in tracks])
    mean, slow = field.at(moment, np.array([track.height for track in tracks]))
    likeness = np.kron(np.exp(-np.abs(moment[:, None] - moment[None, :]) / RESTLESS_TIME), np.eye(2))
    own = covariance + np.diag([track.sd**2 for track in tracks])
    found = [
        _posterior(ground, airspeed, own, mean.ravel(), slow + tried**2 * likeness)
        for tried in RESTLESS_TRIED
    ]
    evidence = [
        likelihood - 0.5 * (tried / RESTLESS_SD) ** 2
        for (*_, likelihood), tried in zip(found, RESTLESS_TRIED, strict=True)
    ]
    best = int(np.argmax(evidence))
    wind, kept, _ = found[best]
    return WindsFlown(wind.reshape(-1, 2), kept, RESTLESS_TRIED[best] ** 2 * likeness)


def _posterior(
    ground: FloatArray, airspeed: FloatArray, own: FloatArray, expected: FloatArray, prior: FloatArray
) -> tuple[FloatArray, FloatArray, float]:
    """Winds, their covariance and the logarithm of the airspeeds' likelihood, but for a constant."""
    wind, kept, likelihood = expected, prior, 0.0
    for _ in range(ITERATIONS):
        air = ground[:, :2] - wind.reshape(-1, 2)
        speed = np.sqrt(np.sum(air**2, axis=1) + ground[:, 2] ** 2)
        slope = along(-air / np.maximum(speed, 1.0)[:, None])
        innovation = airspeed - speed - slope @ (expected - wind)
        spread = slope @ prior @ slope.T + own
        gain = np.linalg.solve(spread, slope @ prior).T
        before, wind = wind, expected + gain @ innovation
        kept = prior - gain @ slope @ prior
        determinant = float(np.linalg.slogdet(spread)[1])
        likelihood = -0.5 * float(innovation @ np.linalg.solve(spread, innovation)) - 0.5 * determinant
        if np.max(np.abs(wind - before)) < 1e-6:
            break
    return wind, kept, likelihood


def along(direction: FloatArray) -> FloatArray:
    """Unit vectors (n, 2) as the matrix (n, 2n) that takes a component of each of n winds."""
    count = len(direction)
    matrix = np.zeros((count, 2 * count))
    for row, pair in enumerate(direction):
        matrix[row, 2 * row : 2 * row + 2] = pair
    return matrix
