"""A leg flown by the fitted airplane: climb, cruise at the chosen setting, descent, fuel and time of each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.missions.legs import Leg

FloatArray = NDArray[np.float64]

_SLOWEST_CLIMB = 0.5  # m/s, below which a climb is not waited for
_HALVINGS = 40


@dataclass(frozen=True, slots=True)
class Performance:
    """How the airplane climbs, cruises and descends; arrays of one shape, one draw of the airplane each.

    `true_airspeed` [m/s] and `fuel_flow` [m³/s] at `altitude` [m] in the cruise; the rate of climb [m/s]
    runs straight from `rates[0]` at `heights[0]` to `rates[1]` at `heights[1]` [m], at `climb_speed` true
    [m/s] and `climb_flow` [m³/s]; the descent is at `descent_rate` [m/s] and the cruise's airspeed, with
    `descent_flow` [m³/s]. `taxi_fuel` [m³] is burnt before each take-off.
    """

    altitude: float
    true_airspeed: FloatArray
    fuel_flow: FloatArray
    heights: tuple[float, float]
    rates: tuple[FloatArray, FloatArray]
    climb_speed: FloatArray
    climb_flow: float
    descent_rate: float
    descent_flow: FloatArray
    taxi_fuel: float = 0.0

    @property
    def typical(self) -> Performance:
        """The same with the median of each array, shape (1,)."""

        def middle(values: FloatArray) -> FloatArray:
            return np.median(np.atleast_1d(values), keepdims=True)

        return Performance(
            self.altitude,
            middle(self.true_airspeed),
            middle(self.fuel_flow),
            self.heights,
            (middle(self.rates[0]), middle(self.rates[1])),
            middle(self.climb_speed),
            self.climb_flow,
            self.descent_rate,
            middle(self.descent_flow),
            self.taxi_fuel,
        )


@dataclass(frozen=True, slots=True)
class LegFlown:
    """A leg in each draw: times [s], fuels [m³], and the altitude [m] that it reaches."""

    leg: Leg
    top: float
    climb_time: FloatArray
    cruise_time: FloatArray
    descent_time: FloatArray
    taxi_fuel: FloatArray
    climb_fuel: FloatArray
    cruise_fuel: FloatArray
    descent_fuel: FloatArray

    @property
    def time(self) -> FloatArray:
        """From take-off to landing [s]."""
        return self.climb_time + self.cruise_time + self.descent_time

    @property
    def fuel(self) -> FloatArray:
        """From start-up to landing [m³]."""
        return self.taxi_fuel + self.climb_fuel + self.cruise_fuel + self.descent_fuel


def fly(leg: Leg, performance: Performance) -> LegFlown:
    """Time and fuel of a leg.

    Parameters
    ----------
    leg : Leg
    performance : Performance

    Returns
    -------
    LegFlown
        A leg too short to reach the cruise altitude and come down again is flown at the altitude at which the
        climb meets the descent.

    Raises
    ------
    ValueError
        The wind is as fast as the airplane.

    Notes
    -----
    Ground speed √(V² − w_cross²) − w_head [wind triangle]; time to climb ∫dh/r with r straight in height,
    (Δh/(r₂ − r₁)) ln(r₂/r₁) [plain mechanics].
    """
    top = _top(leg, performance.typical)
    ground, climbing = (
        _ground_speed(leg, speed) for speed in (performance.true_airspeed, performance.climb_speed)
    )
    climb_time = _climb_time(performance, leg.start_elevation, top)
    descent_time = np.maximum(top - leg.end_elevation, 0.0) / performance.descent_rate + 0.0 * ground
    level = np.maximum(leg.distance - climbing * climb_time - ground * descent_time, 0.0)
    cruise_time = level / ground
    return LegFlown(
        leg,
        top,
        climb_time,
        cruise_time,
        descent_time,
        performance.taxi_fuel + 0.0 * ground,
        performance.climb_flow * climb_time,
        performance.fuel_flow * cruise_time,
        performance.descent_flow * descent_time,
    )


def _top(leg: Leg, typical: Performance) -> float:
    """The altitude at which a leg is flown: the cruise altitude, or where climb and descent meet below it."""
    least = max(leg.start_elevation, leg.end_elevation)
    if least >= typical.altitude or _taken(leg, typical, typical.altitude) <= leg.distance:
        return max(typical.altitude, least)
    low, high = least, typical.altitude
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _taken(leg, typical, middle) <= leg.distance else (low, middle)
    return low


def _taken(leg: Leg, typical: Performance, top: float) -> float:
    """Distance over the ground that climb to, and descent from, an altitude take [m]."""
    ground, climbing = (_ground_speed(leg, speed) for speed in (typical.true_airspeed, typical.climb_speed))
    up = climbing * _climb_time(typical, leg.start_elevation, top)
    down = ground * max(top - leg.end_elevation, 0.0) / typical.descent_rate
    return float((up + down)[0])


def _climb_time(performance: Performance, start: float, top: float) -> FloatArray:
    low, high = performance.heights
    first, second = performance.rates
    slope = (second - first) / (high - low) if high > low else np.zeros_like(first)
    below = np.maximum(first + slope * (start - low), _SLOWEST_CLIMB)
    above = np.maximum(first + slope * (top - low), _SLOWEST_CLIMB)
    gain = max(top - start, 0.0)
    change = above - below
    straight = np.abs(change) > 1e-9
    ratio = np.log(above / below) / np.where(straight, change, 1.0)
    return gain * np.where(straight, ratio, 1.0 / below)


def _ground_speed(leg: Leg, airspeed: FloatArray) -> FloatArray:
    against = np.asarray(airspeed, dtype=np.float64)
    if np.any(np.abs(leg.cross_wind) >= against):
        raise ValueError("the cross wind is as fast as the airplane: it cannot hold its track")
    speed = np.sqrt(against**2 - leg.cross_wind**2) - leg.head_wind
    if np.any(speed <= 0.0):
        raise ValueError("the head wind is as fast as the airplane: it never arrives")
    return np.asarray(speed)
