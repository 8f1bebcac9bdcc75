"""What the field kernels loop over: vehicles as rows, conditions as columns, each packed into one array.

A row is one posterior sample of one configuration at one mass with its technique; a column is one hour on one
strip in one direction. Speeds of the technique are equivalent airspeeds, so that a row does not depend on the
air.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from wringout.physics.arrays import Array, Real
from wringout.physics.constants import OBSTACLE_HEIGHT
from wringout.physics.vehicle import Air, Vehicle


@dataclass(frozen=True, slots=True)
class TakeOffRows:
    """v airplanes taking off; every field a float or an array that broadcasts to (v,).

    Attributes
    ----------
    vehicle : of the take-off flap, see `vehicle`; constant-speed or fixed-pitch propeller
    lift_off_speed, obstacle_speed : equivalent airspeeds [m/s]
    rolling_friction : of each surface, shape (v, surfaces) or (surfaces,)
    load_factor, ground_lift_coefficient, obstacle_height : as `takeoff.take_off`
    gain_kept : share of the wind's gain by which the true airspeed at the obstacle is more than asked
    """

    vehicle: Vehicle
    lift_off_speed: Real
    obstacle_speed: Real
    rolling_friction: Array
    load_factor: Real = 1.15
    ground_lift_coefficient: Real = 0.3
    obstacle_height: Real = OBSTACLE_HEIGHT
    gain_kept: Real = 0.0


@dataclass(frozen=True, slots=True)
class LandingRows:
    """v airplanes landing; every field a float or an array that broadcasts to (v,).

    Attributes
    ----------
    vehicle : of the landing flap, see `vehicle`
    approach_speed, touchdown_speed : equivalent airspeeds [m/s]
    braking, rolling_friction : of each surface, shape (v, surfaces) or (surfaces,), see `ground`
    approach_angle : descent, positive down [rad]
    load_factor, free_roll_time, ground_lift_coefficient, propeller_drag_area, obstacle_height : as
        `landing.landing`
    aims : 1 where the pilot aims at a point, so that the angle is over the ground in still air and wind makes
        it flatter or steeper in the air, within 0.01 and 0.5; 0 where it is the angle in the air
    flare_height : the head wind lost below it is lost at touchdown too; 0 where none is [m]
    approach_lag : share of the wind's gain by which the true approach speed is less than asked
    slowest_touchdown : equivalent airspeed below which the wind's loss does not bring the touchdown [m/s]
    """

    vehicle: Vehicle
    approach_speed: Real
    touchdown_speed: Real
    braking: Array
    rolling_friction: Array
    approach_angle: Real = 0.0524
    load_factor: Real = 1.1
    free_roll_time: Real = 1.0
    ground_lift_coefficient: Real = 0.3
    propeller_drag_area: Real = 0.0
    obstacle_height: Real = OBSTACLE_HEIGHT
    aims: Real = 0.0
    flare_height: Real = 0.0
    approach_lag: Real = 0.0
    slowest_touchdown: Real = 0.0


@dataclass(frozen=True, slots=True)
class Conditions:
    """c hours on strips; every field a float or an array that broadcasts to (c,).

    Attributes
    ----------
    air : see `vehicle`
    head_wind : along the direction of the run at wing height, tail wind negative [m/s]
    slope : rise over run in that direction
    surface : column of the rows' friction tables
    wind_gain : how much more head wind blows at the obstacle height [m/s]
    """

    air: Air
    head_wind: Real = 0.0
    slope: Real = 0.0
    surface: NDArray[np.integer[Any]] | int = 0
    wind_gain: Real = 0.0
