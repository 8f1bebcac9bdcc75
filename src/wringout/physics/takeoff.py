"""Take-off: ground run by quadrature in speed, then an arc and a climb to the obstacle closed by energy."""

from dataclasses import dataclass

import numpy as np

from wringout.physics.aerodynamics import drag_coefficient, ground_effect_factor
from wringout.physics.arrays import Array, Real, not_negative, positive
from wringout.physics.constants import GRAVITY, OBSTACLE_HEIGHT
from wringout.physics.quadrature import unit_nodes
from wringout.physics.vehicle import Air, Vehicle, drag, full_power, weight

GROUND_NODES = 12  # the ground run to 1e-6 or better against an ordinary differential equation solver (tests)
AIR_NODES = 4
AIR_PASSES = 6
ANGLE_STEPS = 4


@dataclass(frozen=True, slots=True)
class TakeOff:
    """Distances along the strip [m], true airspeeds [m/s], climb angle at the obstacle [rad], time [s].

    Infinite distances and times where the thrust cannot accelerate to the lift-off speed or cannot climb.
    `obstacle_speed` is above what was asked where the obstacle is passed on the arc; it and the angle are NaN
    where there is no climb.
    """

    ground_roll: Array
    air_distance: Array
    distance: Array
    lift_off_speed: Array
    obstacle_speed: Array
    climb_angle: Array
    time: Array


def take_off(
    vehicle: Vehicle,
    air: Air,
    *,
    lift_off_speed: Real,
    obstacle_speed: Real | None = None,
    rolling_friction: Real = 0.05,
    head_wind: Real = 0.0,
    slope: Real = 0.0,
    ground_lift_coefficient: Real = 0.3,
    load_factor: Real = 1.15,
    obstacle_height: Real = OBSTACLE_HEIGHT,
) -> TakeOff:
    """Take-off at full throttle from standstill to a height above the strip.

    Parameters
    ----------
    vehicle, air : see `vehicle`; all their fields broadcast with the arguments below
    lift_off_speed : float or array
        True airspeed at lift-off. [m/s]
    obstacle_speed : float or array, optional
        True airspeed at the obstacle height; the lift-off speed where None. [m/s]
    rolling_friction : float or array
        Of the surface, brakes off; see `ground.SURFACES`.
    head_wind : float or array
        Along the strip at wing height, tail wind negative. [m/s]
    slope : float or array
        Rise over run, positive uphill.
    ground_lift_coefficient : float or array
        In the attitude held during the roll.
    load_factor : float or array
        Lift over weight on the arc after lift-off, above 1.
    obstacle_height : float or array
        Above the strip below the airplane. [m]

    Returns
    -------
    TakeOff
        Every field of the broadcast shape; infinite where the airplane cannot do it, NaN where an input is
        NaN.

    Raises
    ------
    ValueError
        A speed or height that is not positive, negative friction, a load factor of 1 or less.

    Notes
    -----
    See `ground_roll` and `air_phase`.

    Examples
    --------
    >>> from wringout.physics.propulsion import ConstantSpeedPropeller, NaturallyAspiratedEngine
    >>> airplane = Vehicle(
    ...     mass=1090.0, wing_area=17.6, span=10.9, wing_height=2.1,
    ...     zero_lift_drag=0.045, induced_factor=0.055, lift_at_minimum_drag=0.0,
    ...     maximum_lift_coefficient=2.1,
    ...     propeller=ConstantSpeedPropeller(2.03, 0.75, 0.88), engine=NaturallyAspiratedEngine(149e3))
    >>> result = take_off(airplane, Air.standard(0.0), lift_off_speed=24.0, obstacle_speed=28.0)
    >>> print(f"{result.ground_roll:.0f} m + {result.air_distance:.0f} m")
    103 m + 141 m
    """
    roll, roll_time = ground_roll(
        vehicle,
        air,
        lift_off_speed=lift_off_speed,
        rolling_friction=rolling_friction,
        head_wind=head_wind,
        slope=slope,
        ground_lift_coefficient=ground_lift_coefficient,
    )
    flown, flown_time, passed, angle = air_phase(
        vehicle,
        air,
        lift_off_speed=lift_off_speed,
        obstacle_speed=obstacle_speed,
        head_wind=head_wind,
        slope=slope,
        load_factor=load_factor,
        obstacle_height=obstacle_height,
    )
    shape = np.broadcast_shapes(roll.shape, flown.shape)
    return TakeOff(
        ground_roll=np.broadcast_to(roll, shape),
        air_distance=np.broadcast_to(flown, shape),
        distance=roll + flown,
        lift_off_speed=np.broadcast_to(np.asarray(lift_off_speed, dtype=np.float64), shape),
        obstacle_speed=np.broadcast_to(passed, shape),
        climb_angle=np.broadcast_to(angle, shape),
        time=roll_time + flown_time,
    )


def ground_roll(
    vehicle: Vehicle,
    air: Air,
    *,
    lift_off_speed: Real,
    rolling_friction: Real = 0.05,
    head_wind: Real = 0.0,
    slope: Real = 0.0,
    ground_lift_coefficient: Real = 0.3,
) -> tuple[Array, Array]:
    """Distance [m] and time [s] from standstill to lift-off; arguments as `take_off`.

    Notes
    -----
    m a = T − D − μ (W cos θ − L) − W sin θ [derived]. With ground speed V − V_w, x = ∫ (V − V_w)/a dV and t
    = ∫ dV/a from V_w to V_LOF, by Gauss–Legendre quadrature. Lift and drag are in ground effect with wheels
    on the ground; friction ends where the wing carries all. No roll at all where the wind is as fast as the
    lift-off speed.
    """
    lift_off = positive(lift_off_speed, "lift-off speed [m/s]")
    friction = not_negative(rolling_friction, "rolling friction")
    wind = np.minimum(head_wind, lift_off)
    angle = np.arctan(slope)
    burden = weight(vehicle)
    normal, along = burden * np.cos(angle), burden * np.sin(angle)
    lift_per_pressure = np.multiply(ground_lift_coefficient, vehicle.wing_area)
    effect = ground_effect_factor(np.divide(vehicle.wing_height, vehicle.span))
    drag_per_pressure = vehicle.wing_area * drag_coefficient(
        ground_lift_coefficient,
        vehicle.zero_lift_drag,
        vehicle.induced_factor,
        vehicle.lift_at_minimum_drag,
        effect,
    )
    power = full_power(vehicle, air)

    def acceleration(speed: Array) -> Array:
        pressure = 0.5 * np.asarray(air.density) * speed * np.abs(speed)  # from behind in a tail wind
        wheels = np.maximum(normal - lift_per_pressure * np.abs(pressure), 0.0)
        pull = vehicle.propeller.thrust(speed, air.density, power)
        return np.asarray((pull - drag_per_pressure * pressure - friction * wheels - along) / vehicle.mass)

    span = lift_off - wind
    last = acceleration(lift_off + 0.0 * wind)  # of the whole broadcast shape
    first = acceleration(wind + 0.0 * lift_off)
    nodes, weights = unit_nodes(GROUND_NODES, last.ndim)
    gained = acceleration(wind + nodes * span)
    stuck = (np.min(gained, axis=0) <= 0) | (last <= 0) | (first <= 0)
    slowness = weights * span / np.where(stuck, 1.0, gained)
    time = np.where(stuck, np.inf, np.sum(slowness, axis=0))
    distance = np.where(stuck, np.inf, np.sum(slowness * nodes * span, axis=0))
    return distance, time


def air_phase(
    vehicle: Vehicle,
    air: Air,
    *,
    lift_off_speed: Real,
    obstacle_speed: Real | None = None,
    head_wind: Real = 0.0,
    slope: Real = 0.0,
    load_factor: Real = 1.15,
    obstacle_height: Real = OBSTACLE_HEIGHT,
) -> tuple[Array, Array, Array, Array]:
    """Distance along the strip [m], time [s], obstacle speed [m/s] and final climb angle [rad] from lift-off.

    Arguments and errors as `take_off`.

    Notes
    -----
    [derived] The path is an arc flown at lift n W, radius R = V²/(g (n − sin γ/γ)) with the arc's mean V²
    and mean cosine, then a straight climb at angle γ. Its length s follows from energy, whatever its shape:
    (T − D) s = W (h + (V₂² − V₁²)/2g), T − D averaged along the path with V² linear in s, drag at the
    path's mean square load factor and in the ground effect of the height reached. Geometry then gives γ,
    from s = h/sin γ + R (γ − tan γ/2), and the horizontal distance. Without an arc and at one speed this is
    sin γ = (T − D)/W with no small angle taken. An arc that reaches the obstacle by itself has s = R
    arccos(1 − h/R), and energy then gives the speed there. Uphill the obstacle stands on the rising strip:
    h grows by the ground covered times the slope.
    """
    start = positive(lift_off_speed, "lift-off speed [m/s]")
    asked = positive(start if obstacle_speed is None else obstacle_speed, "obstacle speed [m/s]")
    if np.any(np.asarray(load_factor) <= 1):
        raise ValueError("the load factor on the arc must be above 1 for the path to curve up")
    tilt = np.arctan(slope)
    rise = positive(obstacle_height, "obstacle height [m]") * np.cos(tilt)
    power = full_power(vehicle, air)
    kinetic = (np.square(asked) - np.square(start)) / (2 * GRAVITY)
    # Drag at lift-off has every field's shape but the propeller's and the arguments'.
    whole = drag(vehicle, air, start) + vehicle.propeller.thrust(start, air.density, power)
    shape = (whole + kinetic + rise + np.add(head_wind, load_factor)).shape
    fractions, shares = unit_nodes(AIR_NODES, len(shape))

    # A first guess that the passes below forget.
    half = np.full(shape, 0.08)
    length, radius, along_strip = rise / 0.15 + 0.0 * half, 200.0, 1.0
    passed = np.broadcast_to(asked, shape)
    for _ in range(AIR_PASSES):
        angle = 2 * np.arctan(half)
        turning = np.minimum(radius * angle / length, 1.0)  # share of the path that is arc
        speed = np.sqrt(np.square(start) + fractions * (np.square(passed) - np.square(start)))
        height = _height(fractions * length, turning * length, angle)
        spare = vehicle.propeller.thrust(speed, air.density, power) - drag(
            vehicle,
            air,
            speed,
            np.sqrt(turning * np.square(load_factor) + (1 - turning) * np.square(np.cos(angle))),
            ground_effect_factor((vehicle.wing_height + height) / vehicle.span),
        )
        gradient = np.sum(shares * spare, axis=0) / weight(vehicle) - along_strip * np.sin(tilt)
        climbs = ~(gradient <= 0)  # NaN goes on as NaN
        gradient = np.where(climbs, gradient, 1.0)

        mean_square = np.square(start) + turning / 2 * (np.square(passed) - np.square(start))
        radius = mean_square / (GRAVITY * (load_factor - np.sin(angle) / angle))
        steepest = np.tan(np.arccos(np.maximum(1 - rise / radius, 0.0)) / 2)
        length = np.maximum((rise + kinetic) / gradient, _path_length(steepest, rise, radius))
        half = _half_angle(length, rise, radius, steepest)
        passed = np.sqrt(
            np.maximum(np.square(asked), np.square(start) + 2 * GRAVITY * (gradient * length - rise))
        )
        time = 2 * length / (start + passed)
        # R sin γ + (rise − R (1 − cos γ))/tan γ, in t = tan γ/2
        distance = radius * half + rise * (1 / half - half) / 2 - head_wind * time
        along_strip = distance / length
    return (
        np.where(climbs, distance, np.inf),
        np.where(climbs, time, np.inf),
        np.where(climbs, passed, np.nan),
        np.where(climbs, 2 * np.arctan(half), np.nan),
    )


def _height(along: Array, arc: Array, angle: Array) -> Array:
    """Height above lift-off at a distance along an arc that turns by an angle, and the line after it."""
    turned = angle * np.minimum(along / arc, 1.0)
    beyond = np.maximum(along - arc, 0.0)
    return np.asarray(arc / angle * (1 - np.cos(turned)) + beyond * np.sin(angle))


def _path_length(half: Array, rise: Array, radius: Array) -> Array:
    """Length of arc and line together, rise/sin γ + R (γ − tan γ/2), from t = tan γ/2."""
    return np.asarray(rise * (1 / half + half) / 2 + radius * (2 * np.arctan(half) - half))


def _half_angle(length: Array, rise: Array, radius: Array, steepest: Array) -> Array:
    """The tangent of half the angle at which arc and line together have this length, by Newton from below.

    The length falls to its least at the steepest angle, where it is flat; the root of what is above that
    least is nearly straight there, so Newton's method is on the root. sin γ = rise/length lies below.
    """
    least = _path_length(steepest, rise, radius)
    asked = np.maximum(length - least, 0.0)
    sine = rise / length
    half = np.minimum(sine / (1 + np.sqrt(np.maximum(1 - sine**2, 0.0))), steepest)
    for _ in range(ANGLE_STEPS):
        fall = (1 - half**2) * (rise / (2 * half**2) - radius / (1 + half**2))
        above = np.maximum(_path_length(half, rise, radius) - least, 0.0)
        step = 2 * (above - np.sqrt(above * asked)) / np.maximum(fall, 1e-9 * rise)
        half = np.minimum(half + step, steepest)
    return np.asarray(half)
