"""Everything that a cost rests on, one by one: its value, its uncertainty, its unit, where it is from."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal
from zlib import crc32

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.airplane import ExchangeKit
from wringout.dossier.costs import Costs
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.money import Money
from wringout.quantity.price import parse_price
from wringout.quantity.units import find_unit

FloatArray = NDArray[np.float64]
Kind = Literal["amount", "share", "rate"]
Path = tuple[str | int, ...]

NINE_IN_TEN = 1.6449  # half-width of the central 90 % of a normal distribution, in standard deviations
UNSAID = "no source stated"
FUEL_FLOW = "fuel flow"


@dataclass(frozen=True, slots=True)
class Assumption:
    """One figure in SI, `sd` zero where it is taken as exact; `unit` and its `factor` are for showing it.

    `place` is where it stands in costs.toml, 'reserve.0.every' say, empty for what is from elsewhere. An
    amount is never below zero, a share between nothing and all. What is of the airplane, and not of the place
    where it flies, is `own`.
    """

    key: str
    name: str
    value: float
    sd: float
    unit: str
    factor: float
    kind: Kind
    source: str
    place: str = ""
    own: bool = True

    def at(self, z: ArrayLike) -> FloatArray:
        """The figure where a standard normal variable stands at `z`, any shape.

        An amount is lognormal with the stated value as its mean, a rate normal, a share normal and cut off at
        nothing and all [JCGM 101, 6.4, for the normal one; for amounts: common practice, no source].
        """
        where = np.asarray(z, dtype=np.float64)
        if self.sd == 0.0 or (self.value == 0.0 and self.kind == "amount"):
            return np.full(where.shape, self.value)
        if self.kind == "amount":
            variance = math.log1p((self.sd / self.value) ** 2)
            return np.asarray(self.value * np.exp(math.sqrt(variance) * where - 0.5 * variance))
        moved = self.value + self.sd * where
        return np.clip(moved, 0.0, 1.0) if self.kind == "share" else moved


def assumptions(
    costs: Costs,
    kit: ExchangeKit | None,
    fuel_flow: Estimate,
    *,
    fuel: str = "L",
    fuel_flow_unit: str = "L/h",
) -> tuple[Assumption, ...]:
    """Every assumption behind the cost of one configuration, in the order in which people read them.

    Parameters
    ----------
    costs : Costs
    kit : ExchangeKit or None
        The kit of the configuration.
    fuel_flow : Estimate
        On average [m³/s].
    fuel, fuel_flow_unit : str
        Units for showing.
    """
    currency = costs.currency
    flow = Assumption(
        FUEL_FLOW,
        FUEL_FLOW,
        fuel_flow.value,
        fuel_flow.sd or 0.0,
        fuel_flow_unit,
        find_unit(fuel_flow_unit, Dimension.VOLUME_FLOW).factor,
        "amount",
        fuel_flow.source,
    )
    return (
        _money(("price",), "price", costs.price, costs.source("price")),
        *_of_kit(costs, kit),
        *_of_capital(costs),
        replace(
            _time(
                ("hours_per_year",),
                "hours flown in a year",
                costs.hours_per_year,
                "h",
                costs.source("hours_per_year"),
            ),
            own=False,
        ),
        *(
            _money(("fixed", index, "amount"), item.name, item.amount, item.source, per="year")
            for index, item in enumerate(costs.fixed)
        ),
        *(
            _money(("running", index, "amount"), item.name, item.amount, item.source, per="h")
            for index, item in enumerate(costs.running)
        ),
        *_of_reserves(costs),
        replace(
            _money(("fuel_price",), "price of fuel", costs.fuel_price, costs.source("fuel_price"), per=fuel),
            unit=f"{currency}/{fuel}",
            own=False,
        ),
        flow,
    )


def place_of(path: Path) -> str:
    """A path in costs.toml with dots: 'reserve.0.every'."""
    return ".".join(str(part) for part in path)


def key_of(path: Path) -> str:
    """The key of the assumption at a place of costs.toml: 'price', 'loan.rate', 'reserve.0.every'.

    What a listed cost is called by alone, its amount or how often it comes, is left out.
    """
    plain = [str(part) for part in path if part != "times_a_year"]
    return ".".join(plain[:-1] if path[0] in ("fixed", "running") else plain)


def kit_price(kit: ExchangeKit, currency: str) -> float | None:
    """What a kit costs in a currency; None where that is not stated, or stated in another one."""
    try:
        price = parse_price(kit.price or "")
    except InputError:
        return None
    return price.amount if price.currency == currency else None


def fitting_time(kit: ExchangeKit) -> float:
    """Time of one person that one exchange of a kit takes [s]; zero where it is not stated."""
    return (kit.hours or 0.0) * (kit.people or 1)


def standard_draws(key: str, owner: str, count: int) -> FloatArray:
    """Standard normal draws of one assumption, shape (count,).

    The same key and owner give the same draws, so that what two configurations share moves them together.
    """
    return np.random.default_rng(crc32(f"{owner}: {key}".encode())).standard_normal(count)


def stated(items: Iterable[Assumption]) -> dict[str, FloatArray]:
    """Every assumption at its stated value, by key."""
    return {item.key: np.asarray(item.value) for item in items}


def drawn(items: Iterable[Assumption], count: int, owner: str, world: str = "") -> dict[str, FloatArray]:
    """Every assumption in `count` draws, by key.

    Parameters
    ----------
    items : iterable of Assumption
    count : int
    owner : str
        Whose they are: an airplane's own assumptions are drawn alike only for the same owner.
    world : str
        Whose the prices and rates of the place are.
    """
    return {
        item.key: item.at(standard_draws(item.key, owner if item.own else world, count)) for item in items
    }


def _of_kit(costs: Costs, kit: ExchangeKit | None) -> Iterator[Assumption]:
    if kit is None:
        return
    price = kit_price(kit, costs.currency)
    source = f"airplane.toml, '{kit.price}'" if price is not None else "not stated: counted as nothing"
    yield Assumption(
        "kit price", f"price of the {kit.name}", price or 0.0, 0.0, costs.currency, 1.0, "amount", source
    )
    if costs.labour is not None:
        source = costs.source("labour")
        yield replace(_money(("labour",), "a mechanic's hour", costs.labour, source, per="h"), own=False)
    for index, item in enumerate(costs.exchange):
        if item.kit == kit.name:
            path = ("exchange", index, "times_a_year")
            name = f"exchanges of the {kit.name} in a year"
            yield _ratio(path, name, item.times_a_year, item.source, "amount")


def _of_capital(costs: Costs) -> Iterator[Assumption]:
    if costs.value_left is not None:
        source = costs.source("value_left")
        yield _ratio(("value_left",), "value left at the sale", costs.value_left, source, "share")
    if costs.own_rate is not None:
        source = costs.source("own_rate")
        interest = _ratio(("own_rate",), "interest on own money", costs.own_rate, source, "rate")
        yield replace(interest, own=False)
    if costs.loan is not None:
        loan = costs.loan
        yield _ratio(("loan", "share"), "share borrowed", loan.share, loan.source, "share")
        yield _ratio(("loan", "rate"), "interest of the loan", loan.rate, loan.source, "rate")


def _of_reserves(costs: Costs) -> Iterator[Assumption]:
    for index, item in enumerate(costs.reserve):
        path = ("reserve", index)
        yield _money((*path, "amount"), item.name, item.amount, item.source)
        yield _time((*path, "every"), f"{item.name} due after", item.every, "h", item.source)
        if item.at_most is not None:
            name = f"{item.name} due at the latest after"
            yield _time((*path, "at_most"), name, item.at_most, "year", item.source)


def _money(path: Path, name: str, money: Money, source: str, *, per: str = "") -> Assumption:
    unit, factor = money.currency, 1.0
    if per:
        unit, factor = f"{unit}/{per}", 1.0 / find_unit(per).factor
    return Assumption(
        key_of(path),
        name,
        money.value,
        money.sd or 0.0,
        unit,
        factor,
        "amount",
        source or UNSAID,
        place_of(path),
    )


def _time(path: Path, name: str, estimate: Estimate, unit: str, source: str) -> Assumption:
    factor, sd = find_unit(unit).factor, estimate.sd or 0.0
    return Assumption(
        key_of(path), name, estimate.value, sd, unit, factor, "amount", source or UNSAID, place_of(path)
    )


def _ratio(path: Path, name: str, estimate: Estimate, source: str, kind: Kind) -> Assumption:
    unit, factor = ("", 1.0) if kind == "amount" else ("%", 0.01)
    return Assumption(
        key_of(path),
        name,
        estimate.value,
        estimate.sd or 0.0,
        unit,
        factor,
        kind,
        source or UNSAID,
        place_of(path),
    )
