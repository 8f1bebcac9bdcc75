"""The estimator against certified regressions, and its covariance against draws."""

import numpy as np
import pytest

from tests.model.invented import airplane, planned
from tests.model.published import printed
from tests.model.regressions import REGRESSIONS
from wringout.model.covariances import noise_of
from wringout.model.figures import predicted, response
from wringout.model.optimum import STEP, FloatArray, jacobian, maximum_a_posteriori
from wringout.model.parameters import parameters, prior_moments
from wringout.model.settling import groups_of
from wringout.model.vehicles import theta_of

FILE = "nonlinear_regression.csv"


@pytest.mark.parametrize("case", REGRESSIONS)
def test_what_was_remembered_of_the_certified_regressions_is_right(case: str) -> None:
    """Data and certified parameters give the certified sum of squares, to nine digits or more."""
    one, answers = REGRESSIONS[case], printed(FILE, case)
    count = len(one.starts[0])
    certified = np.array([[answers[f"b{number + 1}"][0] for number in range(count)]])
    squares = float(np.sum((one.y - one.figures(certified)[0]) ** 2))
    assert squares == pytest.approx(answers["residual sum of squares"][0], rel=1e-9)


# From these far starts the search overflows, or has not arrived after 200 looks: it says so, see below.
TOO_FAR = {("MGH10", 0), ("BoxBOD", 0)}


@pytest.mark.parametrize(
    ("case", "start"),
    [(case, start) for case in REGRESSIONS for start in (0, 1) if (case, start) not in TOO_FAR],
)
def test_certified_regressions_come_back(case: str, start: int) -> None:
    """Certified parameters, their deviations and the sum of squares come back to six digits or more."""
    one = REGRESSIONS[case]
    optimum = maximum_a_posteriori(one.figures, np.array(one.starts[start]), one.y, np.ones_like(one.y))
    deviations = np.sqrt(np.diag(optimum.covariance) * optimum.residual_variance)
    got = {"residual sum of squares": optimum.sum_of_squares}
    got |= {f"b{number}": value for number, value in enumerate(optimum.values, start=1)}
    got |= {f"sd of b{number}": value for number, value in enumerate(deviations, start=1)}
    assert optimum.converged
    for quantity, (value, _) in printed(FILE, case).items():
        assert -np.log10(abs(got[quantity] / value - 1.0)) > 6.0, quantity


def test_a_search_that_does_not_arrive_says_so() -> None:
    """From the far start of MGH10, a factor of hundreds off in every parameter."""
    one = REGRESSIONS["MGH10"]
    optimum = maximum_a_posteriori(one.figures, np.array(one.starts[0]), one.y, np.ones_like(one.y))
    assert not optimum.converged
    assert optimum.message


def test_gum_straight_line() -> None:
    """GUM H.3: the thermometer's line, its correlation and the correction it predicts at 30 °C."""
    t = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
    b = -np.array([0.171, 0.169, 0.166, 0.159, 0.164, 0.165, 0.156, 0.157, 0.159, 0.161, 0.160])

    def line(y: FloatArray) -> FloatArray:
        return np.asarray(y[:, :1] + y[:, 1:] * (t - 20.0))

    optimum = maximum_a_posteriori(line, np.array([-0.1, 0.01]), b, np.ones_like(b))
    covariance = optimum.covariance * optimum.residual_variance
    u = np.sqrt(np.diag(covariance))
    at_30 = np.array([1.0, 10.0])
    got = {
        "y1": optimum.values[0],
        "u(y1)": u[0],
        "y2": optimum.values[1],
        "u(y2)": u[1],
        "r(y1,y2)": covariance[0, 1] / (u[0] * u[1]),
        "s": np.sqrt(optimum.residual_variance),
        "b(30)": at_30 @ optimum.values,
        "u(b(30))": np.sqrt(at_30 @ covariance @ at_30),
    }
    for quantity, (value, unit) in printed("propagation.csv", "UN-03").items():
        assert got[quantity] == pytest.approx(value, abs=unit), quantity


def test_prior_and_measurement_weigh_by_their_variances() -> None:
    """One figure of sd 1 against a prior of sd 2 moves the mean by 4/5 and leaves a variance of 4/5."""
    optimum = maximum_a_posteriori(
        lambda p: p,
        np.array([0.0]),
        np.array([10.0]),
        np.array([1.0]),
        prior_mean=np.array([0.0]),
        prior_covariance=np.array([[4.0]]),
    )
    assert optimum.values[0] == pytest.approx(8.0, rel=1e-9)
    assert optimum.covariance[0, 0] == pytest.approx(0.8, rel=1e-9)


def test_correlated_noise_counts_shared_error_once() -> None:
    """Two figures sharing an error of sd 3 beside own errors of sd 1 leave a variance of 9 + 1/2."""
    optimum = maximum_a_posteriori(
        lambda p: np.repeat(p, 2, axis=1), np.array([0.0]), np.array([1.0, 3.0]), np.eye(2) + 9.0
    )
    assert optimum.values[0] == pytest.approx(2.0, rel=1e-9)
    assert optimum.covariance[0, 0] == pytest.approx(9.5, rel=1e-9)


def test_impossible_noise_is_refused() -> None:
    """A covariance that no set of errors can have is an error, not a fit."""
    with pytest.raises(ValueError, match="positive definite"):
        maximum_a_posteriori(
            lambda p: p, np.array([0.0, 0.0]), np.zeros(2), np.array([[1.0, 2.0], [2.0, 1.0]])
        )


def test_the_jacobian_of_the_airplane_against_finer_differences() -> None:
    """Central differences by a fifth of a prior's sd against Richardson's of a hundredth.

    Of all slopes, each in prior sds over noise, the root mean square of the difference is under one per cent
    of that of the slopes.

    The complex step has no place here: the physics turns corners (least speeds, caps) that it cannot follow.
    """
    rng = np.random.default_rng(3)
    made, plan = airplane(), planned()
    priors, groups = parameters(made, plan), groups_of(made, plan)
    mean, covariance = prior_moments(priors)
    sd = np.sqrt(np.diag(covariance))
    values = mean + 0.3 * sd * rng.standard_normal(mean.size)

    def model(vectors: FloatArray) -> FloatArray:
        return predicted(groups, theta_of(priors, vectors))

    answer = response(groups, theta_of(priors, values[None, :]))
    figures = tuple(figure for group in groups for figure in group.flat)
    noise = np.sqrt(np.diag(noise_of(figures, answer.loadings, answer.scatter).covariance(np.ones(3))))
    used = jacobian(model, values, STEP * sd)
    fine = (4.0 * jacobian(model, values, 0.01 * sd) - jacobian(model, values, 0.02 * sd)) / 3.0
    size = np.sqrt(np.mean((fine * sd / noise[:, None]) ** 2))
    off = (used - fine) * sd / noise[:, None]
    assert np.sqrt(np.mean(off**2)) < 0.01 * size
