"""The conditions in which readers compare airplanes, in figures that are round in their own units."""

from __future__ import annotations

from dataclasses import dataclass

from wringout.airplane import configuration_envelope
from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Units
from wringout.quantity import to_si
from wringout.reduction.points import Point, Points

SURFACE = "dry grass"
CRUISE_POWER = 0.75
ECONOMY_POWER = 0.65
HOT = 298.15  # 25 °C


@dataclass(frozen=True, slots=True)
class UsualHeights:
    """Pressure altitudes [m] that the report asks at: a high strip, a cruise where 75 % is still there."""

    high_strip: float
    cruise: float


def usual_heights(units: Units) -> UsualHeights:
    """Round in the reader's unit of height: 5 000 and 6 500 ft, or 1 500 and 2 000 m."""
    if units.height == "ft":
        return UsualHeights(float(to_si(5000.0, "ft")), float(to_si(6500.0, "ft")))
    return UsualHeights(1500.0, 2000.0)


def flown_configurations(airplane: Airplane, points: Points) -> tuple[str, ...]:
    """The configurations that gave a point, in the order of the first; the reference if none did."""
    every: tuple[Point, ...] = (
        *points.levels,
        *points.climbs,
        *points.stalls,
        *points.takeoffs,
        *points.landings,
    )
    flown = tuple(dict.fromkeys(point.conditions.configuration for point in every))
    return flown or (airplane.configurations[0].name,)


def maximum_mass(airplane: Airplane, configuration: str) -> float:
    """The maximum take-off mass [kg] of a configuration's envelope."""
    return configuration_envelope(airplane, configuration).maximum_takeoff_mass
