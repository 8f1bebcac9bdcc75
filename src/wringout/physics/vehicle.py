"""What the equations of motion need of an airplane and of the air.

Every field is a float or an array, and all broadcast together.
"""

from dataclasses import dataclass
from typing import Self

import numpy as np

from wringout.physics.aerodynamics import drag_coefficient, stall_speed
from wringout.physics.arrays import Array, Real
from wringout.physics.atmosphere import air_density, standard_pressure, standard_temperature
from wringout.physics.constants import GRAVITY
from wringout.physics.propulsion import Engine, Propeller


@dataclass(frozen=True, slots=True)
class Air:
    """Static pressure [Pa], temperature [K] and density [kg/m³] of the air."""

    pressure: Real
    temperature: Real
    density: Real

    @classmethod
    def of(cls, pressure: Real, temperature: Real, dew_point: Real | None = None) -> Self:
        """Air of a pressure [Pa], temperature [K] and dew point [K] (dry where None)."""
        return cls(pressure, temperature, air_density(pressure, temperature, dew_point))

    @classmethod
    def standard(cls, pressure_altitude: Real, temperature_offset: Real = 0.0) -> Self:
        """Dry air at a pressure altitude [m], warmer than standard by an offset [K]."""
        return cls.of(
            standard_pressure(pressure_altitude), standard_temperature(pressure_altitude) + temperature_offset
        )


@dataclass(frozen=True, slots=True)
class Vehicle:
    """An airplane in one configuration and flap setting as a point mass.

    Attributes
    ----------
    mass : [kg]
    wing_area : [m²]
    span : [m]
    wing_height : of the wing's quarter chord above the ground, wheels on it [m]
    zero_lift_drag : C_D0, gear and flap included
    induced_factor : K of C_D = C_D0 + K (C_L − C_L,min)²
    lift_at_minimum_drag : C_L,min
    maximum_lift_coefficient : C_Lmax of this flap setting, engine idle
    propeller, engine : see `propulsion`
    """

    mass: Real
    wing_area: Real
    span: Real
    wing_height: Real
    zero_lift_drag: Real
    induced_factor: Real
    lift_at_minimum_drag: Real
    maximum_lift_coefficient: Real
    propeller: Propeller
    engine: Engine


def weight(vehicle: Vehicle) -> Array:
    """Weight of the airplane. [N]"""
    return np.asarray(vehicle.mass, dtype=np.float64) * GRAVITY


def full_power(vehicle: Vehicle, air: Air) -> Array:
    """Full-throttle shaft power in this air. [W]"""
    return vehicle.engine.full_power(air.pressure, air.temperature)


def thrust(vehicle: Vehicle, air: Air, true_airspeed: Real, power: Real | None = None) -> Array:
    """Thrust at a true airspeed [m/s] and shaft power [W], full throttle where None. [N]"""
    if power is None:
        return vehicle.propeller.thrust(true_airspeed, air.density, full_power(vehicle, air))
    turns = vehicle.propeller.part_power_speed(power, full_power(vehicle, air))
    return vehicle.propeller.thrust(true_airspeed, air.density, power, turns)


def drag(
    vehicle: Vehicle, air: Air, true_airspeed: Real, load_factor: Real = 1.0, ground_effect: Real = 1.0
) -> Array:
    """Drag carrying the weight times a load factor at a true airspeed.

    Parameters
    ----------
    true_airspeed : float or array
        Positive. [m/s]
    load_factor : float or array
        Lift over weight: the cosine of the path angle in a climb, more in a turn.
    ground_effect : float or array
        φ of `aerodynamics.ground_effect_factor`.

    Returns
    -------
    array
        [N]

    Notes
    -----
    Nothing here stops a lift coefficient above C_Lmax; the callers keep their speeds above the stall.
    """
    pressure_area = 0.5 * np.asarray(air.density) * np.square(true_airspeed) * vehicle.wing_area
    lift_coefficient = load_factor * weight(vehicle) / pressure_area
    return pressure_area * drag_coefficient(
        lift_coefficient,
        vehicle.zero_lift_drag,
        vehicle.induced_factor,
        vehicle.lift_at_minimum_drag,
        ground_effect,
    )


def true_stall_speed(vehicle: Vehicle, air: Air, load_factor: Real = 1.0) -> Array:
    """True stalling speed of this flap setting, engine idle. [m/s]"""
    return stall_speed(
        vehicle.mass, air.density, vehicle.wing_area, vehicle.maximum_lift_coefficient, load_factor
    )
