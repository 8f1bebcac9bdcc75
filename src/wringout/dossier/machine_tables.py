"""The tables of airplane.toml that describe the machine: shape, wheels, flaps, engine, electrics."""

from __future__ import annotations

from typing import Literal

from wringout.airplane import airplane as parts
from wringout.airplane import machine
from wringout.dossier.airplane_keys import part_faults
from wringout.dossier.fields import (
    Angle,
    Area,
    AreaEstimate,
    Charge,
    Consumption,
    Count,
    Current,
    Energy,
    Fault,
    Flag,
    Height,
    Length,
    Name,
    PositiveLength,
    PositiveRatio,
    PositiveSpeed,
    PositiveTime,
    Power,
    Pressure,
    Ratio,
    Rotation,
    Table,
    Voltage,
    Volume,
    VolumeFlow,
)


class GeometryTable(Table):
    span: PositiveLength
    wing_area: Area
    wing_height: PositiveLength
    mean_chord: PositiveLength | None = None
    mean_chord_leading_edge: Length | None = None
    length: PositiveLength | None = None
    height: PositiveLength | None = None
    nose_arm: Length | None = None
    tail_span: PositiveLength | None = None
    side_area: Area | None = None
    side_area_arm: Length | None = None

    def made(self) -> parts.Geometry:
        return parts.Geometry(
            self.span,
            self.wing_area,
            self.wing_height,
            self.mean_chord,
            self.mean_chord_leading_edge,
            self.length,
            self.height,
            self.nose_arm,
            self.tail_span,
            self.side_area,
            self.side_area_arm,
        )

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class TrailingArmTable(Table):
    length: PositiveLength
    slope: Angle
    spring_arm: PositiveLength
    spring_travel: PositiveLength

    def made(self) -> machine.TrailingArm:
        return machine.TrailingArm(self.length, self.slope, self.spring_arm, self.spring_travel)

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


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
    measured_sd: PositiveLength | None = None
    cg_height_sd: PositiveLength | None = None
    thrust_line_height: PositiveLength | None = None
    ground_attitude: Angle = 0.0
    main_static_deflection: Height | None = None
    third_static_deflection: Height | None = None
    main_flat_drop: Height | None = None
    third_flat_drop: Height | None = None
    tail_low_arm: Length | None = None
    tail_low_height: PositiveLength | None = None
    main_tyre_width: PositiveLength | None = None
    third_tyre_width: PositiveLength | None = None
    main_tyre_pressure: Pressure | None = None
    third_tyre_pressure: Pressure | None = None
    main_ski_area: Area | None = None
    third_ski_area: Area | None = None
    trailing_arm: TrailingArmTable | None = None

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
            self.measured_sd,
            self.cg_height_sd,
            self.thrust_line_height,
            self.ground_attitude,
            self.main_static_deflection,
            self.third_static_deflection,
            self.main_flat_drop,
            self.third_flat_drop,
            self.tail_low_arm,
            self.tail_low_height,
            self.main_tyre_width,
            self.third_tyre_width,
            self.main_tyre_pressure,
            self.third_tyre_pressure,
            self.main_ski_area,
            self.third_ski_area,
            self.trailing_arm.made() if self.trailing_arm else None,
        )

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class FlapTable(Table):
    name: Name
    deflection: Angle
    limit_speed: PositiveSpeed | None = None

    def made(self) -> parts.FlapSetting:
        return parts.FlapSetting(self.name, self.deflection, self.limit_speed)

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


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
        return part_faults(self.made())


class PropellerTable(Table):
    kind: Literal["constant speed", "fixed pitch"]
    diameter: PositiveLength
    gear_ratio: PositiveRatio = 1.0
    polar_slope: Ratio | None = None
    polar_intercept: Ratio | None = None
    arm: Length | None = None

    def made(self) -> parts.Propeller:
        return parts.Propeller(
            self.kind, self.diameter, self.gear_ratio, self.polar_slope, self.polar_intercept, self.arm
        )

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class BatteryTable(Table):
    name: Name
    charge: Charge
    rated_time: PositiveTime
    peukert_exponent: Ratio
    voltage: Voltage
    charge_lost_per_kelvin: Ratio = 0.0
    aged_fraction: Ratio = 1.0
    charges_from: Name | None = None
    usable_fraction: Ratio = 1.0

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
            self.usable_fraction,
        )

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class ElectricalLoadTable(Table):
    name: Name
    current: Current
    fed_by: tuple[Name, ...]
    essential: Flag
    duty: Ratio = 1.0
    shed_order: Count | None = None
    ignition: Flag = False

    def made(self) -> parts.ElectricalLoad:
        return parts.ElectricalLoad(
            self.name,
            self.current,
            tuple(self.fed_by),
            self.essential,
            self.duty,
            self.shed_order,
            self.ignition,
        )

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class GeneratorTable(Table):
    name: Name
    current: Current
    driven_by: Name | None = None

    def made(self) -> machine.Generator:
        return machine.Generator(self.name, self.current, self.driven_by)

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class BusTable(Table):
    name: Name
    fed_by: tuple[Name, ...]

    def made(self) -> machine.Bus:
        return machine.Bus(self.name, tuple(self.fed_by))


class ElectricalTable(Table):
    alternator_current: Current
    alternator_driven_by: Name | None = None
    alternator_needs_battery: Flag = False
    generator: tuple[GeneratorTable, ...] = ()
    battery: tuple[BatteryTable, ...] = ()
    bus: tuple[BusTable, ...] = ()
    load: tuple[ElectricalLoadTable, ...] = ()

    def made(self) -> parts.Electrical:
        return parts.Electrical(
            self.alternator_current,
            tuple(battery.made() for battery in self.battery),
            tuple(load.made() for load in self.load),
            self.alternator_driven_by,
            self.alternator_needs_battery,
            tuple(generator.made() for generator in self.generator),
            tuple(bus.made() for bus in self.bus),
        )


class FloatsTable(Table):
    name: Name
    kit: Name
    volume: Volume
    beam: PositiveLength
    length: PositiveLength
    drag_area_change: AreaEstimate | None = None

    def made(self) -> machine.FloatSet:
        return machine.FloatSet(
            self.name, self.kit, self.volume, self.beam, self.length, self.drag_area_change
        )

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())
