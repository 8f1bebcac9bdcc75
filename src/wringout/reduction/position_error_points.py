"""What the flights say about position error: calibrated speeds of level groups, and of stalls where the wind is known."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.reduction.airspeed_flown import INDICATOR_SD, calibrated_from_true_estimate, true_at_moment
from wringout.reduction.flown import Flown
from wringout.reduction.level_groups import SolvedLevels, calibrated
from wringout.reduction.points import PositionErrorCurve
from wringout.reduction.position_error import position_error
from wringout.reduction.wind_aloft import AloftWind

FloatArray = NDArray[np.float64]

# The break and the least reading are not the same instant, and the needle lags the air; common practice.
STALL_TIMING_SD = 0.5  # [m/s]


def position_error_curves(
    airplane: Airplane, solved: Sequence[SolvedLevels], stalls: Sequence[Flown], winds: Sequence[AloftWind]
) -> tuple[PositionErrorCurve, ...]:
    """One curve a flap setting: flap up first from its own points, the others from theirs and its likeness.

    Level groups give points wherever indicated airspeed was recorded. A stall gives one at the speed where the curve is wanted most, by
    the ground velocity at the break less the wind of the same flight; stalls of one flight share that wind's error.
    """
    speeds: dict[str, list[float]] = {flap.name: [] for flap in airplane.flaps}
    corrections: dict[str, list[float]] = {flap.name: [] for flap in airplane.flaps}
    blocks: dict[str, list[FloatArray]] = {flap.name: [] for flap in airplane.flaps}
    for one in solved:
        _level_points(one, speeds, corrections, blocks)
    cards = dict.fromkeys((stall.flight.card.name, stall.point.flap) for stall in stalls)
    for card, setting in cards:
        group = [one for one in stalls if one.flight.card.name == card and one.point.flap == setting]
        _stall_points(setting, group, winds, speeds, corrections, blocks)
    curves: list[PositionErrorCurve] = []
    for flap in airplane.flaps:
        curves.append(
            position_error(
                flap.name,
                speeds[flap.name],
                corrections[flap.name],
                _block_diagonal(blocks[flap.name]),
                like=curves[0] if curves else None,
            )
        )
    return tuple(curves)


def _level_points(
    one: SolvedLevels,
    speeds: dict[str, list[float]],
    corrections: dict[str, list[float]],
    blocks: dict[str, list[FloatArray]],
) -> None:
    values, covariance = calibrated(one)
    for flap in speeds:
        members = [
            index
            for index, group in enumerate(one.groups)
            if group.flown.point.flap == flap and group.flown.measure("indicated_airspeed") is not None
        ]
        readings = [one.groups[index].flown.manoeuvre.measures["indicated_airspeed"] for index in members]
        if members:
            speeds[flap].extend(reading.value for reading in readings)
            corrections[flap].extend(
                float(values[index]) - reading.value for index, reading in zip(members, readings, strict=True)
            )
            own = np.diag([INDICATOR_SD**2 + (reading.sd or 0.0) ** 2 for reading in readings])
            blocks[flap].append(covariance[np.ix_(members, members)] + own)


def _stall_points(
    flap: str,
    stalls: Sequence[Flown],
    winds: Sequence[AloftWind],
    speeds: dict[str, list[float]],
    corrections: dict[str, list[float]],
    blocks: dict[str, list[FloatArray]],
) -> None:
    found: list[tuple[float, float, float, FloatArray, FloatArray]] = []
    for one in stalls:
        indicated = one.measure("minimum_indicated_airspeed")
        moment = true_at_moment(one, winds, break_time(one))
        if indicated is None or moment is None:
            continue
        true, direction, wind_covariance = moment
        track = one.flight.track
        own_sd = float(np.hypot(np.interp(break_time(one), track.time, track.speed_sd), STALL_TIMING_SD))
        value, sd = calibrated_from_true_estimate(true, own_sd, one.conditions)
        reading_sd = float(np.hypot(INDICATOR_SD, indicated.sd or 0.0))
        found.append(
            (
                indicated.value,
                value - indicated.value,
                float(np.hypot(sd, reading_sd)),
                direction,
                wind_covariance,
            )
        )
    if not found:
        return
    speeds[flap].extend(row[0] for row in found)
    corrections[flap].extend(row[1] for row in found)
    directions = np.array([row[3] for row in found])
    shared = np.mean([row[4] for row in found], axis=0)
    # True and calibrated airspeed differ by the root of the density; the wind's error enters alike.
    blocks[flap].append(np.diag([row[2] ** 2 for row in found]) + directions @ shared @ directions.T)


def break_time(stall: Flown) -> float:
    """Moment of the break of a stall [s], its end where the finder names none."""
    for event in stall.manoeuvre.events:
        if event.name == "break":
            return event.time
    return stall.manoeuvre.end


def _block_diagonal(blocks: Sequence[FloatArray]) -> FloatArray:
    size = sum(block.shape[0] for block in blocks)
    matrix = np.zeros((size, size))
    start = 0
    for block in blocks:
        matrix[start : start + block.shape[0], start : start + block.shape[0]] = block
        start += block.shape[0]
    return matrix
