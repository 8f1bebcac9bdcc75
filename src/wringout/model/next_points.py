"""Which points to fly next: those that most narrow the answer one cares for."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.model.covariances import FAMILIES, noise_of
from wringout.model.figures import predicted, response
from wringout.model.fit import Fit, Parameter
from wringout.model.optimum import STEP, jacobian
from wringout.model.parameters import in_fit_space, parameters
from wringout.model.prediction import predict
from wringout.model.question import Question
from wringout.model.settling import groups_of
from wringout.model.vehicles import theta_of
from wringout.problems import InputError, Problem
from wringout.reduction.points import Origin, Points

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Usefulness:
    """What flying one candidate point would do: the answer's standard deviation before and after, its unit.

    The model's discrepancy, which no point can take away, is not counted in either.
    """

    origin: Origin
    figures: tuple[str, ...]
    sd_before: float
    sd_after: float

    @property
    def gain(self) -> float:
        """The share of the answer's variance that the point takes away."""
        return 1.0 - (self.sd_after / self.sd_before) ** 2


def next_points(
    airplane: Airplane, fitted: Fit, candidates: Points, question: Question
) -> tuple[Usefulness, ...]:
    """Candidate test points in the order of their use for one answer, the most useful first.

    Parameters
    ----------
    airplane : Airplane
    fitted : Fit
        What is known so far; a fit to no points plans the first flight.
    candidates : Points
        Planned points with the conditions, target figures and standard uncertainties expected of them.
    question : Question
        The answer to be narrowed.

    Returns
    -------
    tuple of Usefulness
        One for each candidate that the model speaks about.

    Raises
    ------
    InputError
        A candidate's technique or surface is no parameter of the fit yet.

    Notes
    -----
    Bayesian linear-Gaussian design: with J the candidate's Jacobian and R its noise, Σ' = (Σ⁻¹ + Jᵀ R⁻¹
    J)⁻¹, and the answer's variance goes from gᵀ Σ g to gᵀ Σ' g [Chaloner1995]. What was measured does not
    enter, only where and how well.
    """
    priors = [result.parameter for result in fitted.parameters]
    _refuse_unknown(airplane, candidates, priors)
    groups = groups_of(airplane, candidates)
    if not groups:
        return ()
    steps = STEP * np.array([in_fit_space(prior)[1] for prior in priors])
    figures = tuple(figure for group in groups for figure in group.flat)

    def model(vectors: FloatArray) -> FloatArray:
        return predicted(groups, theta_of(priors, vectors))

    slopes = jacobian(model, fitted.optimum, steps)
    answer = response(groups, theta_of(priors, fitted.optimum[None, :]))
    scales = np.array([fitted.scatter_scales.get(family, 1.0) for family in FAMILIES])
    noise = noise_of(figures, answer.loadings, answer.scatter).covariance(scales)
    gradient = _gradient(airplane, fitted, question, steps)
    before = float(np.sqrt(gradient @ fitted.covariance @ gradient))
    found = []
    for origin in dict.fromkeys(figure.origin for figure in figures):
        rows = [index for index, figure in enumerate(figures) if figure.origin == origin]
        after = _after(fitted.covariance, slopes[rows], noise[np.ix_(rows, rows)], gradient)
        found.append(Usefulness(origin, tuple(figures[index].what for index in rows), before, after))
    return tuple(sorted(found, key=lambda item: item.sd_after))


def _after(covariance: FloatArray, slopes: FloatArray, noise: FloatArray, gradient: FloatArray) -> float:
    """Standard deviation of the answer with a point's figures added."""
    moved = slopes @ covariance @ gradient
    total = slopes @ covariance @ slopes.T + noise
    variance = float(gradient @ covariance @ gradient - moved @ np.linalg.solve(total, moved))
    return float(np.sqrt(max(variance, 0.0)))


def _gradient(airplane: Airplane, fitted: Fit, question: Question, steps: FloatArray) -> FloatArray:
    """Slope of the answer in each fit-space parameter, (P,), discrepancy left out."""
    priors = [result.parameter for result in fitted.parameters]
    vectors = fitted.optimum + np.concatenate([np.diag(steps), -np.diag(steps)])
    theta = theta_of(priors, vectors)
    draws = np.concatenate([theta[prior.name] for prior in priors], axis=1)
    exact = replace(fitted, draws=draws, scatter_scales=dict.fromkeys(FAMILIES, 0.0))
    samples = predict(airplane, exact, question).samples
    return np.asarray((samples[: steps.size] - samples[steps.size :]) / (2.0 * steps))


def _refuse_unknown(airplane: Airplane, candidates: Points, priors: list[Parameter]) -> None:
    known = {prior.name for prior in priors}
    needed = {prior.name for prior in parameters(airplane, candidates)}
    missing = sorted(needed - known)
    # With no take-off or landing among the candidates the stand-in technique is not needed.
    missing = [
        name
        for name in missing
        if not name.endswith(": normal") or candidates.takeoffs or candidates.landings
    ]
    if missing:
        raise InputError(
            Problem(
                f"the fit does not know {'; '.join(missing)}",
                "give a prior for it in the dossier, and fit again",
                field="priors",
            )
        )
