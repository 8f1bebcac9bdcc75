"""Gauss–Legendre nodes along a new leading axis, so that integrals broadcast over parameters of any shape."""

from functools import cache

import numpy as np

from wringout.physics.arrays import Array


@cache
def unit_nodes(count: int, dimensions: int) -> tuple[Array, Array]:
    """Nodes and weights on (0, 1), each of shape (count, 1, …, 1) with `dimensions` ones."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    shape = (count,) + (1,) * dimensions
    return (nodes.reshape(shape) + 1) / 2, weights.reshape(shape) / 2
