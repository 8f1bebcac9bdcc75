"""How uncertainty travels: linear propagation, combination of readings, and learning from them."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def propagate(
    function: Callable[[FloatArray], ArrayLike], values: ArrayLike, covariance: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Value and covariance of a function of uncertain arguments, to first order.

    Parameters
    ----------
    function : callable
        Takes the arguments as one array, shape (arguments,), and returns results, shape (results,) or a
        scalar.
    values : array_like, shape (arguments,)
        Best values of the arguments.
    covariance : array_like, shape (arguments, arguments) or (arguments,)
        Their covariance, or where they are independent their standard uncertainties.

    Returns
    -------
    results : ndarray, shape (results,)
    covariance : ndarray, shape (results, results)

    Raises
    ------
    ValueError
        The covariance does not fit the number of arguments.

    Notes
    -----
    Law of propagation of uncertainty [GUM, 5.2.2] with the sensitivities by central differences over a
    hundredth of each standard uncertainty, so that a function is asked only where it is used.

    Examples
    --------
    >>> value, covariance = propagate(lambda x: x[0] * x[1], [3.0, 4.0], [0.1, 0.2])
    >>> print(f"{value[0]:.1f} ± {covariance[0, 0] ** 0.5:.3f}")
    12.0 ± 0.721
    """
    mean = np.asarray(values, dtype=float)
    spread = np.asarray(covariance, dtype=float)
    if spread.shape not in {mean.shape, (mean.size, mean.size)}:
        raise ValueError(f"covariance of shape {spread.shape} does not fit {mean.size} arguments")
    matrix = np.diag(spread**2) if spread.ndim == 1 else spread
    result = np.atleast_1d(np.asarray(function(mean), dtype=float))
    jacobian = np.zeros((result.size, mean.size))
    for column, variance in enumerate(np.diag(matrix)):
        if variance > 0.0:
            step = np.zeros(mean.size)
            step[column] = 0.01 * np.sqrt(variance)
            ahead, behind = (np.atleast_1d(function(mean + sign * step)) for sign in (1.0, -1.0))
            jacobian[:, column] = (np.asarray(ahead) - np.asarray(behind)) / (2.0 * step[column])
    return result, jacobian @ matrix @ jacobian.T


def propagate_scalar(
    function: Callable[[FloatArray], ArrayLike], values: ArrayLike, covariance: ArrayLike
) -> tuple[float, float]:
    """Value and standard uncertainty of a scalar function; arguments as in `propagate`."""
    result, matrix = propagate(function, values, covariance)
    return float(result[0]), float(np.sqrt(matrix[0, 0]))


def combine(values: Sequence[float], sds: Sequence[float]) -> tuple[float, float, float]:
    """Weighted mean of independent readings, its standard uncertainty, and chi-squared of their agreement.

    Weights are inverse variances. The uncertainty is not widened by disagreement; chi-squared (with one
    degree of freedom fewer than readings) says whether the readings may be combined at all.
    """
    reading = np.asarray(values, dtype=float)
    # A reading cannot be surer than its own rounding.
    weight = 1.0 / np.square(np.maximum(np.asarray(sds, dtype=float), 1e-9 * (1.0 + np.abs(reading))))
    mean = float(np.sum(weight * reading) / np.sum(weight))
    return mean, float(1.0 / np.sqrt(np.sum(weight))), float(np.sum(weight * (reading - mean) ** 2))


def update(
    prior_mean: FloatArray,
    prior_covariance: FloatArray,
    design: FloatArray,
    observed: FloatArray,
    covariance: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Coefficients of a linear model and their covariance after observing `design @ coefficients`.

    The observations have the given covariance. The Gaussian conjugate form, written so that no information
    is lost when the observations are few: with none the prior comes back unchanged.
    """
    if observed.size == 0:
        return prior_mean, prior_covariance
    total = design @ prior_covariance @ design.T + covariance
    gain = np.linalg.solve(total, design @ prior_covariance).T
    mean = prior_mean + gain @ (observed - design @ prior_mean)
    rest = np.eye(prior_mean.size) - gain @ design
    # Joseph's form keeps the covariance symmetric and positive.
    return mean, rest @ prior_covariance @ rest.T + gain @ covariance @ gain.T
