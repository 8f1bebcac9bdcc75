"""Calibrated, equivalent and true airspeed and Mach number, compressible, to Mach 0.9.

In moist air give the virtual temperature where a temperature is asked for: at 30 °C with a dew point of 20
°C the true airspeed is 0.4 % higher than in dry air.
"""

import numpy as np

from wringout.physics.arrays import Array, Real, not_negative, positive, within
from wringout.physics.atmosphere import speed_of_sound
from wringout.physics.constants import (
    HEAT_CAPACITY_RATIO,
    SEA_LEVEL_DENSITY,
    SEA_LEVEL_PRESSURE,
    SEA_LEVEL_SPEED_OF_SOUND,
)

HIGHEST_MACH = 0.9  # beyond it, shocks at the probe and the free stream are not this formula's business


def impact_pressure(calibrated_airspeed: Real) -> Array:
    """Impact pressure [Pa] that a pitot tube gives at a calibrated airspeed [m/s].

    Notes
    -----
    q_c = p₀((1 + 0.2 (V_c/a₀)²)^3.5 − 1): calibrated airspeed is defined by it at sea-level constants
    [ISO2533].
    """
    speed = not_negative(calibrated_airspeed, "calibrated airspeed [m/s]")
    return SEA_LEVEL_PRESSURE * _compression(speed / SEA_LEVEL_SPEED_OF_SOUND)


def mach_from_calibrated(calibrated_airspeed: Real, pressure: Real) -> Array:
    """Mach number from calibrated airspeed.

    Parameters
    ----------
    calibrated_airspeed : float or array
        Indicated airspeed after instrument and position error. [m/s]
    pressure : float or array
        Static pressure of the free air, not of the cabin. [Pa]

    Returns
    -------
    array
        Mach number.  NaN where any input is NaN.

    Raises
    ------
    ValueError
        Negative airspeed, pressure not positive, or a Mach number above 0.9.

    Notes
    -----
    M² = 5((q_c/p + 1)^(2/7) − 1) [ISO2533].

    Examples
    --------
    250 kt calibrated at flight level 100:

    >>> print(f"{mach_from_calibrated(250 * 1852 / 3600, 69_681.7):.4f}")
    0.4523
    """
    ratio = impact_pressure(calibrated_airspeed) / positive(pressure, "pressure [Pa]")
    return within(_mach_of_compression(ratio), 0.0, HIGHEST_MACH, "Mach number")


def calibrated_from_mach(mach: Real, pressure: Real) -> Array:
    """Calibrated airspeed [m/s] from Mach number (0 … 0.9) and static pressure [Pa].

    Inverse of `mach_from_calibrated`, with its errors.
    """
    number = within(mach, 0.0, HIGHEST_MACH, "Mach number")
    ratio = _compression(number) * positive(pressure, "pressure [Pa]") / SEA_LEVEL_PRESSURE
    return np.asarray(SEA_LEVEL_SPEED_OF_SOUND * _mach_of_compression(ratio))


def true_from_calibrated(calibrated_airspeed: Real, pressure: Real, temperature: Real) -> Array:
    """True airspeed from calibrated airspeed.

    Parameters
    ----------
    calibrated_airspeed : float or array
        Indicated airspeed after instrument and position error. [m/s]
    pressure : float or array
        Static pressure of the free air, not of the cabin. [Pa]
    temperature : float or array
        Static temperature, recovery already removed; virtual temperature in moist air. [K]

    Returns
    -------
    array
        True airspeed. [m/s]  NaN where any input is NaN.

    Raises
    ------
    ValueError
        Negative airspeed; pressure or temperature not positive; a Mach number above 0.9.

    Notes
    -----
    V = M·a: the Mach number at the actual static pressure, the speed of sound at the actual temperature
    [ISO2533].

    Examples
    --------
    120 kt calibrated at 8,000 ft pressure altitude and +10 °C:

    >>> knot = 1852 / 3600
    >>> print(f"{true_from_calibrated(120 * knot, 75_262.4, 283.15) / knot:.2f} kt")
    137.83 kt
    """
    return mach_from_calibrated(calibrated_airspeed, pressure) * speed_of_sound(temperature)


def calibrated_from_true(true_airspeed: Real, pressure: Real, temperature: Real) -> Array:
    """Calibrated airspeed [m/s] from true airspeed [m/s], static pressure [Pa] and temperature [K].

    Inverse of `true_from_calibrated`, with its errors.
    """
    speed = not_negative(true_airspeed, "true airspeed [m/s]")
    return calibrated_from_mach(speed / speed_of_sound(temperature), pressure)


def equivalent_from_calibrated(calibrated_airspeed: Real, pressure: Real) -> Array:
    """Equivalent airspeed: that of the same dynamic pressure in sea-level air.

    Parameters
    ----------
    calibrated_airspeed : float or array
        [m/s]
    pressure : float or array
        Static pressure. [Pa]

    Returns
    -------
    array
        [m/s]  Below calibrated by the compressibility: 0.1 kt at 100 kt and 10,000 ft.

    Raises
    ------
    ValueError
        As `mach_from_calibrated`.

    Notes
    -----
    ½ρ₀V_e² = ½γpM² [ISO2533]; temperature does not enter.

    Examples
    --------
    >>> knot = 1852 / 3600
    >>> print(f"{equivalent_from_calibrated(200 * knot, 69_681.7) / knot:.2f} kt")
    199.00 kt
    """
    return mach_from_calibrated(calibrated_airspeed, pressure) * _equivalent_at_mach_one(pressure)


def calibrated_from_equivalent(equivalent_airspeed: Real, pressure: Real) -> Array:
    """Calibrated airspeed [m/s] from equivalent airspeed [m/s] and static pressure [Pa].

    Inverse of `equivalent_from_calibrated`, with its errors.
    """
    speed = not_negative(equivalent_airspeed, "equivalent airspeed [m/s]")
    return calibrated_from_mach(speed / _equivalent_at_mach_one(pressure), pressure)


def true_from_equivalent(equivalent_airspeed: Real, density: Real) -> Array:
    """True airspeed [m/s] from equivalent airspeed [m/s] and air density, moisture included [kg/m³]."""
    return equivalent_airspeed * np.sqrt(SEA_LEVEL_DENSITY / positive(density, "air density [kg/m³]"))


def equivalent_from_true(true_airspeed: Real, density: Real) -> Array:
    """Equivalent airspeed [m/s] from true airspeed [m/s] and the air's own density [kg/m³]."""
    return true_airspeed * np.sqrt(positive(density, "air density [kg/m³]") / SEA_LEVEL_DENSITY)


def _equivalent_at_mach_one(pressure: Real) -> Array:
    return np.sqrt(HEAT_CAPACITY_RATIO * positive(pressure, "pressure [Pa]") / SEA_LEVEL_DENSITY)


# expm1 and log1p keep every digit at the 20 m/s of a stall, where the pressure ratio is 1.002.
def _compression(mach: Array) -> Array:
    return np.expm1(3.5 * np.log1p(0.2 * mach**2))


def _mach_of_compression(ratio: Array) -> Array:
    return np.asarray(np.sqrt(5 * np.expm1(np.log1p(ratio) / 3.5)))
