"""The tables of costs.toml: what the airplane costs to own and to fly."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from wringout.dossier import costs as parts
from wringout.dossier.fields import (
    Fault,
    Name,
    PositiveLength,
    PositiveTime,
    PositiveTimeEstimate,
    RatioEstimate,
    Table,
    Text,
    reader,
)
from wringout.dossier.references import EACH, Pattern
from wringout.problems import Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.money import Money, parse_money

COST_USES: tuple[tuple[Pattern, str], ...] = ((("exchange", EACH, "kit"), "kit"),)
_SHARE = "a share lies between 0 and 100 %"


def _money(per: Dimension | None = None) -> Any:
    def read(value: Any) -> Money:
        return parse_money(value, per)

    return reader(read, "money", per)


Amount = Annotated[Money, _money()]
AmountPerTime = Annotated[Money, _money(Dimension.TIME)]
AmountPerVolume = Annotated[Money, _money(Dimension.VOLUME)]


class SourceTable(Table):
    price: Text = ""
    hours_per_year: Text = ""
    fuel_price: Text = ""
    kept: Text = ""
    value_left: Text = ""
    own_rate: Text = ""
    labour: Text = ""

    def made(self) -> tuple[tuple[str, str], ...]:
        return tuple((key, text) for key in type(self).model_fields if (text := getattr(self, key)))


class FixedTable(Table):
    name: Name
    amount: AmountPerTime
    source: Text = ""

    def made(self) -> parts.Fixed:
        return parts.Fixed(self.name, self.amount, self.source)


class RunningTable(Table):
    name: Name
    amount: AmountPerTime
    source: Text = ""

    def made(self) -> parts.Running:
        return parts.Running(self.name, self.amount, self.source)


class ReserveTable(Table):
    name: Name
    amount: Amount
    every: PositiveTimeEstimate
    at_most: PositiveTimeEstimate | None = None
    source: Text = ""

    def made(self) -> parts.Reserve:
        return parts.Reserve(self.name, self.amount, self.every, self.at_most, self.source)


class LoanTable(Table):
    share: RatioEstimate
    rate: RatioEstimate
    term: PositiveTime
    source: Text = ""

    def made(self) -> parts.Loan:
        return parts.Loan(self.share, self.rate, self.term, self.source)

    def faults(self) -> tuple[Fault, ...]:
        return (*_shares(self, "share"), *_rates(self, "rate"))


class ExchangeTable(Table):
    kit: Name
    times_a_year: RatioEstimate
    source: Text = ""

    def made(self) -> parts.Exchange:
        return parts.Exchange(self.kit, self.times_a_year, self.source)

    def faults(self) -> tuple[Fault, ...]:
        if self.times_a_year.value < 0.0:
            return (
                (("times_a_year",), Problem("must not be negative", 'write how often, like 2 or "2 ± 1"')),
            )
        return ()


class CostsFile(Table):
    price: Amount
    hours_per_year: PositiveTimeEstimate
    fuel_price: AmountPerVolume
    kept: PositiveTime = parts.DEFAULT_KEPT
    value_left: RatioEstimate | None = None
    own_rate: RatioEstimate | None = None
    labour: AmountPerTime | None = None
    leg: PositiveLength = parts.DEFAULT_LEG
    source: SourceTable = SourceTable()
    loan: LoanTable | None = None
    fixed: tuple[FixedTable, ...] = ()
    running: tuple[RunningTable, ...] = ()
    reserve: tuple[ReserveTable, ...] = ()
    exchange: tuple[ExchangeTable, ...] = ()

    def made(self) -> parts.Costs:
        """The assumptions."""
        return parts.Costs(
            price=self.price,
            hours_per_year=self.hours_per_year,
            fuel_price=self.fuel_price,
            kept=self.kept,
            value_left=self.value_left,
            own_rate=self.own_rate,
            labour=self.labour,
            leg=self.leg,
            loan=self.loan.made() if self.loan else None,
            fixed=tuple(item.made() for item in self.fixed),
            running=tuple(item.made() for item in self.running),
            reserve=tuple(item.made() for item in self.reserve),
            exchange=tuple(item.made() for item in self.exchange),
            sources=self.source.made(),
        )

    def faults(self) -> tuple[Fault, ...]:
        found: list[Fault] = [*_shares(self, "value_left"), *_rates(self, "own_rate")]
        currency = self.price.currency
        for path, money in self._money():
            if money.currency != currency:
                what = f"is in {money.currency}, the price in {currency}"
                found.append((path, Problem(what, "write every amount in one currency; none is converted")))
        if self.exchange and self.labour is None:
            found.append(
                (
                    ("labour",),
                    Problem("an exchange takes labour", 'add its price, like "80 EUR/h", before [source]'),
                )
            )
        if self.hours_per_year.value > parts.DEFAULT_KEPT / 10.0:
            found.append((("hours_per_year",), Problem("a year has 8 766 h", "check the number")))
        return tuple(found)

    def _money(self) -> Iterator[tuple[tuple[str | int, ...], Money]]:
        yield ("fuel_price",), self.fuel_price
        if self.labour is not None:
            yield ("labour",), self.labour
        for key in ("fixed", "running", "reserve"):
            for number, row in enumerate(getattr(self, key)):
                yield (key, number, "amount"), row.amount


def _shares(table: Table, key: str) -> Iterator[Fault]:
    value: Estimate | None = getattr(table, key)
    if value is not None and not 0.0 <= value.value <= 1.0:
        yield (key,), Problem(_SHARE, 'write it like "60 %"')


def _rates(table: Table, key: str) -> Iterator[Fault]:
    value: Estimate | None = getattr(table, key)
    if value is not None and not -0.2 < value.value < 0.5:
        yield (key,), Problem("no such interest is paid", 'write it for a year, like "5 %"')
