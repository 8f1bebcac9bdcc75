"""Water vapour in the air: saturation, dew point, and the virtual temperature that stands for it."""

import numpy as np

from wringout.physics.arrays import Array, Real, positive, within
from wringout.physics.constants import CELSIUS_ZERO

# WMO-No. 8, Annex 4.B: e_s = 611.2 Pa · exp(17.62 t/(243.12 °C + t)) over water, from −45 °C to 60 °C.
_WMO_PRESSURE, _WMO_SLOPE, _WMO_ZERO = 611.2, 17.62, 243.12
_WMO_COLDEST, _WMO_HOTTEST = CELSIUS_ZERO - 45.0, CELSIUS_ZERO + 60.0
_WATER_TO_AIR_MOLAR_MASS = 0.62198


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
