"""Running straight: which way a yaw on the wheels turns the airplane, how fast, and what a side wind asks."""

from __future__ import annotations

import math

from wringout.airplane.airplane import Geometry, Undercarriage
from wringout.physics.constants import GRAVITY
from wringout.undercarriage.static import static_loads, wheelbase

CORNERING = (
    6.0  # side force over load for a radian of slip, tyres on firm ground (common practice, no source)
)
YAW_RADIUS = 0.39  # non-dimensional radius of gyration in yaw [Raymer, table 16.1, from memory]
SIDE_FORCE = 1.0  # over q S of the side area, wind square to it (common practice, no source)


def wheel_margin(gear: Undercarriage, cg: float) -> float:
    """How far the main wheels stand behind the CG over the wheelbase: positive runs straight by itself.

    [derived] Yawed by ψ off its way the airplane feels a side force on the main wheels that opposes the slip;
    about the CG its moment is −C N_m (x_main − x) ψ, restoring where the wheels stand behind the CG. A castor
    free to swing takes no part. A third wheel held straight adds N_3 (x_3 − x), and with tyres alike the two
    cancel, for the loads balance about the CG: held straight a tail wheel makes it indifferent, not stable.
    """
    return (gear.main_arm - cg) / wheelbase(gear)


def yaw_inertia(mass: float, geometry: Geometry) -> float:
    """Moment of inertia in yaw [kg·m²]: m ((b + l)/2 · 0.39/2)² [Raymer, table 16.1, from memory].

    ValueError where the length is not described.
    """
    if geometry.length is None:
        raise ValueError("the moment of inertia in yaw needs the airplane's length")
    return mass * (0.25 * (geometry.span + geometry.length) * YAW_RADIUS) ** 2


def swing_growth(
    mass: float,
    behind: float,
    inertia: float,
    speed: float,
    *,
    cornering: float = CORNERING,
    share: float = 1.0,
) -> float:
    """Rate [1/s] at which a small swing grows, wheels free of the pilot; negative where it dies away.

    Parameters
    ----------
    mass : float
        [kg]
    behind : float
        How far the CG lies behind the main wheels [m]; negative ahead of them.
    inertia : float
        In yaw [kg·m²].
    speed : float
        Over the ground [m/s].
    cornering : float
        Side force over load for a radian of slip.
    share : float
        Of the weight on the main wheels.

    Returns
    -------
    float
        Of the faster of the two motions' real parts.

    Raises
    ------
    ValueError
        Mass, inertia or speed not positive.

    Notes
    -----
    [derived] With side velocity v and yaw rate r, C = c N_m on wheels a distance x ahead of the CG slips by
    (v + x r)/V: m (v' + V r) = −C (v + x r)/V and I r' = −x C (v + x r)/V. The rates s solve
    s² + (C/V)(1/m + x²/I) s − C x/I = 0: one is positive at any speed where x > 0, none where x < 0. The
    rudder, the fin and a steered third wheel are not in it.
    """
    if min(mass, inertia, speed) <= 0.0:
        raise ValueError("mass, inertia and speed must be positive")
    stiffness = cornering * share * mass * GRAVITY
    damping = stiffness / speed * (1.0 / mass + behind**2 / inertia)
    inside = 0.25 * damping**2 + stiffness * behind / inertia
    return -0.5 * damping + (math.sqrt(inside) if inside > 0.0 else 0.0)


def skid_or_tip(overturn_angle: float, friction: float) -> tuple[float, bool]:
    """Greatest sideways acceleration over g, and whether the wheels skid before the airplane tips.

    [derived] It tips at cot ψ, ψ the overturn angle [rad]; tyres let go at their friction.
    """
    tips = 1.0 / math.tan(overturn_angle)
    return min(tips, friction), friction < tips


def taxi_side_wind(
    gear: Undercarriage,
    geometry: Geometry,
    mass: float,
    cg: float,
    *,
    friction: float,
    density: float = 1.225,
    braked: bool = True,
) -> float | None:
    """Side wind [m/s] that the wheels still hold straight at a walk, one brake helping.

    Parameters
    ----------
    gear, geometry : Undercarriage, Geometry
        With the side area and the arm of its middle.
    mass, cg : float
        [kg], [m]
    friction : float
        Of the braked wheel and of the third wheel sideways.
    density : float
        Of the air [kg/m³].
    braked : bool
        Whether the down-wind brake may be used; without it only the third wheel holds.

    Returns
    -------
    float or None
        None where the side area is not described or nothing holds, inf where the wind does not turn it.

    Notes
    -----
    [derived] About the main axle the wind's moment q S (x_S − x_main) meets the third wheel's side grip
    μ N_3 L, where it is not a free castor, and one braked main wheel, μ (N_m/2)(t/2). The side force is q S
    times 1.0 (common practice, no source).
    """
    if geometry.side_area is None or geometry.side_area_arm is None:
        return None
    loads = static_loads(gear, mass, cg)
    steers = gear.castor_travel is not None
    held = friction * float(loads.third) * wheelbase(gear) if steers else 0.0
    if gear.braking and braked:
        held += friction * 0.25 * float(loads.main) * gear.track
    if held == 0.0:
        return None
    lever = abs(geometry.side_area_arm - gear.main_arm)
    if lever == 0.0:
        return math.inf
    return math.sqrt(2.0 * held * GRAVITY / (density * SIDE_FORCE * geometry.side_area * lever))
