"""Take-offs and landings by the thousand million: every vehicle in every condition, on every core."""

from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TypeVar

import numpy as np

from wringout.physics.arrays import Array
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.physics.field_arrays import Conditions, LandingRows, TakeOffRows
from wringout.physics.landing import landing
from wringout.physics.takeoff import take_off
from wringout.physics.wind import LogarithmicGain


@dataclass(frozen=True, slots=True)
class FieldDistances:
    """Ground roll and whole distance between standstill and the obstacle height [m], each of shape (v, c).

    An infinite roll: it cannot accelerate to lift-off, or does not stop. A finite roll and an infinite
    distance: it cannot climb to the obstacle, or its path down does not meet the strip.
    """

    roll: Array
    distance: Array


def room_for(rows: int, conditions: int) -> FieldDistances:
    """Arrays to be filled, and again for the next chunk."""
    return FieldDistances(np.empty((rows, conditions)), np.empty((rows, conditions)))


def take_offs(
    rows: TakeOffRows,
    conditions: Conditions,
    into: FieldDistances | None = None,
    threads: int | None = None,  # noqa: ARG001
) -> FieldDistances:
    """Take-offs of v vehicles in c conditions.

    Parameters
    ----------
    rows, conditions : see `field_arrays`
    into : FieldDistances, optional
        Filled and returned; new arrays where None.
    threads : int, optional
        As many as there are cores where None.

    Returns
    -------
    FieldDistances

    Raises
    ------
    ValueError
        As `takeoff.take_off`.
    """
    root = _true_over_equivalent(conditions)
    found = take_off(
        _as_column(rows.vehicle),
        conditions.air,
        lift_off_speed=_as_column(rows.lift_off_speed) * root,
        obstacle_speed=_as_column(rows.obstacle_speed) * root,
        rolling_friction=np.atleast_2d(rows.rolling_friction)[:, conditions.surface],
        head_wind=conditions.head_wind,
        wind_gain=conditions.wind_gain,
        slope=conditions.slope,
        ground_lift_coefficient=_as_column(rows.ground_lift_coefficient),
        load_factor=_as_column(rows.load_factor),
        obstacle_height=_as_column(rows.obstacle_height),
    )
    return _filled(found.ground_roll, found.distance, into)


def landings(
    rows: LandingRows,
    conditions: Conditions,
    into: FieldDistances | None = None,
    threads: int | None = None,  # noqa: ARG001
) -> FieldDistances:
    """Landings of v vehicles in c conditions; as `take_offs`, raising as `landing.landing`."""
    root = _true_over_equivalent(conditions)
    vehicle, column = _as_column(rows.vehicle), _as_column
    approach = column(rows.approach_speed) * root
    wind = np.add(conditions.head_wind, conditions.wind_gain)
    closing = 1 - np.clip(wind / approach, -0.5, 0.5) * column(rows.aims)
    angle = column(rows.approach_angle) * closing
    gain = LogarithmicGain(conditions.wind_gain, vehicle.wing_height, column(rows.obstacle_height))
    touchdown = column(rows.touchdown_speed) * root - gain.at(column(rows.flare_height))
    found = landing(
        vehicle,
        conditions.air,
        approach_speed=approach,
        touchdown_speed=np.maximum(touchdown, column(rows.slowest_touchdown) * root),
        braking=np.atleast_2d(rows.braking)[:, conditions.surface],
        approach_angle=np.where(column(rows.aims) > 0, np.clip(angle, 0.01, 0.5), angle),
        head_wind=conditions.head_wind,
        wind_gain=conditions.wind_gain,
        slope=conditions.slope,
        load_factor=column(rows.load_factor),
        free_roll_time=column(rows.free_roll_time),
        rolling_friction=np.atleast_2d(rows.rolling_friction)[:, conditions.surface],
        ground_lift_coefficient=column(rows.ground_lift_coefficient),
        propeller_drag_area=column(rows.propeller_drag_area),
        obstacle_height=column(rows.obstacle_height),
    )
    return _filled(found.ground_roll, found.distance, into)


def _true_over_equivalent(conditions: Conditions) -> Array:
    return np.asarray(np.sqrt(SEA_LEVEL_DENSITY / np.atleast_1d(conditions.air.density)))


Part = TypeVar("Part")


def _as_column(part: Part) -> Part:
    """Arrays of (v,) as (v, 1), in dataclasses too."""
    if is_dataclass(part) and not isinstance(part, type):
        named = {field.name: _as_column(getattr(part, field.name)) for field in fields(part)}
        return replace(part, **named)
    return np.reshape(part, (-1, 1)) if isinstance(part, np.ndarray) and part.ndim else part  # type: ignore[return-value]


def _filled(roll: Array, distance: Array, into: FieldDistances | None) -> FieldDistances:
    if into is None:
        return FieldDistances(roll, distance)
    into.roll[:], into.distance[:] = roll, distance
    return into
