"""Stall points: calibrated, brought to the standard entry rate."""

from collections.abc import Mapping, Sequence

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.airspeed_flown import (
    INDICATOR_LAG,
    INDICATOR_LAG_SD,
    READING_SD,
    calibrated_from_true_estimate,
    describe,
    gps_airspeeds,
    ground_track,
)
from wringout.reduction.flown import Flown
from wringout.reduction.points import LeftOut, PositionErrorCurve, StallPoint
from wringout.reduction.position_error import calibrate
from wringout.reduction.position_error_points import STALL_SPAN, STALL_TIMING_SD, break_time
from wringout.reduction.stall import (
    STANDARD_ENTRY_RATE,
    entry_rate_effect,
    maximum_lift_coefficient,
    to_standard_entry_rate,
)
from wringout.reduction.wind_aloft import WindField

ENTRY_RATE_SD = 0.12  # [m/s²]: no entry is steady, and the last seconds count most; common practice
UNKNOWN_ENTRY_RATE_SD = 0.5  # [m/s²] where the rate was not measured


def stall_points(
    airplane: Airplane,
    stalls: Sequence[Flown],
    curves: Mapping[str, PositionErrorCurve],
    field: WindField,
) -> tuple[tuple[StallPoint, ...], tuple[LeftOut, ...]]:
    """Each stall's calibrated speed at its own mass, at 1 kt/s; those without any airspeed are left out."""
    left: list[LeftOut] = []
    speeds: list[tuple[Flown, Estimate]] = []
    for one in stalls:
        speed = _speed(one, curves[one.point.flap], field)
        if one.point.power == "part":
            reason = "a stall at part power stands for no standard condition; fly it at idle or full power"
            left.append(LeftOut(one.flight.card.name, one.point.id, reason))
        elif speed is None or not speed.value > 0.0:
            reason = f"the stall of {one.span} has no indicated airspeed, and no level legs give the wind"
            left.append(LeftOut(one.flight.card.name, one.point.id, reason))
        else:
            speeds.append((one, speed))
    if not speeds:
        return (), tuple(left)
    rates = [_entry_rate(one) for one, _ in speeds]
    effect = entry_rate_effect(
        maximum_lift_coefficient(
            [speed.value for _, speed in speeds],
            [one.conditions.mass.value for one, _ in speeds],
            airplane.geometry.wing_area,
        ),
        [rate.value for rate in rates],
        [f"{one.flight.card.name}, {one.point.flap}, {one.point.power}" for one, _ in speeds],
        [2.0 * _own_sd(one) / speed.value for one, speed in speeds],
    )
    points = []
    for (one, speed), rate in zip(speeds, rates, strict=True):
        value, sd = to_standard_entry_rate(speed.value, speed.sd or 0.0, rate.value, rate.sd or 0.0, effect)
        how = (
            f"read at 1 kt/s by {100.0 * effect.slope * STANDARD_ENTRY_RATE:+.1f} % of C_Lmax a kt/s"
            if effect.taught
            else "the stalls do not show how entry rate matters: not corrected, uncertainty widened"
        )
        points.append(
            StallPoint(
                origin=one.origin,
                conditions=one.conditions,
                stall_speed=Estimate(value, sd, Dimension.SPEED, f"{speed.source}; {how}"),
                entry_rate=rate,
                warning_speed=_warning(one, curves[one.point.flap]),
                power="full" if one.point.power == "full" else "idle",
            )
        )
    return tuple(points), tuple(left)


def _speed(one: Flown, curve: PositionErrorCurve, field: WindField) -> Estimate | None:
    """Calibrated airspeed at the break, by the indicator, else by the ground velocity and the wind."""
    indicated = one.measure("minimum_indicated_airspeed")
    if indicated is not None:
        rate = _entry_rate(one).value
        value, sd = calibrate(curve, indicated.value - INDICATOR_LAG * rate, _reading_sd(one, indicated))
        return Estimate(
            float(value),
            float(sd),
            Dimension.SPEED,
            f"least indicated airspeed of {one.span} less {INDICATOR_LAG:g} s of lag, {describe(curve)}",
        )
    moment = break_time(one)
    if not field:
        return None
    track = ground_track(one, moment - STALL_SPAN / 2.0, moment + STALL_SPAN / 2.0)
    airspeed = gps_airspeeds([track], field)
    calibrated, calibrated_sd = calibrated_from_true_estimate(
        float(airspeed.speed[0]),
        float(np.sqrt(airspeed.covariance[0, 0] + STALL_TIMING_SD**2)),
        one.conditions,
    )
    return Estimate(
        calibrated,
        calibrated_sd,
        Dimension.SPEED,
        f"ground velocity at the break of {one.span} less the wind of the level legs",
    )


def _own_sd(one: Flown) -> float:
    """What the speed at the break has of uncertainty by itself [m/s], not shared with other stalls."""
    indicated = one.measure("minimum_indicated_airspeed")
    return STALL_TIMING_SD if indicated is None else _reading_sd(one, indicated)


def _reading_sd(one: Flown, indicated: Estimate) -> float:
    """Of the needle at the break by itself [m/s]: the usual steps and stickiness or more, and its lag."""
    return float(np.hypot(max(READING_SD, indicated.sd or 0.0), INDICATOR_LAG_SD * _entry_rate(one).value))


def _entry_rate(one: Flown) -> Estimate:
    rate = one.measure("entry_rate")
    if rate is not None:
        sd = float(np.hypot(rate.sd or 0.0, ENTRY_RATE_SD))
        return Estimate(rate.value, sd, rate.dimension, rate.source)
    return Estimate(
        STANDARD_ENTRY_RATE,
        UNKNOWN_ENTRY_RATE_SD,
        Dimension.ACCELERATION,
        f"entry rate of {one.span} not measured, taken as 1 kt/s",
    )


def _warning(one: Flown, curve: PositionErrorCurve) -> Estimate | None:
    warning = one.measure("warning_indicated_airspeed")
    if warning is None:
        return None
    trailed = INDICATOR_LAG * _entry_rate(one).value
    value, sd = calibrate(curve, warning.value - trailed, _reading_sd(one, warning))
    return Estimate(
        float(value), float(sd), Dimension.SPEED, f"stall warning of {one.span}, {describe(curve)}"
    )
