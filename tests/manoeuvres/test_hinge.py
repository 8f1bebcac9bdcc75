"""Lift-off and touchdown from heights alone: unbiased, honest, and silent where the heights say nothing."""

import numpy as np
import pytest

from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.hinge import hinge
from wringout.recordings.recording import FloatArray

TIME: FloatArray = np.arange(0.0, 20.0, 0.2)
ALONG: FloatArray = 1.3 * TIME**2


def source(values: FloatArray, noise: float, wander: float) -> Height:
    """A height with known errors."""
    return Height(
        "geometric height", TIME, values, noise, wander, values, np.gradient(values, TIME), 0 * TIME, 0.0
    )


def lifted(moment: float, slope: float = 0.0) -> FloatArray:
    """Height of a roll along a strip, then a lift-off that bends over three seconds into 4 m/s."""
    since = np.maximum(TIME - moment, 0.0)
    arc = np.where(since < 3.0, since**2 / 6.0, since - 1.5)
    return 100.0 + slope * np.minimum(ALONG, np.interp(moment, TIME, ALONG)) + 4.0 * arc


@pytest.mark.parametrize("direction", [1, -1])
@pytest.mark.parametrize("slope", [0.0, 0.05])
def test_moments_are_as_uncertain_as_stated(direction: int, slope: float) -> None:
    """Jitter and wander known: errors of twenty simulated heights are as large as stated, or less."""
    errors, strip = [], []
    for seed in range(20):
        generator = np.random.default_rng([3, seed])
        walk: FloatArray = np.cumsum(generator.normal(0.0, 0.2 * np.sqrt(0.2), len(TIME)))
        values = lifted(11.3, slope)[::direction] + walk + generator.normal(0.0, 0.4, len(TIME))
        along = ALONG if direction > 0 else ALONG[-1] - ALONG[::-1]
        found = hinge(source(values, 0.4, 0.2), TIME, along, 0.0, 19.8, direction=direction)
        assert found is not None
        true = 11.3 if direction > 0 else TIME[-1] - 11.3
        errors.append((found.time - true) / found.time_sd)
        strip.append(found.slope * direction)
    assert 0.3 < np.sqrt(np.mean(np.square(errors))) < 1.2
    assert np.mean(strip) == pytest.approx(slope, abs=0.012)


def test_a_prior_moves_the_moment() -> None:
    """What is known beside the height counts: a touch just before the brakes is held there."""
    values = lifted(11.3) + np.random.default_rng(1).normal(0.0, 1.5, len(TIME))
    free = hinge(source(values, 1.5, 0.2), TIME, ALONG, 0.0, 19.8, direction=1)
    held = hinge(
        source(values, 1.5, 0.2),
        TIME,
        ALONG,
        0.0,
        19.8,
        direction=1,
        log_prior=lambda moment: -0.5 * ((moment - 11.3) / 0.2) ** 2,
    )
    assert free is not None
    assert held is not None
    assert held.time == pytest.approx(11.3, abs=0.3)
    assert held.time_sd < free.time_sd


def test_nothing_from_nothing() -> None:
    """Fewer than six heights: None."""
    assert hinge(source(lifted(11.3), 0.4, 0.2), TIME, ALONG, 0.0, 0.9, direction=1) is None
