"""Fixed-count numerical methods that broadcast: quadrature, a bracketed root, a Runge–Kutta curve.

Fixed counts of steps keep arrays whole and results smooth in every parameter, which the model fit's finite
differences need.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Self

import numpy as np
from numpy.typing import NDArray

from wringout.physics.arrays import Array


@cache
def unit_nodes(count: int, dimensions: int) -> tuple[Array, Array]:
    """Gauss–Legendre nodes and weights on (0, 1), each of shape (count, 1, …, 1) with `dimensions` ones."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    shape = (count,) + (1,) * dimensions
    return (nodes.reshape(shape) + 1) / 2, weights.reshape(shape) / 2


@cache
def integrals_up_to(count: int) -> Array:
    """Weights of the values at `unit_nodes` in the integral from 0 to each node, shape (count, count).

    Those of the polynomial through all the values.
    """
    nodes = unit_nodes(count, 0)[0]
    powers = np.arange(1, count + 1)
    return np.asarray((nodes[:, None] ** powers / powers) @ np.linalg.inv(np.vander(nodes, increasing=True)))


def falling_root(function: Callable[[Array], Array], low: Array, high: Array, steps: int) -> Array:
    """Where a function that falls from `low` to `high` is zero.

    `high` where it is still positive there, `low` where it never was; NaN where the function is. Regula falsi
    in the Illinois form: the end that stays put twice counts half.
    """
    at_low, at_high = function(low), function(high)
    never, always = at_low <= 0, at_high >= 0
    low, high = np.where(always, high, low), np.where(never, low, high)
    at_low, at_high = np.where(never, 1.0, at_low), np.where(always, -1.0, at_high)
    middle, moved = low, np.zeros(())
    for _ in range(steps):
        middle = low + (high - low) * (at_low / (at_low - at_high))
        value = function(middle)
        positive = ~(value < 0)
        at_high = np.where(positive, np.where(moved > 0, at_high / 2, at_high), np.minimum(value, -1e-300))
        at_low = np.where(positive, value, np.where(moved < 0, at_low / 2, at_low))
        low, high = np.where(positive, middle, low), np.where(positive, high, middle)
        moved = np.where(positive, 1.0, -1.0)
    return middle


def highest(function: Callable[[Array], Array], low: Array, high: Array, steps: int) -> tuple[Array, Array]:
    """Where a smooth function is greatest between `low` and `high`, and its value there; both of one shape.

    The best of `steps` + 1 evenly spread places, then the top of the parabola through it and its neighbours;
    at an end, the end. NaN where an end is, and where the function is NaN everywhere.
    """
    width = np.asarray(high - low)
    fractions = np.linspace(0.0, 1.0, steps + 1).reshape((steps + 1,) + (1,) * width.ndim)
    places = np.broadcast_to(
        low + fractions * width, np.broadcast_shapes(fractions.shape, np.shape(low + width))
    )
    scores = function(places)
    places = np.broadcast_to(places, scores.shape)
    best = np.argmax(np.where(np.isnan(scores), -np.inf, scores), axis=0)
    inner = np.clip(best, 1, steps - 1)

    def at(index: NDArray[np.intp], of: Array) -> Array:
        return np.asarray(np.take_along_axis(of, index[None], axis=0)[0])

    before, here, after = (at(inner + offset, scores) for offset in (-1, 0, 1))
    curve = before - 2 * here + after
    bent = (curve < 0) & (inner == best)
    shift = np.where(bent, 0.5 * (before - after) / np.where(bent, curve, -1.0), 0.0)
    place = at(best, places) + shift * width / steps
    return place, function(place)


@dataclass(frozen=True, slots=True)
class Curve:
    """A curve by cubic Hermite pieces through states and slopes at equal steps, (steps + 1, states, …)."""

    states: Array
    slopes: Array

    @classmethod
    def integrate(cls, slope: Callable[[Array], Array], start: Array, length: Array, steps: int) -> Self:
        """The solution of dy/ds = slope(y) over a length by Runge–Kutta steps; start of shape (states, …)."""
        step = length / steps
        state, states, slopes = start, [start], []
        for _ in range(steps):
            first = slope(state)
            second = slope(state + step / 2 * first)
            third = slope(state + step / 2 * second)
            fourth = slope(state + step * third)
            state = state + step / 6 * (first + 2 * (second + third) + fourth)
            states.append(state)
            slopes.append(first * step)
        slopes.append(slope(state) * step)
        return cls(np.stack(states), np.stack(slopes))

    def at(self, fraction: Array, rows: int | slice = slice(None)) -> Array:
        """The states, or those of some rows, at a fraction 0 … 1 of the length; shape (rows, …)."""
        place = np.clip(fraction, 0.0, 1.0) * (len(self.states) - 1)
        total = np.zeros(())
        for node, (state, slope) in enumerate(zip(self.states, self.slopes, strict=True)):
            offset = place - node
            distance = np.minimum(np.abs(offset), 1.0)
            bump = (1 - distance) ** 2
            total = total + (bump * (1 + 2 * distance)) * state[rows] + (bump * offset) * slope[rows]
        return total
