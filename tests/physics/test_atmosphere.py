"""The standard atmosphere and moist air against printed tables, an independent library and their inverses."""

import numpy as np
import pytest
from ambiance import Atmosphere
from hypothesis import given
from hypothesis import strategies as st

from tests.model.published import last_digit, printed
from tests.physics.airplanes import table
from wringout.physics.arrays import Array
from wringout.physics.atmosphere import (
    HIGHEST,
    LOWEST,
    LOWEST_DENSITY_ALTITUDE,
    air_density,
    altimeter_setting,
    altitude_of_density,
    altitude_of_pressure,
    density_altitude,
    geometric,
    geopotential,
    pressure_altitude,
    pressure_at,
    speed_of_sound,
    standard_density,
    standard_pressure,
    standard_temperature,
)
from wringout.physics.constants import (
    CELSIUS_ZERO,
    FOOT,
    INCH_OF_MERCURY,
    KNOT,
    SEA_LEVEL_DENSITY,
    SEA_LEVEL_PRESSURE,
    TROPOPAUSE,
)
from wringout.physics.humidity import dew_point_from_humidity, saturation_vapour_pressure, virtual_temperature

SLUG_PER_CUBIC_FOOT = 515.3788  # [kg/m³]
altitudes = st.floats(LOWEST, HIGHEST)


@pytest.mark.parametrize(
    "row", table("standard_atmosphere_metric.csv"), ids=lambda row: row["geometric_height_m"]
)
def test_the_metric_table_is_reproduced_as_printed(row: dict[str, str]) -> None:
    """Every printed digit of the ICAO/ISO table.

    The tropopause row is the table's entry at 11,000 m geopotential. Above it the table goes on from its own
    rounded 22,632.0 Pa where ours has 22,632.04, so our pressures are brought to that base.
    """
    altitude = geopotential(float(row["geometric_height_m"]))
    if row["entered_at"] == "geopotential":
        altitude = np.asarray(float(row["geopotential_altitude_m"]))
    above = altitude > TROPOPAUSE
    answers = {
        "geopotential_altitude_m": altitude,
        "temperature_K": standard_temperature(altitude),
        "pressure_Pa": standard_pressure(altitude)
        * (22_632.0 / standard_pressure(TROPOPAUSE) if above else 1.0),
        "density_kg_m3": standard_density(altitude),
        "speed_of_sound_m_s": speed_of_sound(standard_temperature(altitude)),
    }
    for column, answer in answers.items():
        assert float(answer) == pytest.approx(float(row[column]), abs=last_digit(row[column])), column


@pytest.mark.parametrize("row", table("standard_atmosphere_feet.csv"), ids=lambda row: row["altitude_ft"])
def test_the_table_in_feet_is_reproduced_as_printed(row: dict[str, str]) -> None:
    """The standard atmosphere in feet, with the ratios a pilot's handbook prints."""
    altitude = float(row["altitude_ft"]) * FOOT
    temperature, pressure = standard_temperature(altitude), standard_pressure(altitude)
    density = standard_density(altitude)
    answers = {
        "temperature_C": temperature - CELSIUS_ZERO,
        "pressure_inHg": pressure / INCH_OF_MERCURY,
        "delta": pressure / SEA_LEVEL_PRESSURE,
        "sigma": density / SEA_LEVEL_DENSITY,
        "true_over_equivalent": np.sqrt(SEA_LEVEL_DENSITY / density),
        "density_slug_ft3": density / SLUG_PER_CUBIC_FOOT,
        "speed_of_sound_kt": speed_of_sound(temperature) / KNOT,
    }
    for column, answer in answers.items():
        assert float(answer) == pytest.approx(float(row[column]), abs=last_digit(row[column])), column


def test_an_independent_library_agrees_at_every_height() -> None:
    """ambiance, which takes geometric heights and starts its layers from pressures rounded to six digits."""
    heights = np.linspace(-1999.0, 20_000.0, 400)
    theirs = Atmosphere(heights)
    altitude = geopotential(heights)
    np.testing.assert_allclose(altitude, theirs.H, rtol=1e-12)
    np.testing.assert_allclose(standard_temperature(altitude), theirs.temperature, rtol=1e-9)
    np.testing.assert_allclose(standard_pressure(altitude), theirs.pressure, rtol=2e-6)
    np.testing.assert_allclose(standard_density(altitude), theirs.density, rtol=2e-6)


@given(altitudes)
def test_altitude_to_pressure_and_density_and_back_is_exact(altitude: float) -> None:
    """The inverses undo their functions to rounding, over both layers and at the limits."""
    assert altitude_of_pressure(standard_pressure(altitude)) == pytest.approx(altitude, abs=1e-8)
    assert altitude_of_density(standard_density(altitude)) == pytest.approx(altitude, abs=1e-8)
    assert geopotential(geometric(altitude)) == pytest.approx(altitude, abs=1e-8)


@given(altitudes, altitudes)
def test_higher_air_is_thinner(one: float, other: float) -> None:
    """Pressure and density fall with altitude, across the tropopause too."""
    low, high = min(one, other), max(one, other)
    assert standard_pressure(low) >= standard_pressure(high)
    assert standard_density(low) >= standard_density(high)


def test_the_two_layers_meet() -> None:
    """No step at the tropopause, in the function or in its inverse."""
    below, above = 11_000.0 - 1e-6, 11_000.0 + 1e-6
    for function in (standard_temperature, standard_pressure, standard_density):
        assert function(below) == pytest.approx(float(function(above)), rel=1e-9)
    assert altitude_of_pressure(standard_pressure(11_000.0)) == pytest.approx(11_000.0, abs=1e-8)


@pytest.mark.parametrize("altitude", [LOWEST - 1, HIGHEST + 1, np.inf, -np.inf])
def test_altitudes_outside_the_range_are_refused(altitude: float) -> None:
    """No answer by extrapolation, and the message says what the range is."""
    with pytest.raises(ValueError, match="must lie between -2000 and 20000"):
        standard_pressure(altitude)
    with pytest.raises(ValueError, match="geopotential altitude"):
        standard_temperature(np.array([0.0, altitude]))


def test_pressures_and_densities_outside_the_range_are_refused() -> None:
    """The inverses refuse what their functions cannot give."""
    with pytest.raises(ValueError, match="pressure"):
        altitude_of_pressure(5000.0)
    with pytest.raises(ValueError, match="pressure"):
        altitude_of_pressure(-1.0)
    with pytest.raises(ValueError, match="density"):
        altitude_of_density(0.01)
    with pytest.raises(ValueError, match="density"):
        altitude_of_density(2.5)


def test_a_missing_value_stays_missing() -> None:
    """NaN in gives NaN out, beside good values."""
    values = np.array([0.0, np.nan, 3000.0])
    answers: list[Array] = [
        standard_pressure(values),
        standard_temperature(values),
        standard_density(values),
        altitude_of_pressure(np.array([101_325.0, np.nan, 70_000.0])),
        density_altitude(np.array([101_325.0, np.nan, 70_000.0]), 290.0, 280.0),
    ]
    for answer in answers:
        assert np.isnan(answer).tolist() == [False, True, False]


@given(st.lists(altitudes, min_size=1, max_size=5))
def test_an_array_is_its_elements_one_by_one(values: list[float]) -> None:
    """Scalar and array calls agree to the last bits, which differ between numpy's loops."""
    whole = standard_pressure(np.array(values))
    np.testing.assert_allclose([standard_pressure(value) for value in values], whole, rtol=1e-15)


def test_pressure_altitude_from_the_altimeter_setting_as_the_handbook_works_it() -> None:
    """Two worked examples; by the definition of the setting, not by 1,000 ft an inch, which is 5–10 % out."""
    case = printed("air.csv", "PH-01")
    altitude = pressure_altitude(30.10 * INCH_OF_MERCURY, 5883 * FOOT) / FOOT
    value, unit = case["pressure altitude"]
    assert float(altitude) == pytest.approx(value, abs=unit)
    value, unit = printed("air.csv", "PH-02")["pressure altitude"]
    assert float(pressure_altitude(29.7 * INCH_OF_MERCURY, 0.0)) / FOOT == pytest.approx(value, abs=unit)


def test_the_rule_of_thirty_feet_a_hectopascal_is_near_the_definition() -> None:
    """A rule of thumb (common practice): within a tenth for a low setting of 980 hPa at sea level."""
    altitude = pressure_altitude(98_000.0, 0.0) / FOOT
    assert float(altitude) == pytest.approx(30 * (1013.25 - 980.0), rel=0.1)


@given(st.floats(95_000.0, 105_000.0), st.floats(-400.0, 4000.0))
def test_setting_the_altimeter_undoes_itself(qnh: float, elevation: float) -> None:
    """From setting to pressure and back; and the setting of the standard day is the standard pressure."""
    assert altimeter_setting(pressure_at(qnh, elevation), elevation) == pytest.approx(qnh, rel=1e-12)
    assert pressure_at(SEA_LEVEL_PRESSURE, elevation) == pytest.approx(float(standard_pressure(elevation)))


def test_density_altitude_as_the_handbook_and_the_knowledge_test_print_it() -> None:
    """A handbook's chart and a knowledge test's answer; 120 ft per degree would be 100–160 ft high."""
    value, unit = printed("air.csv", "PH-01")["density altitude"]
    pressure = standard_pressure(5718 * FOOT)
    temperature = (70 - 32) / 1.8 + CELSIUS_ZERO
    exact = float(density_altitude(pressure, temperature)) / FOOT
    assert exact == pytest.approx(value, abs=unit)
    rule = 5718 + 120 * (temperature - float(standard_temperature(5718 * FOOT)))
    assert 90 < rule - exact < 110
    value, unit = printed("air.csv", "PH-03")["density altitude"]
    assert float(density_altitude(standard_pressure(5000 * FOOT), 303.15)) / FOOT == pytest.approx(
        value, abs=unit
    )


@pytest.mark.parametrize(
    ("celsius", "dew", "inches"), [(30.0, 20.0, 29.92), (35.0, 25.0, 25.00)], ids=["sea level", "high field"]
)
def test_humid_density_altitude_meets_the_weather_service_formula(
    celsius: float, dew: float, inches: float
) -> None:
    """The US National Weather Service's own formulas (second-hand), whose rounded constants allow 20 ft."""
    vapour = 6.11 * 10 ** (7.5 * dew / (237.7 + dew))
    hectopascals = inches * INCH_OF_MERCURY / 100
    kelvins = (celsius + CELSIUS_ZERO) / (1 - vapour / hectopascals * (1 - 0.622))
    rankine = 9 / 5 * (kelvins - CELSIUS_ZERO) + 32 + 459.69
    theirs = 145_366 * (1 - (17.326 * inches / rankine) ** 0.235)
    ours = density_altitude(inches * INCH_OF_MERCURY, celsius + CELSIUS_ZERO, dew + CELSIUS_ZERO) / FOOT
    assert float(ours) == pytest.approx(theirs, abs=20)


def test_moist_air_density_as_metrology_prints_it() -> None:
    """CIPM-2007 at 20 °C, 50 % relative humidity."""
    value, unit = printed("air.csv", "SA-21")["air density"]
    dew = dew_point_from_humidity(293.15, 0.5)
    assert float(air_density(101_325.0, 293.15, dew)) == pytest.approx(value, abs=unit)


@given(st.floats(235.0, 330.0), st.floats(0.05, 1.0))
def test_humidity_and_dew_point_agree(temperature: float, humidity: float) -> None:
    """Vapour pressure at the dew point is the humidity's share of saturation; moist air is the lighter."""
    dew = float(dew_point_from_humidity(temperature, humidity))
    if dew < 228.15:  # below the formula's range it refuses, tested elsewhere
        return
    share = saturation_vapour_pressure(dew) / saturation_vapour_pressure(temperature)
    assert share == pytest.approx(humidity, rel=1e-9)
    dew = min(dew, temperature)
    assert virtual_temperature(90_000.0, temperature, dew) > temperature
    assert air_density(90_000.0, temperature, dew) < air_density(90_000.0, temperature)


def test_saturated_air_doubles_its_vapour_every_eleven_degrees() -> None:
    """Boiling is out of range; freezing and 20 °C are the values every table prints (from memory)."""
    assert float(saturation_vapour_pressure(273.15)) == pytest.approx(611.2, abs=0.1)
    assert float(saturation_vapour_pressure(293.15)) == pytest.approx(
        2333, abs=6
    )  # Magnus forms scatter by 0.2 %
    with pytest.raises(ValueError, match="water"):
        saturation_vapour_pressure(373.15)


def test_a_dew_point_above_the_temperature_is_refused() -> None:
    """Two readings exchanged would otherwise pass as a plausible density."""
    with pytest.raises(ValueError, match="dew point must not lie above"):
        air_density(100_000.0, 283.15, 293.15)
    with pytest.raises(ValueError, match="pressure"):
        air_density(-1.0, 283.15)


def test_deep_cold_has_a_density_altitude() -> None:
    """−40 °C at a sea-level field is real air, denser than any standard ground's."""
    altitude = float(density_altitude(103_000.0, 233.15))
    assert LOWEST_DENSITY_ALTITUDE < altitude < LOWEST
