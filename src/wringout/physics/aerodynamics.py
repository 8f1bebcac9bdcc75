"""Lift, the drag polar, ground effect, stall speed, and the closed forms of a parabolic polar."""

import numpy as np

from wringout.physics.arrays import Array, Real, not_negative, positive
from wringout.physics.constants import GRAVITY

GROUND_EFFECT = 33.0  # of (h/b)^1.5


def ground_effect_factor(height_over_span: Real) -> Array:
    """Fraction of the free-air induced drag that is left near the ground.

    Parameters
    ----------
    height_over_span : float or array
        Height of the wing's quarter chord above the ground over the span.

    Returns
    -------
    array
        Between 0 and 1.

    Raises
    ------
    ValueError
        Negative height.

    Notes
    -----
    φ = 33 (h/b)^1.5/(1 + 33 (h/b)^1.5) [Raymer, from memory], within 0.04 of Prandtl's biplane of a wing and
    its image and of the lifting line (tests). The vortex pair (16 h/b)²/(1 + (16 h/b)²) of some textbooks
    leaves half as much again of the induced drag at h/b = 0.1.

    Examples
    --------
    >>> print(f"{ground_effect_factor(0.1):.3f}")
    0.511
    """
    height = not_negative(height_over_span, "height over span")
    nearness = GROUND_EFFECT * height * np.sqrt(height)
    return nearness / (1 + nearness)


def induced_drag_factor(span: Real, wing_area: Real, oswald: Real) -> Array:
    """Factor K of lift-dependent drag, S/(π e b²) [Anderson ch. 6].

    Span [m], wing area [m²] and Oswald's efficiency e, which must be positive (ValueError).
    """
    return np.asarray(wing_area / (np.pi * positive(oswald, "Oswald's efficiency") * np.square(span)))


def drag_coefficient(
    lift_coefficient: Real,
    zero_lift_drag: Real,
    induced_factor: Real,
    lift_at_minimum_drag: Real = 0.0,
    ground_effect: Real = 1.0,
) -> Array:
    """Drag coefficient of the parabolic polar C_D = C_D0 + φ K (C_L − C_L,min)².

    Parameters
    ----------
    lift_coefficient : float or array
        C_L.
    zero_lift_drag : float or array
        C_D0, the least drag coefficient. Where C_L,min is not zero the drag at zero lift is a little more.
    induced_factor : float or array
        K in free air.
    lift_at_minimum_drag : float or array
        C_L,min.
    ground_effect : float or array
        φ of `ground_effect_factor`; 1 in free air.

    Returns
    -------
    array
        C_D.

    Examples
    --------
    >>> print(f"{drag_coefficient(0.357, 0.025, 0.0540):.4f}")
    0.0319
    """
    return zero_lift_drag + ground_effect * induced_factor * np.square(
        np.subtract(lift_coefficient, lift_at_minimum_drag)
    )


def stall_speed(
    mass: Real, density: Real, wing_area: Real, maximum_lift_coefficient: Real, load_factor: Real = 1.0
) -> Array:
    """Speed at which the wing just carries the load at its greatest lift coefficient.

    Parameters
    ----------
    mass : float or array
        [kg]
    density : float or array
        Of the air for a true airspeed; sea-level standard for an equivalent airspeed. [kg/m³]
    wing_area : float or array
        [m²]
    maximum_lift_coefficient : float or array
        Of the flap setting and power state asked for.
    load_factor : float or array
        Lift over weight; 1 in straight flight.

    Returns
    -------
    array
        [m/s]

    Raises
    ------
    ValueError
        An argument that is not positive.

    Notes
    -----
    V = √(2 n m g/(ρ S C_Lmax)), the definition of C_Lmax.

    Examples
    --------
    >>> print(f"{stall_speed(1090.0, 1.225, 17.6, 2.1):.2f} m/s")
    21.73 m/s
    """
    lift = positive(load_factor, "load factor") * positive(mass, "mass [kg]") * GRAVITY
    area = positive(wing_area, "wing area [m²]") * positive(maximum_lift_coefficient, "C_Lmax")
    return np.sqrt(2 * lift / (positive(density, "air density [kg/m³]") * area))


def best_glide_lift_coefficient(
    zero_lift_drag: Real, induced_factor: Real, lift_at_minimum_drag: Real = 0.0
) -> Array:
    """Lift coefficient of the greatest lift over drag: C_L² = C_D0/K + C_L,min², from d(C_D/C_L)/dC_L = 0."""
    return np.sqrt(zero_lift_drag / induced_factor + np.square(lift_at_minimum_drag))


def least_power_lift_coefficient(
    zero_lift_drag: Real, induced_factor: Real, lift_at_minimum_drag: Real = 0.0
) -> Array:
    """Lift coefficient of least drag power, hence least sink.

    d(C_L³/C_D²)/dC_L = 0 gives K C_L² + 2 K C_L,min C_L − 3 (C_D0 + K C_L,min²) = 0; its positive root.
    """
    offset = np.asarray(lift_at_minimum_drag, dtype=np.float64)
    return -offset + np.sqrt(4 * offset**2 + 3 * zero_lift_drag / induced_factor)


def speed_at_lift_coefficient(
    lift_coefficient: Real, mass: Real, density: Real, wing_area: Real, load_factor: Real = 1.0
) -> Array:
    """Speed [m/s] at which a mass flies at a lift coefficient, V = √(2 n m g/(ρ S C_L)).

    Mass [kg], density [kg/m³], wing area [m²] and load factor as `stall_speed`.
    """
    return stall_speed(mass, density, wing_area, lift_coefficient, load_factor)
