"""What the flights say about position error: level groups, climbs, glides and stalls, by satellite."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.physics.airspeed import calibrated_from_true, true_from_calibrated
from wringout.reduction.airspeed_flown import (
    INDICATOR_LAG,
    INDICATOR_LAG_SD,
    INDICATOR_SD,
    READING_SD,
    gps_airspeeds,
    ground_track,
)
from wringout.reduction.flown import Flown
from wringout.reduction.level_groups import SolvedLevels, UnsolvedLevels, calibrated
from wringout.reduction.points import PositionErrorCurve
from wringout.reduction.position_error import (
    LACK_OF_FIT_SD,
    PRIOR_SD,
    between,
    calibrate,
    position_error,
    shared_covariance,
)
from wringout.reduction.propagation import propagate
from wringout.reduction.stall import STANDARD_ENTRY_RATE
from wringout.reduction.wind_aloft import AloftWind, WindField
from wringout.reduction.winds_flown import GroundTrack, WindsFlown, winds_flown

FloatArray = NDArray[np.float64]

# The break and the least reading are not the same instant, and the needle lags the air; common practice.
STALL_TIMING_SD = 0.5  # [m/s]
TOLD_SD = 2.0  # [m/s] of a wind component that was measured, not guessed
MOST_CONTRADICTION = 6.0  # of the standard deviation of ground velocity less wind less airspeed
APPROACH = (6.0, 2.0)  # [s] before the break
STALL_SPAN = 2.0  # [s] about the break over which the ground velocity is averaged
# Power, sideslip and gusts make a climb's or glide's correction another than a level leg's; common practice.
CLIMB_SD = 0.3  # [m/s]


@dataclass(frozen=True, slots=True)
class Corrections:
    """Calibrated minus indicated airspeed at some speeds [m/s], with covariance.

    `shown` has the same with standard uncertainties; where nothing else tells the wind, with what airspeed
    and ground velocity together say of it.
    """

    indicated: FloatArray
    correction: FloatArray
    covariance: FloatArray
    shown: tuple[tuple[float, float, float], ...]


def position_error_curves(
    airplane: Airplane, solved: Sequence[SolvedLevels], singles: Sequence[Flown], field: WindField
) -> tuple[PositionErrorCurve, ...]:
    """One curve a flap setting: flap up first from its own points, the others from theirs and its likeness.

    Level groups give points wherever indicated airspeed was recorded. Climbs, glides and stalls reach down
    to the speeds where the curve is wanted most: ground velocity less the wind; so do level legs whose
    headings leave the wind undetermined. Those of one flight share the wind's error, so that headings flown
    both ways take it out and one way only leaves it in the uncertainty.
    """
    clean = airplane.flaps[0]
    curves: dict[str, PositionErrorCurve] = {}
    for flap in airplane.flaps:
        found = [_of_levels(one, flap.name) for one in solved]
        like = curves.get(clean.name)
        found.append(_of_flights([one for one in singles if one.point.flap == flap.name], field, like))
        together = _together([one for one in found if one is not None])
        curve = position_error(
            flap.name, together.indicated, together.correction, together.covariance, like=like
        )
        curves[flap.name] = replace(curve, points=together.shown)
    measured = [flap for flap in airplane.flaps if curves[flap.name].points]
    for flap in airplane.flaps:
        less = [one for one in measured if one.deflection < flap.deflection]
        more = [one for one in measured if one.deflection > flap.deflection]
        if not curves[flap.name].points and less and more:
            low = max(less, key=lambda one: one.deflection)
            high = min(more, key=lambda one: one.deflection)
            share = (flap.deflection - low.deflection) / (high.deflection - low.deflection)
            curves[flap.name] = between(flap.name, curves[low.name], curves[high.name], share)
    return tuple(curves[flap.name] for flap in airplane.flaps)


def winds_of_levels(
    airplane: Airplane,
    unsolved: Sequence[UnsolvedLevels],
    compared: Sequence[Flown],
    field: WindField,
) -> tuple[AloftWind, ...]:
    """The winds at groups of legs whose headings leave it undetermined, by airspeed and ground velocity.

    `compared` are the manoeuvres whose airspeeds and ground velocities are compared, those legs among them;
    groups without indicated airspeed give none.
    """
    found = []
    for flap in airplane.flaps:
        together = compare([one for one in compared if one.point.flap == flap.name], field, None)
        for group in (one.group for one in unsolved if one.group.flown.point.flap == flap.name):
            members = [
                index
                for index, one in enumerate(together.flown if together is not None else ())
                if one.flight is group.flown.flight and one.manoeuvre in group.legs
            ]
            if together is None or not members:
                continue
            velocity, covariance = together.winds.mean_over(members)
            tracks = [together.tracks[index] for index in members]
            found.append(
                AloftWind(
                    f"{group.flown.flight.card.name}: {group.flown.point.id}",
                    np.array([np.mean([track.moment for track in tracks])]),
                    float(np.mean([track.height for track in tracks])),
                    velocity[None, :],
                    covariance,
                )
            )
    return tuple(found)


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
    return _corrections(indicated, values[members] - indicated, covariance[np.ix_(members, members)] + own)


def _of_flights(
    flown: Sequence[Flown], field: WindField, like: PositionErrorCurve | None
) -> Corrections | None:
    """Corrections by single manoeuvres with one flap, with the wind's error shared."""
    compared = compare(flown, field, like)
    if compared is None:
        return None
    _, spread = field.at(
        np.array([one.moment for one in compared.tracks]), np.array([one.height for one in compared.tracks])
    )
    # A wind that legs or turns told is a better place for the straight line than one by the needle.
    told = float(np.sqrt(np.max(np.diag(spread)))) < TOLD_SD
    airspeeds = gps_airspeeds(compared.tracks, field, None if told else compared.winds)
    pressure, temperature = _air(compared.flown)
    own = np.diag(compared.reading_sd**2)

    def corrected(speed: FloatArray, covariance: FloatArray) -> tuple[FloatArray, FloatArray]:
        values, spread = propagate(
            lambda x: calibrated_from_true(x, pressure, temperature), speed, covariance
        )
        return values - compared.indicated, spread + own

    alone = _corrections(compared.indicated, *corrected(airspeeds.speed, airspeeds.covariance))
    known = gps_airspeeds(compared.tracks, compared.winds)
    together = _corrections(compared.indicated, *corrected(known.speed, known.covariance))
    shown = tuple(
        one if one[2] < PRIOR_SD[0] else other for one, other in zip(alone.shown, together.shown, strict=True)
    )
    return replace(alone, shown=shown)


def _corrections(indicated: FloatArray, correction: FloatArray, covariance: FloatArray) -> Corrections:
    columns = (indicated, correction, np.sqrt(np.diag(covariance)))
    shown = tuple(zip(*(column.tolist() for column in columns), strict=True))
    return Corrections(indicated, correction, covariance, shown)


def _air(flown: Sequence[Flown]) -> tuple[FloatArray, FloatArray]:
    """Pressures [Pa] and temperatures [K] of manoeuvres."""
    return (
        np.array([one.conditions.pressure.value for one in flown]),
        np.array([one.conditions.temperature.value for one in flown]),
    )


@dataclass(frozen=True, slots=True)
class Compared:
    """Manoeuvres of which indicated airspeed and ground velocity can be compared, and the winds of both.

    `indicated` and `reading_sd` [m/s] have shape (n,).
    """

    flown: tuple[Flown, ...]
    indicated: FloatArray
    reading_sd: FloatArray
    tracks: tuple[GroundTrack, ...]
    winds: WindsFlown


def compare(flown: Sequence[Flown], field: WindField, like: PositionErrorCurve | None) -> Compared | None:
    """Indicated airspeeds of manoeuvres with one flap beside their ground velocities; None where none is.

    `like` is the curve that theirs resembles, None for flap up. The winds take no part of the curve for
    granted but what is known of any.
    """
    readings = [(one, reading) for one in flown if (reading := _reading(one)) is not None]
    if not readings:
        return None
    indicated, sd = (
        np.array([getattr(reading, name) for _, reading in readings]) for name in ("indicated", "sd")
    )
    tracks = tuple(ground_track(one, reading.start, reading.end) for one, reading in readings)
    before = position_error(
        "", [], [], [], reference=None if like is not None else float(np.mean(indicated)), like=like
    )
    pressure, temperature = _air([one for one, _ in readings])
    airspeed, covariance = propagate(
        lambda x: true_from_calibrated(x, pressure, temperature),
        calibrate(before, indicated)[0],
        shared_covariance(before, indicated) + np.diag(sd**2 + LACK_OF_FIT_SD**2),
    )
    wind, spread = field.at(
        np.array([one.moment for one in tracks]), np.array([one.height for one in tracks])
    )
    by_ground = np.hypot(*(np.array([one.velocity[:2] for one in tracks]) - wind).T)
    expected_sd = np.sqrt(np.diag(covariance) + np.diag(spread)[0::2] + np.diag(spread)[1::2])
    # A receiver that jumps within a few seconds shows speeds that no position error explains.
    kept = np.flatnonzero(np.abs(by_ground - airspeed) < MOST_CONTRADICTION * expected_sd)
    if not kept.size:
        return None
    tracks = tuple(tracks[index] for index in kept)
    winds = winds_flown(tracks, airspeed[kept], covariance[np.ix_(kept, kept)], field)
    return Compared(tuple(readings[index][0] for index in kept), indicated[kept], sd[kept], tracks, winds)


@dataclass(frozen=True, slots=True)
class _Reading:
    """Indicated airspeed [m/s] over a span [s], with what it and its comparison leave open."""

    indicated: float
    sd: float
    start: float
    end: float


def _reading(one: Flown) -> _Reading | None:
    if one.point.kind == "stall":
        return _approach_to_stall(one) or _least_reading(one)
    measure = one.measure("indicated_airspeed") if one.point.kind in {"climb", "glide", "level"} else None
    if measure is None:
        return None
    own_sd = 0.0 if one.point.kind == "level" else CLIMB_SD
    sd = float(np.sqrt(INDICATOR_SD**2 + own_sd**2 + (measure.sd or 0.0) ** 2))
    return _Reading(measure.value, sd, one.manoeuvre.start, one.manoeuvre.end)


def _approach_to_stall(one: Flown) -> _Reading | None:
    """The seconds before the break, when speed falls steadily and satellite and needle can be compared."""
    recording = one.flight.recording
    channel = recording.channels.get("indicated_airspeed")
    if channel is None:
        return None
    start, end = (break_time(one) - seconds for seconds in APPROACH)
    # A needle that rests on zero says nothing, nor does a missing sample.
    inside = (recording.time >= start) & (recording.time <= end) & (channel > 0.0)
    if np.count_nonzero(inside) < 2:
        return None
    rate = _entry_rate(one)
    indicated = float(np.mean(channel[inside])) - INDICATOR_LAG * rate
    time = recording.time[inside]
    sd = float(np.hypot(READING_SD, INDICATOR_LAG_SD * rate))
    return _Reading(indicated, sd, float(time[0]), float(time[-1]))


def _least_reading(one: Flown) -> _Reading | None:
    measure = one.measure("minimum_indicated_airspeed")
    if measure is None:
        return None
    rate = _entry_rate(one)
    sd = np.sqrt(
        READING_SD**2 + STALL_TIMING_SD**2 + (measure.sd or 0.0) ** 2 + (INDICATOR_LAG_SD * rate) ** 2
    )
    moment = break_time(one)
    return _Reading(
        measure.value - INDICATOR_LAG * rate, float(sd), moment - STALL_SPAN / 2.0, moment + STALL_SPAN / 2.0
    )


def _entry_rate(one: Flown) -> float:
    """By which the needle trails [m/s²]; the standard one where it was not measured."""
    measured = one.measure("entry_rate")
    return STANDARD_ENTRY_RATE if measured is None else measured.value


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
        tuple(point for part in parts for point in part.shown),
    )
