"""Speed of level flight, asked again where round-off hid it."""

from dataclasses import replace

import numpy as np

from wringout.physics.arrays import Array, Real
from wringout.physics.cruise import level_speed
from wringout.physics.vehicle import Air, Vehicle

ATTEMPTS = 4
NUDGE = 1e-8  # relative change of mass: 1e-9 of the speed


def fast_level_speed(vehicle: Vehicle, air: Air, power: Real | None = None) -> Array:
    """The faster true airspeed of level flight [m/s]; arguments as `wringout.physics.cruise.level_speed`.

    NaN where the power does not hold the airplane up. A secant that lands on the root exactly can lose it
    again to round-off; an airplane lighter by parts in 1e8 is then asked instead.
    """
    found = level_speed(vehicle, air, power)
    for attempt in range(1, ATTEMPTS):
        if not np.isnan(found).any():
            break
        nudged = replace(vehicle, mass=vehicle.mass * (1.0 - NUDGE * attempt))
        found = np.where(np.isnan(found), level_speed(nudged, air, power), found)
    return found
