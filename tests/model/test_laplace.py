"""The normal approximation against the posterior itself, by importance weights."""

import numpy as np

from tests.model.invented import airplane, flown_by, planned, true_vector
from wringout.model.figures import predicted
from wringout.model.parameters import parameters, prior_moments
from wringout.model.settling import groups_of, settle
from wringout.model.vehicles import theta_of

DRAWS = 4000


def test_draws_stand_for_the_posterior() -> None:
    """Draws of the normal approximation, reweighted to the posterior under the same noise.

    The weighted means of all parameters lie within half a standard deviation of the optimum, the weighted
    spreads within a third of the stated ones, and the weights are even enough to say so: an effective number
    of 100 or more.
    """
    rng = np.random.default_rng(5)
    made, plan = airplane(), planned()
    points = flown_by(made, plan, true_vector(made, plan, rng, spread=0.5), rng)
    priors, groups = parameters(made, points), groups_of(made, points)
    middle, believed = prior_moments(priors)
    found = settle(priors, groups, middle, believed)

    root = np.linalg.cholesky(found.optimum.covariance)
    white = rng.standard_normal((DRAWS, len(priors)))
    vectors = found.optimum.values + white @ root.T
    noise = found.noise.covariance(found.scales, found.aside)
    residuals = found.fitted + found.optimum.residuals - predicted(groups, theta_of(priors, vectors))
    misfit = np.sum(residuals * np.linalg.solve(noise, residuals.T).T, axis=1)
    prior = np.sum((vectors - middle) * np.linalg.solve(believed, (vectors - middle).T).T, axis=1)
    logarithm = -0.5 * (misfit + prior - np.sum(white**2, axis=1))
    weights = np.exp(logarithm - logarithm.max())
    weights /= weights.sum()

    deviations = np.sqrt(np.diag(found.optimum.covariance))
    mean = weights @ vectors
    spread = np.sqrt(weights @ (vectors - mean) ** 2)
    assert 1.0 / np.sum(weights**2) > 100.0
    assert np.max(np.abs(mean - found.optimum.values) / deviations) < 0.5
    assert np.max(np.abs(spread / deviations - 1.0)) < 0.33
