"""What the flights say about position error: level groups, climbs, glides and stalls, by satellite."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.reduction.airspeed_flown import INDICATOR_SD, calibrated_from_true_estimate, gps_airspeed
from wringout.reduction.flown import Flown
from wringout.reduction.level_groups import SolvedLevels, calibrated
from wringout.reduction.points import PositionErrorCurve
from wringout.reduction.position_error import position_error
from wringout.reduction.wind_aloft import AloftWind

FloatArray = NDArray[np.float64]

# The break and the least reading are not the same instant, and the needle lags the air; common practice.
STALL_TIMING_SD = 0.5  # [m/s]
STALL_SPAN = 2.0  # [s] about the break over which the ground velocity is averaged
# Power, sideslip and gusts make a climb's or glide's correction another than a level leg's; common practice.
CLIMB_SD = 0.4  # [m/s]


@dataclass(frozen=True, slots=True)
class Corrections:
    """Calibrated minus indicated airspeed at some speeds [m/s], with covariance."""

    indicated: FloatArray
    correction: FloatArray
    covariance: FloatArray


def position_error_curves(
    airplane: Airplane, solved: Sequence[SolvedLevels], singles: Sequence[Flown], winds: Sequence[AloftWind]
) -> tuple[PositionErrorCurve, ...]:
    """One curve a flap setting: flap up first from its own points, the others from theirs and its likeness.

    Level groups give points wherever indicated airspeed was recorded. Climbs, glides and stalls reach down
    to the speeds where the curve is wanted most: ground velocity less the wind. Those of one flight share
    the wind's error, so that headings flown both ways take it out and one way only leaves it in the
    uncertainty.
    """
    curves: list[PositionErrorCurve] = []
    for flap in airplane.flaps:
        found = [_of_levels(one, flap.name) for one in solved]
        cards = dict.fromkeys(one.flight.card.name for one in singles)
        for card in cards:
            of_flight = [
                one for one in singles if one.flight.card.name == card and one.point.flap == flap.name
            ]
            found.append(_of_flight(of_flight, winds))
        together = _together([one for one in found if one is not None])
        curves.append(
            position_error(
                flap.name,
                together.indicated,
                together.correction,
                together.covariance,
                like=curves[0] if curves else None,
            )
        )
    return tuple(curves)


def _of_levels(one: SolvedLevels, flap: str) -> Corrections | None:
    members = [
        index
        for index, group in enumerate(one.groups)
        if group.flown.point.flap == flap and group.flown.measure("indicated_airspeed") is not None
    ]
    if not members:
        return None
    values, covariance = calibrated(one)
    readings = [one.groups[index].flown.manoeuvre.measures["indicated_airspeed"] for index in members]
    indicated = np.array([reading.value for reading in readings])
    own = np.diag([INDICATOR_SD**2 + (reading.sd or 0.0) ** 2 for reading in readings])
    return Corrections(indicated, values[members] - indicated, covariance[np.ix_(members, members)] + own)


def _of_flight(flown: Sequence[Flown], winds: Sequence[AloftWind]) -> Corrections | None:
    """Corrections by the climbs, glides and stalls of one flight and flap, with the wind's error shared."""
    indicated, correction, own, directions, shared = [], [], [], [], []
    for one in flown:
        stalling = one.point.kind == "stall"
        if one.point.kind not in {"climb", "glide", "stall"}:
            continue
        reading = one.measure("minimum_indicated_airspeed" if stalling else "indicated_airspeed")
        moment = break_time(one)
        span = (
            (moment - STALL_SPAN / 2.0, moment + STALL_SPAN / 2.0)
            if stalling
            else (one.manoeuvre.start, one.manoeuvre.end)
        )
        airspeed = gps_airspeed(one, winds, *span)
        if reading is None or airspeed is None:
            continue
        wind = airspeed.wind
        # Half of what time and height did to the wind is common to the flight, half the manoeuvre's own.
        private = float(np.sqrt(0.5 * wind.stale))
        own_sd = np.sqrt(airspeed.own_sd**2 + private**2 + (STALL_TIMING_SD if stalling else CLIMB_SD) ** 2)
        value, sd = calibrated_from_true_estimate(airspeed.speed, float(own_sd), one.conditions)
        indicated.append(reading.value)
        correction.append(value - reading.value)
        own.append(sd**2 + INDICATOR_SD**2 + (reading.sd or 0.0) ** 2)
        directions.append(airspeed.direction * value / airspeed.speed)
        shared.append(wind.covariance - 0.5 * wind.stale * np.eye(2))
    if not indicated:
        return None
    along = np.array(directions)
    common = np.mean(shared, axis=0)
    return Corrections(np.array(indicated), np.array(correction), np.diag(own) + along @ common @ along.T)


def break_time(stall: Flown) -> float:
    """Moment of the break of a stall [s], its end where the finder names none."""
    for event in stall.manoeuvre.events:
        if event.name == "break":
            return event.time
    return stall.manoeuvre.end


def _together(parts: Sequence[Corrections]) -> Corrections:
    size = sum(part.indicated.size for part in parts)
    covariance = np.zeros((size, size))
    start = 0
    for part in parts:
        end = start + part.indicated.size
        covariance[start:end, start:end] = part.covariance
        start = end
    empty = np.zeros(0)
    return Corrections(
        np.concatenate([empty, *(part.indicated for part in parts)]),
        np.concatenate([empty, *(part.correction for part in parts)]),
        covariance,
    )
