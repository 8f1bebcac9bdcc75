"""The wind at a moment and height, from the level legs and steady turns of all flights."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.reduction.flown import Flight, middle, timestamp
from wringout.reduction.gps_legs import GpsLegs

FloatArray = NDArray[np.float64]

# How fast a measured wind goes stale: as the root of time, and with height. Common practice.
WIND_SD_IN_TEN_MINUTES = 0.5  # [m/s]
WIND_SD_PER_METRE = 0.004  # [1/s]


@dataclass(frozen=True, slots=True)
class AloftWind:
    """A wind measured between two moments [s since 1970 UTC] at a mean height [m, as recorded].

    From legs, whose clock began at `began`, or from a turn with `velocity` (east, north) [m/s] and
    `covariance`.
    """

    label: str
    began: float
    first: float
    last: float
    height: float
    legs: GpsLegs | None = None
    velocity: FloatArray | None = None
    covariance: FloatArray | None = None

    def at(self, moment: float) -> tuple[FloatArray, FloatArray]:
        """Air velocity (east, north) [m/s] and covariance, the ends of its span holding beyond it."""
        if self.legs is not None:
            return self.legs.wind_at(float(np.clip(moment, self.first, self.last)) - self.began)
        if self.velocity is None or self.covariance is None:
            raise ValueError("a wind comes from legs or from a turn")
        return self.velocity, self.covariance


@dataclass(frozen=True, slots=True)
class KnownWind:
    """Air velocity (east, north) [m/s] with covariance; `stale` [m²/s²] of it came with time and height."""

    velocity: FloatArray
    covariance: FloatArray
    stale: float


def turn_winds(flight: Flight) -> tuple[AloftWind, ...]:
    """Winds that steady turns of a flight gave."""
    found = []
    began = timestamp(flight, 0.0)
    for manoeuvre in flight.manoeuvres:
        east, north = manoeuvre.measures.get("wind_east"), manoeuvre.measures.get("wind_north")
        if manoeuvre.kind == "turn" and east is not None and north is not None:
            found.append(
                AloftWind(
                    label=f"{flight.card.name}: turn",
                    began=began,
                    first=began + manoeuvre.start,
                    last=began + manoeuvre.end,
                    height=float(np.interp(middle(manoeuvre), flight.track.time, flight.track.up)),
                    velocity=np.array([east.value, north.value]),
                    covariance=np.diag([(east.sd or 1.0) ** 2, (north.sd or 1.0) ** 2]),
                )
            )
    return tuple(found)


def wind_at(winds: Sequence[AloftWind], moment: float, height: float) -> KnownWind | None:
    """The wind at a moment [s since 1970 UTC] and recorded height [m].

    Every wind measured, each grown stale by the root of the time and by the height between, weighted by the
    inverse of its covariance: that of the same quarter of an hour counts, yesterday's hardly. None without
    any.
    """
    information = np.zeros((2, 2))
    fresh_information = np.zeros((2, 2))
    weighted = np.zeros(2)
    for wind in winds:
        velocity, covariance = wind.at(moment)
        beyond = max(wind.first - moment, moment - wind.last, 0.0)
        stale = WIND_SD_IN_TEN_MINUTES**2 * beyond / 600.0 + (WIND_SD_PER_METRE * (height - wind.height)) ** 2
        inverse = np.linalg.inv(covariance + stale * np.eye(2))
        information += inverse
        fresh_information += inverse @ covariance @ inverse
        weighted += inverse @ velocity
    if not information.any():
        return None
    total = np.asarray(np.linalg.inv(information), dtype=np.float64)
    fresh = total @ fresh_information @ total
    return KnownWind(total @ weighted, total, max(0.5 * float(np.trace(total - fresh)), 0.0))
