"""Forces between airplane and ground: friction of surfaces, what brakes can do, what a stop asks of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from wringout.physics.arrays import Array, Real, not_negative, positive
from wringout.physics.constants import GRAVITY


@dataclass(frozen=True, slots=True)
class Surface:
    """Friction coefficients of one kind of ground with their bounds: rolling, and with brakes hard on."""

    name: str
    rolling: float
    rolling_bounds: tuple[float, float]
    braking: float
    braking_bounds: tuple[float, float]
    source: str


_RAYMER = "Raymer, ground-rolling friction table, quoted second-hand"
_PRACTICE = "common practice, no source"

SURFACES: Mapping[str, Surface] = MappingProxyType(
    {
        surface.name: surface
        for surface in (
            Surface("dry concrete", 0.04, (0.03, 0.05), 0.4, (0.3, 0.5), _RAYMER),
            Surface("wet concrete", 0.05, (0.05, 0.05), 0.225, (0.15, 0.3), _RAYMER),
            Surface("icy concrete", 0.02, (0.02, 0.02), 0.08, (0.06, 0.10), _RAYMER),
            Surface("hard turf", 0.05, (0.05, 0.05), 0.4, (0.4, 0.4), _RAYMER),
            Surface("firm dirt", 0.04, (0.04, 0.04), 0.3, (0.3, 0.3), _RAYMER),
            Surface("soft turf", 0.07, (0.07, 0.07), 0.2, (0.2, 0.2), _RAYMER),
            Surface("wet grass", 0.08, (0.08, 0.08), 0.2, (0.2, 0.2), _RAYMER),
            Surface(
                "dry grass",
                0.05,
                (0.04, 0.07),
                0.4,
                (0.2, 0.4),
                "rolling: average field, short grass (Diehl, from memory); braking and bounds: hard to soft "
                "turf in Raymer's table",
            ),
            Surface(
                "long grass",
                0.10,
                (0.07, 0.15),
                0.2,
                (0.15, 0.3),
                "rolling: Diehl, from memory; bounds and braking: " + _PRACTICE,
            ),
            Surface("gravel", 0.04, (0.03, 0.06), 0.3, (0.25, 0.4), _PRACTICE),
            Surface("salt pan", 0.03, (0.02, 0.05), 0.3, (0.2, 0.5), _PRACTICE),
            Surface("snow", 0.08, (0.04, 0.2), 0.25, (0.1, 0.37), _PRACTICE),
            Surface(
                "sand",
                0.15,
                (0.10, 0.30),
                0.3,
                (0.2, 0.4),
                "rolling: soft ground (Diehl, from memory); braking: " + _PRACTICE,
            ),
            Surface(
                "mud",
                0.20,
                (0.10, 0.30),
                0.15,
                (0.05, 0.25),
                "rolling: soft ground (Diehl, from memory); braking: " + _PRACTICE,
            ),
        )
    }
)


def nose_wheel_braking(friction: Real, wheelbase: Real, cg_height: Real, cg_behind_nose_wheel: Real) -> Array:
    """Braking force over the load on all wheels, main wheels braked, nose wheel rolling free.

    Parameters
    ----------
    friction : float or array
        Coefficient μ at the braked wheels.
    wheelbase : float or array
        Nose to main wheels, L. [m]
    cg_height : float or array
        Above the ground, h. [m]
    cg_behind_nose_wheel : float or array
        a. [m]

    Returns
    -------
    array
        Deceleration over g where the wheels carry the entire weight and nothing else slows the airplane.

    Raises
    ------
    ValueError
        Negative friction; a length that is not positive.

    Notes
    -----
    [derived] The load N on the wheels is shared N_n + N_m = N. Moments about the CG, with lift and drag
    through it: N_n a = N_m (L − a) + μ N_m h. Hence N_m = N a/(L + μ h) and the force μ N_m = N μ a/(L + μ
    h). Braking throws load forward off the braked wheels, so it gains less than in proportion to μ.

    Examples
    --------
    >>> print(f"{nose_wheel_braking(0.4, 1.65, 0.95, 1.35):.3f}")
    0.266
    """
    share = positive(cg_behind_nose_wheel, "CG behind the nose wheel [m]")
    base = positive(wheelbase, "wheelbase [m]")
    return (
        not_negative(friction, "friction") * share / (base + friction * positive(cg_height, "CG height [m]"))
    )


def tail_wheel_braking(
    friction: Real, wheelbase: Real, cg_height: Real, cg_behind_main_wheels: Real
) -> Array:
    """Braking force over the load on all wheels with a tail wheel, up to lifting the tail.

    Parameters
    ----------
    friction : float or array
        Coefficient μ at the braked main wheels.
    wheelbase : float or array
        Main to tail wheel, L. [m]
    cg_height : float or array
        Above the ground, in the attitude asked for, h. [m]
    cg_behind_main_wheels : float or array
        Behind the main wheels' contact in that attitude, x. [m]

    Returns
    -------
    array
        Deceleration over g where the wheels carry the entire weight and nothing else slows the airplane.

    Raises
    ------
    ValueError
        Negative friction; a length that is not positive.

    Notes
    -----
    [derived] Moments about the CG: N_m x = N_t (L − x) + μ N_m h, so N_m = N (L − x)/(L − μ h) and the
    force over N is μ (L − x)/(L − μ h). It grows with μ until the tail wheel carries nothing, N_t = 0 at μ
    = x/h, where the airplane decelerates at x/h; more brake puts it on its nose, and the pilot must ease
    off. Air on the tail adds to this at speed.

    Examples
    --------
    >>> print(f"{tail_wheel_braking(0.6, 6.0, 1.2, 0.4):.3f}")
    0.333
    """
    base = positive(wheelbase, "wheelbase [m]")
    height = positive(cg_height, "CG height [m]")
    behind = positive(cg_behind_main_wheels, "CG behind the main wheels [m]")
    used = np.minimum(not_negative(friction, "friction"), behind / height)
    return used * (base - behind) / (base - used * height)


def stopping_deceleration(speed: Real, distance: Real, head_wind: Real = 0.0) -> Array:
    """Mean deceleration over g that stops from a true airspeed within a distance.

    Parameters
    ----------
    speed : float or array
        True airspeed at touchdown. [m/s]
    distance : float or array
        Along the ground. [m]
    head_wind : float or array
        [m/s]

    Returns
    -------
    array
        a/g = (V − V_w)²/(2 s g) [derived: uniform deceleration needs the least peak].

    Raises
    ------
    ValueError
        Distance not positive.

    Examples
    --------
    >>> print(f"{stopping_deceleration(20.0, 50.0):.3f}")
    0.408
    """
    ground_speed = np.maximum(np.subtract(speed, head_wind), 0.0)
    return ground_speed**2 / (2 * GRAVITY * positive(distance, "distance [m]"))
