"""The airplane and the air as the equations see them."""

from dataclasses import FrozenInstanceError

import numpy as np
import pytest

from tests.physics.airplanes import lowry, utility
from wringout.physics.atmosphere import air_density, standard_pressure, standard_temperature
from wringout.physics.constants import GRAVITY
from wringout.physics.vehicle import Air, drag, full_power, thrust, true_stall_speed, weight


def test_air_is_made_from_readings_or_from_the_standard() -> None:
    """With moisture where there is a dew point; hot air is thin at one pressure."""
    air = Air.of(95_000.0, 300.0, 290.0)
    assert float(air.density) == float(air_density(95_000.0, 300.0, 290.0))
    hot = Air.standard(1000.0, 20.0)
    assert float(hot.pressure) == float(standard_pressure(1000.0))
    assert float(hot.temperature) == pytest.approx(float(standard_temperature(1000.0)) + 20)
    assert float(hot.density) < float(Air.standard(1000.0).density)


def test_an_airplane_cannot_change() -> None:
    """Frozen, as every noun here."""
    with pytest.raises(FrozenInstanceError):
        utility().mass = 1.0  # type: ignore[misc]


def test_the_stall_is_where_lift_at_its_greatest_is_the_weight() -> None:
    """And load factor raises it by its root."""
    airplane, air = utility(), Air.standard(500.0)
    speed = float(true_stall_speed(airplane, air))
    assert 0.5 * float(air.density) * speed**2 * 17.6 * 1.9 == pytest.approx(1090 * GRAVITY)
    assert float(true_stall_speed(airplane, air, 2.0)) == pytest.approx(speed * 2**0.5)


def test_drag_is_the_polar_s() -> None:
    """Parasite and induced parts added by hand, in and out of ground effect."""
    airplane, air = utility(lift_at_minimum_drag=0.0), Air.standard(0.0)
    pressure = 0.5 * float(air.density) * 30.0**2
    induced = 0.055 * (1090 * GRAVITY) ** 2 / (pressure * 17.6)
    parasite = pressure * 17.6 * 0.045
    assert float(drag(airplane, air, 30.0)) == pytest.approx(parasite + induced)
    assert float(drag(airplane, air, 30.0, 1.0, 0.5)) == pytest.approx(parasite + induced / 2)
    assert float(drag(airplane, air, 30.0, 2.0)) == pytest.approx(parasite + 4 * induced)
    assert float(weight(airplane)) == pytest.approx(1090 * GRAVITY)


def test_full_throttle_is_continuous_with_part_power() -> None:
    """At a part power equal to the full power thrust is that of full throttle, for both propellers."""
    air = Air.standard(1500.0)
    for airplane in (utility(), lowry()):
        full = full_power(airplane, air)
        speed = np.array([20.0, 40.0])
        np.testing.assert_allclose(thrust(airplane, air, speed), thrust(airplane, air, speed, full))
        assert np.all(thrust(airplane, air, speed, 0.6 * full) < thrust(airplane, air, speed))
