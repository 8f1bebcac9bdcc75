"""The tables of claims.toml, and the claims that they register."""

from __future__ import annotations

from typing import Annotated, Literal

from wringout.dossier.claim import CLAIM_DIMENSIONS, Claim, ClaimConditions, ClaimQuantity
from wringout.dossier.fields import (
    Count,
    Fault,
    Length,
    Mass,
    Name,
    PositiveMass,
    PositiveRatio,
    PositiveSpeed,
    SignedSpeed,
    Slope,
    Table,
    Temperature,
    Text,
    Time,
    Volume,
    VolumeFlow,
    reader,
)
from wringout.problems import InputError, Problem
from wringout.quantity.text import parse


def _as_typed(value: object) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, int | float) and not isinstance(value, bool):
        return repr(value)
    raise InputError(Problem("a value with its unit is expected", 'write it in quotes, like "125 kt"'))


AsTyped = Annotated[str, reader(_as_typed)]


class ConditionsTable(Table):
    configuration: Name | None = None
    mass: PositiveMass | None = None
    flap: Name | None = None
    pressure_altitude: Length | None = None
    temperature: Temperature | None = None
    head_wind: SignedSpeed = 0.0
    slope: Slope = 0.0
    surface: Name | None = None
    power: PositiveRatio | None = None
    speed: PositiveSpeed | None = None
    fuel: Volume | None = None
    fuel_flow: VolumeFlow | None = None
    reserve: Time | None = None
    occupants: Count | None = None
    occupant_mass: PositiveMass | None = None
    baggage: Mass | None = None
    battery: Name | None = None
    load: tuple[Name, ...] = ()
    technique: Name | None = None

    def made(self) -> ClaimConditions:
        return ClaimConditions(
            configuration=self.configuration,
            mass=self.mass,
            flap=self.flap,
            pressure_altitude=self.pressure_altitude,
            temperature=self.temperature,
            head_wind=self.head_wind,
            slope=self.slope,
            surface=self.surface,
            power_fraction=self.power,
            speed=self.speed,
            fuel=self.fuel,
            fuel_flow=self.fuel_flow,
            reserve=self.reserve,
            occupants=self.occupants,
            occupant_mass=self.occupant_mass,
            baggage=self.baggage,
            battery=self.battery,
            load=tuple(self.load),
            technique=self.technique,
        )

    def faults(self) -> tuple[Fault, ...]:
        if self.power is not None and self.power > 1:
            problem = Problem(
                f"{self.power * 100:g} % of rated power is more than all", 'write it like "75 %"'
            )
            return ((("power",), problem),)
        return ()


class ClaimTable(Table):
    id: Name
    statement: Text
    quantity: ClaimQuantity
    relation: Literal["at least", "at most", "about"]
    value: AsTyped
    tolerance: AsTyped | None = None
    published: Name
    conditions: ConditionsTable = ConditionsTable()

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = []
        dimension = CLAIM_DIMENSIONS[self.quantity]
        for key, text in (("value", self.value), ("tolerance", self.tolerance)):
            if text is None:
                continue
            try:
                if parse(text, dimension) <= 0:
                    found.append(((key,), Problem(f"must be above zero, found '{text}'", "check the number")))
            except InputError as error:
                found += [((key,), problem) for problem in error.problems]
        if self.tolerance is not None and self.relation != "about":
            problem = Problem(f"a claim of '{self.relation}' has no tolerance", "remove it, or write 'about'")
            found.append((("tolerance",), problem))
        return tuple(found)

    def made(self) -> Claim:
        dimension = CLAIM_DIMENSIONS[self.quantity]
        return Claim(
            id=self.id,
            statement=self.statement,
            quantity=self.quantity,
            relation=self.relation,
            value=parse(self.value, dimension),
            tolerance=None if self.tolerance is None else parse(self.tolerance, dimension),
            conditions=self.conditions.made(),
            published=self.published,
            value_text=self.value,
        )


class ClaimsFile(Table):
    claim: tuple[ClaimTable, ...] = ()

    def made(self) -> tuple[Claim, ...]:
        return tuple(claim.made() for claim in self.claim)
