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
from wringout.reduction.winds_flown import GroundTrack, WindsFlown, along

FloatArray = NDArray[np.float64]

# Of the indicator, its steps and stickiness included: averaged over a leg, and read once. Common practice.
INDICATOR_SD = 0.15  # [m/s]
READING_SD = 0.25  # [m/s]
INDICATOR_LAG = 0.4  # [s] by which it trails …
INDICATOR_LAG_SD = 0.15  # [s] … more or less
GROUND_VELOCITY_SD = 0.1  # [m/s] of a receiver's velocity over seconds; common practice


def true_by_indicator(
    flown: Flown, curve: PositionErrorCurve, measure: str = "indicated_airspeed", rate: float = 0.0
) -> Estimate | None:
    """True airspeed from indicated airspeed through position error and the air's state.

    None where it was not recorded or rested on zero. `rate` [m/s²] is that of the airspeed as it was read,
    which the indicator trails.
    """
    indicated = flown.measure(measure)
    if indicated is None:
        return None
    steady = flown.point.kind in {"climb", "glide"}
    # How the pilot let the speed wander over a steady run is flown, and no error of its mean.
    wander = 0.0 if steady else indicated.sd or 0.0
    own_sd = INDICATOR_SD if steady else READING_SD
    reading_sd = float(np.sqrt(own_sd**2 + wander**2 + (INDICATOR_LAG_SD * rate) ** 2))
    calibrated, sd = calibrate(curve, indicated.value + INDICATOR_LAG * rate, reading_sd)
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


def gps_airspeeds(
    tracks: Sequence[GroundTrack], field: WindField | WindsFlown, near: WindsFlown | None = None
) -> GpsAirspeeds:
    """True airspeeds of parts of manoeuvres by their ground velocities and the wind.

    `near` are the winds about which |g − w| is taken for a straight line, where airspeeds tell more of them
    than the field does.

    Notes
    -----
    With the wind unknown by σ_a across and σ_l along the air velocity and any heading as likely as another
    the airspeed is |g − w| + (σ_a² − 2σ_l²)/2V on the mean: a wind as unknown one way as the other makes
    |g − w| too long, a cross wind that the pilot laid off for on a line out and back too short. [derived]
    """
    if isinstance(field, WindField):
        wind, covariance = field.at(
            np.array([one.moment for one in tracks]), np.array([one.height for one in tracks])
        )
        if near is not None:
            covariance = covariance + near.restless
    else:
        wind, covariance = field.velocity, field.covariance
    about, spread = (wind, covariance) if near is None else (near.velocity, near.covariance)
    ground = np.array([one.velocity for one in tracks])
    air = ground[:, :2] - about
    speed = np.sqrt(np.sum(air**2, axis=1) + ground[:, 2] ** 2)
    direction = air / np.maximum(speed, 1.0)[:, None]
    component = along(direction)
    across = along(direction @ np.array([[0.0, 1.0], [-1.0, 0.0]]))
    crossing, trailing = across @ spread @ across.T, component @ spread @ component.T
    slow = np.maximum(speed, 1.0)
    hidden = (np.diag(crossing) - 2.0 * np.diag(trailing)) / (2.0 * slow)
    unsure = crossing**2 / (2.0 * np.outer(slow, slow))
    own_sd = np.array([one.sd for one in tracks])
    shared = component @ covariance @ component.T
    linear = speed - np.sum(direction * (wind - about), axis=1)
    return GpsAirspeeds(linear + hidden, shared + np.diag(own_sd**2) + unsure, own_sd)


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
