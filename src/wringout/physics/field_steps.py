"""What the compiled loops of take-off and landing share: the room they work in, thrust, drag, quadrature.

A loop works on LANES cases of one row at a time. What it knows of them stands in one flat array, a stretch of
LANES numbers a quantity, so that the compiler sees that nothing overlaps and takes eight cases at once; hence
no step has a branch. Forces are over the weight, energies are heights.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from wringout.physics.compiled import inlined
from wringout.physics.field_rows import Pull
from wringout.physics.numerics import unit_nodes

Floats = NDArray[np.float64]
Surfaces = NDArray[np.int64]

LANES = 64


def _weighted_nodes(count: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Nodes on [0, 1], both ends among them, and shares for ∫ x f(x) dx: exact for f of degree 2 count − 3.

    Lobatto's rule for the weight x: the nodes within are those of Jacobi's polynomials for x² (1 − x), the
    eigenvalues of their recurrence.
    """
    n = np.arange(count - 2.0)
    middle = 3 / ((2 * n + 3) * (2 * n + 5))
    k = n[1:]
    beside = 4 * k * (k + 1) * (k + 2) * (k + 3) / ((2 * k + 3) ** 2 * (2 * k + 2) * (2 * k + 4))
    inner = np.linalg.eigvalsh(np.diag(middle) + np.diag(np.sqrt(beside), 1) + np.diag(np.sqrt(beside), -1))
    nodes = np.concatenate([[-1.0], inner, [1.0]])
    moments = np.zeros(count)
    moments[:2] = 1.0, 1 / 3
    shares = np.linalg.solve(np.polynomial.legendre.legvander(nodes, count - 1).T, moments / 2)
    return tuple(((nodes + 1) / 2).tolist()), tuple(shares.tolist())


ROLL_NODES, ROLL_SHARES = _weighted_nodes(8)
HARD_NODES, HARD_SHARES = _weighted_nodes(24)
HARD = (
    0.2  # where the least acceleration on the run is less than this share of the greatest, the 24 are taken
)
FLOAT_NODES, FLOAT_SHARES = (tuple(column[:, 0].tolist()) for column in unit_nodes(5, 1))

# Conditions, one row each of the packed array, and the first stretches of the room
CONDITIONS = 8
DENSITY, RATIO, CHARGED, WARM, WIND, GAIN, SINE, COSINE = (LANES * n for n in range(CONDITIONS))
FRICTION, BRAKES, SPOILT = (
    LANES * (CONDITIONS + n) for n in range(3)
)  # the row's on the condition's surface
SHARED = CONDITIONS + 3


class Given(NamedTuple):
    """What the thrust of one case depends on: density, the fixed pitch's pull, the disk's constant at rest.

    With the latter about its cube root, and one over that.
    """

    density: float
    push: float
    constant: float
    root: float
    inverse: float


@inlined
def power(pull: Pull, ratio: float, charged: float, warm: float) -> float:
    """Full-throttle power over weight [m/s]."""
    part = (pull.by_ratio * ratio + pull.by_charged * charged - pull.drop) * pull.scale
    x = pull.heat * warm
    heated = 1 + x * (1 + x / 2 * (1 + x / 3 * (1 + x / 4 * (1 + x / 5 * (1 + x / 6 * (1 + x / 7))))))
    return pull.rated * min(max(part, 0.0), pull.cap) * heated


@inlined
def disk_root(pull: Pull, constant: float) -> float:
    """About the cube root of the disk's constant at rest: where Newton's method begins."""
    share = constant / pull.typical
    root = 0.42 + share * (0.66 - 0.08 * min(share, 3.0))
    cube = root * root * root
    return pull.typical_root * root * (cube + 2 * share) / (2 * cube + share)


@inlined
def thrust(pull: Pull, given: Given, speed: float) -> float:
    """Thrust at a true airspeed: two of Newton's steps on the disk's equation, as `propulsion.disk_speed`."""
    more = pull.gain * min(speed, pull.reference)
    little = more * (1 / 3 - more * (1 / 9))
    start = given.root * (1 + little)
    part = speed * given.inverse * (1 - little * (1 - little))
    near = min(part, 2.0)
    # f² (f − u) = 1: a quartic that is right to 4e-4 up to u = 2, its line beyond
    quartic = 1 + near * (0.3323 + near * (0.1111 + near * (0.03235 - 0.01015 * near)))
    guess = quartic + max(part - 2.0, 0.0)
    through = start * guess
    moved = given.constant * (1 + more)
    through = (through * through * (2 * through - speed) + moved) / (through * (3 * through - 2 * speed))
    through = (through * through * (2 * through - speed) + moved) / (through * (3 * through - 2 * speed))
    return (
        given.density * (pull.disk * through * (through - speed) + pull.windmill * speed * abs(speed))
        + given.push
    )


@inlined
def logarithm(value: float) -> float:
    """Of 1 to 30, to 1e-8: ln q = 8 artanh t with t of the fourth root."""
    root = math.sqrt(math.sqrt(value))
    t = (root - 1) / (root + 1)
    s = t * t
    series = 1 / 9 + s * (1 / 11 + s * (1 / 13 + s * (1 / 15 + s / 17)))
    return 8 * t * (1 + s * (1 / 3 + s * (1 / 5 + s * (1 / 7 + s * series))))


@inlined
def arc_sine(sine: float) -> float:
    """Of 0 to 1, to 1e-8: the angle halved twice, then the series."""
    half = math.sqrt((1 + math.sqrt(max(1 - sine * sine, 0.0))) / 2)
    quarter = math.sqrt((1 + half) / 2)
    t = sine / (4 * half * quarter)
    s = t * t
    series = 35 / 1152 + s * (63 / 2816 + s * (231 / 13312 + s * (143 / 10240)))
    return 4 * t * (1 + s * (1 / 6 + s * (3 / 40 + s * (5 / 112 + s * series))))
