"""Take-offs and landings as figures of the model."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.model import scatter
from wringout.model.field import (
    LANDING_SCATTER,
    TAKE_OFF_SCATTER,
    FieldCases,
    fly_landing,
    fly_take_off,
    of_the_day,
)
from wringout.model.figures import Deviation, Deviations, Family, Figure, Group
from wringout.model.flight_groups import air_of, by_card, by_point, mass_of, shared_and_own, stated, values
from wringout.model.vehicles import Theta
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import LandingPoint, MomentShare, TakeoffPoint

FloatArray = NDArray[np.float64]
# Share of a head wind's uncertainty that a day has in common: mast, direction and the profile up to the wing
# (common practice, no source).
WIND_OF_THE_DAY = 0.6
# Share of the uncertain moment of lift-off or touchdown that the runs with one technique have in common: what
# looks alike is told alike (common practice, no source).
MOMENT_OF_THE_TECHNIQUE = 0.6
UNKNOWN_MOMENT = MomentShare(0.0, 0.0, 0.0)
NO_GAIN = Estimate(0.0, 0.0, Dimension.SPEED, "no wind aloft was stated: taken as that at the wing")


def take_off_group(airplane: Airplane, points: Sequence[TakeoffPoint]) -> Group:
    """Lift-off speed, ground roll, obstacle speed and air distance of each take-off."""

    def predict(theta: Theta, deviations: Deviations) -> FloatArray:
        run = fly_take_off(airplane, theta, _cases(points, deviations), deviations)
        speed, roll = _moments(points, deviations)
        return np.stack(
            [
                run.lift_off_speed + speed,
                run.ground_roll + roll,
                run.obstacle_speed + 0.0 * roll,
                run.air_distance - roll,
            ],
            axis=-1,
        )

    return Group(
        tuple(
            (
                _figure(point, "lift-off speed", point.lift_off_speed, 0.0, _share(point).speed),
                _figure(
                    point, "take-off ground roll", point.ground_roll, scatter.GROUND_ROLL, _share(point).roll
                ),
                _figure(point, "speed at the obstacle", point.obstacle_speed, 0.0),
                _figure(
                    point,
                    "take-off air distance",
                    point.air_distance,
                    scatter.TAKE_OFF_AIR_DISTANCE,
                    _share(point).roll,
                ),
            )
            for point in points
        ),
        (*_strip(points), *_technique(points, TAKE_OFF_SCATTER)),
        predict,
    )


def landing_group(airplane: Airplane, points: Sequence[LandingPoint]) -> Group:
    """Approach speed, air distance, touchdown speed and ground roll of each landing."""

    def predict(theta: Theta, deviations: Deviations) -> FloatArray:
        approach, stop = fly_landing(airplane, theta, _cases(points, deviations), deviations)
        speed, roll = _moments(points, deviations)
        return np.stack(
            [
                approach + 0.0 * roll,
                stop.air_distance - roll,
                stop.touchdown_speed + speed,
                stop.ground_roll + roll,
            ],
            axis=-1,
        )

    return Group(
        tuple(
            (
                _figure(point, "approach speed", point.approach_speed, 0.0),
                _figure(
                    point,
                    "landing air distance",
                    point.air_distance,
                    scatter.LANDING_AIR_DISTANCE,
                    _share(point).roll,
                ),
                _figure(point, "touchdown speed", point.touchdown_speed, 0.0, _share(point).speed),
                _figure(
                    point, "landing ground roll", point.ground_roll, scatter.LANDING_ROLL, _share(point).roll
                ),
            )
            for point in points
        ),
        (*_strip(points), *_technique(points, LANDING_SCATTER)),
        predict,
    )


def _cases(points: Sequence[TakeoffPoint] | Sequence[LandingPoint], deviations: Deviations) -> FieldCases:
    conditions = [point.conditions for point in points]
    return FieldCases(
        configurations=[state.configuration for state in conditions],
        flaps=[state.flap for state in conditions],
        techniques=[point.technique for point in points],
        surfaces=[point.surface for point in points],
        pilots=[point.pilot for point in points],
        centres=np.array([state.cg for state in conditions]),
        mass=mass_of(conditions, deviations),
        air=air_of(conditions, deviations),
        head_wind=_head_wind([point.head_wind for point in points], deviations),
        slope=_moved([point.slope for point in points], deviations, "slope"),
        wind_gain=_moved([point.wind_gain or NO_GAIN for point in points], deviations, "wind gain"),
    )


def _figure(
    point: TakeoffPoint | LandingPoint,
    what: str,
    measured: Estimate,
    discrepancy: float,
    shared: float = 0.0,
) -> Figure:
    family: Family = "take-off" if isinstance(point, TakeoffPoint) else "landing"
    return Figure(point.origin, what, measured, True, discrepancy, family, abs(shared))


def _share(point: TakeoffPoint | LandingPoint) -> MomentShare:
    return point.moment or UNKNOWN_MOMENT


def _moments(
    points: Sequence[TakeoffPoint] | Sequence[LandingPoint], deviations: Deviations
) -> tuple[FloatArray, FloatArray]:
    """What a later or earlier moment of the wheels makes of speeds [m/s] and rolls [m].

    What the roll gains the air distance loses.
    """
    error = shared_and_own(deviations, "moment of the technique", "moment", MOMENT_OF_THE_TECHNIQUE)
    shares = [_share(point) for point in points]
    return (
        np.array([share.speed for share in shares]) * error,
        np.array([share.roll for share in shares]) * error,
    )


def _strip(points: Sequence[TakeoffPoint] | Sequence[LandingPoint]) -> tuple[Deviation, ...]:
    """What the day and the strip hold in common, and the wind of each run."""
    return (
        by_card("mass", points),
        by_card("density", points),
        by_point("head wind", points),
        by_card("head wind of the day", points),
        by_card("wind gain", points),
        Deviation("slope", tuple((point.slope.value, point.surface) for point in points)),
        by_point("moment", points),
        Deviation(
            "moment of the technique",
            tuple((isinstance(point, TakeoffPoint), point.technique) for point in points),
        ),
    )


def _technique(
    points: Sequence[TakeoffPoint] | Sequence[LandingPoint], sizes: Mapping[str, float]
) -> tuple[Deviation, ...]:
    """The scatter of each run, and what the runs of a pilot's day with one technique have in common."""
    days = tuple((point.origin.card, point.pilot, point.technique) for point in points)
    return (
        *(by_point(kind, points, scatter=True) for kind in sizes),
        *(
            Deviation(of_the_day(kind), days, scatter=True)
            for kind in sizes
            if kind in scatter.BETWEEN_PILOTS
        ),
    )


def _head_wind(winds: Sequence[Estimate], deviations: Deviations) -> FloatArray:
    sds = np.array([wind.sd or 0.0 for wind in winds])
    error = shared_and_own(deviations, "head wind of the day", "head wind", WIND_OF_THE_DAY)
    return values(winds) + sds * error


def _moved(estimates: Sequence[Estimate], deviations: Deviations, kind: str) -> FloatArray:
    sds = np.array([estimate.sd or 0.0 for estimate in estimates])
    return values(estimates) + sds * stated(deviations, kind)
