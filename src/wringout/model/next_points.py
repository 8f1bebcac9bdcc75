"""Which points to fly next: those that most narrow the answer one cares for, singly or as a sortie."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.airplane.prior_names import ROLLING
from wringout.model.asked import resolve
from wringout.model.covariances import FAMILIES, noise_of
from wringout.model.figures import Figure, predicted, response
from wringout.model.fit import Fit, Parameter, ParameterResult
from wringout.model.optimum import STEP, jacobian
from wringout.model.parameters import in_fit_space, parameters, prior_moments
from wringout.model.prediction import predict
from wringout.model.question import Question
from wringout.model.settling import groups_of
from wringout.model.vehicles import theta_of
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import Origin, Points

FloatArray = NDArray[np.float64]
WORTH = 0.01  # share of the answer's sd; a point that takes away less is not worth its minutes
LASTING_DRAWS = 500


@dataclass(frozen=True, slots=True)
class Usefulness:
    """What flying one candidate point would do to the answer's standard deviation, in the answer's unit."""

    origin: Origin
    figures: tuple[str, ...]
    sd_before: float
    sd_after: float

    @property
    def gain(self) -> float:
        """The share of the answer's variance that the point takes away."""
        return 1.0 - (self.sd_after / self.sd_before) ** 2 if self.sd_before > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class Design:
    """A linear-Gaussian experiment: P parameters, N figures of candidate points, one answer.

    `covariance` (P, P) of what is known, `slopes` (N, P) and `noise` (N, N) of the figures, `gradient` (P,)
    of the answer, `owners` (N,) which candidate each figure belongs to. `lasting` is the standard deviation
    of the answer that no point takes away: the model's discrepancy, and ground on which nobody rolls.
    """

    covariance: FloatArray
    slopes: FloatArray
    noise: FloatArray
    gradient: FloatArray
    owners: tuple[Origin, ...]
    lasting: float = 0.0

    @property
    def sd(self) -> float:
        """Standard deviation of the answer as things stand."""
        return float(np.hypot(np.sqrt(self._variance), self.lasting))

    @property
    def _variance(self) -> float:
        """Of the answer, as far as points can take it away."""
        return max(float(self.gradient @ self.covariance @ self.gradient), 0.0)

    @property
    def joint(self) -> tuple[FloatArray, FloatArray]:
        """Covariance of the figures to be measured, (N, N), and theirs with the answer, (N,)."""
        total = self.slopes @ self.covariance @ self.slopes.T + self.noise
        return total, self.slopes @ self.covariance @ self.gradient

    def sd_after(self, flown: Sequence[Origin]) -> float:
        """Standard deviation of the answer when these candidates have been flown too.

        Σ' = Σ − Σ Jᵀ (J Σ Jᵀ + R)⁻¹ J Σ with all their figures at once, so that an error that two of them
        share is counted once [Chaloner1995].
        """
        rows = [index for index, owner in enumerate(self.owners) if owner in set(flown)]
        if not rows:
            return self.sd
        slopes = self.slopes[rows]
        moved = slopes @ self.covariance @ self.gradient
        total = slopes @ self.covariance @ slopes.T + self.noise[np.ix_(rows, rows)]
        variance = self._variance - float(moved @ np.linalg.solve(total, moved))
        return float(np.hypot(np.sqrt(max(variance, 0.0)), self.lasting))


@dataclass(frozen=True, slots=True)
class Step:
    """One point of a sortie: the answer's standard deviation before and after it, and its minutes [s]."""

    origin: Origin
    sd_before: float
    sd_after: float
    time: float

    @property
    def per_minute(self) -> float:
        """By how much it shrinks the answer's standard deviation a minute, in the answer's unit."""
        return (self.sd_before - self.sd_after) / (self.time / 60.0)


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
        A candidate's technique is no parameter of the fit yet; the answer is infinite.

    Notes
    -----
    Bayesian linear-Gaussian design: with J the candidate's Jacobian and R its noise, Σ' = (Σ⁻¹ + Jᵀ R⁻¹
    J)⁻¹, and the answer's variance goes from gᵀ Σ g to gᵀ Σ' g [Chaloner1995]. What was measured does not
    enter, only where and how well.
    """
    figures = _figures(airplane, candidates)
    if not figures:
        return ()
    made = design(airplane, fitted, candidates, question)
    found = [
        Usefulness(
            origin,
            tuple(figure.what for figure in figures if figure.origin == origin),
            made.sd,
            made.sd_after([origin]),
        )
        for origin in dict.fromkeys(made.owners)
    ]
    return tuple(sorted(found, key=lambda item: item.sd_after))


def design(airplane: Airplane, fitted: Fit, candidates: Points, question: Question) -> Design:
    """The experiment that candidates, at least one the model speaks about, are for an answer.

    Arguments and errors as `next_points`.
    """
    fitted = _with_surfaces(airplane, fitted, candidates)
    priors = [result.parameter for result in fitted.parameters]
    _refuse_unknown(airplane, candidates, priors)
    groups = groups_of(airplane, candidates)
    steps = STEP * np.array([in_fit_space(prior)[1] for prior in priors])
    figures = tuple(figure for group in groups for figure in group.flat)

    def model(vectors: FloatArray) -> FloatArray:
        return predicted(groups, theta_of(priors, vectors))

    slopes = jacobian(model, fitted.optimum, steps)
    answer = response(groups, theta_of(priors, fitted.optimum[None, :]))
    scales = np.array([fitted.scatter_scales.get(family, 1.0) for family in FAMILIES])
    return Design(
        fitted.covariance,
        slopes,
        noise_of(figures, answer.loadings, answer.scatter).covariance(scales),
        _gradient(airplane, fitted, question, steps),
        tuple(figure.origin for figure in figures),
        _lasting(airplane, fitted, question),
    )


def sortie(experiment: Design, times: Mapping[Origin, float], longest: float) -> tuple[Step, ...]:
    """Points for one flight, chosen one after another by what each takes off the answer's sd per minute.

    Parameters
    ----------
    experiment : Design
    times : mapping
        Flight time of each candidate. [s]
    longest : float
        Flight time of all together. [s]

    Returns
    -------
    tuple of Step
        In the order chosen; it ends where no candidate fits the time left, or none takes away as much as
        WORTH of the standard deviation.

    Notes
    -----
    Greedy: each choice counts what those before it have already told. Not always the best set of all, but
    never far from it where points add to one another [common practice, no source]. The figures and the answer
    are held as one normal distribution, conditioned on a point when it is chosen, which gives what
    `Design.sd_after` gives for all of them at once.
    """
    total, shared = experiment.joint
    variance = experiment.sd**2 - experiment.lasting**2
    rows: dict[Origin, list[int]] = {}
    for index, owner in enumerate(experiment.owners):
        if owner in times:
            rows.setdefault(owner, []).append(index)
    chosen: list[Step] = []
    left, sd = longest, experiment.sd

    def after(origin: Origin) -> Step:
        own = rows[origin]
        told = float(shared[own] @ np.linalg.solve(total[np.ix_(own, own)], shared[own]))
        spread = float(np.hypot(np.sqrt(max(variance - told, 0.0)), experiment.lasting))
        return Step(origin, sd, spread, times[origin])

    while True:
        steps = [after(origin) for origin in rows if times[origin] <= left]
        if not steps:
            break
        best = max(steps, key=lambda step: step.per_minute)
        if best.sd_before - best.sd_after < WORTH * best.sd_before:
            break
        chosen.append(best)
        own = rows.pop(best.origin)
        weights = np.linalg.solve(total[np.ix_(own, own)], total[own]).T
        told = shared[own] @ np.linalg.solve(total[np.ix_(own, own)], shared[own])
        variance = max(variance - float(told), 0.0)
        shared = shared - weights @ shared[own]
        total = total - weights @ total[own]
        left, sd = left - best.time, best.sd_after
    return tuple(chosen)


def _with_surfaces(airplane: Airplane, fitted: Fit, candidates: Points) -> Fit:
    """The fit with what is believed of the surfaces on which the candidates would roll first."""
    known = {result.parameter.name for result in fitted.parameters}
    new = [
        prior
        for prior in parameters(airplane, candidates)
        if prior.name.startswith(f"{ROLLING}: ") and prior.name not in known
    ]
    if not new:
        return fitted
    mean, covariance = prior_moments(new)
    draws = np.random.default_rng(0).multivariate_normal(mean, covariance, fitted.draws.shape[0])
    theta = theta_of(new, draws)
    believed = tuple(
        ParameterResult(prior, Estimate(prior.mean, prior.sd, prior.dimension, prior.source), 0.0)
        for prior in new
    )
    count = fitted.optimum.size
    whole = np.zeros((count + mean.size,) * 2)
    whole[:count, :count], whole[count:, count:] = fitted.covariance, covariance
    return replace(
        fitted,
        parameters=(*fitted.parameters, *believed),
        optimum=np.concatenate([fitted.optimum, mean]),
        covariance=whole,
        draws=np.concatenate([fitted.draws, *(theta[prior.name] for prior in new)], axis=1),
    )


def _figures(airplane: Airplane, candidates: Points) -> tuple[Figure, ...]:
    return tuple(figure for group in groups_of(airplane, candidates) for figure in group.flat)


def _gradient(airplane: Airplane, fitted: Fit, question: Question, steps: FloatArray) -> FloatArray:
    """Slope of the answer in each fit-space parameter, (P,), discrepancy left out."""
    priors = [result.parameter for result in fitted.parameters]
    vectors = fitted.optimum + np.concatenate([np.diag(steps), -np.diag(steps)])
    theta = theta_of(priors, vectors)
    draws = np.concatenate([theta[prior.name] for prior in priors], axis=1)
    exact = replace(fitted, draws=draws, scatter_scales=dict.fromkeys(FAMILIES, 0.0))
    unflown = resolve(airplane, fitted, question)
    if unflown.unflown_surface is not None:
        # No point of ours rolls there: its friction stays as it is believed, the same for every slope.
        friction = _standing(unflown.surface, unflown.unflown_surface.rolling)
        column = np.full((draws.shape[0], 1), friction.posterior.value)
        exact = replace(
            exact,
            parameters=(*fitted.parameters, friction),
            draws=np.concatenate([draws, column], axis=1),
        )
    samples = predict(airplane, exact, question).samples
    if not np.isfinite(samples).all():
        raise InputError(
            Problem(
                f"as far as is known, {question.quantity} cannot be done there: no point narrows it",
                "ask at a smaller mass, lower, or on better ground",
                field="quantity",
            )
        )
    return np.asarray((samples[: steps.size] - samples[steps.size :]) / (2.0 * steps))


def _lasting(airplane: Airplane, fitted: Fit, question: Question) -> float:
    """Standard deviation of the answer were every parameter of the fit known for certain."""
    names = [result.parameter for result in fitted.parameters]
    known = theta_of(names, fitted.optimum[None, :])
    draw = np.concatenate([known[prior.name] for prior in names], axis=1)
    certain = replace(fitted, draws=np.broadcast_to(draw, (LASTING_DRAWS, draw.shape[1])))
    return predict(airplane, certain, question).estimate.sd or 0.0


def _standing(surface: str, rolling: float) -> ParameterResult:
    parameter = Parameter(
        f"rolling friction: {surface}", "", rolling, rolling, Dimension.RATIO, True, "its table value"
    )
    return ParameterResult(parameter, Estimate(rolling, None, Dimension.RATIO, parameter.source), 0.0)


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
