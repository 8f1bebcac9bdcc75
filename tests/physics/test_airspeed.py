"""Airspeeds against printed figures, their inverses, and the incompressible limit."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.model.published import printed
from wringout.physics.airspeed import (
    calibrated_from_equivalent,
    calibrated_from_mach,
    calibrated_from_true,
    equivalent_from_calibrated,
    equivalent_from_true,
    impact_pressure,
    mach_from_calibrated,
    true_from_calibrated,
    true_from_equivalent,
)
from wringout.physics.atmosphere import air_density, standard_pressure, standard_temperature
from wringout.physics.constants import FOOT, KNOT, SEA_LEVEL_DENSITY, SEA_LEVEL_PRESSURE
from wringout.physics.humidity import virtual_temperature

speeds = st.floats(0.0, 150.0)
levels = st.floats(-1000.0, 6000.0)


def test_the_row_that_everybody_prints() -> None:
    """250 kt calibrated at 10,000 ft on a standard day."""
    pressure, temperature = standard_pressure(10_000 * FOOT), standard_temperature(10_000 * FOOT)
    answers = printed("air.csv", "SA-10")
    mach, unit = answers["Mach number"]
    assert float(mach_from_calibrated(250 * KNOT, pressure)) == pytest.approx(mach, abs=unit)
    true, unit = answers["true airspeed"]
    assert float(true_from_calibrated(250 * KNOT, pressure, temperature)) / KNOT == pytest.approx(
        true, abs=unit
    )


def test_an_airliner_at_flight_level_310() -> None:
    """290 kt calibrated is Mach 0.78; the same page's second example does not follow from its inputs."""
    mach, unit = printed("air.csv", "SA-13")["Mach number"]
    answer = float(mach_from_calibrated(290 * KNOT, standard_pressure(31_000 * FOOT)))
    assert answer == pytest.approx(mach, abs=unit)


@pytest.mark.parametrize(
    ("calibrated", "feet", "mach", "true", "equivalent"),
    [
        (100, 5_000, 0.1656, 107.67, 99.94),
        (150, 10_000, 0.2727, 174.05, 149.57),
        (200, 10_000, 0.3628, 231.57, 199.00),
        (250, 20_000, 0.5469, 335.95, 245.22),
        (300, 30_000, 0.7906, 465.94, 285.00),
    ],
)
def test_a_second_computation_agrees(
    calibrated: float, feet: float, mach: float, true: float, equivalent: float
) -> None:
    """Derived separately from the standard formula (not published); standard day."""
    pressure, temperature = standard_pressure(feet * FOOT), standard_temperature(feet * FOOT)
    speed = calibrated * KNOT
    assert float(mach_from_calibrated(speed, pressure)) == pytest.approx(mach, abs=1e-4)
    assert float(true_from_calibrated(speed, pressure, temperature)) / KNOT == pytest.approx(true, abs=0.01)
    assert float(equivalent_from_calibrated(speed, pressure)) / KNOT == pytest.approx(equivalent, abs=0.01)


@given(speeds, levels, st.floats(230.0, 320.0))
def test_round_trips_return_the_airspeed(speed: float, level: float, temperature: float) -> None:
    """Calibrated to Mach, true and equivalent and back."""
    pressure = standard_pressure(level)
    mach = mach_from_calibrated(speed, pressure)
    assert calibrated_from_mach(mach, pressure) == pytest.approx(speed, abs=1e-9)
    true = true_from_calibrated(speed, pressure, temperature)
    assert calibrated_from_true(true, pressure, temperature) == pytest.approx(speed, abs=1e-9)
    equivalent = equivalent_from_calibrated(speed, pressure)
    assert calibrated_from_equivalent(equivalent, pressure) == pytest.approx(speed, abs=1e-9)
    density = air_density(pressure, temperature)
    assert true_from_equivalent(equivalent, density) == pytest.approx(float(true), abs=1e-9)
    assert equivalent_from_true(true, density) == pytest.approx(float(equivalent), abs=1e-9)


@given(st.floats(1.0, 150.0), levels)
def test_equivalent_lies_below_calibrated_above_sea_level(speed: float, level: float) -> None:
    """Compressibility only grows with altitude, and vanishes at sea level."""
    equivalent = float(equivalent_from_calibrated(speed, standard_pressure(level)))
    assert (speed - equivalent) * level >= -1e-9
    at_sea_level = float(equivalent_from_calibrated(speed, SEA_LEVEL_PRESSURE))
    assert at_sea_level == pytest.approx(speed, abs=1e-9)


def test_at_a_stall_the_air_is_incompressible() -> None:
    """At 20 m/s the impact pressure is ½ρV² to 0.1 %, with no digits lost."""
    assert float(impact_pressure(20.0)) == pytest.approx(0.5 * SEA_LEVEL_DENSITY * 400, rel=1e-3)
    tiny = float(impact_pressure(1e-4))
    assert tiny == pytest.approx(0.5 * SEA_LEVEL_DENSITY * 1e-8, rel=1e-9)


def test_moisture_enters_through_the_virtual_temperature() -> None:
    """The same impact pressure in lighter air is a faster airplane: V = √(2q/ρ) with the moist density."""
    pressure, temperature, dew = 101_325.0, 303.15, 293.15
    virtual = virtual_temperature(pressure, temperature, dew)
    moist = float(true_from_calibrated(30.0, pressure, virtual))
    density = air_density(pressure, temperature, dew)
    assert moist == pytest.approx(float(true_from_equivalent(30.0, density)), rel=1e-6)
    assert moist / float(true_from_calibrated(30.0, pressure, temperature)) == pytest.approx(1.0044, abs=1e-4)


def test_supersonic_and_negative_speeds_are_refused() -> None:
    """The formula ends where shocks begin."""
    with pytest.raises(ValueError, match=r"Mach number must lie between 0 and 0\.9"):
        mach_from_calibrated(400.0, standard_pressure(5000.0))
    with pytest.raises(ValueError, match="negative"):
        true_from_calibrated(-1.0, 101_325.0, 288.15)
    with pytest.raises(ValueError, match="temperature"):
        true_from_calibrated(50.0, 101_325.0, np.array([288.15, 0.0]))
    with pytest.raises(ValueError, match="pressure"):
        mach_from_calibrated(50.0, 0.0)


def test_missing_values_stay_missing_and_shapes_broadcast() -> None:
    """Samples by conditions in one call; NaN in one stays in its place."""
    calibrated = np.array([[30.0], [np.nan], [50.0]])
    pressure = np.array([101_325.0, 80_000.0])
    answer = true_from_calibrated(calibrated, pressure, 280.0)
    assert answer.shape == (3, 2)
    assert np.isnan(answer).all(axis=1).tolist() == [False, True, False]
    assert float(answer[2, 1]) == float(true_from_calibrated(50.0, 80_000.0, 280.0))


@given(st.floats(1.0, 140.0), levels)
def test_mach_times_the_root_of_the_ratios(speed: float, level: float) -> None:
    """EAS = M · 661.48 kt · √δ and TAS = M · 661.48 kt · √θ, as read at pprune.org/5940134-post28.html."""
    pressure, temperature = standard_pressure(level), standard_temperature(level)
    mach = float(mach_from_calibrated(speed, pressure))
    equivalent = mach * 661.48 * float(pressure / SEA_LEVEL_PRESSURE) ** 0.5
    assert float(equivalent_from_calibrated(speed, pressure)) / KNOT == pytest.approx(equivalent, rel=1e-5)
    true = mach * 661.48 * float(temperature / 288.15) ** 0.5
    assert float(true_from_calibrated(speed, pressure, temperature)) / KNOT == pytest.approx(true, rel=1e-5)
