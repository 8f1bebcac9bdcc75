"""The standard atmosphere to 20 km and its inverse, density of the air, and altimeter settings.

Altitudes are geopotential; `geopotential` converts a geometric height. At 3 km the two differ by 1.4 m.
"""

import numpy as np

from wringout.physics.arrays import Array, Real, positive, within
from wringout.physics.constants import (
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
from wringout.physics.humidity import virtual_temperature
from wringout.physics.wind import wind_at_height as wind_at_height  # noqa: PLC0414 (public here too)

LOWEST = -2_000.0  # the range in which these functions answer, geopotential altitude [m]
HIGHEST = 20_000.0
LOWEST_DENSITY_ALTITUDE = (
    -5_000.0
)  # cold dense air lies below any ground; ICAO Doc 7488/3 tabulates from −5 km

_EXPONENT = GRAVITY / (GAS_CONSTANT_AIR * LAPSE_RATE)  # 5.25588
_TROPOPAUSE_TEMPERATURE = SEA_LEVEL_TEMPERATURE - LAPSE_RATE * TROPOPAUSE
_SCALE_HEIGHT = GAS_CONSTANT_AIR * _TROPOPAUSE_TEMPERATURE / GRAVITY
_TROPOPAUSE_RATIO = _TROPOPAUSE_TEMPERATURE / SEA_LEVEL_TEMPERATURE


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
    [ISO2533]: p = p₀ (T/T₀)^(g/RL) to 11 km, then falling by e over each R·T/g. `altitude_of_pressure` is
    its inverse.

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
    Inverse of `standard_pressure`, by the same constants, so that a round trip is exact to rounding
    [ISO2533].

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
    """Geometric height [m] of a geopotential altitude [m]; inverse of `geopotential`."""
    values = np.asarray(geopotential_altitude, dtype=np.float64)
    return EARTH_RADIUS * values / (EARTH_RADIUS - values)


def speed_of_sound(temperature: Real) -> Array:
    """Speed of sound in air at a static temperature [K], by a² = γRT [ISO2533]. [m/s]"""
    return np.sqrt(HEAT_CAPACITY_RATIO * GAS_CONSTANT_AIR * positive(temperature, "temperature [K]"))


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
    """Pressure altitude [m] of a field from altimeter setting [Pa] and elevation [m]; see `pressure_at`.

    Examples
    --------
    >>> inch = 3386.389
    >>> print(f"{pressure_altitude(30.10 * inch, 5883 * 0.3048) / 0.3048:.0f} ft")
    5718 ft
    """
    return elevation + altitude_of_pressure(qnh)


def altimeter_setting(pressure: Real, elevation: Real) -> Array:
    """Altimeter setting QNH [Pa] of a field from its air pressure [Pa] and elevation [m]."""
    return standard_pressure(altitude_of_pressure(pressure) - elevation)


def _theta(altitude: Array) -> Array:
    return 1 - LAPSE_RATE / SEA_LEVEL_TEMPERATURE * np.minimum(altitude, TROPOPAUSE)


def _stratosphere_ratio(altitude: Array) -> Array:
    return np.exp(-np.maximum(altitude - TROPOPAUSE, 0.0) / _SCALE_HEIGHT)


def _altitude_of_ratio(ratio: Array, exponent: float) -> Array:
    at_tropopause = _TROPOPAUSE_RATIO**exponent
    theta = np.maximum(ratio, at_tropopause) ** (1 / exponent)
    above = _SCALE_HEIGHT * np.log(np.maximum(at_tropopause / ratio, 1.0))
    return np.asarray((1 - theta) * (SEA_LEVEL_TEMPERATURE / LAPSE_RATE) + above)


_SLACK = 1e-12  # so that the pressure of an altitude on the very limit is not refused
_LOWEST_PRESSURE = float(standard_pressure(HIGHEST)) * (1 - _SLACK)
_HIGHEST_PRESSURE = float(standard_pressure(LOWEST)) * (1 + _SLACK)
_LOWEST_DENSITY = float(standard_density(HIGHEST)) * (1 - _SLACK)
_HIGHEST_DENSITY = float(standard_density(LOWEST_DENSITY_ALTITUDE)) * (1 + _SLACK)
