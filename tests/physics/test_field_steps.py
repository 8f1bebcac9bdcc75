"""The compiled loops' own quadrature, disk and series against exact values and solvers."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from wringout.physics.field_rows import Pull
from wringout.physics.field_steps import HARD_ROLL, ROLL, Given, arc_sine, disk_root, logarithm, thrust


@pytest.mark.parametrize(("rule", "degree"), [(ROLL, 13), (HARD_ROLL, 45)], ids=["8 nodes", "24 nodes"])
def test_the_rule_of_the_run_is_exact_for_polynomials(rule: np.ndarray, degree: int) -> None:
    """∫ x·xⁿ dx over [0, 1] is 1/(n + 2) up to degree 2 count − 3, and not beyond; both ends are nodes."""
    nodes, shares = rule
    assert nodes[0] == 0
    assert nodes[-1] == pytest.approx(1.0, abs=1e-15)
    for power in range(degree + 1):
        assert np.sum(shares * nodes**power) == pytest.approx(1 / (power + 2), rel=1e-12)
    if degree < 20:
        assert abs(np.sum(shares * nodes ** (degree + 1)) * (degree + 3) - 1) > 1e-9


def governed(power: float, static: float = 0.75, cruise: float = 0.88) -> Pull:
    """A disk of 2 m over a weight of one newton; blades as good as they get from 80 m/s."""
    disk = np.pi / 2 * 4
    return Pull(
        rated=power, by_density=0.0, drop=-1.0, scale=1.0, cap=1.0, heat=0.0, disk=disk, useful=static / disk,
        gain=cruise / static - 1, per_level=1 / 80, pitch=0.0, windmill=0.0, typical=static * 150e3 / disk,
        typical_root=float(np.cbrt(static * 150e3 / disk)),
    )  # fmt: skip


@pytest.mark.parametrize("power", [15e3, 40e3, 150e3, 300e3])
@pytest.mark.parametrize("speed", [-4.0, 0.0, 10.0, 25.0, 40.0, 70.0])
def test_the_disk_s_thrust_is_the_root_of_its_cubic(power: float, speed: float) -> None:
    """One step brings it to 1e-6; to 1e-4 with a tenth of the power at 70 m/s, far beyond any lift-off."""
    density, pull = 1.1, governed(power)
    constant = pull.useful * power / density
    root = disk_root(pull, constant)
    found = thrust(pull, Given(density, 0.0, constant, root, 1 / root), speed)
    share = 0.88 - 0.13 * (1 - speed / 80) ** 2
    pushed = share * power / (pull.disk * density)
    through = brentq(lambda w: w * w * (w - speed) - pushed, max(speed, 0.0) + 1e-9, 200.0, xtol=1e-13)
    assert root == pytest.approx(np.cbrt(constant), rel=1e-4)
    assert found == pytest.approx(share * power / through, rel=1e-4 if speed * 1e3 > power else 1e-6)


def test_the_series_are_those_of_the_functions() -> None:
    """Logarithm of 1 to 30 and arc sine of 0 to 1, to 2e-8."""
    for value in np.linspace(1.0, 30.0, 200):
        assert logarithm(value) == pytest.approx(math.log(value), abs=2e-8)
    for sine in np.linspace(0.0, 1.0, 200):
        assert arc_sine(sine) == pytest.approx(math.asin(sine), abs=2e-8)
