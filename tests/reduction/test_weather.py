"""The air on the ground between readings."""

import numpy as np
import pytest

from tests.reduction.handmade import moment, weather
from wringout.reduction.weather import WIND_SD_IN_TEN_MINUTES, weather_at


def test_between_readings_the_wind_is_a_vector() -> None:
    """Half way between 4 m/s from north and 4 m/s from east blow 2.83 m/s from the north-east."""
    readings = [weather(0.0, from_degrees=360.0), weather(1200.0, from_degrees=90.0)]
    found = weather_at(readings, moment(600.0))
    assert found is not None
    assert found.wind == pytest.approx([-2.0, -2.0])
    assert found.age == 600.0
    assert found.wind_sd == pytest.approx(np.hypot(0.5, WIND_SD_IN_TEN_MINUTES))


def test_beyond_the_readings_the_nearest_holds_and_ages() -> None:
    """Before the first reading its own figures stand, less surely the longer."""
    soon, late = (weather_at([weather(3600.0)], moment(time)) for time in (3500.0, 0.0))
    assert soon is not None
    assert late is not None
    assert soon.wind == pytest.approx(late.wind)
    assert late.wind_sd > 2.0 * soon.wind_sd
    assert late.temperature_sd > soon.temperature_sd


def test_no_reading_no_weather() -> None:
    """A card without readings has no weather."""
    assert weather_at([], moment(0.0)) is None
