"""Level points from solved groups of legs."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.airspeed_flown import INDICATOR_SD, true_by_indicator
from wringout.reduction.flown import Flown
from wringout.reduction.level_groups import SolvedLevels, UnsolvedLevels, calibrated
from wringout.reduction.points import LeftOut, LevelPoint, PositionErrorCurve
from wringout.reduction.position_error import PRIOR_SD, calibrate
from wringout.reduction.power import shaft_power

# Flow meters and tachometers that nobody has calibrated; common practice.
FLOW_METER_SD = 0.03
TACHOMETER_SD = 0.005
MANIFOLD_PRESSURE_SD = 700.0  # [Pa], 0.2 inHg
# Of what is not known of a position error before any flight; a curve less sure than this was not taught.
MOST_UNTAUGHT = 0.7


def level_points(airplane: Airplane, solved: Sequence[SolvedLevels]) -> tuple[LevelPoint, ...]:
    """One point a card point: true airspeed from the legs, power from the engine's log."""
    points = []
    for one in solved:
        calibrated_speeds, covariance = calibrated(one)
        true_sds = np.sqrt(np.diag(one.airspeed_covariance))
        for index, group in enumerate(one.groups):
            source = (
                f"{len(group.legs)} level legs of {group.flown.span}, wind shared with "
                f"{len(one.groups) - 1} other speeds, legs steady to {one.leg_sd:.2f} m/s"
            )
            true = Estimate(
                float(one.solution.true_airspeed[index]), float(true_sds[index]), Dimension.SPEED, source
            )
            by_legs = Estimate(
                float(calibrated_speeds[index]),
                float(np.sqrt(covariance[index, index])),
                Dimension.SPEED,
                f"true airspeed from {source}",
            )
            points.append(_point(airplane, group.flown, true, by_legs))
    return tuple(points)


def indicated_level_points(
    airplane: Airplane, unsolved: Sequence[UnsolvedLevels], curves: Mapping[str, PositionErrorCurve]
) -> tuple[tuple[LevelPoint, ...], tuple[LeftOut, ...]]:
    """Points of legs whose headings leave the wind undetermined: airspeed by the indicator.

    Left out with the reason where the flights teach too little of the position error at that speed.
    """
    points, left = [], []
    for one in unsolved:
        flown = one.group.flown
        curve = curves[flown.point.flap]
        indicated = flown.measure("indicated_airspeed")
        true = true_by_indicator(flown, curve)
        if indicated is None or true is None or not _taught(curve, indicated.value):
            left.append(LeftOut(flown.flight.card.name, flown.point.id, one.reason))
            continue
        reading_sd = float(np.hypot(INDICATOR_SD, indicated.sd or 0.0))
        value, sd = calibrate(curve, indicated.value, reading_sd)
        source = f"{true.source}: {one.reason}"
        by_indicator = Estimate(float(value), float(sd), Dimension.SPEED, source)
        points.append(_point(airplane, flown, replace(true, source=source), by_indicator))
    return tuple(points), tuple(left)


def _taught(curve: PositionErrorCurve, indicated: float) -> bool:
    return bool(curve.points) and float(calibrate(curve, indicated)[1]) < MOST_UNTAUGHT * PRIOR_SD[0]


def _point(
    airplane: Airplane, flown: Flown, true_airspeed: Estimate, calibrated_airspeed: Estimate
) -> LevelPoint:
    """A level point with the power that the engine's log gives."""
    full = flown.point.power == "full"
    engine_speed = _with_instrument(flown, "engine_speed", TACHOMETER_SD, 0.0)
    fuel_flow = _with_instrument(flown, "fuel_flow", FLOW_METER_SD, 0.0)
    power, by_fuel = shaft_power(
        airplane,
        full_throttle=full,
        pressure=flown.conditions.pressure.value,
        temperature=flown.conditions.temperature.value,
        engine_speed=engine_speed,
        manifold_pressure=_with_instrument(flown, "manifold_pressure", 0.0, MANIFOLD_PRESSURE_SD),
        fuel_flow=fuel_flow,
    )
    return LevelPoint(
        origin=flown.origin,
        conditions=flown.conditions,
        true_airspeed=true_airspeed,
        calibrated_airspeed=calibrated_airspeed,
        engine_speed=engine_speed,
        power=power,
        fuel_flow=fuel_flow,
        full_throttle=full,
        power_by_fuel=by_fuel,
    )


def _with_instrument(flown: Flown, name: str, relative: float, absolute: float) -> Estimate | None:
    """A channel's mean with the instrument's own uncertainty added."""
    measure = flown.measure(name)
    if measure is None:
        return None
    sd = float(np.sqrt((measure.sd or 0.0) ** 2 + (relative * measure.value) ** 2 + absolute**2))
    return Estimate(measure.value, sd, measure.dimension, f"mean over the legs of {flown.span}")
