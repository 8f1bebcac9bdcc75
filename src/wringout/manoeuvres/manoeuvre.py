"""A manoeuvre found in a recording, and what was measured in it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from wringout.quantity.estimate import Estimate

ManoeuvreKind = Literal["take-off", "landing", "level leg", "climb", "glide", "stall", "turn"]


@dataclass(frozen=True, slots=True)
class Event:
    """A moment inside a manoeuvre, its standard uncertainty [s], and the reason it was put there."""

    name: str
    time: float
    time_sd: float
    reason: str


@dataclass(frozen=True, slots=True)
class Manoeuvre:
    """A span [s, from the recording's start] with its events and measures.

    Measures by kind (SI; absent where the recording has no such channel):

    take-off
        ground_roll, air_distance (lift-off to 15.2 m above the strip beneath), air_distance_per_slope (what
        the distance grows with the slope that the strip is taken to have), lift_off_ground_speed,
        obstacle_ground_speed, roll_track (true [rad]), strip_slope, strip_height, indicated_airspeed (at
        lift-off). Events: start of roll, lift-off, obstacle.
    landing
        air_distance, air_distance_per_slope, ground_roll, obstacle_ground_speed, touchdown_ground_speed,
        mean_deceleration, peak_deceleration, descent_angle, roll_track, strip_slope, strip_height. Events:
        obstacle, touchdown, full stop.
    level leg
        east_speed, north_speed (ground velocity, trimmed mean with standard error), height, plus the mean of
        each channel present: indicated_airspeed, pressure_altitude, outside_air_temperature, engine_speed,
        manifold_pressure, fuel_flow.
    climb, glide
        rate_of_climb (geometric), pressure_altitude_rate, height (middle), ground_speed, track, plus the
        channel means as above, and airspeed_rate (dV/dt of indicated airspeed).
    stall
        minimum_indicated_airspeed, minimum_ground_speed, entry_rate (deceleration, positive),
        warning_indicated_airspeed, plus pressure altitude and temperature. Events: warning, break.
    turn
        ground_speed_mean, turn_rate, wind_east, wind_north.
    """

    kind: ManoeuvreKind
    start: float
    end: float
    events: tuple[Event, ...]
    measures: Mapping[str, Estimate]
    notes: tuple[str, ...] = ()
