"""The tables of airplane.toml that say what it weighs, what it carries and where."""

from __future__ import annotations

from typing import Literal

from wringout.airplane import airplane as parts
from wringout.dossier.airplane_keys import part_faults
from wringout.dossier.fields import (
    Area,
    Count,
    Day,
    Density,
    Fault,
    FloorLoad,
    Length,
    LengthEstimate,
    Mass,
    MassEstimate,
    Name,
    PositiveMass,
    Table,
    Volume,
)
from wringout.problems import Problem


class ItemTable(Table):
    name: Name
    mass: PositiveMass
    arm: Length

    def made(self) -> parts.Item:
        return parts.Item(self.name, self.mass, self.arm)


class StationTable(Table):
    name: Name
    arm: Length
    arm_aft: Length | None = None
    mass_limit: PositiveMass | None = None
    holds: Literal["people", "things", "either"]
    seats: Count = 0
    floor_area: Area | None = None
    floor_load_limit: FloorLoad | None = None

    def made(self) -> parts.Station:
        return parts.Station(
            self.name,
            self.arm,
            self.arm if self.arm_aft is None else self.arm_aft,
            self.mass_limit,
            self.holds,
            self.seats,
            self.floor_area,
            self.floor_load_limit,
        )

    def faults(self) -> tuple[Fault, ...]:
        found = part_faults(self.made())
        if self.holds == "people" and self.seats == 0:
            found += (
                (("seats",), Problem("a station for people has seats", "write how many, like seats = 2")),
            )
        return found


class CombinedLimitTable(Table):
    name: Name
    stations: tuple[Name, ...]
    mass_limit: PositiveMass

    def made(self) -> parts.CombinedLimit:
        return parts.CombinedLimit(self.name, tuple(self.stations), self.mass_limit)

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class FuelTable(Table):
    name: Name
    density: Density

    def made(self) -> parts.Fuel:
        return parts.Fuel(self.name, self.density)

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class TankTable(Table):
    name: Name
    usable: Volume
    unusable: Volume
    arm: Length | None = None
    arms: tuple[tuple[Volume, Length], ...] | None = None
    burn_order: Count = 1

    def made(self) -> parts.Tank:
        arms = tuple(self.arms) if self.arms is not None else ()
        if self.arm is not None:
            arms = ((0.0, self.arm),)
        return parts.Tank(self.name, self.usable, self.unusable, arms, self.burn_order)

    def faults(self) -> tuple[Fault, ...]:
        if self.arm is not None and self.arms is not None:
            problem = Problem("a tank has both an arm and arms against contents", "keep one of the two")
            return ((("arm",), problem),)
        return part_faults(self.made())


class EnvelopeTable(Table):
    name: Name
    vertices: tuple[tuple[Length, Mass], ...]
    maximum_takeoff_mass: PositiveMass
    maximum_ramp_mass: PositiveMass | None = None
    maximum_landing_mass: PositiveMass | None = None
    maximum_zero_fuel_mass: PositiveMass | None = None

    def made(self) -> parts.Envelope:
        return parts.Envelope(
            self.name,
            tuple(self.vertices),
            self.maximum_takeoff_mass,
            self.maximum_ramp_mass,
            self.maximum_landing_mass,
            self.maximum_zero_fuel_mass,
        )

    def faults(self) -> tuple[Fault, ...]:
        if len(self.vertices) > 200:
            return (
                (("vertices",), Problem("has more than 200 corners", "leave out those on straight edges")),
            )
        return part_faults(self.made())


class WheelReadingTable(Table):
    wheel: Name
    reading: PositiveMass
    tare: Mass
    arm: Length

    def made(self) -> parts.WheelReading:
        return parts.WheelReading(self.wheel, self.reading, self.tare, self.arm)


class WeighingTable(Table):
    day: Day
    configuration: Name
    reading_sd: PositiveMass
    reading: tuple[WheelReadingTable, ...]
    aboard_not_empty: tuple[ItemTable, ...] = ()
    missing_from_empty: tuple[ItemTable, ...] = ()

    def made(self) -> parts.Weighing:
        return parts.Weighing(
            self.day,
            self.configuration,
            tuple(reading.made() for reading in self.reading),
            self.reading_sd,
            tuple(item.made() for item in self.aboard_not_empty),
            tuple(item.made() for item in self.missing_from_empty),
        )

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class EmptyRecordTable(Table):
    configuration: Name
    mass: MassEstimate
    arm: LengthEstimate
    source: Name

    def made(self) -> parts.EmptyRecord:
        return parts.EmptyRecord(self.configuration, self.mass, self.arm, self.source)

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())
