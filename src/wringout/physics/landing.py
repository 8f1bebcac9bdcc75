"""Landing: approach, flare arc and float in the air; free roll and braking on the ground."""

from dataclasses import dataclass

import numpy as np

from wringout.physics.aerodynamics import drag_coefficient, ground_effect_factor
from wringout.physics.arrays import Array, Real, not_negative, positive
from wringout.physics.constants import GRAVITY, OBSTACLE_HEIGHT
from wringout.physics.numerics import unit_nodes
from wringout.physics.vehicle import Air, Vehicle, drag, weight
from wringout.physics.wind import LogarithmicGain

FLOAT_NODES = 4
BRAKING_NODES = 12


@dataclass(frozen=True, slots=True)
class Landing:
    """Distances along the strip [m], true touchdown speed [m/s], decelerations on ground [m/s²], time [s].

    Infinite distances where the path does not meet the strip or nothing stops the airplane.
    """

    air_distance: Array
    ground_roll: Array
    distance: Array
    touchdown_speed: Array
    mean_deceleration: Array
    peak_deceleration: Array
    time: Array


def landing(
    vehicle: Vehicle,
    air: Air,
    *,
    approach_speed: Real,
    touchdown_speed: Real,
    braking: Real,
    approach_angle: Real = 0.0524,
    head_wind: Real = 0.0,
    wind_gain: Real = 0.0,
    slope: Real = 0.0,
    load_factor: Real = 1.1,
    free_roll_time: Real = 1.0,
    rolling_friction: Real = 0.05,
    ground_lift_coefficient: Real = 0.3,
    propeller_drag_area: Real = 0.0,
    obstacle_height: Real = OBSTACLE_HEIGHT,
) -> Landing:
    """Landing from a height above the strip to a full stop.

    Parameters
    ----------
    vehicle, air : see `vehicle`; all their fields broadcast with the arguments below
    approach_speed, touchdown_speed : float or array
        True airspeeds. [m/s]
    braking : float or array
        Braking force over the load on all wheels: `ground.nose_wheel_braking` or
        `ground.tail_wheel_braking`, times the share of it that the pilot uses.
    approach_angle : float or array
        Descent through the air, positive down; 3° where not given. [rad]
    head_wind : float or array
        Along the strip at wing height, tail wind negative. [m/s]
    wind_gain : float or array
        How much more of it blows at the obstacle height, by the logarithmic law between. [m/s]
    slope : float or array
        Rise over run in the direction of landing, positive uphill.
    load_factor : float or array
        Lift over weight in the flare, above 1.
    free_roll_time : float or array
        From touchdown to full brakes. [s]
    rolling_friction : float or array
        Before the brakes.
    ground_lift_coefficient : float or array
        In the attitude and flap setting of the roll.
    propeller_drag_area : float or array
        C_D S that the idling propeller adds. [m²]
    obstacle_height : float or array
        Above the strip below the airplane. [m]

    Returns
    -------
    Landing
        Every field of the broadcast shape; infinite where it cannot be done, NaN where an input is NaN.

    Raises
    ------
    ValueError
        A speed, angle or height that is not positive; a negative friction, braking or time; a load factor
        of 1 or less.

    Notes
    -----
    See `landing_air_distance` and `landing_roll`.

    Examples
    --------
    >>> from wringout.physics.ground import tail_wheel_braking
    >>> from wringout.physics.propulsion import ConstantSpeedPropeller, NaturallyAspiratedEngine
    >>> airplane = Vehicle(
    ...     mass=1090.0, wing_area=17.6, span=10.9, wing_height=2.1,
    ...     zero_lift_drag=0.075, induced_factor=0.055, lift_at_minimum_drag=0.0,
    ...     maximum_lift_coefficient=2.4,
    ...     propeller=ConstantSpeedPropeller(2.03, 0.75, 0.88), engine=NaturallyAspiratedEngine(149e3))
    >>> brakes = tail_wheel_braking(0.4, 6.0, 1.2, 0.5)
    >>> result = landing(
    ...     airplane, Air.standard(0.0), approach_speed=26.0, touchdown_speed=22.0, braking=brakes)
    >>> print(f"{result.air_distance:.0f} m + {result.ground_roll:.0f} m")
    362 m + 81 m
    """
    flown, flown_time = landing_air_distance(
        vehicle,
        air,
        approach_speed=approach_speed,
        touchdown_speed=touchdown_speed,
        approach_angle=approach_angle,
        head_wind=head_wind,
        wind_gain=wind_gain,
        slope=slope,
        load_factor=load_factor,
        propeller_drag_area=propeller_drag_area,
        obstacle_height=obstacle_height,
    )
    roll, roll_time, peak = landing_roll(
        vehicle,
        air,
        touchdown_speed=touchdown_speed,
        braking=braking,
        head_wind=head_wind,
        slope=slope,
        free_roll_time=free_roll_time,
        rolling_friction=rolling_friction,
        ground_lift_coefficient=ground_lift_coefficient,
        propeller_drag_area=propeller_drag_area,
    )
    ground_speed = np.maximum(np.subtract(touchdown_speed, head_wind), 0.0)
    mean = ground_speed**2 / (2 * np.where(roll == 0, 1.0, roll))
    shape = np.broadcast_shapes(roll.shape, flown.shape)
    return Landing(
        air_distance=np.broadcast_to(flown, shape),
        ground_roll=np.broadcast_to(roll, shape),
        distance=roll + flown,
        touchdown_speed=np.broadcast_to(np.asarray(touchdown_speed, dtype=np.float64), shape),
        mean_deceleration=np.broadcast_to(mean, shape),
        peak_deceleration=np.broadcast_to(peak, shape),
        time=flown_time + roll_time,
    )


def landing_air_distance(
    vehicle: Vehicle,
    air: Air,
    *,
    approach_speed: Real,
    touchdown_speed: Real,
    approach_angle: Real = 0.0524,
    head_wind: Real = 0.0,
    wind_gain: Real = 0.0,
    slope: Real = 0.0,
    load_factor: Real = 1.1,
    propeller_drag_area: Real = 0.0,
    obstacle_height: Real = OBSTACLE_HEIGHT,
) -> tuple[Array, Array]:
    """Distance along the strip [m] and time [s] from the obstacle height to touchdown.

    Arguments and errors as `landing`.

    Notes
    -----
    [derived] A straight descent at the approach speed; a circular flare of radius R = V²/(g (n − sin γ/γ)),
    from the angle γ between path and strip to none, power off from its start; a float just above the strip
    from the speed left by the flare to touchdown, x = ∫ V dV/a with a = g (D/W + sin θ) in ground effect.
    The flare leaves V² + 2 g (R (1 − cos γ) − R γ D/W), its root less the head wind that is lost from the
    obstacle down: over the last seconds no power makes up for it. Where that is below the touchdown speed
    there is no float and the touchdown speed is taken to be held by power. On a sloping strip sin γ is that
    of the approach plus the strip's rise below the airplane, (cos γ_a − V_w/V) tan θ. A flare that would
    begin above the obstacle height begins before it.
    """
    fast = positive(approach_speed, "approach speed [m/s]")
    slow = positive(touchdown_speed, "touchdown speed [m/s]")
    path = positive(approach_angle, "approach angle [rad]")
    height = positive(obstacle_height, "obstacle height [m]")
    if np.any(np.asarray(load_factor) <= 1):
        raise ValueError("the load factor of the flare must be above 1 for the path to curve up")
    closing = np.sin(path) + (np.cos(path) - np.divide(head_wind, fast)) * np.asarray(slope)
    meets = ~(closing <= 0)
    angle = np.arcsin(np.clip(np.where(meets, closing, 0.1), 1e-6, 0.99))
    radius = fast**2 / (GRAVITY * (load_factor - np.sin(angle) / angle))
    turned = np.minimum(angle, np.arccos(np.maximum(1 - height / radius, 0.0)))
    flare_height = radius * (1 - np.cos(turned))
    straight = (height - flare_height) / np.tan(angle)
    arc = radius * turned
    arc_drag = _idle_drag(
        vehicle, air, fast, propeller_drag_area, load_factor=load_factor, height=flare_height / 3
    ) / weight(vehicle)
    wind = LogarithmicGain(wind_gain, vehicle.wing_height, height)
    flared = np.maximum(fast**2 + 2 * GRAVITY * (flare_height - arc * arc_drag), slow**2)
    left = np.maximum(np.sqrt(flared) - wind_gain, slow) ** 2
    tilt = np.arctan(slope)
    nodes, shares = unit_nodes(FLOAT_NODES, np.ndim(left + arc_drag + tilt))
    square = slow**2 + nodes * (left - slow**2)
    held = _idle_drag(vehicle, air, np.sqrt(square), propeller_drag_area) / weight(vehicle)
    slowing = GRAVITY * (held + np.sin(tilt))
    floats = np.all(slowing > 0, axis=0) | np.any(np.isnan(slowing), axis=0)
    slowing = np.where(slowing > 0, slowing, np.where(np.isnan(slowing), np.nan, 1.0))
    floated = np.sum(shares / slowing, axis=0) * (left - slow**2) / 2
    float_time = np.sum(shares / (slowing * np.sqrt(square)), axis=0) * (left - slow**2) / 2
    straight_time = (height - flare_height) / np.sin(angle) / fast
    arc_time = arc * 2 / (fast + np.sqrt(left))
    time = straight_time + arc_time + float_time
    moved = wind.mean(flare_height, height) * straight_time + wind.mean(0.0, flare_height) * arc_time
    distance = straight + radius * np.sin(turned) + floated - head_wind * time - moved
    done = meets & (floats | (left <= slow**2))
    return np.where(done, distance, np.inf), np.where(done, time, np.inf)


def landing_roll(
    vehicle: Vehicle,
    air: Air,
    *,
    touchdown_speed: Real,
    braking: Real,
    head_wind: Real = 0.0,
    slope: Real = 0.0,
    free_roll_time: Real = 1.0,
    rolling_friction: Real = 0.05,
    ground_lift_coefficient: Real = 0.3,
    propeller_drag_area: Real = 0.0,
) -> tuple[Array, Array, Array]:
    """Distance [m], time [s] and peak deceleration [m/s²] from touchdown to a full stop.

    Arguments and errors as `landing`.

    Notes
    -----
    m a = D + f (W cos θ − L) + W sin θ [derived], f the rolling friction for the free-roll time and the
    braking after it. The free roll is taken at its mid deceleration; the braking is x = ∫ (V − V_w)/a dV by
    Gauss–Legendre quadrature.
    """
    touchdown = positive(touchdown_speed, "touchdown speed [m/s]")
    brakes = not_negative(braking, "braking")
    rolling = not_negative(rolling_friction, "rolling friction")
    free = not_negative(free_roll_time, "free-roll time [s]")
    wind = np.minimum(head_wind, touchdown)
    tilt = np.arctan(slope)
    normal, along = weight(vehicle) * np.cos(tilt), weight(vehicle) * np.sin(tilt)
    lift_per_pressure = np.multiply(ground_lift_coefficient, vehicle.wing_area)
    drag_per_pressure = propeller_drag_area + vehicle.wing_area * drag_coefficient(
        ground_lift_coefficient,
        vehicle.zero_lift_drag,
        vehicle.induced_factor,
        vehicle.lift_at_minimum_drag,
        ground_effect_factor(np.divide(vehicle.wing_height, vehicle.span)),
    )

    def deceleration(speed: Array, friction: Array) -> Array:
        pressure = 0.5 * np.asarray(air.density) * speed * np.abs(speed)
        wheels = np.maximum(normal - lift_per_pressure * np.abs(pressure), 0.0)
        return np.asarray((drag_per_pressure * pressure + friction * wheels + along) / vehicle.mass)

    ground_speed = touchdown - wind
    middle = deceleration(touchdown - 0.5 * free * deceleration(touchdown, rolling), rolling)
    # Slowing to a stop within the free roll ends it there; speeding up downhill does not.
    rolls = np.where(middle * free > ground_speed, ground_speed / np.where(middle > 0, middle, 1.0), free)
    braked_from = np.maximum(ground_speed - middle * rolls, 0.0)
    free_distance = (ground_speed - 0.5 * middle * rolls) * rolls

    last = deceleration(wind + 0.0 * braked_from, brakes)
    first = deceleration(wind + braked_from, brakes)
    nodes, weights = unit_nodes(BRAKING_NODES, np.ndim(first))
    lost = deceleration(wind + nodes * braked_from, brakes)
    runs_on = (np.min(lost, axis=0) <= 0) | (last <= 0) | (first <= 0)
    slowness = weights * braked_from / np.where(runs_on, 1.0, lost)
    distance = np.where(runs_on, np.inf, free_distance + np.sum(slowness * nodes * braked_from, axis=0))
    time = np.where(runs_on, np.inf, rolls + np.sum(slowness, axis=0))
    return distance, time, np.maximum(first, last)


def _idle_drag(
    vehicle: Vehicle,
    air: Air,
    speed: Array,
    propeller_drag_area: Real,
    *,
    load_factor: Real = 1.0,
    height: Real = 0.0,
) -> Array:
    effect = ground_effect_factor((vehicle.wing_height + np.asarray(height)) / vehicle.span)
    pressure = 0.5 * np.asarray(air.density) * np.square(speed)
    return drag(vehicle, air, speed, load_factor, effect) + pressure * propeller_drag_area
