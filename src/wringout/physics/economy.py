"""Speeds of level flight that go far on little fuel."""

import numpy as np

from wringout.physics.arrays import Array
from wringout.physics.cruise import level_speed, power_required
from wringout.physics.numerics import highest
from wringout.physics.vehicle import Air, Vehicle, true_stall_speed

SLOWEST = 1.1  # of the stalling speed
STEPS = 24


def best_range_speed(vehicle: Vehicle, air: Air) -> Array:
    """True airspeed of least fuel per mile in still air, between 1.1 times the stall and full throttle.

    Parameters
    ----------
    vehicle, air : see `vehicle`

    Returns
    -------
    array
        [m/s]  NaN where full power does not hold the airplane up.

    Notes
    -----
    At one specific consumption fuel per mile goes with shaft power over speed; with one propeller efficiency
    too it is least where drag is least [Anderson ch. 6].
    """
    return _least(vehicle, air, 1)


def carson_speed(vehicle: Vehicle, air: Air) -> Array:
    """True airspeed at which fuel per mile is least for the speed: shaft power over speed squared is least.

    Arguments and result as `best_range_speed`.

    Notes
    -----
    The useful increase over the speed of best range: with one propeller efficiency 3^¼ = 1.316 of it, at
    15.5 % more drag (Carson, Fuel efficiency of small aircraft, from memory; derived in the tests).
    """
    return _least(vehicle, air, 2)


def _least(vehicle: Vehicle, air: Air, exponent: int) -> Array:
    fast = level_speed(vehicle, air)
    slow = np.minimum(SLOWEST * true_stall_speed(vehicle, air), fast)

    def economy(logarithm: Array) -> Array:
        speed = np.exp(logarithm)
        return np.asarray(exponent * logarithm - np.log(power_required(vehicle, air, speed)))

    place, _ = highest(economy, np.log(slow), np.log(fast), STEPS)
    return np.exp(place)
