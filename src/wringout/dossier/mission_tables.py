"""The tables of missions.toml: what readers want to carry, and how far or along which strips."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from wringout.dossier.dossier import Load, Mission, Strip
from wringout.dossier.fields import (
    Angle,
    Count,
    Fault,
    Flag,
    Length,
    Name,
    PositiveLength,
    PositiveMass,
    PositiveRatio,
    SignedSpeed,
    Speed,
    Table,
    Temperature,
    Text,
    Time,
    Volume,
)
from wringout.dossier.lines import Path
from wringout.dossier.places import distance_and_track, placed
from wringout.dossier.toml import Document
from wringout.problems import Problem

MOST_STOPS = 9  # between the first and the last strip of a route in any order: more take too long to try


class LoadTable(Table):
    name: Name
    mass: PositiveMass
    stations: tuple[Name, ...]
    must: Flag = True
    count: Count = 1
    value: PositiveRatio | None = None
    taken_on: Name | None = None
    put_off: Name | None = None

    def faults(self) -> tuple[Fault, ...]:
        faults: list[Fault] = []
        if not self.stations:
            mend = "name one station or more, best first"
            faults.append((("stations",), Problem("no station can take it", mend)))
        if self.count < 1:
            faults.append((("count",), Problem("there are none of it", "give one or more, or take it out")))
        if self.taken_on is not None and self.taken_on == self.put_off:
            what = f"it is taken on and put off at '{self.taken_on}'"
            faults.append((("put_off",), Problem(what, "name two strips, or leave one of them out")))
        return tuple(faults)

    def made(self) -> Load:
        return Load(
            self.name,
            self.mass,
            tuple(self.stations),
            self.must,
            self.count,
            self.value,
            self.taken_on,
            self.put_off,
        )


class MissionTable(Table):
    name: Name
    question: Text
    configuration: Name
    distance: PositiveLength | None = None
    route: tuple[Name, ...] = ()
    fuel_at: tuple[Name, ...] = ()
    any_order: Flag = False
    head_wind: SignedSpeed = 0.0
    wind_from: Angle | None = None
    wind_speed: Speed | None = None
    cruise_altitude: Length
    cruise_power: PositiveRatio | None = None
    reserve: Time
    fuel: Volume | None = None
    strip: Name | None = None
    temperature: Temperature | None = None
    load: tuple[LoadTable, ...] = ()

    def faults(self) -> tuple[Fault, ...]:
        return (*self._way(), *self._winds(), *self._loads())

    def _way(self) -> Iterator[Fault]:
        if self.distance is None and not self.route:
            yield ("name",), Problem("it is not said how far", "give a distance, or a route of strips")
        if self.distance is not None and self.route:
            mend = "leave the distance out, a route has its own"
            yield ("distance",), Problem("there are both a distance and a route", mend)
        if self.route and len(self.route) < 2:
            yield ("route",), Problem("a route needs two strips or more", "name where it begins and ends")
        for number, (one, other) in enumerate(zip(self.route, self.route[1:], strict=False), start=1):
            if one == other:
                what = f"'{one}' follows itself"
                yield ("route", number), Problem(what, "name it once")
        if self.any_order and len(self.route) > MOST_STOPS + 2:
            what = f"{len(self.route) - 2} strips in any order are too many to try"
            yield ("route",), Problem(what, f"have at most {MOST_STOPS} between the first and the last")
        if self.any_order and len(set(self.route[1:-1])) < len(self.route[1:-1]):
            yield ("route",), Problem("a strip is visited twice in any order", "name it once")
        for number, name in enumerate(self.fuel_at):
            if name not in self.route:
                what = f"there is fuel at '{name}', which is not on the route"
                yield ("fuel_at", number), Problem(what, "add it to the route, or take it out here")
        if self.cruise_power is not None and not 0.2 <= self.cruise_power <= 1.0:
            what = f"a cruise at {self.cruise_power:.0%} of rated power is none"
            yield ("cruise_power",), Problem(what, 'write it like "65 %"')

    def _winds(self) -> Iterator[Fault]:
        if (self.wind_from is None) != (self.wind_speed is None):
            key = "wind_from" if self.wind_speed is None else "wind_speed"
            mend = "give both wind_from and wind_speed"
            yield (key,), Problem("a wind aloft has a direction and a speed", mend)
        if self.wind_from is not None and not self.route:
            mend = "give head_wind, or a route"
            yield ("wind_from",), Problem("without a route the wind has no track to meet", mend)
        if self.wind_from is not None and self.head_wind != 0.0:
            yield ("head_wind",), Problem("there are both a head wind and a wind aloft", "keep one of them")

    def _loads(self) -> Iterator[Fault]:
        for number, load in enumerate(self.load):
            for key in ("taken_on", "put_off"):
                name = getattr(load, key)
                if name is not None and name not in self.route:
                    what = f"'{name}' is not on the mission's route"
                    yield ("load", number, key), Problem(what, "name a strip of the route")

    def made(self) -> Mission:
        return Mission(
            name=self.name,
            question=self.question,
            configuration=self.configuration,
            loads=tuple(load.made() for load in self.load),
            distance=self.distance or 0.0,
            head_wind=self.head_wind,
            cruise_altitude=self.cruise_altitude,
            reserve=self.reserve,
            strip=self.strip,
            temperature=self.temperature,
            route=tuple(self.route),
            fuel_at=tuple(self.fuel_at),
            any_order=self.any_order,
            wind_from=self.wind_from,
            wind_speed=self.wind_speed or 0.0,
            cruise_power=self.cruise_power,
            fuel=self.fuel,
        )


class MissionsFile(Table):
    mission: tuple[MissionTable, ...] = ()

    def made(self) -> tuple[Mission, ...]:
        return tuple(mission.made() for mission in self.mission)


def with_distances(missions: Sequence[Mission], strips: Sequence[Strip]) -> tuple[Mission, ...]:
    """The missions, those with a route as long as its legs; a strip without its place adds nothing."""
    known = {strip.name: strip for strip in strips if placed(strip)}
    return tuple(
        replace(
            mission,
            distance=math.fsum(
                distance_and_track(known[one], known[other])[0]
                for one, other in zip(mission.route, mission.route[1:], strict=False)
                if one in known and other in known
            ),
        )
        if mission.route
        else mission
        for mission in missions
    )


def unplaced_problems(
    document: Document, missions: Sequence[Mission], strips: Sequence[Strip]
) -> Iterator[Problem]:
    """Strips of a route that do not say where they lie."""
    lost = {strip.name for strip in strips if not placed(strip)}
    for number, mission in enumerate(missions):
        for place, name in enumerate(mission.route):
            if name in lost:
                path: Path = ("mission", number, "route", place)
                what = f"where '{name}' lies is not known"
                yield document.problem(
                    path, Problem(what, "add the columns latitude and longitude to strips.csv, in degrees")
                )
