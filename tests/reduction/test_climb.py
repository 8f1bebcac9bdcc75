"""Climbs to steady flight, and best speeds and ceiling from several.

The tapeline figure is derived from the published formula, not published.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.physics.atmosphere import standard_temperature
from wringout.physics.constants import FOOT, GRAVITY
from wringout.problems import InputError
from wringout.reduction.climb import best_climb, ceiling, specific_excess_power, tapeline_rate


def test_tapeline() -> None:
    """700 ft/min at 5,000 ft and 20 °C is 737.50 ft/min by tape line."""
    assert f"{float(tapeline_rate(700.0, 5000.0 * FOOT, 293.15)):.2f}" == "737.50"


@given(st.floats(-1000.0, 10_000.0), st.floats(-10.0, 10.0))
def test_standard_air_needs_no_tapeline(altitude: float, rate: float) -> None:
    """In the standard atmosphere pressure altitude climbs as fast as the airplane."""
    corrected = tapeline_rate(rate, altitude, standard_temperature(altitude))
    assert float(corrected) == pytest.approx(rate, abs=1e-12)


def test_temperature_in_celsius_is_refused() -> None:
    """A temperature below zero kelvin is a mistake of unit."""
    with pytest.raises(ValueError, match="kelvin"):
        tapeline_rate(3.0, 1000.0, -5.0)


@given(st.floats(20.0, 80.0), st.floats(-2.0, 2.0))
def test_zoom_makes_no_power(speed: float, acceleration: float) -> None:
    """Speed traded for height without drag or thrust is no excess power."""
    rate = -speed * acceleration / GRAVITY
    assert float(specific_excess_power(rate, speed, acceleration)) == pytest.approx(0.0, abs=1e-12)


def test_wind_gradient_is_taken_out() -> None:
    """A head wind that freshens with height flatters the climb; a tail wind belittles it."""
    true_power, speed, gradient = 5.0, 35.0, 0.01
    into = true_power / (1.0 - speed * gradient / GRAVITY)
    down = true_power / (1.0 + speed * gradient / GRAVITY)
    assert into > true_power > down
    assert float(specific_excess_power(into, speed, 0.0, -gradient)) == pytest.approx(true_power)
    assert float(specific_excess_power(down, speed, 0.0, gradient)) == pytest.approx(true_power)


def test_best_climb_of_a_parabola() -> None:
    """Speeds and rate of a known parabola are found exactly; its tangent from the origin too."""
    speed = np.array([28.0, 33.0, 38.0, 44.0, 50.0])
    rate = -6.0 + 0.60 * speed - 0.0075 * speed**2
    best = best_climb(speed, rate, np.full(5, 0.1))
    assert best.best_rate_speed == pytest.approx(40.0)
    assert best.best_rate == pytest.approx(6.0)
    assert best.best_angle_speed == pytest.approx(np.sqrt(6.0 / 0.0075))
    assert best.curve == pytest.approx([-6.0, 0.60, -0.0075])


def test_best_climb_uncertainty_is_honest() -> None:
    """Errors of best speed and best rate are as large as stated."""
    rng = np.random.default_rng(4)
    speed = np.array([28.0, 33.0, 38.0, 44.0, 50.0])
    rate = -6.0 + 0.60 * speed - 0.0075 * speed**2
    scores = []
    for _ in range(500):
        best = best_climb(speed, rate + rng.normal(0.0, 0.05, 5), np.full(5, 0.05))
        error = np.array([best.best_rate_speed - 40.0, best.best_rate - 6.0])
        scores.append(error / np.sqrt(np.diag(best.covariance)[[0, 2]]))
    spread = np.std(scores, axis=0)
    assert np.all((spread > 0.9) & (spread < 1.1)), spread


def test_best_climb_through_several_altitudes() -> None:
    """A rate that falls by 2.5 m/s each kilometre besides: speeds and rate at the mean altitude are found."""
    speed = np.array([28.0, 33.0, 38.0, 44.0, 50.0, 36.0])
    altitude = np.array([900.0, 1100.0, 1000.0, 1200.0, 800.0, 2500.0])
    rate = -6.0 + 0.60 * speed - 0.0075 * speed**2 - 2.5 * (altitude - altitude.mean()) / 1000.0
    best = best_climb(speed, rate, np.full(6, 0.1), altitude)
    assert best.best_rate_speed == pytest.approx(40.0)
    assert best.best_rate == pytest.approx(6.0)
    with pytest.raises(InputError, match="effect of speed from that of altitude"):
        best_climb(speed[:3], rate[:3], np.full(3, 0.1), altitude[:3])


def test_best_climb_says_what_to_fly() -> None:
    """Two speeds, or a rate that still rises at the end, show no best speed."""
    with pytest.raises(InputError, match="three or more speeds"):
        best_climb([30.0, 40.0], [5.0, 6.0], [0.1, 0.1])
    with pytest.raises(InputError, match="faster and slower"):
        best_climb([30.0, 35.0, 40.0, 45.0], [3.0, 4.0, 4.9, 5.6], [0.1] * 4)


def test_ceiling_by_a_straight_line() -> None:
    """A rate that falls from 5 m/s by 1 m/s a kilometre reaches 100 ft/min at 4492 m."""
    altitude = np.array([1000.0, 2000.0, 3000.0])
    height, sd = ceiling(altitude, 5.0 - altitude / 1000.0, np.full(3, 0.1))
    assert height == pytest.approx(4492.0)
    assert 100.0 < sd < 400.0


def test_ceiling_is_refused_without_a_fall() -> None:
    """Climbs at one height, or a rate that does not fall, give no ceiling."""
    with pytest.raises(InputError, match="within 300 m"):
        ceiling([1000.0, 1100.0], [5.0, 4.9], [0.1, 0.1])
    with pytest.raises(InputError, match="does not fall"):
        ceiling([1000.0, 2000.0], [5.0, 4.9], [0.2, 0.2])
