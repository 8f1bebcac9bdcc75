"""Take-off roll brought to still air, level ground, standard mass and density by the classical formulas."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.physics.constants import GRAVITY

FloatArray = NDArray[np.float64]

WIND_EXPONENT = 1.85  # [AC23-8C, 23.53; FTM108, ch. 9; from memory]
# How far the published exponents and the thrust law may be from one airplane's truth; common practice.
MASS_EXPONENT_SD = 0.3
DENSITY_EXPONENT_SD = 0.4


def still_air_roll(roll: ArrayLike, ground_speed: ArrayLike, head_wind: ArrayLike) -> FloatArray:
    """Ground roll in still air from one in wind, for take-off and landing alike.

    Parameters
    ----------
    roll : array_like
        Ground roll in the wind. [m]
    ground_speed : array_like
        Speed over the ground at lift-off or touchdown, not the airspeed. [m/s]
    head_wind : array_like
        Along the roll at the wing's height, negative for tail wind. [m/s]

    Returns
    -------
    ndarray
        [m]  NaN where any input is NaN.

    Raises
    ------
    ValueError
        Ground speed not positive, or a tail wind as fast as it.

    Notes
    -----
    S₀ = S_w ((V_g + V_w)/V_g)^1.85 with V_g the *ground* speed [AC23-8C, 23.53; FTM108, ch. 9; from
    memory]. An exponent of two would be constant acceleration; the airplane accelerates less as it goes
    faster. Putting the airspeed in V_g's place is the common mistake: 1.33 instead of 1.40 for 10 kt in 60.

    Examples
    --------
    1000 ft in 10 kt of head wind with lift-off at 60 kt true airspeed, 50 kt over the ground:

    >>> print(f"{still_air_roll(1000.0, 50.0, 10.0):.0f} ft")
    1401 ft
    """
    speed, wind = np.asarray(ground_speed, dtype=float), np.asarray(head_wind, dtype=float)
    if np.any(speed <= 0.0) or np.any(speed + wind <= 0.0):
        raise ValueError("the ground speed must be positive and more than the tail wind")
    still: FloatArray = np.asarray(roll, dtype=float) * ((speed + wind) / speed) ** WIND_EXPONENT
    return still


def level_roll(roll: ArrayLike, slope: ArrayLike, lift_off_speed: ArrayLike) -> FloatArray:
    """Take-off roll on level ground from one on a slope, in still air.

    Roll along the ground [m], slope as rise over run, positive uphill, lift-off speed over the ground
    [m/s]. Raises ValueError where the speed is not positive or the slope would give a downhill roll without
    any thrust (the formula's end).

    Notes
    -----
    Energy [derived; FTM108, ch. 9, from memory]: the mean accelerating force does V²/2 of work a kilogram
    on the level, and V²/2 + g S sin θ on the slope: S_level = S/(1 + 2 g S sin θ/V²).

    Examples
    --------
    1200 ft up 2 % with lift-off at 60 kt:

    >>> print(f"{level_roll(1200 * 0.3048, 0.02, 60 * 1852 / 3600) / 0.3048:.0f} ft")
    1043 ft
    """
    length, speed = np.asarray(roll, dtype=float), np.asarray(lift_off_speed, dtype=float)
    gradient = np.asarray(slope, dtype=float)
    if np.any(speed <= 0.0):
        raise ValueError("the lift-off speed must be positive")
    share = 1.0 + 2.0 * GRAVITY * length * gradient / np.sqrt(1.0 + gradient**2) / speed**2
    if np.any(share <= 0.0):
        raise ValueError("on this slope the weight alone would give the speed: the correction has no meaning")
    level: FloatArray = length / share
    return level


@dataclass(frozen=True, slots=True)
class RollRatios:
    """What a standard take-off has over the one flown.

    Mass m_s/m, density σ/σ_s, thrust T/T_s (test over standard).
    """

    mass: float
    density: float
    thrust: float


def standard_roll(roll: ArrayLike, ratios: RollRatios) -> FloatArray:
    """Take-off roll [m] at standard mass, density and thrust: S (m_s/m)^2.3 (σ/σ_s)(T/T_s)^1.3.

    [FTM108, ch. 9, from memory] Raises ValueError where a ratio is not positive.
    """
    if min(ratios.mass, ratios.density, ratios.thrust) <= 0.0:
        raise ValueError("mass, density and thrust ratios must be positive")
    factor = ratios.mass**2.3 * ratios.density * ratios.thrust**1.3
    standard: FloatArray = np.asarray(roll, dtype=float) * factor
    return standard


def standard_air_distance(distance: ArrayLike, ratios: RollRatios) -> FloatArray:
    """Air distance [m] from lift-off to 15 m at standard mass, density and thrust.

    S (m_s/m)^2.3 (σ/σ_s)^0.7 (T/T_s)^1.6 [FTM108, ch. 9, from memory] Raises ValueError where a ratio is
    not positive.
    """
    if min(ratios.mass, ratios.density, ratios.thrust) <= 0.0:
        raise ValueError("mass, density and thrust ratios must be positive")
    factor = ratios.mass**2.3 * ratios.density**0.7 * ratios.thrust**1.6
    standard: FloatArray = np.asarray(distance, dtype=float) * factor
    return standard


def propeller_thrust_ratio(density_ratio: float, power_ratio: float) -> float:
    """Low-speed thrust of a propeller at changed air density and power over that before: (P²ρ)^⅓ [derived].

    Momentum theory at rest gives T = (2ρA)^⅓ (η P)^⅔; during a take-off roll the same scaling holds closely
    while the slipstream is much faster than the airplane. Raises ValueError where a ratio is not positive.

    Examples
    --------
    >>> print(f"{propeller_thrust_ratio(0.9, 0.886):.3f}")
    0.891
    """
    if density_ratio <= 0.0 or power_ratio <= 0.0:
        raise ValueError("density and power ratios must be positive")
    return float(np.cbrt(power_ratio**2 * density_ratio))
