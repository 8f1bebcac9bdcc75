"""The tables of dossier.toml."""

from __future__ import annotations

from wringout.dossier.dossier import Units
from wringout.dossier.fields import (
    Day,
    Flag,
    LengthUnit,
    MassUnit,
    Name,
    PowerUnit,
    PressureUnit,
    SpeedUnit,
    Table,
    TemperatureUnit,
    VolumeFlowUnit,
    VolumeUnit,
)


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
