"""Level points from solved groups of legs."""

from collections.abc import Sequence

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.flown import Flown
from wringout.reduction.level_groups import SolvedLevels, calibrated
from wringout.reduction.points import LevelPoint
from wringout.reduction.power import shaft_power

# Flow meters and tachometers that nobody has calibrated; common practice.
FLOW_METER_SD = 0.03
TACHOMETER_SD = 0.005
MANIFOLD_PRESSURE_SD = 700.0  # [Pa], 0.2 inHg


def level_points(airplane: Airplane, solved: Sequence[SolvedLevels]) -> tuple[LevelPoint, ...]:
    """One point a card point: true airspeed from the legs, power from the engine's log."""
    points = []
    for one in solved:
        calibrated_speeds, covariance = calibrated(one)
        true_sds = np.sqrt(np.diag(one.airspeed_covariance))
        for index, group in enumerate(one.groups):
            flown = group.flown
            source = (
                f"{len(group.legs)} level legs of {flown.span}, wind shared with {len(one.groups) - 1} other "
                f"speeds, legs steady to {one.leg_sd:.2f} m/s"
            )
            full = flown.point.power == "full"
            engine_speed = _with_instrument(flown, "engine_speed", TACHOMETER_SD, 0.0)
            fuel_flow = _with_instrument(flown, "fuel_flow", FLOW_METER_SD, 0.0)
            points.append(
                LevelPoint(
                    origin=flown.origin,
                    conditions=flown.conditions,
                    true_airspeed=Estimate(
                        float(one.solution.true_airspeed[index]),
                        float(true_sds[index]),
                        Dimension.SPEED,
                        source,
                    ),
                    calibrated_airspeed=Estimate(
                        float(calibrated_speeds[index]),
                        float(np.sqrt(covariance[index, index])),
                        Dimension.SPEED,
                        f"true airspeed from {source}",
                    ),
                    engine_speed=engine_speed,
                    power=shaft_power(
                        airplane,
                        full_throttle=full,
                        pressure=flown.conditions.pressure.value,
                        temperature=flown.conditions.temperature.value,
                        engine_speed=engine_speed,
                        manifold_pressure=_with_instrument(
                            flown, "manifold_pressure", 0.0, MANIFOLD_PRESSURE_SD
                        ),
                        fuel_flow=fuel_flow,
                    ),
                    fuel_flow=fuel_flow,
                    full_throttle=full,
                )
            )
    return tuple(points)


def _with_instrument(flown: Flown, name: str, relative: float, absolute: float) -> Estimate | None:
    """A channel's mean with the instrument's own uncertainty added."""
    measure = flown.measure(name)
    if measure is None:
        return None
    sd = float(np.sqrt((measure.sd or 0.0) ** 2 + (relative * measure.value) ** 2 + absolute**2))
    return Estimate(measure.value, sd, measure.dimension, f"mean over the legs of {flown.span}")
