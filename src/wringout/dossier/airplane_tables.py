"""airplane.toml as a whole, its configurations and costs, and the airplane that it describes."""

from __future__ import annotations

from wringout.airplane import airplane as parts
from wringout.dossier.airplane_keys import part_faults
from wringout.dossier.fields import (
    AnyEstimate,
    AreaEstimate,
    Fault,
    Flag,
    Name,
    PositiveMass,
    PositiveSpeed,
    Table,
)
from wringout.dossier.machine_tables import (
    ElectricalTable,
    EngineTable,
    FlapTable,
    FloatsTable,
    GeometryTable,
    PropellerTable,
    UndercarriageTable,
)
from wringout.dossier.mass_tables import (
    CombinedLimitTable,
    EmptyRecordTable,
    EnvelopeTable,
    FuelTable,
    StationTable,
    TankTable,
    WeighingTable,
)
from wringout.dossier.option_tables import KitTable, OptionTable
from wringout.problems import Problem


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
        return part_faults(self.made())


class PriorTable(Table):
    parameter: Name
    value: AnyEstimate
    reason: Name

    def made(self) -> parts.PriorOverride:
        value = self.value
        return parts.PriorOverride(self.parameter, value.value, value.sd or 0.0, self.reason, value.dimension)

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
    option: tuple[OptionTable, ...] = ()
    configuration: tuple[ConfigurationTable, ...]
    floats: tuple[FloatsTable, ...] = ()
    flap: tuple[FlapTable, ...]
    engine: EngineTable
    propeller: PropellerTable
    electrical: ElectricalTable | None = None
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
            never_exceed_speed=self.never_exceed_speed,
            priors=tuple(item.made() for item in self.prior),
            options=tuple(item.made() for item in self.option),
            floats=tuple(item.made() for item in self.floats),
        )
