"""Landing roll brought to level ground, standard mass and density, and the braking that it implies."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.physics.constants import GRAVITY, OBSTACLE_HEIGHT

FloatArray = NDArray[np.float64]

# How far the published exponent of mass may be from one airplane's truth: friction-limited brakes give 1, a
# fixed brake force 2. Common practice.
MASS_EXPONENT_SD = 0.5


def level_landing_roll(roll: ArrayLike, slope: ArrayLike, touchdown_speed: ArrayLike) -> FloatArray:
    """Landing roll on level ground from one on a slope, in still air.

    Roll along the ground [m], slope as rise over run, positive uphill, touchdown speed over the ground
    [m/s]. Raises ValueError where the speed is not positive, or uphill weight alone would have stopped the
    airplane sooner.

    Notes
    -----
    Energy [derived]: brakes and drag take V²/2 a kilogram on the level, V²/2 − g S sin θ uphill:
    S_level = S/(1 − 2 g S sin θ/V²). The take-off's formula with the sign of the slope turned.
    """
    length, speed = np.asarray(roll, dtype=float), np.asarray(touchdown_speed, dtype=float)
    gradient = np.asarray(slope, dtype=float)
    if np.any(speed <= 0.0):
        raise ValueError("the touchdown speed must be positive")
    share = 1.0 - 2.0 * GRAVITY * length * gradient / np.sqrt(1.0 + gradient**2) / speed**2
    if np.any(share <= 0.0):
        raise ValueError(
            "on this slope the weight alone would stop the airplane: the correction has no meaning"
        )
    level: FloatArray = length / share
    return level


def standard_landing_roll(roll: ArrayLike, mass_ratio: ArrayLike, density_ratio: ArrayLike) -> FloatArray:
    """Landing roll [m] at standard mass and density: S (m_s/m)² (σ/σ_s) [FTM108, ch. 9, from memory].

    `mass_ratio` is standard over test, `density_ratio` test over standard. Raises ValueError where one is
    not positive.

    Examples
    --------
    >>> print(f"{standard_landing_roll(1.0, 2400 / 2200, 0.9):.4f}")
    1.0711
    """
    mass, density = np.asarray(mass_ratio, dtype=float), np.asarray(density_ratio, dtype=float)
    if np.any(mass <= 0.0) or np.any(density <= 0.0):
        raise ValueError("mass and density ratios must be positive")
    standard: FloatArray = np.asarray(roll, dtype=float) * mass**2 * density
    return standard


def standard_landing_air_distance(
    distance: ArrayLike,
    mass_ratio: ArrayLike,
    density_ratio: ArrayLike,
    obstacle_speed: ArrayLike,
    touchdown_speed: ArrayLike,
) -> FloatArray:
    """Air distance [m] from 15 m to touchdown at standard mass and density.

    Speeds are true airspeeds [m/s]; ratios as `standard_landing_roll`. Raises ValueError where a ratio is
    not positive.

    Notes
    -----
    S (m_s/m)^(2 + k) (σ/σ_s)^k with k = E/(E + 15.24 m) and the energy height E = (V₅₀² − V_TD²)/2g: the
    share of the distance that bleeds speed scales as a roll, the share that loses height does not [FTM108,
    ch. 9, from memory].

    Examples
    --------
    70 kt over the obstacle, 55 kt at touchdown:

    >>> knot = 1852 / 3600
    >>> print(f"{standard_landing_air_distance(1.0, 2400 / 2200, 0.9, 70 * knot, 55 * knot):.4f}")
    1.1765
    """
    mass, density = np.asarray(mass_ratio, dtype=float), np.asarray(density_ratio, dtype=float)
    if np.any(mass <= 0.0) or np.any(density <= 0.0):
        raise ValueError("mass and density ratios must be positive")
    fast, slow = np.asarray(obstacle_speed, dtype=float), np.asarray(touchdown_speed, dtype=float)
    energy_height = np.maximum(fast**2 - slow**2, 0.0) / (2.0 * GRAVITY)
    share = energy_height / (energy_height + OBSTACLE_HEIGHT)
    standard: FloatArray = np.asarray(distance, dtype=float) * mass ** (2.0 + share) * density**share
    return standard


def mean_braking(roll: ArrayLike, touchdown_ground_speed: ArrayLike, slope: ArrayLike = 0.0) -> FloatArray:
    """Mean deceleration of a landing roll over g, on level ground: V_g²/(2 g S) − sin θ [derived].

    Roll [m] from touchdown to full stop, touchdown speed over the ground [m/s] (so wind is out of it),
    slope positive uphill. It is the friction coefficient that brakes and drag together reached. Raises
    ValueError where the roll is not positive.

    Examples
    --------
    120 m from 45 kt on the level:

    >>> print(f"{mean_braking(120.0, 45 * 1852 / 3600):.2f}")
    0.23
    """
    length, gradient = np.asarray(roll, dtype=float), np.asarray(slope, dtype=float)
    if np.any(length <= 0.0):
        raise ValueError("the roll must be positive")
    speed = np.asarray(touchdown_ground_speed, dtype=float)
    braking: FloatArray = speed**2 / (2.0 * GRAVITY * length) - gradient / np.sqrt(1.0 + gradient**2)
    return braking
