"""Lift-off and touchdown from heights alone: unbiased, honest, and silent where the heights say nothing."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.hinge import CURVES, RATE_SD, SLOPE_SD, hinge, likelihood_of
from wringout.manoeuvres.hinge_fits import fit, whitened, whitening
from wringout.recordings.recording import FloatArray

TIME: FloatArray = np.arange(0.0, 20.0, 0.2)
ALONG: FloatArray = 1.3 * TIME**2


def source(values: FloatArray, noise: float, wander: float) -> Height:
    """A height with known errors."""
    return Height(
        "geometric height", TIME, values, noise, wander, values, np.gradient(values, TIME), 0 * TIME
    )


def lifted(moment: float, slope: float = 0.0) -> FloatArray:
    """Height of a roll along a strip, then a lift-off that bends over three seconds into 4 m/s."""
    since = np.maximum(TIME - moment, 0.0)
    arc = np.where(since < 3.0, since**2 / 6.0, since - 1.5)
    return 100.0 + slope * ALONG + 4.0 * arc


@pytest.mark.parametrize("direction", [1, -1])
@pytest.mark.parametrize("slope", [0.0, 0.05])
def test_moments_are_as_uncertain_as_stated(direction: int, slope: float) -> None:
    """Jitter and wander known: errors of two hundred simulated heights are as large as stated."""
    errors, strip = [], []
    for seed in range(200):
        generator = np.random.default_rng([3, seed])
        walk: FloatArray = np.cumsum(generator.normal(0.0, 0.2 * np.sqrt(0.2), len(TIME)))
        values = lifted(11.3, slope)[::direction] + walk + generator.normal(0.0, 0.4, len(TIME))
        along = ALONG if direction > 0 else ALONG[-1] - ALONG[::-1]
        found = hinge(source(values, 0.4, 0.2), TIME, along, 0.0, 19.8, direction=direction)
        assert found is not None
        true = 11.3 if direction > 0 else TIME[-1] - 11.3
        errors.append((found.time - true) / found.time_sd)
        strip.append(found.slope * direction)
    assert 0.85 < np.sqrt(np.mean(np.square(errors))) < 1.15
    assert np.mean(strip) == pytest.approx(slope, abs=0.004)


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


@pytest.mark.parametrize("direction", [1, -1])
def test_fits_equal_generalised_least_squares(direction: int) -> None:
    """Cost, coefficients and variances of every moment and curve, by the dense covariance of the heights."""
    generator = np.random.default_rng(7)
    noise, wander = 0.5, 0.3
    values = lifted(9.7)[::direction] + generator.normal(0.0, noise, len(TIME))
    along = ALONG if direction > 0 else ALONG[-1] - ALONG[::-1]
    likelihood = likelihood_of(source(values, noise, wander), TIME, along, 0.0, 19.8, direction=direction)
    assert likelihood is not None
    # a walk from the first height on, and jitter
    covariance = wander**2 * np.minimum.outer(TIME, TIME) + noise**2 * np.eye(len(TIME))
    middle = np.median(values)
    asked = np.array([3, 40, 90])
    found = likelihood.fits(asked)
    for k in asked:
        moment = likelihood.moments[k]
        since = direction * (TIME - moment)
        for c, curve in enumerate(CURVES[direction]):
            later = np.maximum(since - curve.floating, 0.0)
            arc = np.where(later < curve.bend, later**2 / (2 * curve.bend), later - curve.bend / 2)
            rise = curve.firmness * np.maximum(since, 0.0) + (1 - curve.firmness) * arc
            rolled = along - np.interp(moment, TIME, along)
            columns = np.stack((np.ones_like(TIME), rolled, rise), axis=1)
            weighted = np.linalg.solve(covariance, columns)
            normal = columns.T @ weighted + np.diag([0.0, SLOPE_SD**-2, RATE_SD**-2])
            solution = np.linalg.solve(normal, weighted.T @ (values - middle))
            left = values - middle - columns @ solution
            squares = left @ np.linalg.solve(covariance, left)
            prior = (solution[1] / SLOPE_SD) ** 2  # no rate of climb is held against a fit
            np.testing.assert_allclose(found.solution[:, k, c], solution, rtol=1e-6, atol=1e-9)
            np.testing.assert_allclose(found.variance[:, k, c], np.diag(np.linalg.inv(normal))[:2], rtol=1e-6)
            if solution[2] > 0:
                cost = squares + prior + np.linalg.slogdet(normal)[1] - 2 * np.log(curve.weight)
                assert found.cost[k, c] == pytest.approx(cost, rel=1e-8)
            else:
                assert found.cost[k, c] == np.inf


def test_every_height_goes_through_the_same_machine_code() -> None:
    """A fast log's heights are thinned out, and not compiled for: that takes a second and more."""
    values = lifted(11.3) + np.random.default_rng(4).normal(0.0, 0.4, len(TIME))
    slow = source(values, 0.4, 0.2)
    time: FloatArray = np.arange(0.0, 19.8, 0.02)
    fast = replace(slow, time=time, values=np.interp(time, TIME, values))
    for height in (slow, fast):
        assert hinge(height, TIME, ALONG, 0.0, 19.8, direction=1) is not None
    loops: list[Any] = [fit, whitening, whitened]
    assert [len(loop.signatures) for loop in loops] == [1, 1, 1]
