"""The law of propagation of uncertainty against the GUM's worked examples; combining and learning."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.model.published import printed
from wringout.reduction.propagation import FloatArray, combine, propagate, propagate_scalar, update


def test_end_gauge() -> None:
    """GUM H.1: the length of an end gauge and its combined standard uncertainty."""

    def length(x: FloatArray) -> FloatArray:
        standard, d0, d1, d2, alpha, d_alpha, d_theta, theta = x
        return np.asarray(standard + d0 + d1 + d2 - standard * (d_alpha * theta + alpha * d_theta))

    value, sd = propagate_scalar(
        length,
        [50_000_623.0, 215.0, 0.0, 0.0, 11.5e-6, 0.0, 0.0, -0.1],
        [25.0, 5.8, 3.9, 6.7, 2e-6 / 3**0.5, 1e-6 / 3**0.5, 0.05 / 3**0.5, np.hypot(0.2, 0.5 / 2**0.5)],
    )
    expected = printed("linear_propagation.csv", "UN-01")
    assert value == pytest.approx(expected["length"][0], abs=1.0)
    assert sd == pytest.approx(expected["standard uncertainty"][0], abs=1.0)


def test_simultaneous_resistance_and_reactance() -> None:
    """GUM H.2: three results of three correlated readings, with their correlations, from the raw data."""
    voltage = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
    current = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) * 1e-3
    phase = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
    readings = np.stack([voltage, current, phase])

    def impedance(x: FloatArray) -> FloatArray:
        v, i, phi = x
        return np.array([v / i * np.cos(phi), v / i * np.sin(phi), v / i])

    values, covariance = propagate(impedance, readings.mean(axis=1), np.cov(readings) / 5.0)
    sd = np.sqrt(np.diag(covariance))
    correlation = covariance / np.outer(sd, sd)
    got = {
        "R": values[0],
        "X": values[1],
        "Z": values[2],
        "u(R)": sd[0],
        "u(X)": sd[1],
        "u(Z)": sd[2],
        "r(R,X)": correlation[0, 1],
        "r(R,Z)": correlation[0, 2],
        "r(X,Z)": correlation[1, 2],
    }
    for quantity, (value, unit) in printed("linear_propagation.csv", "UN-02").items():
        assert got[quantity] == pytest.approx(value, abs=unit), quantity


def test_covariance_must_fit_the_arguments() -> None:
    """Three uncertainties for two arguments are refused."""
    with pytest.raises(ValueError, match="does not fit 2 arguments"):
        propagate(lambda x: x, [1.0, 2.0], [1.0, 1.0, 1.0])


@given(
    st.lists(st.tuples(st.floats(-100, 100), st.floats(0.1, 10)), min_size=2, max_size=5),
)
def test_combined_reading_lies_between_and_is_surer(readings: list[tuple[float, float]]) -> None:
    """A weighted mean lies between its readings and is surer than the best of them."""
    values, sds = [value for value, _ in readings], [sd for _, sd in readings]
    mean, sd, chi_squared = combine(values, sds)
    assert min(values) - 1e-9 <= mean <= max(values) + 1e-9
    assert sd < min(sds)
    assert chi_squared >= 0.0


def test_learning_from_nothing_changes_nothing() -> None:
    """Without observations the prior comes back."""
    mean, covariance = update(
        np.array([1.0, 2.0]), np.diag([4.0, 9.0]), np.zeros((0, 2)), np.zeros(0), np.zeros((0, 0))
    )
    assert mean.tolist() == [1.0, 2.0]
    assert covariance.tolist() == [[4.0, 0.0], [0.0, 9.0]]


def test_learning_equals_weighted_least_squares() -> None:
    """With a prior too wide to matter the update is generalised least squares."""
    rng = np.random.default_rng(5)
    design = rng.normal(size=(8, 3))
    root = rng.normal(size=(8, 8))
    covariance = root @ root.T + np.eye(8)
    observed = rng.normal(size=8)
    mean, spread = update(np.zeros(3), 1e8 * np.eye(3), design, observed, covariance)
    weight = np.linalg.inv(covariance)
    expected_spread = np.linalg.inv(design.T @ weight @ design)
    assert mean == pytest.approx(expected_spread @ design.T @ weight @ observed, rel=1e-5)
    assert spread == pytest.approx(expected_spread, rel=1e-5)
