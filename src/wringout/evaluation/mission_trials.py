"""A mission tried on a page: what it takes along, fuel, wind, cruise and where there is fuel, as typed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Dossier, Load, Mission
from wringout.dossier.trial import Trial, plain
from wringout.evaluation.trials import PlaceUse, Tried, stowed_things, tried
from wringout.evaluation.trips import answer_mission
from wringout.loading import usual_pilot
from wringout.missions import Allowances, MissionAnswer, PayloadRange, Performance, fly, payload_range
from wringout.model.fit import Fit
from wringout.outfitting import build, fitted_options
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.text import parse

FloatArray = NDArray[np.float64]

_FAR = 1e7  # m, a leg long enough for any climb
_POINTS = 13  # of the curve of payload against range: each costs, and it bends little
_BARE = set("0123456789.+-− ")


@dataclass(frozen=True, slots=True)
class MissionAsked:
    """A mission as it is tried, and the airplane it is asked of; `option` is put on, or left out."""

    mission: Mission
    airplane: Airplane
    going: tuple[bool, ...]
    option: str = ""


@dataclass(frozen=True, slots=True)
class MissionTried:
    """The answer to a mission that is tried, its tightest leg as a loading, its payload against range."""

    asked: MissionAsked
    answer: MissionAnswer
    tried: Tried | None
    leg: int
    reach: PayloadRange | None

    @property
    def places(self) -> tuple[PlaceUse, ...]:
        """Every station of that leg."""
        return () if self.tried is None else self.tried.places


class MissionTrialError(InputError):
    """What was typed cannot be asked; `places` are the names of the fields, one for each problem."""

    def __init__(self, faults: Mapping[str, Problem]) -> None:
        super().__init__(*faults.values())
        self.places = tuple(faults)


def mission_named(dossier: Dossier, name: str) -> Mission:
    """The mission of that name, the first for none; InputError where there is no such mission."""
    for mission in dossier.missions:
        if not name or mission.name == name:
            return mission
    raise InputError(Problem(f"there is no mission '{name}'", "choose one of the list", field="mission"))


def typed_mission(typed: Mapping[str, str], dossier: Dossier) -> MissionAsked:
    """The mission that a form of fields by name says.

    Parameters
    ----------
    typed : mapping
        'mission'; without 'asked' it stands as written. Else 'configuration', 'power', 'fuel', 'reserve',
        'altitude', 'head_wind' or 'wind_from' and 'wind_speed', 'fuel_at.N' of the route's strips,
        'load.N.goes', '.mass', '.count' and '.extra' (a station that is not its own), 'option' (a name, or
        '-' and the name of one to leave out), 'ballast' and 'ballast_at'.
    dossier : Dossier

    Raises
    ------
    MissionTrialError
        With every field that is not understood.
    """
    mission = mission_named(dossier, typed.get("mission", ""))
    if "asked" not in typed:
        return MissionAsked(mission, dossier.airplane, tuple(True for _ in mission.loads))
    reading = _Reading(typed, dossier)
    changed = reading.mission(mission)
    airplane = reading.airplane(changed.configuration)
    if reading.faults:
        raise MissionTrialError(reading.faults)
    going = tuple(typed.get(f"load.{n}.goes") == "yes" for n in range(len(mission.loads)))
    return MissionAsked(changed, airplane, going, typed.get("option", ""))


def mission_tried(dossier: Dossier, fit: Fit, asked: MissionAsked) -> MissionTried:
    """The answer to a mission that is tried; errors as `answer`."""
    strips = {strip.name: strip for strip in dossier.strips}
    mission, units = asked.mission, dossier.units
    going = tuple(load for load, goes in zip(mission.loads, asked.going, strict=False) if goes)
    going += mission.loads[len(asked.going) :]
    answer, flown = answer_mission(asked.airplane, fit, replace(mission, loads=going), strips, units)
    if answer.placement is None:
        return MissionTried(asked, answer, None, 0, None)
    shares = [leg.stowage.report.binding.share for leg in answer.legs]
    number = shares.index(min(shares))
    leg = answer.legs[number]
    things = stowed_things(_aboard_or_left(answer, number), leg.stowage, units)
    trial = Trial(
        mission.configuration,
        things,
        leg.stowage.loading.fuel,
        landing_fuel=leg.fuel_at_end.value,
        fuel_text={name: plain(volume, units.fuel, 1) for name, volume in leg.stowage.loading.fuel.items()},
    )
    reach = _reach(dossier, flown.performance, asked, answer)
    return MissionTried(asked, answer, tried(asked.airplane, trial), number, reach)


def _aboard_or_left(answer: MissionAnswer, number: int) -> tuple[Load, ...]:
    """What is aboard on a leg, and what stays behind altogether."""
    stowage = answer.legs[number].stowage
    gone = {id(item.load): item.load for item in stowage.placed}
    left = {id(item.load): item.load for item in (answer.placement.left if answer.placement else ())}
    return tuple((gone | left).values())


def _reach(
    dossier: Dossier, performance: Performance, asked: MissionAsked, answer: MissionAnswer
) -> PayloadRange | None:
    """Payload against range at this cruise, in the mean wind along the way, with this reserve."""
    mission, airplane = asked.mission, asked.airplane
    length = math.fsum(leg.leg.distance for leg in answer.legs)
    wind = math.fsum(leg.leg.distance * leg.leg.head_wind for leg in answer.legs) / length
    typical = performance.typical
    up = fly(replace(answer.legs[0].leg, distance=_FAR), typical)
    try:
        return payload_range(
            airplane,
            mission.configuration,
            fuel_flow=_estimate(performance.fuel_flow, Dimension.VOLUME_FLOW),
            true_airspeed=_estimate(performance.true_airspeed, Dimension.SPEED),
            reserve=mission.reserve,
            head_wind=wind,
            allowances=Allowances(
                performance.taxi_fuel,
                float(up.climb_fuel[0]),
                float(up.climb_time[0]),
                float((up.climb_time * typical.climb_speed)[0]),
            ),
            pilot=usual_pilot(airplane),
            units=dossier.units,
            points=_POINTS,
        )
    except (InputError, ValueError):
        return None


def _estimate(draws: FloatArray, dimension: Dimension) -> Estimate:
    return Estimate(float(np.median(draws)), float(np.std(draws)), dimension, "fitted model")


class _Reading:
    """Reads fields one by one and keeps what is wrong with each."""

    def __init__(self, typed: Mapping[str, str], dossier: Dossier) -> None:
        self.typed = typed
        self.dossier = dossier
        self.faults: dict[str, Problem] = {}

    def mission(self, mission: Mission) -> Mission:
        """The mission with what was typed."""
        units = self.dossier.units
        names = [item.name for item in self.dossier.airplane.configurations]
        configuration = self.typed.get("configuration", mission.configuration)
        if configuration not in names:
            self.faults["configuration"] = Problem(
                f"there is no configuration '{configuration[:60]}'", f"use one of {', '.join(names)}"
            )
        power = self._value("power", Dimension.RATIO, "%", mission.cruise_power)
        if power is not None and not 0.2 <= power <= 1.0:
            self.faults["power"] = Problem("that is no cruise", 'write it between "20 %" and "100 %"')
        reserve = self._value("reserve", Dimension.TIME, "min", mission.reserve)
        altitude = self._value("altitude", Dimension.LENGTH, units.height, mission.cruise_altitude)
        changed = replace(
            mission,
            configuration=configuration,
            cruise_power=power,
            reserve=mission.reserve if reserve is None else reserve,
            cruise_altitude=mission.cruise_altitude if altitude is None else altitude,
            fuel=self._value("fuel", Dimension.VOLUME, units.fuel, None),
            fuel_at=tuple(
                name
                for number, name in enumerate(mission.route)
                if self.typed.get(f"fuel_at.{number}") == "yes"
            ),
            loads=self._loads(mission),
        )
        return self._winds(changed)

    def airplane(self, configuration: str) -> Airplane:
        """The airplane with an option more or less."""
        airplane = self.dossier.airplane
        option = self.typed.get("option", "")
        if not option or self.faults:
            return airplane
        name, fitted = option.removeprefix("-"), fitted_options(airplane)
        known = {item.name: item for item in airplane.options}
        if name not in known:
            self.faults["option"] = Problem(f"there is no option '{name[:60]}'", "choose one of the list")
            return airplane
        wanted = (
            tuple(item for item in fitted if item != name)
            if option.startswith("-")
            else (*fitted, *known[name].needs, name)
        )
        try:
            return build(airplane, configuration, tuple(dict.fromkeys(wanted))).airplane
        except InputError as error:
            self.faults["option"] = error.problems[0]
            return airplane

    def _winds(self, mission: Mission) -> Mission:
        units = self.dossier.units
        if mission.route:
            direction = self._value("wind_from", Dimension.ANGLE, "°", mission.wind_from)
            speed = self._value("wind_speed", Dimension.SPEED, units.speed, mission.wind_speed) or 0.0
            if not 0.0 <= speed < 60.0:
                self.faults["wind_speed"] = Problem("that is no wind to fly in", "check the number")
            return replace(mission, wind_from=direction or 0.0, wind_speed=speed, head_wind=0.0)
        wind = self._value("head_wind", Dimension.SPEED, units.speed, mission.head_wind) or 0.0
        if not abs(wind) < 60.0:
            self.faults["head_wind"] = Problem("that is no wind to fly in", "check the number")
        return replace(mission, head_wind=wind)

    def _loads(self, mission: Mission) -> tuple[Load, ...]:
        loads = []
        stations = [station.name for station in self.dossier.airplane.stations]
        for number, load in enumerate(mission.loads):
            mass = self._value(f"load.{number}.mass", Dimension.MASS, self.dossier.units.mass, load.mass)
            if mass is None or not mass > 0.0:
                self.faults[f"load.{number}.mass"] = Problem(
                    "it weighs nothing", "give its mass, like '43 kg'"
                )
                mass = load.mass
            count = self._count(f"load.{number}.count", load.count)
            extra = self.typed.get(f"load.{number}.extra", "")
            places = (*load.stations, extra) if extra in stations else load.stations
            loads.append(replace(load, mass=mass, count=count, stations=tuple(dict.fromkeys(places))))
        ballast, at = self._value("ballast", Dimension.MASS, "kg", None), self.typed.get("ballast_at", "")
        if ballast and at in stations:
            loads.append(Load(f"ballast in the {at}", ballast, (at,)))
        return tuple(loads)

    def _count(self, field: str, count: int) -> int:
        text = self.typed.get(field, "").strip()
        if not text:
            return count
        if not text.isdecimal() or not 1 <= int(text) <= 99:
            self.faults[field] = Problem(f"'{text[:20]}' is no number of pieces", "write a whole number")
            return count
        return int(text)

    def _value(self, field: str, dimension: Dimension, unit: str, unsaid: float | None) -> float | None:
        """A field's value in SI; a bare number gets its unit, an empty one is what the mission says."""
        text = self.typed.get(field, "").strip()
        if not text:
            return unsaid
        try:
            return parse(f"{text} {unit}" if set(text) <= _BARE else text, dimension)
        except InputError as error:
            self.faults[field] = error.problems[0]
            return unsaid
