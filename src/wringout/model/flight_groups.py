"""Stalls, level legs, climbs and glides as figures of the model."""

from collections.abc import Iterable, Sequence

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
from wringout.physics.vehicle import Air, Vehicle, full_power
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import (
    ClimbPoint,
    Conditions,
    LandingPoint,
    LevelPoint,
    StallPoint,
    TakeoffPoint,
)

FloatArray = NDArray[np.float64]


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


def stall_group(airplane: Airplane, points: Sequence[StallPoint]) -> Group:
    """Calibrated stall speeds, engine idle."""
    conditions = [point.conditions for point in points]
    pressure = values(state.pressure for state in conditions)

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
        return calibrated_from_equivalent(equivalent, pressure)[..., None]

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
                ),
            )
            for point in points
        ),
        (by_card("mass", points),),
        predict,
    )


def level_power_group(airplane: Airplane, points: Sequence[LevelPoint]) -> Group:
    """Shaft power for level flight at the measured speed, as the maker's chart would state it."""
    conditions = [point.conditions for point in points]

    def predict(theta: Theta, deviations: Deviations) -> FloatArray:
        _, _, needed = _level_power(airplane, points, theta, deviations)
        return np.asarray((needed / theta["engine power factor"])[..., None])

    return Group(
        tuple(
            (
                Figure(
                    point.origin,
                    "power for level flight",
                    _known(point.power),
                    True,
                    scatter.LEVEL_POWER,
                    "performance",
                ),
            )
            for point in points
        ),
        _level_deviations(points) if conditions else (),
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
        flow = power * consumption * theta["specific consumption factor"] / airplane.fuel.density
        return np.asarray(flow[..., None], dtype=np.float64)

    return Group(
        tuple(
            (
                Figure(
                    point.origin,
                    "fuel flow",
                    _known(point.fuel_flow),
                    True,
                    scatter.FUEL_FLOW,
                    "performance",
                ),
            )
            for point in points
        ),
        _level_deviations(points),
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
        speed = values(speeds) * (1.0 + relative(speeds) * stated(deviations, "true airspeed"))
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
        _level_deviations(points),
        predict,
    )


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
    return made, air, power_required(made, air, speed)


def _known(estimate: Estimate | None) -> Estimate:
    assert estimate is not None, "points without this measurement are not in the group"
    return estimate
