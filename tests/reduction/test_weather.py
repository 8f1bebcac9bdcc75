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
    # two readings of 0.5 m/s at half their weight each, and a walk that is tied to both ends: ten minutes to
    # either of them leave it the variance of five
    assert found.wind_sd == pytest.approx(np.hypot(0.5 / np.sqrt(2.0), WIND_SD_IN_TEN_MINUTES / np.sqrt(2.0)))


def test_a_simulated_wind_between_readings_errs_as_stated() -> None:
    """Walks of 0.7 m/s in ten minutes read with 0.5 m/s at both ends: the error at a third of the way."""
    rng = np.random.default_rng(4)
    steps = rng.normal(0.0, WIND_SD_IN_TEN_MINUTES / np.sqrt(10.0), (4000, 12))
    walk = np.concatenate((np.zeros((4000, 1)), np.cumsum(steps, axis=1)), axis=1)
    first, last = (walk[:, place] + rng.normal(0.0, 0.5, 4000) for place in (0, 12))
    error = first + (last - first) / 3.0 - walk[:, 4]
    found = weather_at([weather(0.0), weather(720.0)], moment(240.0))
    assert found is not None
    assert np.std(error) == pytest.approx(found.wind_sd, rel=0.04)


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
