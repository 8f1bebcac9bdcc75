"""The fixed-count methods by themselves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from wringout.physics.arrays import Array
from wringout.physics.numerics import Curve, falling_root, integrals_up_to, unit_nodes


def test_nodes_integrate_polynomials_of_twice_their_count_exactly() -> None:
    """Three nodes: up to the fifth power, along the leading axis of any shape."""
    nodes, weights = unit_nodes(3, 2)
    assert nodes.shape == (3, 1, 1)
    scale = np.array([[1.0, 2.0], [3.0, 4.0]])
    answer = np.sum(weights * scale * nodes**5, axis=0)
    np.testing.assert_allclose(answer, scale * quad(lambda x: x**5, 0, 1)[0], rtol=1e-14)


@given(st.floats(0.1, 0.9), st.floats(0.4, 2.5))
def test_a_falling_root_is_found(root: float, power: float) -> None:
    """Of a curve bent either way as a square or a root is, to 1e-6 of the bracket in fourteen steps."""
    answer = falling_root(lambda x: root**power - x**power, np.asarray(0.0), np.asarray(1.0), 14)
    assert float(answer) == pytest.approx(root, abs=1e-6)


def test_without_a_root_the_nearer_end_is_given() -> None:
    """Still positive at the end: the end; never positive: the start; missing: missing."""
    level = np.array([2.0, 0.25, -1.0, np.nan])
    answer = falling_root(lambda x: level - x, np.zeros(4), np.ones(4), 10)
    assert answer[:3] == pytest.approx([1.0, 0.25, 0.0])
    assert np.isnan(answer[3])


def test_a_curve_follows_its_equation_between_the_steps() -> None:
    """An oscillator of several frequencies at once, to 1e-4 in eight steps over a radian."""
    rate = np.array([0.5, 1.0, 1.5])

    def slope(state: Array) -> Array:
        return np.stack([rate * state[1], -rate * state[0]])

    curve = Curve.integrate(slope, np.stack([np.zeros(3), np.ones(3)]), np.ones(3), 8)
    for fraction in (0.0, 0.13, 0.5, 0.99, 1.0):
        state = curve.at(np.full(3, fraction))
        np.testing.assert_allclose(state[0], np.sin(rate * fraction), atol=1e-4)
        np.testing.assert_allclose(curve.at(np.full(3, fraction), 0), state[0])
    np.testing.assert_allclose(curve.at(np.full(3, 2.0)), curve.at(np.ones(3)))


def test_integrals_up_to_the_nodes_are_a_cubic_s() -> None:
    """Of 3 x² + x, a polynomial through three nodes, the integral to each node is x³ + x²/2."""
    nodes = unit_nodes(3, 0)[0]
    assert integrals_up_to(3) @ (3 * nodes**2 + nodes) == pytest.approx(nodes**3 + nodes**2 / 2)
