"""What is wanted of a flight before it is flown: its loading and the limits that it keeps to."""

from dataclasses import dataclass

# What a flight keeps to where its card says nothing [common practice, no source].
MINIMUM_STALL_HEIGHT = 3000 * 0.3048  # m above the ground
MAXIMUM_WIND = 10 * 1852 / 3600  # m/s, for take-offs and landings that are measured
MAXIMUM_CROSSWIND = 5 * 1852 / 3600  # m/s, likewise


@dataclass(frozen=True, slots=True)
class FlightPlan:
    """The flight as wanted, SI; `wanted_cg` and `wanted_mass` are those at take-off, after `taxi_fuel`.

    `landing_fuel` is the least to land with [m³]; `minimum_stall_height` is above the ground and holds for
    the recovery; the winds are those in which take-offs and landings are still worth measuring.
    """

    wanted_cg: float | None = None
    wanted_mass: float | None = None
    ballast_station: str | None = None
    taxi_fuel: float = 0.0
    landing_fuel: float | None = None
    minimum_stall_height: float = MINIMUM_STALL_HEIGHT
    maximum_wind: float = MAXIMUM_WIND
    maximum_crosswind: float = MAXIMUM_CROSSWIND
