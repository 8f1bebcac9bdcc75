"""Rate of climb brought to steady flight, and what a set of climbs says together."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.physics.atmosphere import standard_temperature
from wringout.physics.constants import GRAVITY
from wringout.problems import InputError, Problem
from wringout.reduction.propagation import propagate

FloatArray = NDArray[np.float64]

SERVICE_CEILING_RATE = 0.508  # 100 ft/min [m/s]
HEIGHT_SCALE = 1000.0  # [m], so that all unknowns of the climbs are of one size


def tapeline_rate(
    pressure_altitude_rate: ArrayLike, pressure_altitude: ArrayLike, temperature: ArrayLike
) -> FloatArray:
    """Geometric rate of climb from the rate of pressure altitude.

    dh/dt = dH_p/dt · T/T_std [FTM108, ch. 7; from memory].
    Rates [m/s], pressure altitude [m], outside air temperature [K], broadcast. NaN gives NaN. Raises
    ValueError where the temperature is not positive.

    Examples
    --------
    700 ft/min at 5,000 ft pressure altitude and 20 °C:

    >>> print(f"{tapeline_rate(700.0, 1524.0, 293.15):.2f}")
    737.50
    """
    actual = np.asarray(temperature, dtype=float)
    if np.any(actual <= 0.0):
        raise ValueError("temperature must be positive, in kelvin")
    rate: FloatArray = (
        np.asarray(pressure_altitude_rate, dtype=float)
        * actual
        / standard_temperature(np.asarray(pressure_altitude, dtype=float))
    )
    return rate


def specific_excess_power(
    rate_of_climb: ArrayLike,
    true_airspeed: ArrayLike,
    acceleration: ArrayLike = 0.0,
    tail_wind_gradient: ArrayLike = 0.0,
) -> FloatArray:
    """Rate of climb [m/s] that the same power gives in steady flight and uniform wind.

    Parameters
    ----------
    rate_of_climb : array_like
        Geometric rate as flown. [m/s]
    true_airspeed : array_like
        True airspeed. [m/s]
    acceleration : array_like
        Its rate of change dV/dt. [m/s²]
    tail_wind_gradient : array_like
        Change of tail wind with height, positive where the tail wind grows. [1/s]

    Notes
    -----
    Energy in the frame of the moving air [derived]: with V the airspeed and w the tail wind the airplane's
    inertial acceleration is dV/dt + (dw/dh)(dh/dt), and thrust minus drag times V/W is
    P_s = dh/dt + (V/g)(dV/dt + (dw/dh)(dh/dt)).
    """
    rate, speed = np.asarray(rate_of_climb, dtype=float), np.asarray(true_airspeed, dtype=float)
    inertial = np.asarray(acceleration, dtype=float) + np.asarray(tail_wind_gradient, dtype=float) * rate
    power: FloatArray = rate + speed * inertial / GRAVITY
    return power


@dataclass(frozen=True, slots=True)
class BestClimb:
    """Speeds [m/s] of best rate and best angle and the best rate [m/s], in this order, with covariance.

    `curve` is a + bV + cV².
    """

    best_rate_speed: float
    best_angle_speed: float
    best_rate: float
    covariance: FloatArray
    curve: FloatArray


def best_climb(
    true_airspeed: ArrayLike,
    rate_of_climb: ArrayLike,
    rate_sd: ArrayLike,
    altitude: ArrayLike | None = None,
) -> BestClimb:
    """Best-rate and best-angle speeds from a parabola fitted to sawtooth climbs at one mass.

    Parameters
    ----------
    true_airspeed : array_like, shape (climbs,)
        True (or consistently calibrated) airspeed. [m/s]
    rate_of_climb, rate_sd : array_like, shape (climbs,)
        Rate of climb and its standard uncertainty. [m/s]
    altitude : array_like, shape (climbs,), optional
        Density altitude of each. Where given, the rate falls evenly with it besides, and the figures hold at
        the mean altitude; it takes five climbs. [m]

    Returns
    -------
    BestClimb

    Raises
    ------
    InputError
        Fewer than three speeds, a curve without a maximum, or a maximum outside the speeds flown; says what
        to fly.

    Notes
    -----
    Weighted least squares; the best rate lies at −b/2c, the tangent from the origin touches at √(a/c),
    which is meant only as far as the parabola is (the wind gradient and the sawtooth's two headings must be
    taken out before). [derived]
    """
    speed = np.asarray(true_airspeed, dtype=float)
    rate = np.asarray(rate_of_climb, dtype=float)
    weight = 1.0 / np.asarray(rate_sd, dtype=float)
    if np.unique(np.round(speed, 1)).size < 3:
        raise InputError(
            Problem(
                "climbs at fewer than three speeds do not show which is best",
                "fly sawtooth climbs at three or more speeds through the same band of altitude",
            )
        )
    middle = float(np.mean(speed))
    design = np.vander(speed - middle, 3, increasing=True)
    if altitude is not None:
        above = np.asarray(altitude, dtype=float)
        design = np.column_stack([design, (above - np.mean(above)) / HEIGHT_SCALE])
    rows = design * weight[:, None]
    if np.linalg.matrix_rank(rows) < rows.shape[1]:
        raise InputError(
            Problem(
                "climbs at these speeds and altitudes do not tell the effect of speed from that of altitude",
                "fly sawtooth climbs at three or more speeds through the same band of altitude",
            )
        )
    shifted, *_ = np.linalg.lstsq(rows, rate * weight, rcond=None)
    covariance = np.linalg.inv(rows.T @ rows)[:3, :3]
    shifted = shifted[:3]
    a, b, c = shifted
    plain = np.array([a - b * middle + c * middle**2, b - 2.0 * c * middle, c])
    if not (c < 0.0 and speed.min() <= middle - 0.5 * b / c <= speed.max()):
        raise InputError(
            Problem(
                "the rates of climb show no best speed between the speeds flown",
                "add climbs faster and slower until the rate falls off on both sides",
            )
        )

    def speeds(x: FloatArray) -> FloatArray:
        level, slope, bend = x
        constant = level - slope * middle + bend * middle**2
        with np.errstate(invalid="ignore"):
            angle = np.sqrt(constant / bend)
        return np.array([middle - 0.5 * slope / bend, angle, level - 0.25 * slope**2 / bend])

    best, spread = propagate(speeds, shifted, covariance)
    return BestClimb(float(best[0]), float(best[1]), float(best[2]), spread, plain)


def ceiling(
    pressure_altitude: ArrayLike,
    rate_of_climb: ArrayLike,
    rate_sd: ArrayLike,
    least_rate: float = SERVICE_CEILING_RATE,
) -> tuple[float, float]:
    """Altitude at which the rate of climb falls to a least rate, by a straight line through several climbs.

    Parameters
    ----------
    pressure_altitude : array_like, shape (climbs,)
        Density altitude serves better where temperatures differ. [m]
    rate_of_climb, rate_sd : array_like, shape (climbs,)
        Best rate of climb at one mass and its standard uncertainty. [m/s]
    least_rate : float
        0.508 m/s (100 ft/min) for the service ceiling, 0 for the absolute one. [m/s]

    Returns
    -------
    altitude, sd : float
        The uncertainty is that of the line; that the line is straight is assumed. [m]

    Raises
    ------
    InputError
        Climbs at one altitude only, or a rate that does not fall with altitude beyond its uncertainty.
    """
    altitude = np.asarray(pressure_altitude, dtype=float)
    weight = 1.0 / np.asarray(rate_sd, dtype=float)
    middle = float(np.mean(altitude))
    rows = np.column_stack([np.ones_like(altitude), altitude - middle]) * weight[:, None]
    if altitude.size < 2 or np.ptp(altitude) < 300.0:
        raise InputError(
            Problem(
                "climbs within 300 m of altitude say nothing about the ceiling",
                "repeat the best climb at least 1000 m higher",
            )
        )
    line, *_ = np.linalg.lstsq(rows, np.asarray(rate_of_climb, dtype=float) * weight, rcond=None)
    covariance = np.linalg.inv(rows.T @ rows)
    if not line[1] < -2.0 * np.sqrt(covariance[1, 1]):
        raise InputError(
            Problem(
                "the rate of climb does not fall with altitude beyond its uncertainty",
                "repeat the best climb at more widely spaced altitudes",
            )
        )
    height, spread = propagate(lambda x: middle + (least_rate - x[0]) / x[1], line, covariance)
    return float(height[0]), float(np.sqrt(spread[0, 0]))
