"""Take-off: ground run by quadrature in speed, then an arc and a climb to the obstacle closed by energy."""

from dataclasses import dataclass

import numpy as np

from wringout.physics.aerodynamics import drag_coefficient, ground_effect_factor
from wringout.physics.arrays import Array, Real, not_negative, positive
from wringout.physics.constants import GRAVITY, OBSTACLE_HEIGHT
from wringout.physics.numerics import Curve, falling_root, unit_nodes
from wringout.physics.vehicle import Air, Vehicle, drag, full_power, weight

GROUND_NODES = 12  # the ground run to 1e-6 of a differential-equation solver's (tests)
ARC_STEPS = 3  # the air phase to about 1e-3 of such a solver's (tests)
STRAIGHT_NODES = 3
ROOT_STEPS = 5
END_STEPS = 8


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
        Lift over weight with which the arc after lift-off begins, above 1; the arc is flown at that lift
        coefficient, so that the load factor grows as V².
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
    [derived] An arc at constant lift coefficient, then a straight climb at the angle at which the airplane
    passes the obstacle at the speed asked. In axes along and normal to the strip, with kinetic height
    k = V²/2g and the angle γ between path and strip, per length of path:
    dk/ds = (T − D)/W − sin(γ + θ); dγ/ds = (n V²/V₁² − cos(γ + θ))/2k on the arc and 0 after it;
    dy/ds = sin γ. No angle is taken as small; drag is in the ground effect of the height reached. In steady
    wind along the strip the air is as good a frame as the ground, which moves by V_w t below it. The arc is
    integrated by Runge–Kutta steps; where it is left follows from the energy of the straight climb, by
    quadrature with k linear along it. Without an arc and at one speed sin γ = (T − D)/W. Where the arc
    itself reaches the obstacle above the speed asked, it is passed there, at the speed that energy gives.
    """
    start = positive(lift_off_speed, "lift-off speed [m/s]")
    asked = positive(start if obstacle_speed is None else obstacle_speed, "obstacle speed [m/s]")
    if np.any(np.asarray(load_factor) <= 1):
        raise ValueError("the load factor on the arc must be above 1 for the path to curve up")
    tilt = np.arctan(slope)
    rise = positive(obstacle_height, "obstacle height [m]") * np.cos(tilt)
    power = full_power(vehicle, air)
    first, last = np.square(start) / (2 * GRAVITY), np.square(asked) / (2 * GRAVITY)

    def gradient(kinetic: Array, height: Array, load: Array) -> Array:
        speed = np.sqrt(2 * GRAVITY * kinetic)
        effect = ground_effect_factor((vehicle.wing_height + height) / vehicle.span)
        spare = vehicle.propeller.thrust(speed, air.density, power) - drag(vehicle, air, speed, load, effect)
        return np.asarray(spare / weight(vehicle))

    def along_arc(state: Array) -> Array:
        angle, height = state[0], np.maximum(state[2], 0.0)
        kinetic = np.maximum(state[1], first / 4)
        load = load_factor * np.maximum(kinetic / first, 1.0)
        sine, cosine = np.sin(angle + tilt), np.cos(angle + tilt)
        return np.stack(
            [
                (load - cosine) / (2 * kinetic),
                gradient(kinetic, height, load) - sine,
                np.sin(angle),
                np.cos(angle),
                1 / np.sqrt(2 * GRAVITY * kinetic),
            ]
        )

    pull = load_factor - np.cos(tilt)
    gained = gradient(first, np.zeros(()), np.asarray(load_factor, dtype=np.float64)) - np.sin(tilt)
    zero = np.zeros(np.shape(gained + last + rise + np.asarray(head_wind)))
    longest = _arc_length(rise, first, pull, load_factor * np.maximum(gained, 1e-6)) + zero
    arc = Curve.integrate(along_arc, np.stack([zero, first + zero, zero, zero, zero]), longest, ARC_STEPS)

    fractions, shares = unit_nodes(STRAIGHT_NODES, zero.ndim)

    def straight_gradient(state: Array) -> Array:
        kinetic = np.maximum(state[1], first / 4)
        height = np.minimum(state[2], rise)
        steepness = gradient(
            kinetic + fractions * (last - kinetic),
            height + fractions * (rise - height),
            np.cos(state[0] + tilt),
        )
        return np.asarray(np.sum(shares * steepness, axis=0) - np.sin(state[0] + tilt))

    def too_fast(where: Array) -> Array:  # over the obstacle, when the arc is left there; times sin γ
        state = arc.at(where, slice(3))
        return np.asarray((state[1] - last) * np.sin(state[0]) + (rise - state[2]) * straight_gradient(state))

    end = falling_root(lambda where: rise - arc.at(where, 2), zero, zero + 1.0, END_STEPS)
    state = arc.at(falling_root(too_fast, zero, end, ROOT_STEPS))
    climbs = ~(state[0] <= 0)  # NaN goes on as NaN
    angle = np.where(climbs, state[0], 0.1)
    left = np.maximum(rise - state[2], 0.0) / np.sin(angle)
    kinetic = np.maximum(state[1] + left * straight_gradient(state), first / 16)
    speeds = np.sqrt(2 * GRAVITY * (state[1] + fractions * (kinetic - state[1])))
    time = state[4] + left * np.sum(shares / np.where(speeds > 0, speeds, 1.0), axis=0)
    distance = state[3] + left * np.cos(angle) - head_wind * time
    return (
        np.where(climbs, distance, np.inf),
        np.where(climbs, time, np.inf),
        np.where(climbs, np.sqrt(2 * GRAVITY * kinetic), np.nan),
        np.where(climbs, angle + tilt, np.nan),
    )


def _arc_length(rise: Array, kinetic: Array, pull: Array, growth: Array) -> Array:
    """A length in which an arc reaches a rise: at constant speed, or a quarter over that of growing speed.

    While the angle is small the height is (pull s²/2 + growth s³/6k)/2k; Newton's method from above on this
    convex cubic.
    """
    radius = 2 * kinetic / pull
    constant = radius * np.arccos(np.maximum(1 - rise / radius, 0.0))
    target = 2 * kinetic * rise
    length = np.minimum(np.sqrt(2 * target / pull), np.cbrt(6 * kinetic * target / growth))
    for _ in range(3):
        excess = length**2 * (pull / 2 + growth * length / (6 * kinetic)) - target
        length = length - excess / (length * (pull + growth * length / (2 * kinetic)))
    return np.minimum(constant, 1.25 * length)
