"""One field length in three hands: the best that was demonstrated, this pilot's runs, an average pilot's."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.model.asked import KINDS, resolve
from wringout.model.fit import Fit
from wringout.model.prediction import predict_each
from wringout.model.question import Question
from wringout.model.ready import made_ready
from wringout.model.run_scatter import run_scatter
from wringout.physics.atmosphere import altitude_of_pressure
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import LandingPoint, Origin, Points, TakeoffPoint

FloatArray = NDArray[np.float64]
NINE_IN_TEN = 1.2816  # standard deviations of a normal distribution below which nine in ten lie


@dataclass(frozen=True, slots=True)
class Demonstrated:
    """The shortest of `count` runs flown so, brought to the condition asked for."""

    origin: Origin
    pilot: str
    length: Estimate
    count: int


@dataclass(frozen=True, slots=True)
class Hand:
    """What one pilot, or an average one, gets: the typical run, and the length that holds nine in ten."""

    typical: Estimate
    nine_in_ten: Estimate


@dataclass(frozen=True, slots=True)
class Runs:
    """A field length apart into airplane and pilot. [m]

    `best` is None where no run was flown with the technique, flaps and configuration; `mine` is of `pilot`,
    None where nobody flew.
    """

    question: Question
    best: Demonstrated | None
    pilot: str | None
    mine: Hand | None
    average: Hand


def runs(airplane: Airplane, fit: Fit, points: Points, question: Question) -> Runs:
    """What the airplane has done, what its pilot gets, and what an average pilot will get.

    Parameters
    ----------
    airplane : Airplane
    fit : Fit
    points : Points
        Those of the fit, for the best run among them.
    question : Question
        A take-off or landing ground roll or distance; its pilot, or the one who flew most.

    Returns
    -------
    Runs

    Raises
    ------
    InputError
        Another quantity; otherwise as `predict`.

    Notes
    -----
    With σ the scatter of a pilot's runs and π that of pilots about an average one, both of the logarithm,
    nine runs in ten of one pilot keep within his typical one times exp(1.28 σ), of average pilots exp(1.28
    √(σ² + π²)) [derived: log-normal]. Where one pilot flew everything, an average pilot's typical run is his
    with π on top: nobody can tell from it how he compares. The best run is brought to the condition by the
    ratio of the model's two answers, in which most of what the model does not know cancels; its luck and the
    measurement's stay in it.
    """
    from scipy.special import ndtri

    kind = KINDS[question.quantity]
    if kind not in ("take-off", "landing"):
        raise InputError(
            Problem(f"{question.quantity} has no runs", "ask for a roll or a distance", field="quantity")
        )
    known = fit.pilots.get(kind, ())
    pilot = question.pilot or (known[0] if known else None)
    several = len(known) > 1
    own, common = predict_each(
        airplane,
        fit,
        [replace(question, pilot=pilot if several else None), replace(question, pilot=None)],
    )
    asked = [resolve(airplane, fit, question)]
    spread = run_scatter(made_ready(airplane, fit, asked), fit)
    sigma, apart = float(spread.run[0]), float(spread.pilot[0])
    rng = np.random.default_rng(len(own.samples))
    average = common.samples
    if not several:
        evenly = ndtri((rng.permutation(average.size) + 0.5) / average.size)
        average = average * np.exp(apart * evenly)
    mine = None if pilot is None else _hand(own.samples, sigma, f"runs of {pilot}")
    return Runs(
        question,
        _best(airplane, fit, points, replace(question, pilot=pilot if several else None), own.samples),
        pilot,
        mine,
        _hand(average, float(np.hypot(sigma, apart)), "runs of average pilots"),
    )


def _hand(samples: FloatArray, spread: float, whose: str) -> Hand:
    return Hand(
        _length(samples, f"fitted model, typical of {whose}"),
        _length(samples * np.exp(NINE_IN_TEN * spread), f"fitted model, nine in ten of {whose}"),
    )


def _length(samples: FloatArray, source: str) -> Estimate:
    finite = samples[np.isfinite(samples)]
    median = float(np.quantile(samples, 0.5, method="inverted_cdf"))
    sd = float(np.std(finite, ddof=1)) if finite.size > 1 and np.isfinite(median) else None
    return Estimate(median, sd, Dimension.LENGTH, source)


def _best(
    airplane: Airplane, fit: Fit, points: Points, question: Question, here: FloatArray
) -> Demonstrated | None:
    """The run that is shortest when it is brought to the question's condition."""
    asked = resolve(airplane, fit, question)
    odd = {residual.origin for residual in fit.residuals if residual.outlier}
    every: Sequence[TakeoffPoint | LandingPoint] = (
        points.takeoffs if question.quantity.startswith("take-off") else points.landings
    )
    flown = [
        point
        for point in every
        if point.technique == asked.technique
        and point.conditions.flap == asked.flap
        and point.conditions.configuration == question.configuration
        and point.origin not in odd
        and np.isfinite(_measured(point, question)[0])
    ]
    if not flown:
        return None
    there = predict_each(airplane, fit, [_as_flown(point, question) for point in flown])
    brought = []
    for point, answer in zip(flown, there, strict=True):
        length, sd = _measured(point, question)
        ratio = here / answer.samples
        ratio = ratio[np.isfinite(ratio)]
        if ratio.size > 1:
            value = length * float(np.median(ratio))
            spread = float(np.hypot(sd / length, np.std(ratio, ddof=1) / np.median(ratio)))
            brought.append((value, spread * value, point))
    if not brought:
        return None
    value, sd, point = min(brought, key=lambda item: item[0])
    source = f"{point.origin.point} of {point.origin.card}, brought here by the fitted model"
    return Demonstrated(
        point.origin, point.pilot, Estimate(value, sd, Dimension.LENGTH, source), len(brought)
    )


def _measured(point: TakeoffPoint | LandingPoint, question: Question) -> tuple[float, float]:
    """What the run measured of the question's quantity, and its standard uncertainty."""
    roll, air = point.ground_roll, point.air_distance
    if question.quantity.endswith("roll"):
        return roll.value, roll.sd or 0.0
    return roll.value + air.value, float(np.hypot(roll.sd or 0.0, air.sd or 0.0))


def _as_flown(point: TakeoffPoint | LandingPoint, question: Question) -> Question:
    """The question at the conditions of a run, its pilot as in the question."""
    state = point.conditions
    return replace(
        question,
        mass=state.mass.value,
        flap=state.flap,
        pressure_altitude=float(altitude_of_pressure(state.pressure.value)),
        temperature=state.temperature.value,
        head_wind=point.head_wind.value,
        slope=point.slope.value,
        surface=point.surface,
        technique=point.technique,
    )
