"""Known airplanes come back: parameters and answers within their stated uncertainties at the stated rate."""

import re
from dataclasses import replace

import numpy as np
import pytest

from tests.model.invented import airplane, flown_by, planned, true_vector
from wringout.airplane.airplane import Engine, Propeller
from wringout.model import before, fit, parameters, predict_each
from wringout.model.fit import Fit
from wringout.model.question import Question
from wringout.model.vehicles import theta_of
from wringout.problems import InputError
from wringout.reduction.points import Points

EVALUATIONS = 10
QUESTIONS = (
    Question("stall speed", "tail wheel", 1050.0),
    Question("take-off ground roll", "tail wheel", 1050.0, pressure_altitude=300.0, technique="short"),
    Question("take-off distance", "nose wheel", 1050.0, pressure_altitude=300.0, technique="short"),
    Question("landing ground roll", "nose wheel", 1050.0, pressure_altitude=300.0, technique="short"),
    Question("landing distance", "tail wheel", 1050.0, pressure_altitude=300.0, technique="normal"),
    Question("full-throttle speed", "tail wheel", 1050.0, pressure_altitude=1200.0),
    Question("rate of climb", "tail wheel", 1050.0, pressure_altitude=1000.0),
)


@pytest.fixture(scope="module")
def evaluations() -> list[tuple[np.ndarray, Points, Fit]]:
    """Airplanes drawn from their priors, flown and fitted."""
    found = []
    for number in range(EVALUATIONS):
        rng = np.random.default_rng([7, number])
        vector = true_vector(airplane(), planned(), rng, spread=1.0)
        points = flown_by(airplane(), planned(), vector, rng)
        found.append((vector, points, fit(airplane(), points, seed=number, draws=600)))
    return found


def certain(fitted: Fit, points: Points, vector: np.ndarray) -> Fit:
    """The true airplane as a fit with one draw and no discrepancy."""
    theta = theta_of(parameters(airplane(), points), vector[None, :])
    draw = [theta[result.parameter.name][0, 0] for result in fitted.parameters]
    none = {"performance": 0.0, "take-off": 0.0, "landing": 0.0}
    return replace(fitted, draws=np.array([draw]), scatter_scales=none)


def test_stated_sigmas_of_the_parameters_are_honest(
    evaluations: list[tuple[np.ndarray, Points, Fit]],
) -> None:
    """(fitted − true)/sigma over all parameters has no bias and a spread about one.

    330 of them, not independent: three standard errors of the spread are an eighth.
    """
    z = np.array(
        [(fitted.optimum - vector) / np.sqrt(np.diag(fitted.covariance)) for vector, _, fitted in evaluations]
    )
    assert abs(np.mean(z)) < 0.2
    assert 0.875 < np.std(z) < 1.2
    assert np.mean(np.abs(z) < 1.645) > 0.84


def test_intervals_of_the_answers_hold_the_truth(evaluations: list[tuple[np.ndarray, Points, Fit]]) -> None:
    """Central 90 % intervals hold the true answer in at least 85 % of 70 cases.

    More than 90 is expected here: the truth has no discrepancy of the model, for which the intervals allow.
    """
    inside = []
    for vector, points, fitted in evaluations:
        truths = predict_each(airplane(), certain(fitted, points, vector), QUESTIONS)
        answers = predict_each(airplane(), fitted, QUESTIONS)
        inside += [
            answer.low <= truth.estimate.value <= answer.high
            for answer, truth in zip(answers, truths, strict=True)
        ]
    assert np.mean(inside) >= 0.85


def test_standardised_residuals_have_unit_spread(evaluations: list[tuple[np.ndarray, Points, Fit]]) -> None:
    """Each figure against what all others lead to expect: 800 of them, spread near one."""
    z = [residual.standardised for _, _, fitted in evaluations for residual in fitted.residuals]
    assert 0.9 < np.std(z) < 1.1
    assert sum(residual.outlier for _, _, fitted in evaluations for residual in fitted.residuals) <= 1


def test_flights_teach_and_never_unteach(evaluations: list[tuple[np.ndarray, Points, Fit]]) -> None:
    """No posterior is wider than its prior; drag and stall are taught well, load factors hardly."""
    _, _, fitted = evaluations[0]
    taught = {result.parameter.name: result.taught for result in fitted.parameters}
    assert min(taught.values()) >= 0.0
    assert taught["zero-lift drag area"] > 0.7
    assert taught["maximum lift coefficient: flap 45"] > 0.6
    assert taught["flare load increment: short"] < 0.2


def test_the_answer_before_flying_is_wider(evaluations: list[tuple[np.ndarray, Points, Fit]]) -> None:
    """The same questions before any point: every spread is larger."""
    _, _, fitted = evaluations[0]
    after = predict_each(airplane(), fitted, QUESTIONS)
    first = predict_each(airplane(), before(fitted, seed=3), QUESTIONS)
    for late, early in zip(after, first, strict=True):
        assert late.estimate.sd is not None
        assert early.estimate.sd is not None
        assert late.estimate.sd < early.estimate.sd


def test_a_gross_error_is_named_and_set_aside(evaluations: list[tuple[np.ndarray, Points, Fit]]) -> None:
    """A ground roll written down with a wrong digit: named, and the answer moves by less than half its sd."""
    _, points, clean = evaluations[1]
    first = points.takeoffs[0]
    wrong = replace(first, ground_roll=replace(first.ground_roll, value=3.0 * first.ground_roll.value))
    spoiled = fit(airplane(), replace(points, takeoffs=(wrong, *points.takeoffs[1:])), seed=1, draws=600)
    named = [residual for residual in spoiled.residuals if residual.outlier]
    assert [(residual.what, residual.origin) for residual in named] == [
        ("take-off ground roll", first.origin)
    ]
    said = spoiled.messages[0]
    measured = f"take-off ground roll of {first.origin.point} ({wrong.ground_roll.value:.1f} ± "
    assert measured in said
    assert "standard deviations off) was set aside" in said
    by_others = float(re.findall(r"leads to expect ([0-9.]+) m", said)[0])
    assert by_others == pytest.approx(first.ground_roll.value, rel=0.25)
    asked = QUESTIONS[1:2]
    (moved,), (still,) = predict_each(airplane(), spoiled, asked), predict_each(airplane(), clean, asked)
    assert still.estimate.sd is not None
    assert abs(moved.estimate.value - still.estimate.value) < 0.5 * still.estimate.sd


def test_no_points_give_the_priors_back() -> None:
    """Nothing flown: posterior equal to prior, taught zero, and a message that says so."""
    none = Points((), (), (), (), (), (), (), ())
    fitted = fit(airplane(), none, seed=1)
    assert all(result.taught == pytest.approx(0.0, abs=1e-12) for result in fitted.parameters)
    assert "no points" in fitted.messages[0]
    assert fitted.draws.shape == (1000, len(fitted.parameters))


def test_the_same_seed_gives_the_same_fit(evaluations: list[tuple[np.ndarray, Points, Fit]]) -> None:
    """Draws are those of the seed."""
    _, points, fitted = evaluations[2]
    again = fit(airplane(), points, seed=2, draws=600)
    np.testing.assert_array_equal(again.draws, fitted.draws)


def test_a_figure_that_is_no_number_is_left_out_and_told(
    evaluations: list[tuple[np.ndarray, Points, Fit]],
) -> None:
    """An air distance of zero and a rate that is missing: said, without residuals, and the fit stands."""
    _, points, clean = evaluations[3]
    first, climb = points.landings[0], points.climbs[0]
    landing = replace(first, air_distance=replace(first.air_distance, value=0.0))
    missing = replace(climb, rate_of_climb=replace(climb.rate_of_climb, value=float("nan")))
    spoiled = replace(points, landings=(landing, *points.landings[1:]), climbs=(missing, *points.climbs[1:]))
    fitted = fit(airplane(), spoiled, seed=1, draws=200)
    assert len(fitted.residuals) == len(clean.residuals) - 2
    told = [message for message in fitted.messages if "left out" in message]
    assert told == [
        f"rate of climb of {climb.origin.point} is not a number that can be compared and was left out",
        f"landing air distance of {first.origin.point} is not a number that can be compared and was left out",
    ]
    assert np.max(np.abs(fitted.optimum - clean.optimum) / np.sqrt(np.diag(clean.covariance))) < 1.0


def test_a_point_of_an_unknown_configuration_is_refused() -> None:
    """The airplane has no floats: the point is named."""
    points = planned()
    first = points.stalls[0]
    wrong = replace(first, conditions=replace(first.conditions, configuration="floats"))
    with pytest.raises(InputError, match="floats"):
        fit(airplane(), replace(points, stalls=(wrong,)), seed=1)


@pytest.mark.parametrize(
    "changes",
    [
        {"engine": Engine("turbocharged", 149e3, 45.0, critical_altitude=3000.0)},
        {"engine": Engine("electric", 149e3, 45.0, battery_energy=2e8)},
        {"propeller": Propeller("fixed pitch", 1.95, polar_slope=1.7, polar_intercept=-0.056)},
    ],
)
def test_other_engines_and_propellers_are_fitted_alike(changes: dict[str, object]) -> None:
    """A turbocharged engine, a motor and a fixed-pitch propeller: answers near their own truth."""
    made = airplane(**changes)
    rng = np.random.default_rng(17)
    vector = true_vector(made, planned(), rng, spread=0.3)
    points = flown_by(made, planned(), vector, rng)
    fitted = fit(made, points, seed=1, draws=400)
    theta = theta_of(parameters(made, points), vector[None, :])
    draw = [theta[result.parameter.name][0, 0] for result in fitted.parameters]
    none = {"performance": 0.0, "take-off": 0.0, "landing": 0.0}
    true = replace(fitted, draws=np.array([draw]), scatter_scales=none)
    for truth, answer in zip(
        predict_each(made, true, QUESTIONS), predict_each(made, fitted, QUESTIONS), strict=True
    ):
        assert answer.estimate.sd is not None
        assert abs(answer.estimate.value - truth.estimate.value) < 3.0 * answer.estimate.sd
    assert not any(residual.outlier for residual in fitted.residuals)
