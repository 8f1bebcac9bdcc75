"""Landing points: as flown, their mean braking, and the classical roll in standard conditions."""

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration_envelope
from wringout.dossier.dossier import Strip
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction import landing, takeoff
from wringout.reduction.airspeed_flown import true_by_indicator
from wringout.reduction.flown import Flown
from wringout.reduction.ground_setting import (
    air_distance,
    airspeed,
    measured_or_unknown,
    missing,
    moment_share,
    setting,
    up_speed,
)
from wringout.reduction.points import (
    LandingPoint,
    LeftOut,
    MomentShare,
    PositionErrorCurve,
    TouchdownPlace,
)
from wringout.reduction.propagation import propagate_scalar

FloatArray = NDArray[np.float64]
RECEIVER_SD = 2.5  # m that a receiver's position keeps over minutes (common practice, no source)


def landing_point(
    one: Flown, airplane: Airplane, strip: Strip | None, curve: PositionErrorCurve
) -> LandingPoint | LeftOut:
    """A landing as flown, from 15 m to the full stop."""
    in_the_air = () if one.by_camera_alone else ("air_distance", "obstacle_ground_speed")
    absent = missing(one, ("ground_roll", "touchdown_ground_speed", "roll_track", *in_the_air))
    if absent is not None:
        return absent
    measures = one.manoeuvre.measures
    found = setting(one, airplane, strip)
    if isinstance(found, LeftOut):
        return found
    slope, wind = found
    roll, speed = measures["ground_roll"], measures["touchdown_ground_speed"]
    above = measured_or_unknown(one, "obstacle_ground_speed")
    share = moment_share(one, "touchdown", roll, speed)
    braking, braking_sd = propagate_scalar(
        lambda x: landing.mean_braking(x[0], x[1], x[2]),
        [roll.value, speed.value, slope.value],
        share.covariance(roll, speed, slope),
    )
    return LandingPoint(
        origin=one.origin,
        conditions=one.conditions,
        technique=one.point.technique or "normal",
        pilot=one.flight.card.pilot,
        surface=strip.surface if strip is not None else "unknown",
        slope=slope,
        head_wind=wind.rolling,
        approach_speed=airspeed(one, above, wind.obstacle, up_speed(one, "obstacle"), None),
        touchdown_speed=airspeed(
            one, speed, wind.rolling, 0.0, true_by_indicator(one, curve, rate=share.rate), shared=share.speed
        ),
        air_distance=air_distance(one, slope),
        ground_roll=roll,
        mean_braking=Estimate(
            braking,
            braking_sd,
            Dimension.RATIO,
            f"ground speed at touchdown over the roll of {one.span}, slope taken out",
        ),
        standard_ground_roll=_standard_landing(one, airplane, (roll, speed, wind.rolling, slope), share),
        place=_touchdown_place(one, strip, speed.value),
        wind_gain=wind.gain,
        moment=share,
    )


def _touchdown_place(one: Flown, strip: Strip | None, speed: float) -> TouchdownPlace | None:
    """Where it touched, by the fixes before and after; None where no recording shows it."""
    touch = next((event for event in one.manoeuvre.events if event.name == "touchdown"), None)
    channels = one.flight.recording.channels
    if (
        strip is None
        or touch is None
        or one.by_camera_alone
        or not {"latitude", "longitude"} <= set(channels)
    ):
        return None
    aim = one.flight.card.aim
    latitude, longitude = channels["latitude"], channels["longitude"]
    fixes = np.isfinite(latitude) & np.isfinite(longitude)
    time = one.flight.recording.time[fixes]
    if not len(time) or not time[0] <= touch.time <= time[-1]:
        return None
    return TouchdownPlace(
        strip.name,
        float(np.interp(touch.time, time, latitude[fixes])),
        float(np.interp(touch.time, time, longitude[fixes])),
        one.manoeuvre.measures["roll_track"].value,
        float(np.hypot(touch.time_sd * speed, RECEIVER_SD)),
        None if aim is None else (aim.latitude, aim.longitude),
    )


def _standard_landing(
    one: Flown,
    airplane: Airplane,
    measured: tuple[Estimate, Estimate, Estimate, Estimate],
    share: MomentShare,
) -> Estimate | None:
    """Roll in still air on the level at the greatest landing mass and sea-level density.

    Measured: roll, ground speed at touchdown, head wind, slope.
    """
    envelope = configuration_envelope(airplane, one.conditions.configuration)
    mass = envelope.maximum_landing_mass or envelope.maximum_takeoff_mass
    air = one.conditions
    inputs = (*measured, air.mass, air.density)

    def standard(x: FloatArray) -> FloatArray:
        still = takeoff.still_air_roll(x[0], x[1], x[2])
        level = landing.level_landing_roll(still, x[3], x[1] + x[2])
        return landing.standard_landing_roll(level, mass / x[4], x[5] / SEA_LEVEL_DENSITY)

    try:
        value, sd = propagate_scalar(
            standard,
            [one.value for one in inputs],
            share.covariance(*inputs),
        )
    except ValueError:
        return None
    exponent = landing.MASS_EXPONENT_SD * abs(float(np.log(mass / air.mass.value)))
    return Estimate(
        value,
        float(np.hypot(sd, value * exponent)),
        Dimension.LENGTH,
        f"roll of {one.span} to still air (1.85), level ground, {mass:.0f} kg and sea-level standard density",
    )
