"""Stalls, level legs, climbs and glides as figures of the model."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.model import scatter
from wringout.model.figures import Deviation, Deviations, Figure, Group
from wringout.model.parameters import TYPICAL_CONSUMPTION
from wringout.model.vehicles import Theta, vehicle
from wringout.physics.airspeed import calibrated_from_equivalent
from wringout.physics.climb import rate_of_climb
from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.physics.cruise import level_speed, power_required
from wringout.physics.glide import glide_at
from wringout.physics.propulsion import SQUARE_ROOT, temperature_correction
from wringout.physics.vehicle import Air, Vehicle, full_power
from wringout.quantity.estimate import Estimate
from wringout.reduction.level_points import FLOW_METER_SD
from wringout.reduction.points import (
    ClimbPoint,
    Conditions,
    LandingPoint,
    LevelPoint,
    PositionErrorCurve,
    StallPoint,
    TakeoffPoint,
)
from wringout.reduction.power import CHART_SD

FloatArray = NDArray[np.float64]
# Of rated power: that whose fuel an engine burns for itself, and that at which makers state consumption
# (common practice, no source).
IDLING, CRUISE = 0.06, 0.70
# Share of a climb's airspeed uncertainty that a day has in common: the indicator's position error and the
# wind's profile (common practice, no source).
AIRSPEED_OF_THE_DAY = 0.7


def values(estimates: Iterable[Estimate]) -> FloatArray:
    """Values of estimates, shape (n,)."""
    return np.array([estimate.value for estimate in estimates])


def relative(estimates: Iterable[Estimate]) -> FloatArray:
    """Standard deviations of estimates relative to their values, shape (n,)."""
    return np.array([(estimate.sd or 0.0) / estimate.value for estimate in estimates])


def stated(deviations: Deviations, kind: str) -> FloatArray:
    """The size of one kind of deviation, zero where it is not applied."""
    return np.asarray(deviations.get(kind, 0.0), dtype=np.float64)


def mass_of(conditions: Sequence[Conditions], deviations: Deviations) -> FloatArray:
    """Masses with the day's deviation."""
    masses = [state.mass for state in conditions]
    return values(masses) * (1.0 + relative(masses) * stated(deviations, "mass"))


def air_of(conditions: Sequence[Conditions], deviations: Deviations) -> Air:
    """The air with the deviation of its density, the temperature going the other way."""
    densities = [state.density for state in conditions]
    factor = 1.0 + relative(densities) * stated(deviations, "density")
    return Air(
        pressure=values(state.pressure for state in conditions) * np.ones_like(factor),
        temperature=values(state.temperature for state in conditions) / factor,
        density=values(densities) * factor,
    )


def by_card(
    kind: str, points: Sequence[StallPoint | LevelPoint | ClimbPoint | TakeoffPoint | LandingPoint]
) -> Deviation:
    """A deviation that all points of a card share."""
    return Deviation(kind, tuple(point.origin.card for point in points))


def by_point(
    kind: str,
    points: Sequence[StallPoint | LevelPoint | ClimbPoint | TakeoffPoint | LandingPoint],
    *,
    scatter: bool = False,
) -> Deviation:
    """A deviation of each point by itself."""
    return Deviation(kind, tuple(point.origin for point in points), scatter)


def stall_group(
    airplane: Airplane, points: Sequence[StallPoint], curves: Sequence[PositionErrorCurve] = ()
) -> Group:
    """Calibrated stall speeds, engine idle; those of one flap setting share the error of its curve."""
    conditions = [point.conditions for point in points]
    pressure = values(state.pressure for state in conditions)
    pitot = np.array([_pitot(point, curves) for point in points])

    def predict(theta: Theta, deviations: Deviations) -> FloatArray:
        made = vehicle(
            airplane,
            theta,
            [state.configuration for state in conditions],
            [state.flap for state in conditions],
            mass_of(conditions, deviations),
        )
        equivalent = np.sqrt(
            2.0
            * made.mass
            * GRAVITY
            / (SEA_LEVEL_DENSITY * made.wing_area * np.asarray(made.maximum_lift_coefficient))
        )
        read = calibrated_from_equivalent(equivalent, pressure) + pitot * stated(deviations, "position error")
        return np.asarray(read)[..., None]

    return Group(
        tuple(
            (
                Figure(
                    point.origin,
                    "stall speed",
                    point.stall_speed,
                    True,
                    scatter.STALL_SPEED,
                    "performance",
                    float(shared),
                ),
            )
            for point, shared in zip(points, pitot, strict=True)
        ),
        (
            by_card("mass", points),
            Deviation("position error", tuple(state.flap for state in conditions)),
        ),
        predict,
    )


def _pitot(point: StallPoint, curves: Sequence[PositionErrorCurve]) -> float:
    """What a stall speed owes to the uncertainty of its flap setting's position error [m/s], at most all."""
    speed, whole = point.stall_speed.value, point.stall_speed.sd or 0.0
    curve = next((item for item in curves if item.flap == point.conditions.flap), None)
    if curve is None or not np.isfinite(speed):
        return 0.0
    reached = np.clip(speed, curve.low, curve.high) if np.isfinite(curve.low) else speed
    covariance = np.array(curve.covariance)
    powers = ((reached - curve.reference) / curve.reference) ** np.arange(len(curve.coefficients))
    return float(min(np.sqrt(max(float(powers @ covariance @ powers), 0.0)), whole))


def level_power_group(airplane: Airplane, points: Sequence[LevelPoint]) -> Group:
    """Shaft power for level flight at the measured speed, as the maker's chart would state it."""
    powers = [_without_engine(_known(point.power)) for point in points]

    def predict(theta: Theta, deviations: Deviations) -> FloatArray:
        _, air, needed = _level_power(airplane, points, theta, deviations)
        shown = 1.0 + relative(powers) * stated(deviations, "power gauges")
        # The reading was brought to the day's heat by the root.
        warmth = (
            temperature_correction(air.pressure, air.temperature, SQUARE_ROOT - theta["engine heat exponent"])
            if "engine heat exponent" in theta
            else 1.0
        )
        return np.asarray((needed / theta["engine power factor"] * warmth * shown)[..., None])

    return Group(
        tuple(
            (
                Figure(
                    point.origin,
                    "power for level flight",
                    replace(power, sd=0.0),
                    True,
                    scatter.LEVEL_POWER,
                    "performance",
                ),
            )
            for point, power in zip(points, powers, strict=True)
        ),
        # One set of gauges is wrong in the same way on all days.
        (*_level_deviations(points), Deviation("power gauges", ("airplane",) * len(points))),
        predict,
    )


def fuel_flow_group(airplane: Airplane, points: Sequence[LevelPoint]) -> Group:
    """Fuel flow of level flight: at the power the measured speed needs, or at full throttle."""
    engine = airplane.engine
    cruise = engine.specific_consumption or TYPICAL_CONSUMPTION
    rich = engine.specific_consumption_full or cruise
    wide_open = np.array([point.full_throttle for point in points])
    consumption = np.where(wide_open, rich, cruise)

    def predict(theta: Theta, deviations: Deviations) -> FloatArray:
        made, air, needed = _level_power(airplane, points, theta, deviations)
        power = np.where(wide_open, full_power(made, air), needed)
        factor = theta["specific consumption factor"] * np.where(
            wide_open, theta["full-rich consumption factor"], 1.0
        )
        flow = burned(airplane, power) * consumption * factor / airplane.fuel.density
        shown = 1.0 + FLOW_METER_SD * stated(deviations, "flow meter")
        return np.asarray((flow * shown)[..., None], dtype=np.float64)

    return Group(
        tuple(
            (
                Figure(
                    point.origin,
                    "fuel flow",
                    _without_meter(_known(point.fuel_flow)),
                    True,
                    scatter.FUEL_FLOW,
                    "performance",
                ),
            )
            for point in points
        ),
        # One meter is wrong in the same way on all days.
        (*_level_deviations(points), Deviation("flow meter", ("airplane",) * len(points))),
        predict,
    )


def full_throttle_group(airplane: Airplane, points: Sequence[LevelPoint]) -> Group:
    """True airspeed of level flight at full throttle."""
    conditions = [point.conditions for point in points]

    def predict(theta: Theta, deviations: Deviations) -> FloatArray:
        made = vehicle(
            airplane,
            theta,
            [state.configuration for state in conditions],
            [state.flap for state in conditions],
            mass_of(conditions, deviations),
        )
        return level_speed(made, air_of(conditions, deviations))[..., None]

    return Group(
        tuple(
            (
                Figure(
                    point.origin,
                    "true airspeed at full throttle",
                    point.true_airspeed,
                    True,
                    scatter.FULL_THROTTLE_SPEED,
                    "performance",
                ),
            )
            for point in points
        ),
        (by_card("mass", points), by_card("density", points)),
        predict,
    )


def climb_group(airplane: Airplane, points: Sequence[ClimbPoint], *, idle: bool) -> Group:
    """Rates of climb at full power, or of sink at idle, at the measured speeds."""
    conditions = [point.conditions for point in points]
    speeds = [point.true_airspeed for point in points]

    def predict(theta: Theta, deviations: Deviations) -> FloatArray:
        made = vehicle(
            airplane,
            theta,
            [state.configuration for state in conditions],
            [state.flap for state in conditions],
            mass_of(conditions, deviations),
        )
        air = air_of(conditions, deviations)
        airspeed_error = shared_and_own(
            deviations, "airspeed of the day", "true airspeed", AIRSPEED_OF_THE_DAY
        )
        speed = values(speeds) * (1.0 + relative(speeds) * airspeed_error)
        if idle:
            return -glide_at(made, air, speed, theta["idle propeller drag area"]).sink[..., None]
        return rate_of_climb(made, air, speed)[..., None]

    return Group(
        tuple(
            (
                Figure(
                    point.origin,
                    "rate of climb, idle" if idle else "rate of climb",
                    point.rate_of_climb,
                    False,
                    scatter.SINK_RATE if idle else scatter.RATE_OF_CLIMB,
                    "performance",
                ),
            )
            for point in points
        ),
        (*_level_deviations(points), by_card("airspeed of the day", points)),
        predict,
    )


def shared_and_own(deviations: Deviations, shared: str, own: str, share: float) -> FloatArray:
    """An error in its sd: a share that others have too, and the rest of its own, squares adding to one."""
    return share * stated(deviations, shared) + sqrt(1.0 - share**2) * stated(deviations, own)


def _level_deviations(points: Sequence[LevelPoint | ClimbPoint]) -> tuple[Deviation, ...]:
    return by_card("mass", points), by_card("density", points), by_point("true airspeed", points)


def _level_power(
    airplane: Airplane, points: Sequence[LevelPoint], theta: Theta, deviations: Deviations
) -> tuple[Vehicle, Air, FloatArray]:
    """The airplane, its air, and the shaft power that the measured speed needs."""
    conditions = [point.conditions for point in points]
    made = vehicle(
        airplane,
        theta,
        [state.configuration for state in conditions],
        [state.flap for state in conditions],
        mass_of(conditions, deviations),
    )
    speeds = [point.true_airspeed for point in points]
    speed = values(speeds) * (1.0 + relative(speeds) * stated(deviations, "true airspeed"))
    air = air_of(conditions, deviations)
    # A governed propeller turns as it was set; of another one the polar tells the turns.
    turns = None
    if airplane.propeller.kind == "constant speed":
        rated = airplane.engine.rated_speed
        turns = airplane.propeller.gear_ratio * np.array(
            [rated if point.engine_speed is None else point.engine_speed.value for point in points]
        )
    return made, air, power_required(made, air, speed, turns)


def _without_meter(flow: Estimate) -> Estimate:
    """A fuel flow with what is left of its uncertainty when the meter's own is counted elsewhere."""
    left = (flow.sd or 0.0) ** 2 - (FLOW_METER_SD * flow.value) ** 2
    return replace(flow, sd=float(np.sqrt(max(left, 0.0))))


def burned(airplane: Airplane, power: FloatArray) -> FloatArray:
    """Shaft power whose fuel at the stated consumption is that of a shaft power, what idling burns included.

    Fuel flow grows in a straight line with power from that of an engine that turns for itself (Willans line);
    what the maker states holds at cruise.
    """
    idling = IDLING * airplane.engine.rated_power
    cruise = CRUISE * airplane.engine.rated_power
    return (power + idling) * cruise / (cruise + idling)


def _without_engine(power: Estimate) -> Estimate:
    """A power by the chart with the uncertainty that is left when the engine's own is counted elsewhere."""
    left = (power.sd or 0.0) ** 2 - (CHART_SD * power.value) ** 2
    return replace(power, sd=float(np.sqrt(max(left, 0.0))))


def _known(estimate: Estimate | None) -> Estimate:
    assert estimate is not None, "points without this measurement are not in the group"
    return estimate
