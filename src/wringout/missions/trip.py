"""How far a fuel goes and what fuel a distance takes, from ramp to shutdown, with the reserve kept."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.quantity.estimate import Estimate

FloatArray = NDArray[np.float64]

DAY_RESERVE = 1800.0  # s at normal cruise by day, VFR [CFR91.151]
NIGHT_RESERVE = 2700.0  # s at normal cruise by night, VFR [CFR91.151]


@dataclass(frozen=True, slots=True)
class Allowances:
    """What a trip takes beside its cruise: fuel [m³], time [s] and distance in still air [m].

    The climb counts whole even where the trip is shorter than it. The descent counts as cruise.
    """

    taxi_fuel: float = 0.0
    climb_fuel: float = 0.0
    climb_time: float = 0.0
    climb_distance: float = 0.0


@dataclass(frozen=True, slots=True)
class TripFuel:
    """The fuel of a trip by its parts [m³], each of the broadcast shape of what it was computed from."""

    taxi: FloatArray
    climb: FloatArray
    cruise: FloatArray
    reserve: FloatArray

    @property
    def total(self) -> FloatArray:
        """Fuel that must be usable aboard at the ramp [m³]."""
        return self.taxi + self.climb + self.cruise + self.reserve


@dataclass(frozen=True, slots=True)
class Cruise:
    """How the airplane cruises on a trip: airspeed [m/s], flow [m³/s], and what happens beside the cruise."""

    true_airspeed: Estimate
    fuel_flow: Estimate
    allowances: Allowances = Allowances()


_NONE = Allowances()
_TIME_ROUNDING = 1e-6  # s, of fuel that is exactly what climb and reserve take


def range_with(
    fuel: ArrayLike,
    fuel_flow: ArrayLike,
    true_airspeed: ArrayLike,
    reserve: ArrayLike,
    *,
    head_wind: ArrayLike = 0.0,
    allowances: Allowances = _NONE,
) -> FloatArray:
    """Distance over the ground from ramp to shutdown with the reserve still aboard.

    Parameters
    ----------
    fuel : array_like, shape (...)
        Usable aboard at the ramp [m³].
    fuel_flow : array_like, broadcastable
        At cruise [m³/s].
    true_airspeed : array_like, broadcastable
        At cruise [m/s].
    reserve : array_like, broadcastable
        Time at cruise that the fuel left must last [s].
    head_wind : array_like, broadcastable
        Against the track [m/s], negative where it helps; it acts on the climb too.
    allowances : Allowances
        Taxi and climb.

    Returns
    -------
    ndarray, shape (...)
        [m]; zero where the fuel does not reach beyond the climb and the reserve. NaN where any input is NaN.

    Raises
    ------
    ValueError
        Flow or airspeed not positive, a negative fuel or reserve, or a head wind that stops the airplane.

    Notes
    -----
    R = R_climb − w t_climb + ((F − F_taxi − F_climb)/q − t_reserve)(V − w) [plain mechanics; reserve
    CFR91.151].

    Examples
    --------
    46 US gal at 9 US gal/h and 120 mph with half an hour kept [common practice, no source]:

    >>> gallon, mile = 3.785411784e-3, 1609.344
    >>> distance = range_with(46 * gallon, 9 * gallon / 3600, 120 * mile / 3600, 1800)
    >>> print(f"{distance / mile:.0f} statute miles")
    553 statute miles
    """
    held, flow, speed, kept, wind = _arguments(fuel, fuel_flow, true_airspeed, reserve, head_wind)
    cruise_time = (held - allowances.taxi_fuel - allowances.climb_fuel) / flow - kept
    climb = allowances.climb_distance - wind * allowances.climb_time
    reached = np.maximum(climb + np.maximum(cruise_time, 0.0) * (speed - wind), 0.0)
    return np.where(cruise_time < -_TIME_ROUNDING, 0.0, reached)


def endurance_with(
    fuel: ArrayLike, fuel_flow: ArrayLike, reserve: ArrayLike = 0.0, *, allowances: Allowances = _NONE
) -> FloatArray:
    """Time in the air [s] until only the reserve [s] is left, climb included; arguments as `range_with`.

    Zero where the fuel does not reach beyond climb and reserve. ValueError as `range_with`.
    """
    held, flow, _, kept, _ = _arguments(fuel, fuel_flow, 1.0, reserve, 0.0)
    cruise_time = (held - allowances.taxi_fuel - allowances.climb_fuel) / flow - kept
    return np.where(cruise_time < -_TIME_ROUNDING, 0.0, allowances.climb_time + np.maximum(cruise_time, 0.0))


def trip_fuel(
    distance: ArrayLike,
    fuel_flow: ArrayLike,
    true_airspeed: ArrayLike,
    reserve: ArrayLike,
    *,
    head_wind: ArrayLike = 0.0,
    allowances: Allowances = _NONE,
) -> TripFuel:
    """Fuel that a distance over the ground takes, by its parts; the inverse of `range_with`.

    `distance` [m] broadcasts with the others, which are as in `range_with`; ValueError as there, or for a
    negative distance.
    """
    length, flow, speed, kept, wind = _arguments(distance, fuel_flow, true_airspeed, reserve, head_wind)
    climb = allowances.climb_distance - wind * allowances.climb_time
    cruise = np.maximum(length - climb, 0.0) / (speed - wind) * flow
    shape = np.ones_like(cruise)
    return TripFuel(allowances.taxi_fuel * shape, allowances.climb_fuel * shape, cruise, kept * flow * shape)


def _arguments(*arguments: ArrayLike) -> tuple[FloatArray, ...]:
    held, flow, speed, kept, wind = (np.asarray(argument, dtype=np.float64) for argument in arguments)
    if np.any(flow <= 0.0) or np.any(speed <= 0.0):
        raise ValueError("fuel flow and true airspeed must be positive")
    if np.any(held < 0.0) or np.any(kept < 0.0):
        raise ValueError("fuel or distance, and reserve, must not be negative")
    if np.any(speed - wind <= 0.0):
        raise ValueError("the head wind is as fast as the airplane: it never arrives")
    return held, flow, speed, kept, wind
