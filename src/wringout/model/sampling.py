"""The posterior by an ensemble of walkers, on demand: a test of the normal approximation."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.model.figures import predicted
from wringout.model.fit import Fit
from wringout.model.parameters import parameters, prior_moments
from wringout.model.settling import groups_of, settle
from wringout.model.vehicles import theta_of
from wringout.problems import InputError, Problem
from wringout.reduction.points import Points

FloatArray = NDArray[np.float64]

STEPS = 2000
WALKERS = 4  # a parameter, and some
LEAST_EFFECTIVE = 400.0  # effective draws of the slowest parameter, below which nothing is said
LEAST_LENGTHS = 10.0  # autocorrelation times that a chain must last, so that the time itself can be believed


@dataclass(frozen=True, slots=True)
class Ensemble:
    """Draws (draws, P) of a distribution, and how well the walkers did.

    `autocorrelation` is that of the slowest parameter in steps, `effective` its number of independent draws,
    `acceptance` the share of moves that were taken.
    """

    draws: FloatArray
    autocorrelation: float
    effective: float
    acceptance: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """A parameter by both ways, in fit space: shift of the mean in Laplace sds, and ratio of the sds."""

    name: str
    shift: float
    ratio: float


@dataclass(frozen=True, slots=True)
class Sampled:
    """The fit with draws of the posterior itself, how the ensemble did, and how far Laplace was off."""

    fit: Fit
    ensemble: Ensemble
    comparisons: tuple[Comparison, ...]


def sample(airplane: Airplane, points: Points, fitted: Fit, *, seed: int, steps: int = STEPS) -> Sampled:
    """Draws from the posterior of the parameters, with the noise as the fit settled it.

    Parameters
    ----------
    airplane : Airplane
    points : Points
        Those of the fit.
    fitted : Fit
    seed : int
        Of the walkers.
    steps : int
        That each walker takes, a fifth of them before any counts.

    Returns
    -------
    Sampled
        As many draws as the fit has.

    Raises
    ------
    InputError
        No points; emcee is not installed; too few effective draws in so many steps.
    """
    priors, groups = parameters(airplane, points), groups_of(airplane, points)
    if not groups:
        raise InputError(Problem("there are no points: the posterior is the prior", "reduce a flight first"))
    mean, believed = prior_moments(priors)
    found = settle(priors, groups, mean, believed)
    precision = np.linalg.inv(found.noise.covariance(found.scales, found.aside))
    belief = np.linalg.inv(believed)
    seen = found.fitted + found.optimum.residuals

    def log_probability(vectors: FloatArray) -> FloatArray:
        misfit = seen - predicted(groups, theta_of(priors, vectors))
        away = vectors - mean
        total = np.einsum("ki,ij,kj->k", misfit, precision, misfit) + np.einsum(
            "ki,ij,kj->k", away, belief, away
        )
        return np.asarray(np.where(np.isfinite(total), -0.5 * total, -np.inf))

    ensemble = walk(
        log_probability,
        fitted.optimum,
        fitted.covariance,
        seed=seed,
        steps=steps,
        draws=fitted.draws.shape[0],
    )
    sds = np.sqrt(np.diag(fitted.covariance))
    theta = theta_of(priors, ensemble.draws)
    natural = np.concatenate([theta[prior.name] for prior in priors], axis=1)
    return Sampled(
        replace(fitted, draws=natural),
        ensemble,
        tuple(
            Comparison(prior.name, float((column.mean() - middle) / sd), float(column.std(ddof=1) / sd))
            for prior, column, middle, sd in zip(priors, ensemble.draws.T, fitted.optimum, sds, strict=True)
        ),
    )


def walk(
    log_probability: Callable[[FloatArray], FloatArray],
    centre: FloatArray,
    covariance: FloatArray,
    *,
    seed: int,
    steps: int = STEPS,
    draws: int = 1000,
) -> Ensemble:
    """Draws of a distribution known up to a factor, by stretch and differential-evolution moves.

    Parameters
    ----------
    log_probability : callable, (k, P) → (k,)
        Logarithm of the density; −inf where it is none.
    centre, covariance : ndarray, shapes (P,) and (P, P)
        An ellipsoid from which the walkers start.
    seed : int
    steps : int
        Of each walker; the first fifth is not counted.
    draws : int
        Evenly taken from what is counted.

    Returns
    -------
    Ensemble

    Raises
    ------
    InputError
        emcee is not installed; fewer than LEAST_EFFECTIVE effective draws, or a chain of fewer than
        LEAST_LENGTHS autocorrelation times.

    Notes
    -----
    Affine-invariant ensemble [Goodman2010] by emcee [ForemanMackey2013]: half stretch moves, four tenths
    differential evolution, one tenth its snooker variant. The autocorrelation time is that of the ensemble's
    mean, the slowest parameter's.
    """
    try:
        import emcee
    except ImportError as error:
        raise InputError(
            Problem("the sampler needs emcee, which is not installed", "install wringout[sampler]")
        ) from error

    count = centre.size
    walkers = WALKERS * count + 2 + (WALKERS * count) % 2
    rng = np.random.default_rng(seed)
    root = np.linalg.cholesky(covariance)
    start = centre + rng.standard_normal((walkers, count)) @ root.T
    sampler = emcee.EnsembleSampler(
        walkers,
        count,
        log_probability,
        vectorize=True,
        moves=[
            (emcee.moves.StretchMove(), 0.5),
            (emcee.moves.DEMove(), 0.4),
            (emcee.moves.DESnookerMove(), 0.1),
        ],
    )
    sampler.random_state = np.random.RandomState(seed).get_state()  # emcee's own kind
    sampler.run_mcmc(start, steps)
    kept: FloatArray = sampler.get_chain(discard=steps // 5)
    slowest = float(np.max(emcee.autocorr.integrated_time(kept, tol=0, quiet=True)))
    effective = kept.shape[0] * walkers / slowest
    if not (effective >= LEAST_EFFECTIVE and kept.shape[0] >= LEAST_LENGTHS * slowest):
        needed = int(
            np.ceil(steps * max(LEAST_EFFECTIVE / effective, LEAST_LENGTHS * slowest / kept.shape[0]))
        )
        raise InputError(
            Problem(
                f"{steps} steps gave {effective:.0f} effective draws over {kept.shape[0] / slowest:.0f} "
                "autocorrelation times, too few to be believed",
                f"sample with {needed} steps or more",
                field="--steps",
            )
        )
    flat = kept.reshape(-1, count)
    chosen = flat[np.linspace(0, len(flat) - 1, draws).astype(np.int64)]
    return Ensemble(chosen, slowest, effective, float(np.mean(sampler.acceptance_fraction)))
