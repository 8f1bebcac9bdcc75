"""Airspeed of a manoeuvre as flown, by the airspeed indicator or by the ground velocity less the wind."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from wringout.physics.airspeed import calibrated_from_true, true_from_calibrated
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.flown import Flown
from wringout.reduction.points import Conditions, PositionErrorCurve
from wringout.reduction.position_error import calibrate
from wringout.reduction.propagation import propagate_scalar
from wringout.reduction.wind_aloft import AloftWind, wind_at

FloatArray = NDArray[np.float64]

INDICATOR_SD = 0.25  # [m/s] of the indicator's reading itself, its steps included; common practice


def true_by_indicator(
    flown: Flown, curve: PositionErrorCurve, measure: str = "indicated_airspeed", extra_sd: float = 0.0
) -> Estimate | None:
    """True airspeed from indicated airspeed through position error and the air's state; None where not recorded.

    `extra_sd` [m/s] is what lag or a moving needle adds.
    """
    indicated = flown.measure(measure)
    if indicated is None:
        return None
    reading_sd = float(np.sqrt(INDICATOR_SD**2 + (indicated.sd or 0.0) ** 2 + extra_sd**2))
    calibrated, sd = calibrate(curve, indicated.value, reading_sd)
    value, true_sd = true_from_calibrated_estimate(float(calibrated), float(sd), flown.conditions)
    return Estimate(value, true_sd, Dimension.SPEED, f"indicated airspeed of {flown.span}, {describe(curve)}")


def true_from_calibrated_estimate(calibrated: float, sd: float, air: Conditions) -> tuple[float, float]:
    """True airspeed and its standard uncertainty [m/s] from calibrated airspeed in the manoeuvre's air."""
    return propagate_scalar(
        lambda x: true_from_calibrated(x[0], x[1], x[2]),
        [calibrated, air.pressure.value, air.temperature.value],
        [sd, air.pressure.sd or 0.0, air.temperature.sd or 0.0],
    )


def calibrated_from_true_estimate(true: float, sd: float, air: Conditions) -> tuple[float, float]:
    """Calibrated airspeed and its standard uncertainty [m/s] from true airspeed in the manoeuvre's air."""
    return propagate_scalar(
        lambda x: calibrated_from_true(x[0], x[1], x[2]),
        [true, air.pressure.value, air.temperature.value],
        [sd, air.pressure.sd or 0.0, air.temperature.sd or 0.0],
    )


def true_by_gps(flown: Flown, winds: Sequence[AloftWind]) -> Estimate | None:
    """True airspeed along the flight path from ground speed, track and rate of climb less the wind of that flight."""
    ground_speed, track = flown.measure("ground_speed"), flown.measure("track")
    if ground_speed is None or track is None:
        return None
    rate = flown.measure("rate_of_climb")
    wind = wind_at(winds, flown.flight.card.name, flown.middle, recorded_height(flown, flown.middle))
    if wind is None:
        return None
    ground = ground_speed.value * np.array([np.sin(track.value), np.cos(track.value)])
    spread = np.zeros((3, 3))
    spread[:2, :2] = wind[1] + (ground_speed.sd or 0.0) ** 2 * np.eye(2)
    spread[2, 2] = 0.0 if rate is None else (rate.sd or 0.0) ** 2
    value, sd = propagate_scalar(
        lambda x: np.sqrt(np.sum(np.square(x))),
        [*(ground - wind[0]), 0.0 if rate is None else rate.value],
        spread,
    )
    return Estimate(value, sd, Dimension.SPEED, f"ground velocity of {flown.span} less the flight's own wind")


def true_at_moment(
    flown: Flown, winds: Sequence[AloftWind], time: float
) -> tuple[float, FloatArray, FloatArray] | None:
    """True airspeed [m/s] at a moment, the horizontal unit vector of the air velocity, and the wind's covariance."""
    wind = wind_at(winds, flown.flight.card.name, time, recorded_height(flown, time))
    if wind is None:
        return None
    track = flown.flight.track
    air = np.array(
        [
            np.interp(time, track.time, track.east_speed) - wind[0][0],
            np.interp(time, track.time, track.north_speed) - wind[0][1],
        ]
    )
    speed = float(np.sqrt(air @ air + np.interp(time, track.time, track.up_speed) ** 2))
    return speed, air / speed, wind[1]


def recorded_height(flown: Flown, time: float) -> float:
    """Height as recorded [m] at a time; winds of one flight are compared by it."""
    return float(np.interp(time, flown.flight.track.time, flown.flight.track.up))


def describe(curve: PositionErrorCurve) -> str:
    """How the position error used is known, in words."""
    if not curve.points:
        return f"position error with flap {curve.flap} not measured"
    return f"position error from {len(curve.points)} speeds with flap {curve.flap}"
