"""The standard atmosphere to 20 km and its inverse, moist air, altimeter settings, and wind near the ground.

Altitudes are geopotential; `geopotential` converts a geometric height. At 3 km the two differ by 1.4 m.
"""

import numpy as np

from wringout.physics.arrays import Array, Real, not_negative, positive, within
from wringout.physics.constants import (
    CELSIUS_ZERO,
    EARTH_RADIUS,
    GAS_CONSTANT_AIR,
    GRAVITY,
    HEAT_CAPACITY_RATIO,
    LAPSE_RATE,
    SEA_LEVEL_DENSITY,
    SEA_LEVEL_PRESSURE,
    SEA_LEVEL_TEMPERATURE,
    TROPOPAUSE,
)

LOWEST = -2_000.0  # the range in which these functions answer, geopotential altitude [m]
HIGHEST = 20_000.0
LOWEST_DENSITY_ALTITUDE = (
    -5_000.0
)  # cold dense air lies below any ground; ICAO Doc 7488/3 tabulates from −5 km

_EXPONENT = GRAVITY / (GAS_CONSTANT_AIR * LAPSE_RATE)  # 5.25588
_TROPOPAUSE_TEMPERATURE = SEA_LEVEL_TEMPERATURE - LAPSE_RATE * TROPOPAUSE
_SCALE_HEIGHT = GAS_CONSTANT_AIR * _TROPOPAUSE_TEMPERATURE / GRAVITY
_TROPOPAUSE_RATIO = _TROPOPAUSE_TEMPERATURE / SEA_LEVEL_TEMPERATURE

# WMO-No. 8, Annex 4.B: e_s = 611.2 Pa · exp(17.62 t/(243.12 °C + t)) over water, from −45 °C to 60 °C.
_WMO_PRESSURE, _WMO_SLOPE, _WMO_ZERO = 611.2, 17.62, 243.12
_WMO_COLDEST, _WMO_HOTTEST = CELSIUS_ZERO - 45.0, CELSIUS_ZERO + 60.0
_WATER_TO_AIR_MOLAR_MASS = 0.62198


def standard_temperature(geopotential_altitude: Real) -> Array:
    """Temperature of the standard atmosphere.

    Parameters
    ----------
    geopotential_altitude : float or array
        From −2 km to 20 km. [m]

    Returns
    -------
    array
        [K]  NaN where the altitude is NaN.

    Raises
    ------
    ValueError
        Altitude outside −2 km … 20 km.

    Notes
    -----
    [ISO2533]: 288.15 K falling 6.5 K/km to 216.65 K at 11 km, constant above.

    Examples
    --------
    >>> print(f"{standard_temperature(3000.0):.2f} K")
    268.65 K
    """
    altitude = within(geopotential_altitude, LOWEST, HIGHEST, "geopotential altitude [m]")
    return SEA_LEVEL_TEMPERATURE - LAPSE_RATE * np.minimum(altitude, TROPOPAUSE)


def standard_pressure(geopotential_altitude: Real) -> Array:
    """Pressure of the standard atmosphere.

    Parameters
    ----------
    geopotential_altitude : float or array
        From −2 km to 20 km. [m]

    Returns
    -------
    array
        [Pa]  NaN where the altitude is NaN.

    Raises
    ------
    ValueError
        Altitude outside −2 km … 20 km.

    Notes
    -----
    [ISO2533]: p = p₀ (T/T₀)^(g/RL) to 11 km, then falling by e over each R·T/g. `altitude_of_pressure` is its inverse.

    Examples
    --------
    >>> print(f"{standard_pressure(3000.0) / 100:.1f} hPa")
    701.1 hPa
    """
    altitude = within(geopotential_altitude, LOWEST, HIGHEST, "geopotential altitude [m]")
    return SEA_LEVEL_PRESSURE * _theta(altitude) ** _EXPONENT * _stratosphere_ratio(altitude)


def standard_density(geopotential_altitude: Real) -> Array:
    """Density of the standard atmosphere.

    Parameters
    ----------
    geopotential_altitude : float or array
        From −5 km to 20 km: density altitudes in deep cold lie lower than any ground. [m]

    Returns
    -------
    array
        [kg/m³]  NaN where the altitude is NaN.

    Raises
    ------
    ValueError
        Altitude outside −5 km … 20 km.

    Notes
    -----
    [ISO2533]: ρ = p/(R T) of the same two layers. `altitude_of_density` is its inverse.

    Examples
    --------
    >>> print(f"{standard_density(0.0):.4f} kg/m³")
    1.2250 kg/m³
    """
    altitude = within(geopotential_altitude, LOWEST_DENSITY_ALTITUDE, HIGHEST, "geopotential altitude [m]")
    return SEA_LEVEL_DENSITY * _theta(altitude) ** (_EXPONENT - 1) * _stratosphere_ratio(altitude)


def altitude_of_pressure(pressure: Real) -> Array:
    """Pressure altitude: where the standard atmosphere has this pressure.

    Parameters
    ----------
    pressure : float or array
        Static pressure. [Pa]

    Returns
    -------
    array
        Geopotential altitude. [m]  NaN where the pressure is NaN.

    Raises
    ------
    ValueError
        Pressure of an altitude outside −2 km … 20 km.

    Notes
    -----
    Inverse of `standard_pressure`, by the same constants, so that a round trip is exact to rounding [ISO2533].

    Examples
    --------
    >>> print(f"{altitude_of_pressure(84_556.0):.1f} m")
    1500.0 m
    """
    values = within(pressure, _LOWEST_PRESSURE, _HIGHEST_PRESSURE, "pressure [Pa]")
    return _altitude_of_ratio(values / SEA_LEVEL_PRESSURE, _EXPONENT)


def altitude_of_density(density: Real) -> Array:
    """Density altitude: where the standard atmosphere has this density.

    Parameters
    ----------
    density : float or array
        Of the air, its moisture included. [kg/m³]

    Returns
    -------
    array
        Geopotential altitude. [m]  NaN where the density is NaN.

    Raises
    ------
    ValueError
        Density of an altitude outside −5 km … 20 km.

    Notes
    -----
    Inverse of `standard_density` [ISO2533].

    Examples
    --------
    >>> print(f"{altitude_of_density(1.05807):.0f} m")
    1500 m
    """
    values = within(density, _LOWEST_DENSITY, _HIGHEST_DENSITY, "air density [kg/m³]")
    return _altitude_of_ratio(values / SEA_LEVEL_DENSITY, _EXPONENT - 1)


def geopotential(height: Real) -> Array:
    """Geopotential altitude of a geometric height above mean sea level.

    Parameters
    ----------
    height : float or array
        Geometric height above mean sea level, not above the ellipsoid. [m]

    Returns
    -------
    array
        [m]

    Notes
    -----
    H = r h/(r + h) with r = 6 356 766 m [ISO2533]. `geometric` is its inverse.

    Examples
    --------
    >>> print(f"{geopotential(11_019.0):.0f} m")
    11000 m
    """
    values = np.asarray(height, dtype=np.float64)
    return EARTH_RADIUS * values / (EARTH_RADIUS + values)


def geometric(geopotential_altitude: Real) -> Array:
    """Geometric height of a geopotential altitude, both in metres above mean sea level; inverse of `geopotential`."""
    values = np.asarray(geopotential_altitude, dtype=np.float64)
    return EARTH_RADIUS * values / (EARTH_RADIUS - values)


def speed_of_sound(temperature: Real) -> Array:
    """Speed of sound in air at a static temperature [K], by a² = γRT [ISO2533]. [m/s]"""
    return np.sqrt(HEAT_CAPACITY_RATIO * GAS_CONSTANT_AIR * positive(temperature, "temperature [K]"))


def saturation_vapour_pressure(temperature: Real) -> Array:
    """Pressure of water vapour in saturated air over water.

    Parameters
    ----------
    temperature : float or array
        From 228.15 K to 333.15 K. At a dew point it gives the vapour pressure of the air. [K]

    Returns
    -------
    array
        [Pa]

    Raises
    ------
    ValueError
        Temperature outside −45 °C … 60 °C, where the formula is not stated.

    Notes
    -----
    e = 611.2 Pa · exp(17.62 t/(243.12 + t)), t in °C [WMO8, Annex 4.B].

    Examples
    --------
    >>> print(f"{saturation_vapour_pressure(293.15) / 100:.2f} hPa")
    23.33 hPa
    """
    celsius = within(temperature, _WMO_COLDEST, _WMO_HOTTEST, "temperature over water [K]") - CELSIUS_ZERO
    return _WMO_PRESSURE * np.exp(_WMO_SLOPE * celsius / (_WMO_ZERO + celsius))


def dew_point_from_humidity(temperature: Real, relative_humidity: Real) -> Array:
    """Dew point from temperature [K] and relative humidity (0 < RH ≤ 1). [K]

    Notes
    -----
    Inverse of `saturation_vapour_pressure` at e = RH · e_s [WMO8, Annex 4.B].

    Examples
    --------
    >>> print(f"{dew_point_from_humidity(303.15, 0.55) - 273.15:.1f} °C")
    20.0 °C
    """
    humidity = within(positive(relative_humidity, "relative humidity"), 0.0, 1.0, "relative humidity")
    logarithm = np.log(humidity * saturation_vapour_pressure(temperature) / _WMO_PRESSURE)
    return _WMO_ZERO * logarithm / (_WMO_SLOPE - logarithm) + CELSIUS_ZERO


def virtual_temperature(pressure: Real, temperature: Real, dew_point: Real | None = None) -> Array:
    """Temperature at which dry air of the same pressure has the density of this moist air.

    Parameters
    ----------
    pressure : float or array
        Static pressure. [Pa]
    temperature : float or array
        Static air temperature. [K]
    dew_point : float or array, optional
        Not above the temperature; dry air where None. [K]

    Returns
    -------
    array
        [K]

    Raises
    ------
    ValueError
        Pressure or temperature not positive; dew point above the temperature or outside −45 °C … 60 °C.

    Notes
    -----
    T_v = T/(1 − (1 − 0.62198) e/p), from Dalton's law with the molar masses of water and air [WMO8].

    Examples
    --------
    >>> print(f"{virtual_temperature(101_325.0, 303.15, 293.15):.2f} K")
    305.81 K
    """
    still = positive(pressure, "pressure [Pa]")
    warm = positive(temperature, "temperature [K]")
    if dew_point is None:
        return warm + 0.0 * still
    vapour = saturation_vapour_pressure(dew_point)
    if np.any(np.asarray(dew_point) > warm):
        raise ValueError("dew point must not lie above the air temperature; check which of the two is which")
    return warm / (1 - (1 - _WATER_TO_AIR_MOLAR_MASS) * vapour / still)


def air_density(pressure: Real, temperature: Real, dew_point: Real | None = None) -> Array:
    """Density of moist air.

    Parameters
    ----------
    pressure : float or array
        Static pressure. [Pa]
    temperature : float or array
        Static air temperature. [K]
    dew_point : float or array, optional
        Not above the temperature; dry air where None. [K]

    Returns
    -------
    array
        [kg/m³]

    Raises
    ------
    ValueError
        As `virtual_temperature`.

    Notes
    -----
    ρ = p/(R T_v) [WMO8]. Moisture lightens hot air by about 1 %, worth 100 m of density altitude.

    Examples
    --------
    >>> print(f"{air_density(101_325.0, 303.15, 293.15):.3f} kg/m³")
    1.154 kg/m³
    """
    return pressure / (GAS_CONSTANT_AIR * virtual_temperature(pressure, temperature, dew_point))


def density_altitude(pressure: Real, temperature: Real, dew_point: Real | None = None) -> Array:
    """Altitude at which the standard atmosphere has the density of this air.

    Parameters
    ----------
    pressure : float or array
        Static pressure. [Pa]
    temperature : float or array
        Static air temperature. [K]
    dew_point : float or array, optional
        Dry air where None. [K]

    Returns
    -------
    array
        Geopotential altitude. [m]

    Raises
    ------
    ValueError
        As `virtual_temperature`; density outside −5 km … 20 km.

    Examples
    --------
    A field at 5,000 ft pressure altitude on a day of 30 °C:

    >>> print(f"{density_altitude(84_307.0, 303.15) / 0.3048:.0f} ft")
    7801 ft
    """
    return altitude_of_density(air_density(pressure, temperature, dew_point))


def pressure_at(qnh: Real, elevation: Real) -> Array:
    """Air pressure at an elevation from the altimeter setting.

    Parameters
    ----------
    qnh : float or array
        Altimeter setting with which an altimeter on the field reads its elevation. [Pa]
    elevation : float or array
        Above mean sea level. [m]

    Returns
    -------
    array
        [Pa]

    Raises
    ------
    ValueError
        Setting or resulting altitude outside the standard atmosphere's range.

    Notes
    -----
    An altimeter indicates H(p) − H(QNH), H being `altitude_of_pressure`; so p is the standard pressure at
    elevation + H(QNH). This is the definition, not the rule of 30 ft for each hPa.

    Examples
    --------
    >>> print(f"{pressure_at(101_325.0, 1500.0) / 100:.1f} hPa")
    845.6 hPa
    """
    return standard_pressure(pressure_altitude(qnh, elevation))


def pressure_altitude(qnh: Real, elevation: Real) -> Array:
    """Pressure altitude of a field from the altimeter setting [Pa] and its elevation [m]; see `pressure_at`. [m]

    Examples
    --------
    >>> inch = 3386.389
    >>> print(f"{pressure_altitude(30.10 * inch, 5883 * 0.3048) / 0.3048:.0f} ft")
    5718 ft
    """
    return elevation + altitude_of_pressure(qnh)


def altimeter_setting(pressure: Real, elevation: Real) -> Array:
    """Altimeter setting (QNH) of a field from its air pressure [Pa] and elevation [m]; inverse of `pressure_at`. [Pa]"""
    return standard_pressure(altitude_of_pressure(pressure) - elevation)


def wind_at_height(speed: Real, measured_height: Real, height: Real, roughness: Real = 0.03) -> Array:
    """Wind speed at another height above open ground, by the logarithmic law.

    Parameters
    ----------
    speed : float or array
        Wind speed at the measured height. [m/s]
    measured_height, height : float or array
        Above the ground, both greater than the roughness length. [m]
    roughness : float or array
        Roughness length: 0.005 m bare flat ground, 0.03 m short grass, 0.1 m scattered bushes, 0.5 m orchards
        and hedges (from memory, after the WMO classes). [m]

    Returns
    -------
    array
        [m/s]

    Raises
    ------
    ValueError
        A height not above the roughness length.

    Notes
    -----
    U(h)/U(m) = ln(h/z₀)/ln(m/z₀), neutral air over even ground [WMO8, wind, from memory]. A gusty afternoon or the lee
    of trees does not follow it.

    Examples
    --------
    A mast at 10 m says 8 m/s; at 2 m over short grass:

    >>> print(f"{wind_at_height(8.0, 10.0, 2.0):.1f} m/s")
    5.8 m/s
    """
    length = positive(roughness, "roughness length [m]")
    for value in (measured_height, height):
        if np.any(np.asarray(value) <= length):
            raise ValueError("heights for the logarithmic wind law must lie above the roughness length")
    return speed * np.log(height / length) / np.log(measured_height / length)


def wind_at_height_by_power_law(
    speed: Real, measured_height: Real, height: Real, exponent: Real = 1 / 7
) -> Array:
    """Wind speed at another height by the power law U(h)/U(m) = (h/m)^exponent; 1/7 over open ground (common practice).

    Heights above the ground, positive [m]; speeds [m/s]. Raises ValueError for heights that are not positive.
    """
    ratio = positive(height, "height [m]") / positive(measured_height, "height of the mast [m]")
    return speed * ratio**exponent


def head_wind(speed: Real, from_direction: Real, heading: Real) -> Array:
    """Wind component against a heading [m/s]; `from_direction` is where the wind blows from, angles in radians, both true.

    Examples
    --------
    >>> from math import radians
    >>> print(f"{head_wind(30.0, radians(220), radians(180)):.1f}")
    23.0
    """
    return not_negative(speed, "wind speed [m/s]") * np.cos(np.subtract(from_direction, heading))


def cross_wind(speed: Real, from_direction: Real, heading: Real) -> Array:
    """Wind component across a heading, positive from the right [m/s]; as `head_wind`."""
    return not_negative(speed, "wind speed [m/s]") * np.sin(np.subtract(from_direction, heading))


def _theta(altitude: Array) -> Array:
    return 1 - LAPSE_RATE / SEA_LEVEL_TEMPERATURE * np.minimum(altitude, TROPOPAUSE)


def _stratosphere_ratio(altitude: Array) -> Array:
    return np.exp(-np.maximum(altitude - TROPOPAUSE, 0.0) / _SCALE_HEIGHT)


def _altitude_of_ratio(ratio: Array, exponent: float) -> Array:
    at_tropopause = _TROPOPAUSE_RATIO**exponent
    theta = np.maximum(ratio, at_tropopause) ** (1 / exponent)
    above = _SCALE_HEIGHT * np.log(np.maximum(at_tropopause / ratio, 1.0))
    return (1 - theta) * (SEA_LEVEL_TEMPERATURE / LAPSE_RATE) + above


_SLACK = 1e-12  # so that the pressure of an altitude on the very limit is not refused
_LOWEST_PRESSURE = float(standard_pressure(HIGHEST)) * (1 - _SLACK)
_HIGHEST_PRESSURE = float(standard_pressure(LOWEST)) * (1 + _SLACK)
_LOWEST_DENSITY = float(standard_density(HIGHEST)) * (1 - _SLACK)
_HIGHEST_DENSITY = float(standard_density(LOWEST_DENSITY_ALTITUDE)) * (1 + _SLACK)
