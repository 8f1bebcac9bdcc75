"""Steady level turns: rate, radius, load factor, the stall in them, and the turn that the engine can hold."""

from collections.abc import Callable

import numpy as np

from wringout.physics.arrays import Array, Real, positive, within
from wringout.physics.constants import GRAVITY
from wringout.physics.cruise import level_speed
from wringout.physics.numerics import highest
from wringout.physics.vehicle import Air, Vehicle, thrust, true_stall_speed, weight

_STEEPEST = np.radians(89.9)
SLOWEST = 1.02  # of the stalling speed: the wing's limit in the turn is the load factor's own
STEPS = 24


def load_factor(bank: Real) -> Array:
    """Lift over weight in a level turn, n = 1/cos φ, at a bank angle [rad] below 90°.

    Examples
    --------
    >>> print(f"{load_factor(np.radians(60)):.3f}")
    2.000
    """
    return 1 / np.cos(within(bank, -_STEEPEST, _STEEPEST, "bank angle [rad]"))


def stall_speed_factor(bank: Real) -> Array:
    """Stalling speed in a level turn over that in straight flight, √n, at a bank angle [rad]."""
    return np.sqrt(load_factor(bank))


def turn_rate(true_airspeed: Real, bank: Real) -> Array:
    """Rate of turn [rad/s] from true airspeed [m/s] and bank angle [rad].

    g tan φ/V [derived: L sin φ turns the path, L cos φ carries the weight].

    Examples
    --------
    >>> print(f"{np.degrees(turn_rate(120 * 1852 / 3600, np.radians(30))):.3f} °/s")
    5.255 °/s
    """
    angle = within(bank, -_STEEPEST, _STEEPEST, "bank angle [rad]")
    return GRAVITY * np.tan(angle) / positive(true_airspeed, "true airspeed [m/s]")


def turn_radius(true_airspeed: Real, bank: Real) -> Array:
    """Radius [m] of a turn from true airspeed [m/s] and bank angle [rad], V²/(g tan φ)."""
    angle = within(bank, -_STEEPEST, _STEEPEST, "bank angle [rad]")
    with np.errstate(divide="ignore"):
        return np.square(positive(true_airspeed, "true airspeed [m/s]")) / (GRAVITY * np.abs(np.tan(angle)))


def sustained_load_factor(
    vehicle: Vehicle, air: Air, true_airspeed: Real, power: Real | None = None
) -> Array:
    """Greatest load factor that a level turn can hold: what thrust pays for and the wing can carry.

    Parameters
    ----------
    vehicle, air : see `vehicle`
    true_airspeed : float or array
        [m/s]
    power : float or array, optional
        Shaft power, full throttle where None. [W]

    Returns
    -------
    array
        Lift over weight; below 1 where level flight itself is out of reach; 0 where thrust is below the
        least drag.

    Notes
    -----
    [derived] T = q S (C_D0 + K (C_L − C_L,min)²) gives C_L, capped at C_Lmax; n = q S C_L/W. Bank is
    arccos(1/n).
    """
    pressure_area = (
        0.5 * np.asarray(air.density) * np.square(positive(true_airspeed, "true airspeed [m/s]"))
    ) * vehicle.wing_area
    spare = thrust(vehicle, air, true_airspeed, power) / pressure_area - vehicle.zero_lift_drag
    lift_coefficient = np.where(
        spare >= 0,
        vehicle.lift_at_minimum_drag + np.sqrt(np.maximum(spare, 0.0) / vehicle.induced_factor),
        np.where(np.isnan(spare), np.nan, 0.0),
    )
    return np.minimum(lift_coefficient, vehicle.maximum_lift_coefficient) * pressure_area / weight(vehicle)


def sustained_bank(vehicle: Vehicle, air: Air, true_airspeed: Real | None = None) -> Array:
    """Steepest bank [rad] of a level turn that full power holds, at a true airspeed [m/s] or the best of all.

    NaN where level flight itself is out of reach.
    """
    if true_airspeed is not None:
        return _bank(sustained_load_factor(vehicle, air, true_airspeed))
    _, bank = _best_turn(vehicle, air, lambda load, speed: _bank(load) + 0.0 * speed)
    return bank


def sustained_radius(vehicle: Vehicle, air: Air, true_airspeed: Real | None = None) -> Array:
    """Least radius [m] of a level turn that full power holds, at a true airspeed [m/s] or the best of all.

    NaN where level flight itself is out of reach.
    """

    def tightness(load: Array, speed: Array) -> Array:
        return np.asarray(GRAVITY * np.tan(_bank(load)) / np.square(speed))

    if true_airspeed is not None:
        return 1 / tightness(sustained_load_factor(vehicle, air, true_airspeed), np.asarray(true_airspeed))
    _, tightest = _best_turn(vehicle, air, tightness)
    return 1 / tightest


def _bank(load: Array) -> Array:
    return np.arccos(1 / np.where(load > 1, load, np.nan))


def _best_turn(vehicle: Vehicle, air: Air, goal: Callable[[Array, Array], Array]) -> tuple[Array, Array]:
    """Between the stall and level flight at full throttle: speed, and the goal there."""
    fast = level_speed(vehicle, air)
    slow = np.minimum(SLOWEST * true_stall_speed(vehicle, air), fast)

    def score(speed: Array) -> Array:
        return goal(sustained_load_factor(vehicle, air, speed), speed)

    # The best lies where the wing's limit meets the engine's, a corner: a second look about the first.
    about, _ = highest(score, slow, fast, STEPS)
    near = (fast - slow) / STEPS
    return highest(score, np.maximum(about - near, slow), np.minimum(about + near, fast), STEPS)
