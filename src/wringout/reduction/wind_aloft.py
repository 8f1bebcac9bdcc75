"""The wind at a time and height of a flight, from its level legs and steady turns."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.reduction.flown import Flight, middle
from wringout.reduction.gps_legs import GpsLegs

FloatArray = NDArray[np.float64]

# How fast a measured wind goes stale: as the root of time, and with height. Common practice.
WIND_SD_IN_TEN_MINUTES = 0.5  # [m/s]
WIND_SD_PER_METRE = 0.004  # [1/s]


@dataclass(frozen=True, slots=True)
class AloftWind:
    """A wind measured in one flight between two times [s] at a mean height [m, as recorded].

    From legs, or from a turn with `velocity` (east, north) [m/s] and `covariance`.
    """

    card: str
    label: str
    first: float
    last: float
    height: float
    legs: GpsLegs | None = None
    velocity: FloatArray | None = None
    covariance: FloatArray | None = None

    def at(self, time: float) -> tuple[FloatArray, FloatArray]:
        """Air velocity (east, north) [m/s] and covariance, the ends of its span holding beyond it."""
        if self.legs is not None:
            return self.legs.wind_at(float(np.clip(time, self.first, self.last)))
        assert self.velocity is not None
        assert self.covariance is not None
        return self.velocity, self.covariance


def turn_winds(flight: Flight) -> tuple[AloftWind, ...]:
    """Winds that steady turns of a flight gave."""
    found = []
    for manoeuvre in flight.manoeuvres:
        east, north = manoeuvre.measures.get("wind_east"), manoeuvre.measures.get("wind_north")
        if manoeuvre.kind == "turn" and east is not None and north is not None:
            found.append(
                AloftWind(
                    flight.card.name,
                    "turn",
                    manoeuvre.start,
                    manoeuvre.end,
                    float(np.interp(middle(manoeuvre), flight.track.time, flight.track.up)),
                    velocity=np.array([east.value, north.value]),
                    covariance=np.diag([(east.sd or 1.0) ** 2, (north.sd or 1.0) ** 2]),
                )
            )
    return tuple(found)


def wind_at(
    winds: Sequence[AloftWind], card: str, time: float, height: float
) -> tuple[FloatArray, FloatArray] | None:
    """Air velocity (east, north) [m/s] and its covariance at a time [s] and recorded height [m] of a flight.

    The winds measured in the same flight, each grown stale by the root of the time and by the height between,
    are averaged by their inverse covariances. None where the flight measured none.
    """
    information = np.zeros((2, 2))
    weighted = np.zeros(2)
    for wind in winds:
        if wind.card != card:
            continue
        velocity, covariance = wind.at(time)
        beyond = max(wind.first - time, time - wind.last, 0.0)
        stale = WIND_SD_IN_TEN_MINUTES**2 * beyond / 600.0 + (WIND_SD_PER_METRE * (height - wind.height)) ** 2
        inverse = np.linalg.inv(covariance + stale * np.eye(2))
        information += inverse
        weighted += inverse @ velocity
    if not information.any():
        return None
    total: FloatArray = np.asarray(np.linalg.inv(information), dtype=np.float64)
    return total @ weighted, total
