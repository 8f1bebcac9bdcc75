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


def _run_nodes(count: int) -> Floats:
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
    moments = np.zeros(count)  # of Legendre's polynomials under the weight
    moments[:2] = 1 / 2, 1 / 6
    shares = np.linalg.solve(np.polynomial.legendre.legvander(nodes, count - 1).T, moments)
    return np.stack([(nodes + 1) / 2, shares])


ROLL, HARD_ROLL = _run_nodes(8), _run_nodes(24)
# 24 nodes where the least acceleration on the run is less than this share of the greatest
HARD = 0.2
ENOUGH = 8.0  # over g, more than any propeller or brake gives
FLOAT_NODES, FLOAT_SHARES = (tuple(column[:, 0].tolist()) for column in unit_nodes(5, 1))

# Conditions, one row each of the packed array, and the first stretches of the room
CONDITIONS = 7
DENSITY, STANDARD, WARM, WIND, GAIN, SINE, COSINE = (LANES * n for n in range(CONDITIONS))
# the row's on the condition's surface, and what is NaN where a condition's number is missing
FRICTION, BRAKES, SPOILT = (LANES * (CONDITIONS + n) for n in range(3))
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
def power(pull: Pull, standard: float, warm: float) -> float:
    """Full-throttle power over weight [m/s]."""
    part = (pull.by_density * standard - pull.drop) * pull.scale
    x = pull.heat * warm
    heated = 1 + x * (1 + x / 2 * (1 + x / 3 * (1 + x / 4 * (1 + x / 5 * (1 + x / 6 * (1 + x / 7))))))
    return pull.rated * min(max(part, 0.0), pull.cap) * heated


@inlined
def disk_root(pull: Pull, constant: float) -> float:
    """The cube root of the disk's constant at rest, by two of Halley's steps."""
    share = constant / pull.typical
    root = 0.42 + share * (0.66 - 0.08 * min(share, 3.0))
    cube = root * root * root
    root = root * (cube + 2 * share) / (2 * cube + share)
    cube = root * root * root
    return pull.typical_root * root * (cube + 2 * share) / (2 * cube + share)


@inlined
def thrust(pull: Pull, given: Given, speed: float) -> float:
    """Thrust over weight at a true airspeed: one step of Halley's on `propulsion.disk_speed`'s equation.

    The step begins within 1e-3 of the root and so ends within 1e-9 of it; within 1e-6 far beyond lift-off.
    """
    share = min(speed * pull.per_level, 1.0)
    more = pull.gain * share * (2 - share)
    little = more * (1 / 3 - more * (1 / 9 - more * (5 / 81)))
    part = speed * given.inverse * (1 - little * (1 - little * (1 - little)))
    # f² (f − u) = 1: a quartic that is right to 4e-4 up to u = 2, a parabola over the line f = u up to 4
    near, past = min(part, 2.0), max(part - 2.0, 0.0)
    over = min(past, 2.0)
    quartic = 1 + near * (0.3323 + near * (0.1111 + near * (0.03235 - 0.01015 * near)))
    w = given.root * (1 + little) * (quartic + past - over * (0.1311 - 0.0293 * over))
    excess = w * w * (w - speed) - given.constant * (1 + more)
    slope = w * (3 * w - 2 * speed)
    w = w - excess * slope / (slope * slope - excess * (3 * w - speed))
    return given.density * (pull.disk * w * (w - speed) + pull.windmill * speed * abs(speed)) + given.push


@inlined
def logarithm(value: float) -> float:
    """Of 1 to 30, to 2e-8: ln q = 8 artanh t with t of the fourth root."""
    root = math.sqrt(math.sqrt(value))
    t = (root - 1) / (root + 1)
    s = t * t
    series = 1 / 9 + s * (1 / 11 + s * (1 / 13 + s * (1 / 15 + s / 17)))
    return 8 * t * (1 + s * (1 / 3 + s * (1 / 5 + s * (1 / 7 + s * series))))


@inlined
def arc_sine(sine: float) -> float:
    """Of 0 to 1, to 2e-8: the angle halved twice, then the series."""
    half = math.sqrt((1 + math.sqrt(max(1 - sine * sine, 0.0))) / 2)
    quarter = math.sqrt((1 + half) / 2)
    t = sine / (4 * half * quarter)
    s = t * t
    series = 35 / 1152 + s * (63 / 2816 + s * (231 / 13312 + s * (143 / 10240)))
    return 4 * t * (1 + s * (1 / 6 + s * (3 / 40 + s * (5 / 112 + s * series))))
