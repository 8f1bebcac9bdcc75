"""Steady level turns: rate, radius, load factor, the stall in them, and the turn that the engine can hold."""

import numpy as np

from wringout.physics.arrays import Array, Real, positive, within
from wringout.physics.constants import GRAVITY
from wringout.physics.vehicle import Air, Vehicle, thrust, weight

_STEEPEST = np.radians(89.9)


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
