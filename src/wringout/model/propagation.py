"""Propagation of uncertainty: the linear law and Monte Carlo, for any function of uncertain inputs."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Function = Callable[[FloatArray], FloatArray]  # inputs (..., P) → output (...)


@dataclass(frozen=True, slots=True)
class Propagated:
    """A result with its standard uncertainty and coverage interval.

    `contributions` holds |∂f/∂x| u of each input, where the law is linear.
    """

    value: float
    sd: float
    low: float
    high: float
    contributions: FloatArray


def linear(
    function: Function, values: FloatArray, covariance: FloatArray, coverage: float = 0.95
) -> Propagated:
    """Law of propagation of uncertainty.

    Parameters
    ----------
    function : callable, (..., P) → (...)
    values : ndarray, shape (P,)
        Best estimates of the inputs.
    covariance : ndarray, shape (P, P) or (P,)
        Covariance of the inputs, or standard uncertainties of independent ones.
    coverage : float
        Probability of the interval, normal distribution assumed.

    Returns
    -------
    Propagated

    Notes
    -----
    u² = cᵀ Σ c with sensitivities c from central differences over a tenth of each standard uncertainty
    [GUM, 5.1.2, 5.2.2].
    """
    from scipy.special import ndtri

    matrix = covariance if covariance.ndim == 2 else np.diag(covariance**2)
    uncertainties = np.sqrt(np.diag(matrix))
    sensitivities = gradient(function, values, uncertainties)
    sd = float(np.sqrt(sensitivities @ matrix @ sensitivities))
    value = float(function(values))
    reach = float(ndtri(0.5 + coverage / 2.0)) * sd
    return Propagated(value, sd, value - reach, value + reach, np.abs(sensitivities) * uncertainties)


def gradient(function: Function, values: FloatArray, uncertainties: FloatArray) -> FloatArray:
    """Sensitivities ∂f/∂x (P,) by central differences; zero for an input without uncertainty."""
    steps = np.where(uncertainties > 0.0, 0.1 * uncertainties, 1.0)
    up, down = function(values + np.diag(steps)), function(values - np.diag(steps))
    return np.where(uncertainties > 0.0, (up - down) / (2.0 * steps), 0.0)


def monte_carlo(function: Function, samples: FloatArray, coverage: float = 0.95) -> Propagated:
    """Propagation of distributions.

    Parameters
    ----------
    function : callable, (..., P) → (...)
    samples : ndarray, shape (draws, P)
        Draws of the inputs from their joint distribution.
    coverage : float
        Probability of the interval, symmetric in probability.

    Returns
    -------
    Propagated
        Mean, standard deviation and quantiles of the output; `contributions` is empty.

    Notes
    -----
    [GUM, JCGM 101, 7.6 and 7.7].
    """
    output = function(samples)
    low, high = np.quantile(output, [0.5 - coverage / 2.0, 0.5 + coverage / 2.0])
    return Propagated(float(output.mean()), float(output.std(ddof=1)), float(low), float(high), np.empty(0))


def effective_degrees_of_freedom(contributions: Sequence[float], degrees: Sequence[float]) -> float:
    """Welch–Satterthwaite degrees of freedom of a combined standard uncertainty [GUM, G.4.1].

    Parameters
    ----------
    contributions : sequence of float
        Standard uncertainties that the inputs give the output, in its unit.
    degrees : sequence of float
        Degrees of freedom of each; infinite where it is known exactly.

    Examples
    --------
    >>> effective_degrees_of_freedom([3.0, 4.0], [9.0, 16.0])
    25.0
    """
    fourth = sum(u**4 / nu for u, nu in zip(contributions, degrees, strict=True))
    return float(sum(u**2 for u in contributions) ** 2 / fourth)
