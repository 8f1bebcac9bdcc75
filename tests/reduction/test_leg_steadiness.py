"""How steady legs were is told from gusts within them and from the wind's wander between them."""

import numpy as np
import pytest

from wringout.reduction.gps_legs import FloatArray, solve
from wringout.reduction.leg_steadiness import leg_steadiness

GROUPS = [name for name in "ABCDE" for _ in range(4)]
MEMBERSHIP = np.array([[float(group == name) for name in "ABCDE"] for group in GROUPS])
HEADINGS = np.radians(np.tile([20.0, 110.0, 200.0, 290.0], 5))
TIME: FloatArray = np.arange(20) * np.float64(120.0)
WANDER = 0.02
STATED = 0.15


def found(rng: np.random.Generator, leg_sd: float) -> float:
    """The steadiness of one day's twenty legs at five speeds, 0.1 m/s expected."""
    steps = rng.normal(0.0, WANDER * np.sqrt(120.0), (20, 2))
    wind = np.array([5.0, -4.0]) + np.cumsum(steps, axis=0)
    speed = np.repeat([38.0, 43.0, 48.0, 53.0, 58.0], 4) + rng.normal(0.0, leg_sd, 20)
    ground: FloatArray = np.column_stack([speed * np.sin(HEADINGS), speed * np.cos(HEADINGS)]) + wind
    ground = ground + rng.normal(0.0, STATED, (20, 2))
    stated = np.full(20, STATED)
    legs = solve(ground[:, 0], ground[:, 1], stated, GROUPS, time=TIME, wander=WANDER)
    return leg_steadiness(legs, ground, stated, np.zeros(20), MEMBERSHIP, time=TIME, wander=WANDER, usual=0.1)


@pytest.mark.parametrize("leg_sd", [0.3, 0.6])
def test_the_variance_between_legs_is_found(leg_sd: float) -> None:
    """Over many days the root mean square of what is found is what the legs were flown with."""
    rng = np.random.default_rng(2)
    each = [found(rng, leg_sd) for _ in range(60)]
    assert np.sqrt(np.mean(np.square(each))) == pytest.approx(leg_sd, rel=0.2)


def test_gusts_and_wander_are_not_counted_again() -> None:
    """Legs that differ by nothing else come out about as steady as expected before, not as their gusts."""
    rng = np.random.default_rng(3)
    each = [found(rng, 0.0) for _ in range(60)]
    assert np.median(each) == pytest.approx(0.1, abs=0.03)
    assert np.median(each) < STATED
