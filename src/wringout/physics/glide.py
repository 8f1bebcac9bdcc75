"""Gliding with an idling or stopped propeller: angle and sink at a speed, best glide, least sink."""

from dataclasses import dataclass

import numpy as np

from wringout.physics.aerodynamics import (
    best_glide_lift_coefficient,
    drag_coefficient,
    least_power_lift_coefficient,
)
from wringout.physics.arrays import Array, Real, positive
from wringout.physics.vehicle import Air, Vehicle, drag, weight

ANGLE_PASSES = 8


@dataclass(frozen=True, slots=True)
class Glide:
    """A steady glide: true airspeed and sink [m/s], angle [rad] and distance over height in still air."""

    true_airspeed: Array
    sink: Array
    angle: Array
    ratio: Array


def glide_at(vehicle: Vehicle, air: Air, true_airspeed: Real, propeller_drag_area: Real = 0.0) -> Glide:
    """The steady glide at a true airspeed.

    Parameters
    ----------
    vehicle, air : see `vehicle`
    true_airspeed : float or array
        [m/s]
    propeller_drag_area : float or array
        C_D S that the idling, windmilling or stopped propeller adds; negative where idle thrust is left. [m²]

    Returns
    -------
    Glide

    Raises
    ------
    ValueError
        Airspeed not positive.

    Notes
    -----
    sin γ = D/W with lift W cos γ [derived], repeated until they agree.
    """
    speed = positive(true_airspeed, "true airspeed [m/s]")
    propeller = 0.5 * np.asarray(air.density) * np.square(speed) * propeller_drag_area
    sine = np.zeros(())
    for _ in range(ANGLE_PASSES):
        resistance = drag(vehicle, air, speed, np.sqrt(1 - sine**2)) + propeller
        sine = np.clip(resistance / weight(vehicle), -1.0, 1.0)
    angle = np.arcsin(sine)
    return Glide(speed, speed * sine, angle, 1 / np.tan(angle))


def best_glide(vehicle: Vehicle, air: Air, propeller_drag_area: Real = 0.0) -> Glide:
    """The flattest glide in still air; arguments as `glide_at`.

    Notes
    -----
    tan γ = C_D/C_L is least at C_L² = C_D0/K + C_L,min², the propeller's drag counted in C_D0; the speed
    carries W cos γ [derived].
    """
    zero_lift = _zero_lift_drag(vehicle, propeller_drag_area)
    lift = best_glide_lift_coefficient(zero_lift, vehicle.induced_factor, vehicle.lift_at_minimum_drag)
    return _glide_at_lift_coefficient(vehicle, air, zero_lift, lift)


def least_sink(vehicle: Vehicle, air: Air, propeller_drag_area: Real = 0.0) -> Glide:
    """The glide of least sink; arguments as `glide_at`.

    At the lift coefficient of greatest C_L³/C_D², which is exact for shallow glides.
    """
    zero_lift = _zero_lift_drag(vehicle, propeller_drag_area)
    lift = least_power_lift_coefficient(zero_lift, vehicle.induced_factor, vehicle.lift_at_minimum_drag)
    return _glide_at_lift_coefficient(vehicle, air, zero_lift, lift)


def _zero_lift_drag(vehicle: Vehicle, propeller_drag_area: Real) -> Array:
    return vehicle.zero_lift_drag + np.divide(propeller_drag_area, vehicle.wing_area)


def _glide_at_lift_coefficient(vehicle: Vehicle, air: Air, zero_lift_drag: Array, lift: Array) -> Glide:
    lift = np.minimum(lift, vehicle.maximum_lift_coefficient)
    resistance = drag_coefficient(lift, zero_lift_drag, vehicle.induced_factor, vehicle.lift_at_minimum_drag)
    angle = np.arctan2(resistance, lift)
    pressure = weight(vehicle) * np.cos(angle) / (lift * vehicle.wing_area)
    speed = np.sqrt(2 * pressure / np.asarray(air.density))
    return Glide(speed, speed * np.sin(angle), angle, lift / resistance)
