"""The tables of airplane.toml, and the airplane that they describe."""

from __future__ import annotations

import re
from typing import Literal

from wringout.airplane import airplane as parts
from wringout.airplane.validation import part_problems
from wringout.dossier.fields import (
    Angle,
    AnyEstimate,
    Area,
    AreaEstimate,
    Charge,
    Consumption,
    Count,
    Current,
    Day,
    Density,
    Energy,
    Fault,
    Flag,
    FloorLoad,
    Height,
    Length,
    LengthEstimate,
    Mass,
    MassEstimate,
    Money,
    Name,
    PositiveLength,
    PositiveMass,
    PositiveRatio,
    PositiveSpeed,
    PositiveTime,
    Power,
    Pressure,
    PricePerVolume,
    Ratio,
    Rotation,
    Table,
    Time,
    Voltage,
    Volume,
    VolumeFlow,
)
from wringout.dossier.lines import Path
from wringout.problems import Problem

# The airplane's attributes by their keys in the file, where the two differ.
_KEYS = {
    "stations": "station",
    "combined_limits": "combined_limit",
    "tanks": "tank",
    "envelopes": "envelope",
    "kits": "kit",
    "configurations": "configuration",
    "flaps": "flap",
    "priors": "prior",
    "batteries": "battery",
    "loads": "load",
    "readings": "reading",
    "hours": "work_time",
    "seats_weight": "occupant_mass",
}


def key_path(attribute: str) -> Path:
    """The path in airplane.toml of an airplane's attribute such as 'configurations[1].envelope'.

    Examples
    --------
    >>> key_path("configurations[1].envelope")
    ('configuration', 1, 'envelope')
    """
    path: list[str | int] = []
    for name, index in re.findall(r"([a-z_]+)|\[([0-9]+)\]", attribute):
        # `stations` of a combined limit keeps its name: it is a list of names, not of tables.
        key = name if path and name == "stations" else _KEYS.get(name, name)
        path.append(key if name else int(index))
    return tuple(path)


def _faults(part: object) -> tuple[Fault, ...]:
    return tuple(
        (key_path(problem.field or ""), Problem(problem.what, problem.mend))
        for problem in part_problems(part)
    )


class GeometryTable(Table):
    span: PositiveLength
    wing_area: Area
    wing_height: PositiveLength
    mean_chord: PositiveLength | None = None
    mean_chord_leading_edge: Length | None = None
    length: PositiveLength | None = None
    height: PositiveLength | None = None

    def made(self) -> parts.Geometry:
        return parts.Geometry(
            self.span,
            self.wing_area,
            self.wing_height,
            self.mean_chord,
            self.mean_chord_leading_edge,
            self.length,
            self.height,
        )

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


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
        found = _faults(self.made())
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
        return _faults(self.made())


class FuelTable(Table):
    name: Name
    density: Density

    def made(self) -> parts.Fuel:
        return parts.Fuel(self.name, self.density)

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


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
        return _faults(self.made())


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
        return _faults(self.made())


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
        return _faults(self.made())


class EmptyRecordTable(Table):
    configuration: Name
    mass: MassEstimate
    arm: LengthEstimate
    source: Name

    def made(self) -> parts.EmptyRecord:
        return parts.EmptyRecord(self.configuration, self.mass, self.arm, self.source)

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


class UndercarriageTable(Table):
    kind: Literal["tail wheel", "nose wheel", "skis"]
    main_arm: Length
    third_arm: Length
    track: PositiveLength
    cg_height: PositiveLength
    braking: Flag = True
    main_wheel_radius: PositiveLength | None = None
    third_wheel_radius: PositiveLength | None = None
    castor_travel: Angle | None = None

    def made(self) -> parts.Undercarriage:
        return parts.Undercarriage(
            self.kind,
            self.main_arm,
            self.third_arm,
            self.track,
            self.cg_height,
            self.braking,
            self.main_wheel_radius,
            self.third_wheel_radius,
            self.castor_travel,
        )

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


class KitTable(Table):
    name: Name
    off: tuple[ItemTable, ...] = ()
    on: tuple[ItemTable, ...] = ()
    work_time: Time | None = None
    people: Count | None = None
    price: Name | None = None

    def made(self) -> parts.ExchangeKit:
        return parts.ExchangeKit(
            self.name,
            tuple(item.made() for item in self.off),
            tuple(item.made() for item in self.on),
            self.work_time,
            self.people,
            self.price,
        )

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


class ConfigurationTable(Table):
    name: Name
    envelope: Name
    kit: Name | None = None
    drag_area_change: AreaEstimate | None = None
    undercarriage: UndercarriageTable

    def made(self) -> parts.Configuration:
        return parts.Configuration(
            self.name, self.undercarriage.made(), self.envelope, self.kit, self.drag_area_change
        )

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


class FlapTable(Table):
    name: Name
    deflection: Angle
    limit_speed: PositiveSpeed | None = None

    def made(self) -> parts.FlapSetting:
        return parts.FlapSetting(self.name, self.deflection, self.limit_speed)

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


class ChartRowTable(Table):
    engine_speed: Rotation
    manifold_pressure: Pressure
    pressure_altitude: Length
    power: Power
    fuel_flow: VolumeFlow | None = None

    def made(self) -> parts.PowerChartRow:
        return parts.PowerChartRow(
            self.engine_speed, self.manifold_pressure, self.pressure_altitude, self.power, self.fuel_flow
        )


class EngineTable(Table):
    kind: Literal["naturally aspirated", "turbocharged", "electric"]
    rated_power: Power
    rated_speed: Rotation
    critical_altitude: Height = 0.0
    specific_consumption: Consumption | None = None
    specific_consumption_full: Consumption | None = None
    chart: tuple[ChartRowTable, ...] = ()
    battery_energy: Energy | None = None

    def made(self) -> parts.Engine:
        return parts.Engine(
            self.kind,
            self.rated_power,
            self.rated_speed,
            self.critical_altitude,
            self.specific_consumption,
            self.specific_consumption_full,
            tuple(row.made() for row in self.chart),
            self.battery_energy,
        )

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


class PropellerTable(Table):
    kind: Literal["constant speed", "fixed pitch"]
    diameter: PositiveLength
    gear_ratio: PositiveRatio = 1.0
    polar_slope: Ratio | None = None
    polar_intercept: Ratio | None = None

    def made(self) -> parts.Propeller:
        return parts.Propeller(
            self.kind, self.diameter, self.gear_ratio, self.polar_slope, self.polar_intercept
        )

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


class BatteryTable(Table):
    name: Name
    charge: Charge
    rated_time: PositiveTime
    peukert_exponent: Ratio
    voltage: Voltage
    charge_lost_per_kelvin: Ratio = 0.0
    aged_fraction: Ratio = 1.0
    charges_from: Name | None = None

    def made(self) -> parts.Battery:
        return parts.Battery(
            self.name,
            self.charge,
            self.rated_time,
            self.peukert_exponent,
            self.voltage,
            self.charge_lost_per_kelvin,
            self.aged_fraction,
            self.charges_from,
        )

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


class ElectricalLoadTable(Table):
    name: Name
    current: Current
    fed_by: tuple[Name, ...]
    essential: Flag
    duty: Ratio = 1.0

    def made(self) -> parts.ElectricalLoad:
        return parts.ElectricalLoad(self.name, self.current, tuple(self.fed_by), self.essential, self.duty)

    def faults(self) -> tuple[Fault, ...]:
        return _faults(self.made())


class ElectricalTable(Table):
    alternator_current: Current
    battery: tuple[BatteryTable, ...] = ()
    load: tuple[ElectricalLoadTable, ...] = ()

    def made(self) -> parts.Electrical:
        return parts.Electrical(
            self.alternator_current,
            tuple(battery.made() for battery in self.battery),
            tuple(load.made() for load in self.load),
        )


class OwnershipTable(Table):
    currency: Name
    price: Money
    fixed_per_year: Money
    reserve_per_hour: Money
    fuel_price: PricePerVolume

    def made(self) -> parts.OwnershipCosts:
        return parts.OwnershipCosts(
            self.currency, self.price, self.fixed_per_year, self.reserve_per_hour, self.fuel_price
        )


class PriorTable(Table):
    parameter: Name
    value: AnyEstimate
    reason: Name

    def made(self) -> parts.PriorOverride:
        return parts.PriorOverride(self.parameter, self.value.value, self.value.sd or 0.0, self.reason)

    def faults(self) -> tuple[Fault, ...]:
        if self.value.sd is None:
            return ((("value",), Problem("a prior needs its uncertainty", 'write it like "0.034 ± 0.004"')),)
        return ()


class AirplaneFile(Table):
    name: Name
    maker: Name
    invented: Flag = False
    occupant_mass: PositiveMass
    never_exceed_speed: PositiveSpeed | None = None
    geometry: GeometryTable
    station: tuple[StationTable, ...]
    combined_limit: tuple[CombinedLimitTable, ...] = ()
    fuel: FuelTable
    tank: tuple[TankTable, ...] = ()
    envelope: tuple[EnvelopeTable, ...]
    weighing: WeighingTable | None = None
    empty_record: EmptyRecordTable | None = None
    kit: tuple[KitTable, ...] = ()
    configuration: tuple[ConfigurationTable, ...]
    flap: tuple[FlapTable, ...]
    engine: EngineTable
    propeller: PropellerTable
    electrical: ElectricalTable | None = None
    ownership: OwnershipTable | None = None
    prior: tuple[PriorTable, ...] = ()

    def faults(self) -> tuple[Fault, ...]:
        if self.weighing is None and self.empty_record is None:
            problem = Problem(
                "the airplane's empty mass is missing",
                "add [weighing] with the scales' readings, or [empty_record]",
            )
            return (((), problem),)
        if self.weighing is not None and self.empty_record is not None:
            problem = Problem("there is a weighing and an empty record", "keep the one that holds")
            return ((("empty_record",), problem),)
        return ()

    def made(self) -> parts.Airplane:
        """The airplane; InputError from its own rules."""
        empty = self.weighing or self.empty_record
        assert empty is not None
        return parts.Airplane(
            name=self.name,
            maker=self.maker,
            invented=self.invented,
            geometry=self.geometry.made(),
            stations=tuple(item.made() for item in self.station),
            combined_limits=tuple(item.made() for item in self.combined_limit),
            fuel=self.fuel.made(),
            tanks=tuple(item.made() for item in self.tank),
            envelopes=tuple(item.made() for item in self.envelope),
            empty=empty.made(),
            kits=tuple(item.made() for item in self.kit),
            configurations=tuple(item.made() for item in self.configuration),
            flaps=tuple(item.made() for item in self.flap),
            engine=self.engine.made(),
            propeller=self.propeller.made(),
            seats_weight=self.occupant_mass,
            electrical=self.electrical.made() if self.electrical else None,
            ownership=self.ownership.made() if self.ownership else None,
            never_exceed_speed=self.never_exceed_speed,
            priors=tuple(item.made() for item in self.prior),
        )
