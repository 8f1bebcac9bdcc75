"""Maximum a posteriori by least squares: measured figures, normal noise, normal priors.

One path serves the airplane's fit and the certified regressions of the tests: a model that answers a whole
batch of parameter vectors at once, so that a Jacobian costs one call.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
STEP = 0.2  # of a prior's sd, for the Jacobian
Batch = Callable[[FloatArray], FloatArray]  # parameter vectors (k, P) → figures (k, N)


@dataclass(frozen=True, slots=True)
class Optimum:
    """Where the posterior is greatest, and its curvature there (Laplace).

    `values` (P,) and `covariance` (P, P) of the parameters; `jacobian` (N, P) of the unwhitened figures;
    `sum_of_squares` of the whitened data residuals alone, priors left out.
    """

    values: FloatArray
    covariance: FloatArray
    jacobian: FloatArray
    residuals: FloatArray  # measured − model, (N,)
    sum_of_squares: float
    converged: bool
    evaluations: int
    message: str

    @property
    def residual_variance(self) -> float:
        """Sum of squares over degrees of freedom: the noise variance where only relative noise was given."""
        figures, parameters = self.jacobian.shape
        return self.sum_of_squares / float(figures - parameters)


def jacobian(model: Batch, values: FloatArray, steps: FloatArray) -> FloatArray:
    """Central-difference Jacobian (N, P) of a batch model at `values` (P,), in one call."""
    perturbed = values + np.concatenate([np.diag(steps), -np.diag(steps)])
    figures = model(perturbed)
    count = values.size
    return np.asarray(((figures[:count] - figures[count:]) / (2.0 * steps[:, None])).T, dtype=np.float64)


def maximum_a_posteriori(
    model: Batch,
    start: FloatArray,
    measured: FloatArray,
    noise: FloatArray,
    *,
    prior_mean: FloatArray | None = None,
    prior_covariance: FloatArray | None = None,
    tolerance: float = 1e-12,
) -> Optimum:
    """Most probable parameters and their Laplace covariance.

    Parameters
    ----------
    model : callable, (k, P) → (k, N)
        Figures of k parameter vectors.
    start : ndarray, shape (P,)
        Where the search begins.
    measured : ndarray, shape (N,)
        Measured figures.
    noise : ndarray, shape (N, N) or (N,)
        Covariance of the measured figures, or their standard deviations.
    prior_mean, prior_covariance : ndarray, shapes (P,) and (P, P), optional
        Normal prior of all parameters together; without it all are flat.
    tolerance : float
        Relative change of the parameters and of the sum of squares at which the search stops.

    Returns
    -------
    Optimum

    Raises
    ------
    ValueError
        The noise's or the prior's covariance is not positive definite, or the figures are not finite at the
        start.

    Notes
    -----
    Minimises rᵀ R⁻¹ r + (φ − μ)ᵀ Σ₀⁻¹ (φ − μ) by trust-region least squares with the priors as residuals; the
    covariance is (Jᵀ R⁻¹ J + Σ₀⁻¹)⁻¹ at the optimum. Checked against certified regressions [NIST-StRD].
    """
    from scipy.linalg import LinAlgError, cho_solve, cholesky, solve_triangular
    from scipy.optimize import least_squares

    try:
        root = cholesky(noise, lower=True) if noise.ndim == 2 else np.diag(noise)
        believed = None if prior_covariance is None else cholesky(prior_covariance, lower=True)
    except LinAlgError as error:
        raise ValueError("a covariance is not positive definite") from error
    mean = start if prior_mean is None else prior_mean
    # Rows that whiten the parameters' distance from the prior's mean; none of a flat prior.
    belief = (
        np.zeros((0, start.size))
        if believed is None
        else solve_triangular(believed, np.eye(start.size), lower=True)
    )
    size = np.where(start == 0.0, 1.0, np.abs(start))
    scale = size if prior_covariance is None else np.sqrt(np.diag(prior_covariance))
    # Where a prior sets the scale, a fifth of it: wide enough to see over the corners of the physics, narrow
    # enough for its curves. A flat parameter has no scale but its size: there the error is taken to fourth
    # order, and the step leaves it a fifth of the digits.
    relative = np.finfo(float).eps ** 0.2

    def slopes_at(values: FloatArray) -> FloatArray:
        if prior_covariance is not None:
            return jacobian(model, values, STEP * scale)
        step = relative * np.maximum(np.abs(values), 1e-3 * scale)
        return np.asarray((4.0 * jacobian(model, values, step) - jacobian(model, values, 2.0 * step)) / 3.0)

    def whitened(values: FloatArray) -> FloatArray:
        data = solve_triangular(root, measured - model(values[None, :])[0], lower=True)
        return np.concatenate([data, belief @ (values - mean)])

    def whitened_jacobian(values: FloatArray) -> FloatArray:
        data = -solve_triangular(root, slopes_at(values), lower=True)
        return np.concatenate([data, belief])

    if not np.all(np.isfinite(whitened(start))):
        raise ValueError("the model gives no finite figure at the start")
    result = least_squares(
        whitened,
        start,
        whitened_jacobian,
        method="trf",
        x_scale="jac",
        xtol=tolerance,
        # Flat parameters may creep along a valley: the sum of squares settles in twice their digits.
        ftol=tolerance if prior_covariance is not None else 1e-15,
        gtol=tolerance if prior_covariance is not None else 1e-15,
        max_nfev=200,
    )
    slopes = slopes_at(result.x)
    white = solve_triangular(root, slopes, lower=True)
    precision = white.T @ white + belief.T @ belief
    covariance = cho_solve((cholesky(precision, lower=True), True), np.eye(start.size))
    residuals = measured - model(result.x[None, :])[0]
    return Optimum(
        values=np.asarray(result.x, dtype=np.float64),
        covariance=covariance,
        jacobian=slopes,
        residuals=residuals,
        sum_of_squares=float(np.sum(solve_triangular(root, residuals, lower=True) ** 2)),
        converged=bool(result.status > 0),
        evaluations=int(result.nfev),
        message=str(result.message),
    )
