"""The tables of airplane.toml that say what can be changed on it: exchange kits and options."""

from __future__ import annotations

from wringout.airplane import airplane as parts
from wringout.dossier.airplane_keys import part_faults
from wringout.dossier.fields import (
    AreaEstimate,
    Count,
    Fault,
    Flag,
    Length,
    Name,
    PositiveMass,
    Table,
    Text,
    Time,
)
from wringout.dossier.mass_tables import ItemTable, StationTable, TankTable
from wringout.problems import InputError, Problem
from wringout.quantity.price import parse_price


class KitTable(Table):
    name: Name
    off: tuple[ItemTable, ...] = ()
    on: tuple[ItemTable, ...] = ()
    work_time: Time | None = None
    people: Count | None = None
    price: Name | None = None
    needs: tuple[Name, ...] = ()
    excludes: tuple[Name, ...] = ()
    reason: Text = ""

    def made(self) -> parts.ExchangeKit:
        return parts.ExchangeKit(
            self.name,
            tuple(item.made() for item in self.off),
            tuple(item.made() for item in self.on),
            self.work_time,
            self.people,
            self.price,
            self.needs,
            self.excludes,
            self.reason,
        )

    def faults(self) -> tuple[Fault, ...]:
        return part_faults(self.made())


class OptionTable(Table):
    name: Name
    mass: PositiveMass | None = None
    arm: Length | None = None
    fitted: Flag = False
    work_time: Time | None = None
    people: Count | None = None
    price: Name | None = None
    place: Name | None = None
    needs: tuple[Name, ...] = ()
    excludes: tuple[Name, ...] = ()
    fits: tuple[Name, ...] = ()
    reason: Text = ""
    drag_area_change: AreaEstimate | None = None
    envelope: Name | None = None
    off: tuple[ItemTable, ...] = ()
    on: tuple[ItemTable, ...] = ()
    station: tuple[StationTable, ...] = ()
    tank: tuple[TankTable, ...] = ()

    def made(self) -> parts.Option:
        on = tuple(item.made() for item in self.on)
        if self.mass is not None and self.arm is not None:
            on = (parts.Item(self.name, self.mass, self.arm), *on)
        return parts.Option(
            name=self.name,
            off=tuple(item.made() for item in self.off),
            on=on,
            fitted=self.fitted,
            hours=self.work_time,
            people=self.people,
            price=self.price,
            place=self.place,
            needs=self.needs,
            excludes=self.excludes,
            fits=self.fits,
            reason=self.reason,
            drag_area_change=self.drag_area_change,
            envelope=self.envelope,
            stations=tuple(item.made() for item in self.station),
            tanks=tuple(item.made() for item in self.tank),
        )

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = []
        for key, other in (("mass", "arm"), ("arm", "mass")):
            if getattr(self, key) is None and getattr(self, other) is not None:
                words = f"gives its {other} and not its {key}"
                found.append(((other,), Problem(words, f"add its {key}: both are needed for the CG")))
        if self.price is not None:
            try:
                parse_price(self.price)
            except InputError as error:
                found += [(("price",), problem) for problem in error.problems]
        return (*found, *part_faults(self.made()))
