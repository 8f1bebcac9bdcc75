"""Propagation of uncertainty against the worked examples of the GUM and of its Monte Carlo supplement."""

import numpy as np
import pytest

from tests.model.published import printed
from wringout.model.propagation import FloatArray, effective_degrees_of_freedom, linear, monte_carlo

# GUM H.1: standard length, mean difference, two comparator effects, α_s, δα, δθ, mean deviation, cyclic variation.
END_GAUGE = np.array([50_000_623.0, 215.0, 0.0, 0.0, 11.5e-6, 0.0, 0.0, -0.1, 0.0])
END_GAUGE_U = np.array([25.0, 5.8, 3.9, 6.7, 2e-6 / 3**0.5, 1e-6 / 3**0.5, 0.05 / 3**0.5, 0.2, 0.5 / 2**0.5])
END_GAUGE_DEGREES = [18.0, 24.0, 5.0, 8.0, np.inf, 50.0, 2.0, np.inf, np.inf]
BRIDGE = np.array(
    [
        [5.007, 19.663e-3, 1.0456],
        [4.994, 19.639e-3, 1.0438],
        [5.005, 19.640e-3, 1.0468],
        [4.990, 19.685e-3, 1.0428],
        [4.999, 19.678e-3, 1.0433],
    ]
)


def end_gauge(x: FloatArray) -> FloatArray:
    """l = l_s + d − l_s (δα θ + α_s δθ)."""
    standard, d, d1, d2, alpha, delta_alpha, delta_theta, theta, cyclic = np.moveaxis(x, -1, 0)
    return np.asarray(
        standard + d + d1 + d2 - standard * (delta_alpha * (theta + cyclic) + alpha * delta_theta)
    )


def test_end_gauge_linear() -> None:
    """GUM H.1: length, combined uncertainty and effective degrees of freedom, truncated as printed."""
    result = linear(end_gauge, END_GAUGE, END_GAUGE_U)
    got = {
        "length": result.value,
        "standard uncertainty": result.sd,
        "effective degrees of freedom": np.floor(
            effective_degrees_of_freedom(list(result.contributions), END_GAUGE_DEGREES)
        ),
    }
    table = printed("propagation.csv", "UN-01")
    for quantity, value in got.items():
        assert value == pytest.approx(table[quantity][0], abs=table[quantity][1]), quantity


def test_end_gauge_draws_hold_the_second_order_terms() -> None:
    """GUM H.1.7: products of zero-mean inputs raise 32 nm to 34 nm, which draws see."""
    rng = np.random.default_rng(1)
    draws = END_GAUGE + END_GAUGE_U * rng.standard_normal((200_000, 9))
    result = monte_carlo(end_gauge, draws)
    value, unit = printed("propagation.csv", "UN-01")["standard uncertainty with second-order terms"]
    assert result.sd == pytest.approx(value, abs=unit)


def test_impedance_with_correlated_inputs() -> None:
    """GUM H.2: resistance, reactance and impedance from the raw simultaneous readings."""
    mean = BRIDGE.mean(axis=0)
    covariance = np.cov(BRIDGE.T) / 5.0
    outputs = {
        "R": lambda x: x[..., 0] / x[..., 1] * np.cos(x[..., 2]),
        "X": lambda x: x[..., 0] / x[..., 1] * np.sin(x[..., 2]),
        "Z": lambda x: x[..., 0] / x[..., 1],
    }
    table = printed("propagation.csv", "UN-02")
    for name, function in outputs.items():
        result = linear(function, mean, covariance)
        assert result.value == pytest.approx(table[name][0], abs=table[name][1])
        assert result.sd == pytest.approx(table[f"u({name})"][0], abs=table[f"u({name})"][1])


def total(x: FloatArray) -> FloatArray:
    """The additive model of the supplement."""
    return np.asarray(x.sum(axis=-1))


def test_additive_model_of_the_supplement() -> None:
    """JCGM 101, 9.2: four inputs of unit variance, and one ten times wider (from memory)."""
    rng = np.random.default_rng(20)
    normal = rng.standard_normal((400_000, 4))
    rectangular = rng.uniform(-(3**0.5), 3**0.5, (400_000, 4))
    wide = rectangular * np.array([1.0, 1.0, 1.0, 10.0])
    got = {}
    for name, draws in (("normal", normal), ("rectangular", rectangular), ("fourth tenfold", wide)):
        result = monte_carlo(total, draws)
        got[f"{name} sd"], got[f"{name} high"] = result.sd, result.high
    wide_u = np.array([1.0, 1.0, 1.0, 10.0])
    got["fourth tenfold linear high"] = linear(total, np.zeros(4), wide_u).high
    for quantity, (value, unit) in printed("propagation.csv", "UN-04").items():
        assert got[quantity] == pytest.approx(value, abs=unit), quantity


def test_an_input_without_uncertainty_gives_none() -> None:
    """A constant contributes nothing and does not upset the rest."""
    result = linear(lambda x: x[..., 0] * x[..., 1], np.array([2.0, 3.0]), np.array([0.1, 0.0]))
    assert result.sd == pytest.approx(0.3)
    assert result.contributions[1] == 0.0
