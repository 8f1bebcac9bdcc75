"""Wind near the ground: its change with height, and its components along and across a strip."""

from dataclasses import dataclass

import numpy as np

from wringout.physics.arrays import Array, Real, not_negative, positive


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
    U(h)/U(m) = ln(h/z₀)/ln(m/z₀), neutral air over even ground [WMO8, wind, from memory]. A gusty afternoon
    or the lee of trees does not follow it.

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
    """Wind speed at another height by the power law U(h)/U(m) = (h/m)^exponent.

    Heights above the ground [m], speeds [m/s]; the exponent is 1/7 over open ground (common practice).
    Raises ValueError for heights that are not positive.
    """
    ratio = positive(height, "height [m]") / positive(measured_height, "height of the mast [m]")
    return speed * ratio**exponent


def head_wind(speed: Real, from_direction: Real, heading: Real) -> Array:
    """Wind component against a heading [m/s].

    `from_direction` is where the wind blows from; both angles true [rad].

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


@dataclass(frozen=True, slots=True)
class LogarithmicGain:
    """How much more head wind an airplane meets the higher its wheels are above the ground.

    Parameters
    ----------
    gain : float or array
        At the obstacle height more than on the ground. [m/s]
    wing_height : float or array
        Of the wing with the wheels on the ground. [m]
    obstacle_height : float or array
        Of the wheels. [m]

    Notes
    -----
    By `wind_at_height` the gain at a height y of the wheels is proportional to ln(1 + y/h) with h the wing's
    height on the ground; the roughness length drops out [derived].

    Examples
    --------
    Of 1 m/s more at 15 m, what a wing of 2 m has by the time its wheels are 5 m up:

    >>> print(f"{LogarithmicGain(1.0, 2.0, 15.24).at(5.0):.2f} m/s")
    0.58 m/s
    """

    gain: Real
    wing_height: Real
    obstacle_height: Real

    def at(self, height: Real) -> Array:
        """More head wind than on the ground [m/s], the wheels at a height [m]."""
        return np.asarray(self._scale() * np.log1p(np.divide(height, self.wing_height)))

    def per_height(self, height: Real) -> Array:
        """Its growth there. [1/s]"""
        return np.asarray(self._scale() / np.add(height, self.wing_height))

    def mean(self, low: Real, high: Real) -> Array:
        """Its mean over heights [m], that of one height where they are the same. [m/s]"""
        depth = np.maximum(np.subtract(high, low), 1e-6)
        return np.asarray(self._scale() * (self._sum(np.add(low, depth)) - self._sum(low)) / depth)

    def _sum(self, height: Real) -> Array:
        """∫ ln(1 + y/h) dy up to a height."""
        return np.asarray(
            np.add(height, self.wing_height) * np.log1p(np.divide(height, self.wing_height)) - height
        )

    def _scale(self) -> Array:
        return np.asarray(self.gain / np.log1p(np.divide(self.obstacle_height, self.wing_height)))
