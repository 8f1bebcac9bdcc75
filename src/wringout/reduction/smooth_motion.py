"""The smoothest motion along a line that agrees with what was seen of it, and how far it is known."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import factorial

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

# Standard deviations of place, speed and acceleration where nothing was seen: no bar to any airplane.
PLACE_SD = 2000.0  # [m] from the first place seen
SPEED_SD = 60.0  # [m/s]
ACCELERATION_SD = 4.0  # [m/s²]
# Gauss's three nodes integrate polynomials of degree five exactly; the covariances need four.
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(3)


@dataclass(frozen=True, slots=True)
class Moment:
    """Place (derivative 0), speed (1) or acceleration (2) at a time [s]."""

    time: float
    derivative: int = 0


@dataclass(frozen=True, slots=True)
class Seen:
    """One sight: the weighted sum of moments that had this value; its errors are in the covariance beside."""

    terms: tuple[tuple[float, Moment], ...]
    value: float


@dataclass(frozen=True, slots=True)
class Unrest:
    """How much the acceleration wanders: its standard deviation after one second [m/s² per √s].

    `burst` more of it, as a variance beside the usual one, from `start` to `end` [s].
    """

    usual: float
    burst: float = 0.0
    start: float = 0.0
    end: float = 0.0


def smooth_motion(
    seen: Sequence[Seen], covariance: FloatArray, unrest: Unrest, asked: Sequence[Moment]
) -> tuple[FloatArray, FloatArray]:
    """Places, speeds and accelerations along a line from a few sights of the motion, with their covariance.

    Parameters
    ----------
    seen : sequence of Seen, (n,)
        Sights of the motion. [m, m/s]
    covariance : ndarray, shape (n, n)
        Of their errors.
    unrest : Unrest
        How much the acceleration wanders.
    asked : sequence of Moment, (k,)
        What is wanted.

    Returns
    -------
    values : ndarray, shape (k,)
    covariance : ndarray, shape (k, k)
        Of the errors of the sights and of what the motion may do between and beyond them.

    Raises
    ------
    ValueError
        No sight, or shapes that do not fit.

    Notes
    -----
    The acceleration is a Wiener process, a = a₀ + unrest·W(t), so that place is its second integral and the
    best estimate a quintic smoothing spline [derived]: with prior covariance C of what was seen and C* of
    what is asked with it, E = C* (C + R)⁻¹ (z − m). The prior covariance of derivatives i at s and j at t is
    unrest² ∫₀^min(s,t) (s−u)^(2−i)/(2−i)! (t−u)^(2−j)/(2−j)! du and that of the unknown beginning.
    """
    moments, weights = _functionals(seen, covariance)
    begin = min(moment.time for moment in (*moments, *asked))
    first = _first_place(seen)
    between = weights @ _prior(moments, moments, begin, unrest) @ weights.T + covariance
    across = _prior(asked, moments, begin, unrest) @ weights.T
    gain = np.linalg.solve(between, across.T).T
    found = _start(asked, first) + gain @ _surprise(seen, weights, moments, first)
    return found, _prior(asked, asked, begin, unrest) - gain @ across.T


def log_evidence(seen: Sequence[Seen], covariance: FloatArray, unrest: Unrest) -> float:
    """How well an unrest explains the sights of a motion: their log density, but for a constant.

    Arguments and errors as `smooth_motion`.
    """
    moments, weights = _functionals(seen, covariance)
    begin = min(moment.time for moment in moments)
    between = weights @ _prior(moments, moments, begin, unrest) @ weights.T + covariance
    left = _surprise(seen, weights, moments, _first_place(seen))
    _, log_determinant = np.linalg.slogdet(between)
    return float(-0.5 * (left @ np.linalg.solve(between, left) + log_determinant))


def _functionals(seen: Sequence[Seen], covariance: FloatArray) -> tuple[list[Moment], FloatArray]:
    """The moments that were seen, and the weights with which they make up each sight."""
    if not seen or covariance.shape != (len(seen), len(seen)):
        raise ValueError("the covariance does not fit the sights of the motion")
    moments = [moment for sight in seen for _, moment in sight.terms]
    weights = np.zeros((len(seen), len(moments)))
    column = 0
    for row, sight in enumerate(seen):
        for weight, _ in sight.terms:
            weights[row, column] = weight
            column += 1
    return moments, weights


def _first_place(seen: Sequence[Seen]) -> float:
    """The first place seen, about which the unknown places spread."""
    places = (s.value for s in seen if len(s.terms) == 1 and s.terms[0][1].derivative == 0)
    return next(places, 0.0)


def _start(moments: Sequence[Moment], first: float) -> FloatArray:
    """Prior means of moments."""
    return np.array([first if moment.derivative == 0 else 0.0 for moment in moments])


def _surprise(seen: Sequence[Seen], weights: FloatArray, moments: list[Moment], first: float) -> FloatArray:
    """Sights less what was expected of them."""
    left: FloatArray = np.array([sight.value for sight in seen]) - weights @ _start(moments, first)
    return left


def _prior(rows: Sequence[Moment], columns: Sequence[Moment], begin: float, unrest: Unrest) -> FloatArray:
    """Prior covariance between moments."""
    s, i = _split(rows, begin)
    t, j = _split(columns, begin)
    s, t = s[:, None], t[None, :]
    i, j = i[:, None], j[None, :]

    def wandered(start: float, end: float) -> FloatArray:
        """What one of unrest between two times makes of the moments."""
        until = np.clip(np.minimum(s, t), start, end)
        total = np.zeros((len(rows), len(columns)))
        for node, weight in zip(_NODES, _WEIGHTS, strict=True):
            u = start + 0.5 * (until - start) * (1.0 + node)
            total += 0.5 * (until - start) * weight * _power(s - u, 2 - i) * _power(t - u, 2 - j)
        return total

    wander = unrest.usual**2 * wandered(0.0, np.inf)
    if unrest.burst > 0.0:
        wander += unrest.burst**2 * wandered(max(unrest.start - begin, 0.0), max(unrest.end - begin, 0.0))
    unknown = sum(
        sd**2 * _power(s, order - i) * _power(t, order - j)
        for order, sd in enumerate((PLACE_SD, SPEED_SD, ACCELERATION_SD))
    )
    result: FloatArray = wander + unknown
    return result


def _split(moments: Sequence[Moment], begin: float) -> tuple[FloatArray, NDArray[np.int64]]:
    times = np.array([moment.time - begin for moment in moments], dtype=float)
    return times, np.array([moment.derivative for moment in moments], dtype=np.int64)


def _power(base: FloatArray, exponent: NDArray[np.int64]) -> FloatArray:
    """Base^n/n!, and zero for a negative n: what n integrations make of one."""
    factorials = np.array([factorial(n) for n in range(3)], dtype=float)
    kept = np.clip(exponent, 0, 2)
    result: FloatArray = np.where(exponent < 0, 0.0, base**kept / factorials[kept])
    return result
