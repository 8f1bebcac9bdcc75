"""Take-off: the ground run by quadrature in speed, then the air phase to the obstacle."""

from dataclasses import dataclass

import numpy as np

from wringout.physics.aerodynamics import drag_coefficient, ground_effect_factor
from wringout.physics.arrays import Array, Real, not_negative, positive
from wringout.physics.constants import OBSTACLE_HEIGHT
from wringout.physics.numerics import unit_nodes
from wringout.physics.takeoff_climb import air_phase
from wringout.physics.vehicle import Air, Vehicle, full_power, weight

GROUND_NODES = 12  # the ground run to 1e-6 of a differential-equation solver's (tests)


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
    wind_gain: Real = 0.0,
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
    wind_gain : float or array
        How much more of it blows at the obstacle height, by the logarithmic law between. [m/s]
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
    101 m + 133 m
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
        wind_gain=wind_gain,
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
