"""Propagation of distributions against the Monte Carlo supplement of the GUM."""

import numpy as np
import pytest

from tests.model.published import printed
from wringout.model.propagation import FloatArray, monte_carlo
from wringout.reduction.propagation import propagate_scalar

# GUM H.1: standard length, mean difference, two comparator effects, α_s, δα, δθ, mean deviation, its cycle.
END_GAUGE = np.array([50_000_623.0, 215.0, 0.0, 0.0, 11.5e-6, 0.0, 0.0, -0.1])
END_GAUGE_U = np.array([25.0, 5.8, 3.9, 6.7, 2e-6 / 3**0.5, 1e-6 / 3**0.5, 0.05 / 3**0.5, 0.2])


def end_gauge(x: FloatArray) -> FloatArray:
    """l = l_s + d − l_s (δα θ + α_s δθ), θ the mean deviation and its cycle of amplitude 0.5 K."""
    standard, d, d1, d2, alpha, delta_alpha, delta_theta, theta, cycle = np.moveaxis(x, -1, 0)
    return np.asarray(
        standard + d + d1 + d2 - standard * (delta_alpha * (theta + cycle) + alpha * delta_theta)
    )


def test_draws_hold_the_second_order_terms() -> None:
    """GUM H.1.7: products of zero-mean inputs raise 32 nm to 34 nm, which only draws see."""
    rng = np.random.default_rng(1)
    uniform = rng.uniform(-(3**0.5), 3**0.5, (200_000, 8))
    normal = rng.standard_normal((200_000, 8))
    rectangular = np.array([False, False, False, False, True, True, True, False])
    inputs = END_GAUGE + END_GAUGE_U * np.where(rectangular, uniform, normal)
    cycle = 0.5 * np.sin(rng.uniform(0.0, 2.0 * np.pi, (200_000, 1)))
    result = monte_carlo(end_gauge, np.concatenate([inputs, cycle], axis=1))
    value, unit = printed("propagation.csv", "UN-01")["standard uncertainty with second-order terms"]
    assert result.sd == pytest.approx(value, abs=unit)


def total(x: FloatArray) -> FloatArray:
    """The additive model of the supplement."""
    return np.asarray(x.sum(axis=-1))


def test_additive_model_of_the_supplement() -> None:
    """JCGM 101, 9.2: four inputs of unit variance, and one ten times wider (from memory)."""
    rng = np.random.default_rng(20)
    normal = rng.standard_normal((400_000, 4))
    rectangular = rng.uniform(-(3**0.5), 3**0.5, (400_000, 4))
    wide = np.array([1.0, 1.0, 1.0, 10.0])
    got = {}
    for name, draws in (
        ("normal", normal),
        ("rectangular", rectangular),
        ("fourth tenfold", rectangular * wide),
    ):
        result = monte_carlo(total, draws)
        got[f"{name} sd"], got[f"{name} high"] = result.sd, result.high
    got["fourth tenfold linear high"] = 1.959964 * propagate_scalar(total, np.zeros(4), wide)[1]
    for quantity, (value, unit) in printed("propagation.csv", "UN-04").items():
        assert got[quantity] == pytest.approx(value, abs=unit), quantity


def test_a_tail_needs_draws() -> None:
    """Ten draws have no 95 % interval."""
    with pytest.raises(ValueError, match="too few"):
        monte_carlo(total, np.zeros((10, 2)))
