"""Steady climb: rate and angle at a speed, the speeds of the best of both, and ceilings."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from wringout.physics.arrays import Array, Real, positive
from wringout.physics.atmosphere import HIGHEST, LOWEST
from wringout.physics.constants import GAS_CONSTANT_AIR, GRAVITY, LAPSE_RATE
from wringout.physics.numerics import falling_root
from wringout.physics.vehicle import Air, Vehicle, drag, full_power, thrust, true_stall_speed, weight

SERVICE_RATE = (
    100 * 0.3048 / 60
)  # rate of climb left at the service ceiling, 100 ft/min [m/s] (common practice)
SLOWEST = 1.2  # climb speeds are sought from this multiple of the stalling speed [CFR23 §23.51, §23.65]
ANGLE_PASSES = 7
GRID = 10
POLISH_STEPS = 6
CEILING_STEPS = 10


@dataclass(frozen=True, slots=True)
class BestClimb:
    """The best climb of its kind: true airspeed [m/s], rate of climb [m/s] and angle [rad] there."""

    true_airspeed: Array
    rate_of_climb: Array
    climb_angle: Array


def specific_excess_power(
    vehicle: Vehicle, air: Air, true_airspeed: Real, power: Real | None = None, load_factor: Real = 1.0
) -> Array:
    """Rate at which energy height grows, P_s = (T − D) V/W, at a lift of load factor times weight.

    Parameters
    ----------
    vehicle, air : see `vehicle`
    true_airspeed : float or array
        [m/s]
    power : float or array, optional
        Shaft power; full throttle where None. [W]
    load_factor : float or array
        Lift over weight.

    Returns
    -------
    array
        [m/s]  Rate of climb at constant true airspeed but for the cosine of the angle in the lift.
    """
    speed = positive(true_airspeed, "true airspeed [m/s]")
    spare = thrust(vehicle, air, speed, power) - drag(vehicle, air, speed, load_factor)
    return spare * speed / weight(vehicle)


def climb_angle(vehicle: Vehicle, air: Air, true_airspeed: Real, power: Real | None = None) -> Array:
    """Angle of a steady climb at constant true airspeed, negative in a descent.

    Parameters
    ----------
    vehicle, air : see `vehicle`
    true_airspeed : float or array
        [m/s]
    power : float or array, optional
        Shaft power; full throttle where None. [W]

    Returns
    -------
    array
        [rad]

    Raises
    ------
    ValueError
        Airspeed not positive.

    Notes
    -----
    sin γ = (T − D)/W with lift W cos γ [derived], repeated until drag and angle agree; each pass gains
    a factor of 15 or more. Thrust is taken along the path.
    """
    speed = positive(true_airspeed, "true airspeed [m/s]")
    return np.arcsin(_sine_of_climb(vehicle, air, speed, thrust(vehicle, air, speed, power)))


def rate_of_climb(vehicle: Vehicle, air: Air, true_airspeed: Real, power: Real | None = None) -> Array:
    """Rate of climb [m/s] in a steady climb at constant true airspeed, V sin γ.

    Arguments and errors as `climb_angle`. The rate of change of geometric height: an altimeter in air
    warmer than standard shows less.
    """
    speed = positive(true_airspeed, "true airspeed [m/s]")
    return speed * _sine_of_climb(vehicle, air, speed, thrust(vehicle, air, speed, power))


def acceleration_factor(air: Air, true_airspeed: Real) -> Array:
    """Rate of climb at constant true airspeed over that at constant calibrated airspeed.

    Parameters
    ----------
    air : see `vehicle`
    true_airspeed : float or array
        [m/s]

    Returns
    -------
    array
        A little above 1: 1.006 at 35 m/s.

    Notes
    -----
    1 + (V/g) dV/dh [derived], with V ∝ ρ^−½ at one equivalent airspeed and
    dρ/dh = −ρ (g − R L)/(R T) in air of the standard lapse rate; calibrated is taken as equivalent airspeed.

    Examples
    --------
    >>> print(f"{acceleration_factor(Air.standard(0.0), 35.0):.4f}")
    1.0060
    """
    specific = GAS_CONSTANT_AIR * np.asarray(air.temperature)
    return 1 + np.square(true_airspeed) * (1 - GAS_CONSTANT_AIR * LAPSE_RATE / GRAVITY) / (2 * specific)


def best_rate(vehicle: Vehicle, air: Air, power: Real | None = None, slowest: Real = SLOWEST) -> BestClimb:
    """Speed of the best rate of climb, not below `slowest` times the stalling speed.

    Arguments as `climb_angle`.

    Notes
    -----
    A grid of speeds, then Newton's method on the slope by central differences, kept within its neighbours:
    smooth in every parameter, and to 1e-6 of the speed (tests).
    """
    return _best(vehicle, air, power, slowest, lambda speed, sine: speed * sine)


def best_angle(vehicle: Vehicle, air: Air, power: Real | None = None, slowest: Real = SLOWEST) -> BestClimb:
    """Speed of the steepest climb, not below `slowest` times the stalling speed; as `best_rate`."""
    return _best(vehicle, air, power, slowest, lambda speed, sine: sine + 0.0 * speed)


def ceiling(
    vehicle: Vehicle,
    remaining_rate: Real = SERVICE_RATE,
    temperature_offset: Real = 0.0,
    slowest: Real = SLOWEST,
) -> Array:
    """Pressure altitude at which the best rate of climb at full throttle has fallen to a rate.

    Parameters
    ----------
    vehicle : see `vehicle`
    remaining_rate : float or array
        100 ft/min for the service ceiling, 0 for the absolute ceiling. [m/s]
    temperature_offset : float or array
        Of the whole atmosphere against standard. [K]
    slowest : float or array
        As `best_rate`.

    Returns
    -------
    array
        Geopotential pressure altitude. [m]  −inf where the airplane does not climb so fast even at −2 km,
        inf where it still does at 20 km, NaN where an input is NaN.

    Notes
    -----
    Regula falsi in the Illinois form between −2 km and 20 km; a fixed count of steps brings it to 0.01 m
    (tests).
    """

    def spare(altitude: Array) -> Array:
        air = Air.standard(altitude, temperature_offset)
        return best_rate(vehicle, air, None, slowest).rate_of_climb - remaining_rate

    low, high = np.asarray(LOWEST), np.asarray(HIGHEST)
    never, always = spare(low) < 0, spare(high) > 0
    found = falling_root(spare, low, high, CEILING_STEPS)
    return np.where(never, -np.inf, np.where(always, np.inf, found))


def _sine_of_climb(vehicle: Vehicle, air: Air, speed: Array, pull: Array) -> Array:
    sine = np.zeros(())
    for _ in range(ANGLE_PASSES):
        cosine = np.sqrt(1 - np.square(sine))
        sine = np.clip((pull - drag(vehicle, air, speed, cosine)) / weight(vehicle), -1.0, 1.0)
    return sine


def _best(
    vehicle: Vehicle,
    air: Air,
    power: Real | None,
    slowest: Real,
    goal: Callable[[Array, Array], Array],
) -> BestClimb:
    shaft = full_power(vehicle, air) if power is None else power

    def sine_at(speed: Array) -> Array:
        return _sine_of_climb(vehicle, air, speed, thrust(vehicle, air, speed, power))

    def score(speed: Array) -> Array:
        return goal(speed, sine_at(speed))

    low = slowest * true_stall_speed(vehicle, air)
    # No airplane is faster than drag at zero lift allows; without power, a grid up to twice the slowest
    # still holds the least sink.
    parasite = 0.5 * np.asarray(air.density) * vehicle.wing_area * vehicle.zero_lift_drag
    high = np.maximum(np.cbrt(shaft / parasite), 2 * low)
    shape = np.broadcast_shapes(low.shape, score(low).shape)
    fractions = np.linspace(0.0, 1.0, GRID).reshape((GRID,) + (1,) * len(shape))
    grid = np.broadcast_to(low + fractions * (high - low), (GRID, *shape))
    best = np.argmax(score(grid), axis=0)
    speed = coarse = np.take_along_axis(grid, best[None], axis=0)[0]
    gap = (high - low) / (GRID - 1)
    floor, roof = np.maximum(speed - gap, low), np.minimum(speed + gap, high)
    sides = np.array([-1.0, 0.0, 1.0]).reshape((3,) + (1,) * len(shape))
    step = 1e-3 * low  # not the grid's speed, whose change would show
    for _ in range(POLISH_STEPS):
        below, here, above = score(speed + sides * step)
        slope, curve = above - below, above - 2 * here + below
        moved = np.where(curve < 0, -0.5 * slope / np.where(curve < 0, curve, -1.0), np.sign(slope)) * step
        speed = np.clip(speed + moved, floor, roof)
    # At the corner of a propeller's blade efficiency there is no slope to follow.
    speed = np.where(score(speed) < score(coarse), coarse, speed)
    sine = sine_at(speed)
    return BestClimb(speed, speed * sine, np.arcsin(sine))
