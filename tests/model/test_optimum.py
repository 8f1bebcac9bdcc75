"""The estimator against certified regressions, and its covariance against draws."""

import numpy as np
import pytest

from tests.model.published import printed
from wringout.model.optimum import FloatArray, maximum_a_posteriori

MISRA1A_X = np.array(
    [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0]
)
MISRA1A_Y = np.array(
    [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78]
)
DANWOOD_X = np.array([1.309, 1.471, 1.490, 1.565, 1.611, 1.680])
DANWOOD_Y = np.array([2.138, 3.421, 3.597, 4.340, 4.882, 5.660])


def misra1a(parameters: FloatArray) -> FloatArray:
    """y = b1 (1 − exp(−b2 x))."""
    return np.asarray(parameters[:, :1] * -np.expm1(-parameters[:, 1:] * MISRA1A_X))


def danwood(parameters: FloatArray) -> FloatArray:
    """y = b1 x^b2."""
    return np.asarray(parameters[:, :1] * DANWOOD_X ** parameters[:, 1:])


CASES = {"Misra1a": (misra1a, MISRA1A_Y), "DanWood": (danwood, DANWOOD_Y)}


@pytest.mark.parametrize(
    ("case", "start"),
    [
        ("Misra1a", (500.0, 1e-4)),
        ("Misra1a", (250.0, 5e-4)),
        ("DanWood", (1.0, 5.0)),
        ("DanWood", (0.7, 4.0)),
    ],
)
def test_certified_regressions_from_both_certified_starts(case: str, start: tuple[float, float]) -> None:
    """Certified parameters, their deviations and the sum of squares come back to six digits or more."""
    model, measured = CASES[case]
    optimum = maximum_a_posteriori(model, np.array(start), measured, np.ones_like(measured))
    deviations = np.sqrt(np.diag(optimum.covariance) * optimum.residual_variance)
    got = {
        "b1": optimum.values[0],
        "b2": optimum.values[1],
        "sd of b1": deviations[0],
        "sd of b2": deviations[1],
        "residual sum of squares": optimum.sum_of_squares,
    }
    assert optimum.converged
    for quantity, (value, _) in printed("nonlinear_regression.csv", case).items():
        assert -np.log10(abs(got[quantity] / value - 1.0)) > 6.0, quantity


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
