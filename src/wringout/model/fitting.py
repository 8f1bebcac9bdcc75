"""The fit: priors, figures and their noise to the most probable airplane, its draws and its words."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration, flap
from wringout.model.covariances import FAMILIES
from wringout.model.fit import Fit, Parameter, ParameterResult, Residual
from wringout.model.flown import flown
from wringout.model.parameters import (
    in_fit_space,
    natural,
    parameters,
    pilots_flown,
    prior_moments,
    techniques_flown,
)
from wringout.model.settling import Settled, groups_of, settle
from wringout.model.vehicles import theta_of
from wringout.model.wording import (
    convergence,
    identifiability,
    outlier_words,
    scatter_words,
    surprises,
)
from wringout.problems import InputError, Problem
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import (
    ClimbPoint,
    LandingPoint,
    LevelPoint,
    Points,
    StallPoint,
    TakeoffPoint,
)

FloatArray = NDArray[np.float64]

DRAWS = 1000


def fit(airplane: Airplane, points: Points, *, seed: int, draws: int = DRAWS, height_unit: str = "m") -> Fit:
    """The performance model fitted to every point in its own test conditions.

    Parameters
    ----------
    airplane : Airplane
        Its description, priors included.
    points : Points
        Reduced points; none at all gives the priors back.
    seed : int
        Of the generator of the draws.
    draws : int
        Draws from the posterior.
    height_unit : str
        In which notes of its answers tell heights.

    Returns
    -------
    Fit

    Raises
    ------
    InputError
        A point of a configuration or flap setting that the airplane has not.

    Notes
    -----
    Maximum a posteriori with the priors as residuals, normal in fit space and tied where beliefs are shared;
    the noise of all figures has one covariance: measurement, the deviations that figures share, and
    discrepancy. Deviations are linear about
    the optimum, so optimum, covariance, the scales of the scatter and the set of outliers are found in turn
    until they settle. The posterior is normal in fit space (Laplace) with the curvature at the optimum.
    """
    _refuse_unknown(airplane, points)
    priors = parameters(airplane, points)
    groups = groups_of(airplane, points)
    mean, believed = prior_moments(priors)
    rng = np.random.default_rng(seed)
    if not groups:
        nothing = ("no points: every figure is what was believed before flying",)
        return Fit(
            parameters=_results(priors, mean, believed),
            optimum=mean,
            covariance=believed,
            draws=_draw(priors, mean, believed, rng, draws),
            residuals=(),
            techniques=techniques_flown(points),
            messages=nothing,
            pilots=pilots_flown(points),
            height_unit=height_unit,
        )
    found = settle(priors, groups, mean, believed)
    names = [f"{figure.what} of {figure.origin.point}" for figure in found.noise.figures]
    unusable = [name for name, figure in zip(names, found.noise.figures, strict=True) if not figure.usable]
    set_aside = [
        outlier_words(name, figure, float(expected), float(z))
        for name, figure, expected, z, aside in zip(
            names, found.noise.figures, found.expected, found.standardised, found.aside, strict=True
        )
        if aside
    ]
    results = _results(priors, found.optimum.values, found.optimum.covariance)
    messages = (
        convergence(found.optimum, found.settled, set_aside, len(names) - len(unusable)),
        *scatter_words(found.scales, [figure.family for figure in found.noise.figures]),
        *surprises(results),
        *identifiability(results, found.optimum.covariance),
        *(f"{name} is not a number that can be compared and was left out" for name in unusable),
        *unused(points),
    )
    return Fit(
        parameters=results,
        optimum=found.optimum.values,
        covariance=found.optimum.covariance,
        draws=_draw(priors, found.optimum.values, found.optimum.covariance, rng, draws),
        residuals=_residuals(found),
        techniques=techniques_flown(points),
        messages=messages,
        flown=flown(points),
        scatter_scales=dict(zip(FAMILIES, found.scales.tolist(), strict=True)),
        pilots=pilots_flown(points),
        height_unit=height_unit,
    )


def _refuse_unknown(airplane: Airplane, points: Points) -> None:
    every: tuple[StallPoint | LevelPoint | ClimbPoint | TakeoffPoint | LandingPoint, ...] = (
        *points.stalls,
        *points.levels,
        *points.climbs,
        *points.takeoffs,
        *points.landings,
    )
    problems: list[Problem] = []
    for point in every:
        try:
            configuration(airplane, point.conditions.configuration)
            flap(airplane, point.conditions.flap)
        except InputError as error:
            problems.extend(problem.at(field=f"point {point.origin.point}") for problem in error.problems)
    if problems:
        raise InputError(*problems)


def before(fitted: Fit, *, seed: int) -> Fit:
    """The same airplane as it was believed to be before any point: draws from the priors."""
    priors = [result.parameter for result in fitted.parameters]
    mean, covariance = prior_moments(priors)
    rng = np.random.default_rng(seed)
    return replace(
        fitted,
        parameters=_results(priors, mean, covariance),
        optimum=mean,
        covariance=covariance,
        draws=_draw(priors, mean, covariance, rng, fitted.draws.shape[0]),
        residuals=(),
        messages=("what was believed before any point",),
        flown=(),
        scatter_scales={},
    )


def unused(points: Points) -> Iterable[str]:
    """What was measured and does not enter the fit, in words."""
    powered = sum(point.power == "full" for point in points.stalls)
    if powered:
        yield f"{powered} stalls with full power are shown but do not enter the fit: C_Lmax is that at idle"
    silent = sum(
        point.power is None and point.fuel_flow is None and not point.full_throttle for point in points.levels
    )
    if silent:
        yield (
            f"{silent} level legs at part power without power or fuel flow say nothing about drag; "
            "they serve the position error only"
        )


def _residuals(found: Settled) -> tuple[Residual, ...]:
    return tuple(
        Residual(
            figure.origin,
            figure.what,
            figure.measured,
            float(np.exp(fitted)) if figure.log else float(fitted),
            float(z),
            bool(aside),
        )
        for figure, fitted, z, aside in zip(
            found.noise.figures, found.fitted, found.standardised, found.aside, strict=True
        )
        if figure.usable
    )


def _results(
    priors: Sequence[Parameter], values: FloatArray, covariance: FloatArray
) -> tuple[ParameterResult, ...]:
    return tuple(
        _result(prior, float(value), float(variance) ** 0.5)
        for prior, value, variance in zip(priors, values, np.diag(covariance), strict=True)
    )


def _result(prior: Parameter, value: float, sd: float) -> ParameterResult:
    _, prior_sd = in_fit_space(prior)
    median = natural(prior, value)
    spread = median * float(np.expm1(sd)) if prior.log else sd
    source = f"fit, against the prior {prior.mean:.3g} ± {prior.sd:.2g} ({prior.source})"
    return ParameterResult(
        prior, Estimate(median, spread, prior.dimension, source), max(0.0, 1.0 - sd / prior_sd)
    )


def _natural(priors: Sequence[Parameter], vectors: FloatArray) -> FloatArray:
    theta = theta_of(priors, vectors)
    return np.concatenate([theta[prior.name] for prior in priors], axis=1)


def _draw(
    priors: Sequence[Parameter],
    mean: FloatArray,
    covariance: FloatArray,
    rng: np.random.Generator,
    draws: int,
) -> FloatArray:
    root = np.linalg.cholesky(covariance)
    return _natural(priors, mean + rng.standard_normal((draws, mean.size)) @ root.T)
