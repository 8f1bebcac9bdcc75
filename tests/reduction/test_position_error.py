"""Position error: what the points teach, what stays open below them, and whether that is honest."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.reduction.position_error import (
    LACK_OF_FIT_SD,
    PRIOR_SD,
    between,
    calibrate,
    position_error,
    shared_covariance,
)

SPEEDS = np.array([36.0, 42.0, 48.0, 54.0, 60.0])
POINT_SD = 0.25


def test_nothing_measured_means_nothing_corrected_and_much_left_open() -> None:
    """Without points the correction is zero with the prior's uncertainty, growing away from usual speed."""
    curve = position_error("up", [], [], [])
    assert curve.points == ()
    calibrated, sd = calibrate(curve, [40.0, 24.0])
    assert calibrated.tolist() == [40.0, 24.0]
    assert sd[0] == pytest.approx(np.hypot(PRIOR_SD[0], LACK_OF_FIT_SD))
    assert sd[1] > 1.3 * sd[0]


def test_curve_goes_through_plentiful_points() -> None:
    """A parabola measured at five speeds is followed between them to a tenth of a metre a second."""

    def truth(speed: np.ndarray) -> np.ndarray:
        return 0.5 - 3.0 * (speed - 48.0) / 48.0 + 2.0 * ((speed - 48.0) / 48.0) ** 2

    curve = position_error("up", SPEEDS, truth(SPEEDS), 0.01 * np.eye(5))
    between_points = np.linspace(36.0, 60.0, 13)
    calibrated, _ = calibrate(curve, between_points)
    assert calibrated - between_points == pytest.approx(truth(between_points), abs=0.15)


def test_uncertainty_grows_below_the_slowest_point() -> None:
    """From the slowest point down to the stall the uncertainty rises all the way."""
    curve = position_error("up", SPEEDS, np.ones(5), POINT_SD**2 * np.eye(5))
    _, sd = calibrate(curve, np.linspace(36.0, 20.0, 9))
    assert np.all(np.diff(sd) > 0.0)
    assert sd[0] < 0.4
    assert sd[-1] > 1.0


def test_a_shared_error_is_not_averaged_away() -> None:
    """Ten points that share one wind error of 1 m/s leave that error in the curve."""
    speeds = np.linspace(40.0, 60.0, 10)
    alone = position_error("up", speeds, np.zeros(10), np.eye(10))
    shared = position_error("up", speeds, np.zeros(10), np.ones((10, 10)) + 0.01 * np.eye(10))
    assert calibrate(alone, 50.0)[1] < 0.5
    assert calibrate(shared, 50.0)[1] > 0.85


def test_other_flap_begins_from_flap_up() -> None:
    """A setting without points resembles flap up, less surely; with points of its own it follows them."""
    up = position_error("up", SPEEDS, np.full(5, 1.0), POINT_SD**2 * np.eye(5))
    unmeasured = position_error("30", [], [], [], like=up)
    assert calibrate(unmeasured, 45.0)[0] == pytest.approx(calibrate(up, 45.0)[0])
    assert calibrate(unmeasured, 45.0)[1] > 2.0 * calibrate(up, 45.0)[1]
    own = position_error("30", [30.0, 34.0, 38.0], [3.0, 3.0, 3.0], 0.04 * np.eye(3), like=up)
    assert calibrate(own, 34.0)[0] == pytest.approx(37.0, abs=0.25)


def test_setting_between_two_measured_ones() -> None:
    """Half way between flap up and 30 the correction is half way, and less sure than either."""
    up = position_error("up", SPEEDS, np.full(5, 1.0), POINT_SD**2 * np.eye(5))
    full = position_error("30", SPEEDS, np.full(5, 3.0), POINT_SD**2 * np.eye(5), like=up)
    half = between("15", up, full, 0.5)
    middle = 0.5 * (calibrate(up, 45.0)[0] + calibrate(full, 45.0)[0])
    assert calibrate(half, 45.0)[0] == pytest.approx(middle)
    assert calibrate(half, 45.0)[1] > max(calibrate(up, 45.0)[1], calibrate(full, 45.0)[1])
    with pytest.raises(ValueError, match="share 0 to 1"):
        between("15", up, full, 1.5)


@given(st.floats(20.0, 80.0), st.floats(0.0, 2.0))
def test_reading_and_curve_uncertainty_add_in_quadrature(speed: float, reading_sd: float) -> None:
    """A perfect reading has the curve's uncertainty; a poor one more, as its slope passes it on."""
    curve = position_error("up", SPEEDS, np.linspace(1.0, -1.0, 5), POINT_SD**2 * np.eye(5))
    value, perfect = calibrate(curve, speed)
    _, sd = calibrate(curve, speed, reading_sd)
    step = 1e-5
    slope = (float(calibrate(curve, speed + step)[0]) - float(value)) / step
    assert float(sd) == pytest.approx(float(np.hypot(perfect, slope * reading_sd)), rel=1e-4)
    assert shared_covariance(curve, [speed])[0, 0] + LACK_OF_FIT_SD**2 == pytest.approx(float(perfect) ** 2)


def test_not_a_number_passes_through() -> None:
    """A missing reading stays missing."""
    curve = position_error("up", SPEEDS, np.ones(5), POINT_SD**2 * np.eye(5))
    value, sd = calibrate(curve, [np.nan, 45.0])
    assert np.isnan(value).tolist() == [True, False]
    assert np.isnan(sd).tolist() == [True, False]


def test_nonsense_is_refused() -> None:
    """Speeds without corrections and speeds of zero never make a curve."""
    with pytest.raises(ValueError, match="needs its correction"):
        position_error("up", [40.0], [], [[1.0]])
    with pytest.raises(ValueError, match="finite and positive"):
        position_error("up", [0.0], [1.0], [[1.0]])


@pytest.mark.parametrize("speed", [24.0, 36.0, 48.0, 66.0])
def test_stated_uncertainty_is_honest(speed: float) -> None:
    """Indicators as the prior imagines them, noise partly shared: errors are as large as stated."""
    rng = np.random.default_rng(21)
    covariance = POINT_SD**2 * np.eye(5) + 0.2**2
    root = np.linalg.cholesky(covariance)
    change, at = (SPEEDS - 48.0) / 48.0, (speed - 48.0) / 48.0
    scores = []
    for _ in range(500):
        truth = rng.normal(0.0, PRIOR_SD)
        correction = truth @ np.array([change**0, change, change**2]) + rng.normal(0.0, LACK_OF_FIT_SD, 5)
        curve = position_error(
            "up", SPEEDS, correction + root @ rng.standard_normal(5), covariance, reference=48.0
        )
        value, sd = calibrate(curve, speed, 0.2)
        reading_error = rng.normal(0.0, 0.2)
        expected = (
            speed + truth @ np.array([1.0, at, at**2]) + rng.normal(0.0, LACK_OF_FIT_SD) - reading_error
        )
        scores.append(float((value - expected) / sd))
    assert 0.9 < np.std(scores) < 1.1
