"""The tables of dossier.toml and missions.toml."""

from __future__ import annotations

from wringout.dossier.dossier import Load, Mission, Units
from wringout.dossier.fields import (
    Day,
    Fault,
    Flag,
    Length,
    LengthUnit,
    MassUnit,
    Name,
    PositiveLength,
    PositiveMass,
    PowerUnit,
    PressureUnit,
    SignedSpeed,
    SpeedUnit,
    Table,
    Temperature,
    TemperatureUnit,
    Text,
    Time,
    VolumeFlowUnit,
    VolumeUnit,
)
from wringout.problems import Problem


class UnitsTable(Table):
    speed: SpeedUnit = "kt"
    vertical_speed: SpeedUnit = "ft/min"
    height: LengthUnit = "ft"
    distance: LengthUnit = "m"
    range: LengthUnit = "nm"
    mass: MassUnit = "kg"
    arm: LengthUnit = "mm"
    fuel: VolumeUnit = "L"
    fuel_flow: VolumeFlowUnit = "L/h"
    temperature: TemperatureUnit = "°C"
    pressure: PressureUnit = "hPa"
    power: PowerUnit = "kW"

    def made(self) -> Units:
        return Units(**{name: getattr(self, name) for name in type(self).model_fields})


class FilesTable(Table):
    airplane: Name = "airplane.toml"
    claims: Name = "claims.toml"
    missions: Name = "missions.toml"
    strips: Name = "strips.csv"
    costs: Name = "costs.toml"


class DossierFile(Table):
    title: Name
    evaluator: Name
    place: Name
    day: Day
    invented: Flag = False
    compared_with: tuple[Name, ...] = ()
    units: UnitsTable = UnitsTable()
    files: FilesTable = FilesTable()


class LoadTable(Table):
    name: Name
    mass: PositiveMass
    stations: tuple[Name, ...]
    must: Flag = True

    def faults(self) -> tuple[Fault, ...]:
        if not self.stations:
            return (
                (("stations",), Problem("no station can take it", "name one station or more, best first")),
            )
        return ()

    def made(self) -> Load:
        return Load(self.name, self.mass, tuple(self.stations), self.must)


class MissionTable(Table):
    name: Name
    question: Text
    configuration: Name
    distance: PositiveLength
    head_wind: SignedSpeed = 0.0
    cruise_altitude: Length
    reserve: Time
    strip: Name | None = None
    temperature: Temperature | None = None
    load: tuple[LoadTable, ...] = ()

    def made(self) -> Mission:
        return Mission(
            name=self.name,
            question=self.question,
            configuration=self.configuration,
            loads=tuple(load.made() for load in self.load),
            distance=self.distance,
            head_wind=self.head_wind,
            cruise_altitude=self.cruise_altitude,
            reserve=self.reserve,
            strip=self.strip,
            temperature=self.temperature,
        )


class MissionsFile(Table):
    mission: tuple[MissionTable, ...] = ()

    def made(self) -> tuple[Mission, ...]:
        return tuple(mission.made() for mission in self.mission)
