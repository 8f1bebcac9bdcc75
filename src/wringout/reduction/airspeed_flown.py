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
from wringout.reduction.wind_aloft import WindField

FloatArray = NDArray[np.float64]

# Of the indicator, its steps and stickiness included: averaged over a leg, and read once. Common practice.
INDICATOR_SD = 0.15  # [m/s]
READING_SD = 0.25  # [m/s]
INDICATOR_LAG = 0.4  # [s] by which it may trail
GROUND_VELOCITY_SD = 0.1  # [m/s] of a receiver's velocity over seconds; common practice


def true_by_indicator(
    flown: Flown, curve: PositionErrorCurve, measure: str = "indicated_airspeed", extra_sd: float = 0.0
) -> Estimate | None:
    """True airspeed from indicated airspeed through position error and the air's state.

    None where it was not recorded or rested on zero. `extra_sd` [m/s] is what lag or a moving
    needle adds.
    """
    indicated = flown.measure(measure)
    if indicated is None:
        return None
    own_sd = INDICATOR_SD if flown.point.kind in {"climb", "glide"} else READING_SD
    reading_sd = float(np.sqrt(own_sd**2 + (indicated.sd or 0.0) ** 2 + extra_sd**2))
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
class GroundTrack:
    """Mean velocity over the ground (east, north, up) [m/s] of part of a manoeuvre, when and how high.

    `moment` is in seconds since 1970 UTC, `height` [m] as recorded, `sd` [m/s] of one component.
    """

    velocity: FloatArray
    moment: float
    height: float
    sd: float


def ground_track(flown: Flown, start: float, end: float) -> GroundTrack:
    """Velocity over the ground between two times [s]; the nearest sample where none lies between."""
    track = flown.flight.track
    inside = (track.time >= start) & (track.time <= end)
    if not inside.any():
        inside = np.arange(track.time.size) == int(np.argmin(np.abs(track.time - 0.5 * (start + end))))
    return GroundTrack(
        np.array([np.mean(axis[inside]) for axis in (track.east_speed, track.north_speed, track.up_speed)]),
        timestamp(flown.flight, float(np.mean(track.time[inside]))),
        float(np.mean(track.up[inside])),
        float(np.hypot(np.mean(track.speed_sd[inside]), GROUND_VELOCITY_SD)),
    )


@dataclass(frozen=True, slots=True)
class GpsAirspeeds:
    """True airspeeds [m/s] by ground velocity less wind, shape (n,), and their covariance, (n, n).

    `own_sd` [m/s] is what the ground velocity alone leaves open; the rest is the wind's, shared.
    """

    speed: FloatArray
    covariance: FloatArray
    own_sd: FloatArray


def gps_airspeeds(tracks: Sequence[GroundTrack], field: WindField) -> GpsAirspeeds:
    """True airspeeds of parts of manoeuvres by their ground velocities and the wind.

    The unknown cross wind lengthens |g − w| on the mean by its variance over twice the speed, which is taken
    off [derived].
    """
    wind, covariance = field.at(
        np.array([one.moment for one in tracks]), np.array([one.height for one in tracks])
    )
    ground = np.array([one.velocity for one in tracks])
    air = ground[:, :2] - wind
    speed = np.sqrt(np.sum(air**2, axis=1) + ground[:, 2] ** 2)
    direction = air / np.maximum(speed, 1.0)[:, None]
    count = len(tracks)
    along = np.zeros((count, 2 * count))
    excess = np.zeros(count)
    for row, (east, north) in enumerate(direction):
        along[row, 2 * row : 2 * row + 2] = east, north
        across = np.array([-north, east])
        own = covariance[2 * row : 2 * row + 2, 2 * row : 2 * row + 2]
        excess[row] = across @ own @ across / (2.0 * max(speed[row], 1.0))
    own_sd = np.array([one.sd for one in tracks])
    shared = along @ covariance @ along.T
    return GpsAirspeeds(speed - excess, shared + np.diag(own_sd**2 + excess**2), own_sd)


def true_by_gps(flown: Flown, field: WindField) -> Estimate | None:
    """True airspeed of a steady manoeuvre by its ground velocity less the wind.

    None where no wind was measured.
    """
    if not field:
        return None
    track = ground_track(flown, flown.manoeuvre.start, flown.manoeuvre.end)
    found = gps_airspeeds([track], field)
    source = f"ground velocity of {flown.span} less the wind of the level legs"
    sd = float(np.sqrt(found.covariance[0, 0]))
    return Estimate(float(found.speed[0]), sd, Dimension.SPEED, source)


def describe(curve: PositionErrorCurve) -> str:
    """How the position error used is known, in words."""
    if not curve.points:
        return f"position error with flap {curve.flap} not measured"
    return f"position error from {len(curve.points)} speeds with flap {curve.flap}"
