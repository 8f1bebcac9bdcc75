"""Take-off points: as flown, and the classical roll in standard conditions."""

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration_envelope
from wringout.dossier.dossier import Strip
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.physics.propulsion import gagg_ferrar
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction import takeoff
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
from wringout.reduction.points import LeftOut, MomentShare, PositionErrorCurve, TakeoffPoint
from wringout.reduction.propagation import propagate_scalar

FloatArray = NDArray[np.float64]


def takeoff_point(
    one: Flown, airplane: Airplane, strip: Strip | None, curve: PositionErrorCurve
) -> TakeoffPoint | LeftOut:
    """A take-off as flown: distances, slope and head wind along the strip, speeds through the air."""
    in_the_air = () if one.by_camera_alone else ("air_distance", "obstacle_ground_speed")
    absent = missing(one, ("ground_roll", "lift_off_ground_speed", "roll_track", *in_the_air))
    if absent is not None:
        return absent
    measures = one.manoeuvre.measures
    found = setting(one, airplane, strip)
    if isinstance(found, LeftOut):
        return found
    slope, wind = found
    roll, speed = measures["ground_roll"], measures["lift_off_ground_speed"]
    above = measured_or_unknown(one, "obstacle_ground_speed")
    share = moment_share(one, "lift-off", roll, speed)
    by_indicator = true_by_indicator(one, curve, rate=share.rate)
    lift_off = airspeed(one, speed, wind.rolling, 0.0, by_indicator, shared=share.speed)
    return TakeoffPoint(
        origin=one.origin,
        conditions=one.conditions,
        technique=one.point.technique or "normal",
        pilot=one.flight.card.pilot,
        surface=strip.surface if strip is not None else "unknown",
        slope=slope,
        head_wind=wind.rolling,
        ground_roll=roll,
        air_distance=air_distance(one, slope),
        lift_off_speed=lift_off,
        obstacle_speed=airspeed(one, above, wind.obstacle, up_speed(one, "obstacle"), None),
        standard_ground_roll=_standard_takeoff(one, airplane, (roll, speed, wind.rolling, slope), share),
        wind_gain=wind.gain,
        moment=share,
    )


def _standard_takeoff(
    one: Flown,
    airplane: Airplane,
    measured: tuple[Estimate, Estimate, Estimate, Estimate],
    share: MomentShare,
) -> Estimate | None:
    """Roll in still air on the level at the greatest take-off mass and sea-level density.

    Measured: roll, ground speed at lift-off, head wind, slope.
    """
    mass = configuration_envelope(airplane, one.conditions.configuration).maximum_takeoff_mass
    air = one.conditions
    inputs = (*measured, air.mass, air.density)
    kind = airplane.engine.kind

    def standard(x: FloatArray) -> FloatArray:
        still = takeoff.still_air_roll(x[0], x[1], x[2])
        level = takeoff.level_roll(still, x[3], x[1] + x[2])
        density = float(x[5]) / SEA_LEVEL_DENSITY
        power = float(gagg_ferrar(density)) if kind == "naturally aspirated" else 1.0
        ratios = takeoff.RollRatios(
            float(mass / x[4]), density, takeoff.propeller_thrust_ratio(density, power)
        )
        return takeoff.standard_roll(level, ratios)

    try:
        value, sd = propagate_scalar(
            standard,
            [one.value for one in inputs],
            share.covariance(*inputs),
        )
    except ValueError:
        return None
    exponents = np.hypot(
        takeoff.MASS_EXPONENT_SD * np.log(mass / air.mass.value),
        takeoff.DENSITY_EXPONENT_SD * np.log(air.density.value / SEA_LEVEL_DENSITY),
    )
    return Estimate(
        value,
        float(np.hypot(sd, value * exponents)),
        Dimension.LENGTH,
        f"roll of {one.span} to still air (1.85), level ground, {mass:.0f} kg and sea-level standard density",
    )
