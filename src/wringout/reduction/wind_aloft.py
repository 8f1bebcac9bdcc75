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
MEMORY_IN_TIME = 2.0 * (WIND_SD / 0.5) ** 2 * 600.0  # [s]
MEMORY_IN_HEIGHT = WIND_SD / 0.004  # [m]


@dataclass(frozen=True, slots=True)
class AloftWind:
    """A wind measured between two moments [s since 1970 UTC] at a mean height [m, as recorded].

    `velocity` holds the air's velocity (east, north) [m/s] at each of `moments`, one or two of them, shape
    (moments, 2); `covariance` goes with it flattened.
    """

    label: str
    moments: FloatArray
    height: float
    velocity: FloatArray
    covariance: FloatArray


def leg_wind(label: str, legs: GpsLegs, began: float, times: FloatArray, height: float) -> AloftWind:
    """The wind of solved legs at their first and last time [s after `began`], once where it was steady."""
    count = len(legs.groups)
    drifting = legs.covariance.shape[0] > count + 2
    ends = np.array([np.min(times), np.max(times)]) if drifting else np.array([np.mean(times)])
    select = np.zeros((2 * ends.size, legs.covariance.shape[0]))
    for row, end in enumerate(ends):
        select[2 * row : 2 * row + 2, count : count + 2] = np.eye(2)
        if drifting:
            select[2 * row : 2 * row + 2, count + 2 :] = (end - legs.wind_time) * np.eye(2)
    velocity = np.array([legs.wind_at(float(end))[0] for end in ends])
    return AloftWind(label, began + ends, height, velocity, select @ legs.covariance @ select.T)


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
    velocity = np.mean(wind.velocity, axis=0)
    mean = np.tile(np.eye(2), len(wind.moments)) / len(wind.moments)
    covariance = mean @ wind.covariance @ mean.T
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
