"""How steadily level legs were flown, beyond what each leg itself and the wind's wander explain."""

import numpy as np
from numpy.typing import NDArray

from wringout.reduction.gps_legs import GpsLegs

FloatArray = NDArray[np.float64]

WEIGHT = 2.0  # degrees of freedom that the usual steadiness is worth
LEAST, MOST, STEPS = 0.1, 20.0, 40  # of the usual one: between these it is sought


def leg_steadiness(
    legs: GpsLegs,
    ground: FloatArray,
    stated: FloatArray,
    airspeed_offset: FloatArray,
    membership: FloatArray,
    *,
    time: FloatArray,
    wander: float,
    usual: float,
) -> float:
    """Standard deviation [m/s] by which legs of one speed differ beyond their own stated uncertainties.

    Parameters
    ----------
    legs : GpsLegs
        A solution of the legs, whose wind and headings serve.
    ground : ndarray, shape (legs, 2)
        Ground velocities. [m/s]
    stated : ndarray, shape (legs,)
        Their own standard uncertainties. [m/s]
    airspeed_offset : ndarray, shape (legs,)
        By how much each was faster than its group. [m/s]
    membership : ndarray, shape (legs, groups)
        One where a leg belongs to a group.
    time : ndarray, shape (legs,)
        Middles of the legs. [s]
    wander : float
        Of the wind, as in `gps_legs.solve`. [m/s^1.5]
    usual : float
        What is expected before any flight. [m/s]

    Returns
    -------
    float
        Root of the posterior mean of the variance. [m/s]

    Notes
    -----
    The residual likelihood of the variance (airspeeds and mean wind integrated out) [textbook restricted
    maximum likelihood] times a scaled inverse chi-squared about the usual variance, summed over a grid.
    """
    speed = np.hypot(*(ground - legs.wind).T) - airspeed_offset
    direction = np.column_stack([np.sin(legs.heading), np.cos(legs.heading)])
    design = np.column_stack([membership, direction])
    since = time - np.min(time)
    walked = wander**2 * np.minimum(since[:, None], since[None, :])
    known = np.diag(stated**2) + (direction @ direction.T) * walked
    variances = (usual * np.geomspace(LEAST, MOST, STEPS)) ** 2
    density = _residual_likelihoods(speed, design, known + variances[:, None, None] * np.eye(speed.size))
    density -= 0.5 * WEIGHT * (np.log(variances) + usual**2 / variances)
    weight = np.exp(density - np.max(density))
    return float(np.sqrt(weight @ variances / np.sum(weight)))


def _residual_likelihoods(values: FloatArray, design: FloatArray, covariances: FloatArray) -> FloatArray:
    """Logarithms of the likelihood of what a linear model leaves, its coefficients integrated out.

    One for each of the covariances, shape (n, values, values).
    """
    inverse = np.linalg.inv(covariances)
    information = design.T @ inverse @ design
    right = (design.T @ inverse @ values)[..., None]
    left = values - (design @ np.linalg.solve(information, right))[..., 0]
    squares = np.einsum("ni,nij,nj->n", left, inverse, left)
    logarithms = np.linalg.slogdet(covariances)[1] + np.linalg.slogdet(information)[1]
    likelihoods: FloatArray = -0.5 * (logarithms + squares)
    return likelihoods
