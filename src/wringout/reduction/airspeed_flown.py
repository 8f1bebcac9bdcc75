"""Airspeed of a manoeuvre as flown: by the airspeed indicator, or by the ground velocity less the wind."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.physics.airspeed import calibrated_from_true, true_from_calibrated
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.flown import Flown, timestamp
from wringout.reduction.points import Conditions, PositionErrorCurve
from wringout.reduction.position_error import calibrate
from wringout.reduction.propagation import propagate_scalar
from wringout.reduction.wind_aloft import AloftWind, KnownWind, wind_at

FloatArray = NDArray[np.float64]

INDICATOR_SD = 0.25  # [m/s] of the indicator's reading itself, its steps included; common practice
GROUND_VELOCITY_SD = 0.1  # [m/s] of a receiver's velocity over seconds; common practice


def true_by_indicator(
    flown: Flown, curve: PositionErrorCurve, measure: str = "indicated_airspeed", extra_sd: float = 0.0
) -> Estimate | None:
    """True airspeed from indicated airspeed through position error and the air's state.

    None where it was not recorded. `extra_sd` [m/s] is what lag or a moving needle adds.
    """
    indicated = flown.measure(measure)
    if indicated is None:
        return None
    reading_sd = float(np.sqrt(INDICATOR_SD**2 + (indicated.sd or 0.0) ** 2 + extra_sd**2))
    calibrated, sd = calibrate(curve, indicated.value, reading_sd)
    air = flown.conditions
    value, true_sd = propagate_scalar(
        lambda x: true_from_calibrated(x[0], x[1], x[2]),
        [float(calibrated), air.pressure.value, air.temperature.value],
        [float(sd), air.pressure.sd or 0.0, air.temperature.sd or 0.0],
    )
    source = f"indicated airspeed of {flown.span}, {describe(curve)}"
    return Estimate(value, true_sd, Dimension.SPEED, source)


def calibrated_from_true_estimate(true: float, sd: float, air: Conditions) -> tuple[float, float]:
    """Calibrated airspeed and its standard uncertainty [m/s] from true airspeed in the manoeuvre's air."""
    return propagate_scalar(
        lambda x: calibrated_from_true(x[0], x[1], x[2]),
        [true, air.pressure.value, air.temperature.value],
        [sd, air.pressure.sd or 0.0, air.temperature.sd or 0.0],
    )


@dataclass(frozen=True, slots=True)
class GpsAirspeed:
    """True airspeed [m/s] along the path by ground velocity less wind.

    `direction` is the horizontal air velocity over the airspeed: by it a wind error enters. `own_sd` [m/s] is
    what the ground velocity alone leaves open, `sd` all.
    """

    speed: float
    direction: FloatArray
    wind: KnownWind
    own_sd: float
    sd: float


def gps_airspeed(flown: Flown, winds: Sequence[AloftWind], start: float, end: float) -> GpsAirspeed | None:
    """True airspeed over part of a manoeuvre [s] by its track and the wind.

    None where no wind was ever measured.

    The unknown cross wind lengthens |g − w| on the mean by its variance over twice the speed, which is taken
    off [derived].
    """
    track = flown.flight.track
    inside = (track.time >= start) & (track.time <= end)
    if not inside.any():
        inside = np.abs(track.time - 0.5 * (start + end)) <= 1.0
    if not inside.any():
        return None
    moment = float(np.mean(track.time[inside]))
    wind = wind_at(winds, timestamp(flown.flight, moment), float(np.mean(track.up[inside])))
    if wind is None:
        return None
    air = np.array(
        [
            float(np.mean(track.east_speed[inside])) - wind.velocity[0],
            float(np.mean(track.north_speed[inside])) - wind.velocity[1],
        ]
    )
    speed = float(np.sqrt(air @ air + np.mean(track.up_speed[inside]) ** 2))
    direction = air / speed
    across = np.array([-direction[1], direction[0]])
    own_sd = float(np.hypot(np.mean(track.speed_sd[inside]), GROUND_VELOCITY_SD))
    variance = float(direction @ wind.covariance @ direction)
    excess = float(across @ wind.covariance @ across) / (2.0 * speed)
    return GpsAirspeed(
        speed - excess, direction, wind, own_sd, float(np.sqrt(own_sd**2 + variance + excess**2))
    )


def true_by_gps(flown: Flown, winds: Sequence[AloftWind]) -> Estimate | None:
    """True airspeed of a steady manoeuvre by its ground velocity less the wind."""
    found = gps_airspeed(flown, winds, flown.manoeuvre.start, flown.manoeuvre.end)
    if found is None:
        return None
    source = f"ground velocity of {flown.span} less the wind of the level legs"
    return Estimate(found.speed, found.sd, Dimension.SPEED, source)


def describe(curve: PositionErrorCurve) -> str:
    """How the position error used is known, in words."""
    if not curve.points:
        return f"position error with flap {curve.flap} not measured"
    return f"position error from {len(curve.points)} speeds with flap {curve.flap}"
