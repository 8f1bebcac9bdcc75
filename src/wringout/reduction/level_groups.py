"""Level legs of a flight, grouped by card point and time, solved for wind and airspeed together."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.manoeuvres.steady import steady_mean
from wringout.physics.airspeed import calibrated_from_true
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.problems import InputError
from wringout.quantity.estimate import Estimate
from wringout.reduction.flown import Flown, middle, plausible, timestamp
from wringout.reduction.gps_legs import GpsLegs, solve
from wringout.reduction.leg_steadiness import leg_steadiness
from wringout.reduction.propagation import propagate
from wringout.reduction.wind_aloft import WANDER, AloftWind, leg_wind

FloatArray = NDArray[np.float64]

# Groups this near in time [s] and height [m] share a wind that wanders; common practice.
SAME_WIND_TIME = 1500.0
SAME_WIND_HEIGHT = 150.0
# How steadily legs hold their airspeed, before they themselves tell; common practice.
LEG_SD_WITH_INDICATOR = 0.05  # [m/s], of which neither the indicator nor the wind's wander knows
LEG_SD_WITHOUT = 0.4  # [m/s]


@dataclass(frozen=True, slots=True)
class LevelGroup:
    """The level legs of one card point as one manoeuvre in its conditions, with the legs themselves."""

    flown: Flown
    legs: tuple[Manoeuvre, ...]


@dataclass(frozen=True, slots=True)
class SolvedLevels:
    """Groups that share a wind and what their legs agree on; the speeds are in the order of `groups`."""

    groups: tuple[LevelGroup, ...]
    solution: GpsLegs
    wind: AloftWind
    leg_sd: float

    @property
    def airspeed_covariance(self) -> FloatArray:
        """Covariance of the groups' true airspeeds [m²/s²]."""
        count = len(self.groups)
        return self.solution.covariance[:count, :count]


def as_one(legs: Sequence[Manoeuvre]) -> Manoeuvre:
    """Several legs as one manoeuvre: the span of all, and the mean of every measure that all of them have."""
    names = set(legs[0].measures).intersection(*(leg.measures for leg in legs[1:]))
    measures = {}
    for name in sorted(names):
        each = [leg.measures[name] for leg in legs]
        sds = [estimate.sd for estimate in each]
        measures[name] = Estimate(
            float(np.mean([estimate.value for estimate in each])),
            None
            if any(sd is None for sd in sds)
            else float(np.sqrt(sum((sd or 0.0) ** 2 for sd in sds)) / len(sds)),
            each[0].dimension,
            f"mean of {len(legs)} legs",
        )
    return Manoeuvre(
        "level leg", min(leg.start for leg in legs), max(leg.end for leg in legs), (), measures, ()
    )


@dataclass(frozen=True, slots=True)
class UnsolvedLevels:
    """A group whose headings leave the wind undetermined, and why."""

    group: LevelGroup
    reason: str

    @property
    def legs(self) -> tuple[Flown, ...]:
        """Its legs one by one, each in the conditions of the group."""
        one = self.group.flown
        return tuple(Flown(one.flight, one.point, leg, one.conditions) for leg in self.group.legs)


def solve_levels(
    groups: Sequence[LevelGroup],
) -> tuple[tuple[SolvedLevels, ...], tuple[UnsolvedLevels, ...]]:
    """Wind and true airspeeds of every set of groups of one flight near enough to share a wind.

    Sets whose headings leave the wind undetermined come back with the reason.
    """
    solved: list[SolvedLevels] = []
    left: list[UnsolvedLevels] = []
    for cluster in _clusters(groups):
        try:
            solved.append(_solve(cluster))
        except InputError as error:
            left.extend(UnsolvedLevels(group, error.problems[0].sentence()) for group in cluster)
    return tuple(solved), tuple(left)


def _clusters(groups: Sequence[LevelGroup]) -> list[list[LevelGroup]]:
    """Groups chained together while each is near the one before in time and near the first in height."""
    clusters: list[list[LevelGroup]] = []
    for group in sorted(groups, key=lambda one: one.flown.middle):
        for cluster in clusters:
            near_in_time = (
                group.flown.manoeuvre.start - max(one.flown.manoeuvre.end for one in cluster) < SAME_WIND_TIME
            )
            if near_in_time and abs(_height(group) - _height(cluster[0])) < SAME_WIND_HEIGHT:
                cluster.append(group)
                break
        else:
            clusters.append([group])
    return clusters


def _height(group: LevelGroup) -> float:
    track = group.flown.flight.track
    measure = group.flown.measure("height")
    return (
        measure.value if measure is not None else float(np.interp(group.flown.middle, track.time, track.up))
    )


def _solve(cluster: Sequence[LevelGroup]) -> SolvedLevels:
    legs = [leg for group in cluster for leg in group.legs]
    names = [group.flown.point.id for group in cluster for _ in group.legs]
    east, north = (
        np.array([leg.measures[name].value for leg in legs]) for name in ("east_speed", "north_speed")
    )
    stated = np.array([_own_sd(group.flown, leg) for group in cluster for leg in group.legs])
    time = np.array([middle(leg) for leg in legs])
    offsets = [_offsets(group) for group in cluster]
    known = all(offset is not None for offset in offsets)
    airspeed_offset = (
        np.concatenate([offset for offset in offsets if offset is not None]) if known else np.zeros(len(legs))
    )
    expected = LEG_SD_WITH_INDICATOR if known else LEG_SD_WITHOUT

    def with_leg_sd(leg_sd: float) -> GpsLegs:
        return solve(
            east,
            north,
            np.hypot(stated, leg_sd),
            names,
            time=time,
            wander=WANDER,
            airspeed_offset=airspeed_offset,
        )

    solution = with_leg_sd(expected)
    leg_sd = leg_steadiness(
        solution,
        np.column_stack([east, north]),
        stated,
        airspeed_offset,
        np.array([[float(name == group) for group in solution.groups] for name in names]),
        time=time,
        wander=WANDER,
        usual=expected,
    )
    solution = with_leg_sd(leg_sd)
    first = cluster[0].flown
    began = timestamp(first.flight, 0.0)
    return SolvedLevels(
        tuple(cluster),
        solution,
        leg_wind(
            f"{first.flight.card.name}: {', '.join(dict.fromkeys(names))}",
            solution,
            began,
            float(
                np.mean(
                    [np.interp(middle(leg), first.flight.track.time, first.flight.track.up) for leg in legs]
                )
            ),
        ),
        leg_sd,
    )


def _own_sd(flown: Flown, leg: Manoeuvre) -> float:
    """What a leg by itself leaves open of ground velocity less airspeed [m/s].

    With an indicator the wind's gusts alone: a change of speed in the leg shows on both.
    """
    by_ground = max(leg.measures["east_speed"].sd or 0.0, leg.measures["north_speed"].sd or 0.0)
    recording, track = flown.flight.recording, flown.flight.track
    shown = recording.channels.get("indicated_airspeed")
    if plausible(leg, "indicated_airspeed") is None or shown is None:
        return by_ground
    inside = (recording.time >= leg.start) & (recording.time <= leg.end)
    time = recording.time[inside]
    ground_speed = np.interp(time, track.time, np.hypot(track.east_speed, track.north_speed))
    factor = float(np.sqrt(SEA_LEVEL_DENSITY / flown.conditions.density.value))
    gusts = steady_mean(time, factor * shown[inside] - ground_speed)
    return by_ground if gusts is None else gusts.sd


def _offsets(group: LevelGroup) -> FloatArray | None:
    """By how much each leg was faster than its group, by the airspeed indicator, as true airspeed [m/s]."""
    readings = [plausible(leg, "indicated_airspeed") for leg in group.legs]
    if any(reading is None for reading in readings):
        return None
    indicated = np.array([reading.value for reading in readings if reading is not None])
    density = group.flown.conditions.density.value
    offsets: FloatArray = (indicated - np.mean(indicated)) * float(np.sqrt(SEA_LEVEL_DENSITY / density))
    return offsets


def calibrated(solved: SolvedLevels) -> tuple[FloatArray, FloatArray]:
    """Calibrated airspeed of each group [m/s] and its covariance [m²/s²], shape (groups, groups).

    The groups share a wind, a thermometer and an altimeter, hence those errors.
    """
    airs = [group.flown.conditions for group in solved.groups]
    pressure = np.array([air.pressure.value for air in airs])
    temperature = np.array([air.temperature.value for air in airs])
    count = len(airs)
    covariance = np.zeros((count + 2, count + 2))
    covariance[:count, :count] = solved.airspeed_covariance
    covariance[count, count] = max(air.pressure.sd or 0.0 for air in airs) ** 2
    covariance[count + 1, count + 1] = max(air.temperature.sd or 0.0 for air in airs) ** 2
    return propagate(
        lambda x: calibrated_from_true(x[:count], pressure + x[count], temperature + x[count + 1]),
        np.append(solved.solution.true_airspeed, [0.0, 0.0]),
        covariance,
    )
