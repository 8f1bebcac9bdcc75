"""The wind at any moment and height of the flying, learnt from level legs and steady turns."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.flown import Flight, middle, timestamp
from wringout.reduction.gps_legs import GpsLegs

FloatArray = NDArray[np.float64]

# How a wind component varies: its size, and how it forgets with time and height. A wind just measured has
# changed by 0.5 m/s after ten minutes and by 0.4 m/s a hundred metres higher. Common practice.
WIND_SD = 6.0  # [m/s]
WANDER = 0.5 / np.sqrt(600.0)  # [m/s per √s]
MEMORY_IN_TIME = 2.0 * (WIND_SD / WANDER) ** 2  # [s]
MEMORY_IN_HEIGHT = WIND_SD / 0.004  # [m]


@dataclass(frozen=True, slots=True)
class AloftWind:
    """A wind measured between two moments [s since 1970 UTC] at a mean height [m, as recorded].

    `velocity` holds the air's velocity (east, north) [m/s] at each of `moments`, one or three of them, shape
    (moments, 2); `covariance` goes with it flattened.
    """

    label: str
    moments: FloatArray
    height: float
    velocity: FloatArray
    covariance: FloatArray


def leg_wind(label: str, legs: GpsLegs, began: float, height: float) -> AloftWind:
    """The wind of solved legs at the first, the middle and the last; the one there is where it was steady.

    `began` is the moment [s since 1970 UTC] from which the legs' times count.
    """
    last = len(legs.wind_times) - 1
    chosen = sorted({0, last // 2, last})
    axes = np.array([2 * index + axis for index in chosen for axis in range(2)])
    return AloftWind(
        label,
        began + legs.wind_times[chosen],
        height,
        legs.winds[chosen],
        legs.winds_covariance[np.ix_(axes, axes)],
    )


def turn_winds(flight: Flight) -> tuple[AloftWind, ...]:
    """Winds that steady turns of a flight gave."""
    found = []
    for manoeuvre in flight.manoeuvres:
        east, north = manoeuvre.measures.get("wind_east"), manoeuvre.measures.get("wind_north")
        if manoeuvre.kind == "turn" and east is not None and north is not None:
            found.append(
                AloftWind(
                    f"{flight.card.name}: turn",
                    np.array([timestamp(flight, middle(manoeuvre))]),
                    float(np.interp(middle(manoeuvre), flight.track.time, flight.track.up)),
                    np.array([[east.value, north.value]]),
                    np.diag([(east.sd or 1.0) ** 2, (north.sd or 1.0) ** 2]),
                )
            )
    return tuple(found)


def as_estimates(wind: AloftWind) -> tuple[str, Estimate, Estimate]:
    """A wind as the direction it blows from [rad] and its speed [m/s], at the middle of its legs."""
    middle = len(wind.moments) // 2
    velocity = wind.velocity[middle]
    covariance = wind.covariance[2 * middle : 2 * middle + 2, 2 * middle : 2 * middle + 2]
    speed = float(np.hypot(*velocity))
    source = f"level legs of {wind.label}"
    along = velocity / speed if speed > 0.0 else np.array([1.0, 0.0])
    across = np.array([-along[1], along[0]])
    speed_sd = float(np.sqrt(along @ covariance @ along))
    direction_sd = float(np.sqrt(across @ covariance @ across)) / speed if speed > 0.0 else np.pi
    direction = float(np.mod(np.arctan2(-velocity[0], -velocity[1]), 2.0 * np.pi))
    return (
        wind.label,
        Estimate(direction, min(direction_sd, float(np.pi)), Dimension.ANGLE, source),
        Estimate(speed, speed_sd, Dimension.SPEED, source),
    )


@dataclass(frozen=True, slots=True)
class WindField:
    """Everything measured of the wind; ask it with `at`. False where nothing was measured."""

    winds: tuple[AloftWind, ...]

    def __bool__(self) -> bool:
        return bool(self.winds)

    def at(self, moments: FloatArray, heights: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Air velocity (n, 2) at moments [s since 1970 UTC] and recorded heights [m], and its covariance.

        The covariance has shape (2n, 2n), east and north of each moment side by side: manoeuvres flown soon
        after one another share most of what is unknown of the wind.

        Notes
        -----
        Each component is a Gaussian process about calm with covariance σ² exp(−|Δt|/τ) exp(−Δh²/2L²),
        conditioned on the measured winds (textbook kriging; the scales are common practice).
        """
        asked = np.column_stack([np.asarray(moments, dtype=float), np.asarray(heights, dtype=float)])
        prior = _covariance(asked, asked)
        if not self.winds:
            return np.zeros((len(asked), 2)), prior
        known = np.array([(moment, wind.height) for wind in self.winds for moment in wind.moments])
        measured = np.concatenate([wind.velocity.ravel() for wind in self.winds])
        total = _covariance(known, known)
        start = 0
        for wind in self.winds:
            end = start + wind.velocity.size
            total[start:end, start:end] += wind.covariance
            start = end
        across = _covariance(asked, known)
        gain = np.linalg.solve(total, across.T).T
        covariance: FloatArray = prior - gain @ across.T
        return (gain @ measured).reshape(-1, 2), covariance


def _covariance(one: FloatArray, other: FloatArray) -> FloatArray:
    lapse = np.abs(one[:, None, 0] - other[None, :, 0])
    climb = one[:, None, 1] - other[None, :, 1]
    each = WIND_SD**2 * np.exp(-lapse / MEMORY_IN_TIME - 0.5 * (climb / MEMORY_IN_HEIGHT) ** 2)
    return np.asarray(np.kron(each, np.eye(2)), dtype=np.float64)
