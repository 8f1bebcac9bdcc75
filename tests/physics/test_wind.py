"""Wind components against the handbook, and the change of wind with height."""

from math import radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.model.published import printed
from wringout.physics.wind import (
    LogarithmicGain,
    cross_wind,
    head_wind,
    wind_at_height,
    wind_at_height_by_power_law,
)


@pytest.mark.parametrize(
    ("case", "runway", "direction", "speed"), [("PH-05", 170, 140, 25), ("PH-06", 180, 220, 30)]
)
def test_wind_components_as_printed(case: str, runway: float, direction: float, speed: float) -> None:
    """Head and cross wind of two worked examples, the cross wind without its side."""
    answers = printed("air.csv", case)
    head = float(head_wind(speed, radians(direction), radians(runway)))
    cross = float(cross_wind(speed, radians(direction), radians(runway)))
    assert head == pytest.approx(answers["head wind"][0], abs=answers["head wind"][1])
    assert abs(cross) == pytest.approx(answers["cross wind"][0], abs=answers["cross wind"][1])


def test_a_wind_from_the_right_is_positive() -> None:
    """Landing north with the wind from the east."""
    assert float(cross_wind(10.0, radians(90), 0.0)) == pytest.approx(10.0)
    assert float(head_wind(10.0, radians(180), 0.0)) == pytest.approx(-10.0)


heights = st.floats(1.0, 50.0)


@given(st.floats(0.0, 30.0), heights, heights, st.floats(1e-3, 0.5))
def test_wind_grows_with_height_and_back_again(
    speed: float, mast: float, height: float, length: float
) -> None:
    """Higher is windier, the mast's own height changes nothing, and the way back returns the reading."""
    at_height = float(wind_at_height(speed, mast, height, length))
    assert (at_height - speed) * (height - mast) >= -1e-9
    assert float(wind_at_height(at_height, height, mast, length)) == pytest.approx(speed, abs=1e-9)
    assert float(wind_at_height(speed, mast, mast, length)) == pytest.approx(speed)


def test_the_two_laws_agree_over_short_grass() -> None:
    """From 10 m to 2 m over open ground they differ by less than a tenth (common practice says either)."""
    log = float(wind_at_height(8.0, 10.0, 2.0, 0.01))
    assert float(wind_at_height_by_power_law(8.0, 10.0, 2.0)) == pytest.approx(log, rel=0.1)


def test_heights_inside_the_roughness_are_refused() -> None:
    """The logarithm has no answer there."""
    with pytest.raises(ValueError, match="above the roughness"):
        wind_at_height(5.0, 10.0, 0.02, 0.03)
    with pytest.raises(ValueError, match="positive"):
        wind_at_height_by_power_law(5.0, 0.0, 2.0)
    assert np.isnan(wind_at_height(np.nan, 10.0, 2.0))


@given(st.floats(0.001, 0.1), st.floats(0.8, 3.0), st.floats(0.1, 15.0))
def test_the_gain_of_head_wind_is_the_logarithmic_law_s(roughness: float, wing: float, height: float) -> None:
    """Two heights of the law and what lies between, whatever the ground's roughness."""
    ground, top, between = (
        float(wind_at_height(5.0, 10.0, wing + up, roughness)) for up in (0.0, 15.24, height)
    )
    gain = LogarithmicGain(top - ground, wing, 15.24)
    assert float(gain.at(height)) == pytest.approx(between - ground, abs=1e-9)
    heights = np.linspace(0.0, height, 2001)
    assert float(gain.mean(0.0, height)) == pytest.approx(
        float(np.trapezoid(gain.at(heights), heights)) / height, abs=1e-5
    )
    assert float(gain.per_height(height)) == pytest.approx(
        float(gain.at(height + 1e-4) - gain.at(height)) / 1e-4, rel=1e-3
    )
